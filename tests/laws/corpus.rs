//! What the fuzzer (`tests/fuzz/run`) kept, run once more without it: no panic, messages inside their files, the laws
//! of `tidy`. Each fault it ever found stands in the corpus and so stays mended.

use std::path::Path;

use lampwright::diag::{Diag, Sources};
use lampwright::language::{parse::parse, tidy::tidy_text};
use lampwright::packet::templates::Overrides;
use lampwright::schema::tables::ROOT;
use lampwright::{compile, render};

use crate::support::{Examples, example, root};

fn inputs(target: &str) -> Vec<(String, String)> {
    let folder = root().join("tests/fuzz/corpus").join(target);
    let entries = std::fs::read_dir(&folder).expect("the corpus").flatten().map(|e| e.path());
    let read = |path: &Path| {
        let text = std::fs::read_to_string(path).expect("an input is text");
        (path.file_name().expect("a name").display().to_string(), text)
    };
    let mut found: Vec<_> = entries.map(|p| read(&p)).collect();
    found.sort();
    assert!(found.len() > 10, "{target}: the corpus is not there");
    found
}

fn sound(name: &str, diags: &[Diag], sources: &Sources) {
    for diag in diags {
        assert!(!diag.message.is_empty() && !diag.message.ends_with('.'), "{name}: {diag:?}");
        for label in &diag.labels {
            let text = &sources.get(label.span.file).expect("a file that was read").text;
            assert!(text.get(label.span.start as usize..label.span.end as usize).is_some(), "{name}: {diag:?}");
        }
    }
}

#[test]
fn what_parses_stays_tidy() {
    for (name, text) in inputs("parse") {
        let (mut sources, mut diags) = (Sources::default(), Vec::new());
        let file = sources.add(name.as_str(), text.as_str());
        parse(file, &text, &mut diags);
        sound(&name, &diags, &sources);
        if let Ok(once) = tidy_text(file, &text, &ROOT) {
            assert_eq!(tidy_text(file, &once, &ROOT).as_ref(), Ok(&once), "{name}");
        }
    }
}

#[test]
fn what_resolves_is_judged_and_what_does_not_says_why() {
    let mut through = 0;
    for (name, text) in inputs("resolve").into_iter().chain(inputs("pipeline")) {
        let outcome = compile("spec.lamp", &text, &mut Examples, None);
        sound(&name, &outcome.diags, &outcome.sources);
        match &outcome.compiled {
            Some(compiled) => {
                sound(&name, &compiled.report.diags(), &compiled.sources);
                through += 1;
            }
            None => assert!(!outcome.diags.is_empty(), "{name}: refused without a word"),
        }
    }
    assert!(through > 5, "only {through} inputs come through");
}

/// Those put there by hand and every sixth of the others are set on paper too: it takes far longer than to judge.
#[test]
fn what_is_judged_can_be_composed() {
    let lamps = inputs("pipeline").into_iter().filter_map(|(name, text)| {
        let compiled = compile("spec.lamp", &text, &mut Examples, None).compiled?;
        Some((name, compiled))
    });
    // An example is set by many tests already.
    let (by_hand, others): (Vec<_>, Vec<_>) =
        lamps.filter(|(name, _)| !name.starts_with("seed-")).partition(|(name, _)| name.contains('-'));
    assert!(by_hand.len() > 1 && others.len() > 20, "{} by hand, {} others", by_hand.len(), others.len());
    for (name, compiled) in by_hand.into_iter().chain(others.into_iter().step_by(6)) {
        let packet = compiled.packet(&Overrides::new(), None).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        let files = render::files(&packet).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        for file in files.iter().filter(|f| !f.path.ends_with(".pdf")) {
            let text = String::from_utf8_lossy(&file.bytes);
            let mut words = text.split(|c: char| !c.is_ascii_alphanumeric());
            assert!(!text.contains('\u{1b}') && words.all(|w| w != "NaN" && w != "inf"), "{name}: {}", file.path);
        }
    }
}

#[test]
fn no_template_breaks_the_composer() {
    let compiled = example("alder-table", None);
    let only = ["assumptions".to_owned()];
    for (name, text) in inputs("template") {
        let overrides = Overrides::from([("sheets/assumptions.md".to_owned(), text)]);
        if let Ok(packet) = compiled.packet(&overrides, Some(&only)) {
            assert_eq!(packet.sheets.len(), 1, "{name}");
            // A template may ask for what cannot be set; that is said in words.
            match render::html(&packet) {
                Ok(page) => assert!(page.trim_end().ends_with("</html>"), "{name}"),
                Err(errors) => assert!(errors.iter().all(|e| !e.to_string().is_empty()), "{name}"),
            }
        }
    }
}
