//! Our side of `cargo xtask bench`: the problem of `bench/peer/ensemble.py`, by our own kernels.
//!
//! The same craft, the same spreads, the same number of draws, one thread; our own points instead of
//! theirs. The clock runs over building each draw's inputs and solving it, not over making points.

#![expect(
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock; no part of the program does"
)]

use flight::motor::Motor;
use flight::operating_point::{BusSource, Conditions, Drive, at_full_command, at_thrust};
use flight::propeller::Propeller;
use power::cell::Cell;
use power::chemistry::Chemistry;
use power::discharge::discharge;
use power::pack::Pack;
use quantity::{
    Charge, Current, Density, Ensemble, Force, Length, MolarEnergy, Power, Resistance, Temperature,
    VelocityConstant, Voltage,
};
use rayon::prelude::*;
use serde_json::json;
use std::hint::black_box;
use std::time::Instant;

const DRAWS: usize = Ensemble::USUAL_DRAWS;
const REPEATS: usize = 200;
const ROTORS: u32 = 4;
const DIAMETER_MM: f64 = 51.0;
const SERIES: u32 = 2;
/// Volts of each cell under load at which the hover ends.
const LANDING: Voltage = Voltage::volts(3.5);
/// Any temperature: these cells do not stiffen.
const ROOM: Temperature = Temperature::celsius(25.0);

/// Standard gravity [m/s²]. 3rd CGPM, 1901; exact.
const STANDARD_GRAVITY: f64 = 9.806_65;

/// The inputs in the order of the peer's fields: centre in SI (Kv in rpm/V), and one standard
/// deviation as a share of it.
const INPUTS: [(f64, f64); 12] = [
    (0.075, 0.02),  // mass
    (0.19, 0.10),   // thrust coefficient
    (0.13, 0.10),   // power coefficient
    (8000.0, 0.05), // Kv
    (0.15, 0.20),   // motor resistance
    (0.2, 0.30),    // no-load current
    (0.95, 0.02),   // controller efficiency, in its own unit and not as a share
    (4.0, 0.20),    // load beside the motors
    (7.586, 0.01),  // pack without current
    (0.05, 0.30),   // pack resistance
    (1.225, 0.02),  // density
    (0.423, 0.04),  // capacity [Ah]
];
const EFFICIENCY: usize = 6;
const MOST_EFFICIENCY: f64 = 0.99;

/// One draw: the rotors, what they work in and the thrust of one in a hover.
struct Draw {
    drive: Drive,
    conditions: Conditions,
    weight: Force,
    pack: Pack,
}

/// The two answers for one draw that the peer gives too; not a number where there is no point.
type Answers = [f64; 2];

fn main() {
    let columns = columns();
    let (hover_s, hover) = best_of(|| solve(&columns, hover));
    let (full_s, full) = best_of(|| solve(&columns, full));
    let (time_s, time) = best_of(|| solve(&columns, time));
    let (cores_s, _) = best_of(|| on_all_cores(&columns));
    let numbers = json!({
        "draws": DRAWS,
        "seconds": { "hover/fitout": hover_s, "full/fitout": full_s, "time/fitout": time_s,
            "ensemble/fitout": hover_s + full_s + time_s, "ensemble/fitout all cores": cores_s },
        "medians": {
            "hover.bus_v": median(&hover, 0),
            "hover.duty": median(&hover, 1),
            "full.bus_v": median(&full, 0),
            "full.thrust_to_weight": median(&full, 1),
            "time.hover_s": median(&time, 0),
            "time.charge_left": median(&time, 1),
        },
    });
    println!("{numbers}");
}

/// Log-normal inputs, the efficiency normal and capped: one column for each of [`INPUTS`].
fn columns() -> Vec<Vec<f64>> {
    let ensemble = Ensemble::sobol(1, DRAWS, INPUTS.len());
    let column = |(input, (centre, spread)): (usize, &(f64, f64))| {
        let value = |z: &f64| match input {
            EFFICIENCY => (centre + spread * z).min(MOST_EFFICIENCY),
            _ => centre * (spread * z).exp(),
        };
        ensemble.scores(input).iter().map(value).collect()
    };
    INPUTS.iter().enumerate().map(column).collect()
}

fn draw(columns: &[Vec<f64>], row: usize) -> Draw {
    let [
        mass,
        ct,
        cp,
        kv,
        ohm,
        no_load,
        eta,
        load,
        emf,
        pack,
        density,
        capacity,
    ] = std::array::from_fn(|input| columns[input][row]);
    let motor = Motor {
        velocity_constant: VelocityConstant::rpm_per_volt(kv),
        resistance: Resistance::ohms(ohm),
        no_load_current: Current::amperes(no_load),
        no_load_slope_a_per_v: 0.0,
    };
    let source = BusSource {
        emf: Voltage::volts(emf),
        resistance: Resistance::ohms(pack),
    };
    Draw {
        drive: Drive {
            rotors: ROTORS,
            propeller: Propeller::constant(Length::millimetres(DIAMETER_MM), ct, cp),
            motor,
            esc_efficiency: eta,
        },
        conditions: Conditions {
            density: Density::kilograms_per_cubic_metre(density),
            source,
            avionics: Power::watts(load),
        },
        weight: Force::newtons(mass * STANDARD_GRAVITY / f64::from(ROTORS)),
        pack: Pack {
            cell: Cell {
                chemistry: Chemistry::LithiumPolymer,
                capacity: Charge::ampere_hours(capacity),
                resistance: source.resistance / f64::from(SERIES),
                activation_energy: MolarEnergy::joules_per_mole(0.0),
                sustained_ratio: 1.0,
                low_charge_rise: 0.0,
                open_circuit_offset: Voltage::volts(0.0),
            },
            series: SERIES,
            parallel: 1,
        },
    }
}

fn hover(draw: &Draw) -> Answers {
    let point = at_thrust(&draw.drive, draw.weight, &draw.conditions);
    point.map_or([f64::NAN; 2], |point| {
        [point.bus_voltage.in_volts(), point.duty]
    })
}

fn full(draw: &Draw) -> Answers {
    let point = at_full_command(&draw.drive, 1.0, &draw.conditions);
    point.map_or([f64::NAN; 2], |point| {
        [point.bus_voltage.in_volts(), point.thrust / draw.weight]
    })
}

/// Hover time to the landing volts, and the charge left.
fn time(draw: &Draw) -> Answers {
    let Ok(point) = at_thrust(&draw.drive, draw.weight, &draw.conditions) else {
        return [f64::NAN; 2];
    };
    let spent = discharge(
        &draw.pack,
        Resistance::ohms(0.0),
        point.bus_power,
        1.0,
        LANDING,
        0.0,
        ROOM,
    );
    [spent.time.in_seconds(), spent.end_charge]
}

fn solve(columns: &[Vec<f64>], one: impl Fn(&Draw) -> Answers) -> Vec<Answers> {
    (0..DRAWS).map(|row| one(&draw(columns, row))).collect()
}

/// All three problems for every draw on all cores, as `fitout check` runs its ensemble.
fn on_all_cores(columns: &[Vec<f64>]) -> Vec<[Answers; 3]> {
    let all = |row| {
        let draw = draw(columns, row);
        [hover(&draw), full(&draw), time(&draw)]
    };
    (0..DRAWS)
        .into_par_iter()
        .with_min_len(64)
        .map(all)
        .collect()
}

/// Shortest of the repeats [s], and the answer.
fn best_of<T>(mut solve: impl FnMut() -> T) -> (f64, T) {
    let mut shortest = f64::INFINITY;
    for _ in 0..REPEATS {
        let start = Instant::now();
        black_box(solve());
        shortest = shortest.min(start.elapsed().as_secs_f64());
    }
    (shortest, solve())
}

fn median(answers: &[Answers], which: usize) -> f64 {
    let values = answers.iter().map(|answer| answer[which]);
    let mut values: Vec<f64> = values.filter(|value| !value.is_nan()).collect();
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    0.5 * (values[(values.len() - 1) / 2] + values[middle])
}
