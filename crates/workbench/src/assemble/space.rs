//! Where the masses are, how far each place may be off, and what turns.

use super::{Assembler, key};
use crate::input::{Group, Naming, Term};
use crate::model::{BodyModel, HeldModel, RotorModel, SpaceModel, TurningModel};
use craft::airframe::Fitted;
use craft::sheet::Figure;
use craft::space::{PlaceTable, SeatKind, Turning};
use craft::{Part, Stated};
use quantity::{Angle, Basis, Dimension, Doubt, Length, Quantity, Ratio};
use space::Layout;
use space::typical::motor_m;

/// How far a part on a seat may be off along x, y, z \[m\] and about them \[rad\], 1 sd. From memory: posts have the play of
/// their holes, a pack slides under its strap, tape is laid by eye.
fn seat_doubt(seat: SeatKind) -> ([f64; 3], f64) {
    match seat {
        SeatKind::Posts => ([0.2e-3, 0.2e-3, 0.2e-3], 0.0),
        SeatKind::Tray => ([2.0e-3, 0.7e-3, 0.5e-3], 0.0),
        SeatKind::Cheeks => ([0.3e-3, 0.3e-3, 0.3e-3], 0.035),
        SeatKind::Flat => ([1.5e-3, 1.5e-3, 0.4e-3], 0.0),
    }
}

/// Where a part without a place may be \[m\]: anywhere about the middle, taken wide.
const ANYWHERE_M: f64 = 20e-3;
/// The same up and down \[m\].
const ANYWHERE_HIGH_M: f64 = 8e-3;

/// Share of a small motor's mass that is bell wall and magnets. From memory.
const RING_SHARE: Quantity<Ratio> = Quantity {
    value: Ratio::of_one(0.5),
    doubt: Doubt::Factor(0.15),
    basis: Basis::Typical,
};
/// Wall and magnets from outside to inside over the bell's diameter. From memory.
const RING_WALL: f64 = 0.075;
/// Inertia over mass and radius squared of a moulded propeller with its hub: measured chords, solid sections.
const PROPELLER_SHARE: Quantity<Ratio> = Quantity {
    value: Ratio::of_one(0.23),
    doubt: Doubt::Plain(0.05),
    basis: Basis::Typical,
};
/// Least thrust over largest that controllers hold to keep motors turning. From memory.
const LEAST_THRUST: f64 = 0.0;

/// Directions that a place may be off in, with the unit each is shown in.
const WAYS: [(&str, &str, &str); 6] = [
    ("x", "forward", "mm"),
    ("y", "to the left", "mm"),
    ("z", "upward", "mm"),
    ("roll", "roll", "°"),
    ("pitch", "pitch", "°"),
    ("yaw", "yaw", "°"),
];

impl Assembler<'_> {
    /// None where no frame says where the motors are, or nobody says where anything else is.
    pub(super) fn space(&mut self, layout: &Layout) -> Option<SpaceModel> {
        if layout.rotors.is_empty() || layout.held.is_empty() {
            return None;
        }
        let airframe = self.airframe;
        let mut held: Vec<HeldModel> = Vec::new();
        for it in &layout.held {
            let fitted = &airframe.parts[it.part];
            let terms = self.place_terms(fitted, it.seat);
            let middle = terms.map(|term| self.middle_of(term));
            let place = airframe.place(&fitted.id.value);
            let is_tilted = place.is_some_and(|place| place.facet.tilt.is_some());
            let mut signs = [1.0; 6];
            signs[4] = if is_tilted { -1.0 } else { 1.0 };
            held.push(HeldModel {
                part: it.part,
                origin_m: it.origin_m,
                axes: it.axes,
                terms,
                middle,
                signs,
            });
        }
        let mut bodies = Vec::new();
        for item in &layout.items {
            let Some(mass) = self.mass_of(&airframe.parts[item.part]) else {
                continue;
            };
            let one = item.of_one_kilogram();
            let carried_by = item
                .carried_by
                .iter()
                .filter_map(|part| held.iter().position(|it| it.part == *part));
            bodies.push(BodyModel {
                mass,
                copies: item.copies,
                centre_m: one.centre_m,
                inertia_m2: one.inertia_kg_m2,
                carried_by: carried_by.collect(),
            });
        }
        for it in &layout.unplaced {
            let fitted = &airframe.parts[it.part];
            if let Some(mass) = self.mass_of(fitted) {
                bodies.push(self.anywhere(fitted, it.part, mass, &mut held));
            }
        }
        let rotor = |rotor: &space::Rotor| RotorModel {
            at_m: [rotor.foot_m[0], rotor.foot_m[1]],
            nose_left: rotor.turning == Turning::Right,
        };
        Some(SpaceModel {
            bodies,
            held,
            rotors: layout.rotors.iter().map(rotor).collect(),
            turning: self.turning(),
            least_thrust: LEAST_THRUST,
        })
    }

    /// A part that could be anywhere.
    fn anywhere(
        &mut self,
        fitted: &Fitted,
        part: usize,
        mass: Term,
        held: &mut Vec<HeldModel>,
    ) -> BodyModel {
        let sheet = fitted.part.as_deref();
        let mut terms = [Term::Known(0.0); 6];
        for (at, sd) in [ANYWHERE_M, ANYWHERE_M, ANYWHERE_HIGH_M]
            .into_iter()
            .enumerate()
        {
            let (axis, way, unit) = WAYS[at];
            let name = format!("place of {}, {way}", fitted.id.value);
            let key = format!(
                "{}/{}.anywhere.{axis}",
                fitted.id.value,
                sheet.map_or("", |part| &part.name)
            );
            let quantity = Quantity {
                value: Length::metres(0.0),
                doubt: Doubt::Plain(sd),
                basis: Basis::Assumed,
            };
            terms[at] = Naming::new(key, name, Group::Places, unit)
                .reading("hold a rule against the frame and write its place")
                .class(
                    self.inputs,
                    quantity,
                    "no place written: anywhere about the middle, taken wide",
                );
        }
        held.push(HeldModel {
            part,
            origin_m: [0.0; 3],
            axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            terms,
            middle: [0.0; 6],
            signs: [1.0; 6],
        });
        BodyModel {
            mass,
            copies: f64::from(fitted.count()),
            centre_m: [0.0; 3],
            inertia_m2: [[0.0; 3]; 3],
            carried_by: vec![held.len() - 1],
        }
    }

    fn middle_of(&self, term: Term) -> f64 {
        match term {
            Term::Known(value) => value,
            Term::Input(id) => self.inputs.get(id).value,
        }
    }

    /// What may be off: what is written with its doubt, and what the seat leaves free.
    fn place_terms(&mut self, fitted: &Fitted, seat: Option<SeatKind>) -> [Term; 6] {
        let sheet = fitted.part.as_deref();
        let airframe = self.airframe;
        let Some(place) = airframe.place(&fitted.id.value).map(|place| &place.facet) else {
            return [Term::Known(0.0); 6];
        };
        let before = self.setting.before;
        let old = before
            .and_then(|before| before.place(&fitted.id.value))
            .map(|place| &place.facet);
        let moved = if before.is_some() && old != Some(place) {
            "after."
        } else {
            ""
        };
        let (seat_m, seat_rad) = seat.map_or(([0.0; 3], 0.0), seat_doubt);
        let lengths = written_lengths(place);
        let angles = written_angles(place);
        let name = sheet.map_or("", |part: &Part| &part.name);
        let naming = |at: usize| {
            let (axis, way, unit) = WAYS[at];
            let key = format!("{}/{name}.place.{moved}{axis}", fitted.id.value);
            Naming::new(
                key,
                format!("place of {}, {way}", fitted.id.value),
                Group::Places,
                unit,
            )
            .reading("hold a rule or a calliper against the frame")
        };
        let mut terms = [Term::Known(0.0); 6];
        for at in 0..3 {
            terms[at] = self.place_term(naming(at), lengths[at], seat_m[at]);
            terms[at + 3] = self.place_term(
                naming(at + 3),
                angles[at],
                if at == 1 { seat_rad } else { 0.0 },
            );
        }
        terms
    }

    fn place_term<D: Dimension>(
        &mut self,
        naming: Naming,
        figure: Option<&Stated<Figure<D>>>,
        usual_sd: f64,
    ) -> Term {
        if let Some(figure) = figure {
            return naming.stated(self.inputs, figure);
        }
        if usual_sd == 0.0 {
            return Term::Known(0.0);
        }
        let quantity = Quantity {
            value: D::from_si(0.0),
            doubt: Doubt::Plain(usual_sd),
            basis: Basis::Typical,
        };
        naming.class(self.inputs, quantity, "play of the seat, from memory")
    }

    fn turning(&mut self) -> Option<TurningModel> {
        let motor = self.first(|part| part.motor.as_ref())?;
        let blade = self.first(|part| part.propeller.as_ref())?;
        let code = motor.2.code.as_ref()?;
        let (across_m, _) = motor_m(&code.value)?;
        let outer_m = 0.5 * across_m;
        let mut share = |key: String, name: &str, group, quantity| {
            Naming::new(key, name, group, "").class(
                self.inputs,
                quantity,
                "usual for small motors and propellers, from memory",
            )
        };
        let ring_share = share(
            key(motor.0, motor.1, "ring_share"),
            "share of a motor's mass in its bell ring",
            Group::Motor,
            RING_SHARE,
        );
        let propeller_share = share(
            key(blade.0, blade.1, "inertia_share"),
            "inertia of the propeller over mass and radius squared",
            Group::Propeller,
            PROPELLER_SHARE,
        );
        Some(TurningModel {
            motor: self.mass_of(motor.0)?,
            ring_share,
            ring_m: [outer_m, outer_m - RING_WALL * across_m],
            propeller: self.mass_of(blade.0)?,
            propeller_share,
        })
    }
}

/// x, y and z as written; posts count as z.
fn written_lengths(place: &PlaceTable) -> [Option<&Stated<Figure<Length>>>; 3] {
    [
        place.x.as_ref(),
        place.y.as_ref(),
        place.z.as_ref().or(place.standoff.as_ref()),
    ]
}

/// Turns as written. A tilt is a pitch the other way: its doubt is the same.
fn written_angles(place: &PlaceTable) -> [Option<&Stated<Figure<Angle>>>; 3] {
    [
        place.roll.as_ref(),
        place.pitch.as_ref().or(place.tilt.as_ref()),
        place.yaw.as_ref(),
    ]
}
