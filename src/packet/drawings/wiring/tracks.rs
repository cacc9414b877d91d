//! Upright pieces between two columns in the order that crosses least, and where lines still cross.

use crate::packet::drawing::Point;

/// Distance of upright pieces, mm.
pub(super) const PITCH: f64 = 2.6;

/// A wire between two columns: its index, its height on the left and on the right.
pub(super) type Jump = (usize, f64, f64);

/// Crossings of two wires when `a` stands left of `b`: `b` comes in over `a`'s upright, `a` goes out over `b`'s.
fn cost(a: &Jump, b: &Jump) -> usize {
    let within = |y: f64, jump: &Jump| y > jump.1.min(jump.2) && y < jump.1.max(jump.2);
    usize::from(within(b.1, a)) + usize::from(within(a.2, b))
}

/// The bent wires from left to right. Neighbours change places as long as that saves a crossing; what crosses a
/// straight wire does so in any order.
pub(super) fn order(mut bent: Vec<Jump>) -> Vec<Jump> {
    // Falling lines lowest first, rising lines highest first: the order without crossings where there is one.
    bent.sort_by(|a, b| {
        let key = |j: &Jump| if j.2 < j.1 { j.1 } else { -j.1 };
        key(a).total_cmp(&key(b)).then(a.0.cmp(&b.0))
    });
    let most = bent.len() * bent.len();
    for _ in 0..most {
        let better = bent.windows(2).position(|pair| match pair {
            [a, b] => cost(b, a) < cost(a, b),
            _ => false,
        });
        match better {
            Some(place) => bent.swap(place, place + 1),
            None => break,
        }
    }
    bent
}

/// For each line where its level pieces cross upright ones of others: index of the piece and x, from left to right.
pub(super) fn crossings(lines: &[Vec<Point>]) -> Vec<Vec<(usize, f64)>> {
    let pieces = |line: &[Point]| -> Vec<(Point, Point)> {
        line.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?))).collect()
    };
    let uprights: Vec<(usize, Point, Point)> = lines
        .iter()
        .enumerate()
        .flat_map(|(k, line)| pieces(line).into_iter().map(move |(a, b)| (k, a, b)))
        .filter(|(_, a, b)| (a.x - b.x).abs() < 1e-9)
        .collect();
    let of = |own: usize, line: &[Point]| -> Vec<(usize, f64)> {
        let mut found = Vec::new();
        for (piece, (a, b)) in pieces(line).into_iter().enumerate().filter(|(_, (a, b))| (a.y - b.y).abs() < 1e-9) {
            let over = uprights.iter().filter(|(other, low, high)| {
                let (least, most) = (low.y.min(high.y), low.y.max(high.y));
                *other != own && low.x > a.x && low.x < b.x && a.y > least && a.y < most
            });
            let mut places: Vec<f64> = over.map(|(_, p, _)| p.x).collect();
            places.sort_by(f64::total_cmp);
            found.extend(places.into_iter().map(|x| (piece, x)));
        }
        found
    };
    lines.iter().enumerate().map(|(k, line)| of(k, line)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::drawing::at;

    #[test]
    fn nested_lines_need_not_cross() {
        for jumps in [
            vec![(0, 10.0, 5.5), (1, 5.0, 0.5), (2, 0.0, -4.5)],
            vec![(0, 10.0, 14.5), (1, 5.0, 9.5), (2, 0.0, 4.5)],
            vec![(0, 10.0, 20.5), (1, 0.0, -10.5)],
        ] {
            let set = order(jumps.clone());
            let pairs = set.iter().enumerate().flat_map(|(k, a)| set.iter().skip(k + 1).map(move |b| cost(a, b)));
            assert_eq!(pairs.sum::<usize>(), 0, "{jumps:?}");
        }
        // Two that change places cross once whatever the order.
        let set = order(vec![(0, 10.0, 0.5), (1, 0.0, 10.5)]);
        assert_eq!(set.first().zip(set.last()).map(|(a, b)| cost(a, b)), Some(1));
    }

    #[test]
    fn a_crossing_is_found_once_and_on_the_level_line() {
        let level = vec![at(0.0, 5.0), at(20.0, 5.0)];
        let bent = vec![at(0.0, 10.0), at(7.0, 10.0), at(7.0, 0.0), at(20.0, 0.0)];
        assert_eq!(crossings(&[level, bent]), vec![vec![(0, 7.0)], vec![]]);
    }
}
