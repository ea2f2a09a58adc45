//! Outlines: rings of corners, the first around the floor, others around its islands.

use crate::surface::Point;

/// Whether a point lies inside rings: inside the outline, outside its islands.
pub fn contains(rings: &[Vec<Point>], at: Point) -> bool {
    let mut inside = false;
    for (from, to) in edges(rings) {
        let crosses = (from.y > at.y) != (to.y > at.y);
        if crosses && at.x < (to.x - from.x) * (at.y - from.y) / (to.y - from.y) + from.x {
            inside = !inside;
        }
    }
    inside
}

pub(crate) fn on_edge(rings: &[Vec<Point>], at: Point) -> bool {
    edges(rings).any(|(from, to)| on_line(from, to, at))
}

/// Whether a point lies on the line between two, but for a millionth of its length.
pub(crate) fn on_line(from: Point, to: Point, at: Point) -> bool {
    let length = from.distance(to);
    if length <= 0.0 {
        return false;
    }
    let along = (at.x - from.x) * (to.x - from.x) + (at.y - from.y) * (to.y - from.y);
    let nearest = from.toward(to, (along / (length * length)).clamp(0.0, 1.0));
    nearest.distance(at) <= 1e-6 * length
}

/// The edges of rings, each ring closed.
pub fn edges(rings: &[Vec<Point>]) -> impl Iterator<Item = (Point, Point)> {
    rings.iter().flat_map(|ring| {
        ring.iter()
            .zip(ring.iter().cycle().skip(1))
            .map(|(from, to)| (*from, *to))
    })
}
