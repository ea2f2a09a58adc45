//! The part of shapes that lies inside an upright rectangle: four straight cuts.
//!
//! A corner on the line of a cut counts as outside. That is as if the line lay a hair further
//! in, where no corner lies: every ring then passes it cleanly, in at one place and out at another,
//! and what is left of a shape is closed along the line between them. So shapes that fall apart
//! come out as separate rings, and shapes that only touch the line do not come out at all.

use crate::shape::{NEAR, Point, Rect, Ring, ring_area, ring_edges};

/// A straight cut, and the side that is kept.
#[derive(Clone, Copy)]
enum Keep {
    RightOf(f64),
    LeftOf(f64),
    Above(f64),
    Below(f64),
}

impl Keep {
    /// How far inside a place is.
    fn depth(self, at: Point) -> f64 {
        match self {
            Self::RightOf(x) => at.x - x,
            Self::LeftOf(x) => x - at.x,
            Self::Above(y) => at.y - y,
            Self::Below(y) => y - at.y,
        }
    }

    fn is_inside(self, at: Point) -> bool {
        self.depth(at) > NEAR
    }

    /// How far along the line, with the kept side on the left.
    fn along(self, at: Point) -> f64 {
        match self {
            Self::RightOf(_) => -at.y,
            Self::LeftOf(_) => at.y,
            Self::Above(_) => at.x,
            Self::Below(_) => -at.x,
        }
    }

    /// Where an edge passes the line.
    fn crossing(self, inside: Point, outside: Point) -> Point {
        let (deep, beyond) = (self.depth(inside), self.depth(outside));
        let at = if beyond.abs() <= NEAR {
            outside
        } else {
            inside.toward(outside, deep / (deep - beyond))
        };
        // Exactly on the line, so that cut edges are known by their coordinates.
        match self {
            Self::RightOf(x) | Self::LeftOf(x) => Point::new(x, at.y),
            Self::Above(y) | Self::Below(y) => Point::new(at.x, y),
        }
    }
}

/// What of the rings lies inside a rectangle. Slips of no width are left out.
pub(crate) fn clip(rings: &[Ring], window: &Rect) -> Vec<Ring> {
    let cuts = [
        Keep::RightOf(window.left),
        Keep::LeftOf(window.right),
        Keep::Above(window.bottom),
        Keep::Below(window.top),
    ];
    let near = |ring: &&Ring| {
        // A ring wholly beyond one of the lines has nothing inside.
        cuts.iter()
            .all(|keep| ring.iter().any(|at| keep.is_inside(*at)))
    };
    let mut left: Vec<Ring> = rings.iter().filter(near).cloned().collect();
    for keep in cuts {
        left = cut(left, keep);
    }
    left
}

/// What of the rings lies on the kept side of a line.
fn cut(rings: Vec<Ring>, keep: Keep) -> Vec<Ring> {
    let mut whole = Vec::new();
    // Parts of rings from where they come in to where they go out.
    let mut strands: Vec<Ring> = Vec::new();
    for ring in rings {
        let Some(outside) = ring.iter().position(|at| !keep.is_inside(*at)) else {
            whole.push(ring);
            continue;
        };
        let mut strand = Ring::new();
        let around = ring_edges(&ring).cycle().skip(outside).take(ring.len());
        for (a, b) in around {
            match (keep.is_inside(a), keep.is_inside(b)) {
                (false, true) => strand.extend([keep.crossing(b, a), b]),
                (true, true) => strand.push(b),
                (true, false) => {
                    strand.push(keep.crossing(a, b));
                    strands.push(std::mem::take(&mut strand));
                }
                (false, false) => {}
            }
        }
    }
    whole.extend(join(&strands, keep).into_iter().filter_map(tidy));
    whole
}

/// Where a strand begins or ends on the line.
struct End {
    along: f64,
    comes_in: bool,
    strand: usize,
}

/// Joins strands along the line. With the kept side on the left, the shape begins on the line where
/// a strand goes out, and ends at the next that comes in.
fn join(strands: &[Ring], keep: Keep) -> Vec<Ring> {
    let mut ends: Vec<End> = Vec::new();
    for (strand, points) in strands.iter().enumerate() {
        for (at, comes_in) in [(points.first(), true), (points.last(), false)] {
            if let Some(at) = at {
                let along = keep.along(*at);
                ends.push(End {
                    along,
                    comes_in,
                    strand,
                });
            }
        }
    }
    ends.sort_by(|a, b| a.along.total_cmp(&b.along));
    let mut next: Vec<Option<usize>> = vec![None; strands.len()];
    let mut open: Option<usize> = None;
    while let Some(first) = ends.first() {
        // Of ends at one place the one whose turn it is.
        let reach = first.along + NEAR;
        let here = ends.iter().take_while(|end| end.along <= reach);
        let due = here
            .map(|end| end.comes_in)
            .position(|comes_in| comes_in == open.is_some());
        let end = ends.remove(due.unwrap_or(0));
        match open.take() {
            Some(from) if end.comes_in => next[from] = Some(end.strand),
            _ => open = (!end.comes_in).then_some(end.strand),
        }
    }
    let mut joined = Vec::new();
    let mut used = vec![false; strands.len()];
    for start in 0..strands.len() {
        let mut ring = Ring::new();
        let mut at = Some(start);
        while let Some(strand) = at.filter(|strand| !used[*strand]) {
            used[strand] = true;
            ring.extend(&strands[strand]);
            at = next[strand];
        }
        joined.push(ring);
    }
    joined
}

/// A ring without repeated corners; `None` for a slip of no width.
fn tidy(mut ring: Ring) -> Option<Ring> {
    ring.dedup_by(|a, b| a.distance(*b) <= NEAR);
    while ring.len() > 1 && ring[0].distance(ring[ring.len() - 1]) <= NEAR {
        ring.pop();
    }
    let around: f64 = ring_edges(&ring).map(|(a, b)| a.distance(b)).sum();
    (ring.len() > 2 && ring_area(&ring).abs() > NEAR * around).then_some(ring)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::area;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    /// A comb with three teeth that point down to 0, joined above 4.
    fn comb() -> Ring {
        ring(&[
            (0.0, 0.0),
            (2.0, 0.0),
            (2.0, 4.0),
            (3.0, 4.0),
            (3.0, 0.0),
            (5.0, 0.0),
            (5.0, 4.0),
            (6.0, 4.0),
            (6.0, 0.0),
            (8.0, 0.0),
            (8.0, 6.0),
            (0.0, 6.0),
        ])
    }

    #[test]
    fn a_shape_that_falls_apart_comes_out_as_separate_rings() {
        let teeth = clip(&[comb()], &Rect::new(-1.0, 1.0, 20.0, 3.0));
        let mut areas: Vec<f64> = teeth.iter().map(|ring| ring_area(ring)).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas, [6.0, 6.0, 6.0]);
        assert!(teeth.iter().all(|ring| ring.len() == 4), "{teeth:?}");
        let joined = clip(&[comb()], &Rect::new(1.0, 3.0, 6.0, 2.0));
        assert_eq!((joined.len(), area(&joined)), (1, 12.0 - 2.0));
        // The gaps between the teeth end on the line.
        let bar = clip(&[comb()], &Rect::new(0.0, 4.0, 8.0, 9.0));
        assert_eq!((bar.len(), area(&bar)), (1, 16.0));
    }

    #[test]
    fn notches_that_touch_the_line_part_the_shape() {
        // Two notches from below touch y = 2 with their tips.
        let notched = ring(&[
            (0.0, 0.0),
            (2.0, 0.0),
            (3.0, 2.0),
            (4.0, 0.0),
            (6.0, 0.0),
            (7.0, 2.0),
            (8.0, 0.0),
            (9.0, 0.0),
            (9.0, 5.0),
            (0.0, 5.0),
        ]);
        let below = clip(
            std::slice::from_ref(&notched),
            &Rect::new(0.0, 0.0, 9.0, 2.0),
        );
        assert_eq!((below.len(), area(&below)), (3, 18.0 - 4.0));
        let above = clip(&[notched], &Rect::new(0.0, 2.0, 9.0, 3.0));
        assert_eq!((above.len(), area(&above)), (1, 27.0));
    }

    #[test]
    fn holes_stay_holes_or_become_part_of_the_edge() {
        let square = Rect::new(0.0, 0.0, 10.0, 10.0).ring();
        let mut hole = Rect::new(4.0, 4.0, 2.0, 2.0).ring();
        hole.reverse();
        let rings = [square, hole];
        for (window, count, expected) in [
            (Rect::new(3.0, 3.0, 4.0, 4.0), 2, 12.0),
            (Rect::new(4.0, 4.0, 2.0, 2.0), 0, 0.0),
            (Rect::new(4.0, 3.0, 2.0, 4.0), 2, 4.0),
            (Rect::new(5.0, 3.0, 4.0, 4.0), 1, 14.0),
            (Rect::new(4.0, 0.0, 2.0, 4.0), 1, 8.0),
            (Rect::new(9.0, 9.0, 4.0, 4.0), 1, 1.0),
            (Rect::new(10.0, 9.0, 4.0, 4.0), 0, 0.0),
            (Rect::new(-1.0, -1.0, 12.0, 12.0), 2, 96.0),
        ] {
            let left = clip(&rings, &window);
            assert_eq!((left.len(), area(&left)), (count, expected), "{window:?}");
        }
    }
}
