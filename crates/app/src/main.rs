//! The command line: arguments in, exit code out. Everything said is made in `report`.

mod air;
mod check;
mod formula;
mod parts;
mod space;
mod starter;
mod wire;

use clap::{CommandFactory, Parser, Subcommand};
use std::process::ExitCode;

/// Will this refit work on this airframe? Volts, thrust, time and currents, with honest doubt.
#[derive(Debug, Parser)]
#[command(name = "fitout", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Judge a refit, or a craft as it is: a folder, a `.refit.toml` or a `.craft.toml`
    Check(check::CheckArguments),
    /// The chain of numbers behind one finding
    Explain(check::ExplainArguments),
    /// Radio links: how far they reach, line by line
    Air(air::AirArguments),
    /// Places: what is too near, balance, control, gains after a refit
    Space(space::SpaceArguments),
    /// The wiring plan: ports, net check, solder moves, wire list, meter card, drawing
    Wire(wire::WireArguments),
    /// Pocket formulas: the functions of the checks, one by one
    Calc(formula::CalcArguments),
    /// List the typical parts, or show one
    Parts(parts::PartsArguments),
    /// Write a commented starter bench
    New(starter::NewArguments),
    /// Shell completions, to be sourced by your shell
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Man pages, one for each command, written into a folder
    Man {
        /// The folder
        folder: std::path::PathBuf,
    },
}

/// Exit code of a bench with a stop.
pub const STOPPED: u8 = 1;
/// Exit code of what could not be read or done.
pub const UNREADABLE: u8 = 2;

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Check(arguments) => check::check(&arguments),
        Command::Explain(arguments) => check::explain(&arguments),
        Command::Air(arguments) => air::run(&arguments),
        Command::Space(arguments) => space::run(&arguments),
        Command::Wire(arguments) => wire::run(&arguments),
        Command::Calc(arguments) => formula::run(&arguments),
        Command::Parts(arguments) => parts::run(&arguments),
        Command::New(arguments) => starter::run(&arguments),
        Command::Completions { shell } => {
            clap_complete::generate(
                shell,
                &mut Arguments::command(),
                "fitout",
                &mut std::io::stdout(),
            );
            ExitCode::SUCCESS
        }
        Command::Man { folder } => man(&folder),
    }
}

fn man(folder: &std::path::Path) -> ExitCode {
    match clap_mangen::generate_to(Arguments::command(), folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(cause) => fail(&format!(
            "cannot write man pages to {}: {cause}",
            folder.display()
        )),
    }
}

/// Says what went wrong and gives the exit code for it.
pub fn fail(message: &str) -> ExitCode {
    anstream::eprintln!("fitout: {message}");
    ExitCode::from(UNREADABLE)
}
