//! Momentum theory against worked numbers.

use crate::{Case, Kind, Tolerance};
use flight::momentum::{Duct, ground_thrust_ratio, hover, oblique_induced_velocity};
use quantity::{Density, Length, Mass, Speed};
use std::f64::consts::FRAC_1_SQRT_2;

/// Worked by hand and in another language from the same equations.
const WORKED: &str = "worked in SciPy from the cited equations, given to five digits";
/// Half a unit in the fifth digit.
const PRINTED: Tolerance = Tolerance::Relative(2e-5);

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [hovering(), oblique(), ducted(), near_ground()].concat()
}

fn case(model: &'static str, id: String, what: &str, expected: f64, computed: f64) -> Case {
    Case {
        model,
        id,
        source: WORKED,
        kind: Kind::Equation,
        what: what.into(),
        expected,
        computed,
        tolerance: PRINTED,
        reason: "printed to five digits",
    }
}

fn hovering() -> Vec<Case> {
    [
        (250.0, 76.2, 0.55, 7.4066, 8.2538),
        (30.0, 31.0, 0.42, 6.3067, 1.1044),
    ]
    .into_iter()
    .flat_map(|(mass_g, diameter_mm, merit, velocity, shaft)| {
        let state = hover(
            Mass::grams(mass_g / 4.0).weight(),
            Length::millimetres(diameter_mm),
            Density::kilograms_per_cubic_metre(1.225),
        );
        let model = "momentum theory, hover";
        let velocity_m_s = state.induced_velocity.in_metres_per_second();
        let shaft_w = state.ideal_power.in_watts() / merit;
        [
            case(
                model,
                format!("hover-{mass_g}-g-velocity"),
                "induced velocity [m/s]",
                velocity,
                velocity_m_s,
            ),
            case(
                model,
                format!("hover-{mass_g}-g-power"),
                "shaft power per rotor [W]",
                shaft,
                shaft_w,
            ),
        ]
    })
    .collect()
}

fn oblique() -> Vec<Case> {
    [
        (5.0, 10.0, 4.7964),
        (15.0, 30.0, 2.2190),
        (3.0, 90.0, 4.6847),
    ]
    .into_iter()
    .map(|(speed, incidence_deg, expected): (f64, f64, f64)| {
        let induced = oblique_induced_velocity(
            Speed::metres_per_second(6.0),
            Speed::metres_per_second(speed),
            incidence_deg.to_radians(),
        )
        .expect("the stream comes from above");
        case(
            "momentum theory, oblique stream",
            format!("glauert-{speed}-m-s-{incidence_deg}-deg"),
            "induced velocity [m/s]",
            expected,
            induced.in_metres_per_second(),
        )
    })
    .collect()
}

fn ducted() -> Vec<Case> {
    [
        (0.6, 0.9129, 0.8333, 1.0627),
        (1.0, FRAC_1_SQRT_2, 0.5, 1.2599),
    ]
    .into_iter()
    .flat_map(|(ratio, power, share, thrust)| {
        let duct = Duct::new(ratio).expect("not narrower than an open wake");
        [
            ("power over open rotor", power, duct.power_ratio()),
            ("rotor's share of thrust", share, duct.rotor_share()),
            ("thrust over open rotor", thrust, duct.thrust_ratio()),
        ]
        .map(|(what, expected, computed)| Case {
            tolerance: Tolerance::Absolute(5e-5),
            reason: "printed to four decimals",
            ..case(
                "momentum theory, ideal duct",
                format!("duct-{ratio}-{}", what.replace(' ', "-")),
                what,
                expected,
                computed,
            )
        })
    })
    .collect()
}

/// R/4z = 1/2, 1/4, 1/8: 1/(1 − 1/4) = 4/3, 16/15, 64/63.
fn near_ground() -> Vec<Case> {
    [(0.5, 4.0 / 3.0), (1.0, 16.0 / 15.0), (2.0, 64.0 / 63.0)]
        .into_iter()
        .map(|(radii, expected)| Case {
            source: "Cheeseman and Bennett, ARC R&M 3021 (1955), from memory, worked by hand",
            tolerance: Tolerance::Relative(1e-12),
            reason: "exact fractions",
            ..case(
                "ground effect",
                format!("ground-{radii}-radii"),
                "thrust over free thrust",
                expected,
                ground_thrust_ratio(Length::metres(radii * 0.05), Length::metres(0.1))
                    .expect("at least half a radius up"),
            )
        })
        .collect()
}
