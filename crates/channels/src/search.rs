//! The search itself: the lowest set of channels that keeps a clearance and a spacing.
//!
//! Carriers are chosen from below, so the first set found is the lowest. After each choice every channel that can
//! no longer follow is struck out: a difference to a chosen carrier must lie a clearance away from all differences
//! there are. A branch ends when what is left is too few, too tight or too short, which is exact: a carrier more
//! never makes the clearance larger.

/// A channel and who can use it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Channel {
    /// Its carrier \[kHz\].
    pub khz: u32,
    /// A bit for each craft that can be set to it.
    pub crafts: u64,
}

/// What a look came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Found {
    /// The lowest set \[kHz\].
    Set(Vec<u32>),
    /// There is none.
    None,
    /// There may be one.
    OutOfSteps,
}

/// Looks through sets; the channels weighed in all looks count together.
pub(crate) struct Search<'q> {
    channels: &'q [Channel],
    taken: Vec<i64>,
    steps: u64,
    most_steps: u64,
    differ: bool,
}

/// What one look asks for.
#[derive(Clone, Copy)]
struct Want {
    count: usize,
    clearance: i64,
    apart: i64,
}

/// What has been chosen on the way down.
struct Chosen {
    /// Indices of channels.
    set: Vec<usize>,
    /// Differences that others must keep away from; those between carriers on the air come first.
    differences: Vec<i64>,
    /// Which craft holds which of the set; empty where every craft can use every channel.
    held: Holding,
}

impl<'q> Search<'q> {
    pub(crate) fn new(channels: &'q [Channel], taken_khz: &[u32], most_steps: u64) -> Self {
        Self {
            channels,
            taken: taken_khz.iter().map(|&khz| i64::from(khz)).collect(),
            steps: 0,
            most_steps,
            differ: channels
                .windows(2)
                .any(|pair| pair[0].crafts != pair[1].crafts),
        }
    }

    /// Channels weighed so far.
    pub(crate) fn steps(&self) -> u64 {
        self.steps
    }

    /// The lowest set of so many channels, each for a craft of its own.
    pub(crate) fn first(&mut self, count: usize, clearance_khz: u32, spacing_khz: u32) -> Found {
        let want = Want {
            count,
            clearance: i64::from(clearance_khz),
            apart: i64::from(clearance_khz.max(spacing_khz)),
        };
        let mut chosen = Chosen {
            set: Vec::with_capacity(count),
            differences: differences(&self.taken),
            held: Holding::default(),
        };
        let open = (0..self.channels.len()).filter(|&at| self.may_begin(at, want, &chosen));
        let open: Vec<usize> = open.collect();
        match self.below(want, &mut chosen, &open) {
            None => Found::OutOfSteps,
            Some(false) => Found::None,
            Some(true) => {
                let khz = |&at: &usize| self.channels[at].khz;
                Found::Set(chosen.set.iter().map(khz).collect())
            }
        }
    }

    /// Whether the set can be made whole from the open channels; `None` when the steps are used up.
    fn below(&mut self, want: Want, chosen: &mut Chosen, open: &[usize]) -> Option<bool> {
        let missing = want.count - chosen.set.len();
        if missing == 0 {
            return Some(true);
        }
        let mut left = Vec::with_capacity(open.len());
        for (nth, &at) in open.iter().enumerate() {
            if !self.long_enough(want, &open[nth..], missing) {
                return Some(false);
            }
            self.steps += (open.len() - nth) as u64;
            if self.steps > self.most_steps {
                return None;
            }
            let before = chosen.held.clone();
            if self.differ && !chosen.held.give(self.channels, &chosen.set, at) {
                continue;
            }
            let known = chosen.differences.len();
            self.choose(chosen, at);
            left.clear();
            let stays = |&&next: &&usize| self.may_follow(next, at, want, chosen, known);
            left.extend(open[nth + 1..].iter().filter(stays));
            if self.below(want, chosen, &left)? {
                return Some(true);
            }
            chosen.set.pop();
            chosen.differences.truncate(known);
            chosen.held = before;
        }
        Some(false)
    }

    /// Whether the open channels can hold what is missing, the first of them included.
    fn long_enough(&self, want: Want, open: &[usize], missing: usize) -> bool {
        let (Some(&first), Some(&last)) = (open.first(), open.last()) else {
            return false;
        };
        if open.len() < missing {
            return false;
        }
        let (first, last) = (self.khz(first), self.khz(last));
        if last - first < least_reach(want, missing - 1) {
            return false;
        }
        self.holds(open, want.apart, missing)
    }

    /// Whether so many of the open channels lie far enough apart.
    fn holds(&self, open: &[usize], apart: i64, missing: usize) -> bool {
        let mut next = i64::MIN;
        let mut count = 0;
        for &at in open {
            let khz = self.khz(at);
            if khz >= next {
                next = khz + apart;
                count += 1;
                if count == missing {
                    return true;
                }
            }
        }
        false
    }

    fn choose(&self, chosen: &mut Chosen, at: usize) {
        let khz = self.khz(at);
        let others = chosen.set.iter().map(|&other| self.khz(other));
        let others = others.chain(self.taken.iter().copied());
        chosen
            .differences
            .extend(others.map(|other| (other - khz).abs()));
        chosen.set.push(at);
    }

    /// Whether a channel keeps clear of the carriers on the air alone.
    fn may_begin(&self, at: usize, want: Want, chosen: &Chosen) -> bool {
        let khz = self.khz(at);
        let spaced = |&taken: &i64| (khz - taken).abs() >= want.apart;
        self.taken.iter().all(spaced)
            && self.taken.iter().enumerate().all(|(nth, &taken)| {
                let mine = (khz - taken).abs();
                clear_of(mine, &chosen.differences, want.clearance)
                    && (self.taken[..nth].iter()).all(|&other| between(khz, taken, other, want))
            })
    }

    /// Whether a channel can still follow the one chosen last, whose differences begin at `known`.
    fn may_follow(
        &self,
        next: usize,
        last: usize,
        want: Want,
        chosen: &Chosen,
        known: usize,
    ) -> bool {
        let (khz, last) = (self.khz(next), self.khz(last));
        let mine = khz - last;
        if mine < want.apart {
            return false;
        }
        if want.clearance == 0 {
            return true;
        }
        let new = &chosen.differences[known..];
        let earlier = chosen.set[..chosen.set.len() - 1].iter();
        let others = earlier
            .map(|&at| self.khz(at))
            .chain(self.taken.iter().copied());
        clear_of(mine, &chosen.differences, want.clearance)
            && others
                .into_iter()
                .all(|other| clear_of((khz - other).abs(), new, want.clearance))
            && self
                .taken
                .iter()
                .all(|&taken| between(khz, last, taken, want))
    }

    fn khz(&self, at: usize) -> i64 {
        i64::from(self.channels[at].khz)
    }
}

/// Least way from the first of `gaps + 1` carriers to the last: gaps between neighbours are differences too, so
/// they lie a clearance apart.
fn least_reach(want: Want, gaps: usize) -> i64 {
    let gaps = gaps as i64;
    gaps * want.apart + want.clearance * (gaps * (gaps - 1) / 2).max(0)
}

/// Whether a difference is a clearance away from all of these.
fn clear_of(difference: i64, all: &[i64], clearance: i64) -> bool {
    all.iter()
        .all(|other| (difference - other).abs() >= clearance)
}

/// Whether a carrier between two others is a clearance off their middle, twice: `2·khz − one − other`.
fn between(khz: i64, one: i64, other: i64, want: Want) -> bool {
    (khz > one) == (khz > other) || (2 * khz - one - other).abs() >= want.clearance
}

fn differences(carriers: &[i64]) -> Vec<i64> {
    let mut all = Vec::new();
    for (at, &one) in carriers.iter().enumerate() {
        all.extend(carriers[..at].iter().map(|&other| (one - other).abs()));
    }
    all
}

/// Which craft holds which of the chosen: place in the set by craft.
#[derive(Debug, Clone, Default)]
struct Holding(Vec<Option<usize>>);

impl Holding {
    /// Gives one more channel to a craft, moving others where that helps. `false` leaves everything as it was.
    fn give(&mut self, channels: &[Channel], set: &[usize], at: usize) -> bool {
        self.0.resize(64, None);
        let mut users: Vec<u64> = set.iter().map(|&at| channels[at].crafts).collect();
        users.push(channels[at].crafts);
        let mut seen = 0;
        self.place(&users, set.len(), &mut seen)
    }

    /// One step of the way along which craft change places.
    fn place(&mut self, users: &[u64], nth: usize, seen: &mut u64) -> bool {
        let mut open = users[nth] & !*seen;
        while open != 0 {
            let craft = open.trailing_zeros() as usize;
            *seen |= 1 << craft;
            let free = match self.0[craft] {
                None => true,
                Some(other) => self.place(users, other, seen),
            };
            if free {
                self.0[craft] = Some(nth);
                return true;
            }
            open = users[nth] & !*seen;
        }
        false
    }
}

/// A carrier for each craft: the first craft gets the lowest that lets the others have theirs. The set can be
/// given out whole.
pub(crate) fn assign(channels: &[Channel], set_khz: &[u32], crafts: usize) -> Vec<u32> {
    let users = |khz: &u32| {
        let at = channels.binary_search_by_key(khz, |channel| channel.khz);
        at.map_or(0, |at| channels[at].crafts)
    };
    let mut users: Vec<u64> = set_khz.iter().map(users).collect();
    let mut given = Vec::with_capacity(crafts);
    for craft in 0..crafts {
        let only = 1_u64 << craft;
        for nth in 0..set_khz.len() {
            if users[nth] & only == 0 {
                continue;
            }
            let mut narrowed: Vec<u64> = users.iter().map(|mask| mask & !only).collect();
            narrowed[nth] = only;
            if can_all_be_given(&narrowed) {
                users = narrowed;
                given.push(set_khz[nth]);
                break;
            }
        }
    }
    given
}

fn can_all_be_given(users: &[u64]) -> bool {
    let mut held = Holding(vec![None; 64]);
    (0..users.len()).all(|nth| held.place(users, nth, &mut 0))
}
