//! From the written form of a part to solids.

use craft::part::Named;
use craft::sheet::Definite;
use craft::space::{Facing, Material, MeshFile, MeshUnit, Solid as Written, SolidShape};
use craft::{Part, Place, Stated};
use fit::{MassProperties, Mesh, PartShape, Pose, Solid, Turn, Unit};
use quantity::{Angle, Length};
use std::collections::HashMap;
use std::sync::Arc;

/// Thickness of a board where nobody says \[m\]. Common practice.
const BOARD_M: f64 = 1.0e-3;
/// Wall of a hood where nobody says \[m\]. From memory.
const WALL_M: f64 = 0.8e-3;

/// The form of one convex piece or mesh.
#[derive(Clone)]
pub enum Form {
    /// Edges along its own x, y and z \[m\].
    Box([f64; 3]),
    /// Along its own z.
    Cylinder {
        /// \[m\]
        radius_m: f64,
        /// \[m\]
        height_m: f64,
    },
    /// A surface of triangles.
    Mesh(Arc<Mesh>),
}

/// One piece of a part in its place.
#[derive(Clone)]
pub struct Piece {
    /// The name of the solid it belongs to, "body"; empty where the program supplied the shape.
    pub name: String,
    /// Its form.
    pub form: Form,
    /// Its middle, and how it is turned; a mesh's file origin.
    pub pose: Pose,
    /// The same, ready for distances.
    pub solid: Solid,
    /// What it is made of.
    pub material: Material,
    /// Whether it is a wall of a hood.
    pub is_wall: bool,
    /// Radius of the hole along a cylinder \[m\]: it changes mass and inertia, not the air around it.
    pub bore_m: f64,
    /// Where it is written.
    pub place: Option<Place>,
}

impl Piece {
    /// A piece; none where a size is no size or it lies too far out.
    pub fn new(name: &str, form: Form, pose: Pose, material: Material) -> Option<Self> {
        let solid = match &form {
            Form::Box(size_m) => Solid::block(*size_m, pose),
            Form::Cylinder { radius_m, height_m } => Solid::cylinder(*radius_m, *height_m, pose),
            Form::Mesh(mesh) => Solid::mesh(mesh.clone(), pose),
        };
        Some(Self {
            name: name.to_owned(),
            form,
            pose,
            solid: solid.ok()?,
            material,
            is_wall: false,
            bore_m: 0.0,
            place: None,
        })
    }

    /// The same piece of a part that has been put on `base`.
    pub fn on(&self, base: &Pose) -> Option<Self> {
        let moved = Self::new(
            &self.name,
            self.form.clone(),
            self.pose.on(base),
            self.material,
        )?;
        Some(Self {
            is_wall: self.is_wall,
            bore_m: self.bore_m,
            place: self.place,
            ..moved
        })
    }

    /// Space it fills \[m³\]; a mesh that is not closed as the box around it.
    pub fn volume_m3(&self) -> f64 {
        match &self.form {
            Form::Box(size_m) => size_m.iter().product(),
            Form::Cylinder { radius_m, height_m } => {
                std::f64::consts::PI * (radius_m * radius_m - self.bore_m * self.bore_m) * height_m
            }
            Form::Mesh(mesh) => match mesh.properties() {
                Ok(properties) => properties.volume_m3,
                Err(_) => extent(mesh).1.iter().product(),
            },
        }
    }

    /// Filled evenly with this mass.
    pub fn filled(&self, mass_kg: f64) -> Option<MassProperties> {
        let (shape, centre_m) = match &self.form {
            Form::Box(size_m) => (PartShape::Box { size_m: *size_m }, self.pose.centre_m),
            Form::Cylinder { radius_m, height_m } => (
                PartShape::Tube {
                    outer_m: *radius_m,
                    inner_m: self.bore_m,
                    height_m: *height_m,
                },
                self.pose.centre_m,
            ),
            Form::Mesh(mesh) => match mesh.properties() {
                Ok(properties) => (PartShape::Mesh(properties), self.pose.centre_m),
                Err(_) => {
                    let (middle_m, size_m) = extent(mesh);
                    (PartShape::Box { size_m }, self.pose.place(middle_m))
                }
            },
        };
        let part = fit::Part {
            shape,
            mass_kg,
            centre_m,
            turn: self.pose.turn,
        };
        part.properties().ok()
    }
}

/// Middle and size of the box around a mesh \[m\].
fn extent(mesh: &Mesh) -> ([f64; 3], [f64; 3]) {
    let [low, high] = mesh.extent_m();
    let at = |f: fn(f64, f64) -> f64| [0, 1, 2].map(|axis| f(low[axis], high[axis]));
    (
        at(|low, high| 0.5 * (low + high)),
        at(|low, high| high - low),
    )
}

/// Meshes already read, by path and unit, so that each file is read once.
#[derive(Default)]
pub struct Meshes {
    read: HashMap<(String, bool), Option<Arc<Mesh>>>,
}

impl Meshes {
    fn get(&mut self, file: &MeshFile, unit: Option<MeshUnit>) -> Option<Arc<Mesh>> {
        let is_metre = unit == Some(MeshUnit::Metre);
        let read = || {
            let unit = if is_metre {
                Unit::Metre
            } else {
                Unit::Millimetre
            };
            Mesh::read(&file.bytes, unit).ok().map(Arc::new)
        };
        self.read
            .entry((file.path.clone(), is_metre))
            .or_insert_with(read)
            .clone()
    }
}

/// All pieces of a part in its own axes. What cannot be a solid is left out: the reader has told it.
pub fn pieces(part: &Part, meshes: &mut Meshes) -> Vec<Piece> {
    part.solids
        .iter()
        .flat_map(|solid| of_solid(part, solid, meshes))
        .collect()
}

fn of_solid(part: &Part, solid: &Named<Written>, meshes: &mut Meshes) -> Vec<Piece> {
    let facet = &solid.facet;
    let Some(shape) = facet.shape.map(|shape| shape.value) else {
        return Vec::new();
    };
    let turn = Turn {
        roll: angle(&facet.roll),
        pitch: angle(&facet.pitch),
        yaw: angle(&facet.yaw),
    };
    let outline = part.outline.as_ref();
    let length_m = metres(&facet.length).or_else(|| metres(&outline?.length));
    let width_m = metres(&facet.width).or_else(|| metres(&outline?.width));
    let height_m = metres(&facet.height);
    let at = |stands_m: f64| {
        let z = metres(&facet.z).unwrap_or(stands_m);
        Pose::turned([or_zero(&facet.x), or_zero(&facet.y), z], turn)
    };
    let name = &solid.name.value;
    let usual = if shape == SolidShape::Board {
        Material::Circuit
    } else {
        Material::Plastic
    };
    let material = facet.material.map_or(usual, |material| material.value);
    let one = |form: Form, pose: Pose| Piece::new(name, form, pose, material);
    let found: Option<Vec<Piece>> = (|| match shape {
        SolidShape::Box => {
            let size_m = [length_m?, width_m?, height_m?];
            Some(vec![one(Form::Box(size_m), at(0.5 * size_m[2]))?])
        }
        SolidShape::Cylinder => {
            let (radius_m, height_m) = (0.5 * metres(&facet.diameter)?, height_m?);
            Some(vec![one(
                Form::Cylinder { radius_m, height_m },
                at(0.5 * height_m),
            )?])
        }
        SolidShape::Board => {
            let plate_m = metres(&facet.thickness).unwrap_or(BOARD_M);
            let (above_m, below_m) = (or_zero(&facet.above), or_zero(&facet.below));
            let size_m = [length_m?, width_m?, plate_m + above_m + below_m];
            Some(vec![one(Form::Box(size_m), at(0.5 * size_m[2] - below_m))?])
        }
        SolidShape::Hood => {
            let size_m = [length_m?, width_m?, height_m?];
            let wall_m = metres(&facet.wall).unwrap_or(WALL_M);
            Some(hood(facet, size_m, wall_m, &at(0.5 * size_m[2]), one))
        }
        SolidShape::Mesh => {
            let name = facet.mesh.as_ref()?;
            let beside = format!("parts/{}", name.value);
            let mut files = part.meshes.iter();
            let file = files.find(|file| file.path == name.value || file.path == beside)?;
            let mesh = meshes.get(file, facet.mesh_unit.map(|unit| unit.value))?;
            Some(vec![one(Form::Mesh(mesh), at(0.0))?])
        }
    })();
    let mut found = found.unwrap_or_default();
    for piece in &mut found {
        piece.is_wall = shape == SolidShape::Hood;
        piece.place = Some(facet.place);
        if shape == SolidShape::Cylinder {
            piece.bore_m = 0.5 * or_zero(&facet.bore);
        }
    }
    found
}

/// The walls of a hood around its middle.
fn hood(
    facet: &Written,
    size_m: [f64; 3],
    wall_m: f64,
    middle: &Pose,
    one: impl Fn(Form, Pose) -> Option<Piece>,
) -> Vec<Piece> {
    let open = |side: Facing| {
        let named = facet.open.as_ref().map_or(&[][..], |open| &open.value);
        named
            .iter()
            .any(|name| Facing::from_word(name) == Some(side))
    };
    let sides = [
        (Facing::Front, 0, 1.0),
        (Facing::Back, 0, -1.0),
        (Facing::Left, 1, 1.0),
        (Facing::Right, 1, -1.0),
        (Facing::Up, 2, 1.0),
    ];
    let wall = |(side, axis, sign): (Facing, usize, f64)| {
        if open(side) {
            return None;
        }
        let mut wall_size_m = size_m;
        wall_size_m[axis] = wall_m;
        let mut centre_m = [0.0; 3];
        centre_m[axis] = sign * 0.5 * (size_m[axis] - wall_m);
        one(Form::Box(wall_size_m), Pose::at(centre_m).on(middle))
    };
    sides.into_iter().filter_map(wall).collect()
}

/// Upper face of a part's plate, where posts of the next one stand \[m\]: the thickness of its board; none without one.
pub fn plate_m(part: &Part) -> Option<f64> {
    let boards = part
        .solids
        .iter()
        .filter(|solid| solid.facet.shape.map(|shape| shape.value) == Some(SolidShape::Board));
    boards
        .map(|board| metres(&board.facet.thickness).unwrap_or(BOARD_M))
        .next()
}

/// A definite length \[m\].
pub fn metres(length: &Option<Stated<Definite<Length>>>) -> Option<f64> {
    length.map(|length| length.value.0.in_metres())
}

/// A definite length \[m\], zero where nobody says.
pub fn or_zero(length: &Option<Stated<Definite<Length>>>) -> f64 {
    metres(length).unwrap_or(0.0)
}

/// A definite angle \[rad\], zero where nobody says.
pub fn angle(angle: &Option<Stated<Definite<Angle>>>) -> f64 {
    angle.map_or(0.0, |angle| angle.value.0.in_radians())
}
