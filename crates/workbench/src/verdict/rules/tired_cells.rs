//! The cells are past their best.
//!
//! **Asks:** is cell resistance times capacity still that of a healthy pack?
//!
//! **Why:** up to 9 mΩ·Ah is normal, above 13 mΩ·Ah builders retire a pack: it sags in every climb and heats.
//!
//! **Judged:** only where you gave the cell resistance yourself. Common practice. Never worse than watch.
//!
//! **Do:** check with two loads at 25 °C, cell by cell; a spread above 30 % between cells is a reason of its own.
//!
//! **Example:** `watch  tired-cells: cell resistance times capacity is 14 ± 2 mΩ·Ah; builders retire a pack at 13 mΩ·Ah`

use crate::model::CellResistance;
use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};
use quantity::Summary;

/// Its stable name.
pub const ID: &str = "tired-cells";

/// What it finds.
pub fn judge(state: &State, basis: &Basis) -> Vec<Draft> {
    let Some(battery) = &state.model.battery else { return Vec::new() };
    let CellResistance::Own(resistance) = battery.cell_resistance else { return Vec::new() };
    let draws = state.outcomes.draws();
    let capacity = basis.term(battery.capacity, draws);
    let strings = f64::from(battery.parallel);
    let merit: Vec<f64> = basis.term(resistance, draws).iter().zip(&capacity).map(|(ohm, coulomb)| ohm * 1e3 * coulomb / 3600.0 / strings).collect();
    let now = Summary::of(&merit);
    let claim = Phrase::words("cell resistance times capacity is ").doubted(now.p50, now.sd, "mΩ·Ah").then("; builders retire a pack at ").number(RETIRED, "mΩ·Ah");
    let place = state.first(|part| part.cells.as_ref()).and_then(|(_, cells)| cells.resistance.as_ref()).map(|stated| stated.place);
    let draft = Draft::margin(merit.iter().map(|merit| RETIRED - merit).collect(), claim).at(place).at_worst(Level::Watch);
    vec![draft.way("a fresh pack, or measure again at 25 °C with two loads")]
}

/// Resistance of a cell times its capacity at which builders retire a pack \[mΩ·Ah\]. Common practice.
const RETIRED: f64 = 13.0;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_pack_at_fourteen_milliohm_ampere_hours_is_watched() {
        check(&[("resistance = \"8.5 mΩ\"", "resistance = \"22 mΩ\"")], "tired-cells", Level::Watch);
    }
}
