//! Hard bounds of a figure, and the question whether an unusual one is meant.

use super::document::Spread;
use super::syntax::ExprForm;
use super::units;
use super::value::Reader;
use crate::diag::{Diag, Signal};
use crate::schema::Dimension;
use crate::schema::dimension;

/// Name of the message about a figure outside its usual range; a rule of the same name takes it up.
pub const IMPLAUSIBLE: &str = "spec/implausible";

/// The longest length that is read, m (our limit): a lamp and its cord are within it, and nothing is drawn without end.
const LONGEST: f64 = 100.0;

impl<'a> Reader<'a, '_> {
    pub(super) fn within_bounds(&mut self, spread: Spread, wanted: Dimension) -> bool {
        let (low, high) = match (self.property.bounds, wanted) {
            (Some(bounds), _) if bounds.1.is_finite() => bounds,
            // What has no most of its own keeps its least, which is told where it is missed.
            (Some((low, _)), Dimension::Length) if spread.low >= low && spread.high > LONGEST => {
                (f64::NEG_INFINITY, LONGEST)
            }
            (None, Dimension::Length) if spread.high > LONGEST => (f64::NEG_INFINITY, LONGEST),
            (None, Dimension::Length) if spread.low < -LONGEST => (-LONGEST, f64::INFINITY),
            (Some(bounds), _) => bounds,
            (None, _) => return true,
        };
        // A bound typed in decimal and a figure scaled by a prefix may differ in the last digit.
        let size = |x: f64| if x.is_finite() { x.abs() } else { 0.0 };
        let slack = 1e-12 * size(low).max(size(high));
        if spread.low >= low - slack && spread.high <= high + slack {
            return true;
        }
        let show = |x| dimension::limit(x, wanted);
        let (limit, which) = if spread.low < low - slack { (show(low), "least") } else { (show(high), "most") };
        let (name, text) = (self.property.name, self.around.text);
        self.diags.push(
            Diag::error("value/bounds", self.value.span, format!("`{name} {text}` cannot be; the {which} is {limit}"))
                .label(format!("the {which} is {limit}"))
                .help(match (low.is_finite(), high.is_finite()) {
                    (true, false) => format!("write {} or more", show(low)),
                    (false, true) => format!("write {} or less", show(high)),
                    _ => format!("write a value from {} to {}", show(low), show(high)),
                }),
        );
        false
    }

    pub(super) fn ask_if_unusual(&mut self, spread: Spread, wanted: Dimension) {
        let Some((low, high)) = self.property.usual else { return };
        if spread.low >= low - 1e-12 * low.abs() && spread.high <= high + 1e-12 * high.abs() {
            return;
        }
        let show = |x| dimension::limit(x, wanted);
        let (name, text) = (self.property.name, self.around.text);
        let message = format!("`{name} {text}` is outside the usual {} .. {}", show(low), show(high));
        let diag = Diag::new(IMPLAUSIBLE, Signal::Caution, self.value.span, message).label("unusual");
        let other = self.value.single().and_then(|e| match &e.form {
            ExprForm::Quantity(q) => {
                let number = super::expression::number(&q.number);
                let unit = self.usual_unit(wanted, number);
                // A number that may be negative is no share: a percentage of it is not what was meant.
                let share = wanted != Dimension::Number || low >= 0.0;
                let fits = share && units::unit(unit).is_some_and(|u| (low..=high).contains(&u.si(number)));
                fits.then(|| format!("did you mean `{} {unit}`?", q.number))
            }
            _ => None,
        });
        self.diags
            .push(diag.help(other.unwrap_or_else(|| "check the figure and its unit; if it is right, leave it".into())));
    }
}
