//! `fitout air`.

use crate::check::{RunArguments, exit_code, with_assessment};
use clap::Args;
use std::path::PathBuf;
use std::process::ExitCode;
use workbench::verdict::rules::AIR;

/// What `air` is told.
#[derive(Debug, Args)]
pub struct AirArguments {
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
}

/// Tells how far each radio link reaches, line by line.
pub fn run(arguments: &AirArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, diagnostics, assessment| {
        if run.json {
            let mut value = report::air::value(bench, assessment);
            value["diagnostics"] = report::diagnostics::json(bench, diagnostics);
            anstream::println!("{value:#}");
        } else {
            anstream::print!("{}", report::air::text(bench, assessment, run.width()));
        }
        exit_code(assessment.worst_of(AIR))
    })
}
