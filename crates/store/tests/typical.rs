//! The typical sheets held against what builders say of such parts.

use craft::Part;
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
