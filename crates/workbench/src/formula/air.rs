//! Air.

use super::{Formula, Outputs, Standing, Values, key, number, refuse};
use flight::air::Air;
use quantity::{Length, TemperatureDifference};

pub(super) const FORMULAS: &[Formula] = &[Formula {
    name: "air-density",
    purpose: "how thick the air is at an altitude, on a warm or cold day",
    keys: &[
        key::<Length>("altitude", "m", "height above sea level"),
        key::<TemperatureDifference>("offset", "K", "air temperature above the standard day's")
            .or("0 K"),
    ],
    source: "ISO 2533:1975: geopotential altitude, −6.5 K/km, 101 325 Pa and 288.15 K at \
             sea level; density = pressure/(287.05287 × temperature)",
    range: "−2 to 11 km; dry air: saturated air at 35 °C is up to 2 % thinner",
    standing: Standing::Equation("at nine days and altitudes, by other programs"),
    example: "air-density altitude=1500m offset=15K",
    compute: density,
}];

fn density(values: &Values, _: &mut Vec<String>) -> Outputs {
    let air = Air::standard(values.get("altitude"), values.get("offset")).map_err(refuse)?;
    let density = air.density.in_kilograms_per_cubic_metre();
    let sound = air.speed_of_sound.in_metres_per_second();
    Ok(vec![
        number("density_kg_m3", density, "kg/m³"),
        number("pressure_pa", air.pressure.in_pascals(), "Pa"),
        number("temperature_k", air.temperature.in_kelvins(), "K"),
        number("temperature_c", air.temperature.in_celsius(), "°C"),
        number("density_ratio", air.density_ratio(), ""),
        number("viscosity_pa_s", air.viscosity_pa_s, "Pa·s"),
        number("speed_of_sound_m_s", sound, "m/s"),
    ])
}
