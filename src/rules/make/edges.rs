//! What the edges of the sheet leave, and whether the cutter can follow them.

use std::collections::BTreeSet;

use crate::diag::{Signal, Span};
use crate::lamp::diffuser::{Diffuser, Notch};
use crate::lamp::given::Found;
use crate::physics::mechanics::kerf::KerfFault;
use crate::physics::mechanics::plate::{Edge, PlateFault, edge_distance_wanted, slot_fits, web_wanted};
use crate::quantity::{Metres, Quantity};
use crate::rules::rule::{Case, Finding, Judgement, Measure, Outcome, Rule, Skip, Verdict, each, once, unless};
use crate::solve::sheet::{Feature, FeatureKind, Net};

use super::{net, sheet};

/// Holes above this are openings: they are held to the web alone.
const LARGEST_SCREW_HOLE: Metres = Metres::si(0.012);

fn each_feature(case: &Case<'_>, judge: impl Fn(&Diffuser, &Feature) -> Judgement) -> Vec<Verdict> {
    match net(case) {
        Ok((diffuser, net)) => each(&net.features, |f| f.name.clone(), |f| judge(diffuser, f)),
        Err(skip) => once(|| Err(skip)),
    }
}

pub(super) static EDGE_DISTANCE: Rule = Rule {
    name: "make/edge-distance",
    signal: Signal::Caution,
    waivable: true,
    title: "a screw hole too near the edge",
    source: "our margin: 2 d from centre to edge in brittle sheet, 1.5 d else, for holes up to 12 mm",
    why: "a crack starts at the screw hole and runs to the near edge, often months after the screw was tightened",
    fix: "move the hole inwards or make it smaller",
    check: |case| {
        each_feature(case, |diffuser, f| {
            if f.kind != FeatureKind::Round || f.diameter > LARGEST_SCREW_HOLE {
                return Err(Skip::NotApplicable);
            }
            let brittle = crate::solve::sheet::is_brittle(diffuser.material.get()?);
            let wanted = edge_distance_wanted(f.diameter, brittle);
            let what = format!("edge distance of {}", f.name);
            let path = Some(format!("cut.{}.edge", f.name));
            Measure::at_least(what, path, f.centre_to_edge, wanted).judge(|_| {
                Finding::new(
                    format!(
                        "the centre of `{}` is {} from the edge; {} is wanted for a hole of {}",
                        f.name,
                        f.centre_to_edge.show(),
                        wanted.show(),
                        f.diameter.show()
                    ),
                    f.span,
                    "this hole",
                )
                .fix(format!("move it {} inwards", (wanted - f.centre_to_edge).no_less()))
            })
        })
    },
};

pub(super) static WEB_THIN: Rule = Rule {
    name: "make/web-thin",
    signal: Signal::Caution,
    waivable: true,
    title: "a thin bridge of sheet beside a hole or in the outline",
    source: "our margin: the larger of the thickness and 3 mm; workshops ask for the thickness",
    why: "a narrow bridge melts, warps or breaks while it is cut, and cracks later",
    fix: "move the holes apart or away from the edge",
    check: |case| {
        let mut verdicts = each_feature(case, |diffuser, f| {
            let wanted = web_wanted(diffuser.thickness.nominal()?);
            let (what, path) = (format!("web beside {}", f.name), Some(format!("cut.{}.web", f.name)));
            Measure::at_least(what, path, f.web, wanted).judge(|_| {
                Finding::new(
                    format!("beside `{}` only {} of sheet is left; {} is wanted", f.name, f.web.show(), wanted.show()),
                    f.span,
                    "this hole",
                )
                .also(diffuser.thickness.span, "thickness of the sheet")
                .fix(format!("move it {} away from its neighbour or the edge", (wanted - f.web).no_less()))
            })
        });
        if let Ok((diffuser, net)) = net(case) {
            verdicts.extend(each([&()], |()| "outline".to_owned(), |()| neck(diffuser, net)));
        }
        verdicts
    },
};

/// The outline itself, between two of its own edges.
fn neck(diffuser: &Diffuser, net: &Net) -> Judgement {
    let wanted = web_wanted(diffuser.thickness.nominal()?);
    let Some(width) = net.neck else { return Ok(Outcome::Pass(None)) };
    let path = Some("cut.neck".to_owned());
    Measure::at_least("narrowest place of the outline", path, width, wanted).judge(|m| {
        let said = format!("the outline is {} wide at its narrowest; {} is wanted", m.value, m.limit);
        let span = if diffuser.points.is_known() { diffuser.points.span } else { diffuser.outline.span };
        Finding::new(said, span, "the outline")
            .also(diffuser.thickness.span, "thickness of the sheet")
            .fix(format!("make its narrow place {} wider", (wanted - width).no_less()))
    })
}

pub(super) static INSIDE_RADIUS: Rule = Rule {
    name: "make/inside-radius",
    signal: Signal::Caution,
    waivable: true,
    title: "an inside corner tighter than the cutter",
    source: "geometry of a round tool: radius of at least half the kerf",
    why: "the round of the cutter leaves material standing in the corner, and what should fit there does not",
    fix: "give the corner the cutter's radius or more, or take a thinner cutter",
    check: |case| match sheet(case) {
        Ok((diffuser, solved)) => {
            let corners = solved.net.as_ref().map_or(&[][..], |net| &net.inside).iter();
            let corners = corners.map(|c| (c.name.clone(), c.span, None, Ok(c.radius)));
            let notches = diffuser.notches.iter();
            let notches = notches.map(|n| (n.name.clone(), n.corner.span, Some(n), n.corner.nominal()));
            let all: Vec<_> = notches.chain(corners).collect();
            each(&all, |row| row.0.clone(), |row| turns(diffuser, row))
        }
        Err(skip) => once(|| Err(skip)),
    },
};

type Tight<'a> = (String, Span, Option<&'a Notch>, Found<Metres>);

/// Whether the cutter gets round the corner of a notch, a cut-out or the outline.
fn turns(diffuser: &Diffuser, (name, span, notch, corner): &Tight<'_>) -> Judgement {
    let (kerf, corner) = (diffuser.cut.kerf.nominal()?, corner.clone()?);
    if let Some(notch) = notch
        && !slot_fits(notch.width.nominal()?, kerf)
    {
        // The cutter does not enter the notch at all, which is another rule's matter.
        return Err(Skip::NotApplicable);
    }
    let least = kerf / 2.0;
    let path = notch.map_or_else(|| format!("cut.{name}.inside-radius"), |notch| notch.corner.path.clone());
    let fix = match notch {
        Some(_) => format!("write `corner {}` or more", least.no_less()),
        None => format!("lead into it by an arc with a radius of {} or more", least.no_less()),
    };
    Measure::at_least(format!("inside radius of {name}"), Some(path), corner, least).judge(|_| {
        let said = if corner == Metres::ZERO {
            format!("a cut {} wide cannot make the sharp inside corner of `{name}`", kerf.show())
        } else {
            format!("a cut {} wide cannot make the inside radius of {} in `{name}`", kerf.show(), corner.show())
        };
        let said = if diffuser.cut.router.is_some() {
            format!("{said}; the router gets no tool path until it can")
        } else {
            said
        };
        Finding::new(said, *span, "this corner")
            .also(diffuser.cut.kerf.span, format!("cut {} wide: radius {}", kerf.show(), least.show()))
            .fix(fix)
    })
}

pub(super) static SLOT_NARROWER: Rule = Rule {
    name: "make/slot-narrower-than-kerf",
    signal: Signal::Warning,
    waivable: true,
    title: "a hole or notch narrower than the cut",
    source: "geometry: the cutter's path in it vanishes",
    why: "the cutter makes it wider than drawn whatever it does, so what should fit sits loose or the edge breaks out",
    fix: "make it wider than the kerf, or take a thinner cutter",
    check: |case| match sheet(case) {
        Ok((diffuser, solved)) => {
            let features = solved.net.as_ref().map_or(&[][..], |net| &net.features);
            let holes = features.iter().map(|f| (f.name.clone(), f.span, Ok(f.diameter)));
            let notches = diffuser.notches.iter().map(|n| (n.name.clone(), n.span, n.width.nominal()));
            let narrow: Vec<_> = holes.chain(notches).collect();
            each(
                &narrow,
                |n| n.0.clone(),
                |(name, span, width)| {
                    let (width, kerf) = (width.clone()?, diffuser.cut.kerf.nominal()?);
                    unless(!slot_fits(width, kerf), || {
                        Finding::new(
                            format!("`{name}` is {} wide and the cut {}", width.show(), kerf.show()),
                            *span,
                            "narrower than the cut",
                        )
                        .also(diffuser.cut.kerf.span, "the cut")
                        .fix(format!("make it at least {} wide, or drill it", kerf.no_less()))
                    })
                },
            )
        }
        Err(skip) => once(|| Err(skip)),
    },
};

pub(super) static OFFSET_CROSSES: Rule = Rule {
    name: "make/offset-crosses",
    signal: Signal::Danger,
    waivable: false,
    title: "the edges of the sheet do not make one piece",
    source: "geometry",
    why: "holes that meet, leave the sheet or cross themselves give a piece that nobody meant; no cut file is written",
    fix: "move or resize what the message names",
    check: |case| match crossings(case) {
        Ok(found) if found.is_empty() => once(|| Ok(Outcome::Pass(None))),
        Ok(found) => each(&found, |row| row.0.clone(), |row| Ok(Outcome::Finding(row.1.clone()))),
        Err(skip) => once(|| Err(skip)),
    },
};

/// Everything that is wrong with the edges or the cutter's path, each by what it is about.
fn crossings(case: &Case<'_>) -> Result<Vec<(String, Finding)>, Skip> {
    let (diffuser, solved) = sheet(case)?;
    let net = match &solved.net {
        Ok(net) => net,
        Err(fault) => {
            let text = format!("`{}` of the diffuser: {}", fault.name, fault.fault);
            let (said, fix) = text.split_once("; ").unwrap_or((&text, "correct its figures"));
            return Ok(vec![(fault.name.clone(), Finding::new(said, fault.span, "here").fix(fix))]);
        }
    };
    let mut found: Vec<(String, Finding)> = net.faults.iter().map(|fault| crossing(diffuser, net, *fault)).collect();
    // Where the edges themselves are wrong, their path says nothing new.
    if found.is_empty() {
        match net.path.as_ref()? {
            Ok(path) => {
                let faults = path.path.faults().into_iter();
                found.extend(faults.map(|fault| crossing(diffuser, net, fault)));
            }
            Err(fault) => found.extend(narrow(diffuser, net, *fault)),
        }
    }
    let mut said = BTreeSet::new();
    found.retain(|(_, finding)| said.insert(finding.message.clone()));
    Ok(found)
}

fn crossing(diffuser: &Diffuser, net: &Net, fault: PlateFault) -> (String, Finding) {
    let of = |edge: usize| net.features.iter().find(|f| f.edges.contains(&edge));
    let subject = |edge: usize| of(edge).map_or_else(|| "hole".to_owned(), |f| f.name.clone());
    let name = |edge: usize| of(edge).map_or_else(|| "a hole".to_owned(), |f| format!("`{}`", f.name));
    let span = |edge: usize| of(edge).map_or(diffuser.span, |f| f.span);
    let outline = if diffuser.points.is_known() { diffuser.points.span } else { diffuser.outline.span };
    let one = |edge: usize, said: String, fix: &str| (subject(edge), Finding::new(said, span(edge), "here").fix(fix));
    let outer = |said: &str, fix: &str| ("outline".to_owned(), Finding::new(said, outline, "here").fix(fix));
    match fault {
        PlateFault::HoleOutside(a) => {
            one(a, format!("{} is not wholly inside the outer edge", name(a)), "move it inwards")
        }
        PlateFault::HolesMeet(a, b) if name(a) == name(b) => {
            one(a, format!("the holes of {} run into each other", name(a)), "take fewer or smaller ones")
        }
        PlateFault::HolesMeet(a, b) => {
            let (subject, finding) = one(b, format!("{} runs into {}", name(a), name(b)), "move them apart");
            (subject, finding.also(span(a), "the other"))
        }
        PlateFault::CrossesItself(Edge::Hole(a)) => {
            one(a, format!("the edge of {} crosses itself", name(a)), "correct its figures")
        }
        PlateFault::Empty(Edge::Hole(a)) => one(a, format!("{} encloses nothing", name(a)), "give it a size"),
        PlateFault::Empty(Edge::Outer) => outer("the outer edge encloses nothing", "give it a size"),
        PlateFault::CrossesItself(Edge::Outer) => outer("the outer edge crosses itself", "correct its figures"),
    }
}

/// An edge whose path closes on itself or falls apart. Where the opening as a whole is narrower than the cut, another
/// rule says so.
fn narrow(diffuser: &Diffuser, net: &Net, fault: KerfFault) -> Option<(String, Finding)> {
    let kerf = diffuser.cut.kerf.nominal().ok()?;
    let of = |edge: Edge| match edge {
        Edge::Outer => {
            let path = diffuser.points.is_known();
            let span = if path { diffuser.points.span } else { diffuser.outline.span };
            Some(("outline".to_owned(), "the outer edge".to_owned(), span, kerf))
        }
        Edge::Hole(n) => {
            let feature = net.features.iter().find(|f| f.edges.contains(&n))?;
            Some((feature.name.clone(), format!("`{}`", feature.name), feature.span, feature.diameter))
        }
    };
    let say = |subject, said: String, span, fix: String| {
        Some((subject, Finding::new(said, span, "here").also(diffuser.cut.kerf.span, "the cut").fix(fix)))
    };
    match fault {
        KerfFault::Kerf => None,
        KerfFault::Vanishes(edge) => {
            let (subject, name, span, _) = of(edge).filter(|row| slot_fits(row.3, kerf))?;
            let said = format!("{name} leaves no room for a cut of {}", kerf.show());
            say(subject, said, span, "make it wider or take a thinner cutter".to_owned())
        }
        KerfFault::Splits(edge, count) => {
            let (subject, name, span, _) = of(edge)?;
            let said = format!(
                "a cut of {} does not pass the narrow place of {name}: its path falls into {count}",
                kerf.show()
            );
            say(subject, said, span, format!("make its narrow place wider than {}", kerf.show()))
        }
        KerfFault::Missed(edge, deep) => {
            let notch = |n: &&Notch| n.width.nominal().is_ok_and(|width| !slot_fits(width, kerf));
            if edge == Edge::Outer && diffuser.notches.iter().any(|n| notch(&n)) {
                return None;
            }
            let (subject, name, span, _) = of(edge).filter(|row| slot_fits(row.3, kerf))?;
            let said = format!(
                "a cut of {} does not go into a slit of {name}: {} of it would be left out",
                kerf.show(),
                deep.show()
            );
            say(subject, said, span, format!("make the slit wider than {}, or take a thinner cutter", kerf.show()))
        }
    }
}
