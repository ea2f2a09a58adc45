//! A picture as PNG. Lettering comes from glyphs that are part of the program, so that no
//! typeface need be installed and every machine draws the same.

use noto_sans_mono_bitmap::{FontWeight, RasterHeight, RasterizedChar, get_raster};
use tiny_skia::{Color, FillRule, Paint, Path, PathBuilder, Pixmap, Stroke, Transform};

use crate::drawing::PictureError;
use crate::picture::{Grey, INK, Mark, Picture, Text, WHITE};
use crate::shape::Point;

/// How far the rim around letters reaches, in pixels.
const RIM: i32 = 2;

/// Writes a picture as a PNG file.
///
/// # Errors
/// When the picture is too large to draw or to write.
pub(crate) fn write(picture: &Picture) -> Result<Vec<u8>, PictureError> {
    let mut pixels = Pixmap::new(picture.width, picture.height).ok_or(PictureError::Size)?;
    pixels.fill(Color::WHITE);
    let still = Transform::identity();
    for mark in &picture.marks {
        match mark {
            Mark::Area { rings, fill } => {
                if let Some(path) = path(rings, true) {
                    pixels.fill_path(&path, &paint(*fill), FillRule::Winding, still, None);
                }
            }
            Mark::Lines {
                lines,
                width,
                shade,
            } => {
                if let Some(path) = path(lines, false) {
                    let stroke = Stroke {
                        width: *width as f32,
                        ..Stroke::default()
                    };
                    pixels.stroke_path(&path, &paint(*shade), &stroke, still, None);
                }
            }
            Mark::Text(text) => words(&mut pixels, text),
        }
    }
    pixels
        .encode_png()
        .map_err(|error| PictureError::Encode(error.to_string()))
}

fn paint(shade: Grey) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(shade, shade, shade, 255);
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

fn words(pixels: &mut Pixmap, text: &Text) {
    let glyphs: Vec<RasterizedChar> = text
        .text
        .chars()
        .filter_map(|character| glyph(character, text))
        .collect();
    let width: usize = glyphs.iter().map(RasterizedChar::width).sum();
    let left = if text.centred {
        text.at.x - width as f64 / 2.0
    } else {
        text.at.x
    };
    // Half the height of capitals lies a little below the middle of the line.
    let top = text.at.y - 0.52 * text.line();
    let corner = (left.round() as i32, top.round() as i32);
    if text.centred {
        for dy in -RIM..=RIM {
            for dx in -RIM..=RIM {
                stamp(pixels, &glyphs, (corner.0 + dx, corner.1 + dy), WHITE);
            }
        }
    }
    stamp(pixels, &glyphs, corner, INK);
}

/// Lays a line of glyphs over the picture, which is opaque.
fn stamp(pixels: &mut Pixmap, glyphs: &[RasterizedChar], (left, top): (i32, i32), shade: Grey) {
    let (width, height) = (pixels.width() as i32, pixels.height() as i32);
    let mut left = left;
    for glyph in glyphs {
        for (row, y) in glyph.rows().zip(top..) {
            for (cover, x) in row.iter().zip(left..) {
                if *cover == 0 || !(0..width).contains(&x) || !(0..height).contains(&y) {
                    continue;
                }
                let start = (y as usize * width as usize + x as usize) * 4;
                for channel in pixels.data_mut()[start..].iter_mut().take(3) {
                    let (under, over) = (u32::from(*channel), u32::from(shade));
                    let cover = u32::from(*cover);
                    *channel = ((under * (255 - cover) + over * cover + 127) / 255) as u8;
                }
            }
        }
        left += glyph.width() as i32;
    }
}

/// The glyph of a character; a question mark for one that the typeface lacks.
fn glyph(character: char, text: &Text) -> Option<RasterizedChar> {
    let weight = if text.large || text.centred {
        FontWeight::Bold
    } else {
        FontWeight::Regular
    };
    let height = if text.large {
        RasterHeight::Size32
    } else {
        RasterHeight::Size20
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
    use crate::shape::Rect;

    fn picture(marks: Vec<Mark>) -> Picture {
        Picture {
            width: 60,
            height: 40,
            marks,
        }
    }

    #[test]
    fn a_filled_rectangle_is_where_it_should_be() {
        let rings = vec![Rect::new(10.0, 5.0, 20.0, 10.0).ring()];
        let png = write(&picture(vec![Mark::Area { rings, fill: 20 }])).unwrap();
        let pixels = Pixmap::decode_png(&png).unwrap();
        assert_eq!((pixels.width(), pixels.height()), (60, 40));
        let filled = pixels.pixels().iter().filter(|p| p.red() == 20).count();
        assert_eq!(filled, 200);
        assert_eq!(pixels.pixel(10, 5).unwrap().green(), 20);
        assert_eq!(pixels.pixel(9, 5).unwrap().red(), 255);
    }

    #[test]
    fn words_leave_ink_around_their_place_and_stay_in_the_room_left_for_them() {
        let text = Text {
            at: Point::new(30.0, 20.0),
            text: "H3/8".to_owned(),
            large: false,
            centred: true,
        };
        let half = text.width() / 2.0;
        let png = write(&picture(vec![Mark::Text(text)])).unwrap();
        let pixels = Pixmap::decode_png(&png).unwrap();
        let mut inked = 0;
        for (index, pixel) in pixels.pixels().iter().enumerate() {
            if pixel.red() < 128 {
                let (x, y) = ((index % 60) as f64 + 0.5, (index / 60) as f64 + 0.5);
                assert!(
                    (x - 30.0).abs() <= half && (y - 20.0).abs() <= 10.0,
                    "{x} {y}"
                );
                inked += 1;
            }
        }
        assert!(inked > 60, "{inked}");
    }

    #[test]
    fn a_picture_too_large_is_an_error() {
        let huge = Picture {
            width: u32::MAX,
            height: u32::MAX,
            marks: Vec::new(),
        };
        assert_eq!(write(&huge), Err(PictureError::Size));
    }
}
