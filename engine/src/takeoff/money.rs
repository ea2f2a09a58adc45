//! Cells of a takeoff that hold money, or what may stand instead: a percentage, money for an area.

use crate::grid::{Cell, CellTrouble, UnitSources, Value};
use crate::measure::read_quantity;
use crate::quantity::{Dimension, Unit, Units};

/// Largest amount that can be meant.
const MOST: f64 = 1e12;

/// What a cell holds.
pub(super) struct MoneyRead {
    /// In base units.
    pub(super) value: f64,
    /// As it was written.
    pub(super) unit: Unit,
}

/// Reads a cell that measures one of some dimensions; a bare number is money.
pub(super) fn read_money(
    cell: &Cell,
    allowed: &[Dimension],
    units: &Units,
) -> Result<MoneyRead, CellTrouble> {
    let money = units.find("money").cloned().unwrap_or_else(Unit::plain);
    let trouble = |found: String| CellTrouble { found, hint: None };
    let written = crate::diag::quoted(&cell.shown());
    let (value, unit) = match &cell.value {
        Value::Number(number) if cell.percent => {
            let percent = units.find("%").cloned().unwrap_or_else(Unit::plain);
            (*number, percent)
        }
        Value::Text(text) => {
            let reading = read_quantity(text, units, Some(&money))
                .map_err(|error| trouble(format!("{written} cannot be read: {error}")))?;
            (reading.quantity.value, reading.unit)
        }
        _ => {
            let sources = UnitSources {
                heading: None,
                job: Some(&money),
            };
            let reading = cell.quantity(units, Dimension::MONEY, sources)?;
            (reading.quantity.value, reading.unit)
        }
    };
    if !allowed.contains(&unit.dimension) {
        let expected: Vec<String> = allowed.iter().map(|d| units.describe(*d)).collect();
        return Err(trouble(format!(
            "{written} is {}, expected {}",
            units.describe(unit.dimension),
            expected.join(" or ")
        )));
    }
    if value.abs() > MOST {
        return Err(trouble(format!("{written} is too large")));
    }
    Ok(MoneyRead { value, unit })
}
