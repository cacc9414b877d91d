//! Energy is neither made nor lost, more current is hotter, and outlines grow as geometry says: at random figures.

use std::f64::consts::PI;

use lampwright::physics::mechanics::curve::Point;
use lampwright::physics::mechanics::offset::offset;
use lampwright::physics::mechanics::outline::Outline;
use lampwright::quantity::Metres;

use super::Random;
use crate::support::{self, text_of, varied};

const CHANNELS: [&str; 4] = ["red", "green", "blue", "warm"];

/// The figures of the table lamp with these currents, in mA.
fn figures(currents: [f64; 4]) -> impl Fn(&str) -> f64 {
    let channels = CHANNELS.iter().zip(currents).map(|(c, i)| format!("channel {c} {{ current {i:.3} mA }}\n"));
    let compiled = varied(&text_of("alder-table"), &format!("driver {{\n{}}}", channels.collect::<String>()));
    move |path| support::figure(&compiled, path)
}

/// What the dice take up less what they shine is what runs through their soldered faces to the board: the sum of
/// (T_j − T_board)/R_th (Kirchhoff's node law for heat), with the 7 K/W a die of the example.
#[test]
fn the_heat_of_the_dice_runs_through_their_faces() {
    let mut random = Random(11);
    for _ in 0..4 {
        let currents = [0; 4].map(|_| random.between(150.0, 380.0));
        let figure = figures(currents);
        let through: f64 =
            CHANNELS.iter().map(|c| (figure(&format!("heat.junction.{c}")) - figure("heat.board")) / 7.0).sum();
        let made = figure("heat.dice");
        assert!((through / made - 1.0).abs() < 1e-6, "{currents:?} mA: {made} W made, {through} W through");
        // No lamp shines more than it takes, nor warms its inside with more.
        let taken: f64 = CHANNELS.iter().map(|c| figure(&format!("drive.{c}.input"))).sum();
        let shone: f64 = CHANNELS.iter().map(|c| figure(&format!("drive.{c}.radiant"))).sum();
        assert!(shone > 0.0 && made + shone < taken * 1.001, "{currents:?} mA: {made} + {shone} of {taken} W");
        assert!(figure("heat.trapped-light") < shone);
    }
}

/// One channel raised by a tenth: its junction is hotter, and none of the others is cooler.
#[test]
fn more_current_is_a_hotter_junction() {
    let mut random = Random(12);
    for _ in 0..3 {
        let low = [0; 4].map(|_| random.between(150.0, 340.0));
        let at = random.below(4);
        let mut high = low;
        high[at] *= 1.1;
        let (cool, hot) = (figures(low), figures(high));
        for (i, channel) in CHANNELS.iter().enumerate() {
            let path = format!("heat.junction.{channel}");
            let (was, is) = (cool(&path), hot(&path));
            assert!(if i == at { is > was + 0.1 } else { is > was - 1e-6 }, "{low:?}, {at}: {path} {was} K to {is} K");
        }
        let judged = "heat.judged.hottest";
        assert!(hot(judged) >= cool(judged), "{low:?}, {at}");
    }
}

fn millimetres(value: f64) -> Metres {
    Metres::si(value * 1e-3)
}

/// A convex polygon on a circle, its corners at random.
fn convex(random: &mut Random) -> Outline {
    let count = 3 + random.below(9);
    let radius = random.between(20.0, 150.0);
    // One corner in each equal sector, so that no side is too short to offset.
    let corner = |i: usize, share: f64| 2.0 * PI * (i as f64 + 0.1 + 0.8 * share) / count as f64;
    let points: Vec<Point> =
        (0..count).map(|i| Point::polar(millimetres(radius), corner(i, random.between(0.0, 1.0)))).collect();
    Outline::polygon(&points)
}

/// Steiner: a convex outline grown by r has the area A + L·r + π·r² and the perimeter L + 2·π·r; shrunk again by r
/// it is the outline it was.
#[test]
fn outlines_grow_by_steiners_law_and_shrink_back() {
    let mut random = Random(13);
    for round in 0..200 {
        let outline = convex(&mut random);
        let r = random.between(0.05, 5.0) * 1e-3;
        let (area, length) = (outline.area().value(), outline.perimeter().value());
        let grown = offset(&outline, Metres::si(r));
        assert_eq!(grown.len(), 1, "round {round}");
        let (wide, long) = (grown[0].area().value(), grown[0].perimeter().value());
        assert!((wide / (area + length * r + PI * r * r) - 1.0).abs() < 1e-9, "round {round}: area");
        assert!((long / (length + 2.0 * PI * r) - 1.0).abs() < 1e-9, "round {round}: perimeter");
        let back = offset(&grown[0], Metres::si(-r));
        assert_eq!(back.len(), 1, "round {round}");
        assert!(
            (back[0].area().value() / area - 1.0).abs() < 1e-7,
            "round {round}: back to {}",
            back[0].area().value()
        );
        let more = offset(&outline, Metres::si(2.0 * r));
        assert!(more[0].area().value() > wide && wide > area, "round {round}: grows with the distance");
    }
}
