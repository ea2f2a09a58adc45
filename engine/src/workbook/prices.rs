//! The Prices sheet: rates, and every product of every kind with its fields.

use rust_xlsxwriter::{DataValidation, DataValidationRule, Worksheet, XlsxError};

use super::layout::{Direction, Layout, TablePlace, absolute, range};
use super::page;
use super::piece::cell_number;
use super::piece::tidy;
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::measure::capital;
use crate::trail::{ColumnId, Kind, Ledger, SingleId, SingleRole, TableId};

const SHEET: &str = "Prices";

/// Sheet columns that rates and products share.
mod at {
    pub(super) const CHECK: u16 = 0;
    pub(super) const NAME: u16 = 1;
    pub(super) const FIRST: u16 = 2;
}

/// Where everything stands on the sheet.
#[derive(Clone, Debug)]
pub(super) struct PricesPlan {
    rates: Vec<(SingleId, u32)>,
    kinds: Vec<(TableId, u32)>,
    end: u32,
}

impl PricesPlan {
    /// Plans the sheet.
    pub(super) fn new(bid: &Bid, products: &[(String, TableId)], layout: &mut Layout) -> Self {
        let ledger = &bid.ledger;
        let mut row = 4;
        let mut rates = Vec::new();
        for (id, _) in ledger
            .singles()
            .filter(|(_, single)| single.role == SingleRole::Rate)
        {
            layout.name_single(id, ledger, absolute(SHEET, row, u32::from(at::FIRST)));
            rates.push((id, row));
            row += 1;
        }
        let mut kinds = Vec::new();
        let listed = products
            .iter()
            .filter(|(_, table)| ledger.table(*table).rows() > 0);
        for (_, table) in listed {
            row += 3;
            kinds.push((*table, row));
            put_products(*table, row, ledger, layout);
            row += ledger.table(*table).rows() as u32;
        }
        Self {
            rates,
            kinds,
            end: row,
        }
    }

    /// The range of all checks.
    pub(super) fn checks(&self) -> String {
        let column = u32::from(at::CHECK);
        range(SHEET, (4, column), (self.end.max(5), column))
    }

    /// The cell of a product's field, without its sheet being fixed to a row.
    pub(super) fn field_cell(
        &self,
        table: TableId,
        row: usize,
        column: ColumnId,
        ledger: &Ledger,
    ) -> Option<String> {
        let (_, first) = self.kinds.iter().find(|(known, _)| *known == table)?;
        let at = field_columns(table, ledger)
            .into_iter()
            .find(|(id, _)| *id == column)?
            .1;
        Some(format!(
            "Prices!{}{}",
            column_letters(u32::from(at)),
            first + row as u32 + 1
        ))
    }

    /// Writes the sheet.
    pub(super) fn write(&self, sheet: &mut Worksheet, bid: &Bid) -> Result<(), XlsxError> {
        let ledger = &bid.ledger;
        page::set_up_wide(sheet, 1)?;
        sheet.write_string_with_format(0, 0, "Prices", &styles::title())?;
        sheet.write_string_with_format(1, 0, "The price book as it was when the job was priced. Change a price or a yield with a dashed border and the bid follows.", &styles::remark())?;
        sheet.set_column_width(at::CHECK, 9)?;
        sheet.set_column_width(at::NAME, 26)?;
        for column in at::FIRST..at::FIRST + 14 {
            sheet.set_column_width(column, 14)?;
        }
        self.write_rates(sheet, ledger)?;
        for (table, first) in &self.kinds {
            write_kind(sheet, ledger, *table, *first)?;
        }
        Ok(())
    }

    fn write_rates(&self, sheet: &mut Worksheet, ledger: &Ledger) -> Result<(), XlsxError> {
        if self.rates.is_empty() {
            return Ok(());
        }
        for (at, title) in [
            (at::CHECK, "Check"),
            (at::NAME, "Rate"),
            (at::FIRST + 1, "Unit"),
            (at::FIRST + 2, "Includes"),
        ] {
            sheet.write_string_with_format(3, at, title, &styles::heading())?;
        }
        sheet.write_string_with_format(3, at::FIRST, "Value", &styles::heading_right())?;
        for (id, row) in &self.rates {
            let single = ledger.single(*id);
            let title = capital(&single.title);
            sheet.write_string_with_format(*row, at::NAME, &title, &styles::strong())?;
            let format = styles::cell(
                Look::Input,
                &styles::number_format(&single.unit, &ledger.units),
            );
            sheet.write_number_with_format(
                *row,
                at::FIRST,
                tidy(cell_number(single.value, &single.unit)),
                &format,
            )?;
            sheet.write_string_with_format(
                *row,
                at::FIRST + 1,
                &single.unit.label,
                &styles::text(),
            )?;
            sheet.write_string_with_format(*row, at::FIRST + 2, &single.why, &styles::text())?;
            let cell = format!("{}{}", column_letters(u32::from(at::FIRST)), row + 1);
            page::check(
                sheet,
                (*row, at::CHECK),
                &format!("AND(ISNUMBER({cell}),{cell}>=0)"),
            )?;
            let validation = DataValidation::new()
                .allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0));
            sheet.add_data_validation(*row, at::FIRST, *row, at::FIRST, &validation)?;
        }
        Ok(())
    }
}

/// The columns of a kind with their sheet columns: package, fields, supplier.
fn field_columns(table: TableId, ledger: &Ledger) -> Vec<(ColumnId, u16)> {
    ledger
        .table(table)
        .columns()
        .map(|(id, _)| id)
        .zip(at::FIRST..)
        .collect()
}

fn put_products(table: TableId, first: u32, ledger: &Ledger, layout: &mut Layout) {
    let kind = &ledger.table(table).name;
    let rows = ledger.table(table).rows() as u32;
    let columns = field_columns(table, ledger);
    layout.put(
        table,
        TablePlace {
            sheet: SHEET.to_owned(),
            direction: Direction::Across,
            first,
            rows,
            columns: columns
                .iter()
                .map(|(id, at)| (*id, u32::from(*at)))
                .collect(),
            owner: 0,
        },
    );
    let cells = |at: u16| {
        range(
            SHEET,
            (first, u32::from(at)),
            (first + rows - 1, u32::from(at)),
        )
    };
    layout.name_rows(table, &format!("book_{kind}"), cells(at::NAME));
    for (id, at) in columns {
        let name = format!("book_{kind}_{}", ledger.table(table).column(id).name);
        layout.name_column(table, id, &name, cells(at));
    }
}

fn write_kind(
    sheet: &mut Worksheet,
    ledger: &Ledger,
    id: TableId,
    first: u32,
) -> Result<(), XlsxError> {
    let table = ledger.table(id);
    let title = format!("Kind: {}", table.title);
    sheet.write_string_with_format(first - 2, at::NAME, &title, &styles::group())?;
    sheet.write_string_with_format(first - 1, at::CHECK, "Check", &styles::heading())?;
    sheet.write_string_with_format(first - 1, at::NAME, "Product", &styles::heading())?;
    sheet.set_row_height(first - 1, 34)?;
    let columns = field_columns(id, ledger);
    let money = styles::money_format(&ledger.units.currency().symbol);
    for (column, at) in &columns {
        let column = table.column(*column);
        let heading = page::with_unit(&column.title, column, ledger);
        let format = match column.kind {
            Kind::Number(_) => styles::heading_right(),
            _ => styles::heading(),
        };
        sheet.write_string_with_format(first - 1, *at, &heading, &format)?;
        if column.kind == Kind::Text {
            let texts: Vec<String> = column
                .values
                .iter()
                .map(|value| ledger.texts.of_value(*value).to_owned())
                .collect();
            sheet.set_column_width(*at, page::width_for(&texts))?;
        }
        if !column.note.is_empty() {
            sheet.insert_note(first - 1, *at, &page::note(&column.note))?;
        }
    }
    for index in 0..table.rows() {
        let row = first + index as u32;
        sheet.write_string_with_format(
            row,
            at::NAME,
            &table.row_names[index],
            &styles::strong(),
        )?;
        let mut price = String::new();
        let mut others = Vec::new();
        for (column_id, at) in &columns {
            let column = table.column(*column_id);
            let value = column.values[index];
            let cell = format!("{}{}", column_letters(u32::from(*at)), row + 1);
            // As it was entered: nobody writes 48.00 bags on a pallet.
            let number_format = match styles::number_format(&column.unit, &ledger.units) {
                shown if shown == money => shown,
                _ => "General".to_owned(),
            };
            let format = styles::cell(Look::Input, &number_format);
            match column.kind {
                Kind::Text => {
                    sheet.write_string_with_format(
                        row,
                        *at,
                        ledger.texts.of_value(value),
                        &styles::text(),
                    )?;
                    continue;
                }
                _ if value.is_nan() => {
                    sheet.write_blank(row, *at, &format)?;
                    continue;
                }
                _ => {
                    sheet.write_number_with_format(
                        row,
                        *at,
                        tidy(cell_number(value, &column.unit)),
                        &format,
                    )?;
                }
            }
            if column.name == "price" {
                price = cell;
            } else {
                others.push(cell);
            }
            let validation = DataValidation::new()
                .allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0));
            sheet.add_data_validation(row, *at, row, *at, &validation)?;
        }
        // All that was filled in when the job was priced must stay filled in.
        let mut test = format!("ISNUMBER({price}),{price}>=0");
        if !others.is_empty() {
            let list = others.join(",");
            test.push_str(&format!(",COUNT({list})={},MIN({list})>0", others.len()));
        }
        page::check(sheet, (row, at::CHECK), &format!("AND({test})"))?;
    }
    Ok(())
}
