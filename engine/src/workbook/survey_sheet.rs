//! The sheet of surveyed rooms: a page for each with its figures, its picture, and its heights
//! where they were read.

use rust_xlsxwriter::{ConditionalFormat2ColorScale, Formula, Image, Worksheet, XlsxError};

use super::Pictures;
use super::layout::Layout;
use super::page;
use super::piece::{cell_number, tidy};
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::takeoff::{Survey, Surveys};
use crate::trail::ColumnId;

/// Most pictures in one workbook: each takes time to draw and room to keep.
const MOST_PICTURES: usize = 40;
/// Width of a picture on the sheet, in pixels.
const WIDTH: f64 = 760.0;
/// Pixels of a row.
const ROW: f64 = 20.0;
/// Most positions of a grid in either direction that a page shows.
const MOST_ACROSS: usize = 30;

/// Writes a page for each surveyed room.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    surveys: &Surveys,
    layout: &Layout,
    pictures: Pictures,
) -> Result<(), XlsxError> {
    page::set_up_wide(sheet, 0)?;
    sheet.set_portrait();
    let title = surveys.surveyor.pages_title();
    sheet.write_string_with_format(0, 0, title, &styles::title())?;
    sheet.set_column_width(0, 12)?;
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let mut row = 2;
    let mut breaks = Vec::new();
    let surveyed = surveys.of_room.iter().enumerate();
    let surveyed = surveyed.filter_map(|(room, survey)| Some((room, survey.as_ref()?)));
    for (count, (room, survey)) in surveyed.enumerate() {
        if count > 0 {
            breaks.push(row);
        }
        let name = &rooms.row_names[room];
        sheet.write_string_with_format(row, 0, name, &styles::strong())?;
        row = write_figures(sheet, bid, surveys, (room, row + 1), layout)?;
        if pictures == Pictures::Drawn && count < MOST_PICTURES {
            row = write_picture(sheet, bid, survey.as_ref(), (room, row + 1))?;
        }
        row = write_heights(sheet, bid, surveys, (room, row + 1), layout)? + 1;
    }
    sheet.set_page_breaks(&breaks)?;
    Ok(())
}

/// What the room has from its readings, as formulas that follow the Rooms sheet.
fn write_figures(
    sheet: &mut Worksheet,
    bid: &Bid,
    surveys: &Surveys,
    (room, top): (usize, u32),
    layout: &Layout,
) -> Result<u32, XlsxError> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let group = surveys.surveyor.kind();
    let mut row = top;
    for (id, column) in rooms.columns().filter(|(_, column)| column.group == group) {
        let value = rooms.value(id, room);
        let Some(cell) = layout.cell(bid.takeoff.rooms.table, id, room as u32) else {
            continue;
        };
        if value.is_nan() {
            continue;
        }
        let title = page::with_unit(&column.title, column, &bid.ledger);
        sheet.write_string_with_format(row, 0, title, &styles::text())?;
        let number = tidy(cell_number(value, &column.unit));
        let format = styles::number_format(&column.unit, &bid.ledger.units);
        let formula = Formula::new(format!("={cell}")).set_result(number.to_string());
        sheet.write_formula_with_format(row, 4, formula, &styles::cell(Look::Result, &format))?;
        row += 1;
    }
    Ok(row)
}

fn write_picture(
    sheet: &mut Worksheet,
    bid: &Bid,
    survey: &dyn Survey,
    (room, top): (usize, u32),
) -> Result<u32, XlsxError> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let name = &rooms.row_names[room];
    let cell = |wanted: &str| rooms.filled(wanted, room);
    let picture = match survey.picture(name, bid.ledger.system, &cell) {
        Ok(picture) => picture,
        Err(why) => {
            let text = format!("There is no picture: {why}");
            sheet.write_string_with_format(top, 0, text, &styles::remark())?;
            return Ok(top + 1);
        }
    };
    sheet.write_string_with_format(
        top,
        0,
        "As surveyed; after a change of readings it is drawn anew when the job is priced again.",
        &styles::remark(),
    )?;
    let image = Image::new_from_buffer(&picture)?;
    let scale = WIDTH / image.width();
    let rows = (image.height() * scale / ROW).ceil() as u32;
    let image = image
        .set_scale_width(scale)
        .set_scale_height(scale)
        .set_alt_text(format!("Map of the floor of {name}"));
    sheet.insert_image(top + 1, 0, &image)?;
    Ok(top + 2 + rows)
}

/// The heights where they were read, shaded from low to high, where they lie on a grid.
fn write_heights(
    sheet: &mut Worksheet,
    bid: &Bid,
    surveys: &Surveys,
    (room, top): (usize, u32),
    layout: &Layout,
) -> Result<u32, XlsxError> {
    let table = bid.ledger.table(surveys.table);
    let name = format!("{}.height", surveys.surveyor.kind());
    let (Some(height), Some((first, last))) = (table.column_named(&name), table.span_of(room))
    else {
        return Ok(top);
    };
    let positions = |column: &str| -> Vec<f64> {
        let id = table.column_named(column).unwrap_or(ColumnId::FIRST);
        table.values(id)[first as usize..=last as usize].to_vec()
    };
    let (across, along) = (positions("across"), positions("along"));
    let (columns, lines) = (distinct(&across), distinct(&along));
    let is_grid = across.len() * 2 >= columns.len() * lines.len();
    if !is_grid || columns.len() > MOST_ACROSS {
        return Ok(top);
    }
    let column = table.column(height);
    let title = page::with_unit("Heights where they were read", column, &bid.ledger);
    sheet.write_string_with_format(top, 0, title, &styles::strong())?;
    let format = styles::cell(
        Look::Result,
        &styles::number_format(&column.unit, &bid.ledger.units),
    );
    let at = |list: &[f64], position: f64| list.iter().position(|known| *known == position);
    for (index, (x, y)) in (first..).zip(across.iter().zip(&along)) {
        let (Some(line), Some(place)) = (at(&lines, *y), at(&columns, *x)) else {
            continue;
        };
        let Some(cell) = layout.cell(surveys.table, height, index) else {
            continue;
        };
        let number = tidy(cell_number(
            table.value(height, index as usize),
            &column.unit,
        ));
        let formula = Formula::new(format!("={cell}")).set_result(number.to_string());
        sheet.write_formula_with_format(top + 1 + line as u32, place as u16, formula, &format)?;
    }
    let scale = ConditionalFormat2ColorScale::new()
        .set_minimum_color(styles::DEEP)
        .set_maximum_color(styles::SHALLOW);
    let bottom = top + lines.len() as u32;
    sheet.add_conditional_format(top + 1, 0, bottom, columns.len() as u16 - 1, &scale)?;
    Ok(bottom + 1)
}

/// The different numbers of a list, rising.
fn distinct(list: &[f64]) -> Vec<f64> {
    let mut list = list.to_vec();
    list.sort_by(f64::total_cmp);
    list.dedup();
    list
}
