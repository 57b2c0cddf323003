//! Verdicts as terminal text and JSON; the only place that rounds.
//!
//! Every function takes what the core found and gives text; nothing here prints or opens a file.

pub mod air;
pub mod chain;
pub mod diagnostics;
pub mod drawing;
pub mod formula;
pub mod json;
pub mod layout;
pub mod number;
pub mod parts;
pub mod phrase;
pub mod space;
pub mod verdict;
pub mod wiring;
