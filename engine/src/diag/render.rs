//! Rendering of diagnostics for people (text with the source line shown) and for programs (JSON).

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};

use super::{Diagnostic, Findings, Place, Severity};

/// Renders all findings, one after the other, with a closing count of the errors.
pub fn to_text(findings: &Findings, color: bool) -> String {
    let mut text = String::new();
    for diagnostic in findings.iter() {
        text.push_str(&one_to_text(diagnostic, color));
        text.push_str("\n\n");
    }
    match findings.error_count() {
        0 => {}
        1 => text.push_str("1 mistake found; nothing was written.\n"),
        n => text.push_str(&format!("{n} mistakes found; nothing was written.\n")),
    }
    text
}

fn one_to_text(diagnostic: &Diagnostic, color: bool) -> String {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut group = level
        .primary_title(diagnostic.message.as_str())
        .elements(std::iter::empty::<annotate_snippets::Message<'_>>());
    group = with_place(
        group,
        &diagnostic.place,
        &diagnostic.label,
        AnnotationKind::Primary,
    );
    for (place, text) in &diagnostic.related {
        group = with_place(group, place, text, AnnotationKind::Context);
    }
    for hint in &diagnostic.hints {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    let renderer = if color {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    renderer.render(&[group])
}

fn with_place<'a>(
    group: Group<'a>,
    place: &'a Place,
    label: &'a str,
    kind: AnnotationKind,
) -> Group<'a> {
    match place {
        Place::Nowhere if label.is_empty() => group,
        Place::Nowhere => group.element(Level::NOTE.message(label)),
        Place::Text { source, range } => {
            let end = range.end.min(source.text.len());
            let start = range.start.min(end);
            let mut annotation = kind.span(start..end);
            if !label.is_empty() {
                annotation = annotation.label(label);
            }
            group.element(
                Snippet::source(source.text.as_str())
                    .path(source.name.as_str())
                    .annotation(annotation),
            )
        }
        Place::File(_) | Place::Cell { .. } | Place::Sheet { .. } => {
            let group = group.element(Origin::path(place.to_string()));
            if label.is_empty() {
                group
            } else {
                group.element(Level::NOTE.message(label))
            }
        }
    }
}

/// All findings as a JSON list.
pub fn to_json(findings: &Findings) -> Value {
    findings
        .iter()
        .map(|diagnostic| {
            json!({
                "severity": match diagnostic.severity {
                    Severity::Error => "error",
                    Severity::Warning => "warning",
                    Severity::Note => "note",
                },
                "message": diagnostic.message,
                "place": diagnostic.place.to_string(),
                "label": diagnostic.label,
                "related": diagnostic.related.iter()
                    .map(|(place, text)| json!({"place": place.to_string(), "text": text}))
                    .collect::<Vec<_>>(),
                "hints": diagnostic.hints,
            })
        })
        .collect()
}
