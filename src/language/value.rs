//! A property's value as written to the typed value that its schema row asks for, with hard bounds checked
//! and unusual figures asked about.

use std::collections::BTreeMap;

use super::amount::{amount, each, shared_unit};
use super::complete::ANY_NAME;
use super::dimension::{self, Powers, powers};
use super::document::{Date, Spread, Value};
use super::expression::{Figure, Outcome, Scope, dimension_name};
use super::suggest::{any_of, nearest};
use super::syntax::{self, Expr, ExprForm, ValueForm};
use super::units;
use crate::diag::{Diag, Signal, Span};
use crate::figures::engineering;
use crate::schema::{Choice, Dimension, Property, Shape};

/// What a value needs to know of the lamp around it.
pub(super) struct Around<'a> {
    /// What a name or a path stands for.
    pub(super) names: &'a dyn Fn(&str) -> Outcome,
    /// The names of the blocks of each kind.
    pub(super) blocks: &'a BTreeMap<&'static str, Vec<String>>,
    /// The value as written.
    pub(super) text: &'a str,
}

/// Nothing where the value is bad; that is reported then.
pub(super) fn typed(
    property: &'static Property,
    value: &syntax::Value,
    around: &Around<'_>,
    diags: &mut Vec<Diag>,
) -> Option<Value> {
    let mut reader = Reader { property, value, around, diags };
    if value.single().is_some_and(|e| matches!(&e.form, ExprForm::Path(p) if p == "unknown"))
        && !reader.has_word("unknown")
    {
        return Some(Value::Unknown);
    }
    match property.shape {
        Shape::Quantity(wanted) => reader.quantity(wanted),
        Shape::QuantityAt(wanted, condition) => reader.quantity_at(wanted, condition),
        Shape::Count => reader.count(),
        Shape::Word(choices) => reader.only_word().and_then(|w| reader.choice(&w, choices)).map(Value::Word),
        Shape::YesNo => reader.yes_no(),
        Shape::Text => reader.text(),
        Shape::Date => reader.date(),
        Shape::Size => reader.size(),
        Shape::Point => reader.point(),
        Shape::Reference(kind) => {
            let name = reader.only_word()?;
            reader.target(&name, value.span, kind).then_some(Value::Reference(name))
        }
        Shape::Words(choices) => reader.words(choices),
        Shape::References(kind) => reader.references(kind),
    }
}

struct Reader<'a, 'd> {
    property: &'static Property,
    value: &'a syntax::Value,
    around: &'a Around<'a>,
    diags: &'d mut Vec<Diag>,
}

impl<'a> Reader<'a, '_> {
    fn has_word(&self, word: &str) -> bool {
        matches!(self.property.shape, Shape::Word(choices) if choices.iter().any(|c| c.word == word))
    }

    fn kind(&mut self, wants: &str, help: &str) {
        let name = self.property.name;
        self.diags.push(
            Diag::error("value/kind", self.value.span, format!("`{name}` wants {wants}"))
                .label(format!("not {wants}"))
                .help(help),
        );
    }

    fn scope(&self, wanted: Dimension) -> Scope<'a> {
        Scope { names: self.around.names, wanted: Some(wanted), unit: None }
    }

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
        let absolute = wanted == Dimension::Temperature;
        if figure.powers == powers(wanted) && figure.absolute == absolute {
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
    fn usual_unit(&self, wanted: Dimension, number: f64) -> &'static str {
        let all = dimension::units(wanted);
        let first = all.first().copied().unwrap_or("");
        let Some((low, high)) = self.property.usual else { return first };
        let usual = |u: &&&str| units::unit(u).is_some_and(|unit| (low..=high).contains(&unit.si(number)));
        all.iter().find(usual).copied().unwrap_or(first)
    }

    fn quantity(&mut self, wanted: Dimension) -> Option<Value> {
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

    fn quantity_at(&mut self, wanted: Dimension, at: Dimension) -> Option<Value> {
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
        let condition = self.condition(at, outcome, condition);
        match (result, condition) {
            (Ok(spread), Ok(at)) => Some(Value::QuantityAt(spread, at.nominal)),
            (Err(None), _) | (_, Err(None)) => None,
            _ => Some(Value::Unknown),
        }
    }

    fn condition(&mut self, at: Dimension, outcome: Outcome, expr: &Expr) -> Result<Spread, Option<Value>> {
        if let Outcome::Known(figure) = outcome {
            if figure.powers != powers(at) || figure.absolute != (at == Dimension::Temperature) {
                let (wants, is) = (dimension::name(at), dimension_name(figure));
                let message = format!("the condition of `{}` is {wants}; this is {is}", self.property.name);
                let units = any_of(dimension::units(at).iter().copied());
                self.diags.push(
                    Diag::error("unit/dimension", expr.span, message)
                        .label(format!("wants {wants}"))
                        .help(format!("write it in {units}")),
                );
                return Err(None);
            }
        }
        self.figure(at, expr.span, outcome, Some(expr))
    }

    fn within_bounds(&mut self, spread: Spread, wanted: Dimension) -> bool {
        let Some((low, high)) = self.property.bounds else { return true };
        // A bound typed in decimal and a figure scaled by a prefix may differ in the last digit.
        let slack = 1e-12 * low.abs().max(if high.is_finite() { high.abs() } else { 0.0 });
        if spread.low >= low - slack && spread.high <= high + slack {
            return true;
        }
        let show = |x| engineering(x, dimension::shown(wanted));
        let (limit, which) = if spread.low < low - slack { (show(low), "least") } else { (show(high), "most") };
        let (name, text) = (self.property.name, self.around.text);
        self.diags.push(
            Diag::error("value/bounds", self.value.span, format!("`{name} {text}` cannot be; the {which} is {limit}"))
                .label(format!("the {which} is {limit}"))
                .help(format!("write a value from {} to {}", show(low), show(high))),
        );
        false
    }

    fn ask_if_unusual(&mut self, spread: Spread, wanted: Dimension) {
        let Some((low, high)) = self.property.usual else { return };
        if spread.low >= low * (1.0 - 1e-12) && spread.high <= high * (1.0 + 1e-12) {
            return;
        }
        let show = |x| engineering(x, dimension::shown(wanted));
        let (name, text) = (self.property.name, self.around.text);
        let message = format!("`{name} {text}` is outside the usual {} .. {}", show(low), show(high));
        let diag = Diag::new("spec/implausible", Signal::Caution, self.value.span, message).label("unusual");
        let other = self.value.single().and_then(|e| match &e.form {
            ExprForm::Quantity(q) => {
                let number = super::expression::number(&q.number);
                let unit = self.usual_unit(wanted, number);
                let fits = units::unit(unit).is_some_and(|u| (low..=high).contains(&u.si(number)));
                fits.then(|| format!("did you mean `{} {unit}`?", q.number))
            }
            _ => None,
        });
        self.diags
            .push(diag.help(other.unwrap_or_else(|| "check the figure and its unit; if it is right, leave it".into())));
    }

    fn count(&mut self) -> Option<Value> {
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

    /// A bare word; one that begins with a digit arrives as a number with a unit behind it.
    fn only_word(&mut self) -> Option<String> {
        if let Some(expr) = self.value.single() {
            if let Some(word) = word(expr) {
                return Some(word);
            }
            if let ExprForm::Text(text) = &expr.form {
                let help = format!("write it without quotes: `{} {text}`", self.property.name);
                self.kind("a word", &help);
                return None;
            }
        }
        let help = match self.property.shape {
            Shape::Word(choices) | Shape::Words(choices) => {
                format!("words here: {}", any_of(choices.iter().map(|c| c.word)))
            }
            _ => "write the name of a block".to_owned(),
        };
        self.kind("a word", &help);
        None
    }

    fn choice(&mut self, word: &str, choices: &'static [Choice]) -> Option<&'static str> {
        if let Some(choice) = choices.iter().find(|c| c.word == word) {
            return Some(choice.word);
        }
        let folded = word.to_lowercase();
        let near = choices.iter().map(|c| c.word).find(|w| w.to_lowercase() == folded);
        let near = near.or_else(|| nearest(word, choices.iter().map(|c| c.word)));
        let list = any_of(choices.iter().map(|c| c.word));
        self.diags.push(
            Diag::error("value/word", self.value.span, format!("`{}` has no word `{word}`", self.property.name))
                .label(format!("one of {list}"))
                .help(match near {
                    Some(near) => format!("did you mean `{near}`? Words here: {list}"),
                    None => format!("words here: {list}"),
                }),
        );
        None
    }

    fn yes_no(&mut self) -> Option<Value> {
        match self.value.single().map(|e| &e.form) {
            Some(ExprForm::Path(p)) if p == "yes" => Some(Value::YesNo(true)),
            Some(ExprForm::Path(p)) if p == "no" => Some(Value::YesNo(false)),
            _ => {
                let name = self.property.name;
                self.kind("`yes` or `no`", &format!("write `{name} yes` or `{name} no`"));
                None
            }
        }
    }

    fn text(&mut self) -> Option<Value> {
        if let Some(ExprForm::Text(text)) = self.value.single().map(|e| &e.form) {
            return Some(Value::Text(text.clone()));
        }
        let help = format!("write `{} \"{}\"`", self.property.name, self.around.text);
        self.kind("text in quotes", &help);
        None
    }

    fn date(&mut self) -> Option<Value> {
        let Some(ExprForm::Date(text)) = self.value.single().map(|e| &e.form) else {
            self.kind("a date", "write year, month and day with hyphens: `2026-11-25`");
            return None;
        };
        let date = calendar_date(text).map(Value::Date);
        if date.is_none() {
            self.diags.push(
                Diag::error("value/date", self.value.span, format!("there is no date {text}"))
                    .label("not in the calendar")
                    .help("write year, month and day: `2026-11-25`"),
            );
        }
        date
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

    fn size(&mut self) -> Option<Value> {
        let points = match &self.value.form {
            ValueForm::Size(points) => points.as_slice(),
            ValueForm::Amount { points, tolerance: None, condition: None } if points.len() == 1 => points.as_slice(),
            ValueForm::Amount { .. } => {
                self.kind("a size", "write one to three lengths joined by `x`: `88 x 31 x 23 mm`");
                return None;
            }
        };
        match self.lengths(points)? {
            Ok(lengths) => Some(Value::Size(lengths)),
            Err(value) => Some(value),
        }
    }

    fn point(&mut self) -> Option<Value> {
        if let Some(ExprForm::Group(points)) = self.value.single().map(|e| &e.form) {
            if (2..=3).contains(&points.len()) {
                return match self.lengths(points)? {
                    Ok(lengths) => Some(Value::Point(lengths)),
                    Err(value) => Some(value),
                };
            }
        }
        self.kind("a point", "write two or three lengths in parentheses: `(12 mm, -4 mm)`");
        None
    }

    /// The words of a list, each with its place; one word alone is a list of one.
    fn list(&mut self) -> Option<Vec<(String, Span)>> {
        let only = self.value.single();
        let items: Vec<&Expr> = match only.map(|e| &e.form) {
            Some(ExprForm::List(items)) => items.iter().collect(),
            _ => only.into_iter().collect(),
        };
        let words: Vec<_> = items.iter().filter_map(|e| Some((word(e)?, e.span))).collect();
        if only.is_none() || words.len() != items.len() {
            self.kind("a list of words", "write words in brackets with commas between: `[a, b]`");
            return None;
        }
        Some(words)
    }

    fn words(&mut self, choices: &'static [Choice]) -> Option<Value> {
        let words = self.list()?;
        let good: Vec<_> = words.iter().filter_map(|(w, _)| self.choice(w, choices)).map(str::to_owned).collect();
        (good.len() == words.len()).then_some(Value::List(good))
    }

    fn references(&mut self, kind: &'static str) -> Option<Value> {
        let words = self.list()?;
        let good = words.iter().filter(|(w, span)| self.target(w, *span, kind)).count();
        (good == words.len()).then(|| Value::List(words.into_iter().map(|(w, _)| w).collect()))
    }

    /// Whether a block of this kind and name stands in the lamp; any name will do where no kind is asked.
    fn target(&mut self, name: &str, span: Span, kind: &'static str) -> bool {
        let empty = Vec::new();
        let names = self.around.blocks.get(kind).unwrap_or(&empty);
        if kind.is_empty() || names.iter().any(|n| n == name || n == ANY_NAME) {
            return true;
        }
        self.diags.push(
            Diag::error("name/unknown-reference", span, format!("no `{kind}` of this lamp is called `{name}`"))
                .label("not found")
                .help(match nearest(name, names.iter().map(String::as_str)) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None if names.is_empty() => format!("add a block `{kind} {name} {{ ... }}`"),
                    None => format!("names of `{kind}` blocks: {}", any_of(names.iter().map(String::as_str))),
                }),
        );
        false
    }
}

fn word(expr: &Expr) -> Option<String> {
    match &expr.form {
        ExprForm::Path(word) => Some(word.clone()),
        ExprForm::Quantity(q) if !q.spaced => q.unit.as_ref().map(|u| format!("{}{}", q.number, u.value)),
        _ => None,
    }
}

/// The date, if the calendar has it.
fn calendar_date(text: &str) -> Option<Date> {
    let mut parts = text.split('-');
    let year: u16 = parts.next()?.parse().ok()?;
    let month: u8 = parts.next()?.parse().ok()?;
    let day: u8 = parts.next()?.parse().ok()?;
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    (1..=days).contains(&day).then_some(Date { year, month, day })
}
