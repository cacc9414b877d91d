//! Rules about what reaches the eye: flux, colours, evenness, flicker, glare, blue light.

mod colour;
mod eyes;
mod face;
mod low;

use super::rule::Rule;

/// The rules, in the order of the reference.
pub const RULES: &[&Rule] = &[
    &eyes::BLUE_LIGHT,
    &eyes::FLICKER,
    &colour::NO_SUCH_COLOUR,
    &face::BEYOND_ALL_LIGHT,
    &face::MORE_THAN_RADIATED,
    &face::FLUX_SHORT,
    &colour::COLOUR_UNREACHABLE,
    &colour::POWER_CAP,
    &colour::DRIFT,
    &colour::CODE_SHIFT,
    &colour::RGB_WHITE,
    &colour::MIDPOINT_PINK,
    &face::HOT_SPOT,
    &face::UNEVEN,
    &face::GLARE,
    &low::BEAM_CUTOFF,
    &low::TOO_BRIGHT_LOW_END,
    &eyes::CAMERA,
];
