//! A picture: the few kinds of marks that a layout is drawn with, in pixels and shades of grey, so
//! that it prints the same everywhere. `y` runs down.

use crate::shape::{Point, Rect, Ring, edges};

/// A shade, from 0 for black to 255 for white.
pub(crate) type Grey = u8;

/// White.
pub(crate) const WHITE: Grey = 255;
/// Almost black, for lines and lettering.
pub(crate) const INK: Grey = 15;

/// Words on a picture.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Text {
    /// The middle of the text, or its beginning, at half the height of capitals.
    pub(crate) at: Point,
    /// The words.
    pub(crate) text: String,
    /// Whether it is the title.
    pub(crate) large: bool,
    /// Whether its middle stands at the place, on a white rim that keeps lines off it; otherwise
    /// its beginning does.
    pub(crate) centred: bool,
}

impl Text {
    /// The height of a line.
    pub(crate) fn line(&self) -> f64 {
        if self.large { 32.0 } else { 20.0 }
    }

    /// The height of the typeface.
    pub(crate) fn em(&self) -> f64 {
        self.line() * 0.735
    }

    /// The room to leave for it: enough for the evenly spaced typeface of the PNG and for the
    /// usual sans-serif faces.
    pub(crate) fn width(&self) -> f64 {
        self.text.chars().count() as f64 * self.em() * 0.62
    }
}

/// A mark.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Mark {
    /// The inside of rings; rings that run the other way around are holes.
    Area {
        /// The rings.
        rings: Vec<Ring>,
        /// The shade.
        fill: Grey,
    },
    /// Lines through points, one stroke for each list.
    Lines {
        /// The strokes.
        lines: Vec<Vec<Point>>,
        /// How thick.
        width: f64,
        /// The shade.
        shade: Grey,
    },
    /// Words.
    Text(Text),
}

/// Marks in the order in which they are laid down.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Picture {
    /// Width in pixels.
    pub(crate) width: u32,
    /// Height in pixels.
    pub(crate) height: u32,
    /// The marks.
    pub(crate) marks: Vec<Mark>,
}

impl Picture {
    /// Fills rings.
    pub(crate) fn area(&mut self, rings: Vec<Ring>, fill: Grey) {
        self.marks.push(Mark::Area { rings, fill });
    }

    /// Draws lines in ink.
    pub(crate) fn lines(&mut self, lines: Vec<Vec<Point>>, width: f64) {
        let shade = INK;
        self.marks.push(Mark::Lines {
            lines,
            width,
            shade,
        });
    }

    /// Writes words from a place on.
    pub(crate) fn words(&mut self, at: Point, text: String) {
        let (large, centred) = (false, false);
        self.marks.push(Mark::Text(Text {
            at,
            text,
            large,
            centred,
        }));
    }
}

/// Rings as lines that end where they begin.
pub(crate) fn closed(rings: &[Ring]) -> Vec<Vec<Point>> {
    let close = |ring: &Ring| ring.iter().chain(ring.first()).copied().collect();
    rings.iter().map(close).collect()
}

/// A ring around a place.
pub(crate) fn circle(at: Point, radius: f64) -> Ring {
    let corner = |corner: u32| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(corner) / 24.0).sin_cos();
        Point::new(at.x + radius * cos, at.y + radius * sin)
    };
    (0..24).map(corner).collect()
}

/// Slanting lines over the inside of rings, a spacing apart; holes are left out. Drawn as lines
/// rather than as a pattern, so that every viewer shows the same.
pub(crate) fn hatch(rings: &[Ring], spacing: f64) -> Vec<Vec<Point>> {
    // In these coordinates the hatch lines are those of a whole first one.
    let root = std::f64::consts::SQRT_2;
    let seen = |at: Point| ((at.x + at.y) / (root * spacing), (at.x - at.y) / root);
    let mut crossings: Vec<(i64, f64)> = Vec::new();
    for (from, to) in edges(rings) {
        let (a, b) = (seen(from), seen(to));
        for line in a.0.min(b.0).ceil() as i64..a.0.max(b.0).ceil() as i64 {
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

/// A line in dashes and dots, as centre lines are drawn.
pub(crate) fn dashed(from: Point, to: Point) -> Vec<Vec<Point>> {
    let length = from.distance(to);
    let (long, gap, dot) = (18.0, 6.0, 2.0);
    let mut strokes = Vec::new();
    let mut at = 0.0;
    let place = |at: f64| from.toward(to, (at / length).min(1.0));
    while at < length {
        strokes.push(vec![place(at), place(at + long)]);
        let next = at + long + gap;
        if next < length {
            strokes.push(vec![place(next), place(next + dot)]);
        }
        at = next + dot + gap;
    }
    strokes
}

/// The part of a line that runs inside a rectangle; `None` when none does. The line goes on beyond
/// both its places.
pub(crate) fn across(window: &Rect, at: Point, toward: Point) -> Option<(Point, Point)> {
    let (dx, dy) = (toward.x - at.x, toward.y - at.y);
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for (from, by, low, high) in [
        (at.x, dx, window.left, window.right),
        (at.y, dy, window.bottom, window.top),
    ] {
        if by.abs() < 1e-12 {
            if from < low || from > high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - from) / by, (high - from) / by);
        least = least.max(one.min(other));
        most = most.min(one.max(other));
    }
    (least < most && least.is_finite() && most.is_finite())
        .then(|| (at.toward(toward, least), at.toward(toward, most)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_covers_a_square_less_its_hole_evenly() {
        // Lines a spacing apart: length times spacing is the area, but for the edges.
        let outer = Rect::new(10.0, 20.0, 100.0, 100.0).ring();
        let mut hole = Rect::new(40.0, 50.0, 40.0, 40.0).ring();
        hole.reverse();
        let lines = hatch(&[outer, hole], 0.5);
        let length: f64 = lines.iter().map(|line| line[0].distance(line[1])).sum();
        assert!((length * 0.5 - 8_400.0).abs() < 5.0, "{length}");
    }

    #[test]
    fn dashes_stay_on_their_line() {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(30.0, 40.0));
        let strokes = dashed(from, to);
        let drawn: f64 = strokes.iter().map(|s| s[0].distance(s[1])).sum();
        // 18 and 2 of every 32: 18, 2, then 18 from 32 on.
        assert!((drawn - 38.0).abs() < 1e-9, "{drawn}");
        assert!(dashed(from, from).is_empty());
    }

    #[test]
    fn lines_end_at_the_window() {
        let window = Rect::new(0.0, 0.0, 10.0, 20.0);
        let point = Point::new;
        let found = across(&window, point(5.0, 5.0), point(6.0, 6.0)).unwrap();
        assert!(found.0.distance(point(0.0, 0.0)) < 1e-12);
        assert!(found.1.distance(point(10.0, 10.0)) < 1e-12);
        let level = across(&window, point(5.0, 5.0), point(6.0, 5.0)).unwrap();
        assert_eq!(level, (point(0.0, 5.0), point(10.0, 5.0)));
        assert_eq!(across(&window, point(5.0, 25.0), point(6.0, 25.0)), None);
        assert_eq!(across(&window, point(5.0, 5.0), point(5.0, 5.0)), None);
    }
}
