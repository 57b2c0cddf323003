//! What stands between a craft and its pilot: flat ground with upright walls, houses, trees and woods on it, in metres east, north and up.

mod fault;
mod shape;

pub use fault::{Fault, MOST_CORNERS, REACH_M, faults, station_faults};
pub use shape::{Building, Leaves, Place, ShapeId, Site, Spot, Tree, Wall, Wave, Wood};
