//! From an airframe to a model: facets become terms, and what nobody wrote gets its class figure.
//!
//! This is the only place that knows both the parts list and the physics.

mod air;
mod battery;
mod drive;
mod electrics;
mod mass;
mod rate_loop;
mod space;

use crate::input::{Group, Inputs, Naming, Term};
use crate::model::{Missing, Model, SituationModel};
use crate::wires::WireChange;
use ::space::Layout;
pub(crate) use battery::plug_class;
use craft::airframe::Fitted;
use craft::need::{Conditions, Style};
use craft::sheet::{Definite, Figure};
use craft::{Airframe, AirframeClass, Part, Stated};
pub(crate) use drive::SMALLEST_MEASURED_M;
use quantity::{Basis, Dimension, Doubt, Quantity, Ratio, Temperature};

/// Charge left at landing where nobody says: plan with 80 % of the pack. Common practice.
pub const USUAL_RESERVE: f64 = 0.20;
/// Loaded volts for each cell at which people land where nobody says. Common practice.
pub const USUAL_LANDING_V: f64 = 3.5;
/// Gain error shared by every voltage the craft reports, 1 sd.
const VOLTAGE_GAIN_SD: f64 = 0.01;
/// Gain error of a current sensor nobody scaled against a charger, 1 sd: 20 to 30 % is seen. Common practice.
const CURRENT_GAIN_SD: f64 = 0.25;
/// How far off the planned reserve people land, in charge. From memory.
const LANDING_ERROR_SD: f64 = 0.03;
/// What a refit does to thrust without anybody seeing it: new wires and canopy in the flow, 1 sd of the logarithm.
const REFIT_THRUST_SD: f64 = 0.02;
/// The same for shaft power.
const REFIT_POWER_SD: f64 = 0.03;

/// What the model is made for.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// Air and pack.
    pub conditions: Option<&'a Conditions>,
    /// How it is flown.
    pub style: Style,
    /// The state before, when this is the state after a refit.
    pub before: Option<&'a Airframe>,
    /// The wire that the refit puts on and takes off.
    pub wires: WireChange,
}

/// Builds the model of one state, declaring its inputs.
pub fn assemble(
    airframe: &Airframe,
    layout: &Layout,
    setting: Setting<'_>,
    inputs: &mut Inputs,
) -> Model {
    let mut assembler = Assembler {
        airframe,
        setting,
        inputs,
        missing: Vec::new(),
    };
    let situation = assembler.situation();
    let mass = assembler.mass();
    let drive = assembler.drive();
    let battery = assembler.battery();
    let electrics = assembler.electrics();
    let space = assembler.space(layout);
    let rate_loop = assembler.rate_loop();
    let (links, link_lacks) = assembler.links(layout);
    Model {
        mass,
        drive,
        battery,
        electrics,
        situation,
        space,
        rate_loop,
        links,
        link_lacks,
        missing: assembler.missing,
    }
}

/// The style a craft of this class is usually flown in.
pub fn usual_style(class: Option<AirframeClass>) -> Style {
    match class {
        Some(AirframeClass::Ducted65 | AirframeClass::Ducted75 | AirframeClass::Ducted85) => {
            Style::Indoor
        }
        Some(AirframeClass::Ducted25) => Style::Filming,
        _ => Style::Freestyle,
    }
}

struct Assembler<'a> {
    airframe: &'a Airframe,
    setting: Setting<'a>,
    inputs: &'a mut Inputs,
    missing: Vec<Missing>,
}

impl<'a> Assembler<'a> {
    fn lacks(&mut self, what: impl Into<String>, place: Option<craft::Place>, stops: &'static str) {
        let missing = Missing {
            what: what.into(),
            place,
            stops,
        };
        if !self.missing.contains(&missing) {
            self.missing.push(missing);
        }
    }

    /// The first part with a facet, and the facet.
    fn first<T>(
        &self,
        facet: impl Fn(&'a Part) -> Option<&'a T>,
    ) -> Option<(&'a Fitted, &'a Part, &'a T)> {
        self.airframe
            .found()
            .find_map(|(_, fitted, part)| Some((fitted, part, facet(part)?)))
    }

    /// A figure the builder wrote, or the class figure.
    fn figure_or<D: Dimension>(
        &mut self,
        naming: Naming,
        figure: Option<&Stated<Figure<D>>>,
        class: impl FnOnce() -> (Quantity<D>, &'static str),
    ) -> Term {
        match figure {
            Some(figure) => naming.stated(self.inputs, figure),
            None => {
                let (quantity, source) = class();
                naming.class(self.inputs, quantity, source)
            }
        }
    }

    fn situation(&mut self) -> SituationModel {
        let conditions = self.setting.conditions;
        let changed = self
            .setting
            .before
            .is_some_and(|before| before.parts != self.airframe.parts);
        SituationModel {
            altitude_m: definite(conditions.and_then(|given| given.altitude.as_ref()), 0.0),
            air: self.temperature(
                "air",
                "air temperature",
                Group::Air,
                |given| given.air_temperature.as_ref(),
                20.0,
            ),
            pack: self.temperature(
                "pack",
                "pack temperature in flight",
                Group::BatteryPath,
                |given| given.pack_temperature.as_ref(),
                25.0,
            ),
            cold_pack: self.temperature(
                "cold_pack",
                "pack temperature on a cold day",
                Group::BatteryPath,
                |given| given.cold_pack_temperature.as_ref(),
                5.0,
            ),
            reserve: definite(
                conditions.and_then(|given| given.landing_reserve.as_ref()),
                USUAL_RESERVE,
            ),
            landing_error: self.nuisance(
                "landing.error",
                "charge at landing against plan",
                Group::Charge,
                0.0,
                LANDING_ERROR_SD,
            ),
            landing_v: definite(
                conditions.and_then(|given| given.landing_volts.as_ref()),
                USUAL_LANDING_V,
            ),
            voltage_gain: self.nuisance(
                "sensor.voltage_gain",
                "gain of the voltage sensor",
                Group::Sensors,
                1.0,
                VOLTAGE_GAIN_SD,
            ),
            current_gain: self.nuisance(
                "sensor.current_gain",
                "gain of the current sensor",
                Group::Sensors,
                1.0,
                CURRENT_GAIN_SD,
            ),
            activity: self.activity(),
            thrust_change: self.refit_change(
                changed,
                "refit.thrust",
                "thrust changed unseen by the refit",
                REFIT_THRUST_SD,
            ),
            power_change: self.refit_change(
                changed,
                "refit.power",
                "shaft power changed unseen by the refit",
                REFIT_POWER_SD,
            ),
        }
    }

    fn temperature(
        &mut self,
        key: &str,
        name: &str,
        group: Group,
        pick: impl Fn(&'a Conditions) -> Option<&'a Stated<Figure<Temperature>>>,
        usual_c: f64,
    ) -> Term {
        let naming = Naming::new(format!("conditions.{key}"), name, group, "°C")
            .reading("a thermometer in the shade, or on the pack under tape");
        let figure = self.setting.conditions.and_then(pick);
        self.figure_or(naming, figure, || {
            let quantity = Quantity {
                value: Temperature::celsius(usual_c),
                doubt: Doubt::Plain(4.0),
                basis: Basis::Assumed,
            };
            (quantity, "no conditions given: an ordinary day, taken wide")
        })
    }

    fn nuisance(&mut self, key: &str, name: &str, group: Group, middle: f64, sd: f64) -> Term {
        let quantity = Quantity {
            value: Ratio::of_one(middle),
            doubt: Doubt::Plain(sd),
            basis: Basis::Typical,
        };
        Naming::new(key, name, group, "").class(
            self.inputs,
            quantity,
            "usual for small craft, from memory",
        )
    }

    fn activity(&mut self) -> Term {
        let activity = flight::typical::activity(activity_style(self.setting.style));
        Naming::new(
            "flying.activity",
            "power of active flying over hover",
            Group::Flying,
            "",
        )
        .reading("time one pack of ordinary flying and one of pure hover")
        .class(self.inputs, activity.quantity, activity.source)
    }

    fn refit_change(&mut self, changed: bool, key: &str, name: &str, sd: f64) -> Term {
        if changed {
            self.nuisance(key, name, Group::Refit, 0.0, sd)
        } else {
            Term::Known(0.0)
        }
    }
}

fn activity_style(style: Style) -> flight::typical::FlyingStyle {
    use flight::typical::FlyingStyle as Flown;
    match style {
        Style::Indoor => Flown::Indoor,
        Style::Cruise | Style::Filming => Flown::Cruise,
        Style::Freestyle => Flown::Freestyle,
        Style::Race => Flown::Race,
    }
}

/// A setting in SI, or the usual one.
fn definite<D: Dimension>(stated: Option<&Stated<Definite<D>>>, usual: f64) -> f64 {
    stated.map_or(usual, |stated| stated.value.0.si())
}

/// A key that is the same in every state in which the same sheet has the same name on the craft.
fn key(fitted: &Fitted, part: &Part, field: &str) -> String {
    format!("{}/{}.{field}", fitted.id.value, part.name)
}
