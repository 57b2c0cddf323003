//! The book's page of rules, from the doc comment that opens each rule's file.

use crate::checkout;
use workbench::verdict::rules::ALL;

/// The page.
pub fn page() -> String {
    let mut page = "# Rules\n\nEvery finding of `fitout check` comes from one of these rules. This page is made from the \
                    comments that open their files in `crates/workbench/src/verdict/rules/`.\n\n\
                    A need or rule holds with a chance P over the draws: `pass` from 95 %, `stop` below 50 %, `watch` between; \
                    `open` where something is missing. Plain facts are certain.\n"
        .to_owned();
    for rule in ALL {
        page.push_str(&section(rule.id));
    }
    page
}

fn section(id: &str) -> String {
    let file = format!(
        "crates/workbench/src/verdict/rules/{}.rs",
        id.replace('-', "_")
    );
    let source = std::fs::read_to_string(checkout::root().join(&file)).unwrap_or_default();
    let comment: Vec<&str> = source
        .lines()
        .map_while(|line| line.strip_prefix("//!"))
        .map(str::trim)
        .collect();
    format!("\n## {id}\n\n{}\n", comment.join("\n").trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_every_rule_says_what_why_how_and_what_to_do() {
        for rule in ALL {
            let text = section(rule.id);
            for part in [
                "**Asks:**",
                "**Why:**",
                "**Judged:**",
                "**Do:**",
                "**Example:**",
            ] {
                assert!(text.contains(part), "{} lacks {part}", rule.id);
            }
            assert!(
                text.contains(rule.id),
                "the example of {} names another rule",
                rule.id
            );
        }
    }
}
