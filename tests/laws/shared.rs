//! What is worked out once for many, or left out because nobody asked for it, changes nothing of what is said.

use lampwright::packet::templates::Overrides;
use lampwright::rules::report::lacking;
use lampwright::rules::rule::Outcome;
use lampwright::{Compiled, Reading};

use crate::support::{Examples, examples, root, text_of};

fn reading(text: &str) -> Reading {
    Reading::new("spec.lamp", text, &mut Examples, &[])
}

fn worked_out(reading: &Reading, variant: Option<&str>) -> Box<Compiled> {
    let outcome = reading.work_out(variant);
    outcome.compiled.unwrap_or_else(|| panic!("{variant:?} does not compile: {:?}", outcome.diags))
}

/// All that the rules say, and why what is not checked is not.
pub(crate) fn said(compiled: &Compiled) -> Vec<String> {
    let verdicts = compiled.report.judged.iter().flat_map(|j| j.verdicts.iter().map(|v| (j.rule.name, v)));
    let line = |(rule, verdict): (&str, &lampwright::rules::rule::Verdict)| match &verdict.outcome {
        Outcome::NotChecked(missing) => {
            format!("{rule} {}: {missing:?} {}", verdict.subject, lacking(missing, &compiled.solution.ledger))
        }
        outcome => format!("{rule} {}: {outcome:?}", verdict.subject),
    };
    verdicts.map(line).collect()
}

/// Variants that leave the engine as it is, that change it, and that take a figure from it.
const VARIANTS: &str = "
variant other-mains { lamp { region us }; mains { voltage 120 V } }
variant other-room { lamp { room 5 °C .. 40 °C } }
variant other-current { driver { spare 0.6 V } }
variant same-again { driver { spare 0.5 V } }
variant lost { emitter { distance unknown } }
";

#[test]
fn a_lamp_that_shares_an_engine_is_as_one_worked_out_alone() {
    let mut alike = 0;
    for name in examples() {
        let text = text_of(&name) + VARIANTS;
        let (lamp_first, variant_first) = (reading(&text), reading(&text));
        let lamp = worked_out(&lamp_first, None);
        for variant in lamp_first.variants() {
            // Where the example has no such block, the variant is no spec; that is another test's matter.
            let Some(alone) = reading(&text).work_out(Some(variant)).compiled else { continue };
            let entries = |lamp: &Compiled| lamp.solution.ledger.iter().cloned().collect::<Vec<_>>();
            for together in [&lamp_first, &variant_first] {
                let shared = worked_out(together, Some(variant));
                assert_eq!(entries(&shared), entries(&alone), "{name}, {variant}");
                assert_eq!(said(&shared), said(&alone), "{name}, {variant}");
            }
            assert_eq!(said(&worked_out(&variant_first, None)), said(&lamp), "{name} after {variant}");
            alike += usize::from(lamp_first.shares_engine(variant));
            // The same figure in another place: messages would point to the wrong one.
            assert!(variant != "same-again" || !lamp_first.shares_engine(variant), "{name}");
            assert!(variant != "other-room" || !lamp_first.shares_engine(variant), "{name}");
        }
    }
    assert!(alike > 2, "only {alike} share their engine");
}

#[test]
fn the_rules_say_the_same_of_a_lamp_without_papers() {
    for name in examples() {
        let text = text_of(&name);
        let (papers, rules) = (reading(&text), reading(&text).for_rules());
        for variant in std::iter::once(None).chain(papers.variants().map(Some)) {
            let (papers, rules) = (worked_out(&papers, variant), worked_out(&rules, variant));
            assert_eq!(said(&rules), said(&papers), "{name}, {variant:?}");
            for entry in rules.solution.ledger.iter() {
                assert_eq!(papers.solution.ledger.get(&entry.path), Some(entry), "{name}, {variant:?}");
            }
            let count = |lamp: &Compiled| lamp.solution.ledger.count();
            assert!(count(&rules) < count(&papers), "{name}, {variant:?}: nothing is left out");
        }
    }
}

#[test]
fn many_variants_are_told_in_their_order() {
    // As many as threads are taken for: each has heat and light of its own.
    let rooms: String = (20..28).map(|t| format!("variant to-{t} {{ lamp {{ room 5 °C .. {t} °C }} }}\n")).collect();
    let text = text_of("heron-head") + &rooms;
    let folder = root().join("target/tmp/many-variants");
    std::fs::create_dir_all(folder.join("parts")).expect("a folder");
    let drawer = root().join("examples/parts/drawer.lamp");
    std::fs::copy(drawer, folder.join("parts/drawer.lamp")).expect("a copy");
    std::fs::write(folder.join("many.lamp"), &text).expect("a file");
    let mut run = std::process::Command::new(env!("CARGO_BIN_EXE_lampwright"));
    let out = run.args(["check", "many.lamp"]).current_dir(&folder).output().expect("runs");
    let told = String::from_utf8(out.stdout).expect("text");
    let one = |variant: Option<&str>| {
        let lamp = worked_out(&reading(&text).for_rules(), variant);
        let counts = lamp.report.counts();
        let head = variant.map_or_else(String::new, |v| format!(", variant {v}"));
        format!("many.lamp{head}: {}; {} rules hold", counts.line(), counts.passed)
    };
    let reading = reading(&text);
    let wanted: Vec<String> = std::iter::once(None).chain(reading.variants().map(Some)).map(one).collect();
    let heads: Vec<&str> = told.lines().filter(|line| line.contains("many.lamp")).collect();
    assert_eq!(heads.len(), wanted.len(), "{told}");
    for (head, wanted) in heads.iter().zip(&wanted) {
        assert!(head.contains(wanted.as_str()), "{head}, not {wanted}");
    }
}

#[test]
fn a_paper_asked_of_a_lamp_that_was_only_judged_has_every_figure() {
    let (text, sheets) = (text_of("alder-table"), ["drive".to_owned(), "first-power".to_owned(), "pins".to_owned()]);
    let markdown = |reading: Reading| -> Vec<String> {
        let packet = worked_out(&reading, None).packet(&Overrides::new(), Some(&sheets)).expect("a packet");
        packet.sheets.iter().map(|sheet| sheet.markdown.clone()).collect()
    };
    assert_eq!(markdown(reading(&text).for_rules()), markdown(reading(&text)));
}
