//! How cells look. Inputs differ from results by fill, border and lock, never by colour alone.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, FormatPattern, FormatUnderline};

use crate::quantity::{Unit, Units};

const INK: Color = Color::RGB(0x1F2937);
const HEAD_FILL: Color = Color::RGB(0xE5E7EB);
const INPUT_FILL: Color = Color::RGB(0xFFF8DB);
const LINE: Color = Color::RGB(0x9CA3AF);

/// The shades of low and high floors; light enough to read figures on.
pub(super) const DEEP: Color = Color::RGB(0x9DB4D0);
pub(super) const SHALLOW: Color = Color::RGB(0xFFFFFF);

/// What a cell is, as far as its look goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Look {
    /// Calculated.
    Result,
    /// May be changed.
    Input,
    /// May be changed, but was filled in by a default or by the job.
    Filled,
    /// A step on the way, of less interest.
    Working,
}

/// A format for cells of a look with a number format.
pub(super) fn cell(look: Look, number_format: &str) -> Format {
    let format = Format::new()
        .set_num_format(number_format)
        .set_align(FormatAlign::Top)
        .set_font_color(INK);
    match look {
        Look::Result => format,
        Look::Working => format.set_font_color(Color::RGB(0x6B7280)),
        Look::Input => input(format),
        Look::Filled => input(format).set_italic(),
    }
}

/// The same for a text.
pub(super) fn text_cell(look: Look) -> Format {
    cell(look, "General")
        .set_align(FormatAlign::Left)
        .set_indent(1)
}

fn input(format: Format) -> Format {
    format
        .set_unlocked()
        .set_background_color(INPUT_FILL)
        .set_border(FormatBorder::Dashed)
        .set_border_color(LINE)
}

/// The title of a sheet.
pub(super) fn title() -> Format {
    Format::new()
        .set_bold()
        .set_font_size(15)
        .set_font_color(INK)
        .set_align(FormatAlign::Left)
        .set_indent(1)
}

/// A heading above a column of texts.
pub(super) fn heading() -> Format {
    head().set_align(FormatAlign::Left).set_indent(1)
}

/// A heading above a column of numbers.
pub(super) fn heading_right() -> Format {
    head().set_align(FormatAlign::Right)
}

fn head() -> Format {
    Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Top)
        .set_font_color(INK)
        .set_background_color(HEAD_FILL)
        .set_border_bottom(FormatBorder::Medium)
}

/// A heading above a group of columns, or over a block.
pub(super) fn group() -> Format {
    Format::new()
        .set_bold()
        .set_italic()
        .set_font_color(INK)
        .set_align(FormatAlign::Left)
        .set_indent(1)
        .set_border_bottom(FormatBorder::Thin)
}

/// The same above a column of numbers.
pub(super) fn group_right() -> Format {
    group().set_align(FormatAlign::Right).set_indent(0)
}

/// Text; indented, so that it stands off a number on its left.
pub(super) fn text() -> Format {
    Format::new()
        .set_font_color(INK)
        .set_align(FormatAlign::Top)
        .set_align(FormatAlign::Left)
        .set_indent(1)
}

/// Text that runs over several lines.
pub(super) fn wrapped() -> Format {
    text().set_text_wrap()
}

/// A small remark.
pub(super) fn remark() -> Format {
    Format::new()
        .set_italic()
        .set_font_size(9)
        .set_font_color(INK)
        .set_align(FormatAlign::Left)
        .set_indent(1)
}

/// Bold text.
pub(super) fn strong() -> Format {
    text().set_bold()
}

/// The total of the bid.
pub(super) fn total(number_format: &str) -> Format {
    Format::new()
        .set_bold()
        .set_font_size(13)
        .set_num_format(number_format)
        .set_font_color(INK)
        .set_border_top(FormatBorder::Medium)
        .set_border_bottom(FormatBorder::Double)
}

/// A sum within a list that has a total of its own.
pub(super) fn subtotal(number_format: &str) -> Format {
    Format::new()
        .set_bold()
        .set_num_format(number_format)
        .set_font_color(INK)
        .set_border_top(FormatBorder::Thin)
}

/// A format for the label of a row of sums.
pub(super) fn left(format: Format) -> Format {
    format.set_align(FormatAlign::Left).set_indent(1)
}

/// Says "price again": bold, underlined, with a pattern behind it.
pub(super) fn alarm() -> Format {
    Format::new()
        .set_bold()
        .set_underline(FormatUnderline::Single)
        .set_font_color(Color::RGB(0x9B1C1C))
        .set_pattern(FormatPattern::LightUp)
}

/// What cells of a row look like whose numbers no longer hold.
pub(super) fn stale() -> Format {
    Format::new()
        .set_font_strikethrough()
        .set_font_color(Color::RGB(0x9B1C1C))
        .set_num_format("\"price again\";\"price again\";\"price again\"")
}

/// The number format for a unit.
pub(super) fn number_format(unit: &Unit, units: &Units) -> String {
    let symbol = &units.currency().symbol;
    if unit.label.starts_with(symbol.as_str()) {
        let under = &unit.label[symbol.len()..];
        return if under.is_empty() || under.starts_with('/') {
            money_format(symbol)
        } else {
            "#,##0.00".to_owned()
        };
    }
    match unit.label.as_str() {
        "%" => "0.0#%",
        "" => "General",
        "in" => "0.000",
        "mm" => "0.0",
        _ => "#,##0.00",
    }
    .to_owned()
}

/// The number format for money.
pub(super) fn money_format(symbol: &str) -> String {
    format!("\"{symbol}\"#,##0.00;-\"{symbol}\"#,##0.00")
}

/// The number format for money in an order, where nothing is shown as a dash.
pub(super) fn quiet_zero(format: &str) -> String {
    let first = format.split(';').next().unwrap_or(format);
    format!("{first};-{first};\"–\"")
}
