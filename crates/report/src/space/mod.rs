//! Where things are and how the craft answers: as text and as JSON.

mod json;
mod text;

pub use json::value;
pub use text::text;
