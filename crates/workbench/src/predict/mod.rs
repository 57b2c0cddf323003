//! One draw of one craft, from its masses to its volts: a plain function of definite numbers.
//!
//! Every result is noted in a [`Chain`] with its formula, so that `explain` shows the very
//! calculation the ensemble ran.

mod notes;

use self::notes::{device_step, given, step, term};
use crate::chain::{Chain, Step};
use crate::electrics::{Demand, Settled, lead_ohm};
use crate::input::{Draw, Term};
use crate::model::{
    BatteryModel, CellResistance, Class, DriveModel, Goodness, MassModel, Model, Weighed,
};
use crate::outcome::{Outcome, OutcomeInfo};
use flight::air::Air;
use flight::motor::Motor;
use flight::operating_point::{
    BusSource, Conditions, Drive, NoPoint, OperatingPoint, at_full_command, at_thrust,
};
use flight::propeller::{self, Propeller};
use power::Source;
use power::cell::{Cell, TimeScale};
use power::discharge::{Discharge, discharge};
use power::pack::Pack;
use quantity::{
    Charge, Current, Density, Force, Length, MolarEnergy, Power, Resistance, RotationSpeed,
    STANDARD_GRAVITY, Temperature, VelocityConstant, Voltage,
};

/// Charge at which the mid-pack figures hold.
const MID_CHARGE: f64 = 0.5;
/// Charge of a full pack.
const FULL_CHARGE: f64 = 1.0;
/// Copper of battery leads in flight.
const LEAD_COPPER: Temperature = Temperature::celsius(40.0);
/// Change of bus power below which electronics and motors agree \[W\].
const AGREED_W: f64 = 1e-4;
/// Rounds in which they have to; each brings them nearer by the share of the electronics in the whole.
const ROUNDS: usize = 8;
/// No open propeller beats this share of an ideal disc; caps the far tail of the draws.
const BEST_MERIT: f64 = 0.9;
/// How much more battery the worth of a larger pack is judged by.
const MORE_BATTERY: f64 = 1.01;

/// Names and units of everything [`predict`] writes, in its order.
pub fn outcome_infos(model: &Model) -> Vec<OutcomeInfo> {
    let fixed = Outcome::ALL.iter().map(|outcome| outcome.info());
    let rails = model.electrics.rails.iter().flat_map(|rail| {
        [
            (
                format!("rail.{}.load_a", rail.id),
                format!("load on {}", rail.id),
                "A",
            ),
            (
                format!("rail.{}.peak_load_a", rail.id),
                format!("peak load on {}", rail.id),
                "A",
            ),
            (
                format!("rail.{}.headroom_a", rail.id),
                format!("headroom of {} to its label", rail.id),
                "A",
            ),
            (
                format!("rail.{}.min_v", rail.id),
                format!("lowest volts of {}", rail.id),
                "V",
            ),
        ]
    });
    let loads = model.electrics.loads.iter().flat_map(|load| {
        [
            (
                format!("supply.{}.min_v", load.id),
                format!("lowest volts at {}", load.id),
                "V",
            ),
            (
                format!("supply.{}.max_v", load.id),
                format!("highest volts at {}", load.id),
                "V",
            ),
        ]
    });
    fixed
        .chain(
            rails
                .chain(loads)
                .map(|(id, name, unit)| OutcomeInfo { id, name, unit }),
        )
        .collect()
}

/// Outcomes of one rail: load, peak load, headroom, lowest volts.
const OF_RAIL: usize = 4;

/// Position of a rail's first outcome.
pub fn rail_outcome(rail: usize) -> usize {
    Outcome::ALL.len() + OF_RAIL * rail
}

/// Position of a load's first outcome.
pub fn load_outcome(model: &Model, load: usize) -> usize {
    Outcome::ALL.len() + OF_RAIL * model.electrics.rails.len() + 2 * load
}

/// Buffers kept from draw to draw.
#[derive(Debug, Default)]
pub struct Scratch {
    settled: Settled,
}

/// Computes every outcome of one draw into `row`; what has no value is NaN.
pub fn predict<C: Chain>(
    model: &Model,
    draw: Draw<'_>,
    row: &mut [f64],
    scratch: &mut Scratch,
    chain: &mut C,
) {
    row.fill(f64::NAN);
    let mass_kg = mass(&model.mass, draw, row, chain);
    let air_k = draw.of(model.situation.air);
    let Ok(air) = Air::at(
        Length::metres(model.situation.altitude_m),
        Temperature::kelvins(air_k),
    ) else {
        return;
    };
    let density = air.density.in_kilograms_per_cubic_metre();
    chain.note(|| Step {
        id: "air.density".into(),
        what: "air density".into(),
        formula: "pressure of the standard atmosphere at the altitude / (287.05 × temperature)",
        uses: vec![
            given("altitude", model.situation.altitude_m, "m"),
            term("air temperature", model.situation.air, air_k - 273.15, "°C"),
        ],
        result: density,
        unit: "kg/m³",
    });
    let mut run = Run {
        model,
        draw,
        density,
        mass_kg,
        scratch,
        chain,
    };
    run.electronics(row);
    run.top_volts(row);
    if let (Some(drive), Some(battery)) = (&model.drive, &model.battery) {
        run.flight(drive, battery, row);
    }
}

/// Hover time with the battery scaled in mass, capacity and strength, everything else as it is.
pub fn hover_time_with_battery(model: &Model, draw: Draw<'_>, scale: f64) -> Option<f64> {
    let (drive, battery) = (model.drive.as_ref()?, model.battery.as_ref()?);
    let mut row = vec![f64::NAN; Outcome::ALL.len()];
    let mass_kg = mass(&model.mass, draw, &mut row, &mut crate::chain::Deaf);
    let air_k = draw.of(model.situation.air);
    let air = Air::at(
        Length::metres(model.situation.altitude_m),
        Temperature::kelvins(air_k),
    )
    .ok()?;
    let mut scratch = Scratch::default();
    let mut run = Run {
        model,
        draw,
        density: air.density.in_kilograms_per_cubic_metre(),
        mass_kg,
        scratch: &mut scratch,
        chain: &mut crate::chain::Deaf,
    };
    run.hover_seconds(drive, battery, scale)
}

fn mass<C: Chain>(model: &MassModel, draw: Draw<'_>, row: &mut [f64], chain: &mut C) -> f64 {
    let sum = |parts: &[(Term, f64)]| {
        parts
            .iter()
            .map(|(mass, count)| draw.of(*mass) * count)
            .sum::<f64>()
    };
    let listed_kg = sum(&model.parts);
    let with_wire_kg = listed_kg * (1.0 + draw.of(model.unlisted));
    let all_up_kg = match &model.weighed {
        Weighed::No => with_wire_kg,
        Weighed::This(weighed) => draw.of(*weighed),
        Weighed::Changed { before, off, on } => {
            draw.of(*before) - sum(off) + sum(on) * (1.0 + draw.of(model.unlisted))
        }
    };
    if all_up_kg > 0.0 {
        row[Outcome::AllUpMass as usize] = all_up_kg * 1e3;
        row[Outcome::SumOfParts as usize] = with_wire_kg * 1e3;
    }
    if let Some(battery) = model.battery {
        row[Outcome::PackShare as usize] = 100.0 * draw.of(battery) / all_up_kg;
    }
    let unlisted = term(
        "wire and solder nobody lists",
        model.unlisted,
        100.0 * draw.of(model.unlisted),
        "%",
    );
    chain.note(|| Step {
        id: Outcome::SumOfParts.id().into(),
        what: "sum of parts with wire and solder".into(),
        formula: "(Σ count × mass) × (1 + share of wire and solder)",
        uses: model
            .parts
            .iter()
            .map(|(mass, count)| term(&format!("{count} ×"), *mass, draw.of(*mass) * 1e3, "g"))
            .chain([unlisted.clone()])
            .collect(),
        result: with_wire_kg * 1e3,
        unit: "g",
    });
    chain.note(|| {
        let (formula, uses) = match &model.weighed {
            Weighed::No => (
                "sum of parts",
                vec![step(
                    "sum of parts",
                    Outcome::SumOfParts.id(),
                    with_wire_kg * 1e3,
                    "g",
                )],
            ),
            Weighed::This(weighed) => (
                "as weighed",
                vec![term("on the scale", *weighed, draw.of(*weighed) * 1e3, "g")],
            ),
            Weighed::Changed { before, off, on } => {
                let part = |sign: &str, (mass, count): &(Term, f64)| {
                    term(
                        &format!("{sign} {count} ×"),
                        *mass,
                        draw.of(*mass) * 1e3,
                        "g",
                    )
                };
                let uses = [term(
                    "on the scale before",
                    *before,
                    draw.of(*before) * 1e3,
                    "g",
                )]
                .into_iter()
                .chain(off.iter().map(|entry| part("off", entry)))
                .chain(on.iter().map(|entry| part("on", entry)))
                .chain([unlisted.clone()])
                .collect();
                (
                    "weighed before − parts off + parts on × (1 + share of wire and solder)",
                    uses,
                )
            }
        };
        Step {
            id: Outcome::AllUpMass.id().into(),
            what: "all-up mass".into(),
            formula,
            uses,
            result: all_up_kg * 1e3,
            unit: "g",
        }
    });
    all_up_kg
}

/// One draw while it is computed.
struct Run<'a, 'd, C: Chain> {
    model: &'a Model,
    draw: Draw<'d>,
    density: f64,
    mass_kg: f64,
    scratch: &'a mut Scratch,
    chain: &'a mut C,
}

/// Which state of the battery.
#[derive(Debug, Clone, Copy)]
struct PackState {
    name: &'static str,
    charge: f64,
    cold: bool,
    aged: bool,
    scale: TimeScale,
    /// More battery of the same kind, for the worth of a larger pack.
    size: f64,
}

impl<C: Chain> Run<'_, '_, C> {
    fn of(&self, term: Term) -> f64 {
        self.draw.of(term)
    }

    fn electronics(&mut self, row: &mut [f64]) {
        let loads = &self.model.electrics.loads;
        row[Outcome::Electronics as usize] = loads
            .iter()
            .map(|load| self.draw.of(load.power) * load.count)
            .sum();
    }

    /// Volts on a full pack at rest, the highest any device sees from the battery.
    fn top_volts(&mut self, row: &mut [f64]) {
        let Some(battery) = &self.model.battery else {
            return;
        };
        let top_v = battery.chemistry.full().in_volts() * f64::from(battery.series);
        self.scratch
            .settled
            .settle(&self.model.electrics, self.draw, top_v, Demand::Usual);
        for (at, load) in self.model.electrics.loads.iter().enumerate() {
            if load.parent.is_some() {
                // Without load no wire takes anything off, so a device on the pack sees all of it.
                let seen_v = if load.parent == Some(crate::model::Parent::Bus) {
                    top_v
                } else {
                    self.scratch.settled.load_v[at]
                };
                row[load_outcome(self.model, at) + 1] = seen_v;
            }
        }
    }

    fn flight(&mut self, drive: &DriveModel, battery: &BatteryModel, row: &mut [f64]) {
        let reserve = (self.model.situation.reserve + self.of(self.model.situation.landing_error))
            .clamp(0.01, 0.95);
        let usual = |name, charge| PackState {
            name,
            charge,
            cold: false,
            aged: false,
            scale: TimeScale::TenSeconds,
            size: 1.0,
        };
        let hover_drive = self.drive(drive, false);
        let full_drive = self.drive(drive, true);
        self.pack_figures(battery, row);

        if let Some((hover, electronics_w)) = self.hover(
            drive,
            &hover_drive,
            battery,
            usual("half charge", MID_CHARGE),
        ) {
            self.hover_figures(drive, &hover, row);
            self.rail_loads(hover.bus_voltage.in_volts(), row);
            self.endurance(battery, &hover, electronics_w, reserve, row);
        }
        if let Some((hover, _)) = self.hover(
            drive,
            &hover_drive,
            battery,
            usual("landing reserve", reserve),
        ) {
            row[Outcome::HoverCommandReserve as usize] =
                self.command(drive, &hover, Outcome::HoverCommandReserve);
        }
        if let Some(full) =
            self.full_command(drive, &full_drive, battery, usual("full pack", FULL_CHARGE))
        {
            self.full_figures(drive, battery, &full, row);
        }
        if let Some(full) = self.full_command(
            drive,
            &full_drive,
            battery,
            usual("landing reserve, punch", reserve),
        ) {
            row[Outcome::ThrustReserve as usize] =
                self.thrust_to_weight(drive, &full, Outcome::ThrustReserve);
        }
        let worst = PackState {
            cold: true,
            aged: true,
            ..usual("worst punch", reserve)
        };
        match self.full_command(drive, &full_drive, battery, worst) {
            Some(punch) => self.punch_figures(battery, &punch, row),
            None => self.no_punch(row),
        }
        self.pack_worth(drive, battery, row);
    }

    /// Propeller, motor and driver of this draw, in hover or at full command.
    fn drive(&mut self, model: &DriveModel, full: bool) -> Drive {
        let situation = &self.model.situation;
        let (thrust_ln, power_ln) = if full {
            (self.of(model.full_thrust), self.of(model.full_power))
        } else {
            (0.0, 0.0)
        };
        let free_thrust = self.of(model.thrust_coefficient);
        let free_power = match model.goodness {
            Goodness::FigureOfMerit(merit) => propeller::power_coefficient(
                free_thrust,
                self.of(merit) * self.of(model.duct_factor),
            ),
            Goodness::FollowsThrust {
                merit,
                thrust_middle,
                exponent,
            } => {
                let merit = self.of(merit) * (free_thrust / thrust_middle).powf(exponent);
                propeller::power_coefficient(
                    free_thrust,
                    merit.min(BEST_MERIT) * self.of(model.duct_factor),
                )
            }
            Goodness::PowerCoefficient(power) => self.of(power),
        };
        let thrust_coefficient = free_thrust
            * self.of(model.installed_thrust)
            * (thrust_ln + self.of(situation.thrust_change)).exp();
        let power_coefficient = free_power * (power_ln + self.of(situation.power_change)).exp();
        let propeller = Propeller {
            diameter: Length::metres(model.diameter_m),
            thrust_coefficient,
            power_coefficient,
            reference: RotationSpeed::radians_per_second(model.reference_rad_s),
            thrust_exponent: self.of(model.thrust_exponent),
            power_exponent: self.of(model.power_exponent),
        };
        let rise = self.of(if full {
            model.full_rise
        } else {
            model.hover_rise
        });
        let cold = self.motor(model);
        let motor = cold.warmed_to(Temperature::kelvins(self.of(situation.air) + rise));
        let efficiency = self.of(if full {
            model.full_efficiency
        } else {
            model.hover_efficiency
        });
        if !full {
            self.note_propeller(
                model,
                (free_thrust, free_power),
                (thrust_coefficient, power_coefficient),
            );
            self.note_motor(model, &cold, &motor);
        }
        Drive {
            rotors: model.rotors,
            propeller,
            motor,
            esc_efficiency: efficiency,
        }
    }

    fn motor(&self, model: &DriveModel) -> Motor {
        let kv = VelocityConstant::radians_per_second_volt(self.of(model.kv));
        let mass = model
            .motor_mass
            .map(|mass| quantity::Mass::kilograms(self.of(mass)));
        let winding_ohm = match (model.winding, mass) {
            (Class::Typical(factor), Some(mass)) => {
                flight::typical::drive_resistance(mass, kv)
                    .quantity
                    .value
                    .in_ohms()
                    * self.of(factor)
            }
            (Class::Own(own) | Class::Typical(own), _) => self.of(own),
        };
        let volts = Voltage::volts(model.no_load_volts);
        let no_load_a = match (model.no_load, mass) {
            (Class::Typical(factor), Some(mass)) => {
                flight::typical::no_load_current(mass, kv, volts)
                    .quantity
                    .value
                    .in_amperes()
                    * self.of(factor)
            }
            (Class::Own(own) | Class::Typical(own), _) => self.of(own),
        };
        let line = flight::typical::no_load_line(Current::amperes(no_load_a), volts);
        Motor {
            velocity_constant: kv,
            resistance: Resistance::ohms(winding_ohm),
            no_load_current: line.at_rest,
            no_load_slope_a_per_v: line.slope_a_per_v,
        }
    }

    fn pack(&self, model: &BatteryModel, aged: bool, size: f64) -> Pack {
        let today_ohm = match model.cell_resistance {
            CellResistance::Own(own) => self.of(own),
            CellResistance::Typical { new, wear } => self.of(new) * self.of(wear),
        };
        let cell = Cell {
            chemistry: model.chemistry,
            capacity: Charge::coulombs(self.of(model.capacity) * size / f64::from(model.parallel)),
            resistance: Resistance::ohms(
                today_ohm / size * if aged { self.of(model.ageing) } else { 1.0 },
            ),
            activation_energy: MolarEnergy::joules_per_mole(self.of(model.activation_energy)),
            sustained_ratio: self.of(model.sustained_ratio),
            low_charge_rise: self.of(model.low_charge_rise),
            open_circuit_offset: Voltage::volts(self.of(model.open_circuit_offset)),
        };
        Pack {
            cell,
            series: model.series,
            parallel: model.parallel,
        }
    }

    /// Everything between the cells and the bus \[Ω\].
    fn path_ohm(&self, model: &BatteryModel) -> f64 {
        let fixed: f64 = model
            .plugs
            .iter()
            .chain(&model.board)
            .map(|term| self.of(*term))
            .sum();
        fixed
            + model
                .leads
                .iter()
                .map(|lead| lead_ohm(*lead, self.draw, LEAD_COPPER))
                .sum::<f64>()
    }

    fn pack_temperature(&self, cold: bool) -> Temperature {
        let situation = &self.model.situation;
        Temperature::kelvins(self.of(if cold {
            situation.cold_pack
        } else {
            situation.pack
        }))
    }

    fn source(&mut self, battery: &BatteryModel, state: PackState) -> Source {
        let pack = self.pack(battery, state.aged, state.size);
        let temperature = self.pack_temperature(state.cold);
        let bare = pack.source(state.charge, temperature, state.scale);
        let path_ohm = self.path_ohm(battery);
        self.note_source(battery, state, &pack, temperature, bare, path_ohm);
        bare.behind(Resistance::ohms(path_ohm))
    }

    /// Settles motors and electronics together: each round gives the other its bus volts or watts.
    fn settle(
        &mut self,
        source: Source,
        demand: Demand,
        point: impl Fn(&Conditions) -> Result<OperatingPoint, NoPoint>,
    ) -> Option<(OperatingPoint, f64)> {
        let mut conditions = Conditions {
            density: Density::kilograms_per_cubic_metre(self.density),
            source: BusSource {
                emf: source.emf,
                resistance: source.resistance,
            },
            avionics: Power::watts(0.0),
        };
        let mut bus_v = source.emf.in_volts();
        let mut found = None;
        for _ in 0..ROUNDS {
            self.scratch
                .settled
                .settle(&self.model.electrics, self.draw, bus_v, demand);
            let drawn_w = self.scratch.settled.bus_w;
            if found.is_some() && (drawn_w - conditions.avionics.in_watts()).abs() < AGREED_W {
                break;
            }
            conditions.avionics = Power::watts(drawn_w);
            let next = point(&conditions).ok()?;
            bus_v = next.bus_voltage.in_volts();
            found = Some((next, drawn_w));
        }
        found
    }

    fn hover(
        &mut self,
        model: &DriveModel,
        drive: &Drive,
        battery: &BatteryModel,
        state: PackState,
    ) -> Option<(OperatingPoint, f64)> {
        let source = self.source(battery, state);
        let thrust_n = self.mass_kg * STANDARD_GRAVITY / f64::from(model.rotors);
        let (point, electronics_w) = self.settle(source, Demand::Usual, |conditions| {
            at_thrust(drive, Force::newtons(thrust_n), conditions)
        })?;
        self.note_hover(model, drive, state, thrust_n, source, &point);
        Some((point, electronics_w))
    }

    fn full_command(
        &mut self,
        model: &DriveModel,
        drive: &Drive,
        battery: &BatteryModel,
        state: PackState,
    ) -> Option<OperatingPoint> {
        let source = self.source(battery, state);
        let demand = if state.cold {
            Demand::Peak
        } else {
            Demand::Usual
        };
        let (point, _) = self.settle(source, demand, |conditions| {
            at_full_command(drive, model.command_limit, conditions)
        })?;
        self.note_full(model, drive, state, source, &point);
        Some(point)
    }

    fn command(&mut self, drive: &DriveModel, point: &OperatingPoint, outcome: Outcome) -> f64 {
        let idle = self.of(drive.idle_offset);
        let command = 100.0 * (idle + (1.0 - idle) * point.duty);
        let id = if outcome == Outcome::HoverCommand {
            "half charge"
        } else {
            "landing reserve"
        };
        self.chain.note(|| Step {
            id: outcome.id().into(),
            what: outcome.info().name,
            formula: "idle offset + (1 − idle offset) × motor volts / bus volts",
            uses: vec![
                term("idle offset", drive.idle_offset, 100.0 * idle, "%"),
                step(
                    "motor volts",
                    &format!("{id}.motor_v"),
                    point.motor_voltage.in_volts(),
                    "V",
                ),
                step(
                    "bus volts",
                    &format!("{id}.bus_v"),
                    point.bus_voltage.in_volts(),
                    "V",
                ),
            ],
            result: command,
            unit: "%",
        });
        command
    }

    fn hover_figures(&mut self, drive: &DriveModel, hover: &OperatingPoint, row: &mut [f64]) {
        let power_w = hover.bus_power.in_watts();
        let area_m2 =
            f64::from(drive.rotors) * std::f64::consts::PI * drive.diameter_m * drive.diameter_m
                / 4.0;
        let mass_g = self.mass_kg * 1e3;
        row[Outcome::HoverCommand as usize] = self.command(drive, hover, Outcome::HoverCommand);
        row[Outcome::HoverPower as usize] = power_w;
        row[Outcome::HoverCurrent as usize] = hover.bus_current.in_amperes();
        row[Outcome::HoverSpeed as usize] = hover.rotation.in_rpm();
        row[Outcome::HoverTipSpeed as usize] = hover.tip_speed.in_metres_per_second();
        row[Outcome::DiscLoading as usize] = self.mass_kg * STANDARD_GRAVITY / area_m2;
        row[Outcome::HoverPowerRatio as usize] = power_w / mass_g;
        self.chain.note(|| Step {
            id: Outcome::DiscLoading.id().into(),
            what: "disc loading".into(),
            formula: "mass × 9.80665 / (rotors × π × diameter² / 4)",
            uses: vec![
                step("all-up mass", Outcome::AllUpMass.id(), mass_g, "g"),
                given("rotors", f64::from(drive.rotors), ""),
                given("propeller diameter", drive.diameter_m * 1e3, "mm"),
            ],
            result: self.mass_kg * STANDARD_GRAVITY / area_m2,
            unit: "N/m²",
        });
        self.chain.note(|| Step {
            id: Outcome::HoverPowerRatio.id().into(),
            what: "hover power over mass".into(),
            formula: "hover power / all-up mass",
            uses: vec![
                step("hover power", Outcome::HoverPower.id(), power_w, "W"),
                step("all-up mass", Outcome::AllUpMass.id(), mass_g, "g"),
            ],
            result: power_w / mass_g,
            unit: "W/g",
        });
    }

    fn landing(&self, reserve: f64) -> (Voltage, f64) {
        // A sensor that reads high makes you land at fewer real volts.
        (
            Voltage::volts(
                self.model.situation.landing_v / self.of(self.model.situation.voltage_gain),
            ),
            reserve,
        )
    }

    fn discharge(
        &self,
        battery: &BatteryModel,
        power_w: f64,
        reserve: f64,
        size: f64,
    ) -> Discharge {
        let (landing, reserve) = self.landing(reserve);
        discharge(
            &self.pack(battery, false, size),
            Resistance::ohms(self.path_ohm(battery)),
            Power::watts(power_w),
            FULL_CHARGE,
            landing,
            reserve,
            self.pack_temperature(false),
        )
    }

    fn endurance(
        &mut self,
        battery: &BatteryModel,
        hover: &OperatingPoint,
        electronics_w: f64,
        reserve: f64,
        row: &mut [f64],
    ) {
        let hover_w = hover.bus_power.in_watts();
        let activity = self.of(self.model.situation.activity);
        let active_w = (hover_w - electronics_w) * activity + electronics_w;
        let still = self.discharge(battery, hover_w, reserve, 1.0);
        let active = self.discharge(battery, active_w, reserve, 1.0);
        row[Outcome::HoverTime as usize] = still.time.in_seconds();
        row[Outcome::ActiveTime as usize] = active.time.in_seconds();
        row[Outcome::EndCharge as usize] = 100.0 * active.end_charge;
        row[Outcome::ActiveCurrent as usize] = active_w / hover.bus_voltage.in_volts();
        let situation = &self.model.situation;
        let landing_v = self.landing(reserve).0.in_volts();
        let capacity_mah = self.of(battery.capacity) / 3.6;
        for (outcome, power_w, spent, power_id) in [
            (
                Outcome::HoverTime,
                hover_w,
                &still,
                Outcome::HoverPower.id(),
            ),
            (Outcome::ActiveTime, active_w, &active, "endurance.active_w"),
        ] {
            if outcome == Outcome::ActiveTime {
                self.chain.note(|| Step {
                    id: power_id.into(),
                    what: "power in active flying".into(),
                    formula: "(hover power − electronics) × activity + electronics",
                    uses: vec![
                        step("hover power", Outcome::HoverPower.id(), hover_w, "W"),
                        given("electronics at the pack", electronics_w, "W"),
                        term("activity", situation.activity, activity, ""),
                    ],
                    result: active_w,
                    unit: "W",
                });
            }
            self.chain.note(|| Step {
                id: outcome.id().into(),
                what: outcome.info().name,
                formula: "capacity × ∫ volts d(charge) / power, from full to the landing volts under load or the reserve",
                uses: vec![
                    term("capacity", battery.capacity, capacity_mah, "mAh"),
                    step("power", power_id, power_w, "W"),
                    given("landing volts for each cell, true", landing_v, "V"),
                    term("reserve off plan", situation.landing_error, 100.0 * (reserve - situation.reserve), "%"),
                    given("charge left", 100.0 * spent.end_charge, "%"),
                ],
                result: spent.time.in_seconds(),
                unit: "s",
            });
        }
        self.chain.note(|| Step {
            id: Outcome::EndCharge.id().into(),
            what: "charge left on landing".into(),
            formula: "where open-circuit volts − sustained sag meet the landing volts, not below the reserve",
            uses: vec![step("power", "endurance.active_w", active_w, "W"), given("landing volts for each cell, true", landing_v, "V")],
            result: 100.0 * active.end_charge,
            unit: "%",
        });
        self.chain.note(|| Step {
            id: Outcome::ActiveCurrent.id().into(),
            what: "battery current in active flying".into(),
            formula: "power in active flying / bus volts in hover",
            uses: vec![
                step("power", "endurance.active_w", active_w, "W"),
                step(
                    "bus volts",
                    "half charge.bus_v",
                    hover.bus_voltage.in_volts(),
                    "V",
                ),
            ],
            result: active_w / hover.bus_voltage.in_volts(),
            unit: "A",
        });
    }

    fn thrust_to_weight(
        &mut self,
        drive: &DriveModel,
        full: &OperatingPoint,
        outcome: Outcome,
    ) -> f64 {
        let thrust_n = full.thrust.in_newtons() * f64::from(drive.rotors);
        let ratio = thrust_n / (self.mass_kg * STANDARD_GRAVITY);
        let state = if outcome == Outcome::ThrustFull {
            "full pack"
        } else {
            "landing reserve, punch"
        };
        self.chain.note(|| Step {
            id: outcome.id().into(),
            what: outcome.info().name,
            formula: "rotors × thrust / (mass × 9.80665)",
            uses: vec![
                given("rotors", f64::from(drive.rotors), ""),
                step(
                    "thrust of one",
                    &format!("{state}.thrust"),
                    full.thrust.in_grams_force(),
                    "gf",
                ),
                step(
                    "all-up mass",
                    Outcome::AllUpMass.id(),
                    self.mass_kg * 1e3,
                    "g",
                ),
            ],
            result: ratio,
            unit: "",
        });
        ratio
    }

    fn full_figures(
        &mut self,
        drive: &DriveModel,
        battery: &BatteryModel,
        full: &OperatingPoint,
        row: &mut [f64],
    ) {
        let capacity_ah = self.of(battery.capacity) / 3600.0;
        let current_a = full.bus_current.in_amperes();
        let no_load_rpm =
            self.of(drive.kv) * full.motor_voltage.in_volts() * 60.0 / std::f64::consts::TAU;
        row[Outcome::ThrustFull as usize] = self.thrust_to_weight(drive, full, Outcome::ThrustFull);
        row[Outcome::PeakCurrent as usize] = current_a;
        row[Outcome::PeakRate as usize] = current_a / capacity_ah;
        row[Outcome::MotorCurrent as usize] = full.motor_current.in_amperes();
        row[Outcome::FullSpeed as usize] = full.rotation.in_rpm();
        row[Outcome::FullTipSpeed as usize] = full.tip_speed.in_metres_per_second();
        row[Outcome::FullSpeedRatio as usize] = full.rotation.in_rpm() / no_load_rpm;
        self.chain.note(|| Step {
            id: Outcome::PeakRate.id().into(),
            what: "discharge rate at full command".into(),
            formula: "current / capacity in an hour",
            uses: vec![
                step("current", Outcome::PeakCurrent.id(), current_a, "A"),
                term("capacity", battery.capacity, capacity_ah * 1e3, "mAh"),
            ],
            result: current_a / capacity_ah,
            unit: "C",
        });
    }

    fn pack_figures(&mut self, battery: &BatteryModel, row: &mut [f64]) {
        let pack = self.pack(battery, false, 1.0);
        let rate = power::typical::rate_by_heat(pack.cell.resistance, pack.cell.capacity)
            .quantity
            .value;
        row[Outcome::HonestRate as usize] = rate.in_per_hour();
        if let Some(mass) = self.model.mass.battery {
            row[Outcome::PackEnergy as usize] =
                pack.nominal_energy().in_watt_hours() / self.of(mass);
        }
        self.chain.note(|| Step {
            id: Outcome::HonestRate.id().into(),
            what: "rate this pack can hold".into(),
            formula: "2.5 / √(cell resistance in mΩ × capacity in Ah / 1000)",
            uses: vec![
                given(
                    "cell resistance today",
                    pack.cell.resistance.in_milliohms(),
                    "mΩ",
                ),
                given(
                    "capacity of one string",
                    pack.cell.capacity.in_milliampere_hours(),
                    "mAh",
                ),
            ],
            result: rate.in_per_hour(),
            unit: "C",
        });
    }

    fn punch_figures(&mut self, battery: &BatteryModel, punch: &OperatingPoint, row: &mut [f64]) {
        let bus_v = punch.bus_voltage.in_volts();
        row[Outcome::PunchVolts as usize] = bus_v;
        let resting_v = {
            let state_charge = (self.model.situation.reserve
                + self.of(self.model.situation.landing_error))
            .clamp(0.01, 0.95);
            self.pack(battery, true, 1.0)
                .cell
                .open_circuit(state_charge)
                .in_volts()
        };
        row[Outcome::PunchSag as usize] = resting_v - bus_v / f64::from(battery.series);
        self.device_volts(bus_v, row);
    }

    /// The bus collapses: nothing on it is supplied.
    fn no_punch(&mut self, row: &mut [f64]) {
        row[Outcome::PunchVolts as usize] = 0.0;
        for load in 0..self.model.electrics.loads.len() {
            row[load_outcome(self.model, load)] = 0.0;
        }
    }

    /// Currents out of the rails in ordinary flight, and with everything at its peak.
    fn rail_loads(&mut self, bus_v: f64, row: &mut [f64]) {
        let electrics = &self.model.electrics;
        let settled = &mut self.scratch.settled;
        for (offset, demand) in [(0, Demand::Usual), (1, Demand::Peak)] {
            settled.settle(electrics, self.draw, bus_v, demand);
            for rail in 0..electrics.rails.len() {
                row[rail_outcome(rail) + offset] = settled.rail_a[rail];
            }
        }
        for (at, rail) in electrics.rails.iter().enumerate() {
            let label_a = rail.continuous_a.unwrap_or(f64::NAN);
            row[rail_outcome(at) + 2] = label_a - row[rail_outcome(at)];
        }
    }

    fn device_volts(&mut self, bus_v: f64, row: &mut [f64]) {
        let electrics = &self.model.electrics;
        let settled = &mut self.scratch.settled;
        settled.settle(electrics, self.draw, bus_v, Demand::Peak);
        for rail in 0..electrics.rails.len() {
            row[rail_outcome(rail) + 3] = settled.rail_v[rail];
        }
        for (at, load) in electrics
            .loads
            .iter()
            .enumerate()
            .filter(|(_, load)| load.parent.is_some())
        {
            row[load_outcome(self.model, at)] = settled.load_v[at];
            let load_v = settled.load_v[at];
            self.chain
                .note(|| device_step(self.model, self.draw, load, bus_v, load_v));
        }
    }

    fn hover_seconds(
        &mut self,
        drive: &DriveModel,
        battery: &BatteryModel,
        size: f64,
    ) -> Option<f64> {
        let reserve = (self.model.situation.reserve + self.of(self.model.situation.landing_error))
            .clamp(0.01, 0.95);
        let mass_kg = self.mass_kg;
        self.mass_kg += self
            .model
            .mass
            .battery
            .map_or(0.0, |battery| self.of(battery) * (size - 1.0));
        let state = PackState {
            name: "",
            charge: MID_CHARGE,
            cold: false,
            aged: false,
            scale: TimeScale::TenSeconds,
            size,
        };
        let source = self.pack(battery, false, size).source(
            state.charge,
            self.pack_temperature(false),
            state.scale,
        );
        let source = source.behind(Resistance::ohms(self.path_ohm(battery)));
        let hover_drive = self.quiet_drive(drive);
        let thrust_n = self.mass_kg * STANDARD_GRAVITY / f64::from(drive.rotors);
        let point = self.settle(source, Demand::Usual, |conditions| {
            at_thrust(&hover_drive, Force::newtons(thrust_n), conditions)
        });
        self.mass_kg = mass_kg;
        Some(
            self.discharge(battery, point?.0.bus_power.in_watts(), reserve, size)
                .time
                .in_seconds(),
        )
    }

    /// The hover drive without a word to the chain.
    fn quiet_drive(&mut self, model: &DriveModel) -> Drive {
        let mut deaf = crate::chain::Deaf;
        Run {
            model: self.model,
            draw: self.draw,
            density: self.density,
            mass_kg: self.mass_kg,
            scratch: self.scratch,
            chain: &mut deaf,
        }
        .drive(model, false)
    }

    fn pack_worth(&mut self, drive: &DriveModel, battery: &BatteryModel, row: &mut [f64]) {
        if self.model.mass.battery.is_none() {
            return;
        }
        if let Some(more) = self.hover_seconds(drive, battery, MORE_BATTERY) {
            row[Outcome::PackWorth as usize] = more - row[Outcome::HoverTime as usize];
        }
    }
}
