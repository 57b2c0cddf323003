//! The bus under load: where a source with resistance and a load that insists on its watts meet.
//!
//! Steady state only: no capacitor, no inductance, no ripple. A ripple valley lies below these
//! volts, by 0.2 to 0.4 V on a small two-cell craft as builders report it.

use std::fmt;

use quantity::{Current, Power, Resistance, Voltage};

use crate::{Regulator, RegulatorPoint, RegulatorState};

/// A voltage behind a resistance (Thévenin).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Voltage at rest.
    pub emf: Voltage,
    /// Resistance between that and where you look.
    pub resistance: Resistance,
}

/// The load asks for more than the source can give at any voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collapse {
    /// The most power the source can give beside the current already drawn; zero if even that
    /// current is too much, or if an input is not a number.
    pub limit: Power,
}

/// A bus with regulators on it.
#[derive(Debug, Clone, PartialEq)]
pub struct RegulatedBus {
    /// Voltage of the bus.
    pub voltage: Voltage,
    /// What each regulator does, in the order they were given.
    pub points: Vec<RegulatorPoint>,
}

impl Source {
    /// The same source further along a conductor: its resistance adds.
    #[inline]
    #[must_use]
    pub fn behind(self, resistance: Resistance) -> Self {
        Self {
            emf: self.emf,
            resistance: self.resistance + resistance,
        }
    }

    /// Voltage under a constant power and a constant current.
    ///
    /// V = (E' + √(E'² − 4RP))/2 with E' = E − R·I: of the two voltages that satisfy the load the
    /// upper one, which is the one a craft runs at. No such voltage above P = E'²/(4R).
    /// Negative power or current charges the source. A negative resistance counts as none.
    ///
    /// # Errors
    /// [`Collapse`] with the most power this source could give beside the current.
    ///
    /// Validated: `constant-power-*`, within the printed digits (2e-5).
    #[inline]
    pub fn under(self, power: Power, current: Current) -> Result<Voltage, Collapse> {
        let emf_v = self.emf.in_volts();
        let loop_ohm = self.resistance.in_ohms();
        volts_under(emf_v, loop_ohm, power.in_watts(), current.in_amperes())
            .map(Voltage::volts)
            .ok_or_else(|| self.collapse(current))
    }

    /// Voltage at a plain current; may be negative if the current is absurd.
    #[inline]
    pub fn at(self, current: Current) -> Voltage {
        self.emf - current * self.resistance
    }

    /// Voltage with regulators on the bus beside a constant power and a constant current.
    ///
    /// Each regulator comes with the power its output must deliver. Found from the resting
    /// voltage downwards, so it is the highest voltage at which everything agrees. A regulator
    /// that locks out on the way stays off, as a device that has browned out does, even if the
    /// bus recovers above its minimum once it is gone.
    ///
    /// # Errors
    /// [`Collapse`] if the bus cannot carry what is still switched on.
    ///
    /// Not validated against outside numbers.
    pub fn under_regulators(
        self,
        power: Power,
        current: Current,
        fed: &[(Regulator, Power)],
    ) -> Result<RegulatedBus, Collapse> {
        let feed_all = |voltage| fed.iter().map(move |(one, load)| one.feed(voltage, *load));
        let mut points: Vec<_> = feed_all(self.emf).collect();
        let mut voltage = self.emf;
        for _ in 0..MOST_ROUNDS {
            let drawn = points
                .iter()
                .fold(power, |sum, point| sum + point.input_power);
            let next = self.under(drawn, current)?;
            for (point, fresh) in points.iter_mut().zip(feed_all(next)) {
                if point.state != RegulatorState::LockedOut {
                    *point = fresh;
                }
            }
            let moved = (next - voltage).in_volts().abs();
            voltage = next;
            if moved < SETTLED_V {
                break;
            }
        }
        Ok(RegulatedBus { voltage, points })
    }

    fn collapse(self, current: Current) -> Collapse {
        let left_v = self.at(current).in_volts().max(0.0);
        let limit_w = if left_v > 0.0 {
            left_v * left_v / (4.0 * self.resistance.in_ohms().max(0.0))
        } else {
            0.0
        };
        Collapse {
            limit: Power::watts(limit_w),
        }
    }
}

/// Rounds after which the voltage is taken as it is; two to four are usual.
const MOST_ROUNDS: usize = 60;
/// Movement of the bus voltage that counts as none \[V\].
const SETTLED_V: f64 = 1e-9;

/// The upper root of V² − (E − R·I)·V + R·P = 0, or none; the kernel of [`Source::under`].
#[inline]
pub(crate) fn volts_under(emf_v: f64, loop_ohm: f64, power_w: f64, current_a: f64) -> Option<f64> {
    let loop_ohm = loop_ohm.max(0.0);
    let left_v = emf_v - loop_ohm * current_a;
    let square = left_v * left_v - 4.0 * loop_ohm * power_w;
    (square >= 0.0 && left_v > 0.0).then(|| 0.5 * (left_v + square.sqrt()))
}

impl fmt::Display for Collapse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the source gives no more than {:.3e} W",
            self.limit.in_watts()
        )
    }
}

impl std::error::Error for Collapse {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::RegulatorKind;
    use proptest::prelude::*;

    fn source(volts: f64, milliohms: f64) -> Source {
        Source {
            emf: Voltage::volts(volts),
            resistance: Resistance::milliohms(milliohms),
        }
    }

    #[test]
    fn checked_absurd_loads_collapse_or_settle() {
        let watts = Power::watts;
        let amps = Current::amperes;
        assert_eq!(
            source(4.0, 0.0).under(watts(1e9), amps(1e9)),
            Ok(Voltage::volts(4.0))
        );
        assert_eq!(
            source(4.0, -5.0).under(watts(10.0), amps(1.0)),
            Ok(Voltage::volts(4.0))
        );
        assert!(source(0.0, 10.0).under(watts(0.0), amps(0.0)).is_err());
        assert!(source(-4.0, 10.0).under(watts(1.0), amps(0.0)).is_err());
        let none = source(4.0, 50.0).under(watts(0.0), amps(1e6)).unwrap_err();
        assert_eq!(none.limit, watts(0.0));
        for bad in [
            source(f64::NAN, 10.0).under(watts(1.0), amps(0.0)),
            source(4.0, 10.0).under(watts(f64::NAN), amps(0.0)),
            source(4.0, 10.0).under(watts(1.0), amps(f64::INFINITY)),
        ] {
            assert!(bad.is_err());
        }
        // Braking motors push 5 W back into 4 V behind 0.1 Ω: V² − 4V − 0.5 = 0, V = 4.1213 V.
        let pushed = source(4.0, 100.0).under(watts(-5.0), amps(0.0)).unwrap();
        assert!((pushed.in_volts() - 4.121_320_343_6).abs() < 1e-9);
    }

    #[test]
    fn checked_the_limit_is_where_it_says() {
        // 8 V behind 50 mΩ beside 10 A: (8 − 0.5)²/(4 × 0.05) = 281.25 W.
        let beside = Current::amperes(10.0);
        let limit = source(8.0, 50.0)
            .under(Power::watts(1e4), beside)
            .unwrap_err()
            .limit;
        assert!((limit.in_watts() - 281.25).abs() < 1e-9);
        assert!(source(8.0, 50.0).under(limit * 0.999_999, beside).is_ok());
        assert!(source(8.0, 50.0).under(limit * 1.000_001, beside).is_err());
    }

    #[test]
    fn checked_a_regulator_that_browns_out_stays_off() {
        let boost = Regulator {
            kind: RegulatorKind::Boost,
            output: Voltage::volts(5.0),
            drop_out: Voltage::volts(0.4),
            minimum_input: Voltage::volts(3.2),
            continuous_limit: Current::amperes(1.5),
            peak_limit: Current::amperes(2.0),
            efficiency: 0.85,
        };
        // Alone the cell stands at 3.6 − 0.05 × 7 = 3.25 V; 5 W / 0.85 pull it below 3.2 V.
        let fed = [(boost, Power::watts(5.0))];
        let bus = source(3.6, 50.0)
            .under_regulators(Power::watts(0.0), Current::amperes(7.0), &fed)
            .unwrap();
        assert_eq!(bus.points[0].state, RegulatorState::LockedOut);
        assert!((bus.voltage.in_volts() - 3.25).abs() < 1e-9);
    }

    #[test]
    fn checked_regulated_bus_satisfies_both_sides() {
        let kinds = [
            RegulatorKind::Buck,
            RegulatorKind::Linear,
            RegulatorKind::Diode,
            RegulatorKind::BuckBoost,
        ];
        let fed = kinds.map(|kind| {
            let regulator = Regulator {
                kind,
                output: Voltage::volts(5.0),
                drop_out: Voltage::volts(0.4),
                minimum_input: Voltage::volts(3.0),
                continuous_limit: Current::amperes(1.5),
                peak_limit: Current::amperes(2.0),
                efficiency: 0.85,
            };
            (regulator, Power::watts(3.0))
        });
        for emf in [4.4, 5.3, 5.6, 8.0] {
            let bus = source(emf, 80.0)
                .under_regulators(Power::watts(4.0), Current::amperes(1.0), &fed)
                .unwrap();
            let amps: f64 = bus
                .points
                .iter()
                .map(|p| p.input_current.in_amperes())
                .sum();
            let volts = bus.voltage.in_volts();
            let by_ohm = emf - 0.08 * (amps + 1.0 + 4.0 / volts);
            assert!((by_ohm - volts).abs() < 1e-7, "{emf} {volts} {by_ohm}");
        }
    }

    proptest! {
        #[test]
        fn checked_the_voltage_satisfies_ohm(
            emf in 2.5..26.0f64, milliohms in 1.0..200.0f64, share in 0.0..0.999f64, amps in 0.0..3.0f64,
        ) {
            let source = source(emf, milliohms);
            let beside = Current::amperes(amps);
            let limit = source.collapse(beside).limit;
            let power = limit * share;
            let volts = source.under(power, beside).unwrap();
            let drawn = Current::amperes(amps + power.in_watts() / volts.in_volts());
            prop_assert!((source.at(drawn) - volts).in_volts().abs() < 1e-9);
            // The upper root lies above half of what is left.
            prop_assert!(volts.in_volts() >= 0.5 * source.at(beside).in_volts());
        }

        #[test]
        fn checked_more_load_is_less_voltage(emf in 3.0..17.0f64, watts in 0.0..20.0f64, more in 0.01..5.0f64) {
            let at = |w| source(emf, 20.0).under(Power::watts(w), Current::amperes(0.0)).unwrap();
            prop_assert!(at(watts + more) < at(watts));
        }
    }
}
