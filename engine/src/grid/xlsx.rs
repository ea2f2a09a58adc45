//! Reading xlsx, behind the guard. The only file that names calamine.

use std::io::Cursor;
use std::sync::Arc;

use calamine::{
    Data, Reader, SheetVisible, Xlsx, XlsxError, XlsxFormulaMetadata, open_workbook_from_rs,
};

use super::format::{self, FormatFacts};
use super::guard::{self, MOST_CELLS};
use super::sheet::{Cell, Formula, Grid, Row, Sheet, Value};
use crate::diag::{CellAddress, Diagnostic, Outcome, Place, column_letters};

const MOST_ROWS: u32 = 1_048_576;
const MOST_MERGED: usize = 20_000;
const MOST_COLUMNS: u32 = 16_384;

type Workbook<'a> = Xlsx<Cursor<&'a [u8]>>;

/// Reads all sheets.
pub(super) fn read(file: &Arc<str>, bytes: &[u8]) -> Outcome<Grid> {
    read_or_refuse(file, bytes).map_err(|why| {
        Diagnostic::error(format!("{file} cannot be read: {why}"))
            .at(Place::File(file.clone()))
            .hint("Open it in your spreadsheet program and save it again as an Excel Workbook (.xlsx).")
            .into()
    })
}

fn read_or_refuse(file: &Arc<str>, bytes: &[u8]) -> Result<Grid, String> {
    let seen = guard::inspect(bytes)?;
    if !seen.workbook {
        return Err(if seen.open_document {
            "it is an OpenDocument file"
        } else if seen.binary_workbook {
            "it is a binary workbook (.xlsb)"
        } else {
            "it is a zip file but not a workbook"
        }
        .to_owned());
    }
    let mut workbook: Workbook<'_> =
        open_workbook_from_rs(Cursor::new(bytes)).map_err(|error| in_words(&error))?;
    let sheets: Vec<(String, bool)> = workbook
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == calamine::SheetType::WorkSheet)
        .map(|sheet| (sheet.name.clone(), sheet.visible == SheetVisible::Visible))
        .collect();
    let mut budget = MOST_CELLS;
    let mut grid = Grid {
        file: file.clone(),
        sheets: Vec::new(),
    };
    for (name, visible) in sheets {
        let mut rows = read_values(&mut workbook, &name, &mut budget)?;
        if seen.formulas {
            mark_formulas(&mut workbook, &name, &mut rows, &mut budget)?;
        }
        let merged = if seen.merged_cells {
            read_merged(&mut workbook, &name)?
        } else {
            Vec::new()
        };
        grid.sheets.push(Sheet {
            name: Some(name.into()),
            visible,
            rows,
            merged,
        });
    }
    Ok(grid)
}

fn read_values(
    workbook: &mut Workbook<'_>,
    name: &str,
    budget: &mut usize,
) -> Result<Vec<(u32, Row)>, String> {
    let mut reader = workbook
        .worksheet_cells_reader(name)
        .map_err(|error| in_words(&error))?;
    let formats: Vec<FormatFacts> = reader
        .styles()
        .iter()
        .map(|style| match &style.number_format {
            Some(number_format) => format::read(&number_format.format_code),
            None => FormatFacts::default(),
        })
        .collect();
    let mut rows = Rows::default();
    let mut last = CellAddress { row: 0, column: 0 };
    loop {
        let (cell, style) = match reader.next_cell_with_style_id() {
            Ok(Some(found)) => found,
            Ok(None) => break,
            // An error value that calamine does not know (#SPILL! and its like). It does
            // not tell where the cell stands, so the cell before it must do.
            Err(XlsxError::CellError(error)) => {
                return Err(format!(
                    "sheet {name} holds the error value {error} somewhere right after cell {last}"
                ));
            }
            Err(error) => return Err(in_words(&error)),
        };
        spend(budget)?;
        let (row, column) = inside(cell.get_position())?;
        last = CellAddress { row, column };
        let Some(value) = value_of(Data::from(cell.get_value().clone()), name, row, column)? else {
            continue;
        };
        let facts = formats.get(style).cloned().unwrap_or_default();
        rows.put(
            row,
            column,
            Cell {
                value,
                percent: facts.percent,
                format_text: facts.text,
                formula: Formula::None,
            },
        );
    }
    Ok(rows.sorted())
}

fn value_of(data: Data, sheet: &str, row: u32, column: u32) -> Result<Option<Value>, String> {
    let number = |value: f64| {
        if value.is_finite() {
            Ok(Some(Value::Number(value)))
        } else {
            let cell = CellAddress { row, column };
            Err(format!(
                "cell {sheet}!{cell} holds a number that is not finite"
            ))
        }
    };
    match data {
        Data::Empty => Ok(None),
        Data::String(text) if text.trim().is_empty() => Ok(None),
        Data::String(text) => Ok(Some(Value::Text(text))),
        Data::Float(value) => number(value),
        Data::Int(value) => number(value as f64),
        Data::Bool(value) => Ok(Some(Value::Yes(value))),
        Data::DateTime(date) => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            Ok(Some(Value::Date(format!("{year}-{month:02}-{day:02}"))))
        }
        Data::DateTimeIso(text) | Data::DurationIso(text) => Ok(Some(Value::Date(text))),
        Data::Error(error) => Ok(Some(Value::Error(error.to_string()))),
    }
}

/// A second pass that only looks for formulas: one without a stored result reads as blank.
fn mark_formulas(
    workbook: &mut Workbook<'_>,
    name: &str,
    rows: &mut Vec<(u32, Row)>,
    budget: &mut usize,
) -> Result<(), String> {
    let mut reader = workbook
        .worksheet_cells_reader(name)
        .map_err(|error| in_words(&error))?;
    let mut blanks = Vec::new();
    loop {
        let record = match reader.next_cell_with_formula_metadata() {
            Ok(Some(record)) => record,
            Ok(None) => break,
            Err(error) => return Err(in_words(&error)),
        };
        spend(budget)?;
        let Some(formula) = record.formula else {
            continue;
        };
        let (row, column) = inside(record.pos)?;
        let mark = match &formula {
            XlsxFormulaMetadata::Normal { formula }
            | XlsxFormulaMetadata::Shared { formula, .. }
                if is_sum(formula) =>
            {
                Formula::Sum
            }
            _ => Formula::Some,
        };
        let found = rows
            .binary_search_by_key(&row, |(row, _)| *row)
            .ok()
            .and_then(|at| rows[at].1.iter_mut().find(|(c, _)| *c == column));
        match found {
            Some((_, cell)) => cell.formula = mark,
            None => blanks.push((row, column, mark)),
        }
    }
    if !blanks.is_empty() {
        let mut all = Rows {
            cells: std::mem::take(rows)
                .into_iter()
                .flat_map(|(row, cells)| cells.into_iter().map(move |(c, cell)| ((row, c), cell)))
                .collect(),
        };
        for (row, column, formula) in blanks {
            let cell = Cell {
                formula,
                ..Cell::plain(Value::NoResult)
            };
            all.put(row, column, cell);
        }
        *rows = all.sorted();
    }
    Ok(())
}

fn is_sum(formula: &str) -> bool {
    let formula = formula.trim_start_matches('=').trim_start().to_uppercase();
    formula.starts_with("SUM(") || formula.starts_with("SUBTOTAL(")
}

fn read_merged(
    workbook: &mut Workbook<'_>,
    name: &str,
) -> Result<Vec<(CellAddress, CellAddress)>, String> {
    let regions = workbook
        .merge_cells_by_sheet_name(name)
        .map_err(|error| in_words(&error))?;
    if regions.len() > MOST_MERGED {
        return Err(format!(
            "sheet {name} has more than {MOST_MERGED} merged regions"
        ));
    }
    let address = |(row, column)| CellAddress { row, column };
    Ok(regions
        .into_iter()
        .map(|region| (address(region.start), address(region.end)))
        .collect())
}

fn inside(position: (u32, u32)) -> Result<(u32, u32), String> {
    let (row, column) = position;
    if row < MOST_ROWS && column < MOST_COLUMNS {
        Ok(position)
    } else {
        Err(format!(
            "it claims a cell in row {} and column {}, outside of any sheet",
            u64::from(row) + 1,
            column_letters(column)
        ))
    }
}

fn spend(budget: &mut usize) -> Result<(), String> {
    *budget = budget
        .checked_sub(1)
        .ok_or_else(|| format!("it has more than {MOST_CELLS} cells"))?;
    Ok(())
}

fn in_words(error: &XlsxError) -> String {
    match error {
        XlsxError::Password => "it is protected by a password".to_owned(),
        XlsxError::Zip(_) | XlsxError::Io(_) => "the file is damaged or was cut short".to_owned(),
        other => format!("its content is not a proper workbook ({other})"),
    }
}

/// Cells in the order in which a file gives them.
#[derive(Default)]
struct Rows {
    cells: Vec<((u32, u32), Cell)>,
}

impl Rows {
    fn put(&mut self, row: u32, column: u32, cell: Cell) {
        self.cells.push(((row, column), cell));
    }

    /// Rows by rising number, cells by rising column; of two cells at one address the later stays.
    fn sorted(mut self) -> Vec<(u32, Row)> {
        if !self.cells.is_sorted_by(|a, b| a.0 < b.0) {
            self.cells.sort_by_key(|(address, _)| *address);
            self.cells.reverse();
            self.cells.dedup_by_key(|(address, _)| *address);
            self.cells.reverse();
        }
        let mut rows: Vec<(u32, Row)> = Vec::new();
        for ((row, column), cell) in self.cells {
            match rows.last_mut() {
                Some((last, cells)) if *last == row => cells.push((column, cell)),
                _ => rows.push((row, vec![(column, cell)])),
            }
        }
        rows
    }
}
