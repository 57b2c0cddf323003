//! The one equation of full command, and its largest root.

use super::{
    Conditions, Drive, NoPoint, OperatingPoint, collapse, drawn, efficiency, loaded_bus,
    per_rotor_watt, tip_speed,
};
use crate::propeller::PER_TURN;
use quantity::{Current, Force, Power, RotationSpeed, Torque, Voltage};

/// The balance of the bus in the motor's back-EMF `e`.
///
/// `g(e) = V(e) + a·I(e) + b/V(e) − E`, bus volts `V = (e + I·R_motor)/d`, motor amperes
/// `I = c·e²·(k·e/ω_ref)^x + I00 + I01·e`, `a = R·d·N/η`, `b = R·P_av`.
///
/// `I` is convex in `e` while the torque grows at least with the speed (x ≥ −1), hence in `V` too, and so is
/// `V·g`: there are two roots at most. Where `g` rises through zero is the upper one, the branch of high
/// bus volts.
pub(super) struct Balance {
    duty: f64,
    per_duty: f64,
    emf_source_v: f64,
    per_rotor_watt: f64,
    bus_per_motor_ohm: f64,
    avionics_v2: f64,
    motor_ohm: f64,
    no_load_a: f64,
    no_load_slope: f64,
    /// Amperes for torque at one volt of back-EMF, without the Reynolds trend.
    torque_a_per_v2: f64,
    trend: Option<Trend>,
}

/// The Reynolds trend of torque and thrust.
#[derive(Clone, Copy)]
struct Trend {
    /// Speed over the propeller's reference speed, per volt of back-EMF.
    speed_per_v: f64,
    torque_exponent: f64,
    thrust_exponent: f64,
}

/// The balance and its slopes at one back-EMF.
struct Look {
    /// Amperes for torque.
    torque_a: f64,
    /// Logarithm of speed over the reference speed; zero without a trend.
    log_speed: f64,
    /// All amperes of a motor.
    motor_a: f64,
    bus_v: f64,
    balance: f64,
    slope: f64,
    curve: f64,
}

/// The root: where it is, and what the propeller does there.
pub(super) struct Root {
    emf_v: f64,
    torque_a: f64,
    log_speed: f64,
}

/// Share of the open-circuit volts at this duty about which the trend is laid out for the first guess: where
/// most craft end up.
const USUAL: f64 = 0.7;

/// Share of the open-circuit volts at which the first guess lets the avionics draw.
const USUAL_LOADED: f64 = 0.9;

/// A step of this share of the back-EMF is the last. What it leaves is of third order: 3e-11 of `e³g‴/6`,
/// which is some hundredths of the source volts and, at the brink of collapse, some times them.
const LAST_STEP: f64 = 3e-4;

impl Balance {
    #[inline]
    pub(super) fn new(drive: &Drive, duty: f64, conditions: &Conditions) -> Self {
        let (motor, propeller) = (&drive.motor, &drive.propeller);
        let k = motor.k();
        let turns_per_v = k * PER_TURN;
        let source_ohm = conditions.source.resistance.in_ohms();
        let per_rotor_watt = per_rotor_watt(drive);
        Self {
            duty,
            per_duty: 1.0 / duty,
            emf_source_v: conditions.source.emf.in_volts(),
            per_rotor_watt,
            bus_per_motor_ohm: source_ohm * duty * per_rotor_watt,
            avionics_v2: source_ohm * conditions.avionics.in_watts(),
            motor_ohm: motor.resistance.in_ohms(),
            no_load_a: motor.no_load_current.in_amperes(),
            no_load_slope: motor.no_load_slope_a_per_v,
            torque_a_per_v2: k
                * propeller.torque_scale(conditions.density)
                * (turns_per_v * turns_per_v),
            trend: propeller.has_trend().then(|| Trend {
                speed_per_v: k / propeller.reference.in_radians_per_second(),
                torque_exponent: propeller.power_exponent,
                thrust_exponent: propeller.thrust_exponent,
            }),
        }
    }

    /// The largest root as the guess leads to it, which is nearly always.
    #[inline]
    pub(super) fn solve(&self) -> Option<Root> {
        self.descend(self.guess())
    }

    /// The largest root by all means, or the reason why there is none.
    #[cold]
    pub(super) fn insist(&self, conditions: &Conditions) -> Result<Root, NoPoint> {
        match self.descend(self.top_v()) {
            Some(root) => Ok(root),
            None => self.bracketed(conditions),
        }
    }

    /// The whole state at a root.
    #[inline]
    pub(super) fn point(
        &self,
        drive: &Drive,
        root: &Root,
        conditions: &Conditions,
    ) -> OperatingPoint {
        let k = drive.motor.k();
        let current_a = self.motor_a(root.emf_v, root.torque_a);
        let motor_voltage = Voltage::volts(root.emf_v + current_a * self.motor_ohm);
        let motor_current = Current::amperes(current_a);
        let bus_voltage = motor_voltage * self.per_duty;
        let rotation = RotationSpeed::radians_per_second(k * root.emf_v);
        let shaft_power = Power::watts(root.torque_a * root.emf_v);
        let electrical = motor_voltage * motor_current;
        let bus_power = electrical * self.per_rotor_watt + conditions.avionics;
        OperatingPoint {
            rotation,
            thrust: self.thrust(drive, root, conditions),
            torque: Torque::newton_metres(root.torque_a / k),
            shaft_power,
            motor_current,
            motor_voltage,
            motor_efficiency: efficiency(shaft_power, electrical),
            duty: self.duty,
            bus_voltage,
            bus_current: drawn(bus_power, bus_voltage),
            bus_power,
            tip_speed: tip_speed(drive, rotation),
        }
    }

    /// The back-EMF of a motor without losses at the open-circuit volts: above every root.
    #[inline]
    fn top_v(&self) -> f64 {
        self.duty * self.emf_source_v
    }

    /// The root with the torque laid out to second order about the usual back-EMF and the avionics' amperes
    /// taken at usual volts. Only these are to be improved on.
    #[inline]
    fn guess(&self) -> f64 {
        let usual_v = USUAL * self.top_v();
        let m = self.torque_power();
        let torque_a = self.torque_a_per_v2 * self.trend(usual_v).1;
        let ohm = self.motor_ohm * self.per_duty + self.bus_per_motor_ohm;
        // Amperes of the motor: `square·e² + line·e + constant`. Without a trend m is 2.
        let square = 0.5 * m * (m - 1.0) * torque_a;
        let line = m * (2.0 - m) * torque_a * usual_v + self.no_load_slope;
        let constant = 0.5 * (m - 1.0) * (m - 2.0) * torque_a * usual_v * usual_v + self.no_load_a;
        let avionics = self.avionics_v2 / (USUAL_LOADED * self.emf_source_v);
        let left_v = self.emf_source_v - avionics - ohm * constant;
        let slope = self.per_duty + ohm * line;
        let root = (slope * slope + 4.0 * ohm * square * left_v).sqrt();
        2.0 * left_v / (slope + root)
    }

    /// Steps along parabolas that share value, slope and curvature with the balance (Euler's method, third
    /// order).
    #[inline]
    fn descend(&self, start_v: f64) -> Option<Root> {
        let (mut emf_v, top_v) = (start_v, self.top_v());
        for _ in 0..12 {
            let look = self.look(emf_v);
            let square = look.slope * look.slope - 2.0 * look.balance * look.curve;
            // Where the parabola has no root its tangent has one.
            let step = 2.0 * look.balance / (look.slope + square.max(0.0).sqrt());
            let next_v = emf_v - step;
            if !(look.slope > 0.0 && next_v > 0.0 && next_v <= top_v) {
                return None;
            }
            if step.abs() <= LAST_STEP * emf_v {
                return Some(self.moved(&look, emf_v, next_v));
            }
            emf_v = next_v;
        }
        None
    }

    /// The root at `root_v` from the look beside it: power and logarithm by their series, whose next terms
    /// are below 1e-14 after a last step.
    #[inline]
    fn moved(&self, look: &Look, emf_v: f64, root_v: f64) -> Root {
        let Some(Trend {
            torque_exponent: x, ..
        }) = self.trend
        else {
            return Root {
                emf_v: root_v,
                torque_a: self.torque_a_per_v2 * root_v * root_v,
                log_speed: 0.0,
            };
        };
        let t = (root_v - emf_v) * (1.0 / emf_v);
        let m = 2.0 + x;
        let series = 1.0 + m * t * (1.0 + 0.5 * (m - 1.0) * t * (1.0 + x / 3.0 * t));
        Root {
            emf_v: root_v,
            torque_a: look.torque_a * series,
            log_speed: look.log_speed + t * (1.0 - t * (0.5 - t / 3.0)),
        }
    }

    #[inline]
    fn look(&self, emf_v: f64) -> Look {
        let (log_speed, trend) = self.trend(emf_v);
        let m = self.torque_power();
        let curve_a = self.torque_a_per_v2 * trend;
        let slope_a = curve_a * emf_v;
        let torque_a = slope_a * emf_v;
        let motor_a = self.motor_a(emf_v, torque_a);
        let motor_a_slope = m * slope_a + self.no_load_slope;
        let motor_a_curve = m * (m - 1.0) * curve_a;
        let bus_v = (emf_v + motor_a * self.motor_ohm) * self.per_duty;
        let bus_slope = (1.0 + motor_a_slope * self.motor_ohm) * self.per_duty;
        let bus_curve = motor_a_curve * self.motor_ohm * self.per_duty;
        // A motor at rest without friction has no bus volts; without avionics nothing divides by them.
        let per_bus_v = if self.avionics_v2 == 0.0 {
            0.0
        } else {
            1.0 / bus_v
        };
        let avionics = self.avionics_v2 * per_bus_v;
        let (falls, bends) = (bus_slope * per_bus_v, bus_curve * per_bus_v);
        Look {
            torque_a,
            log_speed,
            motor_a,
            bus_v,
            balance: bus_v + self.bus_per_motor_ohm * motor_a + avionics - self.emf_source_v,
            slope: bus_slope + self.bus_per_motor_ohm * motor_a_slope - avionics * falls,
            curve: bus_curve
                + self.bus_per_motor_ohm * motor_a_curve
                + avionics * (2.0 * falls * falls - bends),
        }
    }

    /// Logarithm of speed over the reference, and what the trend makes of the torque there.
    #[inline]
    fn trend(&self, emf_v: f64) -> (f64, f64) {
        match self.trend {
            Some(trend) if emf_v > 0.0 => {
                let log_speed = (emf_v * trend.speed_per_v).ln();
                (log_speed, (trend.torque_exponent * log_speed).exp())
            }
            _ => (0.0, 1.0),
        }
    }

    /// The power of speed with which the torque grows.
    #[inline]
    fn torque_power(&self) -> f64 {
        self.trend.map_or(2.0, |trend| 2.0 + trend.torque_exponent)
    }

    #[inline]
    fn motor_a(&self, emf_v: f64, torque_a: f64) -> f64 {
        torque_a + self.no_load_a + self.no_load_slope * emf_v
    }

    #[inline]
    fn thrust(&self, drive: &Drive, root: &Root, conditions: &Conditions) -> Force {
        let n = drive.motor.k() * root.emf_v * PER_TURN;
        let steady_n = drive.propeller.thrust_scale(conditions.density) * (n * n);
        Force::newtons(match self.trend {
            Some(trend) => steady_n * (trend.thrust_exponent * root.log_speed).exp(),
            None => steady_n,
        })
    }

    /// Bisection between the lowest point of the balance and the top, or the reason why there is no root.
    fn bracketed(&self, conditions: &Conditions) -> Result<Root, NoPoint> {
        let top_v = self.top_v();
        let lowest_v = bisected(0.0, top_v, |emf_v| self.look(emf_v).slope > 0.0);
        if self.look(lowest_v).balance > 0.0 {
            return Err(self.refuse(lowest_v, conditions));
        }
        let emf_v = bisected(lowest_v, top_v, |emf_v| self.look(emf_v).balance > 0.0);
        let look = self.look(emf_v);
        Ok(Root {
            emf_v,
            torque_a: look.torque_a,
            log_speed: look.log_speed,
        })
    }

    fn refuse(&self, lowest_v: f64, conditions: &Conditions) -> NoPoint {
        let start_v = self.no_load_a * self.motor_ohm;
        match loaded_bus(conditions.source, conditions.avionics) {
            Err(collapse) => collapse,
            Ok(bus) if start_v > self.duty * bus.in_volts() => NoPoint::DoesNotTurn {
                needed_v: start_v,
                available_v: self.duty * bus.in_volts(),
            },
            Ok(_) => {
                let look = self.look(lowest_v);
                let motors_w = self.per_rotor_watt * self.duty * look.bus_v * look.motor_a;
                collapse(conditions.source, conditions.avionics.in_watts() + motors_w)
            }
        }
    }
}

/// The border between where `above` is false and, higher up, true: the last number below it.
fn bisected(mut low: f64, mut high: f64, above: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if above(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    low
}

#[cfg(test)]
impl Balance {
    /// The balance alone, for a scan.
    pub(super) fn balance(&self, emf_v: f64) -> f64 {
        self.look(emf_v).balance
    }
}
