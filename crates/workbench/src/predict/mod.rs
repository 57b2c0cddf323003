//! One draw of one craft, from its masses to its volts: a plain function of definite numbers.
//!
//! Every result is noted in a [`Chain`] with its formula, so that `explain` shows the very
//! calculation the ensemble ran.

pub mod air;
mod battery;
mod drive;
mod figures;
mod handling;
mod notes;

use self::notes::{device_step, given, step, term};
use crate::chain::{Chain, Deaf, Step};
use crate::electrics::{Demand, Settled, lead_ohm};
use crate::input::{Draw, Term};
use crate::model::{
    BatteryModel, CellResistance, Class, DriveModel, Goodness, MassModel, Model, Weighed,
};
use crate::outcome::{Outcome, OutcomeInfo};
use fit::MassProperties;
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
    let links = model.links.iter().flat_map(|link| {
        [
            (
                format!("link.{}.range_m", link.name),
                format!("range of {} in the open", link.name),
                "m",
            ),
            (
                format!("link.{}.spare_db", link.name),
                format!("to spare on {} at its distance", link.name),
                "dB",
            ),
            (
                format!("link.{}.radiated_mw", link.name),
                format!("radiated on {}", link.name),
                "mW",
            ),
            (
                format!("link.{}.near_ground_low_m", link.name),
                format!(
                    "range of {} near the ground, in the worst of places",
                    link.name
                ),
                "m",
            ),
            (
                format!("link.{}.near_ground_high_m", link.name),
                format!(
                    "range of {} near the ground, in the best of places",
                    link.name
                ),
                "m",
            ),
        ]
    });
    fixed
        .chain(
            rails
                .chain(loads)
                .chain(links)
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

/// Outcomes of one link: range, spare, radiated power, range near the ground in the worst and in the best of places.
const OF_LINK: usize = 5;

/// Position of a link's first outcome.
pub fn link_outcome(model: &Model, link: usize) -> usize {
    load_outcome(model, model.electrics.loads.len()) + OF_LINK * link
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
    let Some(mut run) = Run::begin(model, draw, row, scratch, chain) else {
        return;
    };
    run.electronics(row);
    run.top_volts(row);
    run.air(row);
    let whole = run.balance(row);
    if let (Some(drive), Some(battery)) = (&model.drive, &model.battery) {
        run.flight(drive, battery, whole, row);
    }
}

/// Hover time with the battery scaled in mass, capacity and strength, everything else as it is.
pub fn hover_time_with_battery(model: &Model, draw: Draw<'_>, scale: f64) -> Option<f64> {
    let (drive, battery) = (model.drive.as_ref()?, model.battery.as_ref()?);
    let mut row = vec![f64::NAN; Outcome::ALL.len()];
    let (mut scratch, mut deaf) = (Scratch::default(), Deaf);
    let mut run = Run::begin(model, draw, &mut row, &mut scratch, &mut deaf)?;
    let hover_drive = run.drive(drive, false);
    run.hover_seconds(&hover_drive, battery, scale)
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
        Weighed::Changed { before, off, on } => draw.of(*before) - sum(off) + sum(on),
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
                .collect();
                (
                    "weighed before − parts and wires off + parts and wires on",
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
}

impl<'a, 'd, C: Chain> Run<'a, 'd, C> {
    /// Mass and air, which everything else stands on; none where the air is outside the standard's range.
    fn begin(
        model: &'a Model,
        draw: Draw<'d>,
        row: &mut [f64],
        scratch: &'a mut Scratch,
        chain: &'a mut C,
    ) -> Option<Self> {
        let mass_kg = mass(&model.mass, draw, row, chain);
        let density = density(model, draw, chain)?;
        Some(Self {
            model,
            draw,
            density,
            mass_kg,
            scratch,
            chain,
        })
    }
}

/// Air density on the day \[kg/m³\].
fn density<C: Chain>(model: &Model, draw: Draw<'_>, chain: &mut C) -> Option<f64> {
    let situation = &model.situation;
    let air_k = draw.of(situation.air);
    let air = Air::at(
        Length::metres(situation.altitude_m),
        Temperature::kelvins(air_k),
    );
    let density = air.ok()?.density.in_kilograms_per_cubic_metre();
    chain.note(|| Step {
        id: "air.density".into(),
        what: "air density".into(),
        formula: "pressure of the standard atmosphere at the altitude / (287.05 × temperature)",
        uses: vec![
            given("altitude", situation.altitude_m, "m"),
            term("air temperature", situation.air, air_k - 273.15, "°C"),
        ],
        result: density,
        unit: "kg/m³",
    });
    Some(density)
}

impl<C: Chain> Run<'_, '_, C> {
    fn of(&self, term: Term) -> f64 {
        self.draw.of(term)
    }

    /// Charge at which this draw lands: the plan and how far off it people are.
    fn reserve(&self) -> f64 {
        let situation = &self.model.situation;
        (situation.reserve + self.of(situation.landing_error)).clamp(0.01, 0.95)
    }

    fn flight(
        &mut self,
        drive: &DriveModel,
        battery: &BatteryModel,
        whole: Option<MassProperties>,
        row: &mut [f64],
    ) {
        let reserve = self.reserve();
        let usual = |name, charge| PackState {
            name,
            charge,
            cold: false,
            aged: false,
            scale: TimeScale::TenSeconds,
        };
        let hover_drive = self.drive(drive, false);
        let full_drive = self.drive(drive, true);
        self.pack_figures(battery, row);

        let mut at_half = None;
        if let Some((hover, electronics_w)) = self.hover(
            drive,
            &hover_drive,
            battery,
            usual("half charge", MID_CHARGE),
        ) {
            at_half = Some(hover);
            self.hover_figures(drive, &hover, row);
            self.rail_loads(hover.bus_voltage.in_volts(), row);
            self.endurance(battery, &hover, electronics_w, row);
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
        self.pack_worth(&hover_drive, battery, row);
        if let (Some(whole), Some(hover)) = (whole, at_half) {
            self.handling(drive, &hover_drive, &hover, &whole, row);
        }
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
}
