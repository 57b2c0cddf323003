//! What a disc of air costs: hover, climb, descent, forward flight, the ground and ducts.

use super::{Formula, Key, Outputs, Standing, Values, count, key, number, refuse};
use flight::momentum::{self, Duct, OutsideMomentum};
use quantity::{Angle, Density, Length, Mass, Ratio, Speed};

const DISC: Key = key::<Length>("diameter", "m", "propeller diameter").above_zero();
const DENSITY: Key = key::<Density>("density", "kg/m³", "air density")
    .or("1.225 kg/m³")
    .above_zero();
const IN_HOVER: Key = key::<Speed>(
    "hover_velocity",
    "m/s",
    "induced velocity in hover at this thrust",
)
.above_zero();

/// Exit over disc area of no duct at all.
const OPEN_ROTOR: f64 = 0.5;
/// The kernel takes none wider.
const WIDEST_DUCT: f64 = 2.0;

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "hover-power",
        purpose: "shaft power of one rotor in hover",
        keys: &[
            key::<Mass>("mass", "kg", "all-up mass").above_zero(),
            count("rotors", 64, "number of rotors"),
            DISC,
            key::<Ratio>("figure_of_merit", "", "ideal over shaft power")
                .also(&["fm"])
                .efficiency(),
            DENSITY,
            key::<Ratio>(
                "duct_area_ratio",
                "",
                "exit over disc area of a duct; 0.5 is the open rotor, 1 the ideal straight duct",
            )
            .or("0.5")
            .between(OPEN_ROTOR, WIDEST_DUCT),
        ],
        source: "momentum theory, Glauert in Durand, Aerodynamic Theory vol. IV (1935), from memory: v = √(T/(2ρA)), P = T·v/figure \
                 of merit; ducted: power × 1/√(2σ), after Pereira, PhD thesis, University of Maryland (2008), as quoted by others",
        range: "hover away from the ground; the velocity is that of the open rotor; the ideal duct is far from real guards, \
                which save −5 to +15 %",
        standing: Standing::Equation("two hovers and two ducts worked out elsewhere"),
        example: "hover-power mass=250g rotors=4 diameter=76.2mm figure_of_merit=0.55",
        compute: hover_power,
    },
    Formula {
        name: "oblique-inflow",
        purpose: "induced velocity of a disc in a stream",
        keys: &[
            IN_HOVER,
            key::<Speed>("speed", "m/s", "speed of the stream").not_negative(),
            key::<Angle>(
                "incidence",
                "°",
                "angle of the stream to the disc plane, positive from above",
            ),
        ],
        source: "Glauert's hypothesis, ARC R&M 1111 (1926), from memory: v = v_h²/√((V cos α)² + (V sin α + v)²)",
        range: "stream along the disc or through it from above; not in descent",
        standing: Standing::Equation("three streams worked out elsewhere"),
        example: "oblique-inflow hover_velocity=6m/s speed=15m/s incidence=30°",
        compute: oblique,
    },
    Formula {
        name: "climb-inflow",
        purpose: "induced velocity in a climb along the axis",
        keys: &[
            IN_HOVER,
            key::<Speed>("climb", "m/s", "rate of climb").not_negative(),
        ],
        source: "momentum theory, Glauert in Durand, Aerodynamic Theory vol. IV (1935), from memory: v = −V/2 + √((V/2)² + v_h²)",
        range: "climb only",
        standing: Standing::Equation("a climb worked out elsewhere by the oblique formula"),
        example: "climb-inflow hover_velocity=6m/s climb=5m/s",
        compute: climb,
    },
    Formula {
        name: "descent-inflow",
        purpose: "induced velocity in a vertical descent through the own wake",
        keys: &[
            IN_HOVER,
            key::<Speed>("descent", "m/s", "rate of descent").not_negative(),
        ],
        source: "fit to measured rotors, Leishman, Principles of Helicopter Aerodynamics, 2nd ed., section 2.13 (from memory)",
        range: "0 to 2 times the hover velocity; the mean of a very unsteady flow",
        standing: Standing::NotValidated(
            "momentum theory has no answer here and no open data of small rotors was found",
        ),
        example: "descent-inflow hover_velocity=6m/s descent=3m/s",
        compute: descent,
    },
    Formula {
        name: "ground-effect",
        purpose: "thrust near the ground over thrust far from it, at the same power",
        keys: &[
            key::<Ratio>("height_ratio", "", "height of the disc over its radius").above_zero(),
        ],
        source: "Cheeseman and Bennett, ARC R&M 3021 (1955), from memory: T/T∞ = 1/(1 − (R/4z)²)",
        range: "from half a radius up; one open rotor without a craft under it",
        standing: Standing::Equation("three heights worked out elsewhere"),
        example: "ground-effect height_ratio=1",
        compute: ground,
    },
    Formula {
        name: "duct",
        purpose: "what an ideal duct of an area ratio would do",
        keys: &[key::<Ratio>(
            "area_ratio",
            "",
            "exit over disc area; 0.5 is the open rotor",
        )
        .between(OPEN_ROTOR, WIDEST_DUCT)],
        source: "momentum theory of ducted rotors, after Pereira, PhD thesis, University of Maryland (2008), as quoted by others: power \
                 1/√(2σ), thrust (2σ)^⅓, share on the blades 1/(2σ)",
        range: "ideal duct, area ratio 0.5 to 2; thin guards of small craft come nowhere near",
        standing: Standing::Equation("two ducts worked out elsewhere"),
        example: "duct area_ratio=0.6",
        compute: duct,
    },
];

fn hover_power(values: &Values, _: &mut Vec<String>) -> Outputs {
    let merit = values.plain("figure_of_merit");
    let thrust = values.get::<Mass>("mass").weight() / values.plain("rotors");
    let duct = Duct::new(values.plain("duct_area_ratio")).map_err(refuse)?;
    let hover = momentum::hover(thrust, values.get("diameter"), values.get("density"));
    let ideal_w = (hover.ideal_power * duct.power_ratio()).in_watts();
    let induced = hover.induced_velocity.in_metres_per_second();
    Ok(vec![
        number("induced_velocity_m_s", induced, "m/s"),
        number("shaft_power_w", ideal_w / merit, "W"),
        number("ideal_power_w", ideal_w, "W"),
        number("thrust_n", thrust.in_newtons(), "N"),
    ])
}

fn oblique(values: &Values, _: &mut Vec<String>) -> Outputs {
    let incidence = values.get::<Angle>("incidence").in_radians();
    velocity(momentum::oblique_induced_velocity(
        values.get("hover_velocity"),
        values.get("speed"),
        incidence,
    ))
}

fn climb(values: &Values, _: &mut Vec<String>) -> Outputs {
    velocity(momentum::climb_induced_velocity(
        values.get("hover_velocity"),
        values.get("climb"),
    ))
}

fn descent(values: &Values, _: &mut Vec<String>) -> Outputs {
    velocity(momentum::descent_induced_velocity(
        values.get("hover_velocity"),
        values.get("descent"),
    ))
}

fn velocity(found: Result<Speed, OutsideMomentum>) -> Outputs {
    let speed = found.map_err(refuse)?.in_metres_per_second();
    Ok(vec![number("induced_velocity_m_s", speed, "m/s")])
}

fn ground(values: &Values, _: &mut Vec<String>) -> Outputs {
    // The kernel takes lengths: a disc of radius 1 m makes the height its ratio.
    let height = Length::metres(values.plain("height_ratio"));
    let ratio = momentum::ground_thrust_ratio(height, Length::metres(2.0)).map_err(refuse)?;
    Ok(vec![number("thrust_ratio", ratio, "")])
}

fn duct(values: &Values, _: &mut Vec<String>) -> Outputs {
    let duct = Duct::new(values.plain("area_ratio")).map_err(refuse)?;
    Ok(vec![
        number("power_ratio", duct.power_ratio(), ""),
        number("thrust_ratio", duct.thrust_ratio(), ""),
        number("rotor_share", duct.rotor_share(), ""),
    ])
}
