//! A bench assembled, predicted and judged: the one face of the core.
//!
//! [`assess`](assess::assess) takes a bench and a job and gives an [`Assessment`](assess::Assessment). It opens no file, reads no
//! clock and rounds no number.

pub mod air;
pub mod assemble;
pub mod assess;
pub mod chain;
pub mod electrics;
pub mod formula;
pub mod handling;
pub mod input;
pub mod model;
pub mod outcome;
pub mod phrase;
pub mod placing;
pub mod predict;
pub mod spaced;
pub mod verdict;
pub mod wires;
