//! The supply side of a craft: cells, packs, leads, regulators and the bus they share.
//!
//! Pure kernels over small inputs of their own: no files, no clock, no seeds, no idea of a part.
//! A kernel takes definite numbers and gives definite numbers; the doubt of those numbers is the
//! ensemble's affair, and [`typical`] says how wide it is for parts of a class.
//!
//! Left out on purpose: hot-plug ringing, ripple, heating of the pack in flight, and the diffusion
//! limit that robs an energy cell of half its charge at five times its capacity per hour.

pub mod bus;
pub mod cell;
pub mod chemistry;
pub mod discharge;
pub mod lead;
pub mod pack;
pub mod pulse;
pub mod regulator;
pub mod typical;

pub use bus::{Collapse, RegulatedBus, Source};
pub use cell::{Cell, TimeScale};
pub use chemistry::{Chemistry, OpenCircuitTable};
pub use discharge::{Discharge, StoppedBy, discharge};
pub use lead::Wire;
pub use pack::{Pack, SharedCurrent, parallel_packs};
pub use regulator::{Regulator, RegulatorKind, RegulatorPoint, RegulatorState};
