//! Wires from pad to pad on a grid of lines: the shortest way with few bends and crossings.
//!
//! Each wire is searched by A*. Running along another wire, or nearer to it than the least gap,
//! costs so much that it only happens when there is no other way; the wires in the way are then
//! taken up and laid again, and the places they fought for grow dearer each time. Crossing at a
//! right angle is allowed.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::grid::{Grid, WALL};
use crate::measure::*;
use crate::sheet::{Point, Rect};

/// Costs in hundredths of a millimetre of wire.
const BEND: u32 = 700;
const CROSSING: u32 = 900;
const FIGHT: u32 = 30_000;
/// A millimetre over the ground of a board, which would rather be read than crossed.
const BODY: f64 = 250.0;
const GRUDGE: u32 = 8_000;

/// One end of a wire.
#[derive(Clone, Debug)]
pub struct Landing {
    /// The middle of its pad.
    pub middle: Point,
    /// The pad.
    pub pad: Rect,
    /// For a pad of a plain box: the straight way out, from the pad to where the search begins.
    pub stub: Option<(Point, Point)>,
    /// What the wire may cross there: its pad and its block.
    pub codes: [u32; 2],
}

/// A wire to be laid.
#[derive(Clone, Debug)]
pub struct Task {
    pub ends: [Landing; 2],
}

/// A wire that is laid.
#[derive(Clone, Debug, Default)]
pub struct Way {
    pub points: Vec<Point>,
    pub clean: bool,
}

impl Way {
    /// One corner, for a wire that has no way: drawn, and said to be unclean.
    pub fn forced(task: &Task) -> Self {
        Self {
            points: forced(task),
            clean: false,
        }
    }
}

/// Lays all wires on a grid.
pub fn route(grid: &Grid, tasks: &[Task]) -> Vec<Way> {
    let mut router = Router::new(grid, tasks);
    router.lay_all();
    router.improve();
    router.ways()
}

#[derive(Clone, Debug, Default)]
struct Path {
    /// Runs of nodes: from, to, both included, on one line.
    runs: Vec<(u32, u32)>,
    points: Vec<Point>,
}

struct Router<'a> {
    grid: &'a Grid,
    tasks: &'a [Task],
    paths: Vec<Option<Path>>,
    /// For level and upright runs: wires exactly here, wires nearer than the least gap, wires near.
    here: [Vec<u8>; 2],
    close: [Vec<u8>; 2],
    near: [Vec<u8>; 2],
    grudge: Vec<u32>,
    best: Vec<u32>,
    from: Vec<u32>,
    stamp: Vec<u32>,
    round: u32,
}

/// Level or upright, as index of the paired tables.
const LEVEL: usize = 0;
const UPRIGHT: usize = 1;

impl<'a> Router<'a> {
    fn new(grid: &'a Grid, tasks: &'a [Task]) -> Self {
        let nodes = grid.nodes();
        let bytes = || [vec![0; nodes], vec![0; nodes]];
        Self {
            grid,
            tasks,
            paths: vec![None; tasks.len()],
            here: bytes(),
            close: bytes(),
            near: bytes(),
            grudge: vec![0; nodes],
            best: vec![0; 2 * nodes],
            from: vec![0; 2 * nodes],
            stamp: vec![0; 2 * nodes],
            round: 0,
        }
    }

    fn lay_all(&mut self) {
        let length = |task: &Task| {
            let [one, other] = [&task.ends[0].middle, &task.ends[1].middle];
            (one.x - other.x).abs() + (one.y - other.y).abs()
        };
        let mut order: Vec<usize> = (0..self.tasks.len()).collect();
        order.sort_by(|&one, &other| {
            length(&self.tasks[one]).total_cmp(&length(&self.tasks[other]))
        });
        let mut waiting: std::collections::VecDeque<usize> = order.into();
        let mut patience = 12 * self.tasks.len() + 30;
        while let Some(wire) = waiting.pop_front() {
            let Some(path) = self.search(wire) else {
                continue;
            };
            for other in self.fights(wire, &path) {
                if patience > 0 {
                    self.resent(&path);
                    self.lift(other);
                    waiting.push_back(other);
                }
            }
            patience = patience.saturating_sub(1);
            self.put(wire, path);
        }
    }

    /// Lays every wire once more beside all others, as long as that makes ways better.
    fn improve(&mut self) {
        self.grudge.fill(0);
        for _ in 0..2 {
            let mut better = false;
            for wire in 0..self.tasks.len() {
                let Some(old) = self.lift(wire) else {
                    continue;
                };
                let was = self.price(&old);
                let next = self.search(wire).filter(|next| self.price(next) + 10 < was);
                better |= next.is_some();
                self.put(wire, next.unwrap_or(old));
            }
            if !better {
                break;
            }
        }
    }

    fn ways(&self) -> Vec<Way> {
        let way = |wire: usize| match &self.paths[wire] {
            Some(path) => Way {
                points: straightened(&path.points),
                clean: self.fights(wire, path).is_empty(),
            },
            None => Way::forced(&self.tasks[wire]),
        };
        (0..self.tasks.len()).map(way).collect()
    }

    fn may_pass(&self, code: u32, task: &Task) -> bool {
        let [one, other] = &task.ends;
        code == 0 || code != WALL && (one.codes.contains(&code) || other.codes.contains(&code))
    }

    /// The best way for a wire beside those that lie already.
    fn search(&mut self, wire: usize) -> Option<Path> {
        let task = &self.tasks[wire];
        let grid = self.grid;
        let goals = self.doors(&task.ends[1]);
        let starts = self.doors(&task.ends[0]);
        if goals.is_empty() || starts.is_empty() {
            return None;
        }
        self.round += 1;
        let aim = goals
            .iter()
            .fold(None, |all: Option<(f64, f64, f64, f64)>, &node| {
                let at = grid.point(node);
                let all = all.unwrap_or((at.x, at.x, at.y, at.y));
                Some((
                    all.0.min(at.x),
                    all.1.max(at.x),
                    all.2.min(at.y),
                    all.3.max(at.y),
                ))
            })?;
        let left = |node: u32| {
            let at = grid.point(node);
            let x = (aim.0 - at.x).max(at.x - aim.1).max(0.0);
            let y = (aim.2 - at.y).max(at.y - aim.3).max(0.0);
            let bend = if x > 0.01 && y > 0.01 { BEND } else { 0 };
            ((x + y) * 100.0) as u32 + bend
        };
        let mut queue = BinaryHeap::new();
        for &node in &starts {
            let ways: &[usize] = match task.ends[0].stub {
                Some(_) => &[LEVEL],
                None => &[LEVEL, UPRIGHT],
            };
            let cost = self.fight_at_end(&task.ends[0], node);
            for &way in ways {
                let state = 2 * node + way as u32;
                self.reach(state, cost, u32::MAX);
                queue.push((Reverse(cost.saturating_add(left(node))), Reverse(state)));
            }
        }
        let level_goal = task.ends[1].stub.is_some();
        let mut found: Option<(u32, u32)> = None;
        while let Some((Reverse(guess), Reverse(state))) = queue.pop() {
            if found.is_some_and(|(cost, _)| cost <= guess) {
                break;
            }
            let (node, way) = (state / 2, (state % 2) as usize);
            let cost = self.best[state as usize];
            if guess > cost.saturating_add(left(node)) {
                continue;
            }
            if goals.contains(&node) {
                let bend = if level_goal && way == UPRIGHT {
                    BEND
                } else {
                    0
                };
                let total = cost.saturating_add(bend + self.fight_at_end(&task.ends[1], node));
                if found.is_none_or(|(least, _)| total < least) {
                    found = Some((total, state));
                }
                continue;
            }
            for (next, next_way, code, length) in grid.around(node) {
                if !self.may_pass(code, task) {
                    continue;
                }
                let body = code != 0 && grid.is_body(code);
                let mut step = (length * if body { BODY } else { 100.0 }) as u32 + 1;
                if next_way != way {
                    step += BEND + self.fight(next_way, node);
                }
                step += self.fight(next_way, next);
                if self.here[1 - next_way][next as usize] > 0 {
                    step += CROSSING;
                }
                if self.near[next_way][next as usize] > 0 {
                    step += (length * 60.0) as u32;
                }
                let state = 2 * next + next_way as u32;
                let total = cost.saturating_add(step);
                if self.reach(state, total, 2 * node + way as u32) {
                    queue.push((Reverse(total.saturating_add(left(next))), Reverse(state)));
                }
            }
        }
        let (_, last) = found?;
        Some(self.trace(task, last))
    }

    fn fight(&self, way: usize, node: u32) -> u32 {
        match self.close[way][node as usize] {
            0 => 0,
            _ => FIGHT + self.grudge[node as usize],
        }
    }

    /// The cost of beginning or ending within a pad where another wire lies already.
    fn fight_at_end(&self, landing: &Landing, node: u32) -> u32 {
        let at = node as usize;
        let taken = self.here[LEVEL][at] > 0 || self.here[UPRIGHT][at] > 0;
        match taken && landing.stub.is_none() {
            true => FIGHT + self.grudge[at],
            false => 0,
        }
    }

    fn reach(&mut self, state: u32, cost: u32, from: u32) -> bool {
        let at = state as usize;
        if self.stamp[at] == self.round && self.best[at] <= cost {
            return false;
        }
        (self.stamp[at], self.best[at], self.from[at]) = (self.round, cost, from);
        true
    }

    /// The nodes a search may begin or end at.
    fn doors(&self, landing: &Landing) -> Vec<u32> {
        match landing.stub {
            Some((_, out)) => self.grid.node_at(out).into_iter().collect(),
            None => self
                .grid
                .nodes_within(&landing.pad.grown(-0.15), landing.middle),
        }
    }

    fn trace(&self, task: &Task, last: u32) -> Path {
        let mut nodes = vec![last / 2];
        let mut state = last;
        while self.from[state as usize] != u32::MAX {
            state = self.from[state as usize];
            nodes.push(state / 2);
        }
        nodes.reverse();
        nodes.dedup();
        let mut searched: Vec<Point> = nodes.iter().map(|&node| self.grid.point(node)).collect();
        // Straight beginnings are part of the way, and others must keep off them.
        if let Some((start, _)) = task.ends[0].stub {
            searched.insert(0, start);
        }
        if let Some((start, _)) = task.ends[1].stub {
            searched.push(start);
        }
        let corners = straightened(&searched);
        let mut runs = Vec::new();
        for pair in corners.windows(2) {
            if let (Some(one), Some(other)) =
                (self.grid.node_at(pair[0]), self.grid.node_at(pair[1]))
            {
                runs.push((one, other));
            }
        }
        let mut points = corners.clone();
        let first = elbow(task.ends[0].middle, &corners);
        points.splice(0..0, first);
        let backwards: Vec<Point> = corners.iter().rev().copied().collect();
        let end = elbow(task.ends[1].middle, &backwards);
        points.extend(end.into_iter().rev());
        Path { runs, points }
    }

    /// What a way costs beside the wires that lie now.
    fn price(&self, path: &Path) -> u32 {
        let mut cost = BEND * path.runs.len().saturating_sub(1) as u32;
        for &(one, other) in &path.runs {
            let way = self.grid.way(one, other);
            let mut last = None;
            self.grid.along(one, other, |node| {
                let at = self.grid.point(node);
                if let Some(last) = last.replace(at) {
                    let length = (at.x - last.x).abs() + (at.y - last.y).abs();
                    let body = self.grid.is_body_between(node, way);
                    cost += (length * if body { BODY } else { 100.0 }) as u32 + 1;
                    if self.near[way][node as usize] > 0 {
                        cost += (length * 60.0) as u32;
                    }
                    if self.here[1 - way][node as usize] > 0 {
                        cost += CROSSING;
                    }
                }
                cost += self.fight(way, node);
            });
        }
        cost
    }

    fn put(&mut self, wire: usize, path: Path) {
        self.mark(&path, true);
        self.paths[wire] = Some(path);
    }

    fn lift(&mut self, wire: usize) -> Option<Path> {
        let path = self.paths[wire].take()?;
        self.mark(&path, false);
        Some(path)
    }

    fn mark(&mut self, path: &Path, add: bool) {
        let change = |count: &mut u8| {
            *count = if add {
                count.saturating_add(1)
            } else {
                count.saturating_sub(1)
            };
        };
        let grid = self.grid;
        for &(one, other) in &path.runs {
            let way = grid.way(one, other);
            grid.along(one, other, |node| {
                change(&mut self.here[way][node as usize]);
                grid.beside(node, way, WIRE_GAP, |node| {
                    change(&mut self.close[way][node as usize])
                });
                grid.beside(node, way, WIRE_EASE, |node| {
                    change(&mut self.near[way][node as usize])
                });
            });
        }
        // Nobody may cross an end: it would look like a joint.
        let first = path.runs.first().map(|run| (run.0, *run));
        let last = path.runs.last().map(|run| (run.1, *run));
        for (node, (one, other)) in [first, last].into_iter().flatten() {
            let across = 1 - grid.way(one, other);
            change(&mut self.close[across][node as usize]);
        }
    }

    /// Makes the places dearer at which a way fights with others.
    fn resent(&mut self, path: &Path) {
        let grid = self.grid;
        for &(one, other) in &path.runs {
            let way = grid.way(one, other);
            grid.along(one, other, |node| {
                if self.close[way][node as usize] > 0 {
                    let grudge = &mut self.grudge[node as usize];
                    *grudge = grudge.saturating_add(GRUDGE);
                }
            });
        }
    }

    /// The wires that lie on a way or too near to it.
    fn fights(&self, wire: usize, path: &Path) -> Vec<usize> {
        let others = (0..self.paths.len()).filter(|&other| other != wire);
        let fights = |&other: &usize| {
            let other = self.paths[other].as_ref();
            other.is_some_and(|other| self.touch(path, other))
        };
        others.filter(fights).collect()
    }

    /// Whether two ways run on or too near one another, or bend where they meet.
    fn touch(&self, one: &Path, other: &Path) -> bool {
        let close = |a: &(u32, u32), b: &(u32, u32)| {
            let (wa, wb) = (self.grid.way(a.0, a.1), self.grid.way(b.0, b.1));
            let (a, b) = (self.grid.span(*a), self.grid.span(*b));
            if wa == wb {
                let across = if wa == LEVEL { a.2 - b.2 } else { a.0 - b.0 };
                let overlap = match wa {
                    LEVEL => a.1.min(b.1) - a.0.max(b.0),
                    _ => a.3.min(b.3) - a.2.max(b.2),
                };
                return across.abs() < WIRE_GAP - SAME && overlap > -SAME;
            }
            // At a right angle they may cross, not touch with an end.
            let (level, upright) = if wa == LEVEL { (a, b) } else { (b, a) };
            let (x, y) = (upright.0, level.2);
            let meets = level.0 <= x + SAME
                && x <= level.1 + SAME
                && upright.2 <= y + SAME
                && y <= upright.3 + SAME;
            let inner = level.0 + SAME < x
                && x < level.1 - SAME
                && upright.2 + SAME < y
                && y < upright.3 - SAME;
            meets && !inner
        };
        one.runs
            .iter()
            .any(|a| other.runs.iter().any(|b| close(a, b)))
    }
}

/// The piece from a pad's middle to where the way begins inside the pad.
fn elbow(middle: Point, corners: &[Point]) -> Vec<Point> {
    let Some(&first) = corners.first() else {
        return vec![middle];
    };
    let next = corners.get(1).copied().unwrap_or(first);
    let level = (next.y - first.y).abs() < SAME;
    let knee = match level {
        true => Point {
            x: middle.x,
            y: first.y,
        },
        false => Point {
            x: first.x,
            y: middle.y,
        },
    };
    vec![middle, knee]
}

/// The way without points that are on a straight piece or come twice.
fn straightened(points: &[Point]) -> Vec<Point> {
    let same = |one: f64, other: f64| (one - other).abs() < SAME;
    let mut kept: Vec<Point> = Vec::new();
    for &point in points {
        if kept
            .last()
            .is_some_and(|last| same(last.x, point.x) && same(last.y, point.y))
        {
            continue;
        }
        if let [.., one, two] = kept[..] {
            let level = same(one.y, two.y) && same(two.y, point.y);
            let upright = same(one.x, two.x) && same(two.x, point.x);
            if level || upright {
                kept.pop();
            }
        }
        kept.push(point);
    }
    kept
}

fn forced(task: &Task) -> Vec<Point> {
    let [one, other] = [task.ends[0].middle, task.ends[1].middle];
    let knee = Point {
        x: other.x,
        y: one.y,
    };
    straightened(&[one, knee, other])
}
