//! Air between solids: which pairs matter, how much is wanted, how much there is.

use crate::layout::{Item, Layout};
use crate::reach;
use crate::shape::{Form, Piece};
use crate::typical::{
    CANOPY_AIR_M, CIRCUIT_AIR_M, DUCT_AIR_M, GROUND_AIR_M, LOOSE_AIR_M, TIP_FLEX_M, blade_air_m,
};
use craft::space::{Material, OpeningKind, SeatKind};
use craft::{Airframe, Part};
use fit::{Gap, Pose, Solid, air_within_m, between_boxes_m, distance, distance_m};
use quantity::Dimension;

/// Speed of light in air \[m/s\] (SI: 299 792 458 in vacuum; air changes it by 0.03 %).
const LIGHT_M_S: f64 = 299_792_458.0;

/// Why a pair matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Want {
    /// A blade and something that cannot move.
    Blade,
    /// A blade and an antenna or a wire, which can.
    BladeLoose,
    /// A part and the wall of a duct.
    Duct,
    /// Bare joints and something that conducts.
    Circuit,
    /// A part and the canopy over it.
    Canopy,
    /// The pack and the ground.
    Ground,
    /// The radiating end of an antenna and carbon, a quarter of a wavelength.
    Aerial,
    /// Two parts: they may touch, not overlap.
    Parts,
}

/// One side of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// A placed part: position in the layout.
    Item(usize),
    /// The swept disc of a rotor.
    Disc(usize),
    /// The duct of a rotor.
    Duct(usize),
    /// The ground the craft stands on.
    Ground,
}

/// Two solids, the air between them and the air that is wanted.
#[derive(Clone)]
pub struct Clearance {
    /// Why it matters.
    pub want: Want,
    /// Both sides; the first is always a part.
    pub bodies: [Body; 2],
    /// What they are called.
    pub names: [String; 2],
    /// The two solids that are nearest.
    pub solids: [Solid; 2],
    /// Air wanted \[m\].
    pub keep_m: f64,
    /// Air there is.
    pub gap: Gap,
}

impl Clearance {
    /// Air to spare \[m\]; below zero there is too little.
    pub fn slack_m(&self) -> f64 {
        self.gap.distance_m - self.keep_m
    }

    /// From the second solid to the first, of length one: the way to move the first one away. None where they touch in a way that shows none.
    pub fn away(&self) -> Option<[f64; 3]> {
        let [one, other] = self.gap.nearest_m;
        let way = [0, 1, 2].map(|axis| one[axis] - other[axis]);
        let long = way.iter().map(|x| x * x).sum::<f64>().sqrt();
        let sign = if self.gap.distance_m < 0.0 { -1.0 } else { 1.0 };
        (long > 1e-9).then(|| way.map(|x| sign * x / long))
    }
}

/// How far apart two bodies may be to be worth telling \[m\].
const FAR_M: f64 = 0.03;

/// Every pair of an airframe that matters, nearest piece against nearest piece; pairs further apart than 30 mm over what is
/// wanted are left out.
pub fn clearances(airframe: &Airframe, layout: &Layout) -> Vec<Clearance> {
    let looking = Looking::new(airframe, layout, 2.0 * FAR_M);
    let each = (0..layout.items.len()).flat_map(|at| {
        let later = (at + 1)..layout.items.len();
        let mut demands = looking.of_one(at);
        demands.extend(later.flat_map(|other| looking.pair(at, other)));
        demands
    });
    each.filter_map(|demand| demand.met(layout)).collect()
}

/// The pairs of one item alone, as [`clearances`] gives them.
pub fn of_item(airframe: &Airframe, layout: &Layout, at: usize) -> Vec<Clearance> {
    let demands = Looking::new(airframe, layout, 2.0 * FAR_M).about(at);
    demands
        .iter()
        .filter_map(|demand| demand.met(layout))
        .collect()
}

/// What one item wants and what others want of it, wherever it may be moved; nothing is measured.
pub fn demands(airframe: &Airframe, layout: &Layout, at: usize) -> Vec<Demand> {
    Looking::new(airframe, layout, f64::INFINITY).about(at)
}

/// Air that two bodies want between their solids.
pub struct Demand {
    /// Why it matters.
    pub want: Want,
    /// Both sides; the first is always a part.
    pub bodies: [Body; 2],
    /// Air wanted \[m\].
    pub keep_m: f64,
    /// A solid of the first side, one of the second.
    pub pairs: Vec<[Solid; 2]>,
    /// What it is of the first side that wants the air, if not the part itself.
    of_wires: bool,
    /// The one sits on the other.
    sits: bool,
}

impl Demand {
    fn new(want: Want, bodies: [Body; 2], keep_m: f64) -> Self {
        Self {
            want,
            bodies,
            keep_m,
            pairs: Vec::new(),
            of_wires: false,
            sits: false,
        }
    }

    /// The nearest two solids; none where they are far apart.
    fn met(&self, layout: &Layout) -> Option<Clearance> {
        let (solids, gap) = tightest(&self.pairs)?;
        if gap.distance_m - self.keep_m > FAR_M {
            return None;
        }
        // What sits on a part touches it, however far its place is off; only what sinks in is told.
        if self.sits && gap.distance_m > -SINKS_M {
            return None;
        }
        let names = self.bodies.map(|body| match body {
            Body::Item(item) => layout.items[item].name.clone(),
            Body::Disc(rotor) => format!("propeller {}", layout.rotors[rotor].name),
            Body::Duct(rotor) => format!("duct {}", layout.rotors[rotor].name),
            Body::Ground => "the ground".to_owned(),
        });
        let [one, other] = names;
        let names = match (self.of_wires, self.want) {
            (true, _) => [format!("wires of {one}"), other],
            (false, Want::Aerial) => [one, format!("carbon of {other}")],
            (false, _) => [one, other],
        };
        Some(Clearance {
            want: self.want,
            bodies: self.bodies,
            names,
            solids: solids.clone(),
            keep_m: self.keep_m,
            gap,
        })
    }
}

struct Looking<'a> {
    airframe: &'a Airframe,
    layout: &'a Layout,
    discs: Vec<(usize, Piece)>,
    ducts: Vec<(usize, Piece)>,
    /// Solids further apart than this between the boxes around them are left out \[m\].
    far_m: f64,
}

impl<'a> Looking<'a> {
    fn new(airframe: &'a Airframe, layout: &'a Layout, far_m: f64) -> Self {
        let rotors = 0..layout.hubs_m.len();
        let discs = rotors
            .clone()
            .filter_map(|rotor| Some((rotor, layout.disc(rotor)?)));
        let ducts = rotors.filter_map(|rotor| Some((rotor, layout.duct_at(rotor)?)));
        Self {
            airframe,
            layout,
            discs: discs.collect(),
            ducts: ducts.collect(),
            far_m,
        }
    }

    fn part(&self, item: &Item) -> Option<&'a Part> {
        self.airframe.parts[item.part].part.as_deref()
    }

    fn is_frame(&self, item: &Item) -> bool {
        self.part(item).is_some_and(|part| part.frame.is_some())
    }

    fn is_motor(&self, item: &Item) -> bool {
        self.part(item).is_some_and(|part| part.motor.is_some())
    }

    /// All that has to do with one item.
    fn about(&self, at: usize) -> Vec<Demand> {
        let mut found = self.of_one(at);
        for other in (0..self.layout.items.len()).filter(|other| *other != at) {
            found.extend(self.pair(at, other));
            found.extend(self.aerial(other, at));
        }
        found
    }

    /// What an item wants of anything but other parts, and of carbon for its antenna.
    fn of_one(&self, at: usize) -> Vec<Demand> {
        let mut found = Vec::new();
        for (rotor, disc) in &self.discs {
            found.extend(self.blade(at, *rotor, disc));
        }
        for (rotor, duct) in &self.ducts {
            found.extend(self.duct(at, *rotor, duct));
        }
        found.extend(self.ground(at));
        let others = (0..self.layout.items.len()).filter(|other| *other != at);
        found.extend(others.filter_map(|other| self.aerial(at, other)));
        found
    }

    fn blade(&self, at: usize, rotor: usize, disc: &Piece) -> Vec<Demand> {
        let item = &self.layout.items[at];
        let turns = item.rotor.is_some()
            && self
                .part(item)
                .is_some_and(|part| part.motor.is_some() || part.propeller.is_some());
        if turns || item.rotor == Some(rotor) {
            return Vec::new();
        }
        let across_m = self.layout.swept.map_or(0.0, |swept| 2.0 * swept.radius_m);
        // The flex of the tips is in the disc already.
        let rigid_m = blade_air_m(across_m) - TIP_FLEX_M;
        let loose_m = LOOSE_AIR_M - TIP_FLEX_M;
        let is_loose = |piece: &&Piece| piece.material == Material::Aerial;
        let rigid = item.pieces.iter().filter(|piece| !is_loose(piece));
        let loose = item.pieces.iter().filter(is_loose);
        let openings = self
            .part(item)
            .into_iter()
            .flat_map(|part| reach::corridors(part, item));
        let wires: Vec<Piece> = openings
            .filter(|corridor| corridor.kind == OpeningKind::Wires)
            .map(|corridor| corridor.piece)
            .collect();
        let bodies = [Body::Item(at), Body::Disc(rotor)];
        let of_wires = Demand {
            of_wires: true,
            ..Demand::new(Want::BladeLoose, bodies, loose_m)
        };
        vec![
            self.between(Demand::new(Want::Blade, bodies, rigid_m), rigid, [disc]),
            self.between(
                Demand::new(Want::BladeLoose, bodies, loose_m),
                loose,
                [disc],
            ),
            self.between(of_wires, &wires, [disc]),
        ]
    }

    fn duct(&self, at: usize, rotor: usize, duct: &Piece) -> Option<Demand> {
        let item = &self.layout.items[at];
        if self.is_frame(item) || item.rotor.is_some() {
            return None;
        }
        // A canopy sits on the ducts, and a strap or foam may touch them.
        let harmless = |piece: &&Piece| !piece.is_wall && piece.material != Material::Soft;
        let pieces = item.pieces.iter().filter(harmless);
        let bodies = [Body::Item(at), Body::Duct(rotor)];
        Some(self.between(Demand::new(Want::Duct, bodies, DUCT_AIR_M), pieces, [duct]))
    }

    fn pair(&self, at: usize, other_at: usize) -> Vec<Demand> {
        let (one, other) = (&self.layout.items[at], &self.layout.items[other_at]);
        if one.part == other.part || (one.rotor.is_some() && one.rotor == other.rotor) {
            return Vec::new();
        }
        // A motor stands on its arm.
        let stands = |one: &Item, other: &Item| self.is_frame(one) && self.is_motor(other);
        let sits = held_flat(one, other)
            || held_flat(other, one)
            || stands(one, other)
            || stands(other, one);
        let bodies = [Body::Item(at), Body::Item(other_at)];
        let kinds = [
            (Want::Circuit, CIRCUIT_AIR_M),
            (Want::Canopy, CANOPY_AIR_M),
            (Want::Parts, 0.0),
        ];
        let mut found = kinds.map(|(want, keep_m)| Demand {
            sits,
            ..Demand::new(want, bodies, keep_m)
        });
        for (one, other) in pairs_of(&one.pieces, &other.pieces) {
            let want = between(one, other);
            let demand = found.iter_mut().find(|demand| demand.want == want);
            if let Some(demand) = demand.filter(|_| !sits || want == Want::Parts) {
                self.add(demand, one, other);
            }
        }
        found.into()
    }

    /// The pack of a craft that is slung below it.
    fn ground(&self, at: usize) -> Option<Demand> {
        let item = &self.layout.items[at];
        self.part(item)?.cells.as_ref()?;
        let ground_m = self.layout.ground_m(self.airframe)?;
        let low_m = item.pieces.iter().map(|piece| piece.solid.extent_m()[0][2]);
        if low_m.fold(f64::INFINITY, f64::min) > 0.0 {
            return None;
        }
        let slab = Form::Box([1.0, 1.0, 0.1]);
        let pose = Pose::at([0.0, 0.0, ground_m - 0.05]);
        let slab = Piece::new("ground", slab, pose, Material::Plastic)?;
        let demand = Demand::new(Want::Ground, [Body::Item(at), Body::Ground], GROUND_AIR_M);
        Some(self.between(demand, &item.pieces, [&slab]))
    }

    /// The radiating end of an antenna against the carbon of another part.
    fn aerial(&self, at: usize, other: usize) -> Option<Demand> {
        let item = &self.layout.items[at];
        let jacks = self.part(item).into_iter().flat_map(|part| &part.jacks);
        let frequency = jacks.filter_map(|jack| jack.facet.frequency).next()?;
        let quarter_m = 0.25 * LIGHT_M_S / frequency.value.0.si();
        let of = |item: &'a Item, material: Material| {
            let pieces = item.pieces.iter();
            pieces.filter(move |piece| piece.material == material)
        };
        let carbon = of(&self.layout.items[other], Material::Carbon);
        let demand = Demand::new(Want::Aerial, [Body::Item(at), Body::Item(other)], quarter_m);
        Some(self.between(
            demand,
            of(item, Material::Aerial),
            carbon.collect::<Vec<_>>(),
        ))
    }

    fn between<'b>(
        &self,
        mut demand: Demand,
        ones: impl IntoIterator<Item = &'b Piece>,
        others: impl IntoIterator<Item = &'b Piece> + Clone,
    ) -> Demand {
        for one in ones {
            for other in others.clone() {
                self.add(&mut demand, one, other);
            }
        }
        demand
    }

    fn add(&self, demand: &mut Demand, one: &Piece, other: &Piece) {
        let boxes = [one.solid.extent_m(), other.solid.extent_m()];
        if between_boxes_m(&boxes, [0.0; 3]) <= self.far_m {
            demand.pairs.push([one.solid.clone(), other.solid.clone()]);
        }
    }
}

fn pairs_of<'a>(
    ones: &'a [Piece],
    others: &'a [Piece],
) -> impl Iterator<Item = (&'a Piece, &'a Piece)> {
    ones.iter()
        .flat_map(|one| others.iter().map(move |other| (one, other)))
}

/// How deep a part may sink into what it sits on: foam, tape, grommets \[m\].
const SINKS_M: f64 = 0.5e-3;

/// Whether the one lies or sticks on the other, rather than standing over it on posts.
fn held_flat(one: &Item, other: &Item) -> bool {
    one.holder == Some(other.part) && one.seat != Some(SeatKind::Posts)
}

/// Why two pieces of two parts matter to each other.
fn between(one: &Piece, other: &Piece) -> Want {
    let circuit = |piece: &Piece| piece.material == Material::Circuit;
    let conducts = |piece: &Piece| {
        matches!(
            piece.material,
            Material::Carbon | Material::Metal | Material::Circuit
        )
    };
    if (circuit(one) && conducts(other)) || (circuit(other) && conducts(one)) {
        Want::Circuit
    } else if one.is_wall || other.is_wall {
        Want::Canopy
    } else {
        Want::Parts
    }
}

/// The nearest two solids of some pairs.
///
/// Those whose boxes are nearest are measured first; what is farther between its boxes than the nearest found needs no measuring.
fn tightest(pairs: &[[Solid; 2]]) -> Option<(&[Solid; 2], Gap)> {
    let mut order: Vec<(f64, &[Solid; 2])> = pairs
        .iter()
        .map(|pair| {
            let boxes = [pair[0].extent_m(), pair[1].extent_m()];
            (between_boxes_m(&boxes, [0.0; 3]), pair)
        })
        .collect();
    order.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut best: Option<(f64, &[Solid; 2])> = None;
    for (least_m, pair) in order {
        let most_m = best.map_or(f64::INFINITY, |best| best.0);
        if least_m >= most_m {
            break;
        }
        let [one, other] = pair;
        let found_m = match air_within_m(one, other, most_m.max(f64::MIN_POSITIVE)) {
            air_m if air_m > 0.0 => air_m,
            _ => distance_m(one, other),
        };
        if found_m < most_m {
            best = Some((found_m, pair));
        }
    }
    best.map(|(_, pair)| (pair, distance(&pair[0], &pair[1])))
}
