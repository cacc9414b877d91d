//! Every example is a golden packet: its sheets as text, its PDF by page count and extracted text, two runs by bytes.
//!
//! `INSTA_UPDATE=always cargo test --test main packets::golden` writes them anew; a commit that does says why.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use lampwright::packet::templates::Overrides;
use lampwright::render;

use super::pdf_reading;
use crate::support::{example, examples, files, fresh, packet};

/// An example with the variants its spec declares.
fn runs() -> &'static [(String, Option<String>)] {
    static RUNS: OnceLock<Vec<(String, Option<String>)>> = OnceLock::new();
    RUNS.get_or_init(|| {
        let mut runs = Vec::new();
        for name in examples() {
            let plain = example(&name, None);
            runs.push((name.clone(), None));
            runs.extend(plain.document.variants.iter().map(|v| (name.clone(), Some(v.value.clone()))));
        }
        runs
    })
}

fn title(name: &str, variant: Option<&str>) -> String {
    variant.map_or_else(|| name.to_owned(), |v| format!("{name}.{v}"))
}

#[test]
fn sheets_and_drawings_are_as_they_were() {
    for (name, variant) in runs() {
        let files = files(name, variant.as_deref());
        let pages = files.iter().find(|f| f.path == "packet.pdf").map(|f| pdf_reading::read(&f.bytes).len());
        let mut text = format!("==== packet.pdf: {} pages\n\n", pages.expect("the paper"));
        for file in files.iter().filter(|f| f.path.ends_with(".md") || f.path.ends_with(".csv")) {
            text.push_str(&format!("==== {}\n{}\n", file.path, String::from_utf8_lossy(&file.bytes)));
        }
        insta::with_settings!({ snapshot_path => "golden", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(title(name, variant.as_deref()), text);
        });
    }
}

#[test]
fn every_word_of_the_sheets_is_in_the_pdf() {
    for (name, variant) in runs() {
        let (packet, files) = (packet(name, variant.as_deref()), files(name, variant.as_deref()));
        let paper = files.iter().find(|f| f.path == "packet.pdf").expect("the paper");
        let pages = pdf_reading::read(&paper.bytes);
        assert!(pages.len() >= packet.sheets.len(), "{name}: {} pages", pages.len());
        let said: String =
            pages.iter().flat_map(|p| &p.texts).flat_map(|t| t.text.chars()).filter(|c| c.is_alphanumeric()).collect();
        for sheet in &packet.sheets {
            // The name of a drawing's file is not printed; its caption is.
            let printed: String =
                sheet.markdown.lines().filter(|l| !l.starts_with("![")).collect::<Vec<_>>().join("\n");
            let words = printed.split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 6);
            // Each once: looking through a whole packet takes its time.
            for word in words.collect::<BTreeSet<_>>() {
                assert!(said.contains(word), "{name}, sheet {}: `{word}` is not in the PDF", sheet.name);
            }
        }
    }
}

#[test]
fn two_runs_give_the_same_bytes() {
    for (name, variant) in runs() {
        let once = || {
            let packet = fresh(name, variant.as_deref()).packet(&Overrides::new(), None).expect("a packet");
            render::files(&packet).unwrap_or_else(|e| panic!("{name}: {e:?}"))
        };
        let (first, second) = (files(name, variant.as_deref()), once());
        let in_thread = std::thread::scope(|s| s.spawn(once).join().expect("a packet"));
        assert!(first.len() == second.len() && first.len() == in_thread.len(), "{name}: as many files each time");
        for ((a, b), c) in first.iter().zip(&second).zip(&in_thread) {
            assert!(a == b && a == c, "{name}: {} differs between runs", a.path);
        }
    }
}
