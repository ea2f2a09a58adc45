//! Rooms with an outline: their corners, columns and walls, and what is refused.

use super::{Dice, agree};
use crate::slice::between;
use crate::surface::{Extent, Point, Reading, Surface, SurfaceError};

fn ring(corners: &[(f64, f64)]) -> Vec<Point> {
    corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
}

fn l_shape() -> Vec<Point> {
    ring(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 5.0),
        (5.0, 5.0),
        (5.0, 10.0),
        (0.0, 10.0),
    ])
}

fn square() -> Vec<Point> {
    ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
}

fn column() -> Vec<Point> {
    ring(&[(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)])
}

fn readings(points: &[(f64, f64, f64)]) -> Vec<Reading> {
    points
        .iter()
        .map(|(x, y, height)| Reading {
            at: Point::new(*x, *y),
            height: *height,
        })
        .collect()
}

fn corners_of(inset: f64) -> Vec<Reading> {
    let (near, far) = (inset, 10.0 - inset);
    readings(&[
        (near, near, 1.0),
        (far, near, 2.0),
        (far, far, 4.0),
        (near, far, 3.0),
    ])
}

#[test]
fn an_l_shape_with_readings_all_over() {
    let points = [
        (1.0, 1.0, 0.0),
        (9.0, 2.0, 1.0),
        (6.0, 4.0, 0.5),
        (4.0, 6.0, 0.2),
        (2.0, 9.0, 0.1),
    ];
    let mut outline = l_shape();
    for _ in 0..2 {
        let surface = Surface::new(&readings(&points), Extent::Rings(&[outline.clone()])).unwrap();
        assert!(agree(surface.area(), 75.0, 1e-12));
        // The other way around it is the same room.
        outline.reverse();
    }
}

#[test]
fn a_column_is_no_floor_wherever_it_stands() {
    let free = column();
    let at_the_wall = ring(&[(4.0, 0.0), (6.0, 0.0), (6.0, 3.0), (4.0, 3.0)]);
    for (island, taken) in [(free, 4.0), (at_the_wall, 6.0)] {
        let rings = [square(), island];
        let surface = Surface::new(&corners_of(1.0), Extent::Rings(&rings)).unwrap();
        assert!(agree(surface.area(), 100.0 - taken, 1e-12));
        assert!(agree(surface.shares().iter().sum(), 100.0 - taken, 1e-12));
    }
}

#[test]
fn a_corner_beyond_the_readings_is_as_high_as_the_nearest() {
    let readings = corners_of(2.0);
    let surface = Surface::new(&readings, Extent::Rings(&[square()])).unwrap();
    let corners: Vec<_> = surface
        .vertices
        .iter()
        .filter(|v| square().contains(&v.at))
        .collect();
    assert_eq!(corners.len(), 4);
    for corner in corners {
        let near = |r: &&Reading| r.at.distance(corner.at) < 3.0;
        assert_eq!(corner.height, readings.iter().find(near).unwrap().height);
    }
    assert_eq!((surface.lowest(), surface.highest()), (1.0, 4.0));
    // A quarter of the room for each, for the readings lie alike.
    assert!(
        surface
            .shares()
            .iter()
            .all(|share| agree(*share, 25.0, 1e-12))
    );
}

#[test]
fn readings_on_walls_and_in_corners_belong_to_the_room() {
    let mut all = corners_of(0.0);
    all.extend(readings(&[
        (5.0, 0.0, 0.0),
        (10.0, 10.0 / 3.0, 1.0),
        (3.0, 3.0, 1.0),
    ]));
    let surface = Surface::new(&all, Extent::Rings(&[square()])).unwrap();
    assert!(agree(surface.area(), 100.0, 1e-12));
    assert!(surface.shares().iter().all(|share| *share > 1.0));
    // A slanting wall meets few readings to the last digit.
    let wall = ring(&[(0.0, 0.0), (7.0, 3.0), (4.0, 10.0), (-3.0, 7.0)]);
    let mut dice = Dice(21);
    let mut all = readings(&[(2.0, 5.0, 1.0)]);
    for (index, from) in wall.iter().enumerate() {
        let to = wall[(index + 1) % 4];
        all.extend((0..5).map(|_| Reading {
            at: from.toward(to, dice.part()),
            height: dice.part(),
        }));
    }
    let surface = Surface::new(&all, Extent::Rings(&[wall])).unwrap();
    assert!(agree(surface.area(), 58.0, 1e-9), "{}", surface.area());
    assert!(surface.shares().iter().all(|share| *share > 0.0));
}

#[test]
fn what_is_no_room_is_refused() {
    let bow = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
    let inside = readings(&[
        (1.0, 2.0, 0.0),
        (9.0, 2.0, 0.0),
        (1.0, 5.0, 0.0),
        (9.0, 6.0, 0.0),
    ]);
    let refused = |readings: &[Reading], rings: &[Vec<Point>]| {
        Surface::new(readings, Extent::Rings(rings)).unwrap_err()
    };
    assert_eq!(refused(&inside, &[bow]), SurfaceError::RingCrosses);
    let through_the_wall = ring(&[(8.0, 4.0), (12.0, 4.0), (12.0, 5.0), (8.0, 5.0)]);
    assert_eq!(
        refused(&inside, &[square(), through_the_wall]),
        SurfaceError::RingCrosses
    );
    let mut outside = inside.clone();
    outside[2].at.x = -0.1;
    assert_eq!(refused(&outside, &[square()]), SurfaceError::Outside(2));
    let mut in_the_column = inside.clone();
    in_the_column[3].at = Point::new(5.0, 5.0);
    assert_eq!(
        refused(&in_the_column, &[square(), column()]),
        SurfaceError::Outside(3)
    );
    assert_eq!(refused(&inside[..2], &[square()]), SurfaceError::TooFew);
}

#[test]
fn what_is_no_surface_is_refused() {
    let refused = |readings: &[Reading]| Surface::new(readings, Extent::Readings).unwrap_err();
    let line = readings(&[
        (0.0, 0.0, 0.0),
        (1.0, 1.0, 1.0),
        (2.0, 2.0, 0.0),
        (5.0, 5.0, 0.0),
    ]);
    assert_eq!(refused(&line), SurfaceError::TooFew);
    assert_eq!(refused(&line[..2]), SurfaceError::TooFew);
    assert_eq!(refused(&[]), SurfaceError::TooFew);
    let mut twice = corners_of(1.0);
    twice.push(twice[2]);
    assert_eq!(refused(&twice), SurfaceError::SamePlace(4));
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        let mut room = corners_of(1.0);
        room[1].height = bad;
        assert_eq!(refused(&room), SurfaceError::NotANumber(1));
    }
}

#[test]
fn a_profile_along_a_wall_is_as_long_as_the_wall() {
    let points = [
        (1.0, 1.0, 0.0),
        (9.0, 2.0, 1.0),
        (6.0, 4.0, 0.5),
        (4.0, 6.0, 0.2),
        (2.0, 9.0, 0.1),
    ];
    for turned in [0.0, 0.3, 1.0, 2.0, 4.0] {
        let (sin, cos) = f64::sin_cos(turned);
        let turn = |at: Point| Point::new(at.x * cos - at.y * sin, at.x * sin + at.y * cos);
        let outline: Vec<Point> = l_shape().into_iter().map(turn).collect();
        let mut readings = readings(&points);
        readings.iter_mut().for_each(|r| r.at = turn(r.at));
        let surface =
            Surface::new(&readings, Extent::Rings(std::slice::from_ref(&outline))).unwrap();
        for (index, from) in outline.iter().enumerate() {
            let to = outline[(index + 1) % outline.len()];
            let wall = from.distance(to);
            for profiles in [between(&surface, *from, to), between(&surface, to, *from)] {
                assert_eq!(profiles.len(), 1, "{profiles:?}");
                let (first, last) = (profiles[0][0], profiles[0][profiles[0].len() - 1]);
                assert!(
                    first.0.abs() < 1e-4 && (last.0 - wall).abs() < 1e-4,
                    "{profiles:?}"
                );
            }
        }
    }
}

#[test]
fn a_cell_is_four_readings_in_order_around() {
    let mut points = corners_of(1.0);
    points.extend(readings(&[(5.0, 1.0, 0.0)]));
    let refused =
        |cell: [usize; 4]| Surface::new(&points, Extent::Cells(&[[0, 1, 2, 3], cell])).unwrap_err();
    // Crossing itself, with three on a line, twice the same, one that is none.
    for cell in [[0, 2, 1, 3], [0, 4, 1, 2], [0, 1, 1, 2], [0, 1, 2, 99]] {
        assert_eq!(refused(cell), SurfaceError::NotACell(0));
    }
}

#[test]
fn a_grid_that_turns_back_would_count_parts_twice_and_is_refused() {
    // Two rows at 0 and 1, columns at 0, 4, 2: from 4 to 2 the floor is there already.
    let points = readings(&[
        (0.0, 0.0, 0.0),
        (4.0, 0.0, 0.0),
        (2.0, 0.0, 0.0),
        (0.0, 1.0, 0.0),
        (4.0, 1.0, 0.0),
        (2.0, 1.0, 0.0),
    ]);
    let refused = Surface::new(&points, Extent::Cells(&[[0, 1, 4, 3], [1, 2, 5, 4]])).unwrap_err();
    assert_eq!(refused, SurfaceError::TurnsBack(5));
    assert_eq!(refused.reading(), Some(5));
}

#[test]
fn a_reading_beside_all_cells_is_no_part_of_the_floor() {
    let mut points = corners_of(1.0);
    points.extend(readings(&[(50.0, 1.0, 99.0)]));
    let surface = Surface::new(&points, Extent::Cells(&[[0, 1, 2, 3]])).unwrap();
    assert_eq!((surface.lowest(), surface.highest()), (1.0, 4.0));
    assert_eq!(surface.shares()[4], 0.0);
}
