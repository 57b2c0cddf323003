//! Cases for this model family.

use crate::Case;

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    Vec::new()
}
