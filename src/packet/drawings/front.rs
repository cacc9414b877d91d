//! Drawing `cover-front`: the lamp from the front, with the sheet and the dice behind it.

use super::body::{Shell, VIEW, net, reduction, shell};
use super::callouts::{Callout, Column, column};
use super::pen::{Pen, mm, path_of};
use crate::packet::bench::Bench;
use crate::packet::drawing::{Drawing, Path, Point, Role, Scale, at};
use crate::packet::plain::plain;
use crate::quantity::{Metres, Quantity};
use crate::schema::words::Word;
use crate::solve::light::dice::places;

/// Side of a die as drawn, mm of the lamp; its own size is not given.
const DIE: f64 = 3.0;
/// Most dice that are drawn one by one (our limit).
const MOST_DICE: u32 = 2000;

/// The view; none where the body's sizes are missing.
pub(super) fn front(bench: &Bench<'_>) -> Option<Drawing> {
    let shell = shell(bench.lamp).ok()?;
    let by = reduction((shell.width, shell.height), VIEW);
    let (w, h) = (shell.width / by / 2.0, shell.height / by / 2.0);
    let mut pen = Pen::default();
    let outside =
        if shell.round { Path::circle(at(0.0, 0.0), w) } else { Path::rectangle(at(-w, -h), 2.0 * w, 2.0 * h) };
    pen.path(Role::Outline, outside);
    let body = &bench.lamp.enclosure;
    let edge = if shell.round { at(w * 0.766, h * 0.643) } else { at(w, h * 0.8) };
    let material = body.material.value.map_or("", |m| plain(m.word()));
    let mut labels = vec![Callout { target: edge, text: format!("body, {material}") }];
    if let Some(net) = net(bench) {
        pen.paths(
            Role::Outline,
            std::iter::once(&net.plate.outer)
                .chain(&net.plate.holes)
                .map(|e| path_of(e, 1.0 / by, at(0.0, 0.0)))
                .collect(),
        );
        let sheet = bench.lamp.diffuser.as_ref().and_then(|d| d.material.value).map_or("", |m| plain(m.word()));
        let target = at(mm(net.width) / by / 2.0 * 0.6, mm(net.height) / by / 2.0 * 0.3);
        labels.push(Callout { target, text: format!("diffuser, {sheet}") });
    }
    labels.extend(dice(&mut pen, bench, &shell, by));
    dimensions(&mut pen, &shell, by);
    column(&mut pen, Column::Right, w + 14.0, labels);
    let title = format!("Front, 1 : {by}");
    let description = format!("The lamp from the front at 1 to {by}: body, diffuser, and the dice behind it.");
    Some(pen.finish("cover-front", title, description, Scale::Reduced))
}

/// The dice behind the sheet where they sit; where that is not known at their pitch, in a grid that is ours.
fn dice(pen: &mut Pen, bench: &Bench<'_>, shell: &Shell, by: f64) -> Option<Callout> {
    let channels = &bench.lamp.driver.channels;
    let known: Option<Vec<_>> = channels.iter().map(|channel| places(&bench.lamp.engine(), channel).ok()).collect();
    let known: Vec<(Metres, Metres)> = known.unwrap_or_default().into_iter().flatten().collect();
    if let Some(last) = known.last() {
        let (place, side) = (|p: &(Metres, Metres)| at(mm(p.0) / by, mm(p.1) / by), DIE / by);
        let square = |centre: Point| Path::rectangle(at(centre.x - side / 2.0, centre.y - side / 2.0), side, side);
        pen.paths(Role::Dimension, known.iter().map(|p| square(place(p))).collect());
        return Some(Callout { target: place(last), text: format!("{} dice behind it", known.len()) });
    }
    let dice = &bench.lamp.emitter.dice;
    let count = dice.iter().filter_map(|die| die.count.value).fold(0, u32::saturating_add);
    let pitch = bench.lamp.emitter.pitch.nominal().ok();
    if count == 0 {
        return None;
    }
    if count > MOST_DICE {
        return Some(Callout { target: at(0.0, 0.0), text: format!("{count} dice behind it, too many to draw") });
    }
    let step = pitch.map_or(DIE * 2.0, mm);
    let columns = libm::round(libm::sqrt(f64::from(count) * shell.width / shell.height)).clamp(1.0, f64::from(count));
    let most = libm::floor((shell.width - 2.0 * shell.wall) / step).max(1.0);
    let columns = columns.min(most);
    let rows = libm::ceil(f64::from(count) / columns);
    let place = |k: u32| {
        let (column, row) = (f64::from(k) % columns, libm::floor(f64::from(k) / columns));
        let x = (column - (columns - 1.0) / 2.0) * step / by;
        at(x, ((rows - 1.0) / 2.0 - row) * step / by)
    };
    let side = DIE / by;
    let squares = (0..count).map(|k| {
        let centre = place(k);
        Path::rectangle(at(centre.x - side / 2.0, centre.y - side / 2.0), side, side)
    });
    pen.paths(Role::Dimension, squares.collect());
    let apart = pitch.map_or_else(String::new, |pitch: Metres| format!(", {} apart", pitch.show()));
    Some(Callout { target: place(count - 1), text: format!("{count} dice behind it{apart}; pattern for show") })
}

fn dimensions(pen: &mut Pen, shell: &Shell, by: f64) {
    let (w, h) = (shell.width / by / 2.0, shell.height / by / 2.0);
    let show = |size: f64| Metres::si(size / 1e3).show();
    if shell.round {
        pen.across(at(-w, 0.0), at(w, 0.0), -h - 6.0, &format!("Ø {}", show(shell.width)));
    } else {
        pen.across(at(-w, -h), at(w, -h), -h - 6.0, &show(shell.width));
        pen.upright(at(-w, -h), at(-w, h), -w - 5.0, &show(shell.height));
    }
}
