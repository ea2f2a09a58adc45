//! The price book as a form to fill in.

use rust_xlsxwriter::{DataValidation, Worksheet, XlsxError};

use super::forms::{FORM_ROWS, new_workbook};
use super::page;
use super::styles;
use crate::pricebook::{KindSpec, PRODUCT_HEADINGS, RATE_HEADINGS};
use crate::quantity::{System, Units};

/// Writes a blank price sheet for the kinds of product that recipes ask for.
///
/// # Errors
/// Says in words what the form could not hold.
pub fn write_price_form(
    kinds: &[KindSpec],
    units: &Units,
    system: System,
) -> Result<Vec<u8>, String> {
    price_form(kinds, units, system).map_err(|error| format!("the form cannot be written: {error}"))
}

fn price_form(kinds: &[KindSpec], units: &Units, system: System) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = new_workbook("Price book")?;
    let sheet = workbook.add_worksheet().set_name("Products")?;
    sheet.write_string_with_format(0, 0, "Products: one row each", &styles::title())?;
    let mut headings: Vec<(String, String)> = PRODUCT_HEADINGS
        .iter()
        .zip([
            "Its name, as rooms call it",
            "What recipes use it for",
            "What it comes in: bag, pail, roll, …",
            "Who sells it",
        ])
        .map(|(heading, note)| ((*heading).to_owned(), note.to_owned()))
        .collect();
    for kind in kinds {
        for field in kind.all_fields(units) {
            let unit = match system {
                System::Us => &field.unit,
                System::Si => &field.metric,
            };
            let bare = unit.label.trim_end_matches("/package");
            let heading = match bare {
                "" | "package" => field.title.clone(),
                _ if field.range => field.title.clone(),
                bare => format!("{} ({bare})", field.title),
            };
            let note = if field.range {
                format!(
                    "{} For {}. Write it as a range, such as 1/8 in .. 1-1/2 in.",
                    field.why, kind.title
                )
            } else if ["price", "weight", "pallet"].contains(&field.name.as_str()) {
                field.why.clone()
            } else {
                format!("{} For {}, each package.", field.why, kind.title)
            };
            if !headings.iter().any(|(known, _)| *known == heading) {
                headings.push((heading, note));
            }
        }
    }
    write_price_headings(sheet, &headings)?;
    let names: Vec<&str> = kinds.iter().map(|kind| kind.name.as_str()).collect();
    if !names.is_empty() {
        let choices = DataValidation::new().allow_list_strings(&names)?;
        sheet.add_data_validation(3, 1, 3 + FORM_ROWS as u32, 1, &choices)?;
    }
    let sheet = workbook.add_worksheet().set_name("Rates")?;
    sheet.write_string_with_format(0, 0, "Rates: one row each", &styles::title())?;
    let notes = [
        "Its name in recipes, such as crew",
        "Money for each one",
        "What it counts by: h, day, trip, …; blank for a sum",
        "What it includes",
    ];
    let headings: Vec<(String, String)> = RATE_HEADINGS
        .iter()
        .zip(notes)
        .map(|(heading, note)| ((*heading).to_owned(), note.to_owned()))
        .collect();
    write_price_headings(sheet, &headings)?;
    workbook.save_to_buffer()
}

fn write_price_headings(
    sheet: &mut Worksheet,
    headings: &[(String, String)],
) -> Result<(), XlsxError> {
    for (at, (title, note)) in (0u16..).zip(headings) {
        sheet.write_string_with_format(2, at, title, &styles::heading())?;
        sheet.set_column_width(at, 20)?;
        sheet.insert_note(2, at, &page::note(note))?;
    }
    sheet.set_freeze_panes(3, 1)?;
    page::set_up_form(sheet, 2, headings.len())
}
