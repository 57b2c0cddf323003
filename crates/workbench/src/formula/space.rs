//! Solids: what they weigh and where, how far they are apart, what they hide from a camera.

use super::lists::{entries, exactly};
use super::{
    Fault, Formula, Key, Outputs, Standing, Values, file, key, number, refuse, word, words,
};
use fit::{
    Camera, Disc, Lens, MassProperties, Mesh, MeshProperties, Part, PartShape, Pose, Solid, Turn,
    Unit, blocked_share, distance, smallest_rim_angle,
};
use quantity::{Angle, Mass};
use std::sync::Arc;

const SOLID: &str = "`box:x,y,z:sizes:roll,pitch,yaw`, `cylinder:x,y,z:radius,height:roll,pitch,yaw` or \
                     `mesh:FILE.stl:x,y,z:roll,pitch,yaw`; mm and degrees, the turn may be left out";

const fn degrees(name: &'static str, what: &'static str) -> Key {
    key::<Angle>(name, "°", what)
}

pub(super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "mass-properties",
        purpose: "mass, balance point and inertia of a list of parts",
        keys: &[file(
            "parts",
            "CSV with part, shape (box, cyl, tube, ring, point), mass_g, d1_mm, d2_mm, d3_mm, x_mm, y_mm, z_mm, roll_deg, pitch_deg, yaw_deg",
        )],
        source: "parallel-axis theorem; box m/12·(b² + c²), cylinder m·(3r² + h²)/12 and m·r²/2, any dynamics text; turned by Rz·Ry·Rx",
        range: "uniform density; x forward, y left, z up; inertia about the balance point, products below zero off the diagonal",
        standing: Standing::Outside(
            "three invented part lists summed by a mesh library, within the printed digits",
        ),
        example: "mass-properties parts=parts.csv",
        compute: mass_properties,
    },
    Formula {
        name: "mesh-properties",
        purpose: "volume, balance point and inertia of a closed mesh",
        keys: &[
            file("mesh", "STL file, binary or text, in millimetres"),
            key::<Mass>("mass", "g", "its mass").above_zero(),
        ],
        source: "sums over signed tetrahedra; Mirtich, J. Graphics Tools 1(2) (1996)",
        range: "closed meshes; an open one is refused, one with its triangles facing inwards is turned round and said",
        standing: Standing::Outside(
            "an L-shaped mesh by a mesh library, within the printed digits",
        ),
        example: "mesh-properties mesh=canopy.stl mass=5g",
        compute: mesh_properties,
    },
    Formula {
        name: "solid-distance",
        purpose: "how far two solids are apart",
        keys: &[
            words("a", SOLID, "one solid"),
            words("b", SOLID, "the other"),
        ],
        source: "a collision library; points checked by projecting each on the other's solid",
        range: "boxes, capped cylinders, closed or open meshes; zero where they touch, below zero where two boxes or cylinders overlap by so much",
        standing: Standing::Outside("cases by bounded minimisation, within 0.02 mm"),
        example: "solid-distance a=box:44,0,14:19,19,20:0,-30,0 b=cylinder:62,-62,10:38.1,7",
        compute: solid_distance,
    },
    Formula {
        name: "field-of-view",
        purpose: "how much of a camera's picture the propellers take",
        keys: &[
            words("camera", "`x,y,z` in mm", "place of the lens"),
            degrees("tilt", "how far it looks up").or("0 °"),
            word(
                "lens",
                &[&["rectilinear"], &["equidistant", "fisheye"]],
                "how the lens maps; small ones lie between the two",
            )
            .or("rectilinear"),
            degrees("across", "full angle across").between(1.0, 360.0),
            degrees("upright", "full angle up and down").between(1.0, 360.0),
            words("discs", "`x,y,z,radius;…` in mm", "propeller discs, level"),
        ],
        source: "rays through a picture of evenly spaced cells",
        range: "level discs; nothing else of the craft is seen",
        standing: Standing::Outside("shares by rays in Python, within 0.1 %"),
        example: "field-of-view camera=44,0,16 tilt=20° across=120° upright=90° discs=62,62,10,38.1;62,-62,10,38.1",
        compute: field_of_view,
    },
];

fn mass_properties(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let name = values.file_name("parts").unwrap_or_default();
    let text = values.file_text("parts").unwrap_or_default();
    let parts = parts(&text).map_err(|faults| in_file(name, faults))?;
    let sum =
        MassProperties::sum(&parts).ok_or_else(|| refuse(format!("{name}: no part in it")))?;
    if parts.iter().any(|part| part.mass_kg > MUCH * sum.mass_kg) {
        notes.push("one part is more than two fifths of the mass: its place decides".to_owned());
    }
    if !sum.is_possible() {
        notes.push(
            "no body has such an inertia: one axis has more than the other two together".to_owned(),
        );
    }
    Ok(properties(&sum))
}

/// A part heavier than this share of everything is worth a note.
const MUCH: f64 = 0.4;

fn in_file(name: &str, faults: Vec<Fault>) -> Vec<Fault> {
    let named = |fault: Fault| Fault(format!("{name}: {}", fault.0));
    faults.into_iter().map(named).collect()
}

/// The parts of a table, with every faulty line at once.
fn parts(text: &str) -> Result<Vec<MassProperties>, Vec<Fault>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let headings: Vec<String> = reader
        .headers()
        .map(|headings| headings.iter().map(str::to_owned).collect())
        .unwrap_or_default();
    let missing: Vec<&str> = COLUMNS
        .iter()
        .copied()
        .filter(|column| !headings.iter().any(|heading| heading == column))
        .collect();
    if !missing.is_empty() {
        return Err(refuse(format!(
            "columns are missing: {}",
            missing.join(", ")
        )));
    }
    let (mut parts, mut faults) = (Vec::new(), Vec::new());
    for row in reader.records() {
        let row = match row {
            Ok(row) => row,
            Err(fault) => {
                faults.push(Fault(fault.to_string()));
                continue;
            }
        };
        let line = row.position().map_or(0, csv::Position::line);
        match part(&headings, &row) {
            Ok(part) => parts.push(part),
            Err(why) => faults.push(Fault(format!("line {line}: {why}"))),
        }
    }
    if faults.is_empty() {
        Ok(parts)
    } else {
        Err(faults)
    }
}

const COLUMNS: [&str; 11] = [
    "shape",
    "mass_g",
    "d1_mm",
    "d2_mm",
    "d3_mm",
    "x_mm",
    "y_mm",
    "z_mm",
    "roll_deg",
    "pitch_deg",
    "yaw_deg",
];

fn part(headings: &[String], row: &csv::StringRecord) -> Result<MassProperties, String> {
    let cell = |column: &str| {
        let at = headings.iter().position(|heading| heading == column);
        at.and_then(|at| row.get(at)).unwrap_or_default()
    };
    let value = |column: &str| {
        let text = cell(column);
        let number = if text.is_empty() {
            Some(0.0)
        } else {
            text.parse::<f64>().ok()
        };
        number
            .filter(|number| number.is_finite())
            .ok_or_else(|| format!("`{column}` is `{text}`, not a number"))
    };
    let mm = |column: &str| value(column).map(|mm| 1e-3 * mm);
    let (d1, d2, d3) = (mm("d1_mm")?, mm("d2_mm")?, mm("d3_mm")?);
    let shape = match cell("shape") {
        "box" => PartShape::Box {
            size_m: [d1, d2, d3],
        },
        "cyl" | "cylinder" => PartShape::Cylinder {
            radius_m: d1 / 2.0,
            height_m: d2,
        },
        "tube" => PartShape::Tube {
            outer_m: d1 / 2.0,
            inner_m: d2 / 2.0,
            height_m: d3,
        },
        "ring" => PartShape::Ring { radius_m: d1 / 2.0 },
        "point" => PartShape::Point,
        other => {
            return Err(format!(
                "unknown shape `{other}`; it can be box, cyl, tube, ring or point"
            ));
        }
    };
    let part = Part {
        mass_kg: 1e-3 * value("mass_g")?,
        shape,
        centre_m: [mm("x_mm")?, mm("y_mm")?, mm("z_mm")?],
        turn: Turn::degrees(value("roll_deg")?, value("pitch_deg")?, value("yaw_deg")?),
    };
    part.properties().map_err(|fault| fault.to_string())
}

fn properties(of: &MassProperties) -> Vec<super::Output> {
    let [x, y, z] = of.centre_m;
    let inertia = of.inertia_kg_m2;
    let mut outputs = vec![
        number("mass_g", 1e3 * of.mass_kg, "g"),
        number("cg_x_mm", 1e3 * x, "mm"),
        number("cg_y_mm", 1e3 * y, "mm"),
        number("cg_z_mm", 1e3 * z, "mm"),
    ];
    for (name, row, column) in [
        ("xx", 0, 0),
        ("yy", 1, 1),
        ("zz", 2, 2),
        ("xy", 0, 1),
        ("xz", 0, 2),
        ("yz", 1, 2),
    ] {
        outputs.push(number(
            &format!("i{name}_kg_mm2"),
            1e6 * inertia[row][column],
            "kg·mm²",
        ));
    }
    outputs
}

fn mesh_properties(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let found = closed(values, "mesh")?;
    if found.inside_out {
        notes.push("its triangles faced inwards; they were taken the other way round".to_owned());
    }
    let mass: Mass = values.get("mass");
    let mut outputs = vec![number("volume_mm3", 1e9 * found.volume_m3, "mm³")];
    outputs.extend(properties(&found.of_mass(mass.in_kilograms())));
    Ok(outputs)
}

fn closed(values: &Values, key: &str) -> Result<MeshProperties, Vec<Fault>> {
    let name = values.file_name(key).unwrap_or_default();
    let properties = mesh(values, key)?.properties();
    properties.map_err(|fault| refuse(format!("{name}: {fault}")))
}

fn mesh(values: &Values, key: &str) -> Result<Mesh, Vec<Fault>> {
    let name = values.file_name(key).unwrap_or_default();
    let bytes = values.file_bytes(key).unwrap_or_default();
    Mesh::read(bytes, Unit::Millimetre).map_err(|fault| refuse(format!("{name}: {fault}")))
}

fn solid_distance(values: &Values, _: &mut Vec<String>) -> Outputs {
    let (one, other) = (solid(values, "a"), solid(values, "b"));
    let (one, other) = match (one, other) {
        (Ok(one), Ok(other)) => (one, other),
        (one, other) => {
            let faults = [one.err(), other.err()];
            return Err(faults.into_iter().flatten().flatten().collect());
        }
    };
    let gap = distance(&one, &other);
    let mut outputs = vec![
        number("distance_mm", 1e3 * gap.air_m(), "mm"),
        number("overlap_mm", 1e3 * (-gap.distance_m).max(0.0), "mm"),
    ];
    for (name, point) in ["a", "b"].into_iter().zip(gap.nearest_m) {
        for (axis, metres) in ["x", "y", "z"].into_iter().zip(point) {
            outputs.push(number(
                &format!("nearest_{name}_{axis}_mm"),
                1e3 * metres,
                "mm",
            ));
        }
    }
    Ok(outputs)
}

/// `box:…`, `cylinder:…` or `mesh:…`.
fn solid(values: &Values, key: &str) -> Result<Solid, Vec<Fault>> {
    let text = values.text(key).unwrap_or_default();
    let pieces: Vec<&str> = text.split(':').map(str::trim).collect();
    let at = |index: usize| pieces.get(index).copied().unwrap_or_default();
    let turn = |index: usize| match at(index) {
        "" => Ok(Turn::default()),
        angles => exactly::<3>(key, angles, "roll,pitch,yaw")
            .map(|[roll, pitch, yaw]| Turn::degrees(roll, pitch, yaw)),
    };
    let pose = |place: &str, turned: usize| {
        let centre = match place {
            "" => [0.0; 3],
            place => exactly::<3>(key, place, "x,y,z")?,
        };
        Ok::<_, Vec<Fault>>(Pose {
            centre_m: centre.map(|mm| 1e-3 * mm),
            turn: turn(turned)?,
        })
    };
    let built = match at(0) {
        "box" => {
            let sizes = exactly::<3>(key, at(2), "x,y,z sizes")?.map(|mm| 1e-3 * mm);
            Solid::block(sizes, pose(at(1), 3)?)
        }
        "cylinder" | "cyl" | "disc" => {
            let [radius, height] = exactly::<2>(key, at(2), "radius,height")?;
            Solid::cylinder(1e-3 * radius, 1e-3 * height, pose(at(1), 3)?)
        }
        "mesh" => Solid::mesh(Arc::new(mesh(values, key)?), pose(at(2), 3)?),
        _ => return Err(refuse(format!("`{key}`: write {SOLID}"))),
    };
    built.map_err(|fault| refuse(format!("`{key}`: {fault}")))
}

fn field_of_view(values: &Values, _: &mut Vec<String>) -> Outputs {
    let place = exactly::<3>("camera", values.text("camera").unwrap_or_default(), "x,y,z")?;
    let radians = |key: &str| values.get::<Angle>(key).in_radians();
    let (across, upright) = (radians("across"), radians("upright"));
    let lens = match values.word("lens") {
        Some("equidistant") => Lens::Equidistant { across, upright },
        _ => Lens::Rectilinear { across, upright },
    };
    let camera = Camera {
        pose: Pose {
            centre_m: place.map(|mm| 1e-3 * mm),
            turn: Turn {
                pitch: -radians("tilt"),
                ..Turn::default()
            },
        },
        lens,
    };
    let discs = entries(values.text("discs").unwrap_or_default())
        .map(|entry| {
            let [x, y, z, radius] = exactly::<4>("discs", entry, "x,y,z,radius")?;
            if radius <= 0.0 {
                return Err(refuse(format!("`discs`: a radius of {radius} mm is none")));
            }
            let pose = Pose {
                centre_m: [x, y, z].map(|mm| 1e-3 * mm),
                turn: Turn::default(),
            };
            Ok(Disc {
                radius_m: 1e-3 * radius,
                pose,
            })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let Some(share) = blocked_share(&camera, &discs, &[]) else {
        return Err(refuse("no such lens: below 180° for a rectilinear one"));
    };
    let mut outputs = vec![number("blocked_share", share, "")];
    let rim = discs.iter().map(|disc| smallest_rim_angle(&camera, disc));
    let nearest = rim.fold(f64::INFINITY, f64::min);
    if nearest.is_finite() {
        outputs.push(number("rim_off_axis_deg", nearest.to_degrees(), "°"));
    }
    Ok(outputs)
}
