//! Finding the heading row of a table in a sheet, and its columns by the names they go under.

use super::sheet::{Cell, Grid, Sheet, Value};
use crate::diag::Diagnostic;

/// Rows from the top in which headings are looked for.
const SEARCHED_ROWS: usize = 200;

/// A column that is looked for.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// Its name in the program.
    pub name: String,
    /// Headings it goes under, in plain form (see [`plain_heading`]).
    pub headings: Vec<String>,
}

impl Wanted {
    /// A wanted column with the headings it goes under.
    pub fn new<'a>(name: &str, headings: impl IntoIterator<Item = &'a str>) -> Self {
        Self {
            name: name.to_owned(),
            headings: headings.into_iter().map(plain_heading).collect(),
        }
    }
}

/// One heading that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct HeaderCell {
    /// Its column.
    pub column: u32,
    /// The heading without its unit, as written.
    pub title: String,
    /// The unit written in the heading.
    pub unit: Option<String>,
    /// Which wanted column it is; none means unknown.
    pub wanted: Option<usize>,
}

/// A heading row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeaderRow {
    /// Its row.
    pub row: u32,
    /// Its headings by rising column.
    pub cells: Vec<HeaderCell>,
}

/// Why no heading row could be used.
#[derive(Clone, Debug, PartialEq)]
pub enum HeaderTrouble {
    /// No row has the key heading and another known one.
    None,
    /// Two headings mean the same column.
    Twice {
        /// The row.
        row: u32,
        /// First and second column.
        columns: (u32, u32),
        /// Which wanted column.
        wanted: usize,
    },
}

/// Finds the first row that has the key heading (the first wanted one) and,
/// where more is wanted, at least one other.
///
/// # Errors
/// When there is no such row or a heading stands twice.
pub fn find_header(sheet: &Sheet, wanted: &[Wanted]) -> Result<HeaderRow, HeaderTrouble> {
    for (row, cells) in sheet.rows.iter().take(SEARCHED_ROWS) {
        let header = match_row(*row, cells, wanted);
        let has_key = header.cells.iter().any(|cell| cell.wanted == Some(0));
        let known = header
            .cells
            .iter()
            .filter(|cell| cell.wanted.is_some())
            .count();
        if !has_key || known < wanted.len().min(2) {
            continue;
        }
        for (index, cell) in header.cells.iter().enumerate() {
            let same = |other: &&HeaderCell| cell.wanted.is_some() && other.wanted == cell.wanted;
            if let Some(other) = header.cells[index + 1..].iter().find(same) {
                return Err(HeaderTrouble::Twice {
                    row: *row,
                    columns: (cell.column, other.column),
                    wanted: cell.wanted.unwrap_or(0),
                });
            }
        }
        return Ok(header);
    }
    Err(HeaderTrouble::None)
}

fn match_row(row: u32, cells: &[(u32, Cell)], wanted: &[Wanted]) -> HeaderRow {
    let cells = cells
        .iter()
        .filter_map(|(column, cell)| match &cell.value {
            Value::Text(text) => Some(header_cell(*column, text, wanted)),
            _ => None,
        })
        .collect();
    HeaderRow { row, cells }
}

fn header_cell(column: u32, text: &str, wanted: &[Wanted]) -> HeaderCell {
    let find = |title: &str| {
        let plain = plain_heading(title);
        wanted.iter().position(|w| w.headings.contains(&plain))
    };
    let (split_title, unit) = split_unit(text);
    let (title, unit, wanted) = match (unit, find(split_title)) {
        (Some(unit), Some(index)) => (split_title, Some(unit), Some(index)),
        // A bracket behind an unknown heading is part of it.
        _ => (text.trim(), None, find(text)),
    };
    HeaderCell {
        column,
        title: title.to_owned(),
        unit: unit.map(str::to_owned),
        wanted,
    }
}

/// `Area (sq ft)`, `Area [m2]` and `Area, sq ft` into heading and unit.
fn split_unit(text: &str) -> (&str, Option<&str>) {
    let text = text.trim();
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some(inner) = text.strip_suffix(close)
            && let Some((title, unit)) = inner.rsplit_once(open)
        {
            return (title.trim(), Some(unit.trim()));
        }
    }
    match text.rsplit_once(',') {
        Some((title, unit)) => (title.trim(), Some(unit.trim())),
        None => (text, None),
    }
}

/// A heading without what does not count: capitals, punctuation, outer and doubled spaces.
pub fn plain_heading(text: &str) -> String {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric() && c != '#' && c != '%')
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

impl Grid {
    /// Says that two columns go under one heading.
    pub fn headed_twice(
        &self,
        sheet: &Sheet,
        row: u32,
        (first, second): (u32, u32),
        wanted: &Wanted,
    ) -> Diagnostic {
        Diagnostic::error(format!("two columns are headed {}", wanted.headings[0]))
            .at(self.place(sheet, row, second))
            .related(self.place(sheet, row, first), "the first one stands here")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rows: &[&[&str]]) -> Sheet {
        let rows = (0u32..)
            .zip(rows)
            .map(|(row, texts)| {
                let cells = (0u32..)
                    .zip(texts.iter())
                    .filter(|(_, text)| !text.is_empty())
                    .map(|(column, text)| (column, Cell::plain(Value::Text((*text).to_owned()))))
                    .collect();
                (row, cells)
            })
            .collect();
        Sheet {
            name: None,
            visible: true,
            rows,
            merged: Vec::new(),
        }
    }

    fn wanted() -> Vec<Wanted> {
        vec![
            Wanted::new("room", ["Room", "Room name"]),
            Wanted::new("area", ["Area", "Floor area"]),
            Wanted::new("depth", ["Average depth", "Avg. depth"]),
        ]
    }

    #[test]
    fn headings_are_found_below_titles_with_their_units() {
        let sheet = sheet(&[
            &["Takeoff of the second floor"],
            &["Room: as on the drawings"],
            &["ROOM NAME", "Colour", "Floor area (sq ft)", "avg depth, in"],
        ]);
        let header = find_header(&sheet, &wanted()).unwrap();
        assert_eq!(header.row, 2);
        let units: Vec<_> = header
            .cells
            .iter()
            .map(|c| (c.wanted, c.unit.as_deref()))
            .collect();
        assert_eq!(
            units,
            [
                (Some(0), None),
                (None, None),
                (Some(1), Some("sq ft")),
                (Some(2), Some("in"))
            ]
        );
    }

    #[test]
    fn a_heading_must_not_stand_twice() {
        let sheet = sheet(&[&["Room", "Area", "Floor area"]]);
        assert!(matches!(
            find_header(&sheet, &wanted()),
            Err(HeaderTrouble::Twice {
                columns: (1, 2),
                ..
            })
        ));
    }

    #[test]
    fn without_the_key_heading_there_is_no_table() {
        let sheet = sheet(&[&["Area", "Average depth"], &["Room"]]);
        assert_eq!(find_header(&sheet, &wanted()), Err(HeaderTrouble::None));
    }
}
