//! What fills the air on the way: leaves, rain and the air's own gases.

use crate::Polarisation;

/// Loss \[dB\] of a way through trees: `A_m·(1 − e^(−d·γ/A_m))`. Rec. ITU-R P.833-9 (2016), section 2.1, one end in woodland.
///
/// `specific_db_per_m` is the loss per metre of a short way, `maximum_db` what scatter and the way round leave at most. In leaf; wet leaves
/// and trunks take more. Zero without depth. The equation is validated; what to put in at 5.8 GHz is not: see [`Foliage`].
pub fn vegetation_db(depth_m: f64, specific_db_per_m: f64, maximum_db: f64) -> f64 {
    if depth_m > 0.0 && maximum_db > 0.0 {
        -maximum_db * (-depth_m * specific_db_per_m / maximum_db).exp_m1()
    } else {
        0.0
    }
}

/// What trees take at a frequency where nobody measured these ones.
///
/// Rec. ITU-R P.833-9 measured from 106 MHz to 2.1 GHz. Above that it is extrapolated and not validated: two ways of carrying the figures on differ
/// by nearly a factor of two at 5.8 GHz, and the middle is this project's choice between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foliage {
    /// Least, likely and most loss of a short way \[dB/m\].
    pub specific_db_per_m: [f64; 3],
    /// The most loss there can be \[dB\].
    pub maximum_db: f64,
    /// Whether the frequency is beyond all measurements.
    pub extrapolated: bool,
}

/// The frequencies of the measurements \[MHz\].
const MEASURED_MHZ: std::ops::RangeInclusive<f64> = 105.9..=2117.5;

impl Foliage {
    /// By frequency.
    ///
    /// Least: the power law through the Recommendation's own five points, 0.00153·f^0.701 (MHz). Most: the key points of its figure for an upright
    /// field, 0.02, 0.2 and 6 dB/m at 30 MHz, 1 GHz and 30 GHz. Likely: the five points as far as they go, then on to 0.45 dB/m at 2.44 GHz and
    /// 1.0 dB/m at 5.8 GHz. The maximum is the Recommendation's 1.15·f^0.43 (MHz). Validated within the measurements: the five points, 10 %
    /// per metre and 18 % of the maximum.
    pub fn at(frequency_hz: f64) -> Self {
        let mhz = 1e-6 * frequency_hz;
        let points = five_points(mhz);
        let figure = match mhz < 1000.0 {
            true => between([30.0, 0.02], [1000.0, 0.2], mhz),
            false => between([1000.0, 0.2], [30_000.0, 6.0], mhz),
        };
        let last = *MEASURED_MHZ.end();
        let likely = match mhz {
            mhz if mhz <= last => points,
            mhz if mhz <= LOW[0] => between([last, five_points(last)], LOW, mhz),
            mhz => between(LOW, HIGH, mhz),
        };
        let (least, most) = (points.min(figure), points.max(figure));
        Self {
            specific_db_per_m: [least, likely.max(least).min(most), most],
            maximum_db: 1.15 * mhz.powf(0.43),
            extrapolated: !MEASURED_MHZ.contains(&mhz),
        }
    }

    /// Least, likely and most loss \[dB\] through so many metres of trees.
    pub fn loss_db(&self, depth_m: f64) -> [f64; 3] {
        self.specific_db_per_m
            .map(|specific| vegetation_db(depth_m, specific, self.maximum_db))
    }
}

/// What this project takes beyond the measurements: megahertz and decibels per metre.
const LOW: [f64; 2] = [2440.0, 0.45];
const HIGH: [f64; 2] = [5800.0, 1.0];

/// The straight line of least squares through the logarithms of 0.04, 0.12, 0.17, 0.30 and 0.34 dB/m at 105.9, 466.475, 949, 1852.2 and
/// 2117.5 MHz; Rec. ITU-R P.833-9.
fn five_points(mhz: f64) -> f64 {
    0.001_525_954 * mhz.powf(0.701_222)
}

/// The power law through two points.
fn between([x1, y1]: [f64; 2], [x2, y2]: [f64; 2], x: f64) -> f64 {
    y1 * (x / x1).powf((y2 / y1).ln() / (x2 / x1).ln())
}

/// Loss \[dB\] through dense dry trees in leaf, for a second opinion: `0.45·f^0.284·d` up to 14 m, `1.33·f^0.284·d^0.588` beyond, f in gigahertz.
/// M. A. Weissberger, ESD-TR-81-101 (1982).
///
/// From 230 MHz to 95 GHz, up to 400 m. Validated: 20 values of an independent evaluation, within their printed digits.
pub fn weissberger_db(depth_m: f64, frequency_hz: f64) -> f64 {
    let scale = (1e-9 * frequency_hz).powf(0.284);
    match depth_m {
        depth if depth <= 0.0 => 0.0,
        depth if depth <= 14.0 => 0.45 * scale * depth,
        depth => 1.33 * scale * depth.powf(0.588),
    }
}

/// A coefficient of rain over the logarithm of the frequency: bells of height, middle and width, and a straight line.
struct Bells {
    bells: &'static [[f64; 3]],
    slope: f64,
    level: f64,
}

impl Bells {
    fn at(&self, log_ghz: f64) -> f64 {
        let bell = |[height, middle, width]: &[f64; 3]| {
            let away = (log_ghz - middle) / width;
            height * (-away * away).exp()
        };
        self.bells.iter().map(bell).sum::<f64>() + self.slope * log_ghz + self.level
    }
}

// Rec. ITU-R P.838-3 (2005), Tables 1 to 4.
const K_H: Bells = Bells {
    bells: &[
        [-5.339_80, -0.100_08, 1.130_98],
        [-0.353_51, 1.269_70, 0.454_00],
        [-0.237_89, 0.860_36, 0.153_54],
        [-0.941_58, 0.645_52, 0.168_17],
    ],
    slope: -0.189_61,
    level: 0.711_47,
};
const K_V: Bells = Bells {
    bells: &[
        [-3.805_95, 0.569_34, 0.810_61],
        [-3.449_65, -0.229_11, 0.510_59],
        [-0.399_02, 0.730_42, 0.118_99],
        [0.501_67, 1.073_19, 0.271_95],
    ],
    slope: -0.163_98,
    level: 0.632_97,
};
const ALPHA_H: Bells = Bells {
    bells: &[
        [-0.143_18, 1.824_42, -0.551_87],
        [0.295_91, 0.775_64, 0.198_22],
        [0.321_77, 0.637_73, 0.131_64],
        [-5.376_10, -0.962_30, 1.478_28],
        [16.1721, -3.299_80, 3.439_90],
    ],
    slope: 0.678_49,
    level: -1.955_37,
};
const ALPHA_V: Bells = Bells {
    bells: &[
        [-0.077_71, 2.338_40, -0.762_84],
        [0.567_27, 0.955_45, 0.540_39],
        [-0.202_38, 1.145_20, 0.268_09],
        [-48.2991, 0.791_669, 0.116_226],
        [48.5833, 0.791_459, 0.116_479],
    ],
    slope: -0.053_739,
    level: 0.834_33,
};

/// Loss \[dB/km\] in rain of so many millimetres in an hour, on a level way: `k·R^α`. Rec. ITU-R P.838-3 (2005).
///
/// From 1 GHz to 1 THz. Below 2 km it may be left out at 5.8 GHz: 1 dB/km in a cloudburst. Validated: 30 values, within their printed digits.
pub fn rain_db_per_km(rate_mm_per_h: f64, frequency_hz: f64, polarisation: Polarisation) -> f64 {
    let log_ghz = (1e-9 * frequency_hz).log10();
    let k = [&K_H, &K_V].map(|bells| 10_f64.powf(bells.at(log_ghz)));
    let alpha = [&ALPHA_H, &ALPHA_V].map(|bells| bells.at(log_ghz));
    let (k, alpha) = match polarisation {
        Polarisation::Horizontal => (k[0], alpha[0]),
        Polarisation::Vertical => (k[1], alpha[1]),
        // A tilt of 45°: half of each.
        Polarisation::Circular => (
            0.5 * (k[0] + k[1]),
            (k[0] * alpha[0] + k[1] * alpha[1]) / (k[0] + k[1]),
        ),
    };
    match rate_mm_per_h > 0.0 {
        true => k * rate_mm_per_h.powf(alpha),
        false => 0.0,
    }
}

/// Loss \[dB/km\] in the air's oxygen and water vapour at sea level and 15 °C. Rec. ITU-R P.676-9 (2012), Annex 2, the short form for up to 54 GHz, which
/// later editions replaced by a sum over 79 lines.
///
/// Kept short because it does not matter here: a hundredth of a decibel for each kilometre. Asked for 1 to 10 GHz. Validated: two frequencies
/// against that sum by three programs, within 0.0001 dB/km.
pub fn gas_db_per_km(frequency_hz: f64, vapour_g_per_m3: f64) -> f64 {
    let ghz = 1e-9 * frequency_hz;
    let square = ghz * ghz;
    let oxygen = 7.2 / (square + 0.34) + 0.62 / ((54.0 - ghz).max(0.0).powf(1.16) + 0.83);
    1e-3 * square * oxygen + 1e-4 * square * vapour_g_per_m3 * vapour_lines(ghz, vapour_g_per_m3)
}

/// The lines of water vapour at 15 °C.
fn vapour_lines(ghz: f64, vapour_g_per_m3: f64) -> f64 {
    let narrow = 0.955 + 0.006 * vapour_g_per_m3;
    let wide = 0.735 + 0.0353 * vapour_g_per_m3;
    let away = |line: f64| (ghz - line).powi(2);
    let broad = |line: f64| 1.0 + ((ghz - line) / (ghz + line)).powi(2);
    let narrow_squared = narrow * narrow;
    let near = 3.98 / (away(22.235) + 9.42 * narrow_squared) * broad(22.0)
        + 11.96 / (away(183.31) + 11.14 * narrow_squared)
        + 0.081 / (away(321.226) + 6.29 * narrow_squared)
        + 3.66 / (away(325.153) + 9.22 * narrow_squared);
    let far = 25.37 / away(380.0)
        + 17.4 / away(448.0)
        + 844.6 / away(557.0) * broad(557.0)
        + 290.0 / away(752.0) * broad(752.0);
    narrow * (near + far) + wide * 8.3328e4 / away(1780.0) * broad(1780.0)
}
