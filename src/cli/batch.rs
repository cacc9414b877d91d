//! Verb `batch`: the papers of several lamps built at once: one pick list over all specs, a traveller for each unit.

use std::path::Path;

use crate::packet::compose::Serial;
use crate::{Compiled, batch, compile};

use super::files::write_packet;
use super::laid::tell;
use super::output::{Trouble, say};
use super::{Exit, ManyArgs, ReportArgs, check, packet, root, show};

/// `batch`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright batch my.lamp -o batch               a traveller for each unit of `quantity`, and what to pick
  lampwright batch my.lamp --first 5 -o batch     units numbered from 5 on
  lampwright batch a.lamp b.lamp -o batch         one pick list over both designs")]
pub(super) struct Args {
    #[command(flatten)]
    specs: ManyArgs,
    #[command(flatten)]
    report: ReportArgs,
    /// Folder to write into: the pick list, and travellers in a folder for each spec
    #[arg(short, long, value_name = "DIR", default_value = "batch")]
    output: String,
    /// Number of the first unit of each spec; with --serial the numbers run on from spec to spec
    #[arg(long, default_value_t = 1)]
    first: u32,
    /// Serial numbers: this text with the unit's number behind it, as long as the last one's: AL-26-07
    #[arg(long, value_name = "TEXT")]
    serial: Option<String>,
    /// Folder of templates that stand in for the shipped ones
    #[arg(long, value_name = "DIR")]
    templates: Option<String>,
}

/// Travellers of one spec at most (our limit).
const MOST: u32 = 500;

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let overrides = packet::overrides_of(args.templates.as_deref())?;
    let folders = packet::folders(&args.specs.specs, &args.output)?;
    let (mut lamps, mut exit) = (Vec::new(), Exit::Clean);
    for name in &args.specs.specs {
        let mut spec = root::read(&args.specs.one(name))?;
        let outcome = compile(&spec.name, &spec.text, &mut spec.loader, args.specs.variant.as_deref());
        tell(&format!("{}\n", check::summary(&spec.name, args.specs.variant.as_deref(), &outcome)));
        exit = exit.max(check::verdict(std::iter::once(&outcome), args.report.fail_on));
        match outcome.compiled {
            Some(compiled) => lamps.push((name, compiled)),
            // A pick list that lacks a lamp would be short on the bench.
            None => {
                show::narrate(&outcome.diags, &outcome.sources);
                say("nothing was written\n");
                return Ok(Exit::Broken);
            }
        }
    }
    let units_of = |lamp: &Compiled| lamp.lamp.identity.quantity.value.unwrap_or(1);
    if let Some((name, lamp)) = lamps.iter().find(|(_, lamp)| units_of(lamp) > MOST) {
        return Err(Trouble::new(format!("{name} asks for {} travellers; the limit is {MOST}", units_of(lamp)))
            .help("build it in batches, each with its `--first`"));
    }
    let all: Vec<&Compiled> = lamps.iter().map(|(_, lamp)| &**lamp).collect();
    if let Some(pick) = batch::packet(&all, &overrides).map_err(|e| packet::composing(&e))? {
        write_packet(Path::new(&args.output), &packet::files(&pick)?)?;
        say(&format!("pick list: {}/packet.pdf\n", args.output));
    }
    // No two lamps of a batch get one serial: their numbers run on.
    let all_units = lamps.iter().map(|(_, lamp)| units_of(lamp)).fold(0, u32::saturating_add);
    let digits = args.first.saturating_add(all_units.saturating_sub(1)).to_string().len();
    let serial = args.serial.as_deref().map(|text| Serial { text, digits });
    let mut first = args.first;
    for (name, lamp) in &lamps {
        let units = units_of(lamp);
        let made = lamp.travellers(&overrides, first, units, serial).map_err(|e| packet::composing(&e))?;
        let folder = folders.get(name.as_str()).map_or(args.output.as_str(), String::as_str);
        write_packet(Path::new(folder), &packet::files(&made)?)?;
        let last = first.saturating_add(units.saturating_sub(1));
        let told = match units {
            1 => format!("traveller of unit {last}"),
            _ => format!("travellers of units {first} to {last}"),
        };
        if serial.is_some() {
            first = first.saturating_add(units);
        }
        say(&format!("{told}: {folder}/packet.pdf\n"));
    }
    Ok(exit)
}
