//! Plans of cuts against closed forms, and the law that a plan can be carried out.

use super::*;
use crate::layout::Laying;
use crate::pattern::{Grain, Pattern};
use crate::room::Room;
use crate::shape::{Direction, Point};
use crate::start::{On, Start};
use crate::testing::{Chance, grid};

fn layout(width: f64, height: f64, laying: &Laying) -> Layout {
    Layout::new(&Room::rectangle(width, height).unwrap(), laying).unwrap()
}

/// Tiles without and with reuse.
fn tiles(layout: &Layout, kerf: f64) -> (usize, usize) {
    (layout.counts().without_reuse(), plan(layout, kerf).tiles())
}

#[test]
fn two_strips_come_out_of_one_tile_when_they_and_the_kerf_fit() {
    // Ten rows of ten whole tiles and strips at both sides, each with the factory edge to the joint.
    let laying = |grain| {
        let mut laying = grid(12.0, 12.0, 0.0);
        laying.tile.grain = grain;
        laying.start = Start::Centred {
            along: On::Joint,
            across: On::Joint,
        };
        laying
    };
    for (strip, kerf, with) in [
        (5.0, 0.125, 110),
        (6.0, 0.0, 110),
        (5.9375, 0.125, 110),
        (6.0, 0.125, 120),
        (7.0, 0.0, 120),
    ] {
        let layout = layout(120.0 + 2.0 * strip, 120.0, &laying(Grain::Directed));
        assert_eq!(tiles(&layout, kerf), (120, with), "{strip} {kerf}");
    }
    // A strip of 3 at one side only: one factory edge is needed, a tile has two of them.
    for (grain, with) in [
        (Grain::Directed, 110),
        (Grain::Lengthwise, 105),
        (Grain::Any, 105),
    ] {
        let laying = Laying {
            start: Start::Corner(Point::new(0.0, 0.0)),
            ..laying(grain)
        };
        assert_eq!(
            tiles(&layout(123.0, 120.0, &laying), 0.125),
            (110, with),
            "{grain:?}"
        );
    }
}

#[test]
fn grain_keeps_an_offcut_from_being_laid_across() {
    // One row of planks of 36 x 6, ended by a strip of 6 x 6, and one ripped to half its width:
    // nothing of the one serves the other, unless turned.
    let room = Room::rectangle(42.0, 6.0).unwrap();
    let mut laying = grid(36.0, 6.0, 0.0);
    laying.tile.grain = Grain::Lengthwise;
    let one = Layout::new(&room, &laying).unwrap();
    assert_eq!(tiles(&one, 0.125), (2, 2));
    let rip = Room::rectangle(36.0, 9.0).unwrap();
    let need = |room: &Room| plan(&Layout::new(room, &laying).unwrap(), 0.125).taken[0].need;
    assert_eq!(need(&room).factory, [true, true, false, true]);
    assert_eq!(need(&rip).factory, [true, true, true, false]);
    // An offcut with three factory edges and the size of a strip, but lying across.
    let offcut = Offcut {
        from: 0,
        rect: Rect::new(0.0, 0.0, 6.0, 6.0),
        factory: [true, false, true, true],
    };
    let need = need(&room);
    for (grain, is_served) in [(Grain::Any, true), (Grain::Lengthwise, false)] {
        let tile = TileSize {
            grain,
            ..laying.tile
        };
        assert_eq!(best(&mut vec![offcut], &need, &tile).is_some(), is_served);
    }
}

#[test]
fn planks_start_a_row_with_what_the_last_one_left() {
    // A row of 2 1/2 planks, the next shifted by half a plank: the half that ends one row starts
    // the other with its factory edge to the joint.
    let mut laying = grid(48.0, 6.0, 0.0);
    laying.pattern = Pattern::Offset(0.5);
    laying.tile.grain = Grain::Directed;
    let room = layout(120.0, 120.0, &laying);
    assert_eq!(room.counts().full, 40);
    assert_eq!(tiles(&room, 0.0), (60, 50));
    // With a kerf the half is too short by it.
    assert_eq!(tiles(&room, 0.125), (60, 60));
}

#[test]
fn a_diagonal_uses_only_what_lies_beside_its_triangles() {
    // A square of 8 tile diagonals, on tiles of 12: corners and halves along the walls. A half
    // needs the rectangle around it, which is the whole tile: nothing is used again.
    let side = 8.0 * 288f64.sqrt();
    let mut laying = grid(12.0, 12.0, 0.0);
    laying.direction = Direction::DIAGONAL;
    let halves = layout(side, side, &laying);
    assert_eq!(
        (halves.counts().full, halves.counts().cut()),
        (7 * 8 * 2, 32)
    );
    assert_eq!(tiles(&halves, 0.0), (144, 144));
}

/// Whether a plan can be carried out, worked out from the layout anew.
fn check(layout: &Layout, plan: &Plan, kerf: f64) {
    let size = &layout.laying.tile;
    let whole = Rect::new(0.0, 0.0, size.length, size.width);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let cuts: Vec<usize> = (0..layout.tiles.len())
        .filter(|laid| layout.tiles[*laid].cut.is_some())
        .collect();
    let served: Vec<usize> = plan.taken.iter().map(|taken| taken.laid).collect();
    assert_eq!(served, cuts, "every cut is served once");
    assert_eq!(plan.full + cuts.len(), layout.tiles.len());
    let mut by_tile: Vec<Vec<Rect>> = vec![Vec::new(); plan.cut_up];
    for taken in &plan.taken {
        let laid = &layout.tiles[taken.laid];
        let tile = &laid.place.rect;
        let around = Rect::around(laid.rings.iter().flatten()).unwrap();
        assert!(size.grain.turns().contains(&taken.turns));
        // As the tile was turned when laid, and again for the cut.
        let quarters = taken.turns + if laid.place.upright { 3 } else { 0 };
        let (wide, high) = (around.width(), around.height());
        let (wide, high) = if quarters.is_multiple_of(2) {
            (wide, high)
        } else {
            (high, wide)
        };
        let at = &taken.at;
        assert!(
            near(at.width(), wide) && near(at.height(), high),
            "{taken:?} {around:?}"
        );
        assert!(at.left >= -1e-9 && at.bottom >= -1e-9);
        assert!(at.right <= whole.right + 1e-9 && at.top <= whole.top + 1e-9);
        // Going around counterclockwise from the right: sides at a joint, sides at factory edges.
        let joints = [
            near(around.right, tile.right),
            near(around.top, tile.top),
            near(around.left, tile.left),
            near(around.bottom, tile.bottom),
        ];
        let factory = [
            near(at.right, whole.right),
            near(at.top, whole.top),
            near(at.left, 0.0),
            near(at.bottom, 0.0),
        ];
        for (side, faces_joint) in joints.iter().enumerate() {
            let turned = (side + usize::from(quarters)) % 4;
            assert!(!faces_joint || factory[turned], "{taken:?} side {side}");
        }
        // The blade passes between any two cuts of a tile.
        for other in &by_tile[taken.from] {
            let apart = [
                at.left - other.right,
                other.left - at.right,
                at.bottom - other.top,
                other.bottom - at.top,
            ];
            let most = apart.into_iter().fold(f64::MIN, f64::max);
            assert!(most >= kerf - 1e-6, "{at:?} {other:?}");
        }
        by_tile[taken.from].push(*at);
    }
    assert!(
        by_tile.iter().all(|cuts| !cuts.is_empty()),
        "no tile is opened for nothing"
    );
    let needed: f64 = by_tile.iter().flatten().map(Rect::area).sum();
    assert!(needed <= plan.cut_up as f64 * size.area() * (1.0 + 1e-9));
}

#[test]
fn no_piece_is_counted_twice_and_each_fits_where_it_is_cut_from() {
    let mut chance = Chance(31);
    let (mut without, mut with, mut shared) = (0, 0, 0);
    let rooms = 10_000;
    for _ in 0..rooms {
        let (room, laying) = (chance.room(0.25), chance.laying());
        let layout = Layout::new(&room, &laying).unwrap();
        let kerf = chance.pick(&[0.0, 0.125]);
        let plan = plan(&layout, kerf);
        check(&layout, &plan, kerf);
        let all = layout.counts().without_reuse();
        assert!(plan.tiles() <= all);
        without += all;
        with += plan.tiles();
        shared += usize::from(plan.tiles() < all);
    }
    let totals =
        format!("{rooms} rooms: {without} tiles, with reuse {with}, fewer in {shared} rooms");
    assert!(shared > rooms / 2 && with > without / 2, "{totals}");
    println!("{totals}");
}
