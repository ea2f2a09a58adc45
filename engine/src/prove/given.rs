//! The takeoff of a case: its one room, the rows below it, and what the job says.

use crate::diag::{Diagnostic, Outcome, quoted};
use crate::grid::{Cell, Grid, Sheet, Value};
use crate::recipe::{Check, Given};
use crate::takeoff::{InputSpec, TakeoffSpec};

/// A takeoff with the one room of the case, the rows below it, and the entries of its job.
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
    if !check.job.is_empty() {
        sheets.push(job_sheet(check, spec)?);
    }
    Ok(Grid {
        file: file.into(),
        sheets,
    })
}

/// The Job sheet; unlike a sheet that people keep, it holds nothing but what recipes ask for.
fn job_sheet(check: &Check, spec: &TakeoffSpec) -> Outcome<Sheet> {
    let text = |text: &str| Cell::plain(Value::Text(text.to_owned()));
    let mut rows = Vec::new();
    for (number, (key, value, place)) in (0u32..).zip(&check.job) {
        let mut asked = spec.job.iter().chain(&spec.rooms.inputs);
        if !asked.any(|input: &InputSpec| input.goes_under(key)) {
            return Err(Diagnostic::error(format!(
                "no recipe of the check {} asks the job for {}",
                quoted(&check.name),
                quoted(key)
            ))
            .at(place.clone())
            .into());
        }
        rows.push((number, vec![(0, text(key)), (1, text(value))]));
    }
    Ok(Sheet {
        name: Some("Job".into()),
        visible: true,
        rows,
        merged: Vec::new(),
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
