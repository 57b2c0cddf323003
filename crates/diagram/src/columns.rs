//! Which devices stand left and right of the middle, in what order, and how high.
//!
//! Every end in the middle has a height as seen from either side: the rim of its board unrolled
//! from that side. Short wires with few crossings are then a question of order, answered by swaps
//! and moves until none is better.

use crate::measure::BLOCK_GAP;
use crate::sheet::{Point, Rect};

/// A wire as the columns see it.
#[derive(Clone, Copy, Debug)]
pub struct Pull {
    pub ends: [Anchor; 2],
}

/// One end of it.
#[derive(Clone, Copy, Debug)]
pub enum Anchor {
    /// At a device: its number, and the pad's height below the device's top.
    Device(usize, f64),
    /// In the middle: height as seen from the left and from the right.
    Middle(f64, f64),
}

/// A device that is to stand in a column.
#[derive(Clone, Copy, Debug)]
pub struct Device {
    pub height: f64,
    /// Whether its pads may be put in reverse.
    pub may_turn: bool,
}

/// Where the devices stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Columns {
    /// Devices of the left and of the right column, from above.
    pub sides: [Vec<usize>; 2],
    /// Which are turned round.
    pub turned: Vec<bool>,
    /// Top of each device.
    pub tops: Vec<f64>,
}

/// Work allowed for the search: pairs of wires compared.
const PATIENCE: usize = 6_000_000;

/// What a crossing costs \[mm of wire\].
const CROSSING: f64 = 8.0;

/// Height of a pad in the middle as seen from a side: along its board's rim, unrolled.
pub fn seen_from(left: bool, at: Point, board: &Rect) -> f64 {
    let near = if left {
        at.x - board.x
    } else {
        board.right() - at.x
    };
    let (up, down) = (at.y - board.y, board.bottom() - at.y);
    let far = board.width - near;
    let least = near.min(up).min(down).min(far);
    if least == near {
        return at.y;
    }
    if least == far && up.min(down) > far {
        return match up < down {
            true => board.y - board.width - up,
            false => board.bottom() + board.width + down,
        };
    }
    match up < down {
        true => board.y - near,
        false => board.bottom() + near,
    }
}

/// The best columns found; `None` when the devices do not fit the height between `top` and `bottom`.
pub fn columns(devices: &[Device], pulls: &[Pull], top: f64, bottom: f64) -> Option<Columns> {
    let question = Question {
        devices,
        pulls,
        top,
        bottom,
    };
    let mut best = question.first();
    let mut cost = question.cost(&mut best);
    let price = (pulls.len() * pulls.len() / 2 + 50).max(1);
    let mut patience = PATIENCE / price;
    loop {
        let mut better = false;
        for change in question.changes(&best) {
            if patience == 0 {
                break;
            }
            patience -= 1;
            let mut next = best.clone();
            change.make(&mut next);
            let next_cost = question.cost(&mut next);
            if next_cost + 1e-6 < cost {
                (best, cost, better) = (next, next_cost, true);
            }
        }
        if !better || patience == 0 {
            break;
        }
    }
    (question.over(&best) <= 0.0).then_some(best)
}

struct Question<'a> {
    devices: &'a [Device],
    pulls: &'a [Pull],
    top: f64,
    bottom: f64,
}

enum Change {
    Turn(usize),
    Swap(usize, usize),
    Move(usize, usize, usize),
}

impl Change {
    fn make(&self, columns: &mut Columns) {
        match *self {
            Change::Turn(device) => columns.turned[device] = !columns.turned[device],
            Change::Swap(one, other) => {
                for place in columns.sides.iter_mut().flatten() {
                    *place = match *place {
                        device if device == one => other,
                        device if device == other => one,
                        device => device,
                    };
                }
            }
            Change::Move(device, side, place) => {
                for side in &mut columns.sides {
                    side.retain(|other| *other != device);
                }
                let side = &mut columns.sides[side];
                side.insert(place.min(side.len()), device);
            }
        }
    }
}

impl Question<'_> {
    /// Each device on the side it pulls to while there is room, from above by its pull.
    fn first(&self) -> Columns {
        let pull_of = |device: usize| {
            let (mut heights, mut to_right, mut count) = (0.0, 0.0, 0.0);
            for pull in self.pulls {
                if let (true, Some(Anchor::Middle(left, right))) = towards(pull, device) {
                    let middle = (self.top + self.bottom) / 2.0;
                    to_right += (left - middle).abs() - (right - middle).abs();
                    heights += if (left - middle).abs() < (right - middle).abs() {
                        left
                    } else {
                        right
                    };
                    count += 1.0;
                }
            }
            (heights / f64::max(count, 1.0), to_right)
        };
        let pulls: Vec<(f64, f64)> = (0..self.devices.len()).map(pull_of).collect();
        let mut order: Vec<usize> = (0..self.devices.len()).collect();
        order.sort_by(|&one, &other| pulls[other].1.abs().total_cmp(&pulls[one].1.abs()));
        let mut sides = [Vec::new(), Vec::new()];
        let mut heights = [0.0, 0.0];
        for device in order {
            let liked = usize::from(pulls[device].1 > 0.0);
            let tall = self.devices[device].height + BLOCK_GAP;
            let half = self.bottom - self.top;
            let side = match heights[liked] + tall <= half + BLOCK_GAP && pulls[device].1 != 0.0 {
                true => liked,
                false => usize::from(heights[1] < heights[0]),
            };
            heights[side] += tall;
            sides[side].push(device);
        }
        for side in &mut sides {
            side.sort_by(|&one, &other| {
                pulls[one]
                    .0
                    .total_cmp(&pulls[other].0)
                    .then(one.cmp(&other))
            });
        }
        Columns {
            sides,
            turned: vec![false; self.devices.len()],
            tops: vec![0.0; self.devices.len()],
        }
    }

    fn changes(&self, columns: &Columns) -> Vec<Change> {
        let count = self.devices.len();
        let turns = (0..count).filter(|&device| self.devices[device].may_turn);
        let mut changes: Vec<Change> = turns.map(Change::Turn).collect();
        for device in 0..count {
            for side in 0..2 {
                let places = 0..=columns.sides[side].len();
                changes.extend(places.map(|place| Change::Move(device, side, place)));
            }
            changes.extend((device + 1..count).map(|other| Change::Swap(device, other)));
        }
        changes
    }

    /// How much the columns are too high \[mm\].
    fn over(&self, columns: &Columns) -> f64 {
        let room = self.bottom - self.top;
        let over = |side: &Vec<usize>| {
            let tall: f64 = side
                .iter()
                .map(|&one| self.devices[one].height + BLOCK_GAP)
                .sum();
            (tall - BLOCK_GAP - room - 1e-9).max(0.0)
        };
        columns.sides.iter().map(over).sum()
    }

    /// Length of wire, crossings and lack of room, all as \[mm of wire\]; sets the tops first.
    fn cost(&self, columns: &mut Columns) -> f64 {
        let mut side_of = vec![0; self.devices.len()];
        for (nth, side) in columns.sides.iter().enumerate() {
            side.iter().for_each(|&device| side_of[device] = nth);
        }
        self.stand(columns, &side_of);
        let mut cost = 1e4 * self.over(columns);
        // A turned plug is as good as one that is not, when nothing else tells them apart.
        cost += 0.01 * columns.turned.iter().filter(|turned| **turned).count() as f64;
        let mut lanes: [Vec<(f64, f64)>; 2] = [Vec::new(), Vec::new()];
        for pull in self.pulls {
            let height =
                |device: usize, pad: f64| columns.tops[device] + self.pad(device, pad, columns);
            match pull.ends {
                [Anchor::Device(one, pad), Anchor::Device(other, pad2)] => {
                    let apart = (height(one, pad) - height(other, pad2)).abs();
                    let around = if side_of[one] == side_of[other] {
                        0.0
                    } else {
                        150.0
                    };
                    cost += apart + around;
                }
                [Anchor::Device(device, pad), Anchor::Middle(left, right)]
                | [Anchor::Middle(left, right), Anchor::Device(device, pad)] => {
                    let seen = if side_of[device] == 0 { left } else { right };
                    let at = height(device, pad);
                    cost += (at - seen).abs();
                    lanes[side_of[device]].push((at, seen));
                }
                _ => {}
            }
        }
        for lane in &lanes {
            for (nth, one) in lane.iter().enumerate() {
                let crossed = |other: &&(f64, f64)| (one.0 - other.0) * (one.1 - other.1) < 0.0;
                cost += CROSSING * lane[nth + 1..].iter().filter(crossed).count() as f64;
            }
        }
        cost
    }

    fn pad(&self, device: usize, pad: f64, columns: &Columns) -> f64 {
        match columns.turned[device] {
            true => self.devices[device].height - pad,
            false => pad,
        }
    }

    /// Puts every device as near as it gets to the height its wires pull it to.
    fn stand(&self, columns: &mut Columns, side_of: &[usize]) {
        let mut wanted: Vec<Vec<f64>> = vec![Vec::new(); self.devices.len()];
        for pull in self.pulls {
            for (nth, end) in pull.ends.iter().enumerate() {
                if let (Anchor::Device(device, pad), Anchor::Middle(left, right)) =
                    (*end, pull.ends[1 - nth])
                {
                    let seen = if side_of[device] == 0 { left } else { right };
                    let seen = seen.clamp(self.top, self.bottom);
                    wanted[device].push(seen - self.pad(device, pad, columns));
                }
            }
        }
        let middle = (self.top + self.bottom) / 2.0;
        for side in &columns.sides {
            let sizes: Vec<f64> = side
                .iter()
                .map(|&device| self.devices[device].height + BLOCK_GAP)
                .collect();
            // The one nearest to the mean: it lays one of the wires straight.
            let wish = |&device: &usize| {
                let wanted = &wanted[device];
                let mean = wanted.iter().sum::<f64>() / wanted.len() as f64;
                let off = |one: &&f64| (*one - mean).abs();
                let nearest = wanted
                    .iter()
                    .min_by(|one, other| off(one).total_cmp(&off(other)));
                let half = self.devices[device].height / 2.0;
                nearest.copied().unwrap_or(middle - half)
            };
            let wishes: Vec<f64> = side.iter().map(wish).collect();
            let tops = packed(&wishes, &sizes, self.top, self.bottom + BLOCK_GAP);
            for (&device, top) in side.iter().zip(tops) {
                columns.tops[device] = top;
            }
        }
    }
}

/// The other end of a wire that ends at a device.
fn towards(pull: &Pull, device: usize) -> (bool, Option<Anchor>) {
    let ends_here = |end: &Anchor| matches!(end, Anchor::Device(one, _) if *one == device);
    match pull.ends.iter().position(ends_here) {
        Some(nth) => (true, Some(pull.ends[1 - nth])),
        None => (false, None),
    }
}

/// Starts of things in a row, in order and without overlap, with the least sum of squared distances
/// from the wished ones; then held between `low` and `high`. Pool adjacent violators.
pub fn packed(wishes: &[f64], sizes: &[f64], low: f64, high: f64) -> Vec<f64> {
    let mut before = Vec::with_capacity(sizes.len());
    let mut sum = 0.0;
    for size in sizes {
        before.push(sum);
        sum += size;
    }
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (wish, before) in wishes.iter().zip(&before) {
        pools.push((wish - before, 1));
        while let [.., one, two] = pools[..] {
            if one.0 <= two.0 {
                break;
            }
            let count = one.1 + two.1;
            let mean = (one.0 * one.1 as f64 + two.0 * two.1 as f64) / count as f64;
            pools.truncate(pools.len() - 2);
            pools.push((mean, count));
        }
    }
    let starts = pools
        .iter()
        .flat_map(|(start, count)| std::iter::repeat_n(*start, *count));
    let highest = (high - sum).max(low);
    let held = starts
        .zip(&before)
        .map(|(start, before)| start.clamp(low, highest) + before);
    held.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_things_that_want_the_same_place_share_the_way() {
        // Two of size 10 both want to start at 20: they start at 15 and 25, each 5 off.
        assert_eq!(
            packed(&[20.0, 20.0], &[10.0, 10.0], 0.0, 100.0),
            [15.0, 25.0]
        );
        assert_eq!(packed(&[0.0, 50.0], &[10.0, 10.0], 0.0, 100.0), [0.0, 50.0]);
        assert_eq!(
            packed(&[90.0, 99.0], &[10.0, 10.0], 0.0, 100.0),
            [80.0, 90.0]
        );
    }

    #[test]
    fn checked_devices_stand_in_the_order_of_their_pads() {
        let device = Device {
            height: 10.0,
            may_turn: false,
        };
        let pull = |device: usize, at: f64| Pull {
            ends: [Anchor::Device(device, 5.0), Anchor::Middle(at, at + 500.0)],
        };
        let found = columns(
            &[device; 3],
            &[pull(0, 80.0), pull(1, 10.0), pull(2, 45.0)],
            0.0,
            100.0,
        );
        let found = found.expect("three devices of 10 mm fit 100 mm");
        assert_eq!(found.sides, [vec![1, 2, 0], vec![]]);
        assert_eq!(found.tops, [75.0, 5.0, 40.0]);
    }

    #[test]
    fn checked_what_does_not_fit_is_no_answer() {
        let device = Device {
            height: 60.0,
            may_turn: false,
        };
        assert_eq!(columns(&[device; 3], &[], 0.0, 100.0), None);
    }
}
