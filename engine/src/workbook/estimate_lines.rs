//! The lines of the Estimate sheet.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::estimate::FIRST_ROW;
use super::estimate_columns::EstimateColumns;
use super::formula::Printer;
use super::layout::Layout;
use super::page;
use super::piece::{cell_number, cell_unit, tidy};
use super::styles::{self, Look};
use super::template::{Rows, Template};
use crate::bid::{Bid, Line};
use crate::diag::column_letters;
use crate::trail::ColumnId;

/// Writes the headings.
pub(super) fn write_headings(
    sheet: &mut Worksheet,
    bid: &Bid,
    at: &EstimateColumns,
) -> Result<(), XlsxError> {
    let table = bid.ledger.table(bid.line_table);
    let columns = &bid.line_columns;
    let titled = |id: ColumnId| table.column(id).title.as_str();
    let noted = |id: ColumnId| table.column(id).note.as_str();
    let together = match columns.overhead {
        Some(_) => "Cost, tax, contingency, overhead and profit together",
        None => "Cost, tax, contingency and profit together",
    };
    let whole = match columns.phase {
        Some(_) => "Whole packages for each phase, not room by room; hours and money as needed",
        None => {
            "Whole packages for the job as a whole, not room by room; hours and money as needed"
        }
    };
    let optional = |id: Option<ColumnId>, at: Option<u16>, width| {
        let (id, at) = id.zip(at)?;
        Some((at, titled(id), noted(id), width))
    };
    let texts = [
        Some((at.kind, "Kind", "", 11.0)),
        Some((at.label, "Item", "", 34.0)),
        Some((at.detail, "Product or rate", "", 22.0)),
        at.phase.map(|at| (at, "Phase", "", 13.0)),
        Some((at.unit, "Unit", "", 7.0)),
        Some((
            at.status,
            "Status",
            "Says \"price again\" when a room behind this line would now take another path",
            11.0,
        )),
    ];
    let of = |id: ColumnId, at: u16, note, width| Some((at, titled(id), note, width));
    let numbers = [
        of(
            columns.number,
            at.number,
            "Row of the product in the price book",
            5.0,
        ),
        of(
            columns.needed,
            at.needed,
            "What all rooms need together, before whole packages",
            11.0,
        ),
        of(columns.quantity, at.quantity, whole, 10.0),
        of(
            columns.unit_price,
            at.unit_price,
            "From the price book",
            11.0,
        ),
        of(columns.cost, at.cost, noted(columns.cost), 12.0),
        of(columns.tax, at.tax, noted(columns.tax), 10.0),
        of(
            columns.contingency,
            at.contingency,
            noted(columns.contingency),
            12.0,
        ),
        optional(columns.overhead, at.overhead, 11.0),
        of(columns.profit, at.profit, noted(columns.profit), 11.0),
        Some((at.worked_out, "Price worked out", together, 12.0)),
        of(
            columns.share_rate,
            at.share_rate,
            "Price for each one needed; rooms bear the line by it",
            12.0,
        ),
        of(columns.price, at.price, noted(columns.price), 12.0),
        at.by_plan.map(|at| {
            let note = "Whole lengths by the plan of cuts on the sheet Cuts";
            (at, titled(columns.by_plan), note, 9.0)
        }),
        optional(columns.phase, at.phase_number, 9.0),
    ];
    sheet.set_row_height(FIRST_ROW - 1, 34)?;
    for (headings, format) in [
        (texts.as_slice(), styles::heading()),
        (numbers.as_slice(), styles::heading_right()),
    ] {
        for (at, title, note, width) in headings.iter().flatten() {
            sheet.write_string_with_format(FIRST_ROW - 1, *at, *title, &format)?;
            sheet.set_column_width(*at, *width)?;
            if !note.is_empty() {
                sheet.insert_note(FIRST_ROW - 1, *at, &page::note(note))?;
            }
        }
    }
    Ok(())
}

/// Writes a line.
pub(super) fn write_line(
    sheet: &mut Worksheet,
    bid: &Bid,
    (layout, at): (&Layout, &EstimateColumns),
    index: usize,
    line: &Line,
) -> Result<(), XlsxError> {
    let ledger = &bid.ledger;
    let table = ledger.table(bid.line_table);
    let row = FIRST_ROW + index as u32;
    let symbol = &ledger.units.currency().symbol;
    let money = styles::money_format(symbol);
    if let Some((_, product)) = line.product {
        sheet.write_number_with_format(
            row,
            at.number,
            product as f64 + 1.0,
            &styles::cell(Look::Working, "0"),
        )?;
    }
    for (column, at) in [
        at.by_plan.map(|at| (bid.line_columns.by_plan, at)),
        bid.line_columns.phase.zip(at.phase_number),
    ]
    .into_iter()
    .flatten()
    {
        let number = table.value(column, index);
        if !number.is_nan() {
            let format = styles::cell(Look::Working, &styles::quiet_zero("0"));
            sheet.write_number_with_format(row, at, number, &format)?;
        }
    }
    if let Some((phase, at)) = line.phase.as_ref().zip(at.phase) {
        sheet.write_string_with_format(row, at, &phase.name, &styles::text())?;
    }
    sheet.write_string_with_format(row, at.kind, line.kind.name(), &styles::text())?;
    sheet.write_string_with_format(row, at.label, &line.label, &styles::text())?;
    sheet.write_string_with_format(row, at.detail, &line.detail, &styles::text())?;
    let unit = match ledger.units.package(&line.unit.label) {
        Some(package) => ledger.units.package_word(package, 2.0),
        None => &line.unit.label,
    };
    sheet.write_string_with_format(row, at.unit, unit, &styles::text())?;
    let Some(block) = table.blocks.first() else {
        return Ok(());
    };
    let Some(shape) = block.shape_of(index) else {
        return Ok(());
    };
    let printer = Printer {
        ledger,
        layout,
        table: bid.line_table,
        shape,
    };
    let columns = &bid.line_columns;
    let quantity_format = if line.product.is_some() {
        "#,##0"
    } else {
        "#,##0.00"
    };
    let needed_format = if line.product.is_none() && line.rate.is_none() {
        money.as_str()
    } else {
        "#,##0.00"
    };
    let amount = |id: ColumnId, at: u16| Some((id, at, money.as_str(), Look::Result));
    let cells = [
        Some((columns.needed, at.needed, needed_format, Look::Result)),
        Some((columns.quantity, at.quantity, quantity_format, Look::Result)),
        amount(columns.unit_price, at.unit_price),
        amount(columns.cost, at.cost),
        amount(columns.tax, at.tax),
        amount(columns.contingency, at.contingency),
        columns
            .overhead
            .zip(at.overhead)
            .and_then(|(id, at)| amount(id, at)),
        amount(columns.profit, at.profit),
        Some((columns.price, at.worked_out, money.as_str(), Look::Working)),
        Some((
            columns.share_rate,
            at.share_rate,
            "#,##0.0000",
            Look::Working,
        )),
    ];
    for (column, at, format, look) in cells.into_iter().flatten() {
        let Some(output) = shape.outputs.iter().find(|output| output.column == column) else {
            continue;
        };
        let Some(formula) = printer.output(output) else {
            continue;
        };
        let formula = Template::new(&formula).at(Rows::alone(row));
        let unit = cell_unit(table.column(column), shape.node(output.node));
        let value = tidy(cell_number(table.value(column, index), unit));
        let formula = Formula::new(formula).set_result(value.to_string());
        sheet.write_formula_with_format(
            row,
            at,
            formula,
            &styles::cell(look, &styles::quiet_zero(format)),
        )?;
    }
    let mut recipes: Vec<String> = Vec::new();
    for item in &line.items {
        let changed = layout.own_name(&format!("changed_{}", bid.items[*item].recipe));
        if !recipes.contains(&changed) {
            recipes.push(changed);
        }
    }
    let status = format!(
        "=IF({}+{}=0,\"ok\",\"price again\")",
        layout.own_name("check_all"),
        recipes.join("+")
    );
    sheet.write_formula_with_format(
        row,
        at.status,
        Formula::new(status).set_result("ok"),
        &styles::text(),
    )?;
    let letters = |at: u16| column_letters(u32::from(at));
    let price = format!(
        "=IF({}{}=\"ok\",{}{},\"price again\")",
        letters(at.status),
        row + 1,
        letters(at.worked_out),
        row + 1
    );
    let value = table.value(columns.price, index);
    sheet.write_formula_with_format(
        row,
        at.price,
        Formula::new(price).set_result(value.to_string()),
        &styles::cell(Look::Result, &styles::quiet_zero(&money)),
    )?;
    Ok(())
}

/// Strikes out the numbers of lines that no longer hold.
pub(super) fn mark_stale(
    sheet: &mut Worksheet,
    at: &EstimateColumns,
    lines: u32,
) -> Result<(), XlsxError> {
    let last = FIRST_ROW + lines - 1;
    let test = format!(
        "=${}{}=\"price again\"",
        column_letters(u32::from(at.status)),
        FIRST_ROW + 1
    );
    let alarm = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::alarm());
    sheet.add_conditional_format(FIRST_ROW, at.status, last, at.price, &alarm)?;
    let stale = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::stale());
    sheet.add_conditional_format(FIRST_ROW, at.needed, last, at.needed, &stale)?;
    sheet.add_conditional_format(FIRST_ROW, at.quantity, last, at.share_rate, &stale)?;
    Ok(())
}
