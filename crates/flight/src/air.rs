//! The air a propeller works in: ISO 2533 pressure at an altitude, with the day's own temperature.
//!
//! Humidity is left out: even saturated at 35 °C it takes less than 2 % off the density.

use quantity::{
    Density, Length, Pressure, STANDARD_GRAVITY, Speed, Temperature, TemperatureDifference,
};
use thiserror::Error;

/// Temperature of the standard atmosphere at sea level \[K\]. ISO 2533:1975.
const SEA_LEVEL_K: f64 = 288.15;
/// Pressure of the standard atmosphere at sea level \[Pa\]. ISO 2533:1975.
const SEA_LEVEL_PA: f64 = 101_325.0;
/// Fall of temperature with geopotential altitude in the troposphere \[K/m\]. ISO 2533:1975.
const LAPSE_K_PER_M: f64 = 0.0065;
/// Specific gas constant of dry air \[J/(kg·K)\]. ISO 2533:1975.
const GAS_CONSTANT: f64 = 287.052_87;
/// Earth's nominal radius for geopotential altitude \[m\]. ISO 2533:1975.
const EARTH_RADIUS_M: f64 = 6_356_766.0;
/// Ratio of specific heats of air. ISO 2533:1975.
const HEAT_RATIO: f64 = 1.4;
/// Altitudes the model answers for \[m\]: the troposphere, with its usual extension below the sea.
const ALTITUDE_M: std::ops::RangeInclusive<f64> = -2_000.0..=11_000.0;
/// Air temperatures the model answers for \[K\]: wider than any place where people fly.
const TEMPERATURE_K: std::ops::RangeInclusive<f64> = 193.15..=338.15;

/// Density of the standard atmosphere at sea level, 1.225 kg/m³. ISO 2533:1975.
pub const SEA_LEVEL_DENSITY: Density = Density::kilograms_per_cubic_metre(1.225);

/// Dry air at one place and time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature of the air itself.
    pub temperature: Temperature,
    /// Static pressure.
    pub pressure: Pressure,
    /// Density.
    pub density: Density,
    /// Dynamic viscosity \[Pa·s\].
    pub viscosity_pa_s: f64,
    /// Speed of sound.
    pub speed_of_sound: Speed,
}

/// Why there is no air to give.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AirError {
    /// Not a troposphere altitude.
    #[error("altitude {0} m is outside −2000…11000 m")]
    Altitude(f64),
    /// No outdoor temperature.
    #[error("air temperature {0} °C is outside −80…65 °C")]
    Temperature(f64),
    /// No pressure a battery craft flies at.
    #[error("air pressure {0} Pa is outside 20…120 kPa")]
    Pressure(f64),
}

impl Air {
    /// The standard atmosphere at a geometric `altitude` above sea level, warmer by `offset`.
    ///
    /// The pressure stays that of the standard day; the density follows the temperature.
    /// ISO 2533:1975. Validated: `iso-2533-*`, 9 rows to their last digit.
    pub fn standard(altitude: Length, offset: TemperatureDifference) -> Result<Self, AirError> {
        let standard_k = standard_temperature_k(altitude)?;
        Self::from_pressure(
            standard_pressure(standard_k),
            Temperature::kelvins(standard_k + offset.in_kelvins()),
        )
    }

    /// The air at an `altitude` where the thermometer shows `temperature`.
    pub fn at(altitude: Length, temperature: Temperature) -> Result<Self, AirError> {
        Self::from_pressure(
            standard_pressure(standard_temperature_k(altitude)?),
            temperature,
        )
    }

    /// The air from a barometer's station pressure (not reduced to sea level) and a thermometer.
    pub fn from_pressure(pressure: Pressure, temperature: Temperature) -> Result<Self, AirError> {
        let kelvins = temperature.in_kelvins();
        if !TEMPERATURE_K.contains(&kelvins) {
            return Err(AirError::Temperature(temperature.in_celsius()));
        }
        if !(20e3..=120e3).contains(&pressure.in_pascals()) {
            return Err(AirError::Pressure(pressure.in_pascals()));
        }
        Ok(Self {
            temperature,
            pressure,
            density: Density::kilograms_per_cubic_metre(
                pressure.in_pascals() / (GAS_CONSTANT * kelvins),
            ),
            viscosity_pa_s: viscosity_pa_s(kelvins),
            speed_of_sound: Speed::metres_per_second((HEAT_RATIO * GAS_CONSTANT * kelvins).sqrt()),
        })
    }

    /// Density over that of the standard sea-level day.
    pub fn density_ratio(&self) -> f64 {
        self.density / SEA_LEVEL_DENSITY
    }
}

/// Standard temperature \[K\] at a geometric altitude. ISO 2533:1975.
fn standard_temperature_k(altitude: Length) -> Result<f64, AirError> {
    let geometric_m = altitude.in_metres();
    if !ALTITUDE_M.contains(&geometric_m) {
        return Err(AirError::Altitude(geometric_m));
    }
    let geopotential_m = EARTH_RADIUS_M * geometric_m / (EARTH_RADIUS_M + geometric_m);
    Ok(SEA_LEVEL_K - LAPSE_K_PER_M * geopotential_m)
}

/// Barometric formula of a layer with constant lapse rate. ISO 2533:1975.
fn standard_pressure(standard_k: f64) -> Pressure {
    let exponent = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_K_PER_M);
    Pressure::pascals(SEA_LEVEL_PA * (standard_k / SEA_LEVEL_K).powf(exponent))
}

/// Sutherland's formula \[Pa·s\]. ISO 2533:1975.
fn viscosity_pa_s(kelvins: f64) -> f64 {
    1.458e-6 * kelvins.powf(1.5) / (kelvins + 110.4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_thermometer_and_offset_agree() {
        // 1000 m is 281.651 K on the standard day; 20 K warmer is 301.651 K.
        let by_offset =
            Air::standard(Length::metres(1000.0), TemperatureDifference::kelvins(20.0)).unwrap();
        let by_thermometer = Air::at(Length::metres(1000.0), by_offset.temperature).unwrap();
        assert_eq!(by_offset, by_thermometer);
    }

    #[test]
    fn checked_warm_or_high_air_is_thinner() {
        let density = |altitude_m, celsius| {
            Air::at(Length::metres(altitude_m), Temperature::celsius(celsius))
                .unwrap()
                .density
        };
        assert!(density(0.0, 35.0) < density(0.0, 15.0));
        assert!(density(1500.0, 15.0) < density(0.0, 15.0));
    }

    #[test]
    fn checked_absurd_places_are_refused() {
        let none = TemperatureDifference::kelvins(0.0);
        for metres in [f64::NAN, f64::INFINITY, -1e9, 12_000.0] {
            assert!(matches!(
                Air::standard(Length::metres(metres), none),
                Err(AirError::Altitude(_))
            ));
        }
        for celsius in [f64::NAN, -273.15, 1e6] {
            assert!(matches!(
                Air::at(Length::metres(0.0), Temperature::celsius(celsius)),
                Err(AirError::Temperature(_))
            ));
        }
    }
}
