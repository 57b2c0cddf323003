//! One cell: how stiff it is when it is cold, nearly empty, old, or asked for a long time.

use quantity::{Charge, MolarEnergy, Resistance, Temperature, Voltage};

use crate::Chemistry;

/// Molar gas constant [J/(mol·K)]. 26th CGPM, 2018; the exact value to seven places.
const GAS_CONSTANT: f64 = 8.314_462_6;
/// 25 °C, where cell resistances are stated \[K\].
const REFERENCE_K: f64 = 298.15;
/// The model takes the end of this range for anything outside it, −40 to +80 °C \[K\].
const TEMPERATURE_RANGE_K: (f64, f64) = (233.15, 353.15);
/// Share of charge below which resistance begins to rise.
pub(crate) const LOW_CHARGE: f64 = 0.3;
/// A cell is never stiffer than this; keeps absurd input from dividing by zero \[Ω\].
const STIFFEST_OHM: f64 = 1e-9;

/// A cell as the supply sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Which resting curve it follows.
    pub chemistry: Chemistry,
    /// Charge between full and empty.
    pub capacity: Charge,
    /// Direct-current resistance at 25 °C and mid charge, after 10 s under load. A 1 kHz tester
    /// shows 0.3 to 0.6 of it.
    pub resistance: Resistance,
    /// How fast resistance grows in the cold; 20 kJ/mol doubles it from 25 to 0 °C.
    pub activation_energy: MolarEnergy,
    /// Resistance in a steady discharge over that after 10 s.
    pub sustained_ratio: f64,
    /// Share by which resistance has grown when the cell is empty; 0 for none.
    pub low_charge_rise: f64,
    /// Added to the resting curve at every charge.
    pub open_circuit_offset: Voltage,
}

/// How long the current has been flowing when the voltage is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TimeScale {
    /// A spike, or the ripple of the motors.
    TenMilliseconds,
    /// A jab of the stick.
    OneSecond,
    /// A full-command climb.
    TenSeconds,
    /// Minutes of steady flight.
    Sustained,
}

impl Cell {
    /// Resistance at a temperature, a share of charge and a time under load.
    ///
    /// R = R₁₀ · exp(Ea/R (1/T − 1/298.15 K)) · (1 + κ·max(0, 0.3 − charge)/0.3) · time ratio.
    /// The time ratios are those of one model pouch (Ai et al. 2020, simulated with pybamm at half
    /// charge, 25 °C: 40.7, 41.5, 45.8 mΩ at 10 ms, 1 s, 10 s). In other model cells the value
    /// at once is 0.66 of the 10 s value (O'Regan et al. 2022, 25 °C) to 0.94 (Ecker et al. 2015,
    /// −10 °C), so at 10 ms this may be a quarter too soft or a little too stiff. The rise near
    /// empty is a proposal, not validated. Temperature is kept within −40 to +80 °C; a resistance that is
    /// not positive counts as none.
    /// Validated: `arrhenius-*` and `model-cells-*`; of the mean of two simulated power cells it is
    /// 0.89 at 0 °C, 0.92 at 10 °C and 1.11 at 40 °C. `one-second-*`: 2 and 28 % too soft at 1 s for
    /// the same two.
    #[inline]
    pub fn resistance(
        &self,
        temperature: Temperature,
        charge: f64,
        scale: TimeScale,
    ) -> Resistance {
        Resistance::ohms(self.mid_charge_ohm(temperature, scale) * self.low_charge_factor(charge))
    }

    /// Resistance over that at 25 °C: exp(Ea/R (1/T − 1/298.15 K)), Arrhenius.
    #[inline]
    pub fn temperature_factor(&self, temperature: Temperature) -> f64 {
        let (coldest_k, hottest_k) = TEMPERATURE_RANGE_K;
        let kelvin = temperature.in_kelvins().max(coldest_k).min(hottest_k);
        let per_kelvin = self.activation_energy.in_joules_per_mole() / GAS_CONSTANT;
        (per_kelvin * (1.0 / kelvin - 1.0 / REFERENCE_K)).exp()
    }

    /// Resting voltage with this cell's own offset.
    #[inline]
    pub fn open_circuit(&self, charge: f64) -> Voltage {
        self.chemistry.open_circuit(charge) + self.open_circuit_offset
    }

    /// Share of charge at a resting voltage of this cell.
    #[inline]
    pub fn charge_at(&self, resting: Voltage) -> f64 {
        self.chemistry.charge_at(resting - self.open_circuit_offset)
    }

    /// The same cell with its resistance grown by a factor, as [`crate::typical::age_factor`] gives.
    pub fn aged(self, factor: f64) -> Self {
        Self {
            resistance: self.resistance * factor,
            ..self
        }
    }

    /// 1 + κ·max(0, 0.3 − charge)/0.3.
    #[inline]
    pub(crate) fn low_charge_factor(&self, charge: f64) -> f64 {
        1.0 + self.low_charge_rise.max(0.0) * (LOW_CHARGE - charge.max(0.0)).max(0.0) / LOW_CHARGE
    }

    /// Resistance without the rise near empty \[Ω\].
    #[inline]
    pub(crate) fn mid_charge_ohm(&self, temperature: Temperature, scale: TimeScale) -> f64 {
        let ratio = match scale {
            TimeScale::TenMilliseconds => 40.7 / 45.8,
            TimeScale::OneSecond => 41.5 / 45.8,
            TimeScale::TenSeconds => 1.0,
            TimeScale::Sustained => self.sustained_ratio,
        };
        (self.resistance.in_ohms() * ratio * self.temperature_factor(temperature)).max(STIFFEST_OHM)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cell() -> Cell {
        Cell {
            chemistry: Chemistry::LithiumPolymer,
            capacity: Charge::milliampere_hours(450.0),
            resistance: Resistance::milliohms(20.0),
            activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
            sustained_ratio: 1.25,
            low_charge_rise: 0.4,
            open_circuit_offset: Voltage::millivolts(20.0),
        }
    }

    #[test]
    fn checked_reference_point_is_the_stated_resistance() {
        let warm = Temperature::celsius(25.0);
        let r = |charge, scale| cell().resistance(warm, charge, scale).in_milliohms();
        assert!((r(0.5, TimeScale::TenSeconds) - 20.0).abs() < 1e-12);
        assert!((r(0.5, TimeScale::Sustained) - 25.0).abs() < 1e-12);
        // Empty: 20 × (1 + 0.4) = 28 mΩ; half way down the rise, 15 % charge: 20 × 1.2 = 24 mΩ.
        assert!((r(0.0, TimeScale::TenSeconds) - 28.0).abs() < 1e-12);
        assert!((r(0.15, TimeScale::TenSeconds) - 24.0).abs() < 1e-12);
        // 1.7 times older.
        let old = cell()
            .aged(1.7)
            .resistance(warm, 0.5, TimeScale::TenSeconds);
        assert!((old.in_milliohms() - 34.0).abs() < 1e-12);
    }

    #[test]
    fn checked_longer_load_is_softer() {
        let at = |scale| cell().resistance(Temperature::celsius(10.0), 0.4, scale);
        assert!(at(TimeScale::TenMilliseconds) < at(TimeScale::OneSecond));
        assert!(at(TimeScale::OneSecond) < at(TimeScale::TenSeconds));
        assert!(at(TimeScale::TenSeconds) < at(TimeScale::Sustained));
    }

    #[test]
    fn checked_absurd_inputs_stay_finite() {
        for kelvin in [-5.0, 0.0, 1e9, f64::NAN] {
            for charge in [-1.0, 7.0] {
                let r =
                    cell().resistance(Temperature::kelvins(kelvin), charge, TimeScale::TenSeconds);
                assert!(r.in_ohms().is_finite() && r.in_ohms() > 0.0);
            }
        }
        let hollow = Cell {
            resistance: Resistance::ohms(-1.0),
            ..cell()
        };
        let r = hollow.resistance(Temperature::celsius(25.0), 0.5, TimeScale::TenSeconds);
        assert!(r.in_ohms() > 0.0 && r.in_ohms() < 1e-6);
    }

    #[test]
    fn checked_offset_moves_the_curve_and_its_inverse_together() {
        let charge = cell().charge_at(cell().open_circuit(0.63));
        assert!((charge - 0.63).abs() < 1e-12);
        assert!((cell().open_circuit(1.0).in_volts() - 4.22).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn checked_colder_is_softer(cold in -39.0..79.0f64, warmer in 0.01..30.0f64, charge in 0.0..1.0f64) {
            let at = |t| cell().resistance(Temperature::celsius(t), charge, TimeScale::TenSeconds);
            prop_assert!(at(cold) > at((cold + warmer).min(80.0)));
        }

        #[test]
        fn checked_emptier_is_never_stiffer(low in 0.0..1.0f64, step in 0.0..0.5f64) {
            let at = |c| cell().resistance(Temperature::celsius(25.0), c, TimeScale::TenSeconds);
            prop_assert!(at(low) >= at(low + step));
        }
    }
}
