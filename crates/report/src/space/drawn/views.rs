//! Three views to one scale: solids, what the blades sweep, ducts, balance, the tightest gaps.

use super::callout::{Callout, Placed, Room, SIZE, placed};
use super::project::{View, outline};
use super::{EDGE, SHEET, line, sheet, title_block, title_height, words};
use crate::drawing::look::{INK, SOFT};
use crate::drawing::write::{Svg, short};
use crate::number::plain;
use diagram::letters::LINE;
use space::Layout;
use space::shape::Piece;
use std::collections::BTreeSet;
use workbench::assess::Assessment;
use workbench::outcome::Outcome;
use workbench::verdict::State;

/// Scales that a rule shows, largest first.
const SCALES: [f64; 13] = [
    4.0, 3.0, 2.5, 2.0, 1.5, 1.25, 1.0, 0.8, 0.6, 0.5, 0.4, 0.33, 0.25,
];
/// Room for words on each side of a view \[mm\].
const WORDS: f64 = 29.0;
/// Room above a view for its heading \[mm\].
const HEAD: f64 = 7.0;
/// Room below a view \[mm\].
const BELOW: f64 = 6.0;
/// Gaps that are dimensioned.
const GAPS: usize = 5;
/// Colour of dimensions.
const GAP_INK: &str = "#b3261e";
/// Colour of what the refit takes off.
const GONE: &str = "#8a939d";
const REMARKS: [&str; 3] = [
    "Places as written, not measured. Thick: put on by the refit; dotted: taken off. Dashed: what the blades sweep, and the ground.",
    "Quartered circle: centre of gravity, filled after the refit, empty before; its ellipse is one standard deviation.",
    "Red: the tightest gaps, millimetres of air between solids, and in brackets what is wanted.",
];

/// The sheet with all three views.
pub fn views(assessment: &Assessment) -> String {
    let state = &assessment.judged;
    let name = &state.airframe.name;
    let after = if assessment.before.is_some() {
        " after the refit"
    } else {
        ""
    };
    let title = format!("Space of {name}{after}");
    let all = Everything::of(assessment);
    let mut svg = sheet(
        &title,
        &format!("{} parts in three views.", all.named.len()),
    );
    let (low, high) = all.extent_mm();
    let size = [0, 1, 2].map(|axis| (high[axis] - low[axis]).max(1.0));
    let scale = scale_for(size);
    let mut top = EDGE + HEAD;
    let places = View::ALL.map(|view| {
        let [across, up] = view.axes().map(|axis| size[axis] * scale);
        let corner = [0.5 * (SHEET[0] - across), top];
        top += up + HEAD + BELOW;
        (view, corner)
    });
    for (view, corner) in places {
        let on = OnPaper {
            view,
            corner,
            scale,
            low,
            high,
        };
        all.draw(&mut svg, &on, state, assessment.before.as_ref());
    }
    scale_bar(&mut svg, scale);
    let craft = format!("scale {}, millimetres", scale_words(scale));
    title_block(&mut svg, &title, &craft, &REMARKS);
    svg.finish()
}

fn scale_words(scale: f64) -> String {
    if scale >= 1.0 {
        format!(
            "{} : 1",
            plain(scale, 3).trim_end_matches('0').trim_end_matches('.')
        )
    } else {
        format!(
            "1 : {}",
            plain(1.0 / scale, 3)
                .trim_end_matches('0')
                .trim_end_matches('.')
        )
    }
}

/// The largest scale at which everything fits the sheet.
fn scale_for(size: [f64; 3]) -> f64 {
    let fits = |scale: &&f64| {
        let [x, y, z] = size.map(|size| size * **scale);
        let room = SHEET[1] - 2.0 * EDGE - title_height(REMARKS.len());
        2.0 * EDGE + x.max(y) + 2.0 * WORDS <= SHEET[0]
            && x + 2.0 * z + 3.0 * (HEAD + BELOW) <= room
    };
    SCALES
        .iter()
        .find(fits)
        .copied()
        .unwrap_or(SCALES[SCALES.len() - 1])
}

fn scale_bar(svg: &mut Svg, scale: f64) {
    let bar_mm = if scale >= 1.5 { 10.0 } else { 20.0 };
    let (x, y) = (
        SHEET[0] - EDGE - bar_mm * scale - 14.0,
        SHEET[1] - EDGE - title_height(REMARKS.len()) - 1.0,
    );
    line(svg, [x, y], [x + bar_mm * scale, y], INK, 0.5, "none");
    for end in [x, x + bar_mm * scale] {
        line(svg, [end, y - 1.0], [end, y + 1.0], INK, 0.3, "none");
    }
    words(
        svg,
        [x + bar_mm * scale + 1.5, y - 1.6],
        SIZE,
        false,
        false,
        &format!("{bar_mm} mm"),
    );
}

/// What is drawn in every view.
struct Everything<'a> {
    layout: &'a Layout,
    /// Pieces that stay, pieces that are new.
    named: Vec<(String, &'a [Piece], bool)>,
    gone: Vec<&'a Piece>,
    discs: Vec<Piece>,
    ducts: Vec<Piece>,
    ground_mm: Option<f64>,
}

/// Where a view lies on the sheet.
struct OnPaper {
    view: View,
    corner: [f64; 2],
    scale: f64,
    low: [f64; 3],
    high: [f64; 3],
}

impl OnPaper {
    fn at(&self, point: [f64; 2]) -> [f64; 2] {
        let ends = [self.view.at(self.low), self.view.at(self.high)];
        let left = ends[0][0].min(ends[1][0]);
        let top = ends[0][1].max(ends[1][1]);
        [
            self.corner[0] + self.scale * (point[0] - left),
            self.corner[1] + self.scale * (top - point[1]),
        ]
    }

    fn place(&self, place_m: [f64; 3]) -> [f64; 2] {
        self.at(self.view.at(place_m.map(|x| 1e3 * x)))
    }

    /// Left, top, right, bottom on the sheet.
    fn frame(&self) -> [f64; 4] {
        let ends = [
            self.at(self.view.at(self.low)),
            self.at(self.view.at(self.high)),
        ];
        let pick = |axis: usize, f: fn(f64, f64) -> f64| f(ends[0][axis], ends[1][axis]);
        [
            pick(0, f64::min),
            pick(1, f64::min),
            pick(0, f64::max),
            pick(1, f64::max),
        ]
    }
}

impl<'a> Everything<'a> {
    fn of(assessment: &'a Assessment) -> Self {
        let state = &assessment.judged;
        let layout = &state.space.layout;
        let before = assessment.before.as_ref();
        let is_new = |id: &str| before.is_some_and(|before| before.airframe.position(id).is_none());
        let named = layout
            .items
            .iter()
            .filter(|item| !item.pieces.is_empty())
            .map(|item| {
                let id = &state.airframe.parts[item.part].id.value;
                (item.name.clone(), &item.pieces[..], is_new(id))
            });
        let gone = before.into_iter().flat_map(|before| {
            let items = before.space.layout.items.iter();
            items.filter(|item| {
                state
                    .airframe
                    .position(&before.airframe.parts[item.part].id.value)
                    .is_none()
            })
        });
        let rotors = 0..layout.hubs_m.len();
        Self {
            layout,
            named: named.collect(),
            gone: gone.flat_map(|item| &item.pieces).collect(),
            discs: rotors
                .clone()
                .filter_map(|rotor| layout.disc(rotor))
                .collect(),
            ducts: rotors.filter_map(|rotor| layout.duct_at(rotor)).collect(),
            ground_mm: state.space.ground_m.map(|ground| 1e3 * ground),
        }
    }

    /// The box around everything \[mm\].
    fn extent_mm(&self) -> ([f64; 3], [f64; 3]) {
        let pieces = self.named.iter().flat_map(|(_, pieces, _)| pieces.iter());
        let all = pieces
            .chain(self.gone.iter().copied())
            .chain(&self.discs)
            .chain(&self.ducts);
        let (mut low, mut high) = ([f64::MAX; 3], [f64::MIN; 3]);
        for piece in all {
            let [from, to] = piece.solid.extent_m();
            for axis in 0..3 {
                low[axis] = low[axis].min(1e3 * from[axis]);
                high[axis] = high[axis].max(1e3 * to[axis]);
            }
        }
        if low[0] > high[0] {
            ([-50.0; 3], [50.0; 3])
        } else {
            (low, high)
        }
    }

    fn draw(&self, svg: &mut Svg, on: &OnPaper, state: &State, before: Option<&State>) {
        let [left, top, right, bottom] = on.frame();
        words(
            svg,
            [EDGE, top - HEAD + 0.5],
            3.3,
            true,
            false,
            on.view.heading(),
        );
        if let (Some(ground), true) = (self.ground_mm, on.view != View::Above) {
            let y = on.at([0.0, ground])[1];
            line(svg, [left - 4.0, y], [right + 4.0, y], SOFT, 0.3, "4 1.5");
        }
        for duct in &self.ducts {
            shape(svg, on, duct, "#f4f6f8", SOFT, 0.25, "none");
        }
        for disc in &self.discs {
            shape(svg, on, disc, "none", SOFT, 0.25, "1.6 1");
        }
        for piece in &self.gone {
            shape(svg, on, piece, "none", GONE, 0.3, "0.4 0.9");
        }
        // What lies lower, or further from the eye, first.
        let mut order: Vec<(f64, &Piece, bool)> = self
            .named
            .iter()
            .flat_map(|(_, pieces, is_new)| {
                pieces
                    .iter()
                    .map(|piece| (depth(on.view, piece), piece, *is_new))
            })
            .collect();
        order.sort_by(|one, other| one.0.total_cmp(&other.0));
        for (_, piece, is_new) in order {
            let wide = if is_new { 0.7 } else { 0.3 };
            let fill = if piece.is_wall {
                "none"
            } else {
                "rgba(226,231,236,0.55)"
            };
            shape(svg, on, piece, fill, INK, wide, "none");
        }
        let room = Room {
            view: [left, top, right, bottom.max(top + 30.0)],
            ends: [EDGE, SHEET[0] - EDGE],
        };
        let mut callouts = self.names(on);
        callouts.extend(self.gaps(svg, on, state));
        for it in placed(callouts, room) {
            said(svg, &it);
        }
        if let Some(before) = before {
            balance(svg, on, before, false);
        }
        balance(svg, on, state, true);
    }

    /// One name for each part; of those at every motor once.
    fn names(&self, on: &OnPaper) -> Vec<Callout> {
        let mut told = BTreeSet::new();
        let mut callouts = Vec::new();
        for item in self
            .layout
            .items
            .iter()
            .filter(|item| !item.pieces.is_empty())
        {
            if !told.insert(item.part) {
                continue;
            }
            let words = match item.rotor {
                Some(rotor) => item
                    .name
                    .replace(&format!(" {}", self.layout.rotors[rotor].name), ""),
                None => item.name.clone(),
            };
            let piece = &item.pieces[0];
            let [low, high] = piece.solid.extent_m();
            let middle = [0, 1, 2].map(|axis| 0.5 * (low[axis] + high[axis]));
            callouts.push(Callout {
                words,
                at: on.place(middle),
                is_gap: false,
            });
        }
        callouts
    }

    /// The tightest gaps that this view shows best.
    fn gaps(&self, svg: &mut Svg, on: &OnPaper, state: &State) -> Vec<Callout> {
        let mut pairs: Vec<_> = state
            .space
            .clearances
            .iter()
            .filter(|pair| pair.gap.distance_m > 0.0 || pair.keep_m > 0.0)
            .collect();
        pairs.sort_by(|one, other| one.slack_m().total_cmp(&other.slack_m()));
        let mut callouts = Vec::new();
        let mut told = BTreeSet::new();
        for pair in pairs {
            let part = |name: &String| {
                let words = name
                    .trim_start_matches("wires of ")
                    .trim_start_matches("carbon of ");
                words.split(' ').next().unwrap_or_default().to_owned()
            };
            if told.len() == GAPS
                || !told.insert((part(&pair.names[0]), part(&pair.names[1]), pair.want))
            {
                continue;
            }
            let ends = pair.gap.nearest_m;
            let long = |view: View| {
                let [a, b] = ends.map(|end| view.at(end));
                (a[0] - b[0]).hypot(a[1] - b[1])
            };
            let best = View::ALL
                .into_iter()
                .max_by(|a, b| long(*a).total_cmp(&long(*b)));
            if best != Some(on.view) {
                continue;
            }
            let [from, to] = ends.map(|end| on.place(end));
            line(svg, from, to, GAP_INK, 0.45, "none");
            for end in [from, to] {
                svg.empty(
                    "circle",
                    &[
                        ("cx", &short(end[0])),
                        ("cy", &short(end[1])),
                        ("r", "0.5"),
                        ("fill", GAP_INK),
                    ],
                );
            }
            let names = pair.names.each_ref().map(part);
            let [air, wanted] =
                [pair.gap.distance_m, pair.keep_m.max(0.0)].map(|gap| plain(1e3 * gap, 2));
            let words = format!("{}–{} {air} ({wanted})", names[0], names[1]);
            callouts.push(Callout {
                words,
                at: [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])],
                is_gap: true,
            });
        }
        callouts
    }
}

/// How near a piece is to the eye.
fn depth(view: View, piece: &Piece) -> f64 {
    let [low, high] = piece.solid.extent_m();
    match view {
        View::Above => high[2],
        View::Right => -low[1],
        View::Front => high[0],
    }
}

fn shape(
    svg: &mut Svg,
    on: &OnPaper,
    piece: &Piece,
    fill: &str,
    stroke: &str,
    wide: f64,
    dashes: &str,
) {
    let points: Vec<String> = outline(piece, on.view)
        .into_iter()
        .map(|point| {
            let [x, y] = on.at(point);
            format!("{},{}", short(x), short(y))
        })
        .collect();
    svg.empty(
        "polygon",
        &[
            ("points", &points.join(" ")),
            ("fill", fill),
            ("stroke", stroke),
            ("stroke-width", &short(wide)),
            ("stroke-dasharray", dashes),
            ("stroke-linejoin", "round"),
        ],
    );
}

fn said(svg: &mut Svg, it: &Placed) {
    let colour = if it.callout.is_gap { GAP_INK } else { SOFT };
    line(svg, it.from, it.callout.at, colour, 0.18, "none");
    svg.empty(
        "circle",
        &[
            ("cx", &short(it.callout.at[0])),
            ("cy", &short(it.callout.at[1])),
            ("r", "0.45"),
            ("fill", colour),
        ],
    );
    svg.words(
        "text",
        &[
            ("x", &short(it.rect[0])),
            ("y", &short(it.rect[1] + 0.78 * SIZE * LINE)),
            ("font-size", &short(SIZE)),
            ("fill", if it.callout.is_gap { GAP_INK } else { INK }),
        ],
        &it.callout.words,
    );
}

/// The quartered circle of a centre of gravity and the ellipse of its doubt.
fn balance(svg: &mut Svg, on: &OnPaper, state: &State, is_after: bool) {
    let bands = [Outcome::CgX, Outcome::CgY, Outcome::CgZ].map(|outcome| state.summary(outcome));
    let [Some(x), Some(y), Some(z)] = bands else {
        return;
    };
    let place = [x.p50, y.p50, z.p50];
    let sd = [x.sd, y.sd, z.sd];
    let at = on.at(on.view.at(place));
    let [across, up] = on.view.axes();
    svg.empty(
        "ellipse",
        &[
            ("cx", &short(at[0])),
            ("cy", &short(at[1])),
            ("rx", &short(on.scale * sd[across])),
            ("ry", &short(on.scale * sd[up])),
            ("fill", "none"),
            ("stroke", INK),
            ("stroke-width", "0.2"),
            ("stroke-dasharray", "0.6 0.6"),
        ],
    );
    let radius = 1.7;
    let [cx, cy] = at.map(short);
    svg.empty(
        "circle",
        &[
            ("cx", &cx),
            ("cy", &cy),
            ("r", &short(radius)),
            ("fill", "#ffffff"),
            ("stroke", INK),
            ("stroke-width", "0.35"),
        ],
    );
    if is_after {
        for (sx, sy) in [(1.0, -1.0), (-1.0, 1.0)] {
            let path = format!(
                "M{cx},{cy} L{},{cy} A{radius},{radius} 0 0 0 {cx},{} Z",
                short(at[0] + sx * radius),
                short(at[1] + sy * radius)
            );
            svg.empty("path", &[("d", &path), ("fill", INK)]);
        }
    } else {
        line(
            svg,
            [at[0] - radius, at[1]],
            [at[0] + radius, at[1]],
            INK,
            0.25,
            "none",
        );
        line(
            svg,
            [at[0], at[1] - radius],
            [at[0], at[1] + radius],
            INK,
            0.25,
            "none",
        );
    }
}
