//! The plane that fits a floor best, and what is left above and below it.
//!
//! The fit takes the least squares over the area of the floor, not over its readings: where
//! readings are dense they do not count more. All integrals are exact over the triangles.

use crate::surface::Surface;

/// The best-fit plane of a floor. Slopes are rise per length; heights are in the unit of heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Rise of the plane per length along x.
    pub slope_x: f64,
    /// Rise of the plane per length along y.
    pub slope_y: f64,
    /// Height of the plane at x = 0, y = 0, which may lie outside the floor.
    pub level_at_origin: f64,
    /// The fall: the highest point of the plane over the floor less the lowest.
    pub fall: f64,
    /// Root mean square of the plane's height about its mean, over the area: the tilt.
    pub tilt: f64,
    /// Root mean square of the floor's height about the plane, over the area: the waviness.
    pub waviness: f64,
    /// How far the floor stands above the plane at most.
    pub most_above: f64,
    /// How far the floor stands below the plane at most; not negative.
    pub most_below: f64,
}

impl Fit {
    /// The height of the plane at a point.
    pub fn height(&self, x: f64, y: f64) -> f64 {
        self.level_at_origin + self.slope_x * x + self.slope_y * y
    }

    /// Root mean square of the floor's height about its mean: tilt and waviness together,
    /// for their squares add up.
    pub fn spread(&self) -> f64 {
        self.tilt.hypot(self.waviness)
    }
}

/// Fits a plane to a floor.
pub fn fit(surface: &Surface) -> Fit {
    let centre = centroid(surface);
    // About the centroid the mean takes no part in the slopes, and no digits are lost to
    // coordinates far from the origin.
    let product = |a: usize, b: usize| integral(surface, centre, |p| p[a], |p| p[b]);
    let (xx, xy, yy) = (product(0, 0), product(0, 1), product(1, 1));
    let (xz, yz) = (product(0, 2), product(1, 2));
    let determinant = xx * yy - xy * xy;
    let slope_x = (xz * yy - yz * xy) / determinant;
    let slope_y = (yz * xx - xz * xy) / determinant;
    let plane = |p: [f64; 3]| slope_x * p[0] + slope_y * p[1];
    let off = |p: [f64; 3]| p[2] - plane(p);
    let area = surface.area();
    let root_mean_square =
        |of: &dyn Fn([f64; 3]) -> f64| (integral(surface, centre, of, of) / area).max(0.0).sqrt();
    let (lowest, highest) = range(surface, centre, plane);
    let (below, above) = range(surface, centre, off);
    Fit {
        slope_x,
        slope_y,
        level_at_origin: centre[2] - slope_x * centre[0] - slope_y * centre[1],
        fall: highest - lowest,
        tilt: root_mean_square(&plane),
        waviness: root_mean_square(&off),
        most_above: above.max(0.0),
        most_below: (-below).max(0.0),
    }
}

/// The mean x, y and height over the area.
fn centroid(surface: &Surface) -> [f64; 3] {
    // Counted from one corner, so that a floor far from the origin loses no digits.
    let first = surface.triangles.first();
    let start = first.map_or([0.0; 3], |t| corner(surface, t[0], [0.0; 3]));
    let mut sum = [0.0; 3];
    for triangle in &surface.triangles {
        let third = surface.area_of(*triangle) / 3.0;
        for index in triangle {
            let point = corner(surface, *index, start);
            for axis in 0..3 {
                sum[axis] += third * point[axis];
            }
        }
    }
    let area = surface.area();
    [0, 1, 2].map(|axis| start[axis] + sum[axis] / area)
}

/// A corner as x, y and height, counted from a centre.
fn corner(surface: &Surface, index: u32, centre: [f64; 3]) -> [f64; 3] {
    let vertex = &surface.vertices[index as usize];
    [
        vertex.at.x - centre[0],
        vertex.at.y - centre[1],
        vertex.height - centre[2],
    ]
}

/// The integral over the floor of the product of two quantities, each linear over a triangle.
fn integral(
    surface: &Surface,
    centre: [f64; 3],
    one: impl Fn([f64; 3]) -> f64,
    two: impl Fn([f64; 3]) -> f64,
) -> f64 {
    let each = surface.triangles.iter().map(|triangle| {
        let corners = triangle.map(|index| corner(surface, index, centre));
        let (a, b) = (corners.map(&one), corners.map(&two));
        let paired: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
        let sums = a.iter().sum::<f64>() * b.iter().sum::<f64>();
        surface.area_of(*triangle) * (paired + sums) / 12.0
    });
    each.sum()
}

/// The least and the most of a quantity that is linear over each triangle.
fn range(surface: &Surface, centre: [f64; 3], of: impl Fn([f64; 3]) -> f64) -> (f64, f64) {
    let corners = surface.triangles.iter().flatten();
    let each = corners.map(|index| of(corner(surface, *index, centre)));
    each.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), v| {
        (least.min(v), most.max(v))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::{Extent, Point, Reading};

    fn grid(columns: usize, rows: usize, step: f64, height: impl Fn(f64, f64) -> f64) -> Surface {
        let mut readings = Vec::new();
        for index in 0..columns * rows {
            let x = (index % columns) as f64 * step;
            let y = (index / columns) as f64 * step;
            readings.push(Reading {
                at: Point::new(x, y),
                height: height(x, y),
            });
        }
        let around = |i: usize| [i, i + 1, i + columns + 1, i + columns];
        let inner = (0..columns * (rows - 1)).filter(|i| i % columns != columns - 1);
        let cells: Vec<[usize; 4]> = inner.map(around).collect();
        Surface::new(&readings, Extent::Cells(&cells)).unwrap()
    }

    fn close(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-9, "{a} is not {b}");
    }

    #[test]
    fn a_tilted_plane_has_no_waviness() {
        let fit = fit(&grid(6, 4, 12.0, |x, y| 5.0 + 0.02 * x - 0.03 * y));
        close(fit.slope_x, 0.02);
        close(fit.slope_y, -0.03);
        close(fit.level_at_origin, 5.0);
        // 60 along by 0.02 and 36 along by 0.03.
        close(fit.fall, 1.2 + 1.08);
        // A length L at slope s has the mean square s^2 L^2 / 12; two across each other add up.
        close(
            fit.tilt,
            ((1.2_f64.powi(2) + 1.08_f64.powi(2)) / 12.0).sqrt(),
        );
        close(fit.waviness, 0.0);
        close(fit.most_above, 0.0);
        close(fit.most_below, 0.0);
    }

    #[test]
    fn a_triangle_wave_has_its_known_root_mean_square() {
        // Straight from -a to a and back, the mean square is a^2 / 3, whatever the tilt of
        // the floor across the wave.
        let wave = |x: f64, y: f64| {
            let up = ((x / 12.0) as usize).is_multiple_of(2);
            (if up { -0.3 } else { 0.3 }) + 0.01 * y
        };
        let fit = fit(&grid(9, 5, 12.0, wave));
        close(fit.waviness, 0.3 / 3.0_f64.sqrt());
        close(fit.slope_x, 0.0);
        close(fit.slope_y, 0.01);
        close(fit.most_above, 0.3);
        close(fit.most_below, 0.3);
    }

    #[test]
    fn a_floor_far_from_the_origin_fits_as_well() {
        let far = |p: f64| p * 0.01;
        let near = fit(&grid(5, 5, 10.0, |x, y| far(x) + (x * y).sin()));
        let readings: Vec<Reading> = (0..25)
            .map(|i| ((i % 5) as f64 * 10.0, (i / 5) as f64 * 10.0))
            .map(|(x, y)| Reading {
                at: Point::new(x + 1e6, y - 2e6),
                height: far(x) + (x * y).sin(),
            })
            .collect();
        let around = |i: usize| [i, i + 1, i + 6, i + 5];
        let cells: Vec<[usize; 4]> = (0..20).filter(|i| i % 5 != 4).map(around).collect();
        let moved = fit(&Surface::new(&readings, Extent::Cells(&cells)).unwrap());
        assert!((near.slope_x - moved.slope_x).abs() < 1e-9);
        assert!((near.waviness - moved.waviness).abs() < 1e-9);
    }

    #[test]
    fn agrees_with_weighted_least_squares() {
        // numpy 2.4.6, linalg.lstsq over the middles of the sides of all triangles, weighted
        // by area: for squares of what is linear over a triangle this sum is the integral.
        let heights = [[3, -1, 4, 1], [5, 9, -2, 6], [5, 3, 5, -8]];
        let height = |x: f64, y: f64| f64::from(heights[(y / 10.0) as usize][(x / 10.0) as usize]);
        let fit = fit(&grid(4, 3, 10.0, height));
        close(fit.slope_x, -0.181 / 1.08);
        close(fit.slope_y, 0.025);
        close(fit.level_at_origin, 191.0 / 36.0);
        close(fit.waviness, 1.976_700_054_888_421);
        close(fit.tilt, 1.458_553_775_226_112);
        close(fit.most_above, 5.472_222_222_222_225);
        close(fit.most_below, 8.777_777_777_777_775);
    }

    #[test]
    fn dense_readings_do_not_count_more() {
        // The right half is a step lower and is read ten times as densely; the mean square
        // counts by area all the same. The plane of a floor read coarsely is the same.
        let height = |x: f64| if x < 60.0 { x / 60.0 } else { 2.0 - x / 60.0 };
        let strip = |xs: &[f64]| {
            let mut readings = Vec::new();
            for y in [0.0, 40.0] {
                readings.extend(xs.iter().map(|x| Reading {
                    at: Point::new(*x, y),
                    height: height(*x),
                }));
            }
            let n = xs.len();
            let cells: Vec<[usize; 4]> = (0..n - 1).map(|i| [i, i + 1, i + n + 1, i + n]).collect();
            fit(&Surface::new(&readings, Extent::Cells(&cells)).unwrap())
        };
        let coarse = strip(&[0.0, 60.0, 120.0]);
        let dense: Vec<f64> = [0.0, 60.0]
            .into_iter()
            .chain((1..=10).map(|i| 60.0 + 6.0 * i as f64))
            .collect();
        let dense = strip(&dense);
        close(coarse.slope_x, dense.slope_x);
        close(coarse.waviness, dense.waviness);
        close(dense.slope_x, 0.0);
    }
}
