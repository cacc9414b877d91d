//! One channel's whole chain from the pin to the light, followed link by link with `why` alone.
//! Begins at the light that leaves the lamp and ends in lines of the spec, of its parts, or in defaults of the language.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{place, run, write};
use crate::support::{examples, root, text_of};

/// A figure with the paths it was made from; none where it was given.
type Figures = BTreeMap<String, Value>;

/// What `why` says of a path, every figure behind it included.
fn why(path: &str, example: &str) -> Figures {
    let ran = run(&root(), &["why", path, &format!("examples/{example}.lamp"), "--format", "json"]);
    assert_eq!(ran.code, 0, "{example} {path}: {}", ran.err);
    let said: Value = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{example} {path}: {e}"));
    let figures = said["figures"].as_array().cloned().unwrap_or_default();
    figures.into_iter().map(|f| (f["path"].as_str().unwrap_or_default().to_owned(), f)).collect()
}

fn inputs(figure: &Value) -> Vec<&str> {
    let all = figure["origin"]["inputs"].as_array();
    all.map_or_else(Vec::new, |all| all.iter().filter_map(|i| i["path"].as_str()).collect())
}

/// Every link from the light back, of a switched and of a linear sink behind a filter.
#[test]
fn why_leads_from_the_light_to_the_pin() {
    let chains: [(&str, &str, &[&str]); 2] = [
        (
            "alder-table",
            "red",
            &[
                "light.out",
                "light.channel.red.out",
                "light.channel.red",
                "drive.red.warm-current",
                "drive.red.warm-string",
                "heat.junction.red",
                "drive.red.power",
                "drive.red.current",
                "drive.red.trip",
                "drive.red.reference",
                "drive.red.filter-capacitor",
                "drive.red.filter-capacitor-exact",
                "driver.pwm",
            ],
        ),
        (
            "heron-head",
            "warm",
            &[
                "light.out",
                "light.channel.warm.out",
                "light.channel.warm",
                "drive.warm.warm-current",
                "drive.warm.warm-string",
                "heat.junction.warm",
                "drive.warm.power",
                "drive.warm.current",
                "drive.warm.reference",
                "driver.warm.pin",
            ],
        ),
    ];
    for (example, channel, chain) in chains {
        let figures = why("light.out", example);
        for link in chain.windows(2) {
            let from = figures.get(link[0]).unwrap_or_else(|| panic!("{example}: nothing said of {}", link[0]));
            assert!(
                inputs(from).contains(&link[1]),
                "{example}: {} names {:?}, not {}",
                link[0],
                inputs(from),
                link[1]
            );
        }
        for beside in ["reference", "sense", "string-offset", "string-slope", "radiant"] {
            assert!(
                figures.contains_key(&format!("drive.{channel}.{beside}")),
                "{example}: no {beside} behind the light"
            );
        }
        let pin = &figures[&format!("driver.{channel}.pin")]["origin"];
        assert_eq!(pin["kind"], "given", "{example}: {pin}");
        assert!(pin["place"].as_str().is_some_and(|p| p.ends_with(".lamp")), "{example}: {pin}");
    }
}

/// No input that `why` names is one that it does not know, and everything ends in something given or looked up.
#[test]
fn every_input_of_the_chain_can_be_asked_for_in_turn() {
    for example in examples() {
        let figures = why("light.out", &example);
        let mut given = 0;
        for (path, figure) in &figures {
            for input in inputs(figure) {
                assert!(figures.contains_key(input), "{example}: {path} names {input}, of which nothing is said");
            }
            given += usize::from(figure["origin"]["kind"] == "given");
        }
        assert!(given > 10, "{example}: {given} figures given behind its light");
        // Asked by itself, each says the same of itself as it does in the chain.
        for path in figures.keys().filter(|p| p.contains(".current") || p.starts_with("heat.junction")).take(3) {
            assert_eq!(why(path, &example)[path], figures[path], "{example} {path}");
        }
    }
}

/// The mistake that the README shows is shown so by the program.
#[test]
fn the_readme_shows_what_the_program_says() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("the README");
    let shown = readme.split("```\n").find(|block| block.starts_with("ERROR ")).expect("a message");
    let spec = text_of("alder-table").replacen("pin p4; current", "pin p4; curent", 1);
    let folder = place("readme");
    std::fs::create_dir_all(folder.join("examples/parts")).expect("a folder");
    write(&folder, "examples/alder-table.lamp", spec);
    std::fs::copy(root().join("examples/parts/drawer.lamp"), folder.join("examples/parts/drawer.lamp")).expect("parts");
    let ran = run(&folder, &["check", "examples/alder-table.lamp"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    // The repository around the test's folder is the project that names are counted from.
    assert!(ran.err.replace("target/cli-tests/readme/", "").contains(shown), "{}", ran.err);
}
