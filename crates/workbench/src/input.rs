//! Everything that is not certain, once: the inputs of the ensemble.
//!
//! An input is declared by key; a part that is on the craft before and after the refit has one
//! key and so one draw, which is what carries knowledge across the refit.

use craft::sheet::Figure;
use craft::{Place, Stated};
use quantity::ensemble::Ensemble;
use quantity::{Basis, Dimension, Doubt, Quantity};
use std::collections::HashMap;

/// Position of an input in [`Inputs::list`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InputId(pub u32);

/// What an input has to do with, for shares of doubt by group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Group {
    /// What things weigh.
    Masses,
    /// Propeller and what stands around it.
    Propeller,
    /// Motor and its driver.
    Motor,
    /// Cells, plug, leads and board: everything that makes volts sag.
    BatteryPath,
    /// Capacity and when you land.
    Charge,
    /// What the electronics draw and bear.
    Electronics,
    /// What hover cannot tell about full command.
    FullCommand,
    /// Air temperature.
    Air,
    /// What the instruments on board get wrong together.
    Sensors,
    /// What the refit changes unseen.
    Refit,
    /// How it is flown.
    Flying,
    /// Where parts are.
    Places,
    /// What the rate loop adds.
    Loop,
    /// Radios, antennas, and what is between them.
    Radio,
}

/// How a value is shown: symbol and SI value of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// "mΩ".
    pub symbol: &'static str,
    /// SI value of one.
    pub scale: f64,
    /// SI value of zero.
    pub offset: f64,
}

impl Shown {
    /// In the unit of this symbol.
    pub fn of<D: Dimension>(symbol: &'static str) -> Self {
        let unit = D::UNITS
            .iter()
            .find(|unit| unit.symbol == symbol)
            .unwrap_or(&D::UNITS[0]);
        Self {
            symbol: unit.symbol,
            scale: unit.scale,
            offset: unit.offset,
        }
    }

    /// From the SI unit to this one.
    pub fn from_si(&self, value: f64) -> f64 {
        (value - self.offset) / self.scale
    }
}

/// One uncertain input.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Unique and stable: "battery/pack-2s-450.capacity".
    pub key: String,
    /// Plain name: "capacity of battery".
    pub name: String,
    /// What it has to do with.
    pub group: Group,
    /// Unit it is shown in.
    pub shown: Shown,
    /// Middle value, SI.
    pub value: f64,
    /// Doubt, SI.
    pub doubt: Doubt,
    /// What it rests on.
    pub basis: Basis,
    /// Where the builder wrote it; none for a class model.
    pub place: Option<Place>,
    /// Where the figure comes from, in words.
    pub source: &'static str,
    /// The reading that would sharpen it, in words; none if nothing at home can.
    pub reading: Option<&'static str>,
}

/// A number in the model: known, or one of the inputs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Term {
    /// Certain, SI.
    Known(f64),
    /// Drawn.
    Input(InputId),
}

/// All inputs, in the order they were declared.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Inputs {
    /// The inputs.
    pub list: Vec<Input>,
    by_key: HashMap<String, InputId>,
}

impl Inputs {
    /// Declares an input, or finds the one declared before under the same key if it says the same; a refit that says
    /// something else gets an input of its own. A certain value needs no draw.
    pub fn declare(&mut self, mut input: Input) -> Term {
        if input.doubt == Doubt::Exact {
            return Term::Known(input.value);
        }
        while let Some(&known) = self.by_key.get(&input.key) {
            let old = self.get(known);
            if (old.value, old.doubt) == (input.value, input.doubt) {
                return Term::Input(known);
            }
            // The refit says something else of the same thing.
            input.key.push_str(".after");
        }
        let id = InputId(self.list.len() as u32);
        self.by_key.insert(input.key.clone(), id);
        self.list.push(input);
        Term::Input(id)
    }

    /// The input behind an id.
    pub fn get(&self, id: InputId) -> &Input {
        &self.list[id.0 as usize]
    }

    /// Values of every input for every draw, draw by draw.
    pub fn draw(&self, ensemble: &Ensemble) -> Draws {
        let width = self.list.len();
        let mut values = vec![0.0; width * ensemble.draws()];
        for (at, input) in self.list.iter().enumerate() {
            for (row, &score) in values.chunks_exact_mut(width).zip(ensemble.scores(at)) {
                row[at] = input.doubt.at(input.value, score);
            }
        }
        Draws { width, values }
    }

    /// The middle value of every input: the draw a doubter redoes by hand.
    pub fn middle(&self) -> Vec<f64> {
        self.list.iter().map(|input| input.value).collect()
    }
}

/// Values of all inputs for all draws.
#[derive(Debug, Clone)]
pub struct Draws {
    width: usize,
    values: Vec<f64>,
}

impl Draws {
    /// One complete craft with definite numbers.
    pub fn row(&self, draw: usize) -> Draw<'_> {
        Draw(&self.values[draw * self.width..(draw + 1) * self.width])
    }
}

/// One draw.
#[derive(Debug, Clone, Copy)]
pub struct Draw<'a>(pub &'a [f64]);

impl Draw<'_> {
    /// The value of a term, SI.
    #[inline]
    pub fn of(&self, term: Term) -> f64 {
        match term {
            Term::Known(value) => value,
            Term::Input(id) => self.0[id.0 as usize],
        }
    }
}

/// A term under construction: what it is called and what it has to do with.
#[derive(Debug, Clone)]
pub struct Naming {
    /// See [`Input::key`].
    pub key: String,
    /// See [`Input::name`].
    pub name: String,
    /// See [`Input::group`].
    pub group: Group,
    /// Unit symbol to show it in.
    pub unit: &'static str,
    /// See [`Input::reading`].
    pub reading: Option<&'static str>,
}

impl Naming {
    /// Under this key, by this name.
    pub fn new(
        key: impl Into<String>,
        name: impl Into<String>,
        group: Group,
        unit: &'static str,
    ) -> Self {
        Self {
            key: key.into(),
            name: name.into(),
            group,
            unit,
            reading: None,
        }
    }

    /// With the reading that would sharpen it.
    pub fn reading(mut self, reading: &'static str) -> Self {
        self.reading = Some(reading);
        self
    }

    /// From what the builder wrote.
    pub fn stated<D: Dimension>(self, inputs: &mut Inputs, figure: &Stated<Figure<D>>) -> Term {
        let source = match figure.quantity.basis {
            Basis::Measured => "your reading",
            Basis::Label => "the label, with the usual error of labels",
            Basis::Typical => "typical for the class",
            Basis::Assumed => "assumed, taken wide",
            Basis::Calibrated => "sharpened by readings",
        };
        self.quantity(inputs, figure.quantity, source, Some(figure.place))
    }

    /// From a class model.
    pub fn class<D: Dimension>(
        self,
        inputs: &mut Inputs,
        quantity: Quantity<D>,
        source: &'static str,
    ) -> Term {
        self.quantity(inputs, quantity, source, None)
    }

    fn quantity<D: Dimension>(
        self,
        inputs: &mut Inputs,
        quantity: Quantity<D>,
        source: &'static str,
        place: Option<Place>,
    ) -> Term {
        inputs.declare(Input {
            key: self.key,
            name: self.name,
            group: self.group,
            shown: Shown::of::<D>(self.unit),
            value: quantity.value.si(),
            doubt: quantity.doubt,
            basis: quantity.basis,
            place,
            source,
            reading: self.reading,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Basis, Quantity, Time};

    #[test]
    fn checked_a_refit_that_says_something_else_is_heard() {
        let mut inputs = Inputs::default();
        let mut delay = |milliseconds: f64| {
            let quantity = Quantity {
                value: Time::milliseconds(milliseconds),
                doubt: Doubt::Factor(0.1),
                basis: Basis::Typical,
            };
            Naming::new("loop.delay", "delay", Group::Loop, "ms").class(&mut inputs, quantity, "")
        };
        let before = delay(1.0);
        assert_eq!(delay(1.0), before);
        let after = delay(2.0);
        assert_ne!(after, before);
        assert_eq!(delay(2.0), after);
        let middle = inputs.middle();
        assert_eq!(
            (Draw(&middle).of(before), Draw(&middle).of(after)),
            (1e-3, 2e-3)
        );
    }
}
