//! Hard bounds of a figure, and the question whether an unusual one is meant.

use super::document::Spread;
use super::syntax::ExprForm;
use super::units;
use super::value::Reader;
use crate::diag::{Diag, Signal};
use crate::schema::Dimension;
use crate::schema::dimension;

impl<'a> Reader<'a, '_> {
    pub(super) fn within_bounds(&mut self, spread: Spread, wanted: Dimension) -> bool {
        let Some((low, high)) = self.property.bounds else { return true };
        // A bound typed in decimal and a figure scaled by a prefix may differ in the last digit.
        let slack = 1e-12 * low.abs().max(if high.is_finite() { high.abs() } else { 0.0 });
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
        if spread.low >= low * (1.0 - 1e-12) && spread.high <= high * (1.0 + 1e-12) {
            return;
        }
        let show = |x| dimension::limit(x, wanted);
        let (name, text) = (self.property.name, self.around.text);
        let message = format!("`{name} {text}` is outside the usual {} .. {}", show(low), show(high));
        let diag = Diag::new("spec/implausible", Signal::Caution, self.value.span, message).label("unusual");
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
