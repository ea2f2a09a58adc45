//! Points, rings and rectangles of the plane. Lengths are inches; `y` runs up.

/// Lengths no further apart than this, in inches, are the same: far below what a saw can do, far
/// above what arithmetic rounds.
pub const NEAR: f64 = 1e-8;

/// A place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

impl Point {
    /// A place by its coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// How far another place is.
    pub fn distance(self, other: Self) -> f64 {
        (other.x - self.x).hypot(other.y - self.y)
    }

    /// The place a part of the way to another.
    pub fn toward(self, other: Self, part: f64) -> Self {
        Self::new(
            self.x + (other.x - self.x) * part,
            self.y + (other.y - self.y) * part,
        )
    }

    /// The nearest place to this one on the line between two.
    pub(crate) fn nearest_on(self, from: Self, to: Self) -> Self {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let square = dx * dx + dy * dy;
        if square <= 0.0 {
            return from;
        }
        let part = ((self.x - from.x) * dx + (self.y - from.y) * dy) / square;
        from.toward(to, part.clamp(0.0, 1.0))
    }
}

/// Corners in their order around a shape; the last one joins the first. Rings that run
/// counterclockwise bound a shape, rings that run clockwise are holes in one.
pub type Ring = Vec<Point>;

/// The area inside a ring; negative when it runs clockwise.
pub fn ring_area(ring: &[Point]) -> f64 {
    // Measured from a corner of its own, so that a ring far from the origin loses no digits.
    let Some(first) = ring.first() else {
        return 0.0;
    };
    let twice: f64 = ring
        .windows(2)
        .map(|pair| {
            let (a, b) = (pair[0], pair[1]);
            (a.x - first.x) * (b.y - first.y) - (b.x - first.x) * (a.y - first.y)
        })
        .sum();
    twice / 2.0
}

/// The area of shapes less their holes.
pub fn area(rings: &[Ring]) -> f64 {
    rings.iter().map(|ring| ring_area(ring)).sum()
}

/// The edges of a ring.
pub(crate) fn ring_edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(from, to)| (*from, *to))
}

/// The edges of rings.
pub fn edges(rings: &[Ring]) -> impl Iterator<Item = (Point, Point)> {
    rings.iter().flat_map(|ring| ring_edges(ring))
}

/// Whether a place lies inside rings.
pub fn contains(rings: &[Ring], at: Point) -> bool {
    let crosses = |(from, to): &(Point, Point)| {
        (from.y > at.y) != (to.y > at.y)
            && at.x < (to.x - from.x) * (at.y - from.y) / (to.y - from.y) + from.x
    };
    edges(rings).filter(crosses).count() % 2 == 1
}

/// An upright rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Its left edge.
    pub left: f64,
    /// Its lower edge.
    pub bottom: f64,
    /// Its right edge.
    pub right: f64,
    /// Its upper edge.
    pub top: f64,
}

impl Rect {
    /// A rectangle by its lower left corner and size.
    pub fn new(left: f64, bottom: f64, width: f64, height: f64) -> Self {
        Self {
            left,
            bottom,
            right: left + width,
            top: bottom + height,
        }
    }

    /// The smallest rectangle around places; `None` when there are none.
    pub fn around<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<Self> {
        points.into_iter().fold(None, |found: Option<Self>, at| {
            let so_far = found.unwrap_or(Self::new(at.x, at.y, 0.0, 0.0));
            Some(Self {
                left: so_far.left.min(at.x),
                bottom: so_far.bottom.min(at.y),
                right: so_far.right.max(at.x),
                top: so_far.top.max(at.y),
            })
        })
    }

    /// From left to right.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// From bottom to top.
    pub fn height(&self) -> f64 {
        self.top - self.bottom
    }

    /// Its area.
    pub fn area(&self) -> f64 {
        self.width() * self.height()
    }

    /// Its middle.
    pub fn middle(&self) -> Point {
        Point::new(
            (self.left + self.right) / 2.0,
            (self.bottom + self.top) / 2.0,
        )
    }

    /// Its corners, counterclockwise.
    pub fn ring(&self) -> Ring {
        vec![
            Point::new(self.left, self.bottom),
            Point::new(self.right, self.bottom),
            Point::new(self.right, self.top),
            Point::new(self.left, self.top),
        ]
    }

    /// Whether the line between two places passes through its inside.
    pub(crate) fn is_passed(&self, from: Point, to: Point) -> bool {
        let beside = from.x.max(to.x) <= self.left
            || from.x.min(to.x) >= self.right
            || from.y.max(to.y) <= self.bottom
            || from.y.min(to.y) >= self.top;
        if beside {
            return false;
        }
        // The corner furthest to the left of the line, and the one furthest to the right.
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let (width, height) = (self.width() / 2.0, self.height() / 2.0);
        let middle = self.middle();
        let across = dx * (middle.y - from.y) - dy * (middle.x - from.x);
        across.abs() < dx.abs() * height + dy.abs() * width
    }

    /// Whether it shares more than an edge with another.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right - NEAR
            && other.left < self.right - NEAR
            && self.bottom < other.top - NEAR
            && other.bottom < self.top - NEAR
    }
}

/// A direction, as the turn that brings the direction "right" to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    cos: f64,
    sin: f64,
}

impl Direction {
    /// To the right.
    pub const RIGHT: Self = Self { cos: 1.0, sin: 0.0 };
    /// Up.
    pub const UP: Self = Self { cos: 0.0, sin: 1.0 };
    /// Half way between right and up.
    pub const DIAGONAL: Self = Self {
        cos: std::f64::consts::FRAC_1_SQRT_2,
        sin: std::f64::consts::FRAC_1_SQRT_2,
    };

    /// The direction from one place to another; `None` when they are the same, or not numbers.
    pub fn between(from: Point, to: Point) -> Option<Self> {
        let length = from.distance(to);
        (length.is_finite() && length > 0.0).then(|| Self {
            cos: (to.x - from.x) / length,
            sin: (to.y - from.y) / length,
        })
    }

    /// A number of degrees counterclockwise from the right; quarter turns are exact. `None` when
    /// it is not a number.
    pub fn degrees(degrees: f64) -> Option<Self> {
        if !degrees.is_finite() {
            return None;
        }
        let quarters = (degrees / 90.0).round();
        let (sin, cos) = (degrees - quarters * 90.0).to_radians().sin_cos();
        let rest = Self { cos, sin };
        let turn = [Self::RIGHT, Self::UP, Self::RIGHT.back(), Self::UP.back()];
        Some(turn[quarters.rem_euclid(4.0) as usize % 4].then(rest))
    }

    /// The opposite direction.
    pub fn back(self) -> Self {
        Self {
            cos: -self.cos,
            sin: -self.sin,
        }
    }

    /// This turn, and another after it.
    pub fn then(self, other: Self) -> Self {
        Self {
            cos: self.cos * other.cos - self.sin * other.sin,
            sin: self.sin * other.cos + self.cos * other.sin,
        }
    }

    /// This turn the other way around.
    pub fn undone(self) -> Self {
        Self {
            cos: self.cos,
            sin: -self.sin,
        }
    }

    /// A place, turned around the origin.
    pub fn turn(self, at: Point) -> Point {
        Point::new(
            self.cos * at.x - self.sin * at.y,
            self.sin * at.x + self.cos * at.y,
        )
    }

    /// Where it points, a unit from the origin.
    pub fn unit(self) -> Point {
        Point::new(self.cos, self.sin)
    }
}

/// Rings, turned around the origin.
pub(crate) fn turn_rings(direction: Direction, rings: &[Ring]) -> Vec<Ring> {
    let turn = |ring: &Ring| ring.iter().map(|at| direction.turn(*at)).collect();
    rings.iter().map(turn).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_signed_and_places_are_found() {
        let square = Rect::new(1e6, 2.0, 3.0, 4.0);
        let mut hole = Rect::new(1e6 + 1.0, 3.0, 1.0, 1.0).ring();
        hole.reverse();
        let rings = vec![square.ring(), hole];
        assert_eq!(area(&rings), 11.0);
        assert!(contains(&rings, Point::new(1e6 + 0.5, 2.5)));
        assert!(!contains(&rings, Point::new(1e6 + 1.5, 3.5)));
    }

    #[test]
    fn lines_that_miss_a_rectangle_or_only_touch_it_do_not_pass_it() {
        let rect = Rect::new(10.0, 10.0, 20.0, 10.0);
        for (from, to, passes) in [
            ((0.0, 15.0), (40.0, 15.0), true),
            ((15.0, 12.0), (16.0, 13.0), true),
            ((0.0, 0.0), (11.0, 11.0), true),
            ((0.0, 0.0), (9.0, 15.0), false),
            ((0.0, 10.0), (40.0, 10.0), false),
            ((0.0, 20.0), (20.0, 0.0), false),
            ((0.0, 20.5), (20.5, 0.0), true),
            ((0.0, 19.0), (19.0, 0.0), false),
        ] {
            let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
            assert_eq!(rect.is_passed(from, to), passes, "{from:?} {to:?}");
            assert_eq!(rect.is_passed(to, from), passes, "{to:?} {from:?}");
        }
    }

    #[test]
    fn quarter_turns_are_exact() {
        let at = Point::new(3.0, 7.0);
        for (degrees, x, y) in [
            (0.0, 3.0, 7.0),
            (90.0, -7.0, 3.0),
            (180.0, -3.0, -7.0),
            (-90.0, 7.0, -3.0),
            (720.0, 3.0, 7.0),
        ] {
            let turn = Direction::degrees(degrees).unwrap();
            assert_eq!(turn.turn(at), Point::new(x, y), "{degrees}");
            assert_eq!(turn.undone().turn(Point::new(x, y)), at, "{degrees}");
        }
        let eighth = Direction::degrees(45.0).unwrap().unit();
        assert!(eighth.distance(Direction::DIAGONAL.unit()) < 1e-15);
        assert_eq!(Direction::degrees(f64::NAN), None);
    }
}
