//! The outline of a room and of what stands in it.

use std::fmt;

use crate::shape::{Direction, edges};
use crate::shape::{NEAR, Point, Rect, Ring, area, contains, ring_area, ring_edges, turn_rings};

/// Coordinates further from the origin than this, in inches, are a slip of the pen.
const FARTHEST: f64 = 1e6;
/// More corners than anyone measures.
const MOST_CORNERS: usize = 2_000;

/// A room: its outline, less the columns, islands and registers that stand inside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// The outline counterclockwise, then the obstacles clockwise.
    rings: Vec<Ring>,
}

/// Why an outline bounds no room.
#[derive(Clone, Debug, PartialEq)]
pub enum RoomError {
    /// A ring has fewer than three corners, or no area.
    Empty,
    /// A coordinate is not a number, or beyond a million inches.
    Far(Point),
    /// There are more corners than anyone measures.
    Corners(usize),
    /// Edges cross, touch or fold back at a place. An obstacle that touches a wall is a part of
    /// the outline.
    Crossing(Point),
    /// An obstacle lies outside the room, or inside another one.
    Outside(Point),
    /// At this corner a nook or passage is no wider than two perimeter gaps.
    TooNarrow(Point),
}

impl fmt::Display for RoomError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = |at: &Point| format!("x {}, y {} in", at.x, at.y);
        match self {
            Self::Empty => f.write_str("an outline needs three corners or more, not on one line"),
            Self::Far(at) => write!(f, "a corner is not a place in a building: {}", place(at)),
            Self::Corners(count) => {
                write!(
                    f,
                    "{count} corners are more than the {MOST_CORNERS} of any room"
                )
            }
            Self::Crossing(at) => write!(f, "edges cross or touch at {}", place(at)),
            Self::Outside(at) => write!(f, "an obstacle is not inside the room: {}", place(at)),
            Self::TooNarrow(at) => write!(
                f,
                "at {} the room is too narrow for a perimeter gap on either side",
                place(at)
            ),
        }
    }
}

impl std::error::Error for RoomError {}

impl Room {
    /// A room by its outline and the outlines of what stands in it, in inches. Rings may run either
    /// way; corners that repeat, or lie on a straight wall, do no harm.
    ///
    /// # Errors
    /// When the rings bound no room.
    pub fn new(outline: &[Point], obstacles: &[Ring]) -> Result<Self, RoomError> {
        let given = std::iter::once(outline).chain(obstacles.iter().map(Vec::as_slice));
        let corners = given.clone().map(<[Point]>::len).sum();
        if corners > MOST_CORNERS {
            return Err(RoomError::Corners(corners));
        }
        let is_far = |at: &&Point| !(at.x.abs() <= FARTHEST && at.y.abs() <= FARTHEST);
        if let Some(at) = given.clone().flatten().find(is_far) {
            return Err(RoomError::Far(*at));
        }
        let mut rings = Vec::new();
        for (index, ring) in given.enumerate() {
            let mut ring = straightened(ring);
            let size = ring_area(&ring);
            if ring.len() < 3 || size.abs() <= NEAR {
                return Err(RoomError::Empty);
            }
            if (size > 0.0) != (index == 0) {
                ring.reverse();
            }
            rings.push(ring);
        }
        simple(&rings)?;
        Ok(Self { rings })
    }

    /// A rectangular room with its lower left corner at the origin.
    ///
    /// # Errors
    /// When a side is no length.
    pub fn rectangle(width: f64, height: f64) -> Result<Self, RoomError> {
        Self::new(&Rect::new(0.0, 0.0, width, height).ring(), &[])
    }

    /// The outline counterclockwise, then the obstacles clockwise.
    pub fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// Floor area in square inches.
    pub fn area(&self) -> f64 {
        area(&self.rings)
    }

    /// What is left inside a gap along all walls and around all obstacles. Corners stay sharp, so
    /// that the gap is equally wide along both walls of a corner.
    ///
    /// # Errors
    /// When a nook or passage is too narrow for the gap.
    pub fn inset(&self, gap: f64) -> Result<Self, RoomError> {
        if gap <= 0.0 {
            return Ok(self.clone());
        }
        let mut rings = Vec::new();
        for ring in &self.rings {
            let inner = inset_ring(ring, gap);
            for ((a, b), (c, d)) in ring_edges(ring).zip(ring_edges(&inner)) {
                let along = (d.x - c.x) * (b.x - a.x) + (d.y - c.y) * (b.y - a.y);
                if along <= NEAR * a.distance(b) {
                    return Err(RoomError::TooNarrow(a));
                }
            }
            rings.push(inner);
        }
        simple(&rings).map_err(|error| match error {
            RoomError::Crossing(at) | RoomError::Outside(at) => RoomError::TooNarrow(at),
            other => other,
        })?;
        Ok(Self { rings })
    }

    /// The room, turned around the origin.
    pub fn turned(&self, direction: Direction) -> Self {
        Self {
            rings: turn_rings(direction, &self.rings),
        }
    }

    /// The wall of the outline that is nearest to a place.
    pub fn nearest_wall(&self, to: Point) -> Option<(Point, Point)> {
        let far = |(a, b): &(Point, Point)| to.distance(to.nearest_on(*a, *b));
        edges(self.rings.get(..1)?).min_by(|one, other| far(one).total_cmp(&far(other)))
    }
}

/// A ring without corners that repeat or lie on a straight edge.
fn straightened(ring: &[Point]) -> Ring {
    let mut kept: Ring = ring.to_vec();
    loop {
        let needed = |at: usize| {
            let count = kept.len();
            let (a, b) = (kept[(at + count - 1) % count], kept[at]);
            let c = kept[(at + 1) % count];
            let forward = (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y) > 0.0;
            let is_straight = forward && b.distance(b.nearest_on(a, c)) <= NEAR;
            a.distance(b) > NEAR && !is_straight
        };
        match (0..kept.len()).find(|at| !needed(*at)) {
            Some(at) if kept.len() > 2 => kept.remove(at),
            _ => return kept,
        };
    }
}

/// Every edge moved to its left, where the room is, and joined to the next one again.
fn inset_ring(ring: &[Point], gap: f64) -> Ring {
    let normals: Vec<Point> = ring_edges(ring)
        .map(|(a, b)| {
            let length = a.distance(b);
            Point::new((a.y - b.y) / length, (b.x - a.x) / length)
        })
        .collect();
    let before = normals.iter().cycle().skip(normals.len() - 1);
    ring.iter()
        .zip(before.zip(&normals))
        .map(|(at, (n, m))| {
            let part = gap / (1.0 + n.x * m.x + n.y * m.y);
            Point::new(at.x + (n.x + m.x) * part, at.y + (n.y + m.y) * part)
        })
        .collect()
}

/// Whether no two edges touch but neighbours at their corner, and obstacles lie inside the
/// outline and outside each other.
fn simple(rings: &[Ring]) -> Result<(), RoomError> {
    let all: Vec<(usize, usize, Point, Point)> = rings
        .iter()
        .enumerate()
        .flat_map(|(ring, corners)| {
            let edges = ring_edges(corners).enumerate();
            edges.map(move |(edge, (a, b))| (ring, edge, a, b))
        })
        .collect();
    for (index, &(ring, edge, a, b)) in all.iter().enumerate() {
        for &(other, next, c, d) in &all[index + 1..] {
            let last = rings[ring].len() - 1;
            let touches = if ring == other && next == edge + 1 {
                folds(a, b, d)
            } else if ring == other && edge == 0 && next == last {
                folds(c, a, b)
            } else {
                meet(a, b, c, d)
            };
            if touches {
                return Err(RoomError::Crossing(c.nearest_on(a, b)));
            }
        }
    }
    for (index, obstacle) in rings.iter().enumerate().skip(1) {
        let inside = |ring: &Ring| contains(std::slice::from_ref(ring), obstacle[0]);
        let in_another = (1..rings.len()).any(|other| other != index && inside(&rings[other]));
        if !inside(&rings[0]) || in_another {
            return Err(RoomError::Outside(obstacle[0]));
        }
    }
    Ok(())
}

/// Whether the way from one place over a second to a third turns back on itself.
fn folds(a: Point, b: Point, c: Point) -> bool {
    let near = |at: Point, from: Point, to: Point| at.distance(at.nearest_on(from, to)) <= NEAR;
    near(c, a, b) || near(a, b, c)
}

/// Whether two lines cross or touch.
fn meet(a: Point, b: Point, c: Point, d: Point) -> bool {
    let apart = a.x.max(b.x) + NEAR < c.x.min(d.x)
        || c.x.max(d.x) + NEAR < a.x.min(b.x)
        || a.y.max(b.y) + NEAR < c.y.min(d.y)
        || c.y.max(d.y) + NEAR < a.y.min(b.y);
    if apart {
        return false;
    }
    let side = |p: Point, q: Point, at: Point| {
        (q.x - p.x) * (at.y - p.y) - (q.y - p.y) * (at.x - p.x) > 0.0
    };
    let crosses = side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b);
    let near = |at: Point, from, to| at.distance(at.nearest_on(from, to)) <= NEAR;
    crosses || near(a, c, d) || near(b, c, d) || near(c, a, b) || near(d, a, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    #[test]
    fn a_gap_leaves_what_plain_arithmetic_leaves() {
        // An L of 20 x 10 and 8 x 6, and a column of 2 x 3.
        let outline = ring(&[
            (0.0, 0.0),
            (20.0, 0.0),
            (20.0, 10.0),
            (8.0, 10.0),
            (8.0, 16.0),
            (0.0, 16.0),
        ]);
        let column = Rect::new(4.0, 4.0, 2.0, 3.0).ring();
        let room = Room::new(&outline, &[column]).unwrap();
        assert_eq!(room.area(), 200.0 + 48.0 - 6.0);
        // The gap takes 19 x 9 and 7 x 6 of the L, and leaves 3 x 4 for the column.
        let inner = room.inset(0.5).unwrap();
        assert!((inner.area() - (19.0 * 9.0 + 7.0 * 6.0 - 12.0)).abs() < 1e-12);
        assert!(matches!(room.inset(2.0), Err(RoomError::TooNarrow(_))));
        assert!(matches!(room.inset(30.0), Err(RoomError::TooNarrow(_))));
    }

    #[test]
    fn a_gap_is_equally_wide_along_slanted_walls() {
        // A right triangle keeps its shape; its inscribed circle, of radius (a + b - c) / 2,
        // loses the gap.
        let triangle = ring(&[(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)]);
        let room = Room::new(&triangle, &[]).unwrap();
        let (radius, gap) = ((40.0 + 30.0 - 50.0) / 2.0, 0.5);
        let part: f64 = (radius - gap) / radius;
        let inner = room.inset(gap).unwrap();
        assert!((inner.area() - 600.0 * part * part).abs() < 1e-9);
        assert!(room.inset(radius).is_err());
    }

    #[test]
    fn rings_may_run_either_way_and_have_needless_corners() {
        let mut outline = ring(&[(0.0, 0.0), (9.0, 0.0), (9.0, 5.0), (0.0, 5.0)]);
        let plain = Room::new(&outline, &[]).unwrap();
        outline.insert(1, Point::new(4.0, 0.0));
        outline.insert(1, Point::new(4.0, 0.0));
        outline.push(Point::new(0.0, 0.0));
        outline.reverse();
        let same = Room::new(&outline, &[]).unwrap();
        assert_eq!((same.rings()[0].len(), same.area()), (4, plain.area()));
    }

    #[test]
    fn what_bounds_no_room_is_refused() {
        let square = Rect::new(0.0, 0.0, 10.0, 10.0).ring();
        let bow = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        let lopsided = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 9.0)]);
        let spike = ring(&[
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 9.0),
            (10.0, 4.0),
            (0.0, 4.0),
        ]);
        let line = ring(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]);
        let nowhere = ring(&[(0.0, 0.0), (f64::NAN, 1.0), (2.0, 0.0)]);
        let block = |x: f64, size: f64| Rect::new(x, 1.0, size, size).ring();
        for (outline, obstacles, expected) in [
            (&vec![], vec![], "three corners"),
            (&line, vec![], "three corners"),
            (&bow, vec![], "three corners"),
            (&lopsided, vec![], "cross or touch"),
            (&spike, vec![], "cross or touch"),
            (&nowhere, vec![], "not a place"),
            (&square, vec![block(9.0, 1.0)], "cross or touch"),
            (&square, vec![block(12.0, 1.0)], "not inside"),
            (
                &square,
                vec![block(0.5, 5.0), Rect::new(2.0, 2.0, 1.0, 1.0).ring()],
                "not inside",
            ),
        ] {
            let error = Room::new(outline, &obstacles).unwrap_err().to_string();
            assert!(error.contains(expected), "{error} {expected}");
        }
        let many = vec![Point::new(0.0, 0.0); MOST_CORNERS + 1];
        assert!(matches!(Room::new(&many, &[]), Err(RoomError::Corners(_))));
    }
}
