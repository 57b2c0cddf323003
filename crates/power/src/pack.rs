//! Cells in series and in parallel, seen from the plug as one source.

use quantity::{Charge, Current, Energy, Temperature, Voltage};

use crate::{Cell, Source, TimeScale};

/// Alike cells, connected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pack {
    /// One of its cells.
    pub cell: Cell,
    /// Cells in series; none counts as one.
    pub series: u32,
    /// Strings in parallel; none counts as one.
    pub parallel: u32,
}

/// How two packs in parallel share a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedCurrent {
    /// Voltage where they join.
    pub voltage: Voltage,
    /// Out of the first; negative while it is being charged by the other.
    pub first: Current,
    /// Out of the second.
    pub second: Current,
}

impl Pack {
    /// The pack at its own leads: resting voltage and resistance. All cells are alike and at one
    /// temperature; the weakest cell of a real pack is worse.
    #[inline]
    pub fn source(&self, charge: f64, temperature: Temperature, scale: TimeScale) -> Source {
        Source {
            emf: self.cell.open_circuit(charge) * self.series_cells(),
            resistance: self.cell.resistance(temperature, charge, scale)
                * (self.series_cells() / self.strings()),
        }
    }

    /// Charge of all strings.
    pub fn capacity(&self) -> Charge {
        self.cell.capacity * self.strings()
    }

    /// Energy at the nominal voltage, as makers state it.
    pub fn nominal_energy(&self) -> Energy {
        self.cell.chemistry.nominal() * self.series_cells() * self.capacity()
    }

    #[inline]
    pub(crate) fn series_cells(&self) -> f64 {
        f64::from(self.series.max(1))
    }

    #[inline]
    pub(crate) fn strings(&self) -> f64 {
        f64::from(self.parallel.max(1))
    }
}

/// Two unequal packs on one bus: V = (E₁/R₁ + E₂/R₂ − I)/(1/R₁ + 1/R₂), Millman's theorem.
///
/// Resistances below 1 µΩ are taken as 1 µΩ. With no load the fuller pack charges the emptier
/// one: `first` or `second` is then negative.
/// Validated: `parallel-*`, within the printed digits.
pub fn parallel_packs(first: Source, second: Source, current: Current) -> SharedCurrent {
    let siemens = |source: Source| 1.0 / source.resistance.in_ohms().max(1e-6);
    let (g1, g2) = (siemens(first), siemens(second));
    let (e1, e2) = (first.emf.in_volts(), second.emf.in_volts());
    let volts = (e1 * g1 + e2 * g2 - current.in_amperes()) / (g1 + g2);
    SharedCurrent {
        voltage: Voltage::volts(volts),
        first: Current::amperes((e1 - volts) * g1),
        second: Current::amperes((e2 - volts) * g2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Chemistry;
    use quantity::{MolarEnergy, Resistance};

    #[test]
    fn checked_series_and_parallel_add_up() {
        let cell = Cell {
            chemistry: Chemistry::LithiumPolymer,
            capacity: Charge::milliampere_hours(650.0),
            resistance: Resistance::milliohms(10.0),
            activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
            sustained_ratio: 1.25,
            low_charge_rise: 0.4,
            open_circuit_offset: Voltage::volts(0.0),
        };
        let pack = Pack {
            cell,
            series: 4,
            parallel: 2,
        };
        let source = pack.source(1.0, Temperature::celsius(25.0), TimeScale::TenSeconds);
        // 4 × 4.20 V; 4 × 10 mΩ / 2; 2 × 650 mAh; 4 × 3.7 V × 1.3 Ah = 19.24 Wh.
        assert!((source.emf.in_volts() - 16.8).abs() < 1e-12);
        assert!((source.resistance.in_milliohms() - 20.0).abs() < 1e-12);
        assert!((pack.capacity().in_milliampere_hours() - 1300.0).abs() < 1e-9);
        assert!((pack.nominal_energy().in_watt_hours() - 19.24).abs() < 1e-9);
        let none = Pack {
            series: 0,
            parallel: 0,
            ..pack
        };
        assert_eq!(none.capacity(), cell.capacity);
    }

    #[test]
    fn checked_currents_of_parallel_packs_sum_to_the_load() {
        let source = |volts, milliohms| Source {
            emf: Voltage::volts(volts),
            resistance: Resistance::milliohms(milliohms),
        };
        for load in [-3.0, 0.0, 0.5, 80.0] {
            let shared =
                parallel_packs(source(8.4, 30.0), source(7.9, 55.0), Current::amperes(load));
            let sum = shared.first + shared.second;
            assert!((sum.in_amperes() - load).abs() < 1e-10);
        }
        // At rest the fuller one pushes 0.5 V / 85 mΩ = 5.882 A into the other.
        let rest = parallel_packs(source(8.4, 30.0), source(7.9, 55.0), Current::amperes(0.0));
        assert!((rest.second.in_amperes() + 0.5 / 0.085).abs() < 1e-9);
        let stiff = parallel_packs(source(8.4, 0.0), source(7.9, 0.0), Current::amperes(1.0));
        assert!(stiff.voltage.in_volts().is_finite());
    }
}
