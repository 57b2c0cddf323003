//! `fitout check` and `fitout explain`.

use crate::{STOPPED, UNREADABLE, fail};
use clap::Args;
use craft::bench::Job;
use craft::{Bench, Diagnostic, Severity};
use indicatif::{ProgressBar, ProgressStyle};
use report::verdict::Look;
use serde_json::json;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;
use store::text::{CRAFT_ENDING, REFIT_ENDING};
use workbench::assess::{Assessment, Options, USUAL_DRAWS, assess};
use workbench::verdict::Level;

/// Columns where the terminal does not say.
const USUAL_WIDTH: usize = 100;
/// Draws above which a check may take longer than a blink.
const SLOW_DRAWS: usize = 65_536;
/// Most draws that are accepted: memory grows with them.
const MOST_DRAWS: u64 = 1 << 20;

/// What `check` is told.
#[derive(Debug, Args)]
pub struct CheckArguments {
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
    /// Tell the passes one by one
    #[arg(long)]
    passes: bool,
}

/// What `explain` is told.
#[derive(Debug, Args)]
pub struct ExplainArguments {
    /// The finding's name as `check` prints it, or its beginning
    finding: String,
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
}

/// How to run and show.
#[derive(Debug, Args)]
pub struct RunArguments {
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Number of draws; 2048 if left out, and more where a level hangs on it
    #[arg(long, value_parser = clap::value_parser!(u64).range(64..=MOST_DRAWS))]
    draws: Option<u64>,
    /// Seed of the draws: the same seed gives the same numbers
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Columns to lay the text out for; the terminal's own if left out
    #[arg(long)]
    width: Option<u16>,
}

impl RunArguments {
    /// Columns to lay text out for.
    pub fn width(&self) -> usize {
        terminal_width(self.width)
    }

    fn options(&self) -> Options {
        Options {
            draws: self.draws.map_or(USUAL_DRAWS, |draws| draws as usize),
            seed: self.seed,
            settle: self.draws.is_none(),
        }
    }
}

/// The width asked for, or the terminal's own, or the usual one.
pub fn terminal_width(asked: Option<u16>) -> usize {
    let own = || terminal_size::terminal_size().map(|(width, _)| width.0);
    asked.or_else(own).map_or(USUAL_WIDTH, usize::from)
}

/// Judges what is at the path.
pub fn check(arguments: &CheckArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, diagnostics, assessment| {
        if run.json {
            let mut value = report::json::assessment(bench, assessment);
            value["diagnostics"] = report::diagnostics::json(bench, diagnostics);
            anstream::println!("{value:#}");
        } else {
            let look = Look {
                width: run.width(),
                passes: arguments.passes,
            };
            anstream::print!("{}", report::verdict::text(bench, assessment, look));
        }
        exit_code(assessment.level())
    })
}

/// Stops have an exit code of their own.
pub fn exit_code(level: Level) -> ExitCode {
    if level == Level::Stop {
        ExitCode::from(STOPPED)
    } else {
        ExitCode::SUCCESS
    }
}

/// Shows the chain behind one finding.
pub fn explain(arguments: &ExplainArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, _, assessment| {
        let exact = assessment
            .findings
            .iter()
            .find(|finding| finding.id == arguments.finding);
        let begins = || {
            assessment
                .findings
                .iter()
                .find(|finding| finding.id.starts_with(&arguments.finding))
        };
        let Some(finding) = exact.or_else(begins) else {
            let ids: Vec<_> = assessment
                .findings
                .iter()
                .map(|finding| finding.id.as_str())
                .collect();
            let near = store::nearest::nearest(&arguments.finding, ids.iter().copied());
            let hint = near.map_or_else(
                || format!("there are {}", store::nearest::listed(ids)),
                |near| format!("did you mean `{near}`?"),
            );
            return fail(&format!("no finding `{}` here; {hint}", arguments.finding));
        };
        if run.json {
            let steps = assessment.steps(&finding.outcomes);
            let value = json!({
                "finding": report::json::finding_value(bench, assessment, finding),
                "steps": report::json::steps(assessment, &steps),
            });
            anstream::println!("{value:#}");
        } else {
            anstream::print!(
                "{}",
                report::chain::text(bench, assessment, finding, run.width())
            );
        }
        ExitCode::SUCCESS
    })
}

/// Reads the bench, judges what the path asks for and shows it.
pub fn with_assessment(
    path: &Path,
    run: &RunArguments,
    show: impl FnOnce(&Bench, &[Diagnostic], &Assessment) -> ExitCode,
) -> ExitCode {
    if !path.exists() {
        return fail(&format!("there is no {}", path.display()));
    }
    let folder = store::disk::bench_folder(path);
    let read = store::disk::read_folder(&folder)
        .and_then(|files| Ok((files, store::disk::read_meshes(&folder)?)));
    let (files, meshes) = match read {
        Ok(read) => read,
        Err(error) => return fail(&error.to_string()),
    };
    let (bench, diagnostics) = store::text::read_with_meshes(files, meshes);
    if !run.json && !diagnostics.is_empty() {
        anstream::eprint!(
            "{}",
            report::diagnostics::text(&bench, &diagnostics, run.width())
        );
    }
    let job = match job(&bench, path) {
        Ok(job) => job,
        Err(message) if run.json => {
            let value = json!({ "error": message, "diagnostics": report::diagnostics::json(&bench, &diagnostics) });
            anstream::println!("{value:#}");
            return ExitCode::from(UNREADABLE);
        }
        Err(message) => return fail(&message),
    };
    let progress = progress(run);
    let assessment = assess(&job, run.options());
    progress.finish_and_clear();
    let shown = show(&bench, &diagnostics, &assessment);
    // What could be said has been said; a file that could not be read still is the answer.
    let unreadable = diagnostics
        .iter()
        .any(|diagnostic| diagnostic.severity == Severity::Error);
    if unreadable {
        ExitCode::from(UNREADABLE)
    } else {
        shown
    }
}

/// A spinner on the error stream of a terminal, for runs of more than a second.
fn progress(run: &RunArguments) -> ProgressBar {
    let draws = run.options().draws;
    if run.json || draws < SLOW_DRAWS {
        return ProgressBar::hidden();
    }
    let spinner = ProgressBar::new_spinner().with_message(format!("{draws} draws"));
    spinner.set_style(ProgressStyle::default_spinner());
    spinner.enable_steady_tick(Duration::from_millis(100));
    spinner
}

/// What the path asks to be judged.
fn job<'a>(bench: &'a Bench, path: &Path) -> Result<Job<'a>, String> {
    let name = path
        .file_name()
        .and_then(|name| name.to_str())
        .unwrap_or_default();
    if !path.is_dir() {
        return file_job(bench, name);
    }
    match (bench.refits.as_slice(), bench.craft.as_slice()) {
        ([refit], _) => refit_job(bench, &refit.name),
        ([], [craft]) => Ok(Job { craft, refit: None }),
        ([], []) => Err(format!(
            "no `*{CRAFT_ENDING}` in {}; `fitout new` writes a starter bench",
            path.display()
        )),
        ([], craft) => Err(format!(
            "several craft here; name one: {}",
            store::nearest::listed(craft.iter().map(|craft| craft.name.as_str()))
        )),
        (refits, _) => {
            let names: Vec<_> = refits
                .iter()
                .map(|refit| format!("{}{REFIT_ENDING}", refit.name))
                .collect();
            Err(format!(
                "several refits here; name one: {}",
                store::nearest::listed(names.iter().map(String::as_str))
            ))
        }
    }
}

fn file_job<'a>(bench: &'a Bench, name: &str) -> Result<Job<'a>, String> {
    if let Some(refit) = name.strip_suffix(REFIT_ENDING) {
        return refit_job(bench, refit);
    }
    match name
        .strip_suffix(CRAFT_ENDING)
        .and_then(|craft| bench.craft_named(craft))
    {
        Some(craft) => Ok(Job { craft, refit: None }),
        None => Err(format!(
            "`{name}` is neither a `*{REFIT_ENDING}` nor a `*{CRAFT_ENDING}` of this folder"
        )),
    }
}

fn refit_job<'a>(bench: &'a Bench, name: &str) -> Result<Job<'a>, String> {
    bench.refit_job(name).ok_or_else(|| {
        format!("the craft that `{name}{REFIT_ENDING}` changes is not in this folder")
    })
}
