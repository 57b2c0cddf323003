//! A pattern as somebody measured or simulated it, angle by angle.

use super::{LongAxis, Ray};
use crate::polarisation::Hand;
use crate::{decibels, ratio};

/// One measured direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Angle from the axis \[rad\].
    pub theta_rad: f64,
    /// Gain, both hands together \[dBi\].
    pub gain_dbi: f64,
    /// Axial ratio \[dB\]; infinite for a line.
    pub axial_ratio_db: f64,
    /// The stronger hand.
    pub hand: Hand,
}

/// Why rows make no pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TableFault {
    /// None at all.
    #[error("a pattern needs at least one direction")]
    Empty,
    /// Angles out of order, twice the same or beyond half a turn.
    #[error("angles rise from row to row and lie from 0° to 180°")]
    Angles,
    /// A gain or an axial ratio that is no number.
    #[error("a gain is a number, an axial ratio is zero or more")]
    Number,
}

/// A pattern between whose rows the two turning fields run smoothly, so that a hand that changes does so through a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    nodes: Vec<Node>,
    long_axis: LongAxis,
}

/// Amplitudes of the two turning fields over an isotropic radiator's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Node {
    pub(super) theta_rad: f64,
    pub(super) right: f64,
    pub(super) left: f64,
}

impl Table {
    /// A pattern of rows whose angles rise. Outside them the nearest row holds.
    ///
    /// # Errors
    /// What keeps the rows from being one.
    pub fn new(rows: &[Row], long_axis: LongAxis) -> Result<Self, TableFault> {
        if rows.is_empty() {
            return Err(TableFault::Empty);
        }
        let inside = rows
            .iter()
            .all(|row| (0.0..=std::f64::consts::PI).contains(&row.theta_rad));
        let rising = rows
            .windows(2)
            .all(|pair| pair[0].theta_rad < pair[1].theta_rad);
        if !inside || !rising {
            return Err(TableFault::Angles);
        }
        let numbers = |row: &Row| row.gain_dbi.is_finite() && row.axial_ratio_db >= 0.0;
        if !rows.iter().all(numbers) {
            return Err(TableFault::Number);
        }
        let nodes = rows.iter().map(Node::of).collect();
        Ok(Self { nodes, long_axis })
    }

    /// What goes out at an angle from the axis.
    pub(super) fn toward(&self, theta_rad: f64) -> Ray {
        between(&self.nodes, theta_rad, self.long_axis)
    }

    /// The highest gain of its rows \[dBi\].
    pub(super) fn peak_dbi(&self) -> f64 {
        self.nodes
            .iter()
            .map(|node| node.ray(self.long_axis).gain_dbi)
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

impl Node {
    fn of(row: &Row) -> Self {
        // With t = 1/R the amplitudes of the two hands are as 1 + t and 1 − t.
        let t = 10_f64.powf(-row.axial_ratio_db / 20.0);
        let scale = (ratio(row.gain_dbi) / (2.0 * (1.0 + t * t))).sqrt();
        let (strong, weak) = (scale * (1.0 + t), scale * (1.0 - t));
        let (right, left) = match row.hand {
            Hand::Right => (strong, weak),
            Hand::Left => (weak, strong),
        };
        Self {
            theta_rad: row.theta_rad,
            right,
            left,
        }
    }

    fn ray(&self, long_axis: LongAxis) -> Ray {
        let (right, left) = (self.right, self.left);
        Ray {
            gain_dbi: decibels(right * right + left * left),
            axial_ratio_db: 2.0 * decibels((right + left) / (right - left).abs()),
            hand: if right >= left {
                Hand::Right
            } else {
                Hand::Left
            },
            long_axis,
        }
    }
}

/// Cubics through the amplitudes of nodes whose angles rise; there is at least one.
pub(super) fn between(nodes: &[Node], theta_rad: f64, long_axis: LongAxis) -> Ray {
    let after = nodes.partition_point(|node| node.theta_rad <= theta_rad);
    let last = nodes.len() - 1;
    if after == 0 || after > last {
        return nodes[after.min(last)].ray(long_axis);
    }
    let (left, right) = (nodes[after - 1], nodes[after]);
    let before = nodes[after.saturating_sub(2)];
    let beyond = nodes[(after + 1).min(last)];
    let width = right.theta_rad - left.theta_rad;
    let t = (theta_rad - left.theta_rad) / width;
    let run = |of: fn(&Node) -> f64| {
        let slope =
            |from: &Node, to: &Node| width * (of(to) - of(from)) / (to.theta_rad - from.theta_rad);
        let (leaving, arriving) = (slope(&before, &right), slope(&left, &beyond));
        let rise = of(&right) - of(&left);
        let bend = leaving + arriving - 2.0 * rise;
        (of(&left) + t * (leaving + t * (rise - leaving - bend + t * bend))).max(0.0)
    };
    let node = Node {
        theta_rad,
        right: run(|node| node.right),
        left: run(|node| node.left),
    };
    node.ray(long_axis)
}
