//! Permittivity of soils, waters and concrete by frequency, moisture and temperature.

use crate::wall::Material;
use num_complex::Complex64;

/// Names that a ground may be given, each with its other spellings after it.
const NAMES: &[(&[&str], Ground)] = &[
    (&["very-dry", "very dry ground"], Ground::VeryDry),
    (&["medium-dry", "medium dry ground"], Ground::MediumDry),
    (&["wet", "wet ground"], Ground::Wet),
    (&["concrete", "tarmac"], Ground::Concrete),
    (&["dry", "dry soil"], Ground::Soil(Soil::SANDY_LOAM, 0.05)),
    (&["sandy-loam"], Ground::Soil(Soil::SANDY_LOAM, 0.15)),
    (&["loam"], Ground::Soil(Soil::LOAM, 0.15)),
    (&["wet-loam", "wet soil"], Ground::Soil(Soil::LOAM, 0.30)),
    (&["silty-loam"], Ground::Soil(Soil::SILTY_LOAM, 0.15)),
    (
        &["silty-clay", "clay"],
        Ground::Soil(Soil::SILTY_CLAY, 0.15),
    ),
    (&["water", "fresh-water", "lake"], Ground::FreshWater),
    (&["sea-water", "sea"], Ground::SeaWater),
];

/// A ground to fly over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ground {
    /// Very dry ground, Rec. ITU-R P.2040-3 (2023), Table 3.
    VeryDry,
    /// Medium dry ground, same table.
    MediumDry,
    /// Wet ground, same table.
    Wet,
    /// Concrete, same table.
    Concrete,
    /// A soil and its volumetric water content, from 0 to about 0.5; at 20 °C.
    Soil(Soil, f64),
    /// Fresh water at 20 °C.
    FreshWater,
    /// Sea water of 35 g/kg at 20 °C.
    SeaWater,
}

/// A texture of soil. Rec. ITU-R P.527-4 (2017), Table 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Soil {
    /// Sand \[%\].
    pub sand: f64,
    /// Clay \[%\].
    pub clay: f64,
    /// Silt \[%\].
    pub silt: f64,
}

/// Density of the grains of any soil \[g/cm³\]. Rec. ITU-R P.527-4 has 2.5 to 2.7; this is quartz.
const GRAIN: f64 = 2.65;

impl Soil {
    /// Sandy loam.
    pub const SANDY_LOAM: Self = Self::of(51.52, 13.42, 35.06);
    /// Loam.
    pub const LOAM: Self = Self::of(41.96, 8.53, 49.51);
    /// Silty loam.
    pub const SILTY_LOAM: Self = Self::of(30.63, 13.48, 55.89);
    /// Silty clay.
    pub const SILTY_CLAY: Self = Self::of(5.02, 47.38, 47.60);

    const fn of(sand: f64, clay: f64, silt: f64) -> Self {
        Self { sand, clay, silt }
    }

    /// Density of the dry soil with its pores \[g/cm³\], by its texture. Rec. ITU-R P.527-4, equation (36). Parts below 1 % are left out.
    fn bulk(&self) -> f64 {
        let part = |percent: f64, factor: f64| factor * percent.max(1.0).ln();
        1.072_56
            + part(self.sand, 0.078_886)
            + part(self.clay, 0.038_753)
            + part(self.silt, 0.032_732)
    }
}

impl Ground {
    /// The ground of a name, with or without hyphens.
    pub fn named(name: &str) -> Option<Self> {
        let mut known = NAMES.iter();
        let found = known.find(|(names, _)| names.iter().any(|one| crate::same_name(one, name)));
        found.map(|(_, ground)| *ground)
    }

    /// Every name, the first spelling of each.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMES.iter().map(|(names, _)| names[0])
    }

    /// Relative permittivity ε′ − jε″.
    ///
    /// Validated: 40 values of two frequencies, soils and waters re-computed from Rec. ITU-R P.527-4 and P.2040-3, within their printed digits.
    pub fn permittivity(&self, frequency_hz: f64) -> Complex64 {
        let ghz = 1e-9 * frequency_hz;
        match *self {
            Self::VeryDry => table_row(ghz, [3.0, 0.0, 0.000_15, 2.52]),
            Self::MediumDry => table_row(ghz, [15.0, -0.1, 0.035, 1.63]),
            Self::Wet => table_row(ghz, [30.0, -0.4, 0.15, 1.30]),
            Self::Concrete => Material::Concrete.permittivity(frequency_hz),
            Self::Soil(soil, moisture) => soil_permittivity(&soil, moisture, ROOM, frequency_hz),
            Self::FreshWater => water(ROOM, frequency_hz),
            Self::SeaWater => sea_water(ROOM, SEA, frequency_hz),
        }
    }
}

/// The temperature of a named ground \[°C\].
const ROOM: f64 = 20.0;
/// Salinity of the open sea \[g/kg\].
const SEA: f64 = 35.0;

/// `ε′ = a·f^b`, `σ = c·f^d`, f in GHz; Rec. ITU-R P.2040-3, equations (57) to (59).
pub(crate) fn table_row(ghz: f64, [a, b, c, d]: [f64; 4]) -> Complex64 {
    let conductivity = c * ghz.powf(d);
    Complex64::new(a * ghz.powf(b), -CONDUCTIVITY * conductivity / ghz)
}

/// 1/(2πε₀·10⁹ Hz) \[Ω·m\]: what turns S/m over GHz into a permittivity. 17.98 in Rec. ITU-R P.2040, here from ε₀ = 8.854 187 812 8·10⁻¹² F/m.
const CONDUCTIVITY: f64 = 1e-9 / (std::f64::consts::TAU * 8.854_187_812_8e-12);

/// Relative permittivity of pure water at a temperature \[°C\], from −4 to 40 °C. Rec. ITU-R P.527-4 (2017), section 5.1.1; the same in P.527-6.
pub fn water(celsius: f64, frequency_hz: f64) -> Complex64 {
    Debye::of_water(celsius).at(1e-9 * frequency_hz)
}

/// Relative permittivity of sea water at a temperature \[°C\] and salinity \[g/kg\], up to 40 g/kg. Rec. ITU-R P.527-4 (2017), section 5.1.2;
/// P.527-6 has newer coefficients, by which it is 2 to 6 % off: nothing that a reflection shows.
pub fn sea_water(celsius: f64, salinity: f64, frequency_hz: f64) -> Complex64 {
    let (t, s, ghz) = (celsius, salinity, 1e-9 * frequency_hz);
    let pure = Debye::of_water(t);
    let slow = 2.393_57e-3 + t * (-3.135_30e-5 + t * 2.524_77e-7);
    let salt = Debye {
        still: pure.still * (-3.564_17e-3 * s + 4.748_68e-6 * s * s + 1.155_74e-5 * t * s).exp(),
        middle: pure.middle * (-6.289_08e-3 * s + 1.760_32e-4 * s * s - 9.221_44e-5 * t * s).exp(),
        fast: pure.fast * (1.0 + s * (-2.042_65e-3 + 1.578_83e-4 * t)),
        first_ghz: pure.first_ghz * (1.0 + s * slow),
        second_ghz: pure.second_ghz * (1.0 + s * (-1.997_23e-2 + 1.811_76e-4 * t)),
    };
    salt.at(ghz) - Complex64::i() * (CONDUCTIVITY_ROUND * salt_conductivity(t, s) / ghz)
}

/// Conductivity of sea water \[S/m\].
fn salt_conductivity(t: f64, s: f64) -> f64 {
    let at_35 = 2.903_602 + t * (8.607e-2 + t * (4.738_817e-4 + t * (-2.991e-6 + t * 4.3047e-9)));
    let at_15 = s * (37.5109 + s * (5.452_16 + s * 1.4409e-2)) / (1004.75 + s * (182.283 + s));
    let a0 = (6.9431 + s * (3.2841 - s * 9.9486e-2)) / (84.850 + s * (69.024 + s));
    let a1 = 49.843 + s * (-0.2276 + s * 0.198e-2);
    at_35 * at_15 * (1.0 + a0 * (t - 15.0) / (a1 + t))
}

/// Rec. ITU-R P.527 rounds 17.98 to 18.
const CONDUCTIVITY_ROUND: f64 = 18.0;

/// Relative permittivity of a soil with a volumetric water content at a temperature \[°C\]. Rec. ITU-R P.527-4 (2017), section 5.2; the same in
/// P.527-6.
///
/// Water below a thousandth and above one half is taken as these ends: the equations are for soils between.
pub fn soil_permittivity(soil: &Soil, moisture: f64, celsius: f64, frequency_hz: f64) -> Complex64 {
    const ALPHA: f64 = 0.65;
    let ghz = 1e-9 * frequency_hz;
    let moisture = moisture.clamp(1e-3, 0.5);
    let (sand, clay) = (soil.sand, soil.clay);
    let free = free_water(soil, moisture, celsius, ghz);
    let grains = (1.01 + 0.44 * GRAIN).powi(2) - 0.062;
    let real_power = 1.2748 - 0.005_19 * sand - 0.001_52 * clay;
    let loss_power = 1.337_97 - 0.006_03 * sand - 0.001_66 * clay;
    let solid = soil.bulk() / GRAIN * (grains.powf(ALPHA) - 1.0);
    let wet = moisture.powf(real_power) * free.re.max(0.0).powf(ALPHA);
    let real = (1.0 + solid + wet - moisture).powf(1.0 / ALPHA);
    let loss = moisture.powf(loss_power) * (-free.im).max(0.0).powf(ALPHA);
    Complex64::new(real, -loss.powf(1.0 / ALPHA))
}

/// The water between the grains, with what is dissolved in it.
fn free_water(soil: &Soil, moisture: f64, celsius: f64, ghz: f64) -> Complex64 {
    let (sand, clay, bulk) = (soil.sand, soil.clay, soil.bulk());
    let low = 0.0467 + 0.2204 * bulk - 0.004_111 * sand - 0.006_614 * clay;
    let high = -1.645 + 1.939 * bulk - 0.022_562_2 * sand + 0.015_94 * clay;
    let ratio = ghz / 1.35;
    let fall = (low - high) / (1.0 + ratio * ratio);
    let scale = CONDUCTIVITY_ROUND / ghz * (GRAIN - bulk) / (GRAIN * moisture);
    Debye::of_water(celsius).at(ghz) + Complex64::new(ratio * fall, -(high + fall)) * scale
}

/// A double Debye relaxation.
struct Debye {
    /// Permittivity of a still field, between the relaxations, and beyond both.
    still: f64,
    middle: f64,
    fast: f64,
    first_ghz: f64,
    second_ghz: f64,
}

impl Debye {
    fn of_water(celsius: f64) -> Self {
        let theta = 300.0 / (celsius + 273.15) - 1.0;
        let still = 77.66 + 103.3 * theta;
        let first_ghz = 20.20 - 146.4 * theta + 316.0 * theta * theta;
        Self {
            still,
            middle: 0.0671 * still,
            fast: 3.52 - 7.52 * theta,
            first_ghz,
            second_ghz: 39.8 * first_ghz,
        }
    }

    fn at(&self, ghz: f64) -> Complex64 {
        let step = |height: f64, relaxes: f64| height / Complex64::new(1.0, ghz / relaxes);
        step(self.still - self.middle, self.first_ghz)
            + step(self.middle - self.fast, self.second_ghz)
            + self.fast
    }
}
