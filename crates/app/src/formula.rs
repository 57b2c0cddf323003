//! `fitout calc`: pocket formulas.

use crate::check::terminal_width;
use crate::{UNREADABLE, fail};
use clap::Args;
use report::formula as shown;
use std::path::Path;
use std::process::ExitCode;
use workbench::formula::{self, Fault, Formula};

/// What `calc` is told.
#[derive(Debug, Args)]
pub struct CalcArguments {
    /// Which formula; without it all are listed
    name: Option<String>,
    /// Its values, `key=value` with units: `mass=250g diameter=76.2mm`; without them its keys are shown
    values: Vec<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Computes, or shows what could be computed.
pub fn run(arguments: &CalcArguments) -> ExitCode {
    let Some(name) = &arguments.name else {
        return list(arguments.json);
    };
    let Some(formula) = formula::formula(name) else {
        return match arguments.json {
            true => refuse_json(name, &[Fault(unknown(name))]),
            false => fail(&unknown(name)),
        };
    };
    if arguments.values.is_empty() {
        return help(formula, arguments.json);
    }
    match answer(formula, arguments) {
        Ok(text) => {
            anstream::print!("{text}");
            ExitCode::SUCCESS
        }
        Err(faults) if arguments.json => refuse_json(name, &faults),
        Err(faults) => {
            anstream::eprint!("{}", shown::faults(formula, &faults));
            ExitCode::from(UNREADABLE)
        }
    }
}

fn list(json: bool) -> ExitCode {
    if json {
        anstream::println!("{:#}", shown::list_json());
    } else {
        anstream::print!("{}", shown::list(terminal_width(None)));
    }
    ExitCode::SUCCESS
}

fn help(formula: &Formula, json: bool) -> ExitCode {
    if json {
        anstream::println!("{:#}", shown::help_json(formula));
    } else {
        anstream::print!("{}", shown::help(formula, terminal_width(None)));
    }
    ExitCode::SUCCESS
}

fn unknown(name: &str) -> String {
    let names = formula::formulas().map(|formula| formula.name);
    let hint = match store::nearest::nearest(name, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`fitout calc` lists them".to_owned(),
    };
    format!("no formula `{name}`; {hint}")
}

fn answer(formula: &Formula, arguments: &CalcArguments) -> Result<String, Vec<Fault>> {
    let file =
        |path: &str| store::disk::read_bytes(Path::new(path)).map_err(|error| error.to_string());
    let values = formula::read(formula, &arguments.values, &file)?;
    let computed = formula.compute(&values)?;
    Ok(if arguments.json {
        format!("{:#}\n", shown::json(formula, &values, &computed))
    } else {
        shown::text(formula, &values, &computed, terminal_width(None))
    })
}

fn refuse_json(name: &str, faults: &[Fault]) -> ExitCode {
    anstream::println!("{:#}", shown::faults_json(name, faults));
    ExitCode::from(UNREADABLE)
}
