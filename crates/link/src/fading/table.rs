//! The outage of one case for many margins: a raster of cells, or every draw of an ensemble.

use super::{Case, Diversity, Fade, NoModel};

/// First margin of a table \[dB\].
const FIRST_DB: f64 = -30.0;
/// Nodes for each decibel.
const PER_DB: f64 = 8.0;
/// How many nodes: up to 60 dB.
const NODES: usize = 721;
/// Nearer to one than this an outage is one.
const ALMOST_ONE: f64 = 1.0 - 1e-9;
/// Nothing smaller has a logarithm that is of use.
const LEAST: f64 = 1e-300;

/// Outage over margin of one case of fading, made once and asked often.
///
/// Between nodes an eighth of a decibel apart a monotone cubic runs through ln(−ln(1 − outage)), which is nearly straight at
/// both ends: deep fades go as a power of the margin. Beyond 60 dB it goes on straight. The share by which it misses
/// [`outage`](super::outage) is below [`OutageTable::ERROR`] for K up to 20 dB, and an outage within 10⁻⁹ of one is one.
#[derive(Debug, Clone)]
pub struct OutageTable {
    values: Vec<f64>,
    /// Slopes for one step.
    slopes: Vec<f64>,
    /// Below this step the outage is one.
    begins: f64,
}

impl OutageTable {
    /// Most that it misses by, as a share of the outage.
    pub const ERROR: f64 = 2e-5;

    /// Works a table out, about 0.1 ms.
    ///
    /// # Errors
    /// As [`outage`](super::outage).
    pub fn new(fade: Fade, diversity: Diversity) -> Result<Self, NoModel> {
        let case = Case::of(fade, diversity)?;
        Ok(Self::through(
            margins().map(|margin_db| case.outage(margin_db)),
        ))
    }

    /// The same with shadow that spreads the mean by `sigma_db` from place to place: the outage over both, fast fades and
    /// places. A spread of zero changes nothing but rounding.
    pub fn shadowed(&self, sigma_db: f64) -> Self {
        let weights: Vec<(f64, f64)> = (-STEPS..=STEPS)
            .map(|step| {
                let score = f64::from(step) * 6.0 / f64::from(STEPS);
                (score, (-0.5 * score * score).exp())
            })
            .collect();
        let all: f64 = weights.iter().map(|(_, weight)| weight).sum();
        let over_places = |margin_db: f64| {
            let sum: f64 = weights
                .iter()
                .map(|(score, weight)| weight * self.at(margin_db + score * sigma_db))
                .sum();
            sum / all
        };
        Self::through(margins().map(over_places))
    }

    /// The outage at a margin \[dB\].
    pub fn at(&self, margin_db: f64) -> f64 {
        let place = (margin_db - FIRST_DB) * PER_DB;
        if place < self.begins {
            return 1.0;
        }
        let last = NODES - 1;
        let index = (place as usize).min(last);
        let value = if index == last {
            self.values[last] + (place - last as f64) * self.slopes[last]
        } else {
            self.between(index, place - index as f64)
        };
        -(-value.exp()).exp_m1()
    }

    /// Cubic through two nodes with their slopes, `t` from 0 to 1.
    fn between(&self, index: usize, t: f64) -> f64 {
        let (left, right) = (self.values[index], self.values[index + 1]);
        let (leaving, arriving) = (self.slopes[index], self.slopes[index + 1]);
        let rise = right - left;
        let bend = leaving + arriving - 2.0 * rise;
        left + t * (leaving + t * (rise - leaving - bend + t * bend))
    }

    fn through(outages: impl Iterator<Item = f64>) -> Self {
        let outages: Vec<f64> = outages.collect();
        let begins = outages
            .iter()
            .take_while(|outage| **outage > ALMOST_ONE)
            .count();
        let values: Vec<f64> = outages
            .iter()
            .map(|outage| (-(-outage.clamp(LEAST, ALMOST_ONE)).ln_1p()).ln())
            .collect();
        let slopes = slopes(&values, begins.min(NODES - 1));
        Self {
            values,
            slopes,
            begins: begins as f64,
        }
    }
}

/// Nodes on each side of a normal distribution, out to six standard deviations.
const STEPS: i32 = 48;

fn margins() -> impl Iterator<Item = f64> {
    (0..NODES).map(|index| FIRST_DB + index as f64 / PER_DB)
}

/// Slopes for one step that keep a falling curve falling: the harmonic mean of the steps beside a node; Fritsch & Butland,
/// SIAM J. Sci. Stat. Comput. 5 (1984), refined to fourth order where that falls too.
fn slopes(values: &[f64], begins: usize) -> Vec<f64> {
    let step = |index: usize| values[index + 1] - values[index];
    let last = values.len() - 1;
    (0..=last)
        .map(|index| {
            if index <= begins {
                return if index < last { step(index) } else { 0.0 };
            }
            if index == last {
                return step(last - 1);
            }
            let (before, after) = (step(index - 1), step(index));
            let steepest = 3.0 * before.max(after);
            let inner = index > begins + 1 && index + 1 < last;
            let slope = if inner {
                (8.0 * (values[index + 1] - values[index - 1])
                    - (values[index + 2] - values[index - 2]))
                    / 12.0
            } else {
                0.5 * (before + after)
            };
            slope.clamp(steepest.min(0.0), 0.0)
        })
        .collect()
}
