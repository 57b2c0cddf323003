//! Motors.

use super::{
    Formula, Key, Output, Outputs, Standing, Takes, Values, doubted, key, log_normal_sd, number,
    plain_key, refuse,
};
use flight::motor::{Motor, Run};
use flight::typical::{self, Typical};
use quantity::{
    Current, Doubt, Mass, Resistance, RotationSpeed, Temperature, VelocityConstant, Voltage,
};

const KV: Key = key::<VelocityConstant>("kv", "rpm/V", "no-load speed per volt")
    .also(&["Kv", "KV"])
    .above_zero();
const SLOPE: Key = plain_key(
    "no_load_slope",
    Takes::Number,
    "A/V",
    "growth of the no-load current with back-EMF",
)
.or("0")
.not_negative();
/// Colder than any day of flying.
const COLDEST_WINDING_C: f64 = -60.0;
/// No enamel outlasts this. Common practice, from memory.
const HOTTEST_WINDING_C: f64 = 250.0;
const DRELA: &str = "Drela, First-Order DC Electric Motor Model, MIT (2007), from memory";

const fn volts(name: &'static str, what: &'static str) -> Key {
    key::<Voltage>(name, "V", what).above_zero()
}

const fn amperes(name: &'static str, what: &'static str) -> Key {
    key::<Current>(name, "A", what).above_zero()
}

const fn rpm(name: &'static str, what: &'static str) -> Key {
    key::<RotationSpeed>(name, "rpm", what).above_zero()
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "motor",
        purpose: "speed, torque and efficiency of a motor at volts and amperes",
        keys: &[
            KV,
            key::<Resistance>("resistance", "Ω", "winding between two leads, at 20 °C")
                .above_zero(),
            key::<Current>(
                "no_load_current",
                "A",
                "current without load; at rest where a slope is given",
            )
            .not_negative(),
            volts("volts", "volts at the motor"),
            amperes("current", "current through it"),
            SLOPE,
            key::<Temperature>("temperature", "°C", "of winding and magnets")
                .or("20 °C")
                .between(COLDEST_WINDING_C, HOTTEST_WINDING_C),
        ],
        source: "ω = Kv(V − I·R), Q = (I − I₀)/Kv with Kv in rad/(s·V), I₀ growing with back-EMF; best at √(I₀V/R), \
                 (1 − √(I₀R/V))², without that growth. Drela, First-Order DC Electric Motor Model, MIT (2007), from memory; copper 0.393 %/K \
                 (IEC 60028), magnets −0.1 %/K",
        range: "steady speed; no inductance, timing or saturation, which look like a Kv some percent lower at high current",
        standing: Standing::Equation("two motors worked out elsewhere"),
        example: "motor kv=1800rpm/V resistance=60mΩ no_load_current=0.9A volts=12V current=20A",
        compute: motor,
    },
    Formula {
        name: "motor-constants",
        purpose: "Kv, resistance and no-load current from runs on the bench",
        keys: &[
            volts("free_volts", "volts of the run without propeller"),
            rpm("free_rpm", "its speed"),
            amperes("free_current", "its current"),
            volts(
                "free2_volts",
                "volts of a second run without propeller, for the slope",
            )
            .optional(),
            rpm("free2_rpm", "its speed").optional(),
            amperes("free2_current", "its current").optional(),
            volts("loaded_volts", "volts of the run with propeller, full duty"),
            rpm("loaded_rpm", "its speed"),
            amperes("loaded_current", "its current"),
        ],
        source: DRELA,
        range: "V = ω/Kv + I·R by least squares over the runs, then the no-load line; the loaded run at about half the rated \
                current or more",
        standing: Standing::Equation("three runs made elsewhere from known constants"),
        example: "motor-constants free_volts=4V free_rpm=15058.03rpm free_current=0.2491A free2_volts=12V \
                  free2_rpm=45344.46rpm free2_current=0.4483A loaded_volts=12V loaded_rpm=40470rpm loaded_current=9A",
        compute: constants,
    },
    Formula {
        name: "motor-class",
        purpose: "winding resistance of a motor nobody measured, from its mass and Kv",
        keys: &[
            key::<Mass>("mass", "kg", "mass of one motor with its leads").above_zero(),
            KV,
        ],
        source: "fit to stated values: R·Kv² = 7.5e7·m^−1.60 up to 120 g (42 motors, ×/÷ 1.32), 1.34e8·m^−1.74 above (83 motors, \
                 ×/÷ 1.46); R in Ω, Kv in rpm/V, m in g",
        range: "11 to 408 g; below 11 g an extrapolation, ×/÷ 1.7, and meters read more at the leads: the checks take \
                `metered_ohm` there",
        standing: Standing::NotValidated(
            "the fit describes what makers state; no other motors were held against it",
        ),
        example: "motor-class mass=9.3g kv=3800rpm/V",
        compute: class,
    },
];

fn motor(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let cold = Motor {
        velocity_constant: values.get("kv"),
        resistance: values.get("resistance"),
        no_load_current: values.get("no_load_current"),
        no_load_slope_a_per_v: values.plain("no_load_slope"),
    };
    let motor = cold.warmed_to(values.get("temperature"));
    let (volts, current): (Voltage, Current) = (values.get("volts"), values.get("current"));
    refuse_beyond_stall(&motor, volts, current)?;
    let state = motor.state(volts, current);
    let (best, efficiency) = motor.peak_efficiency(volts);
    let mut outputs = vec![
        number("rpm", state.rotation.in_rpm(), "rpm"),
        number("torque_n_m", state.torque.in_newton_metres(), "N·m"),
        number("shaft_power_w", state.shaft_power.in_watts(), "W"),
        number("efficiency", state.efficiency, ""),
        number("best_current_a", best.in_amperes(), "A"),
        number("best_efficiency", efficiency, ""),
    ];
    if state.torque.in_newton_metres() < 0.0 {
        notes.push("less than the no-load current: something drives this motor".to_owned());
        outputs.retain(|output| output.key != "efficiency");
    }
    Ok(outputs)
}

fn refuse_beyond_stall(
    motor: &Motor,
    volts: Voltage,
    current: Current,
) -> Result<(), Vec<super::Fault>> {
    let stall_a = volts.in_volts() / motor.resistance.in_ohms();
    if current.in_amperes() <= stall_a {
        return Ok(());
    }
    Err(refuse(format!(
        "`current`: {} A is more than the motor takes held still, {stall_a:.1} A",
        current.in_amperes()
    )))
}

fn constants(values: &Values, _: &mut Vec<String>) -> Outputs {
    let run = |name: &str| {
        Some(Run {
            voltage: values.find(&format!("{name}_volts"))?,
            rotation: values.find(&format!("{name}_rpm"))?,
            current: values.find(&format!("{name}_current"))?,
        })
    };
    let begun = values.keys_beginning("free2_");
    if begun > 0 && begun < 3 {
        return Err(refuse(
            "the second free run needs `free2_volts`, `free2_rpm` and `free2_current`",
        ));
    }
    let free: Vec<Run> = ["free", "free2"].into_iter().filter_map(run).collect();
    let loaded: Vec<Run> = run("loaded").into_iter().collect();
    let motor = Motor::identify(&free, &loaded).map_err(refuse)?;
    Ok(vec![
        number(
            "kv_rpm_per_v",
            motor.velocity_constant.in_rpm_per_volt(),
            "rpm/V",
        ),
        number("resistance_ohm", motor.resistance.in_ohms(), "Ω"),
        number("no_load_current_a", motor.no_load_current.in_amperes(), "A"),
        number("no_load_slope_a_per_v", motor.no_load_slope_a_per_v, "A/V"),
    ])
}

fn class(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let (mass, kv): (Mass, VelocityConstant) = (values.get("mass"), values.get("kv"));
    let found = typical::motor_resistance(mass, kv);
    let metered = typical::drive_resistance(mass, kv);
    if found.range.starts_with("extrapolated") {
        notes.push(found.range.to_owned());
    }
    if mass > HEAVIEST_FITTED {
        notes.push("extrapolated: the fit ends at 408 g".to_owned());
    }
    let mut outputs = with_spread("resistance_ohm", &found);
    outputs.extend(with_spread("metered_ohm", &metered).into_iter().take(2));
    Ok(outputs)
}

/// The heaviest motor of the fit.
const HEAVIEST_FITTED: Mass = Mass::grams(408.0);
/// Standard score of the 95 % quantile.
const SCORE_95: f64 = 1.644_853_626_951_472_2;

/// A resistance by class: median, standard deviation, quantiles and one-sd factor.
fn with_spread(name: &str, found: &Typical<Resistance>) -> Vec<Output> {
    let ohm = found.quantity.value.in_ohms();
    let log_sd = match found.quantity.doubt {
        Doubt::Factor(log_sd) => log_sd,
        _ => 0.0,
    };
    let at = |score| found.quantity.at(score).in_ohms();
    let mut outputs = doubted(name, ohm, log_normal_sd(ohm, log_sd), "Ω").to_vec();
    outputs.extend([
        number(&format!("{name}_p05"), at(-SCORE_95), "Ω"),
        number(&format!("{name}_p95"), at(SCORE_95), "Ω"),
        number("spread_factor", log_sd.exp(), ""),
    ]);
    outputs
}
