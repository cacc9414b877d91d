//! The region against the mains, cord and plug that the spec states: where they do not go together, one is a slip.

use crate::diag::Signal;
use crate::quantity::{Hertz, Volts};
use crate::rules::rule::{Case, Finding, Judgement, Rule, Skip, each, unless, wished};
use crate::schema::words::{CordBuild, Plug, Region, Word};
use crate::solve::line::terms;

use super::mains;

/// How far a nominal voltage may lie from the region's: the whole of what its network may do (IEC 60038: ± 10 %).
const VOLTAGE: f64 = 0.1;
/// How far a nominal frequency may lie from the region's (our margin: it tells 50 Hz from 60 Hz).
const FREQUENCY: Hertz = Hertz::si(1.0);

pub(super) static REGION: Rule = Rule {
    name: "mains/region",
    signal: Signal::Caution,
    waivable: true,
    title: "mains, cord or plug are not those of the region",
    source: "IEC 60038, table 1: 230 V at 50 Hz; 120 V at 60 Hz; cords EN 50525, NEC table 400.4; plugs IEC TR 60083 (all from memory)",
    why: "sockets, colours, tables, label and paper follow the region; with another's mains or cord some of them are wrong",
    fix: "state the region's voltage, frequency, cord and plug, or the region whose socket feeds the lamp",
    check: |case| {
        each(
            &["voltage", "frequency", "cord", "plug"],
            |what| (*what).to_owned(),
            |what| match *what {
                "cord" => cord(case),
                "plug" => plug(case),
                _ => network(case, what),
            },
        )
    },
};

/// Whether a cord's build is a harmonised one, for Europe, or one of the list for North America.
const fn american(build: CordBuild) -> bool {
    use CordBuild as B;
    match build {
        B::LampFlat | B::LampFlatHeavy | B::LightJacketed | B::Jacketed => true,
        B::LightRound | B::FlatTwin | B::Round | B::FlatOrdinary | B::Rubber => false,
    }
}

fn cord(case: &Case<'_>) -> Judgement {
    let cord = mains(case)?.cord.as_ref().ok_or(Skip::NotApplicable)?;
    let region = &case.lamp.identity.region;
    let (build, home) = (cord.build.get()?, region.get()?);
    let (people, fix) = if home == Region::Us {
        ("North America", "write a cord of its list, such as `light-jacketed` with `core-area 18 AWG`")
    } else {
        ("Europe", "write a harmonised cord, such as `flat-twin` or `round`")
    };
    unless(american(build) != (home == Region::Us), || {
        let message = format!("a cord of build `{}`, {}, is not of {people}'s list", build.word(), terms::build(build));
        Finding::new(message, cord.build.span, "its build").also(region.span, "the region").fix(fix)
    })
}

fn plug(case: &Case<'_>) -> Judgement {
    let given = &mains(case)?.cord.as_ref().ok_or(Skip::NotApplicable)?.plug;
    let region = &case.lamp.identity.region;
    let (plug, home) = (*wished(given)?, region.get()?);
    use Plug as P;
    let fits = match plug {
        P::En50075 | P::Cee716 | P::Cee74 | P::Cee77 | P::Cee717 => Region::Eu,
        P::Bs1363 => Region::Uk,
        P::Nema115 | P::Nema115P | P::Nema515 => Region::Us,
    };
    unless(fits != home, || {
        let message = format!("plug `{}` does not go into the sockets of region `{}`", plug.word(), home.word());
        let one = match home {
            Region::Eu => "`cee-7-7` with earth or `en-50075` without",
            Region::Uk => "`bs-1363` with its fuse",
            Region::Us => "`nema-5-15` with earth or `nema-1-15p` without",
        };
        Finding::new(message, given.span, "this plug").also(region.span, "the region").fix(format!("write {one}"))
    })
}

/// Voltage or frequency against what the region's sockets give.
fn network(case: &Case<'_>, what: &str) -> Judgement {
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
