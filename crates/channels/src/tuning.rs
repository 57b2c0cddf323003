//! What a transmitter or a receiver can be set to, and the bands it may stay in.

use std::fmt;

/// A band that may be used, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Band {
    /// Lower end \[kHz\].
    pub from_khz: u32,
    /// Upper end \[kHz\].
    pub to_khz: u32,
}

impl Band {
    /// Whether the whole width that a carrier occupies lies inside.
    pub fn holds(self, carrier_khz: u32, bandwidth_khz: u32) -> bool {
        // Twice everything, so that half an odd width stays whole.
        let (carrier, width) = (2 * u64::from(carrier_khz), u64::from(bandwidth_khz));
        carrier >= 2 * u64::from(self.from_khz) + width
            && carrier + width <= 2 * u64::from(self.to_khz)
    }

    /// Room for the middles of carriers of this width \[kHz\]; `None` where not one fits.
    pub fn room_khz(self, bandwidth_khz: u32) -> Option<u32> {
        self.to_khz
            .checked_sub(self.from_khz)?
            .checked_sub(bandwidth_khz)
    }
}

/// Bands in order, those that touch or overlap made one; upside-down ones are dropped.
pub(crate) fn merged(bands: &[Band]) -> Vec<Band> {
    let mut bands = bands.to_vec();
    bands.retain(|band| band.from_khz <= band.to_khz);
    bands.sort_unstable();
    let mut joined: Vec<Band> = Vec::with_capacity(bands.len());
    for band in bands {
        match joined.last_mut() {
            Some(last) if band.from_khz <= last.to_khz => {
                last.to_khz = last.to_khz.max(band.to_khz)
            }
            _ => joined.push(band),
        }
    }
    joined
}

/// Settings at even steps, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Steps {
    /// Lowest setting \[kHz\].
    pub from_khz: u32,
    /// No setting above this \[kHz\].
    pub to_khz: u32,
    /// From one to the next \[kHz\].
    pub step_khz: u32,
}

impl Steps {
    fn tunes(self, khz: u32) -> bool {
        (self.from_khz..=self.to_khz).contains(&khz)
            && (khz == self.from_khz
                || (khz - self.from_khz)
                    .checked_rem(self.step_khz)
                    .is_some_and(|rest| rest == 0))
    }

    fn count(self) -> u64 {
        let Some(reach) = self.to_khz.checked_sub(self.from_khz) else {
            return 0;
        };
        u64::from(reach.checked_div(self.step_khz).unwrap_or(0)) + 1
    }

    fn settings(self) -> impl Iterator<Item = u32> {
        // A step of nothing stays at the first setting.
        (0..self.count()).map(move |at| self.from_khz + at as u32 * self.step_khz)
    }

    /// The part inside a band of middles, on the same steps.
    fn within(self, from_khz: u32, to_khz: u32) -> Self {
        let to_khz = self.to_khz.min(to_khz);
        let short = from_khz.saturating_sub(self.from_khz);
        let steps = if self.step_khz == 0 {
            u32::from(short > 0)
        } else {
            short.div_ceil(self.step_khz)
        };
        let from = u64::from(self.from_khz) + u64::from(steps) * u64::from(self.step_khz.max(1));
        match u32::try_from(from) {
            Ok(from_khz) if self.step_khz > 0 || steps == 0 => Self {
                from_khz,
                to_khz,
                ..self
            },
            // Nothing: the lower end above the upper.
            _ => Self {
                from_khz: 1,
                to_khz: 0,
                ..self
            },
        }
    }
}

/// Everything that a transmitter or receiver can be set to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tuning {
    /// Runs of settings; a single channel is a run of one.
    pub runs: Vec<Steps>,
}

impl Tuning {
    /// A list of channels \[kHz\].
    pub fn channels(list_khz: &[u32]) -> Self {
        let one = |&khz: &u32| Steps {
            from_khz: khz,
            to_khz: khz,
            step_khz: 0,
        };
        Self {
            runs: list_khz.iter().map(one).collect(),
        }
    }

    /// A dial with even steps \[kHz\].
    pub fn dial(from_khz: u32, to_khz: u32, step_khz: u32) -> Self {
        Self {
            runs: vec![Steps {
                from_khz,
                to_khz,
                step_khz,
            }],
        }
    }

    /// Whether it can be set to this \[kHz\].
    pub fn tunes(&self, khz: u32) -> bool {
        self.runs.iter().any(|run| run.tunes(khz))
    }

    /// How many settings its runs have, those that repeat counted each time.
    pub(crate) fn count(&self) -> u64 {
        self.runs.iter().map(|run| run.count()).sum()
    }

    pub(crate) fn settings(&self) -> impl Iterator<Item = u32> {
        self.runs.iter().flat_map(|run| run.settings())
    }

    /// The part that may be a carrier of this width in one of the bands, each setting still on its steps.
    pub(crate) fn inside(&self, bands: &[Band], bandwidth_khz: u32) -> Self {
        let half = bandwidth_khz.div_ceil(2);
        let runs = self.runs.iter().flat_map(|run| {
            bands.iter().map(move |band| {
                run.within(
                    band.from_khz.saturating_add(half),
                    band.to_khz.saturating_sub(half),
                )
            })
        });
        Self {
            runs: runs.filter(|run| run.count() > 0).collect(),
        }
    }
}

/// Kilohertz as megahertz, every digit kept: `5740`, `5732.5`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mhz(pub u32);

impl fmt::Display for Mhz {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0 / 1000, self.0 % 1000);
        if rest == 0 {
            return write!(f, "{whole}");
        }
        let rest = format!("{rest:03}");
        write!(f, "{whole}.{}", rest.trim_end_matches('0'))
    }
}

#[cfg(test)]
mod tests {
    use super::{Band, Mhz, Steps, Tuning, merged};

    #[test]
    fn checked_megahertz_keep_every_digit() {
        assert_eq!(Mhz(5_740_000).to_string(), "5740");
        assert_eq!(Mhz(5_732_500).to_string(), "5732.5");
        assert_eq!(Mhz(5_732_025).to_string(), "5732.025");
        assert_eq!(Mhz(7).to_string(), "0.007");
    }

    #[test]
    fn checked_bands_that_touch_are_one() {
        let band = |from_khz, to_khz| Band { from_khz, to_khz };
        assert_eq!(
            merged(&[band(30, 40), band(10, 20), band(20, 25), band(9, 3)]),
            [band(10, 25), band(30, 40)]
        );
    }

    #[test]
    fn checked_a_dial_inside_a_band_keeps_its_steps() {
        let dial = Tuning::dial(5_003, 9_000, 10);
        let band = Band {
            from_khz: 6_000,
            to_khz: 6_050,
        };
        let inside: Vec<_> = dial.inside(&[band], 9).settings().collect();
        assert_eq!(inside, [6_013, 6_023, 6_033, 6_043]);
        assert!(
            inside
                .iter()
                .all(|&khz| dial.tunes(khz) && band.holds(khz, 9))
        );
        let odd = Steps {
            from_khz: 10,
            to_khz: u32::MAX,
            step_khz: u32::MAX,
        };
        assert_eq!(odd.settings().collect::<Vec<_>>(), [10]);
        assert_eq!(odd.within(11, 20).count(), 0);
    }
}
