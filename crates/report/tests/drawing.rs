//! The drawings of the demo benches, judged by the geometry that judges random plans.

#[path = "../../diagram/tests/lies_clean/check.rs"]
mod check;

use diagram::{Sheet, arrange};
use report::drawing::page;
use report::wiring::{Drawing, drawing, svg};
use std::path::Path;
use workbench::assess::{Assessment, Options, assess};

const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];

fn assessment(demo: &str) -> Assessment {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../benches")
        .join(demo);
    let files = store::disk::read_folder(&folder).expect("the demo is there");
    let (bench, _) = store::text::read(files);
    let job = bench.refit_job(demo).expect("the demo has a refit");
    let options = Options {
        draws: 64,
        settle: false,
        ..Options::default()
    };
    assess(&job, options)
}

fn sheet(drawing: &Drawing) -> Sheet {
    arrange(&drawing.plan, page(&drawing.title))
}

#[test]
fn checked_the_demos_lie_clean_on_a4() {
    for demo in DEMOS {
        let drawing = drawing(&assessment(demo));
        let sheet = sheet(&drawing);
        assert_eq!(
            check::faults(&sheet, &drawing.plan),
            Vec::<String>::new(),
            "{demo}"
        );
        assert_eq!((sheet.width, sheet.height), (297.0, 210.0), "{demo}");
    }
}

#[test]
fn checked_every_wire_of_the_list_and_every_one_taken_off_is_drawn() {
    for demo in DEMOS {
        let assessment = assessment(demo);
        let drawing = drawing(&assessment);
        let before = &assessment.before.as_ref().expect("a refit").plan;
        let after = &assessment.judged.plan;
        let moves = wiring::moves::moves(before, after);
        let off = moves.iter().filter(|it| it.old.is_some()).count();
        let sheet = sheet(&drawing);
        assert_eq!(drawing.plan.wires.len(), after.wires.len() + off, "{demo}");
        assert_eq!(sheet.wires.len(), drawing.plan.wires.len(), "{demo}");
        assert!(sheet.left_out.is_empty(), "{demo}");
    }
}

#[test]
fn checked_the_same_bench_draws_the_same_picture() {
    let once = svg(&drawing(&assessment("hull-85")));
    assert_eq!(once, svg(&drawing(&assessment("hull-85"))));
}
