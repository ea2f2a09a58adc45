//! One more reading, at the height that the surface has there already.

use super::{Dice, agree, grid};
use crate::level::below;
use crate::straightedge::{Worst, worst_gaps};
use crate::surface::{Extent, Point, Reading, Surface};

/// A straightedge for floors some 20 long.
const STRAIGHTEDGE: f64 = 8.0;

fn span(readings: &[Reading], rings: &[Vec<Point>]) -> Surface {
    let extent = if rings.is_empty() {
        Extent::Readings
    } else {
        Extent::Rings(rings)
    };
    Surface::new(readings, extent).unwrap()
}

fn scattered(dice: &mut Dice, height: impl Fn(Point, f64) -> f64) -> Vec<Reading> {
    let count = 6 + (dice.part() * 25.0) as usize;
    (0..count)
        .map(|_| {
            let at = Point::new(dice.between(0.0, 20.0), dice.between(0.0, 12.0));
            let height = height(at, dice.between(-1.0, 1.0));
            Reading { at, height }
        })
        .collect()
}

fn room() -> Vec<Point> {
    [(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (0.0, 12.0)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

fn corners(surface: &Surface, triangle: [u32; 3]) -> [Point; 3] {
    triangle.map(|corner| surface.vertices[corner as usize].at)
}

/// What each corner of a triangle counts at a point; all of them parts from 0 to 1 within it.
fn weights([a, b, c]: [Point; 3], at: Point) -> [f64; 3] {
    let twice =
        |p: Point, q: Point, r: Point| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    let all = twice(a, b, c);
    [twice(at, b, c), twice(a, at, c), twice(a, b, at)].map(|part| part / all)
}

/// The height of a surface at a point of it.
fn height(surface: &Surface, at: Point) -> Option<f64> {
    surface.triangles.iter().find_map(|triangle| {
        let weights = weights(corners(surface, *triangle), at);
        let heights = surface.heights_of(*triangle);
        let sum = weights.iter().zip(heights).map(|(w, h)| w * h).sum();
        weights
            .iter()
            .all(|weight| *weight >= -1e-10)
            .then_some(sum)
    })
}

/// Whether a point lies in the circle through three others, or all but.
fn in_circle([a, b, c]: [Point; 3], at: Point) -> bool {
    let (bx, by, cx, cy) = (b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y);
    let twice = 2.0 * (bx * cy - by * cx);
    let (bb, cc) = (bx * bx + by * by, cx * cx + cy * cy);
    let centre = Point::new(
        a.x + (cy * bb - by * cc) / twice,
        a.y + (bx * cc - cx * bb) / twice,
    );
    centre.distance(at) < centre.distance(a) * (1.0 + 1e-6)
}

/// A point within a triangle.
fn within(dice: &mut Dice, [a, b, c]: [Point; 3]) -> Point {
    let (one, two) = (dice.between(0.05, 0.95), dice.between(0.05, 0.95));
    a.toward(b.toward(c, one), two)
}

/// Whether the readings can be told apart from one surface by nothing that is asked of floors.
fn same(one: &Surface, two: &Surface) -> bool {
    let levels = [-0.7, -0.2, 0.0, 0.3, 0.9, 1.5];
    let volumes = levels.iter().all(|level| {
        let (a, b) = (below(one, *level), below(two, *level));
        agree(a.area, b.area, 1e-9) && agree(a.volume, b.volume, 1e-9)
    });
    volumes && agree(one.area(), two.area(), 1e-9) && agree(one.mean(), two.mean(), 1e-9)
}

/// Whether a floor stands as high anywhere as another: so every straightedge rests on it the same.
fn same_heights(dice: &mut Dice, one: &Surface, two: &Surface) -> bool {
    (0..60).all(|_| {
        let at = Point::new(dice.between(0.0, 20.0), dice.between(0.0, 12.0));
        match (height(one, at), height(two, at)) {
            (Some(a), Some(b)) => agree(a, b, 1e-9),
            (a, b) => a.is_none() && b.is_none(),
        }
    })
}

/// The worst places of a floor under a straightedge.
fn worst(surface: &Surface) -> Vec<Worst> {
    worst_gaps(surface, STRAIGHTEDGE, 3)
}

/// Whether a straightedge rests on two floors the same at each of these places: all along it the one
/// is as high as the other. (The search itself starts from the readings: with one more of them it
/// takes other lines, and may find another place nearly as bad.)
fn same_under(places: &[Worst], one: &Surface, two: &Surface) -> bool {
    places.iter().all(|laid| {
        (1..50).all(|part| {
            let at = laid.from.toward(laid.to, f64::from(part) / 50.0);
            let heights = height(one, at).zip(height(two, at));
            heights.is_some_and(|(a, b)| agree(a, b, 1e-9))
        })
    })
}

/// Whether a new reading lies in no circle but its own triangle's, and nearer to no corner of the
/// outline than the reading that lends it its height.
fn meets(surface: &Surface, own: usize, rings: &[Vec<Point>], at: Point) -> bool {
    let mut triangles = surface.triangles.iter().enumerate();
    let alone = triangles.all(|(n, t)| n == own || !in_circle(corners(surface, *t), at));
    let readings = &surface.vertices[..surface.readings()];
    let lent = rings.iter().flatten().all(|corner| {
        let mut far = readings.iter().map(|reading| reading.at.distance(*corner));
        far.any(|far| far < at.distance(*corner))
    });
    alone && lent
}

#[test]
fn in_no_circle_but_its_own_a_reading_changes_nothing() {
    let mut dice = Dice(81);
    let (mut met, mut changed) = (0, 0);
    for rings in [vec![], vec![room()]] {
        for _ in 0..25 {
            let mut readings = scattered(&mut dice, |_, height| height);
            let before = span(&readings, &rings);
            // No four on a circle: every triangle is one of the three readings or corners.
            assert_eq!(
                before.vertices.len(),
                readings.len() + rings.iter().flatten().count()
            );
            let laid = worst(&before);
            let thrice = (0..3).flat_map(|_| before.triangles.iter().enumerate());
            for (own, triangle) in thrice {
                let at = within(&mut dice, corners(&before, *triangle));
                let height = height(&before, at).unwrap();
                readings.push(Reading { at, height });
                let after = span(&readings, &rings);
                readings.pop();
                assert!(agree(before.area(), after.area(), 1e-9));
                assert_eq!(before.highest(), after.highest());
                assert_eq!(before.lowest(), after.lowest());
                if meets(&before, own, &rings, at) {
                    met += 1;
                    assert!(same(&before, &after), "{at:?}");
                    assert!(same_heights(&mut dice, &before, &after), "{at:?}");
                    assert!(same_under(&laid, &before, &after), "{at:?}");
                } else {
                    changed += usize::from(!same(&before, &after));
                }
            }
        }
    }
    assert!(met > 200, "{met}");
    // The condition says something: elsewhere the floor does change.
    assert!(changed > 200, "{changed}");
}

#[test]
fn at_the_crossing_of_a_cell_a_reading_changes_nothing() {
    let mut dice = Dice(82);
    // The crossing lies in the circle of the next cell where the sides are as 1 to root 3.
    for (stretched, alone) in [(1.0, true), (1.7, true), (1.8, false)] {
        let mut changed = 0;
        for _ in 0..10 {
            let (mut readings, cells) = grid(5, 4, 2.0, |_, _| dice.between(-1.0, 1.0));
            readings.iter_mut().for_each(|r| r.at.x *= stretched);
            let before = span(&readings, &[]);
            let laid = worst(&before);
            for cell in cells {
                let [a, b, c, d] = cell.map(|corner| readings[corner]);
                let at = a.at.toward(c.at, 0.5);
                let height = (a.height + b.height + c.height + d.height) / 4.0;
                readings.push(Reading { at, height });
                let after = span(&readings, &[]);
                readings.pop();
                changed += usize::from(!same(&before, &after));
                if alone {
                    assert!(same_heights(&mut dice, &before, &after));
                    assert!(same_under(&laid, &before, &after));
                }
            }
        }
        assert_eq!(changed == 0, alone, "{stretched}: {changed}");
    }
}

#[test]
fn beside_the_crossing_of_a_cell_a_reading_gives_up_the_mean() {
    // A saddle: corners at 1, 0, 1, 0 around, 1/2 at the crossing. A quarter of the way along a
    // diagonal the surface stands at 3/4, and a fan from there holds 1/3 of 3/4 and 1: 7/12.
    let (mut readings, _) = grid(2, 2, 1.0, |x, y| f64::from(u8::from(x == y)));
    assert!(agree(span(&readings, &[]).mean(), 0.5, 1e-12));
    readings.push(Reading {
        at: Point::new(0.25, 0.25),
        height: 0.75,
    });
    assert!(agree(span(&readings, &[]).mean(), 7.0 / 12.0, 1e-12));
}

#[test]
fn a_plane_stays_a_plane_wherever_it_is_read_again() {
    let mut dice = Dice(83);
    let plane = |at: Point| 0.04 * at.x - 0.03 * at.y + 0.1;
    let mut added = 0;
    for round in 0..40 {
        let mut readings = if round % 2 == 0 {
            scattered(&mut dice, |at, _| plane(at))
        } else {
            grid(5, 4, 3.0, |x, y| plane(Point::new(x, y))).0
        };
        let before = span(&readings, &[]);
        for triangle in &before.triangles {
            let at = within(&mut dice, corners(&before, *triangle));
            readings.push(Reading {
                at,
                height: plane(at),
            });
            added += 1;
        }
        let after = span(&readings, &[]);
        assert!(same(&before, &after));
        assert!(same_heights(&mut dice, &before, &after));
        for surface in [&before, &after] {
            assert!(worst(surface).iter().all(|worst| worst.gap < 1e-9));
        }
    }
    assert!(added > 500, "{added}");
}
