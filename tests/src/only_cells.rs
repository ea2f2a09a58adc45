//! The least that any program does that prices a takeoff: it reads the takeoff's cells and writes
//! those of the bid, with the libraries that the program uses. Benchmarks stand beside it.

use std::hint::black_box;

use calamine::{Reader, Xlsx, open_workbook_from_rs};
use ironcalc::base::Model;
use ironcalc::base::types::{Cell, FormulaValue};
use ironcalc::import::load_from_xlsx_bytes;
use rust_xlsxwriter::{Format, Formula, Workbook};

/// Sheets that the program writes row by row, straight to disk.
const STREAMED: [&str; 2] = ["Rooms", "Readings"];

/// A cell of a bid workbook.
pub enum Plain {
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// A formula with its result.
    Formula(String, String),
}

/// Sheets by name, with their cells by row and column.
pub type Cells = Vec<(String, Vec<(u32, u16, Plain)>)>;

/// Writes the cells of a bid workbook, and nothing else.
pub fn write_cells(cells: &Cells) -> Vec<u8> {
    let formats: Vec<Format> = ["0.00", "#,##0.00", "0.000", "General"]
        .map(|code| Format::new().set_num_format(code))
        .into();
    let mut workbook = Workbook::new();
    for (name, list) in cells {
        let sheet = if STREAMED.contains(&name.as_str()) {
            workbook.add_worksheet_with_low_memory().unwrap()
        } else {
            workbook.add_worksheet()
        };
        sheet.set_name(name).unwrap();
        for (row, column, cell) in list {
            let format = &formats[usize::from(*column) % formats.len()];
            match cell {
                Plain::Number(number) => {
                    sheet.write_number_with_format(*row, *column, *number, format)
                }
                Plain::Text(text) => sheet.write_string_with_format(*row, *column, text, format),
                Plain::Formula(formula, result) => {
                    let formula = Formula::new(formula.as_str()).set_result(result.as_str());
                    sheet.write_formula_with_format(*row, *column, formula, format)
                }
            }
            .unwrap();
        }
    }
    workbook.save_to_buffer().unwrap()
}

/// Reads the values of a takeoff, streamed as the program streams them; how many there are.
pub fn read_values(takeoff: &[u8]) -> usize {
    let mut workbook: Xlsx<_> = open_workbook_from_rs(std::io::Cursor::new(takeoff)).unwrap();
    let mut count = 0;
    for name in workbook.sheet_names() {
        let mut reader = workbook.worksheet_cells_reader(&name).unwrap();
        while let Some(cell) = reader.next_cell().unwrap() {
            black_box(calamine::Data::from(cell.get_value().clone()));
            count += 1;
        }
    }
    count
}

/// The cells of a workbook as text, for the process that writes them again.
pub fn pack(bytes: &[u8]) -> Vec<u8> {
    let workbook = load_from_xlsx_bytes(bytes, "bid", "en", "UTC").unwrap();
    let names: Vec<String> = workbook
        .worksheets
        .iter()
        .map(|sheet| sheet.name.clone())
        .collect();
    let model = Model::from_workbook(workbook, "en").unwrap();
    let mut list: Vec<_> = model
        .get_all_cells()
        .into_iter()
        .map(|c| (c.index, c.row, c.column))
        .collect();
    list.sort_unstable();
    let mut text = String::new();
    for (sheet, row, column) in list {
        let data = &model.workbook.worksheets[sheet as usize].sheet_data;
        let Some(cell) = data.cell(row, column) else {
            continue;
        };
        let shared = |index: i32| model.workbook.shared_strings[index as usize].clone();
        let packed = match &*cell {
            Cell::NumberCell { v, .. } => format!("n\t{v}"),
            Cell::SharedString { si, .. } => {
                format!("s\t{}", shared(*si).replace(['\t', '\n'], " "))
            }
            Cell::CellFormula { v, .. } => {
                let formula = model
                    .get_cell_formula(sheet, row, column)
                    .unwrap()
                    .unwrap_or_default();
                let result = match v {
                    FormulaValue::Number(number) => number.to_string(),
                    FormulaValue::Text(text) => text.clone(),
                    FormulaValue::Boolean(yes) => yes.to_string().to_uppercase(),
                    _ => String::new(),
                };
                format!("f\t{}\t{result}", formula.replace('@', ""))
            }
            _ => continue,
        };
        text.push_str(&format!(
            "{}\t{}\t{}\t{packed}\n",
            names[sheet as usize],
            row - 1,
            column - 1
        ));
    }
    text.into_bytes()
}

/// The cells of a workbook from their text.
pub fn unpack(bytes: &[u8]) -> Cells {
    let mut cells: Cells = Vec::new();
    for line in std::str::from_utf8(bytes).unwrap().lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        let plain = match parts[3] {
            "n" => Plain::Number(parts[4].parse().unwrap()),
            "s" => Plain::Text(parts[4].to_owned()),
            _ => Plain::Formula(parts[4].to_owned(), parts[5].to_owned()),
        };
        let at = (parts[1].parse().unwrap(), parts[2].parse().unwrap(), plain);
        match cells.last_mut() {
            Some((name, list)) if name == parts[0] => list.push(at),
            _ => cells.push((parts[0].to_owned(), vec![at])),
        }
    }
    cells
}
