//! The prices on the Bid sheet: by room or by kind of work, fees and allowances, the total, the
//! same total by phase, and how it is paid.

use rust_xlsxwriter::{ConditionalFormatFormula, Format, FormatAlign, Formula, XlsxError};

use super::bid_sheet::{LAST, Page};
use super::estimate::EstimatePlan;
use super::model::Model;
use super::page;
use super::piece::{cell_number, tidy};
use super::plan::{TablePlan, What};
use super::styles::{self, Look};
use crate::bid::{Added, Phases, measured_area, phase_words};
use crate::diag::column_letters;
use crate::measure::capital;
use crate::quantity::{Dimension, rounding};
use crate::script::ItemKind;
use crate::trail::{ColumnId, SingleId, TableId};

/// Sheet column of a room's phase, of a payment's part.
const SECOND: u16 = 1;
/// Sheet column of a room's area, and of what a fee or an allowance is reckoned by.
const THIRD: u16 = 2;

/// Letters of a heading between the first column and the last.
const BETWEEN: usize = 16;

impl Page<'_> {
    fn money(&self) -> String {
        styles::money_format(&self.bid.ledger.units.currency().symbol)
    }

    fn money_right(&self) -> Format {
        styles::cell(Look::Result, &self.money()).set_align(FormatAlign::Right)
    }

    /// The headings of a list: a title, what stands in the columns between, and the price.
    fn headings(&mut self, title: &str, between: [&str; 2], last: &str) -> Result<(), XlsxError> {
        let (left, right) = (styles::heading(), styles::heading_right());
        let row = self.row;
        self.sheet.write_string_with_format(row, 0, title, &left)?;
        self.sheet
            .write_string_with_format(row, SECOND, between[0], &right)?;
        self.sheet
            .write_string_with_format(row, THIRD, between[1], &right)?;
        self.sheet
            .write_string_with_format(row, LAST, last, &right)?;
        let height = page::height_for(between[1], BETWEEN);
        self.sheet.set_row_height(row, height)?;
        self.row += 1;
        Ok(())
    }

    /// A name, and money that follows a formula while the workbook holds.
    fn priced(&mut self, name: &str, formula: &str, value: f64) -> Result<(), XlsxError> {
        let format = self.money_right();
        self.sheet
            .write_string_with_format(self.row, 0, name, &styles::text())?;
        let formula = Formula::new(format!("=IF(price_again=0,{formula},\"price again\")"))
            .set_result(tidy(value).to_string());
        self.sheet
            .write_formula_with_format(self.row, LAST, formula, &format)?;
        self.row += 1;
        Ok(())
    }

    /// A named value beside what is written next, as it stands on the Factors sheet.
    fn beside(&mut self, at: u16, single: SingleId) -> Result<(), XlsxError> {
        let ledger = &self.bid.ledger;
        let single_value = ledger.single(single);
        let unit = &single_value.unit;
        let symbol = &ledger.units.currency().symbol;
        let format = match unit.label.strip_prefix(symbol.as_str()) {
            Some(under) if !under.is_empty() => format!("\"{symbol}\"#,##0.00\"{under}\""),
            _ => styles::number_format(unit, &ledger.units),
        };
        let format = styles::cell(Look::Result, &format).set_align(FormatAlign::Right);
        let number = tidy(cell_number(single_value.value, unit));
        let formula =
            Formula::new(format!("={}", self.layout.single(single))).set_result(number.to_string());
        self.sheet
            .write_formula_with_format(self.row, at, formula, &format)?;
        Ok(())
    }

    /// A cell of a table on another sheet.
    fn cell(&self, table: TableId, column: ColumnId, row: usize) -> String {
        let cell = self.layout.cell(table, column, row as u32);
        cell.unwrap_or_else(|| "0".to_owned())
    }

    /// The whole price with each alternate, and what it changes.
    pub(super) fn alternates(&mut self, alternates: &[Model<'_>]) -> Result<(), XlsxError> {
        if alternates.is_empty() {
            return Ok(());
        }
        self.headings("Alternates", ["", "Against the total"], "Total instead")?;
        let money = self.money_right();
        let bid = self.bid;
        for (alternate, model) in bid.alternates.iter().zip(alternates) {
            self.sheet
                .write_string_with_format(self.row, 0, &alternate.name, &styles::strong())?;
            let alarm = model.layout.own_name("price_again");
            let total = model.layout.own_name("bid_total");
            let stale = "\"price again\"";
            let difference = tidy(alternate.bid.total() - bid.total()).to_string();
            let formula = format!("=IF(price_again+{alarm}=0,ROUND({total}-bid_total,2),{stale})");
            let signed = self.signed_money();
            self.sheet.write_formula_with_format(
                self.row,
                THIRD,
                Formula::new(formula).set_result(difference),
                &signed,
            )?;
            let formula = Formula::new(format!("=IF({alarm}=0,{total},{stale})"))
                .set_result(tidy(alternate.bid.total()).to_string());
            self.sheet
                .write_formula_with_format(self.row, LAST, formula, &money)?;
            self.row += 1;
            self.across(&alternate.words, &styles::wrapped())?;
            for text in alternate.new_cautions(bid) {
                self.across(&format!("•  {text}"), &styles::wrapped())?;
            }
        }
        self.row += 1;
        Ok(())
    }

    /// Money with its sign, for differences.
    fn signed_money(&self) -> Format {
        let money = self.money();
        let plain = money.split(';').next().unwrap_or(&money);
        styles::cell(Look::Result, &format!("+{plain};-{plain};{plain}"))
            .set_align(FormatAlign::Right)
    }

    /// A room for each row: its name, its phase, its measured area, its price.
    pub(super) fn by_room(&mut self, rooms: &TablePlan) -> Result<(), XlsxError> {
        let bid = self.bid;
        let table = bid.ledger.table(rooms.table);
        let measured =
            measured_area(table).and_then(|id| Some((id, rooms.column_of(&What::Ledger(id))?)));
        let title = measured
            .map(|(id, _)| page::with_unit(&table.column(id).title, table.column(id), &bid.ledger));
        let phase = bid
            .phases
            .as_ref()
            .and_then(|phases| Some((phases.typed, rooms.column_of(&What::Ledger(phases.typed))?)));
        let phase_title = phase.map_or("", |_| "Phase");
        self.headings(
            "Price by room",
            [phase_title, &title.unwrap_or_default()],
            "Price",
        )?;
        let money = self.money_right();
        let prices = bid.room_prices();
        let price_at = rooms.column_of(&What::ShownPrice).unwrap_or(0);
        for (index, name) in table.row_names.iter().enumerate() {
            let source = rooms.first_row + index as u32 + 1;
            self.sheet
                .write_string_with_format(self.row, 0, name, &styles::text())?;
            if let Some((id, at)) = phase {
                let value = table.value(id, index);
                let cell = format!("Rooms!{}{source}", column_letters(at));
                let formula = Formula::new(format!("=IF(ISBLANK({cell}),\"\",{cell})"))
                    .set_result(bid.ledger.texts.of_value(value));
                let format = styles::text().set_align(FormatAlign::Right);
                self.sheet
                    .write_formula_with_format(self.row, SECOND, formula, &format)?;
            }
            if let Some((id, at)) = measured {
                let column = table.column(id);
                let number = tidy(cell_number(column.values[index], &column.unit));
                let formula = Formula::new(format!("=Rooms!{}{source}", column_letters(at)))
                    .set_result(number.to_string());
                let format = styles::cell(Look::Result, "#,##0.0");
                self.sheet
                    .write_formula_with_format(self.row, THIRD, formula, &format)?;
            }
            let formula = Formula::new(format!("=Rooms!{}{source}", column_letters(price_at)))
                .set_result(prices[index].to_string());
            self.sheet
                .write_formula_with_format(self.row, LAST, formula, &money)?;
            self.row += 1;
        }
        Ok(())
    }

    /// Too many rooms for one page: the price by kind of work, fees and allowances, and what
    /// rounding adds.
    pub(super) fn by_kind(&mut self, estimate: &EstimatePlan) -> Result<(), XlsxError> {
        let title = "Price by kind of work (by room: see the Rooms sheet)";
        self.headings(title, ["", ""], "Price")?;
        let (kinds, prices) = estimate.kinds_and_prices();
        let bid = self.bid;
        let table = bid.ledger.table(bid.line_table);
        let values = table.values(bid.line_columns.price);
        let first = self.row;
        let mut sum = 0.0;
        for kind in ItemKind::ALL {
            let of_kind = |(line, _): &(&crate::bid::Line, &f64)| line.kind == kind;
            let lines: Vec<_> = bid.lines.iter().zip(values).filter(of_kind).collect();
            if lines.is_empty() {
                continue;
            }
            let value: f64 = lines.iter().map(|(_, value)| **value).sum();
            sum += value;
            let formula = format!("SUMIFS({prices},{kinds},A{})", self.row + 1);
            self.priced(kind.name(), &formula, value)?;
        }
        self.added()?;
        let added = [&bid.fees, &bid.allowances].into_iter().flatten();
        let added = added.flat_map(|added| added.lines(&bid.ledger));
        sum += added.map(|(_, price)| price).sum::<f64>();
        let rest = rounding::cents(bid.total() - sum);
        let letters = column_letters(u32::from(LAST));
        let range = format!("{letters}{}:{letters}{}", first + 1, self.row);
        let formula = format!("ROUND(bid_total-SUM({range}),2)");
        self.priced("minimum charge and rounding", &formula, rest)
    }

    /// Fees and allowances, which no room bears.
    pub(super) fn added(&mut self) -> Result<(), XlsxError> {
        let bid = self.bid;
        if let Some(fees) = &bid.fees {
            self.headings("Permits and fees", ["", ""], "")?;
            self.added_lines(fees)?;
        }
        if let Some(allowances) = &bid.allowances {
            self.headings("Allowances", ["", ""], "")?;
            self.added_lines(allowances)?;
            self.across(
                "Allowances are sums for what is yet to be chosen; what is chosen is settled against them.",
                &styles::remark().set_text_wrap(),
            )?;
        }
        Ok(())
    }

    fn added_lines(&mut self, added: &Added) -> Result<(), XlsxError> {
        let ledger = &self.bid.ledger;
        for (row, (name, price)) in added.lines(ledger).enumerate() {
            let (single, _) = added.from[row];
            if ledger.single(single).unit.dimension != Dimension::MONEY {
                self.beside(THIRD, single)?;
            }
            let formula = self.cell(added.table, added.price, row);
            self.priced(&capital(name), &formula, price)?;
        }
        Ok(())
    }

    /// The total.
    pub(super) fn total(&mut self) -> Result<(), XlsxError> {
        let format = styles::total(&self.money());
        self.sheet
            .write_string_with_format(self.row, 0, "Total", &styles::left(format.clone()))?;
        for at in 1..LAST {
            self.sheet.write_blank(self.row, at, &format)?;
        }
        let formula = Formula::new("=IF(price_again=0,bid_total,\"price again\")")
            .set_result(self.bid.total().to_string());
        self.sheet.write_formula_with_format(
            self.row,
            LAST,
            formula,
            &format.set_align(FormatAlign::Right),
        )?;
        let alarm = ConditionalFormatFormula::new()
            .set_rule("=price_again<>0")
            .set_format(styles::alarm());
        self.sheet
            .add_conditional_format(self.row, LAST, self.row, LAST, &alarm)?;
        self.sheet.set_row_height(self.row, 22)?;
        self.row += 2;
        Ok(())
    }

    /// The same total by phase: the prices of the rooms of each, and what no room bears.
    pub(super) fn phases(&mut self) -> Result<(), XlsxError> {
        let bid = self.bid;
        let Some(Phases { table, price, .. }) = bid.phases else {
            return Ok(());
        };
        self.headings("The same total by phase", ["", ""], "Price")?;
        let phases = bid.ledger.table(table);
        for (row, name) in phases.row_names.iter().enumerate() {
            let formula = self.cell(table, price, row);
            let name = capital(&phase_words(name));
            self.priced(&name, &formula, phases.value(price, row))?;
        }
        let sums = &bid.summary_columns;
        for (title, column) in [
            ("Permits and fees", sums.fees),
            ("Allowances", sums.allowances),
        ] {
            if let Some(column) = column {
                let formula = self.cell(bid.summary, column, 0);
                let value = bid.ledger.table(bid.summary).value(column, 0);
                self.priced(title, &formula, value)?;
            }
        }
        self.row += 1;
        Ok(())
    }

    /// How the bid is paid.
    pub(super) fn payments(&mut self) -> Result<(), XlsxError> {
        let bid = self.bid;
        let Some(payments) = &bid.payments else {
            return Ok(());
        };
        self.headings("Payments", ["Part", ""], "Amount")?;
        let table = bid.ledger.table(payments.table);
        let percent = styles::cell(Look::Result, "0.0#%").set_align(FormatAlign::Right);
        for (row, step) in table.row_names.iter().enumerate() {
            let part = self.cell(payments.table, payments.part, row);
            let value = tidy(table.value(payments.part, row));
            let formula = Formula::new(format!("={part}")).set_result(value.to_string());
            self.sheet
                .write_formula_with_format(self.row, SECOND, formula, &percent)?;
            let amount = self.cell(payments.table, payments.amount, row);
            self.priced(step, &amount, table.value(payments.amount, row))?;
        }
        self.row += 1;
        Ok(())
    }
}
