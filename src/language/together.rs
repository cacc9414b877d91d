//! Holds worked-out values to what stands beside them: the number of lengths in sizes and points, and the figures that
//! an outline needs. What is bad or unknown already stays silent.

use super::cells::Result;
use super::complete::line;
use super::document::Value;
use super::draft::{Draft, Field};
use super::suggest::all_of;
use crate::diag::Diag;
use crate::schema::joined;
use crate::schema::together::{Lengths, NEEDS, holds, lengths};

/// Walks the draft with its cells' results, in the order in which `complete::cells` made them.
pub(super) fn check(draft: &Draft, kinds: &str, results: &mut dyn Iterator<Item = &Result>, diags: &mut Vec<Diag>) {
    let own: Vec<(&Field, Option<&Value>)> =
        draft.fields.iter().map(|field| (field, results.next().and_then(value))).collect();
    let word = |name: &str| match own.iter().find(|(f, _)| f.property.name == name)?.1? {
        Value::Word(word) => Some((*word).to_owned()),
        Value::YesNo(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        _ => None,
    };
    for (field, value) in &own {
        let (Some(Value::Size(found) | Value::Point(found)), shape) = (value, field.property.shape) else { continue };
        let Some(row) = lengths(kinds, field.property.name, shape, &word) else { continue };
        if !(row.least..=row.most).contains(&found.len()) {
            diags.push(miscounted(field, row, found.len(), draft));
        }
    }
    for need in NEEDS.iter().filter(|n| n.block == kinds && holds(Some(n.when), &word) && !draft.patchy) {
        let absent = |name: &&&str| draft.field(name).is_none() && !draft.excused.iter().any(|e| e == **name);
        let missing: Vec<_> =
            need.properties.iter().filter(absent).filter_map(|name| draft.schema.property(name)).collect();
        if !missing.is_empty() {
            let called = word(need.when.0).unwrap_or_default();
            let list = all_of(missing.iter().map(|p| p.name));
            let lines: Vec<String> = missing.iter().map(|p| line(p)).collect();
            let message = format!("`{} {called}` cannot be cut without {list}", need.when.0);
            diags.push(
                Diag::error("value/missing", draft.field(need.when.0).map_or(draft.span, |f| f.span), message)
                    .label(format!("wants {list}"))
                    .help(format!("add {}, or say `unknown` for a figure that nobody has yet", lines.join("; "))),
            );
        }
    }
    for block in &draft.blocks {
        check(block, &joined(kinds, block.schema.kind), results, diags);
    }
}

fn value(result: &Result) -> Option<&Value> {
    match result {
        Result::Value(value) => Some(value),
        _ => None,
    }
}

fn miscounted(field: &Field, row: &Lengths, found: usize, draft: &Draft) -> Diag {
    let name = field.property.name;
    let count =
        |n: usize| ["no length", "one length", "two lengths", "three lengths"].get(n).copied().unwrap_or("more");
    let wants = if row.least == row.most {
        count(row.least).to_owned()
    } else {
        format!("{} or {}", count(row.least).split(' ').next().unwrap_or(""), count(row.most))
    };
    let of = row.when.and_then(|(p, _)| draft.field(p)).map(|f| (f, format!(" with `{} {}`", f.property.name, f.text)));
    let with = of.as_ref().map_or("", |(_, text)| text);
    let message = format!("`{name}` of `{}`{with} wants {wants}; this is {}", draft.called(), count(found));
    let diag = Diag::error("value/lengths", field.span, message).label(format!("wants {wants}"));
    let diag = match of {
        Some((beside, _)) => diag.also(beside.span, "which makes it so"),
        None => diag,
    };
    diag.help(format!("write {}", row.order))
}

/// Every row speaks of a property that there is, of a shape that has lengths, and of words that there are.
#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::tables::ROOT;
    use crate::schema::together::LENGTHS;
    use crate::schema::{Block, Shape};

    fn block(path: &str) -> &'static Block {
        path.split('.').try_fold(&ROOT, |at, kind| at.block(kind)).unwrap_or_else(|| panic!("no block {path}"))
    }

    fn words(block: &Block, property: &str, words: &[&str]) {
        let choices = match block.property(property).unwrap_or_else(|| panic!("no property {property}")).shape {
            Shape::Word(choices) => choices.iter().map(|c| c.word).collect(),
            Shape::YesNo => vec!["yes", "no"],
            other => panic!("{property} is no word: {other:?}"),
        };
        words.iter().for_each(|w| assert!(choices.contains(w), "{property} has no word {w}"));
    }

    #[test]
    fn the_rows_fit_the_schema() {
        for row in LENGTHS {
            let block = block(row.block);
            let shape = block.property(row.property).map(|p| p.shape);
            assert!(matches!(shape, Some(Shape::Size | Shape::Point)), "{row:?}");
            row.when.iter().for_each(|(property, list)| words(block, property, list));
        }
        for need in NEEDS {
            let block = block(need.block);
            words(block, need.when.0, need.when.1);
            need.properties.iter().for_each(|p| assert!(block.property(p).is_some(), "{need:?}"));
        }
    }

    #[test]
    fn every_size_of_the_schema_has_its_row() {
        fn walk(block: &Block, path: &str) {
            for property in block.properties.iter().filter(|p| p.shape == Shape::Size) {
                let found = LENGTHS.iter().any(|row| row.block == path && row.property == property.name);
                assert!(found, "no row says how many lengths `{path}.{}` has", property.name);
            }
            for inner in block.blocks {
                walk(inner, &joined(path, inner.kind));
            }
        }
        walk(&ROOT, "");
    }
}
