//! Profiles along lines.

use super::{Dice, agree, floor, grid};
use crate::level::below;
use crate::slice::{Profile, between, slices};
use crate::surface::{Extent, Point, Surface};

fn length(profiles: &[Profile]) -> f64 {
    profiles.iter().map(|p| p[p.len() - 1].0 - p[0].0).sum()
}

/// The area between a profile and a level above all of it.
fn section(profile: &Profile, level: f64) -> f64 {
    profile
        .windows(2)
        .map(|pair| (pair[1].0 - pair[0].0) * (level - (pair[0].1 + pair[1].1) / 2.0))
        .sum()
}

#[test]
fn a_line_through_readings_meets_them() {
    let mut dice = Dice(31);
    let (readings, cells) = grid(7, 5, 2.0, |_, _| dice.part());
    let surface = Surface::new(&readings, Extent::Cells(&cells)).unwrap();
    for row in 0..5 {
        let y = row as f64 * 2.0;
        let profiles = between(&surface, Point::new(0.0, y), Point::new(12.0, y));
        assert_eq!(profiles.len(), 1);
        for column in 0..7 {
            let at = |p: &&(f64, f64)| (p.0 - column as f64 * 2.0).abs() < 1e-4;
            let met = profiles[0].iter().find(at).unwrap();
            assert!(
                (met.1 - readings[row * 7 + column].height).abs() < 1e-4,
                "{met:?}"
            );
        }
    }
}

#[test]
fn on_a_plane_every_profile_is_the_plane() {
    let surface = floor(6, 6, 2.0, |x, y| 0.3 * x - 0.1 * y);
    let (from, to) = (Point::new(1.0, 2.5), Point::new(8.0, 9.1));
    let profiles = between(&surface, from, to);
    assert_eq!(profiles.len(), 1);
    assert!(agree(length(&profiles), from.distance(to), 1e-12));
    for (along, height) in &profiles[0] {
        let at = from.toward(to, along / from.distance(to));
        assert!(agree(*height, 0.3 * at.x - 0.1 * at.y, 1e-9));
    }
}

#[test]
fn a_line_over_a_column_is_in_two_parts() {
    let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
    let column = [(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)];
    let rings = [square, column].map(|ring| ring.map(|(x, y)| Point::new(x, y)).to_vec());
    let (readings, _) = grid(2, 2, 10.0, |x, _| x);
    let surface = Surface::new(&readings, Extent::Rings(&rings)).unwrap();
    let profiles = between(&surface, Point::new(0.0, 5.0), Point::new(10.0, 5.0));
    let ends: Vec<(f64, f64)> = profiles
        .iter()
        .map(|p| (p[0].0, p[p.len() - 1].0))
        .collect();
    assert_eq!(ends.len(), 2, "{profiles:?}");
    let wanted = [(0.0, 4.0), (6.0, 10.0)];
    for (end, want) in ends.iter().zip(wanted) {
        assert!(
            agree(end.0, want.0, 1e-9) && agree(end.1, want.1, 1e-9),
            "{ends:?}"
        );
    }
}

#[test]
fn sections_make_the_volume_between_them() {
    // The prismoidal formula is exact for a solid with all its corners in two parallel
    // planes: V = L (A1 + 4 Am + A2)/6, here with sections taken by profiles.
    let mut dice = Dice(32);
    for _ in 0..50 {
        let mut readings = Vec::new();
        for y in [0.0, 7.0] {
            let mut x = 0.0;
            while x < 20.0 {
                readings.push((x, y));
                x += dice.between(1.0, 6.0);
            }
            readings.push((20.0, y));
        }
        let readings: Vec<_> = readings
            .into_iter()
            .map(|(x, y)| crate::surface::Reading {
                at: Point::new(x, y),
                height: dice.part(),
            })
            .collect();
        let surface = Surface::new(&readings, Extent::Readings).unwrap();
        // Just inside, for the ends of the strip are its walls.
        let offsets = [1e-9, 3.5, 7.0 - 1e-9];
        let areas: Vec<f64> = slices(&surface, 0.0, &offsets)
            .iter()
            .map(|profiles| profiles.iter().map(|p| section(p, 2.0)).sum())
            .collect();
        let volume = 7.0 * (areas[0] + 4.0 * areas[1] + areas[2]) / 6.0;
        assert!(agree(volume, below(&surface, 2.0).volume, 1e-6), "{volume}");
    }
}

#[test]
fn lengths_of_close_lines_make_the_area() {
    // Over a rectangle turned out of the way of the lines, by the midpoint rule: the length
    // is piecewise linear in the offset, so that the error falls with the square of the step.
    let surface = floor(6, 4, 2.0, |x, y| x * y);
    for angle in [0.1_f64, 0.7, 1.9, 3.0, -1.0] {
        let (sin, cos) = angle.sin_cos();
        let offsets: Vec<f64> = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]
            .iter()
            .map(|(x, y)| y * cos - x * sin)
            .collect();
        let low = offsets.iter().copied().fold(f64::INFINITY, f64::min);
        let high = offsets.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let step = (high - low) / 2000.0;
        let lines: Vec<f64> = (0..2000)
            .map(|n| low + (f64::from(n) + 0.5) * step)
            .collect();
        let area: f64 = slices(&surface, angle, &lines)
            .iter()
            .map(|p| length(p) * step)
            .sum();
        assert!(agree(area, 60.0, 1e-5), "{angle} {area}");
    }
}
