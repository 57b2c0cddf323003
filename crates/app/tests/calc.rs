//! `fitout calc` from outside: text in, JSON out, held against other people's numbers.

#![expect(
    clippy::disallowed_methods,
    reason = "a test writes the blade file it reads"
)]

use serde_json::Value;
use std::process::{Command, Output};

fn fitout(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fitout"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

fn outputs(call: &str) -> Value {
    let arguments: Vec<&str> = ["calc"]
        .into_iter()
        .chain(call.split_whitespace())
        .chain(["--json"])
        .collect();
    let output = fitout(&arguments);
    assert!(
        output.status.success(),
        "{call}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice::<Value>(&output.stdout).expect("JSON")["outputs"].take()
}

/// Asserts outputs of a call within a share of the expected value.
#[track_caller]
fn check(call: &str, share: f64, expected: &[(&str, f64)]) {
    let outputs = outputs(call);
    for (key, value) in expected {
        let found = outputs[key]
            .as_f64()
            .unwrap_or_else(|| panic!("{call}: no {key} in {outputs}"));
        assert!(
            (found - value).abs() <= share * value.abs(),
            "{call}: {key} = {found}, expected {value}"
        );
    }
}

/// Last printed digit of four.
const PRINTED: f64 = 1e-3;

#[test]
fn validated_iso_2533_air() {
    // ISO 2533 tables at 1000 m: 281.651 K, 89 876 Pa; 1.11166 kg/m³; 20 K warmer at the same pressure 1.03795.
    check(
        "air-density altitude=1000m offset=0K",
        1e-4,
        &[
            ("density_kg_m3", 1.111_66),
            ("pressure_pa", 89_876.0),
            ("temperature_k", 281.651),
        ],
    );
    check(
        "air-density altitude=1000m offset=20K",
        1e-4,
        &[("density_kg_m3", 1.037_95)],
    );
}

#[test]
fn validated_momentum_theory() {
    // v_h = √(0.6129/(2·1.225·0.004560)) = 7.4066 m/s; P = 0.6129·7.4066/0.55 = 8.2538 W.
    check(
        "hover-power mass=250g rotors=4 diameter=76.2mm figure_of_merit=0.55 density=1.225kg/m3",
        PRINTED,
        &[("induced_velocity_m_s", 7.4066), ("shaft_power_w", 8.2538)],
    );
    // Ideal straight duct: power × 1/√2 = 5.8363 W.
    check(
        "hover-power mass=250g rotors=4 diameter=76.2mm figure_of_merit=0.55 density=1.225 duct_area_ratio=1",
        PRINTED,
        &[("shaft_power_w", 5.8363)],
    );
    for (speed, incidence, expected) in [(5, 10, 4.7964), (15, 30, 2.2190), (3, 90, 4.6847)] {
        let call =
            format!("oblique-inflow hover_velocity=6m/s speed={speed}m/s incidence={incidence}deg");
        check(&call, PRINTED, &[("induced_velocity_m_s", expected)]);
    }
    for (height, expected) in [(0.5, 1.3333), (1.0, 1.0667), (2.0, 1.0159)] {
        check(
            &format!("ground-effect height_ratio={height}"),
            PRINTED,
            &[("thrust_ratio", expected)],
        );
    }
}

#[test]
fn validated_first_order_motor() {
    // ω = 1800·(12 − 20·0.060) = 19 440 rpm; (20 − 0.9)/(1800·2π/60) = 0.10133 N·m.
    check(
        "motor kv=1800rpm/V resistance=60mΩ no_load_current=0.9A volts=12V current=20A",
        PRINTED,
        &[
            ("rpm", 19_440.0),
            ("torque_n_m", 0.101_33),
            ("efficiency", 0.8595),
            ("best_current_a", 13.416),
            ("best_efficiency", 0.870_34),
        ],
    );
    check(
        "motor kv=19000rpm/V resistance=0.11Ω no_load_current=250mA volts=3.6V current=2.0A",
        PRINTED,
        &[
            ("rpm", 64_220.0),
            ("shaft_power_w", 5.915),
            ("efficiency", 0.821_53),
        ],
    );
}

#[test]
fn validated_coupled_cases_by_scipy() {
    // SciPy brentq and solve_ivp on the same equations: crates/validation/data/propulsion-coupled-cases.csv, rows A to C2.
    let table = include_str!("../../validation/data/propulsion-coupled-cases.csv");
    let mut rows = table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').collect::<Vec<_>>());
    let head = rows.next().expect("a heading");
    for row in rows {
        let pair = |name: &str| {
            let at = head
                .iter()
                .position(|column| *column == name)
                .expect("a column");
            format!("{name}={}", row[at])
        };
        let call = [
            "m", "N", "S", "D", "CT", "CP", "Kv", "R", "I0", "I1", "eta", "Pav", "Rp", "Q",
        ]
        .map(pair)
        .join(" ");
        let expected: Vec<(&str, f64)> = head
            .iter()
            .zip(&row)
            .skip(15)
            .map(|(name, value)| (*name, value.parse().expect("a number")))
            .collect();
        let (times, others): (Vec<_>, Vec<_>) = expected
            .into_iter()
            .partition(|(name, _)| matches!(*name, "endurance_s" | "soc_end"));
        check(&format!("operating-point {call}"), 3e-3, &others);
        check(&format!("operating-point {call}"), 1e-2, &times);
    }
}

#[test]
fn validated_cells_and_bus() {
    // Arrhenius at 20 kJ/mol.
    for (celsius, ratio) in [(-10, 2.925), (0, 2.093), (10, 1.533), (40, 0.679)] {
        check(
            &format!("resistance-temperature temperature={celsius}°C"),
            PRINTED,
            &[("ratio", ratio)],
        );
    }
    check(
        "parallel-packs e1=16.4V r1=30mΩ e2=16.2V r2=45mΩ current=40A",
        PRINTED,
        &[
            ("volts_v", 15.6),
            ("current1_a", 26.667),
            ("current2_a", 13.333),
        ],
    );
    check(
        "constant-power-bus emf=3.7V resistance=60mOhm power=20W current=0.5A",
        PRINTED,
        &[("volts_v", 3.3071)],
    );
    check(
        "constant-power-bus emf=14.8V resistance=50mΩ power=300W current=2A",
        PRINTED,
        &[("volts_v", 13.5968)],
    );
    let collapsed = outputs("constant-power-bus emf=3.5V resistance=80mΩ power=45W");
    assert_eq!(collapsed["collapses"], Value::Bool(true));
    assert!((collapsed["limit_w"].as_f64().expect("a limit") - 38.28).abs() < 0.01);
    // Ai et al. (2020), half charge.
    check(
        "cell-voltage chemistry=lipo charge=50%",
        2e-4,
        &[("volts_v", 3.793)],
    );
}

#[test]
fn validated_wire_tables() {
    // ASTM B258 with IEC 60028 copper: 33.309 Ω/km at 20 °C for 20 AWG; 2 × 70 mm at 60 °C, 30 A.
    check(
        "wire gauge=20AWG length=500m current=1A",
        PRINTED,
        &[("resistance_ohm", 33.309)],
    );
    check(
        "wire gauge=20AWG length=70mm current=30A temperature=60°C",
        2e-3,
        &[("drop_v", 0.1619), ("heat_w", 4.857)],
    );
    check(
        "wire gauge=26AWG length=35mm current=8A temperature=40°C",
        2e-3,
        &[("drop_v", 0.080_88)],
    );
    check("wire-fusing gauge=20AWG", 5e-3, &[("current_a", 58.5)]);
    check(
        "wire-fusing gauge=24AWG duration=0.5s",
        5e-3,
        &[("current_a", 84.1)],
    );
    check(
        "wire-fusing gauge=20AWG duration=5s limit=200°C",
        5e-3,
        &[("current_a", 38.4)],
    );
}

#[test]
fn validated_uiuc_propeller_from_its_measured_blade() {
    // UIUC Propeller Database, Volume 2, P076x51-2 near 70 % of its top speed: CT 0.137, CP 0.069; blade elements without
    // calibration are good to some 20 and 25 %.
    let table = include_str!("../../validation/data/propulsion-prop-geometry.csv");
    let blade: Vec<&str> = table
        .lines()
        .filter(|line| line.starts_with("P076x51-2"))
        .collect();
    let file = std::env::temp_dir().join(format!("fitout-blade-{}.csv", std::process::id()));
    std::fs::write(
        &file,
        format!(
            "# one blade of the set\nprop_id,r_over_R,c_over_R,beta_deg\n{}\n",
            blade.join("\n")
        ),
    )
    .expect("a file");
    let call = format!(
        "propeller rpm=20000 diameter=76.2mm blades=2 geometry={}",
        file.display()
    );
    check(
        &call,
        0.25,
        &[("thrust_coefficient", 0.137), ("power_coefficient", 0.069)],
    );
    let found = outputs(&call);
    let within_two_sd = |key: &str, measured: f64| {
        let (value, sd) = (
            found[key].as_f64().expect("a value"),
            found[format!("{key}_sd")].as_f64().expect("an sd"),
        );
        assert!(
            (value - measured).abs() < 2.0 * sd,
            "{key}: {value} ± {sd} against {measured}"
        );
    };
    within_two_sd("thrust_coefficient", 0.137);
    within_two_sd("power_coefficient", 0.069);
    std::fs::remove_file(file).expect("the file goes");
}

#[test]
fn checked_every_fault_of_a_call_is_told_at_once() {
    let output = fitout(&[
        "calc",
        "motor",
        "kv=1800",
        "resistence=60mΩ",
        "volts=12A",
        "current",
    ]);
    let text = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2));
    for part in [
        "did you mean `resistance`?",
        "`current` is not `key=value`",
        "`no_load_current` is missing",
        "`volts=12A`",
    ] {
        assert!(text.contains(part), "{part} is not in {text}");
    }
    assert!(!text.contains("`resistance` is missing"), "{text}");
}

#[test]
fn checked_values_outside_a_formula_are_refused_in_words() {
    for call in [
        "ground-effect height_ratio=0.1",
        "cell-voltage chemistry=lipo charge=1.5",
        "hover-power mass=1g rotors=2.5 diameter=1m figure_of_merit=0.5",
    ] {
        let arguments: Vec<&str> = ["calc"]
            .into_iter()
            .chain(call.split_whitespace())
            .collect();
        let output = fitout(&arguments);
        assert_eq!(output.status.code(), Some(2), "{call}");
        assert!(!output.stderr.is_empty());
    }
}

#[test]
fn checked_every_formula_answers_its_own_example() {
    let list = fitout(&["calc", "--json"]).stdout;
    let list: Value = serde_json::from_slice(&list).expect("JSON");
    let formulas = list["formulas"].as_array().expect("formulas");
    let names: Vec<&str> = formulas
        .iter()
        .filter_map(|formula| formula["name"].as_str())
        .collect();
    assert!(names.len() >= 18, "{names:?}");
    let shown = String::from_utf8(fitout(&["calc"]).stdout).expect("text");
    for name in names {
        assert!(shown.contains(&format!("\n  {name} ")), "{name}");
        let help = String::from_utf8(fitout(&["calc", name]).stdout).expect("text");
        let example = help
            .lines()
            .find_map(|line| line.trim().strip_prefix("fitout calc "))
            .expect("an example");
        // Examples name files of the builder's own.
        let data = concat!(env!("CARGO_MANIFEST_DIR"), "/../validation/data");
        let example = example
            .replace("parts.csv", &format!("{data}/handling-parts-A.csv"))
            .replace("canopy.stl", &format!("{data}/handling-mesh-L.stl"));
        outputs(&example);
    }
}

#[test]
fn checked_a_program_gets_full_digits_sources_and_faults() {
    let call = [
        "calc",
        "cell-voltage",
        "chemistry=LiHV",
        "charge=60%",
        "--json",
    ];
    let answer: Value = serde_json::from_slice(&fitout(&call).stdout).expect("JSON");
    assert_eq!(answer["inputs"]["chemistry"], "lipo-high-voltage");
    assert_eq!(answer["inputs"]["charge"]["value"], 0.6);
    assert!(
        answer["source"]
            .as_str()
            .is_some_and(|source| source.contains("(2020)"))
    );
    assert!(
        answer["outputs"]["volts_v_sd"]
            .as_f64()
            .is_some_and(|sd| sd > 0.0)
    );
    assert_eq!(answer["validated"], true);
    let by_equation = fitout(&["calc", "ground-effect", "height_ratio=1", "--json"]);
    let by_equation: Value = serde_json::from_slice(&by_equation.stdout).expect("JSON");
    assert_eq!(by_equation["validated"], false);
    let refused = fitout(&["calc", "cell-voltage", "charge=60", "--json"]);
    assert_eq!(refused.status.code(), Some(2));
    let refused: Value = serde_json::from_slice(&refused.stdout).expect("JSON");
    assert_eq!(
        refused["faults"].as_array().map(Vec::len),
        Some(2),
        "{refused}"
    );
}

#[test]
fn checked_a_program_can_ask_for_keys() {
    let help = fitout(&["calc", "motor", "--json"]);
    assert!(help.status.success());
    let help: Value = serde_json::from_slice(&help.stdout).expect("JSON");
    let keys = help["keys"].as_array().expect("keys");
    let required: Vec<&str> = keys
        .iter()
        .filter(|key| key["required"] == true)
        .filter_map(|key| key["name"].as_str())
        .collect();
    assert_eq!(
        required,
        ["kv", "resistance", "no_load_current", "volts", "current"]
    );
    let slope = keys.iter().find(|key| key["name"] == "no_load_slope");
    assert_eq!(slope.expect("a slope")["default"], "0");
    let unknown = fitout(&["calc", "mottor", "--json"]);
    assert_eq!(unknown.status.code(), Some(2));
    let unknown: Value = serde_json::from_slice(&unknown.stdout).expect("JSON");
    assert!(
        unknown["faults"][0]
            .as_str()
            .is_some_and(|fault| fault.contains("did you mean `motor`?"))
    );
}

#[test]
fn checked_a_value_is_shown_with_no_more_digits_than_its_doubt() {
    let shown = fitout(&["calc", "cell-voltage", "chemistry=lipo", "charge=50%"]).stdout;
    let shown = String::from_utf8(shown).expect("text");
    assert!(
        shown.starts_with("volts_v                   3.79 ± 0.04 V\n"),
        "{shown}"
    );
    let unknown = fitout(&["calc", "mottor"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("did you mean `motor`?"));
}
