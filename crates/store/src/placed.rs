//! What is said about shapes and places: sizes that a form needs, names that point at seats, meshes
//! that can be read.

use crate::nearest::nearest;
use crate::text::unknown_name;
use craft::airframe::{Airframe, Refit};
use craft::part::Named;
use craft::space::{
    AxisGains, Facing, FilterKind, Holes, LoopFilter, MeshFile, MeshUnit, PlaceTable, SeatKind,
    Solid, SolidShape, Tune, motor_names,
};
use craft::{Diagnostic, Part, Stated};
use fit::mesh::{Mesh, Unit, VolumeFault};

/// Axes that have gains.
const AXES: &[&str] = &["roll", "pitch", "yaw"];

/// The mesh files that a sheet's solids name.
pub fn meshes_of(part: &Part, meshes: &[MeshFile]) -> Vec<MeshFile> {
    let named = part.solids.iter().filter_map(|it| it.facet.mesh.as_ref());
    let found = named.filter_map(|name| find(&name.value, meshes));
    found.cloned().collect()
}

/// The file of this name: as written, or in `parts/`.
pub fn find<'a>(name: &str, meshes: &'a [MeshFile]) -> Option<&'a MeshFile> {
    let beside = format!("parts/{name}");
    meshes
        .iter()
        .find(|mesh| mesh.path == name || mesh.path == beside)
}

/// Shapes, holes and seats of one sheet.
pub fn sheet(part: &Part, meshes: &[MeshFile]) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for solid in &part.solids {
        found.extend(missing_sizes(part, solid));
        found.extend(open_sides(solid));
        found.extend(bore(solid));
        if let Some(name) = &solid.facet.mesh {
            found.extend(mesh(name, solid, meshes));
        }
    }
    found.extend(part.holes.iter().filter_map(hole_shape));
    let sets: Vec<&str> = part.holes.iter().map(|it| it.name.value.as_str()).collect();
    for seat in &part.seats {
        let holes = seat.facet.holes.as_ref();
        let unknown = holes.filter(|name| !sets.contains(&name.value.as_str()));
        found.extend(unknown.map(|name| {
            unknown_name(
                "unknown-holes",
                "set of holes of this part",
                name,
                sets.clone(),
            )
        }));
        let tilts = seat.facet.kind.as_ref().map(|kind| kind.value) == Some(SeatKind::Cheeks);
        if let (Some(tilt), false) = (&seat.facet.tilt, tilts) {
            let message = "only a seat of the kind `cheeks` has a `tilt`";
            found.push(Diagnostic::warning("not-used", tilt.place, message));
        }
    }
    found
}

/// Places and the tune of an airframe, after a refit where there is one.
pub fn airframe(airframe: &Airframe, refit: Option<&Refit>) -> Vec<Diagnostic> {
    let parts: Vec<&str> = airframe
        .parts
        .iter()
        .map(|part| part.id.value.as_str())
        .collect();
    let known = |name: &Stated<String>| {
        (!parts.contains(&name.value.as_str())).then(|| {
            taken_off(refit, name)
                .unwrap_or_else(|| unknown_name("unknown-part", "part", name, parts.clone()))
        })
    };
    let mut found = Vec::new();
    for place in &airframe.places {
        if let Some(fault) = known(&place.name) {
            found.push(fault);
            continue;
        }
        let facet = &place.facet;
        if let Some(seat) = &facet.seat {
            found.extend(seat_named(airframe, place, seat, &known));
        }
        for other in [&facet.above, &facet.under].into_iter().flatten() {
            if other.value == place.name.value {
                let message = format!("`{}` is named as its own neighbour", other.value);
                found.push(Diagnostic::error("place-circle", other.place, message));
            } else {
                found.extend(known(other));
            }
        }
        found.extend(facet.arm.as_ref().and_then(|arm| arm_named(airframe, arm)));
        found.extend(contradictions(facet));
        let on_itself = |fault: &Diagnostic| {
            let here = [&facet.seat, &facet.above].into_iter().flatten();
            fault.id == "place-circle" && here.clone().any(|name| fault.place == name.place)
        };
        if circles(airframe, &place.name.value) && !found.iter().any(on_itself) {
            let message = format!(
                "`{}` stands on itself, directly or through others",
                place.name.value
            );
            found.push(
                Diagnostic::error("place-circle", place.name.place, message)
                    .hint("one of these parts needs a seat on the frame, or `x`, `y` and `z`"),
            );
        }
    }
    found.extend(tune(&airframe.tune));
    found
}

/// A part that the refit takes off and a place still names: the place is lost, the rest holds.
fn taken_off(refit: Option<&Refit>, name: &Stated<String>) -> Option<Diagnostic> {
    let gone = crate::link::taken_off(refit, &name.value)?;
    let message = format!("a place names `{}`, which the refit takes off", name.value);
    Some(
        Diagnostic::warning("place-lost", name.place, message)
            .also(gone.place, "taken off here")
            .hint("write the new place into the refit"),
    )
}

/// An arm has the name of its motor.
fn arm_named(airframe: &Airframe, arm: &Stated<String>) -> Option<Diagnostic> {
    let mut frames = airframe.found().filter(|(_, _, part)| part.frame.is_some());
    let names = frames
        .next()
        .map_or(Vec::new(), |(_, _, part)| motor_names(part));
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    (!names.contains(&arm.value.as_str()))
        .then(|| unknown_name("unknown-arm", "motor of the frame", arm, names))
}

fn seat_named(
    airframe: &Airframe,
    place: &Named<PlaceTable>,
    seat: &Stated<String>,
    known_part: &impl Fn(&Stated<String>) -> Option<Diagnostic>,
) -> Option<Diagnostic> {
    let Some((holder, name)) = seat.split_once('.') else {
        let message = format!("`{}` is not a part and its seat", seat.value);
        let fault = Diagnostic::error("unknown-seat", seat.place, message);
        return Some(fault.hint("write it as `frame.stack`"));
    };
    if holder == place.name.value {
        let message = format!("`{holder}` sits on itself");
        return Some(Diagnostic::error("place-circle", seat.place, message));
    }
    let holder = Stated::new(holder.to_owned(), seat.place);
    if let Some(fault) = known_part(&holder) {
        return Some(fault);
    }
    // A sheet that was not found is told elsewhere.
    let at = airframe.position(&holder)?;
    let seats = &airframe.parts[at].part.as_deref()?.seats;
    let seats: Vec<&str> = seats.iter().map(|seat| seat.name.value.as_str()).collect();
    let name = Stated::new(name.to_owned(), seat.place);
    let what = format!("seat of `{}`", holder.value);
    (!seats.contains(&name.value.as_str()))
        .then(|| unknown_name("unknown-seat", &what, &name, seats))
}

/// Keys of a place that say the same thing twice.
fn contradictions(place: &PlaceTable) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let mut twice = |first: craft::Place, second: craft::Place, message: &str| {
        found.push(
            Diagnostic::error("place-twice", second, message.to_owned()).also(first, "and here"),
        );
    };
    let wheres = [
        ("seat", &place.seat),
        ("above", &place.above),
        ("arm", &place.arm),
    ];
    let mut wheres = wheres
        .into_iter()
        .filter_map(|(key, it)| Some((key, it.as_ref()?.place)));
    if let Some((key, first)) = wheres.next() {
        for (other, second) in wheres {
            twice(
                first,
                second,
                &format!("a part has a place by its `{key}` or by its `{other}`, not both"),
            );
        }
    }
    if let (Some(pitch), Some(tilt)) = (&place.pitch, &place.tilt) {
        twice(
            pitch.place,
            tilt.place,
            "`tilt` is a `pitch` the other way: write one of them",
        );
    }
    if let (Some(standoff), None) = (&place.standoff, &place.above) {
        found.push(
            Diagnostic::warning("not-used", standoff.place, "`standoff` goes with `above`")
                .hint("name the part below: `above = \"board\"`"),
        );
    }
    if let (Some(length), None) = (&place.screw_length, &place.screw) {
        found.push(
            Diagnostic::warning("not-used", length.place, "`screw_length` goes with `screw`")
                .hint("say which screw: `screw = \"M2\"`"),
        );
    }
    found
}

/// The part that holds this one.
fn holder<'a>(airframe: &'a Airframe, id: &str) -> Option<&'a str> {
    let place = &airframe.place(id)?.facet;
    let seat = place.seat.as_ref().and_then(|seat| seat.split_once('.'));
    let above = place.above.as_ref().map(|above| above.value.as_str());
    seat.map(|(holder, _)| holder).or(above)
}

/// Whether following the holders comes back.
fn circles(airframe: &Airframe, id: &str) -> bool {
    let mut at = holder(airframe, id);
    for _ in 0..airframe.parts.len() {
        match at {
            None => return false,
            Some(other) if other == id => return true,
            Some(other) => at = holder(airframe, other),
        }
    }
    false
}

fn missing_sizes(part: &Part, solid: &Named<Solid>) -> Option<Diagnostic> {
    let facet = &solid.facet;
    let shape = facet.shape.as_ref()?;
    let outline = part.outline.as_ref();
    let has_length = facet.length.is_some() || outline.is_some_and(|it| it.length.is_some());
    let has_width = facet.width.is_some() || outline.is_some_and(|it| it.width.is_some());
    let wanted: Vec<&str> = match shape.value {
        SolidShape::Box | SolidShape::Hood => [
            (facet.length.is_none(), "length"),
            (facet.width.is_none(), "width"),
            (facet.height.is_none(), "height"),
        ]
        .into_iter()
        .filter_map(|(missing, key)| missing.then_some(key))
        .collect(),
        SolidShape::Board => [(!has_length, "length"), (!has_width, "width")]
            .into_iter()
            .filter_map(|(missing, key)| missing.then_some(key))
            .collect(),
        SolidShape::Cylinder => [
            (facet.diameter.is_none(), "diameter"),
            (facet.height.is_none(), "height"),
        ]
        .into_iter()
        .filter_map(|(missing, key)| missing.then_some(key))
        .collect(),
        SolidShape::Mesh => facet.mesh.is_none().then_some("mesh").into_iter().collect(),
    };
    if wanted.is_empty() {
        return None;
    }
    let keys: Vec<String> = wanted.iter().map(|key| format!("`{key}`")).collect();
    let message = format!("a {} needs {}", shape.value.word(), keys.join(" and "));
    Some(Diagnostic::error("missing-key", shape.place, message))
}

/// A hole as wide as the cylinder.
fn bore(solid: &Named<Solid>) -> Option<Diagnostic> {
    let (bore, outer) = (solid.facet.bore.as_ref()?, solid.facet.diameter.as_ref()?);
    let message = "the `bore` is as wide as the cylinder or wider";
    (bore.value >= outer.value).then(|| {
        Diagnostic::error("upside-down", bore.place, message).also(outer.place, "the cylinder")
    })
}

fn open_sides(solid: &Named<Solid>) -> Vec<Diagnostic> {
    let Some(open) = &solid.facet.open else {
        return Vec::new();
    };
    let known: Vec<&str> = Facing::ALL.iter().map(|side| side.word()).collect();
    let wrong = open
        .value
        .iter()
        .filter(|side| Facing::from_word(side).is_none());
    wrong
        .map(|side| unknown_name("unknown-side", "side", side, known.clone()))
        .collect()
}

fn hole_shape(holes: &Named<Holes>) -> Option<Diagnostic> {
    let facet = &holes.facet;
    match (&facet.square, &facet.circle) {
        (Some(square), Some(circle)) => Some(
            Diagnostic::error(
                "holes-twice",
                circle.place,
                "holes stand in a `square` or on a `circle`, not both",
            )
            .also(square.place, "the square"),
        ),
        (None, None) => Some(Diagnostic::error(
            "missing-key",
            facet.place,
            "holes need the side of their `square` or the diameter of their `circle`",
        )),
        _ => None,
    }
}

fn mesh(name: &Stated<String>, solid: &Named<Solid>, meshes: &[MeshFile]) -> Option<Diagnostic> {
    let Some(file) = find(&name.value, meshes) else {
        let message = format!("there is no mesh file `{}` here", name.value);
        let fault = Diagnostic::error("mesh-missing", name.place, message);
        let near = nearest(&name.value, meshes.iter().map(|mesh| mesh.path.as_str()));
        return Some(match near {
            Some(near) => fault.label(format!("did you mean `{near}`?")),
            None => fault.hint("put the STL file into the folder of the bench or into `parts/`"),
        });
    };
    if file.bytes.is_empty() && file.size > 0 {
        let message = format!(
            "`{}` has {} MiB and was not read",
            file.path,
            file.size >> 20
        );
        let fault = Diagnostic::error("mesh-unreadable", name.place, message);
        return Some(fault.hint("export it with fewer triangles; 20 000 are plenty"));
    }
    let metres = solid.facet.mesh_unit.as_ref().map(|unit| unit.value) == Some(MeshUnit::Metre);
    let unit = if metres {
        Unit::Metre
    } else {
        Unit::Millimetre
    };
    let mesh = match Mesh::read(&file.bytes, unit) {
        Ok(mesh) => mesh,
        Err(fault) => {
            let message = format!("`{}` gives no mesh: {fault}", file.path);
            return Some(Diagnostic::error("mesh-unreadable", name.place, message));
        }
    };
    match mesh.properties() {
        Ok(properties) if properties.inside_out => Some(Diagnostic::warning(
            "mesh-inside-out",
            name.place,
            format!(
                "the triangles of `{}` face inwards; it is taken the other way round",
                file.path
            ),
        )),
        Ok(_) => None,
        Err(fault) => Some(open_mesh(name, file, fault)),
    }
}

fn open_mesh(name: &Stated<String>, file: &MeshFile, fault: VolumeFault) -> Diagnostic {
    let message = format!("`{}` encloses no space: {fault}", file.path);
    Diagnostic::warning("mesh-open", name.place, message)
        .hint("it serves for distances as a sheet; its mass is taken as that of the box around it")
}

fn tune(tune: &Tune) -> Vec<Diagnostic> {
    let axis = |gains: &Named<AxisGains>| {
        let known = AXES.contains(&gains.name.value.as_str());
        (!known).then(|| unknown_name("unknown-axis", "axis", &gains.name, AXES.to_vec()))
    };
    let quality = |filter: &Named<LoopFilter>| {
        let kind = filter.facet.kind.as_ref()?;
        match (kind.value, &filter.facet.q) {
            (FilterKind::Notch, None) => Some(Diagnostic::error(
                "missing-key",
                kind.place,
                "a notch needs its quality: `q = \"5\"`",
            )),
            (FilterKind::FirstOrder | FilterKind::SecondOrder, Some(q)) => Some(
                Diagnostic::warning("not-used", q.place, "only a notch has a `q`"),
            ),
            _ => None,
        }
    };
    let axes = tune.gains.iter().filter_map(axis);
    axes.chain(tune.filters.iter().filter_map(quality))
        .collect()
}
