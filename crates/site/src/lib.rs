//! What stands between a craft and its pilot, and where the picture holds.
//!
//! A [`Site`] is flat ground with upright walls, houses, trees and woods on it, in metres east, north and up. A [`View`] looks at it from a
//! station at one frequency and says what the obstacles take from a link to any place ([`View::obstacle_db`], [`View::way`]), over a whole
//! raster ([`View::coverage`]) or along a line of flight ([`View::along`]).
//!
//! A wave may go through an obstacle, over it, or round its left or right end; the powers are added. Knows no antennas, no transmitters, no
//! files and no degrees of longitude: the chance of a picture is a function of the caller's.

mod along;
mod coverage;
mod crossing;
mod fault;
mod knife;
mod obstacles;
mod pass;
mod round;
mod sectors;
mod shape;
mod step;
mod view;
mod way;

pub use along::{Along, Found, MOST_SAMPLES, NoLine, Sample, Worst};
pub use coverage::{Coverage, Grid, MOST_VALUES, NoCoverage, Reach};
pub use fault::{Fault, MOST_CORNERS, MOST_PILES, MOST_SIDES, REACH_M, faults, station_faults};
pub use shape::{Building, Leaves, Place, ShapeId, Site, Spot, Tree, Wall, Wave, Wood};
pub use view::{Hidden, View};
pub use way::Way;
