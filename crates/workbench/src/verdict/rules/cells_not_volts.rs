//! A label in cells is taken for volts.
//!
//! **Asks:** is the supply range of a device printed only as a number of cells?
//!
//! **Why:** "2 to 6 cells" may mean 6 to 26 V, 7.4 to 22.2 V or 8.4 to 25.2 V. The lower end decides, and it is met late in the flight, in a punch.
//!
//! **Judged:** a plain fact. Outside the printed number of cells: stop. Inside it with no volts on record: watch. Where volts are known as well, the label is only compared with them.
//!
//! **Do:** ask the maker for volts, or find the lower limit with a bench supply in five minutes.
//!
//! **Example:** `watch  cells-not-volts.air-unit.main: the label says 2 cells, which may mean 6.0 to 7.4 V; the real limit is not known`

use crate::phrase::Phrase;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "cells-not-volts";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let series = state.first(|part| part.cells.as_ref()).and_then(|(_, cells)| cells.series.as_ref()).map(|series| series.value);
    state
        .airframe
        .inputs()
        .filter_map(|(_, fitted, named)| {
            let input = &named.facet;
            let cells = input.cells.as_ref()?;
            let id = format!("{}.{}", fitted.id.value, named.name.value);
            let low = cells.low.in_ones();
            let (level, claim) = match (series, input.lock_out.as_ref(), input.volts.as_ref()) {
                (Some(series), None, None) if !(low..=cells.high.in_ones()).contains(&f64::from(series)) => {
                    (Level::Stop, Phrase::words(format!("{id} is labelled for ")).number(low, "").then(" to ").number(cells.high.in_ones(), "").then(" cells; the pack has ").number(f64::from(series), ""))
                }
                (_, Some(stops), _) => {
                    let stops_v = stops.quantity.value.in_volts();
                    // More than a cell may have under load: the label promises what the device does not do.
                    let level = if stops_v / low > LOADED_CELL_V { Level::Watch } else { Level::Pass };
                    (level, Phrase::words(format!("the label of {id} says ")).number(low, "").then(" cells; it stops at ").number(stops_v, "V").then(", ").number(stops_v / low, "V").then(" for each cell"))
                }
                (_, None, Some(_)) => return None,
                (_, None, None) => {
                    (Level::Watch, Phrase::words(format!("the label of {id} says ")).number(low, "").then(" cells, which may mean ").number(low * 3.0, "V").then(" to ").number(low * 3.7, "V").then("; the real limit is not known"))
                }
            };
            let draft = Draft::fact(level, claim).about(id).at([cells.place]);
            Some(draft.way("turn a bench supply down until it stops, fan on, and write it as `lock_out`"))
        })
        .collect()
}

/// Volts of a cell under load at which people land; a device for so many cells should still run. Common practice.
const LOADED_CELL_V: f64 = 3.3;

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_label_in_cells_alone_is_watched() {
        check(&[("volts = \"7..26 V\"\nlock_out = \"6.8 V\"", "cells = \"2..6\"")], "cells-not-volts.video.main", Level::Watch);
    }

    #[test]
    fn checked_a_pack_outside_the_label_is_a_stop() {
        check(&[("volts = \"7..26 V\"\nlock_out = \"6.8 V\"", "cells = \"1..3\"")], "cells-not-volts.video.main", Level::Stop);
    }
}
