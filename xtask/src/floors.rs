//! The drawing of the floors in ARCHITECTURE.md, held against what cargo says is imported.
//!
//! An arrow in the drawing is leave to import, so an unused arrow is no fault; an import without
//! an arrow is. Imports that only tests need are left alone: they ship nothing.

use cargo_metadata::{DependencyKind, Metadata};
use std::collections::BTreeMap;

/// Crates that stand beside the floors: they may import anything and nobody may import them.
const TOOLS: [&str; 2] = ["validation", "xtask"];

/// Who imports whom, by name. In the drawing: who may.
type Arrows = BTreeMap<String, Vec<String>>;

/// The fenced block under the heading `## Floors`, line by line: `craft -> quantity`, and
/// `quantity -> .` for a crate that imports none of ours.
fn drawing(page: &str) -> Result<Vec<(String, Vec<String>)>, String> {
    let (_, section) = page
        .split_once("\n## Floors\n")
        .ok_or("no heading `## Floors`")?;
    let section = section.split("\n## ").next().unwrap_or_default();
    let block = section
        .split("```")
        .nth(1)
        .ok_or("no fenced block under `## Floors`")?;
    // The first line of the block may name a language.
    let lines = block.lines().skip(1).filter(|line| !line.trim().is_empty());
    lines.map(arrow).collect()
}

fn arrow(line: &str) -> Result<(String, Vec<String>), String> {
    let (from, to) = line
        .split_once("->")
        .ok_or(format!("no arrow in `{line}`"))?;
    let to = to.split_whitespace().filter(|name| *name != ".");
    Ok((from.trim().to_owned(), to.map(str::to_owned).collect()))
}

/// Arrows of the drawing that do not point to a floor drawn on an earlier line.
fn pointing_up(drawing: &[(String, Vec<String>)]) -> Vec<String> {
    let mut faults = Vec::new();
    for (line, (from, to)) in drawing.iter().enumerate() {
        let below = |name: &String| drawing[..line].iter().any(|(floor, _)| floor == name);
        let up = to.iter().filter(|name| !below(name));
        faults.extend(up.map(|name| format!("`{from} -> {name}` does not point down")));
    }
    faults
}

/// What the workspace's crates import of each other, tests apart.
fn imports(metadata: &Metadata) -> Arrows {
    let ours: Vec<&str> = metadata
        .packages
        .iter()
        .map(|package| package.name.as_str())
        .collect();
    let imports_of = |package: &cargo_metadata::Package| {
        let shipped = |kind| kind != DependencyKind::Development;
        let needs = package
            .dependencies
            .iter()
            .filter(|need| shipped(need.kind));
        let needs = needs.map(|need| need.name.clone());
        needs.filter(|name| ours.contains(&name.as_str())).collect()
    };
    let packages = metadata.packages.iter();
    packages
        .map(|package| (package.name.to_string(), imports_of(package)))
        .collect()
}

/// Where the imports and the drawing differ.
fn differences(drawn: &Arrows, imports: &Arrows) -> Vec<String> {
    let mut faults = Vec::new();
    let is_tool = |name: &str| TOOLS.contains(&name);
    for (name, needs) in imports.iter().filter(|(name, _)| !is_tool(name)) {
        let Some(leave) = drawn.get(name) else {
            faults.push(format!("`{name}` is not in the drawing"));
            continue;
        };
        let without = needs
            .iter()
            .filter(|need| !leave.contains(need) || is_tool(need));
        faults.extend(without.map(|need| format!("`{name}` imports `{need}` without an arrow")));
    }
    let gone = drawn.keys().filter(|name| !imports.contains_key(*name));
    faults.extend(gone.map(|name| format!("`{name}` is drawn and is no crate")));
    faults
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checkout;

    #[test]
    fn checked_the_drawing_in_architecture_is_what_cargo_says() {
        let page = std::fs::read_to_string(checkout::root().join("ARCHITECTURE.md"));
        let page = page.expect("ARCHITECTURE.md draws the floors");
        let drawing = drawing(&page).expect("ARCHITECTURE.md has a readable drawing");
        let mut faults = pointing_up(&drawing);
        let drawn = drawing.into_iter().collect();
        faults.extend(differences(&drawn, &imports(&checkout::metadata())));
        assert!(faults.is_empty(), "{faults:#?}");
    }

    fn arrows(lines: &[&str]) -> Arrows {
        lines.iter().map(|line| arrow(line).unwrap()).collect()
    }

    #[test]
    fn checked_an_import_without_an_arrow_is_a_fault() {
        let drawn = arrows(&["quantity -> .", "craft -> quantity", "gone -> craft"]);
        let imports = arrows(&[
            "quantity -> craft",
            "craft -> quantity validation",
            "new -> .",
        ]);
        let faults = differences(&drawn, &imports);
        let expected = [
            "`craft` imports `validation` without an arrow",
            "`new` is not in the drawing",
            "`quantity` imports `craft` without an arrow",
            "`gone` is drawn and is no crate",
        ];
        assert_eq!(faults, expected);
    }

    #[test]
    fn checked_the_drawing_itself_points_down() {
        let page = "# A\n\n## Floors\n\nWords.\n\n```text\na -> b\nb -> .\n```\n\n## Next\n";
        let faults = pointing_up(&drawing(page).unwrap());
        assert_eq!(faults, ["`a -> b` does not point down"]);
    }

    #[test]
    fn checked_a_missing_drawing_is_a_fault() {
        assert!(drawing("# A\n\n## Floors\n\nWords only.\n").is_err());
        assert!(drawing("# A\n").is_err());
        assert!(drawing("# A\n\n## Floors\n\n## Next\n\n```\na -> .\n```\n").is_err());
    }
}
