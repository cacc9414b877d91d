//! The cord and its entry: held, thick enough, not cut by the hole, not bent too tight.

use crate::diag::Signal;
use crate::figures::between;
use crate::physics::conductors::hang::HOLE_EDGE_RADIUS;
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, each, once, unless};
use crate::schema::words::{Anchorage, Region, Word};
use crate::solve::line::WayIn;

use super::{cord, entry, line, mains};

/// Least play of the cord in its hole (our margin).
const LEAST_PLAY: Metres = Metres::si(0.3e-3);
/// Most play where nothing else closes the hole (our margin).
const MOST_PLAY: Metres = Metres::si(1.5e-3);

pub(super) static CORD_NOT_HELD: Rule = Rule {
    name: "mains/cord-not-held",
    signal: Signal::Danger,
    waivable: false,
    title: "nothing that counts holds the cord",
    source: "IEC 60598-1, 5.2.10: no knot, no glue; the clamp must suit the cord",
    why: "a pulled cord draws live wires off their terminals, and they end where they will",
    fix: "fit a clamp or gland of insulating stuff whose range takes the cord",
    check: |case| once(|| held(case)),
};

fn held(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    let pull = figures.pull.as_ref().map_or_else(|_| "its pull".to_owned(), |p| format!("a pull of {p}"));
    let Some(entry) = &mains(case)?.entry else {
        return unless(true, || {
            Finding::new(format!("the cord has no entry, and nothing stands {pull}"), cord.span, "this cord")
                .fix("add an `entry` block with `anchorage clamp` or `gland` and its `clamp-range`")
        });
    };
    let anchorage = entry.anchorage.get()?;
    if !matches!(anchorage, Anchorage::Clamp | Anchorage::Gland) {
        return unless(true, || {
            let message = format!("anchorage `{}` does not hold the cord; it must stand {pull}", anchorage.word());
            Finding::new(message, entry.anchorage.span, "anchorage")
                .fix("fit a clamp or gland and write its `clamp-range`")
        });
    }
    let (outer, range) = (figures.outer.as_ref()?, &entry.clamp_range);
    let sizes = || between(&outer.least.show(), &outer.greatest.show());
    let fits = format!("use a clamp or gland for {}", sizes());
    let misfit = |m: &Measure| {
        let message = format!("the clamp's range ends at {}; the cord measures {}", m.limit, sizes());
        Finding::new(message, range.span, "range").also(cord.span, "cord").fix(fits.clone())
    };
    let path = |end: &str| Some(format!("line.outer-{end}"));
    let low = Measure::at_least("cord in its clamp, smallest", path("least"), outer.least, range.low()?);
    if !low.holds() {
        return low.judge(misfit);
    }
    Measure::at_most("cord in its clamp, largest", path("greatest"), outer.greatest, range.high()?).judge(misfit)
}

pub(super) static CORD_TOO_THIN: Rule = Rule {
    name: "mains/cord-too-thin",
    signal: Signal::Danger,
    waivable: true,
    title: "mains conductor too thin",
    source: "IEC 60598-1, 5.2.2 and 5.3.1; BS 7671 table 4F3A; NEC 400.5(A); 5.3.1 from memory",
    why: "a thin core breaks where it bends, and heats where the fuse still holds",
    fix: "use a cord with thicker cores",
    check: |case| each(&["cord", "current", "inner wires"], |s| (*s).to_owned(), |subject| thickness(case, subject)),
};

fn thickness(case: &Case<'_>, subject: &str) -> Judgement {
    if subject == "inner wires" {
        let (given, least) = (&case.lamp.wiring.mains_area, line(case)?.inner_area);
        let path = Some(given.path.clone());
        return Measure::at_least("area of inner mains wires", path, given.low()?, least).judge(|m| {
            let message = format!("inner mains wires are {}; tied to the mains they need {least}", m.value);
            Finding::new(message, given.span, "area").fix(format!("write `mains-area {least}` or more"))
        });
    }
    let (cord, figures) = cord(case)?;
    let area = &cord.core_area;
    if subject == "cord" {
        let (path, least) = (Some(area.path.clone()), figures.least_area.clone()?);
        return Measure::at_least("area of the cord's cores", path, area.low()?, least).judge(|m| {
            let place = case.lamp.identity.place.value.map_or("", Word::word);
            let message = format!("the cord's cores are {}; for `{place}` they must be {least}", m.value);
            let written = if case.lamp.identity.region.value == Some(Region::Us) {
                "18 AWG".to_owned()
            } else {
                least.to_string()
            };
            Finding::new(message, area.span, "core area").fix(format!("use a cord with `core-area {written}` or more"))
        });
    }
    let (current, rating) = (line(case)?.current.clone()?, figures.rating.clone()?);
    Measure::at_most("current in the cord", Some("line.current".into()), current, rating).judge(|m| {
        let message = format!("the lamp draws up to {}; the cord carries {}", m.value, m.limit);
        Finding::new(message, area.span, "core area").fix("use a cord with thicker cores")
    })
}

pub(super) static HOLE_EDGE: Rule = Rule {
    name: "mains/hole-edge",
    signal: Signal::Warning,
    waivable: true,
    title: "the hole does not suit the cord",
    source: "IEC 60598-1, 5.3.2 for the edge; the play of 0.3 to 1.5 mm is our margin",
    why: "an edge saws through the sheath at each tug; a loose hole lets the cord slip in to live parts",
    fix: "bush the hole, or round its edge to 0.5 mm, and match it to the cord",
    check: |case| each(&["edge", "hole"], |s| (*s).to_owned(), |s| if *s == "edge" { edge(case) } else { hole(case) }),
};

fn edge(case: &Case<'_>) -> Judgement {
    cord(case)?;
    let entry = entry(case)?;
    if entry.bushing.get()? {
        return Ok(Outcome::Pass(None));
    }
    let given = &entry.edge_radius;
    Measure::at_least("radius of the hole's edge", Some(given.path.clone()), given.low()?, HOLE_EDGE_RADIUS).judge(
        |m| {
            let message =
                format!("the hole has no bushing and an edge of {}; a bare edge needs {HOLE_EDGE_RADIUS}", m.value);
            Finding::new(message, given.span, "edge")
                .fix("fit a bushing and write `bushing yes`, or round the edge to 0.5 mm")
        },
    )
}

fn hole(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    let entry = entry(case)?;
    let greatest = figures.outer.as_ref()?.greatest;
    let (hole, path) = (&entry.hole, Some(entry.hole.path.clone()));
    let (least, most) = (greatest + LEAST_PLAY, greatest + MOST_PLAY);
    let finding = |message: String| {
        let fix = format!("make the hole, bushing fitted, {} to {}", least.no_less(), most.no_more());
        Finding::new(message, hole.span, "hole").also(cord.span, "cord").fix(fix)
    };
    let small = Measure::at_least("hole for the cord, smallest", path.clone(), hole.low()?, least);
    let clamped = matches!(entry.anchorage.get()?, Anchorage::Clamp | Anchorage::Gland);
    if clamped || !small.holds() {
        return small.judge(|m| finding(format!("the hole is {}; a cord of {greatest} needs {least}", m.value)));
    }
    Measure::at_most("hole for the cord, largest", path, hole.high()?, most).judge(|m| {
        finding(format!("the hole is {} and nothing clamps the cord of {greatest}; at most {most}", m.value))
    })
}

pub(super) static CORD_BEND: Rule = Rule {
    name: "mains/cord-bend",
    signal: Signal::Caution,
    waivable: true,
    title: "the cord bends too tight behind its entry",
    source: "our margin of five diameters; DIN VDE 0298-3 asks for three to five",
    why: "strands break one by one at a tight bend, and the last ones get hot",
    fix: "lead the cord in a wider curve, or move the entry",
    check: |case| each(&["bend", "room"], |s| (*s).to_owned(), |s| if *s == "bend" { bend(case) } else { room(case) }),
};

fn bend(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    let (given, least) = (&cord.bend, figures.bend.clone()?);
    let thickness = figures.outer.as_ref()?.thickness;
    Measure::at_least("bend of the cord", Some(given.path.clone()), given.low()?, least).judge(|m| {
        let message = format!("the cord bends to {}; {thickness} thick, it needs {least}", m.value);
        Finding::new(message, given.span, "bend").fix(format!("lead it in a curve of {} or more", least.no_less()))
    })
}

fn room(case: &Case<'_>) -> Judgement {
    let (cord, figures) = cord(case)?;
    let WayIn { need, inside } = figures.way_in.clone()?.ok_or(Skip::NotApplicable)?;
    let body = &case.lamp.enclosure;
    Measure::at_least("room behind the cord's entry", Some("line.inside".to_owned()), inside, need).judge(|m| {
        let message = format!("the body is at most {} long inside; the cord needs {need} to come in and bend", m.value);
        Finding::new(message, body.size.span, "body")
            .also(cord.depth.span, "straight piece")
            .fix("shorten the straight piece or move the entry")
    })
}
