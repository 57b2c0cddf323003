//! What a finding says, with its numbers still numbers: only `report` rounds them.

/// A number in a sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    /// In `unit`.
    pub value: f64,
    /// One standard deviation in `unit`; none for a limit without doubt.
    pub sd: Option<f64>,
    /// Its unit; empty for a bare number.
    pub unit: &'static str,
}

/// A piece of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A number.
    Number(Number),
}

/// A sentence with numbers in it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Phrase(pub Vec<Piece>);

impl Phrase {
    /// Begins with words.
    pub fn words(words: impl Into<String>) -> Self {
        Self::default().then(words)
    }

    /// More words.
    pub fn then(mut self, words: impl Into<String>) -> Self {
        self.0.push(Piece::Words(words.into()));
        self
    }

    /// A number without doubt.
    pub fn number(mut self, value: f64, unit: &'static str) -> Self {
        self.0.push(Piece::Number(Number {
            value,
            sd: None,
            unit,
        }));
        self
    }

    /// A number with its standard deviation.
    pub fn doubted(mut self, value: f64, sd: f64, unit: &'static str) -> Self {
        self.0.push(Piece::Number(Number {
            value,
            sd: Some(sd),
            unit,
        }));
        self
    }
}

impl std::convert::From<&str> for Phrase {
    fn from(words: &str) -> Self {
        Self::words(words)
    }
}

impl std::convert::From<String> for Phrase {
    fn from(words: String) -> Self {
        Self::words(words)
    }
}
