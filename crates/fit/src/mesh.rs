//! A surface of triangles: a canopy, a duct, a frame.
//!
//! Read from an STL file, which names no unit. Whether the surface cuts through itself is not asked.

use std::collections::HashMap;
use std::sync::Arc;

use parry3d_f64::math::Vector;
use parry3d_f64::shape::{Shape, TriMesh, TriMeshFlags};

use crate::mass::MassProperties;
use crate::{integrals, stl};

/// Most triangles taken from one file.
pub const MOST_TRIANGLES: usize = 500_000;
/// Farthest that a corner may lie from the origin of its file \[m\].
pub const FARTHEST_M: f64 = 10.0;

/// What one step in a file is; STL files do not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// What printers take.
    Millimetre,
    /// 25.4 mm.
    Inch,
    /// 1000 mm.
    Metre,
}

/// Why a file gives no mesh.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MeshFault {
    /// No triangle in it.
    #[error("the mesh is empty")]
    Empty,
    /// Neither a text nor long enough for a binary file.
    #[error("{bytes} bytes are too few for a mesh")]
    TooShort {
        /// Length of the file.
        bytes: usize,
    },
    /// The header and the length do not agree: cut off, or not an STL file.
    #[error("the header promises {claimed} triangles, but the file has room for {room}")]
    Length {
        /// What the header says.
        claimed: u32,
        /// Whole triangles that the rest of the file can hold.
        room: usize,
    },
    /// A text without its last line.
    #[error("the text is cut off: `endsolid` is missing")]
    NoEnd,
    /// More than [`MOST_TRIANGLES`].
    #[error("more than {MOST_TRIANGLES} triangles; simplify the mesh")]
    TooMany,
    /// A coordinate that is no number, with its line where the file is a text.
    #[error("a coordinate is not a number{}", line.map_or(String::new(), |line| format!(", line {line}")))]
    NotANumber {
        /// Counted from one.
        line: Option<usize>,
    },
    /// A text that is not an STL text.
    #[error("not a mesh: {why}")]
    Garbled {
        /// What was wrong, in the words of the reader.
        why: String,
    },
    /// A corner farther out than [`FARTHEST_M`].
    #[error("a corner lies more than 10 m from the origin; is the unit right?")]
    Far,
    /// Not one triangle with an area.
    #[error("every triangle is without area")]
    Flat,
}

/// Why a mesh encloses no volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum VolumeFault {
    /// Edges that do not join exactly two triangles: holes, or sheets that meet.
    #[error("the mesh is open: {edges} edges do not join exactly two triangles")]
    Open {
        /// How many.
        edges: usize,
    },
    /// Closed, but neighbours face opposite ways.
    #[error("the mesh is wound both ways: {edges} edges join triangles that face opposite ways")]
    WoundBothWays {
        /// How many.
        edges: usize,
    },
    /// Closed, but folded flat.
    #[error("the mesh encloses no volume")]
    None,
}

/// What a closed mesh encloses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshProperties {
    /// Always above zero \[m³\].
    pub volume_m3: f64,
    /// Centre of the volume, in the axes of the file \[m\].
    pub centre_m: [f64; 3],
    /// Inertia of an even filling about that centre, for each kilogram \[m²\].
    pub inertia_per_kg_m2: [[f64; 3]; 3],
    /// Whether the triangles faced inwards and were taken the other way round.
    pub inside_out: bool,
}

impl MeshProperties {
    /// The even filling, weighed.
    pub fn of_mass(&self, mass_kg: f64) -> MassProperties {
        MassProperties {
            mass_kg,
            centre_m: self.centre_m,
            inertia_kg_m2: self.inertia_per_kg_m2.map(|row| row.map(|x| mass_kg * x)),
        }
    }
}

/// A readable surface of triangles, ready for distances and rays.
#[derive(Clone)]
pub struct Mesh {
    /// In millimetres; without triangles that have no area; facing outwards if it encloses a volume.
    surface: Arc<TriMesh>,
    volume: Result<MeshProperties, VolumeFault>,
    without_area: usize,
}

impl std::fmt::Debug for Mesh {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Mesh")
            .field("triangles", &self.triangles())
            .field("volume", &self.volume)
            .finish_non_exhaustive()
    }
}

impl Mesh {
    /// From the bytes of a binary or text STL file.
    ///
    /// Corners at exactly the same place are one corner. An open mesh is read too: it has distances but no [`Mesh::properties`].
    pub fn read(stl: &[u8], unit: Unit) -> Result<Self, MeshFault> {
        let (corners, triangles) = joined(&stl::triangles(stl)?, unit)?;
        let at = |triangle: &[u32; 3]| triangle.map(|index| corners[index as usize]);
        let mut solid: Vec<[u32; 3]> = triangles
            .iter()
            .copied()
            .filter(|t| has_area(at(t)))
            .collect();
        let volume = enclosed(&corners, &triangles);
        if volume.is_ok_and(|volume| volume.inside_out) {
            solid.iter_mut().for_each(|triangle| triangle.swap(1, 2));
        }
        let without_area = triangles.len() - solid.len();
        let flags = match volume {
            Ok(_) => TriMeshFlags::ORIENTED,
            Err(_) => TriMeshFlags::empty(),
        };
        let surface = TriMesh::with_flags(corners, solid, flags).map_err(|_| MeshFault::Flat)?;
        Ok(Self {
            surface: Arc::new(surface),
            volume,
            without_area,
        })
    }

    /// Volume, centre and inertia of the space inside.
    ///
    /// Open meshes are refused: two missing triangles change a volume by a seventh with no other sign.
    /// Validated: `mesh-l-*`.
    pub fn properties(&self) -> Result<MeshProperties, VolumeFault> {
        self.volume
    }

    /// How many triangles have an area.
    pub fn triangles(&self) -> usize {
        self.surface.num_triangles()
    }

    /// How many triangles of the file had no area and were left out of distances.
    pub fn without_area(&self) -> usize {
        self.without_area
    }

    /// Corners of the box around it, in its own axes \[m\].
    pub fn extent_m(&self) -> [[f64; 3]; 2] {
        let around = self.surface.local_aabb();
        [around.mins, around.maxs].map(|corner| (1e-3 * corner).to_array())
    }

    pub(crate) fn surface(&self) -> &TriMesh {
        &self.surface
    }

    pub(crate) fn shape(&self) -> &dyn Shape {
        &*self.surface
    }
}

/// Corners in millimetres, each once, and triangles as their numbers.
type Joined = (Vec<Vector>, Vec<[u32; 3]>);

fn joined(triangles: &[stl::Corners], unit: Unit) -> Result<Joined, MeshFault> {
    let millimetres = match unit {
        Unit::Millimetre => 1.0,
        Unit::Inch => 25.4,
        Unit::Metre => 1e3,
    };
    let mut numbers = HashMap::new();
    let mut corners = Vec::new();
    let mut found = Vec::with_capacity(triangles.len());
    for triangle in triangles {
        found.push(triangle.map(|corner| {
            // Adding zero makes one number of 0 and −0.
            let key = corner.map(|x| (x + 0.0).to_bits());
            *numbers.entry(key).or_insert_with(|| {
                corners.push(millimetres * Vector::from(corner.map(f64::from)));
                // At most three corners for each of half a million triangles.
                (corners.len() - 1) as u32
            })
        }));
    }
    let far = |corner: &Vector| corner.abs().max_element() > 1e3 * FARTHEST_M;
    match corners.iter().any(far) {
        true => Err(MeshFault::Far),
        false => Ok((corners, found)),
    }
}

/// Thinner than a hundred-thousandth of its longest edge counts as a line: its normal is noise.
fn has_area([a, b, c]: [Vector; 3]) -> bool {
    let longest = (b - a)
        .length_squared()
        .max((c - b).length_squared())
        .max((a - c).length_squared());
    (b - a).cross(c - a).length() > 1e-5 * longest && longest > 0.0
}

fn enclosed(corners: &[Vector], triangles: &[[u32; 3]]) -> Result<MeshProperties, VolumeFault> {
    closed(triangles)?;
    let (low, high) = corners.iter().fold(
        (Vector::INFINITY, Vector::NEG_INFINITY),
        |(low, high), corner| (low.min(*corner), high.max(*corner)),
    );
    let found = integrals::over(
        triangles
            .iter()
            .map(|triangle| triangle.map(|index| corners[index as usize])),
        (low + high) / 2.0,
    );
    // Corners are single-precision numbers: less than this share of the cube around is rounding.
    if found.volume.abs() <= 1e-7 * (high - low).max_element().powi(3) {
        return Err(VolumeFault::None);
    }
    Ok(MeshProperties {
        volume_m3: 1e-9 * found.volume.abs(),
        centre_m: (1e-3 * found.centre).to_array(),
        inertia_per_kg_m2: (1e-6 * found.inertia).to_cols_array_2d(),
        inside_out: found.volume < 0.0,
    })
}

/// Every edge joins two triangles, and is walked once each way.
fn closed(triangles: &[[u32; 3]]) -> Result<(), VolumeFault> {
    let mut edges: HashMap<(u32, u32), (u32, i32)> = HashMap::new();
    for &[a, b, c] in triangles {
        // A triangle on two corners only has no edges of its own: it walks one there and back.
        if a == b || b == c || c == a {
            continue;
        }
        for (from, to) in [(a, b), (b, c), (c, a)] {
            let (uses, walked) = edges.entry((from.min(to), from.max(to))).or_default();
            *uses += 1;
            *walked += if from < to { 1 } else { -1 };
        }
    }
    let open = edges.values().filter(|(uses, _)| *uses != 2).count();
    if open > 0 {
        return Err(VolumeFault::Open { edges: open });
    }
    match edges.values().filter(|(_, walked)| *walked != 0).count() {
        0 => Ok(()),
        edges => Err(VolumeFault::WoundBothWays { edges }),
    }
}
