//! JSON Schema (2020-12) of what the verbs print as data: `check`, `why` and `compare`.

use serde_json::{Value, json};

use crate::compare::effects::Test;
use crate::compare::findings::Move;
use crate::compare::papers::Fate;
use crate::compare::work::Task;
use crate::compare::{Reach, variants};
use crate::diag::Signal;

fn text() -> Value {
    json!({ "type": "string" })
}

fn maybe(kind: &str) -> Value {
    json!({ "type": [kind, "null"] })
}

fn list(items: &Value) -> Value {
    json!({ "type": "array", "items": items })
}

/// An object of exactly these properties; those named in `optional` may be absent.
fn object(properties: Value, optional: &[&str]) -> Value {
    let names: Vec<String> = properties.as_object().map(|map| map.keys().cloned().collect()).unwrap_or_default();
    let required: Vec<String> = names.into_iter().filter(|n| !optional.contains(&n.as_str())).collect();
    json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties })
}

fn digest() -> Value {
    json!({ "type": "string", "pattern": "^[0-9a-f]{12}$" })
}

const SIGNALS: [Signal; 5] = [Signal::Notice, Signal::Caution, Signal::Warning, Signal::Danger, Signal::Error];

fn document(title: &str, mut shape: Value) -> Value {
    if let Some(fields) = shape.as_object_mut() {
        fields.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
        fields.insert("title".into(), title.into());
    }
    shape
}

/// One message with its places.
fn message() -> Value {
    let count = json!({ "type": "integer" });
    let place = object(
        json!({ "file": text(), "line": count, "column": count, "start": count, "end": count, "text": text() }),
        &[],
    );
    object(
        json!({
            "code": text(), "signal": word(&SIGNALS), "message": text(), "places": list(&place),
            "help": maybe("string"),
        }),
        &[],
    )
}

/// What `check --format json` prints of one spec.
pub(super) fn check() -> Value {
    let count = || json!({ "type": "integer" });
    let counts = object(
        json!({
            "danger": count(), "warning": count(), "caution": count(), "notice": count(), "waived": count(),
            "not_checked": count(), "passed": count(), "not_applicable": count(),
        }),
        &[],
    );
    let open = object(json!({ "rule": text(), "subject": text(), "missing": text(), "why": text() }), &[]);
    let run = object(
        json!({
            "variant": maybe("string"), "compiled": { "type": "boolean" }, "errors": list(&message()),
            "digest": digest(), "counts": counts,
            "findings": list(&message()), "not_checked": list(&open),
        }),
        &["errors", "digest", "counts", "findings", "not_checked"],
    );
    let shape = object(
        json!({ "format": { "const": "lampwright check 1" }, "spec": text(), "parts": { "type": "boolean" }, "runs": list(&run) }),
        &[],
    );
    document("lampwright check of one spec", shape)
}

/// What `why --format json` prints.
pub(super) fn why() -> Value {
    let input = object(json!({ "symbol": text(), "path": text() }), &[]);
    let origin = object(
        json!({
            "kind": { "enum": ["given", "computed", "looked"] }, "text": text(), "place": text(), "formula": text(),
            "inputs": list(&input), "source": text(), "row": text(),
        }),
        &["text", "place", "formula", "inputs", "source", "row"],
    );
    let figure = object(
        json!({
            "path": text(), "title": text(), "value": maybe("number"),
            "band": { "type": ["array", "null"], "items": { "type": "number" } }, "unit": text(), "shown": text(),
            "origin": origin,
        }),
        &[],
    );
    let place = object(json!({ "path": text(), "place": text() }), &[]);
    let shape = object(
        json!({ "format": { "const": "lampwright why 1" }, "figures": list(&figure), "places": list(&place) }),
        &[],
    );
    document("lampwright why", shape)
}

/// One of these words, as the program writes them.
fn word<T: serde::Serialize>(words: &[T]) -> Value {
    json!({ "enum": words })
}

fn change() -> Value {
    object(
        json!({
            "path": text(), "title": text(), "old": maybe("string"), "new": maybe("string"),
            "given": { "type": "boolean" },
        }),
        &[],
    )
}

/// Causes: each a given figure that changed, and the worked-out figures between it and the thing.
fn because() -> Value {
    list(&object(json!({ "change": change(), "chain": list(&change()) }), &[]))
}

/// What `compare --format json` prints.
pub(super) fn compare() -> Value {
    let number = || json!({ "type": "number" });
    let yes_no = || json!({ "type": "boolean" });
    let pair = || json!({ "type": "array", "items": text() });
    let moves = [Move::New, Move::Worse, Move::NoLongerChecked, Move::Reworded, Move::Waived, Move::Better, Move::Gone];
    let tests = [Test::Dead, Test::LowVoltage, Test::Mains, Test::BootAndOff, Test::Soak, Test::Light];
    let fates = {
        use variants::Fate as F;
        [F::Changed, F::AsTheLamp, F::New, F::Gone, F::Broken]
    };
    let side = || {
        object(
            json!({
                "lamp": text(), "variant": maybe("string"), "revision": maybe("string"), "digest": digest(),
                "verdict": text(),
            }),
            &[],
        )
    };
    let finding = object(
        json!({
            "moved": word(&moves), "rule": text(), "signal": word(&SIGNALS), "subject": text(), "message": text(),
            "because": because(),
        }),
        &[],
    );
    let margin = object(
        json!({
            "rule": text(), "subject": text(), "what": text(), "old": pair(), "new": pair(), "old_margin": number(),
            "new_margin": number(), "because": because(),
        }),
        &[],
    );
    let work = object(
        json!({
            "task": word(&[Task::Buy, Task::Make, Task::Wire, Task::Set]), "what": text(), "old": maybe("string"),
            "new": maybe("string"), "follows": yes_no(), "because": because(),
        }),
        &[],
    );
    let test = object(json!({ "test": word(&tests), "units": text(), "because": because() }), &[]);
    let sheet = object(
        json!({
            "name": text(), "title": text(), "fate": word(&[Fate::Stale, Fate::New, Fate::Gone]),
            "lines": { "type": "integer" }, "drawing": yes_no(), "because": because(),
        }),
        &[],
    );
    let rename = object(json!({ "kind": text(), "old": text(), "new": text() }), &[]);
    let variant = object(
        json!({
            "name": text(), "fate": word(&fates), "old": maybe("string"), "new": maybe("string"), "verdict": text(),
            "worse": list(&text()), "again": yes_no(),
        }),
        &[],
    );
    let comparison = object(
        json!({
            "old": side(), "new": side(), "reach": word(&[Reach::None, Reach::Words, Reach::Lamp]),
            "findings": list(&finding), "margins": list(&margin), "work": list(&work), "keep": list(&text()),
            "tests": list(&test), "sheets": list(&sheet), "sheets_kept": list(&text()), "words": list(&change()),
            "given": list(&change()), "renames": list(&rename), "variants": list(&variant),
        }),
        &[],
    );
    let shape = object(
        json!({ "format": { "const": "lampwright compare 1" }, "verdict": text(), "comparison": comparison }),
        &[],
    );
    document("lampwright compare", shape)
}
