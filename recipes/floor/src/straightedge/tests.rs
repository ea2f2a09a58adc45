//! Against closed forms and a slow search of every line.

use super::*;
use crate::slice::{between, slices};
use crate::surface::{Extent, Reading};

/// A square grid of readings.
fn grid(n: usize, step: f64, height: impl Fn(f64, f64) -> f64) -> Surface {
    mapped(n, step, height, |at| at)
}

/// A square grid of readings whose points are then moved in plan.
fn mapped(
    n: usize,
    step: f64,
    height: impl Fn(f64, f64) -> f64,
    map: impl Fn(Point) -> Point,
) -> Surface {
    let mut readings = Vec::new();
    for index in 0..n * n {
        let (x, y) = ((index % n) as f64 * step, (index / n) as f64 * step);
        let at = map(Point::new(x, y));
        readings.push(Reading {
            at,
            height: height(x, y),
        });
    }
    let corners = |i: usize| [i, i + 1, i + n + 1, i + n];
    let inner = (0..n * n - n).filter(|i| i % n != n - 1);
    let cells: Vec<[usize; 4]> = inner.map(corners).collect();
    Surface::new(&readings, Extent::Cells(&cells)).unwrap()
}

/// Heights without a pattern, the same in every run.
fn rough(x: f64, y: f64) -> f64 {
    let mut state = (x * 31.0 + y * 1009.0 + 7.0) as u64;
    for _ in 0..3 {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        state ^= state >> 31;
    }
    (state >> 40) as f64 / (1u64 << 24) as f64 * 0.3
}

fn gap(surface: &Surface, length: f64) -> f64 {
    worst_gaps(surface, length, 1)
        .first()
        .map_or(0.0, |worst| worst.gap)
}

/// The thickness of the hull between two distances, over every three points.
fn slow_thickness(profile: &[(f64, f64)], from: f64, to: f64) -> f64 {
    let line = |a: (f64, f64), b: (f64, f64), s: f64| a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0);
    let end = |s: f64| {
        let pair = profile
            .windows(2)
            .find(|p| p[0].0 <= s && s <= p[1].0 && p[0].0 < p[1].0);
        pair.map(|p| (s, line(p[0], p[1], s)))
    };
    let mut points: Vec<(f64, f64)> = end(from).into_iter().collect();
    points.extend(profile.iter().filter(|p| p.0 > from && p.0 < to));
    points.extend(end(to));
    let mut worst: f64 = 0.0;
    for (k, middle) in points.iter().enumerate() {
        for a in &points[..k] {
            for b in &points[k + 1..] {
                worst = worst.max((middle.1 - line(*a, *b, middle.0)).abs());
            }
        }
    }
    worst
}

/// Every direction by three degrees, many lines and many places on each.
fn slow(surface: &Surface, length: f64) -> f64 {
    let mut worst: f64 = 0.0;
    for index in 0..60 {
        let angle = PI * index as f64 / 60.0;
        let mut all = offsets(surface, angle, usize::MAX);
        let (first, last) = (all[0], all[all.len() - 1]);
        all.extend((0..50).map(|i| first + (last - first) * (i as f64 + 0.5) / 50.0));
        all.sort_by(f64::total_cmp);
        for profile in slices(surface, angle, &all).into_iter().flatten() {
            let (start, end) = (profile[0].0, profile[profile.len() - 1].0);
            let room = (end - start - length).max(0.0);
            for place in 0..=20 {
                let from = start + room * place as f64 / 20.0;
                let to = (from + length).min(end);
                worst = worst.max(slow_thickness(&profile, from, to));
            }
        }
    }
    worst
}

#[test]
fn agrees_with_a_slow_search() {
    let wavy = |x: f64, y: f64| (x / 20.0).sin() * (y / 27.0 + 0.4).cos() + 0.2 * rough(x, y);
    let floors = [
        grid(5, 30.0, rough),
        grid(4, 80.0, rough),
        grid(6, 24.0, wavy),
        grid(7, 12.0, rough),
    ];
    for surface in &floors {
        for length in [24.0, 72.0] {
            let (fast, slow) = (gap(surface, length), slow(surface, length));
            assert!(fast >= 0.98 * slow, "{fast} finds less than {slow}");
        }
    }
}

#[test]
fn a_gap_that_is_found_is_there() {
    // The slow search steps and may pass by the very worst; so the gap itself is measured
    // again where the straightedge is said to lie.
    let surface = grid(8, 15.0, rough);
    let listed = worst_gaps(&surface, 40.0, 5);
    assert!(listed.len() > 1);
    for worst in listed {
        let length = worst.from.distance(worst.to);
        assert!(length <= 40.0 + 1e-9);
        let profiles = between(&surface, worst.from, worst.to);
        let there = slow_thickness(&profiles[0], 0.0, length);
        assert!(
            (there - worst.gap).abs() < 1e-5,
            "{there} is not {}",
            worst.gap
        );
    }
}

#[test]
fn a_hump_and_a_hollow_have_the_same_known_gap() {
    // One reading 1 high among eight at 0. A cell's middle is the mean of its corners, 1/4
    // high, so beside the top the floor falls by 1/60 along the wall and by 1/120 across:
    // its steepest fall is sqrt(5)/120, and the floor is the same on the other side. A
    // straightedge of 48 centred over the top falls 24 times that on both sides.
    for sign in [1.0, -1.0] {
        let top = |x: f64, y: f64| if x == 60.0 && y == 60.0 { sign } else { 0.0 };
        let worst = worst_gaps(&grid(3, 60.0, top), 48.0, 1)[0];
        assert!(
            (worst.gap - 24.0 * 5.0_f64.sqrt() / 120.0).abs() < 1e-4,
            "{worst:?}"
        );
        assert!(worst.at.distance(Point::new(60.0, 60.0)) < 0.1);
    }
}

#[test]
fn a_ridge_has_its_full_height_between_its_feet() {
    // A ridge 0.25 high with feet 12 to each side, under a straightedge that reaches over both.
    let ridge = |x: f64, _: f64| if x == 48.0 { 0.25 } else { 0.0 };
    assert!((gap(&grid(9, 12.0, ridge), 60.0) - 0.25).abs() < 1e-9);
}

#[test]
fn a_step_shows_at_its_edge() {
    // A step of height 1 over a run of 12. A straightedge of 48 crosses it squarely; with u
    // and v of it on the lower and upper side its hull at the foot is u/(u + 12) thick where
    // the straightedge ends at the top of the step: 36/48.
    let step = |x: f64, _: f64| if x < 54.0 { 0.0 } else { 1.0 };
    assert!((gap(&grid(10, 12.0, step), 48.0) - 0.75).abs() < 1e-6);
}

#[test]
fn a_plane_has_no_gap() {
    let plane = |x: f64, y: f64| 3.0 + 0.02 * x - 0.01 * y;
    assert_eq!(gap(&grid(9, 13.0, plane), 50.0), 0.0);
}

#[test]
fn moving_turning_and_tilting_the_floor_change_nothing() {
    let surface = grid(8, 15.0, rough);
    let moved = mapped(8, 15.0, rough, |at| Point::new(at.x + 1234.5, at.y - 987.0));
    let turned = mapped(8, 15.0, rough, |at| Point::new(-at.y, at.x));
    let tilted = grid(8, 15.0, |x, y| rough(x, y) + 0.03 * x - 0.05 * y + 2.0);
    for length in [24.0, 60.0, 500.0] {
        let known = gap(&surface, length);
        for other in [&moved, &turned, &tilted] {
            let found = gap(other, length);
            assert!(
                (found - known).abs() < 1e-6 * known,
                "{found} is not {known}"
            );
        }
    }
}

#[test]
fn a_longer_straightedge_never_finds_less() {
    let surface = grid(8, 15.0, rough);
    let gaps: Vec<f64> = (1..14).map(|i| gap(&surface, 10.0 * i as f64)).collect();
    for pair in gaps.windows(2) {
        assert!(pair[1] >= 0.995 * pair[0], "{gaps:?}");
    }
    assert!(gaps[12] > gaps[0]);
}

#[test]
fn a_straightedge_does_not_pass_through_walls() {
    // Two rooms at different heights that touch nowhere: no gap in either.
    let corners = |x: f64, h: f64| {
        [(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)].map(|(dx, y)| Reading {
            at: Point::new(x + dx, y),
            height: h,
        })
    };
    let readings = [corners(0.0, 0.0), corners(50.0, 1.0)].concat();
    let cells = [[0, 1, 2, 3], [4, 5, 6, 7]];
    let surface = Surface::new(&readings, Extent::Cells(&cells)).unwrap();
    assert_eq!(worst_gaps(&surface, 60.0, 3), []);
}

#[test]
fn two_humps_are_two_places() {
    let humps = |x: f64, y: f64| match (x, y) {
        (36.0, 36.0) => 0.5,
        (144.0, 132.0) => 0.3,
        _ => 0.0,
    };
    let listed = worst_gaps(&grid(16, 12.0, humps), 48.0, 2);
    let gaps: Vec<f64> = listed.iter().map(|worst| worst.gap).collect();
    assert!(
        (gaps[0] - 0.5).abs() < 1e-9 && (gaps[1] - 0.3).abs() < 1e-9,
        "{gaps:?}"
    );
    assert!(listed[1].at.distance(Point::new(144.0, 132.0)) < 1e-6);
}

#[test]
fn nothing_to_lay_finds_nothing() {
    let surface = grid(4, 10.0, rough);
    for length in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(worst_gaps(&surface, length, 3), []);
    }
    assert_eq!(worst_gaps(&surface, 12.0, 0), []);
    // Too short to bridge anything, and no reason to search for ever.
    assert!(gap(&surface, 1e-9) < 1e-9);
}
