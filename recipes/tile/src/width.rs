//! How narrow a cut is along a wall.
//!
//! The *width* of a piece along a stretch of wall is the longest way across the piece, square to
//! the wall: the width of a strip, the height of a triangle that stands on the wall. A piece is as
//! narrow as the narrowest along any of its walls, so the thin leg of an L counts although the
//! whole is large. A wall that only touches the edge of a tile cuts nothing and does not count.

use crate::shape::{NEAR, Point, Rect, Ring, edges};

/// A width, and where it is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrow {
    /// How wide the piece is there, in inches.
    pub width: f64,
    /// The end at the wall.
    pub from: Point,
    /// The end across the piece.
    pub to: Point,
}

/// The narrowest width of the pieces of a tile along walls; edges along obstacles do not count.
pub(crate) fn narrowest(rings: &[Ring], tile: &Rect, obstacles: &[Ring]) -> Option<Narrow> {
    edges(rings)
        .filter(|(from, to)| from.distance(*to) > NEAR)
        .filter(|edge| !is_on_tile(edge, tile) && !is_on(edge, obstacles))
        .filter_map(|edge| widest(rings, edge))
        .min_by(|a, b| a.width.total_cmp(&b.width))
}

/// Whether an edge of a piece is an edge of the tile.
fn is_on_tile((from, to): &(Point, Point), tile: &Rect) -> bool {
    let both =
        |a: f64, b: f64, at: f64| (a - at).abs() <= 2.0 * NEAR && (b - at).abs() <= 2.0 * NEAR;
    both(from.x, to.x, tile.left)
        || both(from.x, to.x, tile.right)
        || both(from.y, to.y, tile.bottom)
        || both(from.y, to.y, tile.top)
}

/// Whether an edge lies along one of the rings.
fn is_on((from, to): &(Point, Point), rings: &[Ring]) -> bool {
    let middle = from.toward(*to, 0.5);
    edges(rings).any(|(a, b)| middle.distance(middle.nearest_on(a, b)) <= 4.0 * NEAR)
}

/// The longest way across a piece, square to one of its edges. It changes evenly between the
/// places where a corner lies square across, so it is longest at one of these.
fn widest(rings: &[Ring], (from, to): (Point, Point)) -> Option<Narrow> {
    let length = from.distance(to);
    let (cos, sin) = ((to.x - from.x) / length, (to.y - from.y) / length);
    // As seen from the edge: along it, and away from it into the piece, which is on its left.
    let seen = |at: Point| {
        let (x, y) = (at.x - from.x, at.y - from.y);
        Point::new(x * cos + y * sin, y * cos - x * sin)
    };
    let lines: Vec<(Point, Point)> = edges(rings).map(|(a, b)| (seen(a), seen(b))).collect();
    let mut stops: Vec<f64> = lines.iter().map(|(a, _)| a.x.clamp(0.0, length)).collect();
    stops.sort_by(f64::total_cmp);
    let across = |along: f64| {
        let ways = lines.iter().filter_map(|(a, b)| {
            let passes = (a.x > along) != (b.x > along);
            passes.then(|| a.y + (b.y - a.y) * (along - a.x) / (b.x - a.x))
        });
        ways.filter(|way| *way > 2.0 * NEAR).min_by(f64::total_cmp)
    };
    let mut found: Option<(f64, f64)> = None;
    for pair in stops.windows(2) {
        let (start, size) = (pair[0], pair[1] - pair[0]);
        if size <= NEAR {
            continue;
        }
        let (Some(near), Some(far)) =
            (across(start + size / 3.0), across(start + size * 2.0 / 3.0))
        else {
            continue;
        };
        for (along, width) in [
            (start, 2.0 * near - far),
            (start + size / 2.0, (near + far) / 2.0),
            (pair[1], 2.0 * far - near),
        ] {
            let is_longer = found.is_none_or(|(_, widest)| width > widest + NEAR);
            // Along a level strip the middle is the place to write the width at.
            let is_middle = found.is_some_and(|(at, widest)| {
                (width - widest).abs() <= NEAR
                    && (along - length / 2.0).abs() < (at - length / 2.0).abs()
            });
            if is_longer || is_middle {
                found = Some((along, width));
            }
        }
    }
    found.map(|(along, width)| {
        let from = from.toward(to, along / length);
        let to = Point::new(from.x - sin * width, from.y + cos * width);
        Narrow { width, from, to }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    fn width(piece: &[(f64, f64)], tile: Rect) -> f64 {
        narrowest(&[ring(piece)], &tile, &[]).unwrap().width
    }

    #[test]
    fn a_strip_is_as_narrow_as_it_is_wide() {
        let tile = Rect::new(0.0, 0.0, 24.0, 12.0);
        let strip = [(0.0, 0.0), (3.0, 0.0), (3.0, 12.0), (0.0, 12.0)];
        assert_eq!(width(&strip, tile), 3.0);
        // Cut to 20 of its length and not at all across: 20, not 12.
        let long = [(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (0.0, 12.0)];
        assert_eq!(width(&long, tile), 20.0);
        let corner = [(0.0, 0.0), (20.0, 0.0), (20.0, 5.0), (0.0, 5.0)];
        assert_eq!(width(&corner, tile), 5.0);
    }

    #[test]
    fn the_thin_leg_of_an_l_counts() {
        // A wall corner takes all but a half inch along the bottom and four at the left.
        let tile = Rect::new(0.0, 0.0, 24.0, 12.0);
        let l = [
            (0.0, 0.0),
            (24.0, 0.0),
            (24.0, 0.5),
            (4.0, 0.5),
            (4.0, 12.0),
            (0.0, 12.0),
        ];
        assert_eq!(width(&l, tile), 0.5);
    }

    #[test]
    fn a_triangle_is_as_narrow_as_it_is_high() {
        // A corner that a wall at 45 degrees leaves of a tile: legs of 4, so 4 / sqrt 2 high.
        let tile = Rect::new(0.0, 0.0, 12.0, 12.0);
        let corner = [(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)];
        assert!((width(&corner, tile) - 8f64.sqrt()).abs() < 1e-12);
        // What is left of the tile otherwise: from the wall to the far corner.
        let rest = [
            (4.0, 0.0),
            (12.0, 0.0),
            (12.0, 12.0),
            (0.0, 12.0),
            (0.0, 4.0),
        ];
        assert!((width(&rest, tile) - (288f64.sqrt() - 8f64.sqrt())).abs() < 1e-12);
    }

    #[test]
    fn the_longest_way_may_be_at_either_end_or_between() {
        for (upper, expected) in [
            (vec![(8.0, 2.0), (0.0, 5.0)], 5.0),
            (vec![(8.0, 5.0), (0.0, 2.0)], 5.0),
            (vec![(8.0, 2.0), (3.0, 6.0), (0.0, 3.0)], 6.0),
        ] {
            let mut piece = vec![(0.0, 0.0), (8.0, 0.0)];
            piece.extend(upper);
            let piece = ring(&piece);
            let found = widest(std::slice::from_ref(&piece), (piece[0], piece[1])).unwrap();
            assert!((found.width - expected).abs() < 1e-9, "{found:?}");
            assert!((found.to.y - expected).abs() < 1e-9, "{found:?}");
        }
        // Where it is equally long everywhere it is measured in the middle.
        let tile = Rect::new(-9.0, -9.0, 40.0, 40.0);
        let whole = widest(
            &[tile.ring()],
            (Point::new(-9.0, -9.0), Point::new(31.0, -9.0)),
        );
        assert_eq!(whole.unwrap().from, Point::new(11.0, -9.0));
    }

    #[test]
    fn edges_along_obstacles_do_not_count() {
        let tile = Rect::new(0.0, 0.0, 12.0, 12.0);
        let piece = ring(&[(0.0, 0.0), (1.0, 0.0), (1.0, 12.0), (0.0, 12.0)]);
        let column = Rect::new(1.0, -3.0, 5.0, 30.0).ring();
        assert_eq!(narrowest(&[piece], &tile, &[column]), None);
    }
}
