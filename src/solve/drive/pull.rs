//! The resistor that holds a channel's control line while the controller starts, and the level the line then has.
//! Turns leakage, pulls inside controller and module, and the strapping level into the range it may have.

use crate::lamp::given::Found;
use crate::physics::electrical::parts::resistor::{least_pull_down_for_strap_high, most_pull_down_for_strap_low};
use crate::quantity::{Amperes, Ohms, Volts};
use crate::schema::words::{OpenInput, Pull, Reference, Strap, Topology};
use crate::spread::Spread;

use super::desk::{Desk, Fitted, by, with_tolerance};
use super::outcome::absent;
use super::reference::controller;
use super::solution::{PullSolution, StrapBound};

/// Part of the least gate threshold that may be used; our margin, it also covers the fall with temperature.
const THRESHOLD_USED: f64 = 0.5;

/// What else stands on the line.
struct Line {
    supply: Volts,
    leak: Amperes,
    up: Option<Ohms>,
    down: Option<Ohms>,
    load: Option<Ohms>,
}

impl Line {
    /// Level with `pull` on the line; the supply's level where nothing holds it.
    fn level(&self, pull: Option<(Ohms, Pull)>, current: Amperes) -> Volts {
        let one = |r: Option<Ohms>| r.filter(|r| r.value() > 0.0).map_or(0.0, |r| 1.0 / r.value());
        let of = |to: Pull| pull.filter(|(_, p)| *p == to).map(|(r, _)| r);
        let up = one(self.up) + one(of(Pull::Up));
        let down = one(self.down) + one(self.load) + one(of(Pull::Down));
        if up + down <= 0.0 {
            return self.supply;
        }
        Volts::si((current.value() + self.supply.value() * up) / (up + down)).min(self.supply).max(Volts::ZERO)
    }

    /// Largest pull-down that holds the line at `off`; infinite where the rest already holds it.
    fn most(&self, off: Volts) -> Ohms {
        let up = self.up.map_or(0.0, |r| (self.supply - off).value() / r.value());
        let down = [self.down, self.load].into_iter().flatten().map(|r| 1.0 / r.value()).sum::<f64>();
        let conductance = (self.leak.value() + up) / off.value() - down;
        if conductance > 0.0 { Ohms::si(1.0 / conductance) } else { Ohms::si(f64::INFINITY) }
    }
}

/// Works out the pull of a channel; `None` where no pin steers it.
pub(super) fn solve(desk: &mut Desk<'_>) -> Option<Found<PullSolution>> {
    desk.channel.pin.is_known().then(|| pull(desk))
}

fn pull(desk: &mut Desk<'_>) -> Found<PullSolution> {
    let line = line(desk)?;
    let off_below = off_below(desk);
    let most = off_below.clone().map(|off| line.most(off));
    enter_bounds(desk, &off_below, &most)?;
    let strap = strap(desk)?;
    let to = desk.channel.pull_to.get()?;
    // A linear sink's divider holds its own reference down, so it needs no resistor of its own.
    let wanted = to != Pull::None && !(desk.channel.pull.value.is_none() && line.load.is_some());
    let fitted = if wanted { Some(choose(desk, &most, strap)?) } else { None };
    let value = fitted.map_or(Ohms::ZERO, |fitted| fitted.value.nominal);
    let held = wanted.then_some((value, to));
    let leak = if to == Pull::Up { Amperes::ZERO } else { line.leak };
    let level = line.level(held, leak);
    // Strapping levels are shares of the supply, so the level is taken at the nominal one.
    let passive = controller(desk)?.logic.nominal()? * (line.level(held, Amperes::ZERO) / line.supply);
    enter_level(desk, &line, level)?;
    let controller = controller(desk)?;
    let (logic, pull_up) = (controller.logic.path.as_str(), controller.pull_up.path.as_str());
    let reads = by("V = (VDD/R_up)/(1/R_up + 1/R + 1/R_load) at nominal VDD, no leakage", "Kirchhoff's current law");
    let inputs = [("R", ".pull"), ("VDD", logic), ("R_up", if line.up.is_some() { pull_up } else { "" })];
    desk.enter("boot-read", "level that the pin reads while the controller starts", passive, reads, &inputs);
    if let Some(fitted) = fitted {
        row(desk, &fitted);
    }
    let present = wanted || line.load.is_some();
    Ok(PullSolution { value, most, strap, level: Ok(level), passive, off_below, present, pin_current: Amperes::ZERO })
}

/// Current of the pin at its high level into the resistor and the filter or divider behind it, once they are chosen.
pub(super) fn pin_current(desk: &mut Desk<'_>, solved: PullSolution) -> Found<PullSolution> {
    let pull = Some(solved.value).filter(|r| r.value() > 0.0);
    let controller = controller(desk)?;
    let (logic, pin) = (controller.logic.high()?, controller.pin_resistance.low()?);
    let (logic_path, pin_path) = (&controller.logic.path, &controller.pin_resistance.path);
    let filtered = desk.engine.driver.reference.value == Some(Reference::FilteredPwm);
    let filter = || desk.value("divider-upper").or_else(|| desk.value("filter-resistor")).map(Ohms::si);
    // An empty capacitor holds its end of the filter's resistor at 0 V; without one the whole divider hangs on the pin.
    let series = if filtered { filter() } else { divider(desk) };
    let (text, hangs) = match (filtered, series) {
        (true, _) => (
            "I = VDD/(R_pin + 1/(1/R_pull + 1/R_filter)), the capacitor empty",
            &[("R_filter", ".filter-resistor"), ("R_filter", ".divider-upper")][..],
        ),
        (false, Some(_)) => (
            "I = VDD/(R_pin + 1/(1/R_pull + 1/(R_upper + R_lower)))",
            &[("R_upper", ".divider-upper"), ("R_lower", ".divider-lower")][..],
        ),
        (false, None) => ("I = VDD/(R_pin + R_pull)", &[][..]),
    };
    let conductance = pull.map_or(0.0, |r| 1.0 / r.value()) + series.map_or(0.0, |r| 1.0 / r.value());
    let current = if conductance > 0.0 { logic / (Ohms::si(1.0 / conductance) + pin) } else { Amperes::ZERO };
    let ends = [("VDD", logic_path.as_str()), ("R_pull", ".pull"), ("R_pin", pin_path.as_str())];
    let inputs = [&ends[..2], hangs, &ends[2..]].concat();
    let ohm = by(text, "Ohm's law");
    let pin_current = desk.enter("pin-current", "current of the pin at its high level", current, ohm, &inputs);
    Ok(PullSolution { pin_current, ..solved })
}

fn line(desk: &Desk<'_>) -> Found<Line> {
    let controller = controller(desk)?;
    let pin = desk.engine.pin(desk.channel).ok_or_else(|| desk.channel.pin.missing())?;
    let inner = controller.pull_up.nominal()?;
    let inside = pin.pull.get()?;
    let module = desk.engine.driver.module.as_ref();
    let module = module.filter(|_| desk.engine.driver.topology.value == Some(Topology::BuckModule));
    let open = match module {
        Some(m) if m.open.get()? == OpenInput::On => m.open_current.high()?,
        _ => Amperes::ZERO,
    };
    Ok(Line {
        supply: controller.logic.high()?,
        leak: controller.pin_leak.high()? + open,
        up: (inside == Pull::Up).then_some(inner),
        down: (inside == Pull::Down).then_some(inner),
        load: divider(desk),
    })
}

/// The divider of a linear sink, which is fixed before the pull.
fn divider(desk: &Desk<'_>) -> Option<Ohms> {
    if desk.engine.driver.topology.value != Some(Topology::LinearSink) {
        return None;
    }
    Some(Ohms::si(desk.value("divider-upper")? + desk.value("divider-lower")?))
}

/// Level below which the channel is surely dark.
fn off_below(desk: &Desk<'_>) -> Found<Volts> {
    let driver = &desk.engine.driver;
    match driver.topology.get()? {
        Topology::BuckModule => {
            let absent = || absent("driver.module.dim-low", driver.span);
            driver.module.as_ref().ok_or_else(absent)?.dim_low.low()
        }
        Topology::BallastResistor => {
            let absent = || absent("driver.transistor.threshold", driver.span);
            Ok(driver.transistor.as_ref().ok_or_else(absent)?.threshold.low()? * THRESHOLD_USED)
        }
        // A reference has no threshold: dark enough is what the author wishes as the lowest level.
        Topology::LinearSink | Topology::HystereticSink => {
            Ok(controller(desk)?.logic.low()? * desk.engine.aim.lowest.get()?)
        }
    }
}

fn strap(desk: &Desk<'_>) -> Found<Option<StrapBound>> {
    let controller = controller(desk)?;
    let pin = desk.engine.pin(desk.channel).ok_or_else(|| desk.channel.pin.missing())?;
    let pulled_up = pin.pull.get()? == Pull::Up;
    let inner = controller.pull_up.nominal()?;
    Ok(match pin.strap.get()? {
        Strap::None => None,
        Strap::High if pulled_up => {
            Some(StrapBound::AtLeast(least_pull_down_for_strap_high(inner, controller.strap_high.get()?)))
        }
        Strap::High => Some(StrapBound::AtLeast(Ohms::si(f64::INFINITY))),
        Strap::Low if pulled_up => {
            Some(StrapBound::AtMost(most_pull_down_for_strap_low(inner, controller.strap_low.get()?)))
        }
        Strap::Low => Some(StrapBound::AtMost(Ohms::si(f64::INFINITY))),
    })
}

/// The author's resistor, else 10 kΩ or less where the bounds ask for less.
fn choose(desk: &mut Desk<'_>, most: &Found<Ohms>, strap: Option<StrapBound>) -> Found<Fitted<Ohms>> {
    let (series, tolerance) = desk.resistors()?;
    let pinned = desk.channel.pull.clone();
    let bound = match (most, strap) {
        (Ok(most), Some(StrapBound::AtMost(strap))) => most.min(strap),
        (Ok(most), _) => *most,
        (Err(_), Some(StrapBound::AtMost(strap))) => strap,
        (Err(_), _) => Ohms::si(f64::INFINITY),
    };
    let usual = Ohms::si(10e3).min(bound * (1.0 - 2.0 * tolerance));
    let spread = match pinned.value {
        Some(given) => with_tolerance(given, tolerance),
        None => Spread::within(series.at_most(usual).ok_or_else(|| pinned.missing())?, tolerance),
    };
    let from = by(
        "10 kΩ, or the next of the series below what the line allows; the author's where pinned",
        "common practice, no source",
    );
    let inputs = [("R", pinned.path.as_str()), ("R_most", ".pull-most")];
    let value = desk.enter_band("pull", "resistor that holds the control line at start", spread, from, &inputs);
    Ok(Fitted { value, pinned: pinned.is_known(), error: 0.0 })
}

fn enter_bounds(desk: &mut Desk<'_>, off: &Found<Volts>, most: &Found<Ohms>) -> Found<()> {
    let controller = controller(desk)?;
    let (logic, leak, pull_up) = (&controller.logic.path, &controller.pin_leak.path, &controller.pull_up.path);
    let said = by(
        "the module's surely-off level; half the least gate threshold; or the wished lowest level of a reference",
        "our margin",
    );
    if let Ok(off) = off {
        desk.enter(
            "off-below",
            "level of the control line below which the channel is dark",
            *off,
            said,
            &[("VDD", logic)],
        );
    }
    if let Ok(most) = most {
        let held = by("1/R = (I_leak + I_open + (VDD − V)/R_pu)/V − 1/R_load", "Kirchhoff's current law");
        desk.enter(
            "pull-most",
            "largest resistor that still holds the line off",
            *most,
            held,
            &[("V", ".off-below"), ("I_leak", leak), ("VDD", logic), ("R_pu", pull_up)],
        );
    }
    Ok(())
}

fn enter_level(desk: &mut Desk<'_>, line: &Line, level: Volts) -> Found<()> {
    let controller = controller(desk)?;
    let (logic, leak, pull_up) = (&controller.logic.path, &controller.pin_leak.path, &controller.pull_up.path);
    let node =
        by("V = (I + VDD/R_up)/(1/R_up + 1/R + 1/R_load), what is not there left out", "Kirchhoff's current law");
    let (pull_to, open) =
        (&desk.channel.pull_to.path, desk.engine.driver.module.as_ref().map(|m| m.open_current.path.as_str()));
    desk.enter(
        "boot-level",
        "level of the control line while the controller starts, undriven",
        level,
        node,
        &[
            ("R", ".pull"),
            ("R goes", pull_to),
            ("I", leak),
            ("I, module", open.unwrap_or_default()),
            ("VDD", logic),
            ("R_up", if line.up.is_some() { pull_up.as_str() } else { "" }),
        ],
    );
    Ok(())
}

fn row(desk: &mut Desk<'_>, fitted: &Fitted<Ohms>) {
    let to = if desk.channel.pull_to.value == Some(Pull::Up) { "to the logic supply" } else { "to 0 V" };
    let mut row = desk.row("pull", &format!("pull: holds the control line, {to}"), fitted);
    row.exact = Some(desk.path("pull-most")).filter(|path| desk.ledger.get(path).is_some());
    row.result = format!("line at {} while starting", desk.ledger.shown(&desk.path("boot-level")).unwrap_or("–"));
    desk.components.push(row);
}
