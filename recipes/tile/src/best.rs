//! The start that leaves the narrowest cut along the walls as wide as can be.
//!
//! Tried are the start as given, the four centred ones (a joint or a tile on either middle line),
//! and a free shift both ways from the best of these. The free shift looks at every place where a wall cuts a tile to the
//! same width as another wall does, or not at all, and at even steps between; first along the rows,
//! then across, and both once more. In a rectangular room no shift of a grid does better.

use crate::layout::{Laying, Layout, LayoutError};
use crate::pattern::Pattern;
use crate::room::Room;
use crate::shape::{NEAR, Point, edges};
use crate::start::{On, Start};
use crate::width::Narrow;

/// Even steps of the free shift over one tile.
const STEPS: u32 = 16;
/// With more lines of walls than this one way, only even steps are tried.
const MOST_LINES: usize = 12;

/// A start that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// The laying with that start; its direction is that of the rows in the room.
    pub laying: Laying,
    /// The narrowest cut along the walls; `None` without cuts.
    pub narrowest: Option<Narrow>,
    /// Tiles needed without reuse of offcuts.
    pub tiles: usize,
}

impl Tried {
    fn new(room: &Room, laying: Laying) -> Result<Self, LayoutError> {
        let layout = Layout::new(room, &laying)?;
        Ok(Self {
            laying,
            narrowest: layout.narrowest(),
            tiles: layout.counts().without_reuse(),
        })
    }

    /// The width of the narrowest cut; without any, wider than everything.
    fn width(&self) -> f64 {
        self.narrowest.map_or(f64::INFINITY, |cut| cut.width)
    }

    /// Whether its narrowest cut is wider than another's, or as wide with fewer tiles.
    fn is_better(&self, other: &Self) -> bool {
        is_better((self.width(), self.tiles), (other.width(), other.tiles))
    }
}

/// Whether a width is larger than another, or as large with fewer tiles.
fn is_better((mine, tiles): (f64, usize), (others, most): (f64, usize)) -> bool {
    let is_same = mine == others || (mine - others).abs() <= NEAR;
    (!is_same && mine > others) || (is_same && tiles < most)
}

/// The starts that were tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Starts {
    /// The given start, the four centred ones, and the best free shift.
    pub tried: Vec<Tried>,
    /// Which of them is best; the earlier one where two are as good.
    pub best: usize,
}

/// Tries starts of a laying in a room.
///
/// # Errors
/// When the room cannot be laid out.
pub fn best_start(room: &Room, laying: &Laying) -> Result<Starts, LayoutError> {
    let given = Layout::new(room, laying)?;
    let with = |start: Start| Laying {
        start,
        direction: given.direction,
        ..laying.clone()
    };
    let mut tried = vec![Tried::new(room, laying.clone())?];
    for across in [On::Joint, On::Tile] {
        for along in [On::Joint, On::Tile] {
            tried.push(Tried::new(room, with(Start::Centred { along, across }))?);
        }
    }
    let mut best = best_of(&tried);
    // The free shift goes on from the best so far: most places are then seen to be worse at once.
    let from = Layout::new(room, &tried[best].laying)?;
    let corner = Start::Corner(from.in_room(shifted(&from)));
    tried.push(Tried::new(room, with(corner))?);
    best = best_of(&tried);
    Ok(Starts { tried, best })
}

/// Which is best; the earlier one where two are as good.
fn best_of(tried: &[Tried]) -> usize {
    let mut best = 0;
    for (index, one) in tried.iter().enumerate() {
        if one.is_better(&tried[best]) {
            best = index;
        }
    }
    best
}

/// Where the first tile lies after the best free shift from a layout.
fn shifted(given: &Layout) -> Point {
    let tile = &given.laying.tile;
    let mut first = given.first;
    let Some(mut best) = given.from(first, 0.0) else {
        return first;
    };
    let walls: Vec<(Point, Point)> = edges(&given.inner.rings()[..1]).collect();
    let lines = |from: &dyn Fn(Point) -> f64| {
        let level = walls
            .iter()
            .filter(|(a, b)| (from(*a) - from(*b)).abs() <= NEAR);
        let level = distinct(level.map(|(a, _)| from(*a)).collect());
        // In a room aslant to the rows no wall is level: shifts count from its first corner.
        let corners = walls.iter().map(|(a, _)| from(*a));
        let first = corners.fold(f64::INFINITY, f64::min);
        (level, first)
    };
    // Rows that are shifted against each other are cut alike at shares of that shift.
    let shares = match &given.laying.pattern {
        Pattern::Grid | Pattern::Herringbone => 1,
        Pattern::Offset(_) => 6,
        Pattern::Cycle(parts) => 2 * parts.len().clamp(1, 8) as u32,
    };
    let along = firsts(&lines(&|at| at.x), tile.length, tile.joint, shares);
    let across = firsts(&lines(&|at| at.y), tile.width, tile.joint, 1);
    let level_walls: Vec<LevelWall> = walls
        .iter()
        .filter_map(|(from, to)| LevelWall::new(*from, *to, given))
        .collect();
    for _ in 0..2 {
        for is_along in [true, false] {
            let mut kept = first;
            for to in if is_along { &along } else { &across } {
                let place = if is_along {
                    Point::new(*to, first.y)
                } else {
                    Point::new(first.x, *to)
                };
                let least = best.0 - NEAR;
                if level_walls
                    .iter()
                    .any(|wall| wall.most(place, given) < least)
                {
                    continue;
                }
                let one = given.from(place, least).filter(|one| is_better(*one, best));
                if let Some(one) = one {
                    (best, kept) = (one, place);
                }
            }
            first = kept;
        }
    }
    first
}

/// A wall along or square to the rows, long enough that it passes a tile and not a joint alone.
struct LevelWall {
    /// Whether it is square to the rows, and so cuts tiles along their row.
    is_upright: bool,
    /// Where it is, along or across the rows.
    at: f64,
    /// Whether the room is on the side of larger numbers.
    is_low: bool,
}

impl LevelWall {
    fn new(from: Point, to: Point, layout: &Layout) -> Option<Self> {
        // The room is on the left of its outline.
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let long = layout.laying.tile.joint + 4.0 * NEAR;
        let rows = !matches!(layout.laying.pattern, Pattern::Herringbone);
        // Rows that are shifted against each other are cut differently by one upright wall.
        let columns = matches!(layout.laying.pattern, Pattern::Grid);
        if columns && dx.abs() <= NEAR && dy.abs() > long {
            let (at, is_low) = (from.x, dy < 0.0);
            return Some(Self {
                is_upright: true,
                at,
                is_low,
            });
        }
        (rows && dy.abs() <= NEAR && dx.abs() > long).then_some(Self {
            is_upright: false,
            at: from.y,
            is_low: dx > 0.0,
        })
    }

    /// How wide the cuts along it can be at most when the first tile lies at a place; infinite
    /// where it need not cut any.
    fn most(&self, first: Point, layout: &Layout) -> f64 {
        let tile = &layout.laying.tile;
        let (first, size, pitch) = if self.is_upright {
            (first.x, tile.length, tile.pitch())
        } else {
            (first.y, tile.width, tile.row())
        };
        let into = (self.at - first).rem_euclid(pitch);
        let is_cut = into > 4.0 * NEAR && into < size - 4.0 * NEAR;
        match (is_cut, self.is_low) {
            (false, _) => f64::INFINITY,
            (true, true) => size - into,
            (true, false) => into,
        }
    }
}

/// Places for the edge of the first tile one way, within one tile from the first wall, or from the
/// first corner where no wall is level.
fn firsts((walls, first): &(Vec<f64>, f64), size: f64, joint: f64, shares: u32) -> Vec<f64> {
    let pitch = size + joint;
    let base = walls.first().copied().unwrap_or(*first);
    let mut places: Vec<f64> = (0..STEPS)
        .map(|step| base + pitch * f64::from(step) / f64::from(STEPS))
        .collect();
    if walls.len() <= MOST_LINES {
        for (index, one) in walls.iter().enumerate() {
            places.extend([*one, one - size]);
            for other in &walls[index..] {
                let middle = (one + other) / 2.0;
                for share in 0..shares {
                    let shift = pitch * f64::from(share) / f64::from(shares);
                    places.push(middle + joint / 2.0 + shift);
                    places.push(middle - size / 2.0 + shift);
                }
            }
        }
    }
    let within = |place: f64| base + (place - base).rem_euclid(pitch);
    distinct(places.into_iter().map(within).collect())
}

/// Numbers in order, each once.
fn distinct(mut numbers: Vec<f64>) -> Vec<f64> {
    numbers.sort_by(f64::total_cmp);
    numbers.dedup_by(|a, b| (*a - *b).abs() <= NEAR);
    numbers
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Direction;
    use crate::testing::{Chance, grid};

    fn width(room: &Room, laying: &Laying) -> f64 {
        Tried::new(room, laying.clone()).unwrap().width()
    }

    #[test]
    fn a_row_of_slivers_becomes_two_rows_of_halves() {
        // 121 by 120 on tiles of 12: from the corner an inch is left at the right.
        let room = Room::rectangle(121.0, 120.0).unwrap();
        let starts = best_start(&room, &grid(12.0, 12.0, 0.0)).unwrap();
        let widths: Vec<f64> = starts.tried.iter().map(Tried::width).collect();
        // As given; joint or tile on either middle line, along the rows first; free.
        for (width, expected) in widths.iter().zip([1.0, 0.5, 6.5, 0.5, 6.0, 6.5]) {
            assert!((width - expected).abs() < 1e-9, "{widths:?}");
        }
        assert_eq!((starts.best, starts.tried[2].tiles), (2, 110));
    }

    #[test]
    fn a_room_of_whole_tiles_is_best_without_cuts() {
        let room = Room::rectangle(36.0, 48.0).unwrap();
        let mut laying = grid(12.0, 12.0, 0.0);
        laying.start = Start::Corner(Point::new(5.0, 5.0));
        let starts = best_start(&room, &laying).unwrap();
        let best = &starts.tried[starts.best];
        assert_eq!((best.narrowest, best.tiles), (None, 12));
    }

    #[test]
    fn no_shift_of_a_grid_in_a_rectangle_does_better() {
        let mut chance = Chance(41);
        for _ in 0..12 {
            let sides = (
                chance.length(30.0, 60.0, 0.25),
                chance.length(30.0, 60.0, 0.25),
            );
            let room = Room::rectangle(sides.0, sides.1).unwrap();
            let mut laying = grid(12.0, chance.pick(&[12.0, 6.0]), 0.25);
            laying.gap = 0.25;
            let starts = best_start(&room, &laying).unwrap();
            let found = starts.tried[starts.best].width();
            for one in &starts.tried {
                assert!(found >= one.width() - NEAR);
            }
            let mut widest = 0.0f64;
            for shift in 0..49 * 49 {
                let at = Point::new(f64::from(shift % 49) / 4.0, f64::from(shift / 49) / 4.0);
                let start = Start::Corner(at);
                widest = widest.max(width(
                    &room,
                    &Laying {
                        start,
                        ..laying.clone()
                    },
                ));
            }
            assert!(found >= widest - 1e-9, "{found} {widest} {sides:?}");
        }
    }

    #[test]
    fn the_direction_of_a_wall_is_kept() {
        let room = Room::rectangle(100.0, 61.0).unwrap();
        let mut laying = grid(24.0, 12.0, 0.25);
        laying.start = Start::Wall {
            near: Point::new(100.0, 30.0),
            on: On::Joint,
        };
        let starts = best_start(&room, &laying).unwrap();
        for tried in &starts.tried {
            let layout = Layout::new(&room, &tried.laying).unwrap();
            assert_eq!(layout.direction, Direction::UP);
        }
    }
}
