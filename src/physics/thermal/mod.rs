//! Heat by hand: what becomes heat, the ladder from junction to room, materials, limits and life.
//! One-dimensional and lumped; good for a first verdict, stated as such on the working sheet.

pub mod budget;
pub mod ladder;
pub mod life;
pub mod limits;
pub mod materials;
