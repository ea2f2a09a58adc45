//! The Cuts sheet: how the pieces of the job are cut from whole lengths, for the crew.
//!
//! The plan is what it was when the job was priced: beside each product stands whether it still holds.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::estimate::{EstimatePlan, LineCell};
use super::page;
use super::piece::{cell_number, tidy};
use super::styles::{self, Look};
use crate::bid::{Bid, CutList, CutRow};
use crate::measure::write_count;
use crate::quantity::{Dimension, Unit};
use crate::trail::Kind;

/// Headings and widths.
const COLUMNS: [(&str, f64); 6] = [
    ("Length", 9.0),
    ("From", 11.0),
    ("Cut to", 11.0),
    ("Room", 24.0),
    ("For", 34.0),
    ("Piece", 24.0),
];

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    estimate: &EstimatePlan,
) -> Result<(), XlsxError> {
    page::set_up_wide(sheet, 0)?;
    sheet.set_portrait();
    sheet.write_string_with_format(0, 0, "Cuts", &styles::title())?;
    sheet.write_string_with_format(
        1,
        0,
        "Cut length by length; below it the same pieces room by room, to set them.",
        &styles::remark(),
    )?;
    for (at, (_, width)) in (0u16..).zip(COLUMNS) {
        sheet.set_column_width(at, width)?;
    }
    let unit = bid.ledger.shown_in(Kind::Number(Dimension::LENGTH));
    let mut row = 3;
    for list in &bid.cuts {
        row = write_head(sheet, (bid, estimate, &unit), list, row)?;
        row = write_rows(sheet, (bid, &unit), &list.rows(&bid.ledger), row)? + 1;
        sheet.write_string_with_format(row, 0, "Room by room", &styles::strong())?;
        let by_room = list.rows_by_room(&bid.ledger);
        row = write_rows(sheet, (bid, &unit), &by_room, row + 1)? + 2;
    }
    Ok(())
}

/// What is cut, from how many lengths, and whether the plan still holds.
fn write_head(
    sheet: &mut Worksheet,
    (bid, estimate, unit): (&Bid, &EstimatePlan, &Unit),
    list: &CutList,
    row: u32,
) -> Result<u32, XlsxError> {
    let line = &bid.lines[list.line];
    sheet.write_string_with_format(row, 0, line.name(), &styles::strong())?;
    let stock = shown(list.stock, unit);
    let (used, bound) = (list.plan.used(), list.plan.bound);
    let proof = if used == bound {
        "no plan does with fewer".to_owned()
    } else {
        format!("no plan does with fewer than {bound}")
    };
    let lengths = write_count(used, "length");
    let text = format!("{lengths} of {stock} {}; {proof}.", unit.label);
    sheet.write_string_with_format(row + 1, 0, text, &styles::remark())?;
    let status = estimate.line_cell(list.line, LineCell::Status);
    let holds =
        format!("=IF({status}=\"ok\",\"the plan holds\",\"price again: pieces have changed\")");
    sheet.write_formula_with_format(
        row,
        4,
        Formula::new(holds).set_result("the plan holds"),
        &styles::text(),
    )?;
    let stale = ConditionalFormatFormula::new()
        .set_rule(format!("={status}<>\"ok\"").as_str())
        .set_format(styles::alarm());
    sheet.add_conditional_format(row, 4, row, 4, &stale)?;
    Ok(row + 2)
}

fn write_rows(
    sheet: &mut Worksheet,
    (bid, unit): (&Bid, &Unit),
    rows: &[CutRow],
    top: u32,
) -> Result<u32, XlsxError> {
    for (at, (title, _)) in (0u16..).zip(COLUMNS) {
        let is_text = at > 2;
        let title = match at {
            1 | 2 => format!("{title} ({})", unit.label),
            _ => title.to_owned(),
        };
        let format = if is_text {
            styles::heading()
        } else {
            styles::heading_right()
        };
        sheet.write_string_with_format(top, at, title, &format)?;
    }
    let format = styles::number_format(unit, &bid.ledger.units);
    let length = styles::cell(Look::Result, &format);
    let count = styles::cell(Look::Result, "0");
    let mut row = top + 1;
    for cut in rows {
        sheet.write_number_with_format(row, 0, cut.bar as f64, &count)?;
        sheet.write_number_with_format(row, 1, shown(cut.start, unit), &length)?;
        sheet.write_number_with_format(row, 2, shown(cut.length, unit), &length)?;
        sheet.write_string_with_format(row, 3, &cut.room, &styles::text())?;
        sheet.write_string_with_format(row, 4, &cut.what, &styles::text())?;
        sheet.write_string_with_format(row, 5, &cut.number, &styles::text())?;
        row += 1;
    }
    Ok(row)
}

/// A length in a unit, as a cell shows it.
fn shown(inches: f64, unit: &Unit) -> f64 {
    tidy(cell_number(inches, unit))
}
