//! Verb `packet`: the build packet of one variant, into a folder or to standard output.

use std::collections::BTreeMap;
use std::path::Path;

use crate::packet::compose::ComposeError;
use crate::packet::templates::{Overrides, TemplateError};
use crate::render::{self, File};
use crate::{Outcome, compile};

use super::files::{names_a_folder, shown, trouble, write_packet};
use super::laid::tell;
use super::many::{self, Done};
use super::output::{Trouble, narrate_messages, printable, say_bytes};
use super::root::{self, read_text};
use super::{Exit, ManyArgs, ReportArgs, check, show};

/// `packet`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright packet my.lamp -o out                     out/packet.pdf and all that belongs to it
  lampwright packet *.lamp -o out                      many lamps: out/NAME/packet.pdf each
  lampwright packet my.lamp --stdout sheets/safety.md  one file of it")]
pub(super) struct Args {
    #[command(flatten)]
    specs: ManyArgs,
    #[command(flatten)]
    report: ReportArgs,
    /// Folder to write the packet into; of many specs each gets a folder of its own in it
    #[arg(short, long, value_name = "DIR", default_value = "out")]
    output: String,
    /// Only these sheets, by name, separated by commas
    #[arg(long, value_name = "A,B", value_delimiter = ',')]
    sheets: Option<Vec<String>>,
    /// Print one file of the packet instead of writing the folder: packet.pdf, sheets/safety.md
    #[arg(long, value_name = "NAME")]
    stdout: Option<String>,
    /// Folder of templates that stand in for the shipped ones
    #[arg(long, value_name = "DIR")]
    templates: Option<String>,
}

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let overrides = overrides_of(args.templates.as_deref())?;
    names_a_folder(Path::new(&args.output))?;
    match args.specs.specs.as_slice() {
        [name] => {
            let done = one_packet(name, args, &overrides, &args.output)?;
            narrate_messages(&done.err);
            tell(&done.out);
            Ok(done.exit)
        }
        _ if args.stdout.is_some() => {
            Err(Trouble::new("`--stdout` prints a file of one packet").help("name one spec, or write the folders"))
        }
        names => {
            let folders = folders(names, &args.output)?;
            Ok(many::each(names, |name| {
                let folder = folders.get(name).map_or(args.output.as_str(), String::as_str);
                one_packet(name, args, &overrides, folder)
            }))
        }
    }
}

/// A folder for each spec, called like it.
pub(super) fn folders(names: &[String], output: &str) -> Result<BTreeMap<String, String>, Trouble> {
    names_a_folder(Path::new(output))?;
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    for name in names {
        let stem = Path::new(name).file_stem().map_or_else(|| "stdin".into(), |s| s.to_string_lossy().into_owned());
        let folder = format!("{output}/{}", if name == "-" { "stdin" } else { &stem });
        if let Some((other, _)) = found.iter().find(|(_, taken)| **taken == folder) {
            return Err(Trouble::new(format!("{other} and {name} would both be written into {folder}"))
                .help("write them into folders of their own, one run each"));
        }
        found.insert(name.clone(), folder);
    }
    Ok(found)
}

fn one_packet(name: &str, args: &Args, overrides: &Overrides, folder: &str) -> Result<Done, Trouble> {
    let mut spec = root::read(&args.specs.one(name))?;
    let variant = args.specs.variant.as_deref();
    let outcome = compile(&spec.name, &spec.text, &mut spec.loader, variant);
    let mut err = show::messages(&check::messages(&outcome, args.specs.least()), &outcome.sources);
    let Some(compiled) = &outcome.compiled else {
        err.push_str(&printable(&format!("{}; nothing was written\n", check::summary(&spec.name, None, &outcome))));
        return Ok(Done { err, out: String::new(), exit: Exit::Broken });
    };
    let packet = compiled.packet(overrides, args.sheets.as_deref()).map_err(|e| composing(&e))?;
    let files = files(&packet)?;
    let mut out = String::new();
    match &args.stdout {
        Some(name) => one(&files, name)?,
        None => {
            write_packet(Path::new(folder), &files)?;
            out = written(&spec.name, variant, folder, &outcome, packet.sheets.len(), files.len());
        }
    }
    Ok(Done { err, out, exit: check::verdict(std::iter::once(&outcome), args.report.fail_on) })
}

fn written(name: &str, variant: Option<&str>, folder: &str, outcome: &Outcome, sheets: usize, files: usize) -> String {
    let line = check::summary(name, variant, outcome);
    let missing = check::not_checked(outcome);
    format!("{line}\n{missing}{sheets} sheets in {files} files: {folder}/packet.pdf\n")
}

pub(super) fn files(packet: &crate::packet::sheet::Packet) -> Result<Vec<File>, Trouble> {
    render::files(packet).map_err(|errors| {
        let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
        Trouble::new(format!("the packet cannot be set: {}", lines.join("; ")))
            .help("shorten the text named, or change the template of that sheet")
    })
}

fn one(files: &[File], name: &str) -> Result<(), Trouble> {
    match files.iter().find(|f| f.path == name) {
        Some(file) => say_bytes(&file.bytes),
        None => {
            let names: Vec<&str> = files.iter().map(|f| f.path.as_str()).collect();
            return Err(
                Trouble::new(format!("the packet has no file `{name}`")).help(format!("it has {}", names.join(", ")))
            );
        }
    }
    Ok(())
}

/// The templates of `--templates`; none where it was not given.
pub(super) fn overrides_of(folder: Option<&str>) -> Result<Overrides, Trouble> {
    Ok(folder.map(|d| overrides(Path::new(d))).transpose()?.unwrap_or_default())
}

/// Every template below a folder, by its path below it.
fn overrides(folder: &Path) -> Result<Overrides, Trouble> {
    if !folder.is_dir() {
        return Err(Trouble::new(format!("{} is not a folder", shown(folder)))
            .help("`--templates` names a folder laid out like the project's templates/"));
    }
    let mut found = BTreeMap::new();
    let mut open = vec![String::new()];
    while let Some(below) = open.pop() {
        let at = folder.join(&below);
        let entries = std::fs::read_dir(&at).map_err(|e| trouble("cannot look into", &at, &e))?;
        for entry in entries.flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = if below.is_empty() { name } else { format!("{below}/{name}") };
            if entry.file_type().is_ok_and(|t| t.is_dir()) {
                open.push(path);
            } else if path.ends_with(".md") || path.ends_with(".html") {
                within(folder, &entry.path())?;
                found.insert(path, read_text(&entry.path())?);
            }
        }
    }
    match found.keys().find(|path| !has_a_place(path)) {
        Some(path) => Err(misplaced(folder, path)),
        None => Ok(found),
    }
}

/// Names of the templates that the program fills in.
fn template_names() -> Vec<&'static str> {
    let sheets = crate::packet::sheets::ALL.iter().map(|s| s.template_name);
    sheets.chain(["pick.md", "revision.md"]).collect()
}

/// Whether a file stands in for a template, or is a note to its reader.
fn has_a_place(path: &str) -> bool {
    template_names().contains(&path) || path.eq_ignore_ascii_case("readme.md")
}

/// A file that would be passed over in silence.
fn misplaced(folder: &Path, path: &str) -> Trouble {
    let misplaced = Trouble::new(format!("{} stands in for no template", shown(&folder.join(path))));
    let names = template_names();
    let file = path.rsplit('/').next().unwrap_or(path);
    let same = names.iter().find(|n| n.rsplit('/').next() == Some(file));
    let like = |n: &&&str| strsim::jaro_winkler(n, path);
    let near = names.iter().filter(|n| like(n) > 0.85).max_by(|a, b| like(a).total_cmp(&like(b)));
    match same.or(near) {
        Some(right) => misplaced.help(format!("did you mean {}?", shown(&folder.join(right)))),
        None => misplaced.help(format!("templates are {}", names.join(", "))),
    }
}

/// A link in the folder of templates does not lead out of it.
fn within(folder: &Path, file: &Path) -> Result<(), Trouble> {
    let whole = |p: &Path| std::fs::canonicalize(p).map_err(|e| trouble("cannot read", p, &e));
    if whole(file)?.starts_with(whole(folder)?) {
        return Ok(());
    }
    Err(Trouble::new(format!("{} leads out of the folder of templates", shown(file)))
        .help("copy the template into the folder instead of linking to it"))
}

pub(super) fn composing(error: &ComposeError) -> Trouble {
    match error {
        ComposeError::Template(TemplateError { template, line, message, .. }) => {
            Trouble::new(format!("template {template}, line {line}: {message}"))
                .help("the shipped templates show the names that each sheet knows")
        }
        ComposeError::Dropped { sheet, row } => {
            Trouble::new(format!("the template of sheet `{sheet}` drops a row that must stay: {row}"))
                .help("keep the row; a template may move and word around it, not leave it out")
        }
        ComposeError::Bar(fault) => {
            let found = fault.length.map_or_else(|| "missing".to_owned(), |length| format!("{length:.3} mm long"));
            Trouble::new(format!("the {} bar of the drawing `{}` is {found}, not 100 mm", fault.way, fault.drawing))
                .help("nothing was written; a print of this sheet would be wrong in size. Report it with this lamp")
        }
        ComposeError::NoSuchSheet(name) => {
            let names: Vec<&str> = crate::packet::sheets::ALL.iter().map(|s| s.name).collect();
            Trouble::new(format!("there is no sheet `{name}`")).help(format!("sheets are {}", names.join(", ")))
        }
    }
}
