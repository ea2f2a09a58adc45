//! Where a layout starts: from the middle of the room, from a wall, or from a line through a
//! doorway.

use crate::layout::Laying;
use crate::room::Room;
use crate::shape::{Direction, Point, Rect};

/// What lies on a line of the layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    /// The middle of a joint.
    Joint,
    /// The middle of a tile.
    Tile,
}

impl On {
    /// From the line to where the first tile begins.
    fn offset(self, size: f64, joint: f64) -> f64 {
        match self {
            Self::Joint => joint / 2.0,
            Self::Tile => -size / 2.0,
        }
    }
}

/// Where the first tile goes. Rows run in the direction of the laying, `x` when it is
/// [`Direction::RIGHT`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// The middle of the room, halfway between its furthest walls along and across the rows.
    Centred {
        /// What lies on the middle line across the rows.
        along: On,
        /// What lies on the middle line along the rows.
        across: On,
    },
    /// The wall nearest to a place, beyond the perimeter gap. The direction counts from the wall,
    /// with the room on its left: with [`Direction::RIGHT`] rows run along it. Whole tiles stand
    /// against the wall; where the pattern is turned aslant, a corner of a tile lies at its middle.
    Wall {
        /// A place at the wall.
        near: Point,
        /// What lies on the line into the room from the middle of the wall.
        on: On,
    },
    /// A line, such as from the middle of a doorway into the room. The direction counts from it:
    /// with [`Direction::RIGHT`] rows run along the line.
    Line {
        /// Where the first tile begins.
        at: Point,
        /// Where the line goes from there.
        to: Direction,
        /// What lies on the line.
        on: On,
    },
    /// The lower left corner of the first tile, as seen along the rows.
    Corner(Point),
}

/// A start worked out for a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Origin {
    /// The direction of the rows.
    pub(crate) direction: Direction,
    /// The lower left corner of the first tile after turning the room so that rows run along `x`.
    pub(crate) first: Point,
    /// Where the start lines cross, turned likewise.
    pub(crate) lines: Point,
}

/// Works out the start of a laying in a room that is already less its perimeter gap. `None` when
/// the room has no wall.
pub(crate) fn origin(laying: &Laying, room: &Room) -> Option<Origin> {
    let tile = &laying.tile;
    let by = |x: f64, y: f64| Point::new(x, y);
    let (direction, lines, shift) = match laying.start {
        Start::Corner(at) => {
            let direction = laying.direction;
            (direction, direction.undone().turn(at), by(0.0, 0.0))
        }
        Start::Centred { along, across } => {
            let direction = laying.direction;
            let outline = room.turned(direction.undone());
            let middle = Rect::around(outline.rings().first()?)?.middle();
            let along = along.offset(tile.length, tile.joint);
            let across = across.offset(tile.width, tile.joint);
            (direction, middle, by(along, across))
        }
        Start::Line { at, to, on } => {
            let direction = laying.direction.then(to);
            let shift = by(0.0, on.offset(tile.width, tile.joint));
            (direction, direction.undone().turn(at), shift)
        }
        Start::Wall { near, on } => {
            let (from, to) = room.nearest_wall(near)?;
            let direction = laying.direction.then(Direction::between(from, to)?);
            let middle = direction.undone().turn(from.toward(to, 0.5));
            (direction, middle, against(laying, on))
        }
    };
    Some(Origin {
        direction,
        first: by(lines.x + shift.x, lines.y + shift.y),
        lines,
    })
}

/// From the middle of a wall to the first tile against it, in the directions of the pattern.
fn against(laying: &Laying, on: On) -> Point {
    let tile = &laying.tile;
    // The wall, as the pattern sees it; the room is on its left.
    let wall = laying.direction.undone().unit();
    let is_along = |part: f64| part.abs() > 1.0 - 1e-12;
    if is_along(wall.x) {
        let below = if wall.x > 0.0 { 0.0 } else { -tile.width };
        Point::new(on.offset(tile.length, tile.joint), below)
    } else if is_along(wall.y) {
        let left = if wall.y < 0.0 { 0.0 } else { -tile.length };
        Point::new(left, on.offset(tile.width, tile.joint))
    } else {
        Point::new(0.0, 0.0)
    }
}
