//! What holds for every floor.

use super::{Dice, agree, grid};
use std::f64::consts::FRAC_PI_2;

use crate::level::{above, below, between_depths};
use crate::surface::{Extent, Point, Reading, Surface};

fn scattered(dice: &mut Dice) -> Vec<Reading> {
    let count = 4 + (dice.part() * 30.0) as usize;
    (0..count)
        .map(|_| Reading {
            at: Point::new(dice.between(0.0, 20.0), dice.between(0.0, 12.0)),
            height: dice.between(-1.0, 1.0),
        })
        .collect()
}

fn room() -> Vec<Point> {
    [(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (0.0, 12.0)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

/// Floors of all kinds: free readings, in a room, and on a grid.
fn floors() -> Vec<(Vec<Reading>, Vec<Vec<Point>>)> {
    let mut dice = Dice(11);
    let mut floors = Vec::new();
    for _ in 0..20 {
        floors.push((scattered(&mut dice), vec![]));
        floors.push((scattered(&mut dice), vec![room()]));
        let (readings, _) = grid(5, 4, 3.0, |_, _| dice.between(-1.0, 1.0));
        floors.push((readings, vec![]));
    }
    floors
}

fn span(readings: &[Reading], rings: &[Vec<Point>]) -> Surface {
    let extent = if rings.is_empty() {
        Extent::Readings
    } else {
        Extent::Rings(rings)
    };
    Surface::new(readings, extent).unwrap()
}

const LEVELS: [f64; 6] = [-0.8, -0.3, 0.0, 0.41, 0.9, 1.5];

/// Whether two floors hold as much at every level, and stand on their readings as much.
fn same(one: &Surface, two: &Surface) -> bool {
    LEVELS.iter().all(|level| {
        let (a, b) = (below(one, *level), below(two, *level));
        agree(a.area, b.area, 1e-9) && agree(a.volume, b.volume, 1e-9)
    })
}

fn close(one: &[f64], two: &[f64]) -> bool {
    one.iter().zip(two).all(|(a, b)| agree(*a, *b, 1e-9))
}

#[test]
fn shares_add_up_and_weigh_the_mean() {
    for (readings, rings) in floors() {
        let surface = span(&readings, &rings);
        let shares = surface.shares();
        assert!(agree(shares.iter().sum(), surface.area(), 1e-12));
        let weighed: f64 = shares
            .iter()
            .zip(&readings)
            .map(|(s, r)| s * r.height)
            .sum();
        assert!(agree(weighed, surface.mean() * surface.area(), 1e-12));
    }
}

#[test]
fn a_turn_a_shift_and_another_order_change_nothing() {
    // A quarter of a turn, and one for which no side of the grid stays straight to the digit.
    for (angle, floor) in floors()
        .into_iter()
        .flat_map(|f| [(FRAC_PI_2, f.clone()), (0.3, f)])
    {
        let (sin, cos) = f64::sin_cos(angle);
        let turn =
            |at: Point| Point::new(7.0 + at.x * cos - at.y * sin, at.x * sin + at.y * cos - 3.0);
        let (mut readings, mut rings) = floor;
        let before = span(&readings, &rings);
        readings.iter_mut().for_each(|r| r.at = turn(r.at));
        rings.iter_mut().flatten().for_each(|at| *at = turn(*at));
        let after = span(&readings, &rings);
        assert!(same(&before, &after));
        assert!(close(&before.shares(), &after.shares()));
        readings.reverse();
        let backwards = span(&readings, &rings);
        assert!(same(&before, &backwards));
        let mut shares = backwards.shares();
        shares.reverse();
        assert!(close(&before.shares(), &shares));
    }
}

#[test]
fn lifting_the_floor_lifts_the_level() {
    for (mut readings, rings) in floors() {
        let before = span(&readings, &rings);
        readings.iter_mut().for_each(|r| r.height += 10.0);
        let after = span(&readings, &rings);
        for level in LEVELS {
            let (a, b) = (below(&before, level), below(&after, level + 10.0));
            assert!(agree(a.volume, b.volume, 1e-9) && agree(a.area, b.area, 1e-9));
        }
    }
}

#[test]
fn volume_grows_by_the_area_below() {
    for (readings, rings) in floors() {
        let surface = span(&readings, &rings);
        let step = 0.01;
        let mut last = below(&surface, -1.1);
        assert_eq!((last.area, last.volume), (0.0, 0.0));
        for part in 1..=220 {
            let now = below(&surface, -1.1 + step * f64::from(part));
            // The slope of the volume is the area, and the area never falls: the gain lies
            // between what the area before and the area after would give.
            let gain = now.volume - last.volume;
            assert!(gain >= step * last.area - 1e-9, "{last:?} {now:?}");
            assert!(gain <= step * now.area + 1e-9, "{last:?} {now:?}");
            last = now;
        }
        assert!(agree(last.area, surface.area(), 1e-12));
    }
}

#[test]
fn above_is_below_with_the_floor_turned_over() {
    for (mut readings, rings) in floors() {
        let surface = span(&readings, &rings);
        readings.iter_mut().for_each(|r| r.height = -r.height);
        let turned = span(&readings, &rings);
        for level in LEVELS {
            let (a, b) = (above(&surface, level), below(&turned, -level));
            assert!(agree(a.area, b.area, 1e-9), "{a:?} {b:?}");
            assert!(agree(a.volume, b.volume, 1e-9), "{a:?} {b:?}");
        }
    }
}

#[test]
fn classes_of_depth_add_up() {
    for (readings, rings) in floors() {
        let surface = span(&readings, &rings);
        for level in LEVELS {
            let all = below(&surface, level);
            let bounds = [0.0, 0.25, 0.5, 1.0, f64::INFINITY];
            let (mut area, mut volume) = (0.0, 0.0);
            for pair in bounds.windows(2) {
                let part = between_depths(&surface, level, pair[0], pair[1]);
                // As deep as its class says on the whole, too.
                assert!(part.volume >= pair[0] * part.area - 1e-9, "{part:?}");
                assert!(
                    part.volume <= pair[1].min(9.0) * part.area + 1e-9,
                    "{part:?}"
                );
                area += part.area;
                volume += part.volume;
            }
            assert!(agree(area, all.area, 1e-9) && agree(volume, all.volume, 1e-9));
        }
    }
}

#[test]
fn a_grid_is_the_same_floor_however_it_is_told() {
    let mut dice = Dice(12);
    let (readings, cells) = grid(6, 5, 2.0, |_, _| dice.between(-1.0, 1.0));
    let as_cells = Surface::new(&readings, Extent::Cells(&cells)).unwrap();
    let free = span(&readings, &[]);
    assert!(same(&as_cells, &free));
    assert!(close(&as_cells.shares(), &free.shares()));
}
