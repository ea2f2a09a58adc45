//! The plain grid: sheets, rows, cells.

use std::sync::Arc;

use crate::diag::{CellAddress, Place};

/// What a cell holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A finite number.
    Number(f64),
    /// A text that is not blank.
    Text(String),
    /// TRUE or FALSE.
    Yes(bool),
    /// A date (year-month-day) or time of day, in words.
    Date(String),
    /// An error value such as `#N/A`.
    Error(String),
    /// A formula whose result is not stored in the file.
    NoResult,
}

/// How a cell was computed, if it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Formula {
    /// The cell holds a plain value.
    None,
    /// The cell holds a formula.
    Some,
    /// The cell holds a formula that sums others.
    Sum,
}

/// One cell that is not blank.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// What it holds.
    pub value: Value,
    /// Whether it is shown as a percentage.
    pub percent: bool,
    /// Text that its number format puts beside the number, such as `m`.
    pub format_text: Option<Arc<str>>,
    /// Whether it is computed.
    pub formula: Formula,
}

impl Cell {
    /// A cell without number format or formula.
    pub fn plain(value: Value) -> Self {
        Self {
            value,
            percent: false,
            format_text: None,
            formula: Formula::None,
        }
    }

    /// The cell as a person would type it, for messages and for carrying it through.
    pub fn shown(&self) -> String {
        match &self.value {
            Value::Number(number) => crate::measure::write_number(*number),
            Value::Text(text) => text.clone(),
            Value::Yes(yes) => if *yes { "TRUE" } else { "FALSE" }.to_owned(),
            Value::Date(date) => date.clone(),
            Value::Error(error) => error.clone(),
            Value::NoResult => "a formula without a stored result".to_owned(),
        }
    }
}

/// The cells of one row, by rising column.
pub type Row = Vec<(u32, Cell)>;

/// One sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its name; a csv file has none.
    pub name: Option<Arc<str>>,
    /// Whether a person opening the file sees it.
    pub visible: bool,
    /// Rows that are not blank, by rising row number.
    pub rows: Vec<(u32, Row)>,
    /// Merged regions: first and last cell.
    pub merged: Vec<(CellAddress, CellAddress)>,
}

impl Sheet {
    /// The row with a number, if it is not blank.
    pub fn row(&self, number: u32) -> Option<&Row> {
        let index = self
            .rows
            .binary_search_by_key(&number, |(row, _)| *row)
            .ok()?;
        Some(&self.rows[index].1)
    }

    /// Puts something into a cell, or clears it.
    pub(crate) fn set(&mut self, row: u32, column: u32, cell: Option<Cell>) {
        let found = self.rows.binary_search_by_key(&row, |(number, _)| *number);
        let at = match found {
            Ok(at) => at,
            Err(at) => {
                self.rows.insert(at, (row, Row::new()));
                at
            }
        };
        let cells = &mut self.rows[at].1;
        let found = cells.binary_search_by_key(&column, |(number, _)| *number);
        match (found, cell) {
            (Ok(at), Some(cell)) => cells[at].1 = cell,
            (Ok(at), None) => drop(cells.remove(at)),
            (Err(at), Some(cell)) => cells.insert(at, (column, cell)),
            (Err(_), None) => {}
        }
        // Rows without cells are none.
        self.rows.retain(|(_, cells)| !cells.is_empty());
    }

    /// The cell at an address, if it is not blank.
    pub fn cell(&self, row: u32, column: u32) -> Option<&Cell> {
        cell_in(self.row(row)?, column)
    }
}

/// The cell of a row in a column, if it is not blank.
pub(crate) fn cell_in(row: &Row, column: u32) -> Option<&Cell> {
    let index = row
        .binary_search_by_key(&column, |(column, _)| *column)
        .ok()?;
    Some(&row[index].1)
}

/// A file of sheets.
#[derive(Clone, Debug)]
pub struct Grid {
    /// File name shown to people.
    pub file: Arc<str>,
    /// The sheets in order.
    pub sheets: Vec<Sheet>,
}

impl Grid {
    /// The place of a cell.
    pub fn place(&self, sheet: &Sheet, row: u32, column: u32) -> Place {
        Place::Cell {
            file: self.file.clone(),
            sheet: sheet.name.clone(),
            cell: CellAddress { row, column },
        }
    }

    /// The place of a sheet as a whole.
    pub fn sheet_place(&self, sheet: &Sheet) -> Place {
        match &sheet.name {
            Some(name) => Place::Sheet {
                file: self.file.clone(),
                sheet: name.clone(),
            },
            None => Place::File(self.file.clone()),
        }
    }
}
