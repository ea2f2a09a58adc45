//! One entry of a price book, whether it stands in TOML or in a sheet.

use crate::diag::{Diagnostic, Findings, Place};
use crate::grid::{Cell, UnitSources, Value};
use crate::measure::{Reading, read_range};
use crate::quantity::{Dimension, Quantity, Unit, Units};
use crate::settings::Item;

/// A value with its place.
#[derive(Clone, Debug)]
pub(super) enum Entry<'a> {
    /// An item of a TOML file.
    Toml(Item<'a>),
    /// A cell of a sheet.
    Cell {
        cell: &'a Cell,
        heading: Option<Unit>,
        title: String,
        place: Place,
    },
}

impl Entry<'_> {
    pub(super) fn place(&self) -> Place {
        match self {
            Self::Toml(item) => item.place(),
            Self::Cell { place, .. } => place.clone(),
        }
    }

    /// What the entry is called in messages.
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Toml(item) => &item.key,
            Self::Cell { title, .. } => title,
        }
    }

    pub(super) fn text(&self, findings: &mut Findings) -> Option<String> {
        match self {
            Self::Toml(item) => item.text(findings),
            Self::Cell { cell, .. } => match &cell.value {
                Value::Text(text) => Some(text.trim().to_owned()),
                Value::Number(_) => Some(cell.shown()),
                _ => {
                    self.wrong(format!("it holds {}", cell.shown()), findings);
                    None
                }
            },
        }
    }

    fn wrong(&self, why: String, findings: &mut Findings) {
        findings.push(
            Diagnostic::error(format!("{} cannot be read", self.name()))
                .at(self.place())
                .label(why),
        );
    }

    /// The entry as a quantity of any of the dimensions allowed; a bare number takes `unit`.
    pub(super) fn quantity(
        &self,
        units: &Units,
        allowed: &[Dimension],
        unit: Option<&Unit>,
        findings: &mut Findings,
    ) -> Option<Quantity> {
        let reading = match self {
            Self::Toml(item) => item.reading(units, unit, findings)?,
            Self::Cell { cell, heading, .. } => {
                match read_cell(cell, units, allowed, heading.as_ref().or(unit)) {
                    Ok(reading) => reading,
                    Err(why) => {
                        self.wrong(why, findings);
                        return None;
                    }
                }
            }
        };
        self.allowed(units, reading, allowed, findings)
    }

    /// The entry as a range; one value is a range of itself.
    pub(super) fn range(
        &self,
        units: &Units,
        allowed: &[Dimension],
        unit: Option<&Unit>,
        findings: &mut Findings,
    ) -> Option<(Quantity, Quantity)> {
        let (low, high) = match self {
            Self::Toml(item) => item.range(units, unit, findings)?,
            Self::Cell { cell, heading, .. } => match &cell.value {
                Value::Text(text) => match read_range(text, units, heading.as_ref().or(unit)) {
                    Ok(range) => range,
                    Err(error) => {
                        self.wrong(error.to_string(), findings);
                        return None;
                    }
                },
                _ => {
                    self.wrong(
                        "expected a range such as 1/8 in .. 1-1/2 in".to_owned(),
                        findings,
                    );
                    return None;
                }
            },
        };
        let low = self.allowed(units, low, allowed, findings)?;
        let high = self.allowed(units, high, allowed, findings)?;
        Some((low, high))
    }

    fn allowed(
        &self,
        units: &Units,
        reading: Reading,
        allowed: &[Dimension],
        findings: &mut Findings,
    ) -> Option<Quantity> {
        let found = reading.quantity.dimension;
        if allowed.contains(&found) {
            return Some(reading.quantity);
        }
        let expected = allowed.first().copied().unwrap_or(Dimension::NONE);
        findings.push(
            Diagnostic::error(format!(
                "{} must be {}",
                self.name(),
                units.describe(expected)
            ))
            .at(self.place())
            .label(format!("this is {}", units.describe(found))),
        );
        None
    }
}

/// Reads a cell as whichever of the allowed dimensions it is.
fn read_cell(
    cell: &Cell,
    units: &Units,
    allowed: &[Dimension],
    heading: Option<&Unit>,
) -> Result<Reading, String> {
    let sources = UnitSources { heading, job: None };
    let mut first_trouble = None;
    for dimension in allowed {
        match cell.quantity(units, *dimension, sources) {
            Ok(reading) => return Ok(reading),
            Err(trouble) => first_trouble = first_trouble.or(Some(trouble)),
        }
    }
    Err(first_trouble.map_or_else(String::new, |trouble| trouble.found))
}
