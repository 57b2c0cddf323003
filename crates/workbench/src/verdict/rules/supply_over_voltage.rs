//! A device sees more volts than it bears.
//!
//! **Asks:** does a full pack, or the rail that feeds it, exceed the highest volts of a device?
//!
//! **Why:** it dies at the first plug-in; over-voltage is not a matter of chance.
//!
//! **Judged:** a plain fact: the full charge of the chemistry times the cells, or the rail's set volts, against the sheet's upper limit.
//!
//! **Do:** feed it from a rail inside its range, or fit a regulator.
//!
//! **Example:** `stop  supply-over-voltage.camera.main: a full pack gives 16.8 V; camera.main bears 5.5 V`

use crate::phrase::Phrase;
use crate::predict::load_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Level, State};

/// Its stable name.
pub const ID: &str = "supply-over-voltage";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let loads = state.model.electrics.loads.iter().enumerate();
    loads
        .filter_map(|(at, load)| {
            let ceiling_v = load.ceiling_v?;
            let highest_v = state.summary_at(load_outcome(&state.model, at) + 1)?.p95;
            let level = if highest_v > ceiling_v { Level::Stop } else { Level::Pass };
            let claim = Phrase::words("a full pack gives up to ")
                .number(highest_v, "V")
                .then(format!(" at {}; it bears ", load.id))
                .number(ceiling_v, "V");
            let draft = Draft::fact(level, claim).about(load.id.clone()).at(state.load_place(load.at));
            Some(draft.way("feed it from a rail inside its range").caution("meter the pad before you mate the plug"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::check;

    #[test]
    fn checked_a_full_pack_on_a_five_volt_device_is_a_stop() {
        check(&[("volts = \"7..26 V\"\nlock_out = \"6.8 V\"", "volts = \"3.5..5.5 V\"")], "supply-over-voltage.video.main", Level::Stop);
    }

    #[test]
    fn checked_high_voltage_cells_reach_further() {
        check(&[("volts = \"7..26 V\"", "volts = \"7..17 V\""), ("chemistry = \"lipo\"", "chemistry = \"lipo-high-voltage\"")], "supply-over-voltage.video.main", Level::Stop);
    }
}
