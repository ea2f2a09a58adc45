//! The layout: which value has which cell, and under which name.

use std::collections::{BTreeMap, BTreeSet};

use crate::diag::column_letters;
use crate::trail::{ColumnId, Ledger, SingleId, TableId};

/// How a table lies in its sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Direction {
    /// A row for each row, a column for each column.
    Across,
    /// A table of one row: a row for each column, all in one sheet column.
    Down {
        /// The sheet column.
        column: u16,
    },
}

/// Where a table lies.
#[derive(Clone, Debug)]
pub(super) struct TablePlace {
    /// Its sheet.
    pub(super) sheet: String,
    /// How it lies.
    pub(super) direction: Direction,
    /// First row of its values.
    pub(super) first: u32,
    /// Number of its rows.
    pub(super) rows: u32,
    /// Sheet column (across) or sheet row (down) of each column.
    pub(super) columns: BTreeMap<ColumnId, u32>,
    /// For a table below rooms: the sheet column with the room's number.
    pub(super) owner: u16,
}

/// The most characters of a sheet's name.
const LONGEST_SHEET: usize = 31;

/// Where everything lies.
#[derive(Debug, Default)]
pub(super) struct Layout {
    tables: BTreeMap<TableId, TablePlace>,
    names: BTreeMap<String, String>,
    singles: BTreeMap<SingleId, String>,
    ranges: BTreeMap<(TableId, ColumnId), String>,
    row_names: BTreeMap<TableId, String>,
    choices: BTreeMap<String, String>,
    taken: BTreeSet<String>,
    /// What names and sheets of an alternate end in.
    ending: Option<String>,
}

impl Layout {
    /// Puts a table into its place.
    pub(super) fn put(&mut self, table: TableId, place: TablePlace) {
        self.tables.insert(table, place);
    }

    /// The place of a table.
    pub(super) fn table(&self, table: TableId) -> Option<&TablePlace> {
        self.tables.get(&table)
    }

    /// From here on names and sheets are those of an alternate; what was named before, it shares.
    pub(super) fn go_on_for_alternate(&mut self, number: usize) {
        self.ending = Some(format!("alt {number}"));
    }

    /// A name of this job, as others of the workbook have it too: `price_again_alt_1`.
    pub(super) fn own_name(&self, name: &str) -> String {
        match &self.ending {
            Some(ending) => format!("{name}_{}", ending.replace(' ', "_")),
            None => name.to_owned(),
        }
    }

    /// A sheet of this job, as others of the workbook have it too: `Rooms alt 1`.
    pub(super) fn own_sheet(&self, name: &str) -> String {
        match &self.ending {
            Some(ending) => {
                let short: String = name
                    .chars()
                    .take(LONGEST_SHEET - ending.len() - 1)
                    .collect();
                format!("{short} {ending}")
            }
            None => name.to_owned(),
        }
    }

    /// Defines a name for a cell or range; a name that is taken gets a number.
    pub(super) fn define(&mut self, wish: &str, refers_to: String) -> String {
        let wish: String = self
            .own_name(wish)
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '_'
                }
            })
            .collect();
        let name = std::iter::once(wish.clone())
            .chain((2..).map(|n| format!("{wish}_{n}")))
            .find(|name| !self.taken.contains(name))
            .unwrap_or(wish);
        self.taken.insert(name.clone());
        self.names.insert(name.clone(), refers_to);
        name
    }

    /// All defined names with what they refer to, sorted.
    pub(super) fn defined(&self) -> impl Iterator<Item = (&String, &String)> {
        self.names.iter()
    }

    /// Names the cell of a single value.
    pub(super) fn name_single(&mut self, id: SingleId, ledger: &Ledger, refers_to: String) {
        let name = self.define(&ledger.single(id).name, refers_to);
        self.singles.insert(id, name);
    }

    /// Gives a single value the cell that another job of the workbook named.
    pub(super) fn share_single(&mut self, id: SingleId, name: &str) {
        self.singles.insert(id, name.to_owned());
    }

    /// Gives a table the place and the names that it has in another job of the workbook.
    pub(super) fn share_table(&mut self, table: TableId, other: &Self) {
        if let Some(place) = other.table(table) {
            self.put(table, place.clone());
        }
        let ranges = other.ranges.iter().filter(|((of, _), _)| *of == table);
        let ranges = ranges.map(|(key, name)| (*key, name.clone()));
        self.ranges.extend(ranges);
    }

    /// Gives an input the range of choices that another job of the workbook named.
    pub(super) fn share_choices(&mut self, input: &str, name: &str) {
        self.choices.insert(input.to_owned(), name.to_owned());
    }

    /// The name of a single value's cell.
    pub(super) fn single(&self, id: SingleId) -> &str {
        self.singles.get(&id).map_or("unplaced", String::as_str)
    }

    /// Names the range of a product table's or step table's column.
    pub(super) fn name_column(
        &mut self,
        table: TableId,
        column: ColumnId,
        wish: &str,
        refers_to: String,
    ) {
        let name = self.define(wish, refers_to);
        self.ranges.insert((table, column), name);
    }

    /// The name of a column's range.
    pub(super) fn column_range(&self, table: TableId, column: ColumnId) -> Option<&str> {
        self.ranges.get(&(table, column)).map(String::as_str)
    }

    /// Names the range with the names of a product table's rows.
    pub(super) fn name_rows(&mut self, table: TableId, wish: &str, refers_to: String) {
        let name = self.define(wish, refers_to);
        self.row_names.insert(table, name);
    }

    /// The name of the range with the names of a table's rows.
    pub(super) fn rows_range(&self, table: TableId) -> &str {
        self.row_names
            .get(&table)
            .map_or("unplaced", String::as_str)
    }

    /// Names the range with the choices of an input.
    pub(super) fn name_choices(&mut self, input: &str, refers_to: String) {
        let name = self.define(&format!("choices_{input}"), refers_to);
        self.choices.insert(input.to_owned(), name);
    }

    /// The name of the range with the choices of an input.
    pub(super) fn choices(&self, input: &str) -> Option<&str> {
        self.choices.get(input).map(String::as_str)
    }

    /// The absolute address of a cell of a table, with its sheet.
    pub(super) fn cell(&self, table: TableId, column: ColumnId, row: u32) -> Option<String> {
        let place = self.tables.get(&table)?;
        let at = *place.columns.get(&column)?;
        Some(match place.direction {
            Direction::Across => absolute(&place.sheet, place.first + row, at),
            Direction::Down { column } => absolute(&place.sheet, at, u32::from(column)),
        })
    }

    /// The absolute range of some rows of a column, with its sheet; nothing when there are no rows.
    pub(super) fn range(
        &self,
        table: TableId,
        column: ColumnId,
        first: u32,
        rows: u32,
    ) -> Option<String> {
        let place = self.tables.get(&table)?;
        let at = *place.columns.get(&column)?;
        if rows == 0 {
            return None;
        }
        Some(match place.direction {
            Direction::Across => {
                let top = place.first + first;
                range(&place.sheet, (top, at), (top + rows - 1, at))
            }
            Direction::Down { column } => absolute(&place.sheet, at, u32::from(column)),
        })
    }

    /// The absolute range of a whole column.
    pub(super) fn whole(&self, table: TableId, column: ColumnId) -> Option<String> {
        let rows = self.tables.get(&table)?.rows;
        self.range(table, column, 0, rows)
    }
}

/// `Sheet!$C$5`
pub(super) fn absolute(sheet: &str, row: u32, column: u32) -> String {
    format!(
        "{}!${}${}",
        quoted_sheet(sheet),
        column_letters(column),
        row + 1
    )
}

/// `Sheet!$C$5:$C$14`
pub(super) fn range(sheet: &str, first: (u32, u32), last: (u32, u32)) -> String {
    format!(
        "{}!${}${}:${}${}",
        quoted_sheet(sheet),
        column_letters(first.1),
        first.0 + 1,
        column_letters(last.1),
        last.0 + 1
    )
}

/// A sheet's name as formulas write it.
pub(super) fn quoted_sheet(sheet: &str) -> String {
    let plain = sheet.chars().all(|c| c.is_ascii_alphanumeric())
        && !sheet.starts_with(|c: char| c.is_ascii_digit());
    if plain {
        sheet.to_owned()
    } else {
        format!("'{}'", sheet.replace('\'', "''"))
    }
}

/// A sheet name that spreadsheets accept and that is not taken.
pub(super) fn sheet_name(wish: &str, taken: &[&str]) -> String {
    let clean: String = wish
        .chars()
        .filter(|c| {
            !matches!(c, '[' | ']' | ':' | '*' | '?' | '/' | '\\' | '\'') && !c.is_control()
        })
        .take(26)
        .collect();
    let clean = if clean.trim().is_empty() {
        "Table".to_owned()
    } else {
        clean
    };
    let is_free = |name: &String| !taken.iter().any(|known| known.eq_ignore_ascii_case(name));
    std::iter::once(clean.clone())
        .chain((2..).map(|n| format!("{clean} {n}")))
        .find(is_free)
        .unwrap_or(clean)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_addresses_are_what_a_spreadsheet_accepts() {
        let mut layout = Layout::default();
        assert_eq!(
            layout.define("Leveling waste", "x".into()),
            "leveling_waste"
        );
        assert_eq!(
            layout.define("leveling_waste", "y".into()),
            "leveling_waste_2"
        );
        assert_eq!(absolute("Rooms", 4, 27), "Rooms!$AB$5");
        assert_eq!(
            range("Floor 'A'", (0, 0), (1, 0)),
            "'Floor ''A'''!$A$1:$A$2"
        );
        assert_eq!(sheet_name("Order", &["Bid", "ORDER"]), "Order 2");
        assert_eq!(sheet_name("[x]:*", &[]), "x");
    }
}
