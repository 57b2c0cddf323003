//! Balance, inertia, and how the craft answers its motors, in one draw.

use super::*;
use crate::model::SpaceModel;
use fit::MassProperties;
use flight::handling::authority::{Axis, authority};
use flight::handling::rate_loop::loop_gain_rad_s2;
use flight::handling::rotor_lag::{Inertias, Rotor as Turning};
use flight::handling::trim::{Hover, Rotor, ThrustCurve};

/// Square millimetres in a square metre.
const MM2: f64 = 1e6;

impl<C: Chain> Run<'_, '_, C> {
    /// Centre of gravity and inertia about it. Wire, solder and what else the scale sees beyond the listed parts are taken as spread like them.
    pub(super) fn balance(&mut self, row: &mut [f64]) -> Option<MassProperties> {
        let space = self.model.space.as_ref()?;
        let bodies: Vec<MassProperties> = space
            .bodies
            .iter()
            .map(|body| {
                let mass_kg = self.of(body.mass) * body.copies;
                let moved_m = space.moved_m(&body.carried_by, self.draw, body.centre_m);
                MassProperties {
                    mass_kg,
                    centre_m: [0, 1, 2].map(|axis| body.centre_m[axis] + moved_m[axis]),
                    inertia_kg_m2: body
                        .inertia_m2
                        .map(|line| line.map(|moment| moment * mass_kg)),
                }
            })
            .collect();
        let mut whole = MassProperties::sum(&bodies)?;
        let scale = self.mass_kg / whole.mass_kg;
        whole.mass_kg = self.mass_kg;
        whole.inertia_kg_m2 = whole
            .inertia_kg_m2
            .map(|line| line.map(|moment| moment * scale));
        let [x, y, z] = whole.centre_m;
        let i = whole.inertia_kg_m2;
        for (outcome, value) in [
            (Outcome::CgX, 1e3 * x),
            (Outcome::CgY, 1e3 * y),
            (Outcome::CgZ, 1e3 * z),
            (Outcome::Ixx, MM2 * i[0][0]),
            (Outcome::Iyy, MM2 * i[1][1]),
            (Outcome::Izz, MM2 * i[2][2]),
            (Outcome::Ixy, MM2 * i[0][1]),
            (Outcome::Ixz, MM2 * i[0][2]),
            (Outcome::Iyz, MM2 * i[1][2]),
        ] {
            row[outcome as usize] = value;
        }
        self.note_balance(space, &bodies, &whole);
        Some(whole)
    }

    /// Lag, gain and spread of commands about the hover point.
    pub(super) fn handling(
        &mut self,
        drive: &DriveModel,
        hover_drive: &Drive,
        hover: &OperatingPoint,
        whole: &MassProperties,
        row: &mut [f64],
    ) {
        let Some(space) = self.model.space.as_ref() else {
            return;
        };
        let kappa_m = hover.torque.in_newton_metres() / hover.thrust.in_newtons();
        let slope_n = self.lag(drive, hover_drive, hover, kappa_m, row);
        let centre_m = [whole.centre_m[0], whole.centre_m[1]];
        let rotors: Vec<Rotor> = space
            .rotors
            .iter()
            .map(|rotor| rotor.about(centre_m))
            .collect();
        let i = whole.inertia_kg_m2;
        let moments = [i[0][0], i[1][1], i[2][2]];
        if moments
            .iter()
            .any(|moment| moment.is_nan() || *moment <= 0.0)
        {
            return;
        }
        let full_n = row[Outcome::ThrustFull as usize] * self.mass_kg * STANDARD_GRAVITY
            / f64::from(drive.rotors);
        // Where the settings make thrust proportional to command, it is so up to full command.
        let slope_n = if self.model.rate_loop.is_linear {
            Some(full_n)
        } else {
            slope_n
        };
        if let Some(slope_n) = slope_n.filter(|slope| slope.is_finite()) {
            let levers = |lever: fn(&Rotor) -> f64| rotors.iter().map(lever).collect::<Vec<_>>();
            let kappas = vec![kappa_m; rotors.len()];
            let gains = [
                levers(|rotor| rotor.y_m.abs()),
                levers(|rotor| rotor.x_m.abs()),
                kappas,
            ];
            let outcomes = [Outcome::RollGain, Outcome::PitchGain, Outcome::YawGain];
            for ((levers, moment), outcome) in gains.iter().zip(moments).zip(outcomes) {
                row[outcome as usize] = loop_gain_rad_s2(levers, slope_n, moment);
            }
            if let Some(curve) = curve_through(hover, slope_n) {
                let hover = Hover {
                    rotors: &rotors,
                    kappa_m,
                    curve,
                    mass_kg: self.mass_kg,
                };
                if let Ok(trim) = hover.trim() {
                    row[Outcome::HoverSpread as usize] = 100.0 * trim.command_spread;
                }
            }
        }
        if full_n.is_finite() && full_n > 0.0 {
            let curve = ThrustCurve {
                thrust_max_n: full_n,
                shape: 1.0,
            };
            let hover = Hover {
                rotors: &rotors,
                kappa_m,
                curve,
                mass_kg: self.mass_kg,
            };
            if let Ok(can) = authority(&hover, space.least_thrust * full_n, moments) {
                control(
                    &can.roll,
                    Outcome::RollControl,
                    Some(Outcome::RollEvenness),
                    row,
                );
                control(
                    &can.pitch,
                    Outcome::PitchControl,
                    Some(Outcome::PitchEvenness),
                    row,
                );
                control(&can.yaw, Outcome::YawControl, None, row);
            }
        }
    }

    /// Writes the lag and gives thrust over command near hover \[N\].
    fn lag(
        &mut self,
        drive: &DriveModel,
        hover_drive: &Drive,
        hover: &OperatingPoint,
        kappa_m: f64,
        row: &mut [f64],
    ) -> Option<f64> {
        let turning = self.model.space.as_ref()?.turning?;
        let ring_kg = self.of(turning.motor) * self.of(turning.ring_share);
        let inertias = Inertias::of(
            ring_kg,
            turning.ring_m,
            self.of(turning.propeller),
            drive.diameter_m,
            self.of(turning.propeller_share),
        );
        let rotor = Turning {
            inertia_kg_m2: inertias.total_kg_m2(),
            kv_rpm_per_v: hover_drive.motor.velocity_constant.in_rpm_per_volt(),
            resistance_ohm: hover_drive.motor.resistance.in_ohms(),
            thrust_n: hover.thrust.in_newtons(),
            kappa_m,
            speed_rpm: hover.rotation.in_rpm(),
        };
        let lag = rotor.lag();
        row[Outcome::MotorLag as usize] = 1e3 * lag.tau_s;
        self.chain.note(|| Step {
            id: Outcome::MotorLag.id().into(),
            what: "lag of motor and propeller near hover".into(),
            formula: "J / (K²/R + 2 k_Q ω), K = 60/(2π Kv)",
            uses: vec![
                given(
                    "bell ring and propeller, J",
                    1e9 * rotor.inertia_kg_m2,
                    "g·mm²",
                ),
                given("Kv", rotor.kv_rpm_per_v, "rpm/V"),
                given("winding, R", 1e3 * rotor.resistance_ohm, "mΩ"),
                given("torque over thrust", 1e3 * kappa_m, "mm"),
                step(
                    "hover speed",
                    Outcome::HoverSpeed.id(),
                    rotor.speed_rpm,
                    "rpm",
                ),
            ],
            result: 1e3 * lag.tau_s,
            unit: "ms",
        });
        let slope_n = lag.thrust_n_per_v * hover.bus_voltage.in_volts();
        (slope_n.is_finite() && slope_n > 0.0).then_some(slope_n)
    }

    fn note_balance(
        &mut self,
        space: &SpaceModel,
        bodies: &[MassProperties],
        whole: &MassProperties,
    ) {
        let named = [
            (Outcome::CgX, 0, "forward"),
            (Outcome::CgY, 1, "to the left"),
            (Outcome::CgZ, 2, "up"),
        ];
        for (outcome, axis, way) in named {
            self.chain.note(|| Step {
                id: outcome.id().into(),
                what: outcome.info().name,
                formula: "Σ mass × place / Σ mass",
                uses: space
                    .bodies
                    .iter()
                    .zip(bodies)
                    .map(|(body, properties)| {
                        let name = format!("{:.2} g {way} by", 1e3 * properties.mass_kg);
                        term(&name, body.mass, 1e3 * properties.centre_m[axis], "mm")
                    })
                    .collect(),
                result: 1e3 * whole.centre_m[axis],
                unit: "mm",
            });
        }
    }
}

fn control(axis: &Axis, weaker: Outcome, evenness: Option<Outcome>, row: &mut [f64]) {
    row[weaker as usize] = axis.plus.held_rad_s2.min(axis.minus.held_rad_s2);
    if let Some(evenness) = evenness {
        row[evenness as usize] = axis.evenness();
    }
}

/// The curve `T = T_max·(a·u + (1 − a)·u²)` that passes through hover with the slope that motor and propeller have there.
fn curve_through(hover: &OperatingPoint, slope_n: f64) -> Option<ThrustCurve> {
    let (u, thrust_n) = (hover.duty, hover.thrust.in_newtons());
    let r = thrust_n / (slope_n * u);
    let bent = u * (2.0 * r - 1.0);
    let shape = (bent / ((1.0 - r) + bent)).clamp(0.0, 1.0);
    let thrust_max_n = thrust_n / (shape * u + (1.0 - shape) * u * u);
    (thrust_max_n.is_finite() && thrust_max_n > 0.0).then_some(ThrustCurve {
        thrust_max_n,
        shape,
    })
}
