//! The Cautions sheet: every caution that a recipe knows, and where it holds now.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::layout::{Layout, range};
use super::page;
use super::plan::{TablePlan, What};
use super::styles::{self, Look};
use crate::bid::{Bid, CautionColumn};
use crate::recipe::Recipe;

/// First row with a caution.
const FIRST_ROW: u32 = 4;
/// Fewest cautions that the Bid sheet has room for.
const SHOWN_ON_BID: u32 = 8;
/// Room on the Bid sheet for cautions that edits may add to those that hold.
const SPARE: u32 = 3;

/// Sheet columns.
mod at {
    pub(super) const RANK: u16 = 0;
    pub(super) const TEXT: u16 = 1;
    pub(super) const RECIPE: u16 = 2;
    pub(super) const COUNT: u16 = 3;
    pub(super) const FIRST: u16 = 4;
    pub(super) const ORDER: u16 = 6;
    pub(super) const ORDERED_TEXT: u16 = 7;
    pub(super) const ORDERED_FIRST: u16 = 8;
    pub(super) const ORDERED_COUNT: u16 = 9;
}

/// A caution as priced: its text, the first row where it holds, and in how many.
pub(super) struct Holding {
    pub(super) text: String,
    pub(super) first: String,
    pub(super) count: usize,
}

/// What holds in the priced job, in order.
pub(super) fn holding(bid: &Bid) -> Vec<Holding> {
    bid.cautions
        .iter()
        .filter_map(|caution| {
            let (first, count) = count(bid, caution);
            (count > 0).then(|| Holding {
                text: caution.text.clone(),
                first,
                count,
            })
        })
        .collect()
}

fn count(bid: &Bid, caution: &CautionColumn) -> (String, usize) {
    let rows = caution.holds_in(&bid.ledger);
    let first = rows.first().copied().unwrap_or_default();
    (first.to_owned(), rows.len())
}

/// How many lines of cautions the Bid sheet shows: all that hold, and some to spare.
pub(super) fn lines_on_bid(bid: &Bid) -> u32 {
    let wanted = SHOWN_ON_BID.max(holding(bid).len() as u32 + SPARE);
    (bid.cautions.len() as u32).min(wanted)
}

/// The cells of the n-th caution that holds: text, first row, count.
pub(super) fn nth(index: u32) -> (String, String, String) {
    let row = FIRST_ROW + index + 1;
    (
        format!("Cautions!H{row}"),
        format!("Cautions!I{row}"),
        format!("Cautions!J{row}"),
    )
}

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    recipes: &[Recipe],
    plans: &[&TablePlan],
    layout: &Layout,
) -> Result<(), XlsxError> {
    page::set_up_wide(sheet, FIRST_ROW - 1)?;
    sheet.write_string_with_format(0, 0, "Cautions", &styles::title())?;
    sheet.write_string_with_format(1, 0, "Each caution that a recipe knows, and where it holds now. Local code, product sheets and licensed people govern.", &styles::remark())?;
    sheet.set_row_height(FIRST_ROW - 1, 34)?;
    for (at, title, width) in [
        (at::RANK, "No.", 6.0),
        (at::TEXT, "Caution", 62.0),
        (at::RECIPE, "Recipe", 14.0),
        (at::COUNT, "Rows where it holds", 11.0),
        (at::FIRST, "First", 20.0),
        (at::ORDER, "No.", 6.0),
        (at::ORDERED_TEXT, "Holding now, in order", 62.0),
        (at::ORDERED_FIRST, "First", 20.0),
        (at::ORDERED_COUNT, "Rows", 8.0),
    ] {
        sheet.write_string_with_format(FIRST_ROW - 1, at, title, &styles::heading())?;
        sheet.set_column_width(at, width)?;
    }
    let mut rank = 0;
    for (index, caution) in (0u32..).zip(&bid.cautions) {
        write_caution(
            sheet,
            bid,
            caution,
            FIRST_ROW + index,
            &mut rank,
            plans,
            layout,
        )?;
    }
    write_ordered(sheet, bid)?;
    let count = bid.cautions.len() as u32;
    if count > 0 {
        let test = format!("=$D{}>0", FIRST_ROW + 1);
        let alarm = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::strong());
        sheet.add_conditional_format(
            FIRST_ROW,
            at::RANK,
            FIRST_ROW + count - 1,
            at::FIRST,
            &alarm,
        )?;
    }
    let mut row = FIRST_ROW + count + 2;
    sheet.write_string_with_format(row, at::TEXT, "Always", &styles::group())?;
    for recipe in recipes {
        for text in &recipe.manifest.texts.cautions {
            row += 1;
            sheet.write_string_with_format(row, at::TEXT, text, &styles::wrapped())?;
            sheet.write_string_with_format(
                row,
                at::RECIPE,
                &recipe.manifest.name,
                &styles::text(),
            )?;
            sheet.set_row_height(row, page::height_for(text, 62))?;
        }
    }
    Ok(())
}

fn write_caution(
    sheet: &mut Worksheet,
    bid: &Bid,
    caution: &CautionColumn,
    row: u32,
    rank: &mut usize,
    plans: &[&TablePlan],
    layout: &Layout,
) -> Result<(), XlsxError> {
    let (first, count) = count(bid, caution);
    *rank += usize::from(count > 0);
    let own_rank = if count > 0 { *rank } else { 0 };
    sheet.write_string_with_format(row, at::TEXT, &caution.text, &styles::wrapped())?;
    sheet.set_row_height(row, page::height_for(&caution.text, 62))?;
    sheet.write_string_with_format(row, at::RECIPE, &caution.recipe, &styles::text())?;
    let number = styles::cell(Look::Result, "0");
    let flags = layout
        .whole(caution.table, caution.column)
        .unwrap_or_else(|| "0".to_owned());
    let formula = Formula::new(format!("=SUM({flags})")).set_result(count.to_string());
    sheet.write_formula_with_format(row, at::COUNT, formula, &number)?;
    // The heading above the first counts as nothing.
    let formula = Formula::new(format!("=IF(D{}>0,MAX(A${FIRST_ROW}:A{row})+1,0)", row + 1))
        .set_result(own_rank.to_string());
    sheet.write_formula_with_format(row, at::RANK, formula, &number)?;
    let place = plans
        .iter()
        .find(|plan| plan.table == caution.table)
        .and_then(|plan| {
            let names = plan.column_of(&What::Name)?;
            let last = plan.first_row + plan.rows - 1;
            Some(range(&plan.sheet, (plan.first_row, names), (last, names)))
        });
    let formula = match place {
        Some(names) => format!("=IF(D{}=0,\"\",INDEX({names},MATCH(1,{flags},0)))", row + 1),
        None => format!("=IF(D{}=0,\"\",\"whole job\")", row + 1),
    };
    let formula = Formula::new(formula).set_result(first);
    sheet.write_formula_with_format(row, at::FIRST, formula, &styles::text())?;
    Ok(())
}

/// The cautions that hold, one after the other, for the Bid sheet.
fn write_ordered(sheet: &mut Worksheet, bid: &Bid) -> Result<(), XlsxError> {
    let count = bid.cautions.len() as u32;
    let holding = holding(bid);
    for index in 0..lines_on_bid(bid) {
        let row = FIRST_ROW + index;
        sheet.write_number_with_format(
            row,
            at::ORDER,
            f64::from(index + 1),
            &styles::cell(Look::Working, "0"),
        )?;
        let known = holding.get(index as usize);
        let (top, bottom) = (FIRST_ROW + 1, FIRST_ROW + count);
        for (at, letter, result) in [
            (at::ORDERED_TEXT, 'B', known.map(|h| h.text.clone())),
            (at::ORDERED_FIRST, 'E', known.map(|h| h.first.clone())),
            (at::ORDERED_COUNT, 'D', known.map(|h| h.count.to_string())),
        ] {
            let formula = format!(
                "=IFERROR(INDEX({letter}${top}:{letter}${bottom},MATCH(G{},A${top}:A${bottom},0)),\"\")",
                row + 1
            );
            let formula = Formula::new(formula).set_result(result.unwrap_or_default());
            sheet.write_formula_with_format(row, at, formula, &styles::wrapped())?;
        }
    }
    Ok(())
}
