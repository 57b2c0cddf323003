//! Rails and loads hanging on the bus: volts down the tree, power back up.

use crate::input::Draw;
use crate::model::{ElectricsModel, Lead, LoadModel, Parent, RailModel};
use power::regulator::{Regulator, RegulatorPoint};
use quantity::{Current, Length, Power, Temperature, Voltage, WireGauge};

/// Copper temperature of thin feed wires: warm, not hot.
const FEED_COPPER: Temperature = Temperature::celsius(40.0);
/// Sweeps of the tree; feed wires change the volts by a percent, so two more bring the rest below
/// a ten-thousandth.
const SWEEPS: usize = 3;

/// Change of power from one sweep to the next that is none \[W\].
const SETTLED_W: f64 = 1e-6;

/// Which power the loads draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Demand {
    /// As in flight.
    Usual,
    /// Everything at its highest at once.
    Peak,
}

/// The tree settled at one bus voltage.
#[derive(Debug, Clone, Default)]
pub struct Settled {
    /// Volts out of each rail.
    pub rail_v: Vec<f64>,
    /// Current out of each rail \[A\].
    pub rail_a: Vec<f64>,
    /// Volts at each load.
    pub load_v: Vec<f64>,
    /// Power taken from the bus \[W\].
    pub bus_w: f64,
    input_v: Vec<f64>,
    rail_w: Vec<f64>,
    taken_w: Vec<f64>,
}

impl Settled {
    /// Settles the tree at `bus_v`. Buffers are kept from call to call.
    pub fn settle(&mut self, model: &ElectricsModel, draw: Draw<'_>, bus_v: f64, demand: Demand) {
        self.reset(model, bus_v);
        for _ in 0..SWEEPS {
            let before_w = self.bus_w;
            self.volts_down(model, draw, bus_v, demand);
            self.power_up(model, draw, demand);
            if (self.bus_w - before_w).abs() <= SETTLED_W {
                break;
            }
        }
        self.volts_down(model, draw, bus_v, demand);
    }

    fn reset(&mut self, model: &ElectricsModel, bus_v: f64) {
        let (rails, loads) = (model.rails.len(), model.loads.len());
        for (buffer, length) in [
            (&mut self.rail_v, rails),
            (&mut self.rail_a, rails),
            (&mut self.rail_w, rails),
            (&mut self.taken_w, rails),
            (&mut self.input_v, rails),
            (&mut self.load_v, loads),
        ] {
            buffer.clear();
            buffer.resize(length, 0.0);
        }
        self.load_v.fill(bus_v);
        self.bus_w = 0.0;
    }

    fn volts_down(&mut self, model: &ElectricsModel, draw: Draw<'_>, bus_v: f64, demand: Demand) {
        for (at, rail) in model.rails.iter().enumerate() {
            let source_v = self.parent_v(rail.parent, bus_v);
            self.input_v[at] = source_v - wire_drop(rail.wire, draw, self.taken_w[at], source_v);
            let point = feed(rail, draw, self.input_v[at], self.rail_w[at]);
            self.rail_v[at] = point.output.in_volts();
            self.rail_a[at] = point.output_current.in_amperes();
            self.taken_w[at] = point.input_power.in_watts();
        }
        for (at, load) in model.loads.iter().enumerate() {
            let source_v = load
                .parent
                .map_or(bus_v, |parent| self.parent_v(parent, bus_v));
            self.load_v[at] =
                source_v - wire_drop(load.wire, draw, watts(load, draw, demand), source_v);
        }
    }

    fn power_up(&mut self, model: &ElectricsModel, draw: Draw<'_>, demand: Demand) {
        self.rail_w.fill(0.0);
        self.bus_w = 0.0;
        for (load, &load_v) in model.loads.iter().zip(&self.load_v) {
            let drawn_w = if load_v > 0.0 {
                watts(load, draw, demand) * load.count
            } else {
                0.0
            };
            match load.parent {
                Some(Parent::Rail(rail)) => self.rail_w[rail] += drawn_w,
                _ => self.bus_w += drawn_w,
            }
        }
        // Children stand after their parents, so going backwards every rail is complete when met.
        for (at, rail) in model.rails.iter().enumerate().rev() {
            let taken_w = feed(rail, draw, self.input_v[at], self.rail_w[at])
                .input_power
                .in_watts();
            self.taken_w[at] = taken_w;
            match rail.parent {
                Parent::Rail(parent) => self.rail_w[parent] += taken_w,
                Parent::Bus => self.bus_w += taken_w,
            }
        }
    }

    fn parent_v(&self, parent: Parent, bus_v: f64) -> f64 {
        match parent {
            Parent::Bus => bus_v,
            Parent::Rail(rail) => self.rail_v[rail],
        }
    }
}

fn watts(load: &LoadModel, draw: Draw<'_>, demand: Demand) -> f64 {
    draw.of(match demand {
        Demand::Usual => load.power,
        Demand::Peak => load.peak,
    })
}

fn feed(rail: &RailModel, draw: Draw<'_>, input_v: f64, load_w: f64) -> RegulatorPoint {
    let regulator = Regulator {
        kind: rail.kind,
        output: Voltage::volts(rail.output_v),
        drop_out: Voltage::volts(draw.of(rail.drop_out)),
        minimum_input: Voltage::volts(rail.minimum_input_v),
        continuous_limit: Current::amperes(rail.continuous_a.unwrap_or(f64::INFINITY)),
        peak_limit: Current::amperes(rail.peak_a.unwrap_or(f64::INFINITY)),
        efficiency: draw.of(rail.efficiency),
    };
    regulator.feed(Voltage::volts(input_v), Power::watts(load_w))
}

/// Volts lost on a feed's two wires at the current that `drawn_w` makes at `source_v`.
fn wire_drop(wire: Option<Lead>, draw: Draw<'_>, drawn_w: f64, source_v: f64) -> f64 {
    let Some(lead) = wire.filter(|_| source_v > 0.0) else {
        return 0.0;
    };
    (drawn_w / source_v) * lead_ohm(lead, draw, FEED_COPPER)
}

/// Resistance of a lead, both wires \[Ω\].
pub fn lead_ohm(lead: Lead, draw: Draw<'_>, copper: Temperature) -> f64 {
    let wire = power::lead::Wire {
        gauge: WireGauge::awg(lead.awg),
        length: Length::metres(draw.of(lead.length)),
        lay: power::lead::STRANDED,
    };
    wire.resistance(copper).in_ohms()
}
