//! Names in what is said about wires: the pads of a sheet, links to ports, wires to pads.

use crate::link::taken_off;
use crate::text::unknown_name;
use craft::airframe::{Airframe, Feed, Harness, Link, Refit, WireWritten};
use craft::pads::{Pad, PadRole, Port, Side, SignalKind};
use craft::part::Named;
use craft::{Bench, Diagnostic, Part, Stated};

/// What each pad belongs to, what each port shares, and pads that lie on one another.
pub fn sheet(bench: &Bench, part: &Part) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    found.extend(number_twice(part));
    for pad in &part.pads {
        found.extend(owner(part, pad));
        found.extend(unsuited(part, pad));
        found.extend(off_the_outline(bench, part, pad));
    }
    found.extend(same_place(part));
    let ports: Vec<&str> = part.ports.iter().map(|it| it.name.value.as_str()).collect();
    for port in &part.ports {
        let own = port.name.value.as_str();
        let others: Vec<&str> = ports.iter().copied().filter(|name| *name != own).collect();
        let shared = port.facet.shares.iter().flat_map(|names| &names.value);
        for name in shared.filter(|name| !others.contains(&name.value.as_str())) {
            let what = "other port of this part";
            found.push(unknown_name("unknown-port", what, name, others.clone()));
        }
    }
    for signal in &part.signals {
        if let Some(port) = part
            .ports
            .iter()
            .find(|port| port.name.value == signal.name.value)
        {
            let message = format!(
                "`{}` is the name of a signal and of a port",
                signal.name.value
            );
            found.push(
                Diagnostic::error("name-twice", signal.name.place, message)
                    .also(port.name.place, "the port"),
            );
        }
    }
    found
}

/// The names a pad of this role may belong to.
fn owners(part: &Part, role: PadRole) -> Vec<&str> {
    fn names<T>(list: &[Named<T>]) -> impl Iterator<Item = &str> {
        list.iter().map(|named| named.name.value.as_str())
    }
    let power = || {
        names(&part.rails)
            .chain(names(&part.inputs))
            .chain(["pack"])
    };
    let signals = || names(&part.ports).chain(names(&part.signals));
    match role {
        PadRole::Power => power().collect(),
        PadRole::PowerIn => names(&part.rails).collect(),
        PadRole::Ground => power().chain(signals()).collect(),
        PadRole::Other => power().chain(signals()).collect(),
        _ => signals().collect(),
    }
}

fn owner(part: &Part, pad: &Named<Pad>) -> Option<Diagnostic> {
    let role = pad.facet.role.as_ref()?.value;
    let known = owners(part, role);
    match &pad.facet.of {
        Some(of) if !known.contains(&of.value.as_str()) => {
            let what = match role {
                PadRole::Power | PadRole::PowerIn => "rail or input of this part",
                PadRole::Ground | PadRole::Other => "rail, input, port or signal of this part",
                _ => "port or signal of this part",
            };
            Some(unknown_name("unknown-owner", what, of, known))
        }
        None if !matches!(role, PadRole::Ground | PadRole::Other) => {
            let message = format!("`{}` does not say what it belongs to", pad.name.value);
            let fault = Diagnostic::error("missing-key", pad.facet.place, message);
            Some(fault.hint(match role {
                PadRole::Power | PadRole::PowerIn => "write `of` with the rail or input, or `pack`",
                _ => "write `of` with the port or signal",
            }))
        }
        _ => None,
    }
}

/// Two serial ports with one printed number: nobody could tell which is meant.
fn number_twice(part: &Part) -> Vec<Diagnostic> {
    let numbered = |port: &Named<Port>| {
        let is_serial = port
            .facet
            .kind
            .is_none_or(|kind| kind.value == SignalKind::Serial);
        let number = port.facet.number.as_ref().map(|number| number.value);
        number
            .or_else(|| port.name.value.parse().ok())
            .filter(|_| is_serial)
    };
    let twin = |at: usize| {
        let port = &part.ports[at];
        let number = numbered(port)?;
        // One port on two pads, plain and through an inverter, says so by `shares`.
        let shares = |one: &Named<Port>, other: &Named<Port>| {
            let mut names = one.facet.shares.iter().flat_map(|names| &names.value);
            names.any(|name| name.value == other.name.value)
        };
        let first = part.ports[..at].iter().find(|other| {
            numbered(other) == Some(number) && !shares(port, other) && !shares(other, port)
        })?;
        let message = format!(
            "`{}` and `{}` are both number {number}",
            first.name.value, port.name.value
        );
        Some(
            Diagnostic::warning("number-twice", port.name.place, message)
                .also(first.name.place, "the other port"),
        )
    };
    (0..part.ports.len()).filter_map(twin).collect()
}

/// A pad whose role has nothing to do with the kind of its port or signal.
fn unsuited(part: &Part, pad: &Named<Pad>) -> Option<Diagnostic> {
    use PadRole::{Clock, Data, OneWire, Phase, SerialIn, SerialOut, SignalIn, SignalOut};
    let (role, of) = (pad.facet.role.as_ref()?, pad.facet.of.as_ref()?);
    let port = part.ports.iter().find(|port| port.name.value == of.value);
    let signal = part
        .signals
        .iter()
        .find(|signal| signal.name.value == of.value);
    let written = port
        .map(|port| port.facet.kind)
        .or(signal.map(|signal| signal.facet.kind))?;
    let kind = written.map_or(SignalKind::Serial, |kind| kind.value);
    let is_for_signals = matches!(
        role.value,
        Clock | Data | OneWire | Phase | SerialIn | SerialOut | SignalIn | SignalOut
    );
    let suits = match kind {
        SignalKind::Serial => matches!(role.value, SerialIn | SerialOut | OneWire),
        SignalKind::TwoWireBus => matches!(role.value, Clock | Data),
        SignalKind::MotorPhases => role.value == Phase,
        _ => matches!(role.value, SignalIn | SignalOut | OneWire),
    };
    let message = format!(
        "a {} pad is nothing for `{}`, which is {}",
        role.value.word(),
        of.value,
        kind.word()
    );
    (is_for_signals && !suits).then(|| {
        Diagnostic::warning("role-unsuited", role.place, message)
            .also(of.place, "what it belongs to")
    })
}

/// A pad further out than the board reaches is a mistyped figure, or the middle was counted otherwise.
fn off_the_outline(bench: &Bench, part: &Part, pad: &Named<Pad>) -> Option<Diagnostic> {
    let outline = part.outline.as_ref()?;
    let beyond = |at: &Option<Stated<_>>, size: &Option<Stated<_>>| -> Option<Diagnostic> {
        let (at, size) = (at.as_ref()?, size.as_ref()?);
        let (at_mm, half_mm) = (length_mm(at), 0.5 * length_mm(size));
        // Pads of a cut-away edge may stand out by as much as they are wide.
        if at_mm.abs() <= half_mm + STANDS_OUT_MM {
            return None;
        }
        let message = format!(
            "`{}` lies at {}, outside a board of {}",
            pad.name.value,
            bench.text_at(at.place).trim_matches(['"', '\'']),
            bench.text_at(size.place).trim_matches(['"', '\'']),
        );
        Some(
            Diagnostic::warning("off-the-board", at.place, message)
                .also(size.place, "the board's size")
                .hint("positions are counted from the middle of the board"),
        )
    };
    beyond(&pad.facet.x, &outline.width).or_else(|| beyond(&pad.facet.y, &outline.length))
}

/// How far a pad may stand out of the board it is on.
const STANDS_OUT_MM: f64 = 1.5;
/// Pads nearer than this are the same place written twice.
const SAME_PLACE_MM: f64 = 0.3;

fn length_mm(length: &Stated<craft::sheet::Definite<quantity::Length>>) -> f64 {
    length.value.0.in_millimetres()
}

fn same_place(part: &Part) -> Vec<Diagnostic> {
    let placed: Vec<_> = part
        .pads
        .iter()
        .filter_map(|pad| {
            let (x, y) = (pad.facet.x.as_ref()?, pad.facet.y.as_ref()?);
            Some((
                pad,
                length_mm(x),
                length_mm(y),
                pad.facet.side.map_or(Side::Top, |side| side.value),
            ))
        })
        .collect();
    let mut found = Vec::new();
    for (at, (pad, x, y, side)) in placed.iter().enumerate() {
        let twin = placed[..at]
            .iter()
            .find(|(_, other_x, other_y, other_side)| {
                (x - other_x).hypot(y - other_y) < SAME_PLACE_MM && side == other_side
            });
        if let Some((other, ..)) = twin {
            let message = format!(
                "`{}` lies where `{}` lies",
                pad.name.value, other.name.value
            );
            found.push(
                Diagnostic::warning("pad-on-pad", pad.name.place, message)
                    .also(other.name.place, "the other pad"),
            );
        }
    }
    found
}

/// Checks the links and wires written in one file against the airframe they end up on.
pub fn airframe(airframe: &Airframe, harness: &Harness, refit: Option<&Refit>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let gone = |part: &Stated<String>, what: &str| gone(refit, part, what);
    for link in &harness.links {
        let to = link.table.to.as_ref();
        let fault = gone(&link.part, "is linked")
            .or_else(|| to.and_then(|to| gone(to, "is linked to")))
            .or_else(|| reversed(airframe, link));
        if let Some(fault) = fault {
            found.push(fault);
            continue;
        }
        let what = format!("signal of `{}`", link.part.value);
        // An antenna is linked to a radio as a signal is to a port.
        let signal = |part: &Part| [names(&part.signals), names(&part.jacks)].concat();
        found.extend(of_part(
            airframe,
            &link.part,
            &link.signal,
            &what,
            "unknown-signal",
            signal,
        ));
        let ports = |part: &Part| [names(&part.ports), names(&part.jacks)].concat();
        let to = link.table.to.as_ref();
        found.extend(to.and_then(|to| target(airframe, to, "port", "unknown-port", ports)));
    }
    for wire in &harness.wires {
        let to = wire.table.to.as_ref();
        let fault = gone(&wire.part, "is wired");
        if let Some(fault) = fault.or_else(|| to.and_then(|to| gone(to, "is wired to"))) {
            found.push(fault);
            continue;
        }
        let what = format!("pad of `{}`", wire.part.value);
        let pads = |part: &Part| names(&part.pads);
        found.extend(of_part(
            airframe,
            &wire.part,
            &wire.pad,
            &what,
            "unknown-pad",
            pads,
        ));
        let to = wire.table.to.as_ref();
        found.extend(to.and_then(|to| target(airframe, to, "pad", "unknown-pad", pads)));
        found.extend(loop_or_twin(airframe, wire));
    }
    for feed in &airframe.feeds {
        let ground = feed.table.ground.as_ref();
        found.extend(ground.and_then(|ground| ground_target(airframe, feed, ground)));
    }
    found
}

/// A part, or a part and one of its names, that the refit takes off and something written for it still names.
fn gone(refit: Option<&Refit>, name: &Stated<String>, what: &str) -> Option<Diagnostic> {
    let part = name
        .split_once('.')
        .map_or(name.value.as_str(), |(part, _)| part);
    let place = taken_off(refit, part)?.place;
    let message = format!("`{part}` {what} here, but it is taken off");
    Some(
        Diagnostic::error("unknown-part", name.place, message)
            .also(place, "taken off here")
            .hint("take the line out, or name a part that stays on"),
    )
}

/// A link written from the port to the signal.
fn reversed(airframe: &Airframe, link: &Link) -> Option<Diagnostic> {
    let sheet = |id: &str| airframe.parts[airframe.position(id)?].part.as_deref();
    let to = link.table.to.as_ref()?;
    let (device, signal) = to.split_once('.')?;
    let port = &link.signal.value;
    let is_port = names(&sheet(&link.part)?.ports).contains(port);
    let is_signal = names(&sheet(device)?.signals).contains(&signal.to_owned());
    let from = format!("{}.{port}", link.part.value);
    let message = format!("`{from}` is a port, and `{}` a signal", to.value);
    let fault = Diagnostic::error("unknown-signal", link.signal.place, message)
        .also(to.place, "the signal")
        .hint(format!("write `{} = \"{from}\"`", to.value));
    (is_port && is_signal).then_some(fault)
}

/// A wire that ends where it begins, or that is written a second time.
fn loop_or_twin(airframe: &Airframe, wire: &WireWritten) -> Option<Diagnostic> {
    let ends = |wire: &WireWritten| {
        let here = format!("{}.{}", wire.part.value, wire.pad.value);
        let mut ends = [here, wire.table.to.as_ref()?.value.clone()];
        ends.sort();
        Some(ends)
    };
    let mine = ends(wire)?;
    if mine[0] == mine[1] {
        let message = format!("this wire begins and ends at `{}`", mine[0]);
        return Some(Diagnostic::error("wire-loop", wire.pad.place, message));
    }
    let place = wire.pad.place;
    let twin = airframe.harness.wires.iter().find(|other| {
        // The other file is the craft's, which is there before its refit.
        let earlier = other.pad.place.file != place.file || other.pad.place < place;
        earlier && ends(other).as_ref() == Some(&mine)
    })?;
    let message = format!(
        "the wire from `{}` to `{}` is written twice",
        mine[0], mine[1]
    );
    let fault = Diagnostic::error("wire-twice", place, message);
    Some(fault.also(twin.pad.place, "the first one"))
}

fn names<T>(list: &[Named<T>]) -> Vec<String> {
    list.iter().map(|named| named.name.value.clone()).collect()
}

fn ids(airframe: &Airframe) -> Vec<&str> {
    airframe
        .parts
        .iter()
        .map(|part| part.id.value.as_str())
        .collect()
}

/// A name on a part that must be there.
fn of_part(
    airframe: &Airframe,
    part: &Stated<String>,
    name: &Stated<String>,
    what: &str,
    id: &'static str,
    names: impl Fn(&Part) -> Vec<String>,
) -> Option<Diagnostic> {
    let Some(at) = airframe.position(part) else {
        return Some(unknown_name("unknown-part", "part", part, ids(airframe)));
    };
    // A missing sheet has been reported where it is named.
    let known = names(airframe.parts[at].part.as_deref()?);
    let missing = !known.contains(&name.value);
    missing.then(|| unknown_name(id, what, name, known.iter().map(String::as_str).collect()))
}

/// A part and one of its names: `board.2`.
fn target(
    airframe: &Airframe,
    to: &Stated<String>,
    what: &str,
    id: &'static str,
    names: impl Fn(&Part) -> Vec<String>,
) -> Option<Diagnostic> {
    let all = || -> Vec<String> {
        airframe
            .found()
            .flat_map(|(_, fitted, part)| {
                let id = fitted.id.value.clone();
                names(part)
                    .into_iter()
                    .map(move |name| format!("{id}.{name}"))
            })
            .collect()
    };
    if let Some((part, name)) = to.value.split_once('.')
        && let Some(at) = airframe.position(part)
    {
        let sheet = airframe.parts[at].part.as_deref()?;
        if names(sheet).iter().any(|known| known == name) {
            return None;
        }
    }
    let known = all();
    let what = format!("{what} on this craft");
    Some(unknown_name(
        id,
        &what,
        to,
        known.iter().map(String::as_str).collect(),
    ))
}

/// Where a ground goes: a part, or one of its ground pads.
fn ground_target(airframe: &Airframe, feed: &Feed, ground: &Stated<String>) -> Option<Diagnostic> {
    let (part, pad) = match ground.value.split_once('.') {
        Some((part, pad)) => (part, Some(pad)),
        None => (ground.value.as_str(), None),
    };
    let Some(at) = airframe.position(part) else {
        return Some(unknown_name("unknown-part", "part", ground, ids(airframe)));
    };
    if part == feed.part.value {
        let message = format!("the ground of `{part}` goes to `{part}` itself");
        let hint = "write the part that its current comes back to, or leave `ground` out";
        return Some(Diagnostic::error("ground-loop", ground.place, message).hint(hint));
    }
    let sheet = airframe.parts[at].part.as_deref()?;
    let grounds: Vec<String> = sheet
        .pads
        .iter()
        .filter(|pad| {
            pad.facet
                .role
                .is_some_and(|role| role.value == PadRole::Ground)
        })
        .map(|pad| format!("{part}.{}", pad.name.value))
        .collect();
    let missing = pad.is_some() && !grounds.contains(&ground.value);
    missing.then(|| {
        let what = format!("ground pad of `{part}`");
        let known = grounds.iter().map(String::as_str).collect();
        unknown_name("unknown-pad", &what, ground, known)
    })
}
