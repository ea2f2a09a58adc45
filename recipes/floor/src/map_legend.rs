//! What stands around the plan of a map: title, legend and scale bar.

use crate::map::MapInput;
use crate::map_bands::Bands;
use crate::map_draw::{Anchor, Colour, Drawing, Mark, Size, Text, rectangle};
use crate::map_symbols as symbols;
use crate::surface::Point;

/// Width of a sample in the legend.
const SAMPLE: f64 = 48.0;
/// Height from one line of the legend to the next.
const LINE: f64 = 36.0;

/// A line of the legend: what is drawn beside the words.
enum Sample {
    Shade(Colour),
    Dry,
    Contour,
    Reading,
    HighSpot,
    Dam,
    Register,
    Joint,
}

/// The legend of a map.
pub(crate) struct Legend {
    heading: String,
    lines: Vec<(Sample, String)>,
}

impl Legend {
    /// The legend of what is on the map, and of nothing else. `marked` is how many readings are.
    pub(crate) fn new(input: &MapInput<'_>, bands: &Bands, marked: usize) -> Self {
        let label = input.length_label;
        let mut lines: Vec<(Sample, String)> = Vec::new();
        for band in &bands.bands {
            let range = format!("{} to {}", label(band.least), label(band.most));
            lines.push((Sample::Shade(band.fill), range));
        }
        let reading = match bands.level {
            _ if marked < input.surface.readings() => "Reading (some shown)",
            Some(_) => "Reading and its depth",
            None => "Reading and height",
        };
        let every = format!("Contour each {}", label(bands.interval));
        for (shown, sample, words) in [
            (bands.dry, Sample::Dry, "Dry: above pour level"),
            (bands.bands.len() > 1, Sample::Contour, every.as_str()),
            (true, Sample::Reading, reading),
            (!input.high_spots.is_empty(), Sample::HighSpot, "High spot"),
            (!input.openings.is_empty(), Sample::Dam, "Dam at opening"),
            (
                !input.registers.is_empty(),
                Sample::Register,
                "Floor register",
            ),
            (!input.joints.is_empty(), Sample::Joint, "Soft joint"),
        ] {
            if shown {
                lines.push((sample, words.to_owned()));
            }
        }
        let heading = match bands.level {
            Some(_) => "Depth of pour",
            None => "Height over lowest",
        };
        Self {
            heading: heading.to_owned(),
            lines,
        }
    }

    /// Its height when set in a number of columns.
    pub(crate) fn height(&self, columns: usize) -> f64 {
        LINE * (1 + self.lines.len().div_ceil(columns)) as f64
    }

    /// Draws it from a corner of the page, in columns of a width.
    pub(crate) fn draw(&self, drawing: &mut Drawing, from: Point, columns: usize, width: f64) {
        let at = Point::new(from.x, from.y + LINE / 2.0);
        write(drawing, at, &self.heading, Size::Medium, true, width);
        let rows = self.lines.len().div_ceil(columns).max(1);
        for (index, (sample, words)) in self.lines.iter().enumerate() {
            let x = from.x + width * (index / rows) as f64;
            let y = from.y + LINE * ((index % rows) as f64 + 1.5);
            sample.draw(drawing, Point::new(x + SAMPLE / 2.0, y));
            let at = Point::new(x + SAMPLE + 12.0, y);
            write(
                drawing,
                at,
                words,
                Size::Medium,
                false,
                width - SAMPLE - 16.0,
            );
        }
    }
}

impl Sample {
    fn draw(&self, drawing: &mut Drawing, at: Point) {
        let (left, right) = (at.x - SAMPLE / 2.0, at.x + SAMPLE / 2.0);
        let sides = [Point::new(left, at.y), Point::new(right, at.y)];
        let swatch = vec![rectangle(left, at.y - 14.0, SAMPLE, 28.0)];
        match self {
            Self::Shade(fill) => drawing.shape(swatch, *fill, 1.5, Colour::INK),
            Self::Dry => {
                symbols::dry(drawing, swatch.clone());
                drawing.lines(crate::map_draw::closed(&swatch), 1.5, Colour::INK);
            }
            Self::Contour => drawing.lines(vec![sides.to_vec()], 1.5, Colour::INK),
            Self::Reading => symbols::reading(drawing, at),
            Self::HighSpot => symbols::high_spot(drawing, at),
            Self::Dam => symbols::dam(drawing, sides[0], sides[1]),
            Self::Register => symbols::register(
                drawing,
                Point::new(left + 8.0, at.y - 10.0),
                Point::new(right - 8.0, at.y + 10.0),
            ),
            Self::Joint => symbols::joint(drawing, sides[0], sides[1]),
        }
    }
}

/// Draws the title and the line that says what the shades mean.
pub(crate) fn heading(
    drawing: &mut Drawing,
    input: &MapInput<'_>,
    bands: &Bands,
    from: Point,
    width: f64,
) {
    write(drawing, from, input.title, Size::Large, true, width);
    let label = input.length_label;
    let surface = input.surface;
    let (lowest, highest) = (
        bands.shown(surface.lowest()),
        bands.shown(surface.highest()),
    );
    let words = match bands.level {
        None => format!("Height over the lowest point: up to {}", label(highest)),
        Some(_) if bands.bands.is_empty() => "All of the floor is above the pour level".to_owned(),
        Some(_) if bands.dry => format!(
            "Depth below the pour level: up to {}; dry where hatched",
            label(lowest)
        ),
        Some(_) => format!(
            "Depth below the pour level: {} to {}",
            label(highest),
            label(lowest)
        ),
    };
    let at = Point::new(from.x, from.y + 38.0);
    write(drawing, at, &words, Size::Medium, false, width);
}

/// Draws a scale bar of a round length, from its left end.
pub(crate) fn scale_bar(drawing: &mut Drawing, from: Point, pixels_per_inch: f64, metric: bool) {
    // A foot is 12 inches, a metre 1 / 0.0254 of them.
    let (unit, name) = if metric {
        (1.0 / 0.0254, "m")
    } else {
        (12.0, "ft")
    };
    let length = round_length(260.0 / (pixels_per_inch * unit));
    let width = length * unit * pixels_per_inch;
    let bar = vec![rectangle(from.x, from.y - 6.0, width, 12.0)];
    drawing.shape(bar, Colour::WHITE, 1.5, Colour::INK);
    let half = vec![rectangle(from.x, from.y - 6.0, width / 2.0, 12.0)];
    drawing.shape(half, Colour::INK, 1.5, Colour::INK);
    let at = Point::new(from.x + width + 12.0, from.y);
    write(
        drawing,
        at,
        &format!("{length} {name}"),
        Size::Medium,
        false,
        300.0,
    );
}

/// The largest of 1, 2 and 5 times a power of ten that is not more than a length.
fn round_length(most: f64) -> f64 {
    let power = most.log10().floor() as i32;
    // A negative power would leave a rounding error in the label.
    let times = |number: f64| match power {
        0.. => number * 10f64.powi(power),
        _ => number / 10f64.powi(-power),
    };
    let fits = |length: &f64| *length <= most;
    let lengths = [5.0, 2.0, 1.0].map(times);
    lengths.into_iter().find(fits).unwrap_or(lengths[2])
}

/// Writes words from a place on; they are cut when there is no room for all.
fn write(drawing: &mut Drawing, at: Point, words: &str, size: Size, bold: bool, width: f64) {
    let mut size = size;
    for smaller in [Size::Medium, Size::Small] {
        if size.width(words) > width && smaller.line() < size.line() {
            size = smaller;
        }
    }
    drawing.marks.push(Mark::Text(Text {
        at,
        text: cut(words, size, width),
        size,
        bold,
        anchor: Anchor::Start,
        colour: Colour::INK,
        halo: None,
    }));
}

fn cut(words: &str, size: Size, width: f64) -> String {
    if size.width(words) <= width {
        return words.to_owned();
    }
    let mut short: Vec<char> = words.chars().collect();
    while !short.is_empty() && size.width(&String::from_iter(&short)) + size.width("...") > width {
        short.pop();
    }
    String::from_iter(short).trim_end().to_owned() + "..."
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scale_bars_have_round_lengths() {
        for (most, expected) in [
            (4.9, 2.0),
            (5.0, 5.0),
            (0.7, 0.5),
            (13.0, 10.0),
            (0.025, 0.02),
        ] {
            assert_eq!(round_length(most), expected);
        }
    }

    #[test]
    fn long_words_are_cut_to_the_room_there_is() {
        let long = "A very long name of a job ".repeat(8);
        let short = cut(&long, Size::Small, 300.0);
        assert!(short.ends_with("...") && Size::Small.width(&short) <= 300.0);
        assert_eq!(cut("Bath", Size::Small, 300.0), "Bath");
    }
}
