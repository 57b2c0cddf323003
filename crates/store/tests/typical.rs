//! The typical sheets held against what builders say of such parts.

use craft::pads::{Outline, Pad, PadRole, PortDuplex, Side, SignalKind};
use craft::sheet::Definite;
use craft::space::{SeatKind, Solid, SolidShape};
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

/// A definite length \[mm\], if it is written.
fn millimetres(length: &Option<Stated<Definite<Length>>>) -> Option<f64> {
    length.map(|length| length.value.0.in_millimetres())
}

/// Edges of the box around a solid, longest first \[mm\].
fn edges_mm(part: &Part, solid: &Solid) -> [f64; 3] {
    let outline = part.outline.as_ref().map(size_mm);
    let mm = |length: &Option<Stated<Definite<Length>>>| millimetres(length);
    let length = mm(&solid.length).or(outline.map(|(_, length)| length));
    let width = mm(&solid.width).or(outline.map(|(width, _)| width));
    let mut edges = match solid.shape.expect("a shape").value {
        SolidShape::Cylinder => [mm(&solid.diameter), mm(&solid.diameter), mm(&solid.height)],
        SolidShape::Board => {
            let layers = [&solid.thickness, &solid.above, &solid.below];
            let high = layers.into_iter().filter_map(millimetres).sum();
            [length, width, Some(high)]
        }
        _ => [length, width, mm(&solid.height)],
    }
    .map(|edge| edge.unwrap_or_else(|| panic!("{} has a solid without a size", part.name)));
    edges.sort_by(|one, other| other.total_cmp(one));
    edges
}

/// A kind of part by the beginning of its sheet's name, and bands for the longest and the shortest edge of its
/// largest solid \[mm\].
type Sizes = (&'static str, (f64, f64), (f64, f64));

/// Common practice: what such parts measure, from the lightest to the heaviest of their kind.
const SIZES: &[Sizes] = &[
    ("antenna-", (10.0, 30.0), (2.0, 20.0)),
    ("battery-1x", (50.0, 90.0), (6.0, 9.0)),
    ("battery-", (40.0, 90.0), (11.0, 40.0)),
    ("board-", (25.0, 40.0), (4.0, 10.0)),
    ("camera-a", (13.0, 20.0), (3.0, 20.0)),
    ("canopy-", (25.0, 45.0), (15.0, 30.0)),
    ("drivers-", (36.0, 50.0), (5.0, 12.0)),
    ("flight-controller-", (25.0, 40.0), (4.0, 10.0)),
    ("motor-", (9.0, 32.0), (8.0, 22.0)),
    ("receiver", (10.0, 20.0), (2.0, 5.0)),
    ("stack-", (36.0, 50.0), (5.0, 12.0)),
    ("transmitter-", (12.0, 40.0), (2.0, 15.0)),
    ("video-", (13.0, 36.0), (5.0, 15.0)),
];

/// The first line of the table for the sheet; a longer name stands before a shorter one.
fn sizes_of(name: &str) -> Option<&'static Sizes> {
    SIZES.iter().find(|(begins, ..)| name.starts_with(begins))
}

#[test]
fn checked_typical_parts_are_as_large_as_such_parts_are() {
    let mut met = BTreeSet::new();
    for part in sheets() {
        let Some((begins, longest, shortest)) = sizes_of(&part.name) else {
            continue;
        };
        met.insert(begins);
        let volume = |edges: &[f64; 3]| edges.iter().product::<f64>();
        let edges = part
            .solids
            .iter()
            .map(|solid| edges_mm(&part, &solid.facet))
            .max_by(|one, other| volume(one).total_cmp(&volume(other)))
            .unwrap_or_else(|| panic!("{} has no solid", part.name));
        for (edge, (low, high)) in [(edges[0], longest), (edges[2], shortest)] {
            assert!(
                (*low..=*high).contains(&edge),
                "{}: {edge:.1} mm is not {low} to {high}",
                part.name
            );
        }
    }
    assert_eq!(met.len(), SIZES.len(), "a kind without a sheet: {met:?}");
}

/// Common practice: packs with their sleeves and leads weigh 1.4 to 2.4 g for each cubic centimetre.
#[test]
fn checked_typical_batteries_are_as_dense_as_packs_are() {
    for part in sheets() {
        if part.cells.is_none() {
            continue;
        }
        let edges = edges_mm(&part, &part.solids[0].facet);
        let density = grams(&part) / (1e-3 * edges.iter().product::<f64>());
        assert!(
            (1.4..=2.4).contains(&density),
            "{}: {density:.2} g/cm³",
            part.name
        );
    }
}

#[test]
fn checked_every_typical_frame_has_what_parts_are_put_on() {
    for part in sheets() {
        for seat in &part.seats {
            let named = format!("{}.{}", part.name, seat.name.value);
            match seat.facet.kind.expect("a kind").value {
                SeatKind::Posts => assert!(seat.facet.holes.is_some(), "{named} has no holes"),
                SeatKind::Cheeks => assert!(
                    seat.facet.width.is_some() && seat.facet.tilt.is_some(),
                    "{named} has no width or no tilt"
                ),
                SeatKind::Tray | SeatKind::Flat => {}
            }
        }
        if part.frame.is_none() {
            continue;
        }
        for wanted in ["board", "tray", "receiver"] {
            assert!(
                part.seats.iter().any(|seat| seat.name.value == wanted),
                "{} has no seat for `{wanted}`",
                part.name
            );
        }
        assert!(
            part.holes.iter().any(|holes| holes.name.value == "motors"),
            "{} has no motor holes",
            part.name
        );
    }
}
