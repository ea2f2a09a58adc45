//! The labels on a plan: where each finds room, and how it stands out from the ground.

use crate::map_draw::{Anchor, Colour, Drawing, Mark, Size, Text};
use crate::map_layout::{Frame, Labels};
use crate::outline::contains;
use crate::surface::Point;

/// Contours shorter than this have no room for a label; closed ones must be twice as long.
const SHORTEST: f64 = 70.0;
/// Labels on one contour stand at least so far apart.
const APART: f64 = 380.0;
/// From one place that is tried to the next.
const STEP: f64 = 12.0;

/// Writes labels on a plan, clear of each other.
pub(crate) struct Lettering<'a> {
    /// The edge of the floor, on the page.
    pub(crate) floor: &'a [Vec<Point>],
    /// The outline of the room, on the page.
    pub(crate) outline: &'a [Vec<Point>],
    /// The readings that are marked, on the page.
    pub(crate) readings: &'a [Point],
    /// The places that are taken.
    pub(crate) labels: Labels,
}

impl Lettering<'_> {
    /// Writes what a symbol is beside it: in a free place off the outline if there is one.
    /// It is written in any case, for it says what to do.
    pub(crate) fn note(&mut self, drawing: &mut Drawing, symbol: Frame, text: &str, bold: bool) {
        let (width, height) = (Size::Small.width(text) + 6.0, Size::Small.line());
        let places = around(symbol, width, height);
        let free = |place: &&Frame| self.labels.is_free(place);
        let clear = |place: &&Frame| free(place) && !place.is_crossed(self.outline);
        let best = places.iter().find(clear);
        let best = best.or_else(|| places.iter().find(free));
        if let Some(place) = best.or(places.first()) {
            self.labels.take(*place);
            let halo = Some(Colour::WHITE);
            words(drawing, place.middle(), text, bold, Colour::INK, halo);
        }
    }

    /// Writes on a contour line how deep it is, on a plate that breaks the line.
    pub(crate) fn contour(
        &mut self,
        drawing: &mut Drawing,
        line: &[Point],
        text: &str,
        ground: Colour,
    ) {
        let steps = steps(line);
        let is_closed = line.first() == line.last();
        let shortest = if is_closed { 2.0 * SHORTEST } else { SHORTEST };
        if (steps.len() as f64) * STEP < shortest {
            return;
        }
        let mut order: Vec<usize> = (1..steps.len()).collect();
        order.sort_by_key(|step| step.abs_diff(steps.len() / 2));
        let mut placed: Vec<Point> = Vec::new();
        for step in order {
            let at = steps[step];
            let frame = Frame::around(at, Size::Small.width(text) + 4.0, 18.0);
            let is_far = placed.iter().all(|other| other.distance(at) > APART);
            if is_far && self.is_on_floor(&frame) && self.labels.claim(frame) {
                placed.push(at);
                plate(drawing, &frame, ground);
                words(drawing, at, text, true, ground.ink(), None);
            }
        }
    }

    /// Writes the depth beside a reading, on the floor if there is room; else beside the floor;
    /// else not at all.
    pub(crate) fn reading(
        &mut self,
        drawing: &mut Drawing,
        at: Point,
        text: &str,
        ground: Option<Colour>,
    ) {
        let width = Size::Small.width(text) + 6.0;
        let across = width / 2.0 + 6.0;
        let places = [(0.0, 15.0), (0.0, -15.0), (across, 0.0), (-across, 0.0)];
        let slanting = [-15.0, 15.0].map(|y| [(across, y), (-across, y)]);
        let places: Vec<Frame> = places
            .into_iter()
            .chain(slanting.into_iter().flatten())
            .map(|(x, y)| Frame::around(Point::new(at.x + x, at.y + y), width, 17.0))
            .collect();
        let usable: Vec<&Frame> = places
            .iter()
            .filter(|place| self.labels.is_free(place) && !place.is_crossed(self.outline))
            .filter(|place| self.belongs(place, at))
            .collect();
        let inside = usable.iter().find(|place| self.is_on_floor(place));
        let Some(place) = inside.or(usable.first()) else {
            return;
        };
        self.labels.take(**place);
        let at = place.middle();
        match ground {
            _ if inside.is_none() => words(drawing, at, text, false, Colour::INK, None),
            Some(ground) => {
                // A halo away from the ink makes up for the middle of the ramp, where neither
                // black nor white stands out much.
                let ink = ground.ink();
                let away = if ink == Colour::INK {
                    Colour::WHITE
                } else {
                    Colour::INK
                };
                let halo = Some(ground.toward(away, 0.4));
                words(drawing, at, text, false, ink, halo);
            }
            None => {
                plate(drawing, place, Colour::WHITE);
                words(drawing, at, text, false, Colour::INK, None);
            }
        }
    }

    /// Whether a label would be read as that of this reading and of no other.
    fn belongs(&self, label: &Frame, reading: Point) -> bool {
        let near = label.distance(reading) * 1.3;
        let mut others = self.readings.iter().filter(|other| **other != reading);
        others.all(|other| label.distance(*other) >= near)
    }

    fn is_on_floor(&self, frame: &Frame) -> bool {
        let mut corners = frame.corners().into_iter();
        corners.all(|corner| contains(self.floor, corner))
    }
}

/// Places beside a symbol, the nearest first, and along its sides the middle first.
fn around(symbol: Frame, width: f64, height: f64) -> Vec<Frame> {
    let middle = symbol.middle();
    let mut places = Vec::new();
    for away in [3.0, 14.0, 30.0, 50.0, 75.0] {
        let across = (symbol.width() + width) / 2.0 + away;
        let along = (symbol.height() + height) / 2.0 + away;
        for slide in [0.0, 0.3, -0.3, 0.6, -0.6, 1.0, -1.0] {
            for (x, y) in [
                (across, along * slide),
                (-across, along * slide),
                (across * slide, along),
                (across * slide, -along),
            ] {
                let at = Point::new(middle.x + x, middle.y + y);
                places.push(Frame::around(at, width, height));
            }
        }
    }
    places
}

/// Points along a line, a step apart.
fn steps(line: &[Point]) -> Vec<Point> {
    let mut points = Vec::new();
    let mut due = 0.0;
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        while due < length {
            points.push(pair[0].toward(pair[1], due / length));
            due += STEP;
        }
        due -= length;
    }
    points
}

fn plate(drawing: &mut Drawing, frame: &Frame, fill: Colour) {
    let rings = vec![frame.corners().to_vec()];
    drawing.marks.push(Mark::Area { rings, fill });
}

fn words(
    drawing: &mut Drawing,
    at: Point,
    text: &str,
    bold: bool,
    colour: Colour,
    halo: Option<Colour>,
) {
    drawing.marks.push(Mark::Text(Text {
        at,
        text: text.to_owned(),
        size: Size::Small,
        bold,
        anchor: Anchor::Middle,
        colour,
        halo,
    }));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::map_draw::rectangle;

    fn drawing() -> Drawing {
        Drawing {
            width: 400,
            height: 400,
            marks: Vec::new(),
        }
    }

    fn frames(drawing: &Drawing) -> Vec<Frame> {
        let frame = |mark: &Mark| match mark {
            Mark::Text(text) => Some(Frame::around(text.at, Size::Small.width(&text.text), 16.0)),
            _ => None,
        };
        drawing.marks.iter().filter_map(frame).collect()
    }

    #[test]
    fn steps_are_evenly_spaced_around_corners() {
        let line = [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0)].map(|(x, y)| Point::new(x, y));
        let expected = [
            (0.0, 0.0),
            (12.0, 0.0),
            (24.0, 0.0),
            (30.0, 6.0),
            (30.0, 18.0),
        ];
        assert_eq!(steps(&line), expected.map(|(x, y)| Point::new(x, y)));
    }

    #[test]
    fn labels_of_a_crowd_of_readings_do_not_overlap() {
        let room = vec![rectangle(50.0, 50.0, 300.0, 300.0)];
        let mut lettering = Lettering {
            floor: &room,
            outline: &room,
            readings: &[],
            labels: Labels::new(Frame::around(Point::new(200.0, 200.0), 400.0, 400.0)),
        };
        let at = |index: u32| {
            let (x, y) = (index % 10, index / 10);
            Point::new(50.0 + f64::from(x) * 33.0, 50.0 + f64::from(y) * 33.0)
        };
        let mut drawing = drawing();
        for index in 0..100 {
            lettering.reading(&mut drawing, at(index), "1-3/16 in", Some(Colour::WHITE));
        }
        let frames = frames(&drawing);
        assert!(frames.len() > 25, "{}", frames.len());
        for (index, frame) in frames.iter().enumerate() {
            assert!(!frame.is_crossed(&room), "{frame:?}");
            assert!(!frames[..index].iter().any(|other| other.overlaps(frame)));
        }
    }

    #[test]
    fn a_depth_is_left_out_rather_than_written_beside_another_reading() {
        let page = Frame::around(Point::new(200.0, 200.0), 400.0, 400.0);
        let own = Point::new(200.0, 200.0);
        // Others stand where the label would, on all sides.
        let others: Vec<Point> = (0..16)
            .map(|turn| f64::from(turn) * std::f64::consts::TAU / 16.0)
            .map(|turn| Point::new(200.0 + 30.0 * turn.cos(), 200.0 + 20.0 * turn.sin()))
            .collect();
        for (readings, expected) in [(&others[..], 0), (&[], 1)] {
            let mut lettering = Lettering {
                floor: &[],
                outline: &[],
                readings,
                labels: Labels::new(page),
            };
            let mut drawing = drawing();
            lettering.reading(&mut drawing, own, "3/8 in", Some(Colour::WHITE));
            assert_eq!(frames(&drawing).len(), expected);
        }
    }

    #[test]
    fn a_note_is_written_even_where_nothing_is_free() {
        let page = Frame::around(Point::new(200.0, 200.0), 400.0, 400.0);
        let mut labels = Labels::new(page);
        labels.take(page);
        let mut lettering = Lettering {
            floor: &[],
            outline: &[],
            readings: &[],
            labels,
        };
        let mut drawing = drawing();
        let symbol = Frame::around(page.middle(), 20.0, 20.0);
        lettering.note(&mut drawing, symbol, "grind", true);
        assert_eq!(frames(&drawing).len(), 1);
    }
}
