//! Radio links: as text and as JSON.

use crate::json::{finding_value, outcomes_value};
use crate::layout::{columns, heading, line};
use crate::number::plain;
use crate::verdict::{band, findings_of};
use craft::Bench;
use quantity::statistics::Summary;
use serde_json::{Value, json};
use workbench::air::{EXPOSURE_W_M2, LinkView, leaning_deg, views};
use workbench::assess::Assessment;
use workbench::verdict::rules::AIR;

/// The whole page.
pub fn text(bench: &Bench, assessment: &Assessment, width: usize) -> String {
    let state = &assessment.judged;
    let views = views(state, &assessment.basis);
    let after = match assessment.before.is_some() {
        true => " after the refit",
        false => "",
    };
    let many = match views.len() {
        1 => "1 link".to_owned(),
        many => format!("{many} links"),
    };
    let mut out = format!(
        "air of {}{after}: {many} described on both ends\n",
        state.airframe.name
    );
    out.push_str(&findings_of(bench, assessment, width, AIR));
    if views.is_empty() {
        let words = "To be told how far a link reaches, describe both ends: a `[radio]` on a sheet, an `[antenna]` on another, a `[ground_station]` in the same band and its \
                     `[ground_antenna]` in the craft's file. The book's page on air shows how.";
        out.push_str(&format!("\n{}", line(width, words)));
    }
    for view in &views {
        out.push_str(&link(view, width));
    }
    out.push_str(&closing(width));
    out
}

fn link(view: &LinkView<'_>, width: usize) -> String {
    let link = view.link;
    let way = match link.to_craft {
        true => "from the ground to the craft",
        false => "from the craft to the ground",
    };
    let mhz = plain(1e-6 * link.frequency_hz, 4);
    let mut out = heading(&format!("Link {}, {way}, {mhz} MHz", link.name));
    let rows = view
        .lines
        .iter()
        .filter(|(_, band, _)| band.p50 != 0.0 || band.sd != 0.0);
    let rows = rows
        .map(|(what, summary, unit)| vec![what.clone(), format!("{} {unit}", band(summary, 1.0))]);
    out.push_str(&columns(&["", "5 to 95 %"], rows.collect(), width));
    let reach = format!(
        "reaches {} m in the open, level, at the worst heading; there it fails {} % of the time",
        band(&view.range_m, 1.0),
        plain(100.0 * link.outage, 2)
    );
    out.push_str(&line(width, &reach));
    if let Some([low, high]) = &view.near_ground_m {
        let words = format!(
            "near flat ground, at the heights you wrote: {} m in the worst of places, {} m in the best; between both it comes and goes",
            band(low, 1.0),
            band(high, 1.0)
        );
        out.push_str(&line(width, &words));
    }
    let radiated = format!(
        "radiates {} mW in its best direction; {} W/m², the limit for anybody, is met at {} mm",
        band(&view.radiated_mw, 1.0),
        EXPOSURE_W_M2,
        band(&view.exposure_m, 1e3)
    );
    out.push_str(&line(width, &radiated));
    let lean = leaning_deg(link);
    out.push_str(&line(
        width,
        &format!(
            "the craft's antenna leans by {}° from upright; against level flight towards you:",
            plain(lean, 2)
        ),
    ));
    let rows = view.attitudes.iter().map(|(name, gain)| {
        vec![
            format!("  {name}"),
            format!("{} dB", plain((10.0 * gain).round() / 10.0, 3)),
        ]
    });
    out.push_str(&columns(&["", "gain"], rows.collect(), width));
    out
}

fn closing(width: usize) -> String {
    let open = "In the open: free space and echoes 6 dB below the direct wave; near the ground with medium dry soil; no walls, trees or people. The parts of the sum are held against outside figures; a whole link is not validated. \
                Walk it before you trust it.";
    let who = "Antenna on before power; keep powered antennas 0.2 m from people. The program compares numbers: what may be sent, at what power and by whom is for the spectrum authority of your country to say.";
    format!("\n{}{}", line(width, open), line(width, who))
}

/// The same at full precision.
pub fn value(bench: &Bench, assessment: &Assessment) -> Value {
    let state = &assessment.judged;
    let band = |it: &Summary| json!({ "p05": it.p05, "p50": it.p50, "p95": it.p95, "mean": it.mean, "sd": it.sd });
    let views = views(state, &assessment.basis);
    let view = |view: &LinkView<'_>| {
        json!({
            "name": view.link.name,
            "to_craft": view.link.to_craft,
            "frequency_mhz": 1e-6 * view.link.frequency_hz,
            "outage": view.link.outage,
            "at_m": view.at_m,
            "lines": view.lines.iter().map(|(what, it, unit)| json!({ "what": what, "unit": unit, "band": band(it) })).collect::<Vec<_>>(),
            "range_m": band(&view.range_m),
            "near_ground_m": view.near_ground_m.as_ref().map(|[low, high]| json!({ "worst": band(low), "best": band(high) })),
            "radiated_mw": band(&view.radiated_mw),
            "exposure_distance_m": band(&view.exposure_m),
            "attitudes_db": view.attitudes.iter().map(|(name, gain)| json!({ "attitude": name, "gain_db": gain })).collect::<Vec<_>>(),
        })
    };
    let findings = assessment
        .findings
        .iter()
        .filter(|finding| AIR.contains(&finding.rule));
    json!({
        "craft": state.airframe.name,
        "links": views.iter().map(view).collect::<Vec<_>>(),
        "outcomes": outcomes_value(assessment),
        "findings": findings.map(|finding| finding_value(bench, assessment, finding)).collect::<Vec<_>>(),
    })
}
