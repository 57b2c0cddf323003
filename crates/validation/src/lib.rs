//! Every model held against somebody else's numbers.
//!
//! One module for each model; each gives [`Case`]s with the source of the expected number. One
//! test asserts them all and the book's table of models and cases is made from the same list, so
//! the page cannot say more than the test. Data files live in `data/`, each with its citation.

pub mod air;
pub mod bus;
pub mod cell;
pub mod channels;
pub mod ensemble;
mod example_craft;
pub mod handling;
pub mod link;
pub mod momentum;
pub mod motor;
pub mod operating_point;
pub mod page;
pub mod placed;
pub mod practice;
mod printed;
pub mod propeller;
pub mod space;
pub mod waves;
pub mod wire;

/// Where an expected number comes from, which decides how much agreement means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The same equation evaluated elsewhere: a standard's table, a textbook's example, another program.
    Equation,
    /// A more detailed simulation by another program.
    Simulation,
    /// Somebody's measurement.
    Measurement,
    /// Figures that builders agree on; no single traceable source.
    CommonPractice,
}

/// How far the computed number may be from the expected one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// Share of the expected value.
    Relative(f64),
    /// In the unit of the value.
    Absolute(f64),
    /// The computed value must lie in this closed band; `expected` is then its middle, for display.
    Band(f64, f64),
}

/// One comparison of our number with somebody else's.
#[derive(Debug, Clone)]
pub struct Case {
    /// Which model of the program, as the book names it: "momentum theory, hover".
    pub model: &'static str,
    /// A short stable name: "iso-2533-density-1000-m".
    pub id: String,
    /// Source with edition and section, or file with citation.
    pub source: &'static str,
    /// What sort of source that is.
    pub kind: Kind,
    /// What is compared, with its unit: "density [kg/m³]".
    pub what: String,
    /// The other's number.
    pub expected: f64,
    /// Ours.
    pub computed: f64,
    /// Agreement asked for.
    pub tolerance: Tolerance,
    /// Why this tolerance, in a few words: "printed to five digits".
    pub reason: &'static str,
}

impl Case {
    /// Whether our number is as near as asked.
    pub fn holds(&self) -> bool {
        let miss = (self.computed - self.expected).abs();
        match self.tolerance {
            Tolerance::Relative(share) => miss <= share * self.expected.abs(),
            Tolerance::Absolute(most) => miss <= most,
            Tolerance::Band(low, high) => (low..=high).contains(&self.computed),
        }
    }
}

/// All cases of all models, in the order of the book.
pub fn cases() -> Vec<Case> {
    [
        air::cases(),
        momentum::cases(),
        propeller::cases(),
        motor::cases(),
        operating_point::cases(),
        cell::cases(),
        bus::cases(),
        wire::cases(),
        handling::cases(),
        space::cases(),
        placed::cases(),
        link::cases(),
        waves::cases(),
        channels::cases(),
        ensemble::cases(),
        practice::cases(),
    ]
    .concat()
}

#[cfg(test)]
mod tests {
    #[test]
    fn validated_every_case_is_within_its_tolerance() {
        let missed: Vec<_> = super::cases()
            .into_iter()
            .filter(|case| !case.holds())
            .collect();
        assert!(missed.is_empty(), "{missed:#?}");
    }
}
