//! The takeoff as a form, with drop-downs and notes, blank or filled.

use rust_xlsxwriter::{
    DataValidation, DocProperties, ExcelDateTime, Formula, Workbook, Worksheet, XlsxError,
};

use super::page;
use super::styles::{self, Look};
use crate::diag::column_letters;
use crate::quantity::System;
use crate::takeoff::{
    ALLOWANCE_HEADINGS, ALLOWANCES, ALTERNATE_HEADINGS, ALTERNATES, InputKind, InputSpec, JOB_KEYS,
    Surveyor, TableSpec, TakeoffSpec,
};
use crate::trail::{Choice, Ledger};

/// Rows of a blank form that have drop-downs.
pub(super) const FORM_ROWS: usize = 200;
/// Sheet with the lists behind the drop-downs.
const LISTS: &str = "Lists";

/// A table as a person would type it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TypedTable {
    /// Headings.
    pub headings: Vec<String>,
    /// Rows of cells; what reads as a plain number is written as one.
    pub rows: Vec<Vec<String>>,
}

/// A takeoff as a person would type it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TypedTakeoff {
    /// Title above the headings of rooms.
    pub title: String,
    /// Entries of the Job sheet.
    pub job: Vec<(String, String)>,
    /// The Rooms sheet.
    pub rooms: TypedTable,
    /// Sheets of tables below rooms, by title.
    pub children: Vec<(String, TypedTable)>,
    /// Further sheets by name, such as readings, alternates, allowances: rows of cells.
    pub sheets: Vec<(String, Vec<Vec<String>>)>,
}

/// Writes a takeoff form; without a filled takeoff it is blank.
///
/// # Errors
/// Says in words what the form could not hold.
pub fn write_takeoff_form(
    (spec, surveyors): (&TakeoffSpec, &[&dyn Surveyor]),
    ledger: &Ledger,
    filled: Option<&TypedTakeoff>,
) -> Result<Vec<u8>, String> {
    takeoff_form((spec, surveyors), ledger, filled)
        .map_err(|error| format!("the form cannot be written: {error}"))
}

pub(super) fn new_workbook(title: &str) -> Result<Workbook, XlsxError> {
    let mut workbook = Workbook::new();
    let created = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(
        &DocProperties::new()
            .set_title(title)
            .set_creation_datetime(&created),
    );
    Ok(workbook)
}

fn takeoff_form(
    (spec, surveyors): (&TakeoffSpec, &[&dyn Surveyor]),
    ledger: &Ledger,
    filled: Option<&TypedTakeoff>,
) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = new_workbook("Takeoff")?;
    let lists = lists(spec, ledger);
    write_job(
        workbook.add_worksheet().set_name("Job")?,
        spec,
        ledger,
        filled,
        &lists,
    )?;
    let title = filled.map_or("Takeoff: one row for each room", |filled| {
        filled.title.as_str()
    });
    let rooms = filled.map(|filled| &filled.rooms);
    write_table(
        workbook.add_worksheet().set_name(&spec.rooms.title)?,
        &spec.rooms,
        title,
        rooms,
        ledger,
        &lists,
    )?;
    for child in &spec.children {
        let typed = filled.and_then(|filled| {
            filled
                .children
                .iter()
                .find(|(title, _)| *title == child.title)
                .map(|(_, table)| table)
        });
        let title = format!("{}: one row each, with the name of its room", child.title);
        write_table(
            workbook.add_worksheet().set_name(&child.title)?,
            child,
            &title,
            typed,
            ledger,
            &lists,
        )?;
    }
    if filled.is_none() {
        let sheet = workbook.add_worksheet().set_name(ALLOWANCES)?;
        let title = "Allowances: sums held for what the customer has yet to choose";
        write_headings(sheet, title, &ALLOWANCE_HEADINGS)?;
        let sheet = workbook.add_worksheet().set_name(ALTERNATES)?;
        let title = "Alternates: the same job priced again with these cells of its rooms changed";
        write_headings(sheet, title, &ALTERNATE_HEADINGS)?;
    }
    for (name, rows) in filled.iter().flat_map(|filled| &filled.sheets) {
        let sheet = workbook.add_worksheet().set_name(name)?;
        write_cells(sheet, 0, rows)?;
    }
    for surveyor in surveyors.iter().filter(|_| filled.is_none()) {
        let (name, rows) = surveyor.form(ledger.system);
        write_cells(workbook.add_worksheet().set_name(name)?, 0, &rows)?;
    }
    if !lists.is_empty() {
        let sheet = workbook.add_worksheet().set_name(LISTS)?;
        for (at, (name, texts)) in (0u16..).zip(&lists) {
            sheet.write_string_with_format(0, at, name.replace('_', " "), &styles::heading())?;
            sheet.set_column_width(at, 26)?;
            for (row, text) in (1u32..).zip(texts) {
                sheet.write_string_with_format(row, at, text, &styles::text())?;
            }
        }
    }
    workbook.save_to_buffer()
}

/// A sheet of its own for what is no table of rooms: a title, its headings with why they are there.
fn write_headings(
    sheet: &mut Worksheet,
    title: &str,
    headings: &[(&str, &str)],
) -> Result<(), XlsxError> {
    const HEADING_ROW: u32 = 2;
    sheet.write_string_with_format(0, 0, title, &styles::title())?;
    for (at, (heading, why)) in (0u16..).zip(headings) {
        sheet.write_string_with_format(HEADING_ROW, at, *heading, &styles::heading())?;
        sheet.set_column_width(at, 30)?;
        sheet.insert_note(HEADING_ROW, at, &page::note(why))?;
    }
    sheet.set_freeze_panes(HEADING_ROW + 1, 1)?;
    page::set_up_form(sheet, HEADING_ROW, headings.len())
}

/// The lists behind drop-downs: the input's name and its texts.
fn lists(spec: &TakeoffSpec, ledger: &Ledger) -> Vec<(String, Vec<String>)> {
    let mut lists: Vec<(String, Vec<String>)> = Vec::new();
    let tables = std::iter::once(&spec.rooms).chain(&spec.children);
    for input in tables.flat_map(|table| &table.inputs).chain(&spec.job) {
        let texts = match &input.kind {
            InputKind::Text(Choice::OneOf(texts)) => texts.clone(),
            InputKind::Text(Choice::ProductOf(table)) => ledger.table(*table).row_names.clone(),
            _ => continue,
        };
        if !texts.is_empty() && !lists.iter().any(|(name, _)| *name == input.name) {
            lists.push((input.name.clone(), texts));
        }
    }
    lists
}

/// A drop-down that shows a list of the Lists sheet.
fn drop_down(input: &InputSpec, lists: &[(String, Vec<String>)]) -> Option<DataValidation> {
    let at = lists.iter().position(|(name, _)| *name == input.name)?;
    let letters = column_letters(at as u32);
    let last = lists[at].1.len() + 1;
    Some(
        DataValidation::new().allow_list_formula(Formula::new(format!(
            "={LISTS}!${letters}$2:${letters}${last}"
        ))),
    )
}

fn write_job(
    sheet: &mut Worksheet,
    spec: &TakeoffSpec,
    ledger: &Ledger,
    filled: Option<&TypedTakeoff>,
    lists: &[(String, Vec<String>)],
) -> Result<(), XlsxError> {
    sheet
        .set_column_width(0, 22)?
        .set_column_width(1, 34)?
        .set_column_width(2, 70)?;
    sheet.set_landscape().set_print_fit_to_pages(1, 0);
    sheet.write_string_with_format(0, 0, "Job", &styles::title())?;
    sheet.write_string_with_format(
        1,
        0,
        "A key in the first column, its value in the second.",
        &styles::remark(),
    )?;
    let job = filled.map_or(&[][..], |filled| filled.job.as_slice());
    let value_of = |key: &str| {
        let found = job.iter().find(|(known, _)| known == key);
        found.map(|(_, value)| value.clone())
    };
    let mut written: Vec<&str> = JOB_KEYS.iter().map(|(key, ..)| *key).collect();
    let mut row = 3;
    for (key, what, _) in JOB_KEYS {
        let default = match (filled, key) {
            (None, "Units") => Some(system_name(ledger.system).to_owned()),
            _ => None,
        };
        write_entry(sheet, row, key, value_of(key).or(default), what)?;
        if key == "Units" {
            let choices = DataValidation::new().allow_list_strings(&["US", "SI"])?;
            sheet.add_data_validation(row, 1, row, 1, &choices)?;
        }
        row += 1;
    }
    let for_all = spec
        .rooms
        .inputs
        .iter()
        .filter(|input| matches!(input.kind, InputKind::Text(_)))
        .filter(|input| input.survey.is_none() && !input.asked_by.is_empty());
    for (input, ending) in spec
        .job
        .iter()
        .map(|i| (i, ""))
        .chain(for_all.map(|i| (i, " For rooms that name none.")))
    {
        let what = format!("{}{ending}", input.why);
        write_entry(sheet, row, &input.title, value_of(&input.title), &what)?;
        written.push(&input.title);
        if let Some(choices) = drop_down(input, lists) {
            sheet.add_data_validation(row, 1, row, 1, &choices)?;
        }
        row += 1;
    }
    // Fees, numbers for all rooms, and what goes by another of its headings.
    for (key, value) in job
        .iter()
        .filter(|(key, _)| !written.contains(&key.as_str()))
    {
        write_entry(sheet, row, key, Some(value.clone()), "")?;
        row += 1;
    }
    if filled.is_none() {
        let what = "A fee of this job: money, or a percentage such as 2 %; as it is. \"Fee with markup: …\" adds the markup. A row for each.";
        write_entry(sheet, row, "Fee: Permit", None, what)?;
    }
    Ok(())
}

fn system_name(system: System) -> &'static str {
    match system {
        System::Us => "US",
        System::Si => "SI",
    }
}

fn write_entry(
    sheet: &mut Worksheet,
    row: u32,
    key: &str,
    value: Option<String>,
    what: &str,
) -> Result<(), XlsxError> {
    sheet.write_string_with_format(row, 0, key, &styles::strong())?;
    let input = styles::text_cell(Look::Input);
    match value {
        Some(value) => sheet.write_string_with_format(row, 1, value, &input)?,
        None => sheet.write_blank(row, 1, &input)?,
    };
    sheet.write_string_with_format(row, 2, what, &styles::remark())?;
    Ok(())
}

fn write_table(
    sheet: &mut Worksheet,
    spec: &TableSpec,
    title: &str,
    typed: Option<&TypedTable>,
    ledger: &Ledger,
    lists: &[(String, Vec<String>)],
) -> Result<(), XlsxError> {
    const HEADING_ROW: u32 = 2;
    sheet.write_string_with_format(0, 0, title, &styles::title())?;
    let blank = TypedTable {
        headings: std::iter::once("Room".to_owned())
            .chain(spec.inputs.iter().map(|input| heading(input, ledger)))
            .collect(),
        rows: Vec::new(),
    };
    let table = typed.unwrap_or(&blank);
    let rows = table
        .rows
        .len()
        .max(if typed.is_some() { 0 } else { FORM_ROWS }) as u32;
    for (at, title) in (0u16..).zip(&table.headings) {
        sheet.write_string_with_format(HEADING_ROW, at, title, &styles::heading())?;
        sheet.set_column_width(at, 19)?;
        let bare = title.split(['(', ',']).next().unwrap_or("");
        let Some(input) = spec.inputs.iter().find(|input| input.goes_under(bare)) else {
            continue;
        };
        if !input.why.is_empty() {
            sheet.insert_note(HEADING_ROW, at, &page::note(&input.why))?;
        }
        if let Some(choices) = drop_down(input, lists)
            && rows > 0
        {
            sheet.add_data_validation(HEADING_ROW + 1, at, HEADING_ROW + rows, at, &choices)?;
        }
    }
    write_cells(sheet, HEADING_ROW + 1, &table.rows)?;
    sheet.set_freeze_panes(HEADING_ROW + 1, 1)?;
    match typed {
        None => page::set_up_form(sheet, HEADING_ROW, table.headings.len()),
        Some(_) => {
            sheet.set_landscape().set_print_fit_to_pages(1, 0);
            Ok(())
        }
    }
}

/// Writes rows of cells as typed; what reads as a number is written as one.
fn write_cells(sheet: &mut Worksheet, top: u32, rows: &[Vec<String>]) -> Result<(), XlsxError> {
    for (row, cells) in (top..).zip(rows) {
        for (at, text) in (0u16..).zip(cells) {
            match text.parse::<f64>() {
                _ if text.is_empty() => continue,
                Ok(number) if number.is_finite() => sheet.write_number(row, at, number)?,
                _ => sheet.write_string(row, at, text)?,
            };
        }
    }
    Ok(())
}

fn heading(input: &InputSpec, ledger: &Ledger) -> String {
    match &input.kind {
        InputKind::Quantity(_) => {
            let unit = input.unit(ledger.system);
            if unit.label.is_empty() {
                input.title.clone()
            } else {
                format!("{} ({})", input.title, unit.label)
            }
        }
        InputKind::Text(_) => input.title.clone(),
    }
}
