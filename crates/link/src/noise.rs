//! The noise that a signal must rise above: heat in the band and what the receiver adds.

use crate::{decibels, ratio};

/// Boltzmann's constant \[J/K\]; exact.
const BOLTZMANN: f64 = 1.380_649e-23;

/// The temperature that noise figures are told at \[K\].
const STANDARD_TEMPERATURE_K: f64 = 290.0;

/// One stage of a receiver, from the antenna on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// Gain \[dB\]; below zero for a cable.
    pub gain_db: f64,
    /// Noise figure \[dB\]; of a cable at the standard temperature its loss.
    pub noise_figure_db: f64,
}

impl Stage {
    /// A cable or a filter: what it loses is its noise figure.
    pub fn loss(loss_db: f64) -> Self {
        Self {
            gain_db: -loss_db,
            noise_figure_db: loss_db,
        }
    }
}

/// Noise in a band \[dBm\]: 10·log10(k·T₀·B) + NF, −173.975 dBm in one hertz at 290 K.
pub fn floor_dbm(bandwidth_hz: f64, noise_figure_db: f64) -> f64 {
    decibels(1e3 * BOLTZMANN * STANDARD_TEMPERATURE_K * bandwidth_hz) + noise_figure_db
}

/// Noise figure of a chain \[dB\]: F = F₁ + (F₂ − 1)/G₁ + (F₃ − 1)/(G₁G₂) + …; Friis, Proc. IRE 32(7) (1944). No stage at
/// all adds nothing.
pub fn cascade_db(stages: &[Stage]) -> f64 {
    let mut factor = 1.0;
    let mut gain = 1.0;
    for stage in stages {
        factor += (ratio(stage.noise_figure_db) - 1.0) / gain;
        gain *= ratio(stage.gain_db);
    }
    decibels(factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_a_cable_in_front_adds_its_loss() {
        let receiver = Stage {
            gain_db: 30.0,
            noise_figure_db: 6.0,
        };
        let found = cascade_db(&[Stage::loss(1.7), receiver]);
        assert!((found - 7.7).abs() < 1e-12);
        assert_eq!(cascade_db(&[]), 0.0);
    }
}
