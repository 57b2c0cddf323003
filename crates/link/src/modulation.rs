//! How much signal over noise a way of sending needs: carriers in steps, chirps, packets and analogue video.

mod chirp;
mod steps;
pub mod video;

pub use chirp::{chirp_snr_for_db, chirp_symbol_error};
pub use steps::{Constellation, bit_error, es_n0_for_db};

/// One mode of the many-carrier packets of IEEE Std 802.11 in 20 MHz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfdmMode {
    /// Steps of one carrier.
    pub constellation: Constellation,
    /// Share of bits that carry data: three of four is (3, 4).
    pub code_rate: (u32, u32),
    /// Least level the standard asks for \[dBm\].
    pub sensitivity_dbm: f64,
    /// Signal over noise in 20 MHz \[dB\] with which a simulated receiver loses a tenth of its packets of 1000 octets: no
    /// better one is met, ± 0.2 dB.
    pub simulated_snr_db: f64,
}

impl OfdmMode {
    /// Data bits of one used carrier and symbol.
    pub fn bits(&self) -> f64 {
        let (data, all) = self.code_rate;
        f64::from(self.constellation.bits()) * f64::from(data) / f64::from(all)
    }

    /// Signal over noise in 20 MHz that the standard's least level leaves \[dB\], with the noise figure of 10 dB and the 5 dB of
    /// imperfections that it allows. What a receiver of which nothing is known may be trusted with.
    pub fn implied_snr_db(&self) -> f64 {
        self.sensitivity_dbm - crate::noise::floor_dbm(20e6, 10.0) - 5.0
    }
}

/// The modes, the hardiest first. Least levels: IEEE Std 802.11-2016, 17.3.10.2 and 19.3.19.1, as a national type-approval rule
/// reprints them. Simulated: convolutional code of length 7 (133, 171 octal) and its usual punctures, soft decisions, steady
/// channel, perfect timing; a simulation made for this project, 200 packets a point.
pub const OFDM_MODES: [OfdmMode; 9] = [
    mode(Constellation::Bpsk, (1, 2), -82.0, -0.16),
    mode(Constellation::Bpsk, (3, 4), -81.0, 2.35),
    mode(Constellation::Qpsk, (1, 2), -79.0, 2.76),
    mode(Constellation::Qpsk, (3, 4), -77.0, 5.30),
    mode(Constellation::Qam16, (1, 2), -74.0, 8.48),
    mode(Constellation::Qam16, (3, 4), -70.0, 11.77),
    mode(Constellation::Qam64, (2, 3), -66.0, 16.23),
    mode(Constellation::Qam64, (3, 4), -65.0, 17.16),
    mode(Constellation::Qam64, (5, 6), -64.0, 18.49),
];

const fn mode(
    constellation: Constellation,
    code_rate: (u32, u32),
    sensitivity_dbm: f64,
    simulated_snr_db: f64,
) -> OfdmMode {
    OfdmMode {
        constellation,
        code_rate,
        sensitivity_dbm,
        simulated_snr_db,
    }
}

/// Where a falling function of decibels passes a value, between −60 and 60 dB.
fn falls_to(value: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-60.0, 60.0);
    while high - low > 1e-9 {
        let middle = 0.5 * (low + high);
        if of(middle) > value {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
