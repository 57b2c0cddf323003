//! The best carriers for several craft, or a proof that there are none.
//!
//! Best means, in this order: the largest clearance, which is the smallest distance of any third-order product
//! from any carrier; then the largest smallest spacing; then the lowest carriers, compared one by one from below.
//! Which craft gets which carrier follows the same habit: the first craft the lowest that lets the others have
//! theirs. So the same question always gets the same answer.

use crate::products::{clearance_beside_khz, clearance_khz};
use crate::proof;
use crate::search::{Channel, Found, Search, assign};
use crate::tuning::{Band, Mhz, Tuning, merged};

/// A craft that wants a carrier.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Craft {
    /// What its transmitter can be set to.
    pub transmitter: Tuning,
    /// What the receiver that goes with it can be set to; `None` where it follows any transmitter.
    pub receiver: Option<Tuning>,
}

impl Craft {
    /// A craft whose receiver follows.
    pub fn tuning(transmitter: Tuning) -> Self {
        Self {
            transmitter,
            receiver: None,
        }
    }
}

/// Who wants carriers, and what must be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Craft in the order in which ties favour them.
    pub crafts: Vec<Craft>,
    /// Carriers already on the air, which stay where they are \[kHz\].
    pub taken_khz: Vec<u32>,
    /// Where the whole occupied bandwidth must lie; none means anywhere.
    pub bands: Vec<Band>,
    /// Width that a carrier occupies \[kHz\].
    pub bandwidth_khz: u32,
    /// Least distance of two carriers \[kHz\]; two craft never share one, even at nothing.
    pub spacing_khz: u32,
    /// Channels weighed, in all sets together, before the search gives up proving that nothing is better.
    pub most_steps: u64,
}

impl Default for Question {
    fn default() -> Self {
        Self {
            crafts: Vec::new(),
            taken_khz: Vec::new(),
            bands: Vec::new(),
            bandwidth_khz: 0,
            spacing_khz: 0,
            most_steps: 150_000_000,
        }
    }
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Carriers for everyone.
    Plan(Plan),
    /// There are none, and why.
    Impossible(Reason),
    /// Neither a plan nor a proof within the steps.
    Undecided {
        /// Channels weighed.
        steps: u64,
    },
}

/// Carriers for everyone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// A carrier for each craft, in the order of the craft \[kHz\].
    pub carriers_khz: Vec<u32>,
    /// Smallest distance of a product from a carrier, those already on the air counted with ours; products that
    /// the others make among themselves and that fall on one of them are not ours to mend and left out.
    /// `None` with a single carrier.
    pub clearance_khz: Option<u32>,
    /// The same with those counted too.
    pub clearance_of_all_khz: Option<u32>,
    /// Smallest distance of one of ours from any other carrier; `None` with a single carrier.
    pub spacing_khz: Option<u32>,
    /// No set can have a larger clearance than this; equal to the clearance where the search came to its end.
    pub ceiling_khz: Option<u32>,
    /// Whether nothing better was left to look at.
    pub proved_best: bool,
    /// Channels weighed.
    pub steps: u64,
}

/// Why there is no plan, in numbers that can be checked by hand.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Reason {
    /// No band takes one carrier.
    #[error(
        "a carrier {} MHz wide does not fit into the widest band, {} to {} MHz",
        Mhz(*.bandwidth_khz), Mhz(.widest.from_khz), Mhz(.widest.to_khz)
    )]
    NoneFits {
        /// Width of a carrier \[kHz\].
        bandwidth_khz: u32,
        /// The widest band.
        widest: Band,
    },
    /// Its transmitter and its receiver have no setting in common.
    #[error("craft {}: its transmitter and its receiver share no channel", craft + 1)]
    NothingShared {
        /// Which, from 0.
        craft: usize,
    },
    /// Nothing that it can be set to lies in a band.
    #[error("craft {}: nothing it can tune lies inside the band with all its width", craft + 1)]
    NothingInside {
        /// Which, from 0.
        craft: usize,
    },
    /// All that it can be set to lies too near a carrier on the air.
    #[error(
        "craft {}: everything it can tune inside the band is less than {} MHz from a carrier already on the air",
        craft + 1, Mhz(*.spacing_khz)
    )]
    NothingFree {
        /// Which, from 0.
        craft: usize,
        /// Spacing to keep \[kHz\].
        spacing_khz: u32,
    },
    /// The gaps alone are wider than the band.
    #[error(
        "{gaps} gaps of {} MHz need {} MHz, the band leaves {}",
        Mhz(*.spacing_khz), MhzSum(*.need_khz), Mhz(*.room_khz)
    )]
    GapsTooWide {
        /// Gaps between the carriers.
        gaps: usize,
        /// Spacing to keep \[kHz\].
        spacing_khz: u32,
        /// Gaps times spacing \[kHz\].
        need_khz: u64,
        /// From the lowest middle of a carrier to the highest \[kHz\].
        room_khz: u32,
    },
    /// The channels of some craft hold too few carriers: the lowest, then each time the lowest that is far enough
    /// on, which cannot be bettered.
    #[error(
        "{} can tune channels that hold {} at {} MHz apart: {}",
        Crafts(.crafts), .largest_khz.len(), Mhz(*.spacing_khz), List(.largest_khz)
    )]
    TooFew {
        /// Which craft, from 0.
        crafts: Vec<usize>,
        /// A largest set \[kHz\].
        largest_khz: Vec<u32>,
        /// Spacing to keep \[kHz\].
        spacing_khz: u32,
    },
    /// Every set was looked at.
    #[error(
        "every choice was tried: {} MHz apart there is no channel for everyone{}",
        Mhz(*.spacing_khz), Most(*.most)
    )]
    Exhausted {
        /// How many can be served at once, where that was found within the steps.
        most: Option<usize>,
        /// Spacing to keep \[kHz\].
        spacing_khz: u32,
    },
}

/// A question that cannot be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// More craft than are planned at once.
    #[error("{0} craft; at most {MOST_CRAFT} are planned at once")]
    TooManyCraft(usize),
    /// More carriers on the air than are looked at.
    #[error("{0} carriers on the air; at most {MOST_TAKEN} are counted")]
    TooManyTaken(usize),
    /// More channels than are searched.
    #[error("{0} channels to choose from; at most {MOST_CHANNELS} are searched, take a wider step")]
    TooManyChannels(u64),
}

/// Most craft in a question.
pub const MOST_CRAFT: usize = 64;
/// Most carriers on the air in a question.
pub const MOST_TAKEN: usize = 64;
/// Most channels to choose from, those of each craft counted each time.
pub const MOST_CHANNELS: u64 = 50_000;

const ANYWHERE: Band = Band {
    from_khz: 0,
    to_khz: u32::MAX,
};

/// The best plan there is.
///
/// # Errors
/// A question too large to be answered.
pub fn plan(question: &Question) -> Result<Answer, Fault> {
    within_limits(question)?;
    let choices = match choices(question)? {
        Ok(choices) => choices,
        Err(reason) => return Ok(Answer::Impossible(reason)),
    };
    if let Some(reason) = proof::too_tight(question, &choices) {
        return Ok(Answer::Impossible(reason));
    }
    let channels = channels(&choices);
    let mut search = Search::new(&channels, &taken(question), question.most_steps);
    Ok(climb(question, &channels, &mut search))
}

/// Looks for more and more clearance, then for more and more spacing. Each look finds the lowest set that is good
/// enough, so the last one found is the lowest of the best.
fn climb(question: &Question, channels: &[Channel], search: &mut Search) -> Answer {
    let (count, taken) = (question.crafts.len(), taken(question));
    let spacing_khz = question.spacing_khz.max(1);
    let mut best = match search.first(count, 0, spacing_khz) {
        Found::Set(set) => Best::of(set, &taken),
        Found::None => return Answer::Impossible(exhausted(question, search)),
        Found::OutOfSteps => {
            return Answer::Undecided {
                steps: search.steps(),
            };
        }
    };
    let top = proof::ceiling_khz(channels, &taken, count, spacing_khz);
    let mut ceiling = top;
    let mut proved = true;
    while let Some(clearance) = best.clearance.filter(|&found| Some(found) < top) {
        match search.first(count, clearance + 1, spacing_khz) {
            Found::Set(set) => best = Best::of(set, &taken),
            Found::None => break,
            Found::OutOfSteps => {
                proved = false;
                break;
            }
        }
    }
    if proved {
        ceiling = best.clearance;
    }
    while let (true, Some(spacing)) = (proved, best.spacing) {
        match search.first(count, best.clearance.unwrap_or(0), spacing + 1) {
            Found::Set(set) => best = Best::of(set, &taken),
            Found::None => break,
            Found::OutOfSteps => proved = false,
        }
    }
    Answer::Plan(Plan {
        carriers_khz: assign(channels, &best.set, count),
        clearance_khz: best.clearance,
        clearance_of_all_khz: clearance_khz(&[best.set.as_slice(), &taken].concat()),
        spacing_khz: best.spacing,
        ceiling_khz: ceiling,
        proved_best: proved,
        steps: search.steps(),
    })
}

/// The best set so far.
struct Best {
    set: Vec<u32>,
    clearance: Option<u32>,
    spacing: Option<u32>,
}

impl Best {
    fn of(set: Vec<u32>, taken: &[u32]) -> Self {
        let nearest = |(at, &khz): (usize, &u32)| {
            let others = set[..at].iter().chain(taken);
            others.map(|other| other.abs_diff(khz)).min()
        };
        Self {
            clearance: clearance_beside_khz(&set, taken),
            spacing: set.iter().enumerate().filter_map(nearest).min(),
            set,
        }
    }
}

fn exhausted(question: &Question, search: &mut Search) -> Reason {
    let spacing_khz = question.spacing_khz;
    let mut served = question.crafts.len() - 1;
    let most = loop {
        match search.first(served, 0, spacing_khz.max(1)) {
            Found::Set(_) => break Some(served),
            Found::None => served -= 1,
            Found::OutOfSteps => break None,
        }
    };
    Reason::Exhausted { most, spacing_khz }
}

fn within_limits(question: &Question) -> Result<(), Fault> {
    let (crafts, taken) = (question.crafts.len(), question.taken_khz.len());
    if crafts > MOST_CRAFT {
        return Err(Fault::TooManyCraft(crafts));
    }
    if taken > MOST_TAKEN {
        return Err(Fault::TooManyTaken(taken));
    }
    Ok(())
}

/// Carriers on the air, each once.
fn taken(question: &Question) -> Vec<u32> {
    let mut taken = question.taken_khz.clone();
    taken.sort_unstable();
    taken.dedup();
    taken
}

/// What each craft may be given, lowest first.
fn choices(question: &Question) -> Result<Result<Vec<Vec<u32>>, Reason>, Fault> {
    // Anywhere is no band: no width is kept from its ends.
    let (bands, bandwidth_khz) = match question.bands.as_slice() {
        [] => (vec![ANYWHERE], 0),
        bands => (merged(bands), question.bandwidth_khz),
    };
    if let Some(reason) = proof::none_fits(&bands, bandwidth_khz) {
        return Ok(Err(reason));
    }
    let inside: Vec<Tuning> = question
        .crafts
        .iter()
        .map(|craft| craft.transmitter.inside(&bands, bandwidth_khz))
        .collect();
    let count = inside.iter().map(Tuning::count).sum();
    if count > MOST_CHANNELS {
        return Err(Fault::TooManyChannels(count));
    }
    let crafts = inside.iter().zip(&question.crafts).enumerate();
    Ok(crafts
        .map(|(at, (inside, craft))| choice(question, at, craft, inside))
        .collect())
}

fn choice(
    question: &Question,
    at: usize,
    craft: &Craft,
    inside: &Tuning,
) -> Result<Vec<u32>, Reason> {
    let received = |khz: &u32| {
        craft
            .receiver
            .as_ref()
            .is_none_or(|receiver| receiver.tunes(*khz))
    };
    let mut settings: Vec<u32> = inside.settings().filter(received).collect();
    if settings.is_empty() {
        return Err(proof::nothing(craft, at, inside));
    }
    let spacing_khz = question.spacing_khz.max(1);
    settings.retain(|khz| {
        question
            .taken_khz
            .iter()
            .all(|taken| taken.abs_diff(*khz) >= spacing_khz)
    });
    settings.sort_unstable();
    settings.dedup();
    if settings.is_empty() {
        return Err(Reason::NothingFree {
            craft: at,
            spacing_khz: question.spacing_khz,
        });
    }
    Ok(settings)
}

/// All channels, lowest first, each with the craft that can use it.
fn channels(choices: &[Vec<u32>]) -> Vec<Channel> {
    let mut all: Vec<u32> = choices.concat();
    all.sort_unstable();
    all.dedup();
    let usable = |khz: u32| {
        let users = choices.iter().enumerate();
        let users = users.filter(|(_, settings)| settings.binary_search(&khz).is_ok());
        users.fold(0, |mask, (craft, _)| mask | 1 << craft)
    };
    let channel = |khz: u32| Channel {
        khz,
        crafts: usable(khz),
    };
    all.into_iter().map(channel).collect()
}

/// A sum of gaps, which may be larger than any frequency.
struct MhzSum(u64);

impl std::fmt::Display for MhzSum {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match u32::try_from(self.0) {
            Ok(khz) => Mhz(khz).fmt(f),
            Err(_) => write!(f, "{}", self.0 / 1000),
        }
    }
}

/// How many can be served, where that is known.
struct Most(Option<usize>);

impl std::fmt::Display for Most {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0 {
            Some(most) => write!(f, ", for {most} at most"),
            None => Ok(()),
        }
    }
}

/// `craft 1, 3 and 4`.
struct Crafts<'a>(&'a [usize]);

impl std::fmt::Display for Crafts<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("craft ")?;
        for (at, craft) in self.0.iter().enumerate() {
            match at {
                0 => {}
                last if last + 1 == self.0.len() => f.write_str(" and ")?,
                _ => f.write_str(", ")?,
            }
            write!(f, "{}", craft + 1)?;
        }
        Ok(())
    }
}

/// `5740, 5780`.
struct List<'a>(&'a [u32]);

impl std::fmt::Display for List<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (at, &khz) in self.0.iter().enumerate() {
            let between = if at == 0 { "" } else { ", " };
            write!(f, "{between}{}", Mhz(khz))?;
        }
        Ok(())
    }
}
