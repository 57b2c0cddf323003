//! Analogue video on a carrier whose frequency follows it: noise in the picture, and clicks near the threshold.

use super::falls_to;
use crate::{decibels, ratio};
use std::f64::consts::PI;

/// An analogue video link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Video {
    /// Bandwidth before the discriminator \[Hz\].
    pub bandwidth_hz: f64,
    /// Bandwidth of the video \[Hz\].
    pub video_hz: f64,
    /// Deviation from peak to peak \[Hz\].
    pub deviation_hz: f64,
}

/// Share of the peak-to-peak deviation between black and white.
const LUMINANCE: f64 = 0.714;

impl Video {
    /// The bandwidth that Carson's rule gives a deviation and a video bandwidth: D + 2·f \[Hz\].
    pub fn carson_hz(deviation_hz: f64, video_hz: f64) -> f64 {
        deviation_hz + 2.0 * video_hz
    }

    /// Luminance over noise \[dB\], unweighted and without emphasis, far above the threshold:
    /// C/N + 10·log10\[3·(0.714·D/f)²·(B/f)\].
    pub fn snr_without_clicks_db(&self, cn_db: f64) -> f64 {
        let index = LUMINANCE * self.deviation_hz / self.video_hz;
        cn_db + decibels(3.0 * index * index * self.bandwidth_hz / self.video_hz)
    }

    /// The same near the threshold: the smooth noise shrinks to (1 − e^−ρ)² of itself, and clicks of a full deviation add
    /// 2f·\[(B/√12)·erfc √ρ + (2/π)·(D/2)·e^−ρ\]; Rice, Noise in FM receivers (1963). Against a simulated discriminator within
    /// 0.2 dB from 9 dB up, up to 1.8 dB too gloomy at 3 dB.
    pub fn snr_db(&self, cn_db: f64) -> f64 {
        let rho = ratio(cn_db);
        let signal = (LUMINANCE * self.deviation_hz).powi(2);
        let calm = -(-rho).exp_m1();
        let smooth = calm * calm * signal / ratio(self.snr_without_clicks_db(cn_db));
        let at_rest = self.bandwidth_hz / 12_f64.sqrt() * libm::erfc(rho.sqrt());
        let swinging = 2.0 / PI * 0.5 * self.deviation_hz * (-rho).exp();
        let clicks = 2.0 * self.video_hz * (at_rest + swinging);
        decibels(signal / (smooth + clicks))
    }

    /// The carrier over noise \[dB\] at which clicks cost one decibel.
    pub fn threshold_db(&self) -> f64 {
        falls_to(1.0, |cn_db| {
            self.snr_without_clicks_db(cn_db) - self.snr_db(cn_db)
        })
    }
}

/// What to plan with \[dB\]: the textbook threshold of carrier over noise, some two decibels above the simulated one.
pub const PLANNING_THRESHOLD_DB: f64 = 10.0;
