//! The perforated board: whether all finds its holes, whether written places meet, and that no mains comes onto it.

use crate::diag::Signal;
use crate::quantity::Ratio;
use crate::rules::rule::{Case, Finding, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::Zone;
use crate::solve::board::{BoardSolution, FILL};

fn board<'a>(case: &Case<'a>) -> Result<(&'a crate::lamp::board::Board, &'a BoardSolution), Skip> {
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
            let fix = match (&solved.larger, solved.move_off.as_slice()) {
                (Some(larger), []) => format!("take a board of {larger}"),
                (None, off) => format!("move {} off the board", few(off)),
                (Some(larger), off) => format!("move {} off the board, or take one of {larger}", few(off)),
            };
            if !solved.move_off.is_empty() {
                let left = solved.units.iter().filter(|u| u.at.is_none()).map(|unit| unit.name.clone());
                let message = format!("the board has no place for {}", few(&left.collect::<Vec<_>>()));
                let finding = Finding::new(message, given.size.span, format!("a board of {size}"));
                return Ok(Outcome::Finding(finding.fix(fix)));
            }
            let path = Some("board.fill".to_owned());
            Measure::at_most("share of the board's holes taken", path, solved.fill, Ratio::si(FILL)).judge(|_| {
                let taken = case.solution.ledger.shown("board.fill").unwrap_or_default();
                let message = format!("components take {taken} of the holes; wires need the rest, 60 % is the most");
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
    check: |case| match board(case) {
        Ok((given, _)) => each(
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
        Err(skip) => once(|| Err(skip)),
    },
};
