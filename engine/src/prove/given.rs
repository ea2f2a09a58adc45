//! The takeoff of a case: its one room, and the rows below it.

use crate::diag::{Diagnostic, Outcome, quoted};
use crate::grid::{Cell, Grid, Sheet, Value};
use crate::recipe::{Check, Given};
use crate::takeoff::TakeoffSpec;

/// A takeoff with the one room of the case and the rows below it.
pub(super) fn takeoff_of(check: &Check, spec: &TakeoffSpec, file: &str) -> Outcome<Grid> {
    let mut sheets = vec![sheet_of("Rooms", std::slice::from_ref(&check.given))];
    for (row, list) in &check.rows {
        let Some(table) = spec.children.iter().find(|table| table.row == *row) else {
            return Err(Diagnostic::error(format!(
                "no recipe of the check {} has a table with rows called {}",
                quoted(&check.name),
                quoted(row)
            ))
            .at(check.place.clone())
            .into());
        };
        sheets.push(sheet_of(&table.title, list));
    }
    Ok(Grid {
        file: file.into(),
        sheets,
    })
}

/// A sheet of rows that all belong to the room of the case.
fn sheet_of(name: &str, list: &[Vec<Given>]) -> Sheet {
    let text = |text: &str| Cell::plain(Value::Text(text.to_owned()));
    let mut columns: Vec<&str> = Vec::new();
    for (input, ..) in list.iter().flatten() {
        if !columns.contains(&input.as_str()) {
            columns.push(input);
        }
    }
    let titles = columns.iter().map(|input| text(input));
    let headings = std::iter::once(text("Room")).chain(titles);
    let mut rows = vec![(0, (0..).zip(headings).collect())];
    for (number, given) in (1u32..).zip(list) {
        let mut cells = vec![(0, text("Check"))];
        for (at, input) in (1u32..).zip(&columns) {
            let value = given.iter().find(|(known, ..)| known == input);
            if let Some((_, value, _)) = value.filter(|(_, value, _)| !value.trim().is_empty()) {
                cells.push((at, text(value)));
            }
        }
        rows.push((number, cells));
    }
    Sheet {
        name: Some(name.into()),
        visible: true,
        rows,
        merged: Vec::new(),
    }
}
