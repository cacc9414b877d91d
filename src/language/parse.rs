//! Text to `Tree`, with every syntax error at its place; the only file that names pest.
//! What the grammar cannot read is set aside one statement at a time, so three mistakes give three messages.

use std::sync::Arc;

use pest::Parser as _;
use pest::error::InputLocation;
use pest::iterators::Pair;

use super::syntax::{
    Body, Expr, ExprForm, Form, Head, Item, ItemForm, Operator, Quantity, Remark, Statement, Tree, Value, ValueForm,
};
use super::{braces, hidden, wreck};
use crate::diag::{Diag, Span, Spanned};

mod grammar {
    //! The parser that pest writes from the grammar file.
    #![allow(missing_docs, unreachable_pub)]

    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/lamp.pest"]
    pub(super) struct Grammar;
}
use grammar::{Grammar, Rule};

/// Reads the text of source number `file`. Errors: `syntax/...` for what cannot be read, `limit/...` for a file that
/// is too long or nests too deep; both leave a tree of what could be read.
pub fn parse(file: u32, text: &str, diags: &mut Vec<Diag>) -> Tree {
    let mut tree = Tree { file, items: Vec::new(), sound: false };
    let earlier = diags.len();
    if let Err(diag) = braces::within_limits(file, text) {
        diags.push(*diag);
        return tree;
    }
    hidden::find(file, text, diags);
    let mut reader = Reader::new(file, text, diags);
    match Grammar::parse(Rule::file, text) {
        Ok(pairs) => {
            let items = pairs.flat_map(Pair::into_inner);
            tree.items = reader.items(items, 0);
            tree.sound = reader.sound;
        }
        // The grammar reads any text; this is what is left if a limit of the parser itself is hit.
        Err(error) => diags.push(wreck::unreadable(file, text, place(&error))),
    }
    if !tree.sound {
        braces::blame(&tree, text, diags);
    }
    if let Some(new) = diags.get_mut(earlier..) {
        new.sort_by_key(Diag::span);
    }
    tree
}

/// Texts with what parsing them gave, so that what did not change between two readings is parsed once.
#[derive(Default)]
pub struct Parsed {
    kept: Vec<Kept>,
}

struct Kept {
    file: u32,
    text: String,
    tree: Arc<Tree>,
    diags: Vec<Diag>,
    /// Whether it was asked for since [`Parsed::begin`].
    asked: bool,
}

impl Parsed {
    /// A reading begins: what it does not ask for is forgotten at the next.
    pub fn begin(&mut self) {
        self.kept.retain(|k| k.asked);
        self.kept.iter_mut().for_each(|k| k.asked = false);
    }

    /// [`parse`], or what it gave for the same text before.
    pub fn parse(&mut self, file: u32, text: &str, diags: &mut Vec<Diag>) -> Arc<Tree> {
        if let Some(kept) = self.kept.iter_mut().find(|k| k.file == file && k.text == text) {
            kept.asked = true;
            diags.extend(kept.diags.iter().cloned());
            return Arc::clone(&kept.tree);
        }
        let mut own = Vec::new();
        let tree = Arc::new(parse(file, text, &mut own));
        diags.extend(own.iter().cloned());
        let text = text.to_owned();
        self.kept.push(Kept { file, text, tree: Arc::clone(&tree), diags: own, asked: true });
        tree
    }
}

/// Reads a value that stands alone, a default of the schema; every place in it is `span`.
pub(crate) fn value(text: &str, span: Span) -> Option<Value> {
    let pair = Grammar::parse(Rule::value, text).ok()?.next()?;
    if pair.as_span().end() != text.len() {
        return None;
    }
    let mut value = Reader::new(span.file, text, &mut Vec::new()).value(pair)?;
    value.move_to(span);
    Some(value)
}

/// How far the grammar comes in a statement that it cannot read, in bytes.
fn furthest(text: &str) -> usize {
    Grammar::parse(Rule::statement, text).err().map_or(text.len(), |e| place(&e)).min(text.len())
}

fn place(error: &pest::error::Error<Rule>) -> usize {
    match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    }
}

struct Reader<'a> {
    file: u32,
    text: &'a str,
    diags: &'a mut Vec<Diag>,
    sound: bool,
    /// Comments inside the value that is being read.
    remarks: Vec<Remark>,
    /// Words of a line that holds several properties, beside the first: none of them is missing.
    run_on: Vec<String>,
    /// Where the last brace that closes nothing ends; braces in one row are one mistake.
    stray_end: Option<usize>,
}

impl<'a> Reader<'a> {
    fn new(file: u32, text: &'a str, diags: &'a mut Vec<Diag>) -> Self {
        Self { file, text, diags, sound: true, remarks: Vec::new(), run_on: Vec::new(), stray_end: None }
    }
}

impl Reader<'_> {
    fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let span = pair.as_span();
        Span::new(self.file, span.start(), span.end())
    }

    fn spanned(&self, pair: &Pair<'_, Rule>) -> Spanned<String> {
        Spanned { value: pair.as_str().to_owned(), span: self.span(pair) }
    }

    /// `from` is where the file or the block begins, one past its brace.
    fn items<'p>(&mut self, pairs: impl Iterator<Item = Pair<'p, Rule>>, from: usize) -> Vec<Item> {
        let mut items = Vec::new();
        let mut end = from;
        for pair in pairs {
            let start = pair.as_span().start();
            let between = self.text.get(end..start).unwrap_or("");
            let breaks = between.matches('\n').count();
            let first = end == 0;
            let Some((form, stop)) = self.item(pair) else { continue };
            end = stop;
            items.push(Item { blank_before: breaks > 1, begins_line: breaks > 0 || first, form });
            let more = self.run_on.drain(..).map(|word| ItemForm::Wreck(Some(word)));
            items.extend(more.map(|form| Item { blank_before: false, begins_line: false, form }));
        }
        items
    }

    fn item(&mut self, pair: Pair<'_, Rule>) -> Option<(ItemForm, usize)> {
        let end = pair.as_span().end();
        match pair.as_rule() {
            Rule::comment => Some((ItemForm::Comment(self.comment(&pair)), end)),
            Rule::statement => {
                let text = pair.as_str();
                Some(match self.statement(pair) {
                    Some(statement) => {
                        let end = statement.span.end as usize;
                        (ItemForm::Statement(Box::new(statement)), end)
                    }
                    None => (ItemForm::Wreck(wreck::first_word(text)), end),
                })
            }
            Rule::wreck => Some((self.wreck(pair), end)),
            Rule::stray => {
                self.sound = false;
                let start = pair.as_span().start();
                let since = self.stray_end.and_then(|last| self.text.get(last..start));
                if !since.is_some_and(|between| between.trim().is_empty()) {
                    self.diags.push(wreck::stray(self.span(&pair)));
                }
                self.stray_end = Some(end);
                Some((ItemForm::Wreck(None), end))
            }
            _ => None,
        }
    }

    fn comment(&self, pair: &Pair<'_, Rule>) -> Spanned<String> {
        let mut comment = self.spanned(pair);
        comment.value.truncate(comment.value.trim_end().len());
        comment
    }

    /// Keeps a comment that stands inside a value.
    fn remark(&mut self, pair: &Pair<'_, Rule>) {
        let before = self.text.get(..pair.as_span().start()).unwrap_or("");
        let line = before.rsplit('\n').next().unwrap_or("");
        let remark = Remark { text: self.comment(pair), begins_line: line.trim().is_empty() };
        self.remarks.push(remark);
    }

    fn wreck(&mut self, pair: Pair<'_, Rule>) -> ItemForm {
        let (mut junk, mut body) = (None, None);
        for part in pair.into_inner() {
            if part.as_rule() == Rule::junk { junk = Some(part) } else { body = Some(part) }
        }
        let text = junk.as_ref().map_or("", |j| j.as_str()).trim_end();
        let start = junk.as_ref().or(body.as_ref()).map_or(0, |p| p.as_span().start());
        self.diags.push(match &body {
            Some(body) => wreck::head(self.file, start, text, self.span(body)),
            None => wreck::statement(self.file, start, text, furthest(text)),
        });
        self.run_on = wreck::run_on(text);
        // Its own mistakes are shown; what it says is dropped with its head.
        body.into_iter().for_each(|b| drop(self.body(b)));
        ItemForm::Wreck(wreck::first_word(text))
    }

    fn statement(&mut self, pair: Pair<'_, Rule>) -> Option<Statement> {
        let mut parts = pair.into_inner();
        let word = self.spanned(&parts.next()?);
        let next = parts.next()?;
        let (form, end) = match next.as_rule() {
            Rule::head => {
                let head = next.into_inner().map(|p| self.head(p)).collect::<Option<Vec<_>>>();
                let body = self.body(parts.next()?);
                let end = body.close.map_or(self.text.len() as u32, |c| c.end);
                (Form::Block(head?, body), end)
            }
            Rule::bare => {
                let end = self.span(&next).end;
                let head = next.into_inner().map(|p| self.head(p)).collect::<Option<Vec<_>>>();
                (Form::Block(head?, Body::absent(Span { start: end, end, ..word.span })), end)
            }
            Rule::equation => {
                let mut sides = next.into_inner();
                let name = self.spanned(&sides.next()?);
                let value = self.value(sides.next()?)?;
                let end = value.span.end;
                (Form::Equation(name, value), end)
            }
            _ => {
                let value = self.value(next)?;
                let end = value.span.end;
                (Form::Property(value), end)
            }
        };
        Some(Statement { span: Span { end, ..word.span }, word, form })
    }

    fn head(&mut self, pair: Pair<'_, Rule>) -> Option<Head> {
        let mut text = self.spanned(&pair);
        let quoted = pair.as_rule() == Rule::text;
        if quoted {
            text.value = self.unescape(&pair)?;
        }
        Some(Head { text, quoted })
    }

    fn body(&mut self, pair: Pair<'_, Rule>) -> Body {
        let whole = self.span(&pair);
        let open = Span { end: whole.start + 1, ..whole };
        let closed = pair.as_str().ends_with('}')
            && pair.clone().into_inner().next_back().is_some_and(|c| !c.as_str().is_empty());
        let close = closed.then(|| Span { start: whole.end - 1, ..whole });
        self.sound &= closed;
        let one_line = !pair.as_str().contains('\n');
        let items = self.items(pair.into_inner(), open.end as usize);
        Body { items, open, close, one_line }
    }

    fn value(&mut self, pair: Pair<'_, Rule>) -> Option<Value> {
        let span = self.span(&pair);
        self.remarks.clear();
        let (mut points, mut tolerance, mut condition, mut size) = (Vec::new(), None, None, false);
        for part in pair.into_inner() {
            let rule = part.as_rule();
            let expr = self.expr(if rule == Rule::expr { part } else { part.into_inner().next()? })?;
            match rule {
                Rule::tolerance => tolerance = Some(expr),
                Rule::condition => condition = Some(expr),
                _ => {
                    size |= rule == Rule::across;
                    points.push(expr);
                }
            }
        }
        if points.len() > 3 {
            self.diags.push(wreck::too_many(span, size));
            return None;
        }
        let form = if size { ValueForm::Size(points) } else { ValueForm::Amount { points, tolerance, condition } };
        Some(Value { span, form, remarks: std::mem::take(&mut self.remarks) })
    }

    fn expr(&mut self, pair: Pair<'_, Rule>) -> Option<Expr> {
        let span = self.span(&pair);
        let mut parts = pair.into_inner().peekable();
        let mut operands = Vec::new();
        let mut operators = Vec::new();
        while let Some(part) = parts.next() {
            match part.as_rule() {
                Rule::comment => self.remark(&part),
                Rule::operator => operators.push(operator(part.as_str())),
                _ => {
                    let group = parts.next_if(|p| part.as_rule() == Rule::path && p.as_rule() == Rule::group);
                    operands.push(self.operand(part, group)?);
                }
            }
        }
        let mut operands = operands.into_iter();
        let first = operands.next()?;
        if operators.is_empty() {
            return Some(first);
        }
        Some(Expr { span, form: ExprForm::Chain(Box::new(first), operators.into_iter().zip(operands).collect()) })
    }

    fn exprs(&mut self, pair: Pair<'_, Rule>) -> Option<Vec<Expr>> {
        let mut found = Vec::new();
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::comment => self.remark(&part),
                _ => found.push(self.expr(part)?),
            }
        }
        Some(found)
    }

    fn operand(&mut self, pair: Pair<'_, Rule>, group: Option<Pair<'_, Rule>>) -> Option<Expr> {
        let mut span = self.span(&pair);
        let form = match pair.as_rule() {
            Rule::quantity => ExprForm::Quantity(self.quantity(pair)?),
            Rule::text => ExprForm::Text(self.unescape(&pair)?),
            Rule::date => ExprForm::Date(pair.as_str().to_owned()),
            Rule::group => ExprForm::Group(self.exprs(pair)?),
            Rule::list => ExprForm::List(self.exprs(pair)?),
            Rule::minus => {
                let mut inner = pair.into_inner();
                let operand = inner.next()?;
                ExprForm::Minus(Box::new(self.operand(operand, inner.next())?))
            }
            _ => match group {
                Some(group) => {
                    span = span.to(self.span(&group));
                    ExprForm::Call(pair.as_str().to_owned(), self.exprs(group)?)
                }
                None => ExprForm::Path(pair.as_str().to_owned()),
            },
        };
        Some(Expr { span, form })
    }

    fn quantity(&self, pair: Pair<'_, Rule>) -> Option<Quantity> {
        let mut parts = pair.into_inner();
        let number = parts.next()?;
        let unit = parts.next().map(|u| self.spanned(&u));
        let spaced = unit.as_ref().is_some_and(|u| u.span.start as usize > number.as_span().end());
        Some(Quantity { number: number.as_str().replace('−', "-"), unit, spaced })
    }

    fn unescape(&mut self, pair: &Pair<'_, Rule>) -> Option<String> {
        let raw = pair.as_str();
        match wreck::unescape(raw.get(1..raw.len().saturating_sub(1)).unwrap_or("")) {
            Ok(text) => Some(text),
            Err((from, to)) => {
                let start = pair.as_span().start() + 1;
                self.diags.push(wreck::escape(Span::new(self.file, start + from, start + to), raw, from, to));
                None
            }
        }
    }
}

fn operator(sign: &str) -> Operator {
    match sign {
        "+" => Operator::Plus,
        "-" => Operator::Minus,
        "*" => Operator::Times,
        _ => Operator::Over,
    }
}
