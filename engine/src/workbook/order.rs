//! The Order sheet: whole packages, pallets and weight of every product.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::estimate::{EstimatePlan, LineCell};
use super::page;
use super::piece::cell_number;
use super::piece::tidy;
use super::prices::PricesPlan;
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::quantity::rounding;

/// First row with a product.
const FIRST_ROW: u32 = 4;

/// Sheet columns.
mod at {
    pub(super) const SUPPLIER: u16 = 0;
    pub(super) const PRODUCT: u16 = 1;
    pub(super) const NEEDED: u16 = 2;
    pub(super) const ORDER: u16 = 3;
    pub(super) const PACKAGE: u16 = 4;
    pub(super) const LEFT_OVER: u16 = 5;
    pub(super) const PALLETS: u16 = 6;
    pub(super) const WEIGHT: u16 = 7;
    pub(super) const UNIT_PRICE: u16 = 8;
    pub(super) const COST: u16 = 9;
}

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    prices: &PricesPlan,
) -> Result<(), XlsxError> {
    page::set_up_wide(sheet, FIRST_ROW - 1)?;
    sheet.write_string_with_format(0, 0, "Order", &styles::title())?;
    sheet.write_string_with_format(
        1,
        0,
        "Whole packages for the job as a whole. A dash means that no room uses the product now.",
        &styles::remark(),
    )?;
    let weight_unit = weight_label(bid);
    let headings = [
        ("Supplier".to_owned(), 34.0),
        ("Product".to_owned(), 28.0),
        ("Needed".to_owned(), 10.0),
        ("Order".to_owned(), 12.0),
        ("Package".to_owned(), 10.0),
        ("Left over".to_owned(), 10.0),
        ("Pallets".to_owned(), 9.0),
        (format!("Weight ({weight_unit})"), 13.0),
        ("Unit price".to_owned(), 12.0),
        ("Cost".to_owned(), 13.0),
    ];
    for (at, (title, width)) in (0u16..).zip(&headings) {
        let is_text = matches!(at, at::SUPPLIER | at::PRODUCT | at::PACKAGE);
        let format = if is_text {
            styles::heading()
        } else {
            styles::heading_right()
        };
        sheet.write_string_with_format(FIRST_ROW - 1, at, title, &format)?;
        sheet.set_column_width(at, *width)?;
    }
    let mut row = FIRST_ROW;
    let (mut weight, mut cost) = (0.0, 0.0);
    for (index, line) in bid.lines.iter().enumerate() {
        if let Some(product) = line.product {
            let sums = write_line(sheet, bid, prices, index, product, row)?;
            weight += sums.0;
            cost += sums.1;
            row += 1;
        }
    }
    if row == FIRST_ROW {
        sheet.write_string_with_format(row, 0, "This job needs no products.", &styles::text())?;
        return Ok(());
    }
    write_totals(sheet, bid, row, weight, cost)?;
    let order = column_letters(u32::from(at::ORDER));
    let test = format!("=${order}{}=\"price again\"", FIRST_ROW + 1);
    let alarm = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::alarm());
    sheet.add_conditional_format(FIRST_ROW, at::ORDER, row - 1, at::ORDER, &alarm)?;
    let stale = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::stale());
    for at in [at::NEEDED, at::LEFT_OVER, at::PALLETS, at::WEIGHT, at::COST] {
        sheet.add_conditional_format(FIRST_ROW, at, row - 1, at, &stale)?;
    }
    Ok(())
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

/// Writes one product; its weight and cost.
fn write_line(
    sheet: &mut Worksheet,
    bid: &Bid,
    prices: &PricesPlan,
    index: usize,
    (products, product): (crate::trail::TableId, usize),
    row: u32,
) -> Result<(f64, f64), XlsxError> {
    let ledger = &bid.ledger;
    let table = ledger.table(products);
    let lines = ledger.table(bid.line_table);
    let columns = &bid.line_columns;
    let value = |column| lines.value(column, index);
    let (needed, quantity) = (value(columns.needed), value(columns.quantity));
    let text_of = |name: &str| {
        let column = table.column_named(name)?;
        Some(
            ledger
                .texts
                .of_value(table.value(column, product))
                .to_owned(),
        )
    };
    let symbol = &ledger.units.currency().symbol;
    let money = styles::quiet_zero(&styles::money_format(symbol));
    let (count, amount) = (styles::quiet_zero("#,##0"), styles::quiet_zero("#,##0.00"));
    sheet.write_string_with_format(
        row,
        at::SUPPLIER,
        text_of("supplier").unwrap_or_default(),
        &styles::text(),
    )?;
    sheet.write_string_with_format(
        row,
        at::PRODUCT,
        &table.row_names[product],
        &styles::strong(),
    )?;
    let package = ledger.units.package_word(table.row_packages[product], 2.0);
    sheet.write_string_with_format(row, at::PACKAGE, package, &styles::text())?;
    let cell = |what| EstimatePlan::line_cell(index, what);
    let mut put = |at: u16, formula: String, value: f64, format: &str| {
        let formula = Formula::new(formula).set_result(tidy(value).to_string());
        sheet
            .write_formula_with_format(row, at, formula, &styles::cell(Look::Result, format))
            .map(|_| ())
    };
    put(
        at::NEEDED,
        format!("={}", cell(LineCell::Needed)),
        needed,
        &amount,
    )?;
    let order = format!(
        "=IF({}=\"ok\",{},\"price again\")",
        cell(LineCell::Status),
        cell(LineCell::Quantity)
    );
    put(at::ORDER, order, quantity, &count)?;
    let left_over = format!("={}-{}", cell(LineCell::Quantity), cell(LineCell::Needed));
    put(at::LEFT_OVER, left_over, quantity - needed, &amount)?;
    let field = |name: &str| {
        let column = table.column_named(name)?;
        let value = cell_number(table.value(column, product), &table.column(column).unit);
        (!value.is_nan())
            .then(|| Some((prices.field_cell(products, product, column, ledger)?, value)))?
    };
    if let Some((cell_of, pallet)) = field("pallet") {
        let formula = format!(
            "=ROUNDUP(ROUND({}/{cell_of},6),0)",
            cell(LineCell::Quantity)
        );
        put(
            at::PALLETS,
            formula,
            rounding::whole_up(quantity / pallet),
            &count,
        )?;
    }
    let mut weight = 0.0;
    if let Some((cell_of, each)) = field("weight") {
        weight = quantity * each;
        put(
            at::WEIGHT,
            format!("={}*{cell_of}", cell(LineCell::Quantity)),
            weight,
            &count,
        )?;
    }
    put(
        at::UNIT_PRICE,
        format!("={}", cell(LineCell::UnitPrice)),
        value(columns.unit_price),
        &money,
    )?;
    put(
        at::COST,
        format!("={}", cell(LineCell::Cost)),
        value(columns.cost),
        &money,
    )?;
    Ok((weight, value(columns.cost)))
}

fn write_totals(
    sheet: &mut Worksheet,
    bid: &Bid,
    row: u32,
    weight: f64,
    cost: f64,
) -> Result<(), XlsxError> {
    let symbol = &bid.ledger.units.currency().symbol;
    sheet.set_row_height(row, 20)?;
    sheet.write_string_with_format(row, at::PRODUCT, "Together", &styles::total("General"))?;
    for (at, value, format) in [
        (at::WEIGHT, weight, "#,##0".to_owned()),
        (at::COST, cost, styles::money_format(symbol)),
    ] {
        let letters = column_letters(u32::from(at));
        let formula = format!("=SUM({letters}{}:{letters}{row})", FIRST_ROW + 1);
        let formula = Formula::new(formula).set_result(tidy(value).to_string());
        sheet.write_formula_with_format(row, at, formula, &styles::total(&format))?;
    }
    Ok(())
}
