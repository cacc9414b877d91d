//! Hover: what a word means, the value it came to, and what is left of the limits it is held against. Markdown, in which
//! words of a spec are escaped: an editor would load the picture that a spec of a stranger names.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::Compiled;
use crate::figures::{engineering, percent};
use crate::language::flat;
use crate::ledger::Origin;
use crate::packet::templates::escape;
use crate::rules;
use crate::rules::rule::{Measure, Rule, Sense};
use crate::schema::{Default, Property, Shape};

use super::{Page, position, spot};

/// Most figures and limits shown.
const MOST: usize = 8;

impl Page {
    /// Markdown about what stands at a place.
    pub(crate) fn hover(&self, byte: usize) -> Option<Value> {
        let (found, span) = spot::at(&self.tree, self.root, byte)?;
        let mut text = match found {
            spot::Spot::Property(property, path) => self.property(property, &path),
            spot::Spot::Block(block, path) => self.block(block, &path),
            spot::Spot::Part(name) => self.part(&name)?,
            spot::Spot::Let(name) => self.named(&name)?,
            spot::Spot::Variant(name) => self.variant(&name),
            spot::Spot::Rule(name) => {
                let rule = rules::ALL.iter().find(|r| r.name == name)?;
                format!("**{}** {}\n\n{}\n\nSource: {}", rule.signal.word(), rule.title, rule.why, rule.source)
            }
        };
        if !self.fresh && self.good.is_some() {
            text.push_str("\n\n*figures from before the last edit*");
        }
        let range = position::range_of(&self.text, span);
        Some(json!({ "contents": { "kind": "markdown", "value": text }, "range": range }))
    }

    fn property(&self, property: &Property, path: &str) -> String {
        let mut text = format!("**{path}**: {}\n", property.doc);
        if let Some(compiled) = &self.good {
            if spot::is_built(self.root) {
                expected(compiled, path, &mut text);
            }
            value(compiled, path, &mut text);
            margins(compiled, path, &mut text);
        }
        match property.default {
            Default::Required => text.push_str("\nmust be written\n"),
            Default::Is(value) => text.push_str(&format!("\nwhen not written: `{value}`\n")),
            Default::Absent => {}
        }
        let unit = match property.shape {
            Shape::Quantity(d) | Shape::QuantityAt(d, _) => crate::schema::dimension::shown(d),
            Shape::Size | Shape::Point | Shape::Points => "m",
            _ => "",
        };
        if let Some((low, high)) = property.usual {
            let _ = writeln!(text, "\nusual: {} to {}", engineering(low, unit), engineering(high, unit));
        }
        if let Shape::Word(choices) | Shape::Words(choices) = property.shape {
            text.push('\n');
            for choice in choices {
                let _ = writeln!(text, "- `{}`: {}", choice.word, choice.doc);
            }
        }
        text
    }

    fn block(&self, block: &crate::schema::Block, path: &str) -> String {
        let overlay = path.is_empty() && spot::is_built(self.root);
        if overlay {
            return "**fitted**: blocks of the lamp, laid over the spec and its variant\n".to_owned();
        }
        let mut text = format!("**{path}**: {}\n", block.doc);
        let Some(compiled) = &self.good else { return text };
        let name = path.rsplit('.').next().unwrap_or(path);
        let prefix = if block.kind == "channel" { format!("drive.{name}.") } else { format!("{path}.") };
        let own = compiled.solution.ledger.iter().filter(|e| e.path.starts_with(&prefix));
        let worked_out = own.filter(|e| !matches!(e.origin, Origin::Given { .. }));
        let rows: Vec<String> =
            worked_out.take(MOST).map(|e| format!("- {}: {}", escape(&e.title), escape(&e.shown))).collect();
        if !rows.is_empty() {
            let _ = writeln!(text, "\n{}", rows.join("\n"));
        }
        let ledger = &compiled.solution.ledger;
        let own = ledger.iter().map(|e| e.path.as_str()).filter(|p| p.starts_with(&format!("{path}.")));
        tightest(compiled, &own.collect::<Vec<_>>(), &[], &mut text);
        text
    }

    fn variant(&self, name: &str) -> String {
        let mut text = format!("**variant {name}**: the lamp with these laid over it\n");
        let head = format!("variant {name}: ");
        let lines = flat::lines(&self.name, &self.text).unwrap_or_default();
        let own: Vec<String> =
            lines.iter().filter_map(|l| l.strip_prefix(&head)).map(|l| format!("- {}", code(l))).collect();
        if !own.is_empty() {
            let _ = writeln!(text, "\n{}", own.iter().take(MOST).cloned().collect::<Vec<_>>().join("\n"));
        }
        if own.len() > MOST {
            let _ = writeln!(text, "- and {} more", own.len() - MOST);
        }
        text
    }

    fn part(&self, name: &str) -> Option<String> {
        let (kind, _) = self.parts().into_iter().find(|(_, n)| n == name)?;
        let from = self.good.as_ref().and_then(|c| c.document.parts.iter().find(|p| p.name.value == name));
        let from = from.and_then(|p| p.from.clone()).map_or_else(String::new, |f| format!("\n\nfrom: {}", escape(&f)));
        Some(format!("part `{name}` for `{kind}`{from}"))
    }

    fn named(&self, name: &str) -> Option<String> {
        let compiled = self.good.as_ref()?;
        let named = compiled.document.lets.iter().find(|l| l.name.value == name)?;
        let unit = crate::schema::dimension::shown(named.dimension);
        Some(format!("`let {name}` = {}\n\nas written: {}", engineering(named.value.nominal, unit), code(&named.text)))
    }
}

/// Words of a spec as code, whatever backticks are in them.
fn code(text: &str) -> String {
    let longest = text.split(|sign| sign != '`').map(str::len).max().unwrap_or(0);
    let (fence, space) = ("`".repeat(longest + 1), if longest > 0 { " " } else { "" });
    format!("{fence}{space}{text}{space}{fence}")
}

/// What a reading of an as-built file should be.
fn expected(compiled: &Compiled, path: &str, text: &mut String) {
    let Some(reading) = compiled.readings().into_iter().find(|r| r.key == path) else { return };
    let _ = writeln!(text, "\nshould be: **{}** (`{}`)", escape(&reading.expect), reading.path);
}

fn value(compiled: &Compiled, path: &str, text: &mut String) {
    let Some(entry) = compiled.solution.ledger.get(path) else { return };
    let shown = match &entry.origin {
        // A share that its author wrote in per cent is read in per cent.
        Origin::Given { text, .. } if entry.unit.is_empty() && text.contains('%') => match (entry.band, entry.value) {
            (Some((low, high)), _) => format!("{} to {}", percent(low), percent(high)),
            (None, Some(share)) => percent(share),
            (None, None) => entry.shown.clone(),
        },
        _ => entry.shown.clone(),
    };
    let _ = writeln!(text, "\nvalue: **{}**", escape(&shown));
    if let Origin::Given { place, .. } = &entry.origin
        && (place == "default" || place.starts_with("part "))
    {
        let _ = writeln!(text, "\nfrom: {}", escape(place));
    }
}

/// Limits that this figure, or one worked out directly from it, is held against; then, where one is nearer, the
/// tightest of those that hang on it by way of other figures.
fn margins(compiled: &Compiled, path: &str, text: &mut String) {
    let ledger = &compiled.solution.ledger;
    let rests = |figure: &str| match ledger.get(figure).map(|e| &e.origin) {
        Some(Origin::Computed { inputs, .. }) => inputs.iter().any(|i| i.path == path),
        _ => false,
    };
    let margins = compiled.report.margins();
    let own = margins.iter().filter(|(_, _, m)| m.path.as_deref().is_some_and(|p| p == path || rests(p)));
    let mut told = Vec::new();
    for (rule, _, measure) in own.take(MOST) {
        let _ = writeln!(text, "\n{}", limit(rule, measure));
        told.push(*measure);
    }
    tightest(compiled, &[path], &told, text);
}

fn limit(rule: &Rule, measure: &Measure) -> String {
    let sense = if measure.sense == Sense::AtMost { "at most" } else { "at least" };
    let left = percent(measure.margin);
    let [what, value, limit] = [&measure.what, &measure.value, &measure.limit].map(|words| escape(words));
    format!("{what}: {value}, {sense} {limit}: **{left} left** (`{}`)", rule.name)
}

/// The limit with the least left of all that hang on one of these figures, by the ledger; nothing where it is among
/// those told already.
fn tightest(compiled: &Compiled, from: &[&str], told: &[&Measure], text: &mut String) {
    let reached = compiled.solution.ledger.reached(from);
    let margins = compiled.report.margins();
    let nearest = margins.iter().find(|(_, _, m)| m.path.as_deref().is_some_and(|p| reached.contains(p)));
    let Some((rule, subject, measure)) = nearest.filter(|(_, _, m)| !told.contains(m)) else { return };
    let of =
        if subject.is_empty() || measure.what.contains(subject) { String::new() } else { format!(" of {subject}") };
    let _ = writeln!(text, "\nnearest limit that hangs on it{}: {}", escape(&of), limit(rule, measure));
}

#[cfg(test)]
mod tests {
    use super::code;

    #[test]
    fn backticks_stay_inside_the_code() {
        for (text, expected) in
            [("350 mA", "`350 mA`"), ("\"a ` ![x](y)\"", "`` \"a ` ![x](y)\" ``"), ("```", "```` ``` ````"), ("", "``")]
        {
            assert_eq!(code(text), expected);
        }
    }
}
