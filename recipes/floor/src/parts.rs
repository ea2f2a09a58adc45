//! Walls, openings and registers of a surveyed floor, as rows of the tables below rooms.

use engine::plugin::{Outline, Part};

use crate::sheet::{FloorSheet, Mark, MarkKind};
use crate::slice::between;
use crate::surface::{Point, Surface};

/// How far from a wall an opening may be marked and still be in it, in inches: marks are set by
/// the tape, walls follow the readings.
pub(crate) const NEAR_WALL: f64 = 6.0;

/// What stands at the edge of a floor, with the stretches along which its depth counts.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The row that it becomes.
    pub part: Part,
    /// Its stretches: one for a wall or an opening, four around a register.
    pub stretches: Vec<(Point, Point)>,
}

impl Edge {
    /// The lowest height of the floor along it; nothing where it lies beside the floor.
    pub fn lowest(&self, surface: &Surface) -> Option<f64> {
        let heights = self.stretches.iter().flat_map(|(from, to)| {
            let profiles = between(surface, *from, *to);
            let heights = profiles.into_iter().flatten().map(|(_, height)| height);
            heights.collect::<Vec<_>>()
        });
        heights.reduce(f64::min)
    }
}

/// The walls in order around the outline and its islands, then the openings, then the registers.
pub fn edges(sheet: &FloorSheet, rings: &[Vec<Point>]) -> Vec<Edge> {
    let marked = |kind| sheet.marks.iter().filter(move |mark| mark.kind == kind);
    let mut edges: Vec<Edge> = Vec::new();
    let mut add = |table: &'static str, number: usize, mut values: Vec<_>, stretches| {
        values.push(("part", edges.len() as f64 + 1.0));
        let label = format!("{table} {number}");
        let part = Part {
            table,
            label,
            values,
        };
        edges.push(Edge { part, stretches });
    };
    for (number, (from, to)) in walls(rings).into_iter().enumerate() {
        let open: f64 = marked(MarkKind::Opening)
            .map(|mark| shared(mark, from, to))
            .sum();
        let values = vec![("length", from.distance(to)), ("open", open)];
        add("wall", number + 1, values, vec![(from, to)]);
    }
    for (number, mark) in marked(MarkKind::Opening).enumerate() {
        let values = vec![("width", mark.from.distance(mark.to))];
        add("opening", number + 1, values, vec![(mark.from, mark.to)]);
    }
    for (number, mark) in marked(MarkKind::Register).enumerate() {
        let (from, to) = (mark.from, mark.to);
        let corners = [from, Point::new(to.x, from.y), to, Point::new(from.x, to.y)];
        let values = vec![
            ("length", (to.x - from.x).abs()),
            ("width", (to.y - from.y).abs()),
        ];
        let around = (0..4).map(|n| (corners[n], corners[(n + 1) % 4]));
        add("register", number + 1, values, around.collect());
    }
    edges
}

/// The walls, around the outline and around each island.
pub fn walls(rings: &[Vec<Point>]) -> Vec<(Point, Point)> {
    rings.iter().flat_map(|ring| straight(ring)).collect()
}

/// The outline of a floor as the engine knows it, its walls and openings in the order of the edges.
pub fn outline(sheet: &FloorSheet, rings: &[Vec<Point>]) -> Outline {
    let pair = |at: &Point| (at.x, at.y);
    let stretch = |(from, to): (Point, Point)| [pair(&from), pair(&to)];
    let marked = |kind| {
        let marks = sheet.marks.iter().filter(move |mark| mark.kind == kind);
        marks.map(|mark| stretch((mark.from, mark.to))).collect()
    };
    Outline {
        rings: rings
            .iter()
            .map(|ring| ring.iter().map(pair).collect())
            .collect(),
        walls: walls(rings).into_iter().map(stretch).collect(),
        openings: marked(MarkKind::Opening),
        cut_outs: marked(MarkKind::Register),
    }
}

/// The straight stretches of a ring: edges that go on in one direction are one wall.
pub(crate) fn straight(ring: &[Point]) -> Vec<(Point, Point)> {
    let turns = |index: usize| {
        let before = ring[(index + ring.len() - 1) % ring.len()];
        let (at, after) = (ring[index], ring[(index + 1) % ring.len()]);
        let cross = (at.x - before.x) * (after.y - at.y) - (at.y - before.y) * (after.x - at.x);
        cross.abs() > 1e-9 * before.distance(at) * at.distance(after)
    };
    let corners: Vec<Point> = (0..ring.len())
        .filter(|index| turns(*index))
        .map(|index| ring[index])
        .collect();
    let next = corners.iter().cycle().skip(1);
    corners.iter().copied().zip(next.copied()).collect()
}

/// How much of a wall an opening takes; nothing where it lies elsewhere.
fn shared(mark: &Mark, from: Point, to: Point) -> f64 {
    let length = from.distance(to);
    if length == 0.0 {
        return 0.0;
    }
    let (dx, dy) = ((to.x - from.x) / length, (to.y - from.y) / length);
    let beside = |p: Point| ((p.x - from.x) * dy - (p.y - from.y) * dx).abs();
    if beside(mark.from).max(beside(mark.to)) > NEAR_WALL {
        return 0.0;
    }
    let along = |p: Point| ((p.x - from.x) * dx + (p.y - from.y) * dy).clamp(0.0, length);
    (along(mark.from) - along(mark.to)).abs()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contour::Contours;
    use crate::surface::{Extent, Reading};

    /// Ten feet by ten, falling an inch across, with a doorway and a register.
    fn floor() -> (FloorSheet, Surface) {
        let readings: Vec<Reading> = (0..9)
            .map(|n| (f64::from(n % 3) * 60.0, f64::from(n / 3) * 60.0))
            .map(|(x, y)| Reading {
                at: Point::new(x, y),
                height: 1.0 - x / 120.0,
            })
            .collect();
        let mark = |kind, from, to| Mark { kind, from, to };
        let sheet = FloorSheet {
            marks: vec![
                mark(
                    MarkKind::Opening,
                    Point::new(120.0, 30.0),
                    Point::new(120.0, 66.0),
                ),
                mark(
                    MarkKind::Register,
                    Point::new(24.0, 96.0),
                    Point::new(36.0, 102.0),
                ),
            ],
            ..FloorSheet::default()
        };
        (sheet, Surface::new(&readings, Extent::Readings).unwrap())
    }

    #[test]
    fn walls_openings_and_registers_become_rows_with_their_measures() {
        let (sheet, surface) = floor();
        let edges = edges(&sheet, &Contours::new(&surface).outline());
        let tables: Vec<&str> = edges.iter().map(|edge| edge.part.table).collect();
        assert_eq!(
            tables,
            ["wall", "wall", "wall", "wall", "opening", "register"]
        );
        let value = |edge: &Edge, name: &str| {
            let mut values = edge.part.values.iter();
            values
                .find(|(known, _)| *known == name)
                .map(|(_, value)| *value)
                .unwrap()
        };
        let open: f64 = edges[..4].iter().map(|edge| value(edge, "open")).sum();
        assert!((open - 36.0).abs() < 1e-9, "the doorway lies in one wall");
        assert!((value(&edges[4], "width") - 36.0).abs() < 1e-9);
        assert!((value(&edges[5], "length") - 12.0).abs() < 1e-9);
        assert!((value(&edges[5], "width") - 6.0).abs() < 1e-9);
        for (number, edge) in edges.iter().enumerate() {
            assert!((value(edge, "part") - (number as f64 + 1.0)).abs() < 1e-9);
        }
    }

    #[test]
    fn an_edge_knows_the_lowest_floor_along_it() {
        let (sheet, surface) = floor();
        for edge in edges(&sheet, &Contours::new(&surface).outline()) {
            // The floor falls across: the lowest point is the one farthest across.
            let farthest = edge
                .stretches
                .iter()
                .flat_map(|(a, b)| [a.x, b.x])
                .fold(0.0, f64::max);
            let lowest = edge.lowest(&surface).unwrap();
            assert!((lowest - (1.0 - farthest / 120.0)).abs() < 1e-6, "{edge:?}");
        }
    }
}
