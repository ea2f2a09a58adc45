//! The symbols of a map, the same on the plan and in its legend.

use crate::map_draw::{Colour, Drawing, Mark, closed, hatch, polygon, rectangle};
use crate::surface::Point;

/// Half the thickness of a dam.
pub(crate) const DAM: f64 = 8.0;
/// How far the symbol of a high spot reaches.
pub(crate) const HIGH_SPOT: f64 = 14.0;
/// Half the thickness of a soft joint.
pub(crate) const JOINT: f64 = 4.0;
/// The length of a dash of a soft joint, and of the gap behind it.
const DASH: f64 = 20.0;
const GAP: f64 = 12.0;
/// How far the mark of a reading reaches.
pub(crate) const READING: f64 = 4.5;

/// A high spot: a solid triangle, rimmed in white so that it shows on dark ground.
pub(crate) fn high_spot(drawing: &mut Drawing, at: Point) {
    let rim = vec![polygon(at, HIGH_SPOT + 3.0, 3)];
    drawing.shape(rim, Colour::WHITE, 2.0, Colour::WHITE);
    let solid = vec![polygon(at, HIGH_SPOT - 2.0, 3)];
    drawing.shape(solid, Colour::INK, 2.0, Colour::INK);
}

/// A dam: a thick hatched bar.
pub(crate) fn dam(drawing: &mut Drawing, from: Point, to: Point) {
    let length = from.distance(to).max(1e-9);
    let (x, y) = (
        (to.x - from.x) / length * DAM,
        (to.y - from.y) / length * DAM,
    );
    let bar = vec![vec![
        Point::new(from.x - y, from.y + x),
        Point::new(from.x + y, from.y - x),
        Point::new(to.x + y, to.y - x),
        Point::new(to.x - y, to.y + x),
    ]];
    let lines = hatch(&bar, 6.0);
    let outline = closed(&bar);
    drawing.marks.push(Mark::Area {
        rings: bar,
        fill: Colour::WHITE,
    });
    drawing.lines(lines, 2.5, Colour::INK);
    drawing.lines(outline, 2.0, Colour::INK);
}

/// A floor register: a box with a cross.
pub(crate) fn register(drawing: &mut Drawing, from: Point, to: Point) {
    let (left, right) = (from.x.min(to.x), from.x.max(to.x));
    let (top, bottom) = (from.y.min(to.y), from.y.max(to.y));
    let ring = vec![rectangle(left, top, right - left, bottom - top)];
    drawing.shape(ring, Colour::WHITE, 2.0, Colour::INK);
    let point = Point::new;
    let cross = vec![
        vec![point(left, top), point(right, bottom)],
        vec![point(left, bottom), point(right, top)],
    ];
    drawing.lines(cross, 1.5, Colour::INK);
}

/// A soft joint: heavy dashes in a white band, which shows on light and on dark ground.
pub(crate) fn joint(drawing: &mut Drawing, from: Point, to: Point) {
    let length = from.distance(to);
    // A dash at either end, so that the joint is seen to reach the walls.
    let gaps = ((length - DASH) / (DASH + GAP)).round().max(0.0);
    let (dash, step) = if gaps > 0.0 {
        let stretch = length / (DASH + gaps * (DASH + GAP));
        (DASH * stretch, (DASH + GAP) * stretch)
    } else {
        (length, length)
    };
    let at = |along: f64| from.toward(to, along / length.max(1e-9));
    let dashes = (0..=gaps as u32)
        .map(|number| f64::from(number) * step)
        .map(|start| vec![at(start), at(start + dash)])
        .collect();
    drawing.lines(vec![vec![from, to]], 2.0 * JOINT, Colour::WHITE);
    drawing.lines(dashes, JOINT, Colour::INK);
}

/// A reading: a dot, rimmed in white so that it shows on dark ground and on the outline.
pub(crate) fn reading(drawing: &mut Drawing, at: Point) {
    for (radius, fill) in [(READING, Colour::WHITE), (READING - 1.5, Colour::INK)] {
        let rings = vec![polygon(at, radius, 16)];
        drawing.marks.push(Mark::Area { rings, fill });
    }
}

/// Dry floor: white with slanting lines.
pub(crate) fn dry(drawing: &mut Drawing, rings: Vec<Vec<Point>>) {
    let lines = hatch(&rings, 9.0);
    drawing.marks.push(Mark::Area {
        rings,
        fill: Colour::WHITE,
    });
    drawing.lines(lines, 1.5, Colour::INK);
}
