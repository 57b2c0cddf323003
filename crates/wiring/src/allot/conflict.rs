//! The smallest set of needs that cannot be met together.
//!
//! Sets are tried smallest first, in order, so the first without room is the answer. Each set that
//! has room is grown until nothing more fits; every set inside it is then known to have room and is
//! passed over. What is left to try must reach outside each of the grown sets, which soon leaves
//! little to try.

use super::Unanswerable;
use super::room::Rooms;
use super::table::{Table, bit, bits};

/// Part-built sets before giving up: well under a second.
const MOST_SETS: usize = 2_000_000;

/// The smallest set of these needs without room, by count and then by number; none if all fit.
pub(super) fn smallest(table: &Table, needs: u64) -> Result<Option<u64>, Unanswerable> {
    let mut rooms = Rooms::of(table);
    if rooms.room(needs)? {
        return Ok(None);
    }
    let mut search = Search {
        rooms,
        needs,
        roomy: Vec::new(),
        sets_left: MOST_SETS,
    };
    for size in 1..=needs.count_ones() {
        if let Some(set) = search.without_room(0, needs, size)? {
            return Ok(Some(set));
        }
    }
    Ok(None)
}

struct Search<'a> {
    rooms: Rooms<'a>,
    needs: u64,
    /// Sets with room that no further need fits into.
    roomy: Vec<u64>,
    sets_left: usize,
}

impl Search<'_> {
    /// The first set without room of those chosen and `more` of the later needs.
    fn without_room(
        &mut self,
        chosen: u64,
        later: u64,
        more: u32,
    ) -> Result<Option<u64>, Unanswerable> {
        self.sets_left = self
            .sets_left
            .checked_sub(1)
            .ok_or(Unanswerable::TooManyWays)?;
        if self.hopeless(chosen, later, more) {
            return Ok(None);
        }
        if more == 0 {
            if !self.rooms.room(chosen)? {
                return Ok(Some(chosen));
            }
            self.grow(chosen)?;
            return Ok(None);
        }
        for need in bits(later) {
            let after = later & !(bit(need) | (bit(need) - 1));
            if let Some(set) = self.without_room(chosen | bit(need), after, more - 1)? {
                return Ok(Some(set));
            }
        }
        Ok(None)
    }

    /// Whether every such set lies inside a set known to have room.
    fn hopeless(&self, chosen: u64, later: u64, more: u32) -> bool {
        let mut spent = 0;
        let mut disjoint = 0;
        for outside in self.roomy.iter().map(|roomy| self.needs & !roomy) {
            if chosen & outside != 0 {
                continue;
            }
            let within_reach = later & outside;
            if within_reach == 0 {
                return true;
            }
            // Sets that share no need want a pick each.
            if within_reach & spent == 0 {
                spent |= within_reach;
                disjoint += 1;
            }
        }
        disjoint > more
    }

    fn grow(&mut self, mut set: u64) -> Result<(), Unanswerable> {
        for need in bits(self.needs & !set) {
            if self.rooms.room(set | bit(need))? {
                set |= bit(need);
            }
        }
        self.roomy.push(set);
        Ok(())
    }
}
