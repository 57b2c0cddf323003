//! The cheapest allotment, exactly: a dynamic programme over the needs.
//!
//! A layer holds what matters of the needs served so far (ports out of reach, soft loads, buses
//! paid for), restricted to what later needs can still ask for, so that needs of different kinds do
//! not multiply. One pass forward gives the cheapest way to each state and one backward the cheapest
//! way on from it; together they tell for every need and every port what the whole would cost at
//! best with that need there. That is where the reasons come from.

use super::Unanswerable;
use super::cost::{Cost, LEFT_OUT};
use super::table::{Relevant, State, Table, bits, mask};
use rustc_hash::FxHashMap;

/// Steps from state to state before giving up: a good hundred megabytes. Sixteen needs that may all
/// go to any of sixteen ports take half a million.
const MOST_STEPS: usize = 2_000_000;

/// The cheapest allotment, and what each other one would cost.
pub(super) struct Cheapest {
    /// By need: its port; none if left out.
    pub choices: Vec<Option<usize>>,
    /// What it costs in all.
    pub cost: Cost,
    /// By need and port: the least cost in all with this need on that port, if there is such a
    /// way.
    pub with: Vec<Vec<Option<Cost>>>,
}

/// The cheapest allotment of all needs; none if there is none.
pub(super) fn cheapest(table: &Table, ports: usize) -> Result<Option<Cheapest>, Unanswerable> {
    let needs = in_order(table);
    let layers = forward(table, &needs)?;
    let onward = backward(&layers);
    let Some(cost) = onward
        .first()
        .and_then(|first| first.first().copied().flatten())
    else {
        return Ok(None);
    };
    let mut cheapest = Cheapest {
        choices: vec![None; needs.len()],
        cost,
        with: vec![vec![None; ports]; needs.len()],
    };
    follow(&layers, &onward, &mut cheapest);
    for (layer, onward) in layers.iter().zip(&onward[1..]) {
        weigh(layer, onward, &mut cheapest.with[layer.need]);
    }
    Ok(Some(cheapest))
}

/// One need and all ways to serve it.
struct Layer {
    need: usize,
    /// By state before it: the least cost so far, and where its steps begin.
    before: Vec<(Cost, usize)>,
    steps: Vec<Step>,
}

/// From a state to a state of the next layer.
#[derive(Clone, Copy)]
struct Step {
    /// None leaves the need out.
    port: Option<usize>,
    cost: Cost,
    to: usize,
}

impl Layer {
    fn steps_of(&self, state: usize) -> &[Step] {
        let end = self
            .before
            .get(state + 1)
            .map_or(self.steps.len(), |next| next.1);
        &self.steps[self.before[state].1..end]
    }
}

/// Needs that want the same ports follow one another, the choosy ones first: states stay few.
fn in_order(table: &Table) -> Vec<usize> {
    let mut needs: Vec<usize> = (0..table.rows.len()).collect();
    let group = groups(table);
    needs.sort_by_key(|&need| (group[need], table.rows[need].ports.count_ones(), need));
    needs
}

/// By need: the lowest port of those it is tied to by needs that share ports.
fn groups(table: &Table) -> Vec<u32> {
    let mut sets: Vec<u64> = Vec::new();
    for row in &table.rows {
        let (tied, apart): (Vec<u64>, Vec<u64>) =
            sets.into_iter().partition(|set| set & row.ports != 0);
        sets = apart;
        sets.push(tied.into_iter().fold(row.ports, |all, set| all | set));
    }
    let group_of = |ports: u64| sets.iter().find(|&set| set & ports != 0).copied();
    let rows = table.rows.iter();
    rows.map(|row| group_of(row.ports).unwrap_or(0).trailing_zeros())
        .collect()
}

fn forward(table: &Table, needs: &[usize]) -> Result<Vec<Layer>, Unanswerable> {
    let mut states = vec![(
        table
            .start
            .only(&table.relevant(mask(needs.iter().copied()))),
        Cost::default(),
    )];
    let mut layers = Vec::new();
    let mut steps_left = MOST_STEPS;
    for (at, &need) in needs.iter().enumerate() {
        let relevant = table.relevant(mask(needs[at + 1..].iter().copied()));
        let (layer, next) = one_layer(table, need, &states, &relevant, steps_left)?;
        steps_left -= layer.steps.len();
        layers.push(layer);
        states = next;
    }
    Ok(layers)
}

type Reached = Vec<(State, Cost)>;

fn one_layer(
    table: &Table,
    need: usize,
    states: &Reached,
    relevant: &Relevant,
    most_steps: usize,
) -> Result<(Layer, Reached), Unanswerable> {
    let mut places: FxHashMap<State, usize> = FxHashMap::default();
    let mut next: Reached = Vec::new();
    let mut layer = Layer {
        need,
        before: Vec::with_capacity(states.len()),
        steps: Vec::new(),
    };
    for (state, so_far) in states {
        layer.before.push((*so_far, layer.steps.len()));
        let out = table.rows[need]
            .optional
            .then_some((None, LEFT_OUT, *state));
        let served = bits(table.open(state, need)).map(|port| {
            let cost = table.cost(state, need, port);
            (Some(port), cost, table.serve(state, need, port))
        });
        for (port, cost, after) in served.chain(out) {
            let after = after.only(relevant);
            let to = *places.entry(after).or_insert(next.len());
            let total = so_far.plus(cost);
            match next.get_mut(to) {
                Some((_, least)) => *least = total.min(*least),
                None => next.push((after, total)),
            }
            layer.steps.push(Step { port, cost, to });
        }
        if layer.steps.len() > most_steps {
            return Err(Unanswerable::TooManyWays);
        }
    }
    Ok((layer, next))
}

/// By layer and state: the least cost of all needs from there on; the last entry is the end.
fn backward(layers: &[Layer]) -> Vec<Vec<Option<Cost>>> {
    // Nothing is relevant after the last need, so all ways end in one state.
    let mut onward = vec![vec![Some(Cost::default())]];
    for layer in layers.iter().rev() {
        let after = &onward[onward.len() - 1];
        let least = |state| {
            layer
                .steps_of(state)
                .iter()
                .filter_map(|step| rest(step, after))
                .min()
        };
        let here = (0..layer.before.len()).map(least).collect();
        onward.push(here);
    }
    onward.reverse();
    onward
}

/// What a step and all that follows it cost.
fn rest(step: &Step, onward: &[Option<Cost>]) -> Option<Cost> {
    Some(step.cost.plus(onward.get(step.to).copied().flatten()?))
}

/// Walks along a cheapest way; of equals, the lowest port.
fn follow(layers: &[Layer], onward: &[Vec<Option<Cost>>], cheapest: &mut Cheapest) {
    let mut state = 0;
    for (layer, after) in layers.iter().zip(&onward[1..]) {
        let steps = layer.steps_of(state).iter();
        let ways = steps.filter_map(|step| Some((rest(step, after)?, step.port, step.to)));
        let Some((_, port, to)) = ways.min() else {
            return;
        };
        cheapest.choices[layer.need] = port;
        state = to;
    }
}

/// Adds up what the whole costs with each port for this layer's need.
fn weigh(layer: &Layer, onward: &[Option<Cost>], with: &mut [Option<Cost>]) {
    for (state, (so_far, _)) in layer.before.iter().enumerate() {
        for step in layer.steps_of(state) {
            let Some((port, rest)) = step.port.zip(rest(step, onward)) else {
                continue;
            };
            let total = so_far.plus(rest);
            let least = with[port].map_or(total, |least| least.min(total));
            with[port] = Some(least);
        }
    }
}
