//! `fitout new`: a commented starter bench, from flags or from a few questions.

use crate::fail;
use clap::Args;
use craft::AirframeClass;
use quantity::{Charge, Dimension, DimensionInfo, Mass, text};
use std::io::{BufRead, IsTerminal, Write};
use std::num::NonZeroU32;
use std::path::PathBuf;
use std::process::ExitCode;
use store::starter::{Known, bench};

/// More cells than any craft of these classes flies on.
const MOST_CELLS: u32 = 12;

/// What `new` is told.
#[derive(Debug, Args)]
pub struct NewArguments {
    /// The folder to make
    folder: PathBuf,
    /// Class of the craft, such as `ducted-75`; asked for in a terminal
    #[arg(long)]
    class: Option<String>,
    /// Name of the craft; the folder's name if left out
    #[arg(long)]
    name: Option<String>,
    /// Cells in series, printed on the battery
    #[arg(long)]
    cells: Option<String>,
    /// Capacity printed on the battery, such as "450 mAh"
    #[arg(long)]
    capacity: Option<String>,
    /// All-up mass on the scale, such as "33.4 g"
    #[arg(long)]
    weighed: Option<String>,
    /// It flies digital video today
    #[arg(long)]
    digital: bool,
}

/// Asks what is missing if somebody is there to answer, then writes the bench.
pub fn run(arguments: &NewArguments) -> ExitCode {
    match answers(arguments).and_then(|answers| write(arguments, &answers)) {
        Ok(told) => {
            anstream::print!("{told}");
            ExitCode::SUCCESS
        }
        Err(message) => fail(&message),
    }
}

/// Everything that is needed, from flags or from the terminal.
struct Answers {
    class: AirframeClass,
    name: String,
    known: Known,
}

/// Flags are read all together, so that every fault is told at once; then comes what is asked.
fn answers(arguments: &NewArguments) -> Result<Answers, String> {
    let ask = std::io::stdin().is_terminal() && arguments.class.is_none();
    let mut faults = Vec::new();
    let class = told("--class", arguments.class.as_deref(), class, &mut faults);
    let name = told("--name", arguments.name.as_deref(), name, &mut faults);
    let cells = told("--cells", arguments.cells.as_deref(), cells, &mut faults);
    let capacity = told(
        "--capacity",
        arguments.capacity.as_deref(),
        quantity::<Charge>,
        &mut faults,
    );
    let weighed = told(
        "--weighed",
        arguments.weighed.as_deref(),
        quantity::<Mass>,
        &mut faults,
    );
    if class.is_none() && arguments.class.is_none() && !ask {
        faults.push(format!("say what sort of craft it is: --class {}", words()));
    }
    if !faults.is_empty() {
        return Err(faults.join("\n"));
    }
    let folder = folder_name(arguments)?;
    let known = Known {
        cells,
        capacity,
        weighed,
        digital: arguments.digital,
    };
    match class {
        Some(class) if !ask => Ok(Answers {
            class,
            name: name.unwrap_or(folder),
            known,
        }),
        _ => asked(name, &folder, known),
    }
}

/// What a flag says, if it is there and can be read.
fn told<T>(
    flag: &str,
    text: Option<&str>,
    read: impl Fn(&str) -> Result<T, String>,
    faults: &mut Vec<String>,
) -> Option<T> {
    read(text?)
        .map_err(|message| faults.push(format!("{flag}: {message}")))
        .ok()
}

/// Asks for the class and for whatever no flag said.
fn asked(named: Option<String>, folder: &str, told: Known) -> Result<Answers, String> {
    let sort = format!("What sort of craft is it? {}", words());
    Ok(Answers {
        class: answer(&sort, "ducted-75", class)?,
        name: match named {
            Some(name) => name,
            None => answer("What do you call it?", folder, name)?,
        },
        known: Known {
            cells: or_ask(
                told.cells,
                "How many cells does the battery have? (printed on it; Enter for the usual)",
                cells,
            )?,
            capacity: or_ask(
                told.capacity,
                "Its capacity? (450 mAh; Enter for the usual)",
                quantity,
            )?,
            weighed: or_ask(
                told.weighed,
                "All-up mass on the scale? (33.4 g; Enter if not weighed)",
                quantity,
            )?,
            digital: told.digital
                || answer("Does it fly digital video today? yes or no", "no", yes)?,
        },
    })
}

fn or_ask<T>(
    told: Option<T>,
    question: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<Option<T>, String> {
    match told {
        Some(told) => Ok(Some(told)),
        None => answer(question, "", |text| match text {
            "" => Ok(None),
            text => read(text).map(Some),
        }),
    }
}

/// The name of the folder that is made, which may be written `.` or `..`.
fn folder_name(arguments: &NewArguments) -> Result<String, String> {
    let last = arguments.folder.file_name();
    let named = last.and_then(|last| last.to_str()).map(name);
    named
        .unwrap_or_else(|| Ok("craft".to_owned()))
        .or_else(|_| {
            if arguments.name.is_some() {
                Ok("craft".to_owned())
            } else {
                Err("the folder's name cannot be the craft's: say --name".to_owned())
            }
        })
}

fn class(word: &str) -> Result<AirframeClass, String> {
    AirframeClass::from_word(word).ok_or_else(|| {
        let all = AirframeClass::ALL.iter().map(|class| class.word());
        let hint = match store::nearest::nearest(word, all) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("it can be {}", words()),
        };
        format!("no class `{word}`; {hint}")
    })
}

/// A name that a file can have on every system, and that stands in quotes in the refit file.
fn name(text: &str) -> Result<String, String> {
    let awkward = |sign: char| sign.is_control() || "/\\\":*?<>|".contains(sign);
    if text.is_empty() || text.starts_with('.') || text.contains(awkward) {
        return Err(format!(
            "`{}` cannot be the name of a file",
            text.escape_debug()
        ));
    }
    Ok(text.to_owned())
}

fn cells(text: &str) -> Result<NonZeroU32, String> {
    match text.parse::<NonZeroU32>() {
        Ok(cells) if cells.get() <= MOST_CELLS => Ok(cells),
        _ => Err(format!(
            "`{text}` is no number of cells: they run from 1 to {MOST_CELLS}"
        )),
    }
}

fn words() -> String {
    AirframeClass::ALL
        .iter()
        .map(|class| class.word())
        .collect::<Vec<_>>()
        .join(", ")
}

fn yes(text: &str) -> Result<bool, String> {
    match text.to_lowercase().as_str() {
        "n" | "no" => Ok(false),
        "y" | "yes" => Ok(true),
        _ => Err(format!("`{text}` is neither yes nor no")),
    }
}

fn quantity<D: Dimension>(written: &str) -> Result<D, String> {
    let (value, doubt) = text::read(written, DimensionInfo::of::<D>())
        .map_err(|fault| fault.message)?
        .value_and_doubt();
    if doubt.is_some() {
        return Err(format!(
            "`{written}`: one value here; a spread is written in the file that is made"
        ));
    }
    if value > 0.0 {
        Ok(D::from_si(value))
    } else {
        Err(format!("`{written}` must be above zero"))
    }
}

/// One question, one line; Enter takes the usual answer, and what cannot be read is asked for again.
fn answer<T>(
    question: &str,
    usual: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<T, String> {
    loop {
        let line = line(question, usual).map_err(|cause| cause.to_string())?;
        let Some(line) = line else {
            return Err("no more answers; nothing was written".to_owned());
        };
        let text = line.trim();
        match read(if text.is_empty() { usual } else { text }) {
            Ok(read) => return Ok(read),
            Err(message) => anstream::println!("{message}"),
        }
    }
}

/// The line that is typed below a question; none at the end of the input.
fn line(question: &str, usual: &str) -> std::io::Result<Option<String>> {
    anstream::print!("{question} ");
    if !usual.is_empty() {
        anstream::print!("[{usual}] ");
    }
    std::io::stdout().flush()?;
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line)?;
    Ok((read > 0).then_some(line))
}

fn write(arguments: &NewArguments, answers: &Answers) -> Result<String, String> {
    let files = bench(answers.class, &answers.name, &answers.known);
    let in_the_way: Vec<_> = files
        .iter()
        .map(|(path, _)| arguments.folder.join(path))
        .filter(|path| path.exists())
        .collect();
    if let Some(first) = in_the_way.first() {
        return Err(format!(
            "{} is there already; nothing was written",
            first.display()
        ));
    }
    for (path, text) in &files {
        store::disk::write_new(&arguments.folder.join(path), text)
            .map_err(|error| error.to_string())?;
    }
    let folder = arguments.folder.display();
    let list: String = files
        .iter()
        .map(|(path, _)| format!("  {folder}/{path}\n"))
        .collect();
    let usual = taken_as_usual(&answers.known);
    Ok(format!(
        "{list}{usual}\nOverwrite what you know: what is printed on the parts and what the scale says. Then\n\n  fitout check {folder}\n"
    ))
}

/// What nobody said, and so is what such craft usually have.
fn taken_as_usual(known: &Known) -> String {
    let unsaid: Vec<&str> = [
        ("cells", known.cells.is_none()),
        ("capacity", known.capacity.is_none()),
        ("all-up mass", known.weighed.is_none()),
    ]
    .into_iter()
    .filter_map(|(what, unsaid)| unsaid.then_some(what))
    .collect();
    match unsaid.as_slice() {
        [] => String::new(),
        unsaid => format!(
            "\nNot said, so taken as usual for the class: {}\n",
            unsaid.join(", ")
        ),
    }
}
