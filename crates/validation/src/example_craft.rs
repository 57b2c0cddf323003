//! Two invented craft on which the ensemble is tried: a small non-linear model with 28 inputs.
//!
//! This is a fixture, not a model of the program: plain numbers, no units, and simpler than `power`
//! and `flight`. It stands on its own so that a change of the physics cannot move the cases of the
//! statistics. Rotor power from momentum theory with a figure of merit, motor and pack as resistances
//! behind ideal sources, the speed controller as a converter with one efficiency.

use std::f64::consts::{PI, TAU};

use crate::cell::{number, rows};

const INPUTS: &str = include_str!("../data/calibration-inputs.csv");

/// Uncertain inputs, in the order of the table.
pub(crate) const INPUT_COUNT: usize = 28;

/// What a refit leaves: in the order of [`Craft::after`].
pub(crate) const AFTER: [&str; 8] = [
    "a_mass_g",
    "a_cmd_mid",
    "a_I_A",
    "a_min",
    "a_TW",
    "a_Vpunch",
    "a_P_W",
    "a_cmd_end",
];

/// What can be read on the craft as it flies today: in the order of [`Craft::before`].
pub(crate) const BEFORE: [&str; 10] = [
    "b_mass_g",
    "b_cmd",
    "b_I_A",
    "b_V",
    "b_min",
    "b_sag_V",
    "b_rpm",
    "b_thrust_g",
    "b_rest_V",
    "b_mAh",
];

const GRAVITY: f64 = 9.806_65;
const GAS_CONSTANT: f64 = 8.314;
const ROTORS: f64 = 4.0;
const PANELS: usize = 40;

/// Resting volts of a 4.20 V polymer cell at 0, 10, … 100 % of charge.
const RESTING_V: [f64; 11] = [
    3.000, 3.640, 3.695, 3.733, 3.762, 3.793, 3.836, 3.909, 3.994, 4.088, 4.200,
];

/// One of the two craft.
pub(crate) struct Craft {
    cells: f64,
    diameter_m: f64,
    landing_v: f64,
    inputs: Vec<Input>,
}

struct Input {
    name: &'static str,
    kind: &'static str,
    a: f64,
    s: f64,
}

/// The inputs of one draw, by name.
struct Draw {
    keep_g: f64,
    old_g: f64,
    new_g: f64,
    pack_g: f64,
    kv: f64,
    motor_ohm: f64,
    idle_a: f64,
    thrust_coefficient: f64,
    power_coefficient: f64,
    esc_efficiency: f64,
    old_w: f64,
    new_w: f64,
    cell_25_ohm: f64,
    plug_ohm: f64,
    charge_ah: f64,
    before_c: f64,
    after_c: f64,
    activation_j: f64,
    air: f64,
    offset_v: f64,
    idle_command: f64,
    free_thrust: f64,
    charge_at_reading: f64,
    charge_full: f64,
    full_thrust: f64,
    full_power: f64,
    sustained: f64,
}

/// A hover at one state of charge.
struct Hover {
    command: f64,
    bus_a: f64,
    bus_v: f64,
    motor_v: f64,
    power_w: f64,
    turns: f64,
}

impl Craft {
    /// The 75 mm ducted craft of one cell.
    pub(crate) fn d75() -> Self {
        Self::named(3, 1.0, 0.040)
    }

    /// The 3-inch open craft of four cells.
    pub(crate) fn t76() -> Self {
        Self::named(5, 4.0, 0.0762)
    }

    fn named(column: usize, cells: f64, diameter_m: f64) -> Self {
        let input = |row: Vec<&'static str>| Input {
            name: row[1],
            kind: row[3],
            a: number(row[column + 1]),
            s: number(row[column + 2]),
        };
        let inputs: Vec<Input> = rows(INPUTS).map(input).collect();
        assert_eq!(inputs.len(), INPUT_COUNT);
        Self {
            cells,
            diameter_m,
            landing_v: 3.5,
            inputs,
        }
    }

    /// Names of the inputs.
    pub(crate) fn input_names(&self) -> Vec<&'static str> {
        self.inputs.iter().map(|input| input.name).collect()
    }

    /// What can be read today.
    pub(crate) fn before(&self, scores: &[f64]) -> [f64; 10] {
        let x = self.draw(scores);
        let mass_g = x.keep_g + x.old_g + x.pack_g;
        let charge = x.charge_at_reading.clamp(0.02, 1.0);
        let ohm = x.hot_ohm(x.before_c, 1.0);
        let hover = self.hover(&x, mass_g, x.old_w, self.rest_v(&x, charge), ohm);
        let (punch_v, _) = self.full_command(&x, x.old_w, self.rest_v(&x, charge), ohm);
        let (_, turns) = self.full_command(&x, x.old_w, self.rest_v(&x, 0.95), ohm);
        let end = self.landing_charge(&x, hover.power_w, x.before_c);
        [
            mass_g,
            hover.command,
            hover.bus_a,
            hover.bus_v,
            self.minutes(&x, hover.power_w, x.before_c),
            hover.bus_v - punch_v,
            hover.turns * 60.0,
            self.full_thrust_g(&x, turns),
            self.rest_v(&x, charge),
            1_000.0 * x.charge_ah * (x.charge_full - end),
        ]
    }

    /// What the refit leaves.
    pub(crate) fn after(&self, scores: &[f64]) -> [f64; 8] {
        let x = self.draw(scores);
        let mass_g = x.keep_g + x.new_g + x.pack_g;
        let ohm = x.hot_ohm(x.after_c, 1.0);
        let hover = self.hover(&x, mass_g, x.new_w, self.rest_v(&x, 0.5), ohm);
        let (_, turns) = self.full_command(&x, x.new_w, self.rest_v(&x, 0.8), ohm);
        let (punch_v, _) = self.full_command(&x, x.new_w, self.rest_v(&x, 0.2), ohm);
        let landing_bus_v = self.cells * self.landing_v;
        [
            mass_g,
            hover.command,
            hover.bus_a,
            self.minutes(&x, hover.power_w, x.after_c),
            self.full_thrust_g(&x, turns) / mass_g,
            punch_v,
            hover.power_w,
            x.idle_command + (1.0 - x.idle_command) * hover.motor_v / landing_bus_v,
        ]
    }

    fn draw(&self, scores: &[f64]) -> Draw {
        let x = |i: usize| self.inputs[i].at(scores[i]);
        let thrust_coefficient = x(7);
        Draw {
            keep_g: x(0),
            old_g: x(1),
            new_g: x(2),
            pack_g: x(3),
            kv: x(4) * TAU / 60.0,
            motor_ohm: x(5),
            idle_a: x(6),
            thrust_coefficient,
            power_coefficient: thrust_coefficient.powf(1.5) * (2.0 / PI).sqrt() / (x(8) * x(9)),
            esc_efficiency: x(10),
            old_w: x(11),
            new_w: x(12),
            cell_25_ohm: x(13),
            plug_ohm: x(14),
            charge_ah: x(15),
            before_c: x(16),
            after_c: x(17),
            activation_j: x(18) * 1_000.0,
            air: x(19),
            offset_v: x(20),
            idle_command: x(21),
            free_thrust: x(22),
            charge_at_reading: x(23),
            charge_full: x(24),
            full_thrust: x(25).exp(),
            full_power: x(26).exp(),
            sustained: x(27),
        }
    }

    fn rest_v(&self, x: &Draw, charge: f64) -> f64 {
        self.cells * (resting_v(charge) + x.offset_v)
    }

    fn hover(&self, x: &Draw, mass_g: f64, avionics_w: f64, rest_v: f64, ohm: f64) -> Hover {
        let thrust_n = mass_g * 1e-3 * GRAVITY / (ROTORS * x.free_thrust);
        let turns = (thrust_n / (x.thrust_coefficient * x.air * self.diameter_m.powi(4))).sqrt();
        let torque = x.power_coefficient * self.torque_unit(x) * turns * turns;
        let motor_a = x.kv * torque + x.idle_a;
        let motor_v = motor_a * x.motor_ohm + TAU * turns / x.kv;
        let power_w = ROTORS * motor_v * motor_a / x.esc_efficiency + avionics_w;
        let bus_v = bus_v(rest_v, ohm, power_w);
        Hover {
            command: x.idle_command + (1.0 - x.idle_command) * motor_v / bus_v,
            bus_a: power_w / bus_v,
            bus_v,
            motor_v,
            power_w,
            turns,
        }
    }

    /// Torque at a power coefficient of one and one turn in a second.
    fn torque_unit(&self, x: &Draw) -> f64 {
        x.air * self.diameter_m.powi(5) / TAU
    }

    /// Bus volts and turns in a second at full command: the upper root of
    /// V = E − R(N·I(V)/η + P/V), by Newton's method from E. The difference is convex, so the
    /// steps only go down; NaN if they run out of volts.
    fn full_command(&self, x: &Draw, avionics_w: f64, rest_v: f64, ohm: f64) -> (f64, f64) {
        let drag = x.kv * x.power_coefficient * x.full_power * self.torque_unit(x);
        let (quadratic, linear) = (drag * x.motor_ohm, TAU / x.kv);
        let mut v = rest_v;
        for _ in 0..60 {
            let free_v = v - x.idle_a * x.motor_ohm;
            let root = (linear * linear + 4.0 * quadratic * free_v).sqrt();
            let turns = (root - linear) / (2.0 * quadratic);
            let motors_a = ROTORS * (drag * turns * turns + x.idle_a) / x.esc_efficiency;
            let slope = ROTORS * 2.0 * drag * turns / root / x.esc_efficiency;
            let miss = v - rest_v + ohm * (motors_a + avionics_w / v);
            let step = miss / (1.0 + ohm * (slope - avionics_w / (v * v)));
            v -= step;
            if step.abs() < 1e-12 * rest_v {
                return (v, turns);
            }
        }
        (f64::NAN, f64::NAN)
    }

    fn full_thrust_g(&self, x: &Draw, turns: f64) -> f64 {
        let coefficient = x.thrust_coefficient * x.full_thrust;
        let newtons = ROTORS * coefficient * x.air * turns * turns * self.diameter_m.powi(4);
        newtons * x.free_thrust / GRAVITY * 1_000.0
    }

    /// State of charge at which the loaded pack is down to the landing volts.
    fn landing_charge(&self, x: &Draw, power_w: f64, celsius: f64) -> f64 {
        let amperes = power_w / (self.cells * self.landing_v);
        let cell_ohm = x.hot_ohm(celsius, x.sustained) / self.cells;
        charge_at(self.landing_v + cell_ohm * amperes - x.offset_v)
    }

    fn minutes(&self, x: &Draw, power_w: f64, celsius: f64) -> f64 {
        let end = self.landing_charge(x, power_w, celsius);
        if end >= x.charge_full {
            return 0.0;
        }
        let ohm = x.hot_ohm(celsius, x.sustained);
        let panel = (x.charge_full - end) / PANELS as f64;
        let volts: f64 = (0..PANELS)
            .map(|i| end + (i as f64 + 0.5) * panel)
            .map(|charge| bus_v(self.rest_v(x, charge), ohm, power_w))
            .sum();
        60.0 * x.charge_ah * volts * panel / power_w
    }
}

impl Input {
    fn at(&self, z: f64) -> f64 {
        match self.kind {
            "lognormal" => self.a * (self.s * z).exp(),
            "normal" => self.a + self.s * z,
            "oneminus" => 1.0 - self.a * (self.s * z).exp(),
            other => panic!("no such kind of input: {other}"),
        }
    }
}

impl Draw {
    fn hot_ohm(&self, celsius: f64, factor: f64) -> f64 {
        let inverse = 1.0 / (celsius + 273.15) - 1.0 / 298.15;
        self.cell_25_ohm * factor * (self.activation_j / GAS_CONSTANT * inverse).exp()
            + self.plug_ohm
    }
}

/// Volts of a source under constant power; NaN beyond what it can give.
fn bus_v(rest_v: f64, ohm: f64, power_w: f64) -> f64 {
    (rest_v + (rest_v * rest_v - 4.0 * ohm * power_w).sqrt()) / 2.0
}

fn resting_v(charge: f64) -> f64 {
    let place = charge.clamp(0.0, 1.0) * 10.0;
    let row = (place as usize).min(9);
    RESTING_V[row] + (place - row as f64) * (RESTING_V[row + 1] - RESTING_V[row])
}

fn charge_at(resting: f64) -> f64 {
    let row = RESTING_V.partition_point(|v| *v <= resting).clamp(1, 10) - 1;
    let part = (resting - RESTING_V[row]) / (RESTING_V[row + 1] - RESTING_V[row]);
    ((row as f64 + part) / 10.0).clamp(0.0, 1.0)
}
