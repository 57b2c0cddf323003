//! Copper leads: what they drop, how warm they get and when they melt.
//!
//! Direct current only; the inductance of a lead is not here.

use std::f64::consts::PI;

use quantity::{Area, Current, Length, Power, Resistance, Temperature, Time, Voltage, WireGauge};

/// Resistivity of annealed copper at 20 °C [Ω·m]. IEC 60028 (1925): 1/58 Ω·mm²/m, 1.7241e-8.
pub const COPPER_RESISTIVITY: f64 = 1e-6 / 58.0;
/// Its temperature coefficient at 20 °C [1/K]. IEC 60028.
pub const COPPER_COEFFICIENT: f64 = 0.003_93;
/// Lay factor of a single conductor.
pub const SOLID: f64 = 1.0;
/// Lay factor of a stranded lead of equal nominal area: strands run 2 to 5 % longer than the
/// lead. Common practice, from memory.
pub const STRANDED: f64 = 1.035;
/// Where copper melts.
pub const COPPER_MELTS: Temperature = Temperature::celsius(1083.0);
/// What silicone insulation stands. Common practice.
pub const SILICONE_LIMIT: Temperature = Temperature::celsius(200.0);

/// A pair of leads, out and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Size of each of the two conductors.
    pub gauge: WireGauge,
    /// Length one way; both ways are counted.
    pub length: Length,
    /// Resistance over that of a solid conductor: [`SOLID`] or [`STRANDED`].
    pub lay: f64,
}

impl Wire {
    /// A pair of solid conductors.
    pub const fn solid(gauge: WireGauge, length: Length) -> Self {
        Self {
            gauge,
            length,
            lay: SOLID,
        }
    }

    /// A pair of stranded leads, as whips and silicone hook-up wire are.
    pub const fn stranded(gauge: WireGauge, length: Length) -> Self {
        Self {
            gauge,
            length,
            lay: STRANDED,
        }
    }

    /// Resistance of both conductors together at a copper temperature.
    ///
    /// R = 2·L·ρ₂₀(1 + α₂₀(T − 20 °C))·lay/A. A length or lay below zero counts as zero.
    /// Validated: `ohm-per-km-*` and `drop-*`; the figures of NBS Handbook 100 within 0.03 %.
    #[inline]
    pub fn resistance(&self, copper: Temperature) -> Resistance {
        let metres = 2.0 * self.length.in_metres().max(0.0);
        Resistance::ohms(metres * self.lay.max(0.0) * ohm_per_metre(self.gauge, copper))
    }

    /// Voltage lost along both conductors.
    #[inline]
    pub fn drop(&self, current: Current, copper: Temperature) -> Voltage {
        current * self.resistance(copper)
    }

    /// Heat made in both conductors.
    #[inline]
    pub fn heat(&self, current: Current, copper: Temperature) -> Power {
        self.drop(current, copper) * current
    }
}

/// Diameter of a solid conductor: 0.127 mm · 92^((36 − n)/39). ASTM B258.
pub fn diameter(gauge: WireGauge) -> Length {
    Length::millimetres(0.127 * 92f64.powf((36.0 - gauge.in_awg()) / 39.0))
}

/// Cross-section of the copper.
pub fn copper_area(gauge: WireGauge) -> Area {
    let metres = diameter(gauge).in_metres();
    Area::square_metres(0.25 * PI * metres * metres)
}

/// Mass of one insulated stranded wire over its length, both for the copper and for silicone of this
/// outer diameter \[kg/m\].
///
/// Copper 8 890 kg/m³ (IEC 60028, 1925), strands [`STRANDED`] longer than the wire; silicone rubber 1 150 kg/m³,
/// ± 10 %, from memory. The insulation fills the outer circle less a copper bundle of 0.75 fill.
/// Validated: the copper of `copper-mass-*` within the printed digits; the insulation is not validated.
pub fn mass_per_metre(gauge: WireGauge, outer_diameter: Length) -> f64 {
    const COPPER_DENSITY: f64 = 8_890.0;
    const SILICONE_DENSITY: f64 = 1_150.0;
    const BUNDLE_FILL: f64 = 0.75;
    let copper_m2 = copper_area(gauge).in_square_metres();
    let outer_m = outer_diameter.in_metres().max(0.0);
    let outer_m2 = 0.25 * PI * outer_m * outer_m;
    let insulation_m2 = (outer_m2 - copper_m2 / BUNDLE_FILL).max(0.0);
    COPPER_DENSITY * STRANDED * copper_m2 + SILICONE_DENSITY * insulation_m2
}

/// The current that melts a long bare copper wire in still air within minutes.
///
/// I = 80 A · (d/mm)^1.5; Preece, Proc. R. Soc. 36 (1884). Short leads stand more, because their
/// ends cool them.
/// Validated as arithmetic only: `preece-*`, within the printed digits.
pub fn preece_current(gauge: WireGauge) -> Current {
    Current::amperes(80.0 * diameter(gauge).in_millimetres().powf(1.5))
}

/// The current that takes copper from one temperature to another in a time, no heat lost.
///
/// I = A·√(log₁₀((T_m − T_a)/(234 + T_a) + 1)/(33 t)), A in circular mils, °C, s: Onderdonk. Good
/// below about 10 s; longer times are pessimistic. No rise or no time gives zero or infinity.
/// Validated as arithmetic only: `onderdonk-*` and `fusing-*`, within the printed digits.
pub fn onderdonk_current(
    gauge: WireGauge,
    time: Time,
    start: Temperature,
    end: Temperature,
) -> Current {
    let mils = diameter(gauge).in_inches() * 1e3;
    let rise = (end.in_celsius() - start.in_celsius()) / (234.0 + start.in_celsius());
    let per_time = (rise.max(0.0) + 1.0).log10() / (33.0 * time.in_seconds().max(0.0));
    Current::amperes(mils * mils * per_time.sqrt())
}

/// The steady current that warms a long single lead in free still air to a surface temperature.
///
/// I²R(T_s) = h·π·D·(T_s − T_a) with [`still_air_coefficient`]; the copper is taken at surface
/// temperature. ±25 %, from the outer diameter and from air that moves; a bundled or enclosed
/// lead stands 0.5 to 0.7 of it, a lead in the wash more. Zero if the surface is not warmer.
/// Validated: `steady-*`, within 0.4 % of the same balance by others; `chassis-*`, the usual
/// chassis-wiring table within 17 % from 16 to 22 AWG.
pub fn steady_current(
    gauge: WireGauge,
    outer_diameter: Length,
    ambient: Temperature,
    surface: Temperature,
) -> Current {
    let rise_k = (surface.in_kelvins() - ambient.in_kelvins()).max(0.0);
    let around_m = PI * outer_diameter.in_metres().max(0.0);
    let lost_w_m = still_air_coefficient(outer_diameter, ambient, surface) * around_m * rise_k;
    Current::amperes((lost_w_m / ohm_per_metre(gauge, surface)).sqrt())
}

/// Heat a horizontal cylinder loses to still air and walls [W/(m²·K)].
///
/// Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, plus radiation at emissivity 0.9.
/// Air at sea-level pressure and film temperature, with conductivity and viscosity of ISO 2533. Zero if the surface is not warmer than the air.
pub fn still_air_coefficient(
    outer_diameter: Length,
    ambient: Temperature,
    surface: Temperature,
) -> f64 {
    const EMISSIVITY: f64 = 0.9;
    const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
    let (air_k, surface_k) = (ambient.in_kelvins(), surface.in_kelvins());
    let across_m = outer_diameter.in_metres();
    // Not-a-number falls through this test too.
    if !(surface_k > air_k && air_k > 0.0 && across_m > 0.0) {
        return 0.0;
    }
    let air = FilmAir::at(0.5 * (air_k + surface_k));
    let radiated = EMISSIVITY
        * STEFAN_BOLTZMANN
        * (air_k * air_k + surface_k * surface_k)
        * (air_k + surface_k);
    air.nusselt(across_m, surface_k - air_k) * air.conductivity / across_m + radiated
}

/// Resistance of one solid conductor [Ω/m].
#[inline]
fn ohm_per_metre(gauge: WireGauge, copper: Temperature) -> f64 {
    let warm = 1.0 + COPPER_COEFFICIENT * (copper.in_celsius() - 20.0);
    COPPER_RESISTIVITY * warm.max(0.0) / copper_area(gauge).in_square_metres()
}

/// Air in the film around a warm lead.
struct FilmAir {
    kelvin: f64,
    /// [W/(m·K)]
    conductivity: f64,
    /// [m²/s]
    viscosity: f64,
    prandtl: f64,
}

impl FilmAir {
    fn at(kelvin: f64) -> Self {
        const HEAT_CAPACITY: f64 = 1006.0;
        let density = 101_325.0 / (287.052_87 * kelvin);
        let dynamic = 1.458e-6 * kelvin.powf(1.5) / (kelvin + 110.4);
        let conductivity =
            2.648_151e-3 * kelvin.powf(1.5) / (kelvin + 245.4 * 10f64.powf(-12.0 / kelvin));
        Self {
            kelvin,
            conductivity,
            viscosity: dynamic / density,
            prandtl: HEAT_CAPACITY * dynamic / conductivity,
        }
    }

    /// Nu = (0.60 + 0.387 Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27))².
    fn nusselt(&self, across_m: f64, rise_k: f64) -> f64 {
        let buoyancy = quantity::STANDARD_GRAVITY * rise_k / self.kelvin;
        let rayleigh = buoyancy * across_m.powi(3) * self.prandtl / self.viscosity.powi(2);
        let shape = (1.0 + (0.559 / self.prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
        (0.60 + 0.387 * rayleigh.powf(1.0 / 6.0) / shape).powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn validated_gauge_by_its_definition() {
        // ASTM B258 fixes two sizes: 36 AWG is 0.0050 in and 0000 (−3) is 0.4600 in.
        assert!((diameter(WireGauge::awg(36.0)).in_inches() - 0.005).abs() < 1e-12);
        assert!((diameter(WireGauge::awg(-3.0)).in_inches() - 0.46).abs() < 1e-12);
    }

    #[test]
    fn checked_both_conductors_and_the_lay_are_counted() {
        let gauge = WireGauge::awg(20.0);
        let room = Temperature::celsius(20.0);
        let solid = Wire::solid(gauge, Length::metres(1.0)).resistance(room);
        let stranded = Wire::stranded(gauge, Length::metres(1.0)).resistance(room);
        // 2 m × 33.31 mΩ/m.
        assert!((solid.in_milliohms() - 66.62).abs() < 0.02);
        assert!((stranded / solid - STRANDED).abs() < 1e-12);
    }

    #[test]
    fn checked_absurd_inputs_stay_quiet() {
        let warm = Temperature::celsius(60.0);
        let gauge = WireGauge::awg(24.0);
        let backwards = Wire::solid(gauge, Length::metres(-1.0));
        assert_eq!(backwards.resistance(warm), Resistance::ohms(0.0));
        let frozen = Wire::solid(gauge, Length::metres(1.0)).resistance(Temperature::kelvins(0.0));
        assert!(frozen.in_ohms() >= 0.0);
        let cold = steady_current(
            gauge,
            Length::millimetres(1.6),
            warm,
            Temperature::celsius(20.0),
        );
        assert_eq!(cold, Current::amperes(0.0));
        let thin = steady_current(
            gauge,
            Length::millimetres(-1.0),
            Temperature::celsius(20.0),
            warm,
        );
        assert_eq!(thin, Current::amperes(0.0));
        let no_rise = onderdonk_current(gauge, Time::seconds(1.0), warm, warm);
        assert_eq!(no_rise, Current::amperes(0.0));
    }

    proptest! {
        #[test]
        fn checked_thinner_is_worse(gauge in 4.0..38.0f64) {
            let (thick, thin) = (WireGauge::awg(gauge), WireGauge::awg(gauge + 1.0));
            let room = Temperature::celsius(25.0);
            let hot = Temperature::celsius(80.0);
            let length = Length::millimetres(60.0);
            prop_assert!(Wire::solid(thin, length).resistance(room) > Wire::solid(thick, length).resistance(room));
            prop_assert!(Wire::solid(thin, length).resistance(hot) > Wire::solid(thin, length).resistance(room));
            prop_assert!(preece_current(thin) < preece_current(thick));
            let across = Length::millimetres(1.5);
            prop_assert!(steady_current(thin, across, room, hot) < steady_current(thick, across, room, hot));
        }
    }
}
