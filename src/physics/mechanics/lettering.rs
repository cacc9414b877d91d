//! Letters of single strokes for engraving: a beam or a point follows them, where an outline font would be filled.
//! The alphabet is our own, drawn on a grid 4 wide and 6 high.

use super::curve::Point;
use crate::quantity::Metres;

/// Strokes of a character: runs of grid points, each two digits, runs parted by blanks.
const ALPHABET: [(char, &str); 43] = [
    ('A', "002640 1333"),
    ('B', "0006 063645443303 3342413000"),
    ('C', "4536160501103041"),
    ('D', "00062644422000"),
    ('E', "46060040 0333"),
    ('F', "460600 0333"),
    ('G', "45361605011030414323"),
    ('H', "0006 4046 0343"),
    ('I', "2026 1636 1030"),
    ('J', "4641301001"),
    ('K', "0006 460340"),
    ('L', "060040"),
    ('M', "0006234640"),
    ('N', "00064046"),
    ('O', "100105163645413010"),
    ('P', "00063645443303"),
    ('Q', "100105163645413010 2240"),
    ('R', "00063645443303 2340"),
    ('S', "453616050413334241301001"),
    ('T', "0646 2620"),
    ('U', "060110304146"),
    ('V', "062046"),
    ('W', "0610233046"),
    ('X', "0046 0640"),
    ('Y', "062346 2320"),
    ('Z', "06460040"),
    ('0', "100105163645413010 0145"),
    ('1', "152620 1030"),
    ('2', "05163645440040"),
    ('3', "051636454433 13334241301001"),
    ('4', "30360242"),
    ('5', "460603334241301001"),
    ('6', "4536160501103041423303"),
    ('7', "064620"),
    ('8', "13040516364544331302011030414233"),
    ('9', "0110304145361605041343"),
    ('-', "1333"),
    ('+', "1333 2224"),
    ('/', "0046"),
    ('.', "2021"),
    ('_', "0040"),
    ('↑', "2026 042644"),
    (' ', ""),
];

/// What stands for a character that the alphabet does not have: an empty frame.
const FRAME: &str = "0006464000";
/// Height of a letter in grid units.
const HEIGHT: f64 = 6.0;
/// Width of a letter in grid units.
const WIDTH: f64 = 4.0;
/// From one letter to the next in grid units.
const ADVANCE: f64 = 5.5;

/// The strokes of a line of text with letters of this height, its middle at the origin. Small letters are written as
/// capitals.
pub fn lettering(text: &str, height: Metres) -> Vec<Vec<Point>> {
    let unit = height / HEIGHT;
    let letters: Vec<char> = text.chars().flat_map(char::to_uppercase).collect();
    let length = ADVANCE * letters.len() as f64 - (ADVANCE - WIDTH);
    let mut runs = Vec::new();
    for (k, letter) in letters.iter().enumerate() {
        let left = ADVANCE * k as f64 - length / 2.0;
        let strokes = ALPHABET.iter().find(|(known, _)| known == letter).map_or(FRAME, |(_, strokes)| strokes);
        let point = |pair: &[u8]| {
            let digit = |at: usize| pair.get(at).map_or(0.0, |byte| f64::from(byte.wrapping_sub(b'0')));
            Point { x: unit * (left + digit(0)), y: unit * (digit(1) - HEIGHT / 2.0) }
        };
        runs.extend(strokes.split_whitespace().map(|run| run.as_bytes().chunks(2).map(point).collect()));
    }
    runs
}

/// A cross of this width and height about the origin.
pub fn cross(size: Metres) -> Vec<Vec<Point>> {
    let (half, none) = (size / 2.0, Metres::ZERO);
    let line = |x: Metres, y: Metres| vec![Point { x: -x, y: -y }, Point { x, y }];
    vec![line(half, none), line(none, half)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn every_letter_stays_in_its_grid() {
        for (letter, strokes) in ALPHABET {
            for run in strokes.split_whitespace() {
                assert!(run.len() % 2 == 0 && run.len() >= 4, "{letter}");
                let inside = |pair: &[u8]| (b'0'..=b'4').contains(&pair[0]) && (b'0'..=b'6').contains(&pair[1]);
                assert!(run.as_bytes().chunks(2).all(inside), "{letter}");
            }
        }
    }

    #[test]
    fn no_two_letters_look_alike() {
        for (k, (one, strokes)) in ALPHABET.iter().enumerate() {
            assert!(ALPHABET.iter().skip(k + 1).all(|(_, other)| other != strokes), "{one}");
        }
    }

    #[test]
    fn a_line_is_as_high_as_asked_and_lies_about_its_middle() {
        let points: Vec<Point> = lettering("Top 1", mm(6.0)).into_iter().flatten().collect();
        let (xs, ys): (Vec<f64>, Vec<f64>) = points.iter().map(|p| (p.x.value() * 1e3, p.y.value() * 1e3)).unzip();
        let low = |v: &[f64]| v.iter().copied().fold(f64::MAX, f64::min);
        let high = |v: &[f64]| v.iter().copied().fold(f64::MIN, f64::max);
        assert!((high(&ys) - 3.0).abs() < 1e-9 && (low(&ys) + 3.0).abs() < 1e-9);
        // Five letters, four of them followed by the next: 4 × 5.5 + 4 units of 1 mm; the 1 is a unit narrower each way.
        assert!((low(&xs) + 13.0).abs() < 1e-9 && (high(&xs) - 12.0).abs() < 1e-9);
        assert_eq!(lettering("é", mm(6.0)), lettering("è", mm(6.0)), "a frame stands for what is not known");
    }
}
