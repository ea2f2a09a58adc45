//! Which rows below the headings are rooms, and which are notes, totals or repeated headings.

use super::spec::TableSpec;
use crate::diag::{Diagnostic, Findings};
use crate::grid::{Cell, Formula, Grid, HeaderRow, Row, Sheet, Value, cell_in, plain_heading};

/// A row that names a room.
pub(super) struct RoomRow<'g> {
    pub(super) number: u32,
    pub(super) name: String,
    pub(super) name_column: u32,
    pub(super) cells: &'g Row,
}

/// Words that mark a row of totals.
const TOTAL_WORDS: [&str; 6] = [
    "total",
    "totals",
    "sum",
    "subtotal",
    "sub total",
    "grand total",
];

/// Longest text that can be a room's name; what is longer is a remark.
const LONGEST_NAME: usize = 100;

/// Whether a name marks a row of totals.
pub(super) fn is_total(name: &str) -> bool {
    TOTAL_WORDS.contains(&plain_heading(name).as_str())
}

/// Sorts the rows below the headings.
pub(super) fn room_rows<'g>(
    grid: &'g Grid,
    sheet: &'g Sheet,
    header: &HeaderRow,
    spec: &TableSpec,
    remarks: &mut Findings,
    findings: &mut Findings,
) -> Vec<RoomRow<'g>> {
    let mut rooms = Vec::new();
    let mut last = header.row;
    let known: Vec<u32> = header
        .cells
        .iter()
        .filter(|cell| cell.wanted.is_some())
        .map(|cell| cell.column)
        .collect();
    let name_column = header
        .cells
        .iter()
        .find(|cell| cell.wanted == Some(0))
        .map_or(0, |cell| cell.column);
    for (number, cells) in sheet.rows.iter().filter(|(row, _)| *row > header.row) {
        let gap = *number > last + 1;
        last = *number;
        let said = |what: &str| {
            Diagnostic::note(format!(
                "row {} was read as {what}, not as a {}",
                number + 1,
                spec.row
            ))
            .at(grid.place(sheet, *number, cells[0].0))
            .label(shortened(cells))
        };
        let filled: Vec<(u32, &Cell)> = known
            .iter()
            .filter_map(|column| Some((*column, cell_in(cells, *column)?)))
            .collect();
        let name = cell_in(cells, name_column).map(|cell| cell.shown().trim().to_owned());
        match (name, filled.as_slice()) {
            (_, []) => remarks.push(said("a note")),
            (None, [(column, _), ..]) => {
                if filled.iter().any(|(_, cell)| cell.formula == Formula::Sum) {
                    remarks.push(said("a row of totals"));
                } else {
                    findings.push(
                        Diagnostic::error(format!(
                            "row {} has values but names no room",
                            number + 1
                        ))
                        .at(grid.place(sheet, *number, *column))
                        .hint("Name the room, or clear the row."),
                    );
                }
            }
            (Some(name), _) if is_total(&name) => {
                remarks.push(said("a row of totals"));
            }
            (Some(name), filled) if is_repeated_heading(&name, filled, header) => {
                remarks.push(said("a repeated heading"));
            }
            (Some(name), [_])
                if gap && !rooms.is_empty() || name.chars().count() > LONGEST_NAME =>
            {
                let _ = name;
                remarks.push(said("a note"));
            }
            (Some(name), _) => rooms.push(RoomRow {
                number: *number,
                name,
                name_column,
                cells,
            }),
        }
    }
    rooms
}

fn is_repeated_heading(name: &str, filled: &[(u32, &Cell)], header: &HeaderRow) -> bool {
    let title = |column: u32| {
        header
            .cells
            .iter()
            .find(|cell| cell.column == column)
            .map(|cell| &cell.title)
    };
    filled.len() > 1
        && filled
            .iter()
            .all(|(column, cell)| match (&cell.value, title(*column)) {
                (Value::Text(text), Some(title)) => {
                    plain_heading(text).starts_with(&plain_heading(title))
                }
                _ => false,
            })
        && !name.is_empty()
}

fn shortened(cells: &Row) -> String {
    let text: Vec<String> = cells.iter().take(3).map(|(_, cell)| cell.shown()).collect();
    crate::diag::quoted(&text.join(" "))
}
