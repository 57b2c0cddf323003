//! Air between solids: which pairs matter, how much is wanted, how much there is.

use crate::layout::{Item, Layout};
use crate::reach;
use crate::shape::{Form, Piece};
use crate::typical::{
    CANOPY_AIR_M, CIRCUIT_AIR_M, DUCT_AIR_M, GROUND_AIR_M, LOOSE_AIR_M, TIP_FLEX_M, blade_air_m,
};
use craft::space::{Material, OpeningKind, SeatKind};
use craft::{Airframe, Part};
use fit::{Gap, Pose, Solid, distance};
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
    let looking = Looking { airframe, layout };
    let mut found = Vec::new();
    let rotors = 0..layout.hubs_m.len();
    let discs: Vec<_> = rotors
        .clone()
        .filter_map(|rotor| Some((rotor, layout.disc(rotor)?)))
        .collect();
    let ducts: Vec<_> = rotors
        .filter_map(|rotor| Some((rotor, layout.duct_at(rotor)?)))
        .collect();
    for (at, item) in layout.items.iter().enumerate() {
        for (rotor, disc) in &discs {
            found.extend(looking.blade(at, item, *rotor, disc));
        }
        for (rotor, duct) in &ducts {
            found.extend(looking.duct(at, item, *rotor, duct));
        }
        for (other_at, other) in layout.items.iter().enumerate().skip(at + 1) {
            found.extend(looking.pair((at, item), (other_at, other)));
        }
        found.extend(looking.ground(at, item));
        found.extend(looking.aerial(at, item));
    }
    found
}

/// The pairs of one item alone, as [`clearances`] gives them.
pub fn of_item(airframe: &Airframe, layout: &Layout, at: usize) -> Vec<Clearance> {
    let looking = Looking { airframe, layout };
    let item = &layout.items[at];
    let mut found = Vec::new();
    for rotor in 0..layout.hubs_m.len() {
        if let Some(disc) = layout.disc(rotor) {
            found.extend(looking.blade(at, item, rotor, &disc));
        }
        if let Some(duct) = layout.duct_at(rotor) {
            found.extend(looking.duct(at, item, rotor, &duct));
        }
    }
    let others = || {
        layout
            .items
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
    };
    for other in others() {
        found.extend(looking.pair((at, item), other));
        let aerials = looking.aerial(other.0, other.1).into_iter();
        found.extend(aerials.filter(|pair| pair.bodies[1] == Body::Item(at)));
    }
    found.extend(looking.ground(at, item));
    found.extend(looking.aerial(at, item));
    found
}

struct Looking<'a> {
    airframe: &'a Airframe,
    layout: &'a Layout,
}

impl Looking<'_> {
    fn part(&self, item: &Item) -> Option<&Part> {
        self.airframe.parts[item.part].part.as_deref()
    }

    fn is_frame(&self, item: &Item) -> bool {
        self.part(item).is_some_and(|part| part.frame.is_some())
    }

    fn is_motor(&self, item: &Item) -> bool {
        self.part(item).is_some_and(|part| part.motor.is_some())
    }

    fn blade(&self, at: usize, item: &Item, rotor: usize, disc: &Piece) -> Vec<Clearance> {
        let turns = item.rotor.is_some()
            && self
                .part(item)
                .is_some_and(|part| part.motor.is_some() || part.propeller.is_some());
        if turns || item.rotor == Some(rotor) {
            return Vec::new();
        }
        let across_m = self.layout.swept.map_or(0.0, |swept| 2.0 * swept.radius_m);
        let bodies = [Body::Item(at), Body::Disc(rotor)];
        let names = [
            item.name.clone(),
            format!("propeller {}", self.layout.rotors[rotor].name),
        ];
        let is_loose = |piece: &&Piece| piece.material == Material::Aerial;
        let rigid = item.pieces.iter().filter(|piece| !is_loose(piece));
        let loose = item.pieces.iter().filter(is_loose);
        let wires = self
            .part(item)
            .into_iter()
            .flat_map(|part| reach::corridors(part, item));
        let wires: Vec<Piece> = wires
            .filter(|corridor| corridor.kind == OpeningKind::Wires)
            .map(|corridor| corridor.piece)
            .collect();
        let mut found = Vec::new();
        // The flex of the tips is in the disc already.
        let rigid_m = blade_air_m(across_m) - TIP_FLEX_M;
        found.extend(nearest(rigid, [disc], rigid_m, Want::Blade, bodies, &names));
        let loose_m = LOOSE_AIR_M - TIP_FLEX_M;
        found.extend(nearest(
            loose,
            [disc],
            loose_m,
            Want::BladeLoose,
            bodies,
            &names,
        ));
        let of_wires = [format!("wires of {}", item.name), names[1].clone()];
        found.extend(nearest(
            &wires,
            [disc],
            loose_m,
            Want::BladeLoose,
            bodies,
            &of_wires,
        ));
        found
    }

    fn duct(&self, at: usize, item: &Item, rotor: usize, duct: &Piece) -> Option<Clearance> {
        if self.is_frame(item) || item.rotor.is_some() {
            return None;
        }
        let bodies = [Body::Item(at), Body::Duct(rotor)];
        let names = [
            item.name.clone(),
            format!("duct {}", self.layout.rotors[rotor].name),
        ];
        // A canopy sits on the ducts, and a strap or foam may touch them.
        let harmless = |piece: &&Piece| !piece.is_wall && piece.material != Material::Soft;
        let pieces = item.pieces.iter().filter(harmless);
        nearest(pieces, [duct], DUCT_AIR_M, Want::Duct, bodies, &names)
    }

    fn pair(&self, one: (usize, &Item), other: (usize, &Item)) -> Vec<Clearance> {
        let ((at, one), (other_at, other)) = (one, other);
        if one.part == other.part || (one.rotor.is_some() && one.rotor == other.rotor) {
            return Vec::new();
        }
        let bodies = [Body::Item(at), Body::Item(other_at)];
        let names = [one.name.clone(), other.name.clone()];
        // A motor stands on its arm.
        let stands = |one: &Item, other: &Item| self.is_frame(one) && self.is_motor(other);
        let sits = held_flat(one, other)
            || held_flat(other, one)
            || stands(one, other)
            || stands(other, one);
        let mut found: Vec<Clearance> = Vec::new();
        for (want, keep_m) in [
            (Want::Circuit, CIRCUIT_AIR_M),
            (Want::Canopy, CANOPY_AIR_M),
            (Want::Parts, 0.0),
        ] {
            let wanted =
                |a: &Piece, b: &Piece| between(a, b) == want && !(sits && want != Want::Parts);
            let tight = tightest(&one.pieces, &other.pieces, wanted);
            let Some((solids, gap)) = tight else { continue };
            if gap.distance_m - keep_m > FAR_M {
                continue;
            }
            // What sits on a part touches it, however far its place is off; only what sinks in is told.
            if sits && gap.distance_m > -SINKS_M {
                continue;
            }
            found.push(Clearance {
                want,
                bodies,
                names: names.clone(),
                solids,
                keep_m,
                gap,
            });
        }
        found
    }

    /// The pack of a craft that is slung below it.
    fn ground(&self, at: usize, item: &Item) -> Option<Clearance> {
        self.part(item)?.cells.as_ref()?;
        let ground_m = self.layout.ground_m(self.airframe)?;
        let low = item
            .pieces
            .iter()
            .min_by(|a, b| low_m(a).total_cmp(&low_m(b)))?;
        if low_m(low) > 0.0 {
            return None;
        }
        let slab = Form::Box([1.0, 1.0, 0.1]);
        let slab = Piece::new(
            "ground",
            slab,
            Pose::at([0.0, 0.0, ground_m - 0.05]),
            Material::Plastic,
        )?;
        let names = [item.name.clone(), "the ground".to_owned()];
        nearest(
            [low],
            [&slab],
            GROUND_AIR_M,
            Want::Ground,
            [Body::Item(at), Body::Ground],
            &names,
        )
    }

    /// The radiating end of an antenna against all carbon.
    fn aerial(&self, at: usize, item: &Item) -> Vec<Clearance> {
        let jacks = self.part(item).into_iter().flat_map(|part| &part.jacks);
        let frequency = jacks.filter_map(|jack| jack.facet.frequency).next();
        let Some(quarter_m) = frequency.map(|it| 0.25 * LIGHT_M_S / it.value.0.si()) else {
            return Vec::new();
        };
        let ends: Vec<&Piece> = item
            .pieces
            .iter()
            .filter(|piece| piece.material == Material::Aerial)
            .collect();
        let others = self
            .layout
            .items
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at);
        let one = |(other_at, other): (usize, &Item)| {
            let carbon = other
                .pieces
                .iter()
                .filter(|piece| piece.material == Material::Carbon);
            let names = [item.name.clone(), format!("carbon of {}", other.name)];
            let bodies = [Body::Item(at), Body::Item(other_at)];
            nearest(
                ends.iter().copied(),
                carbon.collect::<Vec<_>>(),
                quarter_m,
                Want::Aerial,
                bodies,
                &names,
            )
        };
        others.filter_map(one).collect()
    }
}

/// How deep a part may sink into what it sits on: foam, tape, grommets \[m\].
const SINKS_M: f64 = 0.5e-3;

fn low_m(piece: &Piece) -> f64 {
    piece.solid.extent_m()[0][2]
}

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

/// The nearest two pieces among those that are wanted together.
fn tightest(
    ones: &[Piece],
    others: &[Piece],
    wanted: impl Fn(&Piece, &Piece) -> bool,
) -> Option<([Solid; 2], Gap)> {
    let pairs = ones
        .iter()
        .flat_map(|one| others.iter().map(move |other| (one, other)));
    let pairs = pairs.filter(|(one, other)| wanted(one, other));
    let near = pairs.filter(|(one, other)| may_be_near(&one.solid, &other.solid));
    let gaps = near.map(|(one, other)| (one, other, distance(&one.solid, &other.solid)));
    let nearest = gaps.min_by(|a, b| a.2.distance_m.total_cmp(&b.2.distance_m))?;
    Some((
        [nearest.0.solid.clone(), nearest.1.solid.clone()],
        nearest.2,
    ))
}

/// Whether the boxes around two solids are near enough for the pair to be told.
fn may_be_near(one: &Solid, other: &Solid) -> bool {
    let ([low, high], [other_low, other_high]) = (one.extent_m(), other.extent_m());
    (0..3).all(|axis| {
        low[axis] <= other_high[axis] + 2.0 * FAR_M && other_low[axis] <= high[axis] + 2.0 * FAR_M
    })
}

fn nearest<'a>(
    ones: impl IntoIterator<Item = &'a Piece>,
    others: impl IntoIterator<Item = &'a Piece>,
    keep_m: f64,
    want: Want,
    bodies: [Body; 2],
    names: &[String; 2],
) -> Option<Clearance> {
    let ones: Vec<Piece> = ones.into_iter().cloned().collect();
    let others: Vec<Piece> = others.into_iter().cloned().collect();
    let (solids, gap) = tightest(&ones, &others, |_, _| true)?;
    (gap.distance_m - keep_m <= FAR_M).then(|| Clearance {
        want,
        bodies,
        names: names.clone(),
        solids,
        keep_m,
        gap,
    })
}
