//! The sheets of rooms and of tables below rooms: a row each, written once from top to bottom.

use rust_xlsxwriter::{
    ConditionalFormatFormula, DataValidation, DataValidationRule, Format, Formula, Worksheet,
    XlsxError,
};

use super::checks::check_formula;
use super::formula::{Printer, Template, cell_number, cell_unit};
use super::layout::Layout;
use super::page;
use super::plan::{TablePlan, What};
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::takeoff::TakeoffTable;
use crate::trail::{Choice, Column, ColumnId, Kind, Ledger, Origin, Role, Table};

/// What is needed to write one of these sheets.
pub(super) struct TableSheet<'a> {
    pub(super) bid: &'a Bid,
    pub(super) takeoff: &'a TakeoffTable,
    pub(super) plan: &'a TablePlan,
    pub(super) layout: &'a Layout,
}

/// How one column is written, prepared once.
enum Written {
    Number(Format),
    Name(Format),
    Status(Template, Format),
    ShownPrice(Template, Format),
    Input(ColumnId, Format, Format),
    Carried(usize, Format),
    Computed(ColumnId, Format),
    Check(Template, Format),
}

impl TableSheet<'_> {
    fn ledger(&self) -> &Ledger {
        &self.bid.ledger
    }

    fn table(&self) -> &Table {
        self.ledger().table(self.plan.table)
    }

    /// Writes the sheet.
    pub(super) fn write(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        page::set_up_many_columns(sheet, self.plan.first_row - 1, &self.page_breaks())?;
        let table = self.table();
        sheet.write_string_with_format(0, 0, &table.title, &styles::title())?;
        sheet.write_string_with_format(
            1,
            0,
            "Cells with a dashed border may be changed; everything else is calculated from them.",
            &styles::remark(),
        )?;
        self.write_headings(sheet)?;
        let templates = self.templates();
        let written: Vec<Written> = self
            .plan
            .columns
            .iter()
            .map(|(what, _)| self.prepare(what))
            .collect();
        for row in 0..table.rows() {
            for (at, column) in (0u16..).zip(&written) {
                self.write_cell(sheet, row, at, column, &templates)?;
            }
        }
        self.validate(sheet)?;
        self.mark_stale(sheet)?;
        sheet.set_freeze_panes(self.plan.first_row, 3)?;
        Ok(())
    }

    /// Sheet columns at which a printed page begins: where a group of columns does.
    fn page_breaks(&self) -> Vec<u32> {
        (1u32..)
            .zip(self.plan.columns.windows(2))
            .filter(|(_, pair)| pair[0].1 != pair[1].1 && !pair[0].1.is_empty())
            .map(|(at, _)| at)
            .collect()
    }

    fn write_headings(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let (group_row, heading_row) = (self.plan.first_row - 2, self.plan.first_row - 1);
        sheet.set_row_height(heading_row, 62)?;
        let mut last_group = "";
        for (at, (_, group)) in (0u16..).zip(&self.plan.columns) {
            if group != last_group {
                sheet.write_string_with_format(group_row, at, group, &styles::group())?;
                last_group = group;
            }
        }
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let (title, note, width) = self.heading(what);
            let format = match what {
                What::Ledger(id) if self.table().column(*id).kind != Kind::Text => {
                    styles::heading_right()
                }
                What::ShownPrice | What::Check(_) => styles::heading_right(),
                _ => styles::heading(),
            };
            sheet.write_string_with_format(heading_row, at, &title, &format)?;
            sheet.set_column_width(at, width)?;
            if !note.is_empty() {
                sheet.insert_note(heading_row, at, &page::note(&note))?;
            }
        }
        Ok(())
    }

    fn heading(&self, what: &What) -> (String, String, f64) {
        let text = str::to_owned;
        match what {
            What::Number => (text("No."), String::new(), 5.0),
            What::Name => (text("Room"), String::new(), 22.0),
            What::Status => (
                text("Status"),
                text(
                    "Says \"price again\" when an edit in this row would have taken another path than the one priced.",
                ),
                11.0,
            ),
            What::ShownPrice => (
                text("Price of the room"),
                text("All rooms add up to the bid exactly."),
                13.0,
            ),
            What::Carried(at) => (
                self.takeoff.carried[*at].title.clone(),
                text("Carried through from the takeoff; no recipe uses it."),
                16.0,
            ),
            What::Check(check) => (
                text(check.title()),
                text("1 where something typed in this row cannot be used."),
                11.0,
            ),
            What::Ledger(id) => {
                let column = self.table().column(*id);
                let title = page::with_unit(&column.title, column, self.ledger());
                let width = match column.role {
                    Role::Caution => 24.0,
                    _ if column.kind == Kind::Text => 20.0,
                    _ => 12.0,
                };
                (title, column.note.clone(), width)
            }
        }
    }

    fn prepare(&self, what: &What) -> Written {
        let first_to_last = |span: Option<(u32, u32)>| {
            span.map(|(first, last)| {
                let (first, last) = (column_letters(first), column_letters(last));
                format!(
                    "SUM({first}{}:{last}{})",
                    super::formula::ROW,
                    super::formula::ROW
                )
            })
        };
        match what {
            What::Number => Written::Number(styles::cell(Look::Working, "0")),
            What::Name => Written::Name(styles::strong()),
            What::Status => {
                let sum = first_to_last(self.plan.all_checks(self.table()))
                    .unwrap_or_else(|| "0".to_owned());
                Written::Status(
                    Template::new(&format!("IF(IFERROR({sum},1)=0,\"ok\",\"price again\")")),
                    styles::beside(),
                )
            }
            What::ShownPrice => {
                let price = self
                    .plan
                    .column_of(&What::Ledger(self.bid.shares.price))
                    .unwrap_or(0);
                let cell = format!("{}{}", column_letters(price), super::formula::ROW);
                let symbol = &self.ledger().units.currency().symbol;
                Written::ShownPrice(
                    Template::new(&format!("IF(price_again=0,{cell},\"price again\")")),
                    styles::cell(Look::Result, &styles::money_format(symbol)),
                )
            }
            What::Carried(at) => Written::Carried(*at, styles::text()),
            What::Check(check) => Written::Check(
                Template::new(&check_formula(check, self.table(), self.plan, self.layout)),
                styles::cell(Look::Working, "0"),
            ),
            What::Ledger(id) => {
                let column = self.table().column(*id);
                let number_format = styles::number_format(&column.unit, &self.ledger().units);
                match column.role {
                    Role::Input => Written::Input(
                        *id,
                        styles::cell(Look::Input, &number_format),
                        styles::cell(Look::Filled, &number_format),
                    ),
                    Role::Working | Role::AsPriced | Role::Fork => {
                        Written::Computed(*id, styles::cell(Look::Working, &number_format))
                    }
                    _ => Written::Computed(*id, styles::cell(Look::Result, &number_format)),
                }
            }
        }
    }

    /// The formula of every output of every shape, by block, shape and column.
    fn templates(&self) -> Vec<Vec<Vec<(ColumnId, Template)>>> {
        let table = self.table();
        table
            .blocks
            .iter()
            .map(|block| {
                block
                    .shapes
                    .iter()
                    .map(|shape| {
                        let printer = Printer {
                            ledger: self.ledger(),
                            layout: self.layout,
                            table: self.plan.table,
                            shape,
                        };
                        let outputs = shape.outputs.iter().filter_map(|output| {
                            Some((output.column, Template::new(&printer.output(output)?)))
                        });
                        let frozen = shape.frozen.iter().filter_map(|frozen| {
                            Some((frozen.flag, Template::new(&printer.frozen(frozen)?)))
                        });
                        outputs.chain(frozen).collect()
                    })
                    .collect()
            })
            .collect()
    }

    fn write_cell(
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
        let parent_row = self.plan.first_row + owner as u32;
        match column {
            Written::Number(format) => {
                sheet.write_number_with_format(sheet_row, at, owner as f64 + 1.0, format)?;
            }
            Written::Name(format) => {
                sheet.write_string_with_format(sheet_row, at, name, format)?;
            }
            Written::Status(template, format) => {
                let formula = Formula::new(template.at(sheet_row, parent_row)).set_result("ok");
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::ShownPrice(template, format) => {
                let price = table.value(self.bid.shares.price, row);
                let formula =
                    Formula::new(template.at(sheet_row, parent_row)).set_result(price.to_string());
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::Carried(index, format) => {
                let text = &self.takeoff.carried[*index].texts[row];
                if !text.is_empty() {
                    sheet.write_string_with_format(sheet_row, at, text, format)?;
                }
            }
            Written::Check(template, format) => {
                let formula = Formula::new(template.at(sheet_row, parent_row)).set_result("0");
                sheet.write_formula_with_format(sheet_row, at, formula, format)?;
            }
            Written::Input(id, typed, filled) => {
                self.write_input(sheet, row, (sheet_row, at), *id, (typed, filled))?
            }
            Written::Computed(id, format) => {
                self.write_computed(sheet, row, (sheet_row, at), *id, format, templates)?;
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

    /// A cell that follows the Job value on the Factors sheet.
    fn job_formula(&self, job: crate::trail::SingleId, column: &Column) -> String {
        let name = self.layout.single(job);
        let single = self.ledger().single(job);
        let (own, _) = super::formula::cell_scale(&column.unit);
        let (its, _) = super::formula::cell_scale(&single.unit);
        if column.kind == Kind::Text || own == its {
            format!("={name}")
        } else {
            format!("={name}*{}", tidy(its / own))
        }
    }

    fn write_computed(
        &self,
        sheet: &mut Worksheet,
        row: usize,
        (sheet_row, at): (u32, u16),
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
        let parent_row = match table.parent_row(row) {
            Some((_, owner)) => self.plan.first_row + owner as u32,
            None => sheet_row,
        };
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
            let formula = Formula::new(template.at(sheet_row, parent_row)).set_result(result);
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

    /// Drop-downs for choices, bounds for numbers.
    fn validate(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let table = self.table();
        if table.rows() == 0 {
            return Ok(());
        }
        let (first, last) = (
            self.plan.first_row,
            self.plan.first_row + table.rows() as u32 - 1,
        );
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let What::Ledger(id) = what else { continue };
            let column = table.column(*id);
            let Some(facts) = &column.input else { continue };
            let list = match &facts.choice {
                Choice::ProductOf(products) => Some(self.layout.rows_range(*products).to_owned()),
                Choice::OneOf(_) => self.layout.choices(&column.name).map(str::to_owned),
                Choice::Free => None,
            };
            let validation = match (list, column.kind) {
                (Some(list), _) => {
                    DataValidation::new().allow_list_formula(Formula::new(format!("={list}")))
                }
                (None, Kind::Number(_)) => {
                    let least = cell_number(facts.least, &column.unit);
                    let rule = if facts.most.is_finite() {
                        DataValidationRule::Between(least, cell_number(facts.most, &column.unit))
                    } else {
                        DataValidationRule::GreaterThanOrEqualTo(least)
                    };
                    DataValidation::new().allow_decimal_number(rule)
                }
                _ => continue,
            };
            let validation = validation
                .set_error_title("This cannot be used")?
                .set_error_message(
                    "Choose from the list, or type a number within the bounds of this column.",
                )?;
            sheet.add_data_validation(first, at, last, at, &validation)?;
        }
        Ok(())
    }

    /// Rows whose numbers no longer hold are struck through and say so.
    fn mark_stale(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let table = self.table();
        let Some(status) = self.plan.column_of(&What::Status) else {
            return Ok(());
        };
        if table.rows() == 0 {
            return Ok(());
        }
        let (first, last) = (
            self.plan.first_row,
            self.plan.first_row + table.rows() as u32 - 1,
        );
        let width = self.plan.columns.len() as u16 - 1;
        let status_at = u16::try_from(status).unwrap_or(0);
        let test = format!("=${}{}=\"price again\"", column_letters(status), first + 1);
        let alarm = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::alarm());
        sheet.add_conditional_format(first, status_at, last, status_at, &alarm)?;
        let stale = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::stale());
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let computed = match what {
                What::Ledger(id) => matches!(
                    table.column(*id).role,
                    Role::Cell | Role::Item | Role::Money
                ),
                _ => false,
            };
            if computed && at <= width {
                sheet.add_conditional_format(first, at, last, at, &stale)?;
            }
        }
        Ok(())
    }
}

/// A number without the noise of the last digit: what a person typed reads as typed.
pub(super) fn tidy(number: f64) -> f64 {
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    rounded
}
