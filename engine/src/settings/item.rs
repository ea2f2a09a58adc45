//! One value of a TOML file, with its place.

use std::ops::Range;
use std::sync::Arc;

use toml::de::DeValue;

use super::Section;
use crate::diag::{Diagnostic, Findings, Place, SourceText};
use crate::measure::{Reading, read_quantity, read_range};
use crate::quantity::{Dimension, Unit, Units};

/// A value with its key and place.
#[derive(Clone, Debug)]
pub struct Item<'d> {
    pub(super) source: &'d Arc<SourceText>,
    pub(super) value: &'d DeValue<'d>,
    pub(super) range: Range<usize>,
    /// Dotted key, for messages.
    pub key: String,
}

impl<'d> Item<'d> {
    /// Where the value stands.
    pub fn place(&self) -> Place {
        Place::Text {
            source: self.source.clone(),
            range: self.range.clone(),
        }
    }

    fn wrong(&self, expected: &str, findings: &mut Findings) {
        findings.push(
            Diagnostic::error(format!("{} must be {expected}", self.key))
                .at(self.place())
                .label(format!("this is {}", kind_word(self.value))),
        );
    }

    /// The value as a text.
    pub fn text(&self, findings: &mut Findings) -> Option<String> {
        let text = self.value.as_str();
        if text.is_none() {
            self.wrong("a text in quotes", findings);
        }
        text.map(str::to_owned)
    }

    /// The value as true or false.
    pub fn flag(&self, findings: &mut Findings) -> Option<bool> {
        let flag = self.value.as_bool();
        if flag.is_none() {
            self.wrong("true or false", findings);
        }
        flag
    }

    /// The value as a list of items.
    pub fn list(&self, findings: &mut Findings) -> Option<Vec<Item<'d>>> {
        let Some(array) = self.value.as_array() else {
            self.wrong("a list in square brackets", findings);
            return None;
        };
        Some(
            array
                .iter()
                .map(|element| Item {
                    source: self.source,
                    value: element.get_ref(),
                    range: element.span(),
                    key: self.key.clone(),
                })
                .collect(),
        )
    }

    /// The value as a list of texts; a single text is a list of one.
    pub fn texts(&self, findings: &mut Findings) -> Option<Vec<String>> {
        if let Some(text) = self.value.as_str() {
            return Some(vec![text.to_owned()]);
        }
        let items = self.list(findings)?;
        items.iter().map(|item| item.text(findings)).collect()
    }

    /// The value as a section of its own.
    pub fn section(&self, findings: &mut Findings) -> Option<Section<'d>> {
        let Some(table) = self.value.as_table() else {
            self.wrong("a section", findings);
            return None;
        };
        Some(Section::new(
            self.source,
            table,
            self.range.clone(),
            self.key.clone(),
        ))
    }

    /// Whether the value is a section.
    pub fn is_section(&self) -> bool {
        self.value.is_table()
    }

    /// The value as written, where it is a text or a bare number.
    pub fn written(&self) -> Option<String> {
        match self.value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) => Some(number.as_str().to_owned()),
            DeValue::Float(number) => Some(number.as_str().to_owned()),
            _ => None,
        }
    }

    /// The value as a quantity. A bare number takes `unit`, where there is one.
    pub fn reading(
        &self,
        units: &Units,
        unit: Option<&Unit>,
        findings: &mut Findings,
    ) -> Option<Reading> {
        let Some(text) = self.written() else {
            self.wrong("a quantity in quotes, such as \"3/8 in\"", findings);
            return None;
        };
        match read_quantity(&text, units, unit) {
            Ok(reading) => Some(reading),
            Err(error) => {
                self.no_quantity(&error.to_string(), findings);
                None
            }
        }
    }

    /// The value as a quantity of a dimension.
    pub fn quantity(
        &self,
        units: &Units,
        dimension: Dimension,
        unit: Option<&Unit>,
        findings: &mut Findings,
    ) -> Option<Reading> {
        let reading = self.reading(units, unit, findings)?;
        if reading.quantity.dimension == dimension {
            return Some(reading);
        }
        self.wrong_dimension(units, reading.quantity.dimension, dimension, findings);
        None
    }

    /// The value as a range of quantities of any one dimension.
    pub fn range(
        &self,
        units: &Units,
        unit: Option<&Unit>,
        findings: &mut Findings,
    ) -> Option<(Reading, Reading)> {
        let Some(text) = self.written() else {
            self.wrong(
                "a range in quotes, such as \"1/8 in .. 1-1/2 in\"",
                findings,
            );
            return None;
        };
        match read_range(&text, units, unit) {
            Ok(range) => Some(range),
            Err(error) => {
                self.no_quantity(&error.to_string(), findings);
                None
            }
        }
    }

    fn no_quantity(&self, why: &str, findings: &mut Findings) {
        findings.push(
            Diagnostic::error(format!("{} cannot be read as a quantity", self.key))
                .at(self.place())
                .label(why)
                .hint(
                    "Write a number with its unit in quotes, such as \"3/8 in\" or \"$38.50/bag\".",
                ),
        );
    }

    /// Says that the value measures something else than expected.
    pub fn wrong_dimension(
        &self,
        units: &Units,
        found: Dimension,
        expected: Dimension,
        findings: &mut Findings,
    ) {
        findings.push(
            Diagnostic::error(format!("{} must be {}", self.key, units.describe(expected)))
                .at(self.place())
                .label(format!("this is {}", units.describe(found))),
        );
    }
}

fn kind_word(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a section",
    }
}
