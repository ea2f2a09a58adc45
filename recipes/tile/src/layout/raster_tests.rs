//! Layouts against counting squares: the room and the tiles on squared paper, worked out without
//! clipping anything.

use std::collections::BTreeMap;

use super::*;
use crate::start::On;
use crate::testing::{Chance, grid};

/// A tile, named by its row, its place in the row, and whether it is upright.
type Name = (i64, i64, bool);

/// The squares of the paper that lie in the room, counted by the tile that covers their middle.
fn squares(layout: &Layout, step: f64, rings: &[Ring]) -> BTreeMap<Name, usize> {
    let bounds = Rect::around(&rings[0]).unwrap();
    let mut found = BTreeMap::new();
    let count = |size: f64| (size / step).ceil() as usize;
    for row in 0..count(bounds.height()) {
        for column in 0..count(bounds.width()) {
            let at = Point::new(
                bounds.left + (column as f64 + 0.5) * step,
                bounds.bottom + (row as f64 + 0.5) * step,
            );
            let tile = match layout.laying.pattern {
                Pattern::Herringbone => in_herringbone(layout, at),
                _ => in_rows(layout, at),
            };
            if let Some(tile) = tile.filter(|_| contains(rings, at)) {
                *found.entry(tile).or_insert(0) += 1;
            }
        }
    }
    found
}

/// The tile of rows at a place, by division with rest; `None` in a joint.
fn in_rows(layout: &Layout, at: Point) -> Option<Name> {
    let tile = &layout.laying.tile;
    let (x, y) = (at.x - layout.first.x, at.y - layout.first.y);
    let row = y.div_euclid(tile.row());
    let part = match &layout.laying.pattern {
        Pattern::Grid | Pattern::Herringbone => 0.0,
        Pattern::Offset(part) => part * row,
        Pattern::Cycle(parts) => parts[row.rem_euclid(parts.len() as f64) as usize],
    };
    let (along, pitch) = (x - part * tile.pitch(), tile.pitch());
    let is_tile = along.rem_euclid(pitch) < tile.length && y.rem_euclid(tile.row()) < tile.width;
    is_tile.then_some((row as i64, along.div_euclid(pitch) as i64, false))
}

/// The tile of a herringbone at a place, where a pitch is a whole number `n` of rows: in a net of
/// square cells, cell (i, j) belongs to a lying tile when i - j leaves a rest below `n` on
/// division by `2 n`, and to an upright one otherwise.
fn in_herringbone(layout: &Layout, at: Point) -> Option<Name> {
    let tile = &layout.laying.tile;
    let n = (tile.pitch() / tile.row()).round() as i64;
    assert!((tile.pitch() - n as f64 * tile.row()).abs() < 1e-9);
    let (x, y) = (at.x - layout.first.x, at.y - layout.first.y);
    let (i, j) = (
        x.div_euclid(tile.row()) as i64,
        y.div_euclid(tile.row()) as i64,
    );
    let rest = (i - j).rem_euclid(2 * n);
    let is_upright = rest >= n;
    let (i, j) = if is_upright {
        (i, j - (2 * n - 1 - rest))
    } else {
        (i - rest, j)
    };
    let (x, y) = (x - i as f64 * tile.row(), y - j as f64 * tile.row());
    let (wide, high) = if is_upright {
        (tile.width, tile.length)
    } else {
        (tile.length, tile.width)
    };
    (x < wide && y < high).then_some((j, i, is_upright))
}

/// Rooms on a grid of inches, with a pattern whose edges lie on quarter inches.
fn on_paper(chance: &mut Chance) -> (Room, Laying) {
    let (length, width, joint) = chance.pick(&[
        (12.0, 6.0, 0.0),
        (11.75, 5.75, 0.25),
        (23.5, 7.5, 0.5),
        (7.75, 7.75, 0.25),
    ]);
    let laying = Laying {
        pattern: chance.pick(&[
            Pattern::Grid,
            Pattern::Offset(0.5),
            Pattern::Cycle(vec![0.0, 0.25, 0.75]),
            Pattern::Herringbone,
        ]),
        start: Start::Corner(Point::new(
            chance.length(0.0, 20.0, 0.25),
            chance.length(0.0, 20.0, 0.25),
        )),
        direction: chance.pick(&[Direction::RIGHT, Direction::UP]),
        gap: chance.pick(&[0.0, 0.25]),
        ..grid(length, width, joint)
    };
    (chance.room(1.0), laying)
}

#[test]
fn tiles_are_those_that_squared_paper_counts() {
    let mut chance = Chance(21);
    let mut tiles = 0;
    for _ in 0..300 {
        let (room, laying) = on_paper(&mut chance);
        // Slanted walls pass through squares: only rooms without them can be counted exactly.
        let is_square = edges(room.rings()).all(|(a, b)| a.x == b.x || a.y == b.y);
        if !is_square {
            continue;
        }
        let layout = Layout::new(&room, &laying).unwrap();
        // All edges of walls and tiles lie on quarters of an inch.
        let step = 0.25;
        let paper = squares(&layout, step, layout.inner.rings());
        let whole = (laying.tile.area() / (step * step)).round() as usize;
        let full = paper.values().filter(|count| **count == whole).count();
        let counts = layout.counts();
        assert_eq!(
            (counts.full, counts.without_reuse()),
            (full, paper.len()),
            "{laying:?}"
        );
        let mut areas: Vec<f64> = layout.tiles.iter().map(|tile| tile.area).collect();
        let mut counted: Vec<f64> = paper.values().map(|n| *n as f64 * step * step).collect();
        areas.sort_by(f64::total_cmp);
        counted.sort_by(f64::total_cmp);
        for (area, counted) in areas.iter().zip(&counted) {
            assert!((area - counted).abs() < 1e-6, "{area} {counted} {laying:?}");
        }
        tiles += paper.len();
    }
    assert!(tiles > 5_000, "{tiles}");
}

#[test]
fn aslant_no_tile_is_missing_and_none_is_more_than_a_slip() {
    let mut chance = Chance(22);
    for _ in 0..20 {
        let (room, laying) = on_paper(&mut chance);
        let laying = Laying {
            direction: chance.pick(&[Direction::DIAGONAL, Direction::degrees(-30.0).unwrap()]),
            start: Start::Centred {
                along: On::Tile,
                across: On::Joint,
            },
            ..laying
        };
        let layout = Layout::new(&room, &laying).unwrap();
        let step = 0.125;
        let paper = squares(&layout, step, layout.inner.rings());
        let (found, seen) = (layout.tiles.len(), paper.len());
        // Slips narrower than a square may lie between the middles of squares.
        let slips = layout.tiles.iter().filter(|tile| tile.area < 0.5).count();
        assert!(
            found >= seen && found - seen <= slips,
            "{found} {seen} {slips} {laying:?}"
        );
        let counted: usize = paper.values().sum();
        let area = counted as f64 * step * step;
        assert!(
            (area - layout.tile_area()).abs() < 5e-3 * area,
            "{area} {}",
            layout.tile_area()
        );
    }
}
