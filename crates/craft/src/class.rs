//! Airframe classes and the bands that builders expect of them.
//!
//! The bands are common practice; they tell a mistyped figure from a craft that is merely unusual.

use crate::sheet::choices;

choices! {
    /// What sort of craft it is.
    AirframeClass {
        /// Ducted micro, 65 mm across the motors, 31 mm propellers, one cell.
        Ducted65 "ducted-65";
        /// Ducted micro, 75 mm across the motors, 40 mm propellers, one cell.
        Ducted75 "ducted-75";
        /// Ducted micro, 85 mm across the motors, 2 in propellers, two cells.
        Ducted85 "ducted-85";
        /// Ducted, 2.5 in propellers, three or four cells.
        Ducted25 "ducted-2.5-inch";
        /// Open, 3 in propellers.
        Open3 "open-3-inch";
        /// Open, 3.5 to 4 in propellers.
        Open35 "open-3.5-inch";
        /// Open, 5 in propellers.
        Open5 "open-5-inch";
        /// Anything else: no class bands are applied.
        Other "other";
    }
}

/// A closed band of plain numbers, in the unit its name says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Least usual.
    pub low: f64,
    /// Most usual.
    pub high: f64,
}

impl Band {
    const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Whether `value` lies inside, ends included.
    pub fn contains(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// What is usual for one class. Common practice, no single source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassBands {
    /// All-up mass \[g\].
    pub all_up_g: Band,
    /// Electrical hover power over all-up mass \[W/g\].
    pub hover_w_per_g: Band,
    /// Hover speed of the propellers \[thousand rpm\].
    pub hover_krpm: Band,
    /// Active flying time \[min\].
    pub active_min: Band,
}

impl AirframeClass {
    /// The usual bands; none for [`AirframeClass::Other`].
    pub fn bands(self) -> Option<ClassBands> {
        let (all_up_g, hover_w_per_g, hover_krpm, active_min) = match self {
            Self::Ducted65 => ((24.0, 40.0), (0.28, 0.36), (33.0, 37.0), (3.0, 6.5)),
            Self::Ducted75 => ((31.0, 50.0), (0.23, 0.36), (25.0, 32.0), (3.0, 6.5)),
            Self::Ducted85 => ((62.0, 100.0), (0.24, 0.30), (22.0, 26.0), (3.5, 6.5)),
            Self::Ducted25 => ((60.0, 190.0), (0.23, 0.28), (20.0, 26.0), (4.0, 7.0)),
            Self::Open3 => ((95.0, 260.0), (0.15, 0.23), (13.0, 19.0), (5.0, 7.0)),
            Self::Open35 => ((215.0, 350.0), (0.16, 0.20), (11.0, 16.0), (5.0, 9.0)),
            Self::Open5 => ((550.0, 780.0), (0.155, 0.19), (9.5, 11.2), (3.5, 6.0)),
            Self::Other => return None,
        };
        let band = |(low, high)| Band::new(low, high);
        Some(ClassBands {
            all_up_g: band(all_up_g),
            hover_w_per_g: band(hover_w_per_g),
            hover_krpm: band(hover_krpm),
            active_min: band(active_min),
        })
    }
}
