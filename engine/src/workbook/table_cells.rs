//! The cells of a sheet of rooms: what was typed as it was typed, what was computed as formulas.

use rust_xlsxwriter::{Format, Formula, Worksheet, XlsxError};

use super::layout::absolute;
use super::piece::{cell_number, cell_scale, cell_unit, tidy};
use super::plan::What;
use super::table_sheet::{TableSheet, Written};
use super::template::{Rows, Template};
use crate::takeoff::SetCell;
use crate::trail::{Column, ColumnId, Kind, Origin, Role, SingleId, Table};

impl TableSheet<'_> {
    pub(super) fn write_cell(
        &self,
        sheet: &mut Worksheet,
        row: usize,
        at: u16,
        column: &Written,
        templates: &[Vec<Vec<(ColumnId, Template)>>],
    ) -> Result<(), XlsxError> {
        let table = self.table();
        let sheet_row = self.plan.first_row + row as u32;
        let (owner, name) = match table.parent_row(row) {
            Some((parent, owner)) => (owner, &self.ledger().table(parent).row_names[owner]),
            None => (row, &table.row_names[row]),
        };
        let rows = Rows {
            own: sheet_row,
            parent: self.plan.first_row + owner as u32,
            children: &|table| self.span_of(table, row),
        };
        match column {
            Written::Number(format) => {
                sheet.write_number_with_format(sheet_row, at, owner as f64 + 1.0, format)?;
            }
            Written::Name(format) => {
                sheet.write_string_with_format(sheet_row, at, name, format)?;
            }
            Written::Status(template, format) => {
                let formula = Formula::new(template.at(rows)).set_result("ok");
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::ShownPrice(template, format) => {
                let price = table.value(self.bid.shares.price, row);
                let formula = Formula::new(template.at(rows)).set_result(price.to_string());
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::Carried(index, format) => {
                let text = &self.takeoff.carried[*index].texts[row];
                if !text.is_empty() {
                    sheet.write_string_with_format(sheet_row, at, text, format)?;
                }
            }
            Written::Check(template, format) => {
                let formula = Formula::new(template.at(rows)).set_result("0");
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::FilledHere(format) => {
                let number = self.filled_here(row);
                sheet.write_number_with_format(sheet_row, at, number, format)?;
            }
            Written::Input(id, typed, filled) => {
                self.write_input(sheet, row, (sheet_row, at), *id, (typed, filled))?
            }
            Written::Computed(id, format) => {
                self.write_computed(sheet, (row, rows), at, *id, format, templates)?;
            }
        }
        Ok(())
    }

    fn write_input(
        &self,
        sheet: &mut Worksheet,
        row: usize,
        (sheet_row, at): (u32, u16),
        id: ColumnId,
        (typed, filled): (&Format, &Format),
    ) -> Result<(), XlsxError> {
        let column = self.table().column(id);
        let value = column.values[row];
        let origin = column
            .input
            .as_ref()
            .and_then(|facts| facts.origins.get(row))
            .copied();
        let format = match origin {
            Some(Origin::Job | Origin::Default) => filled,
            _ => typed,
        };
        if value.is_nan() {
            sheet.write_blank(sheet_row, at, format)?;
            return Ok(());
        }
        if let Some(formula) = self.following(column, row) {
            let formula = Formula::new(formula).set_result(self.shown(value, column));
            sheet.write_formula_with_format(sheet_row, at, formula, filled)?;
            return Ok(());
        }
        let job = column.input.as_ref().and_then(|facts| facts.job_value);
        if let (Some(Origin::Job), Some(job)) = (origin, job) {
            let formula = self.job_formula(job, column);
            let formula = Formula::new(formula).set_result(self.shown(value, column));
            sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            return Ok(());
        }
        match column.kind {
            Kind::Text => {
                let text = self.ledger().texts.of_value(value);
                sheet.write_string_with_format(sheet_row, at, text, format)?;
            }
            _ => {
                let number = tidy(cell_number(value, &column.unit));
                sheet.write_number_with_format(sheet_row, at, number, format)?;
            }
        }
        Ok(())
    }

    /// A cell that follows the bid's, where both hold the same.
    fn following(&self, column: &Column, row: usize) -> Option<String> {
        let followed = self.followed?;
        let own = self.table();
        let sets = |set: &SetCell| set.is(&own.row_names[row], &column.name);
        if own.parent().is_none() && followed.sets.iter().any(sets) {
            return None;
        }
        let table = followed.ledger.table(followed.plan.table);
        let id = table.column_named(&column.name)?;
        let value = table.value(id, row);
        let same = match column.kind {
            Kind::Text => {
                let text = followed.ledger.texts.of_value(value);
                !value.is_nan() && text == self.ledger().texts.of_value(column.values[row])
            }
            _ => value == column.values[row],
        };
        let at = followed
            .plan
            .column_of(&What::Ledger(id))
            .filter(|_| same)?;
        let sheet_row = followed.plan.first_row + row as u32;
        let cell = absolute(&followed.plan.sheet, sheet_row, at);
        let may_be_blank = column
            .input
            .as_ref()
            .is_some_and(|facts| facts.may_be_blank);
        // A blank would be followed as 0.
        Some(if may_be_blank {
            format!("=IF(ISBLANK({cell}),NA(),{cell})")
        } else {
            format!("={cell}")
        })
    }

    /// How many more cells of a row are filled in than on the sheet of the bid.
    fn filled_here(&self, row: usize) -> f64 {
        let filled = |table: &Table| {
            let inputs = table.columns().filter(|(_, c)| c.role == Role::Input);
            inputs
                .filter(|(id, _)| !table.value(*id, row).is_nan())
                .count() as f64
        };
        self.followed.map_or(0.0, |followed| {
            filled(self.table()) - filled(followed.ledger.table(followed.plan.table))
        })
    }

    /// A cell that follows the Job value on the Factors sheet.
    fn job_formula(&self, job: SingleId, column: &Column) -> String {
        let name = self.layout.single(job);
        let single = self.ledger().single(job);
        let (own, _) = cell_scale(&column.unit);
        let (its, _) = cell_scale(&single.unit);
        if column.kind == Kind::Text || own == its {
            format!("={name}")
        } else {
            format!("={name}*{}", tidy(its / own))
        }
    }

    /// First and last sheet row of a row's own rows in a table below.
    fn span_of(&self, table: u32, row: usize) -> (u32, u32) {
        let below = self
            .ledger()
            .tables()
            .find(|(id, _)| u32::from(id.number()) == table);
        let span = below.and_then(|(id, below)| {
            let top = self.layout.table(id)?.first;
            let (first, last) = below.span_of(row)?;
            Some((top + first, top + last))
        });
        span.unwrap_or_default()
    }

    fn write_computed(
        &self,
        sheet: &mut Worksheet,
        (row, rows): (usize, Rows<'_>),
        at: u16,
        id: ColumnId,
        format: &Format,
        templates: &[Vec<Vec<(ColumnId, Template)>>],
    ) -> Result<(), XlsxError> {
        let table = self.table();
        let column = table.column(id);
        let value = column.values[row];
        if value.is_nan() {
            return Ok(());
        }
        let sheet_row = rows.own;
        for (block, shapes) in table.blocks.iter().zip(templates) {
            let Some(index) = block.of_row.get(row) else {
                continue;
            };
            let index = usize::from(*index);
            let Some((_, template)) = shapes[index].iter().find(|(known, _)| *known == id) else {
                continue;
            };
            let shape = &block.shapes[index];
            let node = shape
                .outputs
                .iter()
                .find(|output| output.column == id)
                .map(|output| shape.node(output.node));
            let unit = node.map_or(&*column.unit, |node| cell_unit(column, node));
            let result = match column.kind {
                Kind::Number(_) => cell_number(value, unit).to_string(),
                _ => self.shown(value, column),
            };
            let formula = Formula::new(template.at(rows)).set_result(result);
            sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            return Ok(());
        }
        // A fixed answer, or what it rested on: a value that stays as priced.
        match column.kind {
            Kind::Text => {
                sheet.write_string_with_format(sheet_row, at, self.shown(value, column), format)?
            }
            _ => sheet.write_number_with_format(
                sheet_row,
                at,
                tidy(cell_number(value, &column.unit)),
                format,
            )?,
        };
        Ok(())
    }

    /// A value as a formula's stored result.
    fn shown(&self, value: f64, column: &Column) -> String {
        match column.kind {
            Kind::Number(_) => tidy(cell_number(value, &column.unit)).to_string(),
            Kind::Text => self.ledger().texts.of_value(value).to_owned(),
            Kind::Condition => if value == 0.0 { "FALSE" } else { "TRUE" }.to_owned(),
            Kind::Product(_) => value.to_string(),
        }
    }
}
