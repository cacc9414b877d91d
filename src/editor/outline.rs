//! Outline: the blocks of a file, one inside the other.

use serde_json::{Value, json};

use crate::language::syntax::{Form, Item, ItemForm};

use super::{Page, position};

/// Kinds of symbol in the protocol.
const OBJECT: u8 = 19;
const CONSTANT: u8 = 14;

impl Page {
    /// Blocks and lets as `DocumentSymbol`s.
    pub(crate) fn outline(&self) -> Vec<Value> {
        self.symbols(&self.tree.items)
    }

    fn symbols(&self, items: &[Item]) -> Vec<Value> {
        let mut found = Vec::new();
        for item in items {
            let ItemForm::Statement(s) = &item.form else { continue };
            let range = position::range_of(&self.text, s.span);
            match &s.form {
                Form::Block(head, body) => {
                    let words: Vec<&str> = head.iter().map(|h| h.text.value.as_str()).collect();
                    let name = format!("{} {}", s.word.value, words.join(" "));
                    found.push(json!({
                        "name": name.trim_end(), "kind": OBJECT, "range": range,
                        "selectionRange": position::range_of(&self.text, s.word.span),
                        "children": self.symbols(&body.items),
                    }));
                }
                Form::Equation(name, _) => found.push(json!({
                    "name": name.value, "kind": CONSTANT, "range": range,
                    "selectionRange": position::range_of(&self.text, name.span),
                })),
                Form::Property(_) => {}
            }
        }
        found
    }
}
