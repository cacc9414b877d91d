//! Mains and extra-low voltage: isolation of the supply, its voltage, the distances, and what shares a board.

use crate::diag::Signal;
use crate::physics::conductors::touch::{TOUCHABLE, TOUCHABLE_DAMP};
use crate::quantity::Metres;
use crate::rules::rule::{Case, Finding, Judgement, Measure, Rule, Skip, each, once, unless};
use crate::schema::words::{Insulation, Place, Word};

use super::{line, mains};

pub(super) static SUPPLY_NOT_ISOLATED: Rule = Rule {
    name: "mains/supply-not-isolated",
    signal: Signal::Danger,
    waivable: false,
    title: "the low-voltage side is not isolated from mains as if by two layers",
    source: "IEC 61140 and IEC 61347-2-13: double or reinforced insulation makes extra-low voltage touchable",
    why: "emitter, sink and driver are handled as harmless; behind a supply that does not isolate they are live",
    fix: "buy a supply whose data sheet states double or reinforced isolation between input and output",
    check: |case| {
        once(|| {
            if case.lamp.runs_on_battery() {
                return Err(Skip::NotApplicable);
            }
            let isolation = &case.lamp.supply.isolation;
            let kind = isolation.get()?;
            unless(matches!(kind, Insulation::None | Insulation::Basic), || {
                let message = format!("the supply's isolation is `{}`, so its output counts as live", kind.word());
                Finding::new(message, isolation.span, "isolation")
                    .fix("use a supply whose sheet states reinforced isolation, and write `isolation reinforced`")
            })
        })
    },
};

pub(super) static NOT_EXTRA_LOW: Rule = Rule {
    name: "mains/not-extra-low",
    signal: Signal::Danger,
    waivable: false,
    title: "the supply's voltage without load is too high to be touched",
    source: "IEC 60598-1, 8.2.3: 60 V direct, 30 V in damp places",
    why: "strings and joints on the low-voltage side are bare; it is the voltage without load that a hand meets",
    fix: "choose a supply with a lower voltage without load, and shorter strings",
    check: |case| once(|| not_extra_low(case)),
};

fn not_extra_low(case: &Case<'_>) -> Judgement {
    let lamp = case.lamp;
    let open = &lamp.supply.open_circuit;
    let damp = lamp.identity.place.get()? != Place::IndoorDry;
    let limit = if damp { TOUCHABLE_DAMP } else { TOUCHABLE };
    let highest = open.high()?;
    let measure = Measure::at_most("supply voltage without load", Some(open.path.clone()), highest, limit);
    measure.judge(|m| {
        let where_ = if damp { "in a damp place" } else { "in a dry room" };
        let message =
            format!("the supply gives up to {} without load; {where_} at most {limit} may be touched", m.value);
        Finding::new(message, open.span, "without load")
            .fix(format!("choose a supply with at most {limit} without load"))
    })
}

pub(super) static DISTANCE: Rule = Rule {
    name: "mains/distance",
    signal: Signal::Danger,
    waivable: false,
    title: "mains too close to what is touched or extra-low",
    source: "IEC 60598-1 table 11.1 and IEC 60664-1, the larger of both; rows to 150 V and clearances from memory",
    why: "dust and damp carry current along surfaces; too short a way ends on the part that a hand touches",
    fix: "move the parts apart, or put a barrier between them and measure round it",
    check: |case| each(&["creepage", "clearance"], |s| (*s).to_owned(), |what| distance(case, what)),
};

fn distance(case: &Case<'_>, what: &str) -> Judgement {
    let mains = mains(case)?;
    let creepage = what == "creepage";
    let given = if creepage { &mains.creepage } else { &mains.clearance };
    let voltage = mains.voltage.high()?;
    let Some(apart) = line(case)?.apart.as_ref()? else {
        return unless(true, || {
            Finding::new(
                format!("mains of {voltage} is above 250 V, where the tables of distances end"),
                mains.voltage.span,
                "here",
            )
            .fix("write the voltage of the socket; a lamp for more than 250 V needs a specialist")
        });
    };
    let need: Metres = if creepage { apart.reinforced.creepage } else { apart.reinforced.clearance };
    Measure::at_least(what, Some(given.path.clone()), given.low()?, need).judge(|m| {
        let message = format!("the {what} is {}; reinforced insulation at {voltage} needs {need}", m.value);
        Finding::new(message, given.span, format!("least {what}"))
            .also(mains.voltage.span, "voltage that asks for it")
            .fix(format!("lay mains and extra-low voltage out {} apart, with 1 mm for assembly in it", apart.layout))
    })
}

pub(super) static SHARED_BOARD: Rule = Rule {
    name: "mains/shared-board",
    signal: Signal::Danger,
    waivable: false,
    title: "mains on the same board as extra-low voltage",
    source: "our margin: rows 2.54 mm apart cannot keep the 5 mm of reinforced insulation",
    why: "a perforated board has copper between the rows; a whisker, flux or dust joins mains to the driver",
    fix: "keep mains in the bought supply and its terminals, off the board",
    check: |case| {
        once(|| {
            let mains = mains(case)?;
            unless(mains.shared_board.get()?, || {
                let apart = line(case).ok().and_then(|l| l.apart.as_ref().ok()?.as_ref());
                let need = apart.map_or_else(String::new, |a| format!("; they must be {} apart", a.layout));
                Finding::new(
                    format!("mains and extra-low voltage share a board{need}"),
                    mains.shared_board.span,
                    "shared",
                )
                .fix("give mains its own closed supply and terminals, and write `shared-board no`")
            })
        })
    },
};
