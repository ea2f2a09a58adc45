//! Layouts against closed forms and laws.

use super::*;
use crate::shape::Ring;
use crate::start::On;
use crate::testing::{Chance, grid};

fn counts(room: &Room, laying: &Laying) -> (usize, usize, usize) {
    let counts = Layout::new(room, laying).unwrap().counts();
    (counts.full, counts.wall_cuts, counts.obstacle_cuts)
}

fn centred(along: On, across: On) -> Start {
    Start::Centred { along, across }
}

#[test]
fn a_room_of_whole_tiles_has_no_cuts() {
    // 10 x 20 tiles of 12 x 6 with joints of 1/4 between them, none at the walls.
    let room = Room::rectangle(10.0 * 12.25 - 0.25, 20.0 * 6.25 - 0.25).unwrap();
    let laying = grid(12.0, 6.0, 0.25);
    assert_eq!(counts(&room, &laying), (200, 0, 0));
    // An even number of tiles is centred on a joint.
    let start = centred(On::Joint, On::Joint);
    let middle = Layout::new(
        &room,
        &Laying {
            start,
            ..laying.clone()
        },
    )
    .unwrap();
    assert_eq!(middle.counts().without_reuse(), 200);
    assert_eq!(middle.narrowest(), None);
    // Centred on tiles, half a tile stands at each wall.
    let start = centred(On::Tile, On::Tile);
    let halves = Layout::new(
        &room,
        &Laying {
            start,
            ..laying.clone()
        },
    )
    .unwrap();
    let found = halves.counts();
    assert_eq!((found.full, found.wall_cuts), (9 * 19, 11 * 21 - 9 * 19));
    // Half of 6 less half the joint that the middle line would run along.
    let narrow = halves.narrowest().unwrap().width;
    assert!((narrow - (3.0 - 0.125)).abs() < 1e-9, "{narrow}");
    // With a perimeter gap as wide as half a joint, and whole tiles again.
    let room = Room::rectangle(10.0 * 12.25, 20.0 * 6.25).unwrap();
    let start = centred(On::Joint, On::Joint);
    let laying = Laying {
        start,
        gap: 0.125,
        ..laying
    };
    assert_eq!(counts(&room, &laying), (200, 0, 0));
}

#[test]
fn one_inch_more_than_whole_tiles_is_a_row_of_cuts() {
    let room = Room::rectangle(121.0, 120.0).unwrap();
    let laying = grid(12.0, 12.0, 0.0);
    let layout = Layout::new(&room, &laying).unwrap();
    assert_eq!(layout.counts().without_reuse(), 110);
    assert_eq!(layout.counts().wall_cuts, 10);
    assert!((layout.narrowest().unwrap().width - 1.0).abs() < 1e-9);
    // Centred on a joint the inch is shared: half an inch on either side. Centred on a tile: nine
    // whole tiles, and half a tile and half an inch on either side.
    for (on, full, width) in [(On::Joint, 100, 0.5), (On::Tile, 90, 6.5)] {
        let start = centred(on, On::Joint);
        let layout = Layout::new(
            &room,
            &Laying {
                start,
                ..laying.clone()
            },
        )
        .unwrap();
        assert_eq!(
            (layout.counts().full, layout.counts().wall_cuts),
            (full, 20)
        );
        let narrow = layout.narrowest().unwrap().width;
        assert!((narrow - width).abs() < 1e-9, "{narrow}");
    }
    // An inch as wide as the joint is a joint.
    let room = Room::rectangle(10.0 * 12.25, 120.0).unwrap();
    assert_eq!(counts(&room, &grid(12.0, 12.0, 0.25)).0, 90);
    assert_eq!(counts(&room, &grid(12.0, 12.0, 0.25)).1, 10);
}

#[test]
fn starts_put_the_first_tile_where_they_say() {
    let room = Room::rectangle(100.0, 60.0).unwrap();
    let laying = Laying {
        gap: 0.5,
        ..grid(24.0, 12.0, 0.25)
    };
    let first = |start: Start, direction: Direction| {
        let laying = Laying {
            start,
            direction,
            ..laying.clone()
        };
        let layout = Layout::new(&room, &laying).unwrap();
        let (x, y) = (layout.first.x, layout.first.y);
        // The lower left corner of the tile in the room, and the opposite one.
        let ends = [Point::new(x, y), Point::new(x + 24.0, y + 12.0)];
        ends.map(|at| layout.in_room(at)).map(|at| (at.x, at.y))
    };
    let joint = On::Joint;
    let right = Direction::RIGHT;
    let wall = |x: f64, y: f64| Start::Wall {
        near: Point::new(x, y),
        on: joint,
    };
    // Along the lower wall, the right one (rows run up), the upper one (rows run left).
    assert_eq!(
        first(wall(40.0, 1.0), right),
        [(50.125, 0.5), (74.125, 12.5)]
    );
    assert_eq!(
        first(wall(99.0, 20.0), right),
        [(99.5, 30.125), (87.5, 54.125)]
    );
    assert_eq!(
        first(wall(40.0, 59.0), right),
        [(49.875, 59.5), (25.875, 47.5)]
    );
    // Turned a quarter, rows run into the room, and still stand against the wall.
    assert_eq!(
        first(wall(40.0, 1.0), Direction::UP),
        [(49.875, 0.5), (37.875, 24.5)]
    );
    let back = Direction::UP.back();
    assert_eq!(
        first(wall(40.0, 1.0), back),
        [(50.125, 24.5), (62.125, 0.5)]
    );
    // From a doorway in the right wall, a tile on the line.
    let line = Start::Line {
        at: Point::new(100.0, 20.0),
        to: right.back(),
        on: On::Tile,
    };
    assert_eq!(first(line, right), [(100.0, 26.0), (76.0, 14.0)]);
    let middle = first(centred(On::Tile, On::Joint), right);
    assert_eq!(middle, [(38.0, 30.125), (62.0, 42.125)]);
}

#[test]
fn cuts_around_obstacles_are_counted_separately() {
    // A column of 6 x 6 within one tile, an island over four tiles and parts of others.
    let obstacles = [
        Rect::new(15.0, 15.0, 6.0, 6.0).ring(),
        Rect::new(48.0, 48.0, 24.0, 25.0).ring(),
        Rect::new(110.0, 48.0, 8.0, 8.0).ring(),
    ];
    let room = Room::new(&Rect::new(0.0, 0.0, 119.0, 120.0).ring(), &obstacles).unwrap();
    let layout = Layout::new(&room, &grid(12.0, 12.0, 0.0)).unwrap();
    let found = layout.counts();
    // The island takes four tiles away and an inch of two more. The last column is cut by the wall;
    // the third obstacle cuts one of these ten.
    assert_eq!(found.obstacle_cuts, 1 + 2 + 1);
    assert_eq!(found.wall_cuts, 9);
    assert_eq!(found.without_reuse(), 100 - 4);
    assert_eq!(found.pieces, found.cut());
}

#[test]
fn a_wall_through_a_tile_leaves_two_pieces_of_one_tile() {
    // A wing wall of 2 in comes down through the tiles of the middle column.
    let outline = [
        (0.0, 0.0),
        (36.0, 0.0),
        (36.0, 36.0),
        (19.0, 36.0),
        (19.0, 12.0),
        (17.0, 12.0),
        (17.0, 36.0),
        (0.0, 36.0),
    ];
    let outline: Ring = outline.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    let room = Room::new(&outline, &[]).unwrap();
    let layout = Layout::new(&room, &grid(12.0, 12.0, 0.0)).unwrap();
    let found = layout.counts();
    assert_eq!((found.full, found.wall_cuts, found.pieces), (7, 2, 4));
    assert_eq!(layout.narrowest().unwrap().width, 5.0);
}

#[test]
fn turning_room_and_pattern_changes_nothing() {
    let mut chance = Chance(11);
    for _ in 0..400 {
        let (room, laying) = (chance.room(0.25), chance.laying());
        let turn = |at: Point| Direction::UP.turn(at);
        let start = match laying.start {
            Start::Wall { near, on } => Start::Wall {
                near: turn(near),
                on,
            },
            Start::Line { at, to, on } => Start::Line {
                at: turn(at),
                to: to.then(Direction::UP),
                on,
            },
            Start::Corner(at) => Start::Corner(turn(at)),
            same @ Start::Centred { .. } => same,
        };
        let direction = match start {
            Start::Centred { .. } | Start::Corner(_) => laying.direction.then(Direction::UP),
            Start::Wall { .. } | Start::Line { .. } => laying.direction,
        };
        let turned = Laying {
            start,
            direction,
            ..laying.clone()
        };
        let before = Layout::new(&room, &laying).unwrap();
        let after = Layout::new(&room.turned(Direction::UP), &turned).unwrap();
        same(&before, &after);
    }
}

#[test]
fn moving_room_and_start_changes_nothing() {
    let mut chance = Chance(12);
    for _ in 0..400 {
        let (room, laying) = (chance.room(0.25), chance.laying());
        let by = Point::new(
            chance.length(-500.0, 500.0, 0.25),
            chance.length(-500.0, 500.0, 0.25),
        );
        let moved = |at: Point| Point::new(at.x + by.x, at.y + by.y);
        let start = match laying.start {
            Start::Wall { near, on } => Start::Wall {
                near: moved(near),
                on,
            },
            Start::Line { at, to, on } => Start::Line {
                at: moved(at),
                to,
                on,
            },
            Start::Corner(at) => Start::Corner(moved(at)),
            same @ Start::Centred { .. } => same,
        };
        let ring = |ring: &Ring| ring.iter().map(|at| moved(*at)).collect();
        let rings: Vec<Ring> = room.rings().iter().map(ring).collect();
        let other = Room::new(&rings[0], &rings[1..]).unwrap();
        let before = Layout::new(&room, &laying).unwrap();
        let after = Layout::new(
            &other,
            &Laying {
                start,
                ..laying.clone()
            },
        )
        .unwrap();
        same(&before, &after);
    }
}

/// Whether two layouts have the same tiles.
fn same(one: &Layout, other: &Layout) {
    assert_eq!(one.counts(), other.counts(), "{:?}", one.laying);
    assert!((one.tile_area() - other.tile_area()).abs() < 1e-6);
    let width = |layout: &Layout| layout.narrowest().map_or(1e9, |narrow| narrow.width);
    assert!((width(one) - width(other)).abs() < 1e-6, "{:?}", one.laying);
}

#[test]
fn a_larger_room_never_takes_fewer_tiles() {
    let mut chance = Chance(13);
    let mut more = 0;
    for _ in 0..400 {
        let (small, mut laying) = (chance.room(0.25), chance.laying());
        laying.start = Start::Corner(Point::new(3.0, 7.0));
        // The outline moved out by up to an inch, its obstacle left as it is.
        let by = chance.length(0.25, 1.0, 0.25);
        let mut outside = small.rings()[0].clone();
        outside.reverse();
        let around = Rect::new(-500.0, -500.0, 1500.0, 1500.0).ring();
        let grown = Room::new(&around, &[outside]).unwrap();
        // The room around the room, less a gap, has the larger outline as its obstacle; a gap of
        // less than nothing is not a thing, so the edges are moved in the room around instead.
        let inner = grown.inset(by).unwrap();
        let large = Room::new(&inner.rings()[1], &small.rings()[1..]).unwrap();
        let few = Layout::new(&small, &laying)
            .unwrap()
            .counts()
            .without_reuse();
        let many = Layout::new(&large, &laying)
            .unwrap()
            .counts()
            .without_reuse();
        assert!(many >= few, "{many} {few} {laying:?}");
        more += usize::from(many > few);
    }
    assert!(more > 100, "{more}");
}

#[test]
fn pieces_and_joints_make_up_the_room() {
    let mut chance = Chance(14);
    for _ in 0..400 {
        let (room, laying) = (chance.room(0.0625), chance.laying());
        let layout = Layout::new(&room, &laying).unwrap();
        // Every tile with its joint to the right and above covers the plane once; the joints are
        // clipped by themselves. Tiles around the room are listed too, for their joints.
        let bounds = Rect::around(&layout.inner.rings()[0]).unwrap();
        let joint = laying.tile.joint;
        let wide = Rect::new(
            bounds.left - 1.0,
            bounds.bottom - 1.0,
            bounds.width() + 2.0,
            bounds.height() + 2.0,
        );
        let mut joints = 0.0;
        for place in places(&laying.pattern, &laying.tile, layout.first, &wide) {
            let Rect {
                left,
                bottom,
                right,
                top,
            } = place.rect;
            for strip in [
                Rect::new(right, bottom, joint, top - bottom),
                Rect::new(left, top, right - left + joint, joint),
            ] {
                joints += area(&clip(layout.inner.rings(), &strip));
            }
        }
        let room = layout.inner.area();
        let found = layout.tile_area() + joints;
        assert!(
            (found - room).abs() <= 1e-9 * room,
            "{found} {room} {laying:?}"
        );
        let said = layout.joint_area();
        assert!((said - joints).abs() <= 1e-9 * room, "{said} {joints}");
    }
}

#[test]
fn what_cannot_be_laid_is_refused() {
    let room = Room::rectangle(100.0, 60.0).unwrap();
    let laying = grid(24.0, 12.0, 0.25);
    let refused = |change: &dyn Fn(&mut Laying)| {
        let mut laying = laying.clone();
        change(&mut laying);
        Layout::new(&room, &laying).unwrap_err()
    };
    for size in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(refused(&|l| l.tile.length = size), LayoutError::Size);
        assert_eq!(refused(&|l| l.tile.width = size), LayoutError::Size);
    }
    assert_eq!(
        refused(&|l| l.pattern = Pattern::Offset(f64::NAN)),
        LayoutError::Size
    );
    for gap in [-0.25, f64::NAN, f64::INFINITY] {
        assert_eq!(refused(&|l| l.tile.joint = gap), LayoutError::Joint);
        assert_eq!(refused(&|l| l.gap = gap), LayoutError::Joint);
    }
    assert!(matches!(refused(&|l| l.gap = 30.0), LayoutError::Room(_)));
    let nowhere = Start::Corner(Point::new(f64::NAN, 0.0));
    assert_eq!(refused(&|l| l.start = nowhere), LayoutError::Start);
    let tiny = refused(&|l| (l.tile.length, l.tile.width, l.tile.joint) = (0.01, 0.01, 0.0));
    assert!(matches!(tiny, LayoutError::TooMany(_)));
}
