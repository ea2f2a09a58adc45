//! Which cut comes out of which tile.
//!
//! The rule, the same for every pattern:
//!
//! 1. What a cut needs is the *rectangle* around its pieces, in the directions of its tile. A cut
//!    of another shape (a notch, a triangle of a diagonal layout) is cut out of that rectangle, and
//!    nothing inside the rectangle is used again. A tile that is cut in two counts as one cut.
//! 2. A side of that rectangle that lies on an edge of the tile faces a joint: it must be a
//!    *factory edge*. Every other side was cut along a wall or an obstacle, where the gap and the
//!    trim hide it: there any edge will do.
//! 3. What is left beside a rectangle, after the blade has taken the *kerf*, is an offcut: a smaller
//!    rectangle with the factory edges that it still has. It comes from straight cuts from side to
//!    side of what it is cut from, so any cutter can make it.
//! 4. A cut may be turned in an offcut only as the grain of the tile allows.
//!
//! Cuts are served from the largest to the smallest, each from the offcut that it fits with the
//! least left over, or from a new tile. The number of tiles can be reached, for the plan says how;
//! a cleverer order may reach fewer. Breakage is not counted.

use crate::layout::{Laid, Layout};
use crate::pattern::TileSize;
use crate::shape::{NEAR, Rect};

/// Sides of a rectangle: left, bottom, right, top.
pub type Sides = [bool; 4];

const LEFT: usize = 0;
const BOTTOM: usize = 1;
const RIGHT: usize = 2;
const TOP: usize = 3;

/// A rectangle that a cut needs, its length along the length of the tile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Along the length of the tile.
    pub length: f64,
    /// Along its width.
    pub width: f64,
    /// Which sides must be factory edges.
    pub factory: Sides,
}

/// Where a cut comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// Which of the laid tiles.
    pub laid: usize,
    /// What it needs.
    pub need: Need,
    /// The number of the tile that it is cut from, counted through all cut tiles from 0.
    pub from: usize,
    /// Where in that tile, from its lower left corner.
    pub at: Rect,
    /// The quarter turns counterclockwise from how it is laid to how it is cut.
    pub turns: u8,
}

/// Which cut comes out of which tile.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Tiles that stay whole.
    pub full: usize,
    /// Tiles that are cut up.
    pub cut_up: usize,
    /// Where each cut comes from, in the order of the laid tiles.
    pub taken: Vec<Taken>,
}

impl Plan {
    /// Tiles needed when offcuts are used again.
    pub fn tiles(&self) -> usize {
        self.full + self.cut_up
    }
}

/// What can still be used of a tile that was cut.
#[derive(Clone, Copy, Debug)]
struct Offcut {
    from: usize,
    rect: Rect,
    factory: Sides,
}

/// Plans the cuts of a layout. The kerf is what the blade takes, in inches: about an eighth for a
/// wet saw (common practice, no source), none where tile is scored and snapped.
pub fn plan(layout: &Layout, kerf: f64) -> Plan {
    let kerf = if kerf > 0.0 { kerf } else { 0.0 };
    let tile = &layout.laying.tile;
    let mut cuts: Vec<(usize, Need)> = Vec::new();
    for (index, laid) in layout.tiles.iter().enumerate() {
        if laid.cut.is_some() {
            cuts.extend(need(laid).map(|need| (index, need)));
        }
    }
    let full = layout.tiles.len() - cuts.len();
    let area = |need: &Need| need.length * need.width;
    cuts.sort_by(|(a, one), (b, other)| area(other).total_cmp(&area(one)).then(a.cmp(b)));
    let mut offcuts: Vec<Offcut> = Vec::new();
    let mut plan = Plan {
        full,
        ..Plan::default()
    };
    for (laid, need) in cuts {
        let (offcut, fit) = best(&mut offcuts, &need, tile).unwrap_or_else(|| {
            // A new tile, cut as it is laid: every cut fits into its own tile.
            let offcut = Offcut {
                from: plan.cut_up,
                rect: Rect::new(0.0, 0.0, tile.length, tile.width),
                factory: [true; 4],
            };
            plan.cut_up += 1;
            (offcut, Fit::of(&offcut, &need, 0))
        });
        plan.taken.push(Taken {
            laid,
            need,
            from: offcut.from,
            at: fit.at,
            turns: fit.turns,
        });
        offcuts.extend(rest(&offcut, &fit.at, kerf));
    }
    plan.taken.sort_by_key(|taken| taken.laid);
    plan
}

/// What a laid tile needs to be cut from; `None` when nothing of it is laid.
pub fn need(laid: &Laid) -> Option<Need> {
    let tile = &laid.place.rect;
    let around = Rect::around(laid.rings.iter().flatten())?;
    let on = |a: f64, b: f64| (a - b).abs() <= 2.0 * NEAR;
    let seen = [
        on(around.left, tile.left),
        on(around.bottom, tile.bottom),
        on(around.right, tile.right),
        on(around.top, tile.top),
    ];
    Some(if laid.place.upright {
        // Laid a quarter turn counterclockwise, the tile's own left edge is the lower one.
        Need {
            length: around.height(),
            width: around.width(),
            factory: [seen[BOTTOM], seen[RIGHT], seen[TOP], seen[LEFT]],
        }
    } else {
        Need {
            length: around.width(),
            width: around.height(),
            factory: seen,
        }
    })
}

/// Takes out the offcut that a cut fits into with the least left over.
fn best(offcuts: &mut Vec<Offcut>, need: &Need, tile: &TileSize) -> Option<(Offcut, Fit)> {
    let mut best: Option<(f64, usize, Fit)> = None;
    for (index, offcut) in offcuts.iter().enumerate() {
        let area = offcut.rect.area();
        if best.is_some_and(|(least, ..)| area >= least) {
            continue;
        }
        let turns = tile.grain.turns().iter();
        let mut fits = turns.map(|turns| Fit::of(offcut, need, *turns));
        if let Some(fit) = fits.find(|fit| fit.is_good) {
            best = Some((area, index, fit));
        }
    }
    best.map(|(_, index, fit)| (offcuts.swap_remove(index), fit))
}

/// A cut, put into an offcut.
#[derive(Clone, Copy)]
struct Fit {
    at: Rect,
    turns: u8,
    is_good: bool,
}

impl Fit {
    /// Puts a cut into an offcut, against the factory edges that it needs.
    fn of(offcut: &Offcut, need: &Need, turns: u8) -> Self {
        let (size, factory) = turned(need, turns);
        let rect = &offcut.rect;
        let side = |low, high| {
            (
                (factory[low], factory[high]),
                (offcut.factory[low], offcut.factory[high]),
            )
        };
        let across = put((rect.left, rect.right), size.0, side(LEFT, RIGHT));
        let along = put((rect.bottom, rect.top), size.1, side(BOTTOM, TOP));
        let ((left, right), (bottom, top)) = (across.0, along.0);
        Self {
            at: Rect {
                left,
                bottom,
                right,
                top,
            },
            turns,
            is_good: across.1 && along.1,
        }
    }
}

/// Length and width of a cut and the factory edges that it needs, after quarter turns.
pub fn turned(need: &Need, turns: u8) -> ((f64, f64), Sides) {
    let size = if turns.is_multiple_of(2) {
        (need.length, need.width)
    } else {
        (need.width, need.length)
    };
    // A quarter turn counterclockwise brings the top to the left, the left to the bottom.
    let mut factory = need.factory;
    for _ in 0..turns % 4 {
        factory.rotate_right(1);
    }
    (size, factory)
}

/// Where a length lies in a span, and whether it fits with the factory ends that it needs; these
/// are given as (low, high), what is needed and what there is.
fn put(
    (low, high): (f64, f64),
    length: f64,
    (needs, has): ((bool, bool), (bool, bool)),
) -> ((f64, f64), bool) {
    let spare = high - low - length;
    let has_ends = (!needs.0 || has.0) && (!needs.1 || has.1);
    let fits = if needs == (true, true) {
        spare.abs() <= 4.0 * NEAR
    } else {
        spare >= -4.0 * NEAR
    };
    // A cut that needs no factory edge leaves it to the offcut.
    let is_high = needs.1 || (!needs.0 && has.0 && !has.1);
    let span = match (spare.abs() <= 4.0 * NEAR, is_high) {
        (true, _) => (low, high),
        (false, true) => (high - length, high),
        (false, false) => (low, low + length),
    };
    (span, fits && has_ends)
}

/// What is left beside a cut: a strip of full width on one side, and one beside the cut on the
/// other. Of the two ways to part them, the one that leaves the largest strip.
fn rest(offcut: &Offcut, at: &Rect, kerf: f64) -> Vec<Offcut> {
    let whole = &offcut.rect;
    let part = |left: f64, bottom: f64, right: f64, top: f64| {
        let rect = Rect {
            left,
            bottom,
            right,
            top,
        };
        let is_some = rect.width() > NEAR && rect.height() > NEAR;
        // An edge of the old rectangle is what it was; a new one is cut.
        let old = [
            left == whole.left,
            bottom == whole.bottom,
            right == whole.right,
            top == whole.top,
        ];
        let factory = [LEFT, BOTTOM, RIGHT, TOP].map(|side| old[side] && offcut.factory[side]);
        is_some.then_some(Offcut {
            from: offcut.from,
            rect,
            factory,
        })
    };
    // The cut lies in a corner, so on each axis there is something on one side only.
    let beside = |bottom: f64, top: f64| {
        let left = part(whole.left, bottom, at.left - kerf, top);
        left.or(part(at.right + kerf, bottom, whole.right, top))
    };
    let over = |left: f64, right: f64| {
        let below = part(left, whole.bottom, right, at.bottom - kerf);
        below.or(part(left, at.top + kerf, right, whole.top))
    };
    let upright = [beside(whole.bottom, whole.top), over(at.left, at.right)];
    let level = [over(whole.left, whole.right), beside(at.bottom, at.top)];
    let largest = |parts: &[Option<Offcut>; 2]| {
        let areas = parts.iter().flatten().map(|part| part.rect.area());
        areas.fold(0.0, f64::max)
    };
    let parts = if largest(&level) > largest(&upright) {
        level
    } else {
        upright
    };
    parts.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests;
