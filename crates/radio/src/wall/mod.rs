//! Walls, windows, doors, whole buildings and rooms.
//!
//! A wall is a pile of even layers without studs, bars, foils or moisture: real ones take more, brick by several decibels. Glass is a matter of
//! resonance: never scale its loss by frequency.

mod building;
mod layers;
mod material;

pub use building::{Building, Room, building_entry_db, indoor_db, indoor_range_m, indoor_sd_db};
pub use layers::{Polarisation, Through, layers, layers_db, loss_in_practice_db, mean_db, slab};
pub use material::{Layer, Material};
