//! A file with every property on a line of its own under its full path: what `git diff` shows in place of the text.
//! Works on the tree alone, so that a file of parts, or one whose parts lie elsewhere, reads as well.

use super::names::name_and_part;
use super::parse::parse;
use super::syntax::{Form, Head, Item, ItemForm, Tree, Value};
use crate::diag::Sources;

/// The lines of a text; nothing where it has errors that leave open what stands in which block.
pub fn lines(name: &str, text: &str) -> Option<Vec<String>> {
    let mut sources = Sources::default();
    let file = sources.add(name, text);
    let mut diags = Vec::new();
    let tree = parse(file, text, &mut diags);
    (tree.sound && diags.is_empty()).then(|| of(&tree, &sources))
}

/// The lines of a tree.
fn of(tree: &Tree, sources: &Sources) -> Vec<String> {
    let mut out = Vec::new();
    items(&tree.items, "", sources, &mut out);
    out
}

fn items(list: &[Item], path: &str, sources: &Sources, out: &mut Vec<String>) {
    for item in list {
        match &item.form {
            // A comment that moves with its block is one line of the diff, under that block's name.
            ItemForm::Comment(text) if path.is_empty() => out.push(text.value.clone()),
            ItemForm::Comment(text) => out.push(format!("{path} {}", text.value)),
            ItemForm::Wreck(_) => {}
            ItemForm::Statement(s) => {
                let word = s.word.value.as_str();
                match &s.form {
                    Form::Property(value) => out.push(format!("{} {}", joined(path, word), said(value, sources))),
                    Form::Equation(name, value) => {
                        out.push(format!("{word} {} = {}", name.value, said(value, sources)));
                    }
                    Form::Block(head, body) => {
                        let (inner, line) = headed(word, head, path, sources);
                        out.extend(line);
                        items(&body.items, &inner, sources, out);
                    }
                }
            }
        }
    }
}

/// The path of what stands in a block, and the line that its head is.
fn headed(word: &str, head: &[Head], path: &str, sources: &Sources) -> (String, Option<String>) {
    let all: Vec<&str> = head.iter().map(|h| sources.text(h.text.span)).collect();
    // What is no block of the lamp keeps its word before its name, and a colon sets it off from the lamp's paths.
    if path.is_empty() && matches!(word, "part" | "variant" | "waive" | "fitted") {
        let name = [&[word], all.as_slice()].concat().join(" ");
        return (format!("{name}:"), Some(name));
    }
    let quoted = head.iter().any(|h| h.quoted);
    match name_and_part(head).filter(|_| !quoted) {
        Some((name, part)) => {
            let inner = joined(path, name.as_ref().map_or(word, |n| n.value.as_str()));
            let line = match (&name, &part) {
                (_, Some(part)) => Some(format!("{inner} is {}", part.value)),
                (Some(_), None) => Some(format!("{} {}", joined(path, word), all.join(" "))),
                (None, None) => None,
            };
            (inner, line)
        }
        None => (joined(path, word), Some(format!("{} {}", joined(path, word), all.join(" ")))),
    }
}

/// A value on one line, its spaces made one each.
fn said(value: &Value, sources: &Sources) -> String {
    sources.text(value.span).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn joined(path: &str, step: &str) -> String {
    match path {
        "" => step.to_owned(),
        path if path.ends_with(':') => format!("{path} {step}"),
        path => format!("{path}.{step}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_property_stands_under_its_path() {
        let text = "language 1\nuse \"parts.lamp\"\n\nlet rim = 4   mm\n# why\nlamp \"Alder\" { region eu }\n\
                    driver {\n  topology direct\n  channel red { feeds red; current 320 mA } # hot\n}\n\
                    supply is closed-12v\npart die deep { count 1 }\n\
                    variant us { mains { voltage   120 V } }\nwaive light/gap of red { by \"n\" }\n";
        let expected = [
            "language 1",
            "use \"parts.lamp\"",
            "let rim = 4 mm",
            "# why",
            "lamp \"Alder\"",
            "lamp.region eu",
            "driver.topology direct",
            "driver.channel red",
            "driver.red.feeds red",
            "driver.red.current 320 mA",
            "supply is closed-12v",
            "part die deep",
            "part die deep: count 1",
            "variant us",
            "variant us: mains.voltage 120 V",
            "waive light/gap of red",
            "waive light/gap of red: by \"n\"",
        ];
        let mut found = lines("a.lamp", text).expect("it parses");
        found.retain(|line| !line.ends_with("# hot"));
        assert_eq!(found, expected);
        assert_eq!(lines("a.lamp", "lamp { { "), None);
    }
}
