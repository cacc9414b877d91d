//! The staged checklist: data beside the templates, each step with its condition on named figures of the spec.
//! Parsed once; for one lamp it gives blocks of five to nine steps with this lamp's figures filled in.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::figures::between;
use crate::packet::bench::Bench;
use crate::packet::plain::plain;
use crate::packet::terms::in_terms;
use crate::schema::words::{Instrument, Word};

/// The shipped steps.
static SHIPPED: &str = include_str!("../../../templates/checklist.json");

static STEPS: LazyLock<Vec<Step>> = LazyLock::new(|| {
    let file: File = serde_json::from_str(SHIPPED).unwrap_or(File { stages: Vec::new() });
    file.stages
        .into_iter()
        .flat_map(|stage| {
            let name = stage.name;
            stage.items.into_iter().map(move |mut step| {
                step.stage = name.clone();
                step
            })
        })
        .collect()
});

#[derive(Deserialize)]
struct File {
    stages: Vec<Stage>,
}

#[derive(Deserialize)]
struct Stage {
    name: String,
    items: Vec<Step>,
}

/// One step as shipped.
#[derive(Debug, Clone, Deserialize)]
struct Step {
    id: String,
    #[serde(default)]
    stage: String,
    signal: String,
    when: Vec<String>,
    /// Instruments that it takes, by their words with `|` between them.
    #[serde(default)]
    needs: Option<String>,
    #[serde(rename = "do")]
    text: String,
    value: String,
    hazard: String,
    source: String,
}

/// One step for one lamp.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Shown {
    /// Short name.
    pub(super) id: String,
    /// Stage of the work.
    pub(super) stage: String,
    /// Signal word.
    pub(super) signal: String,
    /// What to do.
    pub(super) text: String,
    /// This lamp's figures.
    pub(super) value: String,
    /// What it guards against.
    pub(super) hazard: String,
    /// Where it comes from.
    pub(super) source: String,
}

/// Steps between two pause lines, by stage.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Block {
    /// Runs of one stage each: its name, and its steps.
    pub(super) runs: Vec<(String, Vec<Shown>)>,
}

/// Fewest and most steps between two pause lines (common practice for checklists, no source).
const BLOCK: (usize, usize) = (5, 9);

/// The steps that this lamp has.
pub(super) fn steps(bench: &Bench<'_>) -> Vec<Shown> {
    let figure = |path: &str| bench.known(path);
    let region = bench.region();
    let met = |step: &&Step| step.when.iter().all(|condition| holds(condition, &figure));
    STEPS
        .iter()
        .filter(met)
        .map(|step| Shown {
            id: step.id.clone(),
            stage: in_terms(region, &step.stage),
            signal: step.signal.clone(),
            text: asked(bench, step.needs.as_deref(), bench.local(&in_terms(region, &step.text))),
            value: bench.local(&fill(&in_terms(region, &step.value), &|path| shown(bench, path))),
            hazard: in_terms(region, &step.hazard),
            source: in_terms(region, &step.source),
        })
        .collect()
}

/// A step as it is asked of the owner: to be done, or to be had done where an instrument is not at hand.
fn asked(bench: &Bench<'_>, needs: Option<&str>, text: String) -> String {
    let needed = needs.into_iter().flat_map(|all| all.split('|')).filter_map(Instrument::from_word);
    let lacking: Vec<String> = needed.filter(|one| !bench.owns(*one)).map(|one| bench.instrument(one)).collect();
    match lacking.is_empty() {
        true => text,
        false => format!("Have it done by someone who owns {}: {text}", lacking.join(" and ")),
    }
}

/// Where the steps come from: each source once, in the order of its first step, with its steps.
pub(super) fn sources(steps: &[Shown]) -> Vec<(String, String)> {
    let mut key: Vec<(String, String)> = Vec::new();
    for step in steps {
        match key.iter_mut().find(|(source, _)| *source == step.source) {
            Some((_, ids)) => {
                ids.push(' ');
                ids.push_str(&step.id);
            }
            None => key.push((step.source.clone(), step.id.clone())),
        }
    }
    key
}

/// What stands for `{path}`, for `{limit path}`: what a rule holds that figure against, and for `{highest path}`: the upper
/// end of its band.
fn shown(bench: &Bench<'_>, path: &str) -> Option<String> {
    if let Some(path) = path.strip_prefix("limit ") {
        let margins = bench.report.margins();
        return margins.iter().find(|(_, _, m)| m.path.as_deref() == Some(path)).map(|(_, _, m)| m.limit.clone());
    }
    if let Some(path) = path.strip_prefix("highest ") {
        return bench.highest(path);
    }
    bench.known(path)?;
    let said = bench.band(path);
    // A list has each of its words written out.
    let words = said.split(", ").filter(|word| !word.is_empty()).map(plain).collect::<Vec<_>>().join(", ");
    Some(if words.is_empty() { "nothing".to_owned() } else { words })
}

/// `path`, `path = word|word`, or either of them with `!` before it for its contrary.
fn holds<'a>(condition: &str, figure: &dyn Fn(&str) -> Option<&'a str>) -> bool {
    if let Some(contrary) = condition.strip_prefix('!') {
        return !holds(contrary, figure);
    }
    match condition.split_once(" = ") {
        None => figure(condition).is_some(),
        Some((path, words)) => figure(path).is_some_and(|said| words.split('|').any(|word| word == said)),
    }
}

/// `{path}` becomes the figure, or "not known"; `{low..high}` the two, or the one where they look the same.
fn fill(text: &str, figure: &dyn Fn(&str) -> Option<String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        let (path, tail) = after.split_once('}').unwrap_or((after, ""));
        out.push_str(before);
        let shown = |path: &str| figure(path).unwrap_or_else(|| "not known".to_owned());
        match path.split_once("..") {
            Some((low, high)) => out.push_str(&between(&shown(low), &shown(high))),
            None => out.push_str(&shown(path)),
        }
        rest = tail;
    }
    out + rest
}

/// The steps in blocks, each ending at the end of a stage where that leaves it neither too short nor too long.
pub(super) fn blocks(steps: Vec<Shown>) -> Vec<Block> {
    let ends = cuts(&steps);
    let mut steps = steps.into_iter();
    let (mut from, mut before) = (0, String::new());
    let mut blocks = Vec::new();
    for end in ends {
        let mut runs: Vec<(String, Vec<Shown>)> = Vec::new();
        for step in steps.by_ref().take(end - from) {
            match runs.last_mut() {
                Some((stage, run)) if *stage == step.stage => run.push(step),
                _ => runs.push((step.stage.clone(), vec![step])),
            }
        }
        let last = runs.last().map_or_else(String::new, |(stage, _)| stage.clone());
        if let Some((stage, _)) = runs.first_mut().filter(|(stage, _)| *stage == before) {
            stage.push_str(", continued");
        }
        before = last;
        blocks.push(Block { runs });
        from = end;
    }
    blocks
}

/// Where the blocks end, with the fewest cuts inside a stage; too few steps for one block are one block.
fn cuts(steps: &[Shown]) -> Vec<usize> {
    let n = steps.len();
    // Least number of cuts inside a stage to reach each step, and the step before the last block.
    let mut best: Vec<Option<(usize, usize)>> = vec![None; n + 1];
    if let Some(start) = best.first_mut() {
        *start = Some((0, 0));
    }
    for end in 1..=n {
        let inside = steps.get(end).is_some_and(|next| steps.get(end - 1).is_some_and(|last| last.stage == next.stage));
        let reach = |size: usize| {
            let from = end.checked_sub(size)?;
            let (cost, _) = best.get(from).copied().flatten()?;
            Some((cost + usize::from(inside), from))
        };
        let found = (BLOCK.0..=BLOCK.1).filter_map(reach).min_by_key(|(cost, from)| (*cost, *from));
        if let Some(slot) = best.get_mut(end) {
            *slot = found;
        }
    }
    let mut ends = Vec::new();
    let mut at = n;
    while at > 0 {
        ends.push(at);
        at = best.get(at).copied().flatten().map_or(0, |(_, from)| from);
    }
    ends.reverse();
    ends
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::words::Region;
    use std::collections::BTreeSet;

    fn step(stage: &str) -> Shown {
        let text = String::new;
        Shown {
            id: text(),
            stage: stage.into(),
            signal: text(),
            text: text(),
            value: text(),
            hazard: text(),
            source: text(),
        }
    }

    #[test]
    fn the_shipped_list_is_whole() {
        assert!(STEPS.len() >= 75, "{}", STEPS.len());
        let ids: BTreeSet<&str> = STEPS.iter().map(|s| s.id.as_str()).collect();
        assert_eq!(ids.len(), STEPS.len());
        for step in STEPS.iter() {
            assert!(["DANGER", "WARNING", "CAUTION", "NOTICE"].contains(&step.signal.as_str()), "{}", step.id);
            assert!(step.text.ends_with('.') && !step.hazard.is_empty() && !step.value.is_empty(), "{}", step.id);
            assert!(step.source.len() > 5 && !step.source.ends_with('.'), "{}: source", step.id);
            // Every thing in brackets is one that the regions have a word for.
            for region in [Region::Eu, Region::Us] {
                let said = in_terms(
                    region,
                    &[&step.text, &step.value, &step.stage, &step.hazard, &step.source].map(|s| s.as_str()).join(" "),
                );
                assert!(!said.contains('['), "{}: {said}", step.id);
            }
            for claim in ["certified", "compliant", " safe"] {
                assert!(!step.text.contains(claim), "{}: {claim}", step.id);
            }
        }
    }

    /// Numbers rise within a stage, and the stage's letter leads them.
    #[test]
    fn steps_stand_in_the_order_of_their_numbers() {
        for pair in STEPS.windows(2) {
            let [one, next] = pair else { continue };
            let number = |s: &Step| s.id.get(1..).and_then(|n| n.parse::<u32>().ok()).expect("a number");
            let same = one.id.get(..1) == next.id.get(..1);
            assert_eq!(same, one.stage == next.stage, "{} {}", one.id, next.id);
            assert!(!same || number(one) < number(next), "{} {}", one.id, next.id);
        }
    }

    #[test]
    fn conditions_read_the_spec() {
        let figure = |path: &str| (path == "mains.class").then_some("II");
        for (condition, expected) in [
            ("mains.class", true),
            ("!mains.class", false),
            ("mains.class = I", false),
            ("mains.class = I|II", true),
            ("mains.fuse.rating", false),
            ("!mains.fuse.rating", true),
            ("!mains.class = I|III", true),
            ("!mains.class = II", false),
            ("!mains.fuse.rating = 2 A", true),
        ] {
            assert_eq!(holds(condition, &figure), expected, "{condition}");
        }
        let said = |text: &str| fill(text, &|p| figure(p).map(str::to_owned));
        assert_eq!(said("class {mains.class}, {x}"), "class II, not known");
        assert_eq!(said("{mains.class..x} and {mains.class..mains.class}"), "II to not known and II");
    }

    #[test]
    fn blocks_hold_five_to_nine_steps() {
        for n in 5..80 {
            let steps: Vec<Shown> = (0..n).map(|i| step(["a", "b", "c"][(i / 7) % 3])).collect();
            let blocks = blocks(steps);
            let sizes: Vec<usize> = blocks.iter().map(|b| b.runs.iter().map(|(_, s)| s.len()).sum()).collect();
            assert_eq!(sizes.iter().sum::<usize>(), n);
            assert!(sizes.iter().all(|s| (5..=9).contains(s)), "{n}: {sizes:?}");
        }
        // Stages of six and seven are left whole.
        let steps: Vec<Shown> = [("a", 6), ("b", 7), ("c", 5)].iter().flat_map(|(s, n)| vec![step(s); *n]).collect();
        assert!(blocks(steps).iter().all(|b| b.runs.len() == 1));
        assert_eq!(blocks(vec![step("a"); 3]).len(), 1);
    }
}
