//! The formulas through their text: every check case of the physics that one of them covers, and that
//! no text makes one panic.

use super::{Answer, Computed, Formula, Need, Takes, formula, formulas, read};
use proptest::prelude::*;
use std::collections::BTreeSet;

const AIR: &str = include_str!("../../../validation/data/propulsion-atmosphere.csv");
const COUPLED: &str = include_str!("../../../validation/data/propulsion-coupled-cases.csv");
const WIRES: &str = include_str!("../../../validation/data/propulsion-wire-awg.csv");
const WARM_WIRES: &str = include_str!("../../../validation/data/propulsion-wire-ampacity.csv");
const RESTING: &str = include_str!("../../../validation/data/propulsion-cell-ocv.csv");
const PROPELLERS: &str = include_str!("../../../validation/data/propulsion-prop-index.csv");
const BLADES: &str = include_str!("../../../validation/data/propulsion-prop-geometry.csv");

/// Last printed digit of four or five.
const PRINTED: f64 = 1e-3;
/// Half the last of three printed digits.
const THREE_DIGITS: f64 = 5e-3;

/// The rows of a table below its comments.
fn table(text: &'static str) -> impl Iterator<Item = csv::StringRecord> {
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split(',').collect())
}

fn cell(row: &csv::StringRecord, column: usize) -> f64 {
    row[column].parse().expect("a number")
}

fn try_with(call: &str, file: &str) -> Result<Computed, String> {
    let mut words = call.split_whitespace();
    let name = words.next().expect("a name");
    let formula = formula(name).unwrap_or_else(|| panic!("no formula {name}"));
    let pairs: Vec<String> = words.map(str::to_owned).collect();
    let values = read(formula, &pairs, &|_| Ok(file.as_bytes().to_vec()));
    let computed = values.and_then(|values| formula.compute(&values));
    computed.map_err(|faults| {
        let lines: Vec<_> = faults.into_iter().map(|fault| fault.0).collect();
        lines.join("\n")
    })
}

fn answer(call: &str) -> Computed {
    try_with(call, "").unwrap_or_else(|faults| panic!("{call}: {faults}"))
}

impl Computed {
    #[track_caller]
    fn number(&self, key: &str) -> f64 {
        let found = self.outputs.iter().find(|output| output.key == key);
        match found.map(|output| &output.value) {
            Some(Answer::Number(value)) => *value,
            other => panic!("{key} is {other:?} in {self:?}"),
        }
    }

    fn value(&self, key: &str) -> Option<Answer> {
        let found = self.outputs.iter().find(|output| output.key == key);
        found.map(|output| output.value.clone())
    }
}

/// Asserts outputs of a call within a share of the expected value.
#[track_caller]
fn check(call: &str, share: f64, expected: &[(&str, f64)]) {
    let found = answer(call);
    for (key, value) in expected {
        let ours = found.number(key);
        let off = (ours - value).abs();
        assert!(
            off <= share * value.abs(),
            "{call}: {key} = {ours}, expected {value}"
        );
    }
}

#[track_caller]
fn check_refused(call: &str, words: &[&str]) {
    let said = try_with(call, "").expect_err(call);
    for part in words {
        assert!(said.contains(part), "{call}: {part:?} is not in {said:?}");
    }
}

#[test]
fn validated_iso_2533_table() {
    // Two other programs on nine days; the table prints five digits or more.
    const FIVE_DIGITS: f64 = 2e-4;
    for row in table(AIR) {
        check(
            &format!("air-density altitude={}m offset={}K", &row[0], &row[1]),
            FIVE_DIGITS,
            &[
                ("temperature_k", cell(&row, 3)),
                ("pressure_pa", cell(&row, 4)),
                ("density_kg_m3", cell(&row, 5)),
                ("viscosity_pa_s", cell(&row, 6)),
                ("speed_of_sound_m_s", cell(&row, 7)),
                ("density_ratio", cell(&row, 10)),
            ],
        );
    }
}

#[test]
fn validated_momentum_cases() {
    // 250 g on four: 0.612916 N each, A = 4.5604e-3 m²: √(0.612916/(2·1.225·4.5604e-3)) = 7.4066 m/s;
    // 0.612916·7.4066/0.55 = 8.2538 W. 30 g on four of 31 mm, figure of merit 0.42: 6.3067 m/s, 1.1044 W.
    check(
        "hover-power mass=250g rotors=4 diameter=76.2mm figure_of_merit=0.55 density=1.225kg/m3",
        PRINTED,
        &[("induced_velocity_m_s", 7.4066), ("shaft_power_w", 8.2538)],
    );
    check(
        "hover-power mass=30g rotors=4 diameter=31mm figure_of_merit=42% density=1.225",
        PRINTED,
        &[("induced_velocity_m_s", 6.3067), ("shaft_power_w", 1.1044)],
    );
    for (speed, incidence, expected) in [(5, 10, 4.7964), (15, 30, 2.2190), (3, 90, 4.6847)] {
        let call =
            format!("oblique-inflow hover_velocity=6m/s speed={speed}m/s incidence={incidence}°");
        check(&call, PRINTED, &[("induced_velocity_m_s", expected)]);
    }
    // Along the axis the two are one: −1.5 + √(1.5² + 36) = 4.6847.
    check(
        "climb-inflow hover_velocity=6m/s climb=3m/s",
        PRINTED,
        &[("induced_velocity_m_s", 4.6847)],
    );
    check(
        "duct area_ratio=0.6",
        PRINTED,
        &[
            ("power_ratio", 0.9129),
            ("rotor_share", 0.8333),
            ("thrust_ratio", 1.0627),
        ],
    );
    // A straight duct: 1/√2, one half, 2^⅓.
    check(
        "duct area_ratio=1",
        PRINTED,
        &[
            ("power_ratio", std::f64::consts::FRAC_1_SQRT_2),
            ("rotor_share", 0.5),
            ("thrust_ratio", 1.2599),
        ],
    );
    for (height, expected) in [(0.5, 1.3333), (1.0, 1.0667), (2.0, 1.0159)] {
        let call = format!("ground-effect height_ratio={height}");
        check(&call, PRINTED, &[("thrust_ratio", expected)]);
    }
}

#[test]
fn validated_thrust_of_a_measured_run() {
    // 57 mm at 19 996.7 rpm, CT 0.137828: 0.137828·1.225·(333.278)²·0.057⁴ = 0.1980 N.
    check(
        "propeller-coefficients rpm=19996.7rpm diameter=57mm CT=0.137828 CP=0.0766 density=1.225kg/m³",
        2e-3,
        &[("thrust_n", 0.1980)],
    );
}

#[test]
fn validated_thirteen_measured_propellers() {
    // Predicted over measured, static, above 70 % of top speed; University of Illinois Propeller Database,
    // volume 2. The same set the polar was fitted on, so the tolerance is that of the fit, not of news.
    let mut logs = (Vec::new(), Vec::new());
    let mut beyond_two_sd = 0;
    for row in table(PROPELLERS) {
        let (id, blades) = (&row[0], &row[2]);
        let blade: String = BLADES
            .lines()
            .filter(|line| line.starts_with(&format!("{id},")))
            .map(|line| line.to_owned() + "\n")
            .collect();
        let file = format!("# {id}\nprop_id,r_over_R,c_over_R,beta_deg\n{blade}");
        let call = format!(
            "propeller rpm={} diameter={}mm blades={blades} geometry={id}.csv",
            0.85 * cell(&row, 9),
            &row[3]
        );
        let found = try_with(&call, &file).expect(&call);
        for (key, column, logs) in [
            ("thrust_coefficient", 14, &mut logs.0),
            ("power_coefficient", 16, &mut logs.1),
        ] {
            let (value, measured) = (found.number(key), cell(&row, column));
            logs.push(value / measured);
            beyond_two_sd +=
                usize::from((value - measured).abs() > 2.0 * found.number(&format!("{key}_sd")));
        }
    }
    let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    let sd = |of: &[f64]| {
        (of.iter().map(|x| (x - mean(of)).powi(2)).sum::<f64>() / (of.len() - 1) as f64).sqrt()
    };
    assert_eq!(logs.0.len(), 13);
    assert!(
        (0.90..=1.10).contains(&mean(&logs.0)) && sd(&logs.0) <= 0.20,
        "CT {} ± {}",
        mean(&logs.0),
        sd(&logs.0)
    );
    assert!(
        (0.85..=1.15).contains(&mean(&logs.1)) && sd(&logs.1) <= 0.24,
        "CP {} ± {}",
        mean(&logs.1),
        sd(&logs.1)
    );
    // Of 26 comparisons 1.2 may lie beyond two standard deviations; more than three would mean too narrow.
    assert!(beyond_two_sd <= 3, "{beyond_two_sd} of 26");
}

#[test]
fn validated_motor_cases() {
    // 1800·(12 − 20·0.060) = 19 440 rpm; (20 − 0.9)/(1800·2π/60) = 0.10133 N·m; √(0.9·12/0.06) = 13.416 A.
    check(
        "motor kv=1800rpm/V resistance=60mΩ no_load_current=0.9A volts=12V current=20A",
        PRINTED,
        &[
            ("rpm", 19_440.0),
            ("torque_n_m", 0.101_33),
            ("shaft_power_w", 206.28),
            ("efficiency", 0.8595),
            ("best_current_a", 13.416),
            ("best_efficiency", 0.870_34),
        ],
    );
    check(
        "motor kv=19000rpm/V resistance=110mΩ no_load_current=250mA volts=3.6V current=2A",
        PRINTED,
        &[
            ("rpm", 64_220.0),
            ("shaft_power_w", 5.915),
            ("efficiency", 0.821_53),
        ],
    );
    // Three runs made from Kv 3800 rpm/V, 0.150 Ω, 0.15 A + 0.025 A/V.
    check(
        "motor-constants free_volts=4V free_rpm=15058.03rpm free_current=0.2491A free2_volts=12V \
         free2_rpm=45344.46rpm free2_current=0.4483A loaded_volts=12V loaded_rpm=40470rpm loaded_current=9A",
        THREE_DIGITS,
        &[
            ("kv_rpm_per_v", 3800.0),
            ("resistance_ohm", 0.150),
            ("no_load_current_a", 0.15),
            ("no_load_slope_a_per_v", 0.025),
        ],
    );
}

#[test]
fn checked_motor_class_by_hand() {
    // 7.5e7·9.3^−1.6/3800² = 0.1466 Ω; ×/÷ 1.7^1.645 = 2.394 below 11 g.
    let found = answer("motor-class mass=9.3g kv=3800rpm/V");
    let ohm = found.number("resistance_ohm");
    assert!((ohm - 0.1466).abs() < 2e-4);
    assert!((found.number("resistance_ohm_p95") / ohm - 2.394).abs() < 2e-3);
    assert!((ohm / found.number("resistance_ohm_p05") - 2.394).abs() < 2e-3);
    assert!((found.number("spread_factor") - 1.7).abs() < 1e-12);
    assert!(found.notes.iter().any(|note| note.contains("extrapolated")));
    assert!(answer("motor-class mass=32g kv=1800rpm/V").notes.is_empty());
}

#[test]
fn validated_operating_points_by_scipy() {
    // brentq and solve_ivp on the same equations; steady values printed to five digits, times to 0.1 s.
    let heading = COUPLED
        .lines()
        .find(|line| line.starts_with("case,"))
        .expect("a heading");
    let names: Vec<&str> = heading.split(',').collect();
    for row in table(COUPLED) {
        let pairs: Vec<String> = (1..15)
            .map(|at| format!("{}={}", names[at], &row[at]))
            .collect();
        let call = format!("operating-point {}", pairs.join(" "));
        for (at, name) in names.iter().enumerate().skip(15) {
            let share = if matches!(*name, "endurance_s" | "soc_end") {
                1e-2
            } else {
                3e-4
            };
            check(&call, share, &[(name, cell(&row, at))]);
        }
        // The same hover power for the same pack, by the formula of flight time.
        let power_w = answer(&call).number("hov_Pbus_W");
        let series: f64 = cell(&row, 3);
        let flown = format!(
            "flight-time power={power_w}W cells={series} capacity={}Ah cell_resistance={}Ω sustained_ratio=1 low_charge_rise=0",
            &row[14],
            cell(&row, 13) / series
        );
        check(
            &flown,
            1e-2,
            &[("time_s", cell(&row, 33)), ("end_charge", cell(&row, 34))],
        );
    }
}

#[test]
fn checked_hover_power_scales_as_momentum_theory_says() {
    // At fixed coefficients: m^1.5 and ρ^−0.5, exactly.
    let shaft_w = |mass, density| {
        let call = format!(
            "operating-point mass={mass}g N=4 S=4 D=76.2mm CT=0.17 CP=0.1 Kv=3800rpm/V R=150mΩ I0=350mA eta=0.95 Pav=6W Rp=40mΩ Q=850mAh density={density}kg/m3"
        );
        answer(&call).number("hov_Pshaft_W")
    };
    assert!((shaft_w(300, 1.225) / shaft_w(200, 1.225) / 1.5_f64.powf(1.5) - 1.0).abs() < 1e-6);
    assert!(
        (shaft_w(200, 0.9) / shaft_w(200, 1.225) / (1.225_f64 / 0.9).sqrt() - 1.0).abs() < 1e-6
    );
}

#[test]
fn validated_resting_curves() {
    // Every row of the simulated cells' tables; five printed digits, linear between rows.
    for row in table(RESTING) {
        for (word, column) in [("lipo", 1), ("Li-Ion", 4), ("LiHV", 7)] {
            let call = format!("cell-voltage chemistry={word} charge={}", &row[0]);
            check(&call, 1e-5, &[("volts_v", cell(&row, column))]);
            // Back from the volts to the charge, wherever the curve is not flat.
            let back = format!("cell-charge chemistry={word} volts={}V", &row[column]);
            assert!(
                (answer(&back).number("charge") - cell(&row, 0)).abs() < 2e-3,
                "{back}"
            );
        }
    }
}

#[test]
fn validated_cells_packs_and_bus() {
    for (celsius, ratio) in [(-10, 2.925), (0, 2.093), (10, 1.533), (40, 0.679)] {
        let call =
            format!("resistance-temperature temperature={celsius}°C activation_energy=20kJ/mol");
        check(&call, PRINTED, &[("ratio", ratio)]);
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
        "constant-power-bus emf=3.7V resistance=60mΩ power=20W current=0.5A",
        PRINTED,
        &[("volts_v", 3.3071)],
    );
    // 3.7²/(4·0.06) = 57.04 W with nothing beside.
    check(
        "constant-power-bus emf=3.7V resistance=60mΩ power=20W",
        PRINTED,
        &[("limit_w", 57.04)],
    );
    check(
        "constant-power-bus emf=14.8V resistance=50mΩ power=300W current=2A",
        PRINTED,
        &[("volts_v", 13.5968)],
    );
    let fallen = answer("constant-power-bus emf=3.5V resistance=80mΩ power=45W");
    assert_eq!(fallen.value("collapses"), Some(Answer::Flag(true)));
    assert_eq!(fallen.value("volts_v"), None);
    assert!((fallen.number("limit_w") - 38.28).abs() < 0.01);
}

#[test]
fn checked_regulator_balances() {
    // 3 W at 86 %: 3.4884 W in, 0.5537 A at 6.3 V; 0.6 A out at 5 V.
    let fed = answer("regulator kind=buck input=6.3V output=5V load=3W efficiency=86%");
    assert!((fed.number("input_power_w") - 3.0 / 0.86).abs() < 1e-9);
    assert!((fed.number("heat_w") - (3.0 / 0.86 - 3.0)).abs() < 1e-9);
    assert_eq!(fed.value("state"), Some(Answer::Word("regulating")));
    let starved = answer("regulator kind=step-down input=5.2V output=5V load=3W");
    assert!((starved.number("volts_v") - 4.8).abs() < 1e-9);
    assert_eq!(
        starved.value("state"),
        Some(Answer::Word("follows its input"))
    );
}

#[test]
fn validated_wire_tables() {
    for row in table(WIRES) {
        // A kilometre of wire is half a kilometre of pair; the table prints five digits.
        let ohm = |celsius| {
            format!(
                "wire gauge={}AWG length=500m temperature={celsius}°C",
                &row[0]
            )
        };
        check(&ohm(20), 1e-4, &[("resistance_ohm", cell(&row, 4))]);
        check(&ohm(60), 1e-4, &[("resistance_ohm", cell(&row, 5))]);
        if !row[6].is_empty() {
            // NBS Handbook 100 rounds diameters to the tenth of a mil.
            check(&ohm(20), PRINTED, &[("resistance_ohm", cell(&row, 6))]);
        }
        let fuse = format!("wire-fusing gauge={}AWG", &row[0]);
        check(&fuse, THREE_DIGITS, &[("current_a", cell(&row, 8))]);
    }
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
    check(
        "wire-fusing gauge=20AWG",
        THREE_DIGITS,
        &[("current_a", 58.5)],
    );
    check(
        "wire-fusing gauge=24AWG duration=0.5s",
        THREE_DIGITS,
        &[("current_a", 84.1)],
    );
    check(
        "wire-fusing gauge=20AWG duration=5s limit=200°C",
        THREE_DIGITS,
        &[("current_a", 38.4)],
    );
    // Strands run 3.5 % longer.
    let ohm = |strand| {
        answer(&format!("wire gauge=20AWG length=1m strand={strand}")).number("resistance_ohm")
    };
    assert!((ohm("stranded") / ohm("solid") - 1.035).abs() < 1e-12);
}

#[test]
fn validated_warm_wires() {
    // The same balance with other tables of air, within 2 %; the chassis-wiring table from 16 to 22 AWG within
    // the 25 % that diameter and moving air leave open. The air of the other balance is at 25 °C.
    for row in table(WARM_WIRES) {
        let call = |surface| {
            format!(
                "wire-current gauge={}AWG outside={}mm air=25°C surface={surface}°C",
                &row[0], &row[1]
            )
        };
        check(&call(55), 2e-2, &[("current_a", cell(&row, 4))]);
        check(&call(105), 2e-2, &[("current_a", cell(&row, 6))]);
        if cell(&row, 0) <= 22.0 {
            check(&call(55), 0.25, &[("current_a", cell(&row, 2))]);
        }
    }
}

#[test]
fn checked_bare_numbers_are_taken_in_the_stated_unit_and_said() {
    let call = "motor kv=1800 resistance=0.06 no_load_current=0.9 volts=12 current=20";
    let pairs: Vec<String> = call.split_whitespace().skip(1).map(str::to_owned).collect();
    let values = read(formula("motor").expect("a motor"), &pairs, &|_| {
        Err(String::new())
    });
    let notes = values.expect(call).notes;
    assert!(
        notes.contains(&"`volts=12` taken as 12 V".to_owned()),
        "{notes:?}"
    );
    assert_eq!(notes.len(), 5);
    // A ratio is at home without a unit.
    assert!(answer("duct area_ratio=0.6").notes.is_empty());
}

#[test]
fn checked_every_fault_is_told_at_once() {
    check_refused(
        "motor kv=-5 resistence=60mΩ volts=12A volts=3V current",
        &[
            "`kv=-5`: it must be above zero",
            "unknown key `resistence`; did you mean `resistance`?",
            "`A` is a unit of current, this field is a voltage",
            "`current` is not `key=value`",
            "`no_load_current` is missing",
        ],
    );
    // One cause, one complaint: what was mistyped is not missing on top. Of six texts and five keys that must be
    // written there are five faults and one key that nothing was meant for.
    let said = try_with("motor kv=-5 resistence=60mΩ volts=12A volts=3V current", "");
    let said = said.expect_err("faults");
    assert!(!said.contains("`resistance` is missing"), "{said}");
    assert_eq!(said.lines().count(), 5, "{said}");
    check_refused(
        "duct area_ratio=1 area_ratio=0.6",
        &["`area_ratio` is given twice"],
    );
    check_refused(
        "cell-voltage chemistry=nickel charge=50",
        &["lipo, lipo-high-voltage, li-ion", "did you mean `50%`?"],
    );
    check_refused(
        "hover-power mass=1kg rotors=2.5 diameter=1m fm=0.5",
        &["`rotors=2.5`: a whole number from 1 to 64"],
    );
}

#[test]
fn checked_values_outside_a_formula_are_refused_in_words() {
    check_refused("ground-effect height_ratio=0.1", &["0.1 radii"]);
    check_refused("air-density altitude=12km", &["12000 m is outside"]);
    check_refused(
        "oblique-inflow hover_velocity=6m/s speed=5m/s incidence=-10°",
        &["from below"],
    );
    check_refused(
        "motor kv=1800 resistance=60mΩ no_load_current=0.9A volts=12V current=300A",
        &["held still", "200.0 A"],
    );
    check_refused(
        "wire-fusing gauge=20AWG limit=200°C",
        &["needs a `duration`"],
    );
    check_refused(
        "propeller rpm=2e4 diameter=76mm blades=2",
        &["`pitch` as printed is missing"],
    );
    check_refused(
        "duct area_ratio=0.3",
        &["`area_ratio=0.3`: it lies from 0.5 to 2"],
    );
    // Copper's straight line ends in no resistance at −234 °C and in a puddle at 1083 °C.
    check_refused(
        "wire gauge=60AWG length=1m temperature=-260°C",
        &["from 0 to 44 AWG", "from −60 to 1083 °C"],
    );
    check_refused(
        "wire-current gauge=20AWG outside=0.1mm",
        &["less than the copper alone, 0.81 mm"],
    );
    check_refused(
        "parallel-packs e1=16.4V r1=30mΩ e2=16.2V r2=45mΩ current=4000A",
        &["more than the two packs give"],
    );
    // The ends of a range are two questions; no middle is taken for the builder.
    check_refused(
        "constant-power-bus emf=7..26V resistance=60mΩ power=20W",
        &["`emf=7..26V`: a formula takes one value"],
    );
}

#[test]
fn checked_answers_at_their_ends_say_so() {
    #[track_caller]
    fn check_noted(call: &str, words: &str) {
        let notes = answer(call).notes;
        assert!(notes.iter().any(|note| note.contains(words)), "{notes:?}");
    }
    check_noted(
        "flight-time power=160W cells=2 capacity=450mAh cell_resistance=20mΩ landing_volts=4V",
        "from the start",
    );
    check_noted("resistance-temperature temperature=-60°C", "at that end");
    check_noted("motor-class mass=500g kv=300rpm/V", "ends at 408 g");
    check_noted(
        "constant-power-bus emf=3.7V resistance=1Ω power=0W current=10A",
        "takes all the volts",
    );
}

#[test]
fn checked_a_craft_too_heavy_to_hover_still_shows_full_command() {
    let heavy = answer(
        "operating-point m=110g N=4 S=1 D=31mm CT=0.2 CP=0.16 Kv=19000 R=0.11 I0=0.25 eta=0.94 Pav=2 Rp=0.04 Q=0.3",
    );
    assert!(heavy.number("full_TW") < 1.0);
    assert_eq!(heavy.value("hov_rpm"), None);
    assert!(
        heavy
            .notes
            .iter()
            .any(|note| note.starts_with("no hover: "))
    );
}

#[test]
fn checked_blade_files_in_other_dress_and_with_faults() {
    let call = "propeller rpm=20000rpm diameter=76.2mm blades=2 geometry=blade.csv";
    let plain = "r/R,c/R,beta\n0.2,0.2,30\n0.6,0.25,18\n1.0,0.1,10\n";
    let dressed =
        "# a blade\nBeta_deg;note;r_over_R;c_over_R\n30;x;0.2;0.2\n\n18;y;0.6;0.25\n10;z;1.0;0.1\n";
    let thrust = |file| try_with(call, file).expect("a blade").number("thrust_n");
    assert_eq!(thrust(plain), thrust(dressed));
    for (file, words) in [
        ("", &["no column `r/R`", "no column `beta`"][..]),
        (
            "r/R,c/R\n0.2,0.2\n",
            &["blade.csv: no column `beta`; the heading has r/r, c/r"],
        ),
        (
            "r/R,c/R,beta\n0.2,wide,30\n0.6,0.2\n",
            &["line 2: `wide` under c/R", "line 3: `` under beta"],
        ),
        ("r/R,c/R,beta\n0.6,0.2,20\n0.2,0.2,30\n", &["r/R rising"]),
    ] {
        let said = try_with(call, file).expect_err("a fault");
        for part in words {
            assert!(said.contains(part), "{part:?} is not in {said:?}");
        }
    }
}

#[test]
fn checked_in_a_stream_thrust_falls_and_doubt_does_not() {
    let at = |speed| {
        answer(&format!(
            "propeller rpm=24000rpm diameter=76.2mm pitch=50mm blades=2 speed={speed}m/s"
        ))
    };
    let (still, moving, wind) = (at(0), at(10), at(40));
    assert!(moving.number("thrust_n") < still.number("thrust_n"));
    let share = |found: &Computed| found.number("thrust_n_sd") / found.number("thrust_n");
    assert!(share(&moving) > share(&still));
    // 10 m/s over 400 turns a second of 76.2 mm: 0.3281.
    assert!((moving.number("advance_ratio") - 0.3281).abs() < 1e-4);
    assert!(
        wind.number("thrust_n") < 0.0 && wind.notes.iter().any(|note| note.contains("no thrust"))
    );
}

#[test]
fn checked_every_example_has_an_answer_and_every_key_one_meaning() {
    let mut names = BTreeSet::new();
    for formula in formulas() {
        assert!(names.insert(formula.name), "{} stands twice", formula.name);
        assert!(formula.example.starts_with(formula.name));
        let example = formula
            .example
            .replace("parts.csv", "handling-parts-A.csv")
            .replace("canopy.stl", "handling-mesh-L.stl");
        let computed = with_data(&example).unwrap_or_else(|faults| panic!("{example}: {faults}"));
        assert!(!computed.outputs.is_empty());
        let mut spellings = BTreeSet::new();
        for key in formula.keys {
            let mut all = [key.name].into_iter().chain(key.aliases.iter().copied());
            assert!(
                all.all(|spelling| spellings.insert(spelling)),
                "{}: {}",
                formula.name,
                key.name
            );
        }
    }
}

/// Texts that a key may be given: fitting, misfit and absurd.
fn any_value() -> impl Strategy<Value = String> {
    let number = prop_oneof![
        Just("0".to_owned()),
        Just("-1".to_owned()),
        Just("1e308".to_owned()),
        Just("-1e-300".to_owned()),
        Just("nan".to_owned()),
        (1_u32..=12).prop_map(|n| n.to_string()),
        (-9.0..9.0_f64).prop_map(|power| format!("{}", 10_f64.powf(power))),
        any::<f64>().prop_map(|number| number.to_string()),
    ];
    let unit = prop::sample::select(vec![
        "", "", "", "%", "g", "kg", "mm", "m", "V", "A", "mΩ", "Ω", "W", "rpm", "rpm/V", "°C", "K",
        "Ah", "mAh", "s", "m/s", "AWG", "kg/m³", "kJ/mol", "°", " ± 3 %", "..7",
    ]);
    prop_oneof![
        8 => (number, unit).prop_map(|(number, unit)| number + unit),
        1 => prop::sample::select(vec!["lipo", "li-ion", "boost", "diode", "linear", "stranded", "x.csv"]).prop_map(str::to_owned),
        1 => ".{0,12}",
    ]
}

/// A value that fits a key, from tiny to vast.
fn fitting(formula: &'static Formula) -> BoxedStrategy<Vec<String>> {
    let of_key = |key: &'static super::Key| {
        let value = match key.takes {
            Takes::Word(words) => prop::sample::select(words.concat())
                .prop_map(str::to_owned)
                .boxed(),
            Takes::Count(most) => (1..=most).prop_map(|n| n.to_string()).boxed(),
            Takes::File => Just("blade.csv".to_owned()).boxed(),
            Takes::Words(form) => {
                prop_oneof![Just(form.to_owned()), Just(String::new()), ".{0,20}"].boxed()
            }
            Takes::Number | Takes::Quantity(_) => prop_oneof![
                (0.0..1.0_f64).prop_map(|value| value.to_string()),
                (-6.0..6.0_f64).prop_map(|power| 10_f64.powf(power).to_string()),
            ]
            .boxed(),
        };
        let kept = prop::bool::weighted(if key.need == Need::Must { 1.0 } else { 0.5 });
        (value, kept).prop_map(move |(value, kept)| kept.then(|| format!("{}={value}", key.name)))
    };
    let keys: Vec<_> = formula.keys.iter().map(of_key).collect();
    keys.prop_map(|pairs| pairs.into_iter().flatten().collect())
        .boxed()
}

fn any_formula() -> impl Strategy<Value = &'static Formula> {
    prop::sample::select(formulas().collect::<Vec<_>>())
}

/// Either numbers, all finite, or at least one reason.
fn answers_or_refuses(
    formula: &Formula,
    pairs: &[String],
    file: &str,
) -> Result<(), TestCaseError> {
    let values = read(formula, pairs, &|_| Ok(file.as_bytes().to_vec()));
    match values.and_then(|values| formula.compute(&values)) {
        Ok(computed) => {
            prop_assert!(!computed.outputs.is_empty());
            for output in computed.outputs {
                prop_assert!(!matches!(&output.value, Answer::Number(value) if !value.is_finite()));
            }
        }
        Err(faults) => prop_assert!(!faults.is_empty()),
    }
    Ok(())
}

impl std::fmt::Debug for Formula {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2048, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_no_text_makes_a_formula_panic(
        (formula, pairs) in any_formula().prop_flat_map(|formula| {
            let names: Vec<&str> = formula.keys.iter().map(|key| key.name).chain(["", "x"]).collect();
            let pair = (prop::sample::select(names), any_value()).prop_map(|(name, value)| format!("{name}={value}"));
            let text = prop_oneof![12 => pair, 1 => ".{0,20}"];
            (Just(formula), prop::collection::vec(text, 0..16))
        }),
        file in ".{0,80}",
    ) {
        answers_or_refuses(formula, &pairs, &file)?;
    }

    #[test]
    fn checked_no_fitting_values_make_a_formula_panic(
        (formula, pairs) in any_formula().prop_flat_map(|formula| (Just(formula), fitting(formula))),
        mut rows in prop::collection::vec((0.0..1.1_f64, 0.0..1.1_f64, -95.0..95.0_f64), 0..6),
        in_order in prop::bool::weighted(0.8),
    ) {
        if in_order {
            rows.sort_by(|one, other| one.0.total_cmp(&other.0));
        }
        let rows: String = rows.iter().map(|(r, c, b)| format!("{r},{c},{b}\n")).collect();
        answers_or_refuses(formula, &pairs, &format!("r/R,c/R,beta\n{rows}"))?;
    }
}

/// The text of a data file of the validation cases.
fn data(name: &str) -> Vec<u8> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../validation/data");
    store::disk::read_bytes(&folder.join(name)).expect("the data file is there")
}

/// A call that may name data files.
fn with_data(call: &str) -> Result<Computed, String> {
    let mut words = call.split_whitespace();
    let formula = formula(words.next().expect("a name")).expect("a formula");
    let pairs: Vec<String> = words.map(str::to_owned).collect();
    let values = read(formula, &pairs, &|name| Ok(data(name)));
    let computed = values.and_then(|values| formula.compute(&values));
    computed.map_err(|faults| faults.into_iter().map(|fault| fault.0 + "\n").collect())
}

#[track_caller]
fn holds(call: &str, tolerance: f64, expected: &[(&str, f64)]) {
    let found = with_data(call).unwrap_or_else(|faults| panic!("{call}: {faults}"));
    for (key, expected) in expected {
        let computed = found.number(key);
        let off = (computed - expected).abs();
        assert!(
            off <= tolerance,
            "{call}: {key} is {computed}, not {expected}"
        );
    }
}

// Cases worked out with a mesh library (trimesh 5.2) on invented lists; tolerance: last printed digits.
#[test]
fn validated_mass_properties_of_lists_and_meshes() {
    holds(
        "mass-properties parts=handling-parts-A.csv",
        6e-5,
        &[
            ("mass_g", 25.5),
            ("cg_x_mm", 0.0627),
            ("cg_z_mm", -2.7529),
            ("ixx_kg_mm2", 7.3589),
            ("izz_kg_mm2", 14.6749),
            ("ixz_kg_mm2", -0.2948),
        ],
    );
    holds(
        "mass-properties parts=handling-parts-B.csv",
        6e-4,
        &[
            ("mass_g", 183.4),
            ("cg_y_mm", 0.6494),
            ("iyy_kg_mm2", 310.631),
            ("iyz_kg_mm2", -2.0078),
        ],
    );
    holds(
        "mesh-properties mesh=handling-mesh-L.stl mass=5g",
        6e-6,
        &[
            ("cg_x_mm", 12.74243),
            ("ixx_kg_mm2", 0.264_971),
            ("ixy_kg_mm2", -0.029_912),
        ],
    );
    // The file keeps corners in single precision.
    holds(
        "mesh-properties mesh=handling-mesh-L.stl mass=5g",
        1e-3,
        &[("volume_mm3", 5952.0)],
    );
    let open =
        with_data("mesh-properties mesh=handling-mesh-L-open.stl mass=5g").expect_err("refused");
    assert!(open.contains("open") && open.contains("4 edges"), "{open}");
    let turned =
        with_data("mesh-properties mesh=handling-mesh-L-inverted.stl mass=5g").expect("read");
    assert!((turned.number("volume_mm3") - 5952.0).abs() < 1e-3);
    assert!(
        turned.notes.iter().any(|note| note.contains("inwards")),
        "{:?}",
        turned.notes
    );
}

// Distances by bounded minimisation in SciPy and alternating projections, to 0.02 mm.
#[test]
fn validated_distances_of_solids() {
    for (call, expected) in [
        (
            "a=box:44,0,14:19,19,20:0,-30,0 b=cylinder:62,-62,10:38.1,7",
            14.6165,
        ),
        (
            "a=box:-3,1.5,35:70,32,26:0,0,3 b=cylinder:-62,62,10:38.1,7",
            16.1567,
        ),
        (
            "a=cylinder:-52,0,22:3,45:0,-40,0 b=cylinder:-62,-62,10:38.1,7",
            22.7191,
        ),
        (
            "a=box:20,-20,6:36,36,14:0,0,45 b=cylinder:62,-62,12:38.1,4:8,0,0",
            3.3610,
        ),
        (
            "a=mesh:handling-mesh-L.stl b=cylinder:60,-30,5:25,6",
            25.8827,
        ),
        ("a=box:38,-38,10:19,19,20 b=cylinder:62,-62,10:38.1,7", 0.0),
    ] {
        holds(
            &format!("solid-distance {call}"),
            0.02,
            &[("distance_mm", expected)],
        );
    }
}

// Shares by one ray for each pixel in NumPy, ± 0.1 %.
#[test]
fn validated_field_of_view() {
    let discs = "discs=62,62,10,38.1;62,-62,10,38.1 camera=44,0,16 tilt=20°";
    for (lens, across, upright, expected) in [
        ("rectilinear", 90, 60, 0.0076),
        ("rectilinear", 120, 90, 0.0518),
        ("rectilinear", 140, 105, 0.0861),
        ("equidistant", 120, 90, 0.0269),
    ] {
        let call = format!("field-of-view {discs} lens={lens} across={across}° upright={upright}°");
        holds(&call, 1e-3, &[("blocked_share", expected)]);
    }
}

#[test]
fn checked_faulty_lists_say_what_is_missing() {
    let faults = |call: &str| with_data(call).expect_err("refused");
    assert!(faults("solid-distance a=ball:1 b=box:0,0,0:1,1,1").contains("cylinder:"));
    assert!(faults("solid-distance a=box:0,0:1,1,1 b=box:0,0,0:1,1,x").contains("is not a number"));
    assert!(
        faults("field-of-view camera=1,2 across=90° upright=60° discs=1,2,3,4").contains("`x,y,z`")
    );
}

#[track_caller]
fn list(call: &str, key: &str, tolerance: f64, expected: &[f64]) {
    let found = with_data(call).unwrap_or_else(|faults| panic!("{call}: {faults}"));
    let Some(Answer::List(computed)) = found.value(key) else {
        panic!("{call}: no list {key}");
    };
    assert_eq!(computed.len(), expected.len());
    for (computed, expected) in computed.iter().zip(expected) {
        assert!(
            (computed - expected).abs() <= tolerance,
            "{call}: {computed}, not {expected}"
        );
    }
}

// Statics and a linear programme in SciPy, within 0.1 %.
#[test]
fn validated_hover_trim_of_two_craft() {
    let small = "hover-trim motors=23,-23,+;23,23,-;-23,23,+;-23,-23,- mass=25.5g cg=0.0627,0 kappa=4.3mm thrust_max=0.235N \
                 shape=0.45 inertia=7.3589e-6,9.6204e-6,14.6749e-6";
    list(
        small,
        "thrust_n",
        7e-5,
        &[0.062_688, 0.062_688, 0.062_347, 0.062_347],
    );
    list(small, "command", 1e-4, &[0.3986, 0.3986, 0.3970, 0.3970]);
    holds(small, 1e-3, &[("thrust_to_weight", 3.759)]);
    holds(
        small,
        1.5,
        &[
            ("roll_accel_held_rad_s2", 779.45),
            ("roll_accel_free_rad_s2", 1464.96),
            ("pitch_accel_held_rad_s2", 599.49),
            ("pitch_accel_held_minus_rad_s2", 596.22),
        ],
    );
    holds(
        small,
        0.15,
        &[
            ("yaw_accel_held_rad_s2", 73.07),
            ("yaw_accel_free_rad_s2", 137.34),
        ],
    );
    let far = with_data(
        "hover-trim motors=62,-62,+;62,62,-;-62,62,+;-62,-62,- mass=183.4g cg=55,55 kappa=6.5mm thrust_max=1.9N shape=0.35",
    );
    assert!(far.expect_err("no trim").contains("motor 4"));
}

// python-control 0.10.2: crossover 0.2 %, phase 0.1°, gain 0.05 dB, peak 0.5 %.
#[test]
fn validated_margins_and_delays() {
    let plain = "loop-margin gain=1000 lag=0.020 delay=0.002 p=0.06 i=0 d=0";
    holds(plain, 0.014, &[("crossover_hz", 7.1176)]);
    holds(plain, 0.1, &[("phase_margin_deg", 43.065)]);
    holds(
        plain,
        0.05,
        &[
            ("gain_margin_db", 18.557),
            ("gain_margin_hz", 24.753),
            ("delay_margin_ms", 16.81),
        ],
    );
    holds(plain, 0.008, &[("sensitivity_peak", 1.7274)]);
    let filtered = "loop-margin gain=1500 lag=28ms delay=0.9ms p=0.075 i=0.55 d=0.0016 \
                    gyro_filters=first-order:300Hz,first-order:500Hz,notch:310Hz:5 d_filters=first-order:100Hz,first-order:180Hz";
    holds(filtered, 0.03, &[("crossover_hz", 14.9148)]);
    holds(
        filtered,
        0.1,
        &[("phase_margin_deg", 62.672), ("gain_margin_hz", 60.677)],
    );
    let shakes = with_data(
        "loop-margin gain=3200 lag=22ms delay=3.5ms p=0.16 i=0.9 d=0.0005 gyro_filters=first-order:120 d_filters=first-order:90",
    );
    let shakes = shakes.expect("an answer");
    assert_eq!(shakes.value("stable"), Some(Answer::Flag(false)));
    assert!((shakes.number("phase_margin_deg") + 8.392).abs() < 0.1);
    for (call, expected) in [
        ("filter=first-order:100Hz frequency=30Hz", 1.46014),
        ("filter=butterworth2:250Hz frequency=100Hz", 1.01830),
        ("filter=notch:310Hz:5 frequency=60Hz", 0.11479),
        (
            "filter=butterworth2:150Hz frequency=40Hz sample_rate=4kHz",
            1.59254,
        ),
    ] {
        holds(
            &format!("filter-delay {call}"),
            2e-5,
            &[("group_delay_ms", expected)],
        );
    }
}

#[test]
fn validated_rotor_pendulum_and_gain() {
    let rotor = "rotor-lag kv=4500 resistance=0.17 ring_mass=3.4g ring_outer=8.3mm ring_inner=7mm propeller_mass=1.5g \
                 diameter=76.2mm blade_factor=0.2 thrust=0.45N kappa=6.5mm rpm=17500";
    holds(rotor, 0.05, &[("tau_ms", 21.424)]);
    holds(rotor, 0.4, &[("coast_ms", 199.2)]);
    let swing = "bifilar-inertia mass=248g length=0.75m spacing=0.18m period=1.372s";
    holds(swing, 1.3e-7, &[("inertia_kg_m2", 1.25240e-3)]);
    // 1000/1050 with the lag unmoved.
    let change = with_data(
        "gain-change old_gain=1000 old_lag=25ms new_gain=1050 new_lag=25ms crossover=12Hz",
    )
    .expect("a factor");
    assert!((change.number("factor") - 0.952).abs() < 1e-3);
}

#[test]
fn checked_faulty_filters_and_motors_say_what_is_missing() {
    let faults = |call: &str| with_data(call).expect_err("refused");
    assert!(faults("filter-delay filter=notch:310Hz frequency=1Hz").contains("needs a quality"));
    assert!(
        faults("filter-delay filter=boxcar:310Hz frequency=1Hz").contains("no filter `boxcar`")
    );
    assert!(faults("filter-delay filter=first-order frequency=1Hz").contains("needs a frequency"));
    assert!(
        faults("hover-trim motors=1,2 mass=1g kappa=1mm thrust_max=1N shape=0.4")
            .contains("motors")
    );
}
