//! Every wire of a craft, from pad to pad, and what is wrong with them.
//!
//! Power follows the craft's feeds, signals follow the allotment, and each ground pad of a device
//! gets a wire of its own. A wire that the builder writes stands in place of the planned one.

mod build;
mod grounds;
mod power;
mod roles;
mod signal_wires;
mod written;

use crate::aerial::Aerials;
use crate::signals::{Signals, USUAL_LEVEL_V};
use crate::terminal::{Terminal, TerminalId, Terminals};
use build::Builder;
use craft::airframe::{Airframe, Colour};
use craft::pads::{PadRole, SignalKind};
use craft::{Part, Place, Stated};
use quantity::{Length, WireGauge};

/// What a wire is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Carries {
    /// Plus of an input or of a converter: the part and its socket.
    Plus(usize, String),
    /// Minus.
    Ground,
    /// A signal, by its position among the needs.
    Signal(usize),
    /// Something only the builder knows.
    Other,
}

/// A figure of a wire, and whether the builder wrote it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Picked<T> {
    /// The figure.
    pub value: T,
    /// Written in the files; otherwise chosen here.
    pub said: bool,
}

/// One wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// From a device to what serves it.
    pub ends: [TerminalId; 2],
    /// What it is for.
    pub carries: Carries,
    /// Its size.
    pub gauge: Picked<WireGauge>,
    /// Its length as cut: routed length, a tenth more, and a loop.
    pub length: Picked<Length>,
    /// Colour of its insulation.
    pub colour: Picked<Colour>,
    /// Wires with the same number are twisted together.
    pub twist: Option<usize>,
    /// The current it was sized for \[A\]; zero for signals.
    pub sized_for_a: f64,
    /// Where it is written.
    pub place: Option<Place>,
}

/// Something wrong with the wiring as planned or as written.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// A sheet that shows pads shows no ground, and the part takes power or a signal.
    NoGround {
        /// The part.
        part: usize,
        /// Where.
        places: Vec<Place>,
    },
    /// A sheet that shows pads shows none for this.
    NoPad {
        /// The part.
        part: usize,
        /// For what: "plus of main", "TX of data".
        what: String,
        /// Where it is asked for.
        place: Option<Place>,
    },
    /// A written wire joins two pads that both send or both listen.
    Swapped {
        /// Its ends.
        ends: [TerminalId; 2],
        /// Where it is written.
        place: Place,
    },
    /// A written wire joins pads that have nothing to say to one another.
    WrongPads {
        /// Its ends.
        ends: [TerminalId; 2],
        /// Where it is written.
        place: Place,
    },
    /// Wires join two supplies.
    SuppliesJoined {
        /// A pad of each.
        pads: [TerminalId; 2],
        /// The wires written by the builder that do it.
        places: Vec<Place>,
    },
    /// Wires join a supply to ground.
    SupplyToGround {
        /// A pad of each.
        pads: [TerminalId; 2],
        /// The wires written by the builder that do it.
        places: Vec<Place>,
    },
    /// An input has a source on its own board and another one through a wire.
    FedTwice {
        /// The part.
        part: usize,
        /// Its input.
        socket: String,
        /// What feeds it on the board.
        on_board: String,
        /// What feeds it through a wire.
        by_wire: String,
        /// Where both are written.
        places: Vec<Place>,
    },
    /// A part's ground does not come back to the pack.
    Adrift {
        /// The part.
        part: usize,
        /// Where it and its wires are written.
        places: Vec<Place>,
    },
    /// Wires join two serial pads that both send.
    TwoSenders {
        /// The two pads.
        pads: [TerminalId; 2],
        /// The wires written by the builder that do it.
        places: Vec<Place>,
    },
    /// A written wire takes an input's power from another source than its feed says.
    OtherFeed {
        /// The part.
        part: usize,
        /// Its input.
        socket: String,
        /// The ends of the wire.
        ends: [TerminalId; 2],
        /// What the feed says.
        said: String,
        /// Where both are written.
        places: Vec<Place>,
    },
    /// A part with rails that no wire feeds, and nothing says from where.
    UnfedRail {
        /// The part.
        part: usize,
        /// Its rail.
        rail: String,
        /// Where the part is named.
        place: Place,
    },
    /// A pad that sends more volts than the other takes.
    TooManyVolts {
        /// The sender and the listener.
        pads: [TerminalId; 2],
        /// What is sent \[V\].
        sends_v: f64,
        /// What is taken \[V\]; none where nobody says.
        takes_v: Option<f64>,
        /// Where both are described.
        places: Vec<Place>,
    },
}

/// The wiring of a craft in one state.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Plan {
    /// Everything a wire can end at.
    pub terminals: Terminals,
    /// Signals, ports and who goes where.
    pub signals: Signals,
    /// Every wire.
    pub wires: Vec<Wire>,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// The part that the battery's wires are soldered to.
    pub entry: Option<usize>,
    /// The battery.
    pub battery: Option<usize>,
    /// Radios and the antennas on them.
    pub aerials: Aerials,
}

impl Plan {
    /// The wiring of an airframe; ports that signals have `today` are kept where they can be.
    pub fn of(airframe: &Airframe, today: Option<&Self>) -> Self {
        let terminals = Terminals::of(airframe);
        let signals = Signals::of(airframe, &terminals, today.map(|plan| &plan.signals));
        let plan = Self {
            terminals,
            signals,
            entry: entry(airframe),
            battery: first(airframe, |part| part.cells.is_some()),
            aerials: Aerials::of(airframe),
            ..Self::default()
        };
        let mut builder = Builder::new(airframe, plan, today);
        builder.written_wires();
        builder.battery_lead();
        builder.feeds();
        builder.signal_wires();
        builder.grounds();
        builder.unfed_rails();
        let mut plan = builder.plan;
        plan.check_volts(airframe);
        plan.faults.extend(crate::net::faults(&plan, airframe));
        plan.faults.extend(crate::net::senders(&plan, airframe));
        plan.faults.extend(crate::net::adrift(&plan, airframe));
        plan
    }

    /// The wires that end at a terminal.
    pub fn wires_at(&self, id: TerminalId) -> impl Iterator<Item = &Wire> {
        self.wires
            .iter()
            .filter(move |wire| wire.ends.contains(&id))
    }

    /// Both ends of a serial or other signal: more volts than are taken.
    fn check_volts(&mut self, airframe: &Airframe) {
        for at in 0..self.signals.needs.len() {
            let Some(port) = self.signals.port_of(at) else {
                continue;
            };
            let need = &self.signals.needs[at];
            let port = &self.signals.ports[port];
            let sheet = |part: usize| airframe.parts[part].part.as_deref();
            let (Some(device), Some(board)) = (sheet(need.part), sheet(port.part)) else {
                continue;
            };
            let signal = &device.signals[need.signal].facet;
            let socket = &board.ports[port.port].facet;
            let volts = |given: &Option<Stated<craft::sheet::Definite<quantity::Voltage>>>| {
                given.map(|volts| volts.value.0.in_volts())
            };
            let wires: Vec<_> = self
                .wires
                .iter()
                .filter(|wire| wire.carries == Carries::Signal(at))
                .map(|wire| wire.ends)
                .collect();
            for [here, there] in wires {
                let (sends, takes, pads) = if is_sender(self.terminals.get(here)) {
                    (
                        volts(&signal.level),
                        volts(&socket.tolerates),
                        [here, there],
                    )
                } else {
                    (
                        volts(&socket.level),
                        volts(&signal.tolerates),
                        [there, here],
                    )
                };
                let sends_v = sends.unwrap_or(USUAL_LEVEL_V);
                let fits = takes.map_or(sends_v <= USUAL_LEVEL_V + SAME_LEVEL_V, |takes| {
                    sends_v <= takes + SAME_LEVEL_V
                });
                // Other kinds than serial have levels of their own.
                if !fits && need.kind == SignalKind::Serial {
                    self.faults.push(Fault::TooManyVolts {
                        pads,
                        sends_v,
                        takes_v: takes,
                        places: vec![need.place, port.place],
                    });
                }
            }
        }
    }
}

/// The part that the battery's wires go to: one with pads for the pack, best of all the one that carries
/// its current.
fn entry(airframe: &Airframe) -> Option<usize> {
    let has_pack_pad = |part: &Part| {
        part.pads.iter().any(|pad| {
            let facet = &pad.facet;
            facet.role.is_some_and(|role| role.value == PadRole::Power)
                && facet.of.as_ref().is_some_and(|of| of.value == "pack")
        })
    };
    let carries = |part: &Part| part.lead.is_some() || part.board.is_some();
    first(airframe, |part| has_pack_pad(part) && carries(part))
        .or_else(|| first(airframe, has_pack_pad))
        .or_else(|| first(airframe, |part| part.board.is_some()))
        .or_else(|| first(airframe, |part| part.lead.is_some() && part.cells.is_none()))
}

/// The first part of which something holds.
fn first(airframe: &Airframe, holds: impl Fn(&Part) -> bool) -> Option<usize> {
    let mut found = airframe.found();
    found.find(|(.., part)| holds(part)).map(|(at, ..)| at)
}

/// Levels nearer than this are the same level \[V\].
const SAME_LEVEL_V: f64 = 0.3;

fn is_sender(terminal: &Terminal) -> bool {
    matches!(terminal.role, PadRole::SerialOut | PadRole::SignalOut)
}
