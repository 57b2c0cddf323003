//! Propellers: from their coefficients, from the label, or from a measured blade.

use super::{
    Fault, Formula, Key, Output, Outputs, Standing, Takes, Values, count, doubted, key, number,
    plain_key, refuse,
};
use flight::air::Air;
use flight::blade_element::{Blade, SmallPropellerSection, Station, Stream};
use flight::propeller::{
    LabelPropeller, Propeller, figure_of_merit, from_geometry, from_label, label_blade,
};
use quantity::{Density, Doubt, Length, Pressure, Ratio, RotationSpeed, Speed, Temperature};
use std::f64::consts::TAU;

const RPM: Key = key::<RotationSpeed>("rpm", "rpm", "speed of rotation").above_zero();
const DIAMETER: Key = key::<Length>("diameter", "m", "tip to tip").above_zero();
const DENSITY: Key = key::<Density>("density", "kg/m³", "air density")
    .or("1.225 kg/m³")
    .above_zero();

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "propeller",
        purpose: "thrust and torque of a propeller from its label or its measured blade",
        keys: &[
            RPM,
            key::<Speed>(
                "speed",
                "m/s",
                "speed of the air along the axis, from ahead",
            )
            .or("0 m/s")
            .not_negative(),
            DENSITY,
            DIAMETER,
            count("blades", 12, "number of blades"),
            key::<Length>("pitch", "m", "nominal pitch, where no blade was measured")
                .optional()
                .above_zero(),
            plain_key(
                "geometry",
                Takes::File,
                "",
                "CSV file of the blade, root first: columns r/R, c/R and beta [°]",
            )
            .optional(),
        ],
        source: "blade elements with momentum (Ning, Wind Energy 17 (2014) 1327, propeller form), one polar fitted to the static \
                 runs of the University of Illinois Propeller Database, volume 2 (AIAA 2014-2151), corrected for blade area; \
                 from a label: the average blade of that set",
        range: "57 to 130 mm, 2 or 3 blades, chord Reynolds number 4 000 to 48 000, anything else extrapolated; isolated, nothing \
                behind it; ± is 1 sd, found on the set, each propeller left out in turn",
        standing: Standing::Outside("13 measured propellers, static and in forward flight"),
        example: "propeller rpm=24000 diameter=76.2mm pitch=50mm blades=3",
        compute: predicted,
    },
    Formula {
        name: "propeller-coefficients",
        purpose: "thrust, torque and power of a propeller of known coefficients",
        keys: &[
            RPM,
            DIAMETER,
            key::<Ratio>("thrust_coefficient", "", "T/(ρ n² D⁴), n in 1/s")
                .also(&["CT", "ct"])
                .above_zero(),
            key::<Ratio>("power_coefficient", "", "P/(ρ n³ D⁵)")
                .also(&["CP", "cp"])
                .above_zero(),
            DENSITY,
        ],
        source: "definition of the coefficients, propeller convention; figure of merit CT^1.5/CP·√(2/π)",
        range: "at rest; the coefficients of a small propeller change with rpm, CT as rpm^0.06 and CP as rpm^−0.07 in the mean",
        standing: Standing::Equation("one measured run turned back into its thrust"),
        example: "propeller-coefficients rpm=19996.7 diameter=57mm CT=0.137828 CP=0.0766",
        compute: known,
    },
];

fn known(values: &Values, _: &mut Vec<String>) -> Outputs {
    let (rotation, density): (RotationSpeed, Density) = (values.get("rpm"), values.get("density"));
    let propeller = Propeller::constant(
        values.get("diameter"),
        values.plain("thrust_coefficient"),
        values.plain("power_coefficient"),
    );
    let thrust = propeller.thrust(rotation, density);
    let torque = propeller.torque(rotation, density);
    let power = propeller.power(rotation, density);
    let tip_m_s = 0.5 * propeller.diameter.in_metres() * rotation.in_radians_per_second();
    Ok(vec![
        number("thrust_n", thrust.in_newtons(), "N"),
        number("torque_n_m", torque.in_newton_metres(), "N·m"),
        number("shaft_power_w", power.in_watts(), "W"),
        number("figure_of_merit", propeller.figure_of_merit(), ""),
        number("tip_speed_m_s", tip_m_s, "m/s"),
    ])
}

fn predicted(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let air = air_of(values.get("density"))?;
    let rotation: RotationSpeed = values.get("rpm");
    let (blade, still) = if values.file_text("geometry").is_some() {
        measured_blade(values, &air, notes)?
    } else {
        labelled(values, notes)?
    };
    let turning = Turning {
        air,
        rotation,
        speed: values.get("speed"),
    };
    let found = turning.advanced(still, &blade, notes)?;
    Ok(turning.outputs(&found, &blade))
}

/// Air of this density at 15 °C: viscosity moves by 5 % between 0 and 35 °C, the result by 1 %.
fn air_of(density: Density) -> Result<Air, Vec<Fault>> {
    const GAS_CONSTANT: f64 = 287.052_87;
    let day = Temperature::celsius(15.0);
    let pascals = density.in_kilograms_per_cubic_metre() * GAS_CONSTANT * day.in_kelvins();
    Air::from_pressure(Pressure::pascals(pascals), day).map_err(|fault| {
        refuse(format!(
            "`density` is that of no air people fly in: {fault}"
        ))
    })
}

/// Static coefficients with their standard deviations, to first order in the logarithm.
struct Coefficients {
    thrust: f64,
    thrust_sd: f64,
    power: f64,
    power_sd: f64,
    merit: f64,
    merit_sd: f64,
}

/// 1 sd of the figure of merit of a measured blade: of blade elements with the measured shape, each of 13
/// propellers left out in turn.
const MERIT_SD: f64 = 0.14;

fn measured_blade(
    values: &Values,
    air: &Air,
    notes: &mut Vec<String>,
) -> Result<(Blade, Coefficients), Vec<Fault>> {
    let name = values.file_name("geometry").unwrap_or_default();
    let text = values.file_text("geometry").unwrap_or_default();
    let in_file = |fault: Fault| Fault(format!("{name}: {}", fault.0));
    let stations =
        stations(&text).map_err(|faults| faults.into_iter().map(in_file).collect::<Vec<_>>())?;
    let blade = Blade::new(stations, values.count("blades"), values.get("diameter"))
        .map_err(|fault| refuse(format!("{name}: {fault}")))?;
    if values.number("pitch").is_some() {
        notes.push("`pitch` is not used: the blade was measured".to_owned());
    }
    notes.extend(outside(
        &blade,
        values.count("blades"),
        air,
        values.get("rpm"),
    ));
    let found = from_geometry(&blade, air, values.get("rpm"), None).map_err(refuse)?;
    let (thrust, power) = (
        found.propeller.thrust_coefficient,
        found.propeller.power_coefficient,
    );
    let merit = figure_of_merit(thrust, power);
    let still = Coefficients {
        thrust,
        thrust_sd: share(found.thrust) * thrust,
        power,
        power_sd: share(found.power) * power,
        merit,
        merit_sd: MERIT_SD * merit,
    };
    Ok((blade, still))
}

fn labelled(values: &Values, notes: &mut Vec<String>) -> Result<(Blade, Coefficients), Vec<Fault>> {
    let Some(pitch) = values.find::<Length>("pitch") else {
        return Err(refuse(
            "`pitch` as printed is missing, or `geometry=FILE.csv` of a measured blade",
        ));
    };
    let (diameter, blades) = (values.get("diameter"), values.count("blades"));
    let label = from_label(
        diameter,
        pitch,
        blades,
        values.get("rpm"),
        values.get("density"),
    )
    .map_err(refuse)?;
    notes.extend(label.extrapolated.map(str::to_owned));
    let blade = label_blade(diameter, pitch, blades).map_err(refuse)?;
    Ok((blade, of_label(&label)))
}

fn of_label(label: &LabelPropeller) -> Coefficients {
    let split = |quantity: quantity::Quantity<Ratio>| {
        let value = quantity.value.in_ones();
        (value, share(quantity.doubt) * value)
    };
    let (thrust, thrust_sd) = split(label.thrust_coefficient);
    let (power, power_sd) = split(label.power_coefficient);
    let (merit, merit_sd) = split(label.figure_of_merit);
    Coefficients {
        thrust,
        thrust_sd,
        power,
        power_sd,
        merit,
        merit_sd,
    }
}

/// Standard deviation over the middle, to first order.
fn share(doubt: Doubt) -> f64 {
    match doubt {
        Doubt::Factor(log_sd) => log_sd,
        _ => 0.0,
    }
}

/// Chord Reynolds numbers at 0.75 of the radius that the set was measured at.
const MEASURED_REYNOLDS: std::ops::RangeInclusive<f64> = 3.7e3..=48.4e3;

/// In which ways a blade lies outside the measured set.
fn outside(blade: &Blade, blades: u32, air: &Air, rotation: RotationSpeed) -> Vec<String> {
    let mm = blade.diameter().in_millimetres();
    let reynolds = blade.reynolds(air, rotation);
    let ways = [
        (!(57.0..=130.0).contains(&mm), "outside 57 to 130 mm"),
        (blades > 3, "with more than 3 blades"),
        (
            !MEASURED_REYNOLDS.contains(&reynolds),
            "at this Reynolds number",
        ),
    ];
    let held = ways.into_iter().filter(|(is_outside, _)| *is_outside);
    held.map(|(_, way)| format!("extrapolated: no measured propeller {way}"))
        .collect()
}

/// What the propeller turns in, and how fast.
struct Turning {
    air: Air,
    rotation: RotationSpeed,
    speed: Speed,
}

/// 1 sd that a prediction scaled to the static point is still off in forward flight, as a share of the
/// static value: 13 measured propellers.
const ADVANCE_THRUST_SD: f64 = 0.07;
/// The same for power.
const ADVANCE_POWER_SD: f64 = 0.09;

impl Turning {
    /// The static coefficients carried to an advance by the shape of the blade.
    fn advanced(
        &self,
        still: Coefficients,
        blade: &Blade,
        notes: &mut Vec<String>,
    ) -> Result<Coefficients, Vec<Fault>> {
        if self.speed.in_metres_per_second() == 0.0 {
            return Ok(still);
        }
        let (thrust_share, power_share) = self.shares(blade)?;
        let (thrust, power) = (still.thrust * thrust_share, still.power * power_share);
        // Scaled doubt of the static point beside what the shape leaves open.
        let (thrust_open, power_open) = (
            ADVANCE_THRUST_SD * still.thrust,
            ADVANCE_POWER_SD * still.power,
        );
        let (merit, merit_sd) = if thrust > 0.0 && power > 0.0 {
            notes.push(
                "the figure of merit compares with hover; in a stream see `efficiency`".to_owned(),
            );
            let merit = figure_of_merit(thrust, power);
            let by_shape = (1.5 * thrust_open / thrust).hypot(power_open / power);
            (
                merit,
                merit * (still.merit_sd / still.merit).hypot(by_shape),
            )
        } else {
            notes.push("the air is faster than the blades screw: no thrust is left".to_owned());
            (0.0, 0.0)
        };
        Ok(Coefficients {
            thrust,
            thrust_sd: (still.thrust_sd * thrust_share).hypot(thrust_open),
            power,
            power_sd: (still.power_sd * power_share).hypot(power_open),
            merit,
            merit_sd,
        })
    }

    /// Thrust and power coefficient in the stream over those at rest, by blade elements.
    fn shares(&self, blade: &Blade) -> Result<(f64, f64), Vec<Fault>> {
        let still = Stream::still(self.air, self.rotation);
        let moving = Stream {
            axial: self.speed,
            ..still
        };
        let loads = |stream| blade.loads(&SmallPropellerSection, stream).map_err(refuse);
        let (still, moving) = (loads(&still)?, loads(&moving)?);
        Ok((
            moving.thrust_coefficient / still.thrust_coefficient,
            moving.power_coefficient / still.power_coefficient,
        ))
    }

    fn outputs(&self, found: &Coefficients, blade: &Blade) -> Vec<Output> {
        let turns = self.rotation.in_radians_per_second() / TAU;
        let d = blade.diameter().in_metres();
        let density = self.air.density.in_kilograms_per_cubic_metre();
        let per_thrust = density * turns * turns * d.powi(4);
        let per_torque = per_thrust * d / TAU;
        let advance = self.speed.in_metres_per_second() / (turns * d);
        let [thrust, torque] = [
            (found.thrust * per_thrust, found.thrust_sd * per_thrust),
            (found.power * per_torque, found.power_sd * per_torque),
        ];
        let mut outputs = [
            doubted("thrust_coefficient", found.thrust, found.thrust_sd, ""),
            doubted("power_coefficient", found.power, found.power_sd, ""),
            doubted("figure_of_merit", found.merit, found.merit_sd, ""),
            doubted("thrust_n", thrust.0, thrust.1, "N"),
            doubted("torque_n_m", torque.0, torque.1, "N·m"),
        ]
        .concat();
        outputs.push(number("advance_ratio", advance, ""));
        if advance > 0.0 && found.merit > 0.0 {
            let efficiency = advance * found.thrust / found.power;
            outputs.push(number("efficiency", efficiency, ""));
        }
        let reynolds = blade.reynolds(&self.air, self.rotation);
        outputs.push(number("reynolds", reynolds, ""));
        outputs
    }
}

/// Spellings of the three columns.
const COLUMNS: [(&str, &[&str]); 3] = [
    ("r/R", &["r/r", "r_over_r", "r_r", "radius_ratio", "radius"]),
    ("c/R", &["c/r", "c_over_r", "c_r", "chord_ratio", "chord"]),
    (
        "beta",
        &[
            "beta",
            "beta_deg",
            "beta [°]",
            "angle",
            "angle_deg",
            "twist_deg",
        ],
    ),
];

/// Stations of a blade from the text of a CSV file, or everything that is wrong with it.
fn stations(text: &str) -> Result<Vec<Station>, Vec<Fault>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .delimiter(delimiter(text))
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let places = columns(reader.headers().map_err(refuse)?)?;
    let mut stations = Vec::new();
    let mut faults = Vec::new();
    for record in reader.records() {
        match record
            .map_err(|fault| fault.to_string())
            .and_then(|row| station(&row, places))
        {
            Ok(station) => stations.push(station),
            Err(why) => faults.push(Fault(why)),
        }
    }
    if faults.is_empty() {
        Ok(stations)
    } else {
        Err(faults)
    }
}

/// What divides the cells of the heading.
fn delimiter(text: &str) -> u8 {
    let heading = text
        .lines()
        .find(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let has = |mark: char| heading.is_some_and(|line| line.contains(mark));
    match (has(','), has(';'), has('\t')) {
        (true, _, _) => b',',
        (_, true, _) => b';',
        (_, _, true) => b'\t',
        _ => b',',
    }
}

fn columns(heading: &csv::StringRecord) -> Result<[usize; 3], Vec<Fault>> {
    let names: Vec<String> = heading.iter().map(str::to_lowercase).collect();
    let place = |(_, spellings): (&str, &[&str])| {
        names
            .iter()
            .position(|name| spellings.contains(&name.as_str()))
    };
    let found = COLUMNS.map(place);
    if let [Some(radius), Some(chord), Some(angle)] = found {
        return Ok([radius, chord, angle]);
    }
    let absent = COLUMNS.iter().zip(found).filter(|(_, at)| at.is_none());
    let has = names.join(", ");
    Err(absent
        .map(|((name, _), _)| Fault(format!("no column `{name}`; the heading has {has}")))
        .collect())
}

fn station(row: &csv::StringRecord, places: [usize; 3]) -> Result<Station, String> {
    let line = row.position().map_or(0, csv::Position::line);
    let cell = |place: usize, name: &str| {
        let text = row.get(place).unwrap_or_default();
        let number = text.parse::<f64>().ok().filter(|n| n.is_finite());
        number.ok_or_else(|| format!("line {line}: `{text}` under {name} is no number"))
    };
    let [radius, chord, angle] = places;
    Ok(Station {
        radius_ratio: cell(radius, "r/R")?,
        chord_ratio: cell(chord, "c/R")?,
        angle_rad: cell(angle, "beta")?.to_radians(),
    })
}
