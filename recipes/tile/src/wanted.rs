//! A laying as people ask for it, in a few words: pattern, offset, the way rows run, the start.

use crate::best::best_start;
use crate::floor_plan::FloorPlan;
use crate::layout::{Laying, Layout};
use crate::offcut::plan;
use crate::pattern::{Grain, Pattern, TileSize};
use crate::room::RoomError;
use crate::shape::{Direction, NEAR, Point};
use crate::start::{On, Start};

/// Patterns, as the takeoff names them. Planks are offset as well, and never turned sideways.
pub const PATTERNS: &[&str] = &["grid", "offset", "herringbone", "plank", "diagonal"];
/// Which way rows run: along `x`, the wall or the line of the start; or across it.
pub const ROWS: &[&str] = &["along", "across"];
/// Where the first tile goes, as the takeoff names it.
pub const STARTS: &[&str] = &[
    "centred on joint",
    "centred on tile",
    "wall",
    "doorway",
    "widest cuts",
];
/// How an offcut may be turned before it is used elsewhere.
pub const GRAINS: &[&str] = &["any way", "half turns", "not"];

/// A laying, as it is asked for; words by their numbers in the lists above, lengths in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Length and width of a tile, and the joint between two.
    pub tile: [f64; 3],
    /// Width of the soft joint along walls.
    pub gap: f64,
    /// One of [`PATTERNS`].
    pub pattern: usize,
    /// How far rows are offset, as a part of the tile.
    pub offset: f64,
    /// One of [`ROWS`].
    pub rows: usize,
    /// One of [`STARTS`].
    pub start: usize,
    /// The number of the wall or doorway that the start counts from.
    pub number: f64,
    /// One of [`GRAINS`].
    pub grain: usize,
}

impl Wanted {
    /// From numbers in the order of the fields.
    pub(crate) fn new(numbers: &[f64]) -> Option<Self> {
        let [
            length,
            width,
            joint,
            gap,
            pattern,
            offset,
            rows,
            start,
            number,
            grain,
        ] = *numbers
        else {
            return None;
        };
        Some(Self {
            tile: [length, width, joint],
            gap,
            pattern: pattern as usize,
            offset,
            rows: rows as usize,
            start: start as usize,
            number,
            grain: grain as usize,
        })
    }

    /// The laying in a room.
    ///
    /// # Errors
    /// Says why there is none.
    pub fn laying(&self, plan: &FloorPlan) -> Result<Laying, String> {
        let [length, width, joint] = self.tile;
        let grain = match (GRAINS.get(self.grain), PATTERNS.get(self.pattern)) {
            (Some(&"not"), _) => Grain::Directed,
            (Some(&"half turns"), _) | (_, Some(&"plank")) => Grain::Lengthwise,
            _ => Grain::Any,
        };
        let (pattern, aslant) = match PATTERNS.get(self.pattern) {
            Some(&"offset" | &"plank") => (Pattern::Offset(self.offset), Direction::RIGHT),
            Some(&"herringbone") => (Pattern::Herringbone, Direction::RIGHT),
            Some(&"diagonal") => (Pattern::Grid, Direction::DIAGONAL),
            _ => (Pattern::Grid, Direction::RIGHT),
        };
        let rows = match ROWS.get(self.rows) {
            Some(&"across") => Direction::UP,
            _ => Direction::RIGHT,
        };
        let on = On::Joint;
        let mut laying = Laying {
            tile: TileSize {
                length,
                width,
                joint,
                grain,
            },
            pattern,
            direction: rows.then(aslant),
            start: Start::Centred {
                along: on,
                across: on,
            },
            gap: self.gap,
        };
        match STARTS.get(self.start) {
            Some(&"centred on tile") => {
                let on = On::Tile;
                laying.start = Start::Centred {
                    along: on,
                    across: on,
                };
            }
            Some(&"wall") => {
                let (from, to) = plan.wall(self.number)?;
                let near = from.toward(to, 0.5);
                laying.start = Start::Wall { near, on };
            }
            Some(&"doorway") => {
                let (at, to) = plan.doorway(self.number, self.gap)?;
                laying.start = Start::Line { at, to, on };
            }
            Some(&"widest cuts") => laying = best(plan, &laying)?.0,
            _ => {}
        }
        Ok(laying)
    }

    /// The layout of a room.
    ///
    /// # Errors
    /// Says why there is none.
    pub fn layout(&self, plan: &FloorPlan) -> Result<Layout, String> {
        Layout::new(&plan.room, &self.laying(plan)?).map_err(|error| error.to_string())
    }

    /// The narrowest piece of tile along a wall; where none is cut, a tile's shorter side.
    pub fn narrowest(&self, layout: &Layout) -> f64 {
        let whole = self.tile[0].min(self.tile[1]);
        to_millionths(layout.narrowest().map_or(whole, |cut| cut.width))
    }

    /// Tiles that stay whole, tiles that are cut, tiles when nothing cut off is used again, tiles
    /// when offcuts are, and the narrowest piece along a wall.
    pub(crate) fn figures(&self, room: &FloorPlan, kerf: f64) -> Result<Vec<f64>, String> {
        let layout = self.layout(room)?;
        let counts = layout.counts();
        let count = |tiles: usize| tiles as f64;
        Ok(vec![
            count(counts.full),
            count(counts.cut()),
            count(counts.without_reuse()),
            count(plan(&layout, kerf).tiles()),
            self.narrowest(&layout),
        ])
    }

    /// The narrowest piece along a wall at the start that leaves the widest, and the tiles there
    /// when nothing cut off is used again.
    pub(crate) fn best_figures(&self, plan: &FloorPlan) -> Result<Vec<f64>, String> {
        let (laying, tiles) = best(plan, &self.laying(plan)?)?;
        let layout = Layout::new(&plan.room, &laying).map_err(|error| error.to_string())?;
        Ok(vec![self.narrowest(&layout), tiles as f64])
    }
}

/// The laying with the start that leaves the widest cuts, and its tiles.
fn best(plan: &FloorPlan, laying: &Laying) -> Result<(Laying, usize), String> {
    let mut starts = best_start(&plan.room, laying).map_err(|error| error.to_string())?;
    let best = starts.tried.swap_remove(starts.best);
    Ok((best.laying, best.tiles))
}

/// Without the last digits, in which equal widths differ.
fn to_millionths(width: f64) -> f64 {
    (width * 1e6).round() / 1e6
}

/// The direction into a room, square to a stretch of its wall.
pub(crate) fn inward(plan: &FloorPlan, from: Point, to: Point) -> Option<Direction> {
    let along = Direction::between(from, to)?;
    let middle = from.toward(to, 0.5);
    [Direction::UP, Direction::UP.back()]
        .into_iter()
        .map(|side| side.then(along))
        .find(|side| {
            let step = side.turn(Point::new(1.0 + NEAR, 0.0));
            plan.is_inside(Point::new(middle.x + step.x, middle.y + step.y))
        })
}

/// What is wrong with an outline, for whoever wrote its sheet.
pub(crate) fn refused(error: &RoomError) -> String {
    format!("tile cannot be laid out on this outline: {error}")
}
