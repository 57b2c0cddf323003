//! What bulk capacitor the battery pads want.
//!
//! Sizes from published size tables and trade articles; not validated by a model of ours yet.

use craft::AirframeClass;

/// A capacitor to look for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// Least and most \[µF\]; a least of zero means that none is needed.
    pub microfarads: (f64, f64),
    /// Least and comfortable volts printed on it \[V\].
    pub volts: (f64, f64),
    /// Longest legs \[mm\]: each millimetre is about 1 nH.
    pub legs_mm: f64,
}

/// Volts printed over volts of a full pack: least, comfortable. Both are taught.
const VOLTS_OVER_FULL: (f64, f64) = (1.2, 2.0);
/// Legs on the battery pads \[mm\].
const LEGS_MM: f64 = 5.0;
/// Series resistance of a good one at 100 kHz \[mΩ\]: polymer from, electrolytic to. Common practice.
pub const GOOD_SERIES_MILLIOHM: (f64, f64) = (8.0, 60.0);
/// Volts that capacitors are sold for.
const SOLD_V: [f64; 6] = [6.3, 10.0, 16.0, 25.0, 35.0, 50.0];

impl Advice {
    /// The printed volts to buy: the least sold that are enough.
    pub fn sold_v(&self) -> f64 {
        let enough = SOLD_V.iter().copied().find(|sold| *sold >= self.volts.0);
        enough.unwrap_or(self.volts.0)
    }
}

/// What a pack of so many cells in a craft of this class wants.
pub fn advice(class: Option<AirframeClass>, series: u32, full_cell_v: f64) -> Advice {
    use AirframeClass::{Open5, Open35};
    let full_v = f64::from(series) * full_cell_v;
    let microfarads = match (series, class) {
        (..=1, _) => (0.0, 220.0),
        (2, _) => (100.0, 330.0),
        (_, Some(Open35)) => (330.0, 470.0),
        (_, Some(Open5)) => (470.0, 1000.0),
        _ => (220.0, 330.0),
    };
    Advice {
        microfarads,
        volts: (VOLTS_OVER_FULL.0 * full_v, VOLTS_OVER_FULL.1 * full_v),
        legs_mm: LEGS_MM,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // A published size table: 2 to 3 in on up to four cells 220 to 330 µF 25 V, 4 in 330 to 470 µF 35 V,
    // 5 in 470 to 1000 µF 35 to 50 V; common practice for two cells 100 to 330 µF 16 V.
    #[test]
    fn validated_advice_is_the_published_table() {
        let of = |class, series| {
            let advice = advice(Some(class), series, 4.2);
            (advice.microfarads, advice.sold_v())
        };
        assert_eq!(of(AirframeClass::Ducted85, 2), ((100.0, 330.0), 16.0));
        assert_eq!(of(AirframeClass::Open3, 4), ((220.0, 330.0), 25.0));
        assert_eq!(of(AirframeClass::Open35, 6), ((330.0, 470.0), 35.0));
        assert_eq!(of(AirframeClass::Open5, 6), ((470.0, 1000.0), 35.0));
    }
}
