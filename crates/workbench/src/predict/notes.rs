//! The steps of a prediction in words, formulas and numbers, for the chain that listens.

use super::{PackState, Run};
use crate::chain::{Chain, From, Step, Used};
use crate::electrics::lead_ohm;
use crate::input::{Draw, Term};
use crate::model::{
    BatteryModel, CellResistance, Class, DriveModel, Goodness, LoadModel, Model, Parent,
};
use crate::outcome::Outcome;
use flight::motor::Motor;
use flight::operating_point::{Drive, OperatingPoint};
use power::Source;
use power::pack::Pack;
use quantity::{Resistance, Temperature};

/// A number the file, a definition or an unlisted calculation gives.
pub fn given(name: &str, value: f64, unit: &'static str) -> Used {
    Used {
        name: name.to_owned(),
        value,
        unit,
        from: From::Given,
    }
}

/// A number that is an input, or a certain one.
pub fn term(name: &str, term: Term, value: f64, unit: &'static str) -> Used {
    let from = match term {
        Term::Known(_) => From::Given,
        Term::Input(id) => From::Input(id),
    };
    Used {
        name: name.to_owned(),
        value,
        unit,
        from,
    }
}

/// The result of an earlier step.
pub fn step(name: &str, id: &str, value: f64, unit: &'static str) -> Used {
    Used {
        name: name.to_owned(),
        value,
        unit,
        from: From::Step(id.to_owned()),
    }
}

impl<C: Chain> Run<'_, '_, C> {
    pub(super) fn note_propeller(
        &mut self,
        model: &DriveModel,
        free: (f64, f64),
        fitted: (f64, f64),
    ) {
        let draw = self.draw;
        let situation = &self.model.situation;
        self.chain.note(|| Step {
            id: "propeller.thrust_coefficient".into(),
            what: "thrust coefficient on this frame".into(),
            formula: "free coefficient × share left on the frame × exp(change by the refit)",
            uses: vec![
                term(
                    "free thrust coefficient",
                    model.thrust_coefficient,
                    free.0,
                    "",
                ),
                term(
                    "share of thrust left on the frame",
                    model.installed_thrust,
                    draw.of(model.installed_thrust),
                    "",
                ),
                term(
                    "change by the refit, logarithm",
                    situation.thrust_change,
                    draw.of(situation.thrust_change),
                    "",
                ),
            ],
            result: fitted.0,
            unit: "",
        });
        self.chain.note(|| Step {
            id: "propeller.power_coefficient".into(),
            what: "power coefficient".into(),
            formula: match model.goodness {
                Goodness::FigureOfMerit(_) | Goodness::FollowsThrust { .. } => {
                    "free thrust coefficient^1.5 × √(2/π) / (figure of merit × duct factor) × exp(change by the refit)"
                }
                Goodness::PowerCoefficient(_) => "power coefficient × exp(change by the refit)",
            },
            uses: match model.goodness {
                Goodness::FigureOfMerit(merit) | Goodness::FollowsThrust { merit, .. } => vec![
                    term("free thrust coefficient", model.thrust_coefficient, free.0, ""),
                    term("figure of merit", merit, draw.of(merit), ""),
                    term("duct factor", model.duct_factor, draw.of(model.duct_factor), ""),
                ],
                Goodness::PowerCoefficient(power) => vec![term("power coefficient", power, free.1, "")],
            }
            .into_iter()
            .chain([term("change by the refit, logarithm", situation.power_change, draw.of(situation.power_change), "")])
            .collect(),
            result: fitted.1,
            unit: "",
        });
    }

    pub(super) fn note_motor(&mut self, model: &DriveModel, cold: &Motor, warm: &Motor) {
        let draw = self.draw;
        self.chain.note(|| Step {
            id: "motor.winding".into(),
            what: "winding resistance at 20 °C".into(),
            formula: match model.winding {
                Class::Own(_) => "as stated",
                Class::Typical(_) => "class law in motor mass and Kv × spread of the class",
            },
            uses: class_uses(
                model,
                model.winding,
                draw,
                cold.resistance.in_milliohms(),
                "mΩ",
            ),
            result: cold.resistance.in_milliohms(),
            unit: "mΩ",
        });
        self.chain.note(|| Step {
            id: "motor.warm_winding".into(),
            what: "winding resistance in hover".into(),
            formula: "winding × (1 + 0.00393 × warming)",
            uses: vec![
                step(
                    "winding at 20 °C",
                    "motor.winding",
                    cold.resistance.in_milliohms(),
                    "mΩ",
                ),
                term(
                    "warming in hover",
                    model.hover_rise,
                    draw.of(model.hover_rise),
                    "K",
                ),
            ],
            result: warm.resistance.in_milliohms(),
            unit: "mΩ",
        });
        self.chain.note(|| Step {
            id: "motor.no_load".into(),
            what: "no-load current at the stated volts".into(),
            formula: match model.no_load {
                Class::Own(_) => "as stated",
                Class::Typical(_) => "class law in motor mass and Kv × spread of the class",
            },
            uses: class_uses(model, model.no_load, draw, f64::NAN, "A"),
            result: cold.no_load_current.in_amperes()
                + cold.no_load_slope_a_per_v * model.no_load_volts,
            unit: "A",
        });
    }

    pub(super) fn note_source(
        &mut self,
        model: &BatteryModel,
        state: PackState,
        pack: &Pack,
        temperature: Temperature,
        bare: Source,
        path_ohm: f64,
    ) {
        let source = bare.behind(Resistance::ohms(path_ohm));
        let draw = self.draw;
        let name = state.name;
        self.chain.note(|| {
            let cell = match model.cell_resistance {
                CellResistance::Own(own) => vec![term(
                    "cell resistance, 25 °C",
                    own,
                    draw.of(own) * 1e3,
                    "mΩ",
                )],
                CellResistance::Typical { new, wear } => vec![
                    term("new cell, 25 °C", new, draw.of(new) * 1e3, "mΩ"),
                    term("wear", wear, draw.of(wear), ""),
                ],
            };
            let further = state
                .aged
                .then(|| term("further ageing", model.ageing, draw.of(model.ageing), ""));
            let situation = &self.model.situation;
            let pack_term = if state.cold {
                situation.cold_pack
            } else {
                situation.pack
            };
            let conditions = [
                term(
                    "pack temperature",
                    pack_term,
                    temperature.in_celsius(),
                    "°C",
                ),
                given(
                    "temperature factor",
                    pack.cell.temperature_factor(temperature),
                    "",
                ),
                given("charge", 100.0 * state.charge, "%"),
                given("cells in series", f64::from(model.series), ""),
                given("strings in parallel", f64::from(model.parallel), ""),
            ];
            Step {
                id: format!("{name}.pack_ohm"),
                what: format!("cells, {name}"),
                formula: "series / parallel × cell × wear × temperature factor × rise near empty",
                uses: cell.into_iter().chain(further).chain(conditions).collect(),
                result: bare.resistance.in_milliohms(),
                unit: "mΩ",
            }
        });
        self.chain.note(|| {
            let plugs = model
                .plugs
                .iter()
                .map(|plug| term("plug pair", *plug, draw.of(*plug) * 1e3, "mΩ"));
            let leads = model.leads.iter().map(|lead| {
                let ohm = lead_ohm(*lead, draw, super::LEAD_COPPER);
                term(
                    &format!("lead, {} AWG, both wires", lead.awg),
                    lead.length,
                    ohm * 1e3,
                    "mΩ",
                )
            });
            let board = model
                .board
                .iter()
                .map(|path| term("board path", *path, draw.of(*path) * 1e3, "mΩ"));
            Step {
                id: format!("{name}.loop_ohm"),
                what: format!("whole loop, {name}"),
                formula: "cells + plugs + leads + board path",
                uses: [step(
                    "cells",
                    &format!("{name}.pack_ohm"),
                    bare.resistance.in_milliohms(),
                    "mΩ",
                )]
                .into_iter()
                .chain(plugs)
                .chain(leads)
                .chain(board)
                .collect(),
                result: bare.resistance.in_milliohms() + path_ohm * 1e3,
                unit: "mΩ",
            }
        });
        self.chain.note(|| Step {
            id: format!("{name}.emf_v"),
            what: format!("resting volts, {name}"),
            formula: "series × (open-circuit volts at the charge + offset)",
            uses: vec![
                given("cells in series", f64::from(model.series), ""),
                given("charge", 100.0 * state.charge, "%"),
                term(
                    "offset of each cell",
                    model.open_circuit_offset,
                    draw.of(model.open_circuit_offset),
                    "V",
                ),
            ],
            result: source.emf.in_volts(),
            unit: "V",
        });
    }

    pub(super) fn note_hover(
        &mut self,
        model: &DriveModel,
        drive: &Drive,
        state: PackState,
        thrust_n: f64,
        source: Source,
        point: &OperatingPoint,
    ) {
        let name = state.name;
        let mass_g = self.mass_kg * 1e3;
        self.note_rotor(name, drive, point, |density| {
            vec![
                step("all-up mass", Outcome::AllUpMass.id(), mass_g, "g"),
                given("thrust of one rotor", thrust_n, "N"),
                step("air density", "air.density", density, "kg/m³"),
            ]
        });
        self.note_bus(model, name, drive, source, point);
        if name != "half charge" {
            return;
        }
        for (outcome, key, result) in [
            (Outcome::HoverPower, "power_w", point.bus_power.in_watts()),
            (
                Outcome::HoverCurrent,
                "bus_a",
                point.bus_current.in_amperes(),
            ),
            (Outcome::HoverSpeed, "rpm", point.rotation.in_rpm()),
        ] {
            self.alias(outcome, &format!("{name}.{key}"), result);
        }
        self.note_tip_speed(Outcome::HoverTipSpeed, name, drive, point);
    }

    pub(super) fn note_full(
        &mut self,
        model: &DriveModel,
        drive: &Drive,
        state: PackState,
        source: Source,
        point: &OperatingPoint,
    ) {
        let name = state.name;
        self.note_rotor(name, drive, point, |density| {
            vec![
                given(
                    "motor volts less winding drop set the speed",
                    point.motor_voltage.in_volts(),
                    "V",
                ),
                step("air density", "air.density", density, "kg/m³"),
            ]
        });
        self.note_bus(model, name, drive, source, point);
        if name == "worst punch" {
            self.alias(
                Outcome::PunchVolts,
                &format!("{name}.bus_v"),
                point.bus_voltage.in_volts(),
            );
        }
        if name == "full pack" {
            self.alias(
                Outcome::PeakCurrent,
                &format!("{name}.bus_a"),
                point.bus_current.in_amperes(),
            );
            self.alias(
                Outcome::MotorCurrent,
                &format!("{name}.motor_a"),
                point.motor_current.in_amperes(),
            );
            self.alias(
                Outcome::FullSpeed,
                &format!("{name}.rpm"),
                point.rotation.in_rpm(),
            );
            self.note_tip_speed(Outcome::FullTipSpeed, name, drive, point);
        }
    }

    fn alias(&mut self, outcome: Outcome, id: &str, result: f64) {
        self.chain.note(|| {
            let info = outcome.info();
            Step {
                id: info.id,
                what: info.name.clone(),
                formula: "as above",
                uses: vec![step(&info.name, id, result, info.unit)],
                result,
                unit: info.unit,
            }
        });
    }

    fn note_tip_speed(
        &mut self,
        outcome: Outcome,
        name: &str,
        drive: &Drive,
        point: &OperatingPoint,
    ) {
        self.chain.note(|| Step {
            id: outcome.id().into(),
            what: outcome.info().name,
            formula: "π × diameter × turns in a second",
            uses: vec![
                given("diameter", drive.propeller.diameter.in_millimetres(), "mm"),
                step(
                    "speed",
                    &format!("{name}.rpm"),
                    point.rotation.in_rpm(),
                    "rpm",
                ),
            ],
            result: point.tip_speed.in_metres_per_second(),
            unit: "m/s",
        });
    }

    fn note_rotor(
        &mut self,
        name: &str,
        drive: &Drive,
        point: &OperatingPoint,
        more: impl FnOnce(f64) -> Vec<Used>,
    ) {
        let density = self.density;
        let thrust_coefficient = drive.propeller.thrust_coefficient;
        let power_coefficient = drive.propeller.power_coefficient;
        self.chain.note(|| Step {
            id: format!("{name}.rpm"),
            what: format!("propeller speed, {name}"),
            formula: "thrust = coefficient × density × (turns in a second)² × diameter⁴",
            uses: [
                step(
                    "thrust coefficient",
                    "propeller.thrust_coefficient",
                    thrust_coefficient,
                    "",
                ),
                given("diameter", drive.propeller.diameter.in_millimetres(), "mm"),
            ]
            .into_iter()
            .chain(more(density))
            .collect(),
            result: point.rotation.in_rpm(),
            unit: "rpm",
        });
        self.chain.note(|| Step {
            id: format!("{name}.thrust"),
            what: format!("thrust of one rotor, {name}"),
            formula: "coefficient × density × (turns in a second)² × diameter⁴",
            uses: vec![
                step(
                    "thrust coefficient",
                    "propeller.thrust_coefficient",
                    thrust_coefficient,
                    "",
                ),
                step(
                    "speed",
                    &format!("{name}.rpm"),
                    point.rotation.in_rpm(),
                    "rpm",
                ),
                step("air density", "air.density", density, "kg/m³"),
            ],
            result: point.thrust.in_grams_force(),
            unit: "gf",
        });
        self.chain.note(|| Step {
            id: format!("{name}.torque"),
            what: format!("torque of one rotor, {name}"),
            formula: "power coefficient × density × (turns in a second)² × diameter⁵ / 2π",
            uses: vec![
                step(
                    "power coefficient",
                    "propeller.power_coefficient",
                    power_coefficient,
                    "",
                ),
                step(
                    "speed",
                    &format!("{name}.rpm"),
                    point.rotation.in_rpm(),
                    "rpm",
                ),
                step("air density", "air.density", density, "kg/m³"),
            ],
            result: point.torque.in_millinewton_metres(),
            unit: "mN·m",
        });
    }

    fn note_bus(
        &mut self,
        model: &DriveModel,
        name: &str,
        drive: &Drive,
        source: Source,
        point: &OperatingPoint,
    ) {
        let draw = self.draw;
        let motor = &drive.motor;
        self.chain.note(|| Step {
            id: format!("{name}.motor_a"),
            what: format!("current of one motor, {name}"),
            formula: "torque × Kv (in rad/s/V) + no-load current at this speed",
            uses: vec![
                step(
                    "torque",
                    &format!("{name}.torque"),
                    point.torque.in_millinewton_metres(),
                    "mN·m",
                ),
                term(
                    "Kv",
                    model.kv,
                    motor.velocity_constant.in_rpm_per_volt(),
                    "rpm/V",
                ),
                step(
                    "no-load current",
                    "motor.no_load",
                    motor.no_load_current.in_amperes(),
                    "A",
                ),
            ],
            result: point.motor_current.in_amperes(),
            unit: "A",
        });
        self.chain.note(|| Step {
            id: format!("{name}.motor_v"),
            what: format!("volts at the motor, {name}"),
            formula: "current × winding + speed / Kv",
            uses: vec![
                step(
                    "current",
                    &format!("{name}.motor_a"),
                    point.motor_current.in_amperes(),
                    "A",
                ),
                step(
                    "winding",
                    "motor.warm_winding",
                    motor.resistance.in_milliohms(),
                    "mΩ",
                ),
                step(
                    "speed",
                    &format!("{name}.rpm"),
                    point.rotation.in_rpm(),
                    "rpm",
                ),
                term(
                    "Kv",
                    model.kv,
                    motor.velocity_constant.in_rpm_per_volt(),
                    "rpm/V",
                ),
            ],
            result: point.motor_voltage.in_volts(),
            unit: "V",
        });
        let efficiency = if name == "half charge" || name == "landing reserve" {
            model.hover_efficiency
        } else {
            model.full_efficiency
        };
        let motors_w = f64::from(drive.rotors)
            * (point.motor_voltage * point.motor_current).in_watts()
            / drive.esc_efficiency;
        self.chain.note(|| Step {
            id: format!("{name}.power_w"),
            what: format!("power from the pack, {name}"),
            formula: "rotors × motor volts × motor current / driver efficiency + electronics",
            uses: vec![
                given("rotors", f64::from(drive.rotors), ""),
                step(
                    "motor volts",
                    &format!("{name}.motor_v"),
                    point.motor_voltage.in_volts(),
                    "V",
                ),
                step(
                    "motor current",
                    &format!("{name}.motor_a"),
                    point.motor_current.in_amperes(),
                    "A",
                ),
                term(
                    "driver efficiency",
                    efficiency,
                    100.0 * draw.of(efficiency),
                    "%",
                ),
                given(
                    "electronics at the pack",
                    point.bus_power.in_watts() - motors_w,
                    "W",
                ),
            ],
            result: point.bus_power.in_watts(),
            unit: "W",
        });
        self.chain.note(|| Step {
            id: format!("{name}.bus_v"),
            what: format!("volts at the battery pads, {name}"),
            formula: "(resting volts + √(resting volts² − 4 × loop × power)) / 2",
            uses: vec![
                step(
                    "resting volts",
                    &format!("{name}.emf_v"),
                    source.emf.in_volts(),
                    "V",
                ),
                step(
                    "loop",
                    &format!("{name}.loop_ohm"),
                    source.resistance.in_milliohms(),
                    "mΩ",
                ),
                step(
                    "power",
                    &format!("{name}.power_w"),
                    point.bus_power.in_watts(),
                    "W",
                ),
            ],
            result: point.bus_voltage.in_volts(),
            unit: "V",
        });
        self.chain.note(|| Step {
            id: format!("{name}.bus_a"),
            what: format!("current from the pack, {name}"),
            formula: "power / volts",
            uses: vec![
                step(
                    "power",
                    &format!("{name}.power_w"),
                    point.bus_power.in_watts(),
                    "W",
                ),
                step(
                    "volts",
                    &format!("{name}.bus_v"),
                    point.bus_voltage.in_volts(),
                    "V",
                ),
            ],
            result: point.bus_current.in_amperes(),
            unit: "A",
        });
    }
}

/// The volts at one device in the worst punch.
pub fn device_step(
    model: &Model,
    draw: Draw<'_>,
    load: &LoadModel,
    bus_v: f64,
    load_v: f64,
) -> Step {
    let source = match load.parent {
        Some(Parent::Rail(rail)) => {
            let rail = &model.electrics.rails[rail];
            vec![
                given(&format!("volts of {}", rail.id), rail.output_v, "V"),
                term(
                    "step-down difference",
                    rail.drop_out,
                    draw.of(rail.drop_out),
                    "V",
                ),
            ]
        }
        _ => Vec::new(),
    };
    let wire = load.wire.map(|lead| {
        term(
            "feed wire length, one way",
            lead.length,
            draw.of(lead.length) * 1e3,
            "mm",
        )
    });
    Step {
        id: format!("supply.{}.min_v", load.id),
        what: format!("volts at {}, worst punch", load.id),
        formula: "volts of its source − power / volts × both feed wires",
        uses: [step(
            "volts at the battery pads",
            Outcome::PunchVolts.id(),
            bus_v,
            "V",
        )]
        .into_iter()
        .chain(source)
        .chain([term("power it draws", load.peak, draw.of(load.peak), "W")])
        .chain(wire)
        .collect(),
        result: load_v,
        unit: "V",
    }
}

fn class_uses(
    model: &DriveModel,
    class: Class,
    draw: Draw<'_>,
    own: f64,
    unit: &'static str,
) -> Vec<Used> {
    match class {
        Class::Own(value) => vec![term(
            "stated",
            value,
            if own.is_nan() { draw.of(value) } else { own },
            unit,
        )],
        Class::Typical(factor) => {
            let mass = model
                .motor_mass
                .map(|mass| term("motor mass", mass, draw.of(mass) * 1e3, "g"));
            let kv_rpm = draw.of(model.kv) * 60.0 / std::f64::consts::TAU;
            mass.into_iter()
                .chain([
                    term("Kv", model.kv, kv_rpm, "rpm/V"),
                    term("spread of the class", factor, draw.of(factor), ""),
                ])
                .collect()
        }
    }
}
