//! How the sheet sits: it must move without jamming, stay behind its lip, and not hang through.

use crate::diag::{Signal, Span};
use crate::figures::percent;
use crate::lamp::diffuser::{Diffuser, Seat as GivenSeat};
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Measure, Rule, Skip, once};
use crate::solve::sheet::{Seat, Wood};

use super::sheet;

pub(super) static DIFFUSER_JAMS: Rule = Rule {
    name: "make/diffuser-jams",
    signal: Signal::Warning,
    waivable: true,
    title: "the diffuser jams in its recess",
    source: "our margin: clearance over the worst case of tolerances, heat and damp; thermal expansion from handbooks",
    why: "a sheet that fills its recess when warm or damp buckles, cracks, or pushes the body open",
    fix: "make the sheet smaller or the recess larger",
    check: |case| {
        once(|| {
            let (diffuser, given, seat) = seat(case)?;
            let path = Some("cut.seat.least".to_owned());
            let measure = Measure::at_least("least clearance of the diffuser", path, seat.least, seat.wanted);
            measure.judge(|_| jams(diffuser, given, seat))
        })
    },
};

fn seat<'a>(case: &Case<'a>) -> Result<(&'a Diffuser, &'a GivenSeat, &'a Seat), Skip> {
    let (diffuser, solved) = sheet(case)?;
    let given = diffuser.seat.as_ref().ok_or(Skip::NotApplicable)?;
    Ok((diffuser, given, solved.seat.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?))
}

/// The property that sets the sheet's size in one direction.
fn size_span(diffuser: &Diffuser, way: &str) -> Span {
    let size = if way == "height" { &diffuser.height } else { &diffuser.width };
    if size.is_known() { size.span } else { diffuser.diameter.span }
}

fn jams(diffuser: &Diffuser, given: &GivenSeat, seat: &Seat) -> Finding {
    let height = seat.height.filter(|height| height.least < seat.width.least);
    let (way, worst) = height.map_or(("width", seat.width), |height| ("height", height));
    // In a round recess a sheet that is not round meets the wall with its corners.
    let across = match (seat.height.is_none(), diffuser.diameter.is_known()) {
        (true, true) => "diameter",
        (true, false) => "greatest width, in a round recess",
        (false, _) => way,
    };
    let state = if worst.hot <= worst.cold { "warm and damp" } else { "cold" };
    let said = if worst.least < Metres::ZERO {
        format!("is {} too large for its recess", worst.least.abs().show())
    } else {
        format!("has only {} of clearance left", worst.least.show())
    };
    let missing = Metres::si(libm::ceil((seat.wanted - worst.least).value() * 2e4 - 1e-6) / 2e4);
    let recess = if way == "height" { &given.height } else { &given.width };
    Finding::new(
        format!("when {state} the diffuser {said} across its {across}; {} must remain", seat.wanted.show()),
        size_span(diffuser, way),
        "the sheet",
    )
    .also(
        recess.span,
        match worst.fitted < Metres::ZERO {
            true => format!("its recess, {} too small as fitted", worst.fitted.abs().show()),
            false => format!("its recess, {} larger as fitted", worst.fitted.show()),
        },
    )
    .fix(format!("make the sheet {} smaller, or the recess as much larger", missing.show()))
}

pub(super) static DIFFUSER_DROPS: Rule = Rule {
    name: "make/diffuser-drops",
    signal: Signal::Warning,
    waivable: true,
    title: "the lip does not hold the diffuser",
    source: "our margin: 1 mm of overlap, from 300 mm on 1.5 mm, with the sheet pushed to one side",
    why: "a small, cold sheet that slides to one side of its recess slips past the lip on the other and falls out",
    fix: "widen the lip or make the sheet larger",
    check: |case| {
        once(|| {
            let (diffuser, given, seat) = seat(case)?;
            let lip = given.lip.nominal()?;
            let overlap = seat.overlap.ok_or_else(|| given.lip.missing())?;
            let path = Some("cut.seat.overlap".to_owned());
            let measure = Measure::at_least("overlap of the lip", path, overlap, seat.overlap_wanted);
            measure.judge(|_| {
                let wider = Metres::si(libm::ceil((lip + seat.overlap_wanted - overlap).value() * 1e4 - 1e-6) / 1e4);
                Finding::new(
                    format!(
                        "pushed to one side, the diffuser is held by {} of lip on the other; {} is wanted",
                        overlap.show(),
                        seat.overlap_wanted.show()
                    ),
                    given.lip.span,
                    format!("a lip of {}", lip.show()),
                )
                .also(size_span(diffuser, "width"), format!("clearance reaches {}", seat.largest.show()))
                .fix(format!("make the lip {} wide, or take clearance away", wider.show()))
            })
        })
    },
};

pub(super) static WOOD_MOVES: Rule = Rule {
    name: "make/wood-moves",
    signal: Signal::Caution,
    waivable: true,
    title: "a wooden recess that moves more than its room allows",
    source: "wood handbooks, 0.25 % of size for each 1 % of moisture across the grain, from memory; our margins",
    why: "wood dries in the heated season and by the lamp's own heat: its recess closes on the sheet and cracks it, or \
          opens in damp weather until the lip no longer holds",
    fix: "leave more room and a wider lip, or line the recess with a frame that does not move",
    check: |case| {
        once(|| {
            let (diffuser, given, seat) = seat(case)?;
            let wood = seat.wood.ok_or(Skip::NotApplicable)?;
            if seat.least < seat.wanted {
                // It jams without any moisture; another rule says so.
                return Err(Skip::NotApplicable);
            }
            let path = Some("cut.seat.wood-least".to_owned());
            let measure = Measure::at_least("clearance in a dry wooden recess", path, wood.least, seat.wanted);
            if !measure.holds() {
                return measure.judge(|_| dried(diffuser, given, seat, wood));
            }
            let overlap = wood.overlap.ok_or_else(|| given.lip.missing())?;
            let path = Some("cut.seat.wood-overlap".to_owned());
            let measure = Measure::at_least("overlap of a damp wooden lip", path, overlap, seat.overlap_wanted);
            measure.judge(|_| {
                Finding::new(
                    format!(
                        "a damp recess opens to {} of clearance: {} of lip is left",
                        wood.largest.show(),
                        overlap.show()
                    ),
                    given.lip.span,
                    "the lip",
                )
                .also(given.moisture.span, "change of moisture")
                .fix(format!("make the lip {} wider", (seat.overlap_wanted - overlap).no_less()))
            })
        })
    },
};

fn dried(diffuser: &Diffuser, given: &GivenSeat, seat: &Seat, wood: Wood) -> Finding {
    let said = if wood.least < Metres::ZERO {
        format!("a recess of dry wood is {} too small for the diffuser", wood.least.abs().show())
    } else {
        format!("a recess of dry wood leaves {} of clearance; {} must remain", wood.least.show(), seat.wanted.show())
    };
    let missing = Metres::si(libm::ceil((seat.wanted - wood.least).value() * 1e4 - 1e-6) / 1e4);
    Finding::new(said, given.width.span, format!("shrinks by {} across the grain", percent(wood.growth)))
        .also(size_span(diffuser, "width"), "the sheet")
        .fix(format!("make the recess {} larger, or line it with a frame of metal or plastic", missing.show()))
}

pub(super) static SAG: Rule = Rule {
    name: "make/sag",
    signal: Signal::Caution,
    waivable: true,
    title: "the diffuser hangs through",
    source: "thin plate theory (Timoshenko and Woinowsky-Krieger); limit: our margin, min(1 mm, span/300, t/2)",
    why: "plastic creeps: a sheet that lies flat on its edge hangs visibly after a year and slips from its lip",
    fix: "take a thicker sheet or a smaller span",
    check: |case| {
        once(|| {
            let (diffuser, solved) = sheet(case)?;
            let sag = solved.sag.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let thickness = diffuser.thickness.nominal()?;
            let measure = Measure::at_most("sag of the diffuser", Some("cut.sag".to_owned()), sag.middle, sag.limit);
            measure.judge(|_| {
                // Sag falls with the square of the thickness: stiffness grows with its cube, weight with itself.
                let thicker = thickness * libm::sqrt(sag.middle / sag.limit);
                let thicker = Metres::si(libm::ceil(thicker.value() * 2e3 - 1e-6) / 2e3);
                // Above half its thickness a sheet stretches as well as bends and sags less than the theory of thin plates
                // says.
                let bound = sag.middle > thickness / 2.0;
                Finding::new(
                    format!(
                        "lying flat, the diffuser sags {}{}{} over the years; {} is the most to plan for",
                        if bound { "up to " } else { "" },
                        sag.middle.show(),
                        if bound { " (an upper bound: thin-plate theory holds to half the thickness)" } else { "" },
                        sag.limit.show()
                    ),
                    diffuser.thickness.span,
                    format!("{} thick", thickness.show()),
                )
                .fix(format!("take a sheet {} thick, or hold it in its middle too", thicker.show()))
            })
        })
    },
};
