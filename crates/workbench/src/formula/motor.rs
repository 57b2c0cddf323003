//! Motors.

use super::{Formula, Output, Values, doubted, key, number};
use flight::motor::Motor;
use flight::typical;
use quantity::{Current, DimensionInfo, Doubt, Mass, Resistance, VelocityConstant, Voltage};

const KV: DimensionInfo = DimensionInfo::of::<VelocityConstant>();
/// Standard score of the 95th of a hundred.
const Z95: f64 = 1.644_853_6;

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "motor",
        purpose: "speed, torque and efficiency of a motor at volts and amperes",
        keys: &[
            key("kv", KV, "rpm/V", "velocity constant without load"),
            key(
                "resistance",
                DimensionInfo::of::<Resistance>(),
                "Ω",
                "winding between two leads",
            ),
            key(
                "no_load_current",
                DimensionInfo::of::<Current>(),
                "A",
                "current without load",
            ),
            key(
                "volts",
                DimensionInfo::of::<Voltage>(),
                "V",
                "volts at the motor",
            ),
            key(
                "current",
                DimensionInfo::of::<Current>(),
                "A",
                "current through it",
            ),
        ],
        source: "first-order motor: ω = Kv(V − I·R), Q = (I − I₀)/Kv; peak efficiency at √(I₀V/R), (1 − √(I₀R/V))². Drela, First-Order DC Electric Motor Model, MIT (2007)",
        range: "brushless motor at steady commutation; no-load current taken constant, no inductance",
        validated: true,
        example: "motor kv=1800rpm/V resistance=60mΩ no_load_current=0.9A volts=12V current=20A",
        compute: motor,
    },
    Formula {
        name: "motor-class",
        purpose: "winding resistance of a motor nobody measured, from its mass and Kv",
        keys: &[
            key(
                "mass",
                DimensionInfo::of::<Mass>(),
                "kg",
                "mass of one motor with its leads",
            ),
            key("kv", KV, "rpm/V", "velocity constant on the label"),
        ],
        source: "fit to stated values: R·Kv² = 7.5e7·m^−1.60 up to 120 g (42 motors, ×/÷ 1.32), 1.34e8·m^−1.74 above (83 motors, ×/÷ 1.46); R in Ω, Kv in rpm/V, m in g",
        range: "11 to 408 g; below 11 g an extrapolation, ×/÷ 1.7, and meters read more at the leads: the checks use `metered_ohm` there",
        validated: false,
        example: "motor-class mass=9.3g kv=3800rpm/V",
        compute: class,
    },
];

fn motor(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let motor = Motor {
        velocity_constant: values.get("kv"),
        resistance: values.get("resistance"),
        no_load_current: values.get("no_load_current"),
        no_load_slope_a_per_v: 0.0,
    };
    let state = motor.state(values.get("volts"), values.get("current"));
    let (best, efficiency) = motor.peak_efficiency(values.get("volts"));
    Ok(vec![
        number("rpm", state.rotation.in_rpm(), "rpm"),
        number("torque_n_m", state.torque.in_newton_metres(), "N·m"),
        number("shaft_power_w", state.shaft_power.in_watts(), "W"),
        number("efficiency", state.efficiency, ""),
        number("best_current_a", best.in_amperes(), "A"),
        number("best_efficiency", efficiency, ""),
    ])
}

fn class(values: &Values, notes: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let (mass, kv): (Mass, VelocityConstant) = (values.get("mass"), values.get("kv"));
    let positive = mass.in_grams() > 0.0 && kv.in_rpm_per_volt() > 0.0;
    if !positive {
        return Err("`mass` and `kv` must be above zero".to_owned());
    }
    let found = typical::motor_resistance(mass, kv);
    let metered = typical::drive_resistance(mass, kv);
    notes.push(format!("holds for {}", found.range));
    let Doubt::Factor(s) = found.quantity.doubt else {
        return Err("the class model has no spread here".to_owned());
    };
    let ohm = found.quantity.value.in_ohms();
    Ok(doubted("resistance_ohm", ohm, s * ohm, "Ω")
        .into_iter()
        .chain([
            number("resistance_ohm_p05", ohm * (-Z95 * s).exp(), "Ω"),
            number("resistance_ohm_p95", ohm * (Z95 * s).exp(), "Ω"),
            number("spread_factor", s.exp(), ""),
            number("metered_ohm", metered.quantity.value.in_ohms(), "Ω"),
        ])
        .collect())
}
