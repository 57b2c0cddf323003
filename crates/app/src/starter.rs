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
    cells: Option<NonZeroU32>,
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

fn answers(arguments: &NewArguments) -> Result<Answers, String> {
    let folder_name = arguments
        .folder
        .file_name()
        .and_then(|name| name.to_str())
        .unwrap_or("craft")
        .to_owned();
    let ask = std::io::stdin().is_terminal() && arguments.class.is_none();
    let asked = |question: &str, usual: &str| {
        if ask {
            answer(question, usual)
        } else {
            Ok(String::new())
        }
    };
    let class_word = match &arguments.class {
        Some(word) => word.clone(),
        None if ask => asked(
            &format!("What sort of craft is it? {}", words()),
            "ducted-75",
        )?,
        None => return Err(format!("say what sort of craft it is: --class {}", words())),
    };
    let class = AirframeClass::from_word(&class_word).ok_or_else(|| {
        let near = store::nearest::nearest(
            &class_word,
            AirframeClass::ALL.iter().map(|class| class.word()),
        );
        let hint = near.map_or_else(words, |near| format!("did you mean `{near}`?"));
        format!("no class `{class_word}`; {hint}")
    })?;
    let name = match &arguments.name {
        Some(name) => name.clone(),
        None => filled(asked("What do you call it?", &folder_name)?, &folder_name),
    };
    let cells = match arguments.cells {
        Some(cells) => Some(cells),
        None => optional(
            &asked(
                "How many cells does the battery have? (printed on it; Enter for the usual)",
                "",
            )?,
            |text| {
                text.parse()
                    .map_err(|_| format!("`{text}` is not a number of cells"))
            },
        )?,
    };
    let capacity = arguments.capacity.clone().map_or_else(
        || asked("Its capacity? (450 mAh; Enter for the usual)", ""),
        Ok,
    )?;
    let weighed = arguments.weighed.clone().map_or_else(
        || {
            asked(
                "All-up mass on the scale? (33.4 g; Enter if not weighed)",
                "",
            )
        },
        Ok,
    )?;
    let digital =
        arguments.digital || yes(&asked("Does it fly digital video today? yes or no", "no")?)?;
    let known = Known {
        cells,
        capacity: optional(&capacity, quantity::<Charge>)?,
        weighed: optional(&weighed, quantity::<Mass>)?,
        digital,
    };
    if cells.is_some_and(|cells| cells.get() > MOST_CELLS) {
        return Err(format!("the number of cells runs from 1 to {MOST_CELLS}"));
    }
    if name.is_empty() || name.contains(['/', '\\', '"', '\n']) {
        return Err(format!("`{name}` cannot be the name of a file"));
    }
    Ok(Answers { class, name, known })
}

fn words() -> String {
    AirframeClass::ALL
        .iter()
        .map(|class| class.word())
        .collect::<Vec<_>>()
        .join(", ")
}

fn filled(text: String, usual: &str) -> String {
    if text.is_empty() {
        usual.to_owned()
    } else {
        text
    }
}

fn optional<T>(text: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<Option<T>, String> {
    if text.is_empty() {
        Ok(None)
    } else {
        read(text).map(Some)
    }
}

fn yes(text: &str) -> Result<bool, String> {
    match text {
        "" | "n" | "no" => Ok(false),
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

/// One question, one line; Enter takes the usual answer.
fn answer(question: &str, usual: &str) -> Result<String, String> {
    let shown = if usual.is_empty() {
        String::new()
    } else {
        format!(" [{usual}]")
    };
    anstream::print!("{question}{shown} ");
    std::io::stdout()
        .flush()
        .map_err(|cause| cause.to_string())?;
    let mut line = String::new();
    std::io::stdin()
        .lock()
        .read_line(&mut line)
        .map_err(|cause| cause.to_string())?;
    Ok(filled(line.trim().to_owned(), usual))
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
    Ok(format!(
        "{list}\nOverwrite what you know: what is printed on the parts and what the scale says. Then\n\n  fitout check {folder}\n"
    ))
}
