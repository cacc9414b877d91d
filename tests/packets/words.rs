//! Words that must not stand on paper: of another region, of another class, of the program instead of the bench.

use lampwright::Compiled;
use lampwright::packet::sheet::Packet;
use lampwright::packet::templates::Overrides;

use super::pdf_reading;
use crate::support::{self, compile, example, examples, files, unplaced, varied};

const SLATE: &str = include_str!("../../examples/slate-wall.lamp");
const HERON: &str = include_str!("../../examples/heron-head.lamp");

/// Sheets that show the spec's own words and names of figures, for those who read the spec.
const REFERENCE: [&str; 2] = ["assumptions", "working"];

/// Every sheet with what is set as code taken out: names of rules, paths and values of the spec; and the lamp's drawings
/// as the words on them.
fn papers(lamp: &Compiled) -> Vec<(String, String)> {
    words_of(lamp, &lamp.packet(&Overrides::new(), None).expect("a packet"))
}

/// The same of an example.
fn papers_of(name: &str, variant: Option<&str>) -> Vec<(String, String)> {
    words_of(&example(name, variant), &support::packet(name, variant))
}

fn words_of(lamp: &Compiled, packet: &Packet) -> Vec<(String, String)> {
    let spoken = |text: &str| text.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    let sheets = packet.sheets.iter().filter(|s| !REFERENCE.contains(&s.name.as_str()));
    // Names of terminals are the language's own: `body.earth`.
    let ends: Vec<&str> = lamp.solution.wires.iter().flat_map(|w| [w.from.as_str(), w.to.as_str()]).collect();
    let unnamed = |text: &str| ends.iter().fold(text.to_owned(), |text, end| text.replace(end, ""));
    let mut papers: Vec<(String, String)> = sheets.map(|s| (s.name.clone(), unnamed(&spoken(&s.markdown)))).collect();
    papers.extend(packet.drawings.iter().map(|(name, drawing)| {
        let rooms = lampwright::packet::drawings::text::rooms(drawing);
        let terminal = |text: &str| ends.iter().any(|end| end.split_once('.').is_some_and(|(_, t)| t == text));
        let texts: Vec<String> =
            rooms.iter().map(|(text, _)| *text).filter(|text| !terminal(text)).map(unnamed).collect();
        (name.clone(), texts.join("\n"))
    }));
    papers
}

/// Lines that hold a word, whole and in lower case.
fn lines_with<'a>(papers: &'a [(String, String)], word: &str) -> Vec<(&'a str, &'a str)> {
    let whole = |line: &str| {
        let lower = line.to_lowercase();
        lower.match_indices(word).any(|(at, _)| {
            // `earth-body` is the name of a wire, `mains/apart` that of a rule.
            let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '/' && c != '-');
            edge(lower[..at].chars().next_back()) && edge(lower[at + word.len()..].chars().next())
        })
    };
    papers
        .iter()
        .flat_map(|(name, text)| text.lines().map(move |l| (name.as_str(), l)))
        .filter(|(_, l)| whole(l))
        .collect()
}

fn with(base: &str, statements: &str) -> Compiled {
    varied(&unplaced(base), statements)
}

fn american() -> Compiled {
    with(
        SLATE,
        "lamp { region us } mains { voltage 120 V; frequency 60 Hz
         cord { build jacketed; core-area 18 AWG; plug nema-5-15; outer 6.1 mm } }",
    )
}

#[test]
fn papers_of_north_america_use_its_words_alone() {
    for papers in [papers_of("alder-table", Some("north-america")), papers(&american())] {
        for word in ["mains", "earth", "grey", "flex", "socket", "rcd", "residual-current device", "live pin"] {
            assert_eq!(lines_with(&papers, word), [], "{word}");
        }
    }
}

#[test]
fn papers_of_the_united_kingdom_have_a_flex() {
    let papers = papers_of("slate-wall", None);
    // The hole is named in the drilling list by the program's own name.
    let cords: Vec<_> =
        lines_with(&papers, "cord").into_iter().filter(|(sheet, _)| !sheet.starts_with("drill")).collect();
    let grips = cords.iter().filter(|(_, line)| !line.contains("cord grip"));
    assert_eq!(grips.collect::<Vec<_>>(), Vec::<&(&str, &str)>::new());
    assert_eq!(lines_with(&papers, "line pin"), []);
}

#[test]
fn nothing_without_mains_speaks_of_them() {
    for name in ["heron-head", "lantern-trail"] {
        let papers = papers_of(name, None);
        for word in ["mains", "cord", "earth", "shock", "residual-current device"] {
            assert_eq!(lines_with(&papers, word), [], "{name}: {word}");
        }
        // Only a battery has neither plug to pull nor supply to speak of.
        if name == "lantern-trail" {
            for word in ["unplug it", "supply output", "in sight", "separate supply"] {
                assert_eq!(lines_with(&papers, word), [], "{name}: {word}");
            }
        }
    }
}

#[test]
fn papers_near_children_have_their_figures() {
    let (mains, low) = (with(SLATE, "lamp { children yes; mount table }"), with(HERON, "lamp { children yes }"));
    for lamp in [&mains, &low] {
        let papers = papers(lamp);
        assert_eq!(lines_with(&papers, "not known **"), []);
        let tilt: Vec<_> = lines_with(&papers, "tilt it to every side: it must come back.");
        assert!(tilt.len() == 1 && tilt.iter().all(|(_, l)| l.contains("15°") && !l.contains("6°")), "{tilt:?}");
        let touch = lines_with(&papers, "touch at most");
        assert!(touch.len() == 1 && touch.iter().all(|(_, l)| l.contains("°C")), "{touch:?}");
    }
    assert_eq!(lines_with(&papers(&low), "mains"), []);
}

#[test]
fn a_damp_place_has_a_step_of_its_own() {
    for (base, step) in [(SLATE, "| K8 |"), (HERON, "| K9 |")] {
        let papers = papers(&with(base, "lamp { place indoor-damp }"));
        assert_eq!(papers.iter().filter(|(_, text)| text.contains(step)).count(), 1, "{step}");
    }
}

#[test]
fn no_sign_of_the_program_stands_on_paper() {
    for name in examples() {
        let files = files(&name, None);
        let paper = files.iter().find(|f| f.path == "packet.pdf").expect("the paper");
        for page in pdf_reading::read(&paper.bytes) {
            let text: String = page.texts.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
            for sign in ["`", "{{", "{%", "NaN", "0.0000000"] {
                assert!(!text.contains(sign), "{name}: {sign}");
            }
        }
        // A range whose ends look alike is one figure.
        for (sheet, text) in papers_of(&name, None) {
            let words: Vec<&str> = text.split_whitespace().collect();
            for five in words.windows(5) {
                if let [a, unit, "to", b, same] = five
                    && a.parse::<f64>().is_ok()
                {
                    assert!(!(a == b && unit == &same.trim_end_matches([',', '.', ';'])), "{name}, {sheet}: {five:?}");
                }
            }
        }
    }
}

/// What only a test house may say, whether it comes from a template, a rule, the ledger or the spec's own schema.
#[test]
fn no_paper_claims_what_only_a_test_house_may() {
    for name in examples() {
        let papers = papers_of(&name, None);
        for word in ["safe", "certified", "compliant", "approved"] {
            let claims =
                lines_with(&papers, word).into_iter().filter(|(_, line)| !line.contains("No body has approved it"));
            assert_eq!(claims.collect::<Vec<_>>(), [], "{name}: {word}");
        }
    }
}

#[test]
fn tokens_of_the_language_are_written_as_the_trade_writes_them() {
    for name in examples() {
        let safety = papers_of(&name, None).into_iter().find(|(n, _)| n == "safety").expect("the sheet").1;
        for token in ["region eu", "region uk", "series e24", "bs-1363", "nema-", "cee-7"] {
            assert!(!safety.contains(token), "{name}: {token}");
        }
    }
}

#[test]
fn a_waiver_of_mains_stands_on_what_stays_with_the_lamp() {
    let text = format!(
        "{SLATE}\nwaive mains/fuse-wrong {{ reason \"the socket is behind its own breaker\"; by \"the maker\" }}\n\
         variant test {{ mains {{ fuse {{ melting 0.1 A²·s }} }} }}\n"
    );
    let lamp = compile(&text, Some("test")).unwrap_or_else(|diags| panic!("{diags}"));
    let packet = lamp.packet(&Overrides::new(), None).expect("a packet");
    for name in ["diagram", "lid", "unit", "handover"] {
        let sheet = packet.sheets.iter().find(|s| s.name == name).expect("the sheet");
        assert!(sheet.markdown.contains("behind its own breaker"), "{name}");
    }
    let safety = packet.sheets.iter().find(|s| s.name == "safety").expect("the sheet");
    assert!(!safety.markdown.contains("Nothing is waived"));
}

#[test]
fn what_was_not_waived_is_said() {
    let papers = papers_of("slate-wall", None);
    assert_eq!(lines_with(&papers, "nothing is waived").len(), 1);
}
