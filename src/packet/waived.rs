//! What was waived, on the sheets it touches: a panel at the head of each, which no template can drop.

use serde_json::{Value, json};

use super::bench::Bench;
use super::templates::escape;
use crate::language::document::Waiver;

/// Rules about what stands where.
pub(super) const OF_PLACE: [&str; 9] = [
    "make/does-not-fit",
    "make/zone-gap",
    "make/cord-hole-off-wall",
    "make/cord-room",
    "make/no-way-in",
    "make/no-service-access",
    "make/antenna-caged",
    "make/tips-over",
    "make/mass-short",
];
/// Rules about holes in body and sink.
const OF_HOLES: [&str; 2] = ["make/body-holes-meet", "make/hole-off-side"];

/// Whether a sheet's work depends on a rule.
fn touches(sheet: &str, rule: &str) -> bool {
    let areas: &[&str] = match sheet {
        "wiring" | "diagram" | "lid" | "handover" | "repair" => &["mains", "battery"],
        "unit" => &["mains", "battery", "supply", "drive", "heat"],
        "dead-tests" => &["mains", "battery", "supply"],
        "first-power" => &["mains", "battery", "supply", "drive", "pins"],
        "values" | "drive" => &["drive", "supply"],
        "pins" => &["pins"],
        "heat" | "soak" => &["heat"],
        "light" | "colour" => &["light"],
        _ => &[],
    };
    let area = rule.split('/').next().unwrap_or("");
    areas.contains(&area) || (area == "make" && sheet == made_on(rule))
}

/// The sheet by which is made what a rule of making is about; what is about nothing else is about the diffuser.
fn made_on(rule: &str) -> &'static str {
    match rule {
        _ if OF_PLACE.contains(&rule) => "section",
        _ if OF_HOLES.contains(&rule) => "drill",
        _ if rule.starts_with("make/board-") => "board",
        _ if rule.starts_with("make/print-") => "print",
        _ => "cut",
    }
}

/// Every waiver as a row of a table, those that let nothing through too.
pub(super) fn rows(bench: &Bench<'_>) -> Vec<Value> {
    let row = |(waiver, used): &(Waiver, bool)| {
        json!({
            "rule": waiver.rule.value,
            "of": waiver.subject.as_ref().map(|subject| subject.value.as_str()),
            "reason": waiver.reason,
            "by": waiver.by,
            "until": waiver.until.as_ref().map(|date| date.value.to_string()),
            "used": used,
        })
    };
    bench.report.waivers.iter().map(row).collect()
}

/// The panel, or nothing.
pub(super) fn panel(bench: &Bench<'_>, sheet: &str) -> String {
    let mut out = String::new();
    for raised in bench.report.findings() {
        let Some(waiver) = raised.waiver.filter(|_| touches(sheet, raised.rule.name)) else { continue };
        let until = waiver.until.as_ref().map_or_else(String::new, |d| format!(", until {}", d.value));
        out.push_str(&format!(
            "> **{}** Waived and not put right: {}. Reason: {}. By {}{until}. Rule `{}`.\n\n",
            raised.rule.signal.word(),
            escape(&bench.spoken(&raised.finding.message)),
            escape(waiver.reason.trim_end_matches('.')),
            escape(&waiver.by),
            raised.rule.name,
        ));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::ALL;

    #[test]
    fn every_rule_of_making_has_its_sheet() {
        for name in OF_PLACE.iter().chain(&OF_HOLES) {
            assert!(ALL.iter().any(|rule| rule.name == *name), "{name}");
        }
        let sheets = |rule: &str| {
            let kinds = crate::packet::sheets::ALL.iter().map(|kind| kind.name);
            kinds.filter(|sheet| touches(sheet, rule)).collect::<Vec<_>>()
        };
        assert_eq!(sheets("make/tips-over"), ["section"]);
        assert_eq!(sheets("make/hole-off-side"), ["drill"]);
        assert_eq!(sheets("make/print-wall"), ["print"]);
        assert_eq!(sheets("make/board-full"), ["board"]);
        assert_eq!(sheets("make/sag"), ["cut"]);
    }
}
