//! Words beside a view, with a line to what they mean; no two lie over one another.

use diagram::letters::{LINE, width};

/// Height of the letters \[mm\].
pub const SIZE: f64 = 2.6;
/// From the words to where their line begins \[mm\].
const GAP: f64 = 1.0;

/// Words for a place in a view.
#[derive(Debug, Clone, PartialEq)]
pub struct Callout {
    /// The words.
    pub words: String,
    /// What they point at, on the sheet \[mm\].
    pub at: [f64; 2],
    /// Whether it is a dimension.
    pub is_gap: bool,
}

/// A callout in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What is said.
    pub callout: Callout,
    /// Left, top, width and height of the words \[mm\].
    pub rect: [f64; 4],
    /// Where the line begins \[mm\].
    pub from: [f64; 2],
}

/// The room a view has for words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// The drawn part: left, top, right, bottom \[mm\].
    pub view: [f64; 4],
    /// Left and right end of the words' columns \[mm\].
    pub ends: [f64; 2],
}

/// Lays callouts out in two columns, left and right of the view, each sorted from the top so that few lines cross.
pub fn placed(callouts: Vec<Callout>, room: Room) -> Vec<Placed> {
    let [left, top, right, bottom] = room.view;
    let step = SIZE * LINE + 0.6;
    let fits = (((bottom - top) / step) as usize).max(1);
    let mut by_side: [Vec<Callout>; 2] = [Vec::new(), Vec::new()];
    let middle = 0.5 * (left + right);
    for callout in callouts {
        let side = usize::from(callout.at[0] > middle);
        let side = if by_side[side].len() >= fits && by_side[1 - side].len() < fits {
            1 - side
        } else {
            side
        };
        by_side[side].push(callout);
    }
    let mut all = Vec::new();
    for (side, mut column) in by_side.into_iter().enumerate() {
        column.sort_by(|one, other| {
            one.at[1]
                .total_cmp(&other.at[1])
                .then(one.at[0].total_cmp(&other.at[0]))
        });
        let tops = spread(
            &column
                .iter()
                .map(|it| it.at[1] - 0.5 * step)
                .collect::<Vec<_>>(),
            step,
            top,
            bottom,
        );
        for (callout, y) in column.into_iter().zip(tops) {
            let wide = width(&callout.words, SIZE, false);
            let x = if side == 0 {
                room.ends[0]
            } else {
                room.ends[1] - wide
            };
            let from_x = if side == 0 { x + wide + GAP } else { x - GAP };
            let from = [from_x, y + 0.5 * SIZE * LINE];
            all.push(Placed {
                callout,
                rect: [x, y, wide, SIZE * LINE],
                from,
            });
        }
    }
    all
}

/// Tops as near to the wanted ones as a step between them allows.
fn spread(wanted: &[f64], step: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut tops: Vec<f64> = Vec::new();
    let mut free = top;
    for &want in wanted {
        let at = want.max(free);
        tops.push(at);
        free = at + step;
    }
    // What runs out at the foot is pushed up again.
    let mut last = bottom.max(top + step * wanted.len() as f64);
    for at in tops.iter_mut().rev() {
        *at = at.min(last - step);
        last = *at;
    }
    tops
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_words_do_not_lie_over_one_another() {
        for count in [0, 1, 5, 30, 80] {
            let callout = |at: usize| Callout {
                words: format!("part number {at}"),
                at: [10.0 + (at * 37 % 90) as f64, 20.0 + (at * 53 % 60) as f64],
                is_gap: false,
            };
            let room = Room {
                view: [10.0, 20.0, 100.0, 80.0],
                ends: [0.0, 140.0],
            };
            let placed = placed((0..count).map(callout).collect(), room);
            assert_eq!(placed.len(), count);
            for (at, one) in placed.iter().enumerate() {
                for other in &placed[..at] {
                    let apart = |axis: usize| {
                        let (a, b) = (one.rect[axis], other.rect[axis]);
                        a + one.rect[axis + 2] <= b + 1e-9 || b + other.rect[axis + 2] <= a + 1e-9
                    };
                    assert!(apart(0) || apart(1), "{one:?} {other:?}");
                }
            }
        }
    }
}
