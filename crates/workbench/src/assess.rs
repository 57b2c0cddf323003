//! The one call of the core: a bench and a job in, predictions and findings out.

use crate::assemble::{SMALLEST_MEASURED_M, Setting, assemble, usual_style};
use crate::chain::{Deaf, Kept, Step};
use crate::handling::Handling;
use crate::input::{Draw, InputId, Inputs, Term};
use crate::model::{Class, Model};
use crate::outcome::Outcomes;
use crate::predict::{Scratch, outcome_infos, predict};
use crate::spaced::Spaced;
use crate::verdict::state::Basis;
use crate::verdict::{Draft, Finding, Ground, Level, PASS, STOP, Share, State, rules};
use crate::wires::{WireChange, change};
use craft::bench::Job;
use quantity::ensemble::Ensemble;
use quantity::shares::{Method, Shares};
use quantity::statistics::Chance;
use rayon::prelude::*;
use space::shape::Meshes;
use std::collections::HashMap;
use std::sync::OnceLock;
use wiring::Plan;

/// Draws where nobody says.
pub const USUAL_DRAWS: usize = 2_048;
/// Draws when a level hangs on the draw count.
pub const MORE_DRAWS: usize = 8_192;
/// Shares below this are noise.
const SHOWN_SHARE: f64 = 0.01;
/// Draws that one task takes at a time.
const CHUNK: usize = 64;

/// How to run the ensemble.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Number of draws.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// Whether to take more draws when a level hangs on them.
    pub settle: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            draws: USUAL_DRAWS,
            seed: 1,
            settle: true,
        }
    }
}

/// What the program has to say about a job.
#[derive(Debug)]
pub struct Assessment {
    /// Inputs and draws.
    pub basis: Basis,
    /// The craft as it is, when there is a refit.
    pub before: Option<State>,
    /// The craft that is judged: after the refit, or as it is.
    pub judged: State,
    /// Findings, worst first.
    pub findings: Vec<Finding>,
    /// Draws used.
    pub draws: usize,
    /// Seed used.
    pub seed: u64,
}

impl Assessment {
    /// The worst level among the findings.
    pub fn level(&self) -> Level {
        self.findings
            .iter()
            .map(|finding| finding.level)
            .min()
            .unwrap_or(Level::Pass)
    }

    /// The worst level among the findings of these rules.
    pub fn worst_of(&self, rules: &[&str]) -> Level {
        let told = self
            .findings
            .iter()
            .filter(|finding| rules.contains(&finding.rule));
        told.map(|finding| finding.level)
            .min()
            .unwrap_or(Level::Pass)
    }

    /// Models behind these numbers that nobody else's numbers stand behind, in plain words.
    pub fn not_validated(&self) -> Vec<&'static str> {
        let model = &self.judged.model;
        let mut list = Vec::new();
        if let Some(drive) = &model.drive {
            list.extend([
                "driver efficiency",
                "thrust left on the frame",
                "warming of the windings",
                "power of active flying",
            ]);
            if drive.duct_factor != Term::Known(1.0) {
                list.push("what guards and ducts do to thrust");
            }
            if matches!(drive.winding, Class::Typical(_)) {
                list.push("winding resistance by class");
            }
            if drive.diameter_m < SMALLEST_MEASURED_M {
                list.push("propellers below 57 mm, most of all at full command");
            }
        }
        if model.battery.is_some() {
            list.push("rise of cell resistance near empty");
        }
        if !model.electrics.rails.is_empty() {
            list.push("regulators");
        }
        if model.space.is_some() {
            list.push("lag of motors and gain of the rate loop on a whole craft");
        }
        list
    }

    /// The steps behind some outcomes, at the middle value of every input.
    pub fn steps(&self, outcomes: &[String]) -> Vec<Step> {
        let middle = self.basis.inputs.middle();
        let mut chain = Kept::default();
        let mut row = vec![f64::NAN; self.judged.outcomes.infos.len()];
        predict(
            &self.judged.model,
            Draw(&middle),
            &mut row,
            &mut Scratch::default(),
            &mut chain,
        );
        chain.leading_to(outcomes).into_iter().cloned().collect()
    }
}

/// Predicts and judges a job.
pub fn assess(job: &Job<'_>, options: Options) -> Assessment {
    let first = assess_once(job, options.draws, options.seed, &[]);
    let undecided = first.findings.iter().any(|finding| finding.on_the_line);
    if options.settle && undecided && options.draws < MORE_DRAWS {
        return assess_once(job, MORE_DRAWS, options.seed, &first.findings);
    }
    first
}

/// One run. Shares of doubt that are `known` from a run with fewer draws are as good as new ones and are kept.
fn assess_once(job: &Job<'_>, draws: usize, seed: u64, known: &[Finding]) -> Assessment {
    let mut inputs = Inputs::default();
    let needs = job.needs();
    let conditions = job.conditions();
    let style = needs
        .as_ref()
        .and_then(|needs| needs.style.as_ref())
        .map(|style| style.value);
    let style = style
        .unwrap_or_else(|| usual_style(job.craft.header.class.as_ref().map(|class| class.value)));
    let old = job.before();
    let new = job.after();
    let old_plan = Plan::of(&old, None);
    let new_plan = new.as_ref().map(|new| Plan::of(new, Some(&old_plan)));
    let setting = |before, after: Option<&Plan>| Setting {
        conditions: conditions.as_ref(),
        style,
        before,
        wires: after.map_or_else(WireChange::default, |after| change(&old_plan, after)),
    };
    let mut meshes = Meshes::default();
    let old_space = Spaced::of(&old, &mut meshes);
    let new_space = new.as_ref().map(|new| Spaced::of(new, &mut meshes));
    let old_model = assemble(&old, &old_space.layout, setting(None, None), &mut inputs);
    let new_model = new.as_ref().zip(new_space.as_ref()).map(|(new, space)| {
        let setting = setting(Some(&old), new_plan.as_ref());
        assemble(new, &space.layout, setting, &mut inputs)
    });
    let ensemble = Ensemble::sobol(seed, draws, inputs.list.len());
    let basis = Basis {
        draws: inputs.draw(&ensemble),
        inputs,
    };
    let state = |airframe, model: Model, plan, space, before: Option<&State>| {
        let outcomes = outcomes(&model, &basis, draws);
        let before = before.map(|before| (&before.model, &before.outcomes));
        State {
            plan,
            space,
            handling: Handling::of(&model, &outcomes, &basis, before),
            outcomes,
            airframe,
            model,
            needs: needs.clone(),
            conditions: conditions.clone(),
            style,
        }
    };
    let old = state(old, old_model, old_plan, old_space, None);
    let new = (|| Some(state(new?, new_model?, new_plan?, new_space?, Some(&old))))();
    let (before, judged) = match new {
        Some(new) => (Some(old), new),
        None => (None, old),
    };
    let findings = findings(&basis, &ensemble, before.as_ref(), &judged, known);
    Assessment {
        basis,
        before,
        judged,
        findings,
        draws,
        seed,
    }
}

/// All draws of one model, on all cores; each draw is computed alone, so the count of cores changes nothing.
pub fn outcomes(model: &Model, basis: &Basis, draws: usize) -> Outcomes {
    let infos = outcome_infos(model);
    let width = infos.len();
    let mut values = vec![f64::NAN; width * draws];
    values
        .par_chunks_mut(width * CHUNK)
        .enumerate()
        .for_each_init(Scratch::default, |scratch, (chunk, rows)| {
            for (at, row) in rows.chunks_exact_mut(width).enumerate() {
                predict(
                    model,
                    basis.draws.row(chunk * CHUNK + at),
                    row,
                    scratch,
                    &mut Deaf,
                );
            }
        });
    Outcomes::new(infos, values)
}

fn findings(
    basis: &Basis,
    ensemble: &Ensemble,
    before: Option<&State>,
    judged: &State,
    known: &[Finding],
) -> Vec<Finding> {
    // The rules look at both states at once, each on its own core.
    let (old, new) = rayon::join(
        || before.map_or_else(Vec::new, |state| drafts(basis, state)),
        || drafts(basis, judged),
    );
    let old_levels: HashMap<String, Level> = old
        .into_iter()
        .map(|(rule, draft)| (id(rule, &draft), level(&draft, ensemble).0))
        .collect();
    let doubts = Doubts {
        known,
        ensemble,
        inputs: (0..basis.inputs.list.len()).collect(),
        shares: OnceLock::new(),
    };
    let mut findings: Vec<Finding> = new
        .into_par_iter()
        .map(|(rule, draft)| finding(rule, draft, &doubts, &old_levels))
        .collect();
    // Worst first; within a level the surest first, then in the order of the rules.
    findings.sort_by(|one, other| {
        let chance = |finding: &Finding| finding.chance.map_or(0.0, |chance| chance.probability());
        one.level
            .cmp(&other.level)
            .then(chance(one).total_cmp(&chance(other)))
    });
    findings
}

fn drafts(basis: &Basis, state: &State) -> Vec<(&'static str, Draft)> {
    rules::ALL
        .iter()
        .flat_map(|rule| {
            (rule.judge)(state, basis)
                .into_iter()
                .map(|draft| (rule.id, draft))
        })
        .collect()
}

fn id(rule: &str, draft: &Draft) -> String {
    if draft.subject.is_empty() {
        rule.to_owned()
    } else {
        format!("{rule}.{}", draft.subject)
    }
}

fn level(draft: &Draft, ensemble: &Ensemble) -> (Level, Option<Chance>, bool) {
    match &draft.ground {
        Ground::Fact(level) => ((*level).max(draft.never_worse_than), None, false),
        Ground::Missing => (Level::Open, None, false),
        Ground::Margin(margin) => {
            let chance = Chance::of_margins(margin);
            let sampling = ensemble.sampling();
            let near = |threshold| chance.is_on_the_line(threshold, sampling);
            let turns = near(PASS) || (near(STOP) && draft.never_worse_than == Level::Stop);
            (
                Level::of(chance.probability()).max(draft.never_worse_than),
                Some(chance),
                turns,
            )
        }
    }
}

/// Where shares of doubt come from: a run before, or this one, prepared when first asked.
struct Doubts<'a> {
    known: &'a [Finding],
    ensemble: &'a Ensemble,
    inputs: Vec<usize>,
    shares: OnceLock<Shares>,
}

/// Shares of one finding: those worth showing, the rest, and how they were found.
type DoubtOf = (Vec<Share>, f64, Option<Method>);

impl Doubts<'_> {
    fn of(&self, id: &str, ground: &Ground) -> DoubtOf {
        let Ground::Margin(margin) = ground else {
            return (Vec::new(), 0.0, None);
        };
        if let Some(known) = self.known.iter().find(|finding| finding.id == id) {
            return (known.shares.clone(), known.rest, known.method);
        }
        let shares = self
            .shares
            .get_or_init(|| Shares::prepare(self.ensemble, &self.inputs));
        let report = shares.of(margin);
        (
            listed(&report.first_order),
            report.rest,
            Some(report.method),
        )
    }
}

/// Shares worth showing, largest first.
fn listed(first_order: &[f64]) -> Vec<Share> {
    let mut listed: Vec<Share> = first_order
        .iter()
        .enumerate()
        .filter(|(_, share)| **share >= SHOWN_SHARE)
        .map(|(input, &share)| Share {
            input: InputId(input as u32),
            share,
        })
        .collect();
    listed.sort_by(|one, other| other.share.total_cmp(&one.share));
    listed
}

fn finding(
    rule: &'static str,
    draft: Draft,
    doubts: &Doubts<'_>,
    old_levels: &HashMap<String, Level>,
) -> Finding {
    let (level, chance, on_the_line) = level(&draft, doubts.ensemble);
    let id = id(rule, &draft);
    let (shares, rest, method) = doubts.of(&id, &draft.ground);
    Finding {
        rule,
        before: old_levels.get(&id).copied(),
        id,
        level,
        chance,
        on_the_line,
        claim: draft.claim,
        outcomes: draft.outcomes,
        shares,
        rest,
        method,
        places: draft.places,
        ways: draft.ways,
        caution: draft.caution,
        curve: draft.curve,
    }
}
