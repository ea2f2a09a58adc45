//! The floor as a surface of triangles over its readings.
//!
//! Heights and lengths are in one unit of the caller's choice. Every corner of a
//! triangle is a reading or a fixed mean of readings, so that under a level pour that
//! covers the floor the volume is linear in the readings.

use std::fmt;

use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// A point in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Across.
    pub x: f64,
    /// Along.
    pub y: f64,
}

impl Point {
    /// A point.
    pub fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The distance to another.
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// The point a part of the way to another.
    pub fn toward(self, other: Self, part: f64) -> Self {
        Self {
            x: self.x + (other.x - self.x) * part,
            y: self.y + (other.y - self.y) * part,
        }
    }
}

/// One reading: where, and how high the floor stands there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Where.
    pub at: Point,
    /// The height; up is more.
    pub height: f64,
}

/// How far the floor reaches.
#[derive(Clone, Copy, Debug)]
pub enum Extent<'a> {
    /// Rectangles of a grid, each by its four readings in order around.
    Cells(&'a [[usize; 4]]),
    /// Rings of corners: the outline, then columns and other islands.
    Rings(&'a [Vec<Point>]),
    /// As far as the readings reach.
    Readings,
}

/// Why there is no surface.
#[derive(Clone, Debug, PartialEq)]
pub enum SurfaceError {
    /// Fewer readings than a surface needs, or all on one line.
    TooFew,
    /// A ring of the outline crosses itself or another.
    RingCrosses,
    /// A reading lies outside the outline.
    Outside(usize),
    /// A coordinate or height is not a usable number.
    NotANumber(usize),
}

impl fmt::Display for SurfaceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => {
                f.write_str("a surface needs three readings that do not lie on one line")
            }
            Self::RingCrosses => f.write_str("the outline crosses itself"),
            Self::Outside(_) => f.write_str("the reading lies outside the outline"),
            Self::NotANumber(_) => f.write_str("the reading cannot be used"),
        }
    }
}

/// A corner of triangles.
#[derive(Clone, Debug, PartialEq)]
pub struct Vertex {
    /// Where.
    pub at: Point,
    /// Its height.
    pub height: f64,
    /// The readings it is the mean of, with their weights.
    pub from: Vec<(u32, f64)>,
}

/// The surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Corners; the readings come first, in their order.
    pub vertices: Vec<Vertex>,
    /// Triangles by their corners, counter-clockwise.
    pub triangles: Vec<[u32; 3]>,
    readings: usize,
}

impl Surface {
    /// Spans the readings.
    ///
    /// # Errors
    /// When the readings do not make a surface, or lie outside the outline.
    pub fn new(readings: &[Reading], extent: Extent<'_>) -> Result<Self, SurfaceError> {
        if let Some(bad) = readings.iter().position(|r| !usable(r)) {
            return Err(SurfaceError::NotANumber(bad));
        }
        let mut surface = Self {
            vertices: (0u32..)
                .zip(readings)
                .map(|(index, reading)| Vertex {
                    at: reading.at,
                    height: reading.height,
                    from: vec![(index, 1.0)],
                })
                .collect(),
            triangles: Vec::new(),
            readings: readings.len(),
        };
        match extent {
            Extent::Cells(cells) => {
                for cell in cells {
                    surface.split(cell.map(|corner| corner as u32));
                }
            }
            Extent::Rings(rings) => {
                for (index, reading) in readings.iter().enumerate() {
                    if !contains(rings, reading.at) && !on_edge(rings, reading.at) {
                        return Err(SurfaceError::Outside(index));
                    }
                }
                surface.triangulate(rings)?;
            }
            Extent::Readings => surface.triangulate(&[])?,
        }
        if surface.triangles.is_empty() || surface.area() <= 0.0 {
            return Err(SurfaceError::TooFew);
        }
        Ok(surface)
    }

    /// Spans readings and corners with the triangles that come nearest to equal sides.
    fn triangulate(&mut self, rings: &[Vec<Point>]) -> Result<(), SurfaceError> {
        if self.readings < 3 {
            return Err(SurfaceError::TooFew);
        }
        let mut mesh = ConstrainedDelaunayTriangulation::<Point2<f64>>::new();
        // The vertex of each corner of the mesh, in the order in which the mesh numbers them.
        let mut owners: Vec<u32> = Vec::new();
        for index in 0..self.readings {
            let at = self.vertices[index].at;
            let handle = mesh
                .insert(Point2::new(at.x, at.y))
                .map_err(|_| SurfaceError::NotANumber(index))?;
            if handle.index() == owners.len() {
                owners.push(index as u32);
            }
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
                let to = corners[(index + 1) % corners.len()];
                if *from == to {
                    continue;
                }
                if !mesh.can_add_constraint(*from, to) {
                    return Err(SurfaceError::RingCrosses);
                }
                mesh.add_constraint(*from, to);
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
    fn split(&mut self, quad: [u32; 4]) {
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
        let angle = |at: Point, one: Point, two: Point| {
            let (p, q) = (
                Point::new(one.x - at.x, one.y - at.y),
                Point::new(two.x - at.x, two.y - at.y),
            );
            (p.x * q.y - p.y * q.x).atan2(p.x * q.x + p.y * q.y).abs()
        };
        (angle(b, a, c) + angle(d, c, a) - std::f64::consts::PI).abs() < 1e-9
    }

    fn twice_area(&self, [a, b, c]: [u32; 3]) -> f64 {
        let [a, b, c] = [a, b, c].map(|index| self.vertices[index as usize].at);
        (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
    }

    /// How many of the vertices are readings.
    pub fn readings(&self) -> usize {
        self.readings
    }

    /// The area in plan of a triangle.
    pub fn area_of(&self, triangle: [u32; 3]) -> f64 {
        self.twice_area(triangle).abs() / 2.0
    }

    /// The heights of a triangle's corners.
    pub fn heights_of(&self, triangle: [u32; 3]) -> [f64; 3] {
        triangle.map(|index| self.vertices[index as usize].height)
    }

    /// The area in plan.
    pub fn area(&self) -> f64 {
        self.triangles.iter().map(|t| self.area_of(*t)).sum()
    }

    /// The area that each reading stands for; they add up to the area of the floor, and
    /// the mean height is the mean of the readings by these areas.
    pub fn shares(&self) -> Vec<f64> {
        let mut shares = vec![0.0; self.readings];
        for triangle in &self.triangles {
            let third = self.area_of(*triangle) / 3.0;
            for corner in triangle {
                for (reading, weight) in &self.vertices[*corner as usize].from {
                    shares[*reading as usize] += third * weight;
                }
            }
        }
        shares
    }

    /// The mean height.
    pub fn mean(&self) -> f64 {
        let sum: f64 = self
            .triangles
            .iter()
            .map(|t| self.area_of(*t) * self.heights_of(*t).iter().sum::<f64>() / 3.0)
            .sum();
        sum / self.area()
    }

    /// The highest point. Every corner is a mean of readings, so it is a reading.
    pub fn highest(&self) -> f64 {
        self.heights().fold(f64::NEG_INFINITY, f64::max)
    }

    /// The lowest point.
    pub fn lowest(&self) -> f64 {
        self.heights().fold(f64::INFINITY, f64::min)
    }

    fn heights(&self) -> impl Iterator<Item = f64> {
        self.vertices[..self.readings].iter().map(|v| v.height)
    }
}

fn usable(reading: &Reading) -> bool {
    [reading.at.x, reading.at.y, reading.height]
        .iter()
        .all(|number| number.is_finite() && number.abs() < 1e12)
}

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

fn on_edge(rings: &[Vec<Point>], at: Point) -> bool {
    edges(rings).any(|(from, to)| {
        let length = from.distance(to);
        (from.distance(at) + at.distance(to) - length).abs() <= 1e-6 * length.max(1.0)
    })
}

/// The edges of rings, each ring closed.
pub fn edges(rings: &[Vec<Point>]) -> impl Iterator<Item = (Point, Point)> {
    rings.iter().flat_map(|ring| {
        ring.iter()
            .zip(ring.iter().cycle().skip(1))
            .map(|(from, to)| (*from, *to))
    })
}
