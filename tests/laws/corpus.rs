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

/// Every twelfth whole lamp is set on paper too, which takes a hundred times as long as to judge it.
#[test]
fn what_is_judged_can_be_composed() {
    for (name, text) in inputs("pipeline").into_iter().step_by(12) {
        let Some(compiled) = compile("spec.lamp", &text, &mut Examples, None).compiled else { continue };
        let packet = compiled.packet(&Overrides::new(), None).unwrap_or_else(|e| panic!("{name}: {e:?}"));
        if let Ok(files) = render::files(&packet) {
            assert!(files.iter().all(|f| !f.bytes.contains(&0x1B) || f.path.ends_with(".pdf")), "{name}");
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
