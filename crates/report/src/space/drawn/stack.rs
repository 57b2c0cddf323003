//! Boards on the same posts, pulled apart, with their heights.

use super::{EDGE, SHEET, line, sheet, title_block, title_height, words};
use crate::drawing::look::{BOARD, INK, SOFT};
use crate::drawing::write::{Svg, short};
use crate::number::plain;
use space::stack::{Layer, Stack};
use workbench::assess::Assessment;
use workbench::verdict::State;

/// Largest scale, millimetres on paper for one of the craft.
const SCALE: f64 = 2.5;
const REMARKS: [&str; 2] = [
    "Heights in millimetres over the floor of the seat, lowest and highest point with everything soldered on, as written in the sheets.",
    "Layers are pulled apart; the numbers are those of the closed stack.",
];

/// The exploded view of every stack; none without one.
pub fn stack(assessment: &Assessment) -> Option<String> {
    let state = &assessment.judged;
    let stacks: Vec<&Stack> = state
        .space
        .stacks
        .iter()
        .filter(|stack| !stack.layers.is_empty())
        .collect();
    if stacks.is_empty() {
        return None;
    }
    let title = "Stack, pulled apart";
    let mut svg = sheet(title, &format!("{} stacks.", stacks.len()));
    let room = (SHEET[0] - 2.0 * EDGE) / stacks.len() as f64;
    for (at, stack) in stacks.iter().enumerate() {
        draw(&mut svg, state, stack, [EDGE + room * at as f64, room]);
    }
    title_block(&mut svg, title, &state.airframe.name, &REMARKS);
    Some(svg.finish())
}

fn draw(svg: &mut Svg, state: &State, stack: &Stack, [left, room]: [f64; 2]) {
    let name = |part: usize| state.airframe.parts[part].id.value.as_str();
    words(
        svg,
        [left, EDGE],
        3.3,
        true,
        false,
        &format!("on {}.{}", name(stack.holder), stack.seat),
    );
    let high = SHEET[1] - 2.0 * EDGE - title_height(REMARKS.len()) - 12.0;
    let thick: f64 = stack
        .layers
        .iter()
        .map(|layer| 1e3 * (layer.top_m - layer.low_m))
        .sum();
    // As much air between layers as the layers are thick, and no less than the words need.
    let between = (high / (stack.layers.len() as f64 + 1.0) * 0.5).clamp(8.0, 22.0);
    let scale =
        ((high - between * (stack.layers.len() as f64 + 1.0)) / thick.max(1.0)).clamp(0.3, SCALE);
    let wide_mm = stack
        .layers
        .iter()
        .filter_map(|layer| width_mm(state, layer))
        .fold(20.0, f64::max);
    let across = scale.min((room - 90.0).max(20.0) / wide_mm);
    let middle = left + 0.5 * across * wide_mm + 4.0;
    let tall_mm: f64 = between * stack.layers.len() as f64 + scale * thick;
    let mut y = EDGE + 14.0 + tall_mm.min(high);
    let foot = y;
    line(
        svg,
        [middle - 0.55 * across * wide_mm, y],
        [middle + 0.55 * across * wide_mm, y],
        INK,
        0.6,
        "none",
    );
    words(
        svg,
        [middle + 0.55 * across * wide_mm + 3.0, y - 2.0],
        2.75,
        false,
        true,
        "floor of the seat, 0",
    );
    for layer in &stack.layers {
        y -= between;
        let tall = |from_m: f64, to_m: f64| scale * 1e3 * (to_m - from_m);
        let wide = across * width_mm(state, layer).unwrap_or(wide_mm);
        let below = tall(layer.low_m, layer.foot_m);
        let plate = tall(layer.foot_m, layer.plate_m).max(0.5);
        let above = tall(layer.plate_m, layer.top_m);
        let x = middle - 0.5 * wide;
        block(
            svg,
            [x + 0.08 * wide, y - below, 0.84 * wide, below],
            "#ffffff",
            0.2,
        );
        y -= below + plate;
        block(svg, [x, y, wide, plate], BOARD, 0.45);
        let plate_y = y;
        y -= above;
        block(
            svg,
            [x + 0.08 * wide, y, 0.84 * wide, above],
            "#ffffff",
            0.2,
        );
        let said = middle + 0.55 * across * wide_mm + 3.0;
        line(
            svg,
            [x + wide, plate_y + 0.5 * plate],
            [said - 1.0, plate_y + 0.5 * plate],
            SOFT,
            0.18,
            "none",
        );
        words(
            svg,
            [said, plate_y - 3.2],
            3.0,
            true,
            false,
            name(layer.part),
        );
        let mm = |metres: f64| plain(1e3 * metres, 3);
        let heights = format!(
            "plate {}, from {} to {}",
            mm(layer.foot_m),
            mm(layer.low_m),
            mm(layer.top_m)
        );
        words(svg, [said, plate_y + 0.6], 2.75, false, false, &heights);
        if let Some(posts_m) = layer.posts_m {
            words(
                svg,
                [said, plate_y + 4.0],
                2.75,
                false,
                true,
                &format!("posts below: {}", mm(posts_m)),
            );
        }
    }
    line(
        svg,
        [middle, foot + 2.0],
        [middle, y - 4.0],
        SOFT,
        0.25,
        "3 1 0.6 1",
    );
    if let (Some(room_m), Some(left_m)) = (stack.room_m, stack.left_m()) {
        let text = format!(
            "room {} mm, {} mm left",
            plain(1e3 * room_m, 3),
            plain(1e3 * left_m, 3)
        );
        words(svg, [left, EDGE + 5.0], 2.75, false, true, &text);
    }
}

fn width_mm(state: &State, layer: &Layer) -> Option<f64> {
    let [low, high] = state.space.layout.items_of(layer.part).next()?.extent_m()?;
    Some(1e3 * (high[0] - low[0]).max(high[1] - low[1]))
}

fn block(svg: &mut Svg, [x, y, width, height]: [f64; 4], fill: &str, wide: f64) {
    if height <= 0.0 {
        return;
    }
    svg.empty(
        "rect",
        &[
            ("x", &short(x)),
            ("y", &short(y)),
            ("width", &short(width)),
            ("height", &short(height)),
            ("fill", fill),
            ("stroke", INK),
            ("stroke-width", &short(wide)),
        ],
    );
}
