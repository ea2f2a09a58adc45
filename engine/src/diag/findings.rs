//! Collecting many diagnostics, so that a person sees all mistakes at once.

use super::{Diagnostic, Severity};

/// A value, or all the mistakes that kept it from being made.
pub type Outcome<T> = Result<T, Findings>;

/// Diagnostics gathered along the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Findings {
    list: Vec<Diagnostic>,
}

impl Findings {
    /// No findings yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one, unless the very same was already found.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        if !self.list.contains(&diagnostic) {
            self.list.push(diagnostic);
        }
    }

    /// Adds all of another collection.
    pub fn append(&mut self, other: Findings) {
        for diagnostic in other.list {
            self.push(diagnostic);
        }
    }

    /// Keeps the value of an outcome, or takes over its findings.
    pub fn keep<T>(&mut self, outcome: Outcome<T>) -> Option<T> {
        match outcome {
            Ok(value) => Some(value),
            Err(findings) => {
                self.append(findings);
                None
            }
        }
    }

    /// Whether at least one error was found.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|d| d.severity == Severity::Error)
    }

    /// How many errors were found.
    pub fn error_count(&self) -> usize {
        self.list
            .iter()
            .filter(|d| d.severity == Severity::Error)
            .count()
    }

    /// All diagnostics in the order in which they were found.
    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.list.iter()
    }

    /// Whether nothing was found.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Fails with everything found so far when there is an error among it.
    ///
    /// # Errors
    /// The findings themselves; they are left empty.
    pub fn stop_on_errors(&mut self) -> Outcome<()> {
        if self.has_errors() {
            Err(std::mem::take(self))
        } else {
            Ok(())
        }
    }
}

impl From<Diagnostic> for Findings {
    fn from(diagnostic: Diagnostic) -> Self {
        Self {
            list: vec![diagnostic],
        }
    }
}
