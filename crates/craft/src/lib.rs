//! Parts, facets, craft, refit, needs and conditions, as the builder describes them.
//!
//! A part is what it can do: a bag of facets. Nothing here computes, and nothing here opens a
//! file: `store::text` fills these structs and keeps the place of every value in its text.
//!
//! The tables of a file are described once, by `sheet::tables!`: the struct, the reader, the
//! editor's JSON Schema and the book's page on files all come from the same lines.

pub mod air;
pub mod airframe;
pub mod bench;
pub mod class;
pub mod diagnostic;
pub mod facet;
pub mod need;
pub mod pads;
pub mod part;
pub mod place;
pub mod sheet;
pub mod space;
pub mod worth;

pub use airframe::{Airframe, Craft, Feed, Fitted, Refit, Tap};
pub use bench::{Bench, SourceFile};
pub use class::AirframeClass;
pub use diagnostic::{Diagnostic, Severity};
pub use need::{Conditions, Needs, Style};
pub use part::{Named, Part};
pub use place::{FileId, Place, Stated};
