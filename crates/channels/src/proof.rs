//! Why a question has no answer, found by counting before anything is searched.

use crate::plan::{Craft, Question, Reason};
use crate::search::Channel;
use crate::tuning::{Band, Tuning, merged};

/// Most different lists of channels of which every combination is counted.
const MOST_LISTS: usize = 12;

/// No band is as wide as a carrier. `bands` are merged.
pub(crate) fn none_fits(bands: &[Band], bandwidth_khz: u32) -> Option<Reason> {
    if bands
        .iter()
        .any(|band| band.room_khz(bandwidth_khz).is_some())
    {
        return None;
    }
    let nothing = Band {
        from_khz: 0,
        to_khz: 0,
    };
    let width = |band: &Band| band.to_khz - band.from_khz;
    Some(Reason::NoneFits {
        bandwidth_khz,
        widest: bands.iter().copied().max_by_key(width).unwrap_or(nothing),
    })
}

/// Why nothing is left for a craft before any carrier on the air is looked at.
pub(crate) fn nothing(craft: &Craft, at: usize, inside: &Tuning) -> Reason {
    let shared = |receiver: &Tuning| {
        let few = craft.transmitter.count().min(receiver.count()) <= u64::from(u16::MAX);
        let (ask, of) = if craft.transmitter.count() <= receiver.count() {
            (&craft.transmitter, receiver)
        } else {
            (receiver, &craft.transmitter)
        };
        // A dial of more settings than that is not walked through; the band is blamed.
        !few || ask.settings().any(|khz| of.tunes(khz))
    };
    let in_common = craft.receiver.as_ref().is_none_or(shared);
    if !in_common && inside.count() > 0 {
        return Reason::NothingShared { craft: at };
    }
    Reason::NothingInside { craft: at }
}

/// The first proof by counting that the choices are too few.
pub(crate) fn too_tight(question: &Question, choices: &[Vec<u32>]) -> Option<Reason> {
    gaps_too_wide(question, choices).or_else(|| too_few(question, choices))
}

/// The gaps need more than the band, or than lies between the lowest and the highest channel.
fn gaps_too_wide(question: &Question, choices: &[Vec<u32>]) -> Option<Reason> {
    let gaps = choices.len().checked_sub(1)?;
    let need_khz = gaps as u64 * u64::from(question.spacing_khz);
    let band = match merged(&question.bands).as_slice() {
        [only] => only.room_khz(question.bandwidth_khz),
        _ => None,
    };
    let lowest = choices.iter().filter_map(|list| list.first()).min()?;
    let highest = choices.iter().filter_map(|list| list.last()).max()?;
    let rooms = band.into_iter().chain([highest - lowest]);
    let short = rooms.into_iter().find(|&room| need_khz > u64::from(room));
    short.map(|room_khz| Reason::GapsTooWide {
        gaps,
        spacing_khz: question.spacing_khz,
        need_khz,
        room_khz,
    })
}

/// Some craft together can tune channels that hold fewer than they are; the smallest such company.
fn too_few(question: &Question, choices: &[Vec<u32>]) -> Option<Reason> {
    let mut lists: Vec<&Vec<u32>> = choices.iter().collect();
    lists.sort_unstable();
    lists.dedup();
    let users = |list: &Vec<u32>| -> Vec<usize> {
        let with = choices
            .iter()
            .enumerate()
            .filter(|(_, choice)| *choice == list);
        with.map(|(craft, _)| craft).collect()
    };
    let users: Vec<Vec<usize>> = lists.iter().map(|list| users(list)).collect();
    let companies = companies(lists.len());
    let short = companies.filter_map(|company| {
        let of = |at: &usize| company >> at & 1 == 1;
        let members = (0..lists.len()).filter(of);
        let mut crafts: Vec<usize> = members.clone().flat_map(|at| users[at].clone()).collect();
        crafts.sort_unstable();
        let mut channels: Vec<u32> = members.flat_map(|at| lists[at].iter().copied()).collect();
        // Stable, because it sees that the lists are sorted already.
        channels.sort();
        let largest_khz = largest(&channels, question.spacing_khz.max(1));
        (largest_khz.len() < crafts.len()).then_some(Reason::TooFew {
            crafts,
            largest_khz,
            spacing_khz: question.spacing_khz,
        })
    });
    short.min_by_key(|reason| match reason {
        Reason::TooFew { crafts, .. } => crafts.clone(),
        _ => Vec::new(),
    })
}

/// Every combination of so many lists as a bit for each, or each alone and all where they are too many.
fn companies(lists: usize) -> Box<dyn Iterator<Item = u64>> {
    if lists <= MOST_LISTS {
        return Box::new(1..1 << lists);
    }
    let all = if lists >= 64 {
        u64::MAX
    } else {
        (1 << lists) - 1
    };
    Box::new((0..lists).map(|at| 1 << at).chain([all]))
}

/// A largest set of sorted channels at a spacing: always the next one far enough on. Putting any set's first
/// carrier down to the first channel, then its second, and so on, never makes it smaller.
fn largest(channels: &[u32], spacing_khz: u32) -> Vec<u32> {
    let mut set: Vec<u32> = Vec::new();
    for &khz in channels {
        if set.last().is_none_or(|last| khz - last >= spacing_khz) {
            set.push(khz);
        }
    }
    set
}

/// A clearance that no set of so many can exceed \[kHz\].
///
/// The `N − 1` gaps between neighbours are differences too, so they lie a clearance `D` apart and none is below
/// the larger of `D` and the spacing `S`: `(N − 1)·max(D, S) + D·(N − 1)(N − 2)/2` is not more than the reach of the
/// channels. All `N(N − 1)/2` differences lie `D` apart as well: `D·N(N − 1)/2` is not more than the reach.
pub(crate) fn ceiling_khz(
    channels: &[Channel],
    taken: &[u32],
    count: usize,
    spacing_khz: u32,
) -> Option<u32> {
    let (first, last) = (channels.first()?.khz, channels.last()?.khz);
    if count == 0 || (count == 1 && taken.is_empty()) {
        return None;
    }
    if count == 1 {
        // Its own distance from the others is the least it can be.
        return Some(u32::MAX);
    }
    let (reach, gaps) = (u64::from(last - first), count as u64 - 1);
    let spread = gaps * (gaps - 1) / 2;
    let spaced = reach.saturating_sub(gaps * u64::from(spacing_khz));
    let by_spacing = spaced.checked_div(spread).unwrap_or(u64::MAX);
    let by_count = reach / (gaps + spread);
    // The first holds only as long as the clearance is below the spacing.
    let ceiling = if by_count >= u64::from(spacing_khz) {
        by_count
    } else {
        by_spacing.min(by_count)
    };
    u32::try_from(ceiling).ok()
}
