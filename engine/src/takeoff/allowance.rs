//! Allowances: sums held in the bid for what the customer has yet to choose.
//!
//! They stand on a sheet of their own, with the headings Allowance, Room and Amount.

use super::headings::headings;
use super::money::{MoneyRead, read_money};
use super::rows::is_total;
use crate::diag::{Diagnostic, Findings, Place, near_name, quoted};
use crate::grid::{Grid, HeaderRow, Sheet, Wanted, cell_in};
use crate::quantity::{Dimension, Unit, Units};
use crate::trail::{Table, fold};

/// Name of the sheet.
pub const ALLOWANCES: &str = "Allowances";
/// Its headings, with why each is there.
pub const ALLOWANCE_HEADINGS: [(&str, &str); 3] = [
    (
        "Allowance",
        "What the customer has yet to choose, such as tile.",
    ),
    ("Room", "The room that it is for; blank for the whole job."),
    (
        "Amount",
        "A sum of money, or money for each unit of area, such as $6/sq ft. It is what the customer is told: nothing is added to it.",
    ),
];

/// An allowance.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowance {
    /// What it is for.
    pub name: String,
    /// The room; none for the whole job.
    pub room: Option<usize>,
    /// Money, or money for each unit of area, in base units.
    pub amount: f64,
    /// As it was written.
    pub unit: Unit,
    /// Where it is stated.
    pub place: Place,
}

impl Allowance {
    /// Whether it is money for each unit of area.
    pub fn is_by_area(&self) -> bool {
        self.unit.dimension != Dimension::MONEY
    }
}

/// Whether a sheet is the one of allowances.
pub(super) fn is_allowances(name: &str) -> bool {
    fold(name) == fold(ALLOWANCES)
}

/// Reads the sheet, where there is one.
pub(super) fn read_allowances(
    grid: &Grid,
    rooms: &Table,
    units: &Units,
    remarks: &mut Findings,
    findings: &mut Findings,
) -> Vec<Allowance> {
    let named = |sheet: &&Sheet| sheet.visible && sheet.name.as_deref().is_some_and(is_allowances);
    let Some(sheet) = grid.sheets.iter().find(named) else {
        return Vec::new();
    };
    let wanted = ALLOWANCE_HEADINGS.map(|(title, _)| Wanted::new(title, [title]));
    let said = ("allowances", "Allowance, Room, Amount");
    let Some(header) = headings(grid, sheet, &wanted, said, findings) else {
        return Vec::new();
    };
    let reader = Reader {
        grid,
        sheet,
        header: &header,
        rooms,
        units,
    };
    let below = sheet.rows.iter().filter(|(row, _)| *row > header.row);
    below
        .filter_map(|(row, _)| reader.row(*row, remarks, findings))
        .collect()
}

struct Reader<'a> {
    grid: &'a Grid,
    sheet: &'a Sheet,
    header: &'a HeaderRow,
    rooms: &'a Table,
    units: &'a Units,
}

impl Reader<'_> {
    /// The sheet column of the first, second or third heading.
    fn column(&self, heading: usize) -> Option<u32> {
        let mut cells = self.header.cells.iter();
        let cell = cells.find(|cell| cell.wanted == Some(heading))?;
        Some(cell.column)
    }

    fn row(&self, row: u32, remarks: &mut Findings, findings: &mut Findings) -> Option<Allowance> {
        let cells = self.sheet.row(row)?;
        let cell = |heading| cell_in(cells, self.column(heading)?);
        let text = |heading| cell(heading).map(|cell| cell.shown().trim().to_owned());
        let place = |heading: usize| {
            let column = self.column(heading).unwrap_or(0);
            self.grid.place(self.sheet, row, column)
        };
        let (name, amount) = match (text(0), cell(2)) {
            (Some(name), _) if is_total(&name) => {
                remarks.push(
                    Diagnostic::note(format!("row {} was read as a row of totals", row + 1))
                        .at(place(0)),
                );
                return None;
            }
            (Some(name), Some(amount)) => (name, amount),
            (None, None) if cell(1).is_none() => {
                remarks.push(
                    Diagnostic::note(format!("row {} was read as a note", row + 1)).at(place(0)),
                );
                return None;
            }
            (None, _) => {
                findings.push(
                    Diagnostic::error(format!("row {} says no allowance", row + 1))
                        .at(place(0))
                        .hint("Say what it is for, or clear the row."),
                );
                return None;
            }
            (Some(name), None) => {
                findings.push(
                    Diagnostic::error(format!("the amount of {} is blank", quoted(&name)))
                        .at(place(2))
                        .hint("Write a sum such as $600, or money for an area, such as $6/sq ft."),
                );
                return None;
            }
        };
        let by_area = Dimension::MONEY.per(Dimension::AREA).ok()?;
        let read = read_money(amount, &[Dimension::MONEY, by_area], self.units);
        let MoneyRead { value, unit } = match read {
            Ok(read) if read.value >= 0.0 => read,
            other => {
                let (found, hint) = match other {
                    Err(trouble) => (trouble.found, trouble.hint),
                    Ok(_) => ("it must not be negative".to_owned(), None),
                };
                findings.push(
                    Diagnostic::error(format!(
                        "the amount of {} cannot be used: {found}",
                        quoted(&name)
                    ))
                    .at(place(2))
                    .maybe_hint(hint),
                );
                return None;
            }
        };
        let room = match text(1) {
            None => None,
            Some(room) => Some(self.room(&room, place(1), findings)?),
        };
        Some(Allowance {
            name,
            room,
            amount: value,
            unit,
            place: place(2),
        })
    }

    fn room(&self, name: &str, place: Place, findings: &mut Findings) -> Option<usize> {
        let names = &self.rooms.row_names;
        let found = names.iter().position(|known| fold(known) == fold(name));
        if found.is_none() {
            let near = near_name(name, names.iter().map(String::as_str));
            findings.push(
                Diagnostic::error(format!("the takeoff has no room called {}", quoted(name)))
                    .at(place)
                    .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
        }
        found
    }
}
