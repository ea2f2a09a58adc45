//! Where things go on a map: the plan on the page, and room for labels.

use crate::outline::edges;
use crate::surface::Point;

/// An upright rectangle on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    /// Left edge.
    pub(crate) left: f64,
    /// Top edge.
    pub(crate) top: f64,
    /// Right edge.
    pub(crate) right: f64,
    /// Bottom edge.
    pub(crate) bottom: f64,
}

impl Frame {
    /// The rectangle of a width and height around a point.
    pub(crate) fn around(at: Point, width: f64, height: f64) -> Self {
        Self {
            left: at.x - width / 2.0,
            top: at.y - height / 2.0,
            right: at.x + width / 2.0,
            bottom: at.y + height / 2.0,
        }
    }

    /// The smallest rectangle around points; `None` when there are none.
    pub(crate) fn of(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points
            .into_iter()
            .map(|at| Self::around(at, 0.0, 0.0))
            .reduce(|a, b| Self {
                left: a.left.min(b.left),
                top: a.top.min(b.top),
                right: a.right.max(b.right),
                bottom: a.bottom.max(b.bottom),
            })
    }

    /// Its width.
    pub(crate) fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its height.
    pub(crate) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> Point {
        Point::new(
            (self.left + self.right) / 2.0,
            (self.top + self.bottom) / 2.0,
        )
    }

    /// Its corners in order around.
    pub(crate) fn corners(&self) -> [Point; 4] {
        [
            Point::new(self.left, self.top),
            Point::new(self.right, self.top),
            Point::new(self.right, self.bottom),
            Point::new(self.left, self.bottom),
        ]
    }

    /// Whether the two share more than an edge.
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether it lies within another.
    pub(crate) fn within(&self, other: &Self) -> bool {
        self.left >= other.left
            && self.right <= other.right
            && self.top >= other.top
            && self.bottom <= other.bottom
    }

    /// How far a point is from it; nothing inside.
    pub(crate) fn distance(&self, at: Point) -> f64 {
        let across = (self.left - at.x).max(at.x - self.right).max(0.0);
        let along = (self.top - at.y).max(at.y - self.bottom).max(0.0);
        across.hypot(along)
    }

    /// Whether one of the edges of rings passes through.
    pub(crate) fn is_crossed(&self, rings: &[Vec<Point>]) -> bool {
        edges(rings).any(|(from, to)| {
            // Clips the edge to the rectangle, side by side (Liang and Barsky).
            let (mut start, mut end) = (0.0f64, 1.0f64);
            for (run, near, far) in [
                (to.x - from.x, self.left - from.x, self.right - from.x),
                (to.y - from.y, self.top - from.y, self.bottom - from.y),
            ] {
                if run == 0.0 {
                    if near > 0.0 || far < 0.0 {
                        return false;
                    }
                } else {
                    let (one, two) = (near / run, far / run);
                    start = start.max(one.min(two));
                    end = end.min(one.max(two));
                }
            }
            start <= end
        })
    }
}

/// How a plan is laid on the page. On the plan `y` runs up, on the page down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fit {
    /// Pixels to a unit of the plan.
    pub(crate) scale: f64,
    plan: Point,
    page: Point,
}

impl Fit {
    /// Fits bounds of a plan into the middle of a frame on the page.
    pub(crate) fn new(bounds: &Frame, frame: &Frame) -> Self {
        Self {
            scale: (frame.width() / bounds.width()).min(frame.height() / bounds.height()),
            plan: bounds.middle(),
            page: frame.middle(),
        }
    }

    /// Where a point of the plan stands on the page.
    pub(crate) fn point(&self, at: Point) -> Point {
        Point::new(
            self.page.x + (at.x - self.plan.x) * self.scale,
            self.page.y - (at.y - self.plan.y) * self.scale,
        )
    }

    /// Lines or rings of the plan on the page.
    pub(crate) fn lines(&self, lines: &[Vec<Point>]) -> Vec<Vec<Point>> {
        let line = |line: &Vec<Point>| line.iter().map(|at| self.point(*at)).collect();
        lines.iter().map(line).collect()
    }
}

/// Keeps labels off each other.
#[derive(Clone, Debug)]
pub(crate) struct Labels {
    page: Frame,
    taken: Vec<Frame>,
}

impl Labels {
    /// Nothing is taken of the page.
    pub(crate) fn new(page: Frame) -> Self {
        Self {
            page,
            taken: Vec::new(),
        }
    }

    /// Takes a place, free or not.
    pub(crate) fn take(&mut self, frame: Frame) {
        self.taken.push(frame);
    }

    /// Whether a place on the page is free.
    pub(crate) fn is_free(&self, frame: &Frame) -> bool {
        frame.within(&self.page) && !self.taken.iter().any(|taken| taken.overlaps(frame))
    }

    /// Takes a place if it is free; says whether it was.
    pub(crate) fn claim(&mut self, frame: Frame) -> bool {
        let free = self.is_free(&frame);
        if free {
            self.take(frame);
        }
        free
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_fills_its_frame_one_way_and_stands_upright() {
        let bounds = Frame::of([Point::new(10.0, 0.0), Point::new(130.0, 60.0)]).unwrap();
        let frame = Frame::around(Point::new(500.0, 400.0), 240.0, 300.0);
        let fit = Fit::new(&bounds, &frame);
        assert_eq!(fit.scale, 2.0);
        assert_eq!(fit.point(Point::new(10.0, 0.0)), Point::new(380.0, 460.0));
        assert_eq!(fit.point(Point::new(130.0, 60.0)), Point::new(620.0, 340.0));
    }

    #[test]
    fn a_place_is_given_once_and_only_on_the_page() {
        let mut labels = Labels::new(Frame::around(Point::new(50.0, 50.0), 100.0, 100.0));
        let place = |x: f64| Frame::around(Point::new(x, 50.0), 20.0, 20.0);
        assert!(labels.claim(place(50.0)));
        assert!(!labels.claim(place(60.0)));
        assert!(labels.claim(place(70.0)), "touching is not overlapping");
        assert!(!labels.claim(place(95.0)), "off the page");
    }

    #[test]
    fn distance_is_to_the_nearest_side_or_corner() {
        let frame = Frame::around(Point::new(0.0, 0.0), 2.0, 2.0);
        let from = |x: f64, y: f64| frame.distance(Point::new(x, y));
        assert_eq!(
            (from(0.5, 0.5), from(3.0, 0.0), from(4.0, -5.0)),
            (0.0, 2.0, 5.0)
        );
    }

    #[test]
    fn an_edge_through_a_frame_crosses_it() {
        let frame = Frame::around(Point::new(0.0, 0.0), 2.0, 2.0);
        let line = |a: (f64, f64), b: (f64, f64)| {
            frame.is_crossed(&[vec![Point::new(a.0, a.1), Point::new(b.0, b.1)]])
        };
        assert!(line((-5.0, 0.0), (5.0, 0.5)));
        assert!(line((0.0, -5.0), (0.0, 5.0)));
        assert!(line((-0.5, 0.0), (0.5, 0.0)), "wholly inside");
        assert!(!line((-5.0, 2.0), (5.0, 1.5)));
        assert!(!line((0.0, 4.0), (4.0, 0.0)), "past the corner");
    }
}
