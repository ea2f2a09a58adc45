//! The Order sheet: whole packages, pallets and weight of every product, by supplier and phase.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::estimate::{EstimatePlan, LineCell};
use super::page;
use super::piece::cell_number;
use super::piece::tidy;
use super::prices::PricesPlan;
use super::styles::{self, Look};
use crate::bid::{Bid, OrderOfSupplier, phase_words};
use crate::diag::column_letters;
use crate::measure::capital;
use crate::quantity::rounding;
use crate::trail::{ColumnId, TableId};

/// First row below the headings.
const FIRST_ROW: u32 = 4;
/// What stands over products that name no supplier.
const NO_SUPPLIER: &str = "No supplier named";
/// Most ranges of one sum.
const MOST_RANGES: usize = 200;

/// Sheet columns.
mod at {
    pub(super) const PRODUCT: u16 = 0;
    pub(super) const NEEDED: u16 = 1;
    pub(super) const ORDER: u16 = 2;
    pub(super) const PACKAGE: u16 = 3;
    pub(super) const LEFT_OVER: u16 = 4;
    pub(super) const PALLETS: u16 = 5;
    pub(super) const LOOSE: u16 = 6;
    pub(super) const WEIGHT: u16 = 7;
    pub(super) const COST: u16 = 8;
}

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    (prices, estimate): (&PricesPlan, &EstimatePlan),
) -> Result<(), XlsxError> {
    page::set_up_wide(sheet, FIRST_ROW - 1)?;
    sheet.write_string_with_format(0, 0, "Order", &styles::title())?;
    let whole = match bid.phases {
        Some(_) => "Whole packages for each phase.",
        None => "Whole packages for the job as a whole.",
    };
    let remark = format!("{whole} A dash means that no room uses the product now.");
    sheet.write_string_with_format(1, 0, remark, &styles::remark())?;
    let mut writer = OrderSheet {
        sheet,
        bid,
        prices,
        estimate,
        row: FIRST_ROW,
    };
    writer.headings()?;
    let order = bid.order();
    if order.is_empty() {
        let text = "This job needs no products.";
        writer
            .sheet
            .write_string_with_format(FIRST_ROW, 0, text, &styles::text())?;
        return Ok(());
    }
    let any_named = order.iter().any(|of| !of.supplier.is_empty());
    let mut all = Block::default();
    for of in &order {
        all.join(writer.supplier(of, any_named)?);
    }
    writer.sheet.set_row_height(writer.row, 20)?;
    writer.sums("Together", &all, styles::total)?;
    writer.mark_stale()
}

/// Lines that are summed: where they stand, and what they come to.
#[derive(Default)]
struct Block {
    ranges: Vec<(u32, u32)>,
    weight: f64,
    cost: f64,
}

impl Block {
    fn join(&mut self, other: Self) {
        self.ranges.extend(other.ranges);
        self.weight += other.weight;
        self.cost += other.cost;
    }

    /// The sum of a column over the lines.
    fn sum(&self, at: u16) -> String {
        let letters = column_letters(u32::from(at));
        let range =
            |(first, last): &(u32, u32)| format!("{letters}{}:{letters}{}", first + 1, last + 1);
        let sums = self.ranges.chunks(MOST_RANGES).map(|ranges| {
            let list: Vec<String> = ranges.iter().map(range).collect();
            format!("SUM({})", list.join(","))
        });
        format!("={}", sums.collect::<Vec<_>>().join("+"))
    }
}

struct OrderSheet<'a> {
    sheet: &'a mut Worksheet,
    bid: &'a Bid,
    prices: &'a PricesPlan,
    estimate: &'a EstimatePlan,
    row: u32,
}

impl OrderSheet<'_> {
    fn headings(&mut self) -> Result<(), XlsxError> {
        let headings = [
            ("Product".to_owned(), 38.0),
            ("Needed".to_owned(), 11.0),
            ("Order".to_owned(), 12.0),
            ("Package".to_owned(), 11.0),
            ("Left over".to_owned(), 11.0),
            ("Full pallets".to_owned(), 9.0),
            ("Loose".to_owned(), 9.0),
            (format!("Weight ({})", weight_label(self.bid)), 13.0),
            ("Cost".to_owned(), 14.0),
        ];
        self.sheet.set_row_height(FIRST_ROW - 1, 34)?;
        for (at, (title, width)) in (0u16..).zip(&headings) {
            let format = if matches!(at, at::PRODUCT | at::PACKAGE) {
                styles::heading()
            } else {
                styles::heading_right()
            };
            self.sheet
                .write_string_with_format(FIRST_ROW - 1, at, title, &format)?;
            self.sheet.set_column_width(at, *width)?;
        }
        let notes = [
            (at::LEFT_OVER, "What is ordered less what is needed"),
            (at::LOOSE, "Packages beside the full pallets"),
            (at::COST, "At the prices of the price book, before tax"),
        ];
        for (at, note) in notes {
            self.sheet
                .insert_note(FIRST_ROW - 1, at, &page::note(note))?;
        }
        Ok(())
    }

    /// The lines of one supplier, phase by phase, with their sums.
    fn supplier(&mut self, of: &OrderOfSupplier, any_named: bool) -> Result<Block, XlsxError> {
        let name = match of.supplier.as_str() {
            "" => NO_SUPPLIER,
            name => name,
        };
        let several = of.phases.len() > 1;
        if any_named {
            self.head(name, styles::group)?;
        }
        let mut all = Block::default();
        for phase in &of.phases {
            let words = phase.name.as_deref().map(phase_words);
            if let Some(words) = &words {
                self.head(&capital(words), styles::strong)?;
            }
            let first = self.row;
            let mut block = Block::default();
            for line in &phase.lines {
                let (weight, cost) = self.line(*line)?;
                block.weight += weight;
                block.cost += cost;
                self.row += 1;
            }
            block.ranges.push((first, self.row - 1));
            if let Some(words) = words.filter(|_| several) {
                self.sums(&format!("Together, {words}"), &block, styles::subtotal)?;
            }
            all.join(block);
        }
        if any_named {
            self.sums(&format!("Together, {name}"), &all, styles::subtotal)?;
            self.row += 1;
        }
        Ok(all)
    }

    fn head(
        &mut self,
        text: &str,
        style: fn() -> rust_xlsxwriter::Format,
    ) -> Result<(), XlsxError> {
        let format = style();
        self.sheet
            .write_string_with_format(self.row, at::PRODUCT, text, &format)?;
        for at in at::NEEDED..=at::COST {
            self.sheet.write_blank(self.row, at, &format)?;
        }
        self.row += 1;
        Ok(())
    }

    /// Writes a line; its weight and cost.
    fn line(&mut self, index: usize) -> Result<(f64, f64), XlsxError> {
        let (bid, prices, estimate) = (self.bid, self.prices, self.estimate);
        let ledger = &bid.ledger;
        let Some((products, product)) = bid.lines[index].product else {
            return Ok((0.0, 0.0));
        };
        let table = ledger.table(products);
        let columns = &bid.line_columns;
        let value = |column: ColumnId| ledger.table(bid.line_table).value(column, index);
        let (needed, quantity) = (value(columns.needed), value(columns.quantity));
        let money = styles::quiet_zero(&styles::money_format(&ledger.units.currency().symbol));
        let (count, amount) = (styles::quiet_zero("#,##0"), styles::quiet_zero("#,##0.00"));
        let package = ledger.units.package_word(table.row_packages[product], 2.0);
        let name = &table.row_names[product];
        self.sheet
            .write_string_with_format(self.row, at::PRODUCT, name, &styles::text())?;
        self.sheet
            .write_string_with_format(self.row, at::PACKAGE, package, &styles::text())?;
        let cell = |what| estimate.line_cell(index, what);
        let order = format!(
            "=IF({}=\"ok\",{},\"price again\")",
            cell(LineCell::Status),
            cell(LineCell::Quantity)
        );
        let ordered = cell(LineCell::Quantity);
        let left_over = format!("={ordered}-{}", cell(LineCell::Needed));
        self.put(
            at::NEEDED,
            format!("={}", cell(LineCell::Needed)),
            needed,
            &amount,
        )?;
        self.put(at::ORDER, order, quantity, &count)?;
        self.put(at::LEFT_OVER, left_over, quantity - needed, &amount)?;
        let field = |name: &str| field(bid, prices, (products, product), name);
        if let Some((cell_of, pallet)) = field("pallet") {
            let full = rounding::whole_down(quantity / pallet);
            let formula = format!("=ROUNDDOWN(ROUND({ordered}/{cell_of},6),0)");
            self.put(at::PALLETS, formula, full, &count)?;
            let full_cell = format!("{}{}", column_letters(u32::from(at::PALLETS)), self.row + 1);
            let formula = format!("={ordered}-{full_cell}*{cell_of}");
            self.put(at::LOOSE, formula, quantity - full * pallet, &count)?;
        }
        let mut weight = 0.0;
        if let Some((cell_of, each)) = field("weight") {
            weight = quantity * each;
            self.put(at::WEIGHT, format!("={ordered}*{cell_of}"), weight, &count)?;
        }
        let cost = value(columns.cost);
        self.put(at::COST, format!("={}", cell(LineCell::Cost)), cost, &money)?;
        Ok((weight, cost))
    }

    fn put(&mut self, at: u16, formula: String, value: f64, format: &str) -> Result<(), XlsxError> {
        let formula = Formula::new(formula).set_result(tidy(value).to_string());
        let format = styles::cell(Look::Result, format);
        self.sheet
            .write_formula_with_format(self.row, at, formula, &format)?;
        Ok(())
    }

    /// Writes the sums of lines below them.
    fn sums(
        &mut self,
        title: &str,
        block: &Block,
        style: fn(&str) -> rust_xlsxwriter::Format,
    ) -> Result<(), XlsxError> {
        let symbol = &self.bid.ledger.units.currency().symbol;
        let label = styles::left(style("General"));
        self.sheet
            .write_string_with_format(self.row, at::PRODUCT, title, &label)?;
        for at in at::NEEDED..at::WEIGHT {
            self.sheet.write_blank(self.row, at, &label)?;
        }
        for (at, value, format) in [
            (at::WEIGHT, block.weight, "#,##0".to_owned()),
            (at::COST, block.cost, styles::money_format(symbol)),
        ] {
            let formula = Formula::new(block.sum(at)).set_result(tidy(value).to_string());
            self.sheet
                .write_formula_with_format(self.row, at, formula, &style(&format))?;
        }
        self.row += 1;
        Ok(())
    }

    /// Lines that no longer hold say so.
    fn mark_stale(&mut self) -> Result<(), XlsxError> {
        let order = column_letters(u32::from(at::ORDER));
        let test = format!("=${order}{}=\"price again\"", FIRST_ROW + 1);
        let last = self.row - 1;
        let alarm = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::alarm());
        self.sheet
            .add_conditional_format(FIRST_ROW, at::ORDER, last, at::ORDER, &alarm)?;
        let stale = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::stale());
        for at in [
            at::NEEDED,
            at::LEFT_OVER,
            at::PALLETS,
            at::LOOSE,
            at::WEIGHT,
            at::COST,
        ] {
            self.sheet
                .add_conditional_format(FIRST_ROW, at, last, at, &stale)?;
        }
        Ok(())
    }
}

/// A field of a product: its cell on the Prices sheet and its value, where it is filled in.
fn field(
    bid: &Bid,
    prices: &PricesPlan,
    (products, product): (TableId, usize),
    name: &str,
) -> Option<(String, f64)> {
    let table = bid.ledger.table(products);
    let column = table.column_named(name)?;
    let value = cell_number(table.value(column, product), &table.column(column).unit);
    if value.is_nan() {
        return None;
    }
    let cell = prices.field_cell(products, product, column, &bid.ledger)?;
    Some((cell, value))
}

/// The unit in which the price book gives weights.
fn weight_label(bid: &Bid) -> String {
    let column = bid.lines.iter().find_map(|line| {
        let (table, _) = line.product?;
        let table = bid.ledger.table(table);
        Some(table.column(table.column_named("weight")?))
    });
    let label = column.map_or("", |column| column.unit.label.as_str());
    label.split('/').next().unwrap_or(label).to_owned()
}
