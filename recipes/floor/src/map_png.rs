//! A drawing as PNG. Lettering comes from glyphs that are part of the program, so that no
//! typeface need be installed and every machine draws the same.

use std::fmt;

use noto_sans_mono_bitmap::{FontWeight, RasterHeight, RasterizedChar, get_raster};
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, Transform,
};

use crate::map_draw::{Anchor, Colour, Drawing, Mark, Size, Text};
use crate::surface::Point;

/// How far the rim around letters reaches, in pixels.
const HALO: i32 = 2;

/// Why there is no picture.
#[derive(Clone, Debug, PartialEq)]
pub enum MapError {
    /// The picture is too large to draw.
    Size,
    /// The picture could not be written as PNG, and why.
    Encode(String),
}

impl fmt::Display for MapError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size => f.write_str("the picture is too large to draw"),
            Self::Encode(why) => write!(f, "the picture could not be written: {why}"),
        }
    }
}

impl std::error::Error for MapError {}

/// Writes a drawing as a PNG file.
///
/// # Errors
/// When the picture is too large to draw or to write.
pub(crate) fn write(drawing: &Drawing) -> Result<Vec<u8>, MapError> {
    let mut picture = Pixmap::new(drawing.width, drawing.height).ok_or(MapError::Size)?;
    picture.fill(Color::WHITE);
    for mark in &drawing.marks {
        match mark {
            Mark::Area { rings, fill } => {
                if let Some(path) = path(rings, true) {
                    let paint = paint(*fill);
                    let rule = FillRule::Winding;
                    picture.fill_path(&path, &paint, rule, Transform::identity(), None);
                }
            }
            Mark::Lines {
                lines,
                width,
                colour,
            } => {
                if let Some(path) = path(lines, false) {
                    let stroke = Stroke {
                        width: *width as f32,
                        line_cap: LineCap::Round,
                        line_join: LineJoin::Round,
                        ..Stroke::default()
                    };
                    let paint = paint(*colour);
                    picture.stroke_path(&path, &paint, &stroke, Transform::identity(), None);
                }
            }
            Mark::Text(text) => words(&mut picture, text),
        }
    }
    picture
        .encode_png()
        .map_err(|error| MapError::Encode(error.to_string()))
}

fn paint(Colour(red, green, blue): Colour) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(red, green, blue, 255);
    paint
}

fn path(lines: &[Vec<Point>], close: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for line in lines {
        for (index, at) in line.iter().enumerate() {
            let (x, y) = (at.x as f32, at.y as f32);
            if index == 0 {
                path.move_to(x, y);
            } else {
                path.line_to(x, y);
            }
        }
        if close {
            path.close();
        }
    }
    path.finish()
}

fn words(picture: &mut Pixmap, text: &Text) {
    let glyphs: Vec<RasterizedChar> = text
        .text
        .chars()
        .filter_map(|character| glyph(character, text.size, text.bold))
        .collect();
    let width: usize = glyphs.iter().map(RasterizedChar::width).sum();
    let left = match text.anchor {
        Anchor::Start => text.at.x,
        Anchor::Middle => text.at.x - width as f64 / 2.0,
    };
    // Half the height of capitals lies a little below the middle of the line.
    let top = text.at.y - 0.52 * text.size.line();
    let (left, top) = (left.round() as i32, top.round() as i32);
    if let Some(halo) = text.halo {
        stamp(picture, &glyphs, (left, top), |picture, x, y, cover| {
            for (dx, dy) in disc(HALO) {
                blend(picture, x + dx, y + dy, halo, cover);
            }
        });
    }
    stamp(picture, &glyphs, (left, top), |picture, x, y, cover| {
        blend(picture, x, y, text.colour, cover);
    });
}

/// Goes over the pixels that a line of glyphs covers.
fn stamp(
    picture: &mut Pixmap,
    glyphs: &[RasterizedChar],
    (left, top): (i32, i32),
    mut draw: impl FnMut(&mut Pixmap, i32, i32, u8),
) {
    let mut x = left;
    for glyph in glyphs {
        for (row, y) in glyph.rows().zip(top..) {
            for (cover, x) in row.iter().zip(x..) {
                if *cover > 0 {
                    draw(picture, x, y, *cover);
                }
            }
        }
        x += glyph.width() as i32;
    }
}

/// Lays a colour over a pixel. The picture is opaque, so its colours are plain ones.
fn blend(picture: &mut Pixmap, x: i32, y: i32, colour: Colour, cover: u8) {
    let (width, height) = (picture.width() as i32, picture.height() as i32);
    if !(0..width).contains(&x) || !(0..height).contains(&y) {
        return;
    }
    let start = (y as usize * width as usize + x as usize) * 4;
    let Colour(red, green, blue) = colour;
    for (channel, ink) in picture.data_mut()[start..]
        .iter_mut()
        .zip([red, green, blue])
    {
        let (under, over) = (u32::from(*channel), u32::from(ink));
        let cover = u32::from(cover);
        *channel = ((under * (255 - cover) + over * cover + 127) / 255) as u8;
    }
}

fn disc(radius: i32) -> impl Iterator<Item = (i32, i32)> {
    let inside = move |(x, y): &(i32, i32)| x * x + y * y <= radius * radius;
    (-radius..=radius)
        .flat_map(move |y| (-radius..=radius).map(move |x| (x, y)))
        .filter(inside)
}

/// The glyph of a character; a question mark for one that the typeface lacks.
fn glyph(character: char, size: Size, bold: bool) -> Option<RasterizedChar> {
    let weight = if bold {
        FontWeight::Bold
    } else {
        FontWeight::Regular
    };
    let height = match size {
        Size::Small => RasterHeight::Size20,
        Size::Medium => RasterHeight::Size24,
        Size::Large => RasterHeight::Size32,
    };
    let plain = match character {
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        '\u{2018}' | '\u{2019}' | '\u{2032}' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{2044}' => '/',
        space if space.is_whitespace() => ' ',
        other => other,
    };
    get_raster(plain, weight, height).or_else(|| get_raster('?', weight, height))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::map_draw::rectangle;

    fn drawing(marks: Vec<Mark>) -> Drawing {
        Drawing {
            width: 60,
            height: 40,
            marks,
        }
    }

    #[test]
    fn a_filled_rectangle_is_where_it_should_be() {
        let fill = Colour(10, 20, 30);
        let rings = vec![rectangle(10.0, 5.0, 20.0, 10.0)];
        let png = write(&drawing(vec![Mark::Area { rings, fill }])).unwrap();
        let picture = Pixmap::decode_png(&png).unwrap();
        assert_eq!((picture.width(), picture.height()), (60, 40));
        let filled = picture.pixels().iter().filter(|p| p.red() == 10).count();
        assert_eq!(filled, 200);
        let corner = picture.pixel(10, 5).unwrap();
        assert_eq!((corner.red(), corner.green(), corner.blue()), (10, 20, 30));
        assert_eq!(picture.pixel(9, 5).unwrap().red(), 255);
    }

    #[test]
    fn text_leaves_ink_around_its_place_and_stays_within_the_room_left_for_it() {
        let text = Text {
            at: Point::new(30.0, 20.0),
            text: "H3/8".to_owned(),
            size: Size::Small,
            bold: true,
            anchor: Anchor::Middle,
            colour: Colour::INK,
            halo: None,
        };
        let half = Size::Small.width(&text.text) / 2.0;
        let png = write(&drawing(vec![Mark::Text(text)])).unwrap();
        let picture = Pixmap::decode_png(&png).unwrap();
        let inked: Vec<(f64, f64)> = (0..40u32)
            .flat_map(|y| (0..60u32).map(move |x| (x, y)))
            .filter(|(x, y)| picture.pixel(*x, *y).unwrap().red() < 128)
            .map(|(x, y)| (f64::from(x) + 0.5, f64::from(y) + 0.5))
            .collect();
        assert!(inked.len() > 60, "{}", inked.len());
        for (x, y) in inked {
            assert!(
                (x - 30.0).abs() <= half && (y - 20.0).abs() <= 10.0,
                "{x} {y}"
            );
        }
    }

    #[test]
    fn unknown_characters_are_shown_as_a_question_mark() {
        let unknown = glyph('漢', Size::Large, true).unwrap();
        assert_eq!(unknown, glyph('?', Size::Large, true).unwrap());
        assert!(glyph('é', Size::Large, true).unwrap() != unknown);
    }

    #[test]
    fn a_picture_too_large_is_an_error() {
        let huge = Drawing {
            width: u32::MAX,
            height: u32::MAX,
            marks: Vec::new(),
        };
        assert_eq!(write(&huge), Err(MapError::Size));
    }
}
