//! A number that somebody printed beside the one we work out.

use crate::{Case, Kind, Tolerance};

/// What most cases are: an equation worked out elsewhere.
pub struct Printed {
    /// The model it is a case of.
    pub model: &'static str,
    /// Its name.
    pub id: String,
    /// Who printed it.
    pub source: &'static str,
    /// What it is, with its unit.
    pub what: &'static str,
    /// As printed.
    pub expected: f64,
    /// As we have it.
    pub computed: f64,
}

impl Printed {
    /// Within so much of the number's own unit.
    pub fn within(self, most: f64, reason: &'static str) -> Case {
        self.case(Kind::Equation, Tolerance::Absolute(most), reason)
    }

    /// Within this share of the number.
    pub fn share(self, share: f64, reason: &'static str) -> Case {
        self.case(Kind::Equation, Tolerance::Relative(share), reason)
    }

    /// Of another kind, or with both.
    pub fn case(self, kind: Kind, tolerance: Tolerance, reason: &'static str) -> Case {
        Case {
            model: self.model,
            id: self.id,
            source: self.source,
            kind,
            what: self.what.to_owned(),
            expected: self.expected,
            computed: self.computed,
            tolerance,
            reason,
        }
    }
}
