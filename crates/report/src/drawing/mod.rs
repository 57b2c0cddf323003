//! The wiring drawing as a picture: SVG for screens and paper, PNG for everything else.
//!
//! Where things lie is the business of the `diagram` crate; here is what they look like. A wire
//! is told apart by its number, the two letters of its colour and its line, so that a print in
//! grey or an eye that sees fewer colours loses nothing.

mod key;
pub(crate) mod look;
mod png;
mod svg;
#[cfg(test)]
mod tests;
pub(crate) mod write;

pub use key::page;
pub use png::png;
pub use svg::svg;

/// What stands in the title block.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TitleBlock {
    /// What the drawing is.
    pub title: String,
    /// The craft it belongs to.
    pub craft: String,
    /// Cautions and remarks, one to a line.
    pub lines: Vec<String>,
}
