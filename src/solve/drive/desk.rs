//! One channel on the bench of the solver: its given figures, its place in the ledger, the drawers it may take from.
//! Turns "enter this figure" and "choose that resistor" into ledger entries and rows of the values sheet.

use crate::lamp::driver::Channel;
use crate::lamp::emitter::Die;
use crate::lamp::engine::Engine;
use crate::lamp::given::{Found, Given};
use crate::ledger::{Formula, Input, Ledger};
use crate::physics::electrical::marking::{Bands, capacitance_code, colour_bands, resistance_code};
use crate::physics::electrical::preferred::Series;
use crate::quantity::{Farads, Ohms, Quantity};
use crate::schema::words;
use crate::spread::Spread;

use super::notes::Notes;
use super::solution::Component;

/// A formula with its source, short enough to stand beside the figure it gives.
pub(in crate::solve) const fn by(text: &'static str, source: &'static str) -> Formula {
    Formula { text, source }
}

/// A channel while it is worked out.
pub(super) struct Desk<'a> {
    pub(super) engine: &'a Engine<'a>,
    pub(super) channel: &'a Channel,
    pub(super) ledger: &'a mut Ledger,
    pub(super) components: Vec<Component>,
    pub(super) notes: Notes,
}

/// A part that was chosen or pinned, with its tolerance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fitted<Q> {
    pub(super) value: Spread<Q>,
    pub(super) pinned: bool,
    pub(super) error: f64,
}

impl<'a> Desk<'a> {
    /// A channel with nothing chosen yet.
    pub(super) fn new(engine: &'a Engine<'a>, channel: &'a Channel, ledger: &'a mut Ledger) -> Self {
        Self { engine, channel, ledger, components: Vec::new(), notes: Notes::default() }
    }

    /// The ledger path of one of this channel's figures.
    pub(super) fn path(&self, figure: &str) -> String {
        ["drive.", &self.channel.name, ".", figure].concat()
    }

    /// The value of one of this channel's figures, once it is entered.
    pub(super) fn value(&self, figure: &str) -> Option<f64> {
        self.ledger.get(&self.path(figure))?.value
    }

    /// The hot on-resistance that was entered; zero where the spec has no transistor.
    pub(super) fn on_resistance(&self) -> Ohms {
        self.value("on-resistance").map_or(Ohms::ZERO, Ohms::si)
    }

    /// The die this channel feeds.
    pub(super) fn die(&self) -> Found<&'a Die> {
        self.engine.die(self.channel).ok_or_else(|| self.channel.feeds.missing())
    }

    /// An input that begins with a dot is a figure of this channel.
    fn full(&self, input: &str) -> String {
        input.strip_prefix('.').map_or_else(|| input.to_owned(), |figure| self.path(figure))
    }

    /// The inputs that have an entry: what nobody gave and the formula does without is left out.
    fn known(&self, inputs: &[(&'static str, &str)]) -> Vec<Input> {
        let full = inputs.iter().map(|&(symbol, path)| Input { symbol, path: self.full(path) });
        full.filter(|input| self.ledger.get(&input.path).is_some()).collect()
    }

    /// Enters a figure of this channel.
    pub(super) fn enter<Q: Quantity>(
        &mut self,
        figure: &str,
        title: &str,
        value: Q,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> Q {
        self.enter_band(figure, title, Spread::exact(value), formula, inputs).nominal
    }

    /// Enters a figure with its band.
    pub(super) fn enter_band<Q: Quantity>(
        &mut self,
        figure: &str,
        title: &str,
        value: Spread<Q>,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> Spread<Q> {
        let (inputs, path) = (self.known(inputs), self.path(figure));
        self.ledger.computed_from(path, title, value, formula, inputs)
    }

    /// Enters a share, shown in per cent.
    pub(super) fn enter_share(
        &mut self,
        figure: &str,
        title: &str,
        value: f64,
        formula: Formula,
        inputs: &[(&'static str, &str)],
    ) -> f64 {
        let (inputs, path) = (self.known(inputs), self.path(figure));
        self.ledger.computed_share_from(path, title, value, formula, inputs)
    }

    /// The series and tolerance of the resistors in the drawer.
    pub(super) fn resistors(&self) -> Found<(Series, f64)> {
        let stock = &self.engine.stock;
        Ok((series(stock.resistors.get()?), stock.resistor_tolerance.get()?))
    }

    /// A resistor: the author's where it is pinned, else the nearest of the drawer to `exact`.
    ///
    /// `figure` names the fitted value; the exact one stands beside it as `FIGURE-exact`.
    pub(super) fn resistor(
        &mut self,
        figure: &str,
        title: &str,
        exact: Ohms,
        pinned: &Given<Spread<Ohms>>,
    ) -> Found<Fitted<Ohms>> {
        let (series, tolerance) = self.resistors()?;
        if let Some(given) = pinned.value {
            return Ok(self.pinned(figure, title, given, tolerance, pinned, exact));
        }
        let near = series.nearest(exact).ok_or_else(|| pinned.missing())?;
        let from = by("the value of the series nearest to it by ratio", "IEC 60063, compared with public tables");
        Ok(self.chosen(figure, title, near, exact, tolerance, from))
    }

    /// Enters a resistor taken from the drawer.
    pub(super) fn chosen(
        &mut self,
        figure: &str,
        title: &str,
        near: Ohms,
        exact: Ohms,
        tolerance: f64,
        from: Formula,
    ) -> Fitted<Ohms> {
        let value = Spread::within(near, tolerance);
        let exactly = format!(".{figure}-exact");
        let inputs =
            [("R", exactly.as_str()), ("series", "stock.resistors"), ("tolerance", "stock.resistor-tolerance")];
        self.enter_band(figure, title, value, from, &inputs);
        Fitted { value, pinned: false, error: near / exact - 1.0 }
    }

    fn pinned(
        &mut self,
        figure: &str,
        title: &str,
        given: Spread<Ohms>,
        tolerance: f64,
        at: &Given<Spread<Ohms>>,
        exact: Ohms,
    ) -> Fitted<Ohms> {
        let value = with_tolerance(given, tolerance);
        let from = by("as the spec pins it, with the tolerance of the drawer where it states none", "the spec");
        self.enter_band(figure, title, value, from, &[("R", &at.path), ("tolerance", "stock.resistor-tolerance")]);
        Fitted { value, pinned: true, error: value.nominal / exact - 1.0 }
    }

    /// A row of the values sheet for a fitted resistor.
    pub(super) fn row(&self, figure: &str, purpose: &str, fitted: &Fitted<Ohms>) -> Component {
        let series = self.engine.stock.resistors.value.map_or("", |s| series(s).name());
        // Its own where the author states one; to a millionth, for it may be read out where no colour says it.
        let tolerance = libm::round((fitted.value.high / fitted.value.nominal - 1.0) * 1e6) / 1e6;
        let bands = colour_bands(fitted.value.nominal, tolerance, None, Bands::usual(tolerance, None));
        let bands = bands.map(|b| b.iter().map(|c| c.word()).collect::<Vec<_>>().join(" · "));
        Component {
            code: resistance_code(fitted.value.nominal).unwrap_or_else(|e| e.to_string()),
            bands: bands.unwrap_or_else(|e| e.to_string()),
            ..self.component('R', (figure, purpose), fitted, series)
        }
    }

    /// A row of the values sheet for the filter's capacitor.
    pub(super) fn capacitor_row(&self, figure: &str, purpose: &str, fitted: &Fitted<Farads>) -> Component {
        let series = self.engine.stock.capacitors.value.map_or("", |s| series(s).name());
        Component {
            code: capacitance_code(fitted.value.nominal).unwrap_or_else(|e| e.to_string()),
            ..self.component('C', (figure, purpose), fitted, series)
        }
    }

    /// A row without what stands on the part: numbered behind those of its letter.
    fn component<Q>(
        &self,
        letter: char,
        (figure, purpose): (&str, &str),
        fitted: &Fitted<Q>,
        series: &str,
    ) -> Component {
        let number = 1 + self.components.iter().filter(|c| c.designation.starts_with(letter)).count();
        let exact = self.path(&format!("{figure}-exact"));
        Component {
            designation: format!("{letter}{number} {}", self.channel.name),
            purpose: purpose.to_owned(),
            exact: self.ledger.get(&exact).is_some().then_some(exact),
            chosen: self.path(figure),
            pinned: fitted.pinned,
            series: if fitted.pinned { "pinned" } else { series }.to_owned(),
            code: String::new(),
            bands: String::new(),
            power: None,
            rating: String::new(),
            result: String::new(),
            error: fitted.error,
        }
    }
}

/// A pinned value with its own band, or with the drawer's tolerance where it states none.
pub(super) fn with_tolerance<Q: Quantity>(given: Spread<Q>, tolerance: f64) -> Spread<Q> {
    if given.is_exact() { Spread::within(given.nominal, tolerance) } else { given }
}

/// The series of the standard for the word in the spec.
pub(super) const fn series(word: words::Series) -> Series {
    match word {
        words::Series::E3 => Series::E3,
        words::Series::E6 => Series::E6,
        words::Series::E12 => Series::E12,
        words::Series::E24 => Series::E24,
        words::Series::E48 => Series::E48,
        words::Series::E96 => Series::E96,
        words::Series::E192 => Series::E192,
    }
}

/// The straight-line function of a position, −1 to 1, within a spread.
pub(super) fn at<Q: Quantity>(spread: &Spread<Q>, position: f64) -> Q {
    let (n, end) = (spread.nominal.value(), if position < 0.0 { spread.low } else { spread.high });
    Q::si(n + (end.value() - n) * position.abs())
}
