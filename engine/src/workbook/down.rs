//! Tables of one row (the sums, the whole job), written downward: a row for each column.

use std::collections::BTreeMap;

use rust_xlsxwriter::{Formula, Worksheet, XlsxError};

use super::estimate_columns::EstimateColumns;
use super::formula::Printer;
use super::layout::{Direction, Layout, TablePlace, absolute};
use super::piece::{cell_number, cell_unit, tidy};
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::measure::capital;
use crate::trail::{ColumnId, Kind, Ledger, Role, TableId};

/// The plan of one such table.
#[derive(Clone, Debug)]
pub(super) struct DownTable {
    table: TableId,
    title: String,
    top: u32,
    at: EstimateColumns,
    rows: BTreeMap<ColumnId, u32>,
}

impl DownTable {
    /// Plans a table whose title stands in a sheet row.
    pub(super) fn new(
        table: TableId,
        title: &str,
        top: u32,
        at: EstimateColumns,
        ledger: &Ledger,
    ) -> Self {
        let rows = ledger
            .table(table)
            .columns()
            .map(|(id, _)| id)
            .zip(top + 1..)
            .collect();
        Self {
            table,
            title: title.to_owned(),
            top,
            at,
            rows,
        }
    }

    /// Puts it into the layout.
    pub(super) fn put(&self, sheet: &str, layout: &mut Layout) {
        layout.put(
            self.table,
            TablePlace {
                sheet: sheet.to_owned(),
                direction: Direction::Down {
                    column: self.at.below_value(),
                },
                first: self.top + 1,
                rows: 1,
                columns: self.rows.clone(),
                owner: 0,
            },
        );
    }

    /// The first row below it.
    pub(super) fn end(&self) -> u32 {
        self.top + 1 + self.rows.len() as u32
    }

    /// The cells of a recipe's forks.
    pub(super) fn forks(&self, sheet: &str, bid: &Bid, recipe: &str) -> Vec<String> {
        let table = bid.ledger.table(self.table);
        self.rows
            .iter()
            .filter(|(id, _)| {
                let column = table.column(**id);
                column.role == Role::Fork && column.group == recipe
            })
            .map(|(_, row)| absolute(sheet, *row, u32::from(self.at.below_value())))
            .collect()
    }

    /// Writes it.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let table = bid.ledger.table(self.table);
        let (titles, units) = (self.at.below_title(), self.at.below_unit());
        let notes = self.at.below_note();
        sheet.write_string_with_format(self.top, titles, &self.title, &styles::group())?;
        for (id, row) in &self.rows {
            let column = table.column(*id);
            let title = capital(&column.title);
            sheet.write_string_with_format(*row, titles, &title, &styles::text())?;
            sheet.write_string_with_format(*row, units, &column.unit.label, &styles::text())?;
            sheet.write_string_with_format(*row, notes, &column.note, &styles::remark())?;
            self.write_value(sheet, bid, layout, *id, *row)?;
        }
        Ok(())
    }

    fn write_value(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        layout: &Layout,
        id: ColumnId,
        row: u32,
    ) -> Result<(), XlsxError> {
        let ledger = &bid.ledger;
        let table = ledger.table(self.table);
        let column = table.column(id);
        let value = table.value(id, 0);
        let at = self.at.below_value();
        if value.is_nan() {
            return Ok(());
        }
        let look = match column.role {
            Role::Working | Role::Fork | Role::AsPriced => Look::Working,
            _ => Look::Result,
        };
        let format = styles::cell(look, &styles::number_format(&column.unit, &ledger.units));
        let found = table.blocks.iter().find_map(|block| {
            let shape = block.shape_of(0)?;
            let printer = Printer {
                ledger,
                layout,
                table: self.table,
                shape,
            };
            if let Some(output) = shape.outputs.iter().find(|output| output.column == id) {
                let unit = cell_unit(column, shape.node(output.node));
                return Some((printer.output(output)?, tidy(cell_number(value, unit))));
            }
            let frozen = shape.frozen.iter().find(|frozen| frozen.flag == id)?;
            Some((printer.frozen(frozen)?, 0.0))
        });
        match (found, column.kind) {
            (Some((formula, number)), kind) => {
                let result = match kind {
                    Kind::Text => ledger.texts.of_value(value).to_owned(),
                    Kind::Condition => if value == 0.0 { "FALSE" } else { "TRUE" }.to_owned(),
                    _ => number.to_string(),
                };
                let formula = Formula::new(format!("={formula}")).set_result(result);
                sheet.write_formula_with_format(row, at, formula, &format)?;
            }
            (None, Kind::Text) => {
                sheet.write_string_with_format(row, at, ledger.texts.of_value(value), &format)?;
            }
            (None, _) => {
                let number = tidy(cell_number(value, &column.unit));
                sheet.write_number_with_format(row, at, number, &format)?;
            }
        }
        Ok(())
    }
}
