//! Whether there is room for a set of needs at all, whatever it costs.
//!
//! A bipartite matching answers most questions: without one there is no room, and one that keeps
//! ports apart and soft boards within their limit is room. What is left is searched.

use super::Unanswerable;
use super::table::{MOST_NEEDS, MOST_PORTS, State, Table, bit, bits};
use rustc_hash::FxHashSet;

/// Matchings before giving up: far above what boards ask, a second or so of a builder's time.
const MOST_MATCHINGS: usize = 200_000;

/// What is known of the room in a table; asking again is quicker.
pub(super) struct Rooms<'a> {
    table: &'a Table,
    /// Needs left and state, where no room was found.
    without: FxHashSet<(u64, State)>,
    matchings_left: usize,
}

impl Rooms<'_> {
    /// Nothing is known yet.
    pub fn of(table: &Table) -> Rooms<'_> {
        Rooms {
            table,
            without: FxHashSet::default(),
            matchings_left: MOST_MATCHINGS,
        }
    }

    /// Whether all of these needs can be served together.
    pub fn room(&mut self, needs: u64) -> Result<bool, Unanswerable> {
        self.room_after(needs, self.table.start)
    }

    fn room_after(&mut self, needs: u64, state: State) -> Result<bool, Unanswerable> {
        let state = state.only(&self.table.relevant(needs));
        if self.without.contains(&(needs, state)) {
            return Ok(false);
        }
        self.matchings_left = self
            .matchings_left
            .checked_sub(1)
            .ok_or(Unanswerable::TooManyWays)?;
        let Some(matching) = Matching::of(self.table, needs, &state) else {
            return Ok(false);
        };
        if self.holds(&matching, state) || self.room_below(needs, state)? {
            return Ok(true);
        }
        self.without.insert((needs, state));
        Ok(false)
    }

    /// Tries each port of the need with the fewest.
    fn room_below(&mut self, needs: u64, state: State) -> Result<bool, Unanswerable> {
        let tightest = bits(needs).min_by_key(|&need| self.table.open(&state, need).count_ones());
        let Some(need) = tightest else {
            return Ok(true);
        };
        for port in bits(self.table.open(&state, need)) {
            let next = self.table.serve(&state, need, port);
            if self.room_after(needs & !bit(need), next)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Whether a matching also keeps all ports apart and soft boards within their limit.
    fn holds(&self, matching: &Matching, mut state: State) -> bool {
        for (need, reach) in matching.pairs() {
            let Some(port) = bits(self.table.open(&state, need) & reach).next() else {
                return false;
            };
            state = self.table.serve(&state, need, port);
        }
        true
    }
}

/// A slot for each need, no slot twice; buses are free for all. Between slots, pairs kept apart and
/// soft limits are looked at for one need at a time only.
struct Matching<'a> {
    table: &'a Table,
    needs: u64,
    /// By need: the ports open to it.
    open: [u64; MOST_NEEDS],
    /// By slot. Buses have none.
    owner: [Option<usize>; MOST_PORTS],
}

impl Matching<'_> {
    fn of<'a>(table: &'a Table, needs: u64, state: &State) -> Option<Matching<'a>> {
        let mut matching = Matching {
            table,
            needs,
            open: [0; MOST_NEEDS],
            owner: [None; MOST_PORTS],
        };
        for need in bits(needs) {
            matching.open[need] = table.open(state, need);
        }
        let all = bits(needs).all(|need| matching.place(need, &mut 0));
        all.then_some(matching)
    }

    /// Finds a slot for one more need, moving others if it must: Kuhn's augmenting paths.
    fn place(&mut self, need: usize, tried: &mut u64) -> bool {
        if self.open[need] & self.table.buses != 0 {
            return true;
        }
        for (slot, ports) in self.table.slots.iter().enumerate() {
            if ports & self.open[need] == 0 || *tried & bit(slot) != 0 {
                continue;
            }
            *tried |= bit(slot);
            if self.owner[slot].is_none_or(|owner| self.place(owner, tried)) {
                self.owner[slot] = Some(need);
                return true;
            }
        }
        false
    }

    /// Each need and the ports it may choose from.
    fn pairs(&self) -> impl Iterator<Item = (usize, u64)> {
        bits(self.needs).map(|need| {
            let buses = self.open[need] & self.table.buses;
            let owned = || self.owner.iter().position(|&owner| owner == Some(need));
            let ports = match buses {
                0 => owned().map_or(0, |slot| self.table.slots[slot]),
                buses => buses,
            };
            (need, ports)
        })
    }
}
