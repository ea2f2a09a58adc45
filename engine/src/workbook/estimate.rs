//! The Estimate sheet: every line from what is needed to its price, the sums, the job as a whole.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::down::DownTable;
use super::estimate_columns as at;
use super::formula::Printer;
use super::layout::{Direction, Layout, TablePlace};
use super::page;
use super::piece::{cell_number, tidy};
use super::styles::{self, Look};
use crate::bid::{Bid, Line};
use crate::diag::column_letters;
use crate::trail::ColumnId;

/// First row with a line.
const FIRST_ROW: u32 = 4;

/// Where the parts of the sheet stand.
#[derive(Clone, Debug)]
pub(super) struct EstimatePlan {
    summary: DownTable,
    job: DownTable,
}

impl EstimatePlan {
    /// Plans the sheet.
    pub(super) fn new(bid: &Bid, layout: &mut Layout) -> Self {
        let columns = &bid.line_columns;
        let lines = bid.lines.len() as u32;
        let places = [
            (columns.number, at::NUMBER),
            (columns.needed, at::NEEDED),
            (columns.quantity, at::QUANTITY),
            (columns.unit_price, at::UNIT_PRICE),
            (columns.cost, at::COST),
            (columns.tax, at::TAX),
            (columns.contingency, at::CONTINGENCY),
            (columns.profit, at::PROFIT),
            (columns.price, at::WORKED_OUT),
            (columns.share_rate, at::SHARE_RATE),
            (columns.by_plan, at::BY_PLAN),
        ];
        layout.put(
            bid.line_table,
            TablePlace {
                sheet: "Estimate".to_owned(),
                direction: Direction::Across,
                first: FIRST_ROW,
                rows: lines,
                columns: places
                    .into_iter()
                    .map(|(id, at)| (id, u32::from(at)))
                    .collect(),
                owner: 0,
            },
        );
        let summary = DownTable::new(bid.summary, "Sums", FIRST_ROW + lines + 1, &bid.ledger);
        summary.put("Estimate", layout);
        let job = DownTable::new(bid.job, "Whole job", summary.end() + 1, &bid.ledger);
        job.put("Estimate", layout);
        for (name, column) in [
            ("bid_total", bid.summary_columns.bid),
            ("price_of_all_lines", bid.summary_columns.lines),
        ] {
            if let Some(cell) = layout.cell(bid.summary, column, 0) {
                layout.define(name, cell);
            }
        }
        Self { summary, job }
    }

    /// The address of a line's cell in a column that other sheets refer to.
    pub(super) fn line_cell(line: usize, column: LineCell) -> String {
        let at = match column {
            LineCell::Needed => at::NEEDED,
            LineCell::Quantity => at::QUANTITY,
            LineCell::UnitPrice => at::UNIT_PRICE,
            LineCell::Cost => at::COST,
            LineCell::Status => at::STATUS,
        };
        format!(
            "Estimate!{}{}",
            column_letters(u32::from(at)),
            FIRST_ROW + line as u32 + 1
        )
    }

    /// The ranges of kinds and of prices worked out, for sums by kind.
    pub(super) fn kinds_and_prices(lines: usize) -> (String, String) {
        let last = FIRST_ROW + lines as u32 - 1;
        let range = |at: u16| {
            super::layout::range(
                "Estimate",
                (FIRST_ROW, u32::from(at)),
                (last, u32::from(at)),
            )
        };
        (range(at::KIND), range(at::WORKED_OUT))
    }

    /// First and last row of the job's forks, for the checks.
    pub(super) fn job_forks(&self, bid: &Bid, recipe: &str) -> Vec<String> {
        self.job.forks(bid, recipe)
    }

    /// Writes the sheet.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        page::set_up_wide(sheet, FIRST_ROW - 1)?;
        sheet.write_string_with_format(0, 0, "Estimate", &styles::title())?;
        sheet.write_string_with_format(1, 0, "What the rooms need, what is ordered in whole packages, and how cost becomes price. For the shop, not for the customer.", &styles::remark())?;
        write_headings(sheet, bid)?;
        for (index, line) in bid.lines.iter().enumerate() {
            write_line(sheet, bid, layout, index, line)?;
        }
        mark_stale(sheet, bid.lines.len() as u32)?;
        self.summary.write(sheet, bid, layout)?;
        self.job.write(sheet, bid, layout)?;
        sheet.set_freeze_panes(FIRST_ROW, 4)?;
        Ok(())
    }
}

/// Cells of a line that other sheets refer to.
#[derive(Clone, Copy)]
pub(super) enum LineCell {
    Needed,
    Quantity,
    UnitPrice,
    Cost,
    Status,
}

fn write_headings(sheet: &mut Worksheet, bid: &Bid) -> Result<(), XlsxError> {
    let table = bid.ledger.table(bid.line_table);
    let title = |id: ColumnId| table.column(id).title.clone();
    let columns = &bid.line_columns;
    let headings: [(String, &str, f64); 16] = [
        (
            title(columns.number),
            "Row of the product in the price book",
            5.0,
        ),
        ("Kind".to_owned(), "", 11.0),
        ("Item".to_owned(), "", 34.0),
        ("Product or rate".to_owned(), "", 22.0),
        (
            title(columns.needed),
            "What all rooms need together, before whole packages",
            11.0,
        ),
        ("Unit".to_owned(), "", 7.0),
        (
            title(columns.quantity),
            "Whole packages for the job as a whole, not room by room; hours and money as needed",
            10.0,
        ),
        (title(columns.unit_price), "From the price book", 11.0),
        (
            title(columns.cost),
            "Quantity times unit price, to the cent",
            12.0,
        ),
        (
            title(columns.tax),
            "Tax that the shop pays on what it buys",
            10.0,
        ),
        (title(columns.contingency), "On cost and tax", 12.0),
        (
            title(columns.profit),
            &table.column(columns.profit).note,
            11.0,
        ),
        (
            "Price worked out".to_owned(),
            "Cost, tax, contingency and profit together",
            12.0,
        ),
        (
            title(columns.share_rate),
            "Price for each one needed; rooms bear the line by it",
            12.0,
        ),
        (
            "Status".to_owned(),
            "Says \"price again\" when a room behind this line would now take another path",
            11.0,
        ),
        (
            "Price".to_owned(),
            "What the customer pays for the line",
            12.0,
        ),
    ];
    sheet.set_row_height(FIRST_ROW - 1, 34)?;
    let by_plan = (
        title(columns.by_plan),
        "Whole lengths by the plan of cuts on the sheet Cuts",
        9.0,
    );
    let any_cut = table.values(columns.by_plan).iter().any(|n| !n.is_nan());
    let by_plan = any_cut.then_some(by_plan);
    for (at, (title, note, width)) in (0u16..).zip(headings.iter().chain(&by_plan)) {
        let is_text = matches!(
            at,
            at::KIND | at::LABEL | at::DETAIL | at::UNIT | at::STATUS
        );
        let format = if is_text {
            styles::heading()
        } else {
            styles::heading_right()
        };
        sheet.write_string_with_format(FIRST_ROW - 1, at, title, &format)?;
        sheet.set_column_width(at, *width)?;
        if !note.is_empty() {
            sheet.insert_note(FIRST_ROW - 1, at, &page::note(note))?;
        }
    }
    Ok(())
}

fn write_line(
    sheet: &mut Worksheet,
    bid: &Bid,
    layout: &Layout,
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
            at::NUMBER,
            product as f64 + 1.0,
            &styles::cell(Look::Working, "0"),
        )?;
    }
    let by_plan = table.value(bid.line_columns.by_plan, index);
    if !by_plan.is_nan() {
        let format = styles::cell(Look::Working, &styles::quiet_zero("0"));
        sheet.write_number_with_format(row, at::BY_PLAN, by_plan, &format)?;
    }
    sheet.write_string_with_format(row, at::KIND, line.kind.name(), &styles::text())?;
    sheet.write_string_with_format(row, at::LABEL, &line.label, &styles::text())?;
    sheet.write_string_with_format(row, at::DETAIL, &line.detail, &styles::text())?;
    let unit = match ledger.units.package(&line.unit.label) {
        Some(package) => ledger.units.package_word(package, 2.0),
        None => &line.unit.label,
    };
    sheet.write_string_with_format(row, at::UNIT, unit, &styles::text())?;
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
        &money
    } else {
        "#,##0.00"
    };
    for (column, at, format, look) in [
        (columns.needed, at::NEEDED, needed_format, Look::Result),
        (
            columns.quantity,
            at::QUANTITY,
            quantity_format,
            Look::Result,
        ),
        (columns.unit_price, at::UNIT_PRICE, &money, Look::Result),
        (columns.cost, at::COST, &money, Look::Result),
        (columns.tax, at::TAX, &money, Look::Result),
        (columns.contingency, at::CONTINGENCY, &money, Look::Result),
        (columns.profit, at::PROFIT, &money, Look::Result),
        (columns.price, at::WORKED_OUT, &money, Look::Working),
        (
            columns.share_rate,
            at::SHARE_RATE,
            "#,##0.0000",
            Look::Working,
        ),
    ] {
        let Some(output) = shape.outputs.iter().find(|output| output.column == column) else {
            continue;
        };
        let Some(formula) = printer.output(output) else {
            continue;
        };
        let formula =
            super::template::Template::new(&formula).at(super::template::Rows::alone(row));
        let unit = super::piece::cell_unit(table.column(column), shape.node(output.node));
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
        let changed = format!("changed_{}", bid.items[*item].recipe);
        if !recipes.contains(&changed) {
            recipes.push(changed);
        }
    }
    let status = format!(
        "=IF(check_all+{}=0,\"ok\",\"price again\")",
        recipes.join("+")
    );
    sheet.write_formula_with_format(
        row,
        at::STATUS,
        Formula::new(status).set_result("ok"),
        &styles::text(),
    )?;
    let letters = |at: u16| column_letters(u32::from(at));
    let price = format!(
        "=IF({}{}=\"ok\",{}{},\"price again\")",
        letters(at::STATUS),
        row + 1,
        letters(at::WORKED_OUT),
        row + 1
    );
    let value = table.value(columns.price, index);
    sheet.write_formula_with_format(
        row,
        at::PRICE,
        Formula::new(price).set_result(value.to_string()),
        &styles::cell(Look::Result, &styles::quiet_zero(&money)),
    )?;
    Ok(())
}

fn mark_stale(sheet: &mut Worksheet, lines: u32) -> Result<(), XlsxError> {
    let last = FIRST_ROW + lines - 1;
    let test = format!(
        "=${}{}=\"price again\"",
        column_letters(u32::from(at::STATUS)),
        FIRST_ROW + 1
    );
    let alarm = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::alarm());
    sheet.add_conditional_format(FIRST_ROW, at::STATUS, last, at::PRICE, &alarm)?;
    let stale = ConditionalFormatFormula::new()
        .set_rule(test.as_str())
        .set_format(styles::stale());
    sheet.add_conditional_format(FIRST_ROW, at::NEEDED, last, at::NEEDED, &stale)?;
    sheet.add_conditional_format(FIRST_ROW, at::QUANTITY, last, at::SHARE_RATE, &stale)?;
    Ok(())
}
