//! The largest gap under a straightedge laid anywhere on a floor, in any direction.
//!
//! The gap is the vertical thickness of the convex hull of the floor under the
//! straightedge. It catches humps and hollows alike: over a hollow it is the gap under a
//! straightedge that rests on both sides, and over a hump it is the height of the hump
//! above a straight line through the floor on its two sides.
//!
//! Lines through vertices are searched first, in some directions, because between vertices
//! the gap hardly bends from line to line. Each of the worst places is then searched again in
//! finer and finer directions. A floor that is turned by a quarter gets the same lines.
//! A gap that is found is there; one that is larger by a few hundredths may be missed, and on
//! a floor of tens of thousands of readings, where fewer lines are searched, by a tenth.

mod hull;
mod refine;
mod search;

#[cfg(test)]
mod tests;

use std::f64::consts::PI;

use crate::surface::{Point, Surface};
use search::{Line, Search};

/// A place where a straightedge shows a large gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// The thickness of the hull of the floor under the straightedge, in the unit of heights.
    pub gap: f64,
    /// Where the straightedge begins.
    pub from: Point,
    /// Where it ends; nearer than its length where walls leave no more room.
    pub to: Point,
    /// Where the gap is largest.
    pub at: Point,
}

/// Places searched again beyond those asked for, because the order may change.
const SPARE: usize = 3;

/// The worst places for a straightedge of a length, the worst first, at most `most` of them.
///
/// At each further place the straightedge keeps half its length away from where the gaps
/// of the places before are largest. It does not pass through walls; where the floor has
/// no room for it, it counts with the length there is. A floor that is a plane has no worst
/// place, and neither has a straightedge without length.
pub fn worst_gaps(surface: &Surface, length: f64, most: usize) -> Vec<Worst> {
    if !(length > 0.0 && length.is_finite()) {
        return Vec::new();
    }
    let noise = 1e-9 * surface.highest().abs().max(surface.lowest().abs());
    let (directions, lines) = fineness(surface);
    let turn = PI / directions as f64;
    let all = (0..directions).flat_map(|index| {
        let angle = turn * index as f64;
        Line::all(surface, angle, &offsets(surface, angle, lines))
    });
    let mut search = Search::new(all.collect(), length);
    let mut coarse: Vec<Worst> = Vec::new();
    let mut known = Vec::new();
    while coarse.len() < most.saturating_add(SPARE) {
        let Some(worst) = search.next(noise, &known, length / 4.0) else {
            break;
        };
        known.push(worst.at);
        coarse.push(worst);
    }
    let mut fine = refine::all(surface, &coarse, length, turn);
    fine.sort_by(|a, b| b.gap.total_cmp(&a.gap));
    let mut listed: Vec<Worst> = Vec::new();
    for worst in fine {
        let laid = [worst.from, worst.to];
        let near = |known: &Worst| distance_to_segment(known.at, laid) < length / 2.0;
        if listed.len() < most && !listed.iter().any(near) {
            listed.push(worst);
        }
    }
    listed
}

/// How many directions, and how many lines in each, so that a floor of 40,000 readings
/// takes a fraction of a second. Small floors get more directions. A multiple of four has
/// the walls and the diagonals among them; of the largest floors there are no others.
fn fineness(surface: &Surface) -> (usize, usize) {
    let across = (surface.vertices.len() as f64).sqrt();
    let least = if across > 150.0 { 1.0 } else { 2.0 };
    let directions = 4 * (40.0 / across).round().clamp(least, 8.0) as usize;
    (directions, (3.0 * across).min(256.0) as usize)
}

/// Offsets of lines through vertices, rising, each once. Of too many an even choice is
/// made, the same when counted from the other side.
fn offsets(surface: &Surface, angle: f64, most: usize) -> Vec<f64> {
    let (sin, cos) = angle.sin_cos();
    let each = surface.vertices.iter().map(|v| v.at);
    let mut all: Vec<f64> = each.map(|at| at.y * cos - at.x * sin).collect();
    all.sort_by(f64::total_cmp);
    let span = all.last().map_or(0.0, |last| last - all[0]);
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-9 * span);
    let half = most / 2;
    if all.len() <= 2 * half || half == 0 {
        return all;
    }
    let last = all.len() - 1;
    let chosen: Vec<usize> = (0..half).map(|i| i * last / (2 * half - 1)).collect();
    let mirrored = chosen.iter().rev().map(|index| last - index);
    let both = chosen.iter().copied().chain(mirrored);
    both.map(|index| all[index]).collect()
}

/// The distance from a point to the nearest point between two others.
fn distance_to_segment(point: Point, [from, to]: [Point; 2]) -> f64 {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let square = dx * dx + dy * dy;
    if square <= 0.0 {
        return point.distance(from);
    }
    let along = ((point.x - from.x) * dx + (point.y - from.y) * dy) / square;
    point.distance(from.toward(to, along.clamp(0.0, 1.0)))
}
