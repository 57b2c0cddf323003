//! Resting voltage of a cell against its charge, by chemistry.
//!
//! Charge is a share: 0 is empty and 1 is full for that chemistry's own voltage window. The
//! tables are model cells of a laboratory, not packs of this trade: the shape carries over, and a
//! real pack may rest a few hundredths of a volt off ([`crate::typical::open_circuit_offset`]).

use quantity::Voltage;

/// What a cell is made of, as far as its voltage window and resting curve go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Chemistry {
    /// Lithium polymer charged to 4.20 V.
    LithiumPolymer,
    /// Lithium polymer that its maker allows to be charged to 4.35 V.
    LithiumPolymerHighVoltage,
    /// Cylindrical lithium ion, nickel-rich, charged to 4.20 V.
    LithiumIon,
}

/// Resting volts at equal steps of charge from 0 to 1, linear between; outside, the end value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenCircuitTable {
    volts: &'static [f64],
}

impl Chemistry {
    /// Every chemistry.
    pub const ALL: [Self; 3] = [
        Self::LithiumPolymer,
        Self::LithiumPolymerHighVoltage,
        Self::LithiumIon,
    ];

    /// Resting voltage of a full cell. Common practice; for the high-voltage kind only if its
    /// maker says so.
    pub const fn full(self) -> Voltage {
        Voltage::volts(match self {
            Self::LithiumPolymer | Self::LithiumIon => 4.20,
            Self::LithiumPolymerHighVoltage => 4.35,
        })
    }

    /// The voltage that makers multiply with the capacity to state the energy. Common practice
    /// (high voltage: 3.80 to 3.85 V are both used); lithium ion from memory.
    pub const fn nominal(self) -> Voltage {
        Voltage::volts(match self {
            Self::LithiumPolymer => 3.70,
            Self::LithiumPolymerHighVoltage => 3.80,
            Self::LithiumIon => 3.60,
        })
    }

    /// Resting voltage for storage. Common practice, 3.80 to 3.85 V for polymer; lithium ion from
    /// memory.
    pub const fn storage(self) -> Voltage {
        Voltage::volts(match self {
            Self::LithiumPolymer => 3.80,
            Self::LithiumPolymerHighVoltage => 3.85,
            Self::LithiumIon => 3.70,
        })
    }

    /// Below this a cell is taken as harmed. Common practice; lithium ion from memory.
    pub const fn damage(self) -> Voltage {
        Voltage::volts(match self {
            Self::LithiumPolymer | Self::LithiumPolymerHighVoltage => 3.00,
            Self::LithiumIon => 2.50,
        })
    }

    /// The resting curve.
    #[inline]
    pub const fn table(self) -> OpenCircuitTable {
        match self {
            Self::LithiumPolymer => LITHIUM_POLYMER,
            Self::LithiumPolymerHighVoltage => LITHIUM_POLYMER_HIGH_VOLTAGE,
            Self::LithiumIon => LITHIUM_ION,
        }
    }

    /// Resting voltage at a share of charge; outside 0 to 1 the value at the end.
    ///
    /// Near 25 °C. Ignores hysteresis and the entropic change, about 0.1 mV/K.
    /// Validated: `cell.rs` of the validation crate, every row of the source table.
    #[inline]
    pub fn open_circuit(self, charge: f64) -> Voltage {
        Voltage::volts(self.table().volts_at(charge))
    }

    /// Share of charge at a resting voltage, the inverse of [`Self::open_circuit`]; 0 or 1 beyond
    /// the ends.
    #[inline]
    pub fn charge_at(self, resting: Voltage) -> f64 {
        self.table().charge_at_volts(resting.in_volts())
    }
}

impl OpenCircuitTable {
    /// Strictly rising volts at equal steps of charge, at least two of them.
    ///
    /// # Panics
    /// If there are fewer than two rows or they do not rise; in a `const` that stops the build.
    pub const fn new(volts: &'static [f64]) -> Self {
        assert!(volts.len() >= 2, "a curve has at least two ends");
        let mut row = 1;
        while row < volts.len() {
            assert!(
                volts[row] > volts[row - 1],
                "resting volts rise with charge"
            );
            row += 1;
        }
        Self { volts }
    }

    /// Steps of charge between the first row and the last.
    #[inline]
    pub fn rows(self) -> usize {
        self.volts.len() - 1
    }

    /// Resting volts at a share of charge; not-a-number stays so.
    #[inline]
    pub fn volts_at(self, charge: f64) -> f64 {
        let last = self.volts.len() - 1;
        let position = charge.clamp(0.0, 1.0) * last as f64;
        let row = (position as usize).min(last - 1);
        let below = self.volts[row];
        below + (self.volts[row + 1] - below) * (position - row as f64)
    }

    /// Share of charge at resting volts; not-a-number counts as empty.
    #[inline]
    pub fn charge_at_volts(self, resting_v: f64) -> f64 {
        let last = self.volts.len() - 1;
        let above = self.volts.partition_point(|&v| v <= resting_v);
        if above == 0 {
            return 0.0;
        }
        if above > last {
            return if resting_v.is_nan() { 0.0 } else { 1.0 };
        }
        let below = self.volts[above - 1];
        let part = (resting_v - below) / (self.volts[above] - below);
        (above as f64 - 1.0 + part) / last as f64
    }
}

/// Cobalt-oxide/graphite pouch, 3.0 to 4.2 V: Ai et al., J. Electrochem. Soc. 167 (2020) 013512,
/// electrode curves evaluated between their limits with the package pybamm 26.10.1.1, 25 °C.
const LITHIUM_POLYMER: OpenCircuitTable = OpenCircuitTable::new(&[
    3.0, 3.3844, 3.54206, 3.61847, 3.63956, 3.64956, 3.66535, 3.68214, 3.69538, 3.70783, 3.71676,
    3.72474, 3.73309, 3.74078, 3.74813, 3.75521, 3.76219, 3.76913, 3.7763, 3.78407, 3.79251,
    3.80183, 3.81216, 3.82364, 3.83646, 3.85095, 3.8675, 3.88705, 3.90889, 3.93085, 3.95195,
    3.97261, 3.99448, 4.01715, 4.04086, 4.06381, 4.08795, 4.11288, 4.13836, 4.16469, 4.2,
]);

/// The electrodes of the 4.20 V cell charged on to 4.35 V. **Constructed**: the positive curve is
/// extended in a straight line beyond its data, ±30 mV; 1.091 times the charge of the 4.20 V
/// window. Builders' own figure for 4.20 V in this window is about 86 % of charge, this curve says
/// 92 %.
const LITHIUM_POLYMER_HIGH_VOLTAGE: OpenCircuitTable = OpenCircuitTable::new(&[
    3.0, 3.40307, 3.562, 3.62696, 3.64347, 3.65515, 3.67553, 3.69052, 3.70464, 3.71524, 3.72394,
    3.7331, 3.74137, 3.74953, 3.75725, 3.76458, 3.77228, 3.78032, 3.78926, 3.79928, 3.81024,
    3.82256, 3.83649, 3.85227, 3.87104, 3.89295, 3.91696, 3.94051, 3.96315, 3.98631, 4.011,
    4.03656, 4.06178, 4.08802, 4.11518, 4.14328, 4.1722, 4.21504, 4.25977, 4.30465, 4.35,
]);

/// Nickel-rich/graphite-silicon 21700: Chen et al., J. Electrochem. Soc. 167 (2020) 080534,
/// evaluated as above.
const LITHIUM_ION: OpenCircuitTable = OpenCircuitTable::new(&[
    2.5, 2.92123, 3.10945, 3.21069, 3.29591, 3.37868, 3.43389, 3.46412, 3.48519, 3.50559, 3.52856,
    3.55448, 3.58145, 3.60677, 3.62905, 3.64868, 3.66701, 3.68552, 3.7054, 3.72727, 3.75087,
    3.77504, 3.79835, 3.82002, 3.84058, 3.86244, 3.88959, 3.92065, 3.94791, 3.97132, 3.9943,
    4.01812, 4.04208, 4.06399, 4.08091, 4.09107, 4.09666, 4.10475, 4.12355, 4.15643, 4.2,
]);

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn checked_ends_of_the_window() {
        for chemistry in Chemistry::ALL {
            assert_eq!(chemistry.open_circuit(1.0), chemistry.full());
            assert_eq!(chemistry.open_circuit(0.0), chemistry.damage());
            assert!(chemistry.storage() < chemistry.full());
        }
    }

    #[test]
    fn checked_absurd_charge_and_voltage_take_the_end() {
        let polymer = Chemistry::LithiumPolymer;
        assert_eq!(polymer.open_circuit(-3.0), Voltage::volts(3.0));
        assert_eq!(polymer.open_circuit(1e300), Voltage::volts(4.2));
        assert!(polymer.open_circuit(f64::NAN).in_volts().is_nan());
        assert_eq!(polymer.charge_at(Voltage::volts(-1.0)), 0.0);
        assert_eq!(polymer.charge_at(Voltage::volts(f64::INFINITY)), 1.0);
        assert_eq!(polymer.charge_at(Voltage::volts(f64::NAN)), 0.0);
    }

    proptest! {
        #[test]
        fn checked_less_charge_is_less_voltage(low in 0.0..0.999f64, step in 1e-4..0.5f64) {
            for chemistry in Chemistry::ALL {
                let high = (low + step).min(1.0);
                prop_assert!(chemistry.open_circuit(low) < chemistry.open_circuit(high));
            }
        }

        #[test]
        fn checked_charge_at_undoes_open_circuit(charge in 0.0..=1.0f64) {
            for chemistry in Chemistry::ALL {
                let back = chemistry.charge_at(chemistry.open_circuit(charge));
                // Rounding of volts near 4 V over the flattest slope, 0.16 V per unit of charge.
                prop_assert!((back - charge).abs() < 1e-13);
            }
        }
    }
}
