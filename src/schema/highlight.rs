//! A highlighting grammar for editors, in the open format of nested patterns over regular expressions that many of
//! them read; written from the schema, so that it cannot fall behind the language.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::tables::WAIVE;
use super::{Block, Shape, TOP_WORDS};

/// Words of the language itself that stand in values.
const OWN: &[&str] = &["yes", "no", "unknown"];
/// Where a statement begins: at a line's start, behind a brace or a semicolon.
const OPENS: &str = r"(?:^|(?<=[{;]))\s*";
/// What may not follow a whole word.
const ENDS: &str = r"(?![\w.-])";

/// The grammar of the language whose lamps `root` describes.
pub fn grammar(root: &'static Block) -> Value {
    let mut words = Words::default();
    words.block(root);
    words.choices.extend(OWN);
    words.properties.insert("from");
    words.properties.extend(WAIVE.properties.iter().map(|p| p.name));
    let named = |scope: &str, pattern: String| json!({ "name": format!("{scope}.lamp"), "match": pattern });
    let captured = |scopes: &[&str], pattern: String| {
        let captures: serde_json::Map<String, Value> = scopes
            .iter()
            .enumerate()
            .map(|(i, scope)| ((i + 1).to_string(), json!({ "name": format!("{scope}.lamp") })))
            .collect();
        json!({ "match": pattern, "captures": captures })
    };
    let kinds = any(&words.kinds);
    json!({
        "name": "Lamp specification",
        "scopeName": "source.lamp",
        "fileTypes": ["lamp"],
        "patterns": [
            named("comment.line.number-sign", "#.*$".to_owned()),
            json!({
                "name": "string.quoted.double.lamp",
                "begin": "\"",
                "end": "\"|$",
                "patterns": [{ "name": "constant.character.escape.lamp", "match": r"\\." }],
            }),
            captured(&["keyword.other", "entity.name.type", "entity.name.section"],
                format!(r"{OPENS}(part){ENDS}\s+({kinds}){ENDS}(?:\s+([a-z][\w-]*))?")),
            captured(&["keyword.other", "entity.name.section"],
                format!(r"{OPENS}(variant|let|waive){ENDS}(?:\s+([a-z][\w/-]*))?")),
            captured(&["keyword.other"], format!("{OPENS}({}){ENDS}", any(&TOP_WORDS.iter().copied().collect()))),
            // A kind of block that is also the name of a property is a block where a brace follows.
            captured(&["entity.name.type", "entity.name.section"],
                format!(r#"{OPENS}({kinds}){ENDS}(?:\s+(?!is\s)([a-z][\w-]*))?(?=\s+is\s|[^#;={{}}"]*(?:"[^"]*"\s*)?\{{)"#)),
            captured(&["variable.other.property"], format!("{OPENS}({}){ENDS}", any(&words.properties))),
            captured(&["keyword.operator.word", "entity.name.section"], r"(?<![\w.-])(is)\s+([a-z][\w-]*)".to_owned()),
            named("constant.other.date", r"\b\d{4}-\d{2}-\d{2}\b".to_owned()),
            captured(&["constant.numeric", "keyword.other.unit"], format!("{NUMBER}{UNIT}")),
            named("keyword.operator.word", format!(r"(?<![\w.-])(?:at|x){ENDS}")),
            named("keyword.operator", r"\.\.|±|\+/-|[-+*/=×]".to_owned()),
            named("constant.language", format!(r"(?<![\w.-])(?:{}){ENDS}", any(&words.choices))),
        ],
    })
}

/// A number: not inside a name; `1/4` and `4e-5` are one.
const NUMBER: &str = r"(?<![\w.])([-−]?\d+(?:/\d+|(?:\.(?!\.)\d+)?(?:[eE][-+]?\d+)?))";
/// The unit behind it, which is not the `x` between lengths nor the `at` of a condition.
const UNIT: &str = r"(?:[ \t\x{A0}\x{202F}]*((?!(?:x|at)(?![A-Za-z]))(?:1/)?[A-Za-z%°\x{B5}\x{3BC}\x{3A9}\x{2126}][\w%°\x{B5}\x{3BC}\x{3A9}\x{2126}·⋅*²³¹⁻^]*(?:/(?:\([^)\n]*\)|[A-Za-z%°\x{B5}\x{3BC}\x{3A9}\x{2126}²³]+))?))?";

/// Alternatives, the longest first, so that `core-area` is not read as `core`.
fn any(words: &BTreeSet<&'static str>) -> String {
    let mut list: Vec<&str> = words.iter().copied().collect();
    list.sort_by_key(|w| (std::cmp::Reverse(w.len()), *w));
    list.join("|")
}

#[derive(Default)]
struct Words {
    kinds: BTreeSet<&'static str>,
    properties: BTreeSet<&'static str>,
    choices: BTreeSet<&'static str>,
}

impl Words {
    fn block(&mut self, block: &'static Block) {
        if !block.kind.is_empty() {
            self.kinds.insert(block.kind);
        }
        for property in block.properties {
            self.properties.insert(property.name);
            if let Shape::Word(choices) | Shape::Words(choices) = property.shape {
                self.choices.extend(choices.iter().map(|c| c.word));
            }
        }
        block.blocks.iter().for_each(|inner| self.block(inner));
    }
}
