//! A radio link's budget: noise, radiated power and field, how near is too near.
//!
//! What antennas do lies in [`antenna`], how signals vary and what a way of sending needs in [`fading`] and [`modulation`].

pub(super) mod antenna;
pub(super) mod fading;
pub(super) mod modulation;

#[cfg(test)]
mod tests;

use super::{Fault, Formula, Key, Outputs, Standing, Values, key, number, refuse, words};
use ::link::budget::{Budget, Receiver, free_space_range_m};
use ::link::fading::outage;
use ::link::field;
use ::link::noise::{Stage, cascade_db, floor_dbm};
use quantity::text;
use quantity::{
    Decibels, Dimension, FieldStrength, Frequency, Length, Level, Power, PowerDensity, Ratio,
};

/// Radiated power, in decibels or in watts.
const EIRP: Key = words(
    "eirp",
    "`14 dBm` or `25 mW`",
    "equivalent isotropic radiated power",
);
const FREQUENCY: Key = key::<Frequency>("frequency", "MHz", "carrier frequency").above_zero();
const NOISE_FIGURE: Key =
    key::<Decibels>("noise_figure", "dB", "noise figure of the receiver").not_negative();
const BANDWIDTH: Key =
    key::<Frequency>("bandwidth", "MHz", "noise bandwidth of the receiver").above_zero();

const fn loss(name: &'static str, what: &'static str) -> Key {
    key::<Decibels>(name, "dB", what).or("0 dB").not_negative()
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "link-budget",
        purpose: "what a link has to spare, how often it fails and how far it would reach",
        keys: &[
            EIRP,
            FREQUENCY,
            key::<Length>("distance", "m", "from transmitter to receiver").above_zero(),
            key::<Decibels>(
                "path_loss",
                "dB",
                "loss of the path; free space where it is left out",
            )
            .optional(),
            key::<Decibels>(
                "gain",
                "dBi",
                "gain of the receiver's antenna towards the transmitter",
            )
            .or("0 dBi"),
            loss("polarisation", "lost between the two polarisations"),
            loss("misc", "lost in cables and connectors of the receiver"),
            loss("obstacle", "lost at walls, edges, trees"),
            loss("body", "lost behind frame, battery or a person"),
            BANDWIDTH.optional(),
            NOISE_FIGURE.optional(),
            key::<Decibels>("snr", "dB", "signal over noise that the receiver needs").optional(),
            key::<Level>(
                "sensitivity",
                "dBm",
                "least level it works with, in place of bandwidth, noise_figure and snr",
            )
            .optional(),
            fading::K.or("rayleigh"),
            fading::BRANCHES.or("1"),
            fading::COMBINING.or("selection"),
            fading::CORRELATION.or("0"),
        ],
        source: "EIRP − losses + gain against k·T₀·B + NF + SNR; free space Rec. ITU-R P.525-4; range d·10^(margin/20)",
        range: "one frequency, far field; the range keeps everything but free space as it is; power ± 2 dB, receiver ± 3 dB, antennas ± 4 dB are common doubts",
        standing: Standing::Equation("eight links worked out elsewhere, margin within 0.001 dB"),
        example: "link-budget eirp=25mW frequency=5800MHz distance=300m gain=8dBi polarisation=0.5dB misc=0.5dB bandwidth=18MHz noise_figure=6dB snr=10dB k=6dB branches=2",
        compute: link_budget,
    },
    Formula {
        name: "noise-floor",
        purpose: "noise in a receiver's band",
        keys: &[BANDWIDTH, NOISE_FIGURE.or("0 dB")],
        source: "10·log10(k·T₀·B) + NF with T₀ = 290 K",
        range: "antennas that see about 290 K: any at these frequencies near the ground",
        standing: Standing::Equation("a table of bandwidths worked out elsewhere, within 0.001 dB"),
        example: "noise-floor bandwidth=18MHz noise_figure=6dB",
        compute: noise_floor,
    },
    Formula {
        name: "noise-cascade",
        purpose: "noise figure of a chain of stages",
        keys: &[words("stages", STAGES, "the stages from the antenna on")],
        source: "F = F₁ + (F₂ − 1)/G₁ + …; Friis, Proc. IRE 32(7) (1944)",
        range: "matched stages at 290 K; a loss has its decibels as noise figure",
        standing: Standing::Equation("three chains worked out elsewhere, within 0.001 dB"),
        example: "noise-cascade stages=amplifier:1.5dB:15dB,loss:2dB,receiver:8dB",
        compute: noise_cascade,
    },
    Formula {
        name: "field-strength",
        purpose: "radiated power from a field at a distance, or the field from the power",
        keys: &[
            key::<FieldStrength>(
                "field",
                "mV/m",
                "electric field; leave it out to get it from eirp",
            )
            .above_zero()
            .optional(),
            EIRP.optional(),
            key::<Length>("distance", "m", "from the antenna").above_zero(),
        ],
        source: "E = √(30·P)/d; Rec. ITU-R P.525-4; ERP = EIRP − 2.15 dB",
        range: "far field in free space; a reflecting floor adds up to 6 dB",
        standing: Standing::Equation(
            "fifteen powers worked out elsewhere, within the printed digits",
        ),
        example: "field-strength field=50mV/m distance=3m",
        compute: field_strength,
    },
    Formula {
        name: "exposure-distance",
        purpose: "how near an antenna the power density reaches a limit",
        keys: &[
            EIRP,
            key::<PowerDensity>("limit", "W/m²", "power density not to pass").above_zero(),
            key::<Ratio>("reflection", "", "1 in the open, 2.56 or 4 above ground")
                .or("2.56")
                .above_zero(),
        ],
        source: "R = √(k·EIRP/(4πS)); FCC OET Bulletin 65",
        range: "far field; below about 0.1 m it only indicates. Limits are data: 47 CFR 1.1310 has 10 W/m² for the public, ICNIRP (2020) 40 W/m² \
                locally; check with your authority",
        standing: Standing::Equation("nine powers worked out elsewhere, within 0.1 mm"),
        example: "exposure-distance eirp=600mW limit=10W/m2 reflection=2.56",
        compute: exposure_distance,
    },
];

const STAGES: &str = "`amplifier:NOISE FIGURE:GAIN`, `loss:DECIBELS` and at the end `receiver:NOISE FIGURE`, with commas";

fn link_budget(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let eirp_dbm = level_dbm(values, "eirp", notes)?;
    let fade = fading::fade(values, notes)?;
    let diversity = fading::diversity(values);
    let distance_m = values.get::<Length>("distance").in_metres();
    let frequency_hz = values.get::<Frequency>("frequency").in_hertz();
    let path_loss_db = values
        .number("path_loss")
        .unwrap_or_else(|| field::free_space_loss_db(distance_m, frequency_hz));
    let budget = Budget {
        eirp_dbm,
        path_loss_db,
        obstacle_loss_db: values.plain("obstacle"),
        weather_loss_db: 0.0,
        polarisation_loss_db: values.plain("polarisation"),
        body_loss_db: values.plain("body"),
        receiver_gain_dbi: values.plain("gain"),
        receiver_loss_db: values.plain("misc"),
        receiver: receiver(values)?,
    };
    let sum = budget.sum();
    let lost = outage(sum.margin_db, fade, diversity).map_err(refuse)?;
    let mut outputs = vec![
        number("eirp_dbm", eirp_dbm, "dBm"),
        number("path_loss_db", path_loss_db, "dB"),
        number("received_dbm", sum.received_dbm, "dBm"),
    ];
    if let Receiver::Noise { noise_dbm, .. } = budget.receiver {
        outputs.push(number("noise_dbm", noise_dbm, "dBm"));
    }
    outputs.extend(sum.snr_db.map(|snr_db| number("snr_db", snr_db, "dB")));
    outputs.extend([
        number("sensitivity_dbm", budget.receiver.sensitivity_dbm(), "dBm"),
        number("margin_db", sum.margin_db, "dB"),
        number("outage", lost, ""),
        number(
            "range_m",
            free_space_range_m(distance_m, sum.margin_db),
            "m",
        ),
    ]);
    Ok(outputs)
}

/// What the receiver needs, told in one of two ways.
fn receiver(values: &Values) -> Result<Receiver, Vec<Fault>> {
    let named = ["bandwidth", "noise_figure", "snr"];
    let told = named.map(|key| values.number(key));
    match (values.number("sensitivity"), told) {
        (Some(level_dbm), [None, None, None]) => Ok(Receiver::Sensitivity { level_dbm }),
        (
            None,
            [
                Some(bandwidth_hz),
                Some(noise_figure_db),
                Some(snr_needed_db),
            ],
        ) => {
            let noise_dbm = floor_dbm(bandwidth_hz, noise_figure_db);
            Ok(Receiver::Noise {
                noise_dbm,
                snr_needed_db,
            })
        }
        _ => Err(refuse(
            "write `sensitivity`, or all of `bandwidth`, `noise_figure` and `snr`",
        )),
    }
}

fn noise_floor(values: &Values, _: &mut Vec<String>) -> Outputs {
    let bandwidth_hz = values.get::<Frequency>("bandwidth").in_hertz();
    let noise_dbm = floor_dbm(bandwidth_hz, values.plain("noise_figure"));
    Ok(vec![number("noise_dbm", noise_dbm, "dBm")])
}

fn noise_cascade(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let text = values.text("stages").unwrap_or_default();
    let stages = text
        .split(',')
        .map(str::trim)
        .filter(|entry| !entry.is_empty())
        .map(|entry| stage(entry, notes))
        .collect::<Result<Vec<_>, _>>()?;
    if stages.is_empty() {
        return Err(refuse(format!("`stages`: write {STAGES}")));
    }
    let gain_db: f64 = stages.iter().map(|stage| stage.gain_db).sum();
    Ok(vec![
        number("noise_figure_db", cascade_db(&stages), "dB"),
        number("gain_db", gain_db, "dB"),
    ])
}

fn stage(entry: &str, notes: &mut Vec<String>) -> Result<Stage, Vec<Fault>> {
    let pieces: Vec<&str> = entry.split(':').map(str::trim).collect();
    let mut read = |text: &str| decibels("stages", text, notes);
    let stage = match pieces[..] {
        ["loss" | "cable" | "filter", lost] => Stage::loss(read(lost)?),
        ["receiver", figure] => Stage {
            gain_db: 0.0,
            noise_figure_db: read(figure)?,
        },
        ["amplifier", figure, gain] => Stage {
            gain_db: read(gain)?,
            noise_figure_db: read(figure)?,
        },
        _ => {
            return Err(refuse(format!(
                "`stages`: `{entry}` is no stage; write {STAGES}"
            )));
        }
    };
    if stage.noise_figure_db < 0.0 {
        return Err(refuse(format!(
            "`stages`: in `{entry}` a noise figure or a loss is below zero"
        )));
    }
    Ok(stage)
}

fn field_strength(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let distance_m = values.get::<Length>("distance").in_metres();
    let field = values.find::<FieldStrength>("field");
    let (field_v_m, eirp_dbm) = match (field, values.text("eirp")) {
        (Some(field), None) => {
            let field_v_m = field.in_volts_per_metre();
            (field_v_m, field::eirp_dbm(field_v_m, distance_m))
        }
        (None, Some(_)) => {
            let eirp_dbm = level_dbm(values, "eirp", notes)?;
            (field::field_v_m(eirp_dbm, distance_m), eirp_dbm)
        }
        _ => return Err(refuse("write one of `field` and `eirp`")),
    };
    Ok(vec![
        number("eirp_dbm", eirp_dbm, "dBm"),
        number("eirp_w", field::watts(eirp_dbm), "W"),
        number("erp_dbm", field::erp_dbm(eirp_dbm), "dBm"),
        number("field_v_m", field_v_m, "V/m"),
        number("field_dbuv_m", field::field_dbuv_m(field_v_m), "dBµV/m"),
    ])
}

/// A far-field formula is no more than a hint below this \[m\].
const NEAR_M: f64 = 0.1;

fn exposure_distance(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let eirp_dbm = level_dbm(values, "eirp", notes)?;
    let limit = values
        .get::<PowerDensity>("limit")
        .in_watts_per_square_metre();
    let distance_m = field::exposure_distance_m(eirp_dbm, limit, values.plain("reflection"));
    if distance_m < NEAR_M {
        notes.push("so near an antenna a far-field formula only indicates; 0.2 m from people is a common habit".to_owned());
    }
    Ok(vec![
        number("distance_m", distance_m, "m"),
        number("eirp_w", field::watts(eirp_dbm), "W"),
    ])
}

/// A power told in decibels over a milliwatt or in watts; a bare number is the former.
fn level_dbm(values: &Values, key: &str, notes: &mut Vec<String>) -> Result<f64, Vec<Fault>> {
    let text = values.text(key).unwrap_or_default();
    if text.parse::<f64>().is_ok_and(f64::is_finite) {
        notes.push(format!("`{key}={text}` taken as {text} dBm"));
        return quantity::<Level>(key, &format!("{text} dBm"), notes);
    }
    let Ok(watts) = text::read_as::<Power>(text) else {
        return quantity::<Level>(key, text, notes);
    };
    // Doubt and ends are looked at there.
    quantity::<Power>(key, text, notes)?;
    let (watts, _) = watts.value_and_doubt();
    if watts <= 0.0 {
        return Err(refuse(format!("`{key}={text}`: it must be above zero")));
    }
    Ok(field::level_dbm(watts))
}

/// A ratio in decibels; a bare number is one.
fn decibels(key: &str, text: &str, notes: &mut Vec<String>) -> Result<f64, Vec<Fault>> {
    match text.parse::<f64>() {
        Ok(bare) if bare.is_finite() => Ok(bare),
        _ => quantity::<Decibels>(key, text, notes),
    }
}

/// The SI value of a quantity within other words.
fn quantity<D: Dimension>(
    key: &str,
    text: &str,
    notes: &mut Vec<String>,
) -> Result<f64, Vec<Fault>> {
    let written = text::read_as::<D>(text)
        .map_err(|fault| refuse(format!("`{key}={text}`: {}", fault.message)))?;
    if written.ends().is_some() {
        return Err(refuse(format!(
            "`{key}={text}`: a formula takes one value; try each end by itself"
        )));
    }
    let (si, doubt) = written.value_and_doubt();
    if doubt.is_some() {
        notes.push(format!(
            "the doubt of `{key}` is not carried on here; `fitout check` does that"
        ));
    }
    Ok(si)
}
