//! Factors: adjustable numbers that a recipe declares.

use crate::diag::{Diagnostic, Findings, Place};
use crate::measure::{Reading, read_quantity};
use crate::pricebook::read_unit_item;
use crate::quantity::{Dimension, Unit, Units};
use crate::settings::{Item, Section};

/// A factor of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct FactorSpec {
    /// Name in scripts.
    pub name: String,
    /// Name for people.
    pub title: String,
    /// Its default.
    pub value: FactorValue,
    /// Why it is what it is.
    pub why: String,
    /// Where the figure comes from.
    pub source: String,
    /// Where it is declared, or set by the shop or the job.
    pub place: Place,
}

/// What a factor holds.
#[derive(Clone, Debug, PartialEq)]
pub enum FactorValue {
    /// One number.
    Number {
        /// Value in base units.
        value: f64,
        /// Unit it is written in.
        unit: Unit,
        /// Smallest value allowed, in base units.
        least: f64,
        /// Largest value allowed, in base units.
        most: f64,
    },
    /// A step table.
    Steps {
        /// Where each step starts and its value, in base units, rising.
        steps: Vec<(f64, f64)>,
        /// Unit of the starts.
        from: Unit,
        /// Unit of the values.
        unit: Unit,
    },
}

impl FactorSpec {
    /// Reads `[factors.NAME]` of a manifest.
    pub(super) fn read(
        name: &str,
        place: Place,
        section: &Section<'_>,
        units: &Units,
        findings: &mut Findings,
    ) -> Option<Self> {
        let title = section
            .text("title", findings)
            .unwrap_or_else(|| name.replace('_', " "));
        let why = section.text("why", findings).unwrap_or_default();
        let source = section.text("source", findings).unwrap_or_default();
        if why.is_empty() {
            findings.push(
                Diagnostic::error(format!("factor {name} does not say why it is what it is"))
                    .at(place.clone())
                    .label("expected why = \"…\""),
            );
        }
        let value = match section.get("steps") {
            Some(item) => read_steps(&item, units, findings),
            None => read_number(section, units, findings),
        };
        section.close(findings);
        Some(Self {
            name: name.to_owned(),
            title,
            value: value?,
            why,
            source,
            place,
        })
    }

    /// Sets the factor to a written number, as a check does.
    ///
    /// # Errors
    /// Says what is wrong with the text.
    pub fn set_text(&mut self, text: &str, units: &Units) -> Result<(), String> {
        let FactorValue::Number { value, unit, .. } = &mut self.value else {
            return Err("it is a step table".to_owned());
        };
        let plain = Unit::plain();
        let bare = unit.dimension.is_none().then_some(&plain);
        let reading = read_quantity(text, units, bare).map_err(|error| error.to_string())?;
        if reading.quantity.dimension != unit.dimension {
            return Err(format!("expected {}", units.describe(unit.dimension)));
        }
        *value = reading.quantity.value;
        Ok(())
    }

    /// Sets the factor to another value, as a shop does in its settings.
    pub fn set(&mut self, item: &Item<'_>, units: &Units, findings: &mut Findings) {
        match &mut self.value {
            FactorValue::Number {
                value,
                unit,
                least,
                most,
            } => {
                let plain = Unit::plain();
                let bare = unit.dimension.is_none().then_some(&plain);
                let Some(reading) = item.quantity(units, unit.dimension, bare, findings) else {
                    return;
                };
                let number = reading.quantity.value;
                if number < *least || number > *most {
                    let shown = |value| crate::measure::write(value, unit, units);
                    findings.push(
                        Diagnostic::error(format!("{} is out of bounds", item.key))
                            .at(item.place())
                            .label(format!("expected {} to {}", shown(*least), shown(*most))),
                    );
                    return;
                }
                *value = number;
                self.place = item.place();
            }
            FactorValue::Steps { steps, from, unit } => {
                let Some(FactorValue::Steps {
                    steps: new,
                    from: new_from,
                    unit: new_unit,
                }) = read_steps(item, units, findings)
                else {
                    return;
                };
                if new_from.dimension != from.dimension || new_unit.dimension != unit.dimension {
                    findings.push(
                        Diagnostic::error(format!(
                            "{} has steps of another kind than the recipe's",
                            item.key
                        ))
                        .at(item.place()),
                    );
                    return;
                }
                (*steps, *from, *unit) = (new, new_from, new_unit);
                self.place = item.place();
            }
        }
    }
}

fn read_number(
    section: &Section<'_>,
    units: &Units,
    findings: &mut Findings,
) -> Option<FactorValue> {
    let item = section.require("default", "\"10 %\"", findings)?;
    let stated = section
        .get("unit")
        .and_then(|item| read_unit_item(&item, units, findings));
    let plain = Unit::plain();
    let reading = item.reading(units, Some(stated.as_ref().unwrap_or(&plain)), findings)?;
    let unit = stated.unwrap_or_else(|| reading.unit.clone());
    if unit.dimension != reading.quantity.dimension {
        item.wrong_dimension(units, reading.quantity.dimension, unit.dimension, findings);
        return None;
    }
    let mut bound = |key: &str, open: f64| match section.get(key) {
        Some(item) => item
            .quantity(units, unit.dimension, Some(&unit), findings)
            .map_or(open, |reading| reading.quantity.value),
        None => open,
    };
    let (least, most) = (bound("least", 0.0), bound("most", f64::INFINITY));
    let value = reading.quantity.value;
    if value < least || value > most {
        findings.push(
            Diagnostic::error(format!("{} lies outside of its own bounds", item.key))
                .at(item.place()),
        );
    }
    Some(FactorValue::Number {
        value,
        unit,
        least,
        most,
    })
}

fn read_steps(item: &Item<'_>, units: &Units, findings: &mut Findings) -> Option<FactorValue> {
    let rows = item.list(findings)?;
    let mut steps: Vec<(Reading, Reading)> = Vec::new();
    for row in &rows {
        let section = row.section(findings)?;
        let plain = Unit::plain();
        let mut read = |key: &str| {
            section
                .require(key, "a quantity", findings)
                .and_then(|item| item.reading(units, Some(&plain), findings))
        };
        let (from, value) = (read("from"), read("value"));
        section.close(findings);
        steps.push((from?, value?));
    }
    let Some((first, value)) = steps.first().cloned() else {
        findings.push(Diagnostic::error(format!("{} has no steps", item.key)).at(item.place()));
        return None;
    };
    let dimension = |reading: &Reading| -> Dimension { reading.quantity.dimension };
    let alike = steps
        .iter()
        .all(|(f, v)| dimension(f) == dimension(&first) && dimension(v) == dimension(&value));
    let rising = steps.is_sorted_by(|a, b| a.0.quantity.value < b.0.quantity.value);
    if !alike || !rising {
        let what = if alike {
            "must rise from step to step"
        } else {
            "must be of one kind"
        };
        findings
            .push(Diagnostic::error(format!("the steps of {} {what}", item.key)).at(item.place()));
        return None;
    }
    Some(FactorValue::Steps {
        steps: steps
            .iter()
            .map(|(f, v)| (f.quantity.value, v.quantity.value))
            .collect(),
        from: first.unit,
        unit: value.unit,
    })
}
