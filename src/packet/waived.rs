//! What was waived, on the sheets it touches: a panel at the head of each, which no template can drop.

use super::bench::Bench;
use super::templates::escape;

/// Areas of rules that a sheet's work depends on.
fn areas(sheet: &str) -> &'static [&'static str] {
    match sheet {
        "wiring" | "diagram" | "lid" | "handover" => &["mains", "battery"],
        "unit" => &["mains", "battery", "supply", "drive", "heat"],
        "dead-tests" => &["mains", "battery", "supply"],
        "first-power" => &["mains", "battery", "supply", "drive", "pins"],
        "values" | "drive" => &["drive", "supply"],
        "pins" => &["pins"],
        "cut" => &["make"],
        "heat" | "soak" => &["heat"],
        "light" | "colour" => &["light"],
        "repair" => &["mains", "battery"],
        _ => &[],
    }
}

/// The panel, or nothing.
pub(super) fn panel(bench: &Bench<'_>, sheet: &str) -> String {
    let mut out = String::new();
    for raised in bench.report.findings() {
        let area = raised.rule.name.split('/').next().unwrap_or("");
        let Some(waiver) = raised.waiver.filter(|_| areas(sheet).contains(&area)) else { continue };
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
