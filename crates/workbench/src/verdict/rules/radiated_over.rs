//! More power radiated than the limit you wrote.
//!
//! **Asks:** does the transmitter with its antenna stay below the `radiated_limit` you copied from your rules?
//!
//! **Why:** limits are mostly on radiated power: the antenna's gain counts, and labels of transmitters are only claims.
//!
//! **Judged:** power at the connector less coax plus the gain in the antenna's best direction, over the doubt of both, against your own figure. It compares two numbers; what may be sent is for the spectrum authority to say. Without a limit nothing is judged.
//!
//! **Do:** a lower power setting, or an antenna with less gain.
//!
//! **Example:** `watch  radiated-over.video: video radiates 38 ± 14 mW; your limit is 25 mW`

use crate::phrase::Phrase;
use crate::predict::link_outcome;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, State};

/// Its stable name.
pub const ID: &str = "radiated-over";

/// What it finds.
pub fn judge(state: &State, _: &Basis) -> Vec<Draft> {
    let links = state.model.links.iter().enumerate();
    links.filter_map(|(at, link)| {
        let limit_mw = 1e3 * link.limit_w?;
        let radiated = link_outcome(&state.model, at) + 2;
        let band = state.summary_at(radiated)?;
        let margin: Vec<f64> = state.outcomes.column(radiated).into_iter().map(|mw| limit_mw - mw).collect();
        let claim = Phrase::words(format!("{} radiates ", link.name))
            .doubted(band.p50, band.sd, "mW")
            .then("; your limit is ")
            .number(limit_mw, "mW");
        let outcomes = [state.outcomes.infos[radiated].id.as_str()];
        let stations = state.airframe.harness.ground_stations.iter().filter(|it| it.name.value == link.name);
        let places = stations.filter_map(|it| Some(it.facet.radiated_limit.as_ref()?.place));
        let draft = Draft::margin(margin, claim).about(link.name.clone()).from_outcomes(outcomes).at(places);
        Some(draft.way("a lower power setting, or an antenna with less gain; what may be sent is for the spectrum authority to say"))
    }).collect()
}

#[cfg(test)]
mod tests {
    use crate::verdict::Level;
    use crate::verdict::rules::trial::{LINK, check};

    #[test]
    fn checked_the_gain_of_the_antenna_counts() {
        let limit = |text: &'static str| [LINK[0], LINK[1], LINK[2], ("distance = \"100 m\"", text)];
        check(&limit("radiated_limit = \"25 mW\""), "radiated-over.video", Level::Stop);
        check(&limit("radiated_limit = \"2 W\""), "radiated-over.video", Level::Pass);
    }
}
