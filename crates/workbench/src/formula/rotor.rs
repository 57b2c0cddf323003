//! Discs, ducts and propellers.

use super::{Formula, Key, Output, Takes, Values, doubted, key, number};
use flight::air::Air;
use flight::blade_element::{Blade, SmallPropellerSection, Station, Stream};
use flight::momentum::{self, Duct};
use flight::propeller::{self, from_geometry, from_label, label_blade};
use quantity::{
    Angle, Density, DimensionInfo, Doubt, Length, Mass, Pressure, Ratio, RotationSpeed, Speed,
    Temperature,
};

const RATIO: DimensionInfo = DimensionInfo::of::<Ratio>();
const SPEED: DimensionInfo = DimensionInfo::of::<Speed>();

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "hover-power",
        purpose: "shaft power of one rotor in hover",
        keys: &[
            key("mass", DimensionInfo::of::<Mass>(), "kg", "all-up mass"),
            key("rotors", RATIO, "", "number of rotors"),
            key(
                "diameter",
                DimensionInfo::of::<Length>(),
                "m",
                "propeller diameter",
            ),
            key("figure_of_merit", RATIO, "", "ideal over shaft power").also(&["fm"]),
            key(
                "density",
                DimensionInfo::of::<Density>(),
                "kg/m³",
                "air density",
            )
            .or("1.225 kg/m³"),
            key(
                "duct_area_ratio",
                RATIO,
                "",
                "exit over disc area of a duct; 0.5 is the open rotor, 1 the ideal straight duct",
            )
            .or("0.5"),
        ],
        source: "momentum theory: v = √(T/(2ρA)), P = T·v/figure of merit; ducted: power × 1/√(2σ), after Pereira, PhD thesis, University of Maryland (2008)",
        range: "hover away from the ground; the ideal duct factor is far from real guards: −5 to +15 % is seen",
        validated: true,
        example: "hover-power mass=250g rotors=4 diameter=76.2mm figure_of_merit=0.55 density=1.225kg/m3",
        compute: hover_power,
    },
    Formula {
        name: "oblique-inflow",
        purpose: "induced velocity of a disc in a stream",
        keys: &[
            key(
                "hover_velocity",
                SPEED,
                "m/s",
                "induced velocity in hover at this thrust",
            ),
            key("speed", SPEED, "m/s", "speed of the stream"),
            key(
                "incidence",
                DimensionInfo::of::<Angle>(),
                "°",
                "angle of the stream to the disc plane, positive from above",
            ),
        ],
        source: "Glauert's hypothesis, ARC R&M 1111 (1926): v = v_h²/√((V cos α)² + (V sin α + v)²)",
        range: "stream along or through the disc from above; not in descent",
        validated: true,
        example: "oblique-inflow hover_velocity=6m/s speed=15m/s incidence=30deg",
        compute: oblique,
    },
    Formula {
        name: "climb-inflow",
        purpose: "induced velocity in a climb along the axis",
        keys: &[
            key(
                "hover_velocity",
                SPEED,
                "m/s",
                "induced velocity in hover at this thrust",
            ),
            key("climb", SPEED, "m/s", "rate of climb"),
        ],
        source: "momentum theory: v = −V/2 + √((V/2)² + v_h²)",
        range: "climb only",
        validated: true,
        example: "climb-inflow hover_velocity=6m/s climb=5m/s",
        compute: climb,
    },
    Formula {
        name: "ground-effect",
        purpose: "thrust near the ground at the same power",
        keys: &[key(
            "height_ratio",
            RATIO,
            "",
            "height of the disc over its radius",
        )],
        source: "Cheeseman and Bennett, ARC R&M 3021 (1955): T/T∞ = 1/(1 − (R/4z)²)",
        range: "from half a radius up; one open rotor without a craft under it",
        validated: true,
        example: "ground-effect height_ratio=1",
        compute: ground,
    },
    Formula {
        name: "duct",
        purpose: "what an ideal duct of an area ratio would do",
        keys: &[key(
            "area_ratio",
            RATIO,
            "",
            "exit over disc area; 0.5 is the open rotor",
        )],
        source: "momentum theory of ducted rotors: power 1/√(2σ), thrust (2σ)^⅓, share on the blades 1/(2σ)",
        range: "ideal duct; thin guards of small craft come nowhere near",
        validated: true,
        example: "duct area_ratio=0.6",
        compute: duct,
    },
    Formula {
        name: "propeller",
        purpose: "thrust and torque of a propeller from its label or its measured blade",
        keys: &[
            key(
                "rpm",
                DimensionInfo::of::<RotationSpeed>(),
                "rpm",
                "speed of rotation",
            ),
            key("speed", SPEED, "m/s", "speed of the air along the axis").or("0 m/s"),
            key(
                "density",
                DimensionInfo::of::<Density>(),
                "kg/m³",
                "air density",
            )
            .or("1.225 kg/m³"),
            key("diameter", DimensionInfo::of::<Length>(), "m", "tip to tip"),
            key("blades", RATIO, "", "number of blades"),
            key(
                "pitch",
                DimensionInfo::of::<Length>(),
                "m",
                "nominal pitch, where no blade was measured",
            )
            .optional(),
            Key {
                name: "geometry",
                aliases: &[],
                takes: Takes::File,
                unit: "",
                default: None,
                optional: true,
                what: "a CSV file of the blade: r/R, c/R and beta in degrees",
            },
        ],
        source: "blade elements with momentum (Ning, Wind Energy 17 (2014) 1327, propeller form) and one polar fitted to the static runs of the UIUC \
                 Propeller Database, Volume 2 (AIAA 2014-2151); from a label: the average blade of that set",
        range: "small propellers, chord Reynolds number 8 000 to 50 000; 57 to 130 mm measured, anything else extrapolated; isolated, no frame behind it",
        validated: true,
        example: "propeller rpm=24000 diameter=76.2mm pitch=50mm blades=3",
        compute: propeller,
    },
];

fn hover_power(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let rotors = f64::from(values.count("rotors")?);
    let thrust = values.get::<Mass>("mass").weight() / rotors;
    let merit = values.plain("figure_of_merit");
    if !(merit > 0.0 && merit <= 1.0) {
        return Err(format!(
            "`figure_of_merit` lies between 0 and 1, this is {merit}"
        ));
    }
    let duct = Duct::new(values.plain("duct_area_ratio")).map_err(|fault| fault.to_string())?;
    let hover = momentum::hover(thrust, values.get("diameter"), values.get("density"));
    let ideal = hover.ideal_power * duct.power_ratio();
    Ok(vec![
        // Of the open rotor at this thrust; a duct changes the power, see `duct`.
        number(
            "induced_velocity_m_s",
            hover.induced_velocity.in_metres_per_second(),
            "m/s",
        ),
        number("shaft_power_w", ideal.in_watts() / merit, "W"),
        number("ideal_power_w", ideal.in_watts(), "W"),
        number("thrust_n", thrust.in_newtons(), "N"),
    ])
}

fn oblique(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let incidence = values.get::<Angle>("incidence").in_radians();
    let found = momentum::oblique_induced_velocity(
        values.get("hover_velocity"),
        values.get("speed"),
        incidence,
    );
    Ok(vec![number(
        "induced_velocity_m_s",
        found
            .map_err(|fault| fault.to_string())?
            .in_metres_per_second(),
        "m/s",
    )])
}

fn climb(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let found = momentum::climb_induced_velocity(values.get("hover_velocity"), values.get("climb"));
    Ok(vec![number(
        "induced_velocity_m_s",
        found
            .map_err(|fault| fault.to_string())?
            .in_metres_per_second(),
        "m/s",
    )])
}

fn ground(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let ratio = momentum::ground_thrust_ratio(
        Length::metres(values.plain("height_ratio")),
        Length::metres(2.0),
    );
    Ok(vec![number(
        "thrust_ratio",
        ratio.map_err(|fault| fault.to_string())?,
        "",
    )])
}

fn duct(values: &Values, _: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let duct = Duct::new(values.plain("area_ratio")).map_err(|fault| fault.to_string())?;
    Ok(vec![
        number("power_ratio", duct.power_ratio(), ""),
        number("thrust_ratio", duct.thrust_ratio(), ""),
        number("rotor_share", duct.rotor_share(), ""),
    ])
}

/// Coefficients with their standard deviations, before they meet density and speed.
struct Coefficients {
    thrust: f64,
    thrust_sd: f64,
    power: f64,
    power_sd: f64,
    merit: f64,
    merit_sd: f64,
}

/// What a scaled prediction is still off in forward flight, as a share of the static value: 13 measured
/// propellers, static point known.
const ADVANCE_THRUST_SD: f64 = 0.07;
/// The same for power.
const ADVANCE_POWER_SD: f64 = 0.09;
/// Error of the figure of merit of a measured blade, 1 sd over 13 propellers.
const MERIT_SD: f64 = 0.14;

fn propeller(values: &Values, notes: &mut Vec<String>) -> Result<Vec<Output>, String> {
    let rotation: RotationSpeed = values.get("rpm");
    let diameter: Length = values.get("diameter");
    let density: Density = values.get("density");
    let blades = values.count("blades")?;
    let air = air_of(density)?;
    let (blade, still) = match (values.word("geometry"), values.number("pitch")) {
        (Some(text), _) => {
            let blade =
                Blade::new(stations(text)?, blades, diameter).map_err(|fault| fault.to_string())?;
            let still = of_geometry(&blade, &air, rotation)?;
            (blade, still)
        }
        (None, Some(pitch)) => {
            let pitch = Length::metres(pitch);
            let label = from_label(diameter, pitch, blades, rotation, density)
                .map_err(|fault| fault.to_string())?;
            if let Some(how) = label.extrapolated {
                notes.push(format!("extrapolated: {how}"));
            }
            (
                label_blade(diameter, pitch, blades).map_err(|fault| fault.to_string())?,
                of_label(&label),
            )
        }
        (None, None) => {
            return Err(
                "give `pitch=…` as printed, or `geometry=FILE.csv` of a measured blade".to_owned(),
            );
        }
    };
    let speed: Speed = values.get("speed");
    let coefficients = advancing(still, &blade, &air, rotation, speed)?;
    Ok(outputs(&coefficients, rotation, diameter, density, speed))
}

fn air_of(density: Density) -> Result<Air, String> {
    const GAS_CONSTANT: f64 = 287.052_87;
    let day = Temperature::celsius(15.0);
    let pressure =
        Pressure::pascals(density.in_kilograms_per_cubic_metre() * GAS_CONSTANT * day.in_kelvins());
    Air::from_pressure(pressure, day).map_err(|fault| fault.to_string())
}

fn of_geometry(blade: &Blade, air: &Air, rotation: RotationSpeed) -> Result<Coefficients, String> {
    let found = from_geometry(blade, air, rotation, None).map_err(|fault| fault.to_string())?;
    let (thrust, power) = (
        found.propeller.thrust_coefficient,
        found.propeller.power_coefficient,
    );
    let merit = propeller::figure_of_merit(thrust, power);
    Ok(Coefficients {
        thrust,
        thrust_sd: share(found.thrust) * thrust,
        power,
        power_sd: share(found.power) * power,
        merit,
        merit_sd: MERIT_SD * merit,
    })
}

fn of_label(label: &propeller::LabelPropeller) -> Coefficients {
    let [thrust, power, merit] = [
        label.thrust_coefficient,
        label.power_coefficient,
        label.figure_of_merit,
    ];
    Coefficients {
        thrust: thrust.value.in_ones(),
        thrust_sd: share(thrust.doubt) * thrust.value.in_ones(),
        power: power.value.in_ones(),
        power_sd: share(power.doubt) * power.value.in_ones(),
        merit: merit.value.in_ones(),
        merit_sd: share(merit.doubt) * merit.value.in_ones(),
    }
}

/// Standard deviation over the middle of a log-normal.
fn share(doubt: Doubt) -> f64 {
    match doubt {
        Doubt::Factor(s) => s,
        _ => 0.0,
    }
}

/// The static coefficients carried to an advance by the shape of the blade.
fn advancing(
    still: Coefficients,
    blade: &Blade,
    air: &Air,
    rotation: RotationSpeed,
    speed: Speed,
) -> Result<Coefficients, String> {
    if speed.in_metres_per_second() == 0.0 {
        return Ok(still);
    }
    let loads = |axial| {
        let stream = Stream {
            axial,
            ..Stream::still(*air, rotation)
        };
        blade
            .loads(&SmallPropellerSection, &stream)
            .map_err(|fault| fault.to_string())
    };
    let (at_rest, moving) = (loads(Speed::metres_per_second(0.0))?, loads(speed)?);
    let thrust_share = moving.thrust_coefficient / at_rest.thrust_coefficient;
    let power_share = moving.power_coefficient / at_rest.power_coefficient;
    let (thrust, power) = (still.thrust * thrust_share, still.power * power_share);
    Ok(Coefficients {
        thrust,
        thrust_sd: (still.thrust_sd * thrust_share).hypot(ADVANCE_THRUST_SD * still.thrust),
        power,
        power_sd: (still.power_sd * power_share).hypot(ADVANCE_POWER_SD * still.power),
        merit: propeller::figure_of_merit(thrust.max(0.0), power),
        merit_sd: still.merit_sd,
    })
}

fn outputs(
    found: &Coefficients,
    rotation: RotationSpeed,
    diameter: Length,
    density: Density,
    speed: Speed,
) -> Vec<Output> {
    let turns = rotation.in_rpm() / 60.0;
    let (d, rho) = (diameter.in_metres(), density.in_kilograms_per_cubic_metre());
    let per_thrust = rho * turns * turns * d.powi(4);
    let per_torque = rho * turns * turns * d.powi(5) / std::f64::consts::TAU;
    let advance = speed.in_metres_per_second() / (turns * d);
    [
        doubted("thrust_coefficient", found.thrust, found.thrust_sd, ""),
        doubted("power_coefficient", found.power, found.power_sd, ""),
        doubted("figure_of_merit", found.merit, found.merit_sd, ""),
        doubted(
            "thrust_n",
            found.thrust * per_thrust,
            found.thrust_sd * per_thrust,
            "N",
        ),
        doubted(
            "torque_n_m",
            found.power * per_torque,
            found.power_sd * per_torque,
            "N·m",
        ),
    ]
    .into_iter()
    .flatten()
    .chain([
        number("advance_ratio", advance, ""),
        number("efficiency", advance * found.thrust / found.power, ""),
    ])
    .collect()
}

/// Stations of a blade from a CSV text: columns of radius and chord over tip radius, and the chord line's angle in degrees.
fn stations(text: &str) -> Result<Vec<Station>, String> {
    let mut lines = text
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with('#'));
    let head = lines.next().ok_or("the geometry file is empty")?;
    let names: Vec<String> = head
        .split([',', ';', '\t'])
        .map(|name| name.trim().to_lowercase())
        .collect();
    let column = |wanted: &[&str]| {
        names
            .iter()
            .position(|name| wanted.contains(&name.as_str()))
    };
    let find = |wanted: &[&str], what: &str| {
        column(wanted).ok_or_else(|| {
            format!(
                "the geometry file has no column {what}; it has {}",
                names.join(", ")
            )
        })
    };
    let radius = find(&["r/r", "r_over_r", "r_r", "radius", "radius_ratio"], "r/R")?;
    let chord = find(&["c/r", "c_over_r", "c_r", "chord", "chord_ratio"], "c/R")?;
    let angle = find(
        &["beta", "beta_deg", "angle", "angle_deg", "twist_deg"],
        "beta",
    )?;
    lines
        .enumerate()
        .map(|(at, line)| {
            let cells: Vec<&str> = line.split([',', ';', '\t']).map(str::trim).collect();
            let cell = |column: usize| {
                let number = cells
                    .get(column)
                    .and_then(|cell| cell.parse::<f64>().ok())
                    .filter(|number| number.is_finite());
                number.ok_or_else(|| {
                    format!(
                        "row {} of the geometry file has no number in column {}",
                        at + 1,
                        names[column]
                    )
                })
            };
            Ok(Station {
                radius_ratio: cell(radius)?,
                chord_ratio: cell(chord)?,
                angle_rad: cell(angle)?.to_radians(),
            })
        })
        .collect()
}
