//! What a figure is worth when its writer gave no doubt: labels flatter, scales and meters do not.
//!
//! The spreads are common practice among builders, not a standard; each can be overruled by
//! writing a `±` in the file.

use quantity::{Basis, Doubt};

/// The usual error of one kind of figure, by what it rests on.
///
/// Every figure of one kind shares this, so that "label mass" means the same in all files.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Plain name for pages: "mass".
    pub name: &'static str,
    /// The truth as a share of the label, less one: +0.05 means labels run 5 % light.
    pub label_bias: f64,
    /// Spread of a label.
    pub label: Doubt,
    /// Spread of the owner's own reading.
    pub measured: Doubt,
    /// Spread of a class figure.
    pub typical: Doubt,
}

impl Worth {
    /// The doubt of a figure that rests on `basis`, and the factor that takes out its usual bias.
    pub fn of(&self, basis: Basis) -> (f64, Doubt) {
        match basis {
            Basis::Measured | Basis::Calibrated => (1.0, self.measured),
            Basis::Label => (1.0 + self.label_bias, self.label),
            Basis::Typical => (1.0, self.typical),
            // Nobody knows: twice the class spread.
            Basis::Assumed => (1.0, widened(self.typical)),
        }
    }
}

fn widened(doubt: Doubt) -> Doubt {
    match doubt {
        Doubt::Exact => Doubt::Exact,
        Doubt::Plain(sd) => Doubt::Plain(2.0 * sd),
        Doubt::Factor(s) => Doubt::Factor(2.0 * s),
        Doubt::Shortfall(s) => Doubt::Shortfall(2.0 * s),
    }
}

const fn unbiased(name: &'static str, label: f64, measured: f64, typical: f64) -> Worth {
    Worth {
        name,
        label_bias: 0.0,
        label: Doubt::Factor(label),
        measured: Doubt::Factor(measured),
        typical: Doubt::Factor(typical),
    }
}

/// A mass: labels leave out wires, plugs and screws (+5 ± 5 %); a 0.1 g kitchen scale is good to
/// ± 0.15 g (SI: kilogram); a class figure to ± 10 %. Common practice.
pub const MASS: Worth = Worth {
    name: "mass",
    label_bias: 0.05,
    label: Doubt::Factor(0.05),
    measured: Doubt::Plain(0.15e-3),
    typical: Doubt::Factor(0.10),
};
/// A whole craft on the scale: ± 0.3 g (two readings of a 0.1 g kitchen scale; SI: kilogram). Common practice.
pub const SCALE: Worth = Worth {
    name: "all-up mass on the scale",
    label_bias: 0.0,
    label: Doubt::Plain(0.3e-3),
    measured: Doubt::Plain(0.3e-3),
    typical: Doubt::Factor(0.10),
};
/// A battery's capacity: labels −6 ± 4 %; by charge put back ± 3 %. Common practice.
pub const CAPACITY: Worth = Worth {
    name: "capacity",
    label_bias: -0.06,
    label: Doubt::Factor(0.04),
    measured: Doubt::Factor(0.03),
    typical: Doubt::Factor(0.06),
};
/// A motor's Kv: label ± 5 %; by spinning at a known speed ± 3 %. Common practice.
pub const KV: Worth = unbiased("Kv", 0.05, 0.03, 0.08);
/// A small resistance: sheets are optimistic by a method nobody states (± 30 %); two loads and a
/// meter give ± 10 %. Common practice.
pub const RESISTANCE: Worth = unbiased("resistance", 0.30, 0.10, 0.30);
/// A motor winding with 1 A through it and a millivolt meter: ± 3 %; sheets ± 15 %. Common practice.
pub const WINDING: Worth = unbiased("winding resistance", 0.15, 0.03, 0.30);
/// A motor's no-load current: sheets ± 20 %, meter ± 5 %. From memory.
pub const NO_LOAD: Worth = unbiased("no-load current", 0.20, 0.05, 0.40);
/// What a device draws: label or class ± 20 %; at a bench supply ± 3 %. Common practice.
pub const WATTS: Worth = unbiased("power drawn", 0.20, 0.03, 0.20);
/// A propeller's thrust coefficient: static test stands ± 5 %; class ± 12 %. Common practice.
pub const THRUST: Worth = unbiased("thrust coefficient", 0.10, 0.05, 0.12);
/// A propeller's power coefficient: test stands ± 7 %; class ± 15 %. Common practice.
pub const SHAFT_POWER: Worth = unbiased("power coefficient", 0.15, 0.07, 0.15);
/// An efficiency: the share that is lost is known to a factor of 1.3 from a sheet, 1.5 from the class. From memory.
pub const EFFICIENCY: Worth = Worth {
    name: "efficiency",
    label_bias: 0.0,
    label: Doubt::Shortfall(0.26),
    measured: Doubt::Shortfall(0.10),
    typical: Doubt::Shortfall(0.40),
};
/// The volts at which a device gives up: true limits lie up to 0.4 V above the label's minimum
/// (common practice); a supply swept down by hand finds them to 0.05 V.
pub const LOCK_OUT: Worth = Worth {
    name: "lock-out volts",
    label_bias: 0.0,
    label: Doubt::Plain(0.15),
    measured: Doubt::Plain(0.05),
    typical: Doubt::Plain(0.20),
};
/// A length cut or routed by hand: ± 10 %; with a tape ± 1 mm (SI: metre). Common practice.
pub const LENGTH: Worth = Worth {
    name: "length",
    label_bias: 0.0,
    label: Doubt::Factor(0.10),
    measured: Doubt::Plain(1e-3),
    typical: Doubt::Factor(0.20),
};
/// A temperature outdoors or of a pack: a thermometer ± 2 K, a forecast or a guess ± 4 K. Common practice.
pub const TEMPERATURE: Worth = Worth {
    name: "temperature",
    label_bias: 0.0,
    label: Doubt::Plain(4.0),
    measured: Doubt::Plain(2.0),
    typical: Doubt::Plain(4.0),
};
/// A factor on thrust for equal power from a duct or guard. From memory: published evidence for small ducts is thin.
pub const DUCT: Worth = unbiased("duct factor", 0.08, 0.04, 0.08);

/// A distance between rigid parts by calliper: ± 0.2 mm; off a drawing ± 0.3 mm; of a class ± 10 %. Common practice.
pub const CALLIPER: Worth = Worth {
    name: "length by calliper",
    label_bias: 0.0,
    label: Doubt::Plain(0.3e-3),
    measured: Doubt::Plain(0.2e-3),
    typical: Doubt::Factor(0.10),
};
/// Where a part sits on the frame: ± 1 mm held against a rule, and as much off a drawing. Common practice.
pub const PLACE: Worth = Worth {
    name: "place on the frame",
    label_bias: 0.0,
    label: Doubt::Plain(1e-3),
    measured: Doubt::Plain(1e-3),
    typical: Doubt::Plain(3e-3),
};
/// How a part is turned: ± 2° by eye. Common practice.
pub const TURN: Worth = Worth {
    name: "turn of a part",
    label_bias: 0.0,
    label: Doubt::Plain(0.035),
    measured: Doubt::Plain(0.035),
    typical: Doubt::Plain(0.09),
};
/// Delay of sampling, calculation and the link to the drivers: ± 30 %; from a step in a record ± 10 %. From memory.
pub const DELAY: Worth = unbiased("delay of the loop", 0.30, 0.10, 0.35);

/// All kinds, for the book's page.
pub const ALL: &[&Worth] = &[
    &MASS,
    &SCALE,
    &CAPACITY,
    &KV,
    &RESISTANCE,
    &WINDING,
    &NO_LOAD,
    &WATTS,
    &THRUST,
    &SHAFT_POWER,
    &EFFICIENCY,
    &LOCK_OUT,
    &LENGTH,
    &TEMPERATURE,
    &DUCT,
    &CALLIPER,
    &PLACE,
    &TURN,
    &DELAY,
];

/// Power of a small transmitter: labels ± 2 dB; a power meter ± 1 dB. Common practice.
pub const RADIO_POWER: Worth = unbiased("transmitter power", 0.46, 0.23, 0.46);
/// Gain of an antenna: labels and classes ± 1.5 dB; a range of one's own ± 1 dB. Common practice.
pub const GAIN: Worth = decibels("antenna gain", 1.5, 1.0, 1.5);
/// What a receiver needs, and what it adds: sheets ± 3 dB in all, measured ± 1.5 dB. Common practice.
pub const LISTENING: Worth = decibels("receiver", 2.0, 1.0, 2.0);
/// What a cable takes: by its length and class ± 0.5 dB. From memory.
pub const CABLE_LOSS: Worth = decibels("cable loss", 0.5, 0.2, 0.5);

const fn decibels(name: &'static str, label: f64, measured: f64, typical: f64) -> Worth {
    Worth {
        name,
        label_bias: 0.0,
        label: Doubt::Plain(label),
        measured: Doubt::Plain(measured),
        typical: Doubt::Plain(typical),
    }
}
