//! `fitout new`: a commented starter bench.

use clap::Args;
use std::process::ExitCode;

/// What `new` is told.
#[derive(Debug, Args)]
pub struct NewArguments {
    /// The folder to make
    folder: std::path::PathBuf,
}

/// Writes the bench.
pub fn run(_: &NewArguments) -> ExitCode {
    ExitCode::SUCCESS
}
