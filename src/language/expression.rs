//! Expressions to figures: units, letter codes, arithmetic with dimensions, and the spread carried through.
//! Each mistake is reported where it stands; what depends on a figure that is bad already stays silent.

use super::document::Spread;
use super::suggest;
use super::syntax::{Expr, ExprForm, Operator, Quantity};
use super::{codes, spread, units};
use crate::diag::{Diag, Span};
use crate::schema::dimension::{Powers, powers};
use crate::schema::{Dimension, dimension};

/// A figure on its way through an expression.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    /// In SI units.
    pub(super) spread: Spread,
    /// Its dimension.
    pub(super) powers: Powers,
    /// Whether it is a temperature above absolute zero rather than a difference.
    pub(super) absolute: bool,
}

/// What an expression comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Outcome {
    /// A figure.
    Known(Figure),
    /// It rests on a figure that the author does not know.
    Unknown,
    /// It cannot be worked out, and that is reported.
    Bad,
}

/// What an expression needs to know of its surroundings.
pub(super) struct Scope<'a> {
    /// What a name or a path stands for; nothing where it is none of this spec.
    pub(super) names: &'a dyn Fn(&str) -> Option<Outcome>,
    /// The dimension of the property, which says what a letter code means.
    pub(super) wanted: Option<Dimension>,
    /// The unit that stands behind the last figure of an interval, for those that have none.
    pub(super) unit: Option<&'a str>,
}

/// The smallest and the largest size of a number (our limits: far beyond anything in a lamp).
const NUMBERS: std::ops::RangeInclusive<f64> = 1e-30..=1e30;

fn known(spread: Spread, powers: Powers) -> Outcome {
    Outcome::Known(Figure { spread, powers, absolute: false })
}

/// Works `expr` out.
pub(super) fn evaluate(expr: &Expr, scope: &Scope<'_>, diags: &mut Vec<Diag>) -> Outcome {
    match &expr.form {
        ExprForm::Quantity(q) => bounded(quantity(q, expr.span, scope, diags), expr.span, diags),
        ExprForm::Path(path) => named(path, scope),
        ExprForm::Call(name, arguments) => call(name, arguments, expr.span, scope, diags),
        ExprForm::Minus(inner) => match evaluate(inner, scope, diags) {
            Outcome::Known(f) if f.absolute => absolute_misused(inner.span, diags),
            Outcome::Known(f) => known(spread::negative(f.spread), f.powers),
            other => other,
        },
        ExprForm::Chain(first, rest) => {
            let outcome = chain(first, rest, scope, diags);
            bounded(outcome, expr.span, diags)
        }
        ExprForm::Group(inner) => match inner.as_slice() {
            [only] => evaluate(only, scope, diags),
            _ => not_a_figure("a point", expr.span, diags),
        },
        ExprForm::Text(_) => not_a_figure("text", expr.span, diags),
        ExprForm::Date(_) => not_a_figure("a date", expr.span, diags),
        ExprForm::List(_) => not_a_figure("a list", expr.span, diags),
    }
}

fn not_a_figure(what: &str, span: Span, diags: &mut Vec<Diag>) -> Outcome {
    diags.push(
        Diag::error("value/kind", span, format!("{what} cannot be calculated with"))
            .label(format!("this is {what}"))
            .help("use a number, a quantity, or the path of a property that holds one"),
    );
    Outcome::Bad
}

fn bounded(outcome: Outcome, span: Span, diags: &mut Vec<Diag>) -> Outcome {
    let Outcome::Known(figure) = outcome else { return outcome };
    let fits = |x: f64| x == 0.0 || NUMBERS.contains(&x.abs());
    if fits(figure.spread.low) && fits(figure.spread.high) && fits(figure.spread.nominal) {
        return outcome;
    }
    diags.push(
        Diag::error("limit/number", span, "this number is out of reach; sizes run from 1e-30 to 1e30, and 0")
            .label("too large or too small")
            .help("check the exponent and the unit's prefix"),
    );
    Outcome::Bad
}

fn named(path: &str, scope: &Scope<'_>) -> Outcome {
    match path {
        "pi" => known(Spread::exact(std::f64::consts::PI), Powers::NONE),
        "unknown" => Outcome::Unknown,
        // A name of the author's own goes before a code: `k1` is what `let k1` says, not 100 Ω.
        _ => (scope.names)(path).or_else(|| letter_code(path, scope.wanted)).unwrap_or(Outcome::Bad),
    }
}

/// Whether a path is a word of the language that stands for a figure.
pub(super) fn is_word(path: &str) -> bool {
    path == "pi" || path == "unknown"
}

/// The figure of a letter code; of a resistance where nothing says what is wanted.
pub(super) fn letter_code(text: &str, wanted: Option<Dimension>) -> Option<Outcome> {
    let dimension = wanted.unwrap_or(Dimension::Resistance);
    codes::spread(text, dimension).map(|spread| known(spread, powers(dimension)))
}

/// The number as written; a fraction is divided.
pub(super) fn number(text: &str) -> f64 {
    match text.split_once('/') {
        Some((above, below)) => number(above) / number(below),
        None => text.parse().unwrap_or(f64::NAN),
    }
}

fn quantity(q: &Quantity, span: Span, scope: &Scope<'_>, diags: &mut Vec<Diag>) -> Outcome {
    let value = number(&q.number);
    let Some(symbol) = q.unit.as_ref().map(|u| u.value.as_str()).or(scope.unit) else {
        return known(Spread::exact(value), Powers::NONE);
    };
    if !q.spaced && q.unit.is_some() {
        // Where nothing says what is wanted, `10K` is a difference of temperatures as well.
        let sure = scope.wanted.is_some() || units::unit(symbol).is_none();
        if let Some(code) = letter_code(&format!("{}{symbol}", q.number), scope.wanted).filter(|_| sure) {
            return code;
        }
    }
    let Some(unit) = units::unit(symbol) else {
        diags.push(unknown_unit(q, q.unit.as_ref().map_or(span, |u| u.span), scope.wanted));
        return Outcome::Bad;
    };
    let value = match unit.scale {
        units::Scale::Gauge => match units::gauge(&q.number) {
            Some(gauge) => gauge,
            None => return no_gauge(q, span, diags),
        },
        _ => value,
    };
    Outcome::Known(Figure { spread: Spread::exact(unit.si(value)), powers: unit.powers, absolute: unit.absolute() })
}

fn no_gauge(q: &Quantity, span: Span, diags: &mut Vec<Diag>) -> Outcome {
    diags.push(
        Diag::error("value/gauge", span, format!("there is no wire gauge `{}`", q.number))
            .label("not a gauge")
            .help("gauges are whole numbers up to 56; the thick ones are `0`, `00`, `000`, `0000`, or `1/0` to `4/0`"),
    );
    Outcome::Bad
}

fn unknown_unit(q: &Quantity, span: Span, wanted: Option<Dimension>) -> Diag {
    let symbol = q.unit.as_ref().map_or("", |u| u.value.as_str());
    if let Some((message, help)) = codes::misplaced(&format!("{}{symbol}", q.number), wanted).filter(|_| !q.spaced) {
        return Diag::error("unit/letter-code", span, message).label("a letter code").help(help);
    }
    let diag = Diag::error("unit/unknown", span, format!("there is no unit `{symbol}`")).label("not a unit");
    let candidates = match wanted {
        Some(wanted) => dimension::units(wanted).to_vec(),
        None => dimension::ALL.iter().flat_map(|d| dimension::units(*d).iter().copied()).collect(),
    };
    if let Some(at) = symbol.find(['*', '/']).filter(|at| units::unit(&symbol[..*at]).is_some()) {
        let (unit, sign, rest) = (&symbol[..at], &symbol[at..=at], &symbol[at + 1..]);
        if !rest.is_empty() {
            return diag.help(format!("`*` and `/` want a space on both sides: `{} {unit} {sign} {rest}`", q.number));
        }
    }
    let folded = symbol.to_lowercase();
    let near = candidates.iter().copied().find(|c| c.to_lowercase() == folded);
    match near.or_else(|| suggest::nearest(symbol, candidates.iter().copied())) {
        Some(near) => diag.help(format!("did you mean `{} {near}`?", q.number)),
        None => match wanted {
            Some(wanted) => diag.help(format!("write {} in {}", dimension::name(wanted), suggest::any_of(candidates))),
            None => {
                diag.help("units look like `mm`, `mA`, `kΩ`, `µF`, `°C`; `lampwright schema --language` lists them")
            }
        },
    }
}

fn absolute_misused(span: Span, diags: &mut Vec<Diag>) -> Outcome {
    diags.push(
        Diag::error(
            "unit/temperature",
            span,
            "a temperature in °C can be shifted by K, compared or subtracted, no more",
        )
        .label("a temperature, not a difference")
        .help("take the difference of two temperatures first, or write a rise in K"),
    );
    Outcome::Bad
}

/// `*` and `/` bind closer than `+` and `-`; both from left to right.
fn chain(first: &Expr, rest: &[(Operator, Expr)], scope: &Scope<'_>, diags: &mut Vec<Diag>) -> Outcome {
    let mut total: Option<(Outcome, Span, Operator)> = None;
    let (mut term, mut term_span) = (evaluate(first, scope, diags), first.span);
    for (operator, operand) in rest {
        if matches!(operator, Operator::Times | Operator::Over) {
            let right = evaluate(operand, scope, diags);
            term = multiplied(term, *operator, right, term_span, operand.span, diags);
            term_span = term_span.to(operand.span);
            continue;
        }
        total = Some(folded(total, term, term_span, *operator, diags));
        (term, term_span) = (evaluate(operand, scope, diags), operand.span);
    }
    folded(total, term, term_span, Operator::Plus, diags).0
}

/// Adds `term` to the total so far; `next` is the sign that waits for the term after it.
fn folded(
    total: Option<(Outcome, Span, Operator)>,
    term: Outcome,
    span: Span,
    next: Operator,
    diags: &mut Vec<Diag>,
) -> (Outcome, Span, Operator) {
    match total {
        None => (term, span, next),
        Some((left, left_span, sign)) => (added(left, sign, term, left_span, span, diags), left_span.to(span), next),
    }
}

fn both(left: Outcome, right: Outcome) -> Result<(Figure, Figure), Outcome> {
    match (left, right) {
        (Outcome::Known(a), Outcome::Known(b)) => Ok((a, b)),
        (Outcome::Bad, _) | (_, Outcome::Bad) => Err(Outcome::Bad),
        _ => Err(Outcome::Unknown),
    }
}

fn multiplied(
    left: Outcome,
    operator: Operator,
    right: Outcome,
    left_span: Span,
    right_span: Span,
    diags: &mut Vec<Diag>,
) -> Outcome {
    let (a, b) = match both(left, right) {
        Ok(pair) => pair,
        Err(outcome) => return outcome,
    };
    if a.absolute || b.absolute {
        return absolute_misused(if a.absolute { left_span } else { right_span }, diags);
    }
    if operator == Operator::Times {
        return of_powers(a.powers.times(b.powers), spread::product(a.spread, b.spread), right_span, diags);
    }
    let Some(quotient) = spread::quotient(a.spread, b.spread) else {
        diags.push(
            Diag::error("value/division", right_span, "this divides by a figure that may be zero")
                .label("may be zero")
                .help("give the divisor a value, or an interval, that keeps clear of zero"),
        );
        return Outcome::Bad;
    };
    of_powers(a.powers.over(b.powers), quotient, right_span, diags)
}

fn of_powers(powers: Option<Powers>, spread: Spread, span: Span, diags: &mut Vec<Diag>) -> Outcome {
    if let Some(powers) = powers {
        return known(spread, powers);
    }
    diags.push(
        Diag::error("limit/number", span, "a unit's power grows beyond 127 here")
            .label("one factor too many")
            .help("work the value out in steps of plain dimensions"),
    );
    Outcome::Bad
}

fn added(
    left: Outcome,
    sign: Operator,
    right: Outcome,
    left_span: Span,
    right_span: Span,
    diags: &mut Vec<Diag>,
) -> Outcome {
    let (a, b) = match both(left, right) {
        Ok(pair) => pair,
        Err(outcome) => return outcome,
    };
    if a.powers != b.powers {
        diags.push(unlike(a, left_span, b, right_span));
        return Outcome::Bad;
    }
    let minus = sign == Operator::Minus;
    if b.absolute && (a.absolute != minus) {
        return absolute_misused(right_span, diags);
    }
    let second = if minus { spread::negative(b.spread) } else { b.spread };
    let absolute = a.absolute != b.absolute;
    Outcome::Known(Figure { spread: spread::sum(a.spread, second), powers: a.powers, absolute })
}

/// `a voltage`, or what stands for a dimension without a name.
pub(super) fn dimension_name(figure: Figure) -> &'static str {
    figure.powers.dimension(figure.absolute).map_or("a figure of another kind", dimension::name)
}

/// Two figures that must be of one dimension and are not.
pub(super) fn unlike(a: Figure, a_span: Span, b: Figure, b_span: Span) -> Diag {
    let (left, right) = (dimension_name(a), dimension_name(b));
    Diag::error("unit/mixed", b_span, format!("{left} and {right} do not go together"))
        .label(format!("this is {right}"))
        .also(a_span, format!("this is {left}"))
        .help("give both figures units of one kind")
}

fn call(name: &str, arguments: &[Expr], span: Span, scope: &Scope<'_>, diags: &mut Vec<Diag>) -> Outcome {
    let figures: Vec<Outcome> = arguments.iter().map(|a| evaluate(a, scope, diags)).collect();
    match (name, figures.as_slice()) {
        ("min" | "max", [first, rest @ ..]) if !rest.is_empty() => {
            let pick = if name == "min" { spread::least } else { spread::most };
            rest.iter().zip(arguments.iter().skip(1)).fold(*first, |total, (next, argument)| {
                let (a, b) = match both(total, *next) {
                    Ok(pair) => pair,
                    Err(outcome) => return outcome,
                };
                if a.powers != b.powers || a.absolute != b.absolute {
                    let head = arguments.first().map_or(span, |e| e.span);
                    diags.push(unlike(a, head, b, argument.span));
                    return Outcome::Bad;
                }
                Outcome::Known(Figure { spread: pick(a.spread, b.spread), ..a })
            })
        }
        ("sqrt", [Outcome::Known(a)]) => match (spread::root(a.spread), a.powers.root()) {
            _ if a.absolute => absolute_misused(span, diags),
            (Some(root), Some(powers)) => known(root, powers),
            (None, _) => {
                diags.push(
                    Diag::error("value/root", span, "a figure that is negative, or may be, has no square root")
                        .label("its least value is below zero")
                        .help("check the sign; `sqrt` takes figures from zero up"),
                );
                Outcome::Bad
            }
            _ => {
                let message = format!("the square root of {} is no figure with a unit", dimension_name(*a));
                diags.push(
                    Diag::error("value/root", span, message)
                        .label("its unit is no square")
                        .help("`sqrt` takes a number or a figure whose unit is a square: `mm²`"),
                );
                Outcome::Bad
            }
        },
        ("sqrt", [other]) => *other,
        _ => {
            diags.push(unknown_call(name, arguments.len(), span));
            Outcome::Bad
        }
    }
}

fn unknown_call(name: &str, count: usize, span: Span) -> Diag {
    let known = ["min", "max", "sqrt"];
    if known.contains(&name) {
        let wants = if name == "sqrt" { "one figure" } else { "two figures or more" };
        return Diag::error("value/arguments", span, format!("`{name}` wants {wants}; it is given {count}"))
            .label("called here")
            .help(match name {
                "sqrt" => "write `sqrt(a)`".to_owned(),
                name => format!("write `{name}(a, b)`, with a comma between"),
            });
    }
    Diag::error("name/unknown-function", span, format!("there is no function `{name}`")).label("called here").help(
        match suggest::nearest(name, known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "functions are `min`, `max` and `sqrt`".to_owned(),
        },
    )
}
