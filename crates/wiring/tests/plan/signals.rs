//! Signals of a plan: who talks to whom, over which port and which wires.

use crate::joined::{Joined, is_written};
use craft::airframe::Airframe;
use craft::pads::{PadRole, PortDuplex, SignalDuplex, SignalKind};
use std::collections::BTreeMap;
use wiring::{Carries, Fault, Plan, Terminal, TerminalId, Wire};

/// In one net at most one sends and the others listen, unless a fault names the wire that the builder wrote.
pub fn senders_meet_listeners(airframe: &Airframe, plan: &Plan, joined: &Joined) {
    for group in joined.groups() {
        let role = |id: &&TerminalId| plan.terminals.get(**id).role;
        let serial = |role| {
            matches!(
                role,
                PadRole::SerialIn | PadRole::SerialOut | PadRole::OneWire
            )
        };
        if group.len() < 2 || !group.iter().any(|id| serial(role(&id))) {
            continue;
        }
        let wires: Vec<&Wire> = plan
            .wires
            .iter()
            .filter(|wire| group.contains(&wire.ends[0]))
            .collect();
        let one_wire = wires.iter().any(|wire| match wire.carries {
            Carries::Signal(need) => {
                plan.signals.question.needs[need].duplex == wiring::allot::NeedDuplex::OneWire
            }
            _ => false,
        });
        let senders = group
            .iter()
            .filter(|id| role(id) == PadRole::SerialOut)
            .count();
        let listeners = group
            .iter()
            .filter(|id| role(id) == PadRole::SerialIn)
            .count();
        let strangers = group
            .iter()
            .any(|id| !serial(role(&id)) && role(&id) != PadRole::Other);
        let right = !strangers
            && (one_wire
                || (senders <= 1 && listeners >= 1)
                || group.iter().any(|id| role(&id) == PadRole::OneWire));
        // Only what the builder wrote can be wrong, and then a fault names that wire.
        let told = wires.iter().any(|wire| {
            plan.faults.iter().any(|fault| match fault {
                Fault::Swapped { ends, place } | Fault::WrongPads { ends, place } => {
                    *ends == wire.ends && Some(*place) == wire.place && is_written(airframe, wire)
                }
                _ => false,
            })
        });
        // So is a port named for what it cannot serve, or for two, and two that send into one wire.
        let signals = &plan.signals;
        let named_wrongly = |need: usize| {
            let claimed = signals
                .claims
                .iter()
                .any(|claim| claim.needs.contains(&need));
            claimed || signals.misfits.iter().any(|misfit| misfit.need == need)
        };
        let overruled = wires.iter().any(|wire| match wire.carries {
            Carries::Signal(need) => is_written(airframe, wire) && named_wrongly(need),
            _ => false,
        });
        let both_send = plan.faults.iter().any(|fault| match fault {
            Fault::TwoSenders { pads, .. } => pads.iter().all(|pad| group.contains(pad)),
            _ => false,
        });
        let labels: Vec<String> = group.iter().map(|&id| plan.terminals.label(id)).collect();
        assert!(right || told || overruled || both_send, "{labels:?}");
    }
}

/// A port serves one signal, a bus any number; what shares pads or is taken serves none.
pub fn ports_serve_one(airframe: &Airframe, plan: &Plan) {
    let signals = &plan.signals;
    let mut serves: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for need in 0..signals.needs.len() {
        if let Some(port) = signals.port_of(need) {
            serves.entry(port).or_default().push(need);
        }
    }
    let sheet = |port: usize| {
        let at = &signals.ports[port];
        &airframe.parts[at.part]
            .part
            .as_ref()
            .expect("a port has a sheet")
            .ports[at.port]
    };
    let mut soft = BTreeMap::new();
    for (&port, needs) in &serves {
        let at = &signals.ports[port];
        assert!(
            needs.len() == 1 || at.kind == SignalKind::TwoWireBus,
            "{} serves {needs:?}",
            at.name
        );
        assert!(sheet(port).facet.used_by.is_none(), "{} is taken", at.name);
        assert!(
            needs
                .iter()
                .all(|&need| signals.needs[need].kind == at.kind)
        );
        let shares = sheet(port)
            .facet
            .shares
            .iter()
            .flat_map(|shares| &shares.value);
        for name in shares {
            let other = serves.keys().find(|&&other| {
                other != port
                    && (signals.ports[other].part, signals.ports[other].copy) == (at.part, at.copy)
                    && sheet(other).name.value == name.value
            });
            assert_eq!(other, None, "{} shares its pads", at.name);
        }
        if sheet(port).facet.soft.is_some_and(|soft| soft.value) {
            let rate = signals.question.needs[needs[0]].baud.unwrap_or(0.0);
            *soft.entry(at.part).or_insert(0.0) += rate;
        }
    }
    // The limit handbooks state for serial made by timers: 19 200 bit/s over all such ports of a board.
    assert!(soft.values().all(|&sum| sum <= 19_200.0), "{soft:?}");
}

/// Each signal that has a port has the wires its ways of talking ask for.
pub fn signals_have_their_wires(airframe: &Airframe, plan: &Plan) {
    for (need, at) in plan.signals.needs.iter().enumerate() {
        let Some(port) = plan
            .signals
            .port_of(need)
            .map(|port| &plan.signals.ports[port])
        else {
            continue;
        };
        let device = airframe.parts[at.part].part.as_ref().expect("a sheet");
        let board = airframe.parts[port.part].part.as_ref().expect("a sheet");
        let signal = &device.signals[at.signal];
        let socket = &board.ports[port.port];
        let mine = |it: &Terminal| {
            (it.part, it.copy) == (at.part, at.copy) && it.is_of(&signal.name.value)
        };
        let theirs = |it: &Terminal| it.part == port.part && it.is_of(&socket.name.value);
        let carried = |wire: &&Wire| wire.carries == Carries::Signal(need);
        assert!(plan.wires.iter().any(|wire| carried(&wire)), "{}", at.name);
        let touched = plan.wires.iter().any(|wire| {
            is_written(airframe, wire) && wire.ends.iter().any(|&end| mine(plan.terminals.get(end)))
        });
        if touched {
            continue;
        }
        let wires: Vec<(&Terminal, &Terminal)> = plan
            .wires
            .iter()
            .filter(carried)
            .map(|wire| {
                (
                    plan.terminals.get(wire.ends[0]),
                    plan.terminals.get(wire.ends[1]),
                )
            })
            .collect();
        for (here, there) in &wires {
            assert!(mine(here) && theirs(there), "{here:?} {there:?}");
        }
        let duplex = signal
            .facet
            .duplex
            .map_or(SignalDuplex::Full, |duplex| duplex.value);
        let offered = socket
            .facet
            .duplex
            .map_or(PortDuplex::Full, |duplex| duplex.value);
        let joins = |one: PadRole, other: PadRole| {
            wires
                .iter()
                .filter(|(here, there)| (here.role, there.role) == (one, other))
                .count()
        };
        use PadRole::{Clock, Data, Phase, SerialIn, SerialOut, SignalIn, SignalOut};
        let talks = joins(SerialOut, SerialIn);
        let hears = joins(SerialIn, SerialOut);
        let right = match (at.kind, duplex) {
            (SignalKind::Serial, SignalDuplex::Full) => {
                (talks, hears, wires.len()) == (1, 1, 2) && offered == PortDuplex::Full
            }
            (SignalKind::Serial, SignalDuplex::Sends) => (talks, wires.len()) == (1, 1),
            (SignalKind::Serial, SignalDuplex::Receives) => (hears, wires.len()) == (1, 1),
            (SignalKind::Serial, SignalDuplex::OneWire) => {
                wires.len() == 1 && wires[0].1.role == SerialOut
            }
            (SignalKind::TwoWireBus, _) => {
                (joins(Clock, Clock), joins(Data, Data), wires.len()) == (1, 1, 2)
            }
            (SignalKind::MotorPhases, _) => !wires.is_empty() && wires.len() == joins(Phase, Phase),
            _ => wires.len() == 1 && joins(SignalOut, SignalIn) + joins(SignalIn, SignalOut) == 1,
        };
        assert!(right, "{} on {}: {wires:#?}", at.name, port.name);
    }
}
