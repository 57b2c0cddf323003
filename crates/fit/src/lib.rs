//! Solids in space: what they weigh and where, how near they are to each other, and what a camera sees of them.
//!
//! Axes everywhere: x forward, y left, z up, right-handed. Lengths in metres, masses in kilograms, angles in radians. A solid is turned by
//! R = Rz(yaw)·Ry(pitch)·Rx(roll) about its own centre and then moved. Cylinders, tubes, rings and discs stand along their own z.
//! No parts list, no doubt and no files: the caller brings plain numbers and the bytes of a mesh. Nearest distances come from a collision
//! library, which is not seen from outside.

pub mod gap;
mod integrals;
pub mod mass;
pub mod mesh;
pub mod pose;
pub mod solid;
pub mod spots;
pub mod stack;
mod stl;
pub mod view;

pub use gap::{Gap, air_within_m, between_boxes_m, distance, distance_m, radial_overlap_m};
pub use mass::{MassProperties, Part, PartFault, PartShape};
pub use mesh::{Mesh, MeshFault, MeshProperties, Unit, VolumeFault};
pub use pose::{Pose, Turn};
pub use solid::{Solid, SolidFault};
pub use spots::{Keep, Spot, Spots, Wanted, spots};
pub use stack::{StackClearance, Thickness};
pub use view::{Camera, Disc, Lens, blocked_share, roughly_blocked_share, smallest_rim_angle};
