//! Labels with leaders in a column beside a picture: as high as what they name where they can be, never on each other.

use super::pen::Pen;
use super::text::LABEL;
use crate::packet::drawing::{Anchor, Path, Point, Role, at};

/// Distance of base lines, mm.
const PITCH: f64 = 4.2;
/// Length of the level end of a leader at its text, mm.
const SHOULDER: f64 = 2.0;
/// Radius of the dot at the other end, mm.
const DOT: f64 = 0.45;

/// What is named, and where it is.
pub(super) struct Callout {
    /// A point on it.
    pub(super) target: Point,
    /// Its name.
    pub(super) text: String,
}

/// On which side of the picture the column stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    /// Left of it, texts set against the leaders.
    Left,
    /// Right of it.
    Right,
}

/// Draws a column of labels whose leaders end at `x`, in the order of their targets from the top.
pub(super) fn column(pen: &mut Pen, side: Column, x: f64, mut labels: Vec<Callout>) {
    labels.sort_by(|a, b| b.target.y.total_cmp(&a.target.y));
    let heights = spread(&labels.iter().map(|label| label.target.y).collect::<Vec<_>>());
    let (shoulder, anchor, gap) = match side {
        Column::Left => (SHOULDER, Anchor::End, -0.8),
        Column::Right => (-SHOULDER, Anchor::Start, 0.8),
    };
    uncross(&mut labels, &heights, x + shoulder);
    for (label, y) in labels.iter().zip(heights) {
        pen.line(Role::Dimension, &[label.target, at(x + shoulder, y), at(x, y)]);
        pen.path(Role::Ink, Path::circle(label.target, DOT));
        pen.text(at(x + gap, y - LABEL / 2.0), anchor, &label.text);
    }
}

/// Changes labels about until no two leaders cross: each change shortens the leaders, so that it ends.
fn uncross(labels: &mut [Callout], heights: &[f64], x: f64) {
    let side = |a: Point, b: Point, p: Point| (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
    let cross = |a: Point, b: Point, c: Point, d: Point| {
        side(a, b, c) * side(a, b, d) < -1e-9 && side(c, d, a) * side(c, d, b) < -1e-9
    };
    for _ in 0..labels.len() * labels.len() {
        let pairs = (0..labels.len()).flat_map(|i| (i + 1..labels.len()).map(move |k| (i, k)));
        let found = pairs.into_iter().find(|&(i, k)| {
            let end = |n: usize| heights.get(n).map(|y| at(x, *y));
            let from = |n: usize| labels.get(n).map(|label| label.target);
            match (from(i), end(i), from(k), end(k)) {
                (Some(a), Some(b), Some(c), Some(d)) => cross(a, b, c, d),
                _ => false,
            }
        });
        let Some((i, k)) = found else { return };
        labels.swap(i, k);
    }
}

/// Heights at least a pitch apart and near the wanted ones, which fall from first to last: runs that would touch are
/// pooled and set about their mean, which moves each as little as can be in the sum of squares.
fn spread(wanted: &[f64]) -> Vec<f64> {
    // Each pool: the mean of (wanted + its place in the run · pitch), and how many it holds.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for &height in wanted {
        let mut pool = (height, 1);
        while let Some(&(top, count)) = pools.last() {
            if top - count as f64 * PITCH >= pool.0 {
                break;
            }
            pools.pop();
            let lifted = pool.0 + count as f64 * PITCH;
            let both = count + pool.1;
            pool = ((top * count as f64 + lifted * pool.1 as f64) / both as f64, both);
        }
        pools.push(pool);
    }
    pools.iter().flat_map(|&(top, count)| (0..count).map(move |k| top - k as f64 * PITCH)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leaders_do_not_cross() {
        let label = |x: f64, y: f64| Callout { target: at(x, y), text: String::new() };
        // The one nearer to the column but higher would cut off the other.
        let mut labels = vec![label(0.0, 10.0), label(18.0, 9.5), label(2.0, 9.0)];
        uncross(&mut labels, &[14.0, 9.8, 5.6], 20.0);
        let ends = [14.0, 9.8, 5.6];
        let order: Vec<f64> = labels.iter().map(|l| l.target.x).collect();
        assert_eq!(order.len(), ends.len());
        let before: f64 = labels.iter().zip(ends).map(|(l, y)| libm::hypot(20.0 - l.target.x, y - l.target.y)).sum();
        uncross(&mut labels, &ends, 20.0);
        let after: f64 = labels.iter().zip(ends).map(|(l, y)| libm::hypot(20.0 - l.target.x, y - l.target.y)).sum();
        assert!((before - after).abs() < 1e-12, "nothing left to uncross");
        let mut crossed = vec![label(10.0, 0.0), label(10.0, 5.0)];
        uncross(&mut crossed, &[5.0, 0.0], 20.0);
        assert_eq!((crossed[0].target.y, crossed[1].target.y), (5.0, 0.0));
    }

    #[test]
    fn labels_keep_their_distance_and_their_order() {
        for wanted in [
            vec![10.0, 10.0, 10.0, 10.0],
            vec![30.0, 12.0, 11.0, -40.0],
            vec![5.0, 4.9, 4.8, 4.0, 0.0, -0.1, -30.0],
            vec![1.0],
            vec![],
        ] {
            let set = spread(&wanted);
            assert_eq!(set.len(), wanted.len());
            assert!(set.windows(2).all(|pair| pair[0] - pair[1] >= PITCH - 1e-9), "{set:?}");
        }
        assert_eq!(spread(&[30.0, 10.0, -20.0]), [30.0, 10.0, -20.0]);
        // Four at one height are set about it.
        let set = spread(&[10.0; 4]);
        assert!((set.iter().sum::<f64>() / 4.0 - 10.0).abs() < 1e-9);
    }
}
