//! The region and the mains that the spec states: one of the two is a slip where they do not go together.

use crate::diag::Signal;
use crate::quantity::{Hertz, Volts};
use crate::rules::rule::{Case, Finding, Judgement, Rule, each, unless};
use crate::schema::words::{Region, Word};

use super::mains;

/// How far a nominal voltage may lie from the region's: the whole of what its network may do (IEC 60038: ± 10 %).
const VOLTAGE: f64 = 0.1;
/// How far a nominal frequency may lie from the region's (our margin: it tells 50 Hz from 60 Hz).
const FREQUENCY: Hertz = Hertz::si(1.0);

pub(super) static REGION: Rule = Rule {
    name: "mains/region",
    signal: Signal::Caution,
    waivable: true,
    title: "the mains stated are not those of the region",
    source: "IEC 60038, table 1: 230 V at 50 Hz; 120 V at 60 Hz (from memory)",
    why: "colours, tables, plug, label and paper follow the region; with another socket's mains some of them are wrong",
    fix: "state the region's voltage and frequency, or the region whose socket feeds the lamp",
    check: |case| each(&["voltage", "frequency"], |what| (*what).to_owned(), |what| judge(case, what)),
};

fn judge(case: &Case<'_>, what: &str) -> Judgement {
    let mains = mains(case)?;
    let region = &case.lamp.identity.region;
    let (volts, hertz) = match region.get()? {
        Region::Eu | Region::Uk => (Volts::si(230.0), Hertz::si(50.0)),
        Region::Us => (Volts::si(120.0), Hertz::si(60.0)),
    };
    let (wrong, said, usual, span) = if what == "voltage" {
        let stated = mains.voltage.nominal()?;
        ((stated - volts).abs() > volts * VOLTAGE, stated.to_string(), volts.to_string(), mains.voltage.span)
    } else {
        let stated = mains.frequency.nominal()?;
        ((stated - hertz).abs() > FREQUENCY, stated.to_string(), hertz.to_string(), mains.frequency.span)
    };
    let word = region.get()?.word();
    unless(wrong, || {
        Finding::new(format!("mains of {said} in region `{word}`, where they are {usual}"), span, "the mains")
            .also(region.span, "the region")
            .fix(format!("write {usual}, or the region whose socket feeds the lamp"))
    })
}
