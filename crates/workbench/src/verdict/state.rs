//! One state of the craft with everything a rule may ask of it.

use crate::handling::Handling;
use crate::input::{Draws, Inputs, Term};
use crate::model::Model;
use crate::outcome::{Outcome, Outcomes};
use crate::spaced::Spaced;
use craft::need::{Conditions, Needs, Style};
use craft::{Airframe, Part, Place};
use quantity::statistics::Summary;
use wiring::Plan;

/// What the rules see.
#[derive(Debug)]
pub struct State {
    /// The parts and feeds.
    pub airframe: Airframe,
    /// Ports, nets and wires.
    pub plan: Plan,
    /// Where the parts are, and the air between them.
    pub space: Spaced,
    /// How it answers the sticks.
    pub handling: Handling,
    /// The terms made of them.
    pub model: Model,
    /// All outcomes.
    pub outcomes: Outcomes,
    /// What the builder asks.
    pub needs: Option<Needs>,
    /// What the craft will meet.
    pub conditions: Option<Conditions>,
    /// How it is flown, as asked or as usual for the class.
    pub style: Style,
}

/// Inputs and draws that both states share.
#[derive(Debug)]
pub struct Basis {
    /// The inputs.
    pub inputs: Inputs,
    /// Their draws.
    pub draws: Draws,
}

impl State {
    /// The draws of an outcome.
    pub fn of(&self, outcome: Outcome) -> Vec<f64> {
        self.outcomes.of(outcome)
    }

    /// The band of an outcome; none when no draw has a value.
    pub fn summary(&self, outcome: Outcome) -> Option<Summary> {
        known(self.outcomes.summary(outcome as usize))
    }

    /// The band of an outcome by position; none when no draw has a value.
    pub fn summary_at(&self, at: usize) -> Option<Summary> {
        known(self.outcomes.summary(at))
    }

    /// `f` of an outcome, draw by draw.
    pub fn map(&self, outcome: Outcome, f: impl Fn(f64) -> f64) -> Vec<f64> {
        self.of(outcome).into_iter().map(f).collect()
    }

    /// `f` of two outcomes, draw by draw.
    pub fn zip(&self, one: Outcome, other: Outcome, f: impl Fn(f64, f64) -> f64) -> Vec<f64> {
        self.of(one)
            .into_iter()
            .zip(self.of(other))
            .map(|(one, other)| f(one, other))
            .collect()
    }

    /// The first part with a facet, and the facet.
    pub fn first<'a, T>(
        &'a self,
        facet: impl Fn(&'a Part) -> Option<&'a T>,
    ) -> Option<(&'a str, &'a T)> {
        self.airframe
            .found()
            .find_map(|(_, fitted, part)| Some((fitted.id.value.as_str(), facet(part)?)))
    }

    /// Where a load's own feed, or else its part, is written.
    pub fn load_place(&self, at: (usize, usize)) -> Vec<Place> {
        let fitted = &self.airframe.parts[at.0];
        let Some(input) = fitted
            .part
            .as_deref()
            .and_then(|part| part.inputs.get(at.1))
        else {
            return Vec::new();
        };
        let feed = self
            .airframe
            .feed(&fitted.id, &input.name)
            .map(|feed| feed.place());
        let floor = input
            .facet
            .lock_out
            .map(|it| it.place)
            .or(input.facet.volts.map(|it| it.place))
            .or(input.facet.cells.map(|it| it.place));
        feed.into_iter().chain(floor).collect()
    }
}

impl Basis {
    /// The draws of a term.
    pub fn term(&self, term: Term, draws: usize) -> Vec<f64> {
        (0..draws)
            .map(|draw| self.draws.row(draw).of(term))
            .collect()
    }
}

fn known(summary: Summary) -> Option<Summary> {
    summary.p50.is_finite().then_some(summary)
}
