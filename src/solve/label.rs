//! Figures of the rating label that are not simply given: rounded power and current, and the mark of the class.

use crate::lamp::Lamp;
use crate::ledger::{Formula, Ledger};
use crate::quantity::{Amperes, Watts};
use crate::schema::words::Class;

use super::feed::Feed;
use super::line::{Line, terms};

const POWER: Formula =
    Formula { text: "P rounded up to whole watts", source: "IEC 60598-1, section 3; the rounding is our margin" };
const CURRENT: Formula =
    Formula { text: "I rounded up to 10 mA", source: "our margin: a label never promises less than flows" };
const MARK: Formula = Formula {
    text: "I: 5019 at the earth terminal; II: 5172; III: 5180",
    source: "IEC 60417; number 5180 from memory",
};

/// The class a lamp has: as written, or III where no mains enters it.
///
/// `None` where the author says that it is not known.
pub fn class(lamp: &Lamp) -> Option<Class> {
    lamp.mains.as_ref().map_or(Some(Class::III), |mains| mains.class.value)
}

/// Enters the figures under `label.`.
pub fn solve(lamp: &Lamp, line: Option<&Line>, feed: &Feed, ledger: &mut Ledger) {
    // A lamp that no mains enters is rated by what it takes from its outside supply.
    let (power, current) = match line {
        Some(line) => ((&line.power, "line.power"), (&line.current, "line.current")),
        None => ((&feed.most, "feed.most"), (&feed.current_most, "feed.current-most")),
    };
    if let Ok(watts) = power.0 {
        let rounded = Watts::si(libm::ceil(watts.value() - 1e-9));
        ledger.computed_whole("label.power", "rated power for the label", rounded, POWER, &[("P", power.1)]);
    }
    if let Ok(amperes) = current.0 {
        let rounded = Amperes::si(libm::ceil(amperes.value() * 100.0 - 1e-9) / 100.0);
        ledger.computed_whole("label.current", "rated current for the label", rounded, CURRENT, &[("I", current.1)]);
    }
    if let Some(class) = class(lamp) {
        let number = format!("IEC 60417-{}", terms::class(class).mark());
        let input: &[(&str, &str)] = if lamp.mains.is_some() { &[("class", "mains.class")] } else { &[] };
        ledger.computed_text("label.mark", "mark of the class", number, MARK, input);
    }
}
