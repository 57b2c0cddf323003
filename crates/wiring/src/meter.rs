//! What a meter says before the first power: made from the nets, so that nothing is left out.
//!
//! Limits are common practice. Leads of the meter are zeroed first; power off, pack unplugged.

use crate::net::{Net, NetKind, PACK, nets};
use crate::plan::Plan;
use crate::terminal::{Terminal, TerminalId};
use craft::airframe::Airframe;
use craft::pads::PadRole;

/// A ground that returns \[Ω\]: at most.
pub const GROUND_OHM: f64 = 0.3;
/// A signal from end to end \[Ω\]: at most.
pub const SIGNAL_OHM: f64 = 0.5;
/// Pack plus to minus once settled \[Ω\]: above.
pub const PACK_OHM: f64 = 1_000.0;
/// A 5 V rail to ground \[Ω\]: above.
pub const RAIL_OHM: f64 = 200.0;
/// A 3.3 V rail to ground \[Ω\]: above.
pub const LOGIC_OHM: f64 = 80.0;
/// A motor's phase to screw, bell or carbon \[Ω\]: above.
pub const PHASE_OHM: f64 = 1_000_000.0;
/// The three windings of a motor: within this share of one another.
pub const PHASES_ALIKE: f64 = 0.05;
/// Volts of a rail up to which [`LOGIC_OHM`] is meant \[V\].
const LOGIC_V: f64 = 3.6;
/// Pads nearer than this can be bridged by solder \[mm\].
const NEIGHBOUR_MM: f64 = 3.2;

/// What the meter must show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// At most so many ohms.
    AtMost(f64),
    /// More than so many ohms, after any capacitor has charged.
    Above(f64),
    /// Within this share of one another: 1 A through two and a millivolt meter.
    Alike(f64),
    /// No beep, no reading.
    Open,
    /// Which one is plus, by the volt meter.
    Polarity,
    /// Each pin by the volt meter or by its trace: the order of pins is not standard.
    PinOrder,
}

/// Which round of the card a check belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Round {
    /// Plugs before they are mated.
    Plugs,
    /// Every ground.
    Grounds,
    /// Plus against minus.
    Shorts,
    /// Rails against one another.
    Rails,
    /// Signals from end to end.
    Signals,
    /// Pads beside one another.
    Neighbours,
    /// Motor leads against metal.
    Phases,
}

/// One line of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Which round.
    pub round: Round,
    /// One tip of the meter.
    pub from: String,
    /// The other.
    pub to: String,
    /// What it must show.
    pub limit: Limit,
    /// What it means if it does not.
    pub otherwise: &'static str,
}

/// The card for a plan, in the order in which it is done.
pub fn card(plan: &Plan, airframe: &Airframe) -> Vec<Check> {
    let nets = nets(plan, airframe);
    let mut card = plugs(plan, airframe);
    card.extend(grounds(plan));
    card.extend(shorts(plan, airframe, &nets));
    card.extend(rails(&nets));
    card.extend(signals(plan));
    card.extend(neighbours(plan, &nets));
    card.extend(phases(plan));
    card
}

const MINUS: &str = "pack − on the craft's plug";

fn check(
    round: Round,
    from: String,
    to: impl Into<String>,
    limit: Limit,
    otherwise: &'static str,
) -> Check {
    Check {
        round,
        from,
        to: to.into(),
        limit,
        otherwise,
    }
}

/// The battery's plug, and every plug on a wire.
fn plugs(plan: &Plan, airframe: &Airframe) -> Vec<Check> {
    let mut card = Vec::new();
    if let Some(battery) = plan.battery {
        let name = &airframe.parts[battery].id.value;
        card.push(check(
            Round::Plugs,
            format!("{name}, both pins of its plug"),
            "the craft's plug, pin for pin",
            Limit::Polarity,
            "plus on minus: everything on the board is lost; single-cell plugs come in both orders",
        ));
    }
    let mut seen = Vec::new();
    for wire in &plan.wires {
        for end in wire.ends {
            let it = plan.terminals.get(end);
            let Some((plug, _)) = &it.plug else {
                continue;
            };
            let key = (it.part, it.copy, plug.clone());
            if !seen.contains(&key) {
                card.push(check(
                    Round::Plugs,
                    format!("plug `{plug}` of {}", plan.terminals.part_name(end)),
                    pins(plan, end, plug),
                    Limit::PinOrder,
                    "the order of pins is not standard between makers: swap pins in the housing, not wires",
                ));
                seen.push(key);
            }
        }
    }
    card
}

fn pins(plan: &Plan, of: TerminalId, plug: &str) -> String {
    let here = plan.terminals.get(of);
    let mut pins: Vec<(u32, &str)> = plan
        .terminals
        .list
        .iter()
        .filter(|it| it.part == here.part && it.copy == here.copy)
        .filter_map(|it| {
            let (name, pin) = it.plug.as_ref()?;
            (name == plug).then_some(((*pin)?, it.printed.as_str()))
        })
        .collect();
    pins.sort_unstable();
    if pins.is_empty() {
        return "each pin against what is printed".to_owned();
    }
    let each: Vec<String> = pins
        .iter()
        .map(|(pin, name)| format!("{pin} {name}"))
        .collect();
    format!("its pins as its sheet has them: {}", each.join(", "))
}

/// Every ground that a wire ends at, each by its own name.
fn grounds(plan: &Plan) -> Vec<Check> {
    let mut ends: Vec<TerminalId> = plan
        .wires
        .iter()
        .flat_map(|wire| wire.ends)
        .filter(|&end| {
            let it = plan.terminals.get(end);
            it.role == PadRole::Ground && Some(it.part) != plan.battery
        })
        .collect();
    ends.sort_unstable();
    ends.dedup();
    ends.into_iter()
        .map(|end| {
            check(
                Round::Grounds,
                plan.terminals.label(end),
                MINUS,
                Limit::AtMost(GROUND_OHM),
                "a missing ground: the current looks for another way, through a signal wire, and burns boards",
            )
        })
        .collect()
}

fn shorts(plan: &Plan, airframe: &Airframe, nets: &[Net]) -> Vec<Check> {
    let supplies = nets.iter().filter(|net| net.kind == NetKind::Supply);
    supplies
        .map(|net| {
            let limit = match volts(plan, airframe, net) {
                None => PACK_OHM,
                Some(volts) if volts <= LOGIC_V => LOGIC_OHM,
                Some(_) => RAIL_OHM,
            };
            check(
                Round::Shorts,
                format!("{} plus", net.name),
                MINUS,
                Limit::Above(limit),
                "a bridge, a reversed capacitor or a wrong pad; a short chirp that climbs is a capacitor charging",
            )
        })
        .collect()
}

/// The volts of the rail that a net hangs on; none for the pack.
fn volts(plan: &Plan, airframe: &Airframe, net: &Net) -> Option<f64> {
    let rail = |id: &TerminalId| {
        let it = plan.terminals.get(*id);
        let of = it.of.as_deref().filter(|_| it.role == PadRole::Power)?;
        let part = airframe.parts[it.part].part.as_deref()?;
        Some(&part.rails[part.rail(of)?].facet)
    };
    let rail = net.terminals.iter().find_map(rail)?;
    let output = rail.output.filter(|_| net.name != PACK)?;
    Some(output.value.0.in_volts())
}

fn rails(nets: &[Net]) -> Vec<Check> {
    let supplies: Vec<&Net> = nets
        .iter()
        .filter(|net| net.kind == NetKind::Supply)
        .collect();
    let mut card = Vec::new();
    for (at, one) in supplies.iter().enumerate() {
        for other in &supplies[at + 1..] {
            card.push(check(
                Round::Rails,
                format!("{} plus", one.name),
                format!("{} plus", other.name),
                Limit::Open,
                "two rails joined: a bridge or a wrong pad",
            ));
        }
    }
    card
}

fn signals(plan: &Plan) -> Vec<Check> {
    let is_signal = |end: TerminalId| {
        use PadRole::{Ground, Phase, Power, PowerIn};
        !matches!(
            plan.terminals.get(end).role,
            Ground | Phase | Power | PowerIn
        )
    };
    plan.wires
        .iter()
        .filter(|wire| is_signal(wire.ends[0]) && is_signal(wire.ends[1]))
        .map(|wire| {
            check(
                Round::Signals,
                plan.terminals.label(wire.ends[0]),
                plan.terminals.label(wire.ends[1]),
                Limit::AtMost(SIGNAL_OHM),
                "a swap or a cold joint",
            )
        })
        .collect()
}

/// Pads beside one that was soldered, where the two belong to different nets.
fn neighbours(plan: &Plan, nets: &[Net]) -> Vec<Check> {
    let net_of = |id: TerminalId| nets.iter().position(|net| net.terminals.contains(&id));
    let soldered: Vec<TerminalId> = {
        let mut ends: Vec<_> = plan.wires.iter().flat_map(|wire| wire.ends).collect();
        ends.sort_unstable();
        ends.dedup();
        ends
    };
    let mut card = Vec::new();
    for &one in &soldered {
        for other in beside(plan, one) {
            let both = soldered.contains(&other);
            if of_one_motor(plan, one, other)
                || (both && other < one)
                || (net_of(one).is_some() && net_of(one) == net_of(other))
            {
                continue;
            }
            card.push(check(
                Round::Neighbours,
                plan.terminals.label(one),
                plan.terminals.label(other),
                Limit::Open,
                "a solder bridge; a beep one way only is a semiconductor, look closer",
            ));
        }
    }
    card
}

/// The windings of a motor join its phases.
fn of_one_motor(plan: &Plan, one: TerminalId, other: TerminalId) -> bool {
    let [one, other] = [one, other].map(|id| plan.terminals.get(id));
    one.role == PadRole::Phase && other.role == PadRole::Phase && one.of == other.of
}

/// The nearest pads on the same side of the same board, at most two.
fn beside(plan: &Plan, id: TerminalId) -> Vec<TerminalId> {
    let here = plan.terminals.get(id);
    let Some((x, y)) = here.at_mm else {
        return Vec::new();
    };
    let away = |it: &Terminal| {
        it.at_mm
            .map(|(other_x, other_y)| (x - other_x).hypot(y - other_y))
    };
    let mut near: Vec<(f64, TerminalId)> = plan
        .terminals
        .ids()
        .filter(|other| *other != id)
        .filter_map(|other| {
            let it = plan.terminals.get(other);
            let beside = it.part == here.part && it.copy == here.copy && it.side == here.side;
            let away = away(it).filter(|away| beside && *away <= NEIGHBOUR_MM)?;
            Some((away, other))
        })
        .collect();
    near.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    near.into_iter().take(2).map(|(_, id)| id).collect()
}

fn phases(plan: &Plan) -> Vec<Check> {
    let mut parts: Vec<String> = plan
        .terminals
        .ids()
        .filter(|&id| plan.terminals.get(id).role == PadRole::Phase)
        .filter(|&id| plan.wires.iter().any(|wire| wire.ends[0] == id))
        .map(|id| plan.terminals.part_name(id))
        .collect();
    parts.dedup();
    let otherwise = "insulation gone, a screw that reaches the winding, or a cold joint";
    let both = parts.into_iter().flat_map(|part| {
        let apart = check(
            Round::Phases,
            format!("{part}, any lead"),
            "its screws, its bell, and carbon",
            Limit::Above(PHASE_OHM),
            otherwise,
        );
        let alike = check(
            Round::Phases,
            format!("{part}, its three leads two by two"),
            "one another",
            Limit::Alike(PHASES_ALIKE),
            otherwise,
        );
        [apart, alike]
    });
    both.collect()
}
