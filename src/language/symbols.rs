//! Every name in a file and what it stands for: where a let, part, variant or named block is declared, and where it is
//! meant. Works on trees alone, so that it answers for files that do not compile; editors and `compare` read it.

use super::names::name_and_part;
use super::syntax::{Body, Expr, ExprForm, Form, Item, ItemForm, Statement, Tree, Value};
use crate::diag::Span;
use crate::schema::{Arity, Block, Property, Shape};

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
    let mut walk = Walk { root, lets: lets.collect(), found: Vec::new() };
    for tree in trees {
        walk.items(&tree.items, root, "");
    }
    walk.found
}

struct Walk {
    root: &'static Block,
    lets: Vec<String>,
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
        self.found.push(Mention { span, symbol, declared: true });
    }

    fn mention(&mut self, span: Span, symbol: Symbol) {
        self.found.push(Mention { span, symbol, declared: false });
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
                    self.declare(name.span, Symbol::Part(name.value));
                    base.into_iter().for_each(|b| self.mention(b.span, Symbol::Part(b.value)));
                }
                if let Some((schema, home)) = home(self.root, &kind.text.value, "") {
                    self.items(&body.items, schema, &home);
                }
            }
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

    fn block(&mut self, word: &str, head: &[super::syntax::Head], body: &Body, schema: &'static Block, path: &str) {
        let Some(inner) = schema.block(word) else { return };
        let mut step = word.to_owned();
        if let Some((name, part)) = name_and_part(head) {
            if let Some(name) = name.filter(|_| inner.arity == Arity::Named) {
                self.declare(name.span, Symbol::Block(inner.kind, name.value.clone()));
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
            Shape::Quantity(_) | Shape::QuantityAt(..) | Shape::Count | Shape::Size | Shape::Point | Shape::Points => {
                self.figures(value, schema, path);
            }
            _ => {}
        }
    }

    fn named(&mut self, expr: &Expr, kind: &'static str) {
        if let ExprForm::Path(name) = &expr.form {
            self.mention(expr.span, Symbol::Block(kind, name.clone()));
        }
    }

    fn figures(&mut self, value: &Value, schema: &'static Block, path: &str) {
        for (text, span) in value.paths() {
            self.path(text, span, schema, path);
        }
    }

    /// A let, then a property of the same block, then a full path: as the values are worked out.
    fn path(&mut self, text: &str, place: Span, schema: &'static Block, home: &str) {
        if self.lets.iter().any(|name| name == text) {
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
                self.mention(span, Symbol::Block(inner.kind, step.to_owned()));
                at = inner;
            } else {
                return;
            }
        }
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

fn joined(path: &str, step: &str) -> String {
    if path.is_empty() { step.to_owned() } else { format!("{path}.{step}") }
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
