//! Bench folders read from text, with every fault at its place.
//!
//! [`text::read`] never fails: it gives a bench and the diagnostics found on the way. Only
//! [`disk`] opens files.

mod air;
pub mod disk;
pub mod files_page;
mod harness;
pub mod link;
pub mod nearest;
mod placed;
pub mod schema;
pub mod sense;
pub mod starter;
pub mod table;
pub mod text;
mod twice;
pub mod typical;
