//! The typical sheets held against what builders say of such parts.

use craft::pads::{Outline, Pad, PadRole, PortDuplex, Side, SignalKind};
use craft::sheet::Definite;
use craft::{Named, Part, Stated};
use quantity::Length;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

fn sheets() -> Vec<Arc<Part>> {
    let (bench, faults) = store::text::read(Vec::new());
    assert!(faults.is_empty(), "{faults:#?}");
    bench.parts
}

fn grams(part: &Part) -> f64 {
    let body = part.body.as_ref().expect("a mass table");
    body.mass.as_ref().expect("a mass").written.in_grams()
}

#[test]
fn checked_every_sheet_in_the_folder_is_shipped() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("typical");
    let files = store::disk::read_folder(&folder).expect("the folder of typical sheets");
    let on_disk: BTreeSet<String> = files.into_iter().map(|file| file.path).collect();
    let shipped: BTreeSet<String> = store::typical::files()
        .map(|file| file.path.trim_start_matches("typical/").to_owned())
        .collect();
    assert_eq!(on_disk, shipped);
}

#[test]
fn checked_every_sheet_says_what_it_is_and_that_it_is_typical() {
    for part in sheets() {
        assert!(part.header.title.is_some(), "{} has no title", part.name);
        assert!(
            store::typical::is_typical(&part.name, &part),
            "{} is not marked typical",
            part.name
        );
        assert!(grams(&part) > 0.0, "{}", part.name);
    }
}

/// Common practice: packs of small craft hold 105 to 155 Wh/kg with their leads; outside 90 to 170 a
/// figure is mistyped. Nominal 3.7 V for each cell.
#[test]
fn checked_typical_batteries_hold_what_such_packs_hold() {
    for part in sheets() {
        let Some(cells) = &part.cells else { continue };
        let capacity = cells.capacity.as_ref().expect("a capacity");
        let series = f64::from(cells.series.as_ref().expect("cells in series").value);
        let watt_hours = 3.7 * series * capacity.written.in_ampere_hours();
        let per_kilogram = watt_hours / (1e-3 * grams(&part));
        assert!(
            (105.0..=155.0).contains(&per_kilogram),
            "{}: {per_kilogram:.0} Wh/kg",
            part.name
        );
    }
}

/// Common practice: 0.5 + 0.0098·d²·h g for a stator of d by h mm, ± 20 %. Half of that again, because a code
/// fixes neither bell nor magnets.
const STATOR_LAW: f64 = 0.30;

#[test]
fn checked_typical_motors_weigh_what_their_stators_say() {
    for part in sheets() {
        let Some(motor) = &part.motor else { continue };
        let code = &motor.code.as_ref().expect("a code").value;
        let (d, h) = code.split_at(2);
        let (d, h): (f64, f64) = (d.parse().expect("a number"), h.parse().expect("a number"));
        let law = 0.5 + 0.0098 * d * d * h;
        let share = grams(&part) / law - 1.0;
        assert!(
            share.abs() < STATOR_LAW,
            "{}: {share:+.2} of {law:.1} g",
            part.name
        );
    }
}

/// Every device on a craft has its volts, every rail that is set has its output, and what it would cost to
/// lose each device's supply is said, so that no typical part leaves a question open.
#[test]
fn checked_typical_devices_say_what_the_checks_ask() {
    for part in sheets() {
        for input in &part.inputs {
            let named = format!("{}.{}", part.name, input.name.value);
            assert!(input.facet.volts.is_some(), "{named} has no volts");
            assert!(input.facet.loss.is_some(), "{named} has no loss");
        }
        for rail in &part.rails {
            let named = format!("{}.{}", part.name, rail.name.value);
            assert!(rail.facet.continuous.is_some(), "{named} has no rating");
        }
    }
}

/// Where a pad lies, counted from the middle \[mm\].
fn at_mm(pad: &Pad) -> Option<(f64, f64)> {
    let (x, y) = (pad.x.as_ref()?, pad.y.as_ref()?);
    Some((x.value.0.in_millimetres(), y.value.0.in_millimetres()))
}

/// Across and along \[mm\].
fn size_mm(outline: &Outline) -> (f64, f64) {
    let mm = |size: &Option<Stated<Definite<Length>>>| {
        size.as_ref().expect("a size").value.0.in_millimetres()
    };
    (mm(&outline.width), mm(&outline.length))
}

fn is_ground(pad: &Named<Pad>) -> bool {
    pad.facet
        .role
        .is_some_and(|role| role.value == PadRole::Ground)
}

/// Boards of at least six shapes, drawn well enough to find a pad on them.
const DRAWN_BOARDS: usize = 6;
/// A board with fewer placed pads is not drawn yet.
const DRAWN_PADS: usize = 8;

#[test]
fn checked_boards_of_six_shapes_are_drawn() {
    let shapes: BTreeSet<String> = sheets()
        .iter()
        .filter(|part| part.pads.iter().filter_map(|pad| at_mm(&pad.facet)).count() >= DRAWN_PADS)
        .filter_map(|part| part.outline.as_ref())
        .map(|outline| {
            let (width, length) = size_mm(outline);
            format!("{width:.1} x {length:.1}")
        })
        .collect();
    assert!(shapes.len() >= DRAWN_BOARDS, "{shapes:?}");
}

/// Common practice: pads nearer than this from middle to middle are not soldered by hand.
const LEAST_PITCH_MM: f64 = 1.5;

#[test]
fn checked_pads_lie_apart_and_on_their_board() {
    for part in sheets() {
        let placed: Vec<_> = part
            .pads
            .iter()
            .filter_map(|pad| Some((pad, at_mm(&pad.facet)?)))
            .collect();
        if placed.is_empty() {
            continue;
        }
        let outline = part.outline.as_ref().expect("an outline around the pads");
        let (width, length) = size_mm(outline);
        for (at, (pad, (x, y))) in placed.iter().enumerate() {
            let named = format!("{}.{}", part.name, pad.name.value);
            assert!(
                x.abs() < 0.5 * width && y.abs() < 0.5 * length,
                "{named} is off the board"
            );
            let side = |pad: &Named<Pad>| pad.facet.side.map_or(Side::Top, |side| side.value);
            for (other, (other_x, other_y)) in &placed[..at] {
                let apart = (x - other_x).hypot(y - other_y);
                assert!(
                    side(pad) != side(other) || apart >= LEAST_PITCH_MM,
                    "{named} is {apart:.2} mm from {}",
                    other.name.value
                );
            }
        }
    }
}

/// A motor takes its current from one lead and gives it back through another; all else needs a way back.
#[test]
fn checked_whatever_has_pads_has_a_ground() {
    for part in sheets() {
        let needs_ground = !part.pads.is_empty() && part.motor.is_none();
        assert!(
            !needs_ground || part.pads.iter().any(is_ground),
            "{} has no ground pad",
            part.name
        );
    }
}

/// A serial port, or a signal a device cannot do without, is no use without a pad to solder to; only what is
/// owned on the board already needs none.
#[test]
fn checked_every_port_and_signal_has_its_pads() {
    for part in sheets() {
        let pads_of = |name: &str, role: PadRole| {
            part.pads.iter().any(|pad| {
                pad.facet.of.as_ref().is_some_and(|of| of.value == name)
                    && pad.facet.role.is_some_and(|it| it.value == role)
            })
        };
        for port in &part.ports {
            let facet = &port.facet;
            let kind = facet.kind.map_or(SignalKind::Serial, |kind| kind.value);
            if kind != SignalKind::Serial || facet.used_by.is_some() {
                continue;
            }
            let duplex = facet.duplex.map_or(PortDuplex::Full, |it| it.value);
            let (name, named) = (
                &port.name.value,
                format!("{}.{}", part.name, port.name.value),
            );
            let sends = pads_of(name, PadRole::SerialOut);
            let listens = pads_of(name, PadRole::SerialIn);
            assert_eq!(sends, duplex != PortDuplex::ReceiveOnly, "{named} sends");
            assert_eq!(listens, duplex != PortDuplex::SendOnly, "{named} listens");
        }
        let owned = |name: &str| {
            part.pads
                .iter()
                .any(|pad| pad.facet.of.as_ref().is_some_and(|of| of.value == name))
        };
        let ports = part
            .ports
            .iter()
            .filter(|port| port.facet.used_by.is_none())
            .map(|port| &port.name.value);
        let signals = part.signals.iter().map(|signal| &signal.name.value);
        for name in ports.chain(signals) {
            assert!(owned(name), "{}.{name} has no pad", part.name);
        }
    }
}
