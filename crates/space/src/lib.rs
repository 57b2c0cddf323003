//! Where the parts of a craft are, and what is too near to what.
//!
//! [`layout`] puts every part of an airframe into its place; the other modules look at a layout: air
//! between solids, holes and screws, what hands can reach, what the camera sees. No files, no
//! doubt of its own: it says which places carry which solids, so that a caller can move them.

pub mod clearance;
pub mod cure;
pub mod holes;
pub mod layout;
pub mod reach;
pub mod rotor;
pub mod shape;
pub mod stack;
pub mod typical;
pub mod view;

pub use clearance::{Body, Clearance, Want};
pub use layout::{Item, Layout, Unplaced};
pub use rotor::Rotor;
pub use shape::{Form, Piece};
