//! Floors that might be: draws of a Gaussian random field that agree with the readings.
//!
//! A draw without regard to the readings is a sum of waves whose wave numbers follow the
//! spectrum of the field. What it misses of the readings is then kriged and added, which
//! makes it a draw given the readings.

use std::f64::consts::{PI, TAU};

use crate::sure_cholesky::{Cholesky, dot};
use crate::sure_model::{Model, Smoothness};
use crate::sure_random::Random;
use crate::surface::{Point, Reading};

/// Bands of wave numbers, each a fixed factor above the one before.
const BANDS: usize = 14;
/// Directions in each band.
const DIRECTIONS: usize = 4;

/// A wave: its wave number in plan, and the standard deviation of its amplitudes.
struct Wave {
    x: f64,
    y: f64,
    sd: f64,
}

/// What is known about a floor, for drawing. Heights count from a plane near the floor's.
#[derive(Clone, Copy)]
pub(crate) struct Known<'a> {
    /// Readings from all over the floor; they tell the plane.
    pub(crate) spread: &'a [Reading],
    /// Readings where the draws are wanted.
    pub(crate) near: &'a [Reading],
    /// The standard deviation of one reading.
    pub(crate) noise: f64,
    /// The shortest distance that matters.
    pub(crate) detail: f64,
}

/// Some draws of one field. Each is a sum of a basis times the draw's own coefficients;
/// the basis is the covariance with every reading, then the plane, then the cosine and sine
/// of each wave.
pub(crate) struct Draws {
    model: Model,
    known: Vec<Point>,
    waves: Vec<Wave>,
    /// For each function of the basis, the coefficient of each draw.
    coefficients: Vec<Vec<f64>>,
}

impl Draws {
    /// Draws floors that agree with readings.
    /// Nothing when the readings cannot be told apart.
    pub(crate) fn new(
        model: Model,
        known: &Known<'_>,
        count: usize,
        random: &mut Random,
    ) -> Option<Self> {
        let Known {
            spread,
            near,
            noise,
            detail,
        } = *known;
        let plane = Plane::new(spread, &model.factor(spread, noise)?)?;
        let factor = model.factor(near, noise)?;
        let waves = waves(model, detail, random);
        let global: Vec<Vec<f64>> = near
            .iter()
            .map(|r| everywhere(&waves, r.at).collect())
            .collect();
        let mut coefficients = vec![Vec::with_capacity(count); near.len() + 3 + 2 * waves.len()];
        for _ in 0..count {
            let mut drawn = plane.draw(random);
            for wave in &waves {
                drawn.extend([wave.sd * random.normal(), wave.sd * random.normal()]);
            }
            let missed = near.iter().zip(&global).map(|(reading, basis)| {
                reading.height - dot(basis, &drawn) - noise * random.normal()
            });
            let kriging = factor.solve(missed.collect());
            for (row, value) in coefficients.iter_mut().zip(kriging.iter().chain(&drawn)) {
                row.push(*value);
            }
        }
        Some(Self {
            model,
            known: near.iter().map(|r| r.at).collect(),
            waves,
            coefficients,
        })
    }

    /// How many draws.
    pub(crate) fn count(&self) -> usize {
        self.coefficients.first().map_or(0, Vec::len)
    }

    /// The height of one draw at a point.
    pub(crate) fn one_at(&self, draw: usize, at: Point) -> f64 {
        let terms = self.basis(at).zip(&self.coefficients);
        terms.map(|(value, row)| value * row[draw]).sum()
    }

    /// Adds the height of every draw at a point to `heights`.
    pub(crate) fn add_at(&self, at: Point, heights: &mut [f64]) {
        for (value, row) in self.basis(at).zip(&self.coefficients) {
            for (height, coefficient) in heights.iter_mut().zip(row) {
                *height += value * coefficient;
            }
        }
    }

    fn basis(&self, at: Point) -> impl Iterator<Item = f64> {
        let covariance = move |known: &Point| self.model.covariance(*known, at);
        let covariances = self.known.iter().map(covariance);
        covariances.chain(everywhere(&self.waves, at))
    }
}

/// The functions of the basis that do not hang on readings: the plane and the waves.
fn everywhere(waves: &[Wave], at: Point) -> impl Iterator<Item = f64> {
    let waves = waves.iter().flat_map(move |wave| {
        let (sin, cos) = (wave.x * at.x + wave.y * at.y).sin_cos();
        [cos, sin]
    });
    [1.0, at.x, at.y].into_iter().chain(waves)
}

/// What readings tell about the plane: generalised least squares.
struct Plane {
    best: Vec<f64>,
    precision: Cholesky,
}

impl Plane {
    fn new(readings: &[Reading], factor: &Cholesky) -> Option<Self> {
        let column =
            |of: &dyn Fn(&Reading) -> f64| factor.whiten(readings.iter().map(of).collect());
        let basis = [column(&|_| 1.0), column(&|r| r.at.x), column(&|r| r.at.y)];
        let heights = column(&|r| r.height);
        let products = basis.iter().flat_map(|a| basis.iter().map(|b| dot(a, b)));
        let precision = Cholesky::new(3, products.collect())?;
        let best = precision.solve(basis.iter().map(|a| dot(a, &heights)).collect());
        Some(Self { best, precision })
    }

    fn draw(&self, random: &mut Random) -> Vec<f64> {
        let normals = (0..3).map(|_| random.normal()).collect();
        let off = self.precision.spread(normals);
        self.best
            .iter()
            .zip(off)
            .map(|(best, off)| best + off)
            .collect()
    }
}

/// Waves for the spectrum of a field. Short waves carry little of the variance but all of
/// what happens between readings, so bands of all wave numbers get equally many waves.
fn waves(model: Model, detail: f64, random: &mut Random) -> Vec<Wave> {
    // The Matérn spectrum in the plane in closed form, with wave numbers relative to the
    // length: the part of the variance in shorter waves, and the wave number for a part.
    let nu = match model.smoothness {
        Smoothness::ThreeHalves => 1.5,
        Smoothness::FiveHalves => 2.5,
    };
    let shorter = |k: f64| (1.0 + k * k / (2.0 * nu)).powf(-nu);
    let wave_number = |part: f64| (2.0 * nu * (part.powf(-1.0 / nu) - 1.0)).sqrt();
    let first: f64 = 0.3;
    let last = (TAU * model.length / detail).max(5.0);
    let step = (last / first).powf(1.0 / (BANDS - 2) as f64);
    let mut waves = Vec::with_capacity(BANDS * DIRECTIONS);
    let mut from = 1.0;
    for band in 0..BANDS {
        let to = if band + 1 == BANDS {
            0.0
        } else {
            shorter(first * step.powi(band as i32))
        };
        let turn = random.unit();
        for direction in 0..DIRECTIONS {
            let angle = PI * (direction as f64 + turn) / DIRECTIONS as f64;
            // Never quite the lower end, which is a wave of no length in the last band.
            let k = wave_number(from - (from - to) * random.unit()) / model.length;
            waves.push(Wave {
                x: k * angle.cos(),
                y: k * angle.sin(),
                sd: model.sd * ((from - to) / DIRECTIONS as f64).sqrt(),
            });
        }
        from = to;
    }
    waves
}

#[cfg(test)]
mod tests {
    use super::*;

    fn model(smoothness: Smoothness) -> Model {
        Model {
            smoothness,
            length: 3.0,
            sd: 0.4,
        }
    }

    #[test]
    fn waves_have_the_covariance_of_the_field() {
        // Summed over many sets of waves, against the closed form of the covariance.
        for smoothness in [Smoothness::ThreeHalves, Smoothness::FiveHalves] {
            let model = model(smoothness);
            let mut random = Random::new(3);
            for distance in [0.0, 0.5, 1.0, 3.0, 8.0] {
                let sets = 4000;
                let of = |w: &Wave| w.sd * w.sd * (w.x * distance).cos();
                let sum: f64 = (0..sets)
                    .map(|_| waves(model, 0.5, &mut random).iter().map(of).sum::<f64>())
                    .sum();
                let expected = model.covariance(Point::new(0.0, 0.0), Point::new(distance, 0.0));
                let error = sum / f64::from(sets) - expected;
                assert!(
                    error.abs() < 0.01 * 0.16,
                    "{smoothness:?} {distance}: {error}"
                );
            }
        }
    }

    #[test]
    fn draws_pass_through_readings_without_noise() {
        let readings: Vec<Reading> = (0..25)
            .map(|k| Reading {
                at: Point::new(f64::from(k % 5) * 2.0, f64::from(k / 5) * 2.0),
                height: (f64::from(k) * 1.7).sin() * 0.4,
            })
            .collect();
        let known = Known {
            spread: &readings,
            near: &readings,
            noise: 0.0,
            detail: 0.5,
        };
        let mut random = Random::new(4);
        let draws = Draws::new(model(Smoothness::ThreeHalves), &known, 10, &mut random).unwrap();
        let mut between = [0.0; 10];
        draws.add_at(Point::new(1.0, 1.0), &mut between);
        assert!(between.iter().any(|h| (h - between[0]).abs() > 0.01));
        for reading in &readings {
            for draw in 0..draws.count() {
                assert!((draws.one_at(draw, reading.at) - reading.height).abs() < 1e-3);
            }
        }
    }

    #[test]
    fn draws_far_from_readings_vary_like_the_field_and_its_plane() {
        // Readings far apart do not reach the origin: there the field is free.
        let readings: Vec<Reading> = (0..64)
            .map(|k| Reading {
                at: Point::new(
                    f64::from(k % 8) * 30.0 - 105.0,
                    f64::from(k / 8) * 30.0 - 105.0,
                ),
                height: 0.0,
            })
            .collect();
        let known = Known {
            spread: &readings,
            near: &readings,
            noise: 0.3,
            detail: 0.5,
        };
        let mut random = Random::new(5);
        let count = 4000;
        let draws = Draws::new(model(Smoothness::FiveHalves), &known, count, &mut random).unwrap();
        let mut heights = vec![0.0; count];
        draws.add_at(Point::new(0.0, 0.0), &mut heights);
        let variance = heights.iter().map(|h| h * h).sum::<f64>() / count as f64;
        // Readings 30 apart at a length of 3 are independent: the variance of the field plus
        // that of the mean of 64 values with field and noise (closed form).
        let expected = 0.16 + (0.16 + 0.09) / 64.0;
        assert!((variance / expected - 1.0).abs() < 0.1);
    }
}
