//! Whether what is engraved stays on the sheet.

use crate::diag::Signal;
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Finding, Measure, Rule, each, once};

use super::sheet;

/// Sheet that must be left between a stroke and an edge.
const LEAST: Metres = Metres::si(0.001);

pub(super) static MARK_OFF_SHEET: Rule = Rule {
    name: "make/mark-off-sheet",
    signal: Signal::Caution,
    waivable: true,
    title: "an engraved mark that runs off the sheet",
    source: "our margin: 1 mm of sheet between a stroke and an edge",
    why: "a stroke across an edge burns or mills into a finished edge, and the mark cannot be read",
    fix: "move the mark or make it smaller",
    check: |case| match sheet(case) {
        Ok((diffuser, solved)) => {
            let both: Vec<_> = diffuser.marks.iter().zip(&solved.marks).collect();
            each(
                &both,
                |(given, _)| given.name.clone(),
                |(given, mark)| {
                    let mark = mark.as_ref()?;
                    let (what, path) = (format!("room round {}", mark.name), Some(format!("cut.{}.clear", mark.name)));
                    Measure::at_least(what, path, mark.clear, LEAST).judge(|_| {
                        let said = if mark.clear < Metres::ZERO {
                            format!("mark `{}` is not wholly on the sheet", mark.name)
                        } else {
                            format!("mark `{}` comes as near as {} to an edge", mark.name, mark.clear.show())
                        };
                        Finding::new(said, given.at.span, "its middle")
                            .also(given.height.span, "its height")
                            .fix(format!("move it, or make it smaller, until {} of sheet are left", LEAST.show()))
                    })
                },
            )
        }
        Err(skip) => once(|| Err(skip)),
    },
};
