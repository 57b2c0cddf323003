//! `fitout space`.

use crate::check::{RunArguments, exit_code, with_assessment};
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;
use workbench::verdict::rules::SPACE;

/// What `space` is told.
#[derive(Debug, Args)]
pub struct SpaceArguments {
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
}

/// Tells where things are, what is too near, and how the craft answers.
pub fn run(arguments: &SpaceArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, diagnostics, assessment| {
        if run.json {
            let mut value = report::space::value(bench, assessment);
            value["diagnostics"] = report::diagnostics::json(bench, diagnostics);
            anstream::println!("{value:#}");
        } else {
            anstream::print!("{}", report::space::text(bench, assessment, run.width()));
        }
        exit_code(assessment.worst_of(SPACE))
    })
}
