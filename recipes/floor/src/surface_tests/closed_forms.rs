//! Floors whose areas and volumes have a formula.

use super::{agree, floor};
use crate::level::{above, below};
use crate::surface::{Extent, Point, Reading, Surface};
use std::f64::consts::PI;

fn reading(x: f64, y: f64, height: f64) -> Reading {
    Reading {
        at: Point::new(x, y),
        height,
    }
}

#[test]
fn a_wedge() {
    // 20 by 10, rising evenly by 2: up to a level z, area A z/2 and volume A z²/4.
    let surface = floor(21, 11, 1.0, |x, _| x / 10.0);
    assert!(agree(surface.area(), 200.0, 1e-12));
    assert!(agree(surface.mean(), 1.0, 1e-12));
    for z in [0.0, 0.3, 1.0, 1.77, 2.0] {
        let part = below(&surface, z);
        assert!(agree(part.area, 100.0 * z, 1e-12), "{z} {part:?}");
        assert!(agree(part.volume, 50.0 * z * z, 1e-12), "{z} {part:?}");
    }
    let deep = below(&surface, 5.0);
    assert!(agree(deep.volume, 200.0 * 4.0, 1e-12), "{deep:?}");
}

#[test]
fn a_plane_half_dry() {
    // h = x + y over the unit square, level s: area s²/2 and volume s³/6 up to s = 1, and
    // from there the other half the same way from above.
    let surface = floor(9, 9, 0.125, |x, y| x + y);
    for s in [0.2, 0.5, 1.0] {
        let part = below(&surface, s);
        assert!(agree(part.area, s * s / 2.0, 1e-12), "{s} {part:?}");
        assert!(agree(part.volume, s * s * s / 6.0, 1e-12), "{s} {part:?}");
        let part = above(&surface, 2.0 - s);
        assert!(agree(part.area, s * s / 2.0, 1e-12), "{s} {part:?}");
        assert!(agree(part.volume, s * s * s / 6.0, 1e-12), "{s} {part:?}");
    }
}

#[test]
fn a_pyramid() {
    // Over a level a pyramid of base B and height H is one of base B (1 - z/H)² again.
    let readings = [
        reading(0.0, 0.0, 0.0),
        reading(6.0, 0.0, 0.0),
        reading(6.0, 6.0, 0.0),
        reading(0.0, 6.0, 0.0),
        reading(3.0, 3.0, 4.0),
    ];
    let surface = Surface::new(&readings, Extent::Readings).unwrap();
    assert!(agree(surface.mean(), 4.0 / 3.0, 1e-12));
    for z in [0.0, 1.0, 2.5, 4.0] {
        let (part, left) = (above(&surface, z), 1.0 - z / 4.0);
        assert!(agree(part.area, 36.0 * left.powi(2), 1e-12), "{part:?}");
        assert!(agree(part.volume, 48.0 * left.powi(3), 1e-12), "{part:?}");
    }
}

#[test]
fn a_bowl_within_the_error_of_its_triangles() {
    // The bowl h = x² + y² holds π z²/2 up to the level z. A cell of side s lies over it by
    // no more than (the longest side)²/4 = s²/4 in a triangle that touches it, and s²/2 for
    // its centre, the mean of four corners.
    let error = |cells: usize| {
        let step = 3.0 / cells as f64;
        let surface = floor(cells + 1, cells + 1, step, |x, y| {
            (x - 1.5).powi(2) + (y - 1.5).powi(2)
        });
        let (held, over) = (below(&surface, 1.0).volume, 0.75 * step * step);
        assert!(held <= PI / 2.0, "{held}");
        assert!(held >= PI / 2.0 * (1.0 - over).powi(2), "{held}");
        PI / 2.0 - held
    };
    // Half the side, a quarter of the error.
    let ratio = error(60) / error(120);
    assert!((3.9..4.1).contains(&ratio), "{ratio}");
}

#[test]
fn four_readings_of_a_trapezium() {
    // Its diagonals cross at heights of 1 and 2: the centre is the mean of both. By hand:
    // corners (0,0,0) (4,0,0) (3,2,6) (1,2,3), crossing at two thirds of the way, where
    // one diagonal has 4 and the other 2, so that the centre (2, 4/3) stands at 3.
    let readings = [
        reading(0.0, 0.0, 0.0),
        reading(4.0, 0.0, 0.0),
        reading(3.0, 2.0, 6.0),
        reading(1.0, 2.0, 3.0),
    ];
    let cell = Surface::new(&readings, Extent::Cells(&[[0, 1, 2, 3]])).unwrap();
    let circle = Surface::new(&readings, Extent::Readings).unwrap();
    // Triangles below, right, above and left of the centre: area by mean of corners.
    let volume = (4.0 * 4.0 / 3.0 / 2.0) * (3.0 / 3.0)
        + (2.0 * 2.0 / 3.0 / 2.0) * (6.0 + 3.0 + 3.0) / 3.0
        + 4.0 / 3.0 * (0.0 + 6.0 + 3.0) / 3.0
        + 4.0 / 3.0 * (0.0 + 3.0 + 3.0) / 3.0;
    for surface in [cell, circle] {
        assert!(agree(surface.area(), 6.0, 1e-12));
        assert!(agree(surface.mean() * 6.0, volume, 1e-12), "{surface:?}");
    }
}
