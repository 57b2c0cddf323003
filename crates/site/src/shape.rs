//! What a site is made of.

use radio::wall::{Layer, Polarisation};

/// A place on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// East of a point of the owner's \[m\].
    pub east_m: f64,
    /// North of it \[m\].
    pub north_m: f64,
}

impl Place {
    /// A place \[m\].
    pub const fn new(east_m: f64, north_m: f64) -> Self {
        Self { east_m, north_m }
    }
}

/// A place above the ground: an antenna, a craft.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spot {
    /// Where on the ground.
    pub place: Place,
    /// How high above it \[m\].
    pub height_m: f64,
}

impl Spot {
    /// A spot \[m\].
    pub const fn new(east_m: f64, north_m: f64, height_m: f64) -> Self {
        Self {
            place: Place::new(east_m, north_m),
            height_m,
        }
    }
}

/// An upright wall on the ground. Walls whose ends meet are gone round together.
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// One end.
    pub from: Place,
    /// The other.
    pub to: Place,
    /// Its top \[m\].
    pub height_m: f64,
    /// What a wave passes from one face to the other; none lets everything through.
    pub layers: Vec<Layer>,
}

/// A house with a flat roof; nothing is known of what is inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Building {
    /// Its corners in order, either way round, the first not repeated.
    pub outline: Vec<Place>,
    /// Its roof \[m\].
    pub height_m: f64,
    /// What its walls are made of.
    pub walls: Vec<Layer>,
    /// What its roof is made of.
    pub roof: Vec<Layer>,
}

/// What leaves take from a wave; see [`radio::cover::vegetation_db`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaves {
    /// Loss of a short way \[dB/m\].
    pub specific_db_per_m: f64,
    /// The most there can be \[dB\].
    pub maximum_db: f64,
}

/// A tree: a crown like a drum. Its trunk is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tree {
    /// Middle of its crown.
    pub centre: Place,
    /// Radius of its crown \[m\].
    pub radius_m: f64,
    /// Where the crown begins \[m\]; below it the wave passes.
    pub base_m: f64,
    /// Where it ends \[m\].
    pub top_m: f64,
    /// What it takes; what trees take at this frequency, where not known.
    pub leaves: Option<Leaves>,
}

/// A wood or a hedge: crowns over an area.
#[derive(Debug, Clone, PartialEq)]
pub struct Wood {
    /// Its corners in order, either way round, the first not repeated.
    pub outline: Vec<Place>,
    /// Where the crowns begin \[m\].
    pub base_m: f64,
    /// Where they end \[m\].
    pub top_m: f64,
    /// What they take; what trees take at this frequency, where not known.
    pub leaves: Option<Leaves>,
}

/// Flat ground and what stands on it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Site {
    /// Walls and fences.
    pub walls: Vec<Wall>,
    /// Houses.
    pub buildings: Vec<Building>,
    /// Single trees.
    pub trees: Vec<Tree>,
    /// Woods and hedges.
    pub woods: Vec<Wood>,
}

/// One thing of a site, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ShapeId {
    /// Of [`Site::walls`].
    Wall(usize),
    /// Of [`Site::buildings`].
    Building(usize),
    /// Of [`Site::trees`].
    Tree(usize),
    /// Of [`Site::woods`].
    Wood(usize),
}

impl std::fmt::Display for ShapeId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (what, at) = match self {
            Self::Wall(at) => ("wall", at),
            Self::Building(at) => ("building", at),
            Self::Tree(at) => ("tree", at),
            Self::Wood(at) => ("wood", at),
        };
        write!(f, "{what} {}", at + 1)
    }
}

/// The wave that is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wave {
    /// Frequency \[Hz\].
    pub frequency_hz: f64,
    /// Width over which a wall's loss is averaged \[Hz\].
    pub bandwidth_hz: f64,
    /// How it meets an upright wall.
    pub polarisation: Polarisation,
}
