//! What a way of sending needs: analogue video, chirps, steps, many carriers.

use super::super::{Formula, Key, Outputs, Standing, Values, count, key, number, refuse, word};
use ::link::modulation::video::Video;
use ::link::modulation::{Constellation, OFDM_MODES, bit_error, chirp_symbol_error};
use quantity::{Decibels, Frequency};

const STEPS: Key = word(
    "modulation",
    &[&["bpsk"], &["qpsk"], &["16-qam"], &["64-qam"], &["256-qam"]],
    "points that the carrier steps between",
);

pub(in super::super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "video-snr",
        purpose: "noise in an analogue picture, and where clicks begin",
        keys: &[
            key::<Decibels>(
                "cn",
                "dB",
                "carrier over noise in the bandwidth before the discriminator",
            ),
            key::<Frequency>(
                "bandwidth",
                "MHz",
                "that bandwidth; deviation + 2 video where it is left out",
            )
            .above_zero()
            .optional(),
            key::<Frequency>("video", "MHz", "bandwidth of the video")
                .or("5 MHz")
                .above_zero(),
            key::<Frequency>("deviation", "MHz", "from peak to peak")
                .or("8 MHz")
                .above_zero(),
        ],
        source: "C/N + 10·log10[3·(0.714·D/f)²·(B/f)], near the threshold noise × (1 − e^−ρ)² and clicks 2f·[(B/√12)·erfc √ρ + (2/π)(D/2)·e^−ρ]; Rice, Noise in FM receivers (1963)",
        range: "luminance, unweighted, no emphasis, full deviation; deviations of small transmitters are not published",
        standing: Standing::Outside(
            "a simulated discriminator: within 0.2 dB from C/N 9 dB up, 1.8 dB too gloomy at 3 dB",
        ),
        example: "video-snr cn=12dB bandwidth=18MHz video=5MHz deviation=8MHz",
        compute: video_snr,
    },
    Formula {
        name: "chirp-error",
        purpose: "share of wrong symbols of a chirped control link",
        keys: &[
            count("spreading_factor", 12, "chirps are 2 to this power").between(5.0, 12.0),
            key::<Decibels>("snr", "dB", "signal over noise in the whole band"),
        ],
        source: "∫ Rice(y; √(2Mρ), 1)·[1 − (1 − e^(−y²/2))^(M−1)] dy; Afisiadis and others, IEEE Trans. Wireless Commun. 19(2) (2020), eq. (16)",
        range: "white noise, no code, perfect timing",
        standing: Standing::Equation("sixteen points worked out elsewhere, within 0.002 dB"),
        example: "chirp-error spreading_factor=7 snr=-8dB",
        compute: chirp_error,
    },
    Formula {
        name: "bit-error",
        purpose: "share of wrong bits without a code",
        keys: &[
            STEPS,
            key::<Decibels>(
                "es_n0",
                "dB",
                "energy of one step over the noise in one hertz",
            ),
        ],
        source: "½·erfc √g, ½·erfc √(g/2), and Cho & Yoon, IEEE Trans. Commun. 50(7) (2002)",
        range: "white noise, Gray labels; every link in use has a code, which needs less",
        standing: Standing::Equation("twenty points worked out elsewhere, within 0.001 dB"),
        example: "bit-error modulation=qpsk es_n0=12.6dB",
        compute: bit_errors,
    },
    Formula {
        name: "ofdm-need",
        purpose: "signal over noise that a mode of 20 MHz packets needs",
        keys: &[
            STEPS,
            word(
                "rate",
                &[&["1/2"], &["2/3"], &["3/4"], &["5/6"]],
                "share of bits that carry data",
            ),
        ],
        source: "least levels of IEEE Std 802.11-2016, 17.3.10.2, less noise with NF 10 dB and 5 dB; simulated: code of length 7, 10 % of packets of 1000 octets lost",
        range: "implied is what any receiver may be trusted with; simulated is the best there can be, ± 0.2 dB, steady channel",
        standing: Standing::NotValidated("it is a table of what others found"),
        example: "ofdm-need modulation=qpsk rate=1/2",
        compute: ofdm_need,
    },
];

fn video_snr(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let hertz = |key: &str| values.get::<Frequency>(key).in_hertz();
    let (video_hz, deviation_hz) = (hertz("video"), hertz("deviation"));
    let bandwidth_hz = values
        .find::<Frequency>("bandwidth")
        .map(Frequency::in_hertz);
    let video = Video {
        bandwidth_hz: bandwidth_hz.unwrap_or_else(|| Video::carson_hz(deviation_hz, video_hz)),
        video_hz,
        deviation_hz,
    };
    let cn_db = values.plain("cn");
    let threshold_db = video.threshold_db();
    if cn_db < threshold_db {
        notes.push("below the threshold: clicks cost more than 1 dB".to_owned());
    }
    Ok(vec![
        number("snr_db", video.snr_db(cn_db), "dB"),
        number(
            "snr_without_clicks_db",
            video.snr_without_clicks_db(cn_db),
            "dB",
        ),
        number("threshold_db", threshold_db, "dB"),
    ])
}

fn chirp_error(values: &Values, _: &mut Vec<String>) -> Outputs {
    let wrong = chirp_symbol_error(values.count("spreading_factor"), values.plain("snr"));
    Ok(vec![number("symbol_error", wrong, "")])
}

fn bit_errors(values: &Values, _: &mut Vec<String>) -> Outputs {
    let wrong = bit_error(constellation(values), values.plain("es_n0"));
    Ok(vec![number("bit_error", wrong, "")])
}

fn ofdm_need(values: &Values, _: &mut Vec<String>) -> Outputs {
    let rate = match values.word("rate") {
        Some("1/2") => (1, 2),
        Some("2/3") => (2, 3),
        Some("3/4") => (3, 4),
        _ => (5, 6),
    };
    let wanted = constellation(values);
    let mode = OFDM_MODES
        .iter()
        .find(|mode| mode.constellation == wanted && mode.code_rate == rate)
        .ok_or_else(|| refuse("there is no such mode; there are bpsk and qpsk 1/2 and 3/4, 16-qam 1/2 and 3/4, 64-qam 2/3, 3/4 and 5/6"))?;
    Ok(vec![
        number("implied_snr_db", mode.implied_snr_db(), "dB"),
        number("simulated_snr_db", mode.simulated_snr_db, "dB"),
        number("sensitivity_dbm", mode.sensitivity_dbm, "dBm"),
        number("bits_per_carrier", mode.bits(), ""),
    ])
}

fn constellation(values: &Values) -> Constellation {
    match values.word("modulation") {
        Some("bpsk") => Constellation::Bpsk,
        Some("qpsk") => Constellation::Qpsk,
        Some("16-qam") => Constellation::Qam16,
        Some("64-qam") => Constellation::Qam64,
        _ => Constellation::Qam256,
    }
}
