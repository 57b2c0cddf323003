//! Trouble in the builder's own text: always with its place, never stopping the rest.

use crate::Place;

/// How bad a diagnostic is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The value was read, but a second look is due.
    Warning,
    /// The value could not be used; what depends on it will be `open`.
    Error,
}

/// A piece of text that would mend the fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// What to replace.
    pub place: Place,
    /// With what.
    pub text: String,
}

/// One fault in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How bad.
    pub severity: Severity,
    /// A stable short name, "unknown-key".
    pub id: &'static str,
    /// One line, plain words, no full stop.
    pub message: String,
    /// Where.
    pub place: Place,
    /// Two or three words beside the marked text; may be empty.
    pub label: String,
    /// What to do, if we can tell.
    pub hint: Option<String>,
    /// A replacement that would mend it, if we can tell.
    pub mend: Option<Mend>,
    /// Another place that has to do with it, and why.
    pub also: Option<(Place, String)>,
}

impl Diagnostic {
    /// An error at `place`.
    pub fn error(id: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            id,
            message: message.into(),
            place,
            label: String::new(),
            hint: None,
            mend: None,
            also: None,
        }
    }

    /// A warning at `place`.
    pub fn warning(id: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(id, place, message)
        }
    }

    /// With words beside the marked text.
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// With what to do about it.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// With a replacement that would mend it.
    pub fn mend(mut self, place: Place, text: impl Into<String>) -> Self {
        self.mend = Some(Mend {
            place,
            text: text.into(),
        });
        self
    }

    /// With a second place and what it has to do with the first.
    pub fn also(mut self, place: Place, why: impl Into<String>) -> Self {
        self.also = Some((place, why.into()));
        self
    }
}
