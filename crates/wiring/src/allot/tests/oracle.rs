//! The same answers by trying everything. Shares no code with what it checks but the shapes.

use super::super::{
    Cost, Kind, Need, NeedDuplex, NeedInversion, Port, PortDuplex, PortInversion, Question, Relief,
};

/// By need: its port, or none.
pub type Places = Vec<Option<usize>>;

/// The least cost of all lawful allotments, if there are any; `there` puts one need on one port.
pub fn least(question: &Question, there: Option<(usize, usize)>) -> Option<Cost> {
    let mut least: Option<Cost> = None;
    every(question, all_required(question), &mut |places| {
        if there.is_none_or(|(need, port)| places[need] == Some(port)) {
            let cost = cost(question, places);
            least = Some(least.map_or(cost, |so_far| so_far.min(cost)));
        }
        false
    });
    least
}

/// Whether these needs can be met together.
pub fn feasible(question: &Question, needs: u32) -> bool {
    every(question, needs, &mut |_| true)
}

/// The needs that must be met.
pub fn all_required(question: &Question) -> u32 {
    let required = |at: &usize| !question.needs[*at].may_be_left_out;
    (0..question.needs.len())
        .filter(required)
        .map(|at| 1 << at)
        .sum()
}

/// The smallest set that cannot be met together, fewest first, then lowest.
pub fn smallest_conflict(question: &Question) -> Vec<usize> {
    let all = all_required(question);
    let members = |set: u32| {
        (0..32)
            .filter(|at| set >> at & 1 == 1)
            .collect::<Vec<usize>>()
    };
    let within = (0..=all).filter(|set| set & !all == 0);
    let without = within.filter(|&set| !feasible(question, set)).map(members);
    without
        .min_by_key(|set| (set.len(), set.clone()))
        .expect("the whole has no room")
}

/// Every single change that cures.
pub fn reliefs(question: &Question) -> Vec<Relief> {
    let mut all = Vec::new();
    let needs = question.needs.len();
    all.extend((0..needs).map(Relief::LeaveOut));
    all.extend((0..needs).map(Relief::OneWireWillDo));
    all.extend((0..question.ports.len()).map(Relief::FreePort));
    let boards = 0..3;
    all.extend((0..needs).flat_map(|need| {
        boards
            .clone()
            .map(move |board| Relief::SoftPort { need, board })
    }));
    all.extend((0..needs).map(Relief::Unfix));
    all.retain(|&relief| cures(question, relief));
    all
}

fn cures(question: &Question, relief: Relief) -> bool {
    let mut changed = question.clone();
    match relief {
        Relief::LeaveOut(need) => changed.needs[need].may_be_left_out = true,
        Relief::OneWireWillDo(need) => {
            let asked = &mut changed.needs[need];
            if !asked.one_wire_will_do || asked.duplex != NeedDuplex::Full {
                return false;
            }
            asked.duplex = NeedDuplex::OneWire;
        }
        Relief::FreePort(port) => changed.ports[port].taken = false,
        Relief::Unfix(need) => changed.needs[need].fixed = None,
        Relief::SoftPort { need, board } => {
            let known = |port: &Port| port.board == board && port.kind == Kind::Serial;
            let asked = &mut changed.needs[need];
            let settled = asked.fixed.is_some() || asked.may_be_left_out;
            if settled || !changed.ports.iter().any(known) {
                return false;
            }
            // A port of its own: the need insists on it, so no other gets it.
            asked.fixed = Some(changed.ports.len());
            changed.ports.push(Port { board, ..SOFT });
        }
    }
    feasible(&changed, all_required(&changed))
}

const SOFT: Port = Port {
    kind: Kind::Serial,
    duplex: PortDuplex::Full,
    one_wire: true,
    inversion: PortInversion::Switchable,
    highest_baud: None,
    tolerates_v: None,
    drives_v: None,
    soft: true,
    board: 0,
    many: false,
    taken: false,
    loader: false,
    gives_up: 0,
};

/// Visits every lawful way to serve at least these needs, until told to stop.
fn every(question: &Question, needs: u32, stop: &mut dyn FnMut(&Places) -> bool) -> bool {
    visit(question, needs, &mut Vec::new(), stop)
}

fn visit(
    question: &Question,
    needs: u32,
    places: &mut Places,
    stop: &mut dyn FnMut(&Places) -> bool,
) -> bool {
    if !lawful(question, places) {
        return false;
    }
    let need = places.len();
    if need == question.needs.len() {
        return stop(places);
    }
    let must = needs >> need & 1 == 1;
    // A need that is not asked for is left out unless its place is of interest.
    let none = (!must).then_some(None);
    let some = (0..question.ports.len()).map(Some);
    for place in none.into_iter().chain(some) {
        places.push(place);
        let stopped = visit(question, needs, places, stop);
        places.pop();
        if stopped {
            return true;
        }
    }
    false
}

/// Whether the needs placed so far may be where they are.
pub fn lawful(question: &Question, places: &[Option<usize>]) -> bool {
    let used = |port: usize| places.iter().filter(|place| **place == Some(port)).count();
    let busy = |port: usize| used(port) > 0 || question.ports[port].taken;
    let served = || {
        places
            .iter()
            .zip(&question.needs)
            .filter_map(|(place, need)| place.map(|port| (port, need)))
    };
    let ports = question.ports.iter().enumerate();
    let once = ports.clone().all(|(at, port)| port.many || used(at) <= 1);
    let apart = question.apart.iter().all(|&(one, other)| {
        one == other || !busy(one) || !busy(other) || used(one) + used(other) == 0
    });
    let fits = served().all(|(port, need)| {
        need.fixed.is_none_or(|fixed| fixed == port) && serves(&question.ports[port], need)
    });
    let soft_load = |board: usize| -> f64 {
        let soft = |port: usize| question.ports[port].soft && question.ports[port].board == board;
        served()
            .filter(|(port, _)| soft(*port))
            .filter_map(|(_, need)| need.baud)
            .sum()
    };
    let calm = ports
        .clone()
        .all(|(_, port)| soft_load(port.board) <= 19_200.0);
    once && apart && fits && calm
}

fn serves(port: &Port, need: &Need) -> bool {
    if need.own_board == Some(port.board) {
        return false;
    }
    let pads = match need.duplex {
        NeedDuplex::Full => port.duplex == PortDuplex::Full,
        NeedDuplex::OneWire => port.duplex != PortDuplex::ReceiveOnly && port.one_wire,
        NeedDuplex::DeviceSends => port.duplex != PortDuplex::SendOnly,
        NeedDuplex::DeviceReceives => port.duplex != PortDuplex::ReceiveOnly,
    };
    let up = match port.inversion {
        PortInversion::Plain => need.inversion != NeedInversion::Inverted,
        PortInversion::Switchable => true,
        PortInversion::Fixed => need.inversion != NeedInversion::Plain,
    };
    let limit = |limit: Option<f64>| limit.unwrap_or(f64::INFINITY);
    let asked = |asked: Option<f64>| asked.unwrap_or(0.0);
    let fast = asked(need.baud) <= limit(port.highest_baud)
        && (!port.soft || asked(need.baud) <= 19_200.0);
    let heard =
        need.duplex == NeedDuplex::DeviceReceives || asked(need.level_v) <= limit(port.tolerates_v);
    let seen =
        need.duplex == NeedDuplex::DeviceSends || asked(need.needs_high_v) <= limit(port.drives_v);
    port.kind == need.kind && !port.taken && pads && up && fast && heard && seen
}

/// The cost of a whole allotment, counted over all of it at once.
pub fn cost(question: &Question, places: &[Option<usize>]) -> Cost {
    let served: Vec<(usize, &Port, &Need)> = places
        .iter()
        .zip(&question.needs)
        .filter_map(|(place, need)| place.map(|at| (at, &question.ports[at], need)))
        .collect();
    let count = |evil: &dyn Fn(usize, &Port, &Need) -> bool| {
        served
            .iter()
            .filter(|(at, port, need)| evil(*at, port, need))
            .count() as u32
    };
    let mut used: Vec<usize> = served.iter().map(|(at, ..)| *at).collect();
    used.sort_unstable();
    used.dedup();
    let receives = |need: &Need| need.duplex != NeedDuplex::DeviceReceives;
    let sends = |need: &Need| need.duplex != NeedDuplex::DeviceSends;
    Cost {
        left_out: places.iter().filter(|place| place.is_none()).count() as u32,
        moved: count(&|at, _, need| need.today.is_some() && need.today != Some(at)),
        soft: count(&|_, port, _| port.soft),
        loader: count(&|_, port, need| port.loader && need.chatty),
        displaced: used.iter().map(|&at| question.ports[at].gives_up).sum(),
        pairs: count(&|_, port, need| {
            need.duplex != NeedDuplex::Full
                && port.duplex == PortDuplex::Full
                && !(port.soft || port.many)
        }),
        unstated: count(&|_, port, need| {
            !port.soft && need.baud > Some(0.0) && port.highest_baud.is_none()
        }) + count(&|_, port, need| port.soft && need.baud.is_none())
            + count(&|_, port, need| {
                receives(need) && need.level_v.is_some() && port.tolerates_v.is_none()
            })
            + count(&|_, port, need| {
                sends(need) && need.needs_high_v.is_some() && port.drives_v.is_none()
            }),
        order: served.iter().map(|(at, ..)| *at as u32).sum(),
    }
}
