//! The body: holes that leave their side, walls too thin to print, walls that hang over on the printer.

use crate::diag::Signal;
use crate::quantity::{Metres, Quantity, Radians};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Rule, Skip, each, once};
use crate::schema::words::{Body, Face};
use crate::solve::drill::{LEFT, Placed, Template};

/// Steepest overhang that prints without support (common practice, no source).
const OVERHANG: Radians = Radians::si(std::f64::consts::FRAC_PI_4);

pub(super) static HOLE_OFF_SIDE: Rule = Rule {
    name: "make/hole-off-side",
    signal: Signal::Warning,
    waivable: true,
    title: "a hole of the body or sink leaves its side",
    source: "geometry; 2 mm left beside a hole is our margin",
    why: "a hole over an edge breaks out, and a wire or screw in it has nothing to hold on",
    fix: "move the hole inwards or make it smaller",
    check: |case| match &case.solution.drill {
        Ok(templates) => {
            let all: Vec<(&Template, &Placed)> =
                templates.iter().flat_map(|template| template.holes.iter().map(move |hole| (template, hole))).collect();
            if all.is_empty() {
                return once(|| Err(Skip::NotApplicable));
            }
            each(
                &all,
                |(template, hole)| format!("{} {}", template.name, hole.name),
                |(template, hole)| {
                    let room = template.edge_room(hole);
                    let path = Some(format!("drill.{}.{}.room", template.name, hole.name));
                    Measure::at_least(format!("room beside the hole `{}`", hole.name), path, room, LEFT).judge(|_| {
                        let message = if room < Metres::ZERO {
                            format!("the hole `{}` goes {} over the edge of its side", hole.name, room.abs().show())
                        } else {
                            format!("the hole `{}` leaves {} to the edge of its side", hole.name, room.show())
                        };
                        Finding::new(message, hole.span, "this hole")
                            .also(case.lamp.enclosure.size.span, "the body")
                            .fix(format!("move it {} inwards", (LEFT - room).no_less()))
                    })
                },
            )
        }
        Err(missing) => once(|| Err(missing.into())),
    },
};

pub(super) static HOLES_MEET: Rule = Rule {
    name: "make/body-holes-meet",
    signal: Signal::Warning,
    waivable: true,
    title: "two holes of the body or sink run into each other",
    source: "geometry; 2 mm left between two holes is our margin",
    why: "the second drill runs off into the first hole, tears the web out and leaves neither hole round",
    fix: "move the holes apart or make them smaller",
    check: |case| match &case.solution.drill {
        Ok(templates) => {
            let pairs: Vec<(&Template, (&Placed, &Placed, Metres))> =
                templates.iter().flat_map(|t| t.pairs().into_iter().map(move |pair| (t, pair))).collect();
            if pairs.is_empty() {
                return once(|| Err(Skip::NotApplicable));
            }
            each(
                &pairs,
                |(template, (one, other, _))| format!("{} {} {}", template.name, one.name, other.name),
                |(template, (one, other, room))| {
                    let (room, path) = (*room, Some(template.pair_path(one, other)));
                    let what = format!("room between the holes `{}` and `{}`", one.name, other.name);
                    Measure::at_least(what, path, room, LEFT).judge(|_| {
                        let message = if room < Metres::ZERO {
                            format!("the holes `{}` and `{}` overlap by {}", one.name, other.name, room.abs().show())
                        } else {
                            format!(
                                "between the holes `{}` and `{}` only {} is left",
                                one.name,
                                other.name,
                                room.show()
                            )
                        };
                        Finding::new(message, other.span, "this hole")
                            .also(one.span, "the other")
                            .fix(format!("move them {} apart", (LEFT - room).no_less()))
                    })
                },
            )
        }
        Err(missing) => once(|| Err(missing.into())),
    },
};

pub(super) static PRINT_WALL: Rule = Rule {
    name: "make/print-wall",
    signal: Signal::Caution,
    waivable: true,
    title: "a printed wall is too thin",
    source: "our guideline: 1.2 mm, three lines; 2 mm and solid where live parts are held",
    why: "a wall of two lines splits along its layers, lets light through and bends under a screw",
    fix: "make the wall thicker",
    check: |case| {
        once(|| {
            let print = case.solution.print.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
            let wall = &case.lamp.enclosure.wall;
            let path = Some(wall.path.clone());
            Measure::at_least("printed wall", path, wall.low()?, print.least_wall.clone()?).judge(|m| {
                Finding::new(
                    format!("the printed wall is {}; {} is the least", m.value, m.limit),
                    wall.span,
                    "the wall",
                )
                .fix(format!("write `wall {}` or more", m.limit))
            })
        })
    },
};

pub(super) static PRINT_OVERHANG: Rule = Rule {
    name: "make/print-overhang",
    signal: Signal::Notice,
    waivable: true,
    title: "a wall hangs over on the printer",
    source: "common practice: 45° without support, no source",
    why: "lines laid on air curl and fall; a wall that leans further needs support that leaves scars",
    fix: "lay another side on the bed, or print with support",
    check: |case| once(|| overhang(case)),
};

fn overhang(case: &Case<'_>) -> Judgement {
    let print = case.solution.print.as_ref().ok_or(Skip::NotApplicable)?.as_ref()?;
    let given = case.lamp.enclosure.print.as_ref().ok_or(Skip::NotApplicable)?;
    if print.leans <= Radians::ZERO {
        return Err(Skip::NotApplicable);
    }
    let path = Some("print.leans".to_owned());
    Measure::at_most("wall that hangs over", path, print.leans, OVERHANG).judge(|m| {
        if matches!(case.lamp.enclosure.shape.value, Some(Body::Sphere | Body::Dome)) {
            let message =
                format!("the wall of the ball leans by up to {} as it is printed; {} is the most", m.value, m.limit);
            return Finding::new(message, given.bed.span, "side on the bed")
                .also(case.lamp.enclosure.shape.span, "the body")
                .fix("print it with support, or in two halves parted at the widest place, each on its flat side");
        }
        let other = if given.bed.value == Some(Face::Front) { "back" } else { "front" };
        Finding::new(
            format!("the wall leans {} outwards as it is printed; {} is the most", m.value, m.limit),
            given.bed.span,
            "side on the bed",
        )
        .also(case.lamp.enclosure.size.span, "the body")
        .fix(format!("write `bed {other}`, or print with support"))
    })
}
