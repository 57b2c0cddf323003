//! Values with a unit, a doubt and a source, and the ensemble of draws that carries the doubt.
//!
//! This crate knows nothing of craft, of physics or of files.

pub mod dimension;
pub mod ensemble;
mod quantity;
pub mod shares;
pub mod statistics;
pub mod text;

pub use dimension::*;
pub use ensemble::{Ensemble, Sampling};
pub use quantity::*;
pub use shares::{ShareReport, Shares};
pub use statistics::{Chance, Summary};
pub use text::{Figure, TextFault, Written};
