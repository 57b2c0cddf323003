//! Where parts come to lie: seats, posts, motors, and what is told of pairs.

use craft::space::SeatKind;
use craft::{Airframe, SourceFile};
use space::clearance::{Want, clearances};
use space::holes::{HoleFit, meets};
use space::layout::{Layout, Why};
use space::shape::Meshes;

const FRAME: &str = "[body]\nmass = \"20 g\"\n[frame]\nrotors = 4\ndiagonal = \"141.42135623730951 mm\"\nturning = \"inward\"\nmotor_height = \"1 mm\"\n\
    [solid.plate]\nshape = \"box\"\nlength = \"90 mm\"\nwidth = \"40 mm\"\nheight = \"2 mm\"\nz = \"-1 mm\"\nmaterial = \"carbon\"\n\
    [holes.boards]\nsquare = \"25.5 mm\"\nthread = \"M2\"\n[seat.stack]\nkind = \"posts\"\nx = \"5 mm\"\nz = \"4 mm\"\nholes = \"boards\"\n\
    [seat.under]\nkind = \"tray\"\nz = \"-2 mm\"\nfaces = \"down\"\n[seat.nose]\nkind = \"cheeks\"\nx = \"40 mm\"\nz = \"15 mm\"\n";
const MOTOR: &str = "[motor]\ncode = \"1404\"\nkv = \"3800 rpm/V\"\n[solid.bell]\nshape = \"cylinder\"\ndiameter = \"18 mm\"\nheight = \"12 mm\"\n";
const BLADE: &str =
    "[propeller]\ndiameter = \"76 mm\"\npitch = \"50 mm\"\nblades = 3\nheight = \"7 mm\"\n";
const BOARD: &str = "[solid.board]\nshape = \"board\"\nlength = \"32 mm\"\nwidth = \"32 mm\"\nthickness = \"1.5 mm\"\nabove = \"3 mm\"\nbelow = \"1 mm\"\n[holes.board]\nsquare = \"26.5 mm\"\nthread = \"M2\"\n";
const PACK: &str = "[cells]\nchemistry = \"lipo\"\nseries = 4\ncapacity = \"850 mAh\"\n[solid.pack]\nshape = \"box\"\nlength = \"60 mm\"\nwidth = \"30 mm\"\nheight = \"20 mm\"\nmaterial = \"soft\"\n";
const CAMERA: &str = "[solid.body]\nshape = \"box\"\nlength = \"20 mm\"\nwidth = \"19 mm\"\nheight = \"10 mm\"\nz = \"0 mm\"\n";

fn airframe(places: &str) -> Airframe {
    let files = [
        ("parts/frame.toml", FRAME),
        ("parts/motor.toml", MOTOR),
        ("parts/blade.toml", BLADE),
        ("parts/board.toml", BOARD),
        ("parts/pack.toml", PACK),
        ("parts/camera.toml", CAMERA),
    ];
    let craft = format!(
        "[parts]\nframe = \"frame\"\nmotors = {{ sheet = \"motor\", count = 4 }}\nblades = {{ sheet = \"blade\", count = 4 }}\nboard = \"board\"\nvtx = \"board\"\npack = \"pack\"\ncamera = \"camera\"\n[places]\n{places}"
    );
    let files = files.into_iter().chain([("x.craft.toml", craft.as_str())]);
    let files = files.map(|(path, text)| SourceFile {
        path: path.into(),
        text: text.into(),
    });
    let (bench, faults) = store::text::read(files.collect());
    assert!(faults.is_empty(), "{faults:#?}");
    Airframe::before(&bench.craft[0])
}

const USUAL: &str = "board = \"frame.stack\"\nvtx = { above = \"board\", standoff = \"6 mm\" }\npack = { seat = \"frame.under\", x = \"3 mm\" }\ncamera = { seat = \"frame.nose\", tilt = \"30 °\" }\n";

fn near(a: [f64; 3], b_mm: [f64; 3]) -> bool {
    a.iter().zip(b_mm).all(|(a, b)| (1e3 * a - b).abs() < 1e-9)
}

#[test]
fn checked_seats_posts_and_motors_give_places() {
    let airframe = airframe(USUAL);
    let layout = Layout::of(&airframe, &mut Meshes::default());
    let at = |name: &str| {
        layout
            .items
            .iter()
            .find(|item| item.name == name)
            .map(|item| item.pose.centre_m)
    };
    assert!(near(at("board").expect("placed"), [5.0, 0.0, 4.0]));
    // Plate of 1.5 mm and posts of 6 mm.
    assert!(near(at("vtx").expect("placed"), [5.0, 0.0, 11.5]));
    assert!(near(at("pack").expect("placed"), [3.0, 0.0, -2.0]));
    assert!(near(
        at("motors front left").expect("placed"),
        [50.0, 50.0, 1.0]
    ));
    assert!(near(
        at("blades rear right").expect("placed"),
        [-50.0, -50.0, 16.5]
    ));
    let pack = layout
        .items
        .iter()
        .find(|item| item.name == "pack")
        .expect("placed");
    // It hangs: from the seat down.
    let [low, high] = pack.extent_m().expect("a shape");
    assert!((1e3 * low[2] + 22.0).abs() < 1e-9 && (1e3 * high[2] + 2.0).abs() < 1e-9);
    let camera = layout
        .items
        .iter()
        .find(|item| item.name == "camera")
        .expect("placed");
    assert_eq!(camera.seat, Some(SeatKind::Cheeks));
    assert!((camera.pose.turn.apply([1.0, 0.0, 0.0])[2] - 0.5).abs() < 1e-12);
    let vtx = layout
        .items
        .iter()
        .find(|item| item.name == "vtx")
        .expect("placed");
    assert_eq!(vtx.carried_by.len(), 2);
}

/// The motor stands 50 mm behind and 50 mm to the left; 10 mm along the arm are 7.07 mm each way.
#[test]
fn checked_a_part_on_an_arm() {
    let usual = USUAL.replace(
        "seat = \"frame.nose\", tilt = \"30 °\"",
        "arm = \"rear left\", x = \"10 mm\"",
    );
    let airframe = airframe(&usual);
    let layout = Layout::of(&airframe, &mut Meshes::default());
    let camera = layout
        .items
        .iter()
        .find(|item| item.name == "camera")
        .expect("placed");
    let along = 10.0 / 2.0_f64.sqrt();
    assert!(near(
        camera.pose.centre_m,
        [-25.0 - along, 25.0 + along, 1.0]
    ));
    assert!((camera.pose.turn.yaw.to_degrees() - 135.0).abs() < 1e-9);
    assert_eq!(camera.seat, Some(SeatKind::Flat));
}

#[test]
fn checked_neighbours_turn_against_each_other() {
    let layout = Layout::of(&airframe(USUAL), &mut Meshes::default());
    let turns = |name: &str| {
        layout
            .rotors
            .iter()
            .find(|rotor| rotor.name == name)
            .map(|rotor| rotor.turning.word())
    };
    assert_eq!(turns("front left"), Some("right"));
    assert_eq!(turns("front right"), Some("left"));
    assert_eq!(turns("rear left"), Some("left"));
    assert_eq!(turns("rear right"), Some("right"));
}

#[test]
fn checked_what_has_no_place_is_told_with_what_stands_on_it() {
    let layout = Layout::of(
        &airframe("vtx = { above = \"board\", standoff = \"6 mm\" }\n"),
        &mut Meshes::default(),
    );
    let why = |at: usize| {
        layout
            .unplaced
            .iter()
            .find(|it| it.part == at)
            .map(|it| it.why)
    };
    assert_eq!(why(3), Some(Why::Nothing));
    assert_eq!(why(4), Some(Why::Holder));
}

#[test]
fn checked_pairs_of_the_bench_by_hand() {
    let airframe = airframe(USUAL);
    let layout = Layout::of(&airframe, &mut Meshes::default());
    let pairs = clearances(&airframe, &layout);
    let air_mm = |names: [&str; 2], want: Want| {
        let pair = pairs
            .iter()
            .find(|pair| pair.want == want && pair.names == names.map(str::to_owned));
        pair.map(|pair| 1e3 * pair.gap.distance_m)
    };
    // The board's lowest part at 4 − 1 mm over the plate; between the boards 11.5 − 1 − (4 + 1.5 + 3).
    assert!((air_mm(["frame", "board"], Want::Circuit).expect("near") - 3.0).abs() < 1e-6);
    assert!((air_mm(["board", "vtx"], Want::Circuit).expect("near") - 2.0).abs() < 1e-6);
    // The corner of the upper board at (21, 16) mm, within the height of the disc's 38.75 mm about (50, 50).
    let expected = (29.0_f64.powi(2) + 34.0_f64.powi(2)).sqrt() - 38.75;
    assert!(
        (air_mm(["vtx", "propeller front left"], Want::Blade).expect("near") - expected).abs()
            < 1e-5
    );
    // The pack lies in its tray: that is no pair to tell.
    assert_eq!(air_mm(["frame", "pack"], Want::Parts), None);
}

#[test]
fn checked_a_board_of_26_5_on_posts_of_25_5() {
    let airframe = airframe(USUAL);
    let holes = |part: usize| {
        airframe.parts[part]
            .part
            .as_ref()
            .map(|part| part.holes[0].facet.clone())
            .expect("holes")
    };
    // Half a millimetre along both sides; an M2 screw has 0.2 mm in a hole of ISO 273.
    let Some(HoleFit::Off { by_m, play_m }) = meets(&holes(3), &holes(0), 0.0) else {
        panic!("they meet");
    };
    assert!((1e3 * by_m - 0.5_f64.sqrt()).abs() < 1e-9 && (1e3 * play_m - 0.2).abs() < 1e-9);
    assert!(matches!(
        meets(&holes(3), &holes(3), 0.0),
        Some(HoleFit::Meets { .. })
    ));
    assert!(matches!(
        meets(&holes(3), &holes(3), 0.5),
        Some(HoleFit::Turned { .. })
    ));
    assert!(matches!(
        meets(&holes(3), &holes(3), std::f64::consts::FRAC_PI_2),
        Some(HoleFit::Meets { .. })
    ));
}
