//! Reading csv: one sheet of texts; numbers are read from the texts later.

use std::sync::Arc;

use super::guard::MOST_CELLS;
use super::sheet::{Cell, Grid, Row, Sheet, Value};
use crate::diag::{CellAddress, Diagnostic, Outcome, Place};

/// Reads the file as one visible sheet without a name.
pub(super) fn read(file: &Arc<str>, bytes: &[u8]) -> Outcome<Grid> {
    let refuse = |why: String, place: Place| {
        Diagnostic::error(format!("{file} cannot be read: {why}"))
            .at(place)
            .hint("Save it as \"CSV UTF-8\", or as an Excel Workbook (.xlsx).")
    };
    let whole = || Place::File(file.clone());
    let text = std::str::from_utf8(bytes)
        .map_err(|_| refuse("it is not UTF-8 text".to_owned(), whole()))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.contains('\0') {
        return Err(refuse("it is not a text file".to_owned(), whole()).into());
    }
    // Lines are counted by their line feeds: with other line ends two rows would get one number.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter(&text))
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut cells = 0usize;
    for record in reader.records() {
        let record =
            record.map_err(|error| refuse(format!("it is not proper csv ({error})"), whole()))?;
        // A quoted cell may span lines; the row is the line on which the record starts.
        let line = record.position().map_or(1, csv::Position::line);
        let row = u32::try_from(line.saturating_sub(1)).unwrap_or(u32::MAX);
        let mut list: Row = Vec::new();
        for (column, text) in (0u32..).zip(record.iter()) {
            cells += 1;
            if cells > MOST_CELLS {
                let place = Place::Cell {
                    file: file.clone(),
                    sheet: None,
                    cell: CellAddress { row, column },
                };
                return Err(refuse(format!("it has more than {MOST_CELLS} cells"), place).into());
            }
            if !text.trim().is_empty() {
                list.push((column, Cell::plain(Value::Text(text.to_owned()))));
            }
        }
        if !list.is_empty() {
            rows.push((row, list));
        }
    }
    Ok(Grid {
        file: file.clone(),
        sheets: vec![Sheet {
            name: None,
            visible: true,
            rows,
            merged: Vec::new(),
        }],
    })
}

/// The mark that separates cells: the one seen most often in the first lines.
fn delimiter(text: &str) -> u8 {
    let head: Vec<&str> = text.lines().take(20).collect();
    let count = |mark: char| {
        head.iter()
            .map(|line| line.matches(mark).count())
            .sum::<usize>()
    };
    let (commas, semicolons, tabs) = (count(','), count(';'), count('\t'));
    if semicolons > commas && semicolons >= tabs {
        b';'
    } else if tabs > commas {
        b'\t'
    } else {
        b','
    }
}
