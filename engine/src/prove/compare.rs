//! What came out against what a case expects.

use crate::bid::EvaluatedJob;
use crate::diag::{Diagnostic, quoted};
use crate::measure::{read_quantity, write};
use crate::quantity::{Quantity, Unit, compare_values};
use crate::recipe::Expectation;
use crate::trail::{ColumnId, Kind, Table, TableId, fold};

/// Compares one expectation; what is wrong, if anything is.
pub(super) fn compare(job: &EvaluatedJob, expectation: &Expectation) -> Option<Diagnostic> {
    let trouble = |why: String| {
        Diagnostic::error(format!(
            "{} does not come out as the check expects",
            expectation.what
        ))
        .at(expectation.place.clone())
        .label(why)
    };
    let Some((table, column)) = find(job, &expectation.what) else {
        return Some(trouble("the recipe has no such cell or item".to_owned()));
    };
    let table = job.ledger.table(table);
    let column_of = table.column(column);
    let value = table.value(column, 0);
    let units = &job.ledger.units;
    let Kind::Number(dimension) = column_of.kind else {
        let found = job.ledger.texts.of_value(value);
        return (fold(found) != fold(&expectation.value))
            .then(|| trouble(format!("found {}", quoted(found))));
    };
    let plain = Unit::plain();
    let bare = dimension.is_none().then_some(&plain);
    let expected = match read_quantity(&expectation.value, units, bare) {
        Ok(reading) => reading,
        Err(error) => return Some(trouble(error.to_string())),
    };
    if expected.quantity.dimension != dimension {
        return Some(trouble(format!(
            "the check expects {}, the recipe gives {}",
            units.describe(expected.quantity.dimension),
            units.describe(dimension)
        )));
    }
    let within = match tolerance(&expectation.within, expected.quantity, units) {
        Ok(within) => within,
        Err(why) => return Some(trouble(why)),
    };
    let off = (value - expected.quantity.value).abs();
    if off <= within || compare_values(value, expected.quantity.value).is_eq() {
        return None;
    }
    Some(trouble(format!(
        "found {}, off by {}",
        write(value, &expected.unit, units),
        write(
            off,
            &Unit {
                zero: 0.0,
                ..expected.unit.clone()
            },
            units
        )
    )))
}

/// How far off a value may be: a percentage of it, or a quantity of its kind.
fn tolerance(
    text: &str,
    expected: Quantity,
    units: &crate::quantity::Units,
) -> Result<f64, String> {
    if text.is_empty() {
        return Ok(expected.value.abs() * 1e-6);
    }
    let reading = read_quantity(text, units, None).map_err(|error| format!("within: {error}"))?;
    if reading.quantity.dimension.is_none() && text.contains('%') {
        return Ok(expected.value.abs() * reading.quantity.value);
    }
    if reading.quantity.dimension == expected.dimension {
        return Ok(reading.quantity.value);
    }
    Err("within must be a percentage or a quantity of the same kind".to_owned())
}

/// The cell (of the room, else of the job) or item with a name.
fn find(job: &EvaluatedJob, what: &str) -> Option<(TableId, ColumnId)> {
    let rooms = job.takeoff.rooms.table;
    let cell = |id: TableId, name: &str| {
        let column = cell_named(job.ledger.table(id), name)?;
        Some((id, column))
    };
    let in_rooms = || {
        let input = job.ledger.table(rooms).column_named(what);
        cell(rooms, what).or_else(|| Some((rooms, input?)))
    };
    let item = || {
        let item = job
            .evaluated
            .items
            .iter()
            .find(|item| fold(&item.label) == fold(what))?;
        Some((item.table, item.quantity))
    };
    // A cell of the first row of a table below the room: wall.layers.
    let below = || {
        let (row, name) = what.split_once('.')?;
        let mut tables = job.takeoff.children.iter().map(|child| child.table);
        cell(tables.find(|id| job.ledger.table(*id).name == row)?, name)
    };
    let of_job = || cell(job.evaluated.job, what.strip_prefix("job.").unwrap_or(what));
    in_rooms().or_else(below).or_else(item).or_else(of_job)
}

/// The column of a recipe's cell, whichever the recipe.
fn cell_named(table: &Table, name: &str) -> Option<ColumnId> {
    let of_cell = |known: &str| {
        known
            .split_once('.')
            .is_some_and(|(_, known)| known == name)
    };
    let found = table.columns().find(|(_, column)| of_cell(&column.name));
    found.map(|(column, _)| column)
}
