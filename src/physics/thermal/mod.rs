//! Heat: free convection, radiation, walls, vents and sinks, the network that joins them, its steady state and its
//! warm-up; what materials stand, and how long capacitors last.

pub mod air;
pub mod assembly;
pub mod convection;
pub mod faces;
pub mod judged;
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
