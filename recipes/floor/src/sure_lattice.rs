//! Where the high spot is looked for: a fine lattice over the floor.

use std::collections::BTreeMap;

use crate::surface::{Point, Reading, Surface};

/// Readings that are treated in full; beyond them only those about the high ones are.
pub(crate) const MOST_READINGS: usize = 150;
/// About how many points the lattice has.
const SPOTS: f64 = 1000.0;

/// A point of the lattice.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spot {
    /// Where.
    pub(crate) at: Point,
    /// The part of the whole floor's area it stands for.
    pub(crate) share: f64,
}

/// The part of a floor that may hold its highest spot, and what is known about the rest.
pub(crate) struct Lattice {
    /// The readings in that part.
    pub(crate) readings: Vec<Reading>,
    /// The points of the lattice.
    pub(crate) spots: Vec<Spot>,
    /// Where readings at half the spacing would be added.
    pub(crate) halves: Vec<Point>,
    /// What the rest of the floor adds to the mean height.
    pub(crate) rest: f64,
    /// The distance of neighbouring points of the lattice.
    pub(crate) step: f64,
}

/// The lattice of a floor whose readings are `spacing` apart.
pub(crate) fn lattice(surface: &Surface, spacing: f64) -> Lattice {
    let near = near(surface);
    let is_near = |corner: &u32| {
        let from = &surface.vertices[*corner as usize].from;
        from.iter().all(|(reading, _)| near[*reading as usize])
    };
    let (inside, outside): (Vec<[u32; 3]>, Vec<[u32; 3]>) = surface
        .triangles
        .iter()
        .partition(|triangle| triangle.iter().all(is_near));
    let area = surface.area();
    let parts = (2.0 * SPOTS / inside.len() as f64).sqrt().clamp(2.0, 5.0) as usize;
    // Points that triangles share are one; they are told apart at a millionth of the spacing.
    let key = |at: Point| [at.x, at.y].map(|along| (along / spacing * 1e6).round() as i64);
    let mut spots: BTreeMap<[i64; 2], Spot> = BTreeMap::new();
    let mut halves: BTreeMap<[i64; 2], Point> = BTreeMap::new();
    for triangle in &inside {
        let part = surface.area_of(*triangle) / area;
        let corners = triangle.map(|corner| surface.vertices[corner as usize].at);
        for (at, share) in split(corners, parts) {
            let spot = spots.entry(key(at)).or_insert(Spot { at, share: 0.0 });
            spot.share += share * part;
        }
        for at in between_readings(surface, *triangle) {
            halves.insert(key(at), at);
        }
    }
    let mean_of = |triangle: &[u32; 3]| surface.heights_of(*triangle).iter().sum::<f64>() / 3.0;
    Lattice {
        readings: surface.vertices[..surface.readings()]
            .iter()
            .zip(&near)
            .filter(|(_, near)| **near)
            .map(|(vertex, _)| Reading {
                at: vertex.at,
                height: vertex.height,
            })
            .collect(),
        spots: spots.into_values().collect(),
        halves: halves.into_values().collect(),
        rest: outside
            .iter()
            .map(|t| surface.area_of(*t) / area * mean_of(t))
            .sum(),
        step: spacing / parts as f64,
    }
}

/// Where a triangle would be read again at half the spacing: halfway between readings, and
/// at the middle of a rectangle of four.
fn between_readings(surface: &Surface, triangle: [u32; 3]) -> Vec<Point> {
    let is_reading = |corner: u32| (corner as usize) < surface.readings();
    let at = |corner: u32| surface.vertices[corner as usize].at;
    let mut points = Vec::new();
    for index in 0..3 {
        let (one, two) = (triangle[index], triangle[(index + 1) % 3]);
        if is_reading(one) && is_reading(two) {
            points.push(at(one).toward(at(two), 0.5));
        }
        if surface.vertices[one as usize].from.len() > 1 {
            points.push(at(one));
        }
    }
    points
}

/// Which readings are near the high ones: those whose neighbours reach highest.
fn near(surface: &Surface) -> Vec<bool> {
    let count = surface.readings();
    if count <= MOST_READINGS {
        return vec![true; count];
    }
    let mut reach = vec![f64::NEG_INFINITY; count];
    for triangle in &surface.triangles {
        let corners = || {
            let of = |corner: &u32| surface.vertices[*corner as usize].from.iter();
            triangle
                .iter()
                .flat_map(of)
                .map(|(reading, _)| *reading as usize)
        };
        let heights = corners().map(|reading| surface.vertices[reading].height);
        let highest = heights.fold(f64::NEG_INFINITY, f64::max);
        for reading in corners() {
            reach[reading] = reach[reading].max(highest);
        }
    }
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| reach[*b].total_cmp(&reach[*a]));
    let mut near = vec![false; count];
    for reading in &order[..MOST_READINGS] {
        near[*reading] = true;
    }
    near
}

/// The lattice of a triangle whose sides are cut in parts, with the share of its area that
/// each point stands for: exact for the volume under a surface linear between the points.
fn split(corners: [Point; 3], parts: usize) -> Vec<(Point, f64)> {
    let [a, b, c] = corners;
    let mut points = Vec::new();
    let each = 1.0 / (3 * parts * parts) as f64;
    for i in 0..=parts {
        for j in 0..=parts - i {
            let (u, v) = (i as f64 / parts as f64, j as f64 / parts as f64);
            let at = Point::new(
                a.x + (b.x - a.x) * u + (c.x - a.x) * v,
                a.y + (b.y - a.y) * u + (c.y - a.y) * v,
            );
            // Small triangles that meet in the point: one at a corner, three on a side.
            let sides = [i, j, parts - i - j].iter().filter(|n| **n == 0).count();
            let meeting = match sides {
                0 => 6.0,
                1 => 3.0,
                _ => 1.0,
            };
            points.push((at, meeting * each));
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::Extent;

    fn grid(side: usize, height: impl Fn(f64, f64) -> f64) -> Surface {
        let place = |k: usize| (2 * (k % side)) as f64;
        let readings: Vec<Reading> = (0..side * side)
            .map(|k| {
                let (x, y) = (place(k), place(k / side));
                Reading {
                    at: Point::new(x, y),
                    height: height(x, y),
                }
            })
            .collect();
        Surface::new(&readings, Extent::Readings).unwrap()
    }

    #[test]
    fn the_points_stand_for_the_whole_floor() {
        let lattice = lattice(&grid(7, |x, _| x), 2.0);
        let sum = |of: &dyn Fn(&Spot) -> f64| lattice.spots.iter().map(of).sum::<f64>();
        assert!((sum(&|s| s.share) - 1.0).abs() < 1e-12);
        // The centre of a square of 12 by 12.
        assert!((sum(&|s| s.share * s.at.x) - 6.0).abs() < 1e-9);
        // Half the spacing turns 7 by 7 readings into 13 by 13.
        assert_eq!(lattice.halves.len(), 13 * 13 - 7 * 7);
    }

    #[test]
    fn of_many_readings_the_ones_about_the_highest_stay() {
        let surface = grid(40, |x, y| -(x - 20.0).hypot(y - 60.0));
        let lattice = lattice(&surface, 2.0);
        assert_eq!(lattice.readings.len(), MOST_READINGS);
        let top = Point::new(20.0, 60.0);
        assert!(lattice.readings.iter().all(|r| r.at.distance(top) < 20.0));
        // Points and rest together have the mean of the floor.
        let height = |at: Point| -at.distance(top);
        let near: f64 = lattice.spots.iter().map(|s| s.share * height(s.at)).sum();
        assert!((near + lattice.rest - surface.mean()).abs() < 0.02);
    }
}
