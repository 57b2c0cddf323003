//! The battery is too light or too heavy for its energy.
//!
//! **Asks:** is energy over mass that of packs of this chemistry and size?
//!
//! **Why:** outside 90 to 170 Wh/kg the mass, the capacity or the chemistry is mistyped.
//!
//! **Judged:** nominal energy from the stated capacity and the stated mass, as a plain fact. Common practice. Never worse than watch.
//!
//! **Do:** put the pack on a scale; read capacity and cells again.
//!
//! **Example:** `watch  battery-energy: the battery holds 212 Wh/kg; packs of this kind hold 105 to 155 Wh/kg`

use crate::outcome::Outcome;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use craft::class::Band;
use power::Chemistry;

/// Its stable name.
pub const ID: &str = "battery-energy";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let (Some(energy), Some(battery)) = (state.summary(Outcome::PackEnergy), &state.model.battery) else { return Vec::new() };
    let band = if battery.chemistry == Chemistry::LithiumIon { LITHIUM_ION } else { POLYMER };
    let outside = energy.p05 > band.high || energy.p95 < band.low;
    let claim = Phrase::words("the battery holds ").doubted(energy.p50, energy.sd, "Wh/kg").then("; packs of this kind hold ").number(band.low, "").then(" to ").number(band.high, "Wh/kg");
    let place = state.first(|part| part.cells.as_ref()).map(|(_, cells)| cells.place);
    let draft = Draft::fact(if outside { Level::Watch } else { Level::Pass }, claim).from_outcomes([Outcome::PackEnergy.id()]).at(place);
    vec![draft.way("put the pack on a scale; read capacity and cells again")]
}

/// Energy over mass with leads outside which a polymer pack is mistyped. Common practice; usual is 105 to 155.
const POLYMER: Band = Band { low: 90.0, high: 170.0 };
/// The same for cylindrical lithium-ion packs. From memory: 190 to 230 for cells, less for the pack.
const LITHIUM_ION: Band = Band { low: 150.0, high: 260.0 };

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_mistyped_mass_shows() {
        check(&[("mass = \"78 g\"", "mass = \"30 g\"")], "battery-energy", Level::Watch);
    }
}
