//! Which signal goes to which port of this craft: the craft's words turned into a question for
//! [`crate::allot`], and its answer turned back.

use crate::allot::{
    Answer, Choice, Kind, Need, NeedDuplex, NeedInversion, Port, PortDuplex, PortInversion,
    Question, Relief, Unanswerable, Unfit, allot, fit,
};
use crate::terminal::{Terminal, Terminals, copies};
use craft::airframe::{Airframe, WireWritten};
use craft::pads::{
    PadRole, PortDuplex as Offered, PortInversion as Invertible, Signal, SignalDuplex,
    SignalInversion, SignalKind,
};
use craft::part::Named;
use craft::{Part, Place, Stated};

/// Volts of a signal whose sheet does not say: the logic of today's processors.
pub const USUAL_LEVEL_V: f64 = 3.3;

/// A port of the craft.
#[derive(Debug, Clone, PartialEq)]
pub struct PortAt {
    /// Position of its part.
    pub part: usize,
    /// Which of several parts of the same name.
    pub copy: Option<u32>,
    /// Position on the part.
    pub port: usize,
    /// As the builder would name it: "board.2".
    pub name: String,
    /// The number printed, if it has one.
    pub number: Option<u32>,
    /// What kind of signal.
    pub kind: SignalKind,
    /// Where it is described.
    pub place: Place,
}

/// A signal of the craft that needs a port.
#[derive(Debug, Clone, PartialEq)]
pub struct NeedAt {
    /// Position of its part.
    pub part: usize,
    /// Which of several parts of the same name.
    pub copy: Option<u32>,
    /// Position on the part.
    pub signal: usize,
    /// As the builder would name it: "gps.data".
    pub name: String,
    /// The builder's own word for it.
    pub protocol: Option<String>,
    /// What kind of signal.
    pub kind: SignalKind,
    /// Where it is described.
    pub place: Place,
    /// Where the builder says which port, if they do.
    pub said: Option<Place>,
    /// Whether the builder, and not the plan before the refit, says where it is today.
    pub today_said: bool,
}

/// Two or more signals for which the builder names the same port.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// The port, by its position.
    pub port: usize,
    /// The signals, by their position, in the order of the files.
    pub needs: Vec<usize>,
}

/// A port the builder names for a signal that it cannot serve.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// The signal.
    pub need: usize,
    /// The port.
    pub port: usize,
    /// Why it cannot.
    pub reasons: Vec<Unfit>,
}

/// Needs that cannot all be met.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// The smallest set that cannot be met together.
    pub together: Vec<usize>,
    /// Single changes, each of which makes everything fit.
    pub reliefs: Vec<Relief>,
}

/// The ports, the signals, and who goes where.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Signals {
    /// Ports of every part.
    pub ports: Vec<PortAt>,
    /// Signals of every part that some port could be meant for.
    pub needs: Vec<NeedAt>,
    /// Signals of a kind for which no part of the craft describes a port.
    pub unheard: Vec<NeedAt>,
    /// Signals that a written wire joins to another device rather than to a port.
    pub elsewhere: Vec<NeedAt>,
    /// What was asked.
    pub question: Question,
    /// By need; none where it is left out.
    pub choices: Vec<Option<Choice>>,
    /// Needs that cannot be met together; the choices then leave out as few as can be.
    pub conflict: Option<Conflict>,
    /// Ports named for several signals.
    pub claims: Vec<Claim>,
    /// Ports named for a signal they cannot serve.
    pub misfits: Vec<Misfit>,
    /// Why no allotment was made, when the craft is too large for one.
    pub gave_up: Option<Unanswerable>,
}

impl Signals {
    /// The allotment; ports that a signal has `today` are kept where they can be.
    pub fn of(airframe: &Airframe, terminals: &Terminals, today: Option<&Self>) -> Self {
        let mut signals = Self::default();
        signals.gather_ports(airframe);
        signals.gather_needs(airframe, terminals);
        signals.set_aside_wired(airframe, terminals);
        for at in 0..signals.needs.len() {
            let said = signals.said(airframe, terminals, at);
            signals.needs[at].said = said.map(|(_, place)| place);
            signals.question.needs[at].fixed = said.map(|(port, _)| port);
            // What the builder has given a port is not left out in silence.
            signals.question.needs[at].may_be_left_out &= said.is_none();
            let old = today.and_then(|old| signals.port_of_old(old, at));
            signals.question.needs[at].today = old.map(|(port, _)| port);
            signals.needs[at].today_said = old.is_some_and(|(_, said)| said);
        }
        signals.set_aside_claims();
        signals.set_aside_misfits();
        signals.solve();
        signals
    }

    /// The port a need goes to.
    pub fn port_of(&self, need: usize) -> Option<usize> {
        Some(self.choices.get(need)?.as_ref()?.port)
    }

    fn gather_ports(&mut self, airframe: &Airframe) {
        for (at, fitted, part) in airframe.found() {
            for copy in copies(fitted.count()) {
                self.gather_ports_of(at, (&fitted.id.value, copy), part);
            }
        }
    }

    fn gather_ports_of(&mut self, at: usize, (id, copy): (&str, Option<u32>), part: &Part) {
        let first = self.ports.len();
        for (index, named) in part.ports.iter().enumerate() {
            let number = named.facet.number.as_ref().map(|number| number.value);
            self.ports.push(PortAt {
                part: at,
                copy,
                port: index,
                name: format!("{}.{}", owner(id, copy), named.name.value),
                number: number.or_else(|| named.name.value.parse().ok()),
                kind: port_kind(named),
                place: named.name.place,
            });
            self.question.ports.push(port(at, named));
            let shared = named.facet.shares.iter().flat_map(|names| &names.value);
            for name in shared {
                let other = part.ports.iter().position(|it| it.name.value == name.value);
                self.question
                    .apart
                    .extend(other.map(|other| (first + index, first + other)));
            }
        }
    }

    /// Ports at whose pads a written wire ends that is no signal's own: from port to port, or to nothing that asks.
    fn set_aside_wired(&mut self, airframe: &Airframe, terminals: &Terminals) {
        for wire in &airframe.harness.wires {
            let Some(ends) = ends_of(airframe, terminals, wire) else {
                continue;
            };
            let ports = ends.map(|end| self.port_at(airframe, end));
            let asks = ends.map(|end| is_signal(airframe, end));
            if !asks.contains(&true) {
                for port in ports.into_iter().flatten() {
                    self.question.ports[port].taken |= !self.question.ports[port].many;
                }
            }
        }
    }

    /// The port that a pad belongs to.
    fn port_at(&self, airframe: &Airframe, pad: &Terminal) -> Option<usize> {
        let of = pad.of.as_deref().filter(|_| pad.role != PadRole::Ground)?;
        let part = airframe.parts[pad.part].part.as_deref()?;
        let index = part.ports.iter().position(|port| port.name.value == of)?;
        let mine = |port: &PortAt| (port.part, port.copy, port.port) == (pad.part, pad.copy, index);
        self.ports.iter().position(mine)
    }

    fn gather_needs(&mut self, airframe: &Airframe, terminals: &Terminals) {
        for (at, fitted, part) in airframe.found() {
            for copy in copies(fitted.count()) {
                for (index, named) in part.signals.iter().enumerate() {
                    let owner = owner(&fitted.id.value, copy);
                    let need = NeedAt {
                        part: at,
                        copy,
                        signal: index,
                        name: format!("{owner}.{}", named.name.value),
                        protocol: named.facet.protocol.as_ref().map(|word| word.value.clone()),
                        kind: signal_kind(&named.facet),
                        place: named.name.place,
                        said: None,
                        today_said: false,
                    };
                    // A port of the same part is no partner: a board's video output is not for
                    // its own video input.
                    let partner = |port: &PortAt| port.kind == need.kind && port.part != at;
                    let mine = |end: &Terminal| {
                        (end.part, end.copy) == (at, copy) && end.is_of(&named.name.value)
                    };
                    if wired_elsewhere(airframe, terminals, mine) {
                        self.elsewhere.push(need);
                    } else if self.ports.iter().any(partner) {
                        self.question.needs.push(asked(at, &named.facet));
                        self.needs.push(need);
                    } else {
                        self.unheard.push(need);
                    }
                }
            }
        }
    }

    /// The port the builder names for a need, by a link or by a wire to one of its pads.
    fn said(
        &self,
        airframe: &Airframe,
        terminals: &Terminals,
        at: usize,
    ) -> Option<(usize, Place)> {
        let need = &self.needs[at];
        let fitted = &airframe.parts[need.part];
        let signal = &fitted.part.as_deref()?.signals[need.signal].name.value;
        // One link cannot mean four motors; a wire ends at the first of them.
        if need.copy.is_some_and(|copy| copy > 1) {
            return None;
        }
        let linked = airframe
            .harness
            .link(&fitted.id, signal)
            .filter(|_| need.copy.is_none())
            .and_then(|link| {
                let to = link.table.to.as_ref()?;
                Some((self.port_named(to)?, link.table.place))
            });
        linked.or_else(|| self.port_of_wire(airframe, terminals, need, signal))
    }

    fn port_named(&self, name: &Stated<String>) -> Option<usize> {
        let exact = self.ports.iter().position(|port| port.name == name.value);
        exact.or_else(|| {
            // Of several copies the first is meant.
            let (part, port) = name.value.split_once('.')?;
            let first = format!("{part} 1.{port}");
            self.ports.iter().position(|port| port.name == first)
        })
    }

    fn port_of_wire(
        &self,
        airframe: &Airframe,
        terminals: &Terminals,
        need: &NeedAt,
        signal: &str,
    ) -> Option<(usize, Place)> {
        let fitted = &airframe.parts[need.part];
        airframe.harness.wires.iter().find_map(|wire| {
            let mine = |end: &&Terminal| {
                let asks = end.is_of(signal) && end.role != PadRole::Ground;
                end.part == need.part
                    && asks
                    && fitted.id.value == airframe.parts[end.part].id.value
            };
            let [one, other] = ends_of(airframe, terminals, wire)?;
            let there = if mine(&one) {
                other
            } else if mine(&other) {
                one
            } else {
                return None;
            };
            Some((self.port_at(airframe, there)?, wire.table.place))
        })
    }

    /// The port a need has in the plan before, and whether the builder said so there.
    fn port_of_old(&self, old: &Self, at: usize) -> Option<(usize, bool)> {
        let need = old
            .needs
            .iter()
            .position(|it| it.name == self.needs[at].name)?;
        let name = &old.ports[old.port_of(need)?].name;
        let port = self.ports.iter().position(|port| port.name == *name)?;
        Some((port, old.needs[need].said.is_some()))
    }

    /// A port named for several signals serves the first; the claim is told.
    fn set_aside_claims(&mut self) {
        for port in 0..self.ports.len() {
            if self.question.ports[port].many {
                continue;
            }
            let fixed = |at: &usize| self.question.needs[*at].fixed == Some(port);
            let needs: Vec<usize> = (0..self.needs.len()).filter(fixed).collect();
            if needs.len() > 1 {
                for &late in &needs[1..] {
                    self.question.needs[late].fixed = None;
                }
                self.claims.push(Claim { port, needs });
            }
        }
    }

    /// A port that cannot serve the signal it is named for is told, and another one looked for.
    fn set_aside_misfits(&mut self) {
        for at in 0..self.needs.len() {
            let Some(port) = self.question.needs[at].fixed else {
                continue;
            };
            if let Err(reasons) = fit(&self.question.ports[port], &self.question.needs[at]) {
                self.question.needs[at].fixed = None;
                self.misfits.push(Misfit {
                    need: at,
                    port,
                    reasons,
                });
            }
        }
    }

    fn solve(&mut self) {
        match allot(&self.question) {
            Ok(Answer::Allotted { choices, .. }) => self.choices = choices,
            Ok(Answer::Impossible { together, reliefs }) => {
                self.conflict = Some(Conflict { together, reliefs });
                self.choices = self.as_many_as_can_be();
            }
            Err(why) => {
                self.choices = vec![None; self.needs.len()];
                self.gave_up = Some(why);
            }
        }
    }
    /// The same question with needs free to be left out: first only those that are new, then any.
    fn as_many_as_can_be(&self) -> Vec<Option<Choice>> {
        let with = |stays: fn(&Need) -> bool| {
            let mut question = self.question.clone();
            for need in &mut question.needs {
                need.may_be_left_out |= !stays(need);
            }
            match allot(&question) {
                Ok(Answer::Allotted { choices, .. }) => Some(choices),
                _ => None,
            }
        };
        let choices = with(|need| need.today.is_some() || need.fixed.is_some());
        choices
            .or_else(|| with(|_| false))
            .unwrap_or_else(|| vec![None; self.needs.len()])
    }
}

/// The part's name, with its number where there are several.
fn owner(id: &str, copy: Option<u32>) -> String {
    copy.map_or_else(|| id.to_owned(), |copy| format!("{id} {copy}"))
}

/// The two pads of a written wire.
fn ends_of<'t>(
    airframe: &Airframe,
    terminals: &'t Terminals,
    wire: &WireWritten,
) -> Option<[&'t Terminal; 2]> {
    let (part, pad) = wire.table.to.as_ref()?.split_once('.')?;
    let here = terminals.named(airframe.position(&wire.part)?, &wire.pad)?;
    let there = terminals.named(airframe.position(part)?, pad)?;
    Some([terminals.get(here), terminals.get(there)])
}

/// Whether a pad belongs to a signal that asks for a port.
fn is_signal(airframe: &Airframe, pad: &Terminal) -> bool {
    let part = airframe.parts[pad.part].part.as_deref();
    let named = |part: &Part| {
        part.signals
            .iter()
            .any(|signal| pad.is_of(&signal.name.value))
    };
    pad.role != PadRole::Ground && part.is_some_and(named)
}

/// Whether a written wire joins a signal's pad to one of another signal.
fn wired_elsewhere(
    airframe: &Airframe,
    terminals: &Terminals,
    mine: impl Fn(&Terminal) -> bool,
) -> bool {
    let mut wires = airframe.harness.wires.iter();
    wires.any(|wire| {
        let Some(ends) = ends_of(airframe, terminals, wire) else {
            return false;
        };
        let is_mine = ends.map(|end| mine(end) && end.role != PadRole::Ground);
        is_mine.contains(&true) && ends.iter().all(|end| is_signal(airframe, end))
    })
}

fn port_kind(named: &Named<craft::pads::Port>) -> SignalKind {
    named
        .facet
        .kind
        .map_or(SignalKind::Serial, |kind| kind.value)
}

fn signal_kind(signal: &Signal) -> SignalKind {
    signal.kind.map_or(SignalKind::Serial, |kind| kind.value)
}

fn kind(kind: SignalKind) -> Kind {
    match kind {
        SignalKind::Serial => Kind::Serial,
        other => Kind::Other(other as u16),
    }
}

fn port(part: usize, named: &Named<craft::pads::Port>) -> Port {
    let facet = &named.facet;
    let flag = |flag: &Option<Stated<bool>>| flag.is_some_and(|flag| flag.value);
    Port {
        kind: kind(port_kind(named)),
        duplex: match facet.duplex.map(|duplex| duplex.value) {
            None | Some(Offered::Full) => PortDuplex::Full,
            Some(Offered::SendOnly) => PortDuplex::SendOnly,
            Some(Offered::ReceiveOnly) => PortDuplex::ReceiveOnly,
        },
        one_wire: flag(&facet.one_wire),
        inversion: match facet.inversion.map(|inversion| inversion.value) {
            None | Some(Invertible::Plain) => PortInversion::Plain,
            Some(Invertible::Switchable) => PortInversion::Switchable,
            Some(Invertible::Fixed) => PortInversion::Fixed,
        },
        highest_baud: facet
            .highest_rate
            .map(|rate| rate.value.0.in_bits_per_second()),
        tolerates_v: facet.tolerates.map(|volts| volts.value.0.in_volts()),
        drives_v: facet.level.map(|volts| volts.value.0.in_volts()),
        soft: flag(&facet.soft),
        board: part,
        many: port_kind(named) == SignalKind::TwoWireBus,
        taken: facet.used_by.is_some(),
        loader: flag(&facet.loader),
        gives_up: facet
            .shares
            .as_ref()
            .map_or(0, |names| names.value.len() as u32),
    }
}

fn asked(part: usize, signal: &Signal) -> Need {
    let flag = |flag: &Option<Stated<bool>>| flag.is_some_and(|flag| flag.value);
    Need {
        kind: kind(signal_kind(signal)),
        duplex: match signal.duplex.map(|duplex| duplex.value) {
            None | Some(SignalDuplex::Full) => NeedDuplex::Full,
            Some(SignalDuplex::OneWire) => NeedDuplex::OneWire,
            Some(SignalDuplex::Sends) => NeedDuplex::DeviceSends,
            Some(SignalDuplex::Receives) => NeedDuplex::DeviceReceives,
        },
        baud: signal.rate.map(|rate| rate.value.0.in_bits_per_second()),
        inversion: match signal.inversion.map(|inversion| inversion.value) {
            None | Some(SignalInversion::Plain) => NeedInversion::Plain,
            Some(SignalInversion::Inverted) => NeedInversion::Inverted,
            Some(SignalInversion::Either) => NeedInversion::Either,
        },
        level_v: Some(
            signal
                .level
                .map_or(USUAL_LEVEL_V, |volts| volts.value.0.in_volts()),
        ),
        needs_high_v: None,
        one_wire_will_do: flag(&signal.one_wire_will_do),
        chatty: flag(&signal.speaks_first),
        fixed: None,
        today: None,
        may_be_left_out: flag(&signal.optional),
        own_board: Some(part),
    }
}
