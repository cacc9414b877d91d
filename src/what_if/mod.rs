//! Figures changed without editing: a variant in memory, laid over the spec's text, so that the same language and the
//! same checks apply to it.

pub(crate) mod sweep;

use crate::diag::Sources;
use crate::language::document::{Document, Node};
use crate::language::parse::parse;
use crate::language::suggest::nearest;
use crate::language::syntax::{Body, Form, Head, Item, ItemForm, Statement, Tree};
use crate::schema::{Arity, Block};

/// `driver.red.current` and what it is to be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Setting {
    /// Path of a property, or the name of a `let`.
    pub(crate) path: String,
    /// Its value in the language.
    pub(crate) value: String,
}

/// A spec's text with the settings in it, and the variant that brings them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Laid {
    /// The text.
    pub(crate) text: String,
    /// The variant to lay over.
    pub(crate) variant: String,
}

/// Why a setting cannot be laid over a spec.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Refused {
    /// What, in one line.
    pub(crate) message: String,
    /// The way out.
    pub(crate) help: String,
}

/// One step on the way to a property: a kind of block, and its name where it has one.
struct Step {
    kind: &'static str,
    name: Option<String>,
}

/// Lays settings over the text of a spec that resolved to `document`, in the variant `over` or in one of their own.
///
/// # Errors
/// A path that leads nowhere; a `let` that stands in another file, whose figures are reached by their paths.
pub(crate) fn lay(
    text: &str,
    document: &Document,
    sources: &Sources,
    over: Option<&str>,
    settings: &[Setting],
) -> Result<Laid, Refused> {
    let variant = over.map_or_else(|| free_name(document), str::to_owned);
    let mut laid = text.to_owned();
    if over.is_none() {
        laid.push_str(&format!("\nvariant {variant} {{\n}}\n"));
    }
    for setting in settings {
        let tree = parse(0, &laid, &mut Vec::new());
        let (range, new) = match document.lets.iter().find(|l| l.name.value == setting.path) {
            Some(named) => let_edit(&tree, setting, sources.get(named.name.span.file).map_or("", |f| &f.name))?,
            None => {
                let (steps, property) = steps(document, &setting.path)?;
                let body = variant_body(&tree, &variant).ok_or_else(|| lost(&setting.path))?;
                edit(body, &steps, &property, &setting.value)
            }
        };
        if !(laid.is_char_boundary(range.start) && laid.is_char_boundary(range.end)) {
            return Err(lost(&setting.path));
        }
        laid.replace_range(range, &new);
    }
    Ok(Laid { text: laid, variant })
}

fn lost(path: &str) -> Refused {
    Refused { message: format!("`{path}` cannot be set here"), help: "edit the spec instead".into() }
}

fn free_name(document: &Document) -> String {
    let taken = |name: &str| document.variants.iter().any(|v| v.value == name);
    let mut name = "what-if".to_owned();
    while taken(&name) {
        name.push_str("-too");
    }
    name
}

fn statements(items: &[Item]) -> impl Iterator<Item = &Statement> {
    items.iter().filter_map(|item| match &item.form {
        ItemForm::Statement(s) => Some(s.as_ref()),
        _ => None,
    })
}

fn variant_body<'t>(tree: &'t Tree, name: &str) -> Option<&'t Body> {
    statements(&tree.items).find_map(|s| match (&s.form, s.word.value.as_str()) {
        (Form::Block(head, body), "variant") if head.first().is_some_and(|h| h.text.value == name) => Some(body),
        _ => None,
    })
}

type Edit = (std::ops::Range<usize>, String);

fn let_edit(tree: &Tree, setting: &Setting, file: &str) -> Result<Edit, Refused> {
    let found = statements(&tree.items).find_map(|s| match &s.form {
        Form::Equation(name, value) if s.word.value == "let" && name.value == setting.path => Some(value.span),
        _ => None,
    });
    let span = found.ok_or_else(|| Refused {
        message: format!("`let {}` stands in {file}", setting.path),
        help: "set the properties that use it, or edit that file".into(),
    })?;
    Ok((span.start as usize..span.end as usize, setting.value.clone()))
}

/// The blocks that lead to a property of this lamp.
fn steps(document: &Document, path: &str) -> Result<(Vec<Step>, String), Refused> {
    let mut schema: &'static Block = document.root.schema;
    let mut node: Option<&Node> = Some(&document.root);
    let mut found = Vec::new();
    let mut pieces: Vec<&str> = path.split('.').collect();
    let property = pieces.pop().unwrap_or_default();
    for step in pieces {
        let named = |n: &&Node| n.schema.arity == Arity::Named && n.name.as_ref().is_some_and(|x| x.value == step);
        if let Some(inner) = node.and_then(|n| n.nodes.iter().find(named)) {
            found.push(Step { kind: inner.schema.kind, name: Some(step.to_owned()) });
            (schema, node) = (inner.schema, Some(inner));
        } else if let Some(inner) = schema.block(step).filter(|b| b.arity != Arity::Named) {
            found.push(Step { kind: inner.kind, name: None });
            (schema, node) = (inner, node.and_then(|n| n.node(step)));
        } else {
            return Err(unknown(document, path));
        }
    }
    match schema.property(property) {
        Some(_) => Ok((found, property.to_owned())),
        None => Err(unknown(document, path)),
    }
}

fn unknown(document: &Document, path: &str) -> Refused {
    let known = document.entries().map(|e| e.path.as_str()).chain(document.lets.iter().map(|l| l.name.value.as_str()));
    let known: Vec<&str> = known.collect();
    let alike = || {
        let likeness = known.iter().map(|p| (strsim::jaro_winkler(p, path), *p));
        likeness.max_by(|a, b| a.0.total_cmp(&b.0)).filter(|(likeness, _)| *likeness > 0.8).map(|(_, near)| near)
    };
    // A slip first; else what is most alike.
    let help = match nearest(path, known.iter().copied()).or_else(alike) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "write the path of a property, such as `driver.red.current`, or the name of a `let`".to_owned(),
    };
    Refused { message: format!("this lamp has nothing called `{path}`"), help }
}

/// What to put where, so that the body says `value` of the property at the end of these steps.
fn edit(body: &Body, steps: &[Step], property: &str, value: &str) -> Edit {
    let end = body.close.map_or(body.open.end, |c| c.start) as usize;
    let Some((step, rest)) = steps.split_first() else {
        let stated = statements(&body.items).find_map(|s| match &s.form {
            Form::Property(value) if s.word.value == property => Some(value.span),
            _ => None,
        });
        return match stated {
            Some(span) => (span.start as usize..span.end as usize, value.to_owned()),
            None => (end..end, format!("\n{property} {value}\n")),
        };
    };
    let there = statements(&body.items).find_map(|s| match &s.form {
        Form::Block(head, inner) if s.word.value == step.kind && is_called(head, step) => Some(inner),
        _ => None,
    });
    match there {
        Some(inner) if inner.is_written() => edit(inner, rest, property, value),
        Some(inner) => {
            let at = inner.open.end as usize;
            (at..at, format!(" {{ {} }}", nested(rest, property, value)))
        }
        None => (end..end, format!("\n{}\n", nested(steps, property, value))),
    }
}

fn is_called(head: &[Head], step: &Step) -> bool {
    match &step.name {
        Some(name) => head.first().is_some_and(|h| h.text.value == *name),
        None => true,
    }
}

fn nested(steps: &[Step], property: &str, value: &str) -> String {
    match steps.split_first() {
        None => format!("{property} {value}"),
        Some((step, rest)) => {
            let name = step.name.as_ref().map_or_else(String::new, |n| format!("{n} "));
            format!("{} {name}{{\n{}\n}}", step.kind, nested(rest, property, value))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile;
    use crate::language::loading::NoFiles;

    const SPEC: &str = include_str!("../../templates/new.lamp");

    #[test]
    fn settings_reach_properties_and_lets_and_nothing_else() {
        let text = format!("{SPEC}\nlet extra = 3 K\nvariant cold {{ lamp {{ room 0 °C .. 20 °C }} }}\n");
        let base = compile("a.lamp", &text, &mut NoFiles, None).compiled.expect("compiles");
        let shown = |over: Option<&str>, settings: &[(&str, &str)], path: &str| {
            let settings: Vec<Setting> =
                settings.iter().map(|(p, v)| Setting { path: (*p).into(), value: (*v).into() }).collect();
            let laid = lay(&text, &base.document, &base.sources, over, &settings).expect(path);
            let outcome = compile("a.lamp", &laid.text, &mut NoFiles, Some(&laid.variant));
            let compiled = outcome.compiled.unwrap_or_else(|| panic!("{}\n{:?}", laid.text, outcome.diags));
            compiled.solution.ledger.shown(path).map(str::to_owned)
        };
        let mass = |v: &str| Some(v.to_owned());
        assert_eq!(shown(None, &[("lamp.mass", "0.9 kg")], "lamp.mass"), mass("900 g"));
        assert_eq!(shown(Some("cold"), &[("lamp.mass", "0.9 kg")], "lamp.room"), mass("0 °C to 20 °C"));
        assert_eq!(shown(Some("cold"), &[("lamp.room", "1 °C .. 9 °C")], "lamp.room"), mass("1 °C to 9 °C"));
        let two = [("lamp.mass", "0.9 kg"), ("lamp.mass", "0.8 kg"), ("extra", "4 K")];
        assert_eq!(shown(None, &two, "lamp.mass"), mass("800 g"));
        let wrong = Setting { path: "lamp.mas".into(), value: "1 kg".into() };
        let refused = lay(&text, &base.document, &base.sources, None, &[wrong]).expect_err("no such path");
        assert!(refused.help.contains("`lamp.mass`"), "{refused:?}");
    }
}
