//! Printed bodies: plastic with infill, length of filament, time on the printer, and bosses for screws.
//! Density and heat limits of printed plastics are with the materials.

use std::f64::consts::PI;

use crate::quantity::{CubicMetres, Metres, MetresPerSecond, Seconds, SquareMetres};

/// How a solid is printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintedSolid {
    /// Volume of the solid, V.
    pub volume: CubicMetres,
    /// Its surface, A.
    pub surface: SquareMetres,
    /// Thickness of the solid skin, w.
    pub skin: Metres,
    /// Share of the inside that is filled, f, 0 to 1.
    pub infill: f64,
}

/// Volume of plastic: skin + f (V − skin), the skin min(V, A w); an estimate, since skins overlap at edges.
pub fn plastic_volume(solid: &PrintedSolid) -> CubicMetres {
    let skin = (solid.surface * solid.skin).min(solid.volume);
    skin + (solid.volume - skin) * solid.infill
}

/// Usual diameter of filament.
pub const FILAMENT: Metres = Metres::si(1.75e-3);

/// Length of filament for a volume of plastic: V/(π d²/4).
pub fn filament_length(volume: CubicMetres, diameter: Metres) -> Metres {
    let d = diameter.value();
    Metres::si(volume.value() / (PI / 4.0 * d * d))
}

/// Settings that decide the time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintSettings {
    /// Width of a line.
    pub line: Metres,
    /// Height of a layer.
    pub layer: Metres,
    /// Speed along the line.
    pub speed: MetresPerSecond,
}

/// t = V/(w h v) · 1.2 + layers · 4 s (our guideline; the slicer knows better).
pub fn print_time(volume: CubicMetres, height: Metres, settings: PrintSettings) -> Seconds {
    let per_second = settings.line.value() * settings.layer.value() * settings.speed.value();
    let layers = libm::ceil(height / settings.layer - 1e-9);
    Seconds::si(volume.value() / per_second * 1.2 + 4.0 * layers)
}

/// Least wall in general (our guideline).
pub const LEAST_WALL: Metres = Metres::si(1.2e-3);
/// Least wall around live parts, printed solid (our guideline).
pub const LEAST_LIVE_WALL: Metres = Metres::si(2.0e-3);

/// Pilot hole and boss for a thread-forming screw of diameter d: 0.83 d and 2.2 d, engaged 2.5 d (our guideline).
pub fn screw_boss(screw: Metres) -> (Metres, Metres, Metres) {
    (screw * 0.83, screw * 2.2, screw * 2.5)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::conductors::mm;

    #[test]
    fn time_counts_lines_and_layers() {
        // 0.45 x 0.2 x 60 mm/s is 5.4 mm³/s; 5400 mm³ take 1200 s, 100 layers 400 s.
        let settings = PrintSettings { line: mm(0.45), layer: mm(0.2), speed: MetresPerSecond::si(0.06) };
        let time = print_time(CubicMetres::si(5400e-9), mm(20.0), settings);
        assert!((time.value() - 1600.0).abs() < 1e-6, "{}", time.value());
    }

    #[test]
    fn a_boss_follows_its_screw() {
        let (pilot, boss, engaged) = screw_boss(mm(3.0));
        assert!((pilot - mm(2.49)).abs() < mm(1e-9) && (boss - mm(6.6)).abs() < mm(1e-9));
        assert!((engaged - mm(7.5)).abs() < mm(1e-9));
    }
}
