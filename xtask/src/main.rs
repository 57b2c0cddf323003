//! The project's own chores: `cargo xtask check`, `cargo xtask pages`, `cargo xtask bench`.
//!
//! A tool, not a floor: it may look at every crate and no crate may look at it.

#![expect(
    clippy::disallowed_methods,
    reason = "chores read and write the checkout and time themselves; no part of the program does"
)]

mod bench;
mod check;
mod checkout;
mod demos;
#[cfg(test)]
mod floors;
mod not_validated;
mod pages;
mod rules;
mod run;

use std::process::ExitCode;

const USAGE: &str = "\
usage: cargo xtask check [--only STEP]...   every test; STEP is one of: fmt clippy test doc deny pages release
       cargo xtask pages [--check]          write the generated pages, or fail if they are not as written
       cargo xtask bench                    our speed beside the same problems in NumPy and SciPy";

/// What went wrong, as one thing to read.
type Outcome = Result<(), String>;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match chore(&words) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("{trouble}");
            ExitCode::FAILURE
        }
    }
}

fn chore(words: &[&str]) -> Outcome {
    match words {
        ["check", rest @ ..] => check::check(&check::chosen(rest)?),
        ["pages"] => pages::write(),
        ["pages", "--check"] => pages::check(),
        ["bench"] => bench::bench(),
        ["help" | "--help" | "-h"] => {
            println!("{USAGE}");
            Ok(())
        }
        _ => Err(USAGE.to_owned()),
    }
}
