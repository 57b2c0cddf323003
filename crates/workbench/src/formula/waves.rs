//! A wave on its way: spread, edges, ground, walls, leaves and rain.

use super::{Fault, Formula, Key, Outputs, Standing, Values, key, number, refuse, word, words};
use quantity::{
    Angle, Decibels, Dimension, DimensionInfo, Frequency, Length, LossPerLength, Ratio, text,
};
use radio::cover::{self, Foliage};
use radio::edges::{self, Edge, Path};
use radio::free_space;
use radio::ground::{self, Bounce, Ground, Polarisation, TwoRay};
use radio::wall::{self, Building, Layer, Material, Room};

#[cfg(test)]
mod tests;

const FREQUENCY: Key = key::<Frequency>("frequency", "MHz", "its frequency").above_zero();
const DISTANCE: Key =
    key::<Length>("distance", "m", "level distance between the ends").above_zero();
const SWING: Key = word(
    "polarisation",
    &[
        &["vertical", "v"],
        &["horizontal", "h"],
        &["circular", "c", "rhcp", "lhcp"],
    ],
    "how the waves of both ends swing; circular ones of the same hand",
);

const fn height(name: &'static str, what: &'static str) -> Key {
    key::<Length>(name, "m", what)
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "free-space-loss",
        purpose: "what is lost by spreading alone",
        keys: &[DISTANCE, FREQUENCY],
        source: "20·lg(4πd/λ); Rec. ITU-R P.525-4 (2019), section 2.2",
        range: "several wavelengths away and beyond 2D²/λ of the larger antenna; zero nearer than λ/4π",
        standing: Standing::Equation("a table of 180 losses, within its printed digits"),
        example: "free-space-loss distance=100m frequency=5800MHz",
        compute: free_space_loss,
    },
    Formula {
        name: "fresnel-radius",
        purpose: "how much room a wave needs beside the direct ray",
        keys: &[
            key::<Length>("d1", "m", "from one end to the place").above_zero(),
            key::<Length>("d2", "m", "from the place to the other end").above_zero(),
            FREQUENCY,
        ],
        source: "√(λ·d₁·d₂/(d₁ + d₂)); Rec. ITU-R P.526-15 (2019), section 2",
        range: "the first zone; a path counts as free where nothing stands in 0.6 of it",
        standing: Standing::Equation("a table of 28 radii, within its printed digits"),
        example: "fresnel-radius d1=50m d2=50m frequency=5800MHz",
        compute: fresnel_radius,
    },
    Formula {
        name: "knife-edge-loss",
        purpose: "what one sharp edge takes",
        keys: &[
            key::<Ratio>(
                "nu",
                "",
                "ν = h·√((2/λ)(1/d₁ + 1/d₂)), below zero under the ray",
            ),
            word(
                "exact",
                &[&["false", "no"], &["true", "yes"]],
                "by the Fresnel integrals, which swing below the ray",
            )
            .or("false"),
        ],
        source: "6.9 + 20·lg(√((ν − 0.1)² + 1) + ν − 0.1), zero up to −0.78; or the Fresnel integrals; Rec. ITU-R P.526-15 (2019), section 4.1",
        range: "one opaque edge of no thickness, no reflection from the ground",
        standing: Standing::Equation("a table of 40 values by another program's Fresnel integrals"),
        example: "knife-edge-loss nu=1.2 exact=true",
        compute: knife_edge_loss,
    },
    Formula {
        name: "edge-path",
        purpose: "what several edges on a path take",
        keys: &[
            DISTANCE,
            height("height1", "height of the first end"),
            height("height2", "height of the other end"),
            words(
                "edges",
                "`along/height,…`, as `35m/3.1m,60m/4m`",
                "tops in the way, from the first end",
            ),
            FREQUENCY,
        ],
        source: "one edge predominant for two, Deygout for more; Rec. ITU-R P.526-15 (2019), section 4, without its terms for rolling terrain",
        range: "opaque edges, no reflection from the ground; three and more come out high, so that a corrected sum, which is nearer, and a lower bound are given too",
        standing: Standing::Outside(
            "the multiple Fresnel integral: 16 cases, and random paths of two edges within 0.9 dB rms, of three within 2.5 dB rms",
        ),
        example: "edge-path distance=100m height1=1m height2=1m edges=30m/2m,70m/3m frequency=5800MHz",
        compute: edge_path,
    },
    Formula {
        name: "two-ray-loss",
        purpose: "the loss over open ground, which throws a second ray",
        keys: &[
            DISTANCE,
            height("height1", "height of the first end over the ground").above_zero(),
            height("height2", "height of the other end over the ground").above_zero(),
            FREQUENCY,
            words("ground", GROUNDS, "what the ground is"),
            SWING,
            key::<Ratio>(
                "moisture",
                "",
                "water of a soil by volume, instead of its usual",
            )
            .between(0.001, 0.5)
            .optional(),
            key::<Length>("roughness", "mm", "rms height of the ground's unevenness")
                .not_negative()
                .or("0 mm"),
        ],
        source: "L_fs − 20·lg|1 + R·ρ·(r_d/r_r)·e^(−jkΔ)|, Fresnel's R; soils and waters Rec. ITU-R P.527-4 (2017), others P.2040-3 (2023), Table 3",
        range: "flat ground, antennas alike in both directions; nearer than the breakpoint the loss swings between the two bounds",
        standing: Standing::Equation(
            "a table of 324 distances by another program, within its printed digits",
        ),
        example: "two-ray-loss distance=100m height1=1.5m height2=2m frequency=5800MHz ground=medium-dry polarisation=circular",
        compute: two_ray_loss,
    },
    Formula {
        name: "wall-loss",
        purpose: "what a wall or window takes",
        keys: &[
            words(
                "layers",
                "`material:thickness,…`, as `glass:4mm,air:16mm,glass:4mm`",
                "its layers in order",
            ),
            FREQUENCY,
            key::<Angle>("angle", "°", "of the ray from the wall's normal")
                .between(0.0, 89.0)
                .or("0 °"),
            word(
                "polarisation",
                &[&["te", "vertical"], &["tm", "horizontal"], &["circular"]],
                "te: the field lies in the wall's plane, as upright at an upright wall; tm: not",
            )
            .or("te"),
            key::<Frequency>("bandwidth", "MHz", "what the signal takes, for the mean")
                .not_negative()
                .or("20 MHz"),
        ],
        source: "layers by their ABCD matrices, materials of Table 3; Rec. ITU-R P.2040-3 (2023)",
        range: "even layers without studs, bars, render or moisture; real brick takes 1 to 5 dB more. The mean is over the band and ±10 % of the thickness",
        standing: Standing::Equation(
            "350 slabs and 48 piled walls by another program, within their printed digits",
        ),
        example: "wall-loss layers=glass:4mm,air:16mm,glass:4mm frequency=5800MHz angle=0° polarisation=te",
        compute: wall_loss,
    },
    Formula {
        name: "building-entry-loss",
        purpose: "what an unknown building takes from a link into it",
        keys: &[
            FREQUENCY.between(80.0, 100_000.0),
            word(
                "building",
                &[&["traditional"], &["thermally-efficient", "efficient"]],
                "efficient ones have coated panes or foil",
            )
            .or("traditional"),
            key::<Angle>("elevation", "°", "of the ray at the facade")
                .between(-90.0, 90.0)
                .or("0 °"),
            key::<Ratio>("share", "%", "of all places that have no more loss")
                .between(0.1, 99.9)
                .or("50 %"),
        ],
        source: "Rec. ITU-R P.2109-2 (2023), equations (1) to (8)",
        range: "80 MHz to 100 GHz; a statistic of many buildings",
        standing: Standing::Equation("60 losses by another program, within their printed digits"),
        example: "building-entry-loss frequency=5800MHz building=traditional share=95%",
        compute: building_entry_loss,
    },
    Formula {
        name: "indoor-loss",
        purpose: "the usual loss between two places on one floor",
        keys: &[
            key::<Length>("distance", "m", "between the ends").above_zero(),
            FREQUENCY,
            word(
                "room",
                &[&["office"], &["corridor"], &["industrial", "hall"]],
                "where",
            )
            .or("office"),
            word(
                "sight",
                &[&["no", "nlos", "false"], &["yes", "los", "true"]],
                "whether the ends see each other",
            )
            .or("no"),
        ],
        source: "10·α·lg d + β + 10·γ·lg f; Rec. ITU-R P.1238-12 (2023), section 3.1",
        range: "300 MHz to 80 GHz, one floor; in sight it may be less than in free space, since walls guide the wave",
        standing: Standing::Equation(
            "the same equation evaluated elsewhere, within its printed digits",
        ),
        example: "indoor-loss distance=10m frequency=2440MHz room=office sight=no",
        compute: indoor_loss,
    },
    Formula {
        name: "vegetation-loss",
        purpose: "what trees in leaf take",
        keys: &[
            key::<Length>("depth", "m", "way through the trees").not_negative(),
            key::<LossPerLength>("specific", "dB/m", "loss of a short way")
                .above_zero()
                .optional(),
            key::<Decibels>("maximum", "dB", "the most there can be")
                .above_zero()
                .optional(),
            FREQUENCY.optional(),
        ],
        source: "A_m·(1 − e^(−dγ/A_m)); Rec. ITU-R P.833-9 (2016), section 2.1; Weissberger, ESD-TR-81-101 (1982), as a second opinion",
        range: "with `frequency` alone γ and A_m are the usual ones; above 2.1 GHz these are extrapolated and not validated",
        standing: Standing::Equation(
            "the equation evaluated elsewhere; nobody's measurement stands behind 5.8 GHz",
        ),
        example: "vegetation-loss depth=20m frequency=5800MHz",
        compute: vegetation_loss,
    },
    Formula {
        name: "rain-loss",
        purpose: "what rain takes",
        keys: &[
            Key {
                unit: "mm/h",
                takes: super::Takes::Number,
                ..key::<Ratio>("rate", "", "how hard it rains")
            }
            .between(0.0, 300.0),
            FREQUENCY.between(1000.0, 1_000_000.0),
            SWING,
        ],
        source: "k·R^α; Rec. ITU-R P.838-3 (2005)",
        range: "1 GHz to 1 THz, a level way",
        standing: Standing::Equation(
            "30 values by two other programs, within their printed digits",
        ),
        example: "rain-loss rate=50mm/h frequency=5800MHz polarisation=circular",
        compute: rain_loss,
    },
];

const GROUNDS: &str = "`very-dry`, `medium-dry`, `wet`, `concrete`, `dry`, `sandy-loam`, `loam`, `wet-loam`, `silty-loam`, `silty-clay`, `water` or `sea-water`";

fn metres(values: &Values, key: &str) -> f64 {
    values.get::<Length>(key).in_metres()
}

fn hertz(values: &Values) -> f64 {
    values.get::<Frequency>("frequency").in_hertz()
}

fn swing(values: &Values) -> Polarisation {
    match values.word("polarisation") {
        Some("horizontal") => Polarisation::Horizontal,
        Some("circular") => Polarisation::Circular,
        _ => Polarisation::Vertical,
    }
}

fn free_space_loss(values: &Values, _: &mut Vec<String>) -> Outputs {
    let loss = free_space::loss_db(metres(values, "distance"), hertz(values));
    Ok(vec![
        number("loss_db", loss, "dB"),
        number("wavelength_m", free_space::wavelength_m(hertz(values)), "m"),
    ])
}

fn fresnel_radius(values: &Values, _: &mut Vec<String>) -> Outputs {
    let (d1, d2) = (metres(values, "d1"), metres(values, "d2"));
    let radius = free_space::fresnel_radius_m(d1, d2, hertz(values));
    Ok(vec![
        number("radius_m", radius, "m"),
        number("clear_m", CLEAR * radius, "m"),
    ])
}

/// The share of the first zone that is to be free. A common rule of planning.
const CLEAR: f64 = 0.6;

fn knife_edge_loss(values: &Values, _: &mut Vec<String>) -> Outputs {
    let nu = values.plain("nu");
    let loss = match values.word("exact") {
        Some("true") => edges::knife_edge_exact_db(nu),
        _ => edges::knife_edge_db(nu),
    };
    Ok(vec![number("loss_db", loss, "dB")])
}

fn path(values: &Values) -> Path {
    Path {
        distance_m: metres(values, "distance"),
        heights_m: [metres(values, "height1"), metres(values, "height2")],
        frequency_hz: hertz(values),
    }
}

fn edge_path(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let path = path(values);
    let tops = tops(values.text("edges").unwrap_or_default())?;
    let beside = tops.iter().filter(|top| top.nu(&path).is_none()).count();
    if beside > 0 {
        notes.push(format!(
            "{beside} of the edges do not stand between the ends and are left out"
        ));
    }
    let counted = tops
        .iter()
        .filter(|top| top.nu(&path).is_some_and(|nu| nu > edges::NOTHING_BELOW))
        .count();
    let direct = path.distance_m.hypot(path.heights_m[0] - path.heights_m[1]);
    let loss = edges::loss_db(&path, &tops);
    Ok(vec![
        number("loss_db", loss, "dB"),
        number("corrected_db", edges::corrected_db(&path, &tops), "dB"),
        number("optimistic_db", edges::optimistic_db(&path, &tops), "dB"),
        number("edges_in_the_way", counted as f64, ""),
        number(
            "with_free_space_db",
            loss + free_space::loss_db(direct, path.frequency_hz),
            "dB",
        ),
    ])
}

/// `35m/3.1m,60m/4m`; bare numbers are metres.
fn tops(text: &str) -> Result<Vec<Edge>, Vec<Fault>> {
    pieces(text, |piece| {
        let (along, height) = piece
            .split_once('/')
            .ok_or_else(|| format!("`{piece}` is not `along/height`"))?;
        Ok(Edge {
            along_m: written::<Length>(along, "m")?,
            height_m: written::<Length>(height, "m")?,
        })
    })
}

/// What stands between commas, with every fault at once.
fn pieces<T>(text: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<Vec<T>, Vec<Fault>> {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    let written = text
        .split(',')
        .map(str::trim)
        .filter(|piece| !piece.is_empty());
    for piece in written {
        match read(piece) {
            Ok(one) => found.push(one),
            Err(why) => faults.push(Fault(why)),
        }
    }
    if faults.is_empty() {
        Ok(found)
    } else {
        Err(faults)
    }
}

/// The SI value of a quantity; a bare number is in the unit.
fn written<D: Dimension>(text: &str, unit: &str) -> Result<f64, String> {
    let text = text.trim();
    let spelled = match text.parse::<f64>() {
        Ok(_) => format!("{text} {unit}"),
        Err(_) => text.to_owned(),
    };
    let value = text::read(&spelled, DimensionInfo::of::<D>())
        .map_err(|fault| format!("`{text}`: {}", fault.message))?;
    Ok(value.value_and_doubt().0)
}

fn two_ray_loss(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let path = path(values);
    let bounce = Bounce {
        roughness_m: metres(values, "roughness"),
        ..Bounce::smooth(
            ground_named(values)?.permittivity(path.frequency_hz),
            swing(values),
        )
    };
    let rays = TwoRay::of(&path, &bounce);
    let [least, most] = ground::two_ray_band_db(&path, &bounce);
    if least < most {
        notes.push("nearer than the breakpoint the loss swings between the bounds within fractions of a metre".to_owned());
    }
    let breakpoint = ground::breakpoint_m(path.heights_m, path.frequency_hz);
    Ok(vec![
        number("loss_db", ground::two_ray_db(&path, &bounce), "dB"),
        number("least_loss_db", least, "dB"),
        number("most_loss_db", most, "dB"),
        number(
            "free_space_loss_db",
            free_space::loss_db(rays.direct_m, path.frequency_hz),
            "dB",
        ),
        number("grazing_deg", rays.grazing_rad.to_degrees(), "°"),
        number("reflected_share", rays.share.norm(), ""),
        number("breakpoint_m", breakpoint, "m"),
    ])
}

fn ground_named(values: &Values) -> Result<Ground, Vec<Fault>> {
    let name = values.text("ground").unwrap_or_default();
    let found = Ground::named(name);
    let found = found.ok_or_else(|| refuse(format!("no ground `{name}`; it can be {GROUNDS}")))?;
    match (found, values.number("moisture")) {
        (Ground::Soil(soil, _), Some(moisture)) => Ok(Ground::Soil(soil, moisture)),
        (_, Some(_)) => Err(refuse(format!("`{name}` has no `moisture` of its own"))),
        (found, None) => Ok(found),
    }
}

fn wall_loss(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let frequency = hertz(values);
    let pile = pile(values.text("layers").unwrap_or_default())?;
    if pile.is_empty() {
        return Err(refuse("`layers` names no layer"));
    }
    if let Some(layer) = pile.iter().find(|layer| layer.material.is_opaque()) {
        return Err(refuse(format!(
            "nothing passes {}; what comes through openings and over edges decides",
            layer.material.name()
        )));
    }
    for layer in &pile {
        if !layer.material.holds_at(frequency) {
            notes.push(format!(
                "the figures of {} were not fitted at this frequency",
                layer.material.name()
            ));
        }
    }
    let angle = values.get::<Angle>("angle").in_radians();
    let swing = match values.word("polarisation") {
        Some("tm") => wall::Polarisation::Tm,
        Some("circular") => wall::Polarisation::Circular,
        _ => wall::Polarisation::Te,
    };
    let bandwidth = values.get::<Frequency>("bandwidth").in_hertz();
    if bandwidth >= frequency {
        return Err(refuse("`bandwidth` is as wide as the frequency itself"));
    }
    let mean = wall::loss_in_practice_db(&pile, frequency, bandwidth, angle, swing);
    Ok(vec![
        number(
            "loss_db",
            wall::layers_db(&pile, frequency, angle, swing),
            "dB",
        ),
        number("mean_loss_db", mean, "dB"),
    ])
}

/// `glass:4mm,air:16mm`; bare numbers are millimetres.
fn pile(text: &str) -> Result<Vec<Layer>, Vec<Fault>> {
    pieces(text, |piece| {
        let (name, thickness) = piece
            .split_once(':')
            .ok_or_else(|| format!("`{piece}` is not `material:thickness`"))?;
        let material = Material::named(name).ok_or_else(|| {
            let known: Vec<_> = Material::all().map(Material::name).collect();
            format!(
                "no material `{}`; it can be {}",
                name.trim(),
                known.join(", ")
            )
        })?;
        let thickness_m = written::<Length>(thickness, "mm")?;
        if thickness_m > 0.0 {
            Ok(Layer {
                material,
                thickness_m,
            })
        } else {
            Err(format!("`{piece}`: a thickness is above zero"))
        }
    })
}

fn building_entry_loss(values: &Values, _: &mut Vec<String>) -> Outputs {
    let building = match values.word("building") {
        Some("thermally-efficient") => Building::ThermallyEfficient,
        _ => Building::Traditional,
    };
    let elevation = values.get::<Angle>("elevation").in_radians();
    let loss = wall::building_entry_db(building, hertz(values), elevation, values.plain("share"));
    let loss = loss.ok_or_else(|| refuse("`share` lies between 0 and 100 %"))?;
    Ok(vec![number("loss_db", loss, "dB")])
}

fn indoor_loss(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let (distance, frequency) = (metres(values, "distance"), hertz(values));
    let room = match values.word("room") {
        Some("corridor") => Room::Corridor,
        Some("industrial") => Room::Industrial,
        _ => Room::Office,
    };
    let in_sight = values.word("sight") == Some("yes");
    let loss = wall::indoor_db(room, in_sight, distance, frequency);
    let free = free_space::loss_db(distance, frequency);
    let [nearest, farthest] = wall::indoor_range_m(room, in_sight);
    if !(nearest..=farthest).contains(&distance) {
        notes.push(format!(
            "measured from {nearest} to {farthest} m; beyond that it is extrapolated"
        ));
    }
    if loss < free {
        notes.push("less than in free space: walls guide the wave there".to_owned());
    }
    Ok(vec![
        number("loss_db", loss, "dB"),
        number("spread_db", wall::indoor_sd_db(room, in_sight), "dB"),
        number("free_space_loss_db", free, "dB"),
    ])
}

fn vegetation_loss(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let depth = metres(values, "depth");
    let frequency = values
        .find::<Frequency>("frequency")
        .map(Frequency::in_hertz);
    let specific = values
        .find::<LossPerLength>("specific")
        .map(LossPerLength::in_decibels_per_metre);
    let maximum = values
        .find::<Decibels>("maximum")
        .map(Decibels::in_decibels);
    let mut outputs = match (specific, maximum, frequency) {
        (Some(specific), Some(maximum), _) => {
            let loss = cover::vegetation_db(depth, specific, maximum);
            vec![number("loss_db", loss, "dB")]
        }
        (specific, maximum, Some(frequency)) => usual(depth, specific, maximum, frequency, notes),
        _ => {
            return Err(refuse(
                "`specific` and `maximum` are needed, or `frequency` for the usual ones",
            ));
        }
    };
    if let Some(frequency) = frequency {
        let other = cover::weissberger_db(depth, frequency);
        outputs.push(number("weissberger_db", other, "dB"));
    }
    Ok(outputs)
}

/// The band of a frequency, with what is known of these trees in place of the usual.
fn usual(
    depth: f64,
    specific: Option<f64>,
    maximum: Option<f64>,
    frequency: f64,
    notes: &mut Vec<String>,
) -> Vec<super::Output> {
    let mut foliage = Foliage::at(frequency);
    if foliage.extrapolated {
        notes.push(
            "trees were measured from 106 MHz to 2.1 GHz; this is extrapolated and not validated"
                .to_owned(),
        );
    }
    if let Some(specific) = specific {
        foliage.specific_db_per_m = [specific; 3];
    }
    foliage.maximum_db = maximum.unwrap_or(foliage.maximum_db);
    let [least, likely, most] = foliage.loss_db(depth);
    vec![
        number("loss_db", likely, "dB"),
        number("least_loss_db", least, "dB"),
        number("most_loss_db", most, "dB"),
        number("specific_db_per_m", foliage.specific_db_per_m[1], "dB/m"),
        number("maximum_db", foliage.maximum_db, "dB"),
    ]
}

fn rain_loss(values: &Values, _: &mut Vec<String>) -> Outputs {
    let loss = cover::rain_db_per_km(values.plain("rate"), hertz(values), swing(values));
    Ok(vec![number("loss_db_per_km", loss, "dB/km")])
}
