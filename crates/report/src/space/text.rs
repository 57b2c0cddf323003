//! Places, clearances, balance and control for a terminal.

use crate::layout::{columns, heading, line, wrapped};
use crate::number::{doubted, plain, whole};
use crate::phrase;
use crate::verdict::{band, findings_of};
use craft::Bench;
use space::clearance::{Clearance, Want};
use space::holes::HoleFit;
use workbench::assess::Assessment;
use workbench::handling::{AXES, in_words, split};
use workbench::outcome::Outcome;
use workbench::placing::{Fastened, offers};
use workbench::verdict::State;
use workbench::verdict::rules::SPACE;

/// Pairs of the table of clearances.
const PAIRS: usize = 12;
/// Places offered for each part.
const OFFERS: usize = 5;
/// A doubt below this is rounding \[mm\].
const CERTAIN_MM: f64 = 1e-3;

/// The whole page.
pub fn text(bench: &Bench, assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    let mut out = headline(assessment, width);
    out.push_str(&findings_of(bench, assessment, width, SPACE));
    out.push_str(&clearances(assessment, width));
    out.push_str(&stacks(state, width));
    out.push_str(&screws(state, width));
    out.push_str(&openings(state, width));
    out.push_str(&views(state, width));
    out.push_str(&balance(assessment, width));
    out.push_str(&control(assessment, width));
    out.push_str(&places_offered(assessment, width));
    out.push_str(&closing(width));
    out
}

fn name(state: &State, part: usize) -> &str {
    &state.airframe.parts[part].id.value
}

fn mm(metres: f64) -> String {
    plain(settled(1e3 * metres), 3)
}

/// Nought where a number is only rounding.
fn settled(value: f64) -> f64 {
    if value.abs() < CERTAIN_MM { 0.0 } else { value }
}

fn headline(assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    let layout = &state.space.layout;
    let placed: std::collections::BTreeSet<usize> =
        layout.items.iter().map(|item| item.part).collect();
    let after = if assessment.before.is_some() {
        " after the refit"
    } else {
        ""
    };
    let text = format!(
        "space of {}{after}: {} of {} parts have a place",
        state.airframe.name,
        placed.len(),
        state.airframe.parts.len()
    );
    format!("{}\n", wrapped(&text, width, "", "  "))
}

/// "camera and propeller front left".
fn wanted(want: Want) -> &'static str {
    match want {
        Want::Blade | Want::BladeLoose => "blades",
        Want::Duct => "duct wall",
        Want::Circuit => "bare joints",
        Want::Canopy => "canopy",
        Want::Ground => "ground",
        Want::Aerial => "quarter wave",
        Want::Parts => "room",
    }
}

fn clearances(assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    let mut pairs: Vec<&Clearance> = state.space.clearances.iter().collect();
    pairs.sort_by(|one, other| one.slack_m().total_cmp(&other.slack_m()));
    if pairs.is_empty() {
        return String::new();
    }
    let total = pairs.len();
    let row = |pair: &&Clearance| {
        let air_m = state.space.air_m(
            pair,
            state.model.space.as_ref(),
            &assessment.basis.draws,
            state.outcomes.draws(),
        );
        let air = quantity::statistics::Summary::of(&air_m);
        let air = if 1e3 * air.sd < CERTAIN_MM {
            mm(air.p50)
        } else {
            let (middle, sd) = doubted(1e3 * air.p50, 1e3 * air.sd);
            format!("{middle} ± {sd}")
        };
        vec![
            pair.names[0].clone(),
            pair.names[1].clone(),
            air,
            mm(pair.keep_m),
            wanted(pair.want).to_owned(),
        ]
    };
    let rows = pairs.iter().take(PAIRS).map(row).collect();
    let mut out = heading("Air between solids, tightest first [mm]");
    out.push_str(&columns(
        &["between", "and", "air", "wanted", "for"],
        rows,
        width,
    ));
    if total > PAIRS {
        out.push_str(&line(
            width,
            &format!("and {} pairs with more air", total - PAIRS),
        ));
    }
    out
}

fn stacks(state: &State, width: usize) -> String {
    let mut out = String::new();
    for stack in &state.space.stacks {
        out.push_str(&heading(&format!(
            "Stack on {}.{}, heights over its floor [mm]",
            name(state, stack.holder),
            stack.seat
        )));
        let rows = stack.layers.iter().rev().map(|layer| {
            let posts = layer.posts_m.map_or(String::new(), mm);
            vec![
                name(state, layer.part).to_owned(),
                mm(layer.low_m),
                mm(layer.foot_m),
                mm(layer.top_m),
                posts,
            ]
        });
        out.push_str(&columns(
            &["layer", "lowest", "plate", "highest", "posts below"],
            rows.collect(),
            width,
        ));
        if let (Some(room_m), Some(left_m)) = (stack.room_m, stack.left_m()) {
            out.push_str(&line(
                width,
                &format!("{} mm of {} mm are left above it", mm(left_m), mm(room_m)),
            ));
        }
    }
    out
}

fn screws(state: &State, width: usize) -> String {
    let (holes, lengths) = (&state.space.screwed, &state.space.screws);
    if holes.is_empty() && lengths.is_empty() {
        return String::new();
    }
    let mut out = heading("Holes and screws");
    for it in holes {
        let fits = match it.fit {
            HoleFit::Meets { play_m } => format!("meet, {} mm to spare", mm(play_m)),
            HoleFit::Off { by_m, .. } => format!("are off by {} mm each", mm(by_m)),
            HoleFit::Turned { by } => format!("are turned by {}°", whole(by.to_degrees().abs())),
            HoleFit::OtherKind => "are of another kind".to_owned(),
            HoleFit::TooThick { .. } => "are too small for the screw".to_owned(),
        };
        let sizes = format!(
            "{} mm on {} mm of {}",
            mm(it.sizes_m[0]),
            mm(it.sizes_m[1]),
            name(state, it.holder)
        );
        out.push_str(&line(
            width,
            &format!("{}: {sizes}, {fits}", name(state, it.part)),
        ));
    }
    for it in lengths {
        let depth = it
            .depth_m
            .map_or("nobody says how deep they may go".to_owned(), |depth| {
                format!("{} mm is the most", mm(depth))
            });
        let text = format!(
            "{}: screws of {} mm go {} mm deep; {depth}",
            name(state, it.part),
            mm(it.length_m),
            mm(it.bite_m())
        );
        out.push_str(&line(width, &text));
    }
    out
}

fn openings(state: &State, width: usize) -> String {
    let reach = &state.space.reach;
    if reach.is_empty() {
        return String::new();
    }
    let rows = reach.iter().map(|it| {
        let part = name(state, state.space.layout.items[it.item].part).to_owned();
        let closed = if it.behind.is_empty() {
            "reached".to_owned()
        } else {
            format!("behind {}", it.behind.join(", "))
        };
        let open = match &it.cover {
            None => String::new(),
            Some(_) if it.behind_open.is_empty() => "reached".to_owned(),
            Some(_) => format!("behind {}", it.behind_open.join(", ")),
        };
        vec![part, it.corridor.name.clone(), closed, open]
    });
    let mut out = heading("What hands must reach");
    out.push_str(&columns(
        &["part", "opening", "closed", "cover off"],
        rows.collect(),
        width,
    ));
    out
}

fn views(state: &State, width: usize) -> String {
    let mut out = String::new();
    for (camera, now) in &state.space.cameras {
        let share = |share: Option<f64>| {
            share.map_or("too wide".to_owned(), |share| plain(100.0 * share, 2))
        };
        let rows = state.space.views(camera).into_iter().map(|seen| {
            let here = if (seen.tilt - now.tilt).abs() < 1e-6 {
                "as it is"
            } else {
                ""
            };
            let rim = seen
                .rim
                .map_or(String::new(), |rim| whole(rim.to_degrees()));
            vec![
                whole(seen.tilt.to_degrees()),
                share(seen.straight),
                share(seen.even),
                rim,
                here.to_owned(),
            ]
        });
        out.push_str(&heading(&format!(
            "What {} sees of its own craft",
            name(state, camera.part)
        )));
        let heads = [
            "tilt [°]",
            "straight lens [%]",
            "bent lens [%]",
            "nearest rim [°]",
            "",
        ];
        out.push_str(&columns(&heads, rows.collect(), width));
        out.push_str(&line(
            width,
            "A real lens lies between the two; rim: from where it looks to the nearest propeller.",
        ));
    }
    out
}

const BALANCE: [Outcome; 10] = [
    Outcome::AllUpMass,
    Outcome::CgX,
    Outcome::CgY,
    Outcome::CgZ,
    Outcome::Ixx,
    Outcome::Iyy,
    Outcome::Izz,
    Outcome::Ixy,
    Outcome::Ixz,
    Outcome::Iyz,
];
const CONTROL: [Outcome; 5] = [
    Outcome::HoverSpread,
    Outcome::RollControl,
    Outcome::PitchControl,
    Outcome::YawControl,
    Outcome::MotorLag,
];

/// Rows of bands, before and after.
fn bands(assessment: &Assessment, outcomes: &[Outcome], width: usize) -> String {
    let states: Vec<&State> = assessment
        .before
        .iter()
        .chain([&assessment.judged])
        .collect();
    let heads: &[&str] = if states.len() == 2 {
        &["middle and 90 % band", "before", "after"]
    } else {
        &["middle and 90 % band", "as it is"]
    };
    let row = |outcome: &Outcome| {
        let info = outcome.info();
        let bands: Vec<String> = states
            .iter()
            .map(|state| {
                state
                    .summary(*outcome)
                    .map_or("–".to_owned(), |summary| band(&summary, 1.0))
            })
            .collect();
        let any = bands.iter().any(|band| band != "–");
        let unit = if info.unit.is_empty() {
            String::new()
        } else {
            format!(" [{}]", info.unit)
        };
        any.then(|| [vec![format!("{}{unit}", info.name)], bands].concat())
    };
    columns(heads, outcomes.iter().filter_map(row).collect(), width)
}

fn balance(assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    if state.model.space.is_none() {
        return String::new();
    }
    let mut out = heading("Balance");
    out.push_str(&bands(assessment, &BALANCE, width));
    let motors: Vec<String> = split(state)
        .into_iter()
        .map(|(name, newtons)| format!("{name} {} mN", plain(1e3 * newtons, 3)))
        .collect();
    if !motors.is_empty() {
        out.push_str(&line(
            width,
            &format!("thrust in hover: {}", motors.join(", ")),
        ));
    }
    if let Some(back) = workbench::verdict::balance::battery_to_middle(state) {
        out.push_str(&line(
            width,
            &format!(
                "to put the balance in the middle of the motors: {}",
                phrase::text(&back)
            ),
        ));
    }
    if let Some(back) = workbench::verdict::balance::battery_to_before(state) {
        out.push_str(&line(
            width,
            &format!(
                "to put it where it was before the refit: {}",
                phrase::text(&back)
            ),
        ));
    }
    out
}

fn control(assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    if state.handling.axes.is_empty() {
        return String::new();
    }
    let mut out = heading("Control");
    out.push_str(&bands(assessment, &CONTROL, width));
    if let Some(axis) = state.handling.axes.first() {
        let parts: Vec<String> = axis
            .delays_s
            .iter()
            .filter(|(_, delay)| *delay > 0.0)
            .map(|(what, delay)| format!("{what} {} ms", plain(1e3 * delay, 2)))
            .collect();
        out.push_str(&line(
            width,
            &format!(
                "delay at {} Hz: {}",
                plain(axis.kept_hz, 2),
                parts.join(", ")
            ),
        ));
    }
    for (at, axis) in state.handling.axes.iter().enumerate() {
        if let Some(margins) = &axis.margins {
            let text = match &margins.middle {
                Err(why) => format!("{}: {why}", axis.axis),
                Ok(middle) if !middle.stable => format!("{}: unstable with these gains", axis.axis),
                Ok(middle) => {
                    let gain = middle.gain_margin.map_or(String::new(), |gain| {
                        format!(
                            ", gain margin {} dB at {} Hz",
                            plain(gain.db, 3),
                            plain(gain.frequency_hz, 2)
                        )
                    });
                    let peak = middle.sensitivity_peak.map_or(String::new(), |peak| {
                        format!(", sensitivity peak {}", plain(peak, 3))
                    });
                    let delay = middle.delay_margin_s.map_or(String::new(), |delay| {
                        format!(", bears {} ms more delay", plain(1e3 * delay, 2))
                    });
                    format!(
                        "{}: crossover {} Hz, phase margin {}°{gain}{peak}{delay}",
                        axis.axis,
                        plain(middle.crossover_hz, 3),
                        whole(middle.phase_margin_deg)
                    )
                }
            };
            out.push_str(&line(width, &text));
        }
        if at < 2
            && let Some(words) = in_words(assessment, at)
        {
            out.push_str(&line(width, &phrase::text(&words)));
        }
    }
    debug_assert_eq!(AXES.len(), state.handling.axes.len());
    out.push_str(&line(width, "Not validated: motor lag and loop gain on a whole craft; a step of the sticks in a record tells."));
    out
}

fn places_offered(assessment: &Assessment, width: usize) -> String {
    let mut out = String::new();
    for offer in offers(assessment, OFFERS) {
        out.push_str(&heading(&format!(
            "Places where {} would fit",
            name(&assessment.judged, offer.part)
        )));
        if offer.places.is_empty() {
            out.push_str(&line(width, offer.why_none));
            continue;
        }
        for place in &offer.places {
            // Never broken: it is copied into the file.
            out.push_str(&format!("  {}\n", place.as_written));
            let [forward, left] = place.balance_mm.map(|mm| plain(settled(mm), 2));
            let words = format!(
                "    {}, {} mm of air to spare; the balance is then {forward} mm forward and {left} mm to the left",
                fastened(&place.by),
                mm(place.slack_m),
            );
            out.push_str(&line(width, &words));
        }
    }
    out
}

pub(super) fn fastened(by: &Fastened) -> String {
    match by {
        Fastened::Seated(seat) => seat.clone(),
        Fastened::Flat(seat) => format!("tape on {seat}"),
        Fastened::Taped(part) => format!("tape on {part}"),
    }
}

fn closing(width: usize) -> String {
    let text = line(
        width,
        "Places are as written, not measured by this program. Turn every propeller by hand before power, with the battery off.",
    );
    format!("\n{text}")
}
