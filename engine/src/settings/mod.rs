//! Settings: TOML files read with their places, so that every mistake points at its line.
//!
//! A file is walked by hand rather than mapped onto structs: all its mistakes
//! are shown at once, unknown keys are named with a near one, and quantities
//! are read where they stand.

mod item;
mod section;

use std::sync::Arc;

use toml::de::DeTable;

use crate::diag::{Diagnostic, Findings, Place, SourceText};

pub use item::Item;
pub use section::Section;

/// A parsed TOML file.
#[derive(Debug)]
pub struct Document<'s> {
    source: &'s Arc<SourceText>,
    table: toml::Spanned<DeTable<'s>>,
}

impl<'s> Document<'s> {
    /// Parses a file; mistakes of syntax go to the findings, and what could be read is read.
    pub fn parse(source: &'s Arc<SourceText>, findings: &mut Findings) -> Self {
        let (table, errors) = DeTable::parse_recoverable(&source.text);
        for error in errors {
            let range = error.span().unwrap_or(0..0);
            findings.push(
                Diagnostic::error(format!("{} is not proper TOML", source.name))
                    .at(Place::Text {
                        source: source.clone(),
                        range,
                    })
                    .label(error.message().to_owned()),
            );
        }
        Self { source, table }
    }

    /// The file's top level.
    pub fn root(&self) -> Section<'_> {
        Section::new(
            self.source,
            self.table.get_ref(),
            self.table.span(),
            String::new(),
        )
    }
}

#[cfg(test)]
mod tests;
