//! The power stage of a hysteretic sink with every tolerance, and how its parts are chosen.
//! Turns spec and drawer into `Stage`, which gives the exact cycle at any corner.

use crate::lamp::given::Found;
use crate::physics::electrical::hysteretic::{
    ChoppedTiming, DesignTarget, DiodeDrop, PeakTiming, Regime, SwitchedCycle, SwitchedSink, amplifier_controlled,
    design, peak_controlled,
};
use crate::physics::electrical::parts::resistor::{amplifier_time_constant, sense_gain};
use crate::physics::electrical::preferred::Series;
use crate::physics::electrical::string::StringModel;
use crate::quantity::{Amperes, Henries, Hertz, Ohms, Ratio, Seconds, Volts};
use crate::spread::Spread;

use super::desk::{Desk, Fitted, at, by};
use super::drift::AWAY;
use super::gain::{filter_resistor, gain, network, reference};
use super::outcome::{absent, hot_on_resistance, supply};
use super::reference::level;
use super::solution::StringVoltage;
use super::string::Lines;

/// Everything the cycle depends on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stage {
    pub(super) supply: Spread<Volts>,
    pub(super) lines: Lines,
    pub(super) inductance: Spread<Henries>,
    pub(super) winding: Ohms,
    pub(super) on_resistance: Ohms,
    pub(super) diode: Volts,
    pub(super) sense: Spread<Ohms>,
    /// Feedback over ground resistor of the amplifier, plus one.
    pub(super) gain: Spread<Ratio>,
    pub(super) level: Spread<Volts>,
    pub(super) amplifier_offset: Volts,
    /// Least gain of the amplifier without feedback; endless without one.
    pub(super) open_gain: f64,
    pub(super) output_low: Volts,
    pub(super) comparator_offset: Volts,
    pub(super) bandwidth: Option<Hertz>,
    pub(super) delay: Spread<Seconds>,
    pub(super) off_time: Spread<Seconds>,
}

/// A position, −1 to 1, within each tolerance; `trip` moves everything that sets the trip current together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    pub(super) trip: f64,
    pub(super) supply: f64,
    pub(super) string: f64,
    pub(super) inductance: f64,
    pub(super) delay: f64,
    pub(super) off_time: f64,
}

impl Corner {
    pub(super) const NOMINAL: Self =
        Self { trip: 0.0, supply: 0.0, string: 0.0, inductance: 0.0, delay: 0.0, off_time: 0.0 };

    /// Supply and string at these positions, all else nominal.
    pub(super) const fn at(supply: f64, string: f64) -> Self {
        Self { supply, string, ..Self::NOMINAL }
    }
}

/// The stage with the parts that stand on the values sheet.
pub(super) struct Built {
    pub(super) stage: Stage,
    pub(super) sense: Fitted<Ohms>,
    pub(super) network: Vec<(&'static str, &'static str, Fitted<Ohms>)>,
    pub(super) filter_resistor: Option<Fitted<Ohms>>,
    /// Entry of the pin's level.
    pub(super) level_path: String,
}

/// Whether the loop, not its delays or the supply, sets the current.
pub(super) const fn regulated(regime: Regime) -> bool {
    matches!(regime, Regime::Continuous | Regime::Discontinuous)
}

impl Stage {
    /// The gain; more of it lowers the trip current.
    pub(super) fn gain(&self, trip: f64) -> f64 {
        at(&self.gain, -trip).value()
    }

    /// What resistors for a gain make of it with the least gain without feedback.
    pub(super) fn finite(&self, gain: f64) -> f64 {
        gain / (1.0 + gain / self.open_gain)
    }

    /// `I_T = (V − Vos_c)/(A·Rs) − Vos_a/Rs`, every tolerance in the direction of `trip`.
    pub(super) fn trip(&self, trip: f64) -> Amperes {
        let (gain, sense) = (self.gain(trip), at(&self.sense, -trip));
        let reference = at(&self.level, trip) + self.comparator_offset * trip;
        reference / (sense * gain) + self.amplifier_offset * trip / sense
    }

    /// All corners of what has a spread.
    pub(super) fn corners(&self) -> Vec<Corner> {
        let ends = |exact: bool| if exact { vec![0.0] } else { vec![-1.0, 1.0] };
        let mut all = vec![Corner::NOMINAL];
        let mut spread = |exact: bool, set: fn(&mut Corner, f64)| {
            let from = std::mem::take(&mut all);
            for corner in from {
                for end in ends(exact) {
                    let mut next = corner;
                    set(&mut next, end);
                    all.push(next);
                }
            }
        };
        spread(false, |c, e| c.trip = e);
        spread(self.supply.is_exact(), |c, e| c.supply = e);
        spread(self.lines.low == self.lines.high, |c, e| c.string = e);
        spread(self.inductance.is_exact(), |c, e| c.inductance = e);
        spread(self.delay.is_exact(), |c, e| c.delay = e);
        spread(self.off_time.is_exact(), |c, e| c.off_time = e);
        all
    }

    pub(super) fn sink(&self, corner: &Corner, reference: Volts) -> SwitchedSink {
        SwitchedSink {
            supply: at(&self.supply, corner.supply),
            string: self.lines.at(corner.string),
            inductance: at(&self.inductance, corner.inductance),
            winding: self.winding,
            on_resistance: self.on_resistance,
            sense: at(&self.sense, -corner.trip),
            diode: DiodeDrop { offset: self.diode, slope: Ohms::ZERO },
            gain: self.gain(corner.trip),
            reference,
        }
    }

    /// The exact cycle at a corner; `None` where no steady one is found.
    pub(super) fn cycle(&self, corner: &Corner) -> Option<SwitchedCycle> {
        let scale = at(&self.sense, -corner.trip) * self.gain(corner.trip);
        self.run(corner, scale * self.trip(corner.trip))
    }

    /// The cycle with the level of the pin at this value, nominal gain and offsets.
    pub(super) fn cycle_at(&self, corner: &Corner, level: Volts) -> Option<SwitchedCycle> {
        self.run(corner, level)
    }

    fn run(&self, corner: &Corner, reference: Volts) -> Option<SwitchedCycle> {
        let sink = self.sink(corner, reference);
        let (delay, off_time) = (at(&self.delay, corner.delay), at(&self.off_time, corner.off_time));
        match self.bandwidth {
            None => Some(peak_controlled(&sink, &PeakTiming { delay, off_time })),
            Some(bandwidth) => {
                let amplifier = amplifier_time_constant(sink.gain, bandwidth);
                let timing = ChoppedTiming { amplifier, hysteresis: Volts::ZERO, off_delay: delay, on_delay: off_time };
                amplifier_controlled(&sink, &timing)
            }
        }
    }

    /// The same stage with a resistor in the string's place.
    pub(super) fn with_resistor(&self, resistor: &Spread<Ohms>) -> Self {
        let line = |slope| StringModel { offset: Volts::ZERO, slope };
        let (low, typical, high) = (line(resistor.low), line(resistor.nominal), line(resistor.high));
        self.with_lines(Lines { low, typical, high })
    }

    /// The same stage with other strings.
    pub(super) fn with_lines(&self, lines: Lines) -> Self {
        Self { lines, ..*self }
    }

    /// Mean current at the lowest reference that surely leaves the amplifier's bottom, worst corner; `None` where the
    /// cycles do not settle there.
    pub(super) fn floor(&self) -> Option<Amperes> {
        let corner = Corner { trip: 1.0, supply: 1.0, string: -1.0, inductance: -1.0, delay: 1.0, ..Corner::NOMINAL };
        let reference = self.output_low + self.comparator_offset + self.amplifier_offset * self.gain(1.0);
        self.run(&corner, reference).map(|c| c.mean)
    }

    /// The gain at which the nominal cycle has this mean, within a factor of two of the straight-edge recipe.
    ///
    /// Secants in `1/A`, in which the mean is nearly a straight line, kept inside a bracket.
    pub(super) fn gain_for(&self, wanted: Amperes, first: f64) -> Option<f64> {
        let miss = |inverse: f64| {
            let stage = Self { gain: Spread::exact(Ratio::si(1.0 / inverse)), ..*self };
            stage.cycle(&Corner::NOMINAL).map(|c| (c.mean - wanted).value())
        };
        let (mut low, mut high) = (0.5 / first, 2.0 / first);
        let (mut last, mut here) = ((low, miss(low)?), (high, miss(high)?));
        if last.1 > 0.0 || here.1 < 0.0 {
            return None;
        }
        for _ in 0..60 {
            let secant = here.0 - here.1 * (here.0 - last.0) / (here.1 - last.1);
            let next = if secant > low && secant < high { secant } else { 0.5 * (low + high) };
            let found = miss(next)?;
            if found.abs() <= 1e-13 * wanted.value() || high - low <= 1e-14 * high {
                return Some(1.0 / next);
            }
            if found < 0.0 {
                low = next
            } else {
                high = next
            }
            (last, here) = (here, (next, found));
        }
        Some(2.0 / (low + high))
    }
}

/// Takes the given figures, chooses the rest.
pub(super) fn build(desk: &mut Desk<'_>, string: &StringVoltage) -> Found<Built> {
    let (level, level_path) = level(desk, true)?;
    let wanted = desk.channel.current.nominal()?;
    let aim = super::sense::wanted(desk)?;
    let mut stage = bare(desk, string, Spread::exact(aim), level)?;
    times(desk, &mut stage)?;
    // The product of gain and resistor hardly depends on how it is shared, so the aim's own gives the choice.
    let rough = sense_gain(level.nominal, wanted, aim);
    let transfer = aim * stage.gain_for(wanted, rough).unwrap_or(rough);
    let sense = super::sense::choose(desk, aim, transfer, super::gain::fixed(desk))?;
    stage.sense = desk.warmed(sense.value)?;
    let exact = gain(desk, &stage, wanted, &level_path)?;
    let network = network(desk, &mut stage, exact)?;
    let reference = reference(desk, stage.level, &level_path);
    let trip = Spread { low: stage.trip(-1.0), nominal: stage.trip(0.0), high: stage.trip(1.0) };
    let trips = by("I_T = (V − Vos_c)/(A·Rs) − Vos_a/Rs", "Kirchhoff's laws with an ideal amplifier");
    let driver = &desk.engine.driver;
    let offsets = [
        driver.comparator.as_ref().map_or("", |c| c.offset.path.as_str()),
        driver.amplifier.as_ref().map_or("", |a| a.offset.path.as_str()),
    ];
    desk.enter_band(
        "trip",
        "current at which the comparator trips",
        trip,
        trips,
        &[
            ("V", &reference),
            ("A", ".gain"),
            ("Rs", ".sense"),
            ("Vos_c", offsets[0]),
            ("Vos_a", offsets[1]),
            ("k", &desk.engine.stock.resistor_drift.path),
            ("ΔT", AWAY),
        ],
    );
    let filter_resistor = filter_resistor(desk)?;
    Ok(Built { stage, sense, network, filter_resistor, level_path })
}

/// The stage with unit gain and no times yet.
fn bare(desk: &mut Desk<'_>, string: &StringVoltage, sense: Spread<Ohms>, level: Spread<Volts>) -> Found<Stage> {
    let engine = desk.engine;
    let driver = &engine.driver;
    let on_resistance = hot_on_resistance(desk)?;
    let inductor = driver.inductor.as_ref().ok_or_else(|| absent("driver.inductor.resistance", driver.span))?;
    let diode = driver.diode.as_ref().ok_or_else(|| absent("driver.diode.drop", driver.span))?;
    let comparator = driver.comparator.as_ref().ok_or_else(|| absent("driver.comparator.delay", driver.span))?;
    let (amplifier_offset, output_low, bandwidth) = match &driver.amplifier {
        None => (Volts::ZERO, Volts::ZERO, None),
        Some(a) => (desk.offset(&a.offset, &a.offset_drift)?, a.output_low.high()?, Some(a.bandwidth.nominal()?)),
    };
    let open_gain = driver.amplifier.as_ref().map_or(Ok(f64::INFINITY), |a| a.open_gain.get())?;
    let inductance = inductor.inductance.value.unwrap_or(Spread::exact(Henries::ZERO));
    let wanted = desk.channel.current.nominal()?;
    Ok(Stage {
        supply: supply(desk)?.0,
        lines: string.lines(string.hottest, string.coldest, wanted),
        inductance: desk.drifted_if_stated(inductance, &inductor.drift)?,
        winding: inductor.resistance.nominal()?,
        on_resistance,
        diode: diode.drop.nominal()?,
        sense,
        gain: Spread::exact(Ratio::si(1.0)),
        level,
        amplifier_offset,
        open_gain,
        output_low,
        comparator_offset: desk.offset(&comparator.offset, &comparator.offset_drift)?,
        bandwidth,
        delay: comparator.delay.get()?,
        off_time: driver.off_time.value.unwrap_or(Spread::exact(Seconds::ZERO)),
    })
}

/// Off-time and inductance: the author's, or the recipe for the frequency and ripple aimed at.
fn times(desk: &mut Desk<'_>, stage: &mut Stage) -> Found<()> {
    let driver = &desk.engine.driver;
    let target = DesignTarget {
        current: desk.channel.current.nominal()?,
        ripple: driver.ripple.get()?,
        frequency: driver.switching.nominal()?,
        delay: stage.delay.nominal,
    };
    let probe = Stage { inductance: Spread::exact(Henries::si(1e-3)), ..*stage };
    let recipe = design(&probe.sink(&Corner::NOMINAL, stage.level.nominal), &target);
    let (off_path, switching, ripple) = (&driver.off_time.path, &driver.switching.path, &driver.ripple.path);
    let inductor = driver.inductor.as_ref().map(|i| i.inductance.clone());
    let delay_path = driver.comparator.as_ref().map_or("", |c| c.delay.path.as_str());
    let pinned_off = driver.off_time.is_known();
    let balance = "volt-second balance with straight edges";
    if !pinned_off {
        stage.off_time = Spread::exact(recipe.map(|r| r.off_time).ok_or_else(|| driver.off_time.missing())?);
    }
    let off = by("t_off = (1 − D)/f for the frequency aimed at; the author's where pinned", balance);
    desk.enter_band(
        "off-time",
        "switch open to switch closed",
        stage.off_time,
        off,
        &[("t_off", off_path), ("f", switching)],
    );
    let given = inductor.as_ref().and_then(|i| i.value);
    if given.is_none() {
        let exact = recipe.map(|r| r.inductance).ok_or_else(|| driver.off_time.missing())?;
        let recipe = by("L = V_off·t_off/(r·I)", balance);
        let from = [("t_off", ".off-time"), ("r", ripple.as_str())];
        desk.enter("inductance-exact", "inductor wanted", exact, recipe, &from);
        let near = Series::E6.at_least(exact).unwrap_or(exact);
        let chosen = Spread::within(near, 0.2);
        let part = driver.inductor.as_ref();
        stage.inductance = part.map_or(Ok(chosen), |part| desk.drifted_if_stated(chosen, &part.drift))?;
    }
    let sized = by("L = V_off·t_off/(r·I), next of E6, ± 20 %; the author's where given", balance);
    let path = inductor.map_or_else(|| "driver.inductor.inductance".to_owned(), |i| i.path);
    let drift = driver.inductor.as_ref().map_or("", |i| i.drift.path.as_str());
    desk.enter_band(
        "inductance",
        "inductor",
        stage.inductance,
        sized,
        &[("L", &path), ("t_off", ".off-time"), ("r", ripple), ("k", drift), ("ΔT", AWAY)],
    );
    desk.enter_band(
        "delay",
        "trip to switch open",
        stage.delay,
        by("as given", "the comparator's data sheet"),
        &[("t_d", delay_path)],
    );
    Ok(())
}
