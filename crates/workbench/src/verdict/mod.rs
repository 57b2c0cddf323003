//! What can be said about the craft: findings, their levels, and the rules that make them.

mod air;
pub mod balance;
mod carried;
pub mod rules;
pub mod state;

use crate::input::InputId;
use crate::phrase::Phrase;
use craft::Place;
use quantity::shares::Method;
use quantity::statistics::Chance;

pub use state::State;

/// A need holds with at least this chance: pass.
pub const PASS: f64 = 0.95;
/// It holds with less than this chance: stop.
pub const STOP: f64 = 0.50;

/// How a finding stands, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Do not build it so.
    Stop,
    /// It may not hold; look closer.
    Watch,
    /// Cannot say, and what is missing.
    Open,
    /// It holds.
    Pass,
}

impl Level {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Watch => "watch",
            Self::Open => "open",
            Self::Pass => "pass",
        }
    }

    /// The level of a need that holds with this chance.
    pub fn of(probability: f64) -> Self {
        if probability >= PASS {
            Self::Pass
        } else if probability < STOP {
            Self::Stop
        } else {
            Self::Watch
        }
    }
}

/// What a rule found, before chances and shares are worked out.
#[derive(Debug, Clone)]
pub struct Draft {
    /// Which part, input or rail; empty for the whole craft.
    pub subject: String,
    /// How it is judged.
    pub ground: Ground,
    /// One line with its two numbers.
    pub claim: Phrase,
    /// Outcomes it rests on, for `explain`.
    pub outcomes: Vec<String>,
    /// Places in the files that have to do with it.
    pub places: Vec<Place>,
    /// Small changes that would turn it.
    pub ways: Vec<Phrase>,
    /// Something to mind.
    pub caution: Option<&'static str>,
    /// A curve that belongs to it.
    pub curve: Option<Curve>,
    /// The level it is never worse than.
    pub never_worse_than: Level,
}

/// How a draft is judged.
#[derive(Debug, Clone)]
pub enum Ground {
    /// A plain fact.
    Fact(Level),
    /// A margin for each draw: the need holds where it is zero or more.
    Margin(Vec<f64>),
    /// Something is missing.
    Missing,
}

/// A curve at the middle draw, for findings that are about an optimum.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What lies along it, with its unit.
    pub along: &'static str,
    /// What it shows, with its unit.
    pub shows: &'static str,
    /// The points.
    pub points: Vec<(f64, f64)>,
}

impl Draft {
    /// Judged by a margin.
    pub fn margin(margin: Vec<f64>, claim: Phrase) -> Self {
        Self::new(Ground::Margin(margin), claim)
    }

    /// A plain fact.
    pub fn fact(level: Level, claim: Phrase) -> Self {
        Self::new(Ground::Fact(level), claim)
    }

    /// Cannot say.
    pub fn missing(claim: Phrase) -> Self {
        Self::new(Ground::Missing, claim)
    }

    fn new(ground: Ground, claim: Phrase) -> Self {
        Self {
            subject: String::new(),
            ground,
            claim,
            outcomes: Vec::new(),
            places: Vec::new(),
            ways: Vec::new(),
            caution: None,
            curve: None,
            never_worse_than: Level::Stop,
        }
    }

    /// About this part, input or rail.
    pub fn about(mut self, subject: impl Into<String>) -> Self {
        self.subject = subject.into();
        self
    }

    /// Resting on these outcomes.
    pub fn from_outcomes<S: Into<String>>(mut self, ids: impl IntoIterator<Item = S>) -> Self {
        self.outcomes.extend(ids.into_iter().map(Into::into));
        self
    }

    /// At this place.
    pub fn at(mut self, place: impl IntoIterator<Item = Place>) -> Self {
        self.places.extend(place);
        self
    }

    /// With a way out.
    pub fn way(mut self, way: impl Into<Phrase>) -> Self {
        self.ways.push(way.into());
        self
    }

    /// With something to mind.
    pub fn caution(mut self, caution: &'static str) -> Self {
        self.caution = Some(caution);
        self
    }

    /// Never worse than this level: for what is unusual rather than wrong.
    pub fn at_worst(mut self, level: Level) -> Self {
        self.never_worse_than = level;
        self
    }
}

/// The part of a margin's variance that one input carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Which input.
    pub input: InputId,
    /// Its share.
    pub share: f64,
}

/// One thing the tool can say about the craft.
#[derive(Debug, Clone)]
pub struct Finding {
    /// The rule that found it.
    pub rule: &'static str,
    /// Rule and subject: "supply-brownout.air-unit.main".
    pub id: String,
    /// How it stands.
    pub level: Level,
    /// The chance that the need holds; none for a plain fact.
    pub chance: Option<Chance>,
    /// More draws could turn the level: no side is picked.
    pub on_the_line: bool,
    /// One line with its two numbers.
    pub claim: Phrase,
    /// Outcomes it rests on.
    pub outcomes: Vec<String>,
    /// Inputs that carry the doubt, largest first; those below one percent are left out.
    pub shares: Vec<Share>,
    /// Share that no single input carries.
    pub rest: f64,
    /// How the shares were found.
    pub method: Option<Method>,
    /// Places in the files.
    pub places: Vec<Place>,
    /// Small changes that would turn it.
    pub ways: Vec<Phrase>,
    /// Something to mind.
    pub caution: Option<&'static str>,
    /// A curve that belongs to it.
    pub curve: Option<Curve>,
    /// How the same finding stood before the refit.
    pub before: Option<Level>,
}

impl Finding {
    /// The input whose reading would settle most of the doubt, and can be read at home.
    pub fn next_reading<'a>(
        &self,
        inputs: &'a crate::input::Inputs,
    ) -> Option<(&'a crate::input::Input, &'static str, f64)> {
        self.shares.iter().find_map(|share| {
            let input = inputs.get(share.input);
            Some((input, input.reading?, share.share))
        })
    }
}
