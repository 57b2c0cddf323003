//! Gains, filters and delay of the rate loop.

use super::Assembler;
use crate::input::{Group, Naming};
use crate::model::LoopModel;
use craft::AirframeClass;
use craft::part::Named;
use craft::space::{AxisGains, FilterKind, FilterPath, LoopFilter};
use flight::handling::filter::Filter;
use flight::handling::rate_loop::Gains;
use quantity::{Basis, Doubt, Quantity, Time};

/// Sampling, calculation and the link to the drivers. From memory of small craft.
const DELAY: Quantity<Time> = Quantity {
    value: Time::seconds(1.0e-3),
    doubt: Doubt::Factor(0.35),
    basis: Basis::Typical,
};

/// Where the gain of a tuned craft passes one \[Hz\]: the middle of 15 to 40 below 40 g, of 12 to 40 up to 200 g, of 8 to 25 above. From memory.
fn usual_crossover_hz(class: Option<AirframeClass>) -> f64 {
    match class {
        Some(AirframeClass::Ducted65 | AirframeClass::Ducted75) => 25.0,
        Some(AirframeClass::Open35 | AirframeClass::Open5) => 15.0,
        _ => 22.0,
    }
}

impl Assembler<'_> {
    pub(super) fn rate_loop(&mut self) -> LoopModel {
        let tune = &self.airframe.tune;
        let written = tune.rate_loop.as_ref();
        let naming = Naming::new("loop.delay", "delay of the rate loop", Group::Loop, "ms")
            .reading("a step of the sticks in a record");
        let delay = self.figure_or(naming, written.and_then(|it| it.delay.as_ref()), || {
            (DELAY, "usual for small craft, from memory")
        });
        let said = written.and_then(|it| it.crossover);
        let class = self.airframe.class.map(|class| class.value);
        let on = |path: FilterPath| {
            let here = move |filter: &&Named<LoopFilter>| {
                filter.facet.path.map_or(FilterPath::Gyro, |it| it.value) == path
            };
            tune.filters
                .iter()
                .filter(here)
                .filter_map(filter)
                .collect()
        };
        LoopModel {
            delay,
            gains: ["roll", "pitch", "yaw"].map(|axis| gains(&tune.gains, axis)),
            gyro: on(FilterPath::Gyro),
            derivative: on(FilterPath::Derivative),
            crossover_hz: said.map_or(usual_crossover_hz(class), |it| it.value.0.in_hertz()),
            crossover_said: said.is_some(),
            is_linear: written
                .and_then(|it| it.thrust_linear)
                .is_some_and(|it| it.value),
        }
    }
}

fn gains(written: &[Named<AxisGains>], axis: &str) -> Option<Gains> {
    let facet = &written.iter().find(|gains| gains.name.value == axis)?.facet;
    Some(Gains {
        p: facet.p?.value.0.in_ones(),
        i: facet.i.map_or(0.0, |i| i.value.0.in_ones()),
        d: facet.d.map_or(0.0, |d| d.value.0.in_ones()),
    })
}

fn filter(written: &Named<LoopFilter>) -> Option<Filter> {
    let facet = &written.facet;
    let hertz = facet.frequency?.value.0.in_hertz();
    let filter = match facet.kind?.value {
        FilterKind::FirstOrder => Filter::FirstOrder { cutoff_hz: hertz },
        FilterKind::SecondOrder => Filter::Butterworth2 { cutoff_hz: hertz },
        FilterKind::Notch => Filter::Notch {
            centre_hz: hertz,
            q: facet.q?.value.0.in_ones(),
        },
    };
    filter.meaningful().then_some(filter)
}
