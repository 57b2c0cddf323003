//! Usual cells and packs.

use quantity::{
    Charge, Current, DischargeRate, Doubt, Mass, MolarEnergy, Ratio, Resistance, Time, Voltage,
};

use super::{Mark, Typical, factor};
use crate::Pack;

/// How a pack has lived.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// Fewer than about ten flights.
    New,
    /// Flown, still good.
    Used,
    /// A hundred and fifty flights or more, or it feels weak.
    Tired,
}

/// Resistance of one new cell at 25 °C, direct current, 10 s: 6.05 mΩ·(capacity/Ah)^−1.38, ×/÷ 1.35.
///
/// A fit to the middles of a trade table of new cells **without** plug and leads (300 mAh 22 to
/// 40 mΩ, 450 14–25, 550 11–20, 650 8–14, 850 6–11, 1100 4–7, 1300 3–5.5, 1500 2.5–4.5); the fit
/// is within 7 % of every middle and the half-width of every row is 28 to 30 % in the logarithm.
/// A second table, for planning, gives 45 ± 15, 32 ± 10, 25 ± 8, 10 ± 3 and 5 ± 1.5 mΩ at 275,
/// 450, 375 (two-cell), 750 and 1250 mAh, **with** the connector; less a usual plug it agrees
/// within one standard uncertainty (checked below). The first is followed, because plug and leads
/// are counted on their own here. Outside 0.2 to 2 Ah it is extrapolated. No capacity gives an
/// absurdly soft cell, not a panic.
pub fn new_cell_resistance(capacity: Charge) -> Typical<Resistance> {
    let ampere_hours = capacity.in_ampere_hours().max(1e-6);
    Typical::new(
        Resistance::milliohms(6.05 * ampere_hours.powf(-1.38)),
        Doubt::Factor(0.30),
        "fit to the middles of a trade table of eight new cells, 300 to 1500 mAh, without plug",
        Mark::Fit,
    )
}

/// What a pack's life has done to its resistance.
pub fn age_factor(condition: Condition) -> Typical<Ratio> {
    match condition {
        Condition::New => factor(
            1.0,
            Doubt::Exact,
            "by definition; the spread is in the new cell",
            Mark::CommonPractice,
        ),
        Condition::Used => factor(
            1.25,
            Doubt::Factor(0.15),
            "our own step between new and tired",
            Mark::Proposal,
        ),
        Condition::Tired => factor(
            1.7,
            Doubt::Factor(0.15),
            "trade figures of 1.5 to 2 after 150 cycles",
            Mark::CommonPractice,
        ),
    }
}

/// How fast resistance grows in the cold: 20 ± 6 kJ/mol.
pub fn activation_energy() -> Typical<MolarEnergy> {
    Typical::new(
        MolarEnergy::kilojoules_per_mole(20.0),
        Doubt::Plain(6e3),
        "between two simulated power cells (17.7 and 27.5 kJ/mol, 10 s, −10 to 50 °C); \
         trade figure −1.8 ± 0.4 % per °C",
        Mark::Simulation,
    )
}

/// Resistance in a steady discharge over that after 10 s: 1.25, ln sd 0.12.
pub fn sustained_ratio() -> Typical<Ratio> {
    factor(
        1.25,
        Doubt::Factor(0.12),
        "a simulated energy pouch gives 1.4; power cells less",
        Mark::Proposal,
    )
}

/// Share by which resistance has grown when the cell is empty: 0.4 ×/÷ 2.
pub fn low_charge_rise() -> Typical<Ratio> {
    factor(
        0.4,
        Doubt::Factor(std::f64::consts::LN_2),
        "proposal; rises of 0 to 80 % below 30 % charge are thinkable",
        Mark::Proposal,
    )
}

/// How far a real cell rests from the curve of its chemistry: ±40 mV per cell.
///
/// Two resting tables that builders use lie 36 and 48 mV above the polymer curve, on average, so
/// the middle may well be above zero; the tables are remembered, hence no shift.
pub fn open_circuit_offset() -> Typical<Voltage> {
    Typical::new(
        Voltage::volts(0.0),
        Doubt::Plain(0.040),
        "distance between the resting tables of the trade and the simulated polymer cell",
        Mark::Simulation,
    )
}

/// Rate a pack really stands, from sag: 300 mV per cell, 250 to 350, over its resistance.
pub fn rate_by_sag(resistance: Resistance, capacity: Charge) -> Typical<DischargeRate> {
    let sag_rate = |millivolts| {
        let amps = Voltage::millivolts(millivolts) / floor_of(resistance);
        rate(amps, capacity)
    };
    Typical::between(
        sag_rate(250.0),
        sag_rate(350.0),
        "a sag of 0.25 to 0.35 V per cell is what builders call honest",
        Mark::CommonPractice,
    )
}

/// Rate a pack really stands, from heat: 2.5/√(R·Ah), R in ohms per cell.
///
/// The rule of the trade; equal to 6.25 W of heat per ampere-hour of cell. ±20 % is ours.
pub fn rate_by_heat(resistance: Resistance, capacity: Charge) -> Typical<DischargeRate> {
    let merit = floor_of(resistance).in_ohms() * capacity.in_ampere_hours().max(1e-6);
    Typical::new(
        DischargeRate::per_hour(2.5 / merit.sqrt()),
        Doubt::Factor(0.2),
        "rule of the trade from internal resistance",
        Mark::CommonPractice,
    )
}

/// Resistance times capacity of a cell \[mΩ·Ah\]: to 6 excellent, to 9 normal, to 13 tired.
///
/// Small cells are worse when new: 300 mAh start near 9, 1500 mAh near 5.
pub fn merit(resistance: Resistance, capacity: Charge) -> f64 {
    resistance.in_milliohms() * capacity.in_ampere_hours()
}

/// Mass of a lithium polymer pack with its leads, from its nominal energy and the usual Wh/kg of
/// its cell count.
///
/// A fit to 26 stated packs of one high-current line (1 to 6 Ah, 2 to 6 cells) is heavier,
/// 11.9 g·(Wh)^0.93 ×/÷ 1.04: by a quarter at 10 Wh and a sixth at 22 Wh. The packs of small
/// craft follow the band given here (checked below), so the fit is not used.
pub fn pack_mass(pack: &Pack) -> Typical<Mass> {
    let (heavy, light) = usual_watt_hours_per_kilogram(pack.series);
    let watt_hours = pack.nominal_energy().in_watt_hours().max(1e-6);
    Typical::between(
        Mass::kilograms(watt_hours / light),
        Mass::kilograms(watt_hours / heavy),
        "usual energy per mass by cell count",
        Mark::CommonPractice,
    )
}

/// What a mass and a nominal energy say of each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyPerMass {
    /// Nominal energy over mass [Wh/kg]; zero if there is no mass.
    pub watt_hours_per_kilogram: f64,
    /// What polymer packs of this many cells usually have, leads included [Wh/kg].
    pub usual: (f64, f64),
    /// How to take it.
    pub plausible: Plausible,
}

/// How to take an energy per mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Plausible {
    /// As packs are.
    Usual,
    /// Beyond the usual, but packs like that exist.
    Unusual,
    /// Below 90 or above 170 Wh/kg: mistyped, or not lithium polymer.
    MistypedOrOther,
}

/// Cross-check of a pack's mass against its energy, for lithium polymer with leads.
///
/// Common practice: one cell 130 to 155 Wh/kg, two or three 110–140, four to six 105–135.
/// Cylindrical lithium ion has 190 to 230 (memory), so it fails this on purpose.
pub fn energy_per_mass(pack: &Pack, mass: Mass) -> EnergyPerMass {
    let kilograms = mass.in_kilograms();
    let per_kilogram = if kilograms > 0.0 {
        pack.nominal_energy().in_watt_hours() / kilograms
    } else {
        0.0
    };
    let usual = usual_watt_hours_per_kilogram(pack.series);
    let plausible = if (usual.0..=usual.1).contains(&per_kilogram) {
        Plausible::Usual
    } else if (90.0..=170.0).contains(&per_kilogram) {
        Plausible::Unusual
    } else {
        Plausible::MistypedOrOther
    };
    EnergyPerMass {
        watt_hours_per_kilogram: per_kilogram,
        usual,
        plausible,
    }
}

fn usual_watt_hours_per_kilogram(series: u32) -> (f64, f64) {
    match series {
        0 | 1 => (130.0, 155.0),
        2 | 3 => (110.0, 140.0),
        _ => (105.0, 135.0),
    }
}

/// A resistance that can be divided by.
fn floor_of(resistance: Resistance) -> Resistance {
    Resistance::ohms(resistance.in_ohms().max(1e-6))
}

/// Current over capacity.
fn rate(current: Current, capacity: Charge) -> DischargeRate {
    let hours = Charge::ampere_hours(capacity.in_ampere_hours().max(1e-6)) / Time::hours(1.0);
    DischargeRate::per_hour(current / hours)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::typical::{PlugClass, plug_resistance};
    use crate::{Cell, Chemistry};

    fn mah(value: f64) -> Charge {
        Charge::milliampere_hours(value)
    }

    #[test]
    fn checked_new_cells_sit_in_the_trade_table() {
        let table = [
            (300.0, 22.0, 40.0),
            (450.0, 14.0, 25.0),
            (550.0, 11.0, 20.0),
            (650.0, 8.0, 14.0),
            (850.0, 6.0, 11.0),
            (1100.0, 4.0, 7.0),
            (1300.0, 3.0, 5.5),
            (1500.0, 2.5, 4.5),
        ];
        for (capacity, low, high) in table {
            let typical = new_cell_resistance(mah(capacity)).quantity;
            let middle = f64::sqrt(low * high);
            assert!(
                (typical.value.in_milliohms() / middle - 1.0).abs() < 0.075,
                "{capacity}"
            );
            // One standard uncertainty spans the row's half-width.
            assert!((typical.at(1.0).in_milliohms() / high - 1.0).abs() < 0.10);
            assert!((typical.at(-1.0).in_milliohms() / low - 1.0).abs() < 0.10);
        }
    }

    #[test]
    fn checked_with_a_plug_it_meets_the_planning_table() {
        // Capacity, cells, usual plug, planning value and its standard uncertainty per cell [mΩ].
        let table = [
            (275.0, 1.0, PlugClass::TwoMillimetreTwoPin, 45.0, 15.0),
            (450.0, 1.0, PlugClass::TwoMillimetreTwoPin, 32.0, 10.0),
            (375.0, 2.0, PlugClass::Xt30, 25.0, 8.0),
            (750.0, 3.5, PlugClass::Xt30, 10.0, 3.0),
            (1250.0, 5.0, PlugClass::Xt60, 5.0, 1.5),
        ];
        for (capacity, cells, plug, planned, spread) in table {
            let cell = new_cell_resistance(mah(capacity)).quantity.value;
            let share = plug_resistance(plug).quantity.value / cells;
            let together = (cell + share).in_milliohms();
            assert!(
                (together - planned).abs() < spread,
                "{capacity}: {together}"
            );
        }
    }

    #[test]
    fn checked_rates_by_hand() {
        let heat = |r, q| {
            rate_by_heat(Resistance::milliohms(r), mah(q))
                .quantity
                .value
                .in_per_hour()
        };
        // The trade's own examples, printed to whole C: 26, 28, 31, 30, 33.
        for (r, q, printed) in [
            (30.0, 300.0, 26.0),
            (18.0, 450.0, 28.0),
            (10.0, 650.0, 31.0),
            (8.0, 850.0, 30.0),
            (4.5, 1300.0, 33.0),
        ] {
            assert!(
                (heat(r, q) - printed).abs() < 0.75,
                "{r} {q} {}",
                heat(r, q)
            );
        }
        // √(250 × 350) = 295.8 mV over 6.5 mΩ·Ah is 45.5 C.
        let sag = rate_by_sag(Resistance::milliohms(5.0), mah(1300.0))
            .quantity
            .value;
        assert!((sag.in_per_hour() - 45.5).abs() < 0.1);
        let none = rate_by_sag(Resistance::milliohms(0.0), mah(0.0))
            .quantity
            .value;
        assert!(none.in_per_hour().is_finite());
    }

    #[test]
    fn checked_pack_masses_meet_the_part_table() {
        // Cells, mAh, weighed from and to [g], from a trade table of packs by class.
        let table = [
            (1, 450.0, 11.0, 12.6),
            (1, 550.0, 13.5, 15.0),
            (2, 450.0, 26.0, 30.0),
            (3, 650.0, 52.0, 60.0),
            (4, 650.0, 72.0, 82.0),
            (4, 850.0, 92.0, 108.0),
            (4, 1500.0, 174.0, 192.0),
            (6, 1300.0, 208.0, 236.0),
        ];
        for (series, capacity, low, high) in table {
            let mass = pack_mass(&polymer(series, capacity)).quantity;
            // One standard uncertainty from either side of the row reaches it.
            assert!(mass.at(1.0).in_grams() > low, "{series} {capacity}");
            assert!(mass.at(-1.0).in_grams() < high, "{series} {capacity}");
        }
    }

    #[test]
    fn checked_a_mistyped_mass_is_seen() {
        // 4 × 3.7 V × 0.65 Ah = 9.62 Wh: 77 g is 125 Wh/kg, 7.7 g is 1249, 96 g is 100.
        let pack = polymer(4, 650.0);
        let plausible = |grams| energy_per_mass(&pack, Mass::grams(grams)).plausible;
        assert_eq!(plausible(77.0), Plausible::Usual);
        assert_eq!(plausible(96.0), Plausible::Unusual);
        assert_eq!(plausible(7.7), Plausible::MistypedOrOther);
        assert_eq!(plausible(0.0), Plausible::MistypedOrOther);
    }

    fn polymer(series: u32, capacity: f64) -> Pack {
        Pack {
            cell: Cell {
                chemistry: Chemistry::LithiumPolymer,
                capacity: mah(capacity),
                resistance: new_cell_resistance(mah(capacity)).quantity.value,
                activation_energy: activation_energy().quantity.value,
                sustained_ratio: sustained_ratio().quantity.value.in_ones(),
                low_charge_rise: low_charge_rise().quantity.value.in_ones(),
                open_circuit_offset: open_circuit_offset().quantity.value,
            },
            series,
            parallel: 1,
        }
    }
}
