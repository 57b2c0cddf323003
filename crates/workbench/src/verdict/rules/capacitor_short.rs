//! No bulk capacitor on the battery pads, or the wrong one.
//!
//! **Asks:** is there a capacitor on the battery pads, large enough, for enough volts, on short legs?
//!
//! **Why:** it takes the spikes of hot-plugging, which reach twice the pack's volts, and the ripple of the drivers, which shows as lines in the picture. On long legs it is nearly useless: a millimetre is about 1 nH.
//!
//! **Judged:** a plain fact against published size tables by cells and class. Printed volts below the full pack are a stop; everything else is never worse than watch. One cell needs none.
//!
//! **Do:** low-resistance type, 1.2 times the full pack's volts at least, twice for comfort, legs up to 5 mm, body held by glue or tape.
//!
//! **Example:** `watch  capacitor-short: no capacitor on the battery pads; 2 cells want 100 to 330 µF for 16 V, on legs up to 5 mm`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::facet::Chemistry;
use craft::pads::Capacitor;
use wiring::capacitor::{Advice, advice};

/// Its stable name.
pub const ID: &str = "capacitor-short";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let Some(advice) = wanted(state) else {
        return Vec::new();
    };
    // A craft whose sheets show no pads at all has not been looked at closely enough to miss a capacitor.
    let looked_at = state.plan.terminals.shows_pads.iter().any(|shows| *shows);
    match state.first(|part| part.capacitor.as_ref()) {
        Some((name, capacitor)) => fitted(name, capacitor, &advice),
        None if advice.microfarads.0 > 0.0 && looked_at => {
            let claim = Phrase::words("no capacitor on the battery pads; it wants ");
            vec![Draft::fact(Level::Watch, wants(claim, &advice)).way("a typical `capacitor-…` part, or your own sheet with `[capacitor]`")]
        }
        None => Vec::new(),
    }
}

/// What the pack and the class want.
pub fn wanted(state: &State) -> Option<Advice> {
    let (_, cells) = state.first(|part| part.cells.as_ref())?;
    let series = cells.series.as_ref()?.value;
    let high = cells.chemistry.is_some_and(|chemistry| chemistry.value == Chemistry::HighVoltage);
    let full_v = if high { 4.35 } else { 4.20 };
    Some(advice(state.airframe.class.map(|class| class.value), series, full_v))
}

fn wants(claim: Phrase, advice: &Advice) -> Phrase {
    claim
        .number(advice.microfarads.0, "µF")
        .then(" to ")
        .number(advice.microfarads.1, "µF")
        .then(" for ")
        .number(advice.sold_v(), "V")
        .then(" or more, on legs up to ")
        .number(advice.legs_mm, "mm")
}

fn fitted(name: &str, capacitor: &Capacitor, advice: &Advice) -> Vec<Draft> {
    let mut drafts = Vec::new();
    let size = capacitor.capacitance.map(|size| size.value.0.in_microfarads());
    if let (Some(volts), full_v) = (capacitor.volts, advice.volts.0 / 1.2) {
        let printed_v = volts.value.0.in_volts();
        let level = if printed_v < full_v {
            Level::Stop
        } else if printed_v < advice.volts.0 {
            Level::Watch
        } else {
            Level::Pass
        };
        let claim = Phrase::words(format!("{name} is for ")).number(printed_v, "V").then("; a full pack has ").number(full_v, "V").then(" and spikes above it");
        drafts.push(Draft::fact(level, claim).about(format!("{name}.volts")).at([volts.place]).way("at least 1.2 times the full pack, twice for comfort"));
    }
    if let (Some(size), Some(stated)) = (size, capacitor.capacitance) {
        let level = if size < advice.microfarads.0 { Level::Watch } else { Level::Pass };
        let claim = wants(Phrase::words(format!("{name} has ")).number(size, "µF").then("; this craft wants "), advice);
        drafts.push(Draft::fact(level, claim).about(format!("{name}.size")).at([stated.place]).way("a larger one, or a second beside it"));
    }
    if let Some(legs) = capacitor.legs {
        let millimetres = legs.value.0.in_millimetres();
        let level = if millimetres > advice.legs_mm { Level::Watch } else { Level::Pass };
        let claim = Phrase::words(format!("{name} stands on legs of ")).number(millimetres, "mm").then("; ").number(advice.legs_mm, "mm").then(" is the most that is of use");
        drafts.push(Draft::fact(level, claim).about(format!("{name}.legs")).at([legs.place]).way("cut the legs short and glue the body down"));
    }
    drafts
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_none_at_all_is_watched() {
        check(&[("bulk = \"bulk\"\n", "")], "capacitor-short", Level::Watch);
    }

    #[test]
    fn checked_too_few_volts_are_a_stop() {
        check(&[("volts = \"35 V\"", "volts = \"16 V\"")], "capacitor-short.bulk.volts", Level::Stop);
    }

    #[test]
    fn checked_long_legs_are_watched() {
        check(&[("legs = \"4 mm\"", "legs = \"30 mm\"")], "capacitor-short.bulk.legs", Level::Watch);
    }
}
