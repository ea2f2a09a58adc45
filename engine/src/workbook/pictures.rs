//! Pictures of surveys, beside the readings they show.

use rust_xlsxwriter::{ConditionalFormat2ColorScale, Image, Worksheet, XlsxError};

use super::plan::{TablePlan, What};
use super::styles;
use crate::bid::Bid;
use crate::takeoff::Surveys;
use crate::trail::Kind;

/// Most pictures in one workbook: each takes time to draw and room to keep.
const MOST_PICTURES: usize = 40;
/// Width of a picture on the sheet, in pixels.
const WIDTH: f64 = 640.0;
/// Pixels of a row.
const ROW: f64 = 20.0;

/// The surveys whose readings a plan shows, if it shows any.
pub(super) fn surveys_of<'b>(bid: &'b Bid, plan: &TablePlan) -> Option<&'b Surveys> {
    let mut all = bid.takeoff.surveys.iter();
    all.find(|surveys| surveys.table == plan.table)
}

/// Shades the heights, light to dark, and puts a picture of each room right of the readings.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    plan: &TablePlan,
    surveys: &Surveys,
) -> Result<(), XlsxError> {
    shade_heights(sheet, bid, plan)?;
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let column = plan.columns.len() as u16 + 1;
    let mut row = plan.first_row;
    let surveyed = surveys.of_room.iter().enumerate();
    let surveyed = surveyed.filter_map(|(room, survey)| Some((room, survey.as_ref()?)));
    for (room, survey) in surveyed.take(MOST_PICTURES) {
        let name = &rooms.row_names[room];
        let cell = |wanted: &str| {
            let value = rooms.value(rooms.column_named(wanted)?, room);
            (!value.is_nan()).then_some(value)
        };
        let picture = match survey.picture(name, bid.ledger.system, &cell) {
            Ok(picture) => picture,
            Err(why) => {
                let text = format!("{name}: no picture, {why}");
                sheet.write_string_with_format(row, column, text, &styles::remark())?;
                row += 2;
                continue;
            }
        };
        let image = Image::new_from_buffer(&picture)?;
        let scale = WIDTH / image.width();
        let rows = (image.height() * scale / ROW).ceil() as u32;
        let image = image
            .set_scale_width(scale)
            .set_scale_height(scale)
            .set_alt_text(format!("Map of the floor of {name}"));
        sheet.insert_image(row, column, &image)?;
        row += rows + 2;
    }
    Ok(())
}

fn shade_heights(sheet: &mut Worksheet, bid: &Bid, plan: &TablePlan) -> Result<(), XlsxError> {
    let table = bid.ledger.table(plan.table);
    let at = (0u16..)
        .zip(&plan.columns)
        .find(|(_, (what, _))| match what {
            What::Ledger(id) => {
                let column = table.column(*id);
                column.name.ends_with(".height") && matches!(column.kind, Kind::Number(_))
            }
            _ => false,
        });
    let Some((at, _)) = at.filter(|_| plan.rows > 0) else {
        return Ok(());
    };
    let scale = ConditionalFormat2ColorScale::new()
        .set_minimum_color(styles::DEEP)
        .set_maximum_color(styles::SHALLOW);
    let last = plan.first_row + plan.rows - 1;
    sheet.add_conditional_format(plan.first_row, at, last, at, &scale)?;
    Ok(())
}
