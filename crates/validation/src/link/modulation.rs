//! What ways of sending need: steps, chirps, packets, analogue video.

use link::modulation::video::Video;
use link::modulation::{
    Constellation, OFDM_MODES, chirp_snr_for_db, chirp_symbol_error, es_n0_for_db,
};
use link::noise::floor_dbm;

use super::{LAST_OF_FOUR, LAST_OF_THREE, Printed};
use crate::cell::{number, rows};
use crate::{Case, Kind, Tolerance};

const STEPS: &str = include_str!("../../data/radio-ber-uncoded.csv");
const CHIRPS: &str = include_str!("../../data/radio-css.csv");
const PACKETS: &str = include_str!("../../data/radio-ofdm-per.csv");
const VIDEO: &str = include_str!("../../data/radio-fm-video.csv");

pub(super) fn cases() -> Vec<Case> {
    [
        steps(),
        chirps(),
        published_chirps(),
        packets(),
        video(),
        video_thresholds(),
    ]
    .concat()
}

fn steps() -> Vec<Case> {
    let shares = [1e-2, 1e-3, 1e-4, 1e-5, 1e-6];
    rows(STEPS)
        .zip([
            Constellation::Bpsk,
            Constellation::Qpsk,
            Constellation::Qam16,
            Constellation::Qam64,
        ])
        .flat_map(|(row, constellation)| {
            shares.into_iter().enumerate().map(move |(index, share)| {
                Printed {
                    model: "bit errors",
                    id: format!("{}-{share:e}", row[0]),
                    source: "Cho & Yoon (2002) inverted with SciPy 1.17 (data/radio-ber-uncoded.csv)",
                    what: "energy of a step over noise [dB]",
                    expected: number(row[index + 1]),
                    computed: es_n0_for_db(constellation, share),
                }
                .within(6e-5, LAST_OF_FOUR)
            })
        })
        .collect()
}

const CHIRP_INTEGRAL: &str =
    "Afisiadis and others (2020), eq. (16), with SciPy 1.17 (data/radio-css.csv)";

fn chirps() -> Vec<Case> {
    let shares = [
        (1e-2, "SNR for one wrong symbol of 100 [dB]"),
        (1e-3, "SNR for one of 1000 [dB]"),
    ];
    rows(CHIRPS)
        .flat_map(|row| {
            shares
                .into_iter()
                .enumerate()
                .map(move |(index, (share, what))| {
                    Printed {
                        model: "chirps",
                        id: format!("chirps-2-to-the-{}", row[0]),
                        source: CHIRP_INTEGRAL,
                        what,
                        expected: number(row[index + 1]),
                        computed: chirp_snr_for_db(number(row[0]) as u32, share),
                    }
                    .within(1e-3, LAST_OF_THREE)
                })
        })
        .collect()
}

/// Values that a library's documentation gives with the equation.
fn published_chirps() -> Vec<Case> {
    [(-8.0, 1.6107e-3), (-7.0, 1.4302e-4)]
        .map(|(snr_db, expected)| {
            Printed {
                model: "chirps",
                id: format!("chirps-at-{snr_db}-db"),
                source: CHIRP_INTEGRAL,
                what: "share of wrong symbols, 2⁷ chirps",
                expected,
                computed: chirp_symbol_error(7, snr_db),
            }
            .share(1e-4, "five printed digits")
        })
        .to_vec()
}

fn packets() -> Vec<Case> {
    rows(PACKETS)
        .zip(OFDM_MODES)
        .flat_map(|(row, mode)| {
            let printed = |what, column: usize, computed| Printed {
                model: "packets of many carriers",
                id: format!("{}-{}", row[0], row[1].replace('/', "-of-")),
                source: "IEEE Std 802.11-2016, 17.3.10.2, and a simulation (data/radio-ofdm-per.csv)",
                what,
                expected: number(row[column]),
                computed,
            };
            [
                printed("bits of a carrier", 2, mode.bits()).within(1e-12, "exact"),
                printed("least level [dBm]", 5, mode.sensitivity_dbm).within(1e-12, "exact"),
                printed("SNR that it leaves [dB]", 6, mode.implied_snr_db()).within(6e-3, "half the last printed decimal"),
                printed("least level from that SNR [dBm]", 5, floor_dbm(20e6, 15.0) + number(row[6]))
                    .within(6e-3, "half the last printed decimal"),
                printed("SNR of a simulated receiver [dB]", 4, mode.simulated_snr_db).within(1e-12, "the same table"),
            ]
        })
        .collect()
}

/// Rows of a full deviation; those of an unmodulated carrier are not what a picture does.
fn video() -> Vec<Case> {
    rows(VIDEO)
        .filter(|row| row[3] == "sine")
        .flat_map(|row| {
            let mhz = |column: usize| 1e6 * number(row[column]);
            let link = Video {
                bandwidth_hz: mhz(0),
                video_hz: mhz(1),
                deviation_hz: mhz(2),
            };
            let cn_db = number(row[4]);
            let printed = |source, what, column: usize, computed| Printed {
                model: "analogue video",
                id: format!("video-{}-mhz-{}-db", row[0], row[4]),
                source,
                what,
                expected: number(row[column]),
                computed,
            };
            let simulated = printed(
                SIMULATED,
                "luminance over noise, simulated [dB]",
                5,
                link.snr_db(cn_db),
            );
            let (tolerance, reason) = if cn_db >= CLEAR_DB {
                (
                    Tolerance::Absolute(0.2),
                    "noise of the simulation, and what a sine is not a full deviation",
                )
            } else {
                let sim = simulated.expected;
                (
                    Tolerance::Band(sim - 1.8, sim + 0.05),
                    "clicks are counted too many below the threshold, never too few",
                )
            };
            [
                printed(
                    RICE,
                    "luminance over noise without clicks [dB]",
                    6,
                    link.snr_without_clicks_db(cn_db),
                )
                .within(6e-4, LAST_OF_THREE),
                printed(RICE, "luminance over noise [dB]", 7, link.snr_db(cn_db))
                    .within(6e-4, LAST_OF_THREE),
                simulated.case(Kind::Simulation, tolerance, reason),
            ]
        })
        .collect()
}

/// Where a simulated full deviation loses one decibel to clicks, between the rows of the table.
fn video_thresholds() -> Vec<Case> {
    [(18.0, 8.0, 7.7), (27.0, 13.5, 8.3)]
        .map(|(bandwidth_mhz, deviation_mhz, expected)| {
            let link = Video {
                bandwidth_hz: 1e6 * bandwidth_mhz,
                video_hz: 5e6,
                deviation_hz: 1e6 * deviation_mhz,
            };
            Printed {
                model: "analogue video",
                id: format!("threshold-{bandwidth_mhz}-mhz"),
                source: SIMULATED,
                what: "carrier over noise at the threshold [dB]",
                expected,
                computed: link.threshold_db(),
            }
            .case(
                Kind::Simulation,
                Tolerance::Absolute(0.15),
                "one printed decimal, and clicks counted a little too many",
            )
        })
        .to_vec()
}

/// From here on clicks are rare.
const CLEAR_DB: f64 = 9.0;
const RICE: &str = "Rice (1963) with numpy 2.4 (data/radio-fm-video.csv)";
const SIMULATED: &str =
    "complex-baseband simulation of a discriminator with numpy 2.4 (data/radio-fm-video.csv)";
