//! The whole power train at its operating points.

use super::battery::{CHEMISTRY, chemistry, no_start};
use super::{
    Fault, Formula, Output, Outputs, Standing, Takes, Values, count, key, number, plain_key,
};
use flight::motor::Motor;
use flight::operating_point::{
    BusSource, Conditions, Drive, NoPoint, OperatingPoint, at_full_command, at_thrust,
};
use flight::propeller::Propeller;
use power::{Cell, Pack, discharge};
use quantity::{
    Charge, Current, Density, Force, Length, Mass, MolarEnergy, Power, Ratio, Resistance,
    Temperature, VelocityConstant, Voltage,
};

/// Thin air, in which hover is computed once more: 3 000 m, or a hot day at 2 500 m.
const THIN: Density = Density::kilograms_per_cubic_metre(0.9);
/// Any temperature: the cell of this formula does not stiffen.
const ROOM: Temperature = Temperature::celsius(25.0);

pub(super) const FORMULAS: &[Formula] = &[Formula {
    name: "operating-point",
    purpose: "hover, full command and hover time of a craft of definite figures",
    keys: &[
        key::<Mass>("m", "kg", "all-up mass")
            .also(&["mass"])
            .above_zero(),
        count("N", 64, "number of rotors").also(&["rotors", "n"]),
        count("S", 64, "cells in series").also(&["cells", "series", "s"]),
        key::<Length>("D", "m", "propeller diameter")
            .also(&["diameter", "d"])
            .above_zero(),
        key::<Ratio>("CT", "", "thrust coefficient, T/(ρ n² D⁴)")
            .also(&["thrust_coefficient", "ct"])
            .above_zero(),
        key::<Ratio>("CP", "", "power coefficient, P/(ρ n³ D⁵)")
            .also(&["power_coefficient", "cp"])
            .above_zero(),
        key::<VelocityConstant>("Kv", "rpm/V", "no-load speed per volt")
            .also(&["kv", "KV", "velocity_constant"])
            .above_zero(),
        key::<Resistance>("R", "Ω", "winding of one motor")
            .also(&["motor_resistance", "resistance", "r"])
            .above_zero(),
        key::<Current>("I0", "A", "no-load current; at rest where a slope is given")
            .also(&["no_load_current", "i0"])
            .not_negative(),
        plain_key(
            "I1",
            Takes::Number,
            "A/V",
            "growth of the no-load current with back-EMF",
        )
        .also(&["no_load_slope", "i1"])
        .or("0")
        .not_negative(),
        key::<Ratio>("eta", "", "motor over bus power of the speed controllers")
            .also(&["esc_efficiency", "efficiency"])
            .efficiency(),
        key::<Power>("Pav", "W", "bus power of everything that is not a motor")
            .also(&["avionics", "electronics", "pav"])
            .not_negative(),
        key::<Resistance>("Rp", "Ω", "pack, plug and leads together")
            .also(&["pack_resistance", "rp"])
            .not_negative(),
        key::<Charge>("Q", "Ah", "capacity")
            .also(&["capacity", "q"])
            .above_zero(),
        CHEMISTRY.or("lipo"),
        key::<Density>("density", "kg/m³", "air density")
            .or("1.225 kg/m³")
            .above_zero(),
        key::<Ratio>("hover_charge", "", "charge at which hover is computed")
            .or("0.5")
            .share(),
        key::<Ratio>(
            "full_charge",
            "",
            "charge at which full command is computed",
        )
        .or("0.9")
        .share(),
        key::<Voltage>(
            "landing_volts",
            "V",
            "loaded volts of each cell at which it lands",
        )
        .or("3.3 V")
        .above_zero(),
    ],
    source: "thrust = CT·ρ·n²·D⁴, torque = CP·ρ·n²·D⁵/2π, I = torque·Kv + I₀ + I₁·emf, V = I·R + ω/Kv, bus power N·V·I/η + \
             electronics on E − R·I, time by d(charge)/dt = −P/(Q·V); motor after Drela, MIT (2007), from memory; resting \
             volts as `cell-voltage`",
    range: "steady state, equal rotors, static propellers, one controller efficiency for all points, a pack that neither warms nor \
            stiffens; duty is not the stick; `_rho09`: the hover at 0.9 kg/m³",
    standing: Standing::Equation(
        "four craft solved with SciPy: within 0.015 %, times within 0.01 %",
    ),
    example: "operating-point mass=27g rotors=4 cells=1 diameter=31mm CT=0.2 CP=0.16 kv=19000rpm/V motor_resistance=0.11Ω \
              no_load_current=0.25A efficiency=0.94 electronics=2W pack_resistance=40mΩ capacity=300mAh",
    compute: operating_point,
}];

fn operating_point(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let craft = Craft::of(values);
    let density = values.get("density");
    let hover = craft.hover(density, values);
    let full = at_full_command(
        &craft.drive,
        1.0,
        &craft.conditions(density, values.plain("full_charge"), values),
    );
    if let (Err(hover), Err(full)) = (&hover, &full) {
        return Err(vec![
            Fault(format!("no hover: {hover}")),
            Fault(format!("no full command: {full}")),
        ]);
    }
    let mut outputs = Vec::new();
    let mut take = |found: Result<Vec<Output>, String>| match found {
        Ok(some) => outputs.extend(some),
        Err(none) => notes.push(none),
    };
    let none = |what: &'static str| move |why: NoPoint| format!("no {what}: {why}");
    let thin = craft.hover(THIN, values);
    take(
        hover
            .as_ref()
            .map(hover_outputs)
            .map_err(|why| none("hover")(*why)),
    );
    take(
        thin.as_ref()
            .map(thin_outputs)
            .map_err(|why| none("hover at 0.9 kg/m³")(*why)),
    );
    take(
        full.map(|full| full_outputs(&full, craft.thrust))
            .map_err(none("full command")),
    );
    if let Ok(hover) = &hover {
        outputs.extend(craft.endurance(values, hover.bus_power, notes));
    }
    Ok(outputs)
}

/// The craft apart from air and charge.
struct Craft {
    drive: Drive,
    series: u32,
    /// Of one rotor in hover.
    thrust: Force,
}

impl Craft {
    fn of(values: &Values) -> Self {
        let rotors = values.count("N");
        let motor = Motor {
            velocity_constant: values.get("Kv"),
            resistance: values.get("R"),
            no_load_current: values.get("I0"),
            no_load_slope_a_per_v: values.plain("I1"),
        };
        Self {
            drive: Drive {
                rotors,
                propeller: Propeller::constant(
                    values.get("D"),
                    values.plain("CT"),
                    values.plain("CP"),
                ),
                motor,
                esc_efficiency: values.plain("eta"),
            },
            series: values.count("S"),
            thrust: values.get::<Mass>("m").weight() / f64::from(rotors),
        }
    }

    fn conditions(&self, density: Density, charge: f64, values: &Values) -> Conditions {
        Conditions {
            density,
            source: BusSource {
                emf: chemistry(values).open_circuit(charge) * f64::from(self.series),
                resistance: values.get("Rp"),
            },
            avionics: values.get("Pav"),
        }
    }

    fn hover(&self, density: Density, values: &Values) -> Result<OperatingPoint, NoPoint> {
        let conditions = self.conditions(density, values.plain("hover_charge"), values);
        at_thrust(&self.drive, self.thrust, &conditions)
    }

    fn endurance(&self, values: &Values, power: Power, notes: &mut Vec<String>) -> Vec<Output> {
        let pack_ohm: Resistance = values.get("Rp");
        let cell = Cell {
            chemistry: chemistry(values),
            capacity: values.get("Q"),
            resistance: pack_ohm / f64::from(self.series),
            activation_energy: MolarEnergy::joules_per_mole(0.0),
            sustained_ratio: 1.0,
            low_charge_rise: 0.0,
            open_circuit_offset: Voltage::volts(0.0),
        };
        let pack = Pack {
            cell,
            series: self.series,
            parallel: 1,
        };
        let outside = Resistance::ohms(0.0);
        let landing = values.get("landing_volts");
        let flown = discharge(&pack, outside, power, 1.0, landing, 0.0, ROOM);
        notes.extend(no_start(flown.stopped_by));
        vec![
            number("endurance_s", flown.time.in_seconds(), "s"),
            number("soc_end", flown.end_charge, ""),
        ]
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

fn thin_outputs(hover: &OperatingPoint) -> Vec<Output> {
    vec![
        number("hov_duty_rho09", hover.duty, ""),
        number("hov_Pbus_rho09_W", hover.bus_power.in_watts(), "W"),
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
