//! Frame, motors, propellers and drivers.

use super::{Assembler, definite, key};
use crate::input::{Group, Naming, Term};
use crate::model::{Class, DriveModel, Goodness};
use craft::airframe::Fitted;
use craft::facet::{Motor, Propeller, Surround};
use craft::{AirframeClass, Part, Place};
use flight::propeller::{self, LabelPropeller};
use quantity::{
    Basis, Density, Doubt, Mass, Quantity, Ratio, RotationSpeed, VelocityConstant, Voltage,
};

/// Tip speed at which a small propeller is looked at first: the middle of what hover shows.
const LOOK_TIP_M_S: f64 = 65.0;
/// Density on the ground, for the Reynolds number of the class blade.
const SEA_LEVEL: Density = Density::kilograms_per_cubic_metre(1.225);
/// Figure of merit where only a thrust figure is known. Mean of 13 measured small propellers 0.50, sd 0.09;
/// below 57 mm extrapolated to 0.44 ± 0.10.
const USUAL_MERIT: [(f64, f64, f64); 2] = [(0.057, 0.44, 0.23), (f64::INFINITY, 0.50, 0.18)];
/// Volts at which a motor's class no-load current is taken: one cell for every about 9 000 rpm/V says too
/// much, so the pack's own volts in hover, about half of nominal.
const NO_LOAD_SHARE_OF_PACK: f64 = 0.5;

/// Volts for the no-load class figure where the pack is unknown; nothing is computed then anyway.
const FALLBACK_PACK_V: f64 = 7.4;

/// What hover cannot tell about full command: 1 sd of the logarithms of thrust and power coefficient.
const FULL_SD: (f64, f64) = (0.05, 0.08);
/// The same below the smallest measured propeller. Craft of 75 and 85 mm are seen with a half to two thirds of
/// the full-command thrust predicted here, for reasons not proven (commutation against inductance, duct
/// losses); until a reading tells, the doubt is wide.
const SMALL_FULL_SD: (f64, f64) = (0.25, 0.15);
/// The smallest propeller in the measured set \[m\].
pub(crate) const SMALLEST_MEASURED_M: f64 = 0.057;

const STOPS: &str = "no thrust, hover, currents or flight time";

impl<'a> Assembler<'a> {
    pub(super) fn drive(&mut self) -> Option<DriveModel> {
        let frame = self.first(|part| part.frame.as_ref());
        let motor = self.first(|part| part.motor.as_ref());
        let blade = self.first(|part| part.propeller.as_ref());
        if frame.is_none() {
            self.lacks("a part with a `frame` table", None, STOPS);
        }
        if motor.is_none() {
            self.lacks("a part with a `motor` table", None, STOPS);
        }
        if blade.is_none() {
            self.lacks("a part with a `propeller` table", None, STOPS);
        }
        let (frame, motor, blade) = (frame?, motor?, blade?);
        let rotors = self.need(
            frame.2.rotors.map(|rotors| rotors.value),
            "the frame's number of rotors",
            frame.2.place,
        );
        let diameter_m = self.need(
            blade.2.diameter.as_ref().map(|it| it.value.0.in_metres()),
            "the propeller's diameter",
            blade.2.place,
        );
        let kv = self.need(motor.2.kv.as_ref(), "the motor's Kv", motor.2.place);
        let (rotors, diameter_m, kv) = (rotors?, diameter_m?, kv?);
        let small = diameter_m < SMALLEST_MEASURED_M;
        let rotor = self.rotor(blade.0, blade.1, blade.2)?;
        let kv = Naming::new(
            key(motor.0, motor.1, "kv"),
            "Kv of the motors",
            Group::Motor,
            "rpm/V",
        )
        .reading("spin a motor at a known speed and meter its volts")
        .stated(self.inputs, kv);
        let (winding, no_load, no_load_volts) = self.motor(motor.0, motor.1, motor.2);
        let (hover_efficiency, full_efficiency) = self.efficiency();
        Some(DriveModel {
            rotors,
            diameter_m,
            thrust_coefficient: rotor.thrust,
            goodness: rotor.goodness,
            reference_rad_s: rotor.reference_rad_s,
            thrust_exponent: rotor.thrust_exponent,
            power_exponent: rotor.power_exponent,
            installed_thrust: self.installed_thrust(),
            duct_factor: self.duct_factor(),
            kv,
            winding,
            no_load,
            no_load_volts,
            motor_mass: self.mass_of(motor.0),
            hover_rise: self.class(
                "motor.hover_rise",
                "warming of the windings in hover",
                Group::Motor,
                "K",
                flight::typical::winding_rise_hover(),
            ),
            full_rise: self.class(
                "motor.full_rise",
                "warming of the windings at full command",
                Group::FullCommand,
                "K",
                flight::typical::winding_rise_full(),
            ),
            hover_efficiency,
            full_efficiency,
            full_thrust: self.knob(
                "full.thrust",
                "thrust coefficient, full command against hover",
                if small { SMALL_FULL_SD.0 } else { FULL_SD.0 },
            ),
            full_power: self.knob(
                "full.power",
                "power coefficient, full command against hover",
                if small { SMALL_FULL_SD.1 } else { FULL_SD.1 },
            ),
            idle_offset: self.class(
                "command.idle",
                "idle offset of the motor command",
                Group::Flying,
                "%",
                flight::typical::idle_offset(),
            ),
            command_limit: definite(
                self.setting
                    .conditions
                    .and_then(|given| given.command_limit.as_ref()),
                1.0,
            )
            .min(1.0),
        })
    }

    fn need<T>(&mut self, value: Option<T>, what: &str, place: Place) -> Option<T> {
        if value.is_none() {
            self.lacks(what, Some(place), STOPS);
        }
        value
    }

    fn class<D: quantity::Dimension>(
        &mut self,
        key: &str,
        name: &str,
        group: Group,
        unit: &'static str,
        typical: flight::typical::Typical<D>,
    ) -> Term {
        Naming::new(key, name, group, unit).class(self.inputs, typical.quantity, typical.source)
    }

    /// What hover cannot tell about full command, as a logarithm.
    fn knob(&mut self, key: &str, name: &str, sd: f64) -> Term {
        let quantity = Quantity {
            value: Ratio::of_one(0.0),
            doubt: Doubt::Plain(sd),
            basis: Basis::Assumed,
        };
        Naming::new(key, name, Group::FullCommand, "")
            .reading("static thrust of the whole craft at full command, on a scale")
            .class(
                self.inputs,
                quantity,
                "what hover cannot tell about full command; proposed spread",
            )
    }

    fn rotor(&mut self, fitted: &'a Fitted, part: &'a Part, blade: &'a Propeller) -> Option<Rotor> {
        let diameter = blade.diameter.as_ref()?.value.0;
        let reference =
            RotationSpeed::radians_per_second(2.0 * LOOK_TIP_M_S / diameter.in_metres());
        let label = self.label(blade, reference);
        let exponents = label.map_or(
            (propeller::THRUST_EXPONENT, propeller::POWER_EXPONENT),
            |label| {
                (
                    label.thrust_exponent.value.in_ones(),
                    label.power_exponent.value.in_ones(),
                )
            },
        );
        let exponent = |this: &mut Self, key, name, middle, sd| {
            let quantity = Quantity {
                value: Ratio::of_one(middle),
                doubt: Doubt::Plain(sd),
                basis: Basis::Typical,
            };
            Naming::new(key, name, Group::Propeller, "").class(
                this.inputs,
                quantity,
                "trend over 13 measured small propellers",
            )
        };
        let thrust_exponent = exponent(
            self,
            "propeller.thrust_exponent",
            "growth of thrust coefficient with speed",
            exponents.0,
            0.06,
        );
        let power_exponent = exponent(
            self,
            "propeller.power_exponent",
            "growth of power coefficient with speed",
            exponents.1,
            0.11,
        );
        let stated = self.stated_thrust(fitted, part, blade);
        let thrust_naming = || {
            Naming::new(
                key(fitted, part, "thrust"),
                "thrust coefficient of the propellers",
                Group::Propeller,
                "",
            )
            .reading("static thrust on a scale at a known speed")
        };
        let merit_naming = || {
            Naming::new(
                key(fitted, part, "merit"),
                "figure of merit of the propellers",
                Group::Propeller,
                "",
            )
            .reading("hover for 30 s at a known mass and read volts and amperes")
        };
        let (thrust, reference) = match (stated, &label) {
            (Some((term, speed)), _) => (term, speed.unwrap_or(reference)),
            (None, Some(label)) => (
                thrust_naming().class(self.inputs, label.thrust_coefficient, label_source(label)),
                reference,
            ),
            (None, None) => {
                self.lacks(
                    "a pitch and a number of blades, or a thrust coefficient, of the propeller",
                    Some(blade.place),
                    STOPS,
                );
                return None;
            }
        };
        let goodness = match (&blade.power_coefficient, &label) {
            (Some(power), _) => Goodness::PowerCoefficient(
                Naming::new(
                    key(fitted, part, "power"),
                    "power coefficient of the propellers",
                    Group::Propeller,
                    "",
                )
                .reading("hover for 30 s at a known mass and read volts and amperes")
                .stated(self.inputs, power),
            ),
            (None, Some(label)) => self.merit_after_thrust(label, merit_naming()),
            (None, None) => {
                let (_, middle, s) = USUAL_MERIT
                    .iter()
                    .copied()
                    .find(|row| diameter.in_metres() < row.0)?;
                let quantity = Quantity {
                    value: Ratio::of_one(middle),
                    doubt: Doubt::Factor(s),
                    basis: Basis::Typical,
                };
                Goodness::FigureOfMerit(merit_naming().class(
                    self.inputs,
                    quantity,
                    "13 measured small propellers",
                ))
            }
        };
        Some(Rotor {
            thrust,
            goodness,
            reference_rad_s: reference.in_radians_per_second(),
            thrust_exponent,
            power_exponent,
        })
    }

    /// Figure of merit and thrust of one blade shape go together: the part that follows thrust is
    /// taken from the draw of thrust, the rest is an input of its own.
    fn merit_after_thrust(&mut self, label: &LabelPropeller, naming: Naming) -> Goodness {
        let (Doubt::Factor(merit_s), Doubt::Factor(thrust_s)) =
            (label.figure_of_merit.doubt, label.thrust_coefficient.doubt)
        else {
            return Goodness::FigureOfMerit(naming.class(
                self.inputs,
                label.figure_of_merit,
                label_source(label),
            ));
        };
        let own_s = merit_s * (1.0 - label.correlation * label.correlation).sqrt();
        let own = Quantity {
            doubt: Doubt::Factor(own_s),
            ..label.figure_of_merit
        };
        Goodness::FollowsThrust {
            merit: naming.class(self.inputs, own, label_source(label)),
            thrust_middle: label.thrust_coefficient.value.in_ones(),
            exponent: label.correlation * merit_s / thrust_s,
        }
    }

    fn label(&mut self, blade: &Propeller, reference: RotationSpeed) -> Option<LabelPropeller> {
        let (diameter, pitch, blades) = (
            blade.diameter.as_ref()?,
            blade.pitch.as_ref()?,
            blade.blades.as_ref()?,
        );
        match propeller::from_label(
            diameter.value.0,
            pitch.value.0,
            blades.value,
            reference,
            SEA_LEVEL,
        ) {
            Ok(label) => Some(label),
            Err(fault) => {
                self.lacks(
                    format!("a propeller the model knows ({fault})"),
                    Some(blade.place),
                    STOPS,
                );
                None
            }
        }
    }

    /// Thrust coefficient as written, or from thrust at a speed in sea-level air.
    fn stated_thrust(
        &mut self,
        fitted: &Fitted,
        part: &Part,
        blade: &Propeller,
    ) -> Option<(Term, Option<RotationSpeed>)> {
        let naming = Naming::new(
            key(fitted, part, "thrust"),
            "thrust coefficient of the propellers",
            Group::Propeller,
            "",
        )
        .reading("static thrust on a scale at a known speed");
        if let Some(coefficient) = &blade.thrust_coefficient {
            return Some((naming.stated(self.inputs, coefficient), None));
        }
        let thrust = blade.static_thrust.as_ref()?;
        let speed = blade.static_speed.as_ref()?.value.0;
        let turns = speed.in_rpm() / 60.0;
        let diameter_m = blade.diameter.as_ref()?.value.0.in_metres();
        let per_newton =
            1.0 / (SEA_LEVEL.in_kilograms_per_cubic_metre() * turns * turns * diameter_m.powi(4));
        let scaled = |newtons: f64| Ratio::of_one(newtons * per_newton);
        let doubt = match thrust.quantity.doubt {
            Doubt::Plain(sd) => Doubt::Plain(sd * per_newton),
            other => other,
        };
        let quantity = Quantity {
            value: scaled(thrust.quantity.value.in_newtons()),
            doubt,
            basis: thrust.quantity.basis,
        };
        let figure = craft::Stated::new(
            craft::sheet::Figure {
                written: scaled(thrust.written.in_newtons()),
                quantity,
            },
            thrust.place,
        );
        Some((naming.stated(self.inputs, &figure), Some(speed)))
    }

    fn motor(&mut self, fitted: &Fitted, part: &Part, motor: &Motor) -> (Class, Class, f64) {
        let winding = Naming::new(
            key(fitted, part, "winding"),
            "winding resistance of the motors",
            Group::Motor,
            "mΩ",
        )
        .reading("1 A through two leads and a millivolt meter");
        let winding = match &motor.resistance {
            Some(stated) => Class::Own(winding.stated(self.inputs, stated)),
            None => self.class_factor(fitted, part, motor, winding, |mass, kv| {
                let class = flight::typical::drive_resistance(mass, kv);
                (class.quantity.doubt, class.source)
            }),
        };
        let no_load = Naming::new(
            key(fitted, part, "no_load"),
            "no-load current of the motors",
            Group::Motor,
            "A",
        )
        .reading("current of one motor without propeller");
        let pack_v = self.pack_nominal_v().unwrap_or(FALLBACK_PACK_V);
        match &motor.no_load_current {
            Some(stated) => {
                let volts = definite(motor.no_load_volts.as_ref(), pack_v);
                (
                    winding,
                    Class::Own(no_load.stated(self.inputs, stated)),
                    volts,
                )
            }
            None => {
                let factor = self.class_factor(fitted, part, motor, no_load, |mass, kv| {
                    let class = flight::typical::no_load_current(mass, kv, Voltage::volts(pack_v));
                    (class.quantity.doubt, class.source)
                });
                (winding, factor, pack_v * NO_LOAD_SHARE_OF_PACK)
            }
        }
    }

    /// A factor of one with the class model's spread; the model itself runs draw by draw.
    fn class_factor(
        &mut self,
        fitted: &Fitted,
        part: &Part,
        motor: &Motor,
        naming: Naming,
        class: impl Fn(Mass, VelocityConstant) -> (Doubt, &'static str),
    ) -> Class {
        let mass = part
            .body
            .as_ref()
            .and_then(|body| body.mass.as_ref())
            .map(|mass| mass.quantity.value);
        let (Some(mass), Some(kv)) = (mass, &motor.kv) else {
            self.lacks(
                format!(
                    "the mass of {}, which its resistance is estimated from",
                    fitted.id.value
                ),
                Some(fitted.id.place),
                STOPS,
            );
            return Class::Typical(Term::Known(1.0));
        };
        let (doubt, source) = class(mass, kv.quantity.value);
        let quantity = Quantity {
            value: Ratio::of_one(1.0),
            doubt,
            basis: Basis::Typical,
        };
        Class::Typical(Naming { unit: "", ..naming }.class(self.inputs, quantity, source))
    }

    fn efficiency(&mut self) -> (Term, Term) {
        let hover = Naming::new(
            "esc.hover_efficiency",
            "driver efficiency in hover",
            Group::Motor,
            "%",
        );
        let full = flight::typical::esc_efficiency_full();
        let stated = self
            .first(|part| part.esc.as_ref())
            .and_then(|(_, _, esc)| esc.efficiency.as_ref());
        let hover = self.figure_or(hover, stated, || {
            let typical = flight::typical::esc_efficiency_hover();
            (typical.quantity, typical.source)
        });
        let full = Naming::new(
            "esc.full_efficiency",
            "driver efficiency at full command",
            Group::FullCommand,
            "%",
        )
        .class(self.inputs, full.quantity, full.source);
        (hover, full)
    }

    fn installed_thrust(&mut self) -> Term {
        let typical = flight::typical::installed_thrust();
        Naming::new(
            "frame.installed_thrust",
            "share of thrust left on the frame",
            Group::Propeller,
            "",
        )
        .reading("static thrust of the whole craft on a scale")
        .class(self.inputs, typical.quantity, typical.source)
    }

    fn duct_factor(&mut self) -> Term {
        let Some((_, _, frame)) = self.first(|part| part.frame.as_ref()) else {
            return Term::Known(1.0);
        };
        let surround = frame.surround.as_ref().map_or_else(
            || usual_surround(self.airframe.class.as_ref().map(|class| class.value)),
            |given| given.value,
        );
        if surround == Surround::Open && frame.duct_factor.is_none() {
            return Term::Known(1.0);
        }
        let naming = Naming::new(
            "frame.duct_factor",
            "thrust gained or lost by the ducts",
            Group::Propeller,
            "",
        )
        .reading("hover command at a known mass");
        self.figure_or(naming, frame.duct_factor.as_ref(), || {
            let typical = flight::typical::duct_factor();
            (typical.quantity, typical.source)
        })
    }
}

fn usual_surround(class: Option<AirframeClass>) -> Surround {
    match class {
        Some(AirframeClass::Ducted65 | AirframeClass::Ducted75 | AirframeClass::Ducted85) => {
            Surround::Guard
        }
        Some(AirframeClass::Ducted25) => Surround::Duct,
        _ => Surround::Open,
    }
}

fn label_source(label: &LabelPropeller) -> &'static str {
    match label.extrapolated {
        None => {
            "blade elements on the average of 13 measured blades, from the label's diameter, pitch and blades"
        }
        Some(_) => {
            "blade elements from the label, extrapolated: no open measurement below 57 mm or of this shape"
        }
    }
}

struct Rotor {
    thrust: Term,
    goodness: Goodness,
    reference_rad_s: f64,
    thrust_exponent: Term,
    power_exponent: Term,
}
