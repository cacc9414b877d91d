//! Every rule has a pair of specs: one that raises just it, one that does not. A rule without its pair fails here.
//!
//! A pair is one file, `tests/rules/AREA/NAME.lamp`: statements added to the example named in its first line,
//! `#! base: slate-wall`, with the variants `raises` and `passes`. What a variant cannot do, more lines say:
//! `#! raises without: fuse` drops the base's statements (or whole blocks) that begin so; what stands between
//! `#! only raises` and `#! end` is in that spec alone.
//!
//! What the raising specs say stands in `tests/rules/AREA/said.snap`, one page an area, to be read as a maker reads it:
//! what is wrong, where, one thing to do. `INSTA_UPDATE=always cargo test --test main rules::` writes it anew.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use lampwright::figures::engineering;
use lampwright::rules::rule::Outcome;
use lampwright::rules::{self, rule::Rule};
use lampwright::{Compiled, Reading};

use crate::laws::shared::said;
use crate::support::{Examples, compile, example, examples, findings, root, text_of, varied};

struct Pair {
    base: String,
    text: String,
    raises_without: Vec<String>,
    passes_without: Vec<String>,
    passes_word: String,
}

fn pair(rule: &Rule) -> Result<Pair, String> {
    let path = root().join("tests/rules").join(format!("{}.lamp", rule.name));
    let text =
        fs::read_to_string(&path).map_err(|_| format!("{}: no pair of specs at {}", rule.name, path.display()))?;
    let directive = |key: &str| -> Option<String> {
        text.lines()
            .find_map(|l| l.strip_prefix("#! ")?.strip_prefix(key)?.strip_prefix(": ").map(|v| v.trim().to_owned()))
    };
    let list = |key: &str| -> Vec<String> {
        directive(key).map_or_else(Vec::new, |v| v.split(',').map(|w| w.trim().to_owned()).collect())
    };
    Ok(Pair {
        base: directive("base").ok_or_else(|| format!("{}: no `#! base: NAME`", rule.name))?,
        raises_without: list("raises without"),
        passes_without: list("passes without"),
        passes_word: directive("passes").unwrap_or_else(|| "pass".to_owned()),
        text,
    })
}

/// The base without the statements that begin with one of these words.
fn base(pair: &Pair, without: &[String]) -> String {
    let base = text_of(&pair.base);
    let mut out = String::new();
    let mut depth_to_skip = 0usize;
    let mut dropped: BTreeSet<&str> = BTreeSet::new();
    for line in base.lines() {
        let opens = line.matches('{').count();
        let closes = line.matches('}').count();
        if depth_to_skip > 0 {
            depth_to_skip = (depth_to_skip + opens).saturating_sub(closes);
            continue;
        }
        let trimmed = line.trim_start();
        let drop = without.iter().find(|w| {
            trimmed.strip_prefix(w.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '{']))
        });
        match drop {
            Some(word) => {
                dropped.insert(word);
                depth_to_skip = opens.saturating_sub(closes);
            }
            None => {
                out.push_str(line);
                out.push('\n');
            }
        }
    }
    assert_eq!(dropped.len(), without.len(), "{}: the base has not all of {without:?}", pair.base);
    out
}

/// The pair's own statements, without those that stand in the other spec alone.
fn own(text: &str, which: &str) -> String {
    let mut out = String::new();
    let mut other = false;
    for line in text.lines() {
        if let Some(only) = line.strip_prefix("#! only ") {
            other = only.trim() != which;
        } else if line.trim() == "#! end" {
            other = false;
        } else if !other {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

fn compiled(text: &str, variant: Option<&str>, rule: &Rule, label: &str) -> Result<Compiled, String> {
    compile(text, variant).map_err(|diags| format!("{} {label}: does not compile\n{diags}", rule.name))
}

fn names(compiled: &Compiled, rule: &Rule) -> BTreeSet<String> {
    let own = rule.name == "spec/variant-weakens";
    findings(compiled).into_iter().filter(|n| own || n != "spec/variant-weakens").collect()
}

fn variant<'a>(pair: &Pair, name: &'a str) -> Option<&'a str> {
    pair.text.contains(&format!("variant {name}")).then_some(name)
}

/// What the rule says of its raising spec, if the pair does as it should.
fn check(rule: &Rule) -> Result<String, String> {
    let pair = pair(rule)?;
    let bad_text = base(&pair, &pair.raises_without) + &own(&pair.text, "raises");
    let good_text = base(&pair, &pair.passes_without) + &own(&pair.text, "passes");
    let bad = compiled(&bad_text, variant(&pair, "raises"), rule, "raises")?;
    let raises = names(&bad, rule);
    if let Some(fault) = ill_said(&bad, rule) {
        return Err(fault);
    }
    let good = compiled(&good_text, variant(&pair, "passes"), rule, "passes")?;
    for (whole, text, which) in [(&bad, &bad_text, "raises"), (&good, &good_text, "passes")] {
        let reading = Reading::new("spec.lamp", text, &mut Examples, &[]).for_rules();
        let brief = reading.work_out(variant(&pair, which)).compiled;
        if brief.is_none_or(|brief| said(&brief) != said(whole)) {
            return Err(format!("{} {which}: the rules say otherwise where no paper is asked for", rule.name));
        }
    }
    let bare: BTreeSet<String> = [&bad, &good].into_iter().flat_map(without_entry).collect();
    if !bare.is_empty() {
        return Err(format!("{}: measures without an entry in the ledger: {bare:#?}", rule.name));
    }
    let passes = names(&good, rule);
    if passes.contains(rule.name) {
        return Err(format!("{}: the spec that should pass raises it", rule.name));
    }
    let more: Vec<_> = raises.difference(&passes).map(String::as_str).collect();
    if more != [rule.name] {
        return Err(format!("{}: the bad spec should raise just it, but raises {more:?}", rule.name));
    }
    let judged = good.report.judged.iter().find(|j| j.rule.name == rule.name);
    let said: Vec<&str> = judged.iter().flat_map(|j| &j.verdicts).map(|v| word(&v.outcome)).collect();
    let expected = pair.passes_word.as_str();
    if said.contains(&expected) && !said.contains(&"not-checked") {
        Ok(shown(&bad, rule))
    } else {
        Err(format!("{}: the good spec should say {expected}, but says {said:?}", rule.name))
    }
}

/// The rule's findings as the program shows them. Names of lines are left out: they hang on the example's other lines.
fn shown(compiled: &Compiled, rule: &Rule) -> String {
    let raised = compiled.report.findings().into_iter().filter(|r| r.rule.name == rule.name);
    let diags: Vec<_> = raised.map(|r| r.diag()).collect();
    let page = lampwright::cli::shown(&diags, &compiled.sources);
    page.lines().map(|line| unnumbered(line) + "\n").collect()
}

fn unnumbered(line: &str) -> String {
    let bare = line.trim_start_matches(|c: char| c == ' ' || c.is_ascii_digit());
    let numbered = line.trim_start().starts_with(|c: char| c.is_ascii_digit());
    match (bare.split_once(".lamp:"), bare.chars().next()) {
        (Some((file, _)), Some('╭')) => format!("    {file}.lamp]"),
        (_, Some('│')) if numbered => format!("    {bare}"),
        (_, Some('·' | '╰')) => format!("    {bare}"),
        _ => line.to_owned(),
    }
}

/// A finding says what is wrong without a full stop, in place of nothing, and one thing to do.
fn ill_said(compiled: &Compiled, rule: &Rule) -> Option<String> {
    let raised = compiled.report.findings().into_iter().filter(|r| r.rule.name == rule.name);
    let told = |text: &str| !text.trim().is_empty() && !text.ends_with('.');
    let ill = raised.map(|r| r.finding).find(|f| !told(&f.message) || !told(&f.fix) || f.places.is_empty());
    ill.map(|finding| format!("{}: badly said: {finding:?}", rule.name))
}

/// Measures whose figure is not that of their entry in the ledger, as it is shown there or as one end of its band:
/// nobody could ask `why` of them.
fn without_entry(compiled: &Compiled) -> Vec<String> {
    let verdicts = compiled.report.judged.iter().flat_map(|j| j.verdicts.iter().map(|v| (j.rule.name, v)));
    let measured = verdicts.filter_map(|(rule, verdict)| match &verdict.outcome {
        Outcome::Pass(measure) => Some((rule, measure.as_ref()?)),
        Outcome::Finding(finding) => Some((rule, finding.measure.as_ref()?)),
        _ => None,
    });
    let ledger = &compiled.solution.ledger;
    let bare = measured.filter(|(_, measure)| {
        let entry = measure.path.as_deref().and_then(|path| ledger.get(path));
        entry.is_none_or(|entry| {
            let ends = entry.band.into_iter().flat_map(|(low, high)| [low, high]).chain(entry.value.map(f64::abs));
            let ends: Vec<String> = ends.map(|end| engineering(end, entry.unit)).collect();
            // A sag of less than a hundredth of a millimetre is shown as that, and no finer.
            let coarse = entry.shown.starts_with("under ");
            !coarse && entry.shown != measure.value && !ends.contains(&measure.value)
        })
    });
    bare.map(|(rule, m)| format!("{rule}: {} {} at {:?}", m.what, m.value, m.path)).collect()
}

#[test]
fn every_measure_of_every_example_stands_in_the_ledger() {
    for name in examples() {
        let bare = without_entry(&example(&name, None));
        assert!(bare.is_empty(), "{name}: {bare:#?}");
    }
}

/// Lines that are wider than the page, but for those of the spec.
fn too_wide(page: &str) -> impl Iterator<Item = String> {
    let ours = |line: &&str| !line.contains('│') && !line.contains('·');
    let wide = page.lines().filter(ours).filter(|l| l.chars().count() > 80);
    wide.map(|line| format!("wider than eighty columns: {line}"))
}

fn word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Pass(_) => "pass",
        Outcome::Finding(_) => "finding",
        Outcome::NotChecked(_) => "not-checked",
        Outcome::NotApplicable => "not-applicable",
    }
}

#[test]
fn every_rule_has_a_pair_that_shows_it() {
    // RULES=drive/ looks at one area only, while working on it.
    let wanted = std::env::var("RULES").unwrap_or_default();
    let asked = rules::ALL.iter().filter(|rule| rule.name.starts_with(&wanted));
    let mut faults = Vec::new();
    let mut pages: BTreeMap<&str, String> = BTreeMap::new();
    for rule in asked {
        let area = rule.name.split('/').next().unwrap_or_default();
        match check(rule) {
            Ok(said) => pages.entry(area).or_default().push_str(&said),
            Err(fault) => faults.push(fault),
        }
    }
    faults.extend(pages.values().flat_map(|page| too_wide(page)));
    assert!(faults.is_empty(), "{} of {} rules:\n{}", faults.len(), rules::ALL.len(), faults.join("\n"));
    // A page holds what all rules of its area say.
    for (area, page) in pages.iter().filter(|(area, _)| area.starts_with(wanted.trim_end_matches('/'))) {
        insta::with_settings!({ snapshot_path => area, prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!("said", page);
        });
    }
}

fn is_spec(path: &Path) -> bool {
    path.extension().is_none_or(|e| e != "snap")
}

#[test]
fn no_pair_is_left_over() {
    let mut stray = Vec::new();
    for area in fs::read_dir(root().join("tests/rules")).expect("folder").flatten().filter(|e| e.path().is_dir()) {
        for file in fs::read_dir(area.path()).expect("folder").flatten().filter(|f| is_spec(&f.path())) {
            let name =
                format!("{}/{}", area.file_name().display(), Path::new(&file.file_name()).with_extension("").display());
            if rules::find(&name).is_none() {
                stray.push(name);
            }
        }
    }
    assert!(stray.is_empty(), "specs without a rule: {stray:?}");
}

#[test]
fn the_registry_is_in_order_and_complete() {
    let mut seen = BTreeSet::new();
    for rule in rules::ALL {
        assert!(seen.insert(rule.name), "{} stands twice", rule.name);
        for (what, text) in [("title", rule.title), ("source", rule.source), ("why", rule.why), ("fix", rule.fix)] {
            assert!(text.len() > 3, "{} has no {what}", rule.name);
            assert!(!text.ends_with('.'), "{}: its {what} ends with a full stop", rule.name);
        }
        assert!(rule.name.contains('/') && rule.name.chars().all(|c| c.is_ascii_lowercase() || "/-".contains(c)));
    }
}

#[test]
fn a_variant_that_weakens_one_protection_is_found_and_a_stronger_one_is_not() {
    let capped = |name: &str| {
        let text = text_of(name);
        let capped = text.replacen("\ndriver {\n", "\ndriver {\n    cap 2 W\n", 1);
        assert_ne!(capped, text, "{name}");
        capped
    };
    for (example, change, wanted) in [
        ("alder-table", "enclosure { flame hb }", "the body's class by UL 94 (v-0 → hb)"),
        ("alder-table", "enclosure { flame glow-wire-850 }", ""),
        ("alder-table", "mains { entry { anchorage glue } }", "the cord anchorage (clamp → glue)"),
        ("alder-table", "mains { entry { anchorage gland } }", ""),
        ("slate-wall", "driver { cap 20 W }", "the firmware's cap of the LED power (2.00 W → 20.0 W)"),
        ("slate-wall", "driver { cap 1 W }", ""),
        ("slate-wall", "mains { voltage 120 V }", ""),
        ("alder-table", "mains { fuse { rating 10 A } }", "the fuse ("),
        ("lantern-trail", "supply { battery { fuse { rating 100 A } } }", "the battery fuse ("),
        ("lantern-trail", "driver { cap 900 W }", "the firmware's cap of the LED power ("),
        ("alder-table", "enclosure { terminals-covered no }", "covered terminals"),
        ("alder-table", "enclosure { lid hand }", "the way the body opens (tool → hand)"),
        ("slate-wall", "mains { cord { plug-fuse 13 A } }", "the fuse in the plug ("),
        ("slate-wall", "mains { cord { plug-fuse 2 A } }", ""),
    ] {
        let compiled = varied(&capped(example), change);
        let found = compiled.report.findings();
        let said = found.iter().find(|r| r.rule.name == "spec/variant-weakens").map(|r| r.finding.message.as_str());
        match (wanted, said) {
            ("", said) => assert_eq!(said, None, "{example}: {change}"),
            (wanted, Some(said)) => assert!(said.contains(wanted), "{example}: {change}: {said}"),
            (_, None) => panic!("{example}: {change} weakens nothing"),
        }
    }
}

#[test]
fn the_loss_of_one_bond_of_two_is_found() {
    let metal = |name: &str, bonded: &str| format!("metal {name} {{ touchable yes; bonded {bonded} }}");
    let with = |second: &str| {
        varied(&text_of("slate-wall"), &format!("mains {{ {} {} }}", metal("one", "yes"), metal("two", second)))
    };
    let (both, less) = (with("yes"), with("no"));
    let lost = rules::protections::weakened(&both.lamp, &less.lamp);
    assert_eq!(lost.iter().map(|(what, _)| what.as_str()).collect::<Vec<_>>(), ["the bond of two to protective earth"]);
    assert!(rules::protections::weakened(&less.lamp, &both.lamp).is_empty());
}

#[test]
fn what_is_said_to_be_unknown_does_not_pass() {
    for (example, change, rule) in [
        ("slate-wall", "lamp { region unknown }", "mains/colours"),
        ("slate-wall", "lamp { children unknown }", "heat/touch-children"),
        ("slate-wall", "mains { cord { plug unknown } }", "mains/no-earth"),
        ("alder-table", "layout { place fuse { zone unknown; at (0 mm, 0 mm, -60 mm) } }", "make/zone-gap"),
        ("slate-wall", "enclosure { material unknown }", "mains/metal-unbonded"),
        ("slate-wall", "enclosure { emissivity unknown }", "heat/shiny"),
        ("slate-wall", "aim { life unknown }", "heat/supply-life"),
        ("slate-wall", "workshop { soak unknown }", "heat/soak-short"),
        ("slate-wall", "supply { case-limit unknown }", "heat/supply-too-warm"),
        ("alder-table", "wiring { area unknown }", "mains/wire-too-thin"),
        ("alder-table", "enclosure { opening unknown }", "make/opening-too-wide"),
        ("alder-table", "layout { place fuse { zone unknown } }", "make/zone-gap"),
        ("longsill-linear", "driver { channel warm { pull-to unknown } }", "pins/stays-on"),
        ("longsill-linear", "driver { transistor { gate-drive unknown } }", "drive/gate"),
        ("lantern-trail", "supply { battery { surge unknown } }", "battery/fuse-breaking"),
    ] {
        let report = varied(&text_of(example), change).report;
        let open = report.not_checked().iter().any(|(found, ..)| found.name == rule);
        assert!(open, "{example}: with `{change}` {rule} is judged");
    }
}

#[test]
fn a_lamp_of_class_one_without_a_plug_is_not_passed_in_silence() {
    let part = "cord is three-core {\n        plug        bs-1363\n        plug-fuse   3 A\n    }";
    let written =
        "cord { build round; cores 3; core-area 0.75 mm²; outer 6.8 mm; length 2 m; bend 35 mm; depth 20 mm }";
    let text = text_of("slate-wall");
    let silent = text.replace(part, written);
    assert_ne!(silent, text);
    let report = compile(&silent, None).unwrap_or_else(|e| panic!("{e}")).report;
    let earth = report.judged.iter().find(|j| j.rule.name == "mains/no-earth").expect("the rule");
    let said = earth.verdicts.iter().find(|v| v.subject == "plug").expect("a verdict on the plug");
    assert!(matches!(&said.outcome, Outcome::NotChecked(missing) if missing.path == "mains.cord.plug"), "{said:?}");
}

#[test]
fn a_waiver_that_ran_out_lets_nothing_through() {
    let waived = |until: &str| {
        let text = "waive supply/overload { reason \"it is short\"; by \"the bench\"; until UNTIL }\nvariant small { supply { power 9 W } }\n";
        let base = fs::read_to_string(root().join("examples/slate-wall.lamp")).expect("an example");
        let text = format!("{base}\n{}", text.replace("UNTIL", until));
        let report = compile(&text, Some("small")).unwrap_or_else(|e| panic!("{e}")).report;
        let stands = report.standing().iter().any(|raised| raised.rule.name == "supply/overload");
        (stands, report.waivers.iter().any(|(_, used)| *used))
    };
    assert_eq!(waived("2099-01-01"), (false, true));
    assert_eq!(waived("2001-01-01"), (true, false));
}

#[test]
fn a_shut_off_whose_pin_is_driven_high_at_start_does_not_keep_the_light_dark() {
    let said = |pin: &str| {
        let change = format!("controller {{ pin p6 {{ {pin} }} }}\ndriver {{ channel warm {{ pull-to up }} }}");
        findings(&varied(&text_of("longsill-linear"), &change)).contains(&"pins/stays-on".to_owned())
    };
    // A pin that is low at start is no longer so once the controller is dead.
    let loose = "controller { pin p4 { boot low } }\ndriver { channel warm { pull-to none } }";
    assert!(findings(&varied(&text_of("longsill-linear"), loose)).contains(&"pins/stays-on".to_owned()));
    assert!(said("boot high; pull down"));
    assert!(said("boot floating"));
    assert!(!said("boot floating; pull down"));
    assert!(!said("boot low"));
}
