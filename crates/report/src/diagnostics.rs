//! Faults in files, with the text around them.

use annotate_snippets::{AnnotationKind, Group, Level, Patch, Renderer, Snippet};
use craft::{Bench, Diagnostic, Severity};
use serde_json::{Value, json};

/// All faults, one after the other.
pub fn text(bench: &Bench, diagnostics: &[Diagnostic], width: usize) -> String {
    let renderer = Renderer::styled().term_width(width);
    diagnostics
        .iter()
        .map(|diagnostic| format!("{}\n\n", one(bench, diagnostic, &renderer)))
        .collect()
}

fn one(bench: &Bench, diagnostic: &Diagnostic, renderer: &Renderer) -> String {
    let file = bench.file(diagnostic.place.file);
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let mut snippet = Snippet::source(file.text.as_str())
        .path(file.path.as_str())
        .annotation(
            AnnotationKind::Primary
                .span(clamped(&file.text, diagnostic.place.range()))
                .label(diagnostic.label.as_str()),
        );
    let mut groups = Vec::new();
    let mut elsewhere = None;
    if let Some((place, why)) = &diagnostic.also {
        let other = bench.file(place.file);
        let annotation = |text: &str| {
            AnnotationKind::Context
                .span(clamped(text, place.range()))
                .label(why.as_str())
        };
        if place.file == diagnostic.place.file {
            snippet = snippet.annotation(annotation(&file.text));
        } else {
            elsewhere = Some(
                Snippet::source(other.text.as_str())
                    .path(other.path.as_str())
                    .annotation(annotation(&other.text)),
            );
        }
    }
    let mut group = level
        .primary_title(diagnostic.message.as_str())
        .id(diagnostic.id)
        .element(snippet);
    if let Some(elsewhere) = elsewhere {
        group = group.element(elsewhere);
    }
    if let Some(hint) = &diagnostic.hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    groups.push(group);
    if let Some(mend) = &diagnostic.mend {
        let patch = Patch::new(clamped(&file.text, mend.place.range()), mend.text.as_str());
        let group: Group<'_> = Level::HELP.secondary_title("write").element(
            Snippet::source(file.text.as_str())
                .path(file.path.as_str())
                .patch(patch),
        );
        groups.push(group);
    }
    renderer.render(&groups)
}

/// A range that lies inside the text, on character boundaries.
fn clamped(text: &str, range: std::ops::Range<usize>) -> std::ops::Range<usize> {
    let on_boundary = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = on_boundary(range.start);
    start..on_boundary(range.end).max(start)
}

/// All faults as JSON.
pub fn json(bench: &Bench, diagnostics: &[Diagnostic]) -> Value {
    let one = |diagnostic: &Diagnostic| {
        let (line, column) = bench.line_and_column(diagnostic.place);
        json!({
            "id": diagnostic.id,
            "severity": match diagnostic.severity { Severity::Error => "error", Severity::Warning => "warning" },
            "message": diagnostic.message,
            "label": diagnostic.label,
            "hint": diagnostic.hint,
            "file": bench.file(diagnostic.place.file).path,
            "line": line,
            "column": column,
            "start": diagnostic.place.start,
            "end": diagnostic.place.end,
            "replacement": diagnostic.mend.as_ref().map(|mend| &mend.text),
        })
    };
    diagnostics.iter().map(one).collect()
}
