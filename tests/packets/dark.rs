//! Lamps that give no light, or a channel of which gives none: each composes a packet, and no text has a figure that is
//! none. What cannot be worked out of them is not checked, with its reason.

use lampwright::packet::templates::Overrides;
use lampwright::render;
use lampwright::rules::rule::Outcome;

use crate::support::{findings, sheet, text_of, varied};

/// What makes an example dark, and how many of its channels.
const DARK: &[(&str, &str, &str)] = &[
    ("longsill-linear", "every string above its supply", "emitter { die warm { count 12 } die cool { count 12 } }"),
    ("longsill-linear", "one string above it", "emitter { die cool { count 12 } }"),
    ("longsill-linear", "no flux", "emitter { die warm { flux 0 lm at 24 mA } die cool { flux 0 lm at 24 mA } }"),
    ("longsill-linear", "no flux of one", "emitter { die warm { flux 0 lm at 24 mA } }"),
    ("longsill-linear", "a sheet that lets nothing through", "diffuser { transmission 0 % }"),
    ("longsill-linear", "dice that radiate nothing", "emitter { die warm { efficiency 0 % } }"),
    ("heron-head", "a sheet that lets nothing through", "diffuser { transmission 0 % }"),
    ("heron-head", "every string above its supply", "emitter { die warm { count 9 } die cool { count 9 } }"),
    ("heron-head", "one string above it", "emitter { die warm { count 9 } }"),
    ("slate-wall", "every string above its supply", "emitter { die warm { count 30 } die cool { count 30 } }"),
    ("alder-table", "no mains to speak of", "mains { voltage 0 V }"),
];

/// What no text of a finding may hold: figures that are none, and advice made of them.
const NONSENSE: [&str; 9] =
    ["no limit", "unknown", "ask for 0 A", "by –", "of –", "up to –", "inf ", "NaN", "between them is best"];

#[test]
fn a_dark_lamp_has_its_papers() {
    for (name, what, change) in DARK {
        let lamp = varied(&text_of(name), change);
        for judged in &lamp.report.judged {
            for verdict in &judged.verdicts {
                let Outcome::Finding(found) = &verdict.outcome else { continue };
                for said in [&found.message, &found.fix] {
                    let wrong = NONSENSE.iter().find(|w| said.contains(**w));
                    assert!(wrong.is_none(), "{name}, {what}: {} says `{said}`", judged.rule.name);
                }
            }
        }
        let packet = lamp.packet(&Overrides::new(), None).unwrap_or_else(|e| panic!("{name}, {what}: {e:?}"));
        let files = render::files(&packet).unwrap_or_else(|e| panic!("{name}, {what}: {e:?}"));
        for file in files.iter().filter(|f| !f.path.ends_with(".pdf")) {
            let text = String::from_utf8_lossy(&file.bytes);
            let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
            assert!(words.all(|w| w != "NaN" && w != "inf"), "{name}, {what}: {}", file.path);
        }
        assert!(sheet(&lamp, "light").contains("light-budget.svg"), "{name}, {what}");
    }
}

/// Reasons a reader can follow: the figure that is nothing, and not one of ours that he cannot write.
#[test]
fn what_cannot_be_worked_out_of_it_is_not_checked() {
    let lamp = varied(&text_of("longsill-linear"), DARK[0].2);
    for (rule, missing) in [
        ("supply/ripple", "drive.warm.current"),
        ("light/more-than-radiated", "drive.warm.radiant"),
        ("drive/runaway", "drive.warm.current"),
        ("light/too-bright-low-end", "light.channel.warm"),
        ("light/hot-spot", "light.channel.warm"),
    ] {
        let judged = lamp.report.judged.iter().find(|j| j.rule.name == rule).expect("the rule");
        let outcome = &judged.verdicts.first().expect("a verdict").outcome;
        assert!(matches!(outcome, Outcome::NotChecked(m) if m.path == missing), "{rule}: {outcome:?}");
    }
    let safety = sheet(&lamp, "safety");
    assert!(safety.contains("`drive.warm.current` is 0 A"), "{safety}");
    let said = findings(&lamp);
    for rule in ["supply/headroom", "light/flux-short", "drive/no-current-control"] {
        assert!(said.contains(&rule.to_owned()), "{rule}");
    }
}

/// A sink as cool as its air has no best gap to be held against.
#[test]
fn a_cool_sink_is_not_told_to_move_its_fins() {
    let change = "emitter { die warm { count 30 } die cool { count 30 } }";
    let lamp = varied(&text_of("slate-wall"), change);
    let judged = lamp.report.judged.iter().find(|j| j.rule.name == "heat/fins-choked").expect("the rule");
    for verdict in &judged.verdicts {
        assert!(!matches!(verdict.outcome, Outcome::Finding(_)), "{:?}", verdict.outcome);
    }
}
