//! Usual plugs, boards and leads between the cells and the load.

use quantity::{Current, Length, Resistance, WireGauge};

use super::{Mark, Typical};
use quantity::Doubt;

/// A battery plug by its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PlugClass {
    /// Two pins at 2.0 mm pitch, the old single-cell plug, worn as they soon are.
    TwoMillimetreTwoPin,
    /// The later single-cell plug with round low-resistance contacts.
    LowResistanceSingleCell,
    /// XT30 size.
    Xt30,
    /// XT60 size.
    Xt60,
}

/// What a plug may carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugRating {
    /// For minutes.
    pub continuous: Current,
    /// For a punch.
    pub burst: Current,
    /// Where both come from.
    pub source: &'static str,
    /// What kind of knowledge that is.
    pub marked: Mark,
}

/// Resistance of a mated plug, both contacts: the middle of the trade's range, ×/÷ 2.
///
/// Ranges, from memory of the trade: 8 to 20, 2 to 5, 0.8 to 1.5 and 0.4 to 0.7 mΩ.
pub fn plug_resistance(plug: PlugClass) -> Typical<Resistance> {
    let (low, high) = match plug {
        PlugClass::TwoMillimetreTwoPin => (8.0, 20.0),
        PlugClass::LowResistanceSingleCell => (2.0, 5.0),
        PlugClass::Xt30 => (0.8, 1.5),
        PlugClass::Xt60 => (0.4, 0.7),
    };
    Typical::new(
        Resistance::milliohms(f64::sqrt(low * high)),
        Doubt::Factor(std::f64::consts::LN_2),
        "remembered pair resistance by plug size; spread ×/÷ 2",
        Mark::Memory,
    )
}

/// What a plug may carry. On the 2.0 mm plug 6 to 10 A are common and are abuse.
pub fn plug_rating(plug: PlugClass) -> PlugRating {
    let (continuous, burst, source, marked) = match plug {
        PlugClass::TwoMillimetreTwoPin => (
            2.0,
            5.0,
            "connector guides: 2 A per contact; burst remembered",
            Mark::Memory,
        ),
        PlugClass::LowResistanceSingleCell => (
            9.0,
            14.0,
            "connector note: 9 to 10 A; burst remembered",
            Mark::Memory,
        ),
        PlugClass::Xt30 => (15.0, 30.0, "common practice", Mark::CommonPractice),
        PlugClass::Xt60 => (
            30.0,
            60.0,
            "common practice, 30 to 35 A continuous",
            Mark::CommonPractice,
        ),
    };
    PlugRating {
        continuous: Current::amperes(continuous),
        burst: Current::amperes(burst),
        source,
        marked,
    }
}

/// Board traces and switches between the battery pads and the motors: 3 to 8 mΩ.
pub fn board_resistance() -> Typical<Resistance> {
    Typical::between(
        Resistance::milliohms(3.0),
        Resistance::milliohms(8.0),
        "remembered range for traces and transistors",
        Mark::Memory,
    )
}

/// What different charts let a wire carry. They disagree two- to threefold, because some mean
/// minutes and some mean seconds; show the spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireCurrents {
    /// A cautious model-shop chart, continuous; it does not list thin wire.
    pub cautious: Option<Current>,
    /// A bolder hobby chart, continuous.
    pub bold: Current,
    /// What is sensible up to 10 cm with air on it, continuous, from and to.
    pub sensible: (Current, Current),
    /// For ten seconds.
    pub burst: Current,
}

/// Currents for a silicone lead of an even gauge from 12 to 30; `None` for other sizes.
pub fn wire_currents(gauge: WireGauge) -> Option<WireCurrents> {
    let row = WIRE_CURRENTS
        .iter()
        .find(|row| f64::from(row.0) == gauge.in_awg())?;
    let &(_, cautious, bold, low, high, burst) = row;
    Some(WireCurrents {
        cautious: cautious.map(Current::amperes),
        bold: Current::amperes(bold),
        sensible: (Current::amperes(low), Current::amperes(high)),
        burst: Current::amperes(burst),
    })
}

/// Usual outer diameter of a silicone-insulated lead, remembered; `None` for other sizes.
pub fn insulated_diameter(gauge: WireGauge) -> Option<Typical<Length>> {
    let millimetres = match gauge.in_awg() {
        12.0 => 4.5,
        14.0 => 3.5,
        16.0 => 3.0,
        18.0 => 2.3,
        20.0 => 1.8,
        22.0 => 1.7,
        24.0 => 1.6,
        26.0 => 1.5,
        28.0 => 1.2,
        30.0 => 0.8,
        _ => return None,
    };
    Some(Typical::new(
        Length::millimetres(millimetres),
        Doubt::Factor(0.12),
        "remembered diameters of silicone hook-up wire",
        Mark::Memory,
    ))
}

/// Gauge, cautious chart, bold chart, sensible from and to, ten-second burst \[A\].
/// Two published hobby charts; the rest common practice.
const WIRE_CURRENTS: [(u8, Option<f64>, f64, f64, f64, f64); 10] = [
    (30, None, 0.8, 0.8, 1.0, 1.5),
    (28, None, 1.25, 1.3, 1.6, 2.5),
    (26, None, 3.5, 2.5, 3.5, 5.0),
    (24, None, 5.0, 4.0, 5.0, 8.0),
    (22, None, 8.7, 7.0, 9.0, 14.0),
    (20, Some(11.0), 13.9, 13.0, 17.0, 25.0),
    (18, Some(16.0), 22.0, 20.0, 25.0, 40.0),
    (16, Some(22.0), 35.0, 30.0, 37.0, 60.0),
    (14, Some(32.0), 55.0, 45.0, 58.0, 90.0),
    (12, Some(45.0), 88.0, 65.0, 90.0, 140.0),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lead::steady_current;
    use quantity::Temperature;

    #[test]
    fn checked_sensible_currents_keep_silicone_alive() {
        // The middle of "sensible" must not warm a long lead in still air above the 200 °C that
        // silicone stands, at 25 °C: a second way to the same table.
        for gauge in [16.0, 18.0, 20.0, 22.0, 24.0, 26.0, 28.0, 30.0].map(WireGauge::awg) {
            let across = insulated_diameter(gauge).unwrap().quantity.value;
            let limit = steady_current(
                gauge,
                across,
                Temperature::celsius(25.0),
                Temperature::celsius(200.0),
            );
            assert!(wire_currents(gauge).unwrap().sensible.1 < limit);
        }
    }

    #[test]
    fn checked_thicker_carries_more_and_odd_sizes_are_unknown() {
        for pair in WIRE_CURRENTS.windows(2) {
            assert!(pair[0].2 < pair[1].2 && pair[0].4 < pair[1].4 && pair[0].5 < pair[1].5);
        }
        assert_eq!(wire_currents(WireGauge::awg(21.0)), None);
        assert_eq!(wire_currents(WireGauge::awg(f64::NAN)), None);
    }
}
