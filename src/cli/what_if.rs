//! Verb `what-if`: figures changed without editing, verdict and margins side by side; a sweep as a table and a plot.

use serde_json::{Value, json};

use crate::compare::chain::Changes;
use crate::compare::findings::{self, MarginChange, Move};
use crate::diag::Signal;
use crate::figures::percent;
use crate::rules::rule::{Measure, Rule};
use crate::what_if::{Refused, Setting, lay, sweep};
use crate::{Compiled, Outcome, compile};

use super::laid::{self, tell};
use super::output::{Trouble, say};
use super::root::{self, Spec};
use super::{Exit, Format, ReportArgs, SpecArgs, check, show};

/// `what-if`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright what-if my.lamp driver.red.current=350mA lamp.room='10 °C .. 35 °C'
  lampwright what-if my.lamp driver.red.current=200mA..500mA/7 --figure heat.junction.red --figure drive.red.power")]
pub(super) struct Args {
    #[command(flatten)]
    spec: SpecArgs,
    /// NAME=VALUE, or NAME=LOW..HIGH/STEPS for one sweep; the name of a `let`, or a path such as driver.red.current
    #[arg(required = true, value_name = "NAME=VALUE")]
    settings: Vec<String>,
    /// In a sweep: show and plot this figure, by its path, and what is left of its limit; may be given several times
    #[arg(long = "figure", value_name = "PATH")]
    figures: Vec<String>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    #[command(flatten)]
    report: ReportArgs,
}

/// A setting whose value may run over several.
struct Asked {
    path: String,
    values: Vec<String>,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let asked = args.settings.iter().map(|s| setting(s)).collect::<Result<Vec<Asked>, Trouble>>()?;
    let swept = asked.iter().filter(|a| a.values.len() > 1).count();
    if swept > 1 {
        return Err(Trouble::new("two sweeps at once").help("sweep one figure and give the other a value"));
    }
    let mut spec = root::read(&args.spec)?;
    let base = compile(&spec.name, &spec.text, &mut spec.loader, args.spec.variant.as_deref());
    let Some(old) = &base.compiled else {
        show::narrate(&base.diags, &base.sources);
        return Ok(Exit::Broken);
    };
    let count = asked.iter().map(|a| a.values.len()).max().unwrap_or(1);
    let mut runs = Vec::new();
    for at in 0..count {
        let value = |a: &Asked| a.values.get(at).or(a.values.first()).cloned().unwrap_or_default();
        let settings: Vec<Setting> = asked.iter().map(|a| Setting { path: a.path.clone(), value: value(a) }).collect();
        runs.push((settings.clone(), one(&mut spec, old, args, &settings)?));
    }
    let broken = runs.iter().all(|(_, outcome)| outcome.compiled.is_none());
    // What keeps one step of a sweep from being compiled is said once, of the first.
    if let Some((_, outcome)) =
        runs.iter().find(|(_, o)| o.compiled.is_none()).filter(|_| swept > 0 && matches!(args.format, Format::Text))
    {
        show::narrate(&outcome.diags, &outcome.sources);
    }
    match (args.format, swept) {
        (Format::Json, _) => say(&format!("{:#}\n", as_json(&spec.name, old, &runs, &args.figures))),
        (Format::Text, 0) => runs.iter().for_each(|(settings, outcome)| side_by_side(old, settings, outcome)),
        (Format::Text, _) => table(old, &asked, &runs, args)?,
    }
    if broken {
        return Ok(Exit::Broken);
    }
    let made = runs.iter().map(|(_, outcome)| outcome).filter(|o| o.compiled.is_some());
    Ok(check::verdict(made, args.report.fail_on))
}

fn setting(text: &str) -> Result<Asked, Trouble> {
    let Some((path, value)) = text.split_once('=').filter(|(path, value)| !path.is_empty() && !value.is_empty()) else {
        return Err(Trouble::new(format!("`{text}` is no NAME=VALUE")).help("write `driver.red.current=350mA`"));
    };
    let values = sweep::values(value).map_err(trouble)?.unwrap_or_else(|| vec![value.to_owned()]);
    Ok(Asked { path: path.trim().to_owned(), values })
}

fn trouble(refused: Refused) -> Trouble {
    Trouble::new(refused.message).help(refused.help)
}

fn one(spec: &mut Spec, old: &Compiled, args: &Args, settings: &[Setting]) -> Result<Outcome, Trouble> {
    let over = args.spec.variant.as_deref();
    let laid = lay(&spec.text, &old.document, &old.sources, over, settings).map_err(trouble)?;
    Ok(compile(&spec.name, &laid.text, &mut spec.loader, Some(&laid.variant)))
}

/// Verdicts and margins before and with the settings.
fn side_by_side(old: &Compiled, settings: &[Setting], outcome: &Outcome) {
    let told: Vec<String> = settings.iter().map(|s| format!("{} = {}", s.path, s.value)).collect();
    let Some(new) = &outcome.compiled else {
        show::narrate(&outcome.diags, &outcome.sources);
        return tell(&format!("what if {}: cannot be compiled\n", told.join(", ")));
    };
    let changes = Changes::between(&old.solution.ledger, &new.solution.ledger);
    tell(&format!(
        "what if {}\n\n  now:     {}\n  what if: {}\n",
        told.join(", "),
        old.identity().findings,
        new.identity().findings
    ));
    let moved = findings::findings(old, new, &changes);
    for finding in moved.iter().filter(|f| f.moved != Move::NoLongerChecked) {
        tell(&format!("  {}: {} {}: {}\n", finding.moved.word(), finding.signal.word(), finding.rule, finding.message));
    }
    tell(&no_longer_checked(old, new));
    let all = findings::margins_beyond(old, new, &changes, 0.0);
    let margins = findings::margins(old, new, &changes);
    if all.is_empty() {
        return tell("\n  no margin moves\n");
    }
    if !margins.is_empty() {
        tell(&format!("\n{}", laid::table(&rows(&margins), 0)));
    }
    let slight = all.len().saturating_sub(margins.len());
    if slight > 0 {
        tell(&format!("  moved by less than a tenth of what is left: {slight}; `--format json` has them\n"));
    }
}

/// Rules that could be checked and now cannot, under what each of them lacks.
fn no_longer_checked(old: &Compiled, new: &Compiled) -> String {
    let before = old.report.not_checked();
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for (rule, subject, missing) in new.report.not_checked() {
        if before.iter().any(|(r, s, _)| r.name == rule.name && *s == subject) {
            continue;
        }
        let told = findings::missing_told(new, missing);
        match groups.iter_mut().find(|(what, _)| *what == told) {
            Some((_, rules)) if rules.contains(&rule.name) => {}
            Some((_, rules)) => rules.push(rule.name),
            None => groups.push((told, vec![rule.name])),
        }
    }
    groups.iter().map(|(what, rules)| format!("  no longer checked, for {what}: {}\n", rules.join(", "))).collect()
}

fn rows(margins: &[MarginChange]) -> Vec<Vec<String>> {
    let head = ["figure", "now", "what if", "limit", "left now", "left then"].map(str::to_owned).to_vec();
    let row = |m: &MarginChange| {
        vec![
            format!("{} ({})", m.named(), m.rule),
            m.old.0.clone(),
            m.new.0.clone(),
            m.new.1.clone(),
            percent(m.old_margin),
            percent(m.new_margin),
        ]
    };
    std::iter::once(head).chain(margins.iter().map(row)).collect()
}

type Run = (Vec<Setting>, Outcome);

fn table(old: &Compiled, asked: &[Asked], runs: &[Run], args: &Args) -> Result<(), Trouble> {
    let made = || runs.iter().filter_map(|(_, o)| o.compiled.as_ref());
    let nowhere = |path: &&String| made().all(|c| c.solution.ledger.get(path).is_none());
    if let Some(path) = args.figures.iter().find(nowhere) {
        return Err(super::why::unknown(path, &old.solution.ledger));
    }
    let swept = asked.iter().find(|a| a.values.len() > 1);
    let Some(swept) = swept else { return Ok(()) };
    let figures: Vec<Option<&str>> = match args.figures.as_slice() {
        [] => vec![None],
        paths => paths.iter().map(|p| Some(p.as_str())).collect(),
    };
    let mut head = vec![swept.path.clone()];
    head.extend(figures.iter().flat_map(|f| [f.unwrap_or("nearest limit").to_owned(), "left".to_owned()]));
    head.push("verdict".to_owned());
    let mut rows = vec![head];
    let mut plots: Vec<Vec<Point>> = vec![Vec::new(); figures.len()];
    for (value, (_, outcome)) in swept.values.iter().zip(runs) {
        let mut row = vec![value.clone()];
        for (figure, points) in figures.iter().zip(&mut plots) {
            let (shown, left, number) = cells(outcome, *figure);
            points.push((value.clone(), number, if figure.is_some() { shown.clone() } else { left.clone() }));
            row.extend([shown, left]);
        }
        row.push(outcome.compiled.as_ref().map_or("cannot be compiled".into(), |c| c.identity().findings.clone()));
        rows.push(row);
    }
    say(&laid::table(&rows, rows.first().map_or(0, |head| head.len().saturating_sub(1))));
    for (figure, points) in figures.iter().zip(&plots) {
        let what = figure.unwrap_or("what is left of the nearest limit");
        say(&format!("\n  {what}, over {}\n{}", swept.path, sweep::plot(points)));
    }
    Ok(())
}

/// A row of a plot: value of the sweep, number, and how it is shown.
type Point = (String, Option<f64>, String);

/// The limit that counts most: of those that are passed the gravest, then the one passed furthest; where none is, the
/// one with the least left. What is worth a NOTICE only, or is waived, stands behind all others.
fn nearest(compiled: &Compiled) -> Option<(&'static Rule, &str, &Measure)> {
    let waived: Vec<(&str, &str)> =
        compiled.report.findings().iter().filter(|r| r.waiver.is_some()).map(|r| (r.rule.name, r.subject)).collect();
    let rank = |(rule, subject, measure): &(&'static Rule, &str, &Measure)| {
        let light = rule.signal == Signal::Notice || waived.contains(&(rule.name, *subject));
        let passed = !measure.holds();
        (light, !passed, passed.then_some(std::cmp::Reverse(rule.signal)))
    };
    // Margins come nearest first, and the sort keeps that order among equals.
    compiled.report.margins().into_iter().min_by_key(rank)
}

/// A figure and what is left of its own limit, or the limit nearest to be passed; and the number to plot.
fn cells(outcome: &Outcome, figure: Option<&str>) -> (String, String, Option<f64>) {
    let dash = || "–".to_owned();
    let Some(compiled) = &outcome.compiled else { return (dash(), dash(), None) };
    match figure {
        Some(path) => {
            let entry = compiled.solution.ledger.get(path);
            let margins = compiled.report.margins();
            let own = margins.iter().find(|(_, _, m)| m.path.as_deref() == Some(path));
            let left = own.map_or_else(dash, |(_, _, m)| percent(m.margin));
            (entry.map_or_else(dash, |e| e.shown.clone()), left, entry.and_then(|e| e.value))
        }
        None => {
            let nearest = nearest(compiled);
            let what =
                nearest.map_or_else(dash, |(rule, subject, _)| format!("{} {subject}", rule.name).trim().to_owned());
            let left = nearest.map_or_else(dash, |(_, _, m)| percent(m.margin));
            (what, left, nearest.map(|(_, _, m)| m.margin))
        }
    }
}

fn as_json(name: &str, old: &Compiled, runs: &[Run], figures: &[String]) -> Value {
    let runs: Vec<Value> = runs
        .iter()
        .map(|(settings, outcome)| {
            let set: serde_json::Map<String, Value> =
                settings.iter().map(|s| (s.path.clone(), Value::from(s.value.clone()))).collect();
            let Some(new) = &outcome.compiled else {
                let errors: Vec<Value> = outcome.diags.iter().map(|d| show::json(d, &outcome.sources)).collect();
                return json!({ "set": set, "compiled": false, "errors": errors });
            };
            let changes = Changes::between(&old.solution.ledger, &new.solution.ledger);
            json!({
                "set": set, "compiled": true, "counts": new.report.counts(),
                "figures": figures.iter().map(|p| json!({ "path": p, "entry": new.solution.ledger.get(p) })).collect::<Vec<_>>(),
                "findings": findings::findings(old, new, &changes),
                "margins": findings::margins_beyond(old, new, &changes, 0.0),
            })
        })
        .collect();
    json!({ "format": "lampwright what-if 1", "spec": name, "now": old.report.counts(), "runs": runs })
}
