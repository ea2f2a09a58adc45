//! Where soft joints run through a tiled floor: straight lines both ways, clipped to its outline.
//!
//! Each way there are as few lines as the greatest spacing allows. As many of them as can be pass
//! through inside corners, where tile cracks first (common practice, no source); the others divide
//! what is left evenly. The joint around the floor is not part of the plan.

use std::fmt;

use engine::plugin::whole_up;

use crate::outline::{contains, edges};
use crate::parts::straight;
use crate::surface::Point;

/// More lines one way than this are a mistake in the spacing.
const MOST_LINES: f64 = 10_000.0;
/// Coordinates so close, as a part of the outline's size, are one.
const SAME: f64 = 1e-7;
/// What evenness is counted in, as a part of the outline's size squared: too coarse for rounding
/// errors to tell even plans apart.
const EVEN_STEP: f64 = 1e-9;

/// Why there is no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointPlanError {
    /// The spacing is no length above zero, or far too small for the floor.
    Spacing,
    /// The outline encloses nothing.
    Outline,
}

impl fmt::Display for JointPlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Spacing => "the spacing of joints is not a usable length for this floor",
            Self::Outline => "the outline encloses no floor",
        })
    }
}

/// The soft joints within a floor; lengths in the unit of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct JointPlan {
    /// The joints, each from wall to wall: first those along `y`, then those along `x`.
    pub segments: Vec<(Point, Point)>,
    /// The greatest side of a panel across, along `x`.
    pub widest: f64,
    /// The greatest side of a panel along `y`.
    pub longest: f64,
}

impl JointPlan {
    /// Plans the joints of a floor by its outline and islands, given the greatest sides of a
    /// panel along `x` and along `y`.
    ///
    /// # Errors
    /// When a spacing is not usable or the outline encloses nothing.
    pub fn new(rings: &[Vec<Point>], (across, along): (f64, f64)) -> Result<Self, JointPlanError> {
        let upright = Way::new(rings)?;
        let turned: Vec<Vec<Point>> = upright.rings.iter().map(|ring| swapped(ring)).collect();
        let level = Way::new(&turned)?;
        let (columns, rows) = (upright.lines(across)?, level.lines(along)?);
        let mut segments: Vec<(Point, Point)> =
            columns.iter().flat_map(|at| upright.clip(*at)).collect();
        let beside = rows.iter().flat_map(|at| level.clip(*at));
        segments.extend(beside.map(|(from, to)| (swap(from), swap(to))));
        Ok(Self {
            segments,
            widest: upright.greatest_gap(&columns),
            longest: level.greatest_gap(&rows),
        })
    }

    /// The length of all joints.
    pub fn length(&self) -> f64 {
        let lengths = self.segments.iter().map(|(from, to)| from.distance(*to));
        lengths.sum()
    }
}

/// The length around a floor: its outline and its islands.
pub fn perimeter(rings: &[Vec<Point>]) -> f64 {
    edges(rings).map(|(from, to)| from.distance(to)).sum()
}

fn swap(at: Point) -> Point {
    Point::new(at.y, at.x)
}

fn swapped(ring: &[Point]) -> Vec<Point> {
    ring.iter().copied().map(swap).collect()
}

/// How good lines are: fewest panels, then most lines through inside corners, then the most even
/// panels, then the least length. Less is better, and parts add up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Merit {
    panels: u64,
    off_corners: i64,
    unevenness: i64,
    length: i64,
}

impl Merit {
    fn plus(self, other: Self) -> Self {
        Self {
            panels: self.panels + other.panels,
            off_corners: self.off_corners + other.off_corners,
            unevenness: self.unevenness + other.unevenness,
            length: self.length + other.length,
        }
    }
}

/// Lines one way: along `y`, side by side along `x`.
struct Way {
    rings: Vec<Vec<Point>>,
    /// The larger of width and height.
    size: f64,
    least: f64,
    most: f64,
    /// Where inside corners lie along `x`, rising, each once, none at the ends.
    corners: Vec<f64>,
}

impl Way {
    fn new(rings: &[Vec<Point>]) -> Result<Self, JointPlanError> {
        let points = || rings.iter().flatten();
        let (least, most) = ends(points().map(|at| at.x));
        let (low, high) = ends(points().map(|at| at.y));
        let size = (most - least).max(high - low);
        if !(most > least && high > low && size.is_finite()) {
            return Err(JointPlanError::Outline);
        }
        let rings = joined(rings, SAME * size);
        let (least, most) = ends(rings.iter().flatten().map(|at| at.x));
        let mut corners: Vec<f64> = inside_corners(&rings).map(|at| at.x).collect();
        corners.retain(|x| *x > least && *x < most);
        corners.sort_by(f64::total_cmp);
        corners.dedup();
        Ok(Self {
            rings,
            size,
            least,
            most,
            corners,
        })
    }

    /// Where lines run, rising.
    fn lines(&self, spacing: f64) -> Result<Vec<f64>, JointPlanError> {
        let count = |from: f64, to: f64| whole_up((to - from) / spacing);
        let panels = count(self.least, self.most);
        if !(spacing > 0.0 && spacing.is_finite() && panels <= MOST_LINES) {
            return Err(JointPlanError::Spacing);
        }
        // The shortest way over the corners, from end to end.
        let stops: Vec<f64> = std::iter::once(self.least)
            .chain(self.corners.iter().copied())
            .chain([self.most])
            .collect();
        let mut best = vec![Some((Merit::default(), Vec::new()))];
        for (index, to) in stops.iter().enumerate().skip(1) {
            let mut found: Option<(Merit, Vec<f64>)> = None;
            for (from, way) in stops.iter().zip(&best) {
                let Some((merit, lines)) = way else { continue };
                let enough = merit.panels as f64 + count(*from, *to) + count(*to, self.most);
                if enough > panels.max(1.0) {
                    continue;
                }
                let mut next = self.even(*from, *to, spacing);
                let is_corner = index + 1 < stops.len();
                if is_corner {
                    next.push(*to);
                }
                let merit = merit.plus(self.merit((*from, *to), &next, is_corner));
                if found.as_ref().is_none_or(|(known, _)| merit < *known) {
                    found = Some((merit, [lines.as_slice(), &next].concat()));
                }
            }
            // Where no way leads with as few lines, none goes on.
            best.push(found);
        }
        let lines = best.pop().flatten().map(|(_, lines)| lines);
        Ok(lines.unwrap_or_default())
    }

    /// Lines that divide what lies between two places evenly.
    fn even(&self, from: f64, to: f64, spacing: f64) -> Vec<f64> {
        let panels = whole_up((to - from) / spacing) as u64;
        (1..panels)
            .map(|line| from + (to - from) * line as f64 / panels as f64)
            .map(|at| self.beside_walls(at))
            .collect()
    }

    /// A place, or that of a wall which all but lies there.
    fn beside_walls(&self, at: f64) -> f64 {
        let mut places = self.rings.iter().flatten().map(|corner| corner.x);
        let near = |x: &f64| (x - at).abs() <= SAME * self.size;
        places.find(near).unwrap_or(at)
    }

    fn merit(&self, (from, to): (f64, f64), lines: &[f64], is_corner: bool) -> Merit {
        let panels = lines.len() as u64 + u64::from(!is_corner);
        let side = (to - from) / panels as f64 / self.size;
        let length = lines.iter().flat_map(|at| self.clip(*at));
        let length: f64 = length.map(|(from, to)| to.y - from.y).sum();
        let whole = |part: f64| (part / EVEN_STEP).round() as i64;
        Merit {
            panels,
            off_corners: -i64::from(is_corner),
            unevenness: whole(side * side * panels as f64),
            length: whole(length / self.size),
        }
    }

    /// A line's stretches with floor on both sides; along a wall there is none.
    fn clip(&self, at: f64) -> Vec<(Point, Point)> {
        let before = self.stretches(at, |x| x < at);
        let behind = self.stretches(at, |x| x <= at);
        let mut clipped = Vec::new();
        for (from, to) in before {
            for (start, end) in &behind {
                let (from, to) = (from.max(*start), to.min(*end));
                if to - from > SAME * self.size {
                    clipped.push((Point::new(at, from), Point::new(at, to)));
                }
            }
        }
        clipped
    }

    /// Where a line just beside a place lies on the floor, by which corners lie before it.
    fn stretches(&self, at: f64, is_before: impl Fn(f64) -> bool) -> Vec<(f64, f64)> {
        let mut crossings: Vec<f64> = edges(&self.rings)
            .filter(|(from, to)| is_before(from.x) != is_before(to.x))
            .map(|(from, to)| from.toward(to, (at - from.x) / (to.x - from.x)).y)
            .collect();
        crossings.sort_by(f64::total_cmp);
        // A line goes in as often as it comes out.
        let pairs = crossings.chunks_exact(2);
        pairs.map(|pair| (pair[0], pair[1])).collect()
    }

    fn greatest_gap(&self, lines: &[f64]) -> f64 {
        let ends = lines.iter().copied().chain([self.most]);
        let starts = std::iter::once(self.least).chain(lines.iter().copied());
        let gaps = starts.zip(ends).map(|(from, to)| to - from);
        gaps.fold(0.0, f64::max)
    }
}

fn ends(places: impl Iterator<Item = f64>) -> (f64, f64) {
    places.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| {
        (least.min(x), most.max(x))
    })
}

/// The rings with coordinates that differ by no more than rounding made the same.
fn joined(rings: &[Vec<Point>], tolerance: f64) -> Vec<Vec<Point>> {
    let one = |part: fn(&Point) -> f64| {
        let mut places: Vec<f64> = rings.iter().flatten().map(part).collect();
        places.sort_by(f64::total_cmp);
        places.dedup_by(|next, kept| *next - *kept <= tolerance);
        move |at: f64| {
            let after = places.partition_point(|kept| *kept <= at);
            places.get(after.saturating_sub(1)).copied().unwrap_or(at)
        }
    };
    let (x, y) = (one(|at| at.x), one(|at| at.y));
    let ring = |ring: &Vec<Point>| ring.iter().map(|at| Point::new(x(at.x), y(at.y))).collect();
    rings.iter().map(ring).collect()
}

/// Corners at which more than half of the surroundings are floor.
fn inside_corners(rings: &[Vec<Point>]) -> impl Iterator<Item = Point> {
    rings.iter().flat_map(move |ring| {
        let walls = straight(ring);
        let before = walls.iter().cycle().skip(walls.len().saturating_sub(1));
        let corners = before.zip(&walls).map(move |((before, _), (at, after))| {
            // A little way into the smaller angle between the two walls.
            let step = 1e-3 * before.distance(*at).min(after.distance(*at));
            let toward = |end: &Point| at.toward(*end, step / at.distance(*end));
            (*at, toward(before).toward(toward(after), 0.5))
        });
        corners
            .filter(|(_, within)| !contains(rings, *within))
            .map(|(at, _)| at)
            .collect::<Vec<_>>()
    })
}

#[cfg(test)]
mod tests;
