//! How quickly speed and thrust follow the command: inertia, motor and propeller near hover.
//!
//! Left out: inductance, current limits, the controller's own steps, inflow that takes its time.
//! The bus is held: with all motors at once it gives way and the lag grows; differential control
//! does not move it. Equal motors spread by ±10 %, sag and warmth shift it by ±15 % (from memory).

use std::f64::consts::{PI, TAU};

/// What turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inertias {
    /// Bell wall and magnets as a ring \[kg·m²\].
    pub bell_kg_m2: f64,
    /// Propeller \[kg·m²\].
    pub propeller_kg_m2: f64,
}

impl Inertias {
    /// Ring `½m(ro² + ri²)` and propeller `k_J·m·R²`.
    ///
    /// The ring is about half of a small motor's mass (from memory). `propeller_share` k_J: 0.23 ± 0.05
    /// for moulded propellers with a hub; blades alone 0.28–0.33.
    /// Validated: `rotor-*-bell`, `rotor-*-propeller` within 0.2 %.
    pub fn of(
        ring_kg: f64,
        ring_radii_m: [f64; 2],
        propeller_kg: f64,
        diameter_m: f64,
        propeller_share: f64,
    ) -> Self {
        let [outer, inner] = ring_radii_m;
        Self {
            bell_kg_m2: 0.5 * ring_kg * (outer * outer + inner * inner),
            propeller_kg_m2: propeller_share * propeller_kg * 0.25 * diameter_m * diameter_m,
        }
    }

    /// Both together \[kg·m²\].
    pub fn total_kg_m2(&self) -> f64 {
        self.bell_kg_m2 + self.propeller_kg_m2
    }
}

/// One motor and propeller at hover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotor {
    /// All that turns \[kg·m²\].
    pub inertia_kg_m2: f64,
    /// Kv \[rpm/V\].
    pub kv_rpm_per_v: f64,
    /// Winding, speed controller and leads \[Ω\].
    pub resistance_ohm: f64,
    /// Thrust in hover \[N\].
    pub thrust_n: f64,
    /// Torque over thrust \[m\].
    pub kappa_m: f64,
    /// Speed in hover \[rpm\].
    pub speed_rpm: f64,
}

/// The answer near hover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag {
    /// Time constant with the controller holding the motor's volts \[s\].
    pub tau_s: f64,
    /// Time constant of the fall where the controller lets the motor coast \[s\].
    pub coast_s: f64,
    /// Motor volts in hover \[V\].
    pub motor_v: f64,
    /// Motor amperes in hover \[A\].
    pub current_a: f64,
    /// Thrust over motor volts \[N/V\].
    pub thrust_n_per_v: f64,
}

/// What is waited for after a step of the motor's volts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waited {
    /// A share of the change of speed.
    Speed,
    /// The same share of the change of thrust.
    Thrust,
}

/// Whether the controller brakes a motor that turns faster than its volts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slowing {
    /// Volts are held both ways.
    Braked,
    /// No current flows backwards.
    Coasting,
}

impl Rotor {
    /// Linearised about hover.
    ///
    /// `J dω/dt = K(V − Kω)/R − k_Q ω²` gives `τ = J/(K²/R + 2k_Qω0)`,
    /// `∂T/∂V = 2k_Tω0·(K/R)/(K²/R + 2k_Qω0)` and, without current, `J/(2k_Qω0)`; `K = 60/(2π Kv)`,
    /// `k_T = T/ω0²`, `k_Q = κk_T`. Validated: `rotor-*` within 0.2 %.
    pub fn lag(&self) -> Lag {
        let (k, speed) = (self.k(), self.speed_rad_s());
        let electrical = k * k / self.resistance_ohm;
        let drag = 2.0 * self.drag() * speed;
        let current_a = self.drag() * speed * speed / k;
        Lag {
            tau_s: self.inertia_kg_m2 / (electrical + drag),
            coast_s: self.inertia_kg_m2 / drag,
            motor_v: k * speed + current_a * self.resistance_ohm,
            current_a,
            thrust_n_per_v: 2.0 * self.thrust_n / speed * (k / self.resistance_ohm)
                / (electrical + drag),
        }
    }

    /// Seconds until `share` (0…1) of the change is done after the motor's volts jump from hover by `ratio`.
    ///
    /// The torque balance is a Riccati equation and solved in closed form: with its two resting speeds
    /// `ω1 > 0 > ω2`, `t = J/(k_Q(ω1 − ω2))·ln[(ω0 − ω1)(ω − ω2)/((ω − ω1)(ω0 − ω2))]`. A coasting
    /// motor first falls by `t = J/k_Q·(1/ω − 1/ω0)` to the speed `V/K` at which it draws again.
    /// Validated: `rotor-*-step-*` within 1 % of a simulation.
    pub fn step_time_s(&self, ratio: f64, share: f64, waited: Waited, slowing: Slowing) -> f64 {
        let start = self.speed_rad_s();
        let volts = ratio * self.lag().motor_v;
        let rest = self.resting_speeds(volts);
        let end = match waited {
            Waited::Speed => start + share * (rest.0 - start),
            Waited::Thrust => (start * start + share * (rest.0 * rest.0 - start * start)).sqrt(),
        };
        let draws_at = volts / self.k();
        if slowing == Slowing::Braked || draws_at >= start {
            return self.driven_s(start, end, rest);
        }
        let fall_s = |to: f64| self.inertia_kg_m2 / self.drag() * (1.0 / to - 1.0 / start);
        if end >= draws_at {
            return fall_s(end);
        }
        fall_s(draws_at) + self.driven_s(draws_at, end, rest)
    }

    /// Where driving and dragging torque are equal at these motor volts: the speed, and the root below zero.
    fn resting_speeds(&self, volts: f64) -> (f64, f64) {
        let (k, drag) = (self.k(), self.drag());
        let damping = k * k / self.resistance_ohm;
        let drive = volts * k / self.resistance_ohm;
        let sum = damping + (damping * damping + 4.0 * drag * drive).sqrt();
        (2.0 * drive / sum, -sum / (2.0 * drag))
    }

    fn driven_s(&self, from: f64, to: f64, (rest, other): (f64, f64)) -> f64 {
        let passed = (from - rest) * (to - other) / ((to - rest) * (from - other));
        self.inertia_kg_m2 / (self.drag() * (rest - other)) * passed.ln()
    }

    /// `K` \[V·s/rad\] and \[N·m/A\].
    fn k(&self) -> f64 {
        60.0 / (TAU * self.kv_rpm_per_v)
    }

    fn speed_rad_s(&self) -> f64 {
        self.speed_rpm * PI / 30.0
    }

    /// `k_Q` \[N·m·s²\].
    fn drag(&self) -> f64 {
        self.kappa_m * self.thrust_n / self.speed_rad_s().powi(2)
    }
}
