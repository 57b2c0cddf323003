//! Every part of an airframe in its place.

use crate::rotor::{Duct, Rotor, Swept, duct, rotors, swept};
use crate::shape::{Form, Meshes, Piece, metres, or_zero, pieces, plate_m};
use crate::typical;
use craft::part::Named;
use craft::sheet::Figure;
use craft::space::{Facing, Material, PlaceTable, Seat, SeatKind};
use craft::{Airframe, Part, Place, Stated};
use fit::{MassProperties, Pose, Turn};
use quantity::Dimension;
use std::f64::consts::{FRAC_PI_2, PI};

/// One copy of a part in its place.
#[derive(Clone)]
pub struct Item {
    /// Position of the part on the airframe.
    pub part: usize,
    /// What it is called: "board", "motors front left".
    pub name: String,
    /// Its origin and how it is turned.
    pub pose: Pose,
    /// Its pieces, in the axes of the craft.
    pub pieces: Vec<Piece>,
    /// How many copies this stands for: all of them where they have no places of their own.
    pub copies: f64,
    /// The parts whose places carry it, from the frame outwards, itself last; an entry for each part that has a
    /// place of its own.
    pub carried_by: Vec<usize>,
    /// The part it sits on.
    pub holder: Option<usize>,
    /// The seat it has.
    pub seat: Option<SeatKind>,
    /// Its rotor, for motors, propellers and what is put at motors.
    pub rotor: Option<usize>,
}

/// What a place says in numbers, and how far it may be off by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// The part.
    pub part: usize,
    /// Its origin in the craft's axes \[m\].
    pub origin_m: [f64; 3],
    /// Directions of its place's x, y and z in the craft's axes.
    pub axes: [[f64; 3]; 3],
    /// Its seat, if it has one.
    pub seat: Option<SeatKind>,
}

/// A part of which nobody says where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Unplaced {
    /// Position of the part on the airframe.
    pub part: usize,
    /// Why.
    pub why: Why,
}

/// Why a part has no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// Nothing is written.
    Nothing,
    /// It sits on a part that has no place itself, or is gone.
    Holder,
    /// It goes to the motors, and no frame says where they are.
    Motors,
}

/// The parts of an airframe, placed.
#[derive(Clone, Default)]
pub struct Layout {
    /// Every copy that has a place.
    pub items: Vec<Item>,
    /// What has none.
    pub unplaced: Vec<Unplaced>,
    /// Motors' places.
    pub rotors: Vec<Rotor>,
    /// What each propeller sweeps.
    pub swept: Option<Swept>,
    /// Middle of each swept disc \[m\], in the order of the rotors.
    pub hubs_m: Vec<[f64; 3]>,
    /// The wall around each propeller.
    pub duct: Option<Duct>,
    /// The parts that have a place of their own.
    pub held: Vec<Held>,
    /// What the craft stands on \[m\].
    pub feet_m: Option<f64>,
}

impl Layout {
    /// Places every part.
    pub fn of(airframe: &Airframe, meshes: &mut Meshes) -> Self {
        let own = airframe
            .parts
            .iter()
            .map(|fitted| match fitted.part.as_deref() {
                Some(part) => pieces(part, meshes),
                None => Vec::new(),
            });
        let mut placing = Placing {
            airframe,
            rotors: rotors(airframe),
            shapes: own.collect(),
            swept: swept(airframe),
        };
        placing.supply();
        placing.layout()
    }

    /// Copies of one part.
    pub fn items_of(&self, part: usize) -> impl Iterator<Item = &Item> {
        self.items.iter().filter(move |item| item.part == part)
    }

    /// The swept disc of a rotor, with the flex of its tips.
    pub fn disc(&self, rotor: usize) -> Option<Piece> {
        let swept = self.swept?;
        let form = Form::Cylinder {
            radius_m: swept.radius_m + typical::TIP_FLEX_M,
            height_m: swept.height_m,
        };
        Piece::new(
            "disc",
            form,
            Pose::at(*self.hubs_m.get(rotor)?),
            Material::Plastic,
        )
    }

    /// The duct of a rotor, as a full cylinder.
    pub fn duct_at(&self, rotor: usize) -> Option<Piece> {
        let (duct, hub) = (self.duct?, self.hubs_m.get(rotor)?);
        let form = Form::Cylinder {
            radius_m: duct.radius_m,
            height_m: duct.height_m,
        };
        let z = duct.middle_m.unwrap_or(hub[2]);
        Piece::new(
            "duct",
            form,
            Pose::at([hub[0], hub[1], z]),
            Material::Plastic,
        )
    }

    /// Lowest point of the craft that is not a battery \[m\]: what it stands on where the frame does not say.
    pub fn ground_m(&self, airframe: &Airframe) -> Option<f64> {
        if self.feet_m.is_some() {
            return self.feet_m;
        }
        let is_pack = |item: &&Item| {
            airframe.parts[item.part]
                .part
                .as_deref()
                .is_some_and(|part| part.cells.is_some())
        };
        let ducts = (0..self.hubs_m.len()).filter_map(|rotor| self.duct_at(rotor));
        let lowest = |piece: &Piece| piece.solid.extent_m()[0][2];
        let others = self.items.iter().filter(|item| !is_pack(item));
        let all = others.flat_map(|item| item.pieces.iter().map(lowest));
        let all = all.chain(ducts.map(|duct| lowest(&duct)));
        all.min_by(f64::total_cmp)
    }
}

impl Item {
    /// Mass properties of one kilogram of it; a point where it has no shape.
    pub fn of_one_kilogram(&self) -> MassProperties {
        let volume_m3: f64 = self.pieces.iter().map(Piece::volume_m3).sum();
        let share = |piece: &Piece| piece.filled(piece.volume_m3() / volume_m3);
        let pieces: Vec<_> = self.pieces.iter().filter_map(share).collect();
        MassProperties::sum(&pieces).unwrap_or(MassProperties {
            mass_kg: 1.0,
            centre_m: self.pose.centre_m,
            inertia_kg_m2: [[0.0; 3]; 3],
        })
    }

    /// The same item with its origin moved \[m\].
    pub fn moved(&self, by_m: [f64; 3]) -> Self {
        let moved = |place: [f64; 3]| [0, 1, 2].map(|axis| place[axis] + by_m[axis]);
        let mut item = self.clone();
        item.pose.centre_m = moved(item.pose.centre_m);
        for piece in &mut item.pieces {
            piece.pose.centre_m = moved(piece.pose.centre_m);
            piece.solid = piece.solid.moved(by_m, Turn::NONE, [0.0; 3]);
        }
        item
    }

    /// Lowest and highest corner of the box around it \[m\]; none without a shape.
    pub fn extent_m(&self) -> Option<[[f64; 3]; 2]> {
        let corners = self.pieces.iter().map(|piece| piece.solid.extent_m());
        corners.reduce(|all, one| {
            [0, 1].map(|end| {
                let pick = if end == 0 { f64::min } else { f64::max };
                [0, 1, 2].map(|axis| pick(all[end][axis], one[end][axis]))
            })
        })
    }
}

struct Placing<'a> {
    airframe: &'a Airframe,
    rotors: Vec<Rotor>,
    shapes: Vec<Vec<Piece>>,
    swept: Option<Swept>,
}

/// Where one part is: its poses, one for each copy, and what it hangs on.
#[derive(Clone)]
struct Found {
    poses: Vec<(Pose, Option<usize>)>,
    carried_by: Vec<usize>,
    holder: Option<usize>,
    seat: Option<SeatKind>,
    axes: Option<Pose>,
}

impl Placing<'_> {
    /// Gives motors without a shape the usual one.
    fn supply(&mut self) {
        for (at, _, part) in self.airframe.found() {
            let code = part.motor.as_ref().and_then(|motor| motor.code.as_ref());
            let size = code.and_then(|code| typical::motor_m(&code.value));
            if let (true, Some((across_m, high_m))) = (self.shapes[at].is_empty(), size) {
                let form = Form::Cylinder {
                    radius_m: 0.5 * across_m,
                    height_m: high_m,
                };
                let pose = Pose::at([0.0, 0.0, 0.5 * high_m]);
                self.shapes[at].extend(Piece::new("", form, pose, Material::Metal));
            }
        }
    }

    fn layout(self) -> Layout {
        let mut known: Vec<Option<Result<Found, Why>>> = vec![None; self.airframe.parts.len()];
        for part in 0..known.len() {
            let _found = self.find(part, &mut known, 0);
        }
        let mut layout = Layout {
            swept: self.swept,
            duct: duct(self.airframe),
            hubs_m: self.hubs_m(),
            feet_m: self.feet_m(),
            ..Layout::default()
        };
        for (part, found) in known.iter().enumerate() {
            match found.as_ref() {
                Some(Ok(found)) => self.put(part, found, &mut layout),
                Some(Err(why)) => layout.unplaced.push(Unplaced { part, why: *why }),
                None => {}
            }
        }
        layout.rotors = self.rotors;
        layout
    }

    fn feet_m(&self) -> Option<f64> {
        let mut frames = self
            .airframe
            .found()
            .filter_map(|(_, _, part)| part.frame.as_ref());
        metres(&frames.next()?.feet)
    }

    fn put(&self, part: usize, found: &Found, layout: &mut Layout) {
        let fitted = &self.airframe.parts[part];
        let count = f64::from(fitted.count());
        for (pose, rotor) in &found.poses {
            let name = match rotor {
                Some(rotor) => format!("{} {}", fitted.id.value, self.rotors[*rotor].name),
                None => fitted.id.value.clone(),
            };
            layout.items.push(Item {
                part,
                name,
                pose: *pose,
                pieces: self.shapes[part]
                    .iter()
                    .filter_map(|piece| piece.on(pose))
                    .collect(),
                copies: count / found.poses.len() as f64,
                carried_by: found.carried_by.clone(),
                holder: found.holder,
                seat: found.seat,
                rotor: *rotor,
            });
        }
        if let (Some(axes), Some((pose, _))) = (found.axes, found.poses.first()) {
            layout.held.push(Held {
                part,
                origin_m: pose.centre_m,
                axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
                    .map(|axis| axes.turn.apply(axis)),
                seat: found.seat,
            });
        }
    }

    /// Finds a part and what it stands on first; the reader has told circles, here they are cut.
    fn find(
        &self,
        part: usize,
        known: &mut Vec<Option<Result<Found, Why>>>,
        depth: usize,
    ) -> Result<Found, Why> {
        if let Some(found) = &known[part] {
            return found.clone();
        }
        let found = if depth > self.airframe.parts.len() {
            Err(Why::Holder)
        } else {
            self.find_new(part, known, depth)
        };
        known[part] = Some(found.clone());
        found
    }

    fn find_new(
        &self,
        part: usize,
        known: &mut Vec<Option<Result<Found, Why>>>,
        depth: usize,
    ) -> Result<Found, Why> {
        let fitted = &self.airframe.parts[part];
        let sheet = fitted.part.as_deref();
        if let Some(place) = self.airframe.place(&fitted.id.value) {
            let mut holder = |name: &str| {
                let at = self.airframe.position(name).ok_or(Why::Holder)?;
                let held = self.find(at, known, depth + 1).map_err(|_| Why::Holder)?;
                Ok((at, held))
            };
            if place.facet.at_motors.is_some_and(|at| at.value) {
                return self.at_motors(&local(&place.facet));
            }
            // `screw` alone says nothing of where a motor is.
            let says_where = place.facet.seat.is_some()
                || place.facet.above.is_some()
                || place.facet.arm.is_some()
                || has_numbers(&place.facet);
            if says_where {
                return self.placed(part, place, &mut holder);
            }
        }
        let is = |facet: fn(&Part) -> bool| sheet.is_some_and(facet);
        if is(|part| part.frame.is_some()) {
            return Ok(Found::at(vec![(Pose::default(), None)]));
        }
        if is(|part| part.motor.is_some()) {
            return self.at_motors(&Pose::default());
        }
        if is(|part| part.propeller.is_some()) {
            let hubs = self.hubs_m();
            let poses = hubs
                .iter()
                .enumerate()
                .map(|(at, hub)| (Pose::at(*hub), Some(at)));
            let poses: Vec<_> = poses.take(fitted.count() as usize).collect();
            return if poses.is_empty() {
                Err(Why::Motors)
            } else {
                Ok(Found::at(poses))
            };
        }
        Err(Why::Nothing)
    }

    /// One for each motor; where there are fewer or more, all of them shared out among the motors.
    fn at_motors(&self, local: &Pose) -> Result<Found, Why> {
        if self.rotors.is_empty() {
            return Err(Why::Motors);
        }

        let poses = self.rotors.iter().enumerate();
        Ok(Found::at(
            poses
                .map(|(at, rotor)| (local.on(&rotor.pose()), Some(at)))
                .collect(),
        ))
    }

    fn placed(
        &self,
        part: usize,
        place: &Named<PlaceTable>,
        holder: &mut impl FnMut(&str) -> Result<(usize, Found), Why>,
    ) -> Result<Found, Why> {
        let facet = &place.facet;
        let local = local(facet);
        let on = |base: Pose, (at, held): (usize, Found), seat: Option<SeatKind>| Found {
            poses: vec![(local.on(&base), None)],
            carried_by: held.carried_by.into_iter().chain([part]).collect(),
            holder: Some(at),
            seat,
            axes: Some(base),
        };
        if let Some((name, seat)) = facet.seat.as_ref().and_then(|seat| seat.split_once('.')) {
            let (at, held) = holder(name)?;
            let (base, _) = *held.poses.first().ok_or(Why::Holder)?;
            let seat = self.seat(at, seat).ok_or(Why::Holder)?;
            let kind = seat.facet.kind.map(|kind| kind.value);
            return Ok(on(seat_pose(&seat.facet).on(&base), (at, held), kind));
        }
        if let Some(above) = &facet.above {
            let (at, held) = holder(&above.value)?;
            let (base, _) = *held.poses.first().ok_or(Why::Holder)?;
            let z = self.stands_on_m(at, facet.standoff.as_ref());
            let seat = facet.standoff.is_some().then_some(SeatKind::Posts);
            return Ok(on(
                Pose::at([0.0, 0.0, z]).on(&base),
                (at, held),
                Some(seat.unwrap_or(SeatKind::Flat)),
            ));
        }
        if let Some(arm) = &facet.arm {
            let rotor = self.rotors.iter().find(|rotor| rotor.name == arm.value);
            let base = rotor.ok_or(Why::Motors)?.arm();
            let mut frames = self
                .airframe
                .found()
                .filter(|(_, _, it)| it.frame.is_some());
            return Ok(Found {
                poses: vec![(local.on(&base), None)],
                carried_by: vec![part],
                holder: frames.next().map(|(at, ..)| at),
                seat: Some(SeatKind::Flat),
                axes: Some(base),
            });
        }
        Ok(Found {
            poses: vec![(local, None)],
            carried_by: vec![part],
            holder: None,
            seat: None,
            axes: Some(Pose::default()),
        })
    }

    /// Height over a part's origin of what stands above it: its plate and posts, or, taped on, its highest point.
    fn stands_on_m(&self, below: usize, posts: Option<&Stated<Figure<quantity::Length>>>) -> f64 {
        let sheet = self.airframe.parts[below].part.as_deref();
        if let Some(posts) = posts {
            return sheet.and_then(plate_m).unwrap_or(0.0) + posts.quantity.value.in_metres();
        }
        let tops = self.shapes[below]
            .iter()
            .map(|piece| piece.solid.extent_m()[1][2]);
        tops.fold(0.0, f64::max)
    }

    fn seat(&self, part: usize, name: &str) -> Option<&Named<Seat>> {
        let seats = &self.airframe.parts[part].part.as_deref()?.seats;
        seats.iter().find(|seat| seat.name.value == name)
    }

    /// Middle of each swept disc: on top of the motor.
    fn hubs_m(&self) -> Vec<[f64; 3]> {
        let Some(swept) = self.swept else {
            return Vec::new();
        };
        let motor = self
            .airframe
            .found()
            .find(|(_, _, part)| part.motor.is_some());
        let tops = motor.iter().flat_map(|(at, ..)| &self.shapes[*at]);
        let top_m = tops
            .map(|piece| piece.solid.extent_m()[1][2])
            .fold(0.0, f64::max);
        let hub = |rotor: &Rotor| rotor.pose().place([0.0, 0.0, top_m + 0.5 * swept.height_m]);
        self.rotors.iter().map(hub).collect()
    }
}

impl Found {
    fn at(poses: Vec<(Pose, Option<usize>)>) -> Self {
        Self {
            poses,
            carried_by: Vec::new(),
            holder: None,
            seat: None,
            axes: None,
        }
    }
}

/// Whether a place has coordinates or turns.
fn has_numbers(place: &PlaceTable) -> bool {
    place.x.is_some() || place.y.is_some() || place.z.is_some()
}

/// What a place says in its own axes.
fn local(place: &PlaceTable) -> Pose {
    let tilt = value(&place.tilt);
    let turn = Turn {
        roll: value(&place.roll),
        pitch: value(&place.pitch) - tilt,
        yaw: value(&place.yaw),
    };
    Pose::turned([value(&place.x), value(&place.y), value(&place.z)], turn)
}

fn value<D: Dimension>(figure: &Option<Stated<Figure<D>>>) -> f64 {
    figure
        .as_ref()
        .map_or(0.0, |figure| figure.quantity.value.si())
}

/// A seat in the axes of its part: z out of its floor.
fn seat_pose(seat: &Seat) -> Pose {
    let faces = seat.faces.map_or(Facing::Up, |faces| faces.value);
    Pose::turned(
        [or_zero(&seat.x), or_zero(&seat.y), or_zero(&seat.z)],
        towards(faces),
    )
}

/// The turn that lays z along a direction.
pub fn towards(facing: Facing) -> Turn {
    let (roll, pitch) = match facing {
        Facing::Up => (0.0, 0.0),
        Facing::Down => (PI, 0.0),
        Facing::Front => (0.0, FRAC_PI_2),
        Facing::Back => (0.0, -FRAC_PI_2),
        Facing::Left => (-FRAC_PI_2, 0.0),
        Facing::Right => (FRAC_PI_2, 0.0),
    };
    Turn {
        roll,
        pitch,
        yaw: 0.0,
    }
}

/// Where a part's place is written, or else its name.
pub fn written_at(airframe: &Airframe, part: usize) -> Place {
    let fitted = &airframe.parts[part];
    airframe
        .place(&fitted.id.value)
        .map_or(fitted.id.place, |place| place.name.place)
}
