//! The given figures of a document as ledger entries: each property under its path, with its line or its part.

use crate::diag::Sources;
use crate::figures::{engineering, stated, trimmed};
use crate::language::document::{Document, Entry, Node, Origin as Said, Spread, Value};
use crate::ledger::{Entry as Figure, Ledger, Origin, Scope};
use crate::schema::Shape;
use crate::schema::dimension::shown;

/// More than the entries of a lamp of four channels, the computed ones among them: to grow is to copy them all.
const USUAL: usize = 3000;

/// A ledger that holds every given figure of the document.
pub fn ledger(document: &Document, sources: &Sources, scope: Scope) -> Ledger {
    let mut ledger = Ledger::with_room(USUAL, scope);
    // Papers name the file, not the line: a comment must not change a byte of the packet. `why` knows the line.
    let files: Vec<String> = (0u32..).zip(sources.iter()).map(|(file, _)| sources.on_paper(file)).collect();
    walk(&document.root, &files, &mut ledger);
    ledger
}

fn walk(node: &Node, files: &[String], ledger: &mut Ledger) {
    for entry in &node.entries {
        ledger.put(figure(entry, files));
    }
    for inner in &node.nodes {
        walk(inner, files, ledger);
    }
}

fn figure(entry: &Entry, files: &[String]) -> Figure {
    let file = files.get(entry.span.file as usize).map_or("", String::as_str);
    let place = match &entry.origin {
        Said::Written | Said::Variant(_) | Said::Overrides { .. } => file.to_owned(),
        Said::Part { part, from: Some(from) } => format!("part {part}, {file}: {from}"),
        Said::Part { part, from: None } => format!("part {part}, {file}"),
        Said::Default => "default".to_owned(),
    };
    let unit = unit(entry.property.shape);
    let (value, band, shown) = match &entry.value {
        Value::Quantity(s) => quantity(*s, unit),
        Value::QuantityAt(s, at) => {
            let (value, band, shown) = quantity(*s, unit);
            (value, band, format!("{shown} at {}", stated(*at, condition(entry.property.shape))))
        }
        Value::Count(n) => (Some(*n as f64), None, n.to_string()),
        Value::Unknown => (None, None, "unknown".to_owned()),
        other => (None, None, text(other, &entry.text)),
    };
    Figure {
        path: entry.path.clone(),
        title: title(entry.property.doc).to_owned(),
        value,
        band,
        unit,
        shown,
        origin: Origin::Given { text: entry.text.clone(), place, span: entry.span },
    }
}

/// What the schema says of a property, without the example that ends it: beside the figure given that would be another.
fn title(doc: &'static str) -> &'static str {
    let parts = doc.rfind(':').and_then(|colon| Some((doc.get(..colon)?, doc.get(colon + 1..)?.strip_prefix(' ')?)));
    match parts {
        Some((what, example)) if example.starts_with(|c: char| c.is_ascii_digit() || c == '(') => what,
        _ => doc,
    }
}

type Shown = (Option<f64>, Option<(f64, f64)>, String);

fn quantity(s: Spread, unit: &'static str) -> Shown {
    let band = (s.low != s.high).then_some((s.low, s.high));
    let shown = match band {
        Some((low, high)) if !s.typical => format!("{} to {}", stated(low, unit), stated(high, unit)),
        _ => stated(s.nominal, unit),
    };
    (Some(s.nominal), band, shown)
}

fn text(value: &Value, written: &str) -> String {
    let lengths = |l: &[f64], join: &str| l.iter().map(|&v| engineering(v, "m")).collect::<Vec<_>>().join(join);
    match value {
        Value::Word(word) => (*word).to_owned(),
        Value::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Text(t) | Value::Reference(t) => t.clone(),
        Value::Date(date) => date.to_string(),
        // One unit for all sides: not 1 m x 300 mm.
        Value::Size(l) if l.iter().any(|v| v.abs() >= 1.0) && l.iter().any(|v| v.abs() < 1.0) => {
            l.iter().map(|v| format!("{} mm", trimmed(v * 1e3, 2))).collect::<Vec<_>>().join(" x ")
        }
        Value::Size(l) => lengths(l, " x "),
        Value::Point(l) => format!("({})", lengths(l, ", ")),
        Value::Points(points) => {
            points.iter().map(|l| format!("({})", lengths(l, ", "))).collect::<Vec<_>>().join(", ")
        }
        Value::List(words) => words.join(", "),
        _ => written.to_owned(),
    }
}

fn unit(shape: Shape) -> &'static str {
    match shape {
        Shape::Quantity(d) | Shape::QuantityAt(d, _) => shown(d),
        Shape::Size | Shape::Point | Shape::Points => "m",
        _ => "",
    }
}

fn condition(shape: Shape) -> &'static str {
    match shape {
        Shape::QuantityAt(_, d) => shown(d),
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::title;

    #[test]
    fn a_figure_is_not_titled_by_an_example() {
        for (doc, wanted) in [
            ("its colour temperature: 2700 K", "its colour temperature"),
            ("its middle: (0 mm, -20 mm, -90 mm)", "its middle"),
            ("forward voltage of one die: 2.0 V .. 2.2 V .. 2.5 V at 350 mA", "forward voltage of one die"),
            ("what was said: no more", "what was said: no more"),
            ("of the sheet", "of the sheet"),
        ] {
            assert_eq!(title(doc), wanted);
        }
    }
}
