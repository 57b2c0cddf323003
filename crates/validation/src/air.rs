//! The standard atmosphere against its own table and two other programs.

use crate::propeller::table;
use crate::{Case, Kind, Tolerance};
use flight::air::Air;
use quantity::{Length, TemperatureDifference};

const ROWS: &str = include_str!("../data/propulsion-atmosphere.csv");
const SOURCE: &str = "ISO 2533:1975 formulae, run beside two public atmosphere libraries \
    (data/propulsion-atmosphere.csv)";

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    table(ROWS)
        .iter()
        .flat_map(|row| {
            let (altitude_m, offset_k) = (row.number("z_m"), row.number("dT_K"));
            let air = Air::standard(
                Length::metres(altitude_m),
                TemperatureDifference::kelvins(offset_k),
            )
            .expect("a row of the table is inside the troposphere");
            // What the columns print to, which is all the agreement that can be asked.
            [
                ("temperature [K]", "T_K", air.temperature.in_kelvins(), 4e-6),
                ("pressure [Pa]", "p_Pa", air.pressure.in_pascals(), 1e-6),
                (
                    "density [kg/m³]",
                    "rho_kgm3",
                    air.density.in_kilograms_per_cubic_metre(),
                    1e-5,
                ),
                (
                    "density of the other program [kg/m³]",
                    "rho_fluids_us76",
                    air.density.in_kilograms_per_cubic_metre(),
                    1e-5,
                ),
                ("viscosity [Pa·s]", "mu_Pa_s", air.viscosity_pa_s, 4e-6),
                (
                    "speed of sound [m/s]",
                    "a_m_s",
                    air.speed_of_sound.in_metres_per_second(),
                    3e-5,
                ),
                ("density ratio", "sigma", air.density_ratio(), 1e-5),
            ]
            .map(|(what, column, computed, printed)| Case {
                model: "standard atmosphere",
                id: format!("iso-2533-{altitude_m}-m-{offset_k:+}-k-{column}"),
                source: SOURCE,
                kind: Kind::Equation,
                what: what.into(),
                expected: row.number(column),
                computed,
                tolerance: Tolerance::Relative(printed),
                reason: "the last printed digit",
            })
        })
        .collect()
}
