use super::*;
use craft::{Bench, Part, SourceFile};
use std::num::NonZeroU32;
use std::sync::Arc;

fn read(class: AirframeClass, known: &Known) -> Bench {
    let files = bench(class, "mine", known);
    let files = files
        .into_iter()
        .map(|(path, text)| SourceFile { path, text })
        .collect();
    let (bench, diagnostics) = crate::text::read(files);
    assert!(
        diagnostics.is_empty(),
        "{} {known:?}: {diagnostics:#?}",
        class.word()
    );
    bench
}

fn part(bench: &Bench, name: &str) -> Arc<Part> {
    let found = bench.parts.iter().find(|part| part.name == name);
    found.expect("an own sheet").clone()
}

fn grams(part: &Part) -> f64 {
    let mass = part.body.as_ref().and_then(|body| body.mass);
    mass.expect("a mass").written.in_grams()
}

#[test]
fn checked_a_starter_of_every_class_and_pack_reads_without_a_fault() {
    for class in AirframeClass::ALL {
        for cells in [0, 1, 2, 3, 5, 6, 12] {
            for digital in [false, true] {
                let known = Known {
                    // Zero stands for not told.
                    cells: NonZeroU32::new(cells),
                    capacity: Some(Charge::milliampere_hours(480.0)),
                    weighed: Some(Mass::grams(100.0)),
                    digital,
                };
                let bench = read(*class, &known);
                assert!(bench.refit_job("mine").is_some());
                let battery = part(&bench, "my-battery");
                let pack = battery.cells.as_ref().expect("cells");
                let capacity = pack.capacity.expect("a capacity");
                assert!((capacity.written.in_milliampere_hours() - 480.0).abs() < 1e-9);
                // What is printed on a pack is a label.
                assert_eq!(capacity.quantity.basis, quantity::Basis::Label);
                if cells > 0 {
                    assert_eq!(pack.series.expect("series").value, cells);
                }
            }
        }
    }
}

/// Every figure of a starter fits the cells the builder named, its title with them.
#[test]
fn checked_mass_and_kv_go_with_the_cells() {
    let known = |cells, milliampere_hours| Known {
        cells: NonZeroU32::new(cells),
        capacity: Some(Charge::milliampere_hours(milliampere_hours)),
        ..Known::default()
    };
    // A typical pack as it is: 4 × 1500 mAh, 174 to 192 g.
    let bench = read(AirframeClass::Open5, &known(4, 1500.0));
    let battery = part(&bench, "my-battery");
    assert_eq!(battery.title(), "Battery, four cells, 1500 mAh");
    assert!((grams(&battery) - 183.0).abs() < 0.1);
    assert_eq!(
        part(&bench, "my-motor").title(),
        "Motor 2207 for four cells"
    );
    // None has five cells. Nearest in energy to 5 × 1300 = 6500 mAh is 6 × 1100 = 6600 mAh of 195 g:
    // 195 × 6500/6600 = 192.0 g. The motor for four cells is as near as that for six and comes first:
    // 2500 × 4/5 = 2000 rpm/V.
    let bench = read(AirframeClass::Open5, &known(5, 1300.0));
    let battery = part(&bench, "my-battery");
    assert_eq!(battery.title(), "Battery, five cells, 1300 mAh");
    assert!((grams(&battery) - 192.0).abs() < 0.05);
    let motor = part(&bench, "my-motor");
    let kv = motor.motor.as_ref().and_then(|motor| motor.kv);
    assert!((kv.expect("a Kv").written.in_rpm_per_volt() - 2000.0).abs() < 1e-6);
}

#[test]
fn checked_without_a_printed_capacity_the_pack_is_a_typical_one() {
    let known = Known {
        cells: NonZeroU32::new(2),
        ..Known::default()
    };
    // Nearest to 1 × 450 mAh of the class among two-cell packs: 2 × 300 mAh.
    let battery = part(&read(AirframeClass::Ducted75, &known), "my-battery");
    assert_eq!(battery.title(), "Battery, two cells, 300 mAh");
    assert!((grams(&battery) - 19.0).abs() < 0.1);
    // The only packs of six cells hold twice the energy of this class's 4 × 850 mAh, so that one is converted:
    // 3400/6 mAh, at the same 100 g.
    let known = Known {
        cells: NonZeroU32::new(6),
        ..Known::default()
    };
    let battery = part(&read(AirframeClass::Open35, &known), "my-battery");
    assert_eq!(battery.title(), "Battery, six cells, 570 mAh");
    assert!((grams(&battery) - 100.0).abs() < 1.0);
}

/// With the usual pack of the class, every part but a finder buzzer knows where it sits.
#[test]
fn checked_every_part_of_a_usual_starter_has_a_place() {
    // These have theirs from the frame's diagonal.
    let from_frame = ["frame", "propellers"];
    for class in AirframeClass::ALL {
        for digital in [false, true] {
            let known = Known {
                digital,
                ..Known::default()
            };
            let bench = read(*class, &known);
            let job = bench.refit_job("mine").expect("a job");
            let after = job.after().expect("a refit");
            for airframe in [job.before(), after] {
                for fitted in &airframe.parts {
                    let id = fitted.id.value.as_str();
                    let has_place = from_frame.contains(&id) || airframe.place(id).is_some();
                    assert_eq!(has_place, id != "finder", "{} {id}", class.word());
                }
            }
        }
    }
}

/// A pack of more energy is larger in each direction by the cube root.
#[test]
fn checked_a_converted_pack_grows_with_its_energy() {
    let size = |milliampere_hours| {
        let known = Known {
            cells: NonZeroU32::new(4),
            capacity: Some(Charge::milliampere_hours(milliampere_hours)),
            ..Known::default()
        };
        let battery = part(&read(AirframeClass::Open5, &known), "my-battery");
        let length = battery.solids[0].facet.length.expect("a length");
        length.value.0.in_millimetres()
    };
    // From 4 × 1500 mAh, 76 mm long, to 4 × 2000 mAh, of which there is none: 76 × (4/3)^(1/3) = 83.6 mm.
    assert!((size(1500.0) - 76.0).abs() < 1e-9);
    assert!((size(2000.0) - 83.65).abs() < 0.051);
}
