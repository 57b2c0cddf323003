//! Where in the builder's files a value stands.

use std::ops::{Deref, Range};

/// One file of a bench, by its position in [`crate::Bench::files`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of bytes in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Place {
    /// The stretch `range` of `file`.
    pub fn new(file: FileId, range: Range<usize>) -> Self {
        Self {
            file,
            start: range.start as u32,
            end: range.end as u32,
        }
    }

    /// As a byte range.
    pub fn range(&self) -> Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// Something the builder wrote, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated<T> {
    /// What was written, as we read it.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<T> Stated<T> {
    /// `value`, written at `place`.
    pub fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }
}

impl<T> Deref for Stated<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}
