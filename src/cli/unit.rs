//! Verb `unit`: as-built files against their specs: each reading within, outside or open, the lamp judged again with
//! what was fitted and measured; of several files, which lamp stands out.

use std::collections::BTreeMap;
use std::path::{Component, Path};

use serde_json::{Value, json};

use crate::built::judge::{Outlier, Row, Verdict, outliers, rows};
use crate::built::laid::{self, Laid};
use crate::built::{self, AsBuilt, start};
use crate::compare::{Reach, compare, text};
use crate::figures::percent;
use crate::packet::templates::Overrides;
use crate::rules::report::Report;
use crate::{Compiled, Outcome, compile, compile_fitted};

use super::files::{shown, trouble, write_new};
use super::laid::{table, tell};
use super::output::{Trouble, complain, narrate, say};
use super::root::{self, read_text};
use super::{Exit, FailOn, Format, SpecArgs, check, show};

/// `unit`.
#[derive(clap::Args)]
#[command(
    before_help = "\
Examples:
  lampwright unit my.lamp --start 7 -o built/7.built    a file with every reading open
  lampwright unit built/7.built                         judge what was written into it
  lampwright unit built/7.built built/8.built           a batch, and which lamp stands out",
    after_help = "Exit codes: 0 nothing is outside, 1 something is, or is open under --complete, 2 a file cannot be read as what it is"
)]
pub(super) struct Args {
    /// As-built files; with --start the spec
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    /// Begin the as-built file of the lamp of this number
    #[arg(long, value_name = "NUMBER")]
    start: Option<u32>,
    /// Where to write the file that --start begins; standard output where it is not named
    #[arg(short, long, value_name = "FILE", requires = "start")]
    output: Option<String>,
    /// The serial of the lamp that --start begins
    #[arg(long, value_name = "TEXT", requires = "start")]
    serial: Option<String>,
    /// The variant that --start builds
    #[arg(long, requires = "start")]
    variant: Option<String>,
    /// Let open readings and stages fail, too
    #[arg(long)]
    complete: bool,
    /// Least signal word of the lamp as it was fitted that makes the exit code 1
    #[arg(long, value_enum, default_value_t = FailOn::Danger)]
    fail_on: FailOn,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    if let Some(number) = args.start {
        return begin(args, number);
    }
    let (mut exit, mut judged, mut pieces) = (Exit::Clean, Vec::new(), Vec::new());
    for name in &args.files {
        match one(name) {
            Ok(Some(unit)) => {
                exit = exit.max(unit.exit(args));
                match args.format {
                    Format::Text => tell(&as_text(&unit)),
                    Format::Json => pieces.push(as_json(&unit)),
                }
                judged.push(unit);
            }
            Ok(None) => exit = exit.max(Exit::Broken),
            Err(trouble) => {
                complain(&trouble);
                exit = exit.max(Exit::Usage);
            }
        }
    }
    let far = far_off(&judged);
    match args.format {
        Format::Text => tell(&standing_out(&far)),
        Format::Json => {
            let document = json!({ "format": "lampwright unit 1", "units": pieces, "standing_out": far });
            say(&format!("{document:#}\n"));
        }
    }
    Ok(exit)
}

/// One as-built file, judged.
struct Unit {
    file: String,
    built: AsBuilt,
    /// The lamp with what was fitted.
    lamp: Box<Compiled>,
    /// Digest of the spec as it lies here, without what was fitted.
    digest: String,
    rows: Vec<Row>,
    /// What was fitted changes this.
    changed: String,
    /// What became of each reading.
    laid: Vec<Laid>,
    /// The lamp with measured figures laid over what was fitted; nothing where none was.
    measured: Option<Box<Compiled>>,
}

impl Unit {
    fn count(&self, verdict: Verdict) -> usize {
        self.rows.iter().filter(|r| r.verdict == verdict).count()
    }

    /// Whether the papers it names are those of the spec as it lies here; nothing where it names none.
    fn current(&self) -> Option<bool> {
        let papers = self.built.papers.as_ref()?;
        let code = papers.split('-').next().unwrap_or_default().trim().to_ascii_lowercase();
        Some(code.len() >= 4 && self.digest.starts_with(&code))
    }

    fn exit(&self, args: &Args) -> Exit {
        let outside = self.count(Verdict::Outside) > 0 || self.count(Verdict::Unsure) > 0;
        let open = args.complete && (self.count(Verdict::Open) > 0 || self.current().is_none());
        let stale = self.current() == Some(false);
        let worked_out = std::iter::once(&self.lamp).chain(&self.measured);
        let found = worked_out.flat_map(|lamp| lamp.report.standing()).any(|r| args.fail_on.fails(r.rule.signal));
        if outside || open || stale || found { Exit::Findings } else { Exit::Clean }
    }
}

/// Reads and judges; nothing where a file cannot be read as what it is, which is said then.
fn one(name: &str) -> Result<Option<Unit>, Trouble> {
    let path = Path::new(name);
    let written = read_text(path)?;
    let built = match built::read(name, &written) {
        Ok(built) => built,
        Err((diags, sources)) => {
            show::narrate(&diags, &sources);
            narrate(&format!("{name}: cannot be read as an as-built file\n"));
            return Ok(None);
        }
    };
    show::narrate(&built.cautions, &built.sources);
    let beside = path.parent().unwrap_or(Path::new("")).join(&built.spec);
    let mut spec = root::read(&SpecArgs { spec: shown(&beside), variant: None, library: None })?;
    let variant = built.variant.as_deref();
    let plain = compile(&spec.name, &spec.text, &mut spec.loader, variant);
    let fitted = compile_fitted(&spec.name, &spec.text, &mut spec.loader, variant, &[(name, &written)]);
    let (Some(plain), Some(lamp)) = (lamp_of(plain, name), lamp_of(fitted, name)) else { return Ok(None) };
    check_channels(&built, &lamp, name)?;
    let changed = match compare(&plain, &lamp, &Overrides::default()) {
        Ok(found) if found.reach != Reach::None => text::fitted(&found, &built.number.to_string()),
        _ => String::new(),
    };
    let rows = rows(&built, &lamp);
    let mut laid = laid::lay(&built, &lamp, None);
    let mut measured = None;
    // Twice: what the first pass finds of a resistor that alone makes a current is laid over in the second.
    for again in [true, false] {
        if laid.1.is_empty() {
            break;
        }
        let layers = [(name, written.as_str()), (MEASURED, laid.1.as_str())];
        let outcome = compile_fitted(&spec.name, &spec.text, &mut spec.loader, variant, &layers);
        let Some(found) = lamp_of(outcome, name) else { return Ok(None) };
        if again {
            laid = laid::lay(&built, &lamp, Some(&found));
        }
        measured = Some(found);
    }
    if let Some(measured) = &measured {
        laid::note_currents(&mut laid.0, &built, measured);
    }
    let digest = plain.identity().digest.clone();
    Ok(Some(Unit { file: name.to_owned(), digest, built, rows, changed, lamp, laid: laid.0, measured }))
}

/// How messages name the layer of measured figures.
const MEASURED: &str = "(measured figures)";

fn lamp_of(outcome: Outcome, name: &str) -> Option<Box<Compiled>> {
    if outcome.compiled.is_none() {
        show::narrate(&outcome.diags, &outcome.sources);
        narrate(&format!("{name}: the lamp it names cannot be compiled so\n"));
    }
    outcome.compiled
}

/// A reading of a channel that the lamp does not have would be lost without a word.
fn check_channels(built: &AsBuilt, lamp: &Compiled, name: &str) -> Result<(), Trouble> {
    let known: Vec<&str> = lamp.lamp.driver.channels.iter().map(|c| c.name.as_str()).collect();
    match built.channels.iter().find(|(channel, _)| !known.contains(&channel.as_str())) {
        Some((channel, _)) => Err(Trouble::new(format!("{name}: this lamp has no channel `{channel}`"))
            .help(format!("its channels: {}", known.join(", ")))),
        None => Ok(()),
    }
}

fn as_text(unit: &Unit) -> String {
    let built = &unit.built;
    let variant = built.variant.as_ref().map_or_else(String::new, |v| format!(", variant {v}"));
    let serial = built.serial.as_ref().map_or_else(String::new, |s| format!(", serial {s},"));
    let mut out = format!("{}: unit {}{serial} of {}{variant}\n", unit.file, built.number, unit.lamp.identity().lamp);
    match unit.current() {
        Some(true) => out.push_str(&format!("  papers {}: those of the spec as it lies here\n", unit.digest)),
        Some(false) => out.push_str(&format!(
            "  papers {}: STALE, the spec now gives {}; `lampwright which` says what changed\n",
            built.papers.as_deref().unwrap_or_default(),
            unit.digest
        )),
        None => out.push_str("  papers open: `unit.papers` is not written\n"),
    }
    let word = |verdict: Verdict| match verdict {
        Verdict::Outside => "OUTSIDE",
        Verdict::Unsure => "UNSURE",
        Verdict::Open => "open",
        Verdict::Within => "within",
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for r in &unit.rows {
        rows.push(vec![word(r.verdict).to_owned(), r.what.clone(), r.measured.clone(), format!("({})", r.expect)]);
        // That an open line is not written needs no words; why a written one is open does.
        if !r.note.is_empty() && !r.measured.is_empty() {
            rows.push(vec![String::new(), format!("  {}", r.note), String::new(), String::new()]);
        }
    }
    out.push_str(&table(&rows, 1));
    if !unit.changed.is_empty() {
        out.push_str("\nWith what was fitted in place of the spec:\n");
        out.push_str(&unit.changed);
        out.push('\n');
    }
    out.push_str(&as_measured(unit));
    out.push_str(&format!("{}: {}\n", unit.file, summary(unit)));
    out
}

/// The lamp worked out again with measured figures, and which judgements that moved.
fn as_measured(unit: &Unit) -> String {
    let Some(measured) = &unit.measured else { return String::new() };
    let mut out = "\nWorked out again with measured figures:\n".to_owned();
    for row in &unit.laid {
        out.push_str(&match &row.path {
            Some(path) if row.note.is_empty() => format!("  {} takes the place of {path}\n", row.key),
            Some(path) => format!("  {} takes the place of {path}, {}\n", row.key, row.note),
            None => format!("  {}: {}\n", row.key, row.note),
        });
    }
    let moved = laid::moved(&unit.lamp, measured);
    if moved.is_empty() {
        out.push_str("  no judgement moved\n");
    }
    let slight = moved.iter().filter(|row| row.slight).count();
    for row in moved.iter().filter(|row| !row.slight) {
        let word = if row.turned { "TURNED" } else { "moved" };
        let of = if row.subject.is_empty() { String::new() } else { format!(", {}", row.subject) };
        out.push_str(&format!("  {word}: {}{of}\n      was {}\n      now {}\n", row.rule, row.from, row.to));
    }
    if slight > 0 {
        out.push_str(&format!(
            "  slightly moved, by less than a tenth of what is left: {slight}; `--format json` has them\n"
        ));
    }
    out.push_str(&format!("  the lamp as measured: {}\n\n", verdict(&measured.report)));
    out
}

fn summary(unit: &Unit) -> String {
    let count = |verdict| unit.count(verdict);
    let mut out = format!("{} within, {} outside", count(Verdict::Within), count(Verdict::Outside));
    if count(Verdict::Unsure) > 0 {
        out.push_str(&format!(", {} too near for the meter", count(Verdict::Unsure)));
    }
    format!("{out}, {} open; the lamp: {}", count(Verdict::Open), verdict(&unit.lamp.report))
}

fn verdict(report: &Report) -> String {
    report.counts().line()
}

fn as_json(unit: &Unit) -> Value {
    json!({
        "file": unit.file,
        "number": unit.built.number,
        "serial": unit.built.serial,
        "lamp": unit.lamp.identity().lamp,
        "variant": unit.built.variant,
        "papers": unit.built.papers,
        "current": unit.current(),
        "digest": unit.digest,
        "rows": unit.rows,
        "counts": unit.lamp.report.counts(),
        "words": unit.built.words,
        "laid_over": unit.laid,
        "measured": unit.measured.as_ref().map(|measured| json!({
            "counts": measured.report.counts(),
            "moved": laid::moved(&unit.lamp, measured),
        })),
    })
}

/// Lamps of one spec and variant beside each other.
fn far_off(units: &[Unit]) -> Vec<Outlier> {
    let mut batches: BTreeMap<(String, Option<String>), Vec<AsBuilt>> = BTreeMap::new();
    for unit in units {
        let key = (unit.lamp.identity().lamp.clone(), unit.built.variant.clone());
        batches.entry(key).or_default().push(unit.built.clone());
    }
    batches.values().flat_map(|batch| outliers(batch)).collect()
}

fn standing_out(found: &[Outlier]) -> String {
    let line = |o: &Outlier| {
        let way = if o.off > 0.0 { "above" } else { "below" };
        format!("unit {} stands out: {} is {} {way} the middle of the batch\n", o.number, o.key, percent(o.off.abs()))
    };
    found.iter().map(line).collect()
}

fn begin(args: &Args, number: u32) -> Result<Exit, Trouble> {
    let [name] = args.files.as_slice() else {
        return Err(Trouble::new("`--start` begins the file of one lamp").help("name one spec"));
    };
    let mut spec = root::read(&SpecArgs { spec: name.clone(), variant: None, library: None })?;
    let outcome = compile(&spec.name, &spec.text, &mut spec.loader, args.variant.as_deref());
    let Some(compiled) = &outcome.compiled else {
        show::narrate(&outcome.diags, &outcome.sources);
        let line = check::summary(&spec.name, args.variant.as_deref(), &outcome);
        narrate(&format!("{line}; nothing was written\n"));
        return Ok(Exit::Broken);
    };
    let text = start::text(compiled, &from_there(name, args.output.as_deref()), number, args.serial.as_deref());
    let Some(output) = &args.output else {
        say(&text);
        return Ok(Exit::Clean);
    };
    let path = Path::new(output);
    if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(|e| trouble("cannot make", folder, &e))?;
    }
    write_new(path, &text)?;
    narrate(&format!("{output}: written, every reading open\n"));
    Ok(Exit::Clean)
}

/// How the file at `output` names the spec that we call `name`.
fn from_there(name: &str, output: Option<&str>) -> String {
    let plain = |path: &Path| path.components().all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
    let folder = output.and_then(|o| Path::new(o).parent()).unwrap_or(Path::new(""));
    if !plain(Path::new(name)) || !plain(folder) {
        return name.to_owned();
    }
    let depth = folder.components().filter(|c| matches!(c, Component::Normal(_))).count();
    format!("{}{name}", "../".repeat(depth))
}
