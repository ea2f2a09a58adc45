//! Diagnostics: what went wrong, where, and what to do about it.
//!
//! Every layer reports mistakes as [`Diagnostic`] values. Leaf functions return
//! plain errors of their own; the caller that knows the place turns them into a
//! diagnostic. Rendering for people is kept apart in [`render`], so the data
//! can also be printed as JSON.

mod findings;
mod near;
mod place;
pub mod render;

pub use findings::{Findings, Outcome};
pub use near::{near_name, quoted};
pub use place::{CellAddress, Place, SourceText, column_letters, short_path};

/// How serious a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is written; the program ends with a non-zero exit code.
    Error,
    /// The job is priced, but a person should look.
    Warning,
    /// Said so that nothing happens unseen.
    Note,
}

/// One mistake or remark, with its place and its advice.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// How serious it is.
    pub severity: Severity,
    /// One sentence without a full stop: what was found.
    pub message: String,
    /// Where it was found.
    pub place: Place,
    /// Short text put at the place.
    pub label: String,
    /// Other places that matter, each with its text.
    pub related: Vec<(Place, String)>,
    /// What to do about it, one sentence each.
    pub hints: Vec<String>,
}

impl Diagnostic {
    /// A diagnostic of severity error, nowhere in particular yet.
    pub fn error(message: impl Into<String>) -> Self {
        Self::new(Severity::Error, message)
    }

    /// A diagnostic of severity warning, nowhere in particular yet.
    pub fn warning(message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, message)
    }

    /// A diagnostic of severity note, nowhere in particular yet.
    pub fn note(message: impl Into<String>) -> Self {
        Self::new(Severity::Note, message)
    }

    fn new(severity: Severity, message: impl Into<String>) -> Self {
        Self {
            severity,
            message: message.into(),
            place: Place::Nowhere,
            label: String::new(),
            related: Vec::new(),
            hints: Vec::new(),
        }
    }

    /// Sets the place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// Sets the short text shown at the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Adds another place that matters.
    #[must_use]
    pub fn related(mut self, place: Place, text: impl Into<String>) -> Self {
        self.related.push((place, text.into()));
        self
    }

    /// Adds advice.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds advice where there is some.
    #[must_use]
    pub fn maybe_hint(self, hint: Option<String>) -> Self {
        match hint {
            Some(hint) => self.hint(hint),
            None => self,
        }
    }
}
