//! Published worked examples, and values computed by another library.

use super::agree;
use crate::level::{above, below};
use crate::surface::{Extent, Point, Reading, Surface};

fn readings(points: &[(f64, f64, f64)]) -> Vec<Reading> {
    points
        .iter()
        .map(|(x, y, height)| Reading {
            at: Point::new(*x, *y),
            height: *height,
        })
        .collect()
}

#[test]
fn borrow_pit_levelling() {
    // Ghilani and Wolf, Elementary Surveying, appendix B, plate B.2, "Borrow-pit levelling":
    // height of instrument 364.70 ft, squares of 20 ft, grade 358.0 ft. Printed: heights by
    // squares add up to 91.1, and the volume is 337 cubic yards. Elevations as printed.
    let rows: [&[f64]; 5] = [
        &[359.5, 359.3, 359.0, 358.8, 358.5],
        &[360.0, 359.9, 359.5, 359.2, 358.9],
        &[360.5, 360.0, 359.9, 359.7],
        &[360.9, 360.7, 360.1, 360.1],
        &[361.3, 361.0, 360.5],
    ];
    let mut points = Vec::new();
    let mut first = Vec::new();
    for (y, row) in rows.iter().enumerate() {
        first.push(points.len());
        points.extend(
            row.iter()
                .enumerate()
                .map(|(x, height)| (x as f64 * 20.0, y as f64 * 20.0, *height)),
        );
    }
    let mut cells = Vec::new();
    for (row, squares) in [4, 3, 3, 2].into_iter().enumerate() {
        for column in 0..squares {
            let (near, far) = (first[row] + column, first[row + 1] + column);
            cells.push([near, near + 1, far + 1, far]);
        }
    }
    let surface = Surface::new(&readings(&points), Extent::Cells(&cells)).unwrap();
    let cut = above(&surface, 358.0);
    assert!(agree(cut.area, 12.0 * 400.0, 1e-12));
    assert!(agree(cut.volume * 4.0 / 400.0, 91.1, 1e-9), "{cut:?}");
    assert_eq!((cut.volume / 27.0).round(), 337.0);
    // The printed numbers of squares that meet at A0, B1, C3, D3.
    let shares = surface.shares();
    for (point, squares) in [(0, 1.0), (6, 4.0), (16, 3.0), (17, 1.0)] {
        assert!(agree(shares[point], squares * 100.0, 1e-12), "{point}");
    }
}

#[test]
fn one_cell_of_a_grid() {
    // An exercise printed on a tutoring page of the web, so a weak source: a cell of 50 ft,
    // corners at 87.6, 87.6, 87.6 and 88.6 ft, to be filled to 90 ft, takes 199 cubic yards.
    let corners = [
        (0.0, 0.0, 87.6),
        (50.0, 0.0, 87.6),
        (50.0, 50.0, 87.6),
        (0.0, 50.0, 88.6),
    ];
    let surface = Surface::new(&readings(&corners), Extent::Cells(&[[0, 1, 2, 3]])).unwrap();
    let fill = below(&surface, 90.0).volume / 27.0;
    assert_eq!(fill.round(), 199.0);
}

#[test]
fn the_prismoidal_formula() {
    // Hicks, Handbook of Civil Engineering Calculations: end areas of 1504 and 2240 and a
    // middle one of 1860 sq ft, 100 ft long, make 6904 cubic yards. A pit with an even floor
    // that deepens and widens along its length has these sections when its far end is r
    // times as wide as its near end, with 1504 r² - (4 · 1860 - 1504 - 2240) r + 2240 = 0.
    let (near, middle, far, length) = (1504.0, 1860.0, 2240.0, 100.0);
    let cross: f64 = 4.0 * middle - near - far;
    let r = (cross + (cross * cross - 4.0 * near * far).sqrt()) / (2.0 * near);
    let (narrow, wide) = (40.0, 40.0 * r);
    let corners = [
        (-narrow / 2.0, 0.0, -near / narrow),
        (narrow / 2.0, 0.0, -near / narrow),
        (wide / 2.0, length, -far / wide),
        (-wide / 2.0, length, -far / wide),
    ];
    let surface = Surface::new(&readings(&corners), Extent::Readings).unwrap();
    let volume = below(&surface, 0.0).volume;
    assert_eq!((volume / 27.0).round(), 6904.0);
    assert!(agree(
        volume,
        length * (near + 4.0 * middle + far) / 6.0,
        1e-12
    ));
}

/// Points, then their area, volume, area below 1 and volume below 1.
type Case<'a> = (&'a [(f64, f64, f64)], [f64; 4]);

#[test]
fn delaunay_triangles_of_another_library() {
    // Points drawn by numpy (default_rng(7)); triangles by scipy.spatial.Delaunay 1.17.1; area
    // of the convex hull by scipy.spatial.ConvexHull; volumes summed over those triangles,
    // cut at a height of 1 as polygons, in numpy.
    let cases: [Case<'_>; 3] = [
        (
            &[
                (6.25, 8.97, 1.01),
                (7.76, 2.25, 1.11),
                (3.0, 8.74, 1.99),
                (0.05, 8.21, 1.59),
                (7.97, 4.68, 1.24),
                (3.03, 2.78, 1.98),
                (2.55, 4.45, 0.43),
            ],
            [
                36.52030000000001,
                42.301143,
                13.17590373462204,
                2.5034217095781885,
            ],
        ),
        (
            &[
                (1.6, 6.13, 0.31),
                (0.44, 0.36, 0.54),
                (5.15, 4.66, 1.76),
                (9.17, 6.29, 1.02),
                (5.14, 4.97, 1.69),
                (2.48, 0.12, 1.28),
                (1.92, 6.92, 1.48),
                (2.01, 3.7, 0.18),
                (0.04, 8.3, 1.08),
            ],
            [
                42.9403,
                43.637524833333345,
                18.023149436106824,
                7.194206510059363,
            ],
        ),
        (
            &[
                (5.08, 8.71, 1.75),
                (3.61, 5.98, 1.32),
                (0.59, 3.88, 0.26),
                (3.23, 1.5, 1.69),
                (8.16, 3.79, 1.89),
                (9.79, 5.9, 1.81),
                (6.05, 6.38, 1.14),
                (6.76, 1.51, 0.29),
                (4.4, 2.4, 0.38),
                (4.02, 0.97, 1.86),
                (9.68, 2.15, 1.1),
                (6.72, 3.0, 0.36),
            ],
            [
                45.4099,
                48.53608900000001,
                20.554655348122004,
                7.467571887233072,
            ],
        ),
    ];
    for (points, [area, volume, wet, held]) in cases {
        let surface = Surface::new(&readings(points), Extent::Readings).unwrap();
        assert!(agree(surface.area(), area, 1e-9));
        assert!(agree(surface.area() * surface.mean(), volume, 1e-9));
        let part = below(&surface, 1.0);
        assert!(agree(part.area, wet, 1e-9), "{part:?} {wet}");
        assert!(agree(part.volume, held, 1e-9), "{part:?} {held}");
    }
}
