//! Places of a straightedge, moved a little to where their gap is largest.

use super::Worst;
use super::hull::Hull;
use super::search::Line;
use crate::surface::{Point, Surface};

/// How often the steps are halved.
const ROUNDS: usize = 5;

/// Moves each place to the largest gap near it. `turn` is the angle between the directions
/// searched before.
pub(super) fn all(surface: &Surface, places: &[Worst], length: f64, turn: f64) -> Vec<Worst> {
    let mut patch = surface.clone();
    let each = places.iter().map(|place| {
        cut(surface, &mut patch, place, length);
        moved(&patch, *place, length, turn)
    });
    each.collect()
}

/// Cuts the floor around a place out of a surface. A straightedge on the patch lies on the
/// floor too.
fn cut(surface: &Surface, patch: &mut Surface, place: &Worst, length: f64) {
    let middle = place.from.toward(place.to, 0.5);
    let apart = |from: f64, least: f64, most: f64| (least - from).max(from - most);
    let mut numbers = vec![u32::MAX; surface.vertices.len()];
    patch.vertices.clear();
    patch.triangles.clear();
    for triangle in &surface.triangles {
        let [a, b, c] = triangle.map(|corner| surface.vertices[corner as usize].at);
        let beside = apart(middle.x, a.x.min(b.x).min(c.x), a.x.max(b.x).max(c.x));
        let ahead = apart(middle.y, a.y.min(b.y).min(c.y), a.y.max(b.y).max(c.y));
        if beside.max(ahead) > 0.75 * length {
            continue;
        }
        patch.triangles.push(triangle.map(|corner| {
            let number = &mut numbers[corner as usize];
            if *number == u32::MAX {
                *number = patch.vertices.len() as u32;
                let vertex = &surface.vertices[corner as usize];
                patch.vertices.push(vertex.clone());
            }
            *number
        }));
    }
}

/// Turns the straightedge and shifts it sideways and along, by steps that grow smaller.
fn moved(patch: &Surface, place: Worst, length: f64, mut turn: f64) -> Worst {
    let mut hull = Hull::default();
    let mut step = (patch.area() / patch.vertices.len() as f64).sqrt();
    let mut best = settled(patch, place, &mut hull, step);
    for _ in 0..ROUNDS {
        turn /= 2.0;
        let held = best;
        let middle = held.from.toward(held.to, 0.5);
        // It turns about its ends and its gap, and about vertices there: the gap is often
        // largest where a line passes over one.
        let mut pivots = vec![held.at, held.from, held.to];
        let vertices = patch.vertices.iter().map(|v| v.at);
        pivots.extend(vertices.filter(|at| at.distance(held.at) < step));
        let ahead = (held.to.y - held.from.y).atan2(held.to.x - held.from.x);
        for angle in [ahead - turn, ahead, ahead + turn] {
            let (sin, cos) = angle.sin_cos();
            let along = middle.x * cos + middle.y * sin;
            let across = |at: &Point| at.y * cos - at.x * sin;
            let mut offsets: Vec<f64> = pivots.iter().map(across).collect();
            offsets.extend([offsets[0] - step, offsets[0] + step]);
            offsets.sort_by(f64::total_cmp);
            for line in Line::all(patch, angle, &offsets) {
                if !(line.start()..line.end()).contains(&along) {
                    continue;
                }
                let length = length.min(line.end() - line.start());
                let worst = line.window(along - length / 2.0, length, &mut hull);
                if worst.gap > best.gap {
                    best = worst;
                }
            }
        }
        best = settled(patch, best, &mut hull, step);
        step /= 2.0;
    }
    best
}

/// Shifts the straightedge along its line until its gap grows no more.
fn settled(patch: &Surface, place: Worst, hull: &mut Hull, mut step: f64) -> Worst {
    let angle = (place.to.y - place.from.y).atan2(place.to.x - place.from.x);
    let length = place.from.distance(place.to);
    let (sin, cos) = angle.sin_cos();
    let offset = place.from.y * cos - place.from.x * sin;
    let mut start = place.from.x * cos + place.from.y * sin;
    let mut best = place;
    for line in Line::all(patch, angle, &[offset]) {
        if !(line.start()..line.end()).contains(&(start + length / 2.0)) {
            continue;
        }
        while step > 1e-9 * length {
            let shifts = [start - step, start + step];
            let both = shifts.map(|from| (line.window(from, length, hull), from));
            match both.iter().find(|(worst, _)| worst.gap > best.gap) {
                Some((worst, from)) => (best, start) = (*worst, *from),
                None => step /= 2.0,
            }
        }
    }
    best
}
