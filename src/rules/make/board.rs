//! The perforated board: whether all finds its holes, whether written places meet, and that no mains comes onto it.

use crate::diag::Signal;
use crate::lamp::board::Board;
use crate::rules::rule::{Case, Finding, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::Zone;
use crate::solve::board::{BoardSolution, FILL};

fn board<'a>(case: &Case<'a>) -> Result<(&'a Board, &'a BoardSolution), Skip> {
    let given = case.lamp.board.as_ref().ok_or(Skip::NotApplicable)?;
    Ok((given, case.solution.board.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?))
}

/// The first names of a list, and how many more there are: hundreds would fill the cover.
fn few(names: &[String]) -> String {
    const SHOWN: usize = 6;
    let more = names.len().saturating_sub(SHOWN);
    let shown = names[..names.len() - more].join(", ");
    if more > 0 { format!("{shown} and {more} more") } else { shown }
}

pub(super) static BOARD_FULL: Rule = Rule {
    name: "make/board-full",
    signal: Signal::Warning,
    waivable: true,
    title: "the perforated board has no room for all",
    source: "geometry; at most 60 % of the holes taken is our margin",
    why: "what does not find its holes is squeezed in aslant and wired in the air, where it shorts when the lid closes",
    fix: "move large components off the board, or take the next larger board",
    check: |case| {
        once(|| {
            let (given, solved) = board(case)?;
            let size = case.solution.ledger.shown(&given.size.path).unwrap_or_default().to_owned();
            if !solved.move_off.is_empty() {
                let larger = solved.larger.as_ref().map_or_else(String::new, |size| format!(", or take one of {size}"));
                let fix = format!("move {} off the board{larger}", few(&solved.move_off));
                let left = solved.units.iter().filter(|u| u.at.is_none()).map(|unit| unit.name.clone());
                let message = format!("the board has no place for {}", few(&left.collect::<Vec<_>>()));
                let finding = Finding::new(message, given.size.span, format!("a board of {size}"));
                return Ok(Outcome::Finding(finding.fix(fix)));
            }
            let path = Some("board.fill".to_owned());
            let what = "share of the board's holes taken";
            Measure::share_at_most(what, path, solved.fill.value(), FILL).judge(|m| {
                let message =
                    format!("components take {} of the holes; wires need the rest, 60 % is the most", m.value);
                Finding::new(message, given.size.span, format!("a board of {size}"))
                    .fix("take a larger board, or move a large component off it")
            })
        })
    },
};

pub(super) static BOARD_CLASH: Rule = Rule {
    name: "make/board-clash",
    signal: Signal::Warning,
    waivable: true,
    title: "components of the board stand on the same holes",
    source: "geometry",
    why: "two components do not go into one hole, and what leaves the board hangs in the air",
    fix: "move one of them, or leave its place to the program",
    check: |case| match board(case) {
        Ok((_, solved)) => {
            let written: Vec<_> = solved.units.iter().filter(|unit| unit.written).collect();
            each(
                &written,
                |unit| unit.name.clone(),
                |unit| {
                    let clash = solved.clashes.iter().find(|(name, _, _)| *name == unit.name);
                    match clash {
                        None => Ok(Outcome::Pass(None)),
                        Some((name, met, span)) => Ok(Outcome::Finding(
                            Finding::new(format!("{name}, number {}, meets {met}", unit.number), *span, "its place")
                                .fix("move it, or drop `column` and `row` and let the program place it"),
                        )),
                    }
                },
            )
        }
        Err(skip) => once(|| Err(skip)),
    },
};

pub(super) static BOARD_MAINS: Rule = Rule {
    name: "make/board-mains",
    signal: Signal::Danger,
    waivable: false,
    title: "mains on the perforated board",
    source: "IEC 60598-1, 11.2, from memory; that no row of free holes makes up for it is our margin",
    why: "from pad to pad are half a millimetre: flux, dust and a loose strand join the mains to what may be touched",
    fix: "use closed bought parts with terminals for everything on the mains side",
    check: |case| match &case.lamp.board {
        Some(given) => each(
            &given.items,
            |item| item.name.clone(),
            |item| {
                unless(item.zone.get()? == Zone::Mains, || {
                    Finding::new(
                        format!("`{}` carries mains and stands on the perforated board", item.name),
                        item.zone.span,
                        "mains",
                    )
                    .also(given.span, "the board")
                    .fix("take it off the board: a closed fuse holder, a terminal block, a closed supply")
                })
            },
        ),
        None => once(|| Err(Skip::NotApplicable)),
    },
};
