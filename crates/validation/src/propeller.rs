//! Blade elements and propellers against another solver, a closed form and thirteen measured propellers.

use crate::{Case, Kind, Tolerance};
use flight::air::Air;
use flight::blade_element::{
    Blade, LinearSection, Loads, Section, SmallPropellerSection, Station, Stream,
};
use flight::propeller::{self, LabelPropeller, Propeller};
use quantity::{
    Density, Doubt, Length, Quantity, Ratio, RotationSpeed, Speed, TemperatureDifference,
};
use std::f64::consts::PI;

const REFERENCE: &str = include_str!("../data/propulsion-bemt-reference.csv");
const INDEX: &str = include_str!("../data/propulsion-prop-index.csv");
const GEOMETRY: &str = include_str!("../data/propulsion-prop-geometry.csv");
const STATIC: &str = include_str!("../data/propulsion-prop-static.csv");
const FORWARD: &str = include_str!("../data/propulsion-prop-forward.csv");
const POLARS: &str = include_str!("../data/propulsion-polars-lowRe.csv");

const SOLVER: &str = "a 400-element solver of the same residual in another language \
    (data/propulsion-bemt-reference.csv)";
const MEASURED: &str = "University of Illinois Propeller Database, volume 2; Deters, Ananda, Selig, \
    AIAA 2014-2151 (data/propulsion-prop-*.csv)";

/// One row of a table, by the names in its heading.
pub(crate) struct Row {
    heading: Vec<&'static str>,
    fields: Vec<&'static str>,
}

impl Row {
    /// The field under a heading.
    pub(crate) fn text(&self, column: &str) -> &'static str {
        let at = self.heading.iter().position(|name| *name == column);
        self.fields[at.unwrap_or_else(|| panic!("no column {column}"))]
    }

    /// The number under a heading.
    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{text} under {column} is no number"))
    }
}

/// The rows of a table with comment lines and a heading.
pub(crate) fn table(text: &'static str) -> Vec<Row> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let split = |line: &'static str| line.split(',').collect::<Vec<_>>();
    let heading = split(lines.next().unwrap_or_default());
    lines
        .map(|line| Row {
            heading: heading.clone(),
            fields: split(line),
        })
        .collect()
}

/// The cases of this file.
pub fn cases() -> Vec<Case> {
    let measured = measured();
    [
        against_solver(),
        closed_form(),
        untwisted_hover_rotor(),
        thrust_from_coefficients(),
        section_drag(),
        static_runs(&measured),
        merit(&measured),
        forward_runs(&measured),
        forward_trend(&measured),
        from_shape(&measured),
        from_labels(&measured),
        label_ratios(&measured),
        small_labels(),
    ]
    .concat()
}

fn case(model: &'static str, id: impl Into<String>, what: impl Into<String>) -> Case {
    Case {
        model,
        id: id.into(),
        source: MEASURED,
        kind: Kind::Measurement,
        what: what.into(),
        expected: 1.0,
        computed: f64::NAN,
        tolerance: Tolerance::Absolute(0.0),
        reason: "",
    }
}

fn stream(rpm: f64, axial_m_s: f64) -> Stream {
    let sea_level = Air::standard(Length::metres(0.0), TemperatureDifference::kelvins(0.0));
    Stream {
        axial: Speed::metres_per_second(axial_m_s),
        ..Stream::still(sea_level.expect("sea level"), RotationSpeed::rpm(rpm))
    }
}

fn two_stations(root: f64, chord_ratio: f64, angle_deg: f64, diameter_m: f64) -> Blade {
    let station = |radius_ratio| Station {
        radius_ratio,
        chord_ratio,
        angle_rad: angle_deg.to_radians(),
    };
    let stations = vec![station(root), station(1.0)];
    Blade::new(stations, 2, Length::metres(diameter_m)).expect("a plain blade")
}

/// Every row of the other solver's table, those with negative thrust included.
fn against_solver() -> Vec<Case> {
    table(REFERENCE)
        .iter()
        .flat_map(|row| {
            let (angle, axial) = (row.number("theta_deg"), row.number("V_m_s"));
            let blade = two_stations(0.15, 0.011 / 0.0635, angle, 0.127);
            let section = LinearSection {
                slope: 5.7,
                drag: 0.02,
            };
            let stream = Stream {
                tip_loss: row.text("tip_loss") == "1",
                ..stream(15_000.0, axial)
            };
            let loads = blade.loads(&section, &stream).expect("a balance");
            [
                ("CT", "thrust coefficient", loads.thrust_coefficient),
                ("CP", "power coefficient", loads.power_coefficient),
            ]
            .map(|(column, what, computed)| Case {
                source: SOLVER,
                kind: Kind::Equation,
                expected: row.number(column),
                computed,
                // Two percent, or 0.0005 where thrust passes through zero.
                tolerance: Tolerance::Absolute(5e-4_f64.max(0.02 * row.number(column).abs())),
                reason: "30 elements against 400: up to 1.2 %",
                ..case(
                    "blade elements",
                    format!(
                        "solver-{angle}-deg-{axial}-m-s-tip-loss-{}-{column}",
                        row.text("tip_loss")
                    ),
                    what,
                )
            })
        })
        .collect()
}

/// Without drag and tip loss and at small angles each annulus is a quadratic:
/// `λ = (σa/16)(√(1 + 32θr/(σa)) − 1)`, `C_T = ∫4λ²r dr`, `C_P = ∫4λ³r dr` in helicopter convention (Leishman,
/// "Principles of Helicopter Aerodynamics", section 3.3; from memory).
fn closed_form() -> Vec<Case> {
    let (solidity, slope) = (0.1, 5.7);
    [6.0_f64, 10.0]
        .into_iter()
        .flat_map(|angle| {
            let (mut thrust, mut power) = (0.0, 0.0);
            for i in 0..4000 {
                let r = 0.1 + 0.9 * (f64::from(i) + 0.5) / 4000.0;
                let root = (1.0 + 32.0 * angle.to_radians() * r / (solidity * slope)).sqrt();
                let inflow = solidity * slope / 16.0 * (root - 1.0);
                thrust += 4.0 * inflow.powi(2) * r * 0.9 / 4000.0;
                power += 4.0 * inflow.powi(3) * r * 0.9 / 4000.0;
            }
            let blade = two_stations(0.1, solidity * PI / 2.0, angle, 0.127);
            let still = Stream {
                tip_loss: false,
                ..stream(15_000.0, 0.0)
            };
            let section = LinearSection { slope, drag: 0.0 };
            let loads = blade.loads(&section, &still).expect("a balance");
            let rows = [
                ("CT", PI.powi(3) / 4.0 * thrust, loads.thrust_coefficient),
                ("CP", PI.powi(4) / 4.0 * power, loads.power_coefficient),
            ];
            rows.map(|(what, expected, computed)| Case {
                source: "closed form of Leishman's textbook, section 3.3, from memory",
                kind: Kind::Equation,
                expected,
                computed,
                tolerance: Tolerance::Relative(0.02),
                reason: "the closed form takes small angles and no swirl",
                ..case(
                    "blade elements",
                    format!("closed-form-{angle}-deg-{what}"),
                    what,
                )
            })
        })
        .collect()
}

/// Caradonna and Tung, NASA TM-81232 (1981): two untwisted NACA 0012 blades of aspect ratio 6.
/// Strip theory promises such short blades too much; how much is what the case records.
fn untwisted_hover_rotor() -> Vec<Case> {
    [(5.0, 0.002_13), (8.0, 0.004_59), (12.0, 0.007_96)]
        .into_iter()
        .map(|(angle, helicopter)| {
            let blade = two_stations(1.0 / 6.0, 1.0 / 6.0, angle, 2.286);
            let section = LinearSection {
                slope: 5.9,
                drag: 0.01,
            };
            let loads = blade
                .loads(&section, &stream(1250.0, 0.0))
                .expect("a balance");
            let measured = helicopter * PI.powi(3) / 4.0;
            Case {
                source: "Caradonna and Tung, NASA TM-81232 (1981); thrust values from memory",
                expected: measured,
                computed: loads.thrust_coefficient,
                tolerance: Tolerance::Band(measured, 1.4 * measured),
                reason: "strip theory on a blade of aspect ratio 6",
                ..case(
                    "blade elements",
                    format!("hover-rotor-{angle}-deg"),
                    "thrust coefficient",
                )
            }
        })
        .collect()
}

/// 0.137828 × 1.225 × (19 996.7/60)² × 0.057⁴ = 0.1980 N.
fn thrust_from_coefficients() -> Vec<Case> {
    let propeller = Propeller::constant(Length::millimetres(57.0), 0.137_828, 0.074_557);
    let thrust = propeller.thrust(
        RotationSpeed::rpm(19_996.7),
        Density::kilograms_per_cubic_metre(1.225),
    );
    vec![Case {
        source: "definition of the coefficient, worked by hand to four digits",
        kind: Kind::Equation,
        expected: 0.1980,
        computed: thrust.in_newtons(),
        tolerance: Tolerance::Relative(3e-4),
        reason: "printed to four digits",
        ..case("propeller from coefficients", "thrust-57-mm", "thrust [N]")
    }]
}

/// The fitted polar's drag against two thin sections of a boundary-layer-trained network.
fn section_drag() -> Vec<Case> {
    let ratios: Vec<f64> = table(POLARS)
        .iter()
        .filter(|row| row.number("confidence") >= 0.9)
        .filter(|row| (0.0..=8.0).contains(&row.number("alpha_deg")))
        .filter(|row| (1e4..=6e4).contains(&row.number("Re")))
        .map(|row| {
            let angle_rad = row.number("alpha_deg").to_radians();
            let ours = SmallPropellerSection.coefficients(angle_rad, row.number("Re"));
            ours.drag / row.number("cd")
        })
        .collect();
    vec![Case {
        source: "neuralfoil 0.3.3, NACA 4405 and 6406, confidence at least 0.9 \
            (data/propulsion-polars-lowRe.csv)",
        kind: Kind::Simulation,
        computed: mean(&ratios),
        tolerance: Tolerance::Band(0.5, 2.0),
        reason: "other sections, smooth; order of magnitude only",
        ..case(
            "blade elements",
            "section-drag",
            "mean of our drag over theirs, Re 10 000–60 000, 0–8°",
        )
    }]
}

/// A measured propeller, its runs above 70 % of its top speed averaged.
struct Measured {
    id: &'static str,
    blade: Blade,
    pitch: Length,
    blades: u32,
    rpm: f64,
    thrust: f64,
    power: f64,
}

impl Measured {
    fn predicted(&self, rpm: f64, axial_m_s: f64) -> Loads {
        let stream = stream(rpm, axial_m_s);
        let loads = self.blade.loads(&SmallPropellerSection, &stream);
        loads.unwrap_or_else(|error| panic!("{}: {error}", self.id))
    }

    fn merit(&self) -> f64 {
        propeller::figure_of_merit(self.thrust, self.power)
    }

    fn label(&self) -> LabelPropeller {
        propeller::from_label(
            self.blade.diameter(),
            self.pitch,
            self.blades,
            RotationSpeed::rpm(self.rpm),
            Density::kilograms_per_cubic_metre(1.225),
        )
        .expect("a measured propeller has a usual label")
    }
}

fn measured() -> Vec<Measured> {
    let (stations, runs) = (table(GEOMETRY), table(STATIC));
    let of = |id: &'static str| move |row: &&Row| row.text("prop_id") == id;
    table(INDEX)
        .iter()
        .map(|row| {
            let id = row.text("prop_id");
            let stations = stations.iter().filter(of(id)).map(|station| Station {
                radius_ratio: station.number("r_over_R"),
                chord_ratio: station.number("c_over_R"),
                angle_rad: station.number("beta_deg").to_radians(),
            });
            let blades = row.number("blades") as u32;
            let diameter = Length::millimetres(row.number("D_mm"));
            let fast: Vec<&Row> = runs
                .iter()
                .filter(of(id))
                .filter(|run| run.number("rpm") > 0.7 * row.number("rpm_max"))
                .collect();
            let average = |column| mean(&fast.iter().map(|r| r.number(column)).collect::<Vec<_>>());
            Measured {
                id,
                blade: Blade::new(stations.collect(), blades, diameter).expect("a measured blade"),
                pitch: Length::millimetres(row.number("pitch_mm")),
                blades,
                rpm: average("rpm"),
                thrust: average("CT"),
                power: average("CP"),
            }
        })
        .collect()
}

/// Measured shape, one polar, nothing calibrated; mean and spread over the thirteen.
fn static_runs(measured: &[Measured]) -> Vec<Case> {
    let ratio = |of: fn(&Measured, &Loads) -> f64| -> Vec<f64> {
        let loads = |m: &Measured| m.predicted(m.rpm, 0.0);
        measured.iter().map(|m| of(m, &loads(m))).collect()
    };
    let thrust = ratio(|m, loads| loads.thrust_coefficient / m.thrust);
    let power = ratio(|m, loads| loads.power_coefficient / m.power);
    [
        ("thrust", thrust, (0.90, 1.10), 0.20),
        ("power", power, (0.85, 1.15), 0.24),
    ]
    .into_iter()
    .flat_map(|(what, ratios, band, most)| {
        let model = "blade elements, measured shape, static";
        [
            Case {
                computed: mean(&ratios),
                tolerance: Tolerance::Band(band.0, band.1),
                reason: "section shape unknown; one polar for all",
                ..case(
                    model,
                    format!("static-{what}-mean"),
                    format!("mean of predicted over measured {what} coefficient"),
                )
            },
            Case {
                expected: 0.0,
                computed: spread(&ratios),
                tolerance: Tolerance::Band(0.0, most),
                reason: "no worse than a power law in blade angle and area (sd 16–17 %), with margin",
                ..case(
                    model,
                    format!("static-{what}-spread"),
                    format!("sd of predicted over measured {what} coefficient"),
                )
            },
        ]
    })
    .collect()
}

fn merit(measured: &[Measured]) -> Vec<Case> {
    let ours: Vec<f64> = measured
        .iter()
        .map(|m| m.predicted(m.rpm, 0.0).figure_of_merit())
        .collect();
    let theirs: Vec<f64> = measured.iter().map(Measured::merit).collect();
    let ratios: Vec<f64> = ours.iter().zip(&theirs).map(|(a, b)| a / b).collect();
    let steepest = measured.iter().position(|m| m.id == "P107x102-2");
    let worst_rank = ranks(&ours)[steepest.expect("it is in the set")];
    let model = "blade elements, measured shape, static";
    vec![
        Case {
            computed: rank_correlation(&ours, &theirs),
            tolerance: Tolerance::Band(0.5, 1.0),
            reason: "which propeller is better must mostly come out",
            ..case(model, "merit-rank", "rank correlation of figure of merit")
        },
        Case {
            computed: mean(&ratios),
            tolerance: Tolerance::Band(1.0, 1.25),
            reason: "strip theory is known to promise too much; corrected where it is used",
            ..case(
                model,
                "merit-mean",
                "mean of predicted over measured figure of merit",
            )
        },
        Case {
            expected: 0.0,
            computed: spread(&ratios),
            tolerance: Tolerance::Band(0.0, 0.18),
            reason: "one polar for all sections",
            ..case(
                model,
                "merit-spread",
                "sd of predicted over measured figure of merit",
            )
        },
        Case {
            computed: worst_rank,
            reason: "exact",
            ..case(
                model,
                "merit-lowest",
                "rank of the steepest propeller, 1 is lowest",
            )
        },
    ]
}

/// Every advance row with more than a quarter of the static thrust, scaled by the one static point.
fn forward_runs(measured: &[Measured]) -> Vec<Case> {
    let rows = table(FORWARD);
    let (mut thrust, mut power) = (Vec::new(), Vec::new());
    for m in measured {
        let still = m.predicted(m.rpm, 0.0);
        let of = rows.iter().filter(|row| row.text("prop_id") == m.id);
        for row in of.filter(|row| row.number("CT") > 0.25 * m.thrust) {
            let moving = at_advance(m, row.number("rpm"), row.number("J"));
            thrust.push(
                moving.thrust_coefficient / still.thrust_coefficient - row.number("CT") / m.thrust,
            );
            power.push(
                moving.power_coefficient / still.power_coefficient - row.number("CP") / m.power,
            );
        }
    }
    [("thrust", thrust, 0.05, 0.09), ("power", power, 0.08, 0.12)]
        .into_iter()
        .flat_map(|(what, errors, bias, most)| {
            let model = "blade elements, one static point known, in forward flight";
            [
                Case {
                    expected: 0.0,
                    computed: mean(&errors),
                    tolerance: Tolerance::Absolute(bias),
                    reason: "what a static calibration leaves",
                    ..case(
                        model,
                        format!("forward-{what}-mean"),
                        format!("mean error of {what} over its static value"),
                    )
                },
                Case {
                    expected: 0.0,
                    computed: spread(&errors),
                    tolerance: Tolerance::Band(0.0, most),
                    reason: "what a static calibration leaves",
                    ..case(
                        model,
                        format!("forward-{what}-spread"),
                        format!("sd of the error of {what} over its static value"),
                    )
                },
            ]
        })
        .collect()
}

fn at_advance(m: &Measured, rpm: f64, advance: f64) -> Loads {
    m.predicted(rpm, advance * rpm / 60.0 * m.blade.diameter().in_metres())
}

/// Fast runs that span J 0.12–0.4: thrust falls along each of them, measured and predicted.
fn forward_trend(measured: &[Measured]) -> Vec<Case> {
    let rows = table(FORWARD);
    let (mut runs, mut falling) = (0.0, 0.0);
    for m in measured {
        let of: Vec<&Row> = rows
            .iter()
            .filter(|row| row.text("prop_id") == m.id)
            .collect();
        let top = of.iter().map(|row| row.number("rpm")).fold(0.0, f64::max);
        for run in of.chunk_by(|a, b| a.text("rpm") == b.text("rpm")) {
            let rpm = run[0].number("rpm");
            let (first, last) = (run[0], run[run.len() - 1]);
            let spans = first.number("J") <= 0.12 && last.number("J") >= 0.4;
            if rpm <= 0.7 * top || !spans {
                continue;
            }
            let near = |j: f64| {
                let miss = |row: &&&Row| (row.number("J") - j).abs();
                let nearest = run.iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
                nearest.expect("a run has rows").number("CT")
            };
            let thrust = |j| at_advance(m, rpm, j).thrust_coefficient;
            runs += 1.0;
            if near(0.4) < near(0.12) && thrust(0.4) < thrust(0.12) {
                falling += 1.0;
            }
        }
    }
    assert!(runs > 0.0, "the data set has fast runs");
    vec![Case {
        expected: runs,
        computed: falling,
        tolerance: Tolerance::Absolute(0.0),
        reason: "all of them",
        ..case(
            "blade elements, one static point known, in forward flight",
            "forward-trend",
            "runs whose thrust falls from J 0.12 to 0.4, measured and predicted",
        )
    }]
}

/// Measured shape with the correction for blade area and figure of merit, as the program uses it.
fn from_shape(measured: &[Measured]) -> Vec<Case> {
    let (mut thrust, mut power) = (Vec::new(), Vec::new());
    for m in measured {
        let still = stream(m.rpm, 0.0);
        let made = propeller::from_geometry(&m.blade, &still.air, still.rotation, None);
        let made = made.expect("a balance");
        thrust.push((made.propeller.thrust_coefficient / m.thrust).ln() / sd_of(made.thrust));
        power.push((made.propeller.power_coefficient / m.power).ln() / sd_of(made.power));
    }
    within_spread(
        "propeller from its shape",
        "shape",
        [("thrust", thrust), ("power", power)],
    )
}

/// Only what is printed on the package: diameter, pitch, blades. Nothing else of the propeller is used.
fn from_labels(measured: &[Measured]) -> Vec<Case> {
    let scores = |of: fn(&Measured, &LabelPropeller) -> (Quantity<Ratio>, f64)| -> Vec<f64> {
        measured.iter().map(|m| score(of(m, &m.label()))).collect()
    };
    within_spread(
        "propeller from its label",
        "label",
        [
            (
                "thrust",
                scores(|m, label| (label.thrust_coefficient, m.thrust)),
            ),
            (
                "power",
                scores(|m, label| (label.power_coefficient, m.power)),
            ),
            (
                "merit",
                scores(|m, label| (label.figure_of_merit, m.merit())),
            ),
        ],
    )
}

/// How far labels lead astray on the whole. The average blade, the polar and the correction were made from
/// these same propellers, so the mean says only that nothing was lost on the way; the spread is the
/// finding.
fn label_ratios(measured: &[Measured]) -> Vec<Case> {
    let of = |of: fn(&Measured, &LabelPropeller) -> f64| -> Vec<f64> {
        measured.iter().map(|m| of(m, &m.label())).collect()
    };
    let thrust = of(|m, label| label.thrust_coefficient.value.in_ones() / m.thrust);
    let power = of(|m, label| label.power_coefficient.value.in_ones() / m.power);
    let merit = of(|m, label| label.figure_of_merit.value.in_ones() / m.merit());
    // Two standard errors of a mean of 13: 2 × 0.25/√13, 2 × 0.31/√13, 2 × 0.15/√13.
    [
        ("thrust", thrust, 0.14, 0.25),
        ("power", power, 0.17, 0.31),
        ("merit", merit, 0.085, 0.15),
    ]
    .into_iter()
    .flat_map(|(what, ratios, bias, stated)| {
        let model = "propeller from its label, predicted over measured";
        [
            Case {
                computed: mean(&ratios),
                tolerance: Tolerance::Absolute(bias),
                reason: "two standard errors of 13 at the stated spread",
                ..case(
                    model,
                    format!("label-{what}-mean"),
                    format!("mean of predicted over measured, {what}"),
                )
            },
            Case {
                expected: stated,
                computed: spread(&ratios),
                tolerance: Tolerance::Band(0.0, 1.35 * stated),
                reason: "the stated spread; chi-square, 13 draws at 95 %",
                ..case(
                    model,
                    format!("label-{what}-spread"),
                    format!("sd of predicted over measured, {what}"),
                )
            },
        ]
    })
    .collect()
}

/// Diameter \[mm\], pitch \[mm\], blades, hover speed \[rpm\] and figures of merit of the class.
type Usual = (f64, f64, u32, f64, (f64, f64));

/// Propellers with the pitches they are usually sold with. Flatter ones (40 × 20, 51 × 25 mm) come out
/// below the bands, at 0.10–0.11 and 0.056–0.059.
const USUAL: [Usual; 6] = [
    (31.0, 23.0, 3, 35e3, (0.40, 0.55)),
    (40.0, 28.0, 2, 26.5e3, (0.40, 0.55)),
    (40.0, 28.0, 3, 28e3, (0.40, 0.55)),
    (51.0, 38.0, 3, 24e3, (0.50, 0.62)),
    (76.2, 50.8, 2, 14e3, (0.50, 0.62)),
    (127.0, 109.0, 3, 10e3, (0.58, 0.68)),
];

/// No measurement is open to see below 57 mm: whether the extrapolation is at least of the usual size.
fn small_labels() -> Vec<Case> {
    USUAL.iter().flat_map(small_label).collect()
}

fn small_label(&(d_mm, p_mm, blades, rpm, (least, most)): &Usual) -> Vec<Case> {
    let label = propeller::from_label(
        Length::millimetres(d_mm),
        Length::millimetres(p_mm),
        blades,
        RotationSpeed::rpm(rpm),
        Density::kilograms_per_cubic_metre(1.225),
    )
    .expect("a usual label");
    let doubt = sd_of(label.figure_of_merit.doubt);
    let merit_band = (least / (1.0 + doubt), most * (1.0 + doubt));
    [
        ("CT", label.thrust_coefficient, (0.12, 0.20), "the band itself"),
        ("CP", label.power_coefficient, (0.06, 0.13), "the band itself"),
        (
            "merit",
            label.figure_of_merit,
            merit_band,
            "the band, widened by 1 sd of a propeller known by its label",
        ),
    ]
    .into_iter()
    .map(|(what, computed, (low, high), reason)| Case {
        source: "coefficients of small propellers as builders quote them; common practice, from memory",
        kind: Kind::CommonPractice,
        expected: 0.5 * (low + high),
        computed: computed.value.in_ones(),
        tolerance: Tolerance::Band(low, high),
        reason,
        ..case(
            "propeller from its label",
            format!("usual-{d_mm}-mm-{blades}-blades-{what}"),
            what,
        )
    })
    .collect()
}

/// By how many stated standard deviations the prediction lies above the measurement.
fn score((predicted, measured): (Quantity<Ratio>, f64)) -> f64 {
    (predicted.value.in_ones() / measured).ln() / sd_of(predicted.doubt)
}

fn sd_of(doubt: Doubt) -> f64 {
    match doubt {
        Doubt::Factor(sd) => sd,
        other => panic!("coefficients are log-normal, not {other:?}"),
    }
}

/// Of thirteen honest 2-sd intervals eleven or more hold the truth in 97 cases of 100.
fn within_spread<const N: usize>(
    model: &'static str,
    prefix: &str,
    scores: [(&str, Vec<f64>); N],
) -> Vec<Case> {
    scores
        .into_iter()
        .flat_map(|(what, scores)| {
            let within = scores.iter().filter(|z| z.abs() <= 2.0).count() as f64;
            let square = mean(&scores.iter().map(|z| z * z).collect::<Vec<_>>());
            [
                Case {
                    expected: 12.4,
                    computed: within,
                    tolerance: Tolerance::Band(11.0, 13.0),
                    reason: "binomial, 13 draws at 95 %",
                    ..case(
                        model,
                        format!("{prefix}-{what}-within-2-sd"),
                        format!("of 13 measured within 2 stated sd, {what}"),
                    )
                },
                Case {
                    computed: square.sqrt(),
                    tolerance: Tolerance::Band(0.5, 1.35),
                    reason: "stated spread neither too small nor twice too wide",
                    ..case(
                        model,
                        format!("{prefix}-{what}-size-of-error"),
                        format!("rms error in stated sd, {what}"),
                    )
                },
            ]
        })
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn spread(values: &[f64]) -> f64 {
    let middle = mean(values);
    let squares: f64 = values.iter().map(|v| (v - middle).powi(2)).sum();
    (squares / (values.len() - 1) as f64).sqrt()
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let below = |v: &f64| values.iter().filter(|other| *other < v).count() as f64;
    values.iter().map(|v| 1.0 + below(v)).collect()
}

/// Spearman's, for values without ties.
fn rank_correlation(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let squares: f64 = ranks(a)
        .iter()
        .zip(ranks(b))
        .map(|(x, y)| (x - y).powi(2))
        .sum();
    1.0 - 6.0 * squares / (n * (n * n - 1.0))
}
