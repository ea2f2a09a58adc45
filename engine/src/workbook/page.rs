//! Page set-up, notes and headings that all sheets share.

use rust_xlsxwriter::{Formula, Note, ProtectionOptions, Worksheet, XlsxError};

use super::styles::{self, Look};
use crate::measure::capital;
use crate::trail::{Column, Kind, Ledger};

/// Letter paper, in the numbering of spreadsheets.
const LETTER: u8 = 1;

/// A sheet in portrait that fits one page across.
pub(super) fn set_up(sheet: &mut Worksheet) {
    locked(sheet);
    sheet.set_portrait().set_print_fit_to_pages(1, 0);
}

/// A wide sheet in landscape whose headings repeat on every page.
pub(super) fn set_up_wide(sheet: &mut Worksheet, heading_row: u32) -> Result<(), XlsxError> {
    locked(sheet);
    sheet.set_landscape().set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, heading_row)?;
    Ok(())
}

/// A sheet with more columns than a page holds: pages begin at the columns given, and
/// the names of rooms repeat on each.
pub(super) fn set_up_many_columns(
    sheet: &mut Worksheet,
    heading_row: u32,
    breaks: &[u32],
) -> Result<(), XlsxError> {
    locked(sheet);
    sheet
        .set_landscape()
        .set_print_scale(70)
        .set_repeat_rows(0, heading_row)?
        .set_repeat_columns(0, 2)?
        .set_vertical_page_breaks(breaks)?;
    Ok(())
}

/// A form: one page across, with lines to write on when it is printed blank.
pub(super) fn set_up_form(
    sheet: &mut Worksheet,
    heading_row: u32,
    columns: usize,
) -> Result<(), XlsxError> {
    const LINES: u32 = 30;
    basics(sheet);
    let last = u16::try_from(columns.saturating_sub(1)).unwrap_or(u16::MAX);
    sheet
        .set_screen_gridlines(true)
        .set_print_gridlines(true)
        .set_landscape()
        .set_print_fit_to_pages(1, 0)
        .set_repeat_rows(0, heading_row)?
        .set_print_area(0, 0, heading_row + LINES, last)?;
    Ok(())
}

fn basics(sheet: &mut Worksheet) {
    sheet
        .set_paper_size(LETTER)
        .set_margins(0.6, 0.6, 0.7, 0.7, 0.3, 0.3)
        .set_footer("&L&F — &A&RPage &P of &N")
        .set_screen_gridlines(false)
        // A formula whose stored result is no text stores no text, rather than 0.
        .set_formula_result_default("");
}

/// A sheet whose cells not meant for typing are locked, without a password; widths and filters
/// stay free.
fn locked(sheet: &mut Worksheet) {
    basics(sheet);
    let options = ProtectionOptions {
        format_columns: true,
        format_rows: true,
        use_autofilter: true,
        ..ProtectionOptions::default()
    };
    sheet.protect_with_options(&options);
}

/// A cell that is 1 where a test fails.
pub(super) fn check(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    test: &str,
) -> Result<(), XlsxError> {
    let formula = Formula::new(format!("=IF({test},0,1)")).set_result("0");
    sheet.write_formula_with_format(row, column, formula, &styles::cell(Look::Working, "0"))?;
    Ok(())
}

/// A note beside a heading.
pub(super) fn note(text: &str) -> Note {
    let lines = text.chars().count().div_ceil(38) as u32 + 1;
    Note::new(text)
        .add_author_prefix(false)
        .set_width(260)
        .set_height(18 * lines.max(2))
}

/// A heading with the unit of its column.
pub(super) fn with_unit(title: &str, column: &Column, ledger: &Ledger) -> String {
    let Kind::Number(dimension) = column.kind else {
        return capital(title);
    };
    let label = &column.unit.label;
    if label.is_empty() {
        return capital(title);
    }
    // More than one of a package is meant.
    let label = match dimension.packages().next() {
        Some((id, _))
            if dimension.is_package_count() && label == ledger.units.package_word(id, 1.0) =>
        {
            ledger.units.package_word(id, 2.0)
        }
        _ => label,
    };
    format!("{} ({label})", capital(title))
}

/// The width of a column that shows most texts whole.
pub(super) fn width_for(texts: &[String]) -> f64 {
    let longest = texts.iter().map(|text| text.chars().count()).max();
    (longest.unwrap_or(0) as f64 + 3.0).clamp(12.0, 48.0)
}

/// The height of a row for a text that wraps at so many characters.
pub(super) fn height_for(text: &str, across: usize) -> f64 {
    let lines = text.chars().count().div_ceil(across.max(1)).max(1);
    15.5 * lines as f64
}
