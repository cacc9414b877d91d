//! The canonical form of a file: what it says stays, comments with it; spacing, alignment, the spelling of units and
//! the order of properties within a paragraph become the same for everyone. Tidying twice changes nothing more.

use super::codes;
use super::ordering::ordered;
use super::parse::parse;
use super::symbols::home;
use super::syntax::{Body, Expr, ExprForm, Form, Head, Item, ItemForm, Quantity, Remark, Statement, Value, ValueForm};
use super::units;
use crate::diag::Diag;
use crate::schema::{Block, Dimension, Shape};

/// The widest line a block is kept on that the author wrote on one line.
const WIDTH: usize = 72;
/// The widest list that stays on one line.
const LIST_WIDTH: usize = 100;

/// The canonical form of `text`; its syntax errors where there are any, for what cannot be read cannot be kept.
///
/// The schema gives the order, and tells letter codes (`10K` of a resistance) from units (`10 K`); unknown names are kept.
pub fn tidy_text(file: u32, text: &str, root: &'static Block) -> Result<String, Vec<Diag>> {
    let mut diags = Vec::new();
    let tree = parse(file, text, &mut diags);
    if !diags.is_empty() {
        return Err(diags);
    }
    let mut out = String::new();
    items(&tree.items, Some(root), root, 0, &mut out);
    Ok(out)
}

/// Statements and comments, one a line, each line ended.
fn items(items: &[Item], schema: Option<&'static Block>, root: &'static Block, depth: usize, out: &mut String) {
    let width = name_width(items, depth);
    for (i, (item, blank_before)) in ordered(items, schema).into_iter().enumerate() {
        let trailing = matches!(item.form, ItemForm::Comment(_)) && !item.begins_line;
        if blank_before && i > 0 {
            out.push('\n');
        }
        match &item.form {
            ItemForm::Comment(comment) if trailing => {
                out.truncate(out.trim_end_matches('\n').len());
                out.push_str("  ");
                out.push_str(&spaced_comment(&comment.value));
            }
            ItemForm::Comment(comment) => {
                indent(depth, out);
                out.push_str(&spaced_comment(&comment.value));
            }
            ItemForm::Statement(s) => {
                if let Form::Property(value) | Form::Equation(_, value) = &s.form {
                    hoisted(value, depth, out);
                }
                indent(depth, out);
                statement(s, schema, root, depth, width, out);
            }
            ItemForm::Wreck(_) => continue,
        }
        out.push('\n');
    }
}

fn indent(depth: usize, out: &mut String) {
    out.extend(std::iter::repeat_n(' ', 4 * depth));
}

/// `#comment` gets its space; signs such as `#!` and `##` are left as they are.
fn spaced_comment(comment: &str) -> String {
    let text = comment.strip_prefix('#').unwrap_or(comment);
    match text.chars().next() {
        Some(c) if c.is_alphanumeric() => format!("# {text}"),
        _ => comment.to_owned(),
    }
}

/// The column in which the values of a block begin, counted from its properties' names.
fn name_width(items: &[Item], depth: usize) -> usize {
    let names = items.iter().filter_map(|item| match &item.form {
        ItemForm::Statement(s) if matches!(s.form, Form::Property(_)) && !alone(&s.word.value, depth) => {
            Some(s.word.value.len())
        }
        _ => None,
    });
    padded(names.max().unwrap_or(0))
}

/// Statements at the top of a file whose value follows after one space.
fn alone(word: &str, depth: usize) -> bool {
    depth == 0 && (word == "language" || word == "use")
}

/// Names are padded to a multiple of four columns, with two spaces at least.
fn padded(width: usize) -> usize {
    (width + 2).div_ceil(4) * 4
}

fn statement(
    s: &Statement,
    schema: Option<&'static Block>,
    root: &'static Block,
    depth: usize,
    width: usize,
    out: &mut String,
) {
    let word = &s.word.value;
    match &s.form {
        Form::Property(value) => {
            out.push_str(word);
            let gap = if alone(word, depth) { 1 } else { width.saturating_sub(word.len()).max(1) };
            out.extend(std::iter::repeat_n(' ', gap));
            write_value(value, &Hint::of(schema, word), depth, out);
        }
        Form::Equation(name, value) => {
            out.push_str(&format!("{word} {} = ", name.value));
            write_value(value, &Hint::default(), depth, out);
        }
        Form::Block(head, body) => {
            let inner = inner_schema(schema, word, head, root);
            let start = out.len();
            out.push_str(&opening(word, head));
            if !body.is_written() {
                out.truncate(out.trim_end().len());
                return;
            }
            match one_line(body, inner)
                .filter(|line| out[start..].chars().count() + line.chars().count() + 4 * depth <= WIDTH)
            {
                Some(line) => out.push_str(&line),
                None => {
                    out.push_str("{\n");
                    items(&body.items, inner, root, depth + 1, out);
                    indent(depth, out);
                    out.push('}');
                }
            }
        }
    }
}

/// `channel red `, `lamp "Quay light" `.
fn opening(word: &str, head: &[Head]) -> String {
    let mut text = format!("{word} ");
    for piece in head {
        text += &if piece.quoted { quoted(&piece.text.value) } else { piece.text.value.clone() };
        text.push(' ');
    }
    text
}

/// The schema of what stands in the braces; `part`, `variant` and `waive` change what that is.
fn inner_schema(
    schema: Option<&'static Block>,
    word: &str,
    head: &[Head],
    root: &'static Block,
) -> Option<&'static Block> {
    match (word, head.first()) {
        ("part", Some(kind)) => home(root, &kind.text.value, "").map(|(block, _)| block),
        ("variant", _) => Some(root),
        _ => schema.and_then(|s| s.block(word)),
    }
}

/// `{ a 1; b 2 }` where the author wrote it so and nothing in it forbids it.
fn one_line(body: &Body, schema: Option<&'static Block>) -> Option<String> {
    if !body.is_written() {
        return Some(String::new());
    }
    if !body.one_line {
        return None;
    }
    let mut pieces = Vec::new();
    for (item, _) in ordered(&body.items, schema) {
        let ItemForm::Statement(s) = &item.form else { return None };
        let piece = match &s.form {
            Form::Property(value) => {
                let mut piece = format!("{} ", s.word.value);
                write_value(value, &Hint::of(schema, &s.word.value), 0, &mut piece);
                piece
            }
            Form::Block(head, inner) => {
                opening(&s.word.value, head) + &one_line(inner, schema.and_then(|b| b.block(&s.word.value)))?
            }
            Form::Equation(name, value) => {
                let mut piece = format!("{} {} = ", s.word.value, name.value);
                write_value(value, &Hint::default(), 0, &mut piece);
                piece
            }
        };
        if piece.contains('\n') {
            return None;
        }
        pieces.push(piece.trim_end().to_owned());
    }
    Some(if pieces.is_empty() { "{ }".to_owned() } else { format!("{{ {} }}", pieces.join("; ")) })
}

/// What the schema says of a value's spelling.
#[derive(Default)]
struct Hint {
    /// Its dimension; nothing for a named value or an unknown property.
    wanted: Option<Dimension>,
    /// The dimension of its condition.
    at: Option<Dimension>,
    /// Whether it is a word, which may begin with a digit.
    word: bool,
}

impl Hint {
    fn of(schema: Option<&'static Block>, word: &str) -> Self {
        let shape = schema.and_then(|b| b.property(word)).map(|p| p.shape);
        let wanted = shape.and_then(Shape::dimension);
        let at = if let Some(Shape::QuantityAt(_, at)) = shape { Some(at) } else { None };
        let word = matches!(shape, Some(Shape::Word(_) | Shape::Words(_) | Shape::Reference(_) | Shape::References(_)));
        Self { wanted, at, word }
    }
}

fn write_value(value: &Value, hint: &Hint, depth: usize, out: &mut String) {
    let wanted = hint.wanted;
    if let (true, Some(ExprForm::Quantity(Quantity { number, unit: Some(unit), spaced: false }))) =
        (hint.word, value.single().map(|e| &e.form))
    {
        return out.push_str(&format!("{number}{}", unit.value));
    }
    match &value.form {
        ValueForm::Size(sides) => joined(sides, " x ", wanted, out),
        ValueForm::Amount { points, tolerance, condition } => {
            if let Some(Expr { form: ExprForm::List(inner), .. }) = value.single() {
                return match value.remarks.as_slice() {
                    [] => write_list(inner, wanted, depth, out),
                    remarks => write_remarked(inner, remarks, wanted, depth, out),
                };
            }
            joined(points, " .. ", wanted, out);
            if let Some(tolerance) = tolerance {
                out.push_str(" ± ");
                write_expr(tolerance, wanted, out);
            }
            if let Some(condition) = condition {
                out.push_str(" at ");
                write_expr(condition, hint.at, out);
            }
        }
    }
}

/// Comments inside a value that is no list stand above its line: an expression is written in one piece.
fn hoisted(value: &Value, depth: usize, out: &mut String) {
    if value.single().is_some_and(|e| matches!(e.form, ExprForm::List(_))) {
        return;
    }
    value.remarks.iter().for_each(|r| own_line(r, depth, out));
}

fn own_line(remark: &Remark, depth: usize, out: &mut String) {
    indent(depth, out);
    out.push_str(&spaced_comment(&remark.text.value));
    out.push('\n');
}

/// A list with comments has one item a line: a comment behind an item stays behind it, one inside it goes above it.
fn write_remarked(inner: &[Expr], remarks: &[Remark], wanted: Option<Dimension>, depth: usize, out: &mut String) {
    let mut remarks = remarks.iter().peekable();
    let mut behind = |until: u32, at: u32, out: &mut String| {
        let mut first = true;
        while let Some(remark) = remarks.next_if(|r| r.text.span.start < until) {
            if first && !remark.begins_line && remark.text.span.start < at {
                out.truncate(out.trim_end_matches('\n').len());
                out.push_str(&format!("  {}\n", spaced_comment(&remark.text.value)));
            } else {
                own_line(remark, depth + 1, out);
            }
            first = false;
        }
    };
    out.push_str("[\n");
    for item in inner {
        behind(item.span.end, item.span.start, out);
        indent(depth + 1, out);
        write_expr(item, wanted, out);
        out.push_str(",\n");
    }
    behind(u32::MAX, u32::MAX, out);
    indent(depth, out);
    out.push(']');
}

/// A list too wide for one line has one item a line.
fn write_list(inner: &[Expr], wanted: Option<Dimension>, depth: usize, out: &mut String) {
    let mut line = String::from("[");
    joined(inner, ", ", wanted, &mut line);
    line.push(']');
    let column = out.chars().rev().take_while(|c| *c != '\n').count();
    if column + line.chars().count() <= LIST_WIDTH {
        return out.push_str(&line);
    }
    out.push_str("[\n");
    for item in inner {
        indent(depth + 1, out);
        write_expr(item, wanted, out);
        out.push_str(",\n");
    }
    indent(depth, out);
    out.push(']');
}

fn joined(exprs: &[Expr], joint: &str, wanted: Option<Dimension>, out: &mut String) {
    for (i, expr) in exprs.iter().enumerate() {
        if i > 0 {
            out.push_str(joint);
        }
        write_expr(expr, wanted, out);
    }
}

fn write_expr(expr: &Expr, wanted: Option<Dimension>, out: &mut String) {
    match &expr.form {
        ExprForm::Quantity(q) => out.push_str(&quantity(q, wanted)),
        ExprForm::Text(text) => out.push_str(&quoted(text)),
        ExprForm::Date(text) | ExprForm::Path(text) => out.push_str(text),
        ExprForm::Call(name, arguments) => {
            out.push_str(name);
            write_group(arguments, wanted, out);
        }
        ExprForm::Group(inner) => write_group(inner, wanted, out),
        ExprForm::List(inner) => {
            out.push('[');
            joined(inner, ", ", wanted, out);
            out.push(']');
        }
        ExprForm::Minus(inner) => {
            out.push('-');
            write_expr(inner, wanted, out);
        }
        ExprForm::Chain(first, rest) => {
            write_expr(first, wanted, out);
            for (operator, operand) in rest {
                out.push_str(&format!(" {} ", operator.sign()));
                write_expr(operand, wanted, out);
            }
        }
    }
}

fn write_group(inner: &[Expr], wanted: Option<Dimension>, out: &mut String) {
    out.push('(');
    joined(inner, ", ", wanted, out);
    out.push(')');
}

/// A letter code, or a word that begins with a digit, stays in one piece; a unit gets its space and its spelling.
fn quantity(q: &Quantity, wanted: Option<Dimension>) -> String {
    let Some(unit) = &q.unit else { return q.number.clone() };
    let piece = format!("{}{}", q.number, unit.value);
    let is_code = match wanted {
        Some(wanted) => codes::code(&piece, wanted).is_some(),
        None => codes::looks_like_one(&piece),
    };
    match units::spelled(&unit.value) {
        Some(unit) if q.spaced || !is_code => format!("{} {unit}", q.number),
        _ if q.spaced => format!("{} {}", q.number, unit.value),
        _ => piece,
    }
}

fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for sign in text.chars() {
        match sign {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push_str(&format!("\\u{{{:X}}}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
