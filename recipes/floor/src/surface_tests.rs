//! Checks of the surface, its levels and its profiles against the outside.

mod closed_forms;
mod laws;
mod one_more;
mod outlines;
mod profiles;
mod references;

use crate::surface::{Extent, Point, Reading, Surface};

/// A small generator of numbers that look random, the same ones at every run: the linear
/// congruential one with Knuth's multiplier for 64 bits.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// A number from 0 up to 1.
    pub(crate) fn part(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number between two.
    pub(crate) fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.part()
    }

    /// A number with the spread of a normal distribution of deviation one: twelve parts added.
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.part()).sum::<f64>() - 6.0
    }
}

/// Readings on a grid, row by row, and its cells.
pub(crate) fn grid(
    columns: usize,
    rows: usize,
    step: f64,
    mut height: impl FnMut(f64, f64) -> f64,
) -> (Vec<Reading>, Vec<[usize; 4]>) {
    let mut readings = Vec::new();
    let mut cells = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let at = Point::new(column as f64 * step, row as f64 * step);
            readings.push(Reading {
                at,
                height: height(at.x, at.y),
            });
            if row > 0 && column > 0 {
                let last = row * columns + column;
                let below = last - columns;
                cells.push([below - 1, below, last, last - 1]);
            }
        }
    }
    (readings, cells)
}

/// A floor over a grid.
pub(crate) fn floor(
    columns: usize,
    rows: usize,
    step: f64,
    height: impl FnMut(f64, f64) -> f64,
) -> Surface {
    let (readings, cells) = grid(columns, rows, step, height);
    Surface::new(&readings, Extent::Cells(&cells)).unwrap()
}

/// Whether two numbers agree to so many parts of the larger, or of one.
pub(crate) fn agree(a: f64, b: f64, part: f64) -> bool {
    (a - b).abs() <= part * a.abs().max(b.abs()).max(1.0)
}
