//! `fitout wire`.

use crate::check::{RunArguments, exit_code, with_assessment};
use crate::fail;
use clap::Args;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use workbench::assess::Assessment;
use workbench::verdict::rules::WIRING;

/// Pixels across a PNG where nobody says: sharp on a phone, printable on A4.
pub const USUAL_PIXELS: u32 = 2_400;

/// What `wire` is told.
#[derive(Debug, Args)]
pub struct WireArguments {
    /// A bench folder, a `.refit.toml` or a `.craft.toml`
    path: PathBuf,
    #[command(flatten)]
    run: RunArguments,
    /// Draw the wiring into this file: `.svg` or `.png`; an older one is replaced
    #[arg(long, value_name = "FILE")]
    drawing: Option<PathBuf>,
    /// Pixels across a PNG
    #[arg(long, default_value_t = USUAL_PIXELS, value_parser = clap::value_parser!(u32).range(200..=10_000))]
    pixels: u32,
}

/// Plans the wiring of what is at the path.
pub fn run(arguments: &WireArguments) -> ExitCode {
    let run = &arguments.run;
    with_assessment(&arguments.path, run, |bench, diagnostics, assessment| {
        if let Some(file) = &arguments.drawing
            && let Err(message) = draw(&drawing(assessment), file, arguments.pixels)
        {
            return fail(&message);
        }
        if run.json {
            let mut value = report::wiring::value(bench, assessment);
            value["diagnostics"] = report::diagnostics::json(bench, diagnostics);
            anstream::println!("{value:#}");
        } else {
            anstream::print!("{}", report::wiring::text(bench, assessment, run.width()));
            if let Some(file) = &arguments.drawing {
                anstream::println!("\ndrawn: {}", file.display());
            }
        }
        exit_code(assessment.worst_of(WIRING))
    })
}

fn drawing(assessment: &Assessment) -> String {
    report::wiring::svg(&report::wiring::drawing(assessment))
}

/// Writes a drawing as the file's ending says.
pub fn draw(svg: &str, file: &Path, pixels: u32) -> Result<(), String> {
    let bytes = match file.extension().and_then(|ending| ending.to_str()) {
        Some("svg") => svg.as_bytes().to_vec(),
        Some("png") => report::drawing::png(svg, pixels)?,
        _ => {
            return Err(format!("{} must end in `.svg` or `.png`", file.display()));
        }
    };
    store::disk::replace(file, &bytes).map_err(|error| error.to_string())
}
