//! Where things are and how the craft answers: as text and as JSON.

pub mod drawn;
mod json;
mod text;

pub use json::value;
pub use text::text;
