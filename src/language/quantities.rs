//! Values that are figures: quantities with their conditions, counts, sizes and points; dimensions are checked here.

use super::amount::{amount, each, shared_unit};
use super::document::{Spread, Value};
use super::expression::{Figure, Outcome, dimension_name};
use super::suggest::any_of;
use super::syntax::{Expr, ExprForm, Quantity, ValueForm};
use super::units;
use super::value::Reader;
use crate::diag::{Diag, Span};
use crate::schema::Dimension;
use crate::schema::dimension::{self, Powers, powers};

/// How a list of points is written.
const POINTS: &str = "write points in brackets, a third length for the radius of the arc that reaches it, negative to \
                      the right: `[(0 mm, 0 mm), (9 mm, 0 mm), (9 mm, 6 mm, 3 mm)]`";

/// Whether a figure is of this dimension.
fn is_of(figure: Figure, dimension: Dimension) -> bool {
    figure.powers == powers(dimension) && figure.absolute == (dimension == Dimension::Temperature)
}

impl<'a> Reader<'a, '_> {
    /// The figure a property of one dimension holds; `Err` for what is unknown or bad.
    fn figure(
        &mut self,
        wanted: Dimension,
        span: Span,
        outcome: Outcome,
        expr: Option<&Expr>,
    ) -> Result<Spread, Option<Value>> {
        match outcome {
            Outcome::Unknown => Err(Some(Value::Unknown)),
            Outcome::Bad => Err(None),
            Outcome::Known(figure) => match self.fits(figure, wanted, span, expr) {
                true => Ok(figure.spread),
                false => Err(None),
            },
        }
    }

    fn fits(&mut self, figure: Figure, wanted: Dimension, span: Span, expr: Option<&Expr>) -> bool {
        if is_of(figure, wanted) {
            return true;
        }
        let (name, text) = (self.property.name, self.around.text);
        let wants = dimension::name(wanted);
        let literal = expr.and_then(|e| match &e.form {
            ExprForm::Quantity(q) => Some(q),
            _ => None,
        });
        let code = if figure.powers == Powers::NONE { "unit/missing" } else { "unit/dimension" };
        let message = match literal {
            Some(q) if q.unit.is_none() && code == "unit/missing" => {
                format!("`{name}` wants {wants}; `{text}` has no unit")
            }
            Some(_) => format!("`{name}` wants {wants}; `{text}` is {}", dimension_name(figure)),
            None => format!("`{name}` wants {wants}; this comes to {}", dimension_name(figure)),
        };
        let help = match literal {
            Some(Quantity { number, unit: Some(unit), spaced: false })
                if wanted == Dimension::Resistance && unit.value == "m" =>
            {
                format!("milliohms have the letter `L`: `{number}L`, or write `{number} mΩ`")
            }
            Some(q) if wanted != Dimension::Number => {
                let unit = self.usual_unit(wanted, super::expression::number(&q.number));
                format!(
                    "write {} in {}, for example `{} {unit}`",
                    wants,
                    any_of(dimension::units(wanted).iter().copied()),
                    q.number
                )
            }
            _ if wanted == Dimension::Number => "write a number without a unit, or a percentage".to_owned(),
            _ => format!("make it come to {wants}"),
        };
        self.diags.push(Diag::error(code, span, message).label(format!("wants {wants}")).help(help));
        false
    }

    /// The first unit in which this number would be usual for the property.
    pub(super) fn usual_unit(&self, wanted: Dimension, number: f64) -> &'static str {
        let all = dimension::units(wanted);
        let first = all.first().copied().unwrap_or("");
        let Some((low, high)) = self.property.usual else { return first };
        let usual = |u: &&&str| units::unit(u).is_some_and(|unit| (low..=high).contains(&unit.si(number)));
        all.iter().find(usual).copied().unwrap_or(first)
    }

    pub(super) fn quantity(&mut self, wanted: Dimension) -> Option<Value> {
        if let ValueForm::Amount { condition: Some(condition), .. } = &self.value.form {
            let name = self.property.name;
            self.diags.push(
                Diag::error(
                    "value/condition",
                    condition.span,
                    format!("`{name}` holds under any condition; it takes no `at`"),
                )
                .label("not needed")
                .help("leave out `at` and what stands behind it"),
            );
            return None;
        }
        match self.amount(wanted)? {
            Ok(spread) => Some(Value::Quantity(spread)),
            Err(value) => value,
        }
    }

    /// `None` where the value is no amount at all.
    fn amount(&mut self, wanted: Dimension) -> Option<Result<Spread, Option<Value>>> {
        let ValueForm::Amount { points, tolerance, .. } = &self.value.form else {
            self.kind(dimension::name(wanted), "a size joined by `x` is for outlines; write one figure here");
            return None;
        };
        let only = self.value.single();
        if let Some(ExprForm::Text(_) | ExprForm::Date(_) | ExprForm::List(_)) = only.map(|e| &e.form) {
            let unit = self.usual_unit(wanted, 1.0);
            let example =
                if unit.is_empty() || wanted == Dimension::Number { "2".to_owned() } else { format!("2 {unit}") };
            self.kind(dimension::name(wanted), &format!("write a figure, for example `{example}`"));
            return None;
        }
        let span = points.iter().map(|p| p.span).reduce(Span::to).unwrap_or(self.value.span);
        let outcome = amount(points, tolerance.as_ref(), span, &self.scope(wanted), self.diags);
        let result = self.figure(wanted, self.value.span, outcome, points.first());
        if let Ok(spread) = result {
            if !self.within_bounds(spread, wanted) {
                return None;
            }
            self.ask_if_unusual(spread, wanted);
        }
        Some(result)
    }

    pub(super) fn quantity_at(&mut self, wanted: Dimension, at: Dimension) -> Option<Value> {
        let result = self.amount(wanted)?;
        let ValueForm::Amount { condition, .. } = &self.value.form else { return None };
        let Some(condition) = condition else {
            if result.is_err() {
                return result.err().flatten();
            }
            let (name, text) = (self.property.name, self.around.text);
            let unit = dimension::units(at).first().copied().unwrap_or("");
            self.diags.push(
                Diag::error(
                    "value/condition",
                    self.value.span,
                    format!("`{name}` wants {} that it holds at", dimension::name(at)),
                )
                .label("at what?")
                .help(format!("write `{text} at ... {unit}`")),
            );
            return None;
        };
        let outcome = super::expression::evaluate(condition, &self.scope(at), self.diags);
        let condition = self.condition(at, outcome, condition.span);
        match (result, condition) {
            (Ok(spread), Ok(at)) => Some(Value::QuantityAt(spread, at)),
            (Err(None), _) | (_, Err(None)) => None,
            _ => Some(Value::Unknown),
        }
    }

    fn condition(&mut self, at: Dimension, outcome: Outcome, span: Span) -> Result<f64, Option<Value>> {
        let figure = match outcome {
            Outcome::Unknown => return Err(Some(Value::Unknown)),
            Outcome::Bad => return Err(None),
            Outcome::Known(figure) => figure,
        };
        let (name, wants) = (self.property.name, dimension::name(at));
        if !is_of(figure, at) {
            let message = format!("the condition of `{name}` is {wants}; this is {}", dimension_name(figure));
            let units = any_of(dimension::units(at).iter().copied());
            self.diags.push(
                Diag::error("unit/dimension", span, message)
                    .label(format!("wants {wants}"))
                    .help(format!("write it in {units}")),
            );
            return Err(None);
        }
        // What it holds at is divided by: light over the current of the data sheet.
        if figure.spread.nominal <= 0.0 {
            let message = format!("`{name}` cannot hold at {}", dimension::limit(figure.spread.nominal, at));
            let more = format!("more than {}", dimension::limit(0.0, at));
            self.diags.push(
                Diag::error("value/bounds", span, message)
                    .label(format!("wants {more}"))
                    .help(format!("write the figure of the data sheet, {more}")),
            );
            return Err(None);
        }
        Ok(figure.spread.nominal)
    }

    pub(super) fn count(&mut self) -> Option<Value> {
        let spread = match self.amount(Dimension::Number)? {
            Ok(spread) => spread,
            Err(value) => return value,
        };
        let n = spread.nominal;
        if n.fract() == 0.0 && spread.low == spread.high && n.abs() < 9e15 {
            return Some(Value::Count(n as i64));
        }
        let name = self.property.name;
        self.diags.push(
            Diag::error(
                "value/not-whole",
                self.value.span,
                format!("`{name}` is a count; `{}` is not whole", self.around.text),
            )
            .label("wants a whole number")
            .help(format!("write `{name} {}`", n.round())),
        );
        None
    }

    fn lengths(&mut self, points: &[Expr]) -> Option<Result<Vec<f64>, Value>> {
        let figures = match each(points, shared_unit(points), &self.scope(Dimension::Length), self.diags) {
            Ok(figures) => figures,
            Err(Outcome::Unknown) => return Some(Err(Value::Unknown)),
            Err(_) => return None,
        };
        let mut lengths = Vec::new();
        for (figure, point) in figures.iter().zip(points) {
            if !self.fits(*figure, Dimension::Length, point.span, Some(point))
                || !self.within_bounds(figure.spread, Dimension::Length)
            {
                return None;
            }
            self.ask_if_unusual(figure.spread, Dimension::Length);
            lengths.push(figure.spread.nominal);
        }
        Some(Ok(lengths))
    }

    pub(super) fn size(&mut self) -> Option<Value> {
        let points = match &self.value.form {
            ValueForm::Size(points) => points.as_slice(),
            ValueForm::Amount { points, tolerance: None, condition: None } if points.len() == 1 => points.as_slice(),
            ValueForm::Amount { .. } => {
                self.kind("a size", "write one to three lengths joined by `x`: `88 x 31 x 23 mm`");
                return None;
            }
        };
        match self.lengths(points)? {
            Ok(lengths) if lengths.iter().any(|l| *l <= 0.0) => {
                let (name, text) = (self.property.name, self.around.text);
                let message = format!("`{name} {text}` cannot be; every side is longer than 0 mm");
                let diag = Diag::error("value/bounds", self.value.span, message).label("a side of no length");
                self.diags.push(diag.help("write each side as it is measured"));
                None
            }
            Ok(lengths) => Some(Value::Size(lengths)),
            Err(value) => Some(value),
        }
    }

    pub(super) fn point(&mut self) -> Option<Value> {
        if let Some(ExprForm::Group(points)) = self.value.single().map(|e| &e.form)
            && (2..=3).contains(&points.len())
        {
            return match self.lengths(points)? {
                Ok(lengths) => Some(Value::Point(lengths)),
                Err(value) => Some(value),
            };
        }
        self.kind("a point", "write two or three lengths in parentheses: `(12 mm, -4 mm)`");
        None
    }

    /// A list of points; an arc of the radius that stands third leads to its point.
    pub(super) fn points(&mut self) -> Option<Value> {
        let items = match self.value.single().map(|e| &e.form) {
            Some(ExprForm::List(items)) if items.len() >= 2 => items.as_slice(),
            _ => {
                self.kind("a list of points", POINTS);
                return None;
            }
        };
        let mut points = Vec::new();
        for item in items {
            let ExprForm::Group(lengths) = &item.form else {
                self.kind("a list of points", POINTS);
                return None;
            };
            if !(2..=3).contains(&lengths.len()) {
                self.kind("two or three lengths in each point", POINTS);
                return None;
            }
            match self.lengths(lengths)? {
                Ok(found) => points.push(found),
                Err(value) => return Some(value),
            }
        }
        Some(Value::Points(points))
    }
}
