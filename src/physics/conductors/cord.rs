//! Outer sizes of supply cords, by build word, cores and cross-section, as glands and clamps need them.
//! Harmonised cords by IEC 60227-5; cords of the US by geometry from their wall thicknesses.

use super::{mm, mm2, same_area};
use crate::quantity::{Metres, SquareMetres};

/// Cross-section of the whole cord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Round.
    Round,
    /// Two cores side by side under one sheath.
    Flat,
    /// Two cores side by side without a sheath, a waist between them.
    FigureEight,
}

/// One cord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CordRow {
    /// Build word, `H03VV-F`.
    pub word: &'static str,
    /// Shape of the section.
    pub form: Form,
    /// Number of cores.
    pub cores: usize,
    /// Cross-section of each.
    pub area: SquareMetres,
    /// Nominal thickness of the core insulation.
    pub insulation: Metres,
    /// Nominal thickness of the sheath; zero without one.
    pub sheath: Metres,
    /// Least and greatest small axis (the diameter when round).
    pub minor: (Metres, Metres),
    /// Least and greatest large axis (the diameter when round).
    pub major: (Metres, Metres),
    /// Where it stands.
    pub source: &'static str,
    /// Whether the sizes are from memory.
    pub from_memory: bool,
}

impl CordRow {
    /// What a round clamp has to grip: the axis ranges joined.
    pub fn clamp_range(&self) -> (Metres, Metres) {
        (self.minor.0, self.major.1)
    }
}

const SEEN: &str = "IEC 60227-5 (EN 50525-2-11)";
const RECALLED: &str = "IEC 60227-5 (EN 50525-2-11); row from memory, agrees with the geometry of its walls";
const GEOMETRY: &str = "geometry from the wall thicknesses of UL 62, upper size + 10 % (our margin); measure the cord";

const fn round(word: &'static str, cores: usize, area: f64, walls: (f64, f64), od: (f64, f64)) -> CordRow {
    // The H03 rows are the ones from memory.
    let from_memory = matches!(word.as_bytes(), [b'H', b'0', b'3', ..]);
    CordRow {
        word,
        form: Form::Round,
        cores,
        area: mm2(area),
        insulation: mm(walls.0),
        sheath: mm(walls.1),
        minor: (mm(od.0), mm(od.1)),
        major: (mm(od.0), mm(od.1)),
        source: if from_memory { RECALLED } else { SEEN },
        from_memory,
    }
}

const fn flat(
    word: &'static str,
    form: Form,
    area: f64,
    walls: (f64, f64),
    least: (f64, f64),
    most: (f64, f64),
    from_memory: bool,
) -> CordRow {
    CordRow {
        word,
        form,
        cores: 2,
        area: mm2(area),
        insulation: mm(walls.0),
        sheath: mm(walls.1),
        minor: (mm(least.0), mm(most.0)),
        major: (mm(least.1), mm(most.1)),
        source: if from_memory { RECALLED } else { SEEN },
        from_memory,
    }
}

const fn american(word: &'static str, form: Form, cores: usize, walls: (f64, f64), axes: (f64, f64)) -> CordRow {
    CordRow {
        word,
        form,
        cores,
        area: mm2(0.82305),
        insulation: mm(walls.0),
        sheath: mm(walls.1),
        minor: (mm(axes.0), mm(axes.0 * 1.1)),
        major: (mm(axes.1), mm(axes.1 * 1.1)),
        source: GEOMETRY,
        from_memory: true,
    }
}

/// Every cord known, harmonised first.
pub const CORDS: [CordRow; 29] = [
    round("H03VV-F", 2, 0.5, (0.5, 0.6), (4.6, 5.9)),
    round("H03VV-F", 2, 0.75, (0.5, 0.6), (4.9, 6.3)),
    round("H03VV-F", 3, 0.5, (0.5, 0.6), (4.9, 6.3)),
    round("H03VV-F", 3, 0.75, (0.5, 0.6), (5.2, 6.7)),
    round("H05VV-F", 2, 0.75, (0.6, 0.8), (5.7, 7.2)),
    round("H05VV-F", 2, 1.0, (0.6, 0.8), (5.9, 7.5)),
    round("H05VV-F", 2, 1.5, (0.7, 0.8), (6.8, 8.6)),
    round("H05VV-F", 2, 2.5, (0.8, 1.0), (8.4, 10.6)),
    round("H05VV-F", 3, 0.75, (0.6, 0.8), (6.0, 7.6)),
    round("H05VV-F", 3, 1.0, (0.6, 0.8), (6.3, 8.0)),
    round("H05VV-F", 3, 1.5, (0.7, 0.9), (7.4, 9.4)),
    round("H05VV-F", 3, 2.5, (0.8, 1.1), (9.2, 11.4)),
    round("H05VV-F", 4, 0.75, (0.6, 0.8), (6.6, 8.3)),
    round("H05VV-F", 4, 1.0, (0.6, 0.9), (7.1, 9.0)),
    round("H05VV-F", 4, 1.5, (0.7, 1.0), (8.4, 10.5)),
    round("H05VV-F", 5, 0.75, (0.6, 0.9), (7.4, 9.3)),
    round("H05VV-F", 5, 1.0, (0.6, 0.9), (7.8, 9.8)),
    flat("H03VVH2-F", Form::Flat, 0.5, (0.5, 0.6), (3.0, 4.9), (3.7, 5.9), true),
    flat("H03VVH2-F", Form::Flat, 0.75, (0.5, 0.6), (3.2, 5.2), (3.8, 6.3), true),
    flat("H05VVH2-F", Form::Flat, 0.75, (0.6, 0.8), (3.7, 6.0), (4.5, 7.2), false),
    flat("H05VVH2-F", Form::Flat, 1.0, (0.6, 0.8), (3.9, 6.2), (4.7, 7.5), false),
    flat("H03VH-H", Form::FigureEight, 0.5, (0.8, 0.0), (2.5, 5.0), (3.0, 6.0), false),
    flat("H03VH-H", Form::FigureEight, 0.75, (0.8, 0.0), (2.7, 5.4), (3.2, 6.4), false),
    american("SPT-1", Form::FigureEight, 2, (0.762, 0.0), (2.71, 5.43)),
    american("SPT-2", Form::FigureEight, 2, (1.143, 0.0), (3.48, 6.95)),
    american("SVT", Form::Round, 2, (0.381, 0.762), (5.43, 5.43)),
    american("SVT", Form::Round, 3, (0.381, 0.762), (5.73, 5.73)),
    american("SJT", Form::Round, 2, (0.762, 0.762), (6.95, 6.95)),
    american("SJT", Form::Round, 3, (0.762, 0.762), (7.37, 7.37)),
];

/// The cord of this build, number of cores and cross-section; `None` when no table names it.
pub fn cord(word: &str, cores: usize, area: SquareMetres) -> Option<&'static CordRow> {
    CORDS.iter().find(|row| row.word == word && row.cores == cores && same_area(area, row.area))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flat_cord_asks_for_a_wide_clamp() {
        let flat = cord("H03VVH2-F", 2, mm2(0.75)).unwrap();
        let (least, most) = flat.clamp_range();
        assert!((least.value() - 0.0032).abs() < 1e-12 && (most.value() - 0.0063).abs() < 1e-12);
        assert_eq!(cord("H03VVH2-F", 3, mm2(0.75)), None);
    }

    #[test]
    fn flags_follow_the_rows() {
        assert!(CORDS.iter().filter(|row| row.from_memory).all(|row| row.source != SEEN));
        assert_eq!(CORDS.iter().filter(|row| !row.from_memory).count(), 17);
    }
}
