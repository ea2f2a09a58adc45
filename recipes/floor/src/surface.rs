//! The floor as a surface of triangles over its readings.
//!
//! Heights and lengths are in one unit of the caller's choice. Every corner of a
//! triangle is a reading or a fixed mean of readings, so that under a level pour that
//! covers the floor the volume is linear in the readings.
//!
//! Readings are spanned as Delaunay has it: the circle through the corners of a triangle holds no
//! other reading. So one more reading at the height that the surface has there already
//!
//! * changes nothing at all where it lies in the circle of one triangle only, its own. With an
//!   outline it must also be no nearer to a corner of it than the reading that lends the corner its
//!   height. In a cell, four readings on one circle, only the crossing of the diagonals will do,
//!   unless the cell is a plane: elsewhere the mean that stands at the crossing is given up. The
//!   crossing lies in no other circle while cells are less than 1.73 times as long as wide (the
//!   root of three);
//! * elsewhere lets other triangles span the same readings: the floor changes between them, but
//!   never its area, nor its highest and lowest height;
//! * never changes a floor that is a plane.

use std::fmt;

use crate::outline::{contains, on_edge};
use crate::span::goes_left;

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
    /// A reading lies where an earlier one does.
    SamePlace(usize),
    /// The readings of a cell, of which this is the first, are not four in order around.
    NotACell(usize),
    /// A cell goes around the other way than those before, so that it lies over others: the grid
    /// turns back at this reading.
    TurnsBack(usize),
    /// A coordinate or height is not a usable number.
    NotANumber(usize),
}

impl SurfaceError {
    /// The reading at which it went wrong, by its index, where there is one.
    pub fn reading(&self) -> Option<usize> {
        match self {
            Self::TooFew | Self::RingCrosses => None,
            Self::Outside(reading)
            | Self::SamePlace(reading)
            | Self::NotACell(reading)
            | Self::TurnsBack(reading)
            | Self::NotANumber(reading) => Some(*reading),
        }
    }
}

impl fmt::Display for SurfaceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => {
                f.write_str("a surface needs three readings that do not lie on one line")
            }
            Self::RingCrosses => f.write_str("the outline crosses itself"),
            Self::Outside(_) => f.write_str("the reading lies outside the outline"),
            Self::SamePlace(_) => f.write_str("the reading lies where another does"),
            Self::NotACell(_) => f.write_str("the cell is not four readings in order around"),
            Self::TurnsBack(_) => f.write_str(
                "the positions of the grid turn back here; they must rise or fall all the way",
            ),
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
    pub(crate) readings: usize,
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
                let mut way = None;
                for cell in cells {
                    let Some(left) = goes_left(readings, cell) else {
                        return Err(SurfaceError::NotACell(cell[0]));
                    };
                    if *way.get_or_insert(left) != left {
                        return Err(SurfaceError::TurnsBack(cell[2]));
                    }
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

    pub(crate) fn twice_area(&self, [a, b, c]: [u32; 3]) -> f64 {
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
        self.triangles.iter().flat_map(|t| self.heights_of(*t))
    }
}

fn usable(reading: &Reading) -> bool {
    [reading.at.x, reading.at.y, reading.height]
        .iter()
        .all(|number| number.is_finite() && number.abs() < 1e12)
}
