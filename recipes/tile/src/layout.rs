//! The layout: every tile that meets the room, whole or cut, and what of it stays.

use std::fmt;

use crate::clip::clip;
use crate::pattern::{Pattern, Place, TileSize, places, roughly};
use crate::room::{Room, RoomError};
use crate::shape::{Direction, NEAR, Point, Rect, Ring, area, contains, edges, ring_area};
use crate::start::{Start, origin};
use crate::width::{Narrow, narrowest};

/// More tiles than any room takes.
const MOST_TILES: f64 = 500_000.0;

/// How a room is to be tiled.
#[derive(Clone, Debug, PartialEq)]
pub struct Laying {
    /// The tile.
    pub tile: TileSize,
    /// How tiles lie to each other.
    pub pattern: Pattern,
    /// The direction of the rows: from `x`, or from the wall or line of the start.
    pub direction: Direction,
    /// Where the first tile goes.
    pub start: Start,
    /// Width of the soft joint along walls and around obstacles, in inches.
    pub gap: f64,
}

/// Why a room cannot be laid out.
#[derive(Clone, Debug, PartialEq)]
pub enum LayoutError {
    /// A size of the tile, or an offset of its rows, is not a length.
    Size,
    /// The joint or the perimeter gap is negative or no length.
    Joint,
    /// A place of the start is not a place in a building.
    Start,
    /// More tiles than any room takes, and roughly how many.
    TooMany(f64),
    /// The perimeter gap does not fit into the room.
    Room(RoomError),
}

impl fmt::Display for LayoutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size => f.write_str("a tile needs a length and a width, and offsets are numbers"),
            Self::Joint => f.write_str("joint and perimeter gap are lengths of zero or more"),
            Self::Start => f.write_str("the start is not a place in the room"),
            Self::TooMany(count) => {
                write!(f, "about {count:.0} tiles are more than any room takes")
            }
            Self::Room(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for LayoutError {}

/// A tile that meets the room.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Where the whole tile would lie.
    pub place: Place,
    /// What of it stays: pieces counterclockwise, holes in them clockwise.
    pub rings: Vec<Ring>,
    /// The area that stays.
    pub area: f64,
    /// What cuts it; `None` when it stays whole.
    pub cut: Option<Cut>,
}

/// What cuts a tile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Whether a wall does.
    pub by_wall: bool,
    /// Whether an obstacle does: a column, island or register.
    pub by_obstacle: bool,
    /// Where its pieces are narrowest along a wall.
    pub narrowest: Option<Narrow>,
}

impl Laid {
    /// The separate pieces that the tile is cut to.
    pub fn pieces(&self) -> usize {
        let is_piece = |ring: &&Ring| ring_area(ring) > 0.0;
        self.rings.iter().filter(is_piece).count()
    }
}

/// How many tiles there are. A tile is counted once, in one of `full`, `wall_cuts` and
/// `obstacle_cuts`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Tiles that stay whole.
    pub full: usize,
    /// Tiles cut by walls alone.
    pub wall_cuts: usize,
    /// Tiles cut by an obstacle, whether or not by a wall as well.
    pub obstacle_cuts: usize,
    /// Pieces that the cut tiles come to: more than these where a tile is cut in two.
    pub pieces: usize,
}

impl Counts {
    /// Tiles that are cut.
    pub fn cut(&self) -> usize {
        self.wall_cuts + self.obstacle_cuts
    }

    /// Tiles needed when nothing that is cut off is used again.
    pub fn without_reuse(&self) -> usize {
        self.full + self.cut()
    }
}

/// A room with its tiles. All places are seen along the rows: the room is turned so that they run
/// along `x`.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// How it was laid.
    pub laying: Laying,
    /// The direction of the rows.
    pub direction: Direction,
    /// The room, turned.
    pub room: Room,
    /// The room less its perimeter gap, turned.
    pub inner: Room,
    /// The lower left corner of the first tile.
    pub first: Point,
    /// Where the start lines cross: one runs along the rows, the other square to them.
    pub lines: Point,
    /// The tiles.
    pub tiles: Vec<Laid>,
}

impl Layout {
    /// Lays out a room.
    ///
    /// # Errors
    /// When sizes are not lengths, the gap does not fit, or there are more tiles than any room takes.
    pub fn new(room: &Room, laying: &Laying) -> Result<Self, LayoutError> {
        check(laying)?;
        let inner = room.inset(laying.gap).map_err(LayoutError::Room)?;
        let start = origin(laying, &inner).ok_or(LayoutError::Start)?;
        if !(start.first.x.abs() <= 1e7 && start.first.y.abs() <= 1e7) {
            return Err(LayoutError::Start);
        }
        let turn = start.direction.undone();
        let inner = inner.turned(turn);
        let corners = inner.rings().iter().flatten();
        let bounds = Rect::around(corners).ok_or(LayoutError::Start)?;
        let count = roughly(&laying.tile, &bounds);
        if count > MOST_TILES {
            return Err(LayoutError::TooMany(count));
        }
        let tiles = places(&laying.pattern, &laying.tile, start.first, &bounds)
            .into_iter()
            .filter_map(|place| laid(&inner, place))
            .collect();
        Ok(Self {
            laying: laying.clone(),
            direction: start.direction,
            room: room.turned(turn),
            inner,
            first: start.first,
            lines: start.lines,
            tiles,
        })
    }

    /// How many tiles there are.
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for tile in &self.tiles {
            match tile.cut {
                None => counts.full += 1,
                Some(cut) if cut.by_obstacle => counts.obstacle_cuts += 1,
                Some(_) => counts.wall_cuts += 1,
            }
            if tile.cut.is_some() {
                counts.pieces += tile.pieces();
            }
        }
        counts
    }

    /// The narrowest cut along the walls, the first where there are several; `None` without cuts.
    pub fn narrowest(&self) -> Option<Narrow> {
        let cuts = self.tiles.iter().filter_map(|tile| tile.cut?.narrowest);
        cuts.min_by(|a, b| a.width.total_cmp(&b.width))
    }

    /// The narrowest cut along the walls, and the tiles needed without reuse, if the first tile lay
    /// elsewhere; infinite without cuts. `None` as soon as a cut is narrower than a width: then
    /// most tiles need not be looked at.
    pub(crate) fn from(&self, first: Point, least: f64) -> Option<(f64, usize)> {
        let bounds = Rect::around(self.inner.rings().iter().flatten())?;
        let (mut width, mut tiles) = (f64::INFINITY, 0);
        for place in places(&self.laying.pattern, &self.laying.tile, first, &bounds) {
            let Some(tile) = laid(&self.inner, place) else {
                continue;
            };
            tiles += 1;
            if let Some(narrow) = tile.cut.and_then(|cut| cut.narrowest) {
                width = width.min(narrow.width);
                if width < least {
                    return None;
                }
            }
        }
        Some((width, tiles))
    }

    /// Area that tiles cover, in square inches.
    pub fn tile_area(&self) -> f64 {
        self.tiles.iter().map(|tile| tile.area).sum()
    }

    /// Area of the joints between tiles, in square inches; the perimeter gap is not among them.
    pub fn joint_area(&self) -> f64 {
        (self.inner.area() - self.tile_area()).max(0.0)
    }

    /// Where a place of the layout is in the room as it was given.
    pub fn in_room(&self, at: Point) -> Point {
        self.direction.turn(at)
    }
}

fn check(laying: &Laying) -> Result<(), LayoutError> {
    let TileSize {
        length,
        width,
        joint,
        ..
    } = laying.tile;
    let is_size = |size: f64| size > 1e-3 && size <= 1e4;
    let is_gap = |gap: f64| (0.0..=1e3).contains(&gap);
    if !is_size(length) || !is_size(width) || !laying.pattern.is_finite() {
        return Err(LayoutError::Size);
    }
    if !is_gap(joint) || !is_gap(laying.gap) {
        return Err(LayoutError::Joint);
    }
    Ok(())
}

/// What stays of a tile; `None` when it does not meet the room.
fn laid(room: &Room, place: Place) -> Option<Laid> {
    let whole = place.rect.area();
    // Most tiles lie clear of all walls.
    if !edges(room.rings()).any(|(from, to)| place.rect.is_passed(from, to)) {
        return contains(room.rings(), place.rect.middle()).then(|| Laid {
            place,
            rings: vec![place.rect.ring()],
            area: whole,
            cut: None,
        });
    }
    let trifle = NEAR * 2.0 * (place.rect.width() + place.rect.height());
    let rings = clip(room.rings(), &place.rect);
    let area = area(&rings);
    if area <= trifle {
        return None;
    }
    let is_full = whole - area <= trifle;
    let cut = (!is_full).then(|| cut(room, &place, &rings, trifle));
    Some(Laid {
        place,
        rings,
        area,
        cut,
    })
}

fn cut(room: &Room, place: &Place, rings: &[Ring], trifle: f64) -> Cut {
    let (outline, obstacles) = room.rings().split_at(1.min(room.rings().len()));
    let passes = |rings: &[Ring]| edges(rings).any(|(from, to)| place.rect.is_passed(from, to));
    let around = |ring: &Ring| ring.iter().rev().copied().collect();
    let of_wall = || area(&clip(outline, &place.rect));
    let of_obstacles = || {
        let around: Vec<Ring> = obstacles.iter().map(around).collect();
        area(&clip(&around, &place.rect))
    };
    Cut {
        by_wall: passes(outline) && place.rect.area() - of_wall() > trifle,
        by_obstacle: passes(obstacles) && of_obstacles() > trifle,
        narrowest: narrowest(rings, &place.rect, obstacles),
    }
}

#[cfg(test)]
mod raster_tests;
#[cfg(test)]
mod tests;
