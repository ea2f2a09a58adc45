//! Small tables below the lines of the estimate: a row for each fee, allowance, phase, payment.

use rust_xlsxwriter::{Formula, Worksheet, XlsxError};

use super::estimate_columns::EstimateColumns;
use super::formula::Printer;
use super::layout::{Direction, Layout, TablePlace, range};
use super::piece::{cell_number, cell_unit, tidy};
use super::styles::{self, Look};
use super::template::{Rows, Template};
use crate::trail::{ColumnId, Ledger, TableId};

/// A column of such a table.
#[derive(Clone, Copy, Debug)]
pub(super) struct SideColumn {
    id: ColumnId,
    at: u16,
}

impl SideColumn {
    /// A column of the ledger in a column of the sheet.
    pub(super) fn new(id: ColumnId, at: u16) -> Self {
        Self { id, at }
    }
}

/// The plan of one such table.
#[derive(Clone, Debug)]
pub(super) struct SideTable {
    table: TableId,
    top: u32,
    names_at: u16,
    notes_at: u16,
    columns: Vec<SideColumn>,
    notes: Vec<String>,
}

impl SideTable {
    /// A table that has no place yet.
    pub(super) fn new(table: TableId, at: &EstimateColumns, columns: Vec<SideColumn>) -> Self {
        Self {
            table,
            top: 0,
            names_at: at.below_title(),
            notes_at: at.below_note(),
            columns,
            notes: Vec::new(),
        }
    }

    /// The table with a note beside each row.
    pub(super) fn with_notes(self, notes: Vec<String>) -> Self {
        Self { notes, ..self }
    }

    /// The table with its title in a sheet row.
    pub(super) fn at(self, top: u32) -> Self {
        Self { top, ..self }
    }

    /// The first row below it.
    pub(super) fn end(&self, ledger: &Ledger) -> u32 {
        self.top + 1 + ledger.table(self.table).rows() as u32
    }

    /// Puts it into the layout, with its title in a sheet row.
    pub(super) fn put(&self, top: u32, layout: &mut Layout, ledger: &Ledger) {
        let table = ledger.table(self.table);
        let (first, rows) = (top + 1, table.rows() as u32);
        let sheet = layout.own_sheet("Estimate");
        let columns = self.columns.iter();
        layout.put(
            self.table,
            TablePlace {
                sheet: sheet.clone(),
                direction: Direction::Across,
                first,
                rows,
                columns: columns.map(|c| (c.id, u32::from(c.at))).collect(),
                owner: 0,
            },
        );
        let at = u32::from(self.names_at);
        let names = range(&sheet, (first, at), (first + rows - 1, at));
        layout.name_rows(self.table, &format!("{}_names", table.name), names);
    }

    /// Writes it.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        ledger: &Ledger,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        let table = ledger.table(self.table);
        sheet.write_string_with_format(self.top, self.names_at, &table.title, &styles::group())?;
        for column in &self.columns {
            let title = &table.column(column.id).title;
            sheet.write_string_with_format(self.top, column.at, title, &styles::group_right())?;
        }
        for (row, name) in table.row_names.iter().enumerate() {
            let at = self.top + 1 + row as u32;
            sheet.write_string_with_format(at, self.names_at, name, &styles::text())?;
            if let Some(note) = self.notes.get(row) {
                sheet.write_string_with_format(at, self.notes_at, note, &styles::remark())?;
            }
            for column in &self.columns {
                self.write_value(sheet, (ledger, layout), *column, row)?;
            }
        }
        Ok(())
    }

    fn write_value(
        &self,
        sheet: &mut Worksheet,
        (ledger, layout): (&Ledger, &Layout),
        SideColumn { id, at }: SideColumn,
        row: usize,
    ) -> Result<(), XlsxError> {
        let table = ledger.table(self.table);
        let column = table.column(id);
        let format = styles::number_format(&column.unit, &ledger.units);
        let sheet_row = self.top + 1 + row as u32;
        let computed = table.blocks.iter().find_map(|block| {
            let shape = block.shape_of(row)?;
            let output = shape.outputs.iter().find(|output| output.column == id)?;
            let printer = Printer {
                ledger,
                layout,
                table: self.table,
                shape,
            };
            let unit = cell_unit(column, shape.node(output.node));
            Some((printer.output(output)?, unit))
        });
        let Some((formula, unit)) = computed else {
            let number = tidy(cell_number(table.value(id, row), &column.unit));
            let format = styles::cell(Look::Working, &format);
            sheet.write_number_with_format(sheet_row, at, number, &format)?;
            return Ok(());
        };
        let number = tidy(cell_number(table.value(id, row), unit));
        let formula = Template::new(&formula).at(Rows::alone(sheet_row));
        let formula = Formula::new(formula).set_result(number.to_string());
        let format = styles::cell(Look::Result, &format);
        sheet.write_formula_with_format(sheet_row, at, formula, &format)?;
        Ok(())
    }
}
