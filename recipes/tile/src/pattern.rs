//! Where the tiles of a pattern lie. Patterns run along `x` from one tile, the *first*, whose lower
//! left corner is given; any direction is made by turning the room instead.

use crate::shape::{NEAR, Point, Rect};

/// How a tile may be turned before an offcut of it is used elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Any quarter turn: the tile looks the same from all sides.
    Any,
    /// Half turns only: the tile, such as a plank, has a grain along its length.
    Lengthwise,
    /// Not at all: the tile has a direction, such as a picture or an arrow on its back.
    Directed,
}

impl Grain {
    /// The quarter turns that are allowed.
    pub fn turns(self) -> &'static [u8] {
        match self {
            Self::Any => &[0, 2, 1, 3],
            Self::Lengthwise => &[0, 2],
            Self::Directed => &[0],
        }
    }
}

/// A tile and its joint, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TileSize {
    /// Along the row.
    pub length: f64,
    /// Across the row.
    pub width: f64,
    /// Width of the joint between two tiles.
    pub joint: f64,
    /// How it may be turned.
    pub grain: Grain,
}

impl TileSize {
    /// From one tile to the next along the row.
    pub fn pitch(&self) -> f64 {
        self.length + self.joint
    }

    /// From one row to the next.
    pub fn row(&self) -> f64 {
        self.width + self.joint
    }

    /// Area of one tile.
    pub fn area(&self) -> f64 {
        self.length * self.width
    }
}

/// How the tiles lie to each other. A diagonal layout is a grid that is turned.
#[derive(Clone, Debug, PartialEq)]
pub enum Pattern {
    /// Straight joints both ways.
    Grid,
    /// Each row is shifted along by this part of a tile more than the row before: a half is the
    /// running bond, a third the third offset.
    Offset(f64),
    /// Rows are shifted along by these parts of a tile in turn, as planks are.
    Cycle(Vec<f64>),
    /// Herringbone: tiles along and upright in turn, each end against the next one's side.
    Herringbone,
}

impl Pattern {
    /// How far a row is shifted, as a part of a tile from 0 to below 1.
    pub fn shift(&self, row: i64) -> f64 {
        let part = match self {
            Self::Grid | Self::Herringbone => 0.0,
            Self::Offset(part) => part * row as f64,
            Self::Cycle(parts) if parts.is_empty() => 0.0,
            Self::Cycle(parts) => parts[row.rem_euclid(parts.len() as i64) as usize],
        };
        part - part.floor()
    }

    /// The shifts, when all are numbers.
    pub(crate) fn is_finite(&self) -> bool {
        match self {
            Self::Grid | Self::Herringbone => true,
            Self::Offset(part) => part.abs() <= 1e3,
            Self::Cycle(parts) => parts.iter().all(|part| part.abs() <= 1e3),
        }
    }
}

/// The place of a tile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Where it lies.
    pub rect: Rect,
    /// Whether its length stands upright.
    pub upright: bool,
}

/// How many tiles can lie over bounds, at most and roughly; for a guard before they are listed.
pub(crate) fn roughly(tile: &TileSize, bounds: &Rect) -> f64 {
    let longest = tile.pitch().max(tile.row());
    let around = (bounds.width() + 2.0 * longest) * (bounds.height() + 2.0 * longest);
    around / (tile.pitch() * tile.row())
}

/// The tiles that lie over bounds, row by row from below.
pub fn places(pattern: &Pattern, tile: &TileSize, first: Point, bounds: &Rect) -> Vec<Place> {
    match pattern {
        Pattern::Herringbone => herringbone(tile, first, bounds),
        _ => rows(pattern, tile, first, bounds),
    }
}

/// The numbers of those that begin at `first + number × pitch`, are so long, and reach into a span.
fn reach(first: f64, pitch: f64, long: f64, from: f64, to: f64) -> std::ops::RangeInclusive<i64> {
    let least = ((from + NEAR - first - long) / pitch).ceil();
    let most = ((to - NEAR - first) / pitch).floor();
    least as i64..=most as i64
}

fn rows(pattern: &Pattern, tile: &TileSize, first: Point, bounds: &Rect) -> Vec<Place> {
    let (pitch, row_pitch) = (tile.pitch(), tile.row());
    let mut found = Vec::new();
    for row in reach(first.y, row_pitch, tile.width, bounds.bottom, bounds.top) {
        let bottom = first.y + row as f64 * row_pitch;
        let start = first.x + pattern.shift(row) * pitch;
        for column in reach(start, pitch, tile.length, bounds.left, bounds.right) {
            let left = start + column as f64 * pitch;
            found.push(Place {
                rect: Rect::new(left, bottom, tile.length, tile.width),
                upright: false,
            });
        }
    }
    found
}

/// Stairs of lying tiles, each a row higher and a row further than the last, with an upright tile
/// standing on the first row of each. The next stair begins a pitch further and a pitch lower.
/// Tiles need not be a whole number of times longer than wide.
fn herringbone(tile: &TileSize, first: Point, bounds: &Rect) -> Vec<Place> {
    let (pitch, row) = (tile.pitch(), tile.row());
    let lying = Rect::new(0.0, 0.0, tile.length, tile.width);
    let upright = Rect::new(0.0, row, tile.width, tile.length);
    let (left, bottom) = (
        bounds.left - first.x - pitch,
        bounds.bottom - first.y - pitch - row,
    );
    let (right, top) = (bounds.right - first.x, bounds.top - first.y);
    let mut found = Vec::new();
    // Step i and stair k put the pair at x = i row + k pitch, y = i row - k pitch.
    let (least, most) = ((left + bottom) / (2.0 * row), (right + top) / (2.0 * row));
    for step in least.floor() as i64..=most.ceil() as i64 {
        let base = step as f64 * row;
        let least = ((left - base) / pitch).max((base - top) / pitch).floor();
        let most = ((right - base) / pitch).min((base - bottom) / pitch).ceil();
        for stair in least as i64..=most as i64 {
            let (x, y) = (base + stair as f64 * pitch, base - stair as f64 * pitch);
            for (tile, is_upright) in [(lying, false), (upright, true)] {
                let rect = Rect::new(
                    first.x + tile.left + x,
                    first.y + tile.bottom + y,
                    tile.width(),
                    tile.height(),
                );
                if rect.overlaps(bounds) {
                    found.push(Place {
                        rect,
                        upright: is_upright,
                    });
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Rect = Rect {
        left: -31.0,
        bottom: 17.0,
        right: 88.5,
        top: 120.0,
    };

    fn size(length: f64, width: f64, joint: f64) -> TileSize {
        TileSize {
            length,
            width,
            joint,
            grain: Grain::Any,
        }
    }

    #[test]
    fn tiles_with_their_joints_cover_the_plane_once() {
        let patterns = [
            Pattern::Grid,
            Pattern::Offset(0.5),
            Pattern::Offset(-1.0 / 3.0),
            Pattern::Cycle(vec![0.0, 0.4, 0.15]),
            Pattern::Herringbone,
        ];
        // Also where a length is no multiple of the width, or less.
        for (length, width) in [(24.0, 12.0), (24.0, 7.0), (12.0, 12.0), (5.0, 9.0)] {
            for pattern in &patterns {
                let tile = size(length, width, 0.25);
                let all = places(pattern, &tile, Point::new(3.25, -400.5), &BOUNDS);
                let mut covered = 0.0;
                for (index, one) in all.iter().enumerate() {
                    let cell = Rect::new(
                        one.rect.left - 0.125,
                        one.rect.bottom - 0.125,
                        one.rect.width() + 0.25,
                        one.rect.height() + 0.25,
                    );
                    let wide = cell.right.min(BOUNDS.right) - cell.left.max(BOUNDS.left);
                    let high = cell.top.min(BOUNDS.top) - cell.bottom.max(BOUNDS.bottom);
                    covered += wide * high;
                    let clash = all[..index].iter().find(|other| {
                        let other = Rect::new(
                            other.rect.left - 0.25,
                            other.rect.bottom - 0.25,
                            other.rect.width() + 0.5,
                            other.rect.height() + 0.5,
                        );
                        one.rect.overlaps(&other)
                    });
                    assert_eq!(clash, None, "{pattern:?} {length} {width} {one:?}");
                }
                // Tiles whose joint alone reaches in are not listed: a hair along the edges.
                let missing = BOUNDS.area() - covered;
                let around = 2.0 * (BOUNDS.width() + BOUNDS.height());
                assert!(
                    (-1e-6..=around * 0.125).contains(&missing),
                    "{pattern:?} {missing}"
                );
            }
        }
    }

    #[test]
    fn rows_are_shifted_in_turn() {
        let third = Pattern::Offset(1.0 / 3.0);
        let shifts: Vec<f64> = (-1..4).map(|row| third.shift(row)).collect();
        for (shift, expected) in shifts
            .iter()
            .zip([2.0 / 3.0, 0.0, 1.0 / 3.0, 2.0 / 3.0, 0.0])
        {
            assert!((shift - expected).abs() < 1e-12, "{shifts:?}");
        }
        let planks = Pattern::Cycle(vec![0.0, 0.35, 1.7]);
        let shifts: Vec<f64> = (-1..3).map(|row| planks.shift(row)).collect();
        assert!((shifts[0] - 0.7).abs() < 1e-12);
        assert_eq!((shifts[1], shifts[2]), (0.0, 0.35));
        assert_eq!(Pattern::Cycle(vec![]).shift(5), 0.0);
    }
}
