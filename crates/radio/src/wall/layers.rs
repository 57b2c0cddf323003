//! A plane wave through a pile of layers, with all that goes to and fro inside them.

use super::{Layer, Material};
use crate::free_space::wavelength_m;
use crate::ground::decaying_root;
use crate::{loss_of_power_share_db, power_share};
use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, PI};

/// How a wave swings at a wall.
///
/// Against the plane through the ray and the wall's normal. For a level ray at an upright wall an upright field is [`Polarisation::Te`] and a
/// level one [`Polarisation::Tm`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Polarisation {
    /// The electric field lies across that plane.
    Te,
    /// The electric field lies in that plane.
    Tm,
    /// Half of each.
    Circular,
}

/// What becomes of a wave at a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// Loss on the other side \[dB\]; infinite where nothing passes.
    pub loss_db: f64,
    /// Share of the power that passes.
    pub passes: f64,
    /// Share of the field that is thrown back, at the wall's face.
    pub reflected: Complex64,
}

/// Angle of a ray from the normal \[rad\] past which it no longer counts as going through.
const GRAZING: f64 = FRAC_PI_2 - 1e-4;

/// One layer in air. [`layers`] of one.
pub fn slab(
    layer: Layer,
    frequency_hz: f64,
    angle_rad: f64,
    polarisation: Polarisation,
) -> Through {
    layers(&[layer], frequency_hz, angle_rad, polarisation)
}

/// A pile of layers between air and air, at an angle from their normal \[rad\]. Rec. ITU-R P.2040-3 (2023), section 2.2.2.2.2, the ABCD matrices of
/// a multilayer slab.
///
/// Plane waves and endless even layers. At grazing it is taken just short of it. For a circular wave the powers of both are averaged and
/// what is reflected is the mean of both fields.
/// Validated: 350 slabs and 96 losses of piled walls by another program, within their printed digits; that one against two further ones to
/// 1e-12 in power.
pub fn layers(
    pile: &[Layer],
    frequency_hz: f64,
    angle_rad: f64,
    polarisation: Polarisation,
) -> Through {
    let of = |is_te| Matrix::of(pile, frequency_hz, angle_rad, is_te).through();
    let found = match polarisation {
        Polarisation::Te => of(true),
        Polarisation::Tm => of(false),
        Polarisation::Circular => {
            let (te, tm) = (of(true), of(false));
            let passes = 0.5 * (te.passes + tm.passes);
            Through {
                loss_db: half_of_each_db(te.loss_db, tm.loss_db),
                passes,
                reflected: 0.5 * (te.reflected + tm.reflected),
            }
        }
    };
    if pile
        .iter()
        .any(|layer| layer.material.is_opaque() && layer.thickness_m > 0.0)
    {
        return Through {
            loss_db: f64::INFINITY,
            passes: 0.0,
            ..found
        };
    }
    found
}

/// Loss \[dB\] through a pile of layers at one frequency and just these thicknesses. See [`layers`].
pub fn layers_db(
    pile: &[Layer],
    frequency_hz: f64,
    angle_rad: f64,
    polarisation: Polarisation,
) -> f64 {
    layers(pile, frequency_hz, angle_rad, polarisation).loss_db
}

/// By how much the thickness of real layers may be off either way, for a mean that no resonance decides. Common practice.
const THICKNESS_SHARE: f64 = 0.1;

/// Loss \[dB\] to reckon with: the power averaged over the band that the signal takes and over ±10 % of every thickness, so that no resonance of
/// one exact thickness decides. See [`mean_db`].
pub fn loss_in_practice_db(
    pile: &[Layer],
    frequency_hz: f64,
    bandwidth_hz: f64,
    angle_rad: f64,
    polarisation: Polarisation,
) -> f64 {
    let spread = [bandwidth_hz, THICKNESS_SHARE];
    mean_db(pile, frequency_hz, spread, angle_rad, polarisation)
}

/// Places of a mean over the band and over the thickness: Gauss–Legendre of five and of nine points on −1 … 1.
const OVER_BAND: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.118_463_442_528_094_54),
    (-0.538_469_310_105_683, 0.239_314_335_249_683_23),
    (0.0, 0.284_444_444_444_444_44),
    (0.538_469_310_105_683, 0.239_314_335_249_683_23),
    (0.906_179_845_938_664, 0.118_463_442_528_094_54),
];
const OVER_THICKNESS: [(f64, f64); 9] = [
    (-0.968_160_239_507_626, 0.040_637_194_180_787_2),
    (-0.836_031_107_326_635_8, 0.090_324_080_347_428_7),
    (-0.613_371_432_700_590_4, 0.130_305_348_201_467_73),
    (-0.324_253_423_403_808_9, 0.156_173_538_520_001_42),
    (0.0, 0.165_119_677_500_629_9),
    (0.324_253_423_403_808_9, 0.156_173_538_520_001_42),
    (0.613_371_432_700_590_4, 0.130_305_348_201_467_73),
    (0.836_031_107_326_635_8, 0.090_324_080_347_428_7),
    (0.968_160_239_507_626, 0.040_637_194_180_787_2),
];

/// Loss \[dB\] with the power averaged over a band of `spread[0]` hertz about the frequency and over a share `spread[1]` of every thickness either
/// way; all layers are thicker or thinner together. Nothing is averaged where its spread is zero.
pub fn mean_db(
    pile: &[Layer],
    frequency_hz: f64,
    spread: [f64; 2],
    angle_rad: f64,
    polarisation: Polarisation,
) -> f64 {
    const ONLY: [(f64, f64); 1] = [(0.0, 1.0)];
    let [bandwidth_hz, share] = spread;
    let band: &[(f64, f64)] = if bandwidth_hz > 0.0 {
        &OVER_BAND
    } else {
        &ONLY
    };
    let thick: &[(f64, f64)] = if share > 0.0 { &OVER_THICKNESS } else { &ONLY };
    let mut passed = 0.0;
    // Powers are added over the largest, so that what a thick wall leaves does not vanish before its logarithm.
    let middle = layers_db(pile, frequency_hz, angle_rad, polarisation);
    if middle == f64::INFINITY {
        return middle;
    }
    for (place, weight) in band {
        let frequency = frequency_hz + 0.5 * bandwidth_hz * place;
        for (thicker, part) in thick {
            let scale = 1.0 + share * thicker;
            let through = |is_te| {
                Matrix::scaled(pile, scale, frequency, angle_rad, is_te)
                    .through()
                    .loss_db
            };
            let loss = match polarisation {
                Polarisation::Te => through(true),
                Polarisation::Tm => through(false),
                Polarisation::Circular => half_of_each_db(through(true), through(false)),
            };
            passed += weight * part * power_share(loss - middle);
        }
    }
    middle + loss_of_power_share_db(passed)
}

/// Loss of two halves of the power.
fn half_of_each_db(one_db: f64, other_db: f64) -> f64 {
    let least = one_db.min(other_db);
    if least == f64::INFINITY {
        return least;
    }
    let halves = 0.5 * (power_share(one_db - least) + power_share(other_db - least));
    least + loss_of_power_share_db(halves)
}

/// Voltages and currents of one side from the other's: `[A, B; C, D]`, without the decay that is kept apart so that no thick wall overflows.
struct Matrix {
    a: Complex64,
    b: Complex64,
    c: Complex64,
    d: Complex64,
    /// Nepers taken out.
    decay: f64,
    /// Admittance of the air on both sides, over that of free space.
    outside: f64,
}

impl Matrix {
    fn of(pile: &[Layer], frequency_hz: f64, angle_rad: f64, is_te: bool) -> Self {
        Self::scaled(pile, 1.0, frequency_hz, angle_rad, is_te)
    }

    /// Every layer thicker by a factor.
    fn scaled(
        pile: &[Layer],
        thicker: f64,
        frequency_hz: f64,
        angle_rad: f64,
        is_te: bool,
    ) -> Self {
        let (sine, cosine) = angle_rad.abs().min(GRAZING).sin_cos();
        let wave_number = 2.0 * PI / wavelength_m(frequency_hz);
        let start = Self {
            a: Complex64::ONE,
            b: Complex64::ZERO,
            c: Complex64::ZERO,
            d: Complex64::ONE,
            decay: 0.0,
            outside: if is_te { cosine } else { 1.0 / cosine },
        };
        pile.iter().fold(start, |whole, layer| {
            let permittivity = match layer.material {
                // Air in air at an angle is air to the last bit.
                Material::Air => Complex64::ONE,
                material => material.permittivity(frequency_hz),
            };
            let u = match layer.material {
                Material::Air => Complex64::from(cosine),
                _ => decaying_root(permittivity - sine * sine),
            };
            let admittance = if is_te { u } else { permittivity / u };
            let phase = u * (wave_number * thicker * layer.thickness_m.max(0.0));
            whole.then(admittance, phase)
        })
    }

    /// One more layer: `[cos β, j·sin β/Y; jY·sin β, cos β]`, here over e^|Im β|.
    fn then(self, admittance: Complex64, phase: Complex64) -> Self {
        let decay = -phase.im;
        let forward = Complex64::cis(phase.re);
        let back = forward.conj() * (-2.0 * decay).exp();
        let cosine = 0.5 * (forward + back);
        // j·sin β = (e^{jβ} − e^{−jβ})/2.
        let sine = 0.5 * (forward - back);
        let (across, along) = (sine / admittance, sine * admittance);
        Self {
            a: self.a * cosine + self.b * along,
            b: self.a * across + self.b * cosine,
            c: self.c * cosine + self.d * along,
            d: self.c * across + self.d * cosine,
            decay: self.decay + decay,
            outside: self.outside,
        }
    }

    fn through(&self) -> Through {
        let y = self.outside;
        let voltage = y * self.a + y * y * self.b;
        let current = self.c + y * self.d;
        let below = voltage + current;
        let loss_db = -20.0 * (2.0 * y / below.norm()).log10() + NEPER * self.decay;
        Through {
            // A passive wall gives nothing; a lossless one at its resonance may by rounding.
            loss_db: loss_db.max(0.0),
            passes: power_share(loss_db.max(0.0)),
            reflected: (voltage - current) / below,
        }
    }
}

/// Decibels in a neper: 20·lg e.
const NEPER: f64 = 20.0 * std::f64::consts::LOG10_E;
