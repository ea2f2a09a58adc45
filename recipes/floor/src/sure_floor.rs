//! A floor as the readings tell it, and the depths of floors that might be.

use crate::sure_draws::{Draws, Known};
use crate::sure_lattice::{Lattice, MOST_READINGS, lattice};
use crate::sure_model::{Model, fit};
use crate::sure_random::Random;
use crate::surface::{Point, Reading, Surface};

/// Sets of parameters that are drawn with, likely ones several times.
const SETS: usize = 10;
/// Floors that are drawn with each.
const DRAWS: usize = 20;
/// The seed of all draws: the same readings give the same range.
const SEED: u64 = 1;

/// What is known about a floor. Points are counted from the middle of the readings, and
/// heights from the plane that fits them best.
pub(crate) struct Floor {
    plane: Plane,
    /// Readings from all over the floor.
    spread: Vec<Reading>,
    /// The part of the floor where the highest spot may be.
    pub(crate) lattice: Lattice,
    /// Sets of parameters, each as often as it is likely.
    models: Vec<Model>,
    /// The standard deviation of one reading.
    pub(crate) accuracy: f64,
    /// The usual distance of readings.
    pub(crate) spacing: f64,
}

impl Floor {
    /// Learns from readings. Nothing when they do not determine a floor.
    pub(crate) fn new(surface: &Surface, accuracy: f64) -> Option<Self> {
        let mut readings: Vec<Reading> = surface.vertices[..surface.readings()]
            .iter()
            .map(|vertex| Reading {
                at: vertex.at,
                height: vertex.height,
            })
            .collect();
        let plane = Plane::through(&readings)?;
        for reading in &mut readings {
            *reading = plane.about(reading);
        }
        let spacing = (surface.area() / readings.len() as f64).sqrt();
        let mut lattice = lattice(surface, spacing);
        for reading in &mut lattice.readings {
            *reading = plane.about(reading);
        }
        for spot in &mut lattice.spots {
            spot.at = plane.shifted(spot.at);
        }
        for point in &mut lattice.halves {
            *point = plane.shifted(*point);
        }
        let weighted = fit(&readings, accuracy, spacing, surface.area().sqrt());
        let stride = readings.len().div_ceil(MOST_READINGS);
        Some(Self {
            plane,
            spread: readings.into_iter().step_by(stride).collect(),
            lattice,
            models: resampled(&weighted, SETS),
            accuracy,
            spacing,
        })
    }

    /// What the readings tell, for drawing.
    pub(crate) fn known(&self) -> Known<'_> {
        Known {
            spread: &self.spread,
            near: &self.lattice.readings,
            noise: self.accuracy,
            detail: self.lattice.step,
        }
    }

    /// The mean depths below the highest spot of floors that agree with the readings.
    pub(crate) fn depths(&self) -> Vec<f64> {
        let mut random = Random::new(SEED);
        self.models
            .chunk_by(|one, two| one == two)
            .filter_map(|same| {
                let count = same.len() * DRAWS;
                Draws::new(same[0], &self.known(), count, &mut random)
            })
            .flat_map(|draws| self.depths_of(&draws, &self.lattice))
            .collect()
    }

    /// The height of the plane at a point.
    pub(crate) fn height(&self, at: Point) -> f64 {
        self.plane.height(at)
    }

    /// A few sets of parameters that stand for all.
    pub(crate) fn some_models(&self, count: usize) -> Vec<Model> {
        let place = |index: usize| (2 * index + 1) * self.models.len() / (2 * count);
        (0..count)
            .filter_map(|index| self.models.get(place(index)).copied())
            .collect()
    }

    /// The mean depth below the highest spot of each draw.
    pub(crate) fn depths_of(&self, draws: &Draws, lattice: &Lattice) -> Vec<f64> {
        let count = draws.count();
        let mut tops = vec![(f64::NEG_INFINITY, Point::new(0.0, 0.0)); count];
        let mut means = vec![lattice.rest; count];
        let mut heights = vec![0.0; count];
        for spot in &lattice.spots {
            heights.fill(self.plane.height(spot.at));
            draws.add_at(spot.at, &mut heights);
            for ((height, top), mean) in heights.iter().zip(&mut tops).zip(&mut means) {
                *mean += spot.share * height;
                if *height > top.0 {
                    *top = (*height, spot.at);
                }
            }
        }
        let tops = tops.into_iter().enumerate();
        tops.zip(means)
            .map(|((draw, top), mean)| self.climb(draws, draw, lattice, top) - mean)
            .collect()
    }

    /// The height of a draw's top: from the highest point of the lattice, steps of a half
    /// and then a quarter of the way to its neighbours, for tops lie between points.
    fn climb(&self, draws: &Draws, draw: usize, lattice: &Lattice, top: (f64, Point)) -> f64 {
        let (mut highest, start) = top;
        let spots = lattice.spots.iter().map(|spot| spot.at);
        let close: Vec<Point> = spots
            .filter(|at| at.distance(start) < 1.1 * lattice.step)
            .collect();
        let mut stand = start;
        for part in [0.5, 0.25] {
            let from = stand;
            for to in &close {
                let at = Point::new(
                    from.x + (to.x - start.x) * part,
                    from.y + (to.y - start.y) * part,
                );
                let height = self.plane.height(at) + draws.one_at(draw, at);
                if height > highest {
                    (highest, stand) = (height, at);
                }
            }
        }
        highest
    }
}

/// Models as often as their weights say, in their order: systematic resampling.
fn resampled(weighted: &[(Model, f64)], count: usize) -> Vec<Model> {
    let mut models = Vec::with_capacity(count);
    let mut sum = 0.0;
    for (model, weight) in weighted {
        sum += weight * count as f64;
        while models.len() < count && models.len() as f64 + 0.5 <= sum {
            models.push(*model);
        }
    }
    models
}

/// The plane nearest to readings by least squares, counted from their middle.
struct Plane {
    middle: Point,
    height: f64,
    slope: Point,
}

impl Plane {
    fn through(readings: &[Reading]) -> Option<Self> {
        let count = readings.len() as f64;
        let mean = |of: fn(&Reading) -> f64| readings.iter().map(of).sum::<f64>() / count;
        let middle = Point::new(mean(|r| r.at.x), mean(|r| r.at.y));
        let height = mean(|r| r.height);
        let [mut xx, mut xy, mut yy, mut xh, mut yh] = [0.0; 5];
        for reading in readings {
            let (x, y) = (reading.at.x - middle.x, reading.at.y - middle.y);
            let h = reading.height - height;
            xx += x * x;
            xy += x * y;
            yy += y * y;
            xh += x * h;
            yh += y * h;
        }
        let divisor = xx * yy - xy * xy;
        let slope = Point::new((xh * yy - yh * xy) / divisor, (yh * xx - xh * xy) / divisor);
        let plane = Self {
            middle,
            height,
            slope,
        };
        (slope.x.is_finite() && slope.y.is_finite()).then_some(plane)
    }

    fn shifted(&self, at: Point) -> Point {
        Point::new(at.x - self.middle.x, at.y - self.middle.y)
    }

    /// The plane's height at a point counted from the middle.
    fn height(&self, at: Point) -> f64 {
        self.height + self.slope.x * at.x + self.slope.y * at.y
    }

    fn about(&self, reading: &Reading) -> Reading {
        let at = self.shifted(reading.at);
        Reading {
            at,
            height: reading.height - self.height(at),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plane_of_readings_on_a_plane_is_that_plane() {
        let readings: Vec<Reading> = (0..12)
            .map(|k| {
                let at = Point::new(f64::from(k % 4) + 1e5, f64::from(k * k % 7));
                let height = 3.0 + 0.25 * (at.x - 1e5) - 0.5 * at.y;
                Reading { at, height }
            })
            .collect();
        let plane = Plane::through(&readings).unwrap();
        assert!((plane.slope.x - 0.25).abs() < 1e-9 && (plane.slope.y + 0.5).abs() < 1e-9);
        let most = |r: &Reading| plane.about(r).height.abs() < 1e-9;
        assert!(readings.iter().all(most));
    }
}
