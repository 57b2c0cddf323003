//! A brushless motor as a direct-current machine of four constants.
//!
//! Left out: inductance, timing advance, saturation. They show as a velocity constant that sags by a
//! few percent at high current; a loaded run measured by the owner absorbs that.

use quantity::{
    Current, Power, Resistance, RotationSpeed, Temperature, TemperatureDifference, Torque,
    VelocityConstant, Voltage,
};
use thiserror::Error;

/// Temperature coefficient of copper at 20 °C \[1/K\]. IEC 60028:1925.
const COPPER_PER_K: f64 = 0.003_93;
/// Loss of torque constant of neodymium magnets with temperature \[1/K\]. From memory: makers' sheets
/// of the magnet material give −0.10…−0.12 %/K.
const MAGNET_PER_K: f64 = 0.001;
/// Temperature at which the constants are stated.
const REFERENCE: Temperature = Temperature::celsius(20.0);

/// The four constants, at 20 °C.
///
/// Drela, "First-Order DC Electric Motor Model", MIT 2007 (from memory), with a no-load current that
/// grows with speed: `ω = k·E`, `E = V − I·R`, `I0 = I00 + I01·E`, `Q = (I − I0)/k`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motor {
    /// Kv: no-load speed per volt of back-EMF. Its inverse is the torque constant.
    pub velocity_constant: VelocityConstant,
    /// Winding resistance between two terminals.
    pub resistance: Resistance,
    /// No-load current at standstill, by extrapolation (`I00`); the whole no-load current where no
    /// slope is known.
    pub no_load_current: Current,
    /// Growth of the no-load current per volt of back-EMF (`I01`) \[A/V\].
    pub no_load_slope_a_per_v: f64,
}

/// What the motor does at given volts and amperes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorState {
    /// Volts left after the winding.
    pub back_emf: Voltage,
    /// Shaft speed.
    pub rotation: RotationSpeed,
    /// Torque on the propeller.
    pub torque: Torque,
    /// Power on the propeller.
    pub shaft_power: Power,
    /// Shaft power over electrical power.
    pub efficiency: f64,
}

/// One steady run on the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Volts at the motor: bus volts at full duty.
    pub voltage: Voltage,
    /// Amperes through the motor.
    pub current: Current,
    /// Shaft speed.
    pub rotation: RotationSpeed,
}

/// Why runs do not give a motor.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum IdentifyError {
    /// No run without a propeller.
    #[error("needs at least one run without propeller")]
    NoFreeRun,
    /// All runs have nearly the same current per speed, so resistance and Kv cannot be told apart.
    #[error("all runs are alike; add one with a propeller at about half the rated current")]
    Alike,
    /// The best fit has a constant that no motor has.
    #[error("the runs give {what} = {value}, which no motor has; check volts, amperes and rpm")]
    NoMotor {
        /// Which constant.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
}

impl Motor {
    /// State at motor volts and amperes. Validated: `kv-*`.
    pub fn state(&self, voltage: Voltage, current: Current) -> MotorState {
        let back_emf = voltage - current * self.resistance;
        let rotation = self.velocity_constant * back_emf;
        let torque = Torque::newton_metres(
            (current.in_amperes() - self.no_load_a(back_emf.in_volts())) / self.k(),
        );
        let shaft_power = torque * rotation;
        MotorState {
            back_emf,
            rotation,
            torque,
            shaft_power,
            efficiency: shaft_power / (voltage * current),
        }
    }

    /// Volts and amperes for a shaft speed and torque.
    #[inline]
    pub fn needs(&self, rotation: RotationSpeed, torque: Torque) -> (Voltage, Current) {
        // The division does not wait for the speed, which is often the last to be known.
        let emf_v = rotation.in_radians_per_second() * (1.0 / self.k());
        let current_a = self.k() * torque.in_newton_metres() + self.no_load_a(emf_v);
        let voltage_v = emf_v + current_a * self.resistance.in_ohms();
        (Voltage::volts(voltage_v), Current::amperes(current_a))
    }

    /// Where the motor is most efficient at these volts: amperes and efficiency.
    ///
    /// With `a = 1 + I01·R`, `b = I00 + I01·V`: `η = (a·I − b)(V − I·R)/(V·I)`, so
    /// `I* = √(bV/(aR))` and `η* = (√a − √(bR/V))²`. For `I01 = 0` Drela's `(1 − √(I0·R/V))²`.
    pub fn peak_efficiency(&self, voltage: Voltage) -> (Current, f64) {
        let (volts, ohms) = (voltage.in_volts(), self.resistance.in_ohms());
        let a = 1.0 + self.no_load_slope_a_per_v * ohms;
        let b = self.no_load_current.in_amperes() + self.no_load_slope_a_per_v * volts;
        let current = Current::amperes((b * volts / (a * ohms)).sqrt());
        (current, (a.sqrt() - (b * ohms / volts).sqrt()).powi(2))
    }

    /// The same motor with winding and magnets warmed to `temperature`.
    ///
    /// Copper: `R·(1 + 0.00393 ΔT)`. Magnets: the torque constant falls by 0.1 %/K, so Kv rises. One
    /// temperature for both overstates current and, by up to 3 %, speed at full command: magnets lag
    /// behind the winding.
    pub fn warmed_to(&self, temperature: Temperature) -> Self {
        let rise =
            TemperatureDifference::kelvins(temperature.in_kelvins() - REFERENCE.in_kelvins());
        Self {
            resistance: self.resistance * copper_factor(rise),
            velocity_constant: self.velocity_constant / magnet_factor(rise),
            ..*self
        }
    }

    /// The four constants from runs without (`free`) and with (`loaded`) a propeller.
    ///
    /// `V = ω/k + I·R` is linear in `1/k` and `R`: least squares over all runs. The no-load line goes
    /// through the free runs; with a single one the slope is taken as zero. Validated: `identified-*` within 4e-4.
    pub fn identify(free: &[Run], loaded: &[Run]) -> Result<Self, IdentifyError> {
        if free.is_empty() {
            return Err(IdentifyError::NoFreeRun);
        }
        let (inverse_k, ohms) = fit_volts(free, loaded)?;
        let (no_load_a, slope) = fit_no_load(free, ohms);
        let motor = Self {
            velocity_constant: VelocityConstant::radians_per_second_volt(1.0 / inverse_k),
            resistance: Resistance::ohms(ohms),
            no_load_current: Current::amperes(no_load_a),
            no_load_slope_a_per_v: slope,
        };
        motor.plausible()
    }

    /// Amperes without torque at a back-EMF in volts.
    #[inline]
    pub(crate) fn no_load_a(&self, emf_v: f64) -> f64 {
        self.no_load_current.in_amperes() + self.no_load_slope_a_per_v * emf_v
    }

    /// `k` \[rad/(s·V)\]; also amperes per newton metre.
    #[inline]
    pub(crate) fn k(&self) -> f64 {
        self.velocity_constant.in_radians_per_second_volt()
    }

    fn plausible(self) -> Result<Self, IdentifyError> {
        let checks = [
            ("Kv in rad/(s·V)", self.k(), 0.0),
            ("resistance in Ω", self.resistance.in_ohms(), 0.0),
            (
                "no-load current in A",
                self.no_load_current.in_amperes(),
                -1e-9,
            ),
        ];
        match checks
            .into_iter()
            .find(|(_, value, least)| !(value > least && value.is_finite()))
        {
            Some((what, value, _)) => Err(IdentifyError::NoMotor { what, value }),
            None => Ok(self),
        }
    }
}

/// Resistance of copper over that at 20 °C, `rise` above 20 °C. IEC 60028.
pub fn copper_factor(rise: TemperatureDifference) -> f64 {
    1.0 + COPPER_PER_K * rise.in_kelvins()
}

/// Torque constant over that at 20 °C, `rise` above 20 °C; common practice, −0.1 %/K.
pub fn magnet_factor(rise: TemperatureDifference) -> f64 {
    1.0 - MAGNET_PER_K * rise.in_kelvins()
}

/// Least squares of `V = x·ω + y·I` over all runs; `(x, y)`.
fn fit_volts(free: &[Run], loaded: &[Run]) -> Result<(f64, f64), IdentifyError> {
    let (mut ww, mut wi, mut ii, mut wv, mut iv) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for run in free.iter().chain(loaded) {
        let (w, i) = (
            run.rotation.in_radians_per_second(),
            run.current.in_amperes(),
        );
        let v = run.voltage.in_volts();
        ww += w * w;
        wi += w * i;
        ii += i * i;
        wv += w * v;
        iv += i * v;
    }
    let determinant = ww * ii - wi * wi;
    // One minus the squared cosine between the two columns: below 1 % they cannot be told apart.
    if determinant.is_nan() || determinant <= 0.01 * ww * ii {
        return Err(IdentifyError::Alike);
    }
    Ok((
        (wv * ii - iv * wi) / determinant,
        (iv * ww - wv * wi) / determinant,
    ))
}

/// Straight line of the free runs' amperes over their back-EMF; `(at zero, per volt)`.
fn fit_no_load(free: &[Run], ohms: f64) -> (f64, f64) {
    let count = free.len() as f64;
    let points = free.iter().map(|run| {
        let current_a = run.current.in_amperes();
        (run.voltage.in_volts() - current_a * ohms, current_a)
    });
    let (sum_e, sum_i) = points
        .clone()
        .fold((0.0, 0.0), |(e, i), p| (e + p.0, i + p.1));
    let (mean_e, mean_i) = (sum_e / count, sum_i / count);
    let (mut ee, mut ei) = (0.0, 0.0);
    for (e, i) in points {
        ee += (e - mean_e) * (e - mean_e);
        ei += (e - mean_e) * (i - mean_i);
    }
    // Runs at the same volts carry no slope.
    let slope = if ee > 1e-3 * mean_e * mean_e {
        ei / ee
    } else {
        0.0
    };
    (mean_i - slope * mean_e, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOTOR: Motor = Motor {
        velocity_constant: VelocityConstant::rpm_per_volt(3800.0),
        resistance: Resistance::milliohms(150.0),
        no_load_current: Current::amperes(0.15),
        no_load_slope_a_per_v: 0.025,
    };

    #[test]
    fn checked_needs_is_the_inverse_of_state() {
        let state = MOTOR.state(Voltage::volts(11.0), Current::amperes(7.0));
        let (voltage, current) = MOTOR.needs(state.rotation, state.torque);
        assert!((voltage.in_volts() - 11.0).abs() < 1e-12);
        assert!((current.in_amperes() - 7.0).abs() < 1e-12);
    }

    #[test]
    fn checked_peak_efficiency_against_a_scan() {
        let volts = Voltage::volts(12.0);
        let (current, best) = MOTOR.peak_efficiency(volts);
        let scanned = (1..4000)
            .map(|step| Current::amperes(f64::from(step) * 0.01))
            .map(|amperes| MOTOR.state(volts, amperes).efficiency)
            .fold(0.0, f64::max);
        assert!((MOTOR.state(volts, current).efficiency - best).abs() < 1e-12);
        assert!(best >= scanned && best - scanned < 1e-5);
    }

    #[test]
    fn checked_warm_motor_is_faster_free_and_weaker_stalled() {
        let warm = MOTOR.warmed_to(Temperature::celsius(80.0));
        // 60 K: R × 1.2358, Kv ÷ 0.94.
        assert!((warm.resistance / MOTOR.resistance - 1.2358).abs() < 1e-12);
        assert!((warm.velocity_constant / MOTOR.velocity_constant - 1.0 / 0.94).abs() < 1e-12);
    }

    #[test]
    fn checked_runs_that_are_alike_are_refused() {
        let run = Run {
            voltage: Voltage::volts(4.0),
            current: Current::amperes(0.25),
            rotation: RotationSpeed::rpm(15_058.0),
        };
        assert_eq!(Motor::identify(&[run], &[run]), Err(IdentifyError::Alike));
        assert_eq!(Motor::identify(&[], &[run]), Err(IdentifyError::NoFreeRun));
        let absurd = Run {
            voltage: Voltage::volts(f64::NAN),
            ..run
        };
        let loaded = Run {
            current: Current::amperes(9.0),
            ..run
        };
        assert!(Motor::identify(&[absurd], &[loaded]).is_err());
    }
}
