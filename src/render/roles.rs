//! A shape's role to its stroke and fill, the same in the PDF and in every SVG: black, greys, white; no colour, so that
//! a copier loses nothing.

use crate::packet::drawing::Role;

/// Hairline, mm: the thinnest line that survives an office printer and a photocopy.
pub(super) const HAIR: f64 = 0.25;

/// Distance of the lines in a mains hatch, mm on paper.
pub(super) const HATCH_STEP: f64 = 1.3;
/// Side of the square with two dots in it of which a heat path is made, mm on paper.
pub(super) const DOT_STEP: f64 = 2.0;
/// Radius of a dot, mm.
pub(super) const DOT_RADIUS: f64 = 0.28;

/// How shapes of a role are drawn. Greys run from 0 (black) to 1 (white).
pub(super) struct Style {
    /// Grey of the fill.
    pub(super) fill: Option<f64>,
    /// Width of the black stroke, mm.
    pub(super) stroke: Option<f64>,
    /// Dash pattern, mm; empty for a full line.
    pub(super) dash: &'static [f64],
}

/// The style of a role; hatches, dots and letters are set by the format.
pub(super) const fn style(role: Role) -> Style {
    let (fill, stroke, dash): (_, _, &[f64]) = match role {
        Role::Outline => (None, Some(0.35), &[]),
        Role::Cut | Role::Engrave | Role::Dimension | Role::Bar => (None, Some(HAIR), &[]),
        Role::Hidden => (None, Some(HAIR), &[1.6, 1.0]),
        Role::Axis => (None, Some(HAIR), &[5.0, 1.0, 0.8, 1.0]),
        Role::Wire => (None, Some(0.5), &[]),
        Role::Solid => (Some(0.87), Some(HAIR), &[]),
        Role::Ink => (Some(0.0), None, &[]),
        Role::Blank => (Some(1.0), None, &[]),
        Role::MainsHatch | Role::HeatDots | Role::Label => (None, None, &[]),
    };
    Style { fill, stroke, dash }
}
