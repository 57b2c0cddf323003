//! Broken files: every fault at once, each at its place, and never a panic.

use craft::{Bench, Diagnostic, SourceFile};
use proptest::prelude::*;

fn read(files: &[(&str, &str)]) -> (Bench, Vec<Diagnostic>) {
    let files = files
        .iter()
        .map(|(path, text)| SourceFile {
            path: (*path).into(),
            text: (*text).into(),
        })
        .collect();
    store::text::read(files)
}

/// Asserts that the files give exactly these faults: id, a piece of the message, and the text it points at.
#[track_caller]
fn check(files: &[(&str, &str)], expected: &[(&str, &str, &str)]) {
    let (bench, found) = read(files);
    let shown: Vec<_> = found
        .iter()
        .map(|fault| (fault.id, fault.message.as_str(), bench.text_at(fault.place)))
        .collect();
    assert_eq!(found.len(), expected.len(), "{shown:#?}");
    for (id, message, text) in expected {
        let hit = shown
            .iter()
            .any(|fault| fault.0 == *id && fault.1.contains(message) && fault.2 == *text);
        assert!(
            hit,
            "no fault {id} {message:?} at {text:?} among {shown:#?}"
        );
    }
}

#[test]
fn checked_all_faults_of_a_sheet_come_at_once() {
    check(
        &[(
            "parts/pack.toml",
            "source = \"lable\"\n[body]\nmass = \"28\"\n[cells]\nchemistry = \"lipos\"\nseries = 2.5\ncapcity = \"450 mAh\"\n\
             resistance = \"18 V\"\n[plug]\nsize = \"xt30\"\nresistance = \"-1 mΩ\"\n",
        )],
        &[
            ("unknown-word", "unknown source `lable`", "\"lable\""),
            ("bad-quantity", "needs a unit", "28"),
            ("unknown-word", "unknown chemistry `lipos`", "\"lipos\""),
            ("wrong-type", "not a whole number", "2.5"),
            ("unknown-key", "unknown key `capcity`", "capcity"),
            (
                "bad-quantity",
                "is a unit of voltage, this field is a resistance",
                "V",
            ),
            ("impossible-value", "must be above zero", "\"-1 mΩ\""),
        ],
    );
}

#[test]
fn checked_the_nearest_name_is_offered() {
    let (_, found) = read(&[(
        "parts/pack.toml",
        "[body]\nmass = \"28 g\"\n[cels]\nseries = 2\n",
    )]);
    assert_eq!(found[0].label, "did you mean `cells`?");
}

#[test]
fn checked_a_bare_number_is_offered_with_its_unit() {
    let (bench, found) = read(&[("parts/pack.toml", "[body]\nmass = 28\n")]);
    assert_eq!(found[0].message, "`28` needs a unit, such as g");
    let mend = found[0].mend.as_ref().expect("a replacement");
    assert_eq!(
        (bench.text_at(mend.place), mend.text.as_str()),
        ("28", "\"28 g\"")
    );
}

#[test]
fn checked_names_that_point_nowhere_are_found() {
    check(
        &[
            (
                "parts/board.toml",
                "[body]\nmass = \"5 g\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n[input.core]\nvolts = \"4..5.5 V\"\npower = \"1 W\"\nfed_by = \"6v\"\n",
            ),
            (
                "x.craft.toml",
                "[parts]\nboard = \"board\"\nmotors = \"no-such-sheet-anywhere\"\n[feeds]\nboard.cor = \"pack\"\ncamera.power = \"board.5v\"\nboard.5v = \"pak\"\n",
            ),
            ("x.refit.toml", "craft = \"y\"\n"),
        ],
        &[
            ("unknown-rail", "unknown rail of this part `6v`", "\"6v\""),
            (
                "unknown-sheet",
                "unknown part sheet `no-such-sheet-anywhere`",
                "\"no-such-sheet-anywhere\"",
            ),
            (
                "unknown-socket",
                "unknown input or rail of `board` `cor`",
                "cor",
            ),
            ("unknown-part", "unknown part `camera`", "camera"),
            ("unknown-craft", "unknown craft `y`", "\"y\""),
        ],
    );
}

#[test]
fn checked_a_feed_to_nowhere_is_told_with_the_nearest_source() {
    let files = [
        (
            "parts/board.toml",
            "[body]\nmass = \"5 g\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\n",
        ),
        (
            "x.craft.toml",
            "[parts]\nboard = \"board\"\ngps = \"gps\"\n[feeds]\ngps.power = \"board.5\"\nboard.5v = \"nowhere\"\n",
        ),
    ];
    check(
        &files,
        &[
            (
                "unknown-source",
                "unknown source of power `board.5`",
                "\"board.5\"",
            ),
            (
                "unknown-source",
                "unknown source of power `nowhere`",
                "\"nowhere\"",
            ),
        ],
    );
    let (_, found) = read(&files);
    assert_eq!(found[0].label, "did you mean `board.5v`?");
    assert_eq!(
        found[1].hint.as_deref(),
        Some("it can be `board.5v` or `pack`")
    );
}

#[test]
fn checked_a_wrong_type_says_what_is_taken_at_that_place() {
    check(
        &[
            (
                "parts/b.toml",
                "source = 3\n[body]\nmass = { source = \"measured\" }\n[motor]\nkv = { value = 3, sauce = \"x\" }\ncode = 1103\n\
                 [input]\nvolts = \"7..26 V\"\npower = \"1 W\"\n[cells]\nchemistry = \"lipo\"\nseries = 99999999999\ncapacity = \"450 mAh\"\n",
            ),
            (
                "x.craft.toml",
                "needs = []\n[parts]\na = 3\nc = { count = 2 }\nd = { sheet = \"gps\", count = 0 }\ne = \"gps\"\nf = \"gps\"\ng = \"gps\"\n\
                 [feeds]\ne = \"pack\"\nf.power = { gauge = \"28 AWG\" }\ng.power = 5\n",
            ),
            (
                "x.refit.toml",
                "craft = \"x\"\nremove = \"e\"\n[needs]\nactive_time = \"3 ± 1 min\"\n[conditions]\naltitude = \"high\"\n",
            ),
        ],
        &[
            ("wrong-type", "an integer, not words in quotes", "3"),
            (
                "missing-key",
                "the long form of a quantity needs `value`",
                "{ source = \"measured\" }",
            ),
            ("unknown-key", "unknown key `sauce`", "sauce"),
            ("wrong-type", "not a quantity in quotes", "3"),
            ("wrong-type", "not words in quotes", "1103"),
            // One fault for the table without a name, not one for each of its keys.
            ("missing-name", "such as `[input.main]`", "volts"),
            ("impossible-value", "not that large", "99999999999"),
            ("wrong-type", "`needs` is a table", "[]"),
            ("wrong-type", "`a` takes the name of a part sheet", "3"),
            ("missing-key", "`c` needs `sheet`", "{ count = 2 }"),
            ("impossible-value", "at least 1", "0"),
            ("wrong-type", "write `e.main = \"pack\"`", "\"pack\""),
            (
                "missing-key",
                "`f.power` needs `from`",
                "{ gauge = \"28 AWG\" }",
            ),
            (
                "wrong-type",
                "`g.power` takes where its power comes from",
                "5",
            ),
            ("wrong-type", "a list of names", "\"e\""),
            ("impossible-value", "one value, no spread", "\"3 ± 1 min\""),
            (
                "bad-quantity",
                "a number is needed where `high` stands",
                "high",
            ),
        ],
    );
}

#[test]
fn checked_a_key_that_is_mistyped_or_unreadable_is_not_called_missing_too() {
    check(
        &[(
            "parts/a.toml",
            "[body]\nmass = \"5 g\"\n[input.main]\nvots = \"7..26 V\"\npower = \"1 W\"\n[rail.5v]\nkind = \"buck\"\noutput = 5\n\
             [propeller]\ndiameter = \"40 mm\"\npitch = \"25 mm\"\nblades = 3\nstatic_thrust = \"30 gf\"\nstatic_speed = \"30000 V\"\n",
        )],
        &[
            ("unknown-key", "unknown key `vots`", "vots"),
            ("missing-unit", "`5` needs a unit", "5"),
            ("bad-quantity", "is a unit of voltage", "V"),
        ],
    );
}

#[test]
fn checked_what_is_taken_off_is_taken_off_once_and_not_fed() {
    check(
        &[
            ("x.craft.toml", "[parts]\ng = \"gps\"\n"),
            (
                "x.refit.toml",
                "craft = \"x\"\nremove = [\"g\", \"g\"]\n[feeds]\ng.power = \"pack\"\n",
            ),
        ],
        &[
            ("removed-twice", "`g` is taken off twice", "\"g\""),
            ("unknown-part", "`g` is fed here, but it is taken off", "g"),
        ],
    );
}

#[test]
fn checked_what_a_refit_removes_and_adds_must_make_sense() {
    let parts = [
        ("parts/a.toml", "[body]\nmass = \"1 g\"\n"),
        ("x.craft.toml", "[parts]\none = \"a\"\n"),
    ];
    let with = |refit| [parts[0], parts[1], ("x.refit.toml", refit)];
    check(
        &with("craft = \"x\"\nremove = [\"two\"]\n"),
        &[("unknown-part", "unknown part `two`", "\"two\"")],
    );
    check(
        &with("craft = \"x\"\n[add]\none = \"a\"\n"),
        &[("part-twice", "already on the craft", "one")],
    );
    check(
        &with("craft = \"x\"\nremove = [\"one\"]\n[add]\none = \"a\"\n"),
        &[],
    );
}

#[test]
fn checked_a_sheet_that_is_wrong_in_itself_is_told() {
    check(
        &[(
            "parts/board.toml",
            "[body]\nmass = \"5 g\"\n[rail.5v]\nkind = \"buck\"\n[propeller]\ndiameter = \"40 mm\"\npitch = \"25 mm\"\nblades = 3\nstatic_thrust = \"30 gf\"\n\
             [input.core]\npower = \"1 W\"\n[input.main]\nvolts = \"26..7 V\"\npower = \"1 W\"\n",
        )],
        &[
            ("missing-key", "`5v` needs `output`", "[rail.5v]"),
            (
                "missing-key",
                "`static_thrust` needs `static_speed`",
                "\"30 gf\"",
            ),
            ("no-volts", "says nothing of volts", "[input.core]"),
            // Of volts that cannot be read nobody says that they are missing.
            ("bad-quantity", "runs downwards", "26..7 V"),
        ],
    );
}

#[test]
fn checked_a_circle_of_rails_is_told_and_does_not_hang() {
    let (_, found) = read(&[
        (
            "parts/board.toml",
            "[body]\nmass = \"5 g\"\n[rail.a]\nkind = \"buck\"\noutput = \"5 V\"\nfed_by = \"b\"\n[rail.b]\nkind = \"buck\"\noutput = \"5 V\"\nfed_by = \"a\"\n",
        ),
        ("x.craft.toml", "[parts]\nboard = \"board\"\n"),
    ]);
    assert!(
        found.iter().any(|fault| fault.id == "rail-circle"),
        "{found:?}"
    );
}

#[test]
fn checked_a_circle_laid_by_feeds_is_told_where_it_is_laid() {
    // 5v hangs on 9v by the sheet; the craft's file then hangs 9v on 5v.
    check(
        &[
            (
                "parts/board.toml",
                "[body]\nmass = \"5 g\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\nfed_by = \"9v\"\n[rail.9v]\nkind = \"buck\"\noutput = \"9 V\"\n",
            ),
            (
                "x.craft.toml",
                "[parts]\nboard = \"board\"\n[feeds]\nboard.9v = \"board.5v\"\n",
            ),
            ("x.refit.toml", "craft = \"x\"\n"),
        ],
        &[("rail-circle", "`board.9v` feeds itself", "9v")],
    );
}

#[test]
fn checked_limits_below_what_they_limit_are_told() {
    check(
        &[
            (
                "parts/a.toml",
                "[body]\nmass = \"5 g\"\n[esc]\ncontinuous = \"15 A\"\nburst = \"12 A\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\ncontinuous = \"2500 mA\"\npeak = \"2 A\"\n\
                 [input.main]\nvolts = \"7..26 V\"\nlock_out = \"68 V\"\npower = \"9 W\"\npeak_power = \"7 W\"\n[motor]\nkv = \"3800 rpm/V\"\nno_load_current = \"0.8 A\"\n",
            ),
            (
                "x.craft.toml",
                "[needs]\nmass_limit = \"250 g\"\nmass_reserve = \"0.3 kg\"\nhover_command = \"140 %\"\n[conditions]\nlanding_reserve = \"20\"\nlanding_volts = \"14 V\"\n\
                 pack_temperature = \"8 °C\"\ncold_pack_temperature = \"25 °C\"\n",
            ),
        ],
        &[
            (
                "upside-down",
                "`continuous` 15 A is not below `burst` 12 A",
                "\"15 A\"",
            ),
            (
                "upside-down",
                "`continuous` 2500 mA is not below `peak` 2 A",
                "\"2500 mA\"",
            ),
            (
                "upside-down",
                "`lock_out` 68 V is not below `volts` 7..26 V",
                "\"68 V\"",
            ),
            (
                "upside-down",
                "`power` 9 W is not below `peak_power` 7 W",
                "\"9 W\"",
            ),
            (
                "missing-key",
                "`no_load_current` needs `no_load_volts`",
                "\"0.8 A\"",
            ),
            (
                "upside-down",
                "`mass_reserve` 0.3 kg is not below `mass_limit` 250 g",
                "\"0.3 kg\"",
            ),
            (
                "impossible-value",
                "`hover_command` is a share",
                "\"140 %\"",
            ),
            ("impossible-value", "`landing_reserve` is a share", "\"20\""),
            ("pack-volts", "more than a full cell has", "\"14 V\""),
            (
                "upside-down",
                "`cold_pack_temperature` 25 °C is not below `pack_temperature` 8 °C",
                "\"25 °C\"",
            ),
        ],
    );
}

#[test]
fn checked_a_limit_equal_to_what_it_limits_is_fine() {
    check(
        &[(
            "parts/a.toml",
            "[body]\nmass = \"5 g\"\n[esc]\ncontinuous = \"12 A\"\nburst = \"12 A\"\n[input.main]\nvolts = \"7..26 V\"\nlock_out = \"7.3 V\"\npower = \"9 W\"\npeak_power = \"9 W\"\n",
        )],
        &[],
    );
}

#[test]
fn checked_parts_that_do_not_go_together_are_told() {
    let files = |craft, refit| {
        [
            (
                "parts/f.toml",
                "[body]\nmass = \"5 g\"\n[frame]\nrotors = 4\n",
            ),
            (
                "parts/m.toml",
                "[body]\nmass = \"2 g\"\n[motor]\nkv = \"19000 rpm/V\"\n",
            ),
            ("x.craft.toml", craft),
            ("x.refit.toml", refit),
        ]
    };
    // One fault, although the refit inherits it.
    check(
        &files("[parts]\nf = \"f\"\nm = \"m\"\n", "craft = \"x\"\n"),
        &[("rotor-count", "1 motor for a frame with 4 rotors", "m")],
    );
    // A second battery put on without taking the first off: the mistake this is for.
    let one = "[parts]\nbattery = \"battery-1x450\"\n";
    check(
        &files(one, "craft = \"x\"\n[add]\nbigger = \"battery-1x550\"\n"),
        &[(
            "two-of-a-kind",
            "`bigger` is a battery as `battery` is",
            "bigger",
        )],
    );
    check(
        &files(
            one,
            "craft = \"x\"\nremove = [\"battery\"]\n[add]\nbigger = \"battery-1x550\"\n",
        ),
        &[],
    );
    check(
        &files(
            "[parts]\nbattery = { sheet = \"battery-1x450\", count = 2 }\n",
            "craft = \"x\"\n",
        ),
        &[("several-packs", "2 of `battery` are weighed", "battery")],
    );
}

#[test]
fn checked_syntax_faults_come_alone_and_the_rest_is_kept() {
    let (bench, found) = read(&[
        ("parts/a.toml", "[body\nmass = \"1 g\"\n"),
        ("parts/b.toml", "[body]\nmass = \"1 g\"\n"),
        ("x.craft.toml", "[parts]\nb = \"b\"\nb = \"b\"\n"),
    ]);
    let ids: Vec<_> = found.iter().map(|fault| fault.id).collect();
    assert_eq!(ids, ["syntax", "name-twice"], "{found:?}");
    assert!(
        bench
            .parts
            .iter()
            .any(|part| part.name == "b" && part.body.is_some())
    );
}

#[test]
fn checked_a_syntax_fault_at_a_letter_of_two_bytes_marks_the_whole_letter() {
    check(
        &[("parts/a.toml", "[body]\nmass é \"1 g\"\n")],
        &[("syntax", "", "é")],
    );
}

#[test]
fn checked_a_huge_file_is_refused_with_a_word() {
    let text = format!("title = \"{}\"\n", "a".repeat(store::text::LARGEST_FILE));
    let (_, found) = read(&[("parts/a.toml", &text)]);
    assert_eq!(found[0].id, "file-too-large");
}

#[test]
fn checked_typical_parts_and_demos_read_without_a_fault() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../benches");
    for demo in ["loft-75", "hedge-3", "hull-85", "reed-gps"] {
        let files = store::disk::read_folder(&root.join(demo)).expect("a demo bench");
        let (bench, found) = store::text::read(files);
        assert!(found.is_empty(), "{demo}: {found:#?}");
        assert!(bench.refit_job(demo).is_some());
    }
}

const BOARD: &str = include_str!("../../../benches/hull-85/parts/bilge-board.toml");
const CRAFT: &str = include_str!("../../../benches/hull-85/hull-85.craft.toml");
const REFIT: &str = include_str!("../../../benches/hull-85/hull-85.refit.toml");

/// A demo file with a stretch cut out and another put in.
fn mutated(demo: &'static str) -> impl Strategy<Value = String> {
    (0..demo.len(), 0..40usize, "[ -~\\n±ΩµV]{0,12}").prop_map(move |(at, cut, put)| {
        let floor = |mut at: usize| {
            at = at.min(demo.len());
            while !demo.is_char_boundary(at) {
                at -= 1;
            }
            at
        };
        let (start, end) = (floor(at), floor(at + cut));
        format!("{}{put}{}", &demo[..start], &demo[end.max(start)..])
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn checked_no_text_makes_it_panic(text in "(?s).{0,400}") {
        for path in ["parts/a.toml", "a.craft.toml", "a.refit.toml"] {
            let (bench, found) = read(&[(path, &text)]);
            for fault in found {
                let _ = bench.text_at(fault.place);
                let _ = bench.line_and_column(fault.place);
            }
        }
    }
}

proptest! {
    // Three whole benches each time, so a third of the cases.
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn checked_no_damage_to_a_real_bench_makes_it_panic(
        board in mutated(BOARD),
        craft in mutated(CRAFT),
        refit in mutated(REFIT),
    ) {
        let whole = [("parts/bilge-board.toml", BOARD), ("hull-85.craft.toml", CRAFT), ("hull-85.refit.toml", REFIT)];
        for (at, text) in [&board, &craft, &refit].into_iter().enumerate() {
            let mut files = whole;
            files[at].1 = text;
            let (bench, found) = read(&files);
            for fault in found {
                let text = &bench.file(fault.place.file).text;
                prop_assert!(text.get(fault.place.range()).is_some());
            }
        }
    }
}

/// A pad written twice is one fault with both places; what only follows from it is not told.
#[test]
fn checked_a_table_written_twice_is_told_once_with_both_places() {
    let text = "[pad.T1]\nrole = \"serial-out\"\nof = \"1\"\n[port.1]\n\n[pad.T1]\nrole = \"serial-in\"\nof = \"1\"\n";
    let (bench, found) = read(&[("parts/a.toml", text)]);
    let [fault] = found.as_slice() else {
        panic!("one fault, not {found:?}");
    };
    assert_eq!(
        (fault.id, fault.message.as_str()),
        ("name-twice", "`pad.T1` is written twice")
    );
    assert_eq!(bench.line_and_column(fault.place), (6, 6));
    let (first, _) = fault.also.as_ref().expect("the first place");
    assert_eq!(bench.line_and_column(*first), (1, 1));
}
