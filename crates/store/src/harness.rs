//! Names in what is said about wires: the pads of a sheet, links to ports, wires to pads.

use crate::text::unknown_name;
use craft::airframe::{Airframe, Harness};
use craft::pads::{Pad, PadRole};
use craft::part::Named;
use craft::{Bench, Diagnostic, Part, Stated};

/// What each pad belongs to, what each port shares, and pads that lie on one another.
pub fn sheet(bench: &Bench, part: &Part) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for pad in &part.pads {
        found.extend(owner(part, pad));
        found.extend(off_the_outline(bench, part, pad));
    }
    found.extend(same_place(part));
    let ports: Vec<&str> = part.ports.iter().map(|it| it.name.value.as_str()).collect();
    for port in &part.ports {
        let shared = port.facet.shares.iter().flat_map(|names| &names.value);
        for name in shared.filter(|name| !ports.contains(&name.value.as_str())) {
            let what = "port of this part";
            found.push(unknown_name("unknown-port", what, name, ports.clone()));
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
                pad.facet.side.map(|side| side.value),
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
pub fn airframe(airframe: &Airframe, harness: &Harness) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for link in &harness.links {
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
    }
    let grounds = airframe
        .feeds
        .iter()
        .filter_map(|feed| feed.table.ground.as_ref());
    for ground in grounds {
        found.extend(ground_target(airframe, ground));
    }
    found
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
fn ground_target(airframe: &Airframe, ground: &Stated<String>) -> Option<Diagnostic> {
    let (part, pad) = match ground.value.split_once('.') {
        Some((part, pad)) => (part, Some(pad)),
        None => (ground.value.as_str(), None),
    };
    let Some(at) = airframe.position(part) else {
        return Some(unknown_name("unknown-part", "part", ground, ids(airframe)));
    };
    let sheet = airframe.parts[at].part.as_deref()?;
    let grounds: Vec<&str> = sheet
        .pads
        .iter()
        .filter(|pad| {
            pad.facet
                .role
                .is_some_and(|role| role.value == PadRole::Ground)
        })
        .map(|pad| pad.name.value.as_str())
        .collect();
    match pad {
        Some(pad) if !grounds.contains(&pad) => {
            let what = format!("ground pad of `{part}`");
            Some(unknown_name("unknown-pad", &what, ground, grounds))
        }
        _ => None,
    }
}
