//! Spanning readings with triangles.

use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use crate::outline::{contains, on_line};
use crate::surface::{Point, Reading, Surface, SurfaceError, Vertex};

impl Surface {
    /// Spans readings and corners with the triangles that come nearest to equal sides.
    pub(crate) fn triangulate(&mut self, rings: &[Vec<Point>]) -> Result<(), SurfaceError> {
        if self.readings < 3 {
            return Err(SurfaceError::TooFew);
        }
        let mut mesh = ConstrainedDelaunayTriangulation::<Point2<f64>>::new();
        // The vertex of each corner of the mesh, in the order in which the mesh numbers them.
        let mut owners: Vec<u32> = Vec::new();
        let mut handles = Vec::new();
        for index in 0..self.readings {
            let at = self.vertices[index].at;
            let handle = mesh
                .insert(Point2::new(at.x, at.y))
                .map_err(|_| SurfaceError::NotANumber(index))?;
            if handle.index() < owners.len() {
                return Err(SurfaceError::SamePlace(index));
            }
            owners.push(index as u32);
            handles.push(handle);
        }
        for ring in rings {
            let mut corners = Vec::new();
            for corner in ring {
                let handle = mesh
                    .insert(Point2::new(corner.x, corner.y))
                    .map_err(|_| SurfaceError::RingCrosses)?;
                if handle.index() == owners.len() {
                    owners.push(self.corner(*corner));
                }
                corners.push(handle);
            }
            for (index, from) in corners.iter().enumerate() {
                let next = (index + 1) % corners.len();
                // A wall runs through the readings on it: a rounding must not leave one outside.
                let mut stops: Vec<_> = (0..self.readings)
                    .filter(|reading| on_line(ring[index], ring[next], self.vertices[*reading].at))
                    .map(|reading| {
                        let along = ring[index].distance(self.vertices[reading].at);
                        (along, handles[reading])
                    })
                    .collect();
                stops.sort_by(|a, b| a.0.total_cmp(&b.0));
                stops.push((f64::INFINITY, corners[next]));
                let mut last = *from;
                for (_, stop) in stops {
                    if stop == last {
                        continue;
                    }
                    if !mesh.can_add_constraint(last, stop) {
                        return Err(SurfaceError::RingCrosses);
                    }
                    mesh.add_constraint(last, stop);
                    last = stop;
                }
            }
        }
        let inside = |at: Point| rings.is_empty() || contains(rings, at);
        let mut done = vec![false; mesh.num_all_faces()];
        for edge in mesh.undirected_edges() {
            if mesh.is_constraint_edge(edge.fix()) {
                continue;
            }
            let edge = edge.as_directed();
            let (Some(left), Some(right)) = (edge.face().as_inner(), edge.rev().face().as_inner())
            else {
                continue;
            };
            let (Some(far_left), Some(far_right)) =
                (edge.opposite_vertex(), edge.rev().opposite_vertex())
            else {
                continue;
            };
            let corner = |handle: usize| owners[handle];
            let quad = [
                corner(edge.from().index()),
                corner(far_right.index()),
                corner(edge.to().index()),
                corner(far_left.index()),
            ];
            let taken = done[left.index()] || done[right.index()];
            // Of four corners on one circle either diagonal would do, and the choice would
            // depend on how the floor is turned: both are used.
            if taken || !self.on_one_circle(quad) || !inside(self.middle(&quad)) {
                continue;
            }
            done[left.index()] = true;
            done[right.index()] = true;
            self.split(quad);
        }
        for face in mesh.inner_faces() {
            let corners = face.vertices().map(|vertex| owners[vertex.index()]);
            if !done[face.index()] && inside(self.middle(&corners)) {
                self.triangles.push(corners);
            }
        }
        Ok(())
    }

    /// A corner of the outline: as high as the nearest reading, for nothing is known beyond it.
    fn corner(&mut self, at: Point) -> u32 {
        let nearest = (0..self.readings).min_by(|a, b| {
            let far = |index: usize| self.vertices[index].at.distance(at);
            far(*a).total_cmp(&far(*b))
        });
        let nearest = nearest.unwrap_or(0);
        self.vertices.push(Vertex {
            at,
            height: self.vertices[nearest].height,
            from: vec![(nearest as u32, 1.0)],
        });
        (self.vertices.len() - 1) as u32
    }

    /// Splits a convex quadrilateral (corners in order around) at the crossing of its diagonals.
    pub(crate) fn split(&mut self, quad: [u32; 4]) {
        let [a, b, c, d] = quad.map(|index| self.vertices[index as usize].at);
        let cross = |p: Point, q: Point| p.x * q.y - p.y * q.x;
        let minus = |p: Point, q: Point| Point::new(p.x - q.x, p.y - q.y);
        let (ac, bd) = (minus(c, a), minus(d, b));
        let along = cross(minus(b, a), bd) / cross(ac, bd);
        let beside = cross(minus(b, a), ac) / cross(ac, bd);
        let weights = [
            (1.0 - along) / 2.0,
            (1.0 - beside) / 2.0,
            along / 2.0,
            beside / 2.0,
        ];
        let mut from: Vec<(u32, f64)> = Vec::new();
        let mut height = 0.0;
        for (corner, weight) in quad.iter().zip(weights) {
            let vertex = &self.vertices[*corner as usize];
            height += vertex.height * weight;
            for (reading, share) in &vertex.from {
                match from.iter_mut().find(|(known, _)| known == reading) {
                    Some((_, sum)) => *sum += share * weight,
                    None => from.push((*reading, share * weight)),
                }
            }
        }
        let centre = self.vertices.len() as u32;
        self.vertices.push(Vertex {
            at: a.toward(c, along),
            height,
            from,
        });
        for index in 0..4 {
            let (p, q) = (quad[index], quad[(index + 1) % 4]);
            let turn = self.twice_area([p, q, centre]);
            self.triangles.push(if turn >= 0.0 {
                [p, q, centre]
            } else {
                [q, p, centre]
            });
        }
    }

    fn middle(&self, corners: &[u32]) -> Point {
        let count = corners.len() as f64;
        let sum = corners.iter().fold(Point::new(0.0, 0.0), |sum, index| {
            let at = self.vertices[*index as usize].at;
            Point::new(sum.x + at.x, sum.y + at.y)
        });
        Point::new(sum.x / count, sum.y / count)
    }

    /// Whether four corners in order around lie on one circle: opposite angles add up to half a turn.
    fn on_one_circle(&self, quad: [u32; 4]) -> bool {
        let [a, b, c, d] = quad.map(|index| self.vertices[index as usize].at);
        // Corners on one straight line, such as along a wall, have no circle.
        let flat = 1e-9 * a.distance(c).max(b.distance(d)).powi(2);
        let [one, two, three, four] = quad;
        if self.twice_area([one, two, three]).abs() <= flat
            || self.twice_area([three, four, one]).abs() <= flat
        {
            return false;
        }
        let angle = |at: Point, one: Point, two: Point| {
            let (p, q) = (
                Point::new(one.x - at.x, one.y - at.y),
                Point::new(two.x - at.x, two.y - at.y),
            );
            (p.x * q.y - p.y * q.x).atan2(p.x * q.x + p.y * q.y).abs()
        };
        (angle(b, a, c) + angle(d, c, a) - std::f64::consts::PI).abs() < 1e-9
    }
}

/// Whether a cell's readings go around counter-clockwise; nothing when they are not four in order
/// around, with a corner at each.
pub(crate) fn goes_left(readings: &[Reading], cell: &[usize; 4]) -> Option<bool> {
    let corner = |index: usize| Some(readings.get(cell[index % 4])?.at);
    let turn = |index: usize| {
        let (a, b, c) = (corner(index)?, corner(index + 1)?, corner(index + 2)?);
        Some((b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x))
    };
    let turns =
        |wanted: fn(&f64) -> bool| (0..4).all(|index| turn(index).is_some_and(|t| wanted(&t)));
    if turns(|turn| *turn > 0.0) {
        Some(true)
    } else if turns(|turn| *turn < 0.0) {
        Some(false)
    } else {
        None
    }
}
