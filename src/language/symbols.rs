//! Every name in a file and what it stands for: where a let, part, variant or named block is declared, and where it is
//! meant. Works on trees alone, so that it answers for files that do not compile; editors and `compare` read it.

use std::collections::BTreeSet;

use super::names::name_and_part;
use super::syntax::{Body, Expr, ExprForm, Form, Head, Item, ItemForm, Statement, Tree, Value};
use crate::diag::Span;
use crate::schema::{Arity, Block, Property, Shape, joined};

/// What a name stands for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Symbol {
    /// `let NAME`.
    Let(String),
    /// `part KIND NAME`.
    Part(String),
    /// `variant NAME`.
    Variant(String),
    /// A named block: its kind and its name.
    Block(&'static str, String),
    /// A property by its full path.
    Property(String),
}

/// One place where a name stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mention {
    /// The name itself, nothing around it.
    pub span: Span,
    /// What it stands for.
    pub symbol: Symbol,
    /// Whether it is declared here.
    pub declared: bool,
    /// Of a named block, the kind of block around it: a sink and a body each have holes. Nothing for all else.
    pub home: &'static str,
    /// The part that it stands in; nothing where it stands in a lamp.
    pub owner: Option<String>,
}

/// Every mention in these files, in the order of the text. `root` is the schema of a whole lamp.
pub fn mentions(trees: &[&Tree], root: &'static Block) -> Vec<Mention> {
    let lets = trees.iter().flat_map(|t| &t.items).filter_map(|item| match &item.form {
        ItemForm::Statement(s) => match &s.form {
            Form::Equation(name, _) if s.word.value == "let" => Some(name.value.clone()),
            _ => None,
        },
        _ => None,
    });
    let mut channels = BTreeSet::new();
    trees.iter().for_each(|t| channels_in(&t.items, &mut channels));
    let mut walk = Walk { root, lets: lets.collect(), channels, owner: None, found: Vec::new() };
    for tree in trees {
        walk.items(&tree.items, root, "");
    }
    walk.found
}

/// Names of every channel that is declared, in variants and as-built files too.
fn channels_in(items: &[Item], found: &mut BTreeSet<String>) {
    for item in items {
        let ItemForm::Statement(s) = &item.form else { continue };
        let Form::Block(head, body) = &s.form else { continue };
        if s.word.value == CHANNEL.1 {
            found.extend(head.first().filter(|h| !h.quoted).map(|h| h.text.value.clone()));
        }
        channels_in(&body.items, found);
    }
}

/// Where channels stand, and what they are. Names of wires begin with a channel's, and waivers speak of one.
const CHANNEL: (&str, &str) = ("driver", "channel");

struct Walk {
    root: &'static Block,
    lets: BTreeSet<String>,
    channels: BTreeSet<String>,
    /// The part that is walked through.
    owner: Option<String>,
    found: Vec<Mention>,
}

impl Walk {
    fn items(&mut self, items: &[Item], schema: &'static Block, path: &str) {
        for item in items {
            if let ItemForm::Statement(s) = &item.form {
                self.statement(s, schema, path);
            }
        }
    }

    fn declare(&mut self, span: Span, symbol: Symbol) {
        self.found.push(Mention { span, symbol, declared: true, home: "", owner: self.owner.clone() });
    }

    fn mention(&mut self, span: Span, symbol: Symbol) {
        self.found.push(Mention { span, symbol, declared: false, home: "", owner: self.owner.clone() });
    }

    /// A named block below a block of kind `home`.
    fn named_block(&mut self, span: Span, home: &'static str, (kind, name): (&'static str, String), declared: bool) {
        // What is read on a lamp's channels stands below `measured`.
        let home = if kind == CHANNEL.1 { CHANNEL.0 } else { home };
        self.found.push(Mention { span, symbol: Symbol::Block(kind, name), declared, home, owner: self.owner.clone() });
    }

    /// The channel that this name, `from` bytes into the span, is or begins with: `red` of `red-plus`.
    fn channel(&mut self, span: Span, from: usize, text: &str) {
        let begins = |c: &&String| text.strip_prefix(c.as_str()).is_some_and(|r| r.is_empty() || r.starts_with('-'));
        let Some(name) = self.channels.iter().filter(begins).max_by_key(|c| c.len()).cloned() else { return };
        let start = span.start as usize + from;
        let own = Span::new(span.file, start, start + name.len());
        self.named_block(own, CHANNEL.0, (CHANNEL.1, name), false);
    }

    fn statement(&mut self, s: &Statement, schema: &'static Block, path: &str) {
        match (s.word.value.as_str(), &s.form) {
            ("let", Form::Equation(name, value)) => {
                self.declare(name.span, Symbol::Let(name.value.clone()));
                self.figures(value, schema, path);
            }
            ("part", Form::Block(head, body)) if path.is_empty() => {
                let Some((kind, rest)) = head.split_first() else { return };
                if let Some((Some(name), base)) = name_and_part(rest) {
                    self.declare(name.span, Symbol::Part(name.value.clone()));
                    self.owner = Some(name.value);
                    base.into_iter().for_each(|b| self.mention(b.span, Symbol::Part(b.value)));
                }
                if let Some((schema, home)) = home(self.root, &kind.text.value, "") {
                    self.items(&body.items, schema, &home);
                }
                self.owner = None;
            }
            ("waive", Form::Block(_, body)) => self.waiver(body),
            ("variant", Form::Block(head, body)) if path.is_empty() => {
                if let [name] = head.as_slice() {
                    self.declare(name.text.span, Symbol::Variant(name.text.value.clone()));
                }
                self.items(&body.items, self.root, "");
            }
            (word, Form::Block(head, body)) => self.block(word, head, body, schema, path),
            (word, Form::Property(value)) => {
                if let Some(property) = schema.property(word) {
                    let full = joined(path, word);
                    self.declare(s.word.span, Symbol::Property(full));
                    self.value(property, value, schema, path);
                }
            }
            _ => {}
        }
    }

    fn block(&mut self, word: &str, head: &[Head], body: &Body, schema: &'static Block, path: &str) {
        let Some(inner) = schema.block(word) else { return };
        let mut step = word.to_owned();
        if let Some((name, part)) = name_and_part(head) {
            if let Some(name) = name.filter(|_| inner.arity == Arity::Named) {
                if inner.kind == "run" {
                    self.channel(name.span, 0, &name.value);
                }
                self.named_block(name.span, schema.kind, (inner.kind, name.value.clone()), true);
                step = name.value;
            }
            part.into_iter().for_each(|p| self.mention(p.span, Symbol::Part(p.value)));
        }
        self.items(&body.items, inner, &joined(path, &step));
    }

    fn value(&mut self, property: &'static Property, value: &Value, schema: &'static Block, path: &str) {
        match property.shape {
            Shape::Reference(kind) => value.exprs().for_each(|e| self.named(e, kind)),
            Shape::References(kind) => value.exprs().for_each(|e| match &e.form {
                ExprForm::List(inner) => inner.iter().for_each(|e| self.named(e, kind)),
                _ => self.named(e, kind),
            }),
            shape if shape.dimension().is_some() => self.figures(value, schema, path),
            // The ends of a wire: "driver.red-plus".
            Shape::Text if schema.kind == "run" => value.exprs().for_each(|e| {
                if let ExprForm::Text(text) = &e.form
                    && let Some((part, terminal)) = text.split_once('.')
                    && e.span.end - e.span.start == text.len() as u32 + 2
                {
                    self.channel(e.span, 1 + part.len() + 1, terminal);
                }
            }),
            _ => {}
        }
    }

    /// What a waiver is about, where that is a channel.
    fn waiver(&mut self, body: &Body) {
        for item in &body.items {
            let ItemForm::Statement(s) = &item.form else { continue };
            let Form::Property(value) = &s.form else { continue };
            for e in value.exprs().filter(|_| s.word.value == "subject") {
                if let ExprForm::Path(name) = &e.form
                    && self.channels.contains(name)
                {
                    self.named_block(e.span, CHANNEL.0, (CHANNEL.1, name.clone()), false);
                }
            }
        }
    }

    fn named(&mut self, expr: &Expr, kind: &'static str) {
        if let ExprForm::Path(name) = &expr.form {
            self.named_block(expr.span, around(self.root, kind).unwrap_or(""), (kind, name.clone()), false);
        }
    }

    fn figures(&mut self, value: &Value, schema: &'static Block, path: &str) {
        for (text, span) in value.paths() {
            self.path(text, span, schema, path);
        }
    }

    /// A let, then a property of the same block, then a full path: as the values are worked out.
    fn path(&mut self, text: &str, place: Span, schema: &'static Block, home: &str) {
        if self.lets.contains(text) {
            return self.mention(place, Symbol::Let(text.to_owned()));
        }
        if !text.contains('.') && schema.property(text).is_some() {
            return self.mention(place, Symbol::Property(joined(home, text)));
        }
        let mut at = self.root;
        let mut start = place.start as usize;
        for step in text.split('.') {
            let span = Span::new(place.file, start, start + step.len());
            start += step.len() + 1;
            if let Some(inner) = at.block(step).filter(|b| b.arity != Arity::Named) {
                at = inner;
            } else if at.property(step).is_some() {
                self.mention(span, Symbol::Property(text.to_owned()));
                return;
            } else if let Some(inner) = named_child(at, text, step) {
                self.named_block(span, at.kind, (inner.kind, step.to_owned()), false);
                at = inner;
            } else {
                return;
            }
        }
    }
}

/// The kind of block that blocks of this kind stand in.
fn around(block: &'static Block, kind: &str) -> Option<&'static str> {
    match block.block(kind) {
        Some(_) => Some(block.kind),
        None => block.blocks.iter().find_map(|b| around(b, kind)),
    }
}

/// The kind of named block that the step of a path goes through: the one that has the step after it.
fn named_child(at: &'static Block, path: &str, step: &str) -> Option<&'static Block> {
    let after = path.split('.').skip_while(|s| *s != step).nth(1);
    let named = || at.blocks.iter().filter(|b| b.arity == Arity::Named);
    match after {
        Some(after) => named().find(|b| b.property(after).is_some() || b.block(after).is_some()),
        None => named().next(),
    }
}

/// The block of this kind anywhere below `block`, with the path that leads to it.
pub fn home(block: &'static Block, kind: &str, path: &str) -> Option<(&'static Block, String)> {
    if let Some(found) = block.block(kind) {
        return Some((found, joined(path, kind)));
    }
    block.blocks.iter().find_map(|b| home(b, kind, &joined(path, b.kind)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::parse::parse;
    use crate::schema::tables::ROOT;

    #[test]
    fn names_are_found_where_they_are_declared_and_where_they_are_meant() {
        let text = "let rim = 4 mm\npart emitter star { die red { count 1 } }\nemitter is star { }\n\
                    driver { channel glow { feeds red; current driver.dim.current } channel dim { feeds red } }\n\
                    diffuser { diameter enclosure.opening + 2 * rim; inner diameter / 2 }\nvariant us { }\n";
        let tree = parse(0, text, &mut Vec::new());
        let found = mentions(&[&tree], &ROOT);
        let count = |symbol: &Symbol, declared: bool| {
            found.iter().filter(|m| m.symbol == *symbol && m.declared == declared).count()
        };
        for (symbol, declared, meant) in [
            (Symbol::Let("rim".into()), 1, 1),
            (Symbol::Part("star".into()), 1, 1),
            (Symbol::Variant("us".into()), 1, 0),
            (Symbol::Block("die", "red".into()), 1, 2),
            (Symbol::Block("channel", "dim".into()), 1, 1),
            (Symbol::Property("driver.dim.current".into()), 0, 1),
            (Symbol::Property("diffuser.diameter".into()), 1, 1),
            (Symbol::Property("enclosure.opening".into()), 0, 1),
        ] {
            assert_eq!((count(&symbol, true), count(&symbol, false)), (declared, meant), "{symbol:?}");
        }
        for mention in &found {
            let span = mention.span;
            let covered = &text[span.start as usize..span.end as usize];
            let name = match &mention.symbol {
                Symbol::Let(n) | Symbol::Part(n) | Symbol::Variant(n) | Symbol::Block(_, n) => n.clone(),
                Symbol::Property(path) => path.rsplit('.').next().unwrap_or("").to_owned(),
            };
            assert_eq!(covered, name);
        }
    }
}
