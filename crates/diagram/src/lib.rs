//! Where the blocks, pads, wires and words of a wiring drawing lie on paper.
//!
//! A [`Plan`] goes in, a [`Sheet`] comes out: boards to scale in the middle, other devices in
//! columns beside them, every wire on its own way. Knows no parts, no files, no colours on a
//! screen; what the drawing looks like is for others to say. The same plan always gives the same
//! sheet.

mod arrange;
mod board;
mod columns;
mod grid;
mod layout;
pub mod letters;
mod measure;
mod plan;
mod route;
mod shape;
mod sheet;
mod tags;
mod words;

pub use arrange::arrange;
pub use plan::{Block, End, Ink, Pad, Plan, Side, State, Wire};
pub use sheet::{Page, PlacedBlock, PlacedPad, Point, Rect, RoutedWire, Sheet, Text, TextOf};
