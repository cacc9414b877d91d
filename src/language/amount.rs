//! Intervals, tolerances and the units they share: from the figures as written to one figure with its spread.

use super::document::Spread;
use super::expression::{Figure, Outcome, Scope, dimension_name, evaluate, unlike};
use super::syntax::{Expr, ExprForm};
use super::{spread, units};
use crate::diag::{Diag, Span};
use crate::schema::Dimension;
use crate::schema::dimension::name;

/// `a`, `a .. b`, `a .. typical .. b`, each with `± t`.
pub(super) fn amount(
    points: &[Expr],
    tolerance: Option<&Expr>,
    span: Span,
    scope: &Scope<'_>,
    diags: &mut Vec<Diag>,
) -> Outcome {
    let unit = shared_unit(points).or_else(|| tolerance.and_then(unit_of).filter(|u| !is_relative(u)));
    let figures = match each(points, unit, scope, diags) {
        Ok(figures) => figures,
        Err(outcome) => return outcome,
    };
    let Some(base) = interval(&figures, points, span, diags) else { return Outcome::Bad };
    let Some(tolerance) = tolerance else { return Outcome::Known(base) };
    if points.len() > 1 {
        diags.push(
            Diag::error("value/two-spreads", tolerance.span, "an interval says how far its figure varies already")
                .label("not needed")
                .also(span, "the interval")
                .help("keep the interval, or write one figure with its tolerance"),
        );
        return Outcome::Bad;
    }
    toleranced(base, span, tolerance, scope, diags)
}

/// Figures of one list; those without a unit take `unit`.
pub(super) fn each(
    points: &[Expr],
    unit: Option<&str>,
    scope: &Scope<'_>,
    diags: &mut Vec<Diag>,
) -> Result<Vec<Figure>, Outcome> {
    let mut figures = Vec::new();
    let mut worst = Ok(());
    for point in points {
        let scope = Scope { unit: if is_bare(point) { unit } else { None }, ..*scope };
        match evaluate(point, &scope, diags) {
            Outcome::Known(figure) => figures.push(figure),
            other if worst != Err(Outcome::Bad) => worst = Err(other),
            _ => {}
        }
    }
    worst.map(|()| figures)
}

/// The unit behind the last figure, which those before it may leave out; a letter code has none to share.
pub(super) fn shared_unit(points: &[Expr]) -> Option<&str> {
    let [_, .., last] = points else { return None };
    unit_of(last).filter(|unit| units::unit(unit).is_some())
}

fn unit_of(expr: &Expr) -> Option<&str> {
    match &expr.form {
        ExprForm::Quantity(q) => q.unit.as_ref().map(|u| u.value.as_str()),
        _ => None,
    }
}

fn is_bare(expr: &Expr) -> bool {
    matches!(&expr.form, ExprForm::Quantity(q) if q.unit.is_none())
}

fn is_relative(unit: &str) -> bool {
    unit == "%" || unit == "ppm"
}

fn interval(figures: &[Figure], points: &[Expr], span: Span, diags: &mut Vec<Diag>) -> Option<Figure> {
    let (first, last) = (figures.first()?, figures.last()?);
    for (figure, point) in figures.iter().zip(points).skip(1) {
        if figure.powers != first.powers || figure.absolute != first.absolute {
            diags.push(unlike(*first, points.first().map_or(span, |p| p.span), *figure, point.span));
            return None;
        }
    }
    let (low, high) = (first.spread.low, last.spread.high);
    let (nominal, typical) = match figures {
        [only] => (only.spread.nominal, only.spread.typical),
        [_, middle, _] => (middle.spread.nominal, true),
        _ => ((low + high) / 2.0, false),
    };
    if !(low <= nominal && nominal <= high) {
        diags.push(
            Diag::error("value/order", span, "this interval does not run upwards")
                .label("least, typical, most")
                .help("write the least figure first and the largest last"),
        );
        return None;
    }
    Some(Figure { spread: Spread { low, nominal, high, typical }, ..*first })
}

/// A percentage that is written as one is of the nominal figure, also where that is a percentage itself; anything else
/// must be of the figure's own dimension. No percentage is taken of a temperature, whose zero is a convention.
fn toleranced(base: Figure, span: Span, tolerance: &Expr, scope: &Scope<'_>, diags: &mut Vec<Diag>) -> Outcome {
    let t = match evaluate(tolerance, &Scope { unit: None, ..*scope }, diags) {
        Outcome::Known(t) => t,
        other => return other,
    };
    let half = if unit_of(tolerance).is_some_and(is_relative) && !base.absolute {
        base.spread.nominal * t.spread.high
    } else if t.powers == base.powers && !t.absolute {
        t.spread.high
    } else {
        let what = dimension_name(base);
        let (wants, help) = match base.absolute {
            true => (name(Dimension::TemperatureDifference).to_owned(), "write it in K: `± 2 K`"),
            false => (format!("a percentage or {what}"), "write `± 1 %`, or the tolerance in the figure's own unit"),
        };
        diags.push(
            Diag::error("unit/tolerance", tolerance.span, format!("the tolerance of {what} is {wants}"))
                .label(format!("this is {}", dimension_name(t)))
                .also(span, format!("this is {what}"))
                .help(help),
        );
        return Outcome::Bad;
    };
    Outcome::Known(Figure { spread: spread::widened(base.spread, half), ..base })
}
