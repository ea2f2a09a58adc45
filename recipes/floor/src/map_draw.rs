//! A drawing: the few kinds of marks that a map is made of, in pixels.

use crate::outline::edges;
use crate::surface::Point;

/// A colour as red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Colour(pub(crate) u8, pub(crate) u8, pub(crate) u8);

impl Colour {
    /// White.
    pub(crate) const WHITE: Self = Self(255, 255, 255);
    /// Almost black, for lines and lettering.
    pub(crate) const INK: Self = Self(10, 14, 20);

    /// The colour a part of the way to another.
    pub(crate) fn toward(self, other: Self, part: f64) -> Self {
        let mix = |a: u8, b: u8| (f64::from(a) + (f64::from(b) - f64::from(a)) * part).round();
        Self(
            mix(self.0, other.0) as u8,
            mix(self.1, other.1) as u8,
            mix(self.2, other.2) as u8,
        )
    }

    /// Relative luminance, from 0 for black to 1 for white (WCAG 2.1, "relative luminance").
    pub(crate) fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let part = f64::from(channel) / 255.0;
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// The contrast ratio to another, from 1 to 21 (WCAG 2.1, "contrast ratio").
    pub(crate) fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance() + 0.05, other.luminance() + 0.05);
        a.max(b) / a.min(b)
    }

    /// Ink or white, whichever shows up better on this colour.
    pub(crate) fn ink(self) -> Self {
        if self.contrast(Self::INK) >= self.contrast(Self::WHITE) {
            Self::INK
        } else {
            Self::WHITE
        }
    }
}

/// A size of lettering.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// For depths and notes on the plan.
    Small,
    /// For the legend.
    Medium,
    /// For the title.
    Large,
}

impl Size {
    /// The height of a line of text.
    pub(crate) fn line(self) -> f64 {
        match self {
            Self::Small => 20.0,
            Self::Medium => 24.0,
            Self::Large => 32.0,
        }
    }

    /// The height of the typeface.
    pub(crate) fn em(self) -> f64 {
        self.line() * 0.735
    }

    /// The room to leave for a text. Enough for the evenly spaced typeface of the PNG and for
    /// the usual sans-serif faces.
    pub(crate) fn width(self, text: &str) -> f64 {
        text.chars().count() as f64 * self.em() * 0.62
    }
}

/// Which part of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
}

/// Words on a drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Text {
    /// Where, at half the height of capitals.
    pub(crate) at: Point,
    /// The words.
    pub(crate) text: String,
    /// How large.
    pub(crate) size: Size,
    /// Whether in bold.
    pub(crate) bold: bool,
    /// Which part stands at the place.
    pub(crate) anchor: Anchor,
    /// The colour of the letters.
    pub(crate) colour: Colour,
    /// The colour of a rim around the letters that keeps lines off them.
    pub(crate) halo: Option<Colour>,
}

/// A mark.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Mark {
    /// The inside of rings; rings that run the other way around are holes.
    Area {
        /// The rings.
        rings: Vec<Vec<Point>>,
        /// The colour.
        fill: Colour,
    },
    /// Lines through points, one stroke for each list.
    Lines {
        /// The strokes.
        lines: Vec<Vec<Point>>,
        /// How thick.
        width: f64,
        /// The colour.
        colour: Colour,
    },
    /// Words.
    Text(Text),
}

/// A drawing: marks in the order in which they are laid down. `y` runs down.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawing {
    /// Width in pixels.
    pub(crate) width: u32,
    /// Height in pixels.
    pub(crate) height: u32,
    /// The marks.
    pub(crate) marks: Vec<Mark>,
}

impl Drawing {
    /// Fills rings and draws a line around them.
    pub(crate) fn shape(
        &mut self,
        rings: Vec<Vec<Point>>,
        fill: Colour,
        width: f64,
        colour: Colour,
    ) {
        let lines = closed(&rings);
        self.marks.push(Mark::Area { rings, fill });
        self.lines(lines, width, colour);
    }

    /// Draws lines.
    pub(crate) fn lines(&mut self, lines: Vec<Vec<Point>>, width: f64, colour: Colour) {
        self.marks.push(Mark::Lines {
            lines,
            width,
            colour,
        });
    }
}

/// Rings as lines that end where they begin.
pub(crate) fn closed(rings: &[Vec<Point>]) -> Vec<Vec<Point>> {
    rings
        .iter()
        .map(|ring| ring.iter().chain(ring.first()).copied().collect())
        .collect()
}

/// A rectangle as a ring.
pub(crate) fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Vec<Point> {
    vec![
        Point::new(x, y),
        Point::new(x + width, y),
        Point::new(x + width, y + height),
        Point::new(x, y + height),
    ]
}

/// A regular ring around a point, its first corner at the top.
pub(crate) fn polygon(at: Point, radius: f64, corners: u32) -> Vec<Point> {
    (0..corners)
        .map(|corner| {
            let turn = std::f64::consts::TAU * f64::from(corner) / f64::from(corners);
            Point::new(at.x + radius * turn.sin(), at.y - radius * turn.cos())
        })
        .collect()
}

/// Slanting lines over the inside of rings, a spacing apart; holes are left out.
///
/// Drawn as lines rather than as a pattern, so that every viewer shows the same.
pub(crate) fn hatch(rings: &[Vec<Point>], spacing: f64) -> Vec<Vec<Point>> {
    // In turned coordinates the hatch lines are those of a whole `along`.
    let root = std::f64::consts::SQRT_2;
    let turned = |at: Point| ((at.x + at.y) / (root * spacing), (at.x - at.y) / root);
    let mut crossings: Vec<(i64, f64)> = Vec::new();
    for (from, to) in edges(rings) {
        let (a, b) = (turned(from), turned(to));
        let (first, end) = (a.0.min(b.0).ceil() as i64, a.0.max(b.0).ceil() as i64);
        for line in first..end {
            let part = (line as f64 - a.0) / (b.0 - a.0);
            crossings.push((line, a.1 + (b.1 - a.1) * part));
        }
    }
    crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let place = |(line, beside): (i64, f64)| {
        let along = line as f64 * spacing;
        Point::new((along + beside) / root, (along - beside) / root)
    };
    // Every line goes in as often as it comes out.
    crossings
        .chunks_exact(2)
        .map(|pair| vec![place(pair[0]), place(pair[1])])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_published_formula() {
        // WCAG 2.1: black on white is 21 to 1. #767676 is the lightest grey with 4.5 to 1 on
        // white: 4.54 (from memory).
        assert!((Colour::WHITE.contrast(Colour(0, 0, 0)) - 21.0).abs() < 1e-12);
        let grey = Colour::WHITE.contrast(Colour(0x76, 0x76, 0x76));
        assert!((grey - 4.54).abs() < 0.005, "{grey}");
    }

    #[test]
    fn hatching_covers_a_square_less_its_hole_evenly() {
        // Lines a spacing apart: length times spacing is the area, but for the edges.
        let outer = rectangle(10.0, 20.0, 100.0, 100.0);
        let mut hole = rectangle(40.0, 50.0, 40.0, 40.0);
        hole.reverse();
        let lines = hatch(&[outer, hole], 0.5);
        let length: f64 = lines.iter().map(|line| line[0].distance(line[1])).sum();
        assert!(
            (length * 0.5 - (10_000.0 - 1_600.0)).abs() < 5.0,
            "{length}"
        );
        let in_hole = |at: Point| (at.x - 60.0).abs() < 19.9 && (at.y - 70.0).abs() < 19.9;
        assert!(
            !lines
                .iter()
                .any(|line| in_hole(line[0].toward(line[1], 0.5)))
        );
    }
}
