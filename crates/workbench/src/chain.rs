//! The chain of numbers behind a result, so that a doubter can redo it by hand.
//!
//! The same functions that run two thousand times for the ensemble run once more with a chain
//! that listens; nothing is computed twice in two ways.

use crate::input::InputId;

/// Where a number in a step comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum From {
    /// An input with its own doubt.
    Input(InputId),
    /// An earlier step.
    Step(String),
    /// The file, a definition or a choice without doubt.
    Given,
}

/// One number used in a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Used {
    /// Plain name.
    pub name: String,
    /// In `unit`.
    pub value: f64,
    /// Its unit; empty for a bare number.
    pub unit: &'static str,
    /// Where it comes from.
    pub from: From,
}

/// One step of a calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The outcome it gives, or a name of its own.
    pub id: String,
    /// What it gives, in words.
    pub what: String,
    /// The formula in plain signs, with the names below.
    pub formula: &'static str,
    /// What goes in.
    pub uses: Vec<Used>,
    /// What comes out, in `unit`.
    pub result: f64,
    /// Its unit.
    pub unit: &'static str,
}

/// Listens to a calculation.
pub trait Chain {
    /// Takes a step; the closure is called only by a chain that keeps it.
    fn note(&mut self, step: impl FnOnce() -> Step);
}

/// Keeps nothing: for the ensemble.
#[derive(Debug, Default)]
pub struct Deaf;

impl Chain for Deaf {
    #[inline(always)]
    fn note(&mut self, _: impl FnOnce() -> Step) {}
}

/// Keeps every step in order.
#[derive(Debug, Default)]
pub struct Kept(pub Vec<Step>);

impl Chain for Kept {
    fn note(&mut self, step: impl FnOnce() -> Step) {
        self.0.push(step());
    }
}

impl Kept {
    /// The steps that lead to `ids`, in order.
    pub fn leading_to(&self, ids: &[String]) -> Vec<&Step> {
        let mut wanted: Vec<&str> = ids.iter().map(String::as_str).collect();
        let mut steps = Vec::new();
        for step in self.0.iter().rev().filter(|step| !step.id.is_empty()) {
            if wanted.contains(&step.id.as_str()) {
                wanted.extend(step.uses.iter().filter_map(|used| match &used.from {
                    From::Step(id) => Some(id.as_str()),
                    _ => None,
                }));
                steps.push(step);
            }
        }
        steps.reverse();
        steps
    }
}
