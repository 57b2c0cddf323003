//! The chain of numbers behind a finding, for a doubter with a pocket calculator.

use crate::layout::wrapped;
use crate::number;
use crate::verdict::{finding_text, place_text};
use craft::Bench;
use quantity::{Basis, Doubt};
use workbench::assess::Assessment;
use workbench::chain::{From, Step, Used};
use workbench::input::Input;
use workbench::verdict::Finding;

/// Digits of a number in a chain: enough to redo it by hand.
const DIGITS: usize = 4;

/// The finding, its chain at the middle value of every input, and its doubt.
pub fn text(bench: &Bench, assessment: &Assessment, finding: &Finding, width: usize) -> String {
    let mut out = finding_text(bench, assessment, finding, width);
    let steps = assessment.steps(&finding.outcomes);
    if steps.is_empty() {
        out.push_str(
            "This finding is a plain fact of the files; there is no chain of numbers behind it.\n",
        );
    } else {
        out.push_str("The chain, with every input at its middle value:\n\n");
    }
    for (at, step) in steps.iter().enumerate() {
        out.push_str(&step_text(bench, assessment, &steps, at, step, width));
    }
    out.push_str(&shares(assessment, finding));
    if let Some(curve) = &finding.curve {
        out.push_str(&format!("\n{} → {}\n", curve.along, curve.shows));
        for (along, shows) in &curve.points {
            out.push_str(&format!(
                "  {:>6} → {}\n",
                number::plain(*along, 3),
                number::plain(*shows, 3)
            ));
        }
    }
    out
}

fn step_text(
    bench: &Bench,
    assessment: &Assessment,
    steps: &[Step],
    at: usize,
    step: &Step,
    width: usize,
) -> String {
    let head = format!(
        "{:>2}. {} = {}",
        at + 1,
        step.what,
        with_unit(step.result, step.unit)
    );
    let wrap = |text: &str, first: &str, next: &str| wrapped(text, width, first, next);
    let mut out = format!(
        "{}\n{}\n",
        wrap(&head, "", "    "),
        wrap(step.formula, "    = ", "      ")
    );
    for used in &step.uses {
        out.push_str(&format!(
            "{}\n",
            wrap(
                &used_text(bench, assessment, steps, used),
                "      ",
                "        "
            )
        ));
    }
    out.push('\n');
    out
}

fn used_text(bench: &Bench, assessment: &Assessment, steps: &[Step], used: &Used) -> String {
    let value = format!("{} {}", used.name, with_unit(used.value, used.unit));
    match &used.from {
        From::Given => value,
        From::Step(id) => match steps.iter().position(|step| step.id == *id) {
            Some(at) => format!("{value}   (step {})", at + 1),
            None => value,
        },
        From::Input(id) => {
            let input = assessment.basis.inputs.get(*id);
            let place = input
                .place
                .map(|place| format!(", {}", place_text(bench, place)));
            format!(
                "{value}   ({}; {}{})",
                doubt(input),
                input.source,
                place.unwrap_or_default()
            )
        }
    }
}

/// "± 4 mΩ" or "×/÷ 1.3", in the input's own unit.
pub fn doubt(input: &Input) -> String {
    match input.doubt {
        Doubt::Exact => "certain".to_owned(),
        Doubt::Plain(sd) => format!(
            "± {} {}",
            number::plain(sd / input.shown.scale, 2),
            input.shown.symbol
        )
        .trim_end()
        .to_owned(),
        Doubt::Factor(s) if s < 0.25 => format!("± {} %", number::plain(100.0 * s, 2)),
        Doubt::Factor(s) => format!("×/÷ {}", number::plain(s.exp(), 2)),
        Doubt::Shortfall(s) => format!("what is lost ×/÷ {}", number::plain(s.exp(), 2)),
    }
}

/// The word for what a figure rests on.
pub fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::Measured => "measured",
        Basis::Label => "label",
        Basis::Typical => "typical",
        Basis::Assumed => "assumed",
        Basis::Calibrated => "calibrated",
    }
}

fn shares(assessment: &Assessment, finding: &Finding) -> String {
    if finding.shares.is_empty() {
        return String::new();
    }
    let mut out = "Shares of doubt:\n".to_owned();
    for share in &finding.shares {
        let input = assessment.basis.inputs.get(share.input);
        out.push_str(&format!(
            "  {:>3} %  {} ({}, {})\n",
            number::whole(100.0 * share.share),
            input.name,
            basis(input.basis),
            doubt(input)
        ));
    }
    out.push_str(&format!(
        "  {:>3} %  the rest: together or in shapes no single input carries\n",
        number::whole(100.0 * finding.rest.max(0.0))
    ));
    out
}

fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", number::plain(value, DIGITS))
        .trim_end()
        .to_owned()
}
