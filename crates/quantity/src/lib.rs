//! Values with a unit, a doubt and a source, and the ensemble of draws that carries the doubt.
//!
//! This crate knows nothing of craft, of physics or of files.

pub mod dimension;
pub mod quantity;

pub use dimension::*;
pub use quantity::*;
