//! How a craft answers: thrust split, control acceleration, rate loop, motor lag, inertia by pendulum.

use super::lists::{entries, exactly};
use super::{
    Answer, Fault, Formula, Key, Output, Outputs, Standing, Takes, Values, key, number, output,
    plain_key, refuse, words,
};
use flight::handling::authority::{self, authority};
use flight::handling::filter::Filter;
use flight::handling::pendulum::Bifilar;
use flight::handling::rate_loop::{self, Gains, RateLoop};
use flight::handling::rotor_lag::{self, Inertias};
use flight::handling::trim::{Hover, Rotor, Spin, ThrustCurve};
use quantity::{
    Angle, Force, Frequency, Length, Mass, Ratio, Resistance, RotationSpeed, Time, VelocityConstant,
};

const FILTERS: &str = "`first-order:300Hz,butterworth2:250Hz,notch:310Hz:5`";
const LINEAR: &str =
    "linear about hover, one axis at a time; no saturation, no bending of the frame";

const fn plain(name: &'static str, unit: &'static str, what: &'static str) -> Key {
    plain_key(name, Takes::Number, unit, what)
}

const KAPPA: Key = key::<Length>("kappa", "m", "torque over thrust of a propeller").above_zero();

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "hover-trim",
        purpose: "which motor pushes how hard in hover, and how hard the craft can turn",
        keys: &[
            words(
                "motors",
                "`x,y,spin;…` in mm, spin + or −",
                "motors: forward, left, sign of the torque on the craft",
            ),
            key::<Mass>("mass", "g", "all-up mass").above_zero(),
            words(
                "cg",
                "`x,y` in mm",
                "balance point, counted as the motors are",
            )
            .or("0,0"),
            KAPPA,
            key::<Force>("thrust_max", "N", "thrust of one motor at full command").above_zero(),
            key::<Ratio>("shape", "", "linear share a of T/T_max = a·u + (1 − a)·u²").efficiency(),
            words(
                "inertia",
                "`roll,pitch,yaw` in kg·m²",
                "inertia; without it no accelerations",
            )
            .optional(),
            key::<Force>("thrust_min", "N", "least thrust of one motor")
                .or("0 N")
                .not_negative(),
        ],
        source: "statics of a rigid body, T = A⁺·(m·g, 0, 0, 0); accelerations by a linear programme with the other two moments zero",
        range: "level propellers; height of the balance point does not enter; products of inertia left out",
        standing: Standing::Outside(
            "invented craft by statics and a linear programme in SciPy, within 0.1 %",
        ),
        example: "hover-trim motors=23,-23,+;23,23,-;-23,23,+;-23,-23,- mass=25.5g cg=0.06,0 kappa=4.3mm thrust_max=0.235N shape=0.45 \
                  inertia=7.3589e-6,9.6204e-6,14.6749e-6",
        compute: hover_trim,
    },
    Formula {
        name: "loop-margin",
        purpose: "crossover, margins and peak of a rate loop",
        keys: &[
            plain("gain", "rad/s²", "angular acceleration for a full command").above_zero(),
            key::<Time>("lag", "s", "lag of motor and propeller").not_negative(),
            key::<Time>(
                "delay",
                "s",
                "pure delay: sensor, half a sample, computing, link",
            )
            .not_negative(),
            plain("p", "s/rad", "command for a rate error").not_negative(),
            plain("i", "1/rad", "command for an angle error")
                .or("0")
                .not_negative(),
            plain(
                "d",
                "s²/rad",
                "command for an angular acceleration, on the measurement",
            )
            .or("0")
            .not_negative(),
            words("gyro_filters", FILTERS, "filters of the measured rate").optional(),
            words("d_filters", FILTERS, "further filters of the derivative").optional(),
        ],
        source: "L = K/(s(1 + τs))·e^(−sT)·F·(p + i/s + d·s·F_d); margins as in Åström & Murray, Feedback Systems, from memory",
        range: LINEAR,
        standing: Standing::Outside(
            "nine loops by python-control: crossover 0.2 %, phase 0.1°, gain 0.05 dB, peak 0.5 %",
        ),
        example: "loop-margin gain=2400 lag=20ms delay=1.1ms p=0.05 i=0.2 d=0.0009 gyro_filters=butterworth2:250Hz d_filters=butterworth2:120Hz",
        compute: loop_margin,
    },
    Formula {
        name: "gain-change",
        purpose: "the factor on all gains that keeps the crossover after a refit",
        keys: &[
            plain(
                "old_gain",
                "rad/s²",
                "angular acceleration for a full command, before",
            )
            .also(&["gain_old"])
            .above_zero(),
            key::<Time>("old_lag", "s", "lag of motor and propeller, before")
                .also(&["lag_old"])
                .not_negative(),
            plain("new_gain", "rad/s²", "the same, after")
                .also(&["gain_new"])
                .above_zero(),
            key::<Time>("new_lag", "s", "the same, after")
                .also(&["lag_new"])
                .not_negative(),
            key::<Frequency>("crossover", "Hz", "crossover to keep").above_zero(),
        ],
        source: "(K_old/K_new)·√(1 + ω²τ_new²)/√(1 + ω²τ_old²), from the loop of `loop-margin`",
        range: "only gain and lag change; phase margin still moves with lag and delay",
        standing: Standing::Outside("a loop by python-control, factor within 0.02 %"),
        example: "gain-change old_gain=1157 old_lag=28ms new_gain=993 new_lag=31ms crossover=11.57Hz",
        compute: gain_change,
    },
    Formula {
        name: "filter-delay",
        purpose: "group delay of one filter",
        keys: &[
            words(
                "filter",
                "`first-order:300Hz`, `butterworth2:250Hz` or `notch:310Hz:5`",
                "the filter; a notch with its quality",
            ),
            key::<Frequency>("frequency", "Hz", "where").not_negative(),
            key::<Frequency>(
                "sample_rate",
                "Hz",
                "rate of a digital one; without it the analogue",
            )
            .optional()
            .above_zero(),
        ],
        source: "−dφ/dω of the transfer function; digital by the bilinear transform with the frequency kept",
        range: "second order at most",
        standing: Standing::Outside("delays by SciPy, last printed digit"),
        example: "filter-delay filter=notch:310Hz:5 frequency=60Hz",
        compute: filter_delay,
    },
    Formula {
        name: "rotor-lag",
        purpose: "how fast motor and propeller follow near hover, and coast",
        keys: &[
            key::<VelocityConstant>("kv", "rpm/V", "velocity constant").above_zero(),
            key::<Resistance>("resistance", "Ω", "winding, driver and leads").above_zero(),
            key::<Mass>(
                "ring_mass",
                "g",
                "bell wall and magnets, about half of a small motor",
            )
            .not_negative(),
            key::<Length>("ring_outer", "mm", "their outer radius").above_zero(),
            key::<Length>("ring_inner", "mm", "their inner radius").not_negative(),
            key::<Mass>("propeller_mass", "g", "propeller").not_negative(),
            key::<Length>("diameter", "mm", "propeller diameter").above_zero(),
            key::<Ratio>(
                "blade_factor",
                "",
                "inertia of the propeller over mass times radius squared",
            )
            .or("0.23")
            .above_zero(),
            key::<Force>("thrust", "N", "thrust of one in hover").above_zero(),
            KAPPA,
            key::<RotationSpeed>("rpm", "rpm", "speed in hover").above_zero(),
        ],
        source: "torque balance about hover: τ = J/(K_t²/R + 2·k_Q·ω); coasting τ = J/(2·k_Q·ω)",
        range: "small changes about hover; the factor for blades is 0.23 ± 0.05, from memory",
        standing: Standing::Equation("three rotors worked out in SciPy"),
        example: "rotor-lag kv=4500 resistance=0.17 ring_mass=3.4g ring_outer=8.3mm ring_inner=7mm propeller_mass=1.5g diameter=76.2mm \
                  blade_factor=0.2 thrust=0.45N kappa=6.5mm rpm=17500",
        compute: rotor_lag,
    },
    Formula {
        name: "bifilar-inertia",
        purpose: "inertia of a craft that swings on two strings",
        keys: &[
            key::<Mass>("mass", "g", "mass of what swings").above_zero(),
            key::<Length>("length", "m", "length of the strings").above_zero(),
            key::<Length>("spacing", "m", "between the strings, above and below alike")
                .above_zero(),
            key::<Time>("period", "s", "one whole swing").above_zero(),
            key::<Angle>("amplitude", "°", "largest turn from rest")
                .or("0 °")
                .between(0.0, 60.0),
        ],
        source: "m·g·d²·T²/(16π²·L) over 1 + θ²/8; physics texts, from memory",
        range: "upright axis; amplitude good to 0.1 % at 20°; propellers off",
        standing: Standing::Outside("the exact motion integrated in SciPy"),
        example: "bifilar-inertia mass=248g length=0.75m spacing=0.18m period=1.372s",
        compute: bifilar,
    },
];

fn hover_trim(values: &Values, _: &mut Vec<String>) -> Outputs {
    let cg = values.text("cg").unwrap_or_default();
    // A height may stand there too; it does not enter.
    let cg = cg.split(',').take(2).collect::<Vec<_>>().join(",");
    let [cg_x, cg_y] = exactly::<2>("cg", &cg, "x,y")?;
    let rotors = entries(values.text("motors").unwrap_or_default())
        .map(|entry| motor(entry, (cg_x, cg_y)))
        .collect::<Result<Vec<_>, _>>()?;
    let kappa: Length = values.get("kappa");
    let thrust_max: Force = values.get("thrust_max");
    let mass: Mass = values.get("mass");
    let hover = Hover {
        rotors: &rotors,
        kappa_m: kappa.in_metres(),
        curve: ThrustCurve {
            thrust_max_n: thrust_max.in_newtons(),
            shape: values.plain("shape"),
        },
        mass_kg: mass.in_kilograms(),
    };
    let trim = hover.trim().map_err(refuse)?;
    let mut outputs = vec![
        output("thrust_n", Answer::List(trim.thrust_n), "N"),
        output("command", Answer::List(trim.command), ""),
        output("relative_speed", Answer::List(trim.relative_speed), ""),
        number("command_spread", trim.command_spread, ""),
        number("thrust_to_weight", trim.thrust_to_weight, ""),
    ];
    if let Some(text) = values.text("inertia") {
        let inertia = exactly::<3>("inertia", text, "roll,pitch,yaw")?;
        let thrust_min: Force = values.get("thrust_min");
        let found = authority(&hover, thrust_min.in_newtons(), inertia).map_err(refuse)?;
        for (name, axis) in [
            ("roll", found.roll),
            ("pitch", found.pitch),
            ("yaw", found.yaw),
        ] {
            outputs.extend(accelerations(name, &axis));
        }
    }
    Ok(outputs)
}

/// `x,y,spin` in mm about the balance point.
fn motor(entry: &str, (cg_x, cg_y): (f64, f64)) -> Result<Rotor, Vec<Fault>> {
    let (place, spin) = entry
        .rsplit_once(',')
        .ok_or_else(|| refuse(format!("`motors`: `{entry}` is not `x,y,spin`")))?;
    let [x, y] = exactly::<2>("motors", place, "x,y,spin")?;
    let spin = match spin.trim() {
        "+" | "+1" | "1" => Spin::NoseLeft,
        "-" | "-1" | "−" | "−1" => Spin::NoseRight,
        other => return Err(refuse(format!("`motors`: a spin is + or −, not `{other}`"))),
    };
    Ok(Rotor {
        x_m: 1e-3 * (x - cg_x),
        y_m: 1e-3 * (y - cg_y),
        spin,
    })
}

/// Both ways about one axis; the other way carries `minus` in its name.
fn accelerations(name: &str, axis: &authority::Axis) -> [Output; 4] {
    let of =
        |what: &str, value: f64| number(&format!("{name}_accel_{what}_rad_s2"), value, "rad/s²");
    [
        of("held", axis.plus.held_rad_s2),
        of("held_minus", axis.minus.held_rad_s2),
        of("free", axis.plus.free_rad_s2),
        of("free_minus", axis.minus.free_rad_s2),
    ]
}

fn loop_margin(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let (gyro_filters, d_filters) = match (
        filters(values, "gyro_filters"),
        filters(values, "d_filters"),
    ) {
        (Ok(gyro), Ok(d)) => (gyro, d),
        (gyro, d) => {
            return Err([gyro.err(), d.err()]
                .into_iter()
                .flatten()
                .flatten()
                .collect());
        }
    };
    let seconds = |key: &str| values.get::<Time>(key).in_seconds();
    let found = RateLoop {
        gain_rad_s2: values.plain("gain"),
        lag_s: seconds("lag"),
        delay_s: seconds("delay"),
        gains: Gains {
            p: values.plain("p"),
            i: values.plain("i"),
            d: values.plain("d"),
        },
        gyro_filters,
        d_filters,
    }
    .margins()
    .map_err(refuse)?;
    let mut outputs = vec![
        number("crossover_hz", found.crossover_hz, "Hz"),
        number("phase_margin_deg", found.phase_margin_deg, "°"),
    ];
    if let Some(gain) = found.gain_margin {
        outputs.push(number("gain_margin_db", gain.db, "dB"));
        outputs.push(number("gain_margin_hz", gain.frequency_hz, "Hz"));
    }
    outputs.extend(
        found
            .sensitivity_peak
            .map(|peak| number("sensitivity_peak", peak, "")),
    );
    outputs.extend(
        found
            .delay_margin_s
            .map(|delay| number("delay_margin_ms", 1e3 * delay, "ms")),
    );
    outputs.push(output("stable", Answer::Flag(found.stable), ""));
    if !found.stable {
        notes.push("this loop shakes: lower the gains before anything else".to_owned());
    }
    Ok(outputs)
}

/// Filters with commas between them; none where nothing is written.
fn filters(values: &Values, key: &str) -> Result<Vec<Filter>, Vec<Fault>> {
    let text = values.text(key).unwrap_or_default();
    let each = text
        .split(',')
        .map(str::trim)
        .filter(|entry| !entry.is_empty() && *entry != "none");
    let (mut filters, mut faults) = (Vec::new(), Vec::new());
    for entry in each {
        match filter(entry) {
            Ok(filter) => filters.push(filter),
            Err(why) => faults.push(Fault(format!("`{key}`: {why}"))),
        }
    }
    if faults.is_empty() {
        Ok(filters)
    } else {
        Err(faults)
    }
}

fn filter(entry: &str) -> Result<Filter, String> {
    let mut pieces = entry.split(':').map(str::trim);
    let kind = pieces.next().unwrap_or_default();
    let frequency = pieces
        .next()
        .ok_or_else(|| format!("`{entry}` needs a frequency, such as `{entry}:250Hz`"))?;
    let hertz = hertz(frequency)?;
    let built = match kind {
        "first-order" => Filter::FirstOrder { cutoff_hz: hertz },
        "butterworth2" | "butterworth" => Filter::Butterworth2 { cutoff_hz: hertz },
        "notch" => {
            let quality = pieces.next().and_then(|word| word.parse().ok());
            let q = quality.ok_or_else(|| {
                format!("`{entry}` needs a quality, such as `notch:{frequency}:5`")
            })?;
            Filter::Notch {
                centre_hz: hertz,
                q,
            }
        }
        other => {
            return Err(format!(
                "no filter `{other}`; it can be first-order, butterworth2 or notch"
            ));
        }
    };
    if pieces.next().is_some() || !built.meaningful() {
        return Err(format!("`{entry}` is no filter: write {FILTERS}"));
    }
    Ok(built)
}

/// `250Hz`, `0.25 kHz`, or a bare number of hertz.
fn hertz(text: &str) -> Result<f64, String> {
    if let Ok(bare) = text.parse::<f64>() {
        return Ok(bare);
    }
    let read = quantity::text::read_as::<Frequency>(text);
    // The unit of a frequency's own reading is the hertz.
    read.map(|written| written.value_and_doubt().0)
        .map_err(|fault| fault.message)
}

fn gain_change(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let plant = |when: &str| rate_loop::Plant {
        gain_rad_s2: values.plain(&format!("{when}_gain")),
        lag_s: values.get::<Time>(&format!("{when}_lag")).in_seconds(),
    };
    let crossover: Frequency = values.get("crossover");
    let factor = rate_loop::gain_factor(plant("old"), plant("new"), crossover.in_hertz());
    if (factor - 1.0).abs() > RETUNE {
        notes.push("more than 15 %: tune again rather than scale".to_owned());
    }
    Ok(vec![number("factor", factor, "")])
}

/// A change of the gains beyond which builders tune again. Common practice.
const RETUNE: f64 = 0.15;

fn filter_delay(values: &Values, _: &mut Vec<String>) -> Outputs {
    let filter = filter(values.text("filter").unwrap_or_default()).map_err(refuse)?;
    let at_hz = values.get::<Frequency>("frequency").in_hertz();
    let delay_s = match values.find::<Frequency>("sample_rate") {
        None => filter.group_delay_s(at_hz),
        Some(rate) => filter
            .digital(rate.in_hertz())
            .ok_or_else(|| {
                refuse("the sample rate must be more than twice the filter's frequency")
            })?
            .group_delay_s(at_hz),
    };
    Ok(vec![number("group_delay_ms", 1e3 * delay_s, "ms")])
}

fn rotor_lag(values: &Values, _: &mut Vec<String>) -> Outputs {
    let metres = |key: &str| values.get::<Length>(key).in_metres();
    let kilograms = |key: &str| values.get::<Mass>(key).in_kilograms();
    let inertias = Inertias::of(
        kilograms("ring_mass"),
        [metres("ring_outer"), metres("ring_inner")],
        kilograms("propeller_mass"),
        metres("diameter"),
        values.plain("blade_factor"),
    );
    let found = rotor_lag::Rotor {
        inertia_kg_m2: inertias.total_kg_m2(),
        kv_rpm_per_v: values.get::<VelocityConstant>("kv").in_rpm_per_volt(),
        resistance_ohm: values.get::<Resistance>("resistance").in_ohms(),
        thrust_n: values.get::<Force>("thrust").in_newtons(),
        kappa_m: metres("kappa"),
        speed_rpm: values.get::<RotationSpeed>("rpm").in_rpm(),
    }
    .lag();
    Ok(vec![
        number("tau_ms", 1e3 * found.tau_s, "ms"),
        number("coast_ms", 1e3 * found.coast_s, "ms"),
        number("inertia_kg_m2", inertias.total_kg_m2(), "kg·m²"),
        number("volts_v", found.motor_v, "V"),
        number("current_a", found.current_a, "A"),
        number("thrust_per_volt_n_v", found.thrust_n_per_v, "N/V"),
    ])
}

fn bifilar(values: &Values, _: &mut Vec<String>) -> Outputs {
    let swing = Bifilar {
        mass_kg: values.get::<Mass>("mass").in_kilograms(),
        length_m: values.get::<Length>("length").in_metres(),
        spacing_m: values.get::<Length>("spacing").in_metres(),
    };
    let period_s = values.get::<Time>("period").in_seconds();
    let amplitude = values.get::<Angle>("amplitude").in_radians();
    Ok(vec![number(
        "inertia_kg_m2",
        swing.inertia_kg_m2(period_s, amplitude),
        "kg·m²",
    )])
}
