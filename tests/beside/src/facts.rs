//! A spec's tree to the same facts in TOML and in YAML, and how long each takes to be read.
//!
//! A figure is taken apart as our parser takes it apart: number, unit, ends of an interval, tolerance and condition are
//! fields of their own. Arithmetic, which those formats do not know, stands there as text. Comments are left out of all.

use lampwright::language::parse::parse;
use lampwright::language::syntax::{Expr, ExprForm, Form, Item, ItemForm, Tree, Value, ValueForm};
use saphyr::{LoadableYamlNode, Yaml};
use serde_json::{Map, Value as Json, json};

use crate::{Line, clock};

/// Just below what one file may hold.
const LENGTH: usize = 1_000_000;

/// The lines of the table: one parser each.
pub(crate) fn lines(root: &str) -> Vec<Line> {
    let one = bare(&std::fs::read_to_string(format!("{root}/examples/alder-table.lamp")).unwrap());
    let spec = one.repeat(LENGTH / one.len());
    let mut diags = Vec::new();
    let tree = parse(0, &spec, &mut diags);
    assert!(diags.is_empty(), "{diags:?}");
    let facts = block(&tree.items);
    let (toml, yaml) = (toml::to_string(&facts).unwrap(), yaml(&facts));

    let atoms = count(&tree);
    let read: toml::Table = toml.parse().unwrap();
    assert_eq!(atoms, in_toml(&toml::Value::Table(read)), "TOML holds other facts");
    let edited: toml_edit::DocumentMut = toml.parse().unwrap();
    assert_eq!(atoms, in_toml_edit(edited.as_item()), "editable TOML holds other facts");
    assert_eq!(atoms, in_yaml(&Yaml::load_from_str(&yaml).unwrap()[0]), "YAML holds other facts");
    println!(
        "{atoms} facts (words, numbers, units) in {} bytes of spec, {} of TOML, {} of YAML\n",
        spec.len(),
        toml.len(),
        yaml.len()
    );

    let ours = clock::seconds(|| parse(0, &spec, &mut Vec::new()));
    let what = format!("{atoms} facts read, {:.2} MB of spec", spec.len() as f64 / 1e6);
    let line = |by: &str, text: &str, theirs| Line {
        what: what.clone(),
        by: format!("{by}, {:.2} MB", text.len() as f64 / 1e6),
        ours,
        theirs,
    };
    vec![
        line("`toml`", &toml, clock::seconds(|| toml.parse::<toml::Table>().unwrap())),
        line("`toml_edit`", &toml, clock::seconds(|| toml.parse::<toml_edit::DocumentMut>().unwrap())),
        line("`saphyr` (YAML)", &yaml, clock::seconds(|| Yaml::load_from_str(&yaml).unwrap())),
    ]
}

/// The spec without its comments.
fn bare(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let mut quoted = false;
        let end = line.char_indices().find(|(_, c)| {
            quoted ^= *c == '"';
            *c == '#' && !quoted
        });
        out.push_str(line[..end.map_or(line.len(), |(at, _)| at)].trim_end());
        out.push('\n');
    }
    out
}

/// A block as a table; blocks of one kind, and properties that come twice, as a list.
fn block(items: &[Item]) -> Json {
    let mut table = Map::new();
    let mut add = |name: &str, value: Json| {
        let list = table.entry(name).or_insert_with(|| json!([]));
        list.as_array_mut().unwrap().push(value);
    };
    for item in items {
        let ItemForm::Statement(statement) = &item.form else { continue };
        let word = &statement.word.value;
        match &statement.form {
            Form::Property(given) => add(word, value(given)),
            Form::Equation(name, given) => add(word, json!({ "name": name.value, "is": value(given) })),
            Form::Block(heads, body) => {
                let mut inner = block(&body.items);
                if !heads.is_empty() {
                    let named: Vec<&str> = heads.iter().map(|h| h.text.value.as_str()).collect();
                    inner.as_object_mut().unwrap().insert("heads".into(), json!(named));
                }
                add(word, inner);
            }
        }
    }
    // What is said once needs no list, unless it is a block.
    let single = |value: Json| match value.as_array() {
        Some(list) if list.len() == 1 && !list[0].is_object() => list[0].clone(),
        _ => value,
    };
    Json::Object(table.into_iter().map(|(name, value)| (name, single(value))).collect())
}

fn value(given: &Value) -> Json {
    match &given.form {
        ValueForm::Size(sides) => json!({ "sides": sides.iter().map(expression).collect::<Vec<_>>() }),
        ValueForm::Amount { points, tolerance, condition } => {
            let [only] = points.as_slice() else {
                return with(
                    json!({ "points": points.iter().map(expression).collect::<Vec<_>>() }),
                    tolerance,
                    condition,
                );
            };
            if tolerance.is_none() && condition.is_none() {
                return expression(only);
            }
            with(json!({ "of": expression(only) }), tolerance, condition)
        }
    }
}

fn with(mut table: Json, tolerance: &Option<Expr>, condition: &Option<Expr>) -> Json {
    for (name, part) in [("tolerance", tolerance), ("at", condition)] {
        if let Some(part) = part {
            table[name] = expression(part);
        }
    }
    table
}

fn expression(e: &Expr) -> Json {
    match &e.form {
        ExprForm::Quantity(q) => {
            // A code such as 4R7 is no number there.
            let number = q.number.parse::<f64>().ok().filter(|n| n.is_finite());
            let number = number.map_or_else(|| json!(q.number), |n| json!(n));
            match &q.unit {
                Some(unit) => json!({ "n": number, "unit": unit.value }),
                None => number,
            }
        }
        ExprForm::Text(word) | ExprForm::Date(word) | ExprForm::Path(word) => json!(word),
        ExprForm::Call(name, inner) => json!({ "call": name, "of": inner.iter().map(expression).collect::<Vec<_>>() }),
        ExprForm::Group(inner) | ExprForm::List(inner) => json!(inner.iter().map(expression).collect::<Vec<_>>()),
        ExprForm::Minus(inner) => json!({ "minus": expression(inner) }),
        ExprForm::Chain(first, rest) => {
            let rest: Vec<Json> =
                rest.iter().map(|(sign, e)| json!({ "by": sign.sign(), "of": expression(e) })).collect();
            json!({ "first": expression(first), "rest": rest })
        }
    }
}

/// Facts of the tree itself: words that head a block, and the numbers, units and words of every value.
fn count(tree: &Tree) -> usize {
    fn of(items: &[Item]) -> usize {
        let one = |item: &Item| {
            let ItemForm::Statement(statement) = &item.form else { return 0 };
            match &statement.form {
                Form::Property(given) => given.exprs().map(atoms).sum(),
                Form::Equation(_, given) => 1 + given.exprs().map(atoms).sum::<usize>(),
                Form::Block(heads, body) => heads.len() + of(&body.items),
            }
        };
        items.iter().map(one).sum()
    }
    fn atoms(e: &Expr) -> usize {
        match &e.form {
            ExprForm::Quantity(q) => 1 + usize::from(q.unit.is_some()),
            ExprForm::Text(_) | ExprForm::Date(_) | ExprForm::Path(_) => 1,
            ExprForm::Call(_, inner) => 1 + inner.iter().map(atoms).sum::<usize>(),
            ExprForm::Group(inner) | ExprForm::List(inner) => inner.iter().map(atoms).sum(),
            ExprForm::Minus(inner) => atoms(inner),
            ExprForm::Chain(first, rest) => atoms(first) + rest.iter().map(|(_, e)| 1 + atoms(e)).sum::<usize>(),
        }
    }
    of(&tree.items)
}

fn in_toml(value: &toml::Value) -> usize {
    match value {
        toml::Value::Array(list) => list.iter().map(in_toml).sum(),
        toml::Value::Table(table) => table.values().map(in_toml).sum(),
        _ => 1,
    }
}

fn in_toml_edit(item: &toml_edit::Item) -> usize {
    if let Some(tables) = item.as_array_of_tables() {
        return tables.iter().flat_map(|t| t.iter()).map(|(_, v)| in_toml_edit(v)).sum();
    }
    if let Some(list) = item.as_array() {
        return list.iter().map(|v| in_toml_edit(&toml_edit::Item::Value(v.clone()))).sum();
    }
    item.as_table_like().map_or(1, |table| table.iter().map(|(_, v)| in_toml_edit(v)).sum())
}

fn in_yaml(node: &Yaml<'_>) -> usize {
    if let Some(list) = node.as_sequence() {
        return list.iter().map(in_yaml).sum();
    }
    node.as_mapping().map_or(1, |table| table.values().map(in_yaml).sum())
}

/// YAML as people write it: blocks indented, short tables and lists on one line, words without quotes where they may.
fn yaml(facts: &Json) -> String {
    let mut out = String::new();
    lay(facts, 0, &mut out);
    out
}

fn lay(facts: &Json, depth: usize, out: &mut String) {
    for (name, value) in facts.as_object().unwrap() {
        let indent = "  ".repeat(depth);
        match value.as_array() {
            Some(list) if list.iter().any(is_block) => {
                out.push_str(&format!("{indent}{name}:\n"));
                for each in list {
                    if !is_block(each) {
                        out.push_str(&format!("{indent}- {}\n", flow(each)));
                        continue;
                    }
                    let at = out.len();
                    lay(each, depth + 1, out);
                    out.replace_range(at + 2 * depth..at + 2 * depth + 2, "- ");
                }
            }
            _ => out.push_str(&format!("{indent}{name}: {}\n", flow(value))),
        }
    }
}

/// Whether a table is one of the spec's blocks and no taken-apart figure.
fn is_block(value: &Json) -> bool {
    let figure = ["n", "sides", "points", "of", "call", "minus", "first", "is"];
    value.as_object().is_some_and(|t| !t.is_empty() && !figure.iter().any(|word| t.contains_key(*word)))
}

fn flow(value: &Json) -> String {
    match value {
        Json::Array(list) => format!("[{}]", list.iter().map(flow).collect::<Vec<_>>().join(", ")),
        Json::Object(table) => {
            let fields: Vec<String> = table.iter().map(|(k, v)| format!("{k}: {}", flow(v))).collect();
            format!("{{{}}}", fields.join(", "))
        }
        Json::String(word) if plain(word) => word.clone(),
        other => other.to_string(),
    }
}

/// A word that YAML reads as that word without quotes.
fn plain(word: &str) -> bool {
    let first = word.chars().next().is_some_and(char::is_alphabetic);
    let known = ["true", "false", "null", "yes", "no", "y", "n"].contains(&word);
    first && !known && word.chars().all(|c| c.is_alphanumeric() || "-._/".contains(c))
}
