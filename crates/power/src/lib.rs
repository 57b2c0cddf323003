//! The supply side of a craft: cells, packs, leads, regulators and the bus they share.
//!
//! Pure kernels over small inputs of their own: no files, no clock, no seeds, no idea of a part.
//! A kernel takes definite numbers and gives definite numbers; the doubt of those numbers is the
//! ensemble's affair, and [`typical`] says how wide it is for parts of a class.
//!
//! ```
//! use power::{Cell, Chemistry, Pack, TimeScale, typical};
//! use quantity::{Charge, Current, Power, Temperature, Voltage};
//!
//! let capacity = Charge::milliampere_hours(450.0);
//! let cell = Cell {
//!     chemistry: Chemistry::LithiumPolymer,
//!     capacity,
//!     resistance: typical::new_cell_resistance(capacity).quantity.value,
//!     activation_energy: typical::activation_energy().quantity.value,
//!     sustained_ratio: typical::sustained_ratio().quantity.value.in_ones(),
//!     low_charge_rise: typical::low_charge_rise().quantity.value.in_ones(),
//!     open_circuit_offset: Voltage::volts(0.0),
//! };
//! let pack = Pack { cell, series: 2, parallel: 1 };
//! let bus = pack
//!     .source(0.2, Temperature::celsius(5.0), TimeScale::TenSeconds)
//!     .behind(typical::plug_resistance(typical::PlugClass::Xt30).quantity.value)
//!     .under(Power::watts(9.0), Current::amperes(16.0))?;
//! // A cold pack at a fifth of its charge, in a climb with 9 W of video: 6.08 V are left.
//! assert!((bus.in_volts() - 6.08).abs() < 0.005);
//! # Ok::<(), power::Collapse>(())
//! ```
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
