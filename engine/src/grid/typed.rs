//! A cell as a quantity: which unit a number has, and what is refused.

use super::sheet::{Cell, Value};
use crate::diag::quoted;
use crate::measure::{MeasureError, Reading, Trouble, read_quantity, read_unit};
use crate::quantity::{Dimension, Quantity, Unit, Units};

/// Largest number read, in base units: no job has more, and arithmetic on less never overflows.
const MOST_VALUE: f64 = 1e12;

/// Where a bare number may take its unit from.
#[derive(Clone, Copy, Debug, Default)]
pub struct UnitSources<'u> {
    /// The unit in the heading.
    pub heading: Option<&'u Unit>,
    /// The unit that the job gives for such numbers.
    pub job: Option<&'u Unit>,
}

/// Why a cell is not the quantity expected.
#[derive(Clone, Debug, PartialEq)]
pub struct CellTrouble {
    /// What was found, as a sentence without its subject.
    pub found: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl CellTrouble {
    fn new(found: impl Into<String>) -> Self {
        Self {
            found: found.into(),
            hint: None,
        }
    }

    fn hint(found: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            found: found.into(),
            hint: Some(hint.into()),
        }
    }
}

impl Cell {
    /// The cell as a quantity of a dimension.
    ///
    /// # Errors
    /// When the cell holds something else, its unit is missing or contradicted, or it
    /// measures something else.
    pub fn quantity(
        &self,
        units: &Units,
        expected: Dimension,
        sources: UnitSources<'_>,
    ) -> Result<Reading, CellTrouble> {
        let reading = match &self.value {
            Value::Number(number) => self.number(*number, units, expected, sources)?,
            Value::Text(text) => {
                let unit = sources.heading.or(sources.job);
                let plain = Unit::plain();
                let unit = unit.or(expected.is_none().then_some(&plain));
                read_quantity(text, units, unit).map_err(|error| not_read(text, &error))?
            }
            other => return Err(not_a_quantity(other)),
        };
        if reading.quantity.value.abs() > MOST_VALUE {
            return Err(CellTrouble::hint(
                format!("{} is too large", quoted(&self.shown())),
                "Is a digit or a unit wrong?",
            ));
        }
        if reading.quantity.dimension == expected {
            return Ok(reading);
        }
        Err(CellTrouble::new(format!(
            "{} is {}, expected {}",
            quoted(&self.shown()),
            units.describe(reading.quantity.dimension),
            units.describe(expected)
        )))
    }

    fn number(
        &self,
        number: f64,
        units: &Units,
        expected: Dimension,
        sources: UnitSources<'_>,
    ) -> Result<Reading, CellTrouble> {
        let own = self.format_unit(units, number)?;
        if let (Some(own), Some(heading)) = (&own, sources.heading)
            && own.dimension == heading.dimension
            && own.size != heading.size
        {
            return Err(CellTrouble::hint(
                format!(
                    "the number format of {} says {}, its heading says {}",
                    quoted(&self.shown()),
                    own.label,
                    heading.label
                ),
                "Make heading and number format agree.",
            ));
        }
        let plain = Unit::plain();
        // A percentage is stored as its fraction, whatever the heading says.
        let unit = if self.percent {
            Some(&plain)
        } else {
            own.as_ref().or(sources.heading).or(sources.job)
        };
        let unit = unit.or(expected.is_none().then_some(&plain));
        match unit {
            Some(unit) => Ok(Reading {
                quantity: Quantity::of(number, unit),
                unit: unit.clone(),
            }),
            None => Err(no_unit(&self.shown())),
        }
    }

    /// The unit that the number format shows beside the number.
    fn format_unit(&self, units: &Units, number: f64) -> Result<Option<Unit>, CellTrouble> {
        let Some(text) = &self.format_text else {
            return Ok(None);
        };
        // Other text in a format (a remark, a dash) says nothing about the unit.
        let unit = read_unit(text, units).ok();
        match unit {
            Some(unit) if !unit.to_base(number).is_finite() => {
                Err(CellTrouble::new("the number is too large"))
            }
            unit => Ok(unit),
        }
    }
}

fn no_unit(shown: &str) -> CellTrouble {
    CellTrouble::hint(
        format!("{} has no unit", quoted(shown)),
        "Write the unit in the heading, as in \"Area (sq ft)\", or in the cell, or state Units on the Job sheet.",
    )
}

fn not_read(text: &str, error: &MeasureError) -> CellTrouble {
    match &error.trouble {
        Trouble::NoUnit => no_unit(text),
        trouble => CellTrouble::hint(
            format!("{} cannot be read as a quantity: {trouble}", quoted(text)),
            "Write it as in 12' 6-1/2\", 3/8 in, 9.5 mm or 120 sq ft.",
        ),
    }
}

fn not_a_quantity(value: &Value) -> CellTrouble {
    match value {
        Value::Date(date) => CellTrouble::hint(
            format!("it holds a date ({date}), not a quantity"),
            "Spreadsheets turn entries such as 3/8 into dates; format the cell as text and type it again.",
        ),
        Value::Error(error) => CellTrouble::hint(
            format!("it holds the error value {error}"),
            "Mend the formula, or type the measured value.",
        ),
        Value::NoResult => CellTrouble::hint(
            "it holds a formula whose result is not stored in the file",
            "Open the file in your spreadsheet program, let it calculate, and save it.",
        ),
        Value::Yes(yes) => CellTrouble::new(format!(
            "it holds {}, not a quantity",
            if *yes { "TRUE" } else { "FALSE" }
        )),
        Value::Number(_) | Value::Text(_) => CellTrouble::new("it cannot be read"),
    }
}
