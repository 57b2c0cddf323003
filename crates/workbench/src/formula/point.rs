//! The whole power train at its operating points.

use super::{Formula, Key, Output, Takes, Values, key, number};
use flight::motor::Motor;
use flight::operating_point::{
    BusSource, Conditions, Drive, OperatingPoint, at_full_command, at_thrust,
};
use flight::propeller::Propeller;
use power::Chemistry;
use power::cell::Cell;
use power::discharge::discharge;
use power::pack::Pack;
use quantity::{
    Charge, Current, Density, DimensionInfo, Force, Length, Mass, MolarEnergy, Power, Ratio,
    Resistance, Temperature, VelocityConstant, Voltage,
};

const RATIO: DimensionInfo = DimensionInfo::of::<Ratio>();
/// Thin air at which hover is computed once more.
const THIN: Density = Density::kilograms_per_cubic_metre(0.9);
/// Any temperature: the cell of this formula does not stiffen.
const ROOM: Temperature = Temperature::celsius(25.0);

pub(super) const FORMULAS: &[Formula] = &[Formula {
    name: "operating-point",
    purpose: "hover, full command and hover time of a craft of definite figures",
    keys: &[
        key("m", DimensionInfo::of::<Mass>(), "kg", "all-up mass").also(&["mass"]),
        key("N", RATIO, "", "number of rotors").also(&["rotors", "n"]),
        key("S", RATIO, "", "cells in series").also(&["cells", "series", "s"]),
        key(
            "D",
            DimensionInfo::of::<Length>(),
            "m",
            "propeller diameter",
        )
        .also(&["diameter", "d"]),
        key("CT", RATIO, "", "thrust coefficient, T/(ρ n² D⁴)").also(&["thrust_coefficient", "ct"]),
        key("CP", RATIO, "", "power coefficient, P/(ρ n³ D⁵)").also(&["power_coefficient", "cp"]),
        key(
            "Kv",
            DimensionInfo::of::<VelocityConstant>(),
            "rpm/V",
            "velocity constant",
        )
        .also(&["kv", "KV"]),
        key("R", DimensionInfo::of::<Resistance>(), "Ω", "winding").also(&["resistance", "r"]),
        key(
            "I0",
            DimensionInfo::of::<Current>(),
            "A",
            "no-load current at rest",
        )
        .also(&["no_load_current", "i0"]),
        Key {
            name: "I1",
            aliases: &["no_load_slope", "i1"],
            takes: Takes::Number,
            unit: "A/V",
            default: Some("0"),
            optional: false,
            what: "growth of the no-load current with back-EMF",
        },
        key("eta", RATIO, "", "driver efficiency").also(&["esc_efficiency", "efficiency"]),
        key(
            "Pav",
            DimensionInfo::of::<Power>(),
            "W",
            "power of the electronics",
        )
        .also(&["avionics", "electronics"]),
        key(
            "Rp",
            DimensionInfo::of::<Resistance>(),
            "Ω",
            "pack, plug and leads together",
        )
        .also(&["pack_resistance", "rp"]),
        key("Q", DimensionInfo::of::<Charge>(), "Ah", "capacity").also(&["capacity", "q"]),
        key(
            "density",
            DimensionInfo::of::<Density>(),
            "kg/m³",
            "air density",
        )
        .or("1.225 kg/m³"),
        key(
            "hover_charge",
            RATIO,
            "",
            "charge at which hover is computed",
        )
        .or("0.5"),
        key(
            "full_charge",
            RATIO,
            "",
            "charge at which full command is computed",
        )
        .or("0.9"),
        key(
            "landing_volts",
            DimensionInfo::of::<Voltage>(),
            "V",
            "loaded volts for each cell at which it lands",
        )
        .or("3.3 V"),
    ],
    source: "thrust = CT·ρ·n²·D⁴, torque = CP·ρ·n²·D⁵/2π, I = torque·Kv + I₀ + I₁·emf, V = I·R + ω/Kv, bus power N·V·I/η + electronics on E − R·I; \
             polymer cell of Ai et al. (2020); time by d(charge)/dt = −P/(Q·V)",
    range: "steady state, equal rotors, static propellers; one driver efficiency for both points; duty is not the stick",
    validated: true,
    example: "operating-point m=27g N=4 S=1 D=31mm CT=0.2 CP=0.16 Kv=19000rpm/V R=0.11Ω I0=0.25A eta=0.94 Pav=2W Rp=40mΩ Q=300mAh",
    compute: operating_point,
}];

fn operating_point(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let (rotors, series) = (values.count("N")?, values.count("S")?);
    let mass: Mass = values.get("m");
    let drive = Drive {
        rotors,
        propeller: Propeller::constant(values.get("D"), values.plain("CT"), values.plain("CP")),
        motor: Motor {
            velocity_constant: values.get("Kv"),
            resistance: values.get("R"),
            no_load_current: values.get("I0"),
            no_load_slope_a_per_v: values.plain("I1"),
        },
        esc_efficiency: values.plain("eta"),
    };
    let conditions = |density, charge: f64| Conditions {
        density,
        source: BusSource {
            emf: Chemistry::LithiumPolymer.open_circuit(charge) * f64::from(series),
            resistance: values.get("Rp"),
        },
        avionics: values.get("Pav"),
    };
    let thrust: Force = mass.weight() / f64::from(rotors);
    let (hover_charge, full_charge) = (
        share(values, "hover_charge")?,
        share(values, "full_charge")?,
    );
    let hover_in = |density| {
        at_thrust(&drive, thrust, &conditions(density, hover_charge))
            .map_err(|none| format!("no hover: {none}"))
    };
    let hover = hover_in(values.get("density"))?;
    let thin = hover_in(THIN);
    let full = at_full_command(&drive, 1.0, &conditions(values.get("density"), full_charge))
        .map_err(|none| format!("no full command: {none}"))?;
    let mut outputs = hover_outputs(&hover);
    if let Ok(thin) = thin {
        outputs.push(number("hov_duty_rho09", thin.duty, ""));
        outputs.push(number("hov_Pbus_rho09_W", thin.bus_power.in_watts(), "W"));
    }
    outputs.extend(full_outputs(&full, thrust));
    outputs.extend(endurance(values, series, hover.bus_power));
    Ok(outputs)
}

fn share(values: &Values, key: &str) -> Result<f64, String> {
    let share = values.plain(key);
    if (0.0..=1.0).contains(&share) {
        Ok(share)
    } else {
        Err(format!("`{key}` lies between 0 and 1, this is {share}"))
    }
}

fn hover_outputs(hover: &OperatingPoint) -> Vec<Output> {
    vec![
        number("hov_rpm", hover.rotation.in_rpm(), "rpm"),
        number("hov_Q_Nm", hover.torque.in_newton_metres(), "N·m"),
        number("hov_Pshaft_W", hover.shaft_power.in_watts(), "W"),
        number("hov_Imotor_A", hover.motor_current.in_amperes(), "A"),
        number("hov_Vmotor_V", hover.motor_voltage.in_volts(), "V"),
        number("hov_eta_motor", hover.motor_efficiency, ""),
        number("hov_Vbus_V", hover.bus_voltage.in_volts(), "V"),
        number("hov_Ibus_A", hover.bus_current.in_amperes(), "A"),
        number("hov_Pbus_W", hover.bus_power.in_watts(), "W"),
        number("hov_duty", hover.duty, ""),
    ]
}

fn full_outputs(full: &OperatingPoint, hover_thrust: Force) -> Vec<Output> {
    vec![
        number("full_rpm", full.rotation.in_rpm(), "rpm"),
        number("full_T_N", full.thrust.in_newtons(), "N"),
        number("full_TW", full.thrust / hover_thrust, ""),
        number("full_Imotor_A", full.motor_current.in_amperes(), "A"),
        number("full_Vbus_V", full.bus_voltage.in_volts(), "V"),
        number("full_Ibus_A", full.bus_current.in_amperes(), "A"),
    ]
}

fn endurance(values: &Values, series: u32, power: Power) -> Vec<Output> {
    let total: Resistance = values.get("Rp");
    let cell = Cell {
        chemistry: Chemistry::LithiumPolymer,
        capacity: values.get("Q"),
        resistance: total / f64::from(series),
        activation_energy: MolarEnergy::joules_per_mole(0.0),
        sustained_ratio: 1.0,
        low_charge_rise: 0.0,
        open_circuit_offset: Voltage::volts(0.0),
    };
    let pack = Pack {
        cell,
        series,
        parallel: 1,
    };
    let spent = discharge(
        &pack,
        Resistance::ohms(0.0),
        power,
        1.0,
        values.get("landing_volts"),
        0.0,
        ROOM,
    );
    vec![
        number("endurance_s", spent.time.in_seconds(), "s"),
        number("soc_end", spent.end_charge, ""),
    ]
}
