//! A comparison as a printable sheet with tick boxes, one for each piece of work and each unit built.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::Compiled;
use crate::figures::percent;
use crate::packet::compose::{ComposeError, squeeze};
use crate::packet::sheet::{Packet, Paper, Sheet, TextSize};
use crate::packet::templates::{Overrides, Templates};
use crate::packet::terms::Words;
use crate::schema::words::Region;

use super::chain::{Cause, all_told};
use super::work::Task;
use super::{Comparison, overlay, text};

const TEMPLATE: (&str, &str) = ("revision.md", include_str!("../../templates/revision.md"));
/// Units that get a row of their own.
const MOST_UNITS: u32 = 40;
/// Margins that are shown, the nearest to their limits first.
const MOST_MARGINS: usize = 8;

/// A packet of one sheet, `revision`.
///
/// # Errors
/// A template that is wrong.
pub fn packet(
    found: &Comparison,
    old: &Compiled,
    new: &Compiled,
    overrides: &Overrides,
    paper: Paper,
) -> Result<Packet, ComposeError> {
    let own: Overrides =
        overrides.iter().filter(|(n, _)| n.as_str() == TEMPLATE.0).map(|(n, t)| (n.clone(), t.clone())).collect();
    let words = Words { region: new.lamp.identity.region.value.unwrap_or(Region::Eu), plug_turns: false, inlet: false };
    let templates = Templates::new(&[TEMPLATE], &own, &new.solution.ledger, words).map_err(ComposeError::Template)?;
    let cut = found.work.iter().any(|w| w.task == Task::Make && w.what == "diffuser");
    let drawing = if cut { overlay::diffuser(old, new) } else { None };
    let mut data = data(found, old);
    if let Some(fields) = data.as_object_mut() {
        fields.insert("overlay".into(), json!(drawing.is_some()));
    }
    let markdown = templates.render(TEMPLATE.0, &data).map_err(ComposeError::Template)?;
    Ok(Packet {
        data_files: Vec::new(),
        identity: new.identity().clone(),
        paper,
        sheets: vec![Sheet {
            name: "revision".into(),
            title: "Revision".into(),
            size: TextSize::Body,
            landscape: false,
            markdown: squeeze(&markdown),
        }],
        drawings: drawing.into_iter().map(|d| (d.name.clone(), d)).collect(),
        tables: Vec::new(),
        machine_drawings: BTreeMap::new(),
        programs: BTreeMap::new(),
        data: json!(found),
    })
}

fn data(found: &Comparison, old: &Compiled) -> Value {
    let causes = |list: &[Cause]| all_told(list).join("; ");
    let work = |task: Task| -> Vec<Value> {
        let own = found.work.iter().filter(|w| w.task == task);
        own.map(|w| json!({ "what": w.what, "old": w.old, "new": w.new, "because": causes(&w.because) })).collect()
    };
    let findings: Vec<Value> = found
        .findings
        .iter()
        .filter(|f| f.moved.is_worse())
        .map(|f| json!({ "signal": f.signal.word(), "rule": f.rule, "message": f.message, "because": causes(&f.because) }))
        .collect();
    let margins: Vec<Value> = found
        .margins
        .iter()
        .take(MOST_MARGINS)
        .map(|m| {
            json!({
                "what": m.what, "subject": m.subject, "old": m.old.0, "new": m.new.0, "limit": m.new.1,
                "before": percent(m.old_margin), "now": percent(m.new_margin),
            })
        })
        .collect();
    let tests: Vec<Value> =
        found.tests.iter().map(|t| json!({ "test": t.test.word(), "because": causes(&t.because) })).collect();
    let sheets: Vec<Value> =
        found.sheets.iter().map(|s| json!({ "title": s.title, "name": s.name, "fate": s.fate })).collect();
    let built = old.lamp.identity.quantity.value.unwrap_or(1).max(1);
    // As words: a template counts nothing.
    let words = |count: u64| (count > 0).then(|| count.to_string());
    json!({
        "old": found.old, "new": found.new, "verdict": text::verdict(found),
        "buy": work(Task::Buy), "make": work(Task::Make), "wire": work(Task::Wire), "set": work(Task::Set),
        "findings": findings, "margins": margins, "tests": tests, "sheets": sheets, "keep": found.keep,
        "variants": found.variants.iter().map(|v| json!({ "name": v.name, "told": v.told(), "worse": v.worse })).collect::<Vec<_>>(),
        "sheets_kept": found.sheets_kept, "renames": found.renames,
        "words": found.words.iter().map(|c| json!({ "path": c.path, "told": c.told() })).collect::<Vec<_>>(),
        "units": (1..=built.min(MOST_UNITS)).collect::<Vec<_>>(),
        "more_units": words(built.saturating_sub(MOST_UNITS).into()),
        "more_margins": words(found.margins.len().saturating_sub(MOST_MARGINS) as u64),
    })
}
