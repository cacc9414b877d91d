//! Verbs `rules` and `rule`: the registry as a list, and one rule explained.

use clap::Args;
use serde_json::json;

use crate::language::suggest::nearest;
use crate::rules::rule::Rule;
use crate::rules::{self as registry};

use super::laid::broken;
use super::output::{Trouble, say};
use super::{Exit, Format};

/// `rules`.
#[derive(Args)]
#[command(before_help = "\
Examples:
  lampwright rules          every rule, one a line
  lampwright rules mains    those of one area")]
pub(super) struct ListArgs {
    /// Only rules whose name begins so: `mains`
    area: Option<String>,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// `rule`.
#[derive(Args)]
#[command(before_help = "\
Examples:
  lampwright rule mains/cord-hole    what it looks at, why, its source and the fix")]
pub(super) struct OneArgs {
    /// Its name: `mains/no-earth`
    #[arg(value_parser = Names, hide_possible_values = true)]
    name: String,
    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// Every name, for the shell's completion; a name that is none is told by the verb, which knows a near one.
#[derive(Clone)]
struct Names;

impl clap::builder::TypedValueParser for Names {
    type Value = String;

    fn parse_ref(
        &self,
        command: &clap::Command,
        argument: Option<&clap::Arg>,
        value: &std::ffi::OsStr,
    ) -> Result<String, clap::Error> {
        clap::builder::StringValueParser::new().parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = clap::builder::PossibleValue> + '_>> {
        Some(Box::new(registry::ALL.iter().map(|rule| clap::builder::PossibleValue::new(rule.name).help(rule.title))))
    }
}

pub(super) fn list(args: &ListArgs) -> Result<Exit, Trouble> {
    let area = args.area.as_deref().unwrap_or("");
    let rules: Vec<&Rule> = registry::ALL.iter().copied().filter(|r| r.name.starts_with(area)).collect();
    if rules.is_empty() {
        return Err(
            Trouble::new(format!("no rule's name begins with `{area}`")).help("`lampwright rules` lists them all")
        );
    }
    if args.format == Format::Json {
        let all: Vec<_> = rules.iter().map(|r| object(r)).collect();
        say(&format!("{:#}\n", serde_json::Value::from(all)));
        return Ok(Exit::Clean);
    }
    let width = rules.iter().map(|r| r.name.len()).max().unwrap_or(0);
    for rule in rules {
        let waived = if rule.waivable { "" } else { " (never waived)" };
        say(&format!("{:<width$}  {:<7}  {}{waived}\n", rule.name, rule.signal.word(), rule.title));
    }
    Ok(Exit::Clean)
}

pub(super) fn one(args: &OneArgs) -> Result<Exit, Trouble> {
    let Some(rule) = registry::find(&args.name) else {
        let names = || registry::ALL.iter().map(|r| r.name);
        let without_area = names().find(|name| name.split('/').nth(1) == Some(args.name.as_str()));
        let near = without_area.or_else(|| nearest(&args.name, names()));
        let hint = near.map_or_else(String::new, |name| format!("did you mean `{name}`? "));
        return Err(Trouble::new(format!("there is no rule `{}`", args.name))
            .help(format!("{hint}`lampwright rules` lists them all")));
    };
    if args.format == Format::Json {
        say(&format!("{:#}\n", object(rule)));
        return Ok(Exit::Clean);
    }
    let waiver = if rule.waivable { "a waiver with a reason and a name lets it through" } else { "never waived" };
    let rows = [
        ("raised when", rule.title),
        ("why", rule.why),
        ("usual fix", rule.fix),
        ("source", rule.source),
        ("waiver", waiver),
    ];
    say(&format!("{}  {}\n\n", rule.name, rule.signal.word()));
    for (head, text) in rows {
        say(&paragraph(head, text));
    }
    Ok(Exit::Clean)
}

fn object(rule: &Rule) -> serde_json::Value {
    json!({
        "name": rule.name, "signal": rule.signal, "waivable": rule.waivable, "title": rule.title,
        "source": rule.source, "why": rule.why, "fix": rule.fix,
    })
}

/// A heading in a narrow column, the text beside it, 79 columns wide.
fn paragraph(head: &str, text: &str) -> String {
    let (first, further) = (format!("  {head:<12} "), " ".repeat(15));
    broken(text, 79, (&first, &further)).join("\n") + "\n"
}
