//! Heat: what becomes heat and where, free convection, radiation, walls, vents and sinks, the network that joins them,
//! its steady state and its warm-up; and the one-dimensional ladder and budget that lamps worked by hand are held to.

pub mod air;
pub mod assembly;
pub mod budget;
pub mod convection;
pub mod faces;
pub mod fins;
pub mod judged;
pub mod ladder;
pub mod life;
pub mod limits;
pub mod materials;
pub mod network;
pub mod radiation;
pub mod shapes;
pub mod sink;
pub mod solver;
pub mod spreading;
pub mod vents;
pub mod warmup;
