//! The Factors sheet: every adjustable number with its reason, step tables, and lists of choices.

use rust_xlsxwriter::{DataValidation, DataValidationRule, Formula, Worksheet, XlsxError};

use super::layout::{Direction, Layout, TablePlace, absolute, range};
use super::page;
use super::piece::cell_number;
use super::piece::tidy;
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::measure::capital;
use crate::trail::{Choice, ColumnId, Kind, Ledger, Role, Single, SingleId, SingleRole, TableId};

pub(super) const SHEET: &str = "Factors";
/// First row with a factor.
const FIRST_ROW: u32 = 4;

/// Sheet columns.
pub(super) mod at {
    pub(in crate::workbook) const GROUP: u16 = 0;
    pub(in crate::workbook) const TITLE: u16 = 1;
    pub(in crate::workbook) const VALUE: u16 = 2;
    pub(in crate::workbook) const UNIT: u16 = 3;
    pub(in crate::workbook) const LEAST: u16 = 4;
    pub(in crate::workbook) const MOST: u16 = 5;
    pub(in crate::workbook) const WHY: u16 = 6;
    pub(in crate::workbook) const SOURCE: u16 = 7;
    pub(in crate::workbook) const CHECK: u16 = 8;
}

/// Where everything stands on the sheet.
#[derive(Clone, Debug)]
pub(super) struct FactorsPlan {
    pub(super) singles: Vec<(SingleId, u32)>,
    pub(super) steps: Vec<(TableId, u32)>,
    pub(super) choices: Vec<(String, Vec<String>, u32)>,
    /// First row below all.
    pub(super) end: u32,
    /// For an alternate: the checks of what it shares with the bid.
    pub(super) shared_checks: Option<String>,
}

/// Kinds of single values on the sheet, in order.
pub(super) const ROLES: [SingleRole; 4] = [
    SingleRole::Job,
    SingleRole::Factor,
    SingleRole::Pricing,
    SingleRole::Written,
];

impl FactorsPlan {
    /// Plans the sheet.
    pub(super) fn new(bid: &Bid, step_tables: &[TableId], layout: &mut Layout) -> Self {
        let ledger = &bid.ledger;
        let mut row = FIRST_ROW;
        let mut singles = Vec::new();
        for role in ROLES {
            for (id, _) in ledger.singles().filter(|(_, single)| single.role == role) {
                layout.name_single(id, ledger, absolute(SHEET, row, u32::from(at::VALUE)));
                singles.push((id, row));
                row += 1;
            }
        }
        let mut steps = Vec::new();
        for table in step_tables {
            row += 2;
            steps.push((*table, row));
            put_steps(*table, row, ledger, layout);
            row += ledger.table(*table).rows() as u32;
        }
        let mut choices = Vec::new();
        for (input, list) in all_choices(bid) {
            row += 2;
            let last = row + list.len() as u32 - 1;
            let column = u32::from(at::TITLE);
            layout.name_choices(&input, range(SHEET, (row, column), (last, column)));
            choices.push((input, list, row));
            row = last + 1;
        }
        Self {
            singles,
            steps,
            choices,
            end: row,
            shared_checks: None,
        }
    }

    /// First row below all that is planned.
    pub(super) fn end(&self) -> u32 {
        self.end
    }

    /// The ranges of checks of single values.
    pub(super) fn checks(&self) -> Option<String> {
        let both = self.shared_checks.iter().cloned().chain(self.own_checks());
        let both: Vec<String> = both.collect();
        (!both.is_empty()).then(|| both.join(","))
    }

    fn own_checks(&self) -> Option<String> {
        let (_, first) = self.singles.first()?;
        let last = self.steps.last().map(|(_, row)| row + 64);
        let (_, last_single) = self.singles.last()?;
        let column = u32::from(at::CHECK);
        Some(range(
            SHEET,
            (*first, column),
            (last.unwrap_or(*last_single), column),
        ))
    }

    /// Writes the sheet.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        page::set_up_wide(sheet, FIRST_ROW - 1)?;
        sheet.write_string_with_format(0, 0, "Factors", &styles::title())?;
        sheet.write_string_with_format(1, 0, "Every number that can be adjusted, with its reason. Change a value with a dashed border and the bid follows.", &styles::remark())?;
        let headings = [
            ("Belongs to", 13.0),
            ("What", 30.0),
            ("Value", 16.0),
            ("Unit", 11.0),
            ("Least", 10.0),
            ("Most", 10.0),
            ("Why", 46.0),
            ("Source", 40.0),
            ("Check: 1 means price again", 15.0),
        ];
        sheet.set_row_height(FIRST_ROW - 1, 34)?;
        for (at, (title, width)) in (0u16..).zip(headings) {
            let is_number = matches!(at, at::VALUE | at::LEAST | at::MOST | at::CHECK);
            let format = if is_number {
                styles::heading_right()
            } else {
                styles::heading()
            };
            sheet.write_string_with_format(FIRST_ROW - 1, at, title, &format)?;
            sheet.set_column_width(at, width)?;
        }
        self.write_values(sheet, bid, layout)?;
        sheet.set_freeze_panes(FIRST_ROW, 0)?;
        Ok(())
    }

    /// Writes the values alone, below what stands on the sheet already.
    pub(super) fn write_values(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        for (id, row) in &self.singles {
            write_single(sheet, &bid.ledger, layout, *id, *row)?;
        }
        for (table, row) in &self.steps {
            write_steps(sheet, &bid.ledger, *table, *row)?;
        }
        for (input, list, row) in &self.choices {
            let title = format!("Choices for {}", input.replace('_', " "));
            sheet.write_string_with_format(row - 1, at::TITLE, &title, &styles::group())?;
            for (at_row, text) in (*row..).zip(list) {
                sheet.write_string_with_format(at_row, at::TITLE, text, &styles::text())?;
            }
        }
        Ok(())
    }
}

fn put_steps(table: TableId, row: u32, ledger: &Ledger, layout: &mut Layout) {
    let rows = ledger.table(table).rows() as u32;
    let columns = [
        (ColumnId::FIRST, at::TITLE, "from"),
        (ColumnId::SECOND, at::VALUE, "value"),
    ];
    layout.put(
        table,
        TablePlace {
            sheet: SHEET.to_owned(),
            direction: Direction::Across,
            first: row,
            rows,
            columns: columns
                .iter()
                .map(|(id, at, _)| (*id, u32::from(*at)))
                .collect(),
            owner: 0,
        },
    );
    for (id, at, what) in columns {
        let cells = range(SHEET, (row, u32::from(at)), (row + rows - 1, u32::from(at)));
        let name = format!("{}_{what}", ledger.table(table).name);
        layout.name_column(table, id, &name, cells);
    }
}

/// The choices of all inputs of all tables and of the job, once each.
pub(super) fn all_choices(bid: &Bid) -> Vec<(String, Vec<String>)> {
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    let mut add = |name: &str, choice: &Choice| {
        if let Choice::OneOf(list) = choice
            && !found.iter().any(|(known, _)| known == name)
        {
            found.push((name.to_owned(), list.clone()));
        }
    };
    for (_, table) in bid.ledger.tables() {
        for column in &table.columns {
            if let (Role::Input, Some(facts)) = (column.role, &column.input) {
                add(&column.name, &facts.choice);
            }
        }
    }
    for (_, single) in bid.ledger.singles() {
        add(single.name.trim_start_matches("job_"), &single.choice);
    }
    found
}

fn write_single(
    sheet: &mut Worksheet,
    ledger: &Ledger,
    layout: &Layout,
    id: SingleId,
    row: u32,
) -> Result<(), XlsxError> {
    let single = ledger.single(id);
    sheet.write_string_with_format(row, at::GROUP, &single.group, &styles::text())?;
    let title = capital(&single.title);
    sheet.write_string_with_format(row, at::TITLE, &title, &styles::text())?;
    sheet.write_string_with_format(row, at::UNIT, &single.unit.label, &styles::text())?;
    let lines = page::height_for(&why(single), 46).max(page::height_for(&single.source, 38));
    sheet.set_row_height(row, lines)?;
    sheet.write_string_with_format(row, at::WHY, why(single), &styles::wrapped())?;
    sheet.write_string_with_format(row, at::SOURCE, &single.source, &styles::wrapped())?;
    let number_format = styles::number_format(&single.unit, &ledger.units);
    if single.role == SingleRole::Written {
        let number = tidy(cell_number(single.value, &single.unit));
        sheet.write_number_with_format(
            row,
            at::VALUE,
            number,
            &styles::cell(Look::Result, &number_format),
        )?;
        return Ok(());
    }
    let input = styles::cell(Look::Input, &number_format);
    match single.kind {
        _ if single.value.is_nan() => sheet.write_blank(row, at::VALUE, &input)?,
        Kind::Text => sheet.write_string_with_format(
            row,
            at::VALUE,
            ledger.texts.of_value(single.value),
            &input,
        )?,
        _ => sheet.write_number_with_format(
            row,
            at::VALUE,
            tidy(cell_number(single.value, &single.unit)),
            &input,
        )?,
    };
    let list = match &single.choice {
        Choice::ProductOf(table) => Some(layout.rows_range(*table)),
        Choice::OneOf(_) => layout.choices(single.name.trim_start_matches("job_")),
        Choice::Free => None,
    };
    let cell = format!("{}{}", column_letters(u32::from(at::VALUE)), row + 1);
    let test = match (list, single.kind) {
        (Some(list), _) => {
            let validation =
                DataValidation::new().allow_list_formula(Formula::new(format!("={list}")));
            sheet.add_data_validation(row, at::VALUE, row, at::VALUE, &validation)?;
            Some(format!("ISNUMBER(MATCH({cell},{list},0))"))
        }
        (None, Kind::Number(_)) => Some(write_bounds(sheet, single, &cell, row, &number_format)?),
        (None, _) => None,
    };
    if let Some(test) = test {
        let test = if single.may_be_blank {
            format!("OR(ISBLANK({cell}),{test})")
        } else {
            test
        };
        page::check(sheet, (row, at::CHECK), &test)?;
    }
    Ok(())
}

fn why(single: &Single) -> String {
    if single.role != SingleRole::Written {
        return single.why.clone();
    }
    "Written in the recipe; change it there.".to_owned()
}

/// Writes the bounds beside a number; the test that it keeps to them.
fn write_bounds(
    sheet: &mut Worksheet,
    single: &Single,
    cell: &str,
    row: u32,
    number_format: &str,
) -> Result<String, XlsxError> {
    let format = styles::cell(Look::Working, number_format);
    let shown = |value| tidy(cell_number(value, &single.unit));
    let mut tests = vec![format!("ISNUMBER({cell})")];
    let letters = |at: u16| column_letters(u32::from(at));
    if single.least.is_finite() {
        sheet.write_number_with_format(row, at::LEAST, shown(single.least), &format)?;
        tests.push(format!("{cell}>={}{}", letters(at::LEAST), row + 1));
    }
    if single.most.is_finite() {
        sheet.write_number_with_format(row, at::MOST, shown(single.most), &format)?;
        tests.push(format!("{cell}<={}{}", letters(at::MOST), row + 1));
    }
    let rule = match (single.least.is_finite(), single.most.is_finite()) {
        (true, true) => DataValidationRule::Between(shown(single.least), shown(single.most)),
        _ => DataValidationRule::GreaterThanOrEqualTo(shown(single.least.max(f64::MIN))),
    };
    let validation = DataValidation::new()
        .allow_decimal_number(rule)
        .set_error_title("This cannot be used")?
        .set_error_message("Type a number between the least and the most beside this cell.")?;
    sheet.add_data_validation(row, at::VALUE, row, at::VALUE, &validation)?;
    Ok(format!("AND({})", tests.join(",")))
}

fn write_steps(
    sheet: &mut Worksheet,
    ledger: &Ledger,
    id: TableId,
    first: u32,
) -> Result<(), XlsxError> {
    let table = ledger.table(id);
    let title = capital(&table.title);
    sheet.write_string_with_format(first - 1, at::GROUP, &title, &styles::group())?;
    for (column, at) in [(ColumnId::FIRST, at::TITLE), (ColumnId::SECOND, at::VALUE)] {
        let column = table.column(column);
        let heading = page::with_unit(&column.title, column, ledger);
        sheet.write_string_with_format(first - 1, at, &heading, &styles::group())?;
        let format = styles::cell(
            Look::Input,
            &styles::number_format(&column.unit, &ledger.units),
        );
        for (row, value) in (first..).zip(&column.values) {
            sheet.write_number_with_format(
                row,
                at,
                tidy(cell_number(*value, &column.unit)),
                &format,
            )?;
        }
    }
    sheet.write_string_with_format(
        first,
        at::WHY,
        &table.column(ColumnId::FIRST).note,
        &styles::wrapped(),
    )?;
    let (from, value) = (
        column_letters(u32::from(at::TITLE)),
        column_letters(u32::from(at::VALUE)),
    );
    for (index, row) in (first..).take(table.rows()).enumerate() {
        let number = row + 1;
        // Steps must rise, or the look-up finds the wrong one.
        let rises = if index == 0 {
            String::new()
        } else {
            format!(",{from}{number}>{from}{row}")
        };
        let test = format!("AND(ISNUMBER({from}{number}),ISNUMBER({value}{number}){rises})");
        page::check(sheet, (row, at::CHECK), &test)?;
    }
    Ok(())
}
