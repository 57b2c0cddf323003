//! Hover trim, authority, rate loop, filters, motor lag and inertia from a swing against other tools.

use flight::handling::authority::{Acceleration, Authority, authority};
use flight::handling::filter::Filter;
use flight::handling::pendulum::{Bifilar, Readings, swing, trifilar_inertia_kg_m2};
use flight::handling::rate_loop::{Gains, Plant, RateLoop, gain_factor, loop_gain_rad_s2};
use flight::handling::rotor_lag::{Inertias, Rotor as Turning, Slowing, Waited};
use flight::handling::trim::{Hover, NoTrim, Rotor, Spin, ThrustCurve, Trim};

use crate::cell::number;
use crate::{Case, Kind, Tolerance};

const SWING: &str = include_str!("../data/handling-bifilar-gyro.csv");

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    [
        trims(),
        authorities(),
        loops(),
        factors(),
        delays(),
        digital(),
        rotors(),
        pendulums(),
        recorded(),
        heavier(),
    ]
    .concat()
}

/// What all cases of one model share.
#[derive(Clone, Copy)]
struct Model {
    model: &'static str,
    source: &'static str,
    kind: Kind,
    tolerance: Tolerance,
    reason: &'static str,
}

impl Model {
    fn case(
        self,
        id: impl Into<String>,
        what: impl Into<String>,
        expected: f64,
        computed: f64,
    ) -> Case {
        Case {
            model: self.model,
            id: id.into(),
            source: self.source,
            kind: self.kind,
            what: what.into(),
            expected,
            computed,
            tolerance: self.tolerance,
            reason: self.reason,
        }
    }

    fn within(self, tolerance: Tolerance, reason: &'static str) -> Self {
        Self {
            tolerance,
            reason,
            ..self
        }
    }
}

const TRIM: Model = Model {
    model: "hover trim",
    source: "statics in NumPy, invented part sets",
    kind: Kind::Equation,
    tolerance: Tolerance::Relative(1e-3),
    reason: "mass and centre of gravity are given to four digits",
};

const AUTHORITY: Model = Model {
    model: "control authority",
    source: "linear programme in SciPy (linprog), invented part sets",
    kind: Kind::Equation,
    tolerance: Tolerance::Relative(1e-3),
    reason: "mass, centre of gravity and inertia are given to four digits",
};

const LOOP: Model = Model {
    model: "rate loop",
    source: "python-control 0.10.2 (stability_margins) and NumPy",
    kind: Kind::Equation,
    tolerance: Tolerance::Relative(2e-3),
    reason: "search on a grid there, zeros here",
};

const DELAY: Model = Model {
    model: "filters",
    source: "SciPy 1.17 filters",
    kind: Kind::Equation,
    tolerance: Tolerance::Absolute(6e-6),
    reason: "last printed digit",
};

const TURNING: Model = Model {
    model: "motor lag",
    source: "torque balance in NumPy, invented motors and propellers",
    kind: Kind::Equation,
    tolerance: Tolerance::Relative(2e-3),
    reason: "inputs are given to three digits",
};

const PENDULUM: Model = Model {
    model: "inertia from a swing",
    source: "pendulum formulae in NumPy",
    kind: Kind::Equation,
    tolerance: Tolerance::Relative(1e-4),
    reason: "printed to six digits",
};

/// A craft of the invented sets, its inertia about roll, pitch and yaw.
struct Set {
    id: &'static str,
    rotors: Vec<Rotor>,
    kappa_m: f64,
    curve: ThrustCurve,
    mass_kg: f64,
    inertia_kg_mm2: [f64; 3],
}

impl Set {
    fn hover(&self) -> Hover<'_> {
        Hover {
            rotors: &self.rotors,
            kappa_m: self.kappa_m,
            curve: self.curve,
            mass_kg: self.mass_kg,
        }
    }

    fn trim(&self) -> Trim {
        self.hover().trim().expect("the set hovers")
    }

    fn authority(&self, least_share: f64) -> Authority {
        let least_n = least_share * self.curve.thrust_max_n;
        let inertia = self.inertia_kg_mm2.map(|i| 1e-6 * i);
        authority(&self.hover(), least_n, inertia).expect("the set hovers")
    }
}

/// Front right, front left, rear left, rear right, from the middle of the frame \[mm\].
fn four(places_mm: [(f64, f64); 4], cg_mm: (f64, f64)) -> Vec<Rotor> {
    let spins = [
        Spin::NoseLeft,
        Spin::NoseRight,
        Spin::NoseLeft,
        Spin::NoseRight,
    ];
    places_mm
        .into_iter()
        .zip(spins)
        .map(|((x, y), spin)| Rotor {
            x_m: 1e-3 * (x - cg_mm.0),
            y_m: 1e-3 * (y - cg_mm.1),
            spin,
        })
        .collect()
}

fn cross(arm: f64, cg_mm: (f64, f64)) -> Vec<Rotor> {
    four([(arm, -arm), (arm, arm), (-arm, arm), (-arm, -arm)], cg_mm)
}

fn curve(thrust_max_n: f64, shape: f64) -> ThrustCurve {
    ThrustCurve {
        thrust_max_n,
        shape,
    }
}

fn small(id: &'static str, mass_g: f64, cg_mm: (f64, f64), inertia_kg_mm2: [f64; 3]) -> Set {
    Set {
        id,
        rotors: cross(23.0, cg_mm),
        kappa_m: 4.3e-3,
        curve: curve(0.235, 0.45),
        mass_kg: 1e-3 * mass_g,
        inertia_kg_mm2,
    }
}

const MIDDLE: [f64; 3] = [239.586, 310.631, 439.937];

fn middle(id: &'static str, mass_g: f64, cg_mm: (f64, f64), inertia_kg_mm2: [f64; 3]) -> Set {
    Set {
        id,
        rotors: cross(62.0, cg_mm),
        kappa_m: 6.5e-3,
        curve: curve(1.9, 0.35),
        mass_kg: 1e-3 * mass_g,
        inertia_kg_mm2,
    }
}

fn a() -> Set {
    small("a", 25.5, (0.0627, 0.0), [7.3589, 9.6204, 14.6749])
}

fn a_refit() -> Set {
    small(
        "a-heavier-antenna",
        27.7,
        (-0.6787, 0.0),
        [7.9231, 10.3536, 14.9842],
    )
}

fn b() -> Set {
    middle("b", 183.4, (-1.3642, 0.6494), MIDDLE)
}

fn b_refit() -> Set {
    middle(
        "b-larger-transmitter",
        199.2,
        (-5.8042, 0.5979),
        [241.793, 354.642, 484.926],
    )
}

fn b_off() -> Set {
    middle("b-off-centre", 183.4, (12.0, -8.0), MIDDLE)
}

/// Set B with 1.35 times its weight at full command and the balance 20 mm forward.
fn b_weak() -> Set {
    let set = middle("b-little-thrust", 183.4, (20.0, 0.0), MIDDLE);
    Set {
        curve: curve(1.35 * set.mass_kg * quantity::STANDARD_GRAVITY / 4.0, 0.35),
        ..set
    }
}

fn uneven() -> Set {
    let places = [(45.0, -80.0), (45.0, 80.0), (-60.0, 55.0), (-60.0, -55.0)];
    Set {
        id: "uneven-frame",
        rotors: four(places, (-3.0, 1.0)),
        kappa_m: 7.5e-3,
        curve: curve(2.4, 0.35),
        mass_kg: 0.285,
        inertia_kg_mm2: [420.0, 400.0, 720.0],
    }
}

fn trims() -> Vec<Case> {
    let thrusts = [
        (a(), [62.688, 62.688, 62.347, 62.347]),
        (a_refit(), [65.907, 65.907, 69.915, 69.915]),
        (b(), [435.032, 444.451, 464.238, 454.819]),
        (b_refit(), [437.942, 447.361, 538.800, 529.381]),
        (b_off(), [594.678, 478.644, 304.591, 420.626]),
        (uneven(), [748.263, 768.966, 649.185, 628.482]),
    ];
    let mut cases = Vec::new();
    for (set, expected_mn) in &thrusts {
        cases.extend(each_motor(set.id, expected_mn, &set.trim().thrust_n));
    }
    let far = middle("b-far-off", 183.4, (55.0, 55.0), MIDDLE);
    let Err(NoTrim::PullsDown { thrust_n, .. }) = far.hover().trim() else {
        panic!("a balance outside the motors must be refused");
    };
    cases.extend(each_motor(
        far.id,
        &[449.6, 1247.4, 449.6, -348.1],
        &thrust_n,
    ));
    let digit = TRIM.within(Tolerance::Absolute(6e-5), "last printed digit");
    for (set, spread) in [
        (a_refit(), 0.0186),
        (b(), 0.0179),
        (b_refit(), 0.0598),
        (b_off(), 0.1794),
        (uneven(), 0.0625),
    ] {
        let id = format!("hover-trim-{}-spread", set.id);
        cases.push(digit.case(id, "command spread", spread, set.trim().command_spread));
    }
    for (set, ratio) in [
        (a(), 3.759),
        (b(), 4.226),
        (b_refit(), 3.890),
        (b_weak(), 1.35),
    ] {
        let id = format!("hover-trim-{}-ratio", set.id);
        cases.push(TRIM.case(id, "thrust over weight", ratio, set.trim().thrust_to_weight));
    }
    for (set, motor, command) in [
        (a(), 0, 0.3986),
        (a(), 2, 0.3970),
        (b_weak(), 0, 0.9876),
        (b_weak(), 2, 0.6497),
    ] {
        let id = format!("hover-trim-{}-command-{}", set.id, motor + 1);
        cases.push(digit.case(id, "command", command, set.trim().command[motor]));
    }
    for (motor, speed) in [1.150, 1.0318, 0.8231, 0.9672].into_iter().enumerate() {
        let id = format!("hover-trim-b-off-centre-speed-{}", motor + 1);
        let computed = b_off().trim().relative_speed[motor];
        cases.push(TRIM.case(id, "speed over that at mean thrust", speed, computed));
    }
    let fine = TRIM.within(Tolerance::Absolute(6e-6), "last printed digit");
    for (shape, share, command) in [(0.35, 0.25, 0.40686), (0.45, 0.27, 0.40224)] {
        let id = format!("hover-trim-inversion-{shape}");
        cases.push(fine.case(id, "command", command, curve(1.0, shape).command(share)));
    }
    cases
}

fn each_motor(id: &str, expected_mn: &[f64; 4], thrust_n: &[f64]) -> Vec<Case> {
    (0..4)
        .map(|motor| {
            let id = format!("hover-trim-{id}-{}", motor + 1);
            TRIM.case(id, "thrust [mN]", expected_mn[motor], 1e3 * thrust_n[motor])
        })
        .collect()
}

/// Which way, its name, and the expected held and free accelerations; free where one is given.
type Way = (
    fn(&Authority) -> Acceleration,
    &'static str,
    f64,
    Option<f64>,
);

const ROLL_PLUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.roll.plus, "roll-plus");
const ROLL_MINUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.roll.minus, "roll-minus");
const PITCH_PLUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.pitch.plus, "pitch-plus");
const PITCH_MINUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.pitch.minus, "pitch-minus");
const YAW_PLUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.yaw.plus, "yaw-plus");
const YAW_MINUS: (fn(&Authority) -> Acceleration, &str) = (|a| a.yaw.minus, "yaw-minus");

fn both(way: (fn(&Authority) -> Acceleration, &'static str), held: f64, free: f64) -> Way {
    (way.0, way.1, held, Some(free))
}

fn held(way: (fn(&Authority) -> Acceleration, &'static str), held: f64) -> Way {
    (way.0, way.1, held, None)
}

fn authorities() -> Vec<Case> {
    let rows: [(Set, f64, Vec<Way>); 8] = [
        (
            a(),
            0.0,
            vec![
                both(ROLL_PLUS, 779.45, 1464.96),
                both(PITCH_PLUS, 599.49, 1126.72),
                both(PITCH_MINUS, 596.22, 1120.59),
                both(YAW_PLUS, 73.07, 137.34),
            ],
        ),
        (a_refit(), 0.0, vec![both(ROLL_PLUS, 765.29, 1324.10)]),
        (
            b(),
            0.0,
            vec![
                both(ROLL_PLUS, 450.31, 951.43),
                both(ROLL_MINUS, 460.06, 972.03),
                both(PITCH_PLUS, 347.32, 733.82),
                both(PITCH_MINUS, 363.12, 767.20),
                both(YAW_PLUS, 26.27, 54.92),
                both(YAW_MINUS, 25.71, 54.90),
            ],
        ),
        (
            b_refit(),
            0.0,
            vec![
                both(PITCH_PLUS, 306.25, 595.73),
                both(PITCH_MINUS, 370.19, 720.12),
            ],
        ),
        (
            b_off(),
            0.0,
            vec![held(ROLL_PLUS, 435.40), held(ROLL_MINUS, 315.29)],
        ),
        (
            b_weak(),
            0.0,
            vec![
                both(PITCH_PLUS, 241.44, 320.47),
                both(PITCH_MINUS, 9.84, 164.15),
                held(ROLL_PLUS, 12.76),
            ],
        ),
        (
            Set {
                id: "b-never-standing",
                ..b()
            },
            0.05,
            vec![
                both(ROLL_PLUS, 351.97, 900.66),
                both(PITCH_MINUS, 287.27, 729.72),
            ],
        ),
        (
            uneven(),
            0.0,
            vec![
                both(ROLL_PLUS, 404.02, 693.88),
                both(PITCH_MINUS, 329.95, 566.67),
                both(YAW_PLUS, 22.10, 41.50),
                both(YAW_MINUS, 22.82, 42.87),
            ],
        ),
    ];
    rows.iter()
        .flat_map(|(set, least, ways)| {
            let found = set.authority(*least);
            ways.iter()
                .flat_map(move |way| acceleration(set.id, &found, *way))
        })
        .collect()
}

fn acceleration(set: &str, found: &Authority, (pick, name, held, free): Way) -> Vec<Case> {
    let way = pick(found);
    let id = |sum: &str| format!("authority-{set}-{name}-{sum}");
    let mut cases = vec![AUTHORITY.case(
        id("held"),
        "angular acceleration, thrust held [rad/s²]",
        held,
        way.held_rad_s2,
    )];
    cases.extend(free.map(|free| {
        let what = "angular acceleration, thrust free [rad/s²]";
        AUTHORITY.case(id("free"), what, free, way.free_rad_s2)
    }));
    cases
}

fn first(cutoff_hz: f64) -> Filter {
    Filter::FirstOrder { cutoff_hz }
}

fn second(cutoff_hz: f64) -> Filter {
    Filter::Butterworth2 { cutoff_hz }
}

fn notch(centre_hz: f64, q: f64) -> Filter {
    Filter::Notch { centre_hz, q }
}

fn rate_loop(plant: [f64; 3], [p, i, d]: [f64; 3], gyro: &[Filter], d_path: &[Filter]) -> RateLoop {
    RateLoop {
        gain_rad_s2: plant[0],
        lag_s: plant[1],
        delay_s: plant[2],
        gains: Gains { p, i, d },
        gyro_filters: gyro.to_vec(),
        d_filters: d_path.to_vec(),
    }
}

fn loop_a() -> RateLoop {
    let plant = [2400.0, 0.020, 0.0011];
    rate_loop(
        plant,
        [0.050, 0.20, 0.0009],
        &[second(250.0)],
        &[second(120.0)],
    )
}

fn loop_b(gain_rad_s2: f64, lag_s: f64, delay_s: f64) -> RateLoop {
    rate_loop(
        [gain_rad_s2, lag_s, delay_s],
        [0.075, 0.55, 0.0016],
        &[first(300.0), first(500.0), notch(310.0, 5.0)],
        &[first(100.0), first(180.0)],
    )
}

const PITCH_BEFORE: Plant = Plant {
    gain_rad_s2: 1500.0 * 239.5859 / 310.6305,
    lag_s: 0.028,
};
const PITCH_AFTER: Plant = Plant {
    gain_rad_s2: 1500.0 * 239.5859 / 354.6417 * 0.98,
    lag_s: 0.031,
};
const PITCH_CROSSOVER_HZ: f64 = 11.5693;

fn loops() -> Vec<Case> {
    let bare = |p| rate_loop([1000.0, 0.020, 0.002], [p, 0.0, 0.0], &[], &[]);
    let before = loop_b(PITCH_BEFORE.gain_rad_s2, PITCH_BEFORE.lag_s, 0.0009);
    let after = loop_b(PITCH_AFTER.gain_rad_s2, PITCH_AFTER.lag_s, 0.0009);
    let kept = after.with_gains_times(after.factor_for_crossover(PITCH_CROSSOVER_HZ));
    let later = RateLoop {
        delay_s: 0.0019,
        ..kept.clone()
    };
    let (b, nan) = (loop_b(1500.0, 0.028, 0.0009), f64::NAN);
    // Crossover Hz, phase margin °, gain margin dB and Hz, sensitivity peak, delay margin ms.
    let stable = [
        (
            "bare",
            bare(0.06),
            [7.1176, 43.065, 18.557, 24.753, 1.7274, 16.81],
        ),
        (
            "bare-doubled",
            bare(0.12),
            [11.1167, 27.592, 12.536, 24.753, 2.4501, nan],
        ),
        (
            "a",
            loop_a(),
            [18.7148, 63.700, 10.837, 63.26, 1.5205, 9.455],
        ),
        ("b", b, [14.9148, 62.672, 14.101, 60.677, 1.4025, 11.67]),
        (
            "b-pitch",
            before,
            [11.5693, 66.385, 16.356, 60.677, 1.3014, nan],
        ),
        (
            "b-pitch-refit",
            after,
            [9.2367, 65.797, 18.480, 60.287, 1.2383, nan],
        ),
        (
            "b-pitch-kept",
            kept,
            [11.5693, 64.150, 16.428, 60.287, 1.3045, nan],
        ),
        (
            "b-pitch-later",
            later,
            [11.5693, 59.985, 13.643, 47.549, 1.4069, nan],
        ),
    ];
    let mut cases: Vec<Case> = stable
        .iter()
        .flat_map(|(id, rate_loop, expected)| stable_loop(id, rate_loop, *expected))
        .collect();
    cases.extend(unstable_loop());
    cases
}

fn stable_loop(id: &str, rate_loop: &RateLoop, expected: [f64; 6]) -> Vec<Case> {
    let found = rate_loop.margins().expect("the loop crosses over");
    assert!(found.stable);
    let gain = found.gain_margin.expect("the phase passes −180°");
    let delay_ms = 1e3 * found.delay_margin_s.expect("stable");
    let id = |what: &str| format!("loop-{id}-{what}");
    let [crossover, phase, gain_db, gain_hz, peak, delay] = expected;
    let mut cases = vec![
        LOOP.case(
            id("crossover"),
            "crossover [Hz]",
            crossover,
            found.crossover_hz,
        ),
        phase_case(id("phase"), phase, found.phase_margin_deg),
        gain_case(id("gain"), gain_db, gain.db),
        LOOP.case(
            id("gain-at"),
            "frequency of −180° [Hz]",
            gain_hz,
            gain.frequency_hz,
        ),
        LOOP.within(Tolerance::Relative(5e-3), "largest of a grid there")
            .case(
                id("peak"),
                "sensitivity peak",
                peak,
                found.sensitivity_peak.expect("stable"),
            ),
    ];
    if delay.is_finite() {
        cases.push(LOOP.case(id("delay"), "delay margin [ms]", delay, delay_ms));
    }
    cases
}

fn unstable_loop() -> Vec<Case> {
    let plant = [3200.0, 0.022, 0.0035];
    let found = rate_loop(plant, [0.16, 0.9, 0.0005], &[first(120.0)], &[first(90.0)])
        .margins()
        .expect("the loop crosses over");
    let gain = found.gain_margin.expect("the phase passes −180°");
    vec![
        LOOP.case(
            "loop-unstable-crossover",
            "crossover [Hz]",
            25.9906,
            found.crossover_hz,
        ),
        phase_case("loop-unstable-phase".into(), -8.392, found.phase_margin_deg),
        gain_case("loop-unstable-gain".into(), -2.956, gain.db),
    ]
}

fn phase_case(id: String, expected: f64, computed: f64) -> Case {
    LOOP.within(
        Tolerance::Absolute(0.1),
        "a tenth of a degree is beyond use",
    )
    .case(id, "phase margin [°]", expected, computed)
}

fn gain_case(id: String, expected: f64, computed: f64) -> Case {
    LOOP.within(
        Tolerance::Absolute(0.05),
        "half a percent of gain is beyond use",
    )
    .case(id, "gain margin [dB]", expected, computed)
}

fn factors() -> Vec<Case> {
    let after = loop_b(PITCH_AFTER.gain_rad_s2, PITCH_AFTER.lag_s, 0.0009);
    let fine = LOOP.within(Tolerance::Relative(1e-4), "printed to five decimals");
    let what = "factor on all gains that keeps the crossover";
    vec![
        fine.case(
            "loop-kept-crossover",
            what,
            1.26650,
            after.factor_for_crossover(PITCH_CROSSOVER_HZ),
        ),
        fine.case(
            "loop-kept-crossover-simple",
            what,
            1.26650,
            gain_factor(PITCH_BEFORE, PITCH_AFTER, PITCH_CROSSOVER_HZ),
        ),
    ]
}

fn delays() -> Vec<Case> {
    [
        (
            "first-100",
            first(100.0),
            [1.59139, 1.46014, 1.17026, 0.79577],
        ),
        (
            "second-100",
            second(100.0),
            [2.25102, 2.43365, 2.70988, 2.25079],
        ),
        (
            "second-250",
            second(250.0),
            [0.90033, 0.91309, 0.94903, 1.01830],
        ),
        (
            "notch-200",
            notch(200.0, 3.0),
            [0.26528, 0.28312, 0.34498, 0.56172],
        ),
        (
            "notch-310",
            notch(310.0, 5.0),
            [0.10268, 0.10557, 0.11479, 0.14050],
        ),
    ]
    .into_iter()
    .flat_map(|(id, filter, expected_ms)| {
        [1.0, 30.0, 60.0, 100.0]
            .into_iter()
            .zip(expected_ms)
            .map(move |(hz, expected)| {
                let id = format!("delay-{id}-at-{hz}");
                DELAY.case(
                    id,
                    "group delay [ms]",
                    expected,
                    1e3 * filter.group_delay_s(hz),
                )
            })
    })
    .collect()
}

fn digital() -> Vec<Case> {
    let at_4_khz = |filter: Filter| filter.digital(4000.0).expect("below half the rate");
    let (low, notched, line) = (
        at_4_khz(second(150.0)),
        at_4_khz(notch(310.0, 5.0)),
        at_4_khz(first(100.0)),
    );
    let term = |tolerance| DELAY.within(Tolerance::Absolute(tolerance), "last printed digit");
    let mut cases: Vec<Case> = [
        ("second-150-b0", low.b[0], 0.011_857_68),
        ("second-150-b1", low.b[1], 0.023_715_37),
        ("second-150-b2", low.b[2], 0.011_857_68),
        ("second-150-a1", low.a[1], -1.669_203_14),
        ("second-150-a2", low.a[2], 0.716_633_87),
        ("notch-310-b0", notched.b[0], 0.955_298_72),
        ("notch-310-b1", notched.b[1], -1.688_520_36),
        ("notch-310-a2", notched.a[2], 0.910_597_45),
        ("first-100-k", line.b[0], 0.135_755_25),
    ]
    .into_iter()
    .map(|(id, computed, expected)| {
        term(6e-9).case(format!("digital-{id}"), "term at 4 kHz", expected, computed)
    })
    .collect();
    for (hz, low_ms, low_deg, notch_ms, gain) in [
        (20.0, 1.51979, -10.817, 0.10187, 0.977_634),
        (40.0, 1.59254, -21.998, 0.10564, 0.918_603),
        (80.0, 1.78099, -46.338, 0.12241, 0.758_195),
    ] {
        let id = |what: &str| format!("digital-{what}-at-{hz}");
        let phase_deg = low.response(hz).arg().to_degrees();
        let delay = |filter: flight::handling::filter::Digital| 1e3 * filter.group_delay_s(hz);
        cases.extend([
            DELAY.case(id("second-150"), "group delay [ms]", low_ms, delay(low)),
            term(6e-4).case(id("second-150-phase"), "phase [°]", low_deg, phase_deg),
            DELAY.case(
                id("notch-310"),
                "group delay [ms]",
                notch_ms,
                delay(notched),
            ),
            term(6e-7).case(id("first-100"), "magnitude", gain, line.response(hz).norm()),
        ]);
    }
    cases
}

/// One motor with propeller and what is known of it.
struct Turned {
    id: &'static str,
    inertias: Inertias,
    rotor: Turning,
    /// Inertia of bell and propeller kg·m², lag ms, coast ms, V, A, N/V.
    expected: [f64; 7],
}

/// Ring g, its radii mm, propeller g and diameter mm; hover thrust N, κ m, rpm.
fn turned(
    id: &'static str,
    [kv_rpm_per_v, resistance_ohm]: [f64; 2],
    [ring, outer, inner, propeller, diameter]: [f64; 5],
    [thrust_n, kappa_m, speed_rpm]: [f64; 3],
    expected: [f64; 7],
) -> Turned {
    let radii_m = [1e-3 * outer, 1e-3 * inner];
    let inertias = Inertias::of(
        1e-3 * ring,
        radii_m,
        1e-3 * propeller,
        1e-3 * diameter,
        0.20,
    );
    Turned {
        id,
        inertias,
        rotor: Turning {
            inertia_kg_m2: inertias.total_kg_m2(),
            kv_rpm_per_v,
            resistance_ohm,
            thrust_n,
            kappa_m,
            speed_rpm,
        },
        expected,
    }
}

fn turned_sets() -> [Turned; 3] {
    let nan = f64::NAN;
    [
        turned(
            "31-mm",
            [19_000.0, 0.105],
            [0.95, 5.0, 4.1, 0.25, 31.0],
            [0.0625, 4.3e-3, 32_450.0],
            [1.9860e-8, 1.2012e-8, 12.431, 201.5, 1.7640, 0.5347, 0.06867],
        ),
        turned(
            "76-mm",
            [4_500.0, 0.17],
            [3.4, 8.3, 7.0, 1.5, 76.2],
            [0.45, 6.5e-3, 17_500.0],
            [2.0041e-7, 4.3548e-7, 21.424, 199.2, 4.1232, 1.3784, 0.20654],
        ),
        turned(
            "89-mm",
            [3_800.0, 0.165],
            [4.2, 9.4, 8.1, 2.2, 88.9],
            [0.60, 7.5e-3, 16_900.0],
            [3.2334e-7, 8.6935e-7, 27.508, nan, 4.7428, 1.7907, 0.23818],
        ),
    ]
}

fn rotors() -> Vec<Case> {
    let mut cases = Vec::new();
    for set in turned_sets() {
        let lag = set.rotor.lag();
        let rows = [
            (
                "bell",
                "inertia of the bell [kg·m²]",
                set.inertias.bell_kg_m2,
            ),
            (
                "propeller",
                "inertia of the propeller [kg·m²]",
                set.inertias.propeller_kg_m2,
            ),
            ("lag", "time constant [ms]", 1e3 * lag.tau_s),
            ("coast", "time constant, coasting [ms]", 1e3 * lag.coast_s),
            ("volts", "motor volts in hover [V]", lag.motor_v),
            ("amperes", "motor current in hover [A]", lag.current_a),
            ("slope", "thrust over volts [N/V]", lag.thrust_n_per_v),
        ];
        for ((id, what, computed), expected) in rows.into_iter().zip(set.expected) {
            if expected.is_finite() {
                cases.push(TURNING.case(
                    format!("rotor-{}-{id}", set.id),
                    what,
                    expected,
                    computed,
                ));
            }
        }
    }
    cases.extend(steps());
    cases
}

/// Time to 63 % of the change of speed and of thrust after a jump of the duty.
fn steps() -> Vec<Case> {
    let simulated = Model {
        source: "torque balance stepped through time in Python",
        kind: Kind::Simulation,
        tolerance: Tolerance::Relative(1e-2),
        reason: "step of the simulation",
        ..TURNING
    };
    let share = 1.0 - (-1.0_f64).exp();
    let [small, middle, _] = turned_sets();
    [
        (&small, "up", 1.5, Slowing::Braked, [12.19, 13.67]),
        (&small, "down", 0.7, Slowing::Braked, [12.59, 11.24]),
        (&small, "coasting", 0.7, Slowing::Coasting, [91.8, 84.5]),
        (&middle, "up", 1.5, Slowing::Braked, [20.72, 23.17]),
        (&middle, "coasting", 0.7, Slowing::Coasting, [88.8, 81.9]),
    ]
    .into_iter()
    .flat_map(|(set, name, ratio, slowing, expected_ms)| {
        [("speed", Waited::Speed), ("thrust", Waited::Thrust)]
            .into_iter()
            .zip(expected_ms)
            .map(move |((of, waited), expected)| {
                let computed = 1e3 * set.rotor.step_time_s(ratio, share, waited, slowing);
                let id = format!("rotor-{}-step-{name}-{of}", set.id);
                simulated.case(
                    id,
                    format!("time to 63 % of the {of} [ms]"),
                    expected,
                    computed,
                )
            })
    })
    .collect()
}

/// The 183 g craft on its strings.
const HUNG: Bifilar = Bifilar {
    mass_kg: 0.1834,
    length_m: 0.60,
    spacing_m: 0.12,
};

fn pendulums() -> Vec<Case> {
    let heavy = Bifilar {
        mass_kg: 0.248,
        length_m: 0.75,
        spacing_m: 0.18,
    };
    let doubt = Readings {
        mass_kg: 0.5e-3,
        length_m: 2e-3,
        spacing_m: 1e-3,
        period_s: 5e-3,
    };
    let percent = PENDULUM.within(Tolerance::Absolute(0.006), "last printed digit");
    let what = "moment of inertia [kg·m²]";
    let mut cases = vec![
        PENDULUM.case("bifilar", what, 1.25240e-3, heavy.inertia_kg_m2(1.372, 0.0)),
        percent.case(
            "bifilar-doubt",
            "standard deviation of the inertia [%]",
            1.37,
            100.0 * heavy.relative_doubt(1.372, &doubt),
        ),
        PENDULUM.case(
            "trifilar",
            what,
            4.98172e-4,
            trifilar_inertia_kg_m2(0.1834, 0.6, 0.09, 0.9),
        ),
    ];
    let simulated = Model {
        source: "exact equation of motion stepped through time in Python",
        kind: Kind::Simulation,
        tolerance: Tolerance::Relative(2e-4),
        reason: "step of the simulation",
        ..PENDULUM
    };
    for (degrees, period_s, bias) in [
        (2.0_f64, 1.066_056, 1.0002),
        (10.0, 1.068_114, 1.0040),
        (20.0, 1.074_577, 1.0162),
        (40.0, 1.100_940, 1.0667),
    ] {
        let computed = HUNG.period_s(3.106e-4, degrees.to_radians());
        let read = HUNG.inertia_kg_m2(computed, 0.0) / 3.106e-4;
        let id = |what: &str| format!("bifilar-{what}-{degrees}");
        cases.push(simulated.case(id("period"), "period [s]", period_s, computed));
        cases.push(simulated.case(id("bias"), "small-swing formula over truth", bias, read));
    }
    cases
}

/// A made gyro record with noise, offset, jitter, lost samples and a gap; true inertia 3.106e-4 kg·m².
fn recorded() -> Vec<Case> {
    let record: Vec<(f64, f64)> = crate::cell::rows(SWING)
        .map(|row| (1e-6 * number(row[0]), number(row[1]).to_radians()))
        .collect();
    let seen = swing(&record).expect("the record is a swing");
    let made = Model {
        source: "made record of an exact swing with faults (data/handling-bifilar-gyro.csv)",
        kind: Kind::Simulation,
        tolerance: Tolerance::Absolute(1e-3),
        reason: "gyro noise and jitter of the stamps",
        ..PENDULUM
    };
    let inertia = made.within(
        Tolerance::Relative(1e-2),
        "gyro noise and jitter of the stamps",
    );
    let computed = HUNG.inertia_kg_m2(seen.period_s, seen.amplitude_rad);
    vec![
        made.case(
            "bifilar-recorded-period",
            "period [s]",
            1.0681,
            seen.period_s,
        ),
        inertia.case(
            "bifilar-recorded-inertia",
            "moment of inertia [kg·m²]",
            3.106e-4,
            computed,
        ),
    ]
}

/// 30 % more mass in the middle, inertia +5 %: P and D about −5 %, no blanket increase.
fn heavier() -> Vec<Case> {
    let gain = |mass_share: f64, inertia_share: f64| {
        let set = middle("b", 183.4 * mass_share, (0.0, 0.0), MIDDLE);
        let slope_n = set.curve.slope_n(set.trim().command[0]);
        Plant {
            gain_rad_s2: loop_gain_rad_s2(&[0.062; 4], slope_n, 240e-6 * inertia_share),
            lag_s: 0.025,
        }
    };
    let practice = Model {
        source: "builders' worked refits and check values; common practice",
        kind: Kind::CommonPractice,
        tolerance: Tolerance::Absolute(0.02),
        reason: "a rule with T ∝ u^1.6; two points for our curve",
        ..LOOP
    };
    vec![practice.case(
        "k8-heavier-in-the-middle",
        "factor on P and D, mass +30 %, inertia +5 %",
        0.95,
        gain_factor(gain(1.0, 1.0), gain(1.3, 1.05), 15.0),
    )]
}
