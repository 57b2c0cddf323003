//! Random plans are put on paper and judged by geometry that shares nothing with the arranging.

mod check;
mod plans;

use check::faults;
use diagram::{End, Page, Plan, Point, Sheet, arrange};
use proptest::prelude::*;

fn sheet_of(plan: &Plan) -> Sheet {
    arrange(plan, Page::default())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn checked_random_plans_lie_clean(plan in plans::random()) {
        let sheet = sheet_of(&plan);
        prop_assert_eq!(faults(&sheet, &plan), Vec::<String>::new());
        prop_assert!(sheet.is_clean());
    }

    #[test]
    fn checked_nothing_makes_it_fall_over(plan in plans::wild()) {
        let sheet = sheet_of(&plan);
        let drawn = sheet.wires.len() + sheet.left_out.len();
        prop_assert_eq!(drawn, plan.wires.len());
        let numbers = sheet.wires.iter().flat_map(|wire| &wire.points);
        prop_assert!(numbers.into_iter().all(|at| at.x.is_finite() && at.y.is_finite()));
        // What the sheet calls clean is clean.
        if sheet.is_clean() {
            prop_assert_eq!(faults(&sheet, &plan), Vec::<String>::new());
        }
    }
}

#[test]
fn checked_the_same_plan_gives_the_same_sheet() {
    let plan = plans::flight_board();
    assert_eq!(sheet_of(&plan), sheet_of(&plan));
}

#[test]
fn checked_a_flight_board_with_its_devices_lies_clean_on_a4() {
    let plan = plans::flight_board();
    let sheet = sheet_of(&plan);
    assert_eq!(faults(&sheet, &plan), Vec::<String>::new());
    assert!(sheet.is_clean());
    assert_eq!((sheet.width, sheet.height), (297.0, 210.0));
    // 24 mm between the outer rows of pads, on paper at the sheet's scale.
    let scale = sheet.scale.expect("the board is drawn to scale");
    let [left, right] = [0, 10].map(|pad| sheet.blocks[0].pads[pad].rect.middle());
    assert!((right.x - left.x - 24.0 * scale).abs() < 1e-9);
    assert!(
        sheet
            .texts
            .iter()
            .all(|text| text.size * diagram::letters::CAPITAL >= 2.0)
    );
}

#[test]
fn checked_the_judge_finds_what_is_wrong() {
    let plan = plans::flight_board();
    let good = sheet_of(&plan);
    let spoilt = |spoil: &dyn Fn(&mut Sheet)| {
        let mut sheet = good.clone();
        spoil(&mut sheet);
        !faults(&sheet, &plan).is_empty()
    };
    let through = |sheet: &mut Sheet, wire: usize, at: Point| {
        let points = &mut sheet.wires[wire].points;
        let first = points[0];
        let back = Point {
            x: at.x,
            y: first.y,
        };
        points.splice(1..1, [back, at, back, first]);
    };
    assert!(
        spoilt(&|sheet| sheet.wires[0].points[0].x += 0.1),
        "a wire beside its pad"
    );
    assert!(
        spoilt(&|sheet| sheet.texts[1].rect = sheet.texts[0].rect),
        "words on words"
    );
    assert!(
        spoilt(&|sheet| {
            let pad = sheet.blocks[0].pads[20].rect.middle();
            through(sheet, 0, pad);
        }),
        "a wire over a pad that is not its own"
    );
    assert!(
        spoilt(&|sheet| {
            let word = sheet.texts[0].rect.middle();
            through(sheet, 5, word);
        }),
        "a wire through words"
    );
    assert!(
        spoilt(&|sheet| sheet.wires[1].points = sheet.wires[0].points.clone()),
        "two wires on one way"
    );
    assert!(
        spoilt(&|sheet| sheet.width = 200.0),
        "a sheet that is cut off"
    );
    assert!(
        spoilt(&|sheet| sheet.wires.truncate(3)),
        "a wire that is missing"
    );
}

#[test]
fn checked_a_wire_without_two_ends_is_left_out_and_said_so() {
    let mut plan = plans::flight_board();
    plan.wires[0].ends[1] = End { block: 99, pad: 0 };
    plan.wires[2].ends[1] = plan.wires[2].ends[0];
    let sheet = sheet_of(&plan);
    assert_eq!(sheet.left_out, [0, 2]);
    assert_eq!(sheet.wires.len(), plan.wires.len() - 2);
}

#[test]
fn checked_an_empty_plan_is_an_empty_sheet() {
    let sheet = sheet_of(&Plan::default());
    assert!(sheet.is_clean() && sheet.blocks.is_empty() && sheet.wires.is_empty());
    assert!(sheet.width > 0.0);
}
