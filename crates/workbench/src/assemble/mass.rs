//! What the craft weighs, from its sheets and from the scale.

use super::{Assembler, key};
use crate::input::{Group, Naming, Term};
use crate::model::{MassModel, Weighed};
use craft::Airframe;
use craft::airframe::Fitted;
use quantity::{Basis, Doubt, Mass, Quantity, Ratio};

/// Share of the listed parts that nobody lists: wire, solder, tape, 4 % ×/÷ 1.65 (3 to 6 %). Common practice.
const UNLISTED: Quantity<Ratio> = Quantity {
    value: Ratio::of_one(0.04),
    doubt: Doubt::Factor(0.5),
    basis: Basis::Typical,
};

/// Mass of the wires in a list: lengths ± 30 % where nobody measured, diameters ± 12 %.
const WIRE_MASS: Doubt = Doubt::Factor(0.32);

impl Assembler<'_> {
    pub(super) fn mass(&mut self) -> MassModel {
        let airframe = self.airframe;
        let unlisted = Naming::new(
            "craft.unlisted",
            "wire, solder and tape nobody lists",
            Group::Masses,
            "%",
        )
        .reading("put the whole craft on the scale")
        .class(
            self.inputs,
            UNLISTED,
            "3 to 6 % of the listed parts; common practice",
        );
        let parts = self.masses(airframe, |_| true);
        MassModel {
            parts,
            unlisted,
            weighed: self.weighed(airframe),
            battery: self.battery_mass(),
        }
    }

    fn weighed(&mut self, airframe: &Airframe) -> Weighed {
        if let Some(figure) = &airframe.weighed {
            let key = if self.setting.before.is_some() {
                "craft.weighed_after"
            } else {
                "craft.weighed"
            };
            return Weighed::This(self.on_scale(key, figure));
        }
        let Some(before) = self.setting.before else {
            return Weighed::No;
        };
        let Some(figure) = &before.weighed else {
            return Weighed::No;
        };
        let stays =
            |one: &Airframe, fitted: &Fitted| one.parts.iter().any(|other| same(other, fitted));
        let mut off = self.masses(before, |fitted| !stays(airframe, fitted));
        let mut on = self.masses(airframe, |fitted| !stays(before, fitted));
        let wires = self.setting.wires;
        off.extend(self.wire_mass("off", wires.off_kg));
        on.extend(self.wire_mass("on", wires.on_kg));
        Weighed::Changed {
            before: self.on_scale("craft.weighed", figure),
            off,
            on,
        }
    }

    fn on_scale(
        &mut self,
        key: &str,
        figure: &craft::Stated<craft::sheet::Figure<quantity::Mass>>,
    ) -> Term {
        Naming::new(key, "all-up mass on the scale", Group::Masses, "g")
            .reading("weigh the whole craft three times")
            .stated(self.inputs, figure)
    }

    fn masses(
        &mut self,
        airframe: &Airframe,
        wanted: impl Fn(&Fitted) -> bool,
    ) -> Vec<(Term, f64)> {
        let mut masses = Vec::new();
        for fitted in airframe.parts.iter().filter(|fitted| wanted(fitted)) {
            match self.mass_of(fitted) {
                Some(term) => masses.push((term, f64::from(fitted.count()))),
                None => self.lacks(
                    format!("the mass of {}", fitted.id.value),
                    Some(fitted.id.place),
                    "all-up mass, and all that follows from it, comes out too low",
                ),
            }
        }
        masses
    }

    /// The mass of one, as an input; none where the sheet has no figure.
    pub(super) fn mass_of(&mut self, fitted: &Fitted) -> Option<Term> {
        let part = fitted.part.as_deref()?;
        let figure = part.body.as_ref()?.mass.as_ref()?;
        let naming = Naming::new(
            key(fitted, part, "mass"),
            format!("mass of {}", fitted.id.value),
            Group::Masses,
            "g",
        );
        Some(
            naming
                .reading("put it on a 0.1 g scale")
                .stated(self.inputs, figure),
        )
    }

    /// Wire from the list, as one term.
    fn wire_mass(&mut self, way: &str, mass_kg: f64) -> Option<(Term, f64)> {
        if mass_kg <= 0.0 {
            return None;
        }
        let (key, name) = (
            format!("craft.wire_{way}"),
            format!("wire the refit puts {way}"),
        );
        let naming = Naming::new(key, name, Group::Masses, "g")
            .reading("weigh the wires cut off or left over");
        let quantity = Quantity {
            value: Mass::kilograms(mass_kg),
            doubt: WIRE_MASS,
            basis: Basis::Typical,
        };
        let source = "lengths of the wire list, copper and silicone";
        Some((naming.class(self.inputs, quantity, source), 1.0))
    }

    fn battery_mass(&mut self) -> Option<Term> {
        let fitted = self.first(|part| part.cells.as_ref())?.0;
        self.mass_of(fitted)
    }
}

/// The same sheet under the same name, as often.
fn same(one: &Fitted, other: &Fitted) -> bool {
    one.id.value == other.id.value && one.count() == other.count() && sheet(one) == sheet(other)
}

fn sheet(fitted: &Fitted) -> Option<&str> {
    fitted
        .table
        .sheet
        .as_ref()
        .map(|sheet| sheet.value.as_str())
}
