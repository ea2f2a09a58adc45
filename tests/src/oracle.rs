//! An independent spreadsheet engine that recalculates a workbook.
//!
//! Stored results are poisoned before recalculating, so that what was not
//! recalculated cannot pass for right.

use std::collections::BTreeMap;

use ironcalc::base::Model;
use ironcalc::base::cell::CellValue;
use ironcalc::base::types::{Cell, FormulaValue};
use ironcalc::import::load_from_xlsx_bytes;

/// What no formula gives.
const POISON: f64 = -987_654_321.125;

/// Row of the headings on the sheets of rooms and of tables below them, from one.
pub const HEADINGS: i32 = 4;

/// A cell: sheet index, row and column, both from one.
pub type At = (u32, i32, i32);

/// A recalculated workbook.
pub struct Recalculated {
    model: Model<'static>,
    sheets: Vec<String>,
    /// Stored results of formula cells, as the program wrote them.
    pub stored: BTreeMap<At, FormulaValue>,
}

impl Recalculated {
    /// Loads a workbook, poisons all stored results and recalculates.
    pub fn new(bytes: &[u8]) -> Self {
        let workbook = load_from_xlsx_bytes(bytes, "bid", "en", "UTC").unwrap();
        let sheets = workbook
            .worksheets
            .iter()
            .map(|sheet| sheet.name.clone())
            .collect();
        let mut model = Model::from_workbook(workbook, "en").unwrap();
        let mut stored = BTreeMap::new();
        for cell in model.get_all_cells() {
            let at = (cell.index, cell.row, cell.column);
            let data = &mut model.workbook.worksheets[cell.index as usize].sheet_data;
            if let Some(Cell::CellFormula { v, .. }) = data.cell_mut(cell.row, cell.column) {
                stored.insert(at, std::mem::replace(v, FormulaValue::Number(POISON)));
            }
        }
        model.evaluate();
        Self {
            model,
            sheets,
            stored,
        }
    }

    /// Recalculates after edits.
    pub fn recalculate(&mut self) {
        self.model.evaluate();
    }

    /// The index of a sheet.
    pub fn sheet(&self, name: &str) -> u32 {
        let index = self.sheets.iter().position(|known| known == name);
        index.unwrap_or_else(|| panic!("there is no sheet {name}")) as u32
    }

    /// The value of a cell.
    pub fn value(&self, (sheet, row, column): At) -> CellValue {
        self.model
            .get_cell_value_by_index(sheet, row, column)
            .unwrap()
    }

    /// A cell that must hold a number.
    pub fn number(&self, at: At) -> f64 {
        match self.value(at) {
            CellValue::Number(number) => number,
            other => panic!("{} holds {other:?}, not a number", self.address(at)),
        }
    }

    /// A cell's text; empty when it holds none.
    pub fn text(&self, at: At) -> String {
        match self.value(at) {
            CellValue::String(text) => text,
            CellValue::Number(number) => number.to_string(),
            CellValue::Boolean(yes) => yes.to_string(),
            CellValue::None => String::new(),
        }
    }

    /// The cell (or first cell of the range) that a name refers to.
    pub fn named(&self, name: &str) -> At {
        let list = self.model.get_defined_name_list();
        let (_, _, formula) = list
            .iter()
            .find(|(known, ..)| known == name)
            .unwrap_or_else(|| panic!("there is no name {name}"));
        let (sheet, cell) = formula.trim_start_matches('=').rsplit_once('!').unwrap();
        let first = cell.split(':').next().unwrap().replace('$', "");
        let letters: String = first
            .chars()
            .take_while(char::is_ascii_alphabetic)
            .collect();
        let column = letters
            .bytes()
            .fold(0i32, |sum, b| sum * 26 + i32::from(b - b'A') + 1);
        let row: i32 = first[letters.len()..].parse().unwrap();
        (self.sheet(sheet.trim_matches('\'')), row, column)
    }

    /// What stands beside Total on the Bid sheet.
    pub fn shown_total(&self) -> String {
        let row = self.row_with("Bid", 1, "Total");
        self.text((self.sheet("Bid"), row, 4))
    }

    /// Types a number into a cell.
    pub fn type_number(&mut self, (sheet, row, column): At, number: f64) {
        self.model
            .update_cell_with_number(sheet, row, column, number)
            .unwrap();
    }

    /// Types a text into a cell.
    pub fn type_text(&mut self, (sheet, row, column): At, text: &str) {
        self.model
            .update_cell_with_text(sheet, row, column, text)
            .unwrap();
    }

    /// Clears a cell.
    pub fn clear(&mut self, (sheet, row, column): At) {
        let area = ironcalc::base::expressions::types::Area {
            sheet,
            row,
            column,
            width: 1,
            height: 1,
        };
        self.model.range_clear_contents(&area).unwrap();
    }

    /// `Rooms!C5`, for messages.
    pub fn address(&self, (sheet, row, column): At) -> String {
        let letters = engine::diag::column_letters(column as u32 - 1);
        format!("{}!{letters}{row}", self.sheets[sheet as usize])
    }

    /// The formula of a cell, for messages.
    pub fn formula(&self, (sheet, row, column): At) -> String {
        let formula = self.model.get_cell_formula(sheet, row, column);
        formula.ok().flatten().unwrap_or_default()
    }

    /// Every cell that holds something: its address, what it shows, and its formula.
    pub fn as_text(&self) -> String {
        let mut cells: Vec<At> = self
            .model
            .get_all_cells()
            .iter()
            .map(|cell| (cell.index, cell.row, cell.column))
            .collect();
        cells.sort_unstable();
        let mut text = String::new();
        for at in cells {
            let (shown, formula) = (self.text(at), self.formula(at));
            if !shown.is_empty() || !formula.is_empty() {
                text.push_str(&format!("{}: {shown}  {formula}", self.address(at)));
                text.truncate(text.trim_end().len());
                text.push('\n');
            }
        }
        text
    }

    /// Every formula cell whose recalculated value is not the stored one, in words.
    pub fn differences(&self) -> Vec<String> {
        let mut different = Vec::new();
        for (at, stored) in &self.stored {
            let now = self.value(*at);
            let same = match (stored, &now) {
                (FormulaValue::Number(a), CellValue::Number(b)) => close(*a, *b),
                // A text that reads as a number is stored as one; it is the same on screen.
                (FormulaValue::Number(a), CellValue::String(b)) => a.to_string() == *b,
                (FormulaValue::Text(a), CellValue::String(b)) => a == b,
                (FormulaValue::Text(a), CellValue::None) => a.is_empty(),
                (FormulaValue::Boolean(a), CellValue::Boolean(b)) => a == b,
                _ => false,
            };
            if !same {
                different.push(format!(
                    "{}: stored {stored:?}, recalculated {now:?}, {}",
                    self.address(*at),
                    self.formula(*at)
                ));
            }
        }
        different
    }

    /// The row of a sheet (searched in a column) that holds a text.
    pub fn row_with(&self, sheet: &str, column: i32, text: &str) -> i32 {
        let sheet = self.sheet(sheet);
        (1..500)
            .find(|row| self.text((sheet, *row, column)) == text)
            .unwrap_or_else(|| panic!("no cell of column {column} holds {text}"))
    }

    /// The column of a sheet whose heading starts with a text.
    pub fn column_headed(&self, sheet: &str, heading_row: i32, starts: &str) -> i32 {
        let sheet = self.sheet(sheet);
        (1..200)
            .find(|column| self.text((sheet, heading_row, *column)).starts_with(starts))
            .unwrap_or_else(|| panic!("no column is headed {starts}"))
    }
}

/// Whether two numbers are the same but for the last digits.
pub fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0)
}
