//! Slips among the readings: a height that cannot be, for its neighbours say otherwise.
//!
//! A reading of 5-3/8 noted as 53/8, or 0.625 noted as 6.25, stands far off the plane
//! through the readings around it. How far is far, the other readings of the floor tell.

#[cfg(test)]
mod tests;

use crate::surface::{Point, Surface};

/// A reading off by so many spreads is a slip.
const FACTOR: f64 = 6.0;

/// The least spread, in inches: on a very flat floor a small bump is no slip.
const LEAST_SPREAD: f64 = 0.125;

/// The standard deviation of a normal distribution by its median absolute deviation.
const NORMAL: f64 = 1.4826;

/// A plane takes three readings; two more show when one of them is off.
const ENOUGH: usize = 5;

/// Of so many readings one may be a slip; when more stand out, it is the floor.
const ONE_IN: usize = 20;

/// A reading that is probably a slip of the pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// Which reading.
    pub reading: usize,
    /// How far it stands above what its neighbours say, in inches; negative when below.
    pub off: f64,
    /// The height that its neighbours say, in inches.
    pub expected: f64,
}

/// The readings that are probably slips, in their order. Heights are in inches.
///
/// When more than one reading in twenty stands out (two on a small floor), none is told: such
/// a floor has steps or ridges.
pub fn slips(surface: &Surface) -> Vec<Slip> {
    let floor = Neighbours::new(surface);
    let count = surface.readings();
    let mut left = vec![true; count];
    // A slip makes its neighbours look off too: the worst goes first, then all look again.
    let mut guesses: Vec<Option<Guess>> = (0..count).map(|r| floor.guess(r, &left)).collect();
    let mut found: Vec<usize> = Vec::new();
    while let Some(worst) = worst(&guesses, &left) {
        if found.len() == (count / ONE_IN).max(2) {
            return Vec::new();
        }
        found.push(worst);
        left[worst] = false;
        for near in floor.within_two(worst) {
            guesses[near] = floor.guess(near, &left);
        }
    }
    found.sort_unstable();
    found
        .into_iter()
        .filter_map(|reading| {
            let guess = guesses[reading]?;
            Some(Slip {
                reading,
                off: guess.off,
                expected: guess.expected,
            })
        })
        .collect()
}

/// The reading that is off the most among those left, if any is off too far.
fn worst(guesses: &[Option<Guess>], left: &[bool]) -> Option<usize> {
    let size = |reading: usize| guesses[reading].map_or(0.0, |guess| guess.scaled.abs());
    let mut sizes: Vec<f64> = (0..guesses.len())
        .filter(|reading| left[*reading] && guesses[*reading].is_some())
        .map(size)
        .collect();
    if sizes.is_empty() {
        return None;
    }
    let half = sizes.len() / 2;
    let median = *sizes.select_nth_unstable_by(half, f64::total_cmp).1;
    let spread = (NORMAL * median).max(LEAST_SPREAD);
    (0..guesses.len())
        .filter(|reading| left[*reading])
        .max_by(|a, b| size(*a).total_cmp(&size(*b)))
        .filter(|worst| size(*worst) > FACTOR * spread)
}

/// What its neighbours say about a reading.
#[derive(Clone, Copy)]
struct Guess {
    expected: f64,
    off: f64,
    /// `off` by what neighbours so placed can tell: less in a corner than amid the floor.
    scaled: f64,
}

/// The readings of a floor and which are side by side.
struct Neighbours<'a> {
    surface: &'a Surface,
    rings: Vec<Vec<usize>>,
}

impl<'a> Neighbours<'a> {
    /// Readings that share a triangle are neighbours, also by a mean that is its corner.
    fn new(surface: &'a Surface) -> Self {
        let mut rings = vec![Vec::new(); surface.readings()];
        for triangle in &surface.triangles {
            let mut around: Vec<usize> = triangle
                .iter()
                .flat_map(|corner| &surface.vertices[*corner as usize].from)
                .map(|(reading, _)| *reading as usize)
                .collect();
            around.sort_unstable();
            around.dedup();
            for reading in &around {
                rings[*reading].extend(around.iter().filter(|other| *other != reading));
            }
        }
        for ring in &mut rings {
            ring.sort_unstable();
            ring.dedup();
        }
        Self { surface, rings }
    }

    /// A reading and its neighbours and theirs.
    fn within_two(&self, reading: usize) -> Vec<usize> {
        let mut near = vec![reading];
        for _ in 0..2 {
            let more: Vec<usize> = near.iter().flat_map(|r| &self.rings[*r]).copied().collect();
            near.extend(more);
            near.sort_unstable();
            near.dedup();
        }
        near
    }

    /// The plane of least squares through the neighbours that are left; at an edge, where
    /// they are few, their neighbours help. `None` where they do not make a plane.
    fn guess(&self, reading: usize, left: &[bool]) -> Option<Guess> {
        let good = |others: Vec<usize>| -> Vec<usize> {
            let wanted = |other: &usize| *other != reading && left[*other];
            others.into_iter().filter(wanted).collect()
        };
        let mut others = good(self.rings[reading].clone());
        if others.len() < ENOUGH {
            others = good(self.within_two(reading));
        }
        let (expected, variance) = self.plane(self.at(reading), &others)?;
        let off = self.surface.vertices[reading].height - expected;
        Some(Guess {
            expected,
            off,
            scaled: off / (1.0 + variance).sqrt(),
        })
    }

    /// The height at a point of the plane of least squares through readings, and its
    /// variance where each of them has a variance of one.
    fn plane(&self, at: Point, others: &[usize]) -> Option<(f64, f64)> {
        let count = others.len() as f64;
        let mean = |value: &dyn Fn(usize) -> f64| {
            others.iter().map(|other| value(*other)).sum::<f64>() / count
        };
        let x = |other: usize| self.at(other).x;
        let y = |other: usize| self.at(other).y;
        let h = |other: usize| self.surface.vertices[other].height;
        let (mx, my, mh) = (mean(&x), mean(&y), mean(&h));
        // Normal equations about the middle of the neighbours: two unknowns are left.
        let xx = mean(&|o| (x(o) - mx) * (x(o) - mx));
        let xy = mean(&|o| (x(o) - mx) * (y(o) - my));
        let yy = mean(&|o| (y(o) - my) * (y(o) - my));
        let xh = mean(&|o| (x(o) - mx) * (h(o) - mh));
        let yh = mean(&|o| (y(o) - my) * (h(o) - mh));
        let determinant = xx * yy - xy * xy;
        // Neighbours on one line, or none at all.
        let flat = 1e-9 * (xx + yy) * (xx + yy);
        if determinant.is_nan() || determinant <= flat {
            return None;
        }
        let slope_x = (xh * yy - yh * xy) / determinant;
        let slope_y = (yh * xx - xh * xy) / determinant;
        let (dx, dy) = (at.x - mx, at.y - my);
        let leverage = (yy * dx * dx - 2.0 * xy * dx * dy + xx * dy * dy) / determinant;
        Some((mh + slope_x * dx + slope_y * dy, (1.0 + leverage) / count))
    }

    fn at(&self, reading: usize) -> Point {
        self.surface.vertices[reading].at
    }
}
