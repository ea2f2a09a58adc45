//! One input value from one cell.

use super::spec::{InputKind, InputSpec};
use crate::diag::{Diagnostic, near_name, quoted};
use crate::grid::{Cell, UnitSources, Value};
use crate::measure::write;
use crate::quantity::{System, Unit};
use crate::trail::{Choice, Ledger, fold};

/// A value read, with the unit it was written in.
pub(super) struct InputRead {
    pub(super) value: f64,
    pub(super) unit: Option<Unit>,
}

impl InputSpec {
    /// Reads a cell as this input; the diagnostic has no place yet.
    pub(super) fn read(
        &self,
        cell: &Cell,
        heading: Option<&Unit>,
        system: Option<System>,
        whose: &str,
        ledger: &mut Ledger,
    ) -> Result<InputRead, Diagnostic> {
        match &self.kind {
            InputKind::Quantity(dimension) => {
                let sources = UnitSources {
                    heading,
                    job: system.map(|system| self.unit(system)),
                };
                let units = ledger.units.clone();
                let reading = cell
                    .quantity(&units, *dimension, sources)
                    .map_err(|trouble| {
                        Diagnostic::error(format!(
                            "{} of {whose} cannot be used: {}",
                            self.title, trouble.found
                        ))
                        .maybe_hint(trouble.hint)
                    })?;
                let value = reading.quantity.value;
                let bound = |limit: f64, side: &str| {
                    Diagnostic::error(format!(
                        "{} of {whose} is {}, expected {side} {}",
                        self.title,
                        write(value, &reading.unit, &units),
                        write(limit, &reading.unit, &units)
                    ))
                };
                if value < self.least {
                    return Err(bound(self.least, "at least"));
                }
                if value > self.most {
                    return Err(bound(self.most, "at most"));
                }
                Ok(InputRead {
                    value,
                    unit: Some(reading.unit),
                })
            }
            InputKind::Text(choice) => {
                let text = self.text(cell, whose)?;
                let chosen = self.choose(&text, choice, whose, ledger)?;
                Ok(InputRead {
                    value: ledger.texts.intern(&chosen).to_value(),
                    unit: None,
                })
            }
        }
    }

    fn text(&self, cell: &Cell, whose: &str) -> Result<String, Diagnostic> {
        match &cell.value {
            Value::Text(text) => Ok(text.split_whitespace().collect::<Vec<_>>().join(" ")),
            Value::Number(_) => Ok(cell.shown()),
            Value::Yes(yes) => Ok(if *yes { "yes" } else { "no" }.to_owned()),
            Value::Date(date) => Ok(date.clone()),
            Value::Error(_) | Value::NoResult => Err(Diagnostic::error(format!(
                "{} of {whose} cannot be used: it holds {}",
                self.title,
                cell.shown()
            ))),
        }
    }

    /// The text as the list of choices spells it.
    fn choose(
        &self,
        text: &str,
        choice: &Choice,
        whose: &str,
        ledger: &Ledger,
    ) -> Result<String, Diagnostic> {
        let (list, what): (&[String], &str) = match choice {
            Choice::Free => return Ok(text.to_owned()),
            Choice::OneOf(list) => (list, "one of the choices"),
            Choice::ProductOf(table) => (&ledger.table(*table).row_names, "in the price book"),
        };
        if let Some(found) = list.iter().find(|known| fold(known) == fold(text)) {
            return Ok(found.clone());
        }
        let near = near_name(text, list.iter().map(String::as_str));
        let hint = match near {
            Some(near) => format!("Did you mean {near}?"),
            None if list.is_empty() => {
                format!("The price book lists no product for {}.", self.title)
            }
            None => {
                let mut shown: Vec<&str> = list.iter().take(12).map(String::as_str).collect();
                if list.len() > shown.len() {
                    shown.push("…");
                }
                format!("Expected one of: {}.", shown.join(", "))
            }
        };
        Err(Diagnostic::error(format!(
            "{} of {whose} is {}, which is not {what}",
            self.title,
            quoted(text)
        ))
        .hint(hint))
    }
}
