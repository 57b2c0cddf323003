//! Nets: what is joined to what, through wires and through the boards themselves.

use crate::allot::NeedDuplex;
use crate::plan::{Carries, Fault, Plan};
use crate::terminal::TerminalId;
use craft::Place;
use craft::airframe::Airframe;
use craft::facet::RegulatorKind;
use craft::pads::{PadRole, SignalKind};
use std::collections::BTreeMap;

/// Terminals at one potential.
#[derive(Debug, Clone, PartialEq)]
pub struct Net {
    /// What it is called: "ground", "pack", "board.5v", "gps.data TX".
    pub name: String,
    /// What it is.
    pub kind: NetKind,
    /// Its terminals.
    pub terminals: Vec<TerminalId>,
}

/// The name of the net that hangs on the battery's plus.
pub(crate) const PACK: &str = "pack";

/// What a net carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NetKind {
    /// Minus of everything.
    Ground,
    /// Plus of a rail or of the pack.
    Supply,
    /// A signal.
    Signal,
}

/// Every net with more than one terminal, ground first, then supplies, then signals.
pub fn nets(plan: &Plan, airframe: &Airframe) -> Vec<Net> {
    let groups = groups(plan, airframe);
    let mut nets: Vec<Net> = groups
        .into_values()
        .filter(|terminals| terminals.len() > 1)
        .map(|terminals| net(plan, airframe, terminals))
        .collect();
    nets.sort_by_key(|net| match net.kind {
        NetKind::Ground => 0,
        NetKind::Supply => 1,
        NetKind::Signal => 2,
    });
    nets
}

fn net(plan: &Plan, airframe: &Airframe, terminals: Vec<TerminalId>) -> Net {
    let is_ground = terminals
        .iter()
        .any(|id| plan.terminals.get(*id).role == PadRole::Ground);
    let source = terminals.iter().find_map(|id| source(plan, airframe, *id));
    let signal = plan.wires.iter().find_map(|wire| match wire.carries {
        Carries::Signal(need) if terminals.contains(&wire.ends[0]) => {
            let end = plan.terminals.get(wire.ends[0]);
            Some(format!("{} {}", plan.signals.needs[need].name, end.printed))
        }
        _ => None,
    });
    let (name, kind) = match (is_ground, source, signal) {
        (true, ..) => ("ground".to_owned(), NetKind::Ground),
        (_, Some(source), _) => (source, NetKind::Supply),
        (.., Some(signal)) => (signal, NetKind::Signal),
        _ => (plan.terminals.label(terminals[0]), NetKind::Signal),
    };
    Net {
        name,
        kind,
        terminals,
    }
}

/// The supply that a terminal is the plus of: "pack", or a part and its rail.
fn source(plan: &Plan, airframe: &Airframe, id: TerminalId) -> Option<String> {
    let it = plan.terminals.get(id);
    if it.role != PadRole::Power {
        return None;
    }
    let of = it.of.as_deref()?;
    if of == PACK {
        return Some(PACK.to_owned());
    }
    let part = airframe.parts[it.part].part.as_deref()?;
    let at = part.rail(of)?;
    // A rail that is a wire or a switch hands on what feeds it.
    let through = part.rails[at]
        .facet
        .kind
        .is_some_and(|kind| kind.value == RegulatorKind::Through);
    if through && let Ok((craft::Tap::Pack, _)) = airframe.source_of_rail(it.part, at) {
        return Some(PACK.to_owned());
    }
    Some(format!("{}.{of}", plan.terminals.part_name(id)))
}

/// What a board joins inside itself: all its grounds, and the pads of one rail, input or pack.
fn joint(plan: &Plan, airframe: &Airframe, id: TerminalId) -> Option<(usize, Option<u32>, String)> {
    let it = plan.terminals.get(id);
    let name = match it.role {
        PadRole::Ground => "ground".to_owned(),
        PadRole::Power => {
            let of = it.of.clone()?;
            let part = airframe.parts[it.part].part.as_deref();
            let input = part.and_then(|part| part.input(&of));
            let on_board = input.and_then(|input| input.facet.fed_by.as_ref());
            let name = on_board.map_or(of, |rail| rail.value.clone());
            handed_on(airframe, it.part, name)
        }
        PadRole::PowerIn => format!("into {}", it.of.clone()?),
        _ => return None,
    };
    Some((it.part, it.copy, name))
}

/// What a rail that is only a wire or a switch hands on: the rail before it, or the pack.
fn handed_on(airframe: &Airframe, part: usize, name: String) -> String {
    let sheet = airframe.parts[part].part.as_deref();
    let rails = sheet.map_or(&[][..], |sheet| &sheet.rails);
    let mut name = name;
    // A circle of rails ends when every rail has been seen once.
    for _ in rails {
        let Some(rail) = rails.iter().position(|rail| rail.name.value == name) else {
            break;
        };
        let kind = rails[rail].facet.kind.map(|kind| kind.value);
        if kind != Some(RegulatorKind::Through) {
            break;
        }
        name = match airframe.source_of_rail(part, rail) {
            Ok((craft::Tap::Pack, None)) => PACK.to_owned(),
            Ok((craft::Tap::Rail(at, before), None)) if at == part => {
                rails[before].name.value.clone()
            }
            _ => break,
        };
    }
    name
}

fn groups(plan: &Plan, airframe: &Airframe) -> BTreeMap<usize, Vec<TerminalId>> {
    let mut sets = Sets::new(plan.terminals.list.len());
    for wire in &plan.wires {
        sets.join(wire.ends[0].0, wire.ends[1].0);
    }
    let mut joints = BTreeMap::new();
    for id in plan.terminals.ids() {
        if let Some(joint) = joint(plan, airframe, id) {
            let first = *joints.entry(joint).or_insert(id.0);
            sets.join(first, id.0);
        }
    }
    let mut groups: BTreeMap<usize, Vec<TerminalId>> = BTreeMap::new();
    for id in plan.terminals.ids() {
        groups.entry(sets.find(id.0)).or_default().push(id);
    }
    groups
}

/// Supplies joined with one another or with ground by wires.
pub(crate) fn faults(plan: &Plan, airframe: &Airframe) -> Vec<Fault> {
    let mut faults = Vec::new();
    for terminals in groups(plan, airframe).into_values() {
        let sources: Vec<(TerminalId, String)> = terminals
            .iter()
            .filter_map(|&id| Some((id, source(plan, airframe, id)?)))
            .collect();
        let Some((first, name)) = sources.first() else {
            continue;
        };
        let ground = terminals
            .iter()
            .find(|id| plan.terminals.get(**id).role == PadRole::Ground);
        if let Some(ground) = ground {
            faults.push(Fault::SupplyToGround {
                pads: [*first, *ground],
                places: written(plan, &terminals),
            });
        }
        if let Some((other, _)) = sources.iter().find(|(_, other)| other != name) {
            faults.push(Fault::SuppliesJoined {
                pads: [*first, *other],
                places: written(plan, &terminals),
            });
        }
    }
    faults
}

/// Serial senders that written wires join: two talk at once. A pad of a one-wire signal may speak in turn.
pub(crate) fn senders(plan: &Plan, airframe: &Airframe) -> Vec<Fault> {
    let one_wire = |id: TerminalId| {
        plan.wires.iter().any(|wire| match wire.carries {
            Carries::Signal(need) => {
                let duplex = plan.signals.question.needs[need].duplex;
                wire.ends.contains(&id) && duplex == NeedDuplex::OneWire
            }
            _ => false,
        })
    };
    let mut faults = Vec::new();
    for terminals in groups(plan, airframe).into_values() {
        let role = |id: &TerminalId| plan.terminals.get(*id).role;
        let speaks = |id: &&TerminalId| role(id) == PadRole::SerialOut && !one_wire(**id);
        let senders: Vec<TerminalId> = terminals.iter().filter(speaks).copied().collect();
        let takes_turns = terminals.iter().any(|id| role(id) == PadRole::OneWire);
        // Two that send straight into one another are told where the wire is written.
        let joined = |wire: &crate::Wire| wire.ends.iter().all(|end| senders.contains(end));
        if let ([one, other, ..], false) = (&senders[..], takes_turns)
            && !plan.wires.iter().any(joined)
        {
            faults.push(Fault::TwoSenders {
                pads: [*one, *other],
                places: written(plan, &terminals),
            });
        }
    }
    faults
}

/// Parts with power or a signal whose ground does not come back to the pack, where nothing else says why.
pub(crate) fn adrift(plan: &Plan, airframe: &Airframe) -> Vec<Fault> {
    let get = |id: &TerminalId| plan.terminals.get(*id);
    let is_home = |id: &TerminalId| {
        let it = get(id);
        let is_entry = Some(it.part) == plan.entry && it.copy.is_none_or(|copy| copy == 1);
        it.role == PadRole::Ground && (Some(it.part) == plan.battery || is_entry)
    };
    let groups = groups(plan, airframe);
    if !groups.values().flatten().any(is_home) {
        return Vec::new();
    }
    let mut faults: Vec<Fault> = Vec::new();
    for group in groups.into_values() {
        if group.iter().any(is_home) || group.iter().any(|id| is_told(plan, get(id).part)) {
            continue;
        }
        for id in group.iter().filter(|id| get(id).role == PadRole::Ground) {
            let (part, copy) = (get(id).part, get(id).copy);
            let lives = plan.wires.iter().any(|wire| {
                let end = plan.terminals.get(wire.ends[0]);
                let takes = match wire.carries {
                    Carries::Plus(..) => true,
                    Carries::Signal(need) => {
                        plan.signals.needs[need].kind != SignalKind::MotorPhases
                    }
                    _ => false,
                };
                (end.part, end.copy) == (part, copy) && takes
            });
            let known = faults
                .iter()
                .any(|fault| matches!(fault, Fault::Adrift { part: other, .. } if *other == part));
            if lives && !known {
                let mut places = vec![airframe.parts[part].id.place];
                places.extend(written(plan, &group));
                faults.push(Fault::Adrift { part, places });
            }
        }
    }
    faults
}

/// Whether another fault says why what hangs on this part is not fed or not grounded.
fn is_told(plan: &Plan, at: usize) -> bool {
    plan.faults.iter().any(|fault| match fault {
        Fault::NoGround { part, .. }
        | Fault::NoPad { part, .. }
        | Fault::OtherFeed { part, .. }
        | Fault::UnfedRail { part, .. } => *part == at,
        Fault::WrongPads { ends, .. } => plan.terminals.get(ends[0]).part == at,
        _ => false,
    })
}

/// Where the wires of a net are written by the builder.
fn written(plan: &Plan, terminals: &[TerminalId]) -> Vec<Place> {
    let wires = plan
        .wires
        .iter()
        .filter(|wire| terminals.contains(&wire.ends[0]));
    let mut places: Vec<Place> = wires.filter_map(|wire| wire.place).collect();
    places.sort_unstable();
    places.dedup();
    places
}

/// Disjoint sets of whole numbers.
struct Sets(Vec<usize>);

impl Sets {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    fn find(&mut self, at: usize) -> usize {
        let mut root = at;
        while self.0[root] != root {
            root = self.0[root];
        }
        self.0[at] = root;
        root
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.find(one), self.find(other));
        let (low, high) = (one.min(other), one.max(other));
        self.0[high] = low;
    }
}
