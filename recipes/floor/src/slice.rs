//! Profiles of a floor along straight lines.

use crate::surface::{Point, Surface};

/// A profile: distances along the line and heights, in order. A line that leaves the
/// floor and comes back gives a profile for each part.
pub type Profile = Vec<(f64, f64)>;

/// The profiles along parallel lines. `angle` is the direction of the lines; `offsets`
/// (rising) are their distances from the origin, to the left of that direction.
pub fn slices(surface: &Surface, angle: f64, offsets: &[f64]) -> Vec<Vec<Profile>> {
    let (sin, cos) = angle.sin_cos();
    let turned: Vec<(f64, f64, f64)> = surface
        .vertices
        .iter()
        .map(|v| {
            let (x, y) = (v.at.x, v.at.y);
            (x * cos + y * sin, y * cos - x * sin, v.height)
        })
        .collect();
    // Lines along the first wall would only touch triangles on their far side.
    let first = turned.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let last = turned.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    let inset = 1e-9 * (last - first).max(1e-9);
    let offsets: Vec<f64> = offsets
        .iter()
        .map(|offset| {
            if (offset - first).abs() < inset {
                first + inset
            } else {
                *offset
            }
        })
        .collect();
    let mut segments: Vec<Vec<[(f64, f64); 2]>> = vec![Vec::new(); offsets.len()];
    for triangle in &surface.triangles {
        let corners = triangle.map(|index| turned[index as usize]);
        let least = corners.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
        let most = corners
            .iter()
            .map(|c| c.1)
            .fold(f64::NEG_INFINITY, f64::max);
        let from = offsets.partition_point(|offset| *offset <= least);
        let to = offsets.partition_point(|offset| *offset <= most);
        for line in from..to {
            if let Some(segment) = crossing(corners, offsets[line]) {
                segments[line].push(segment);
            }
        }
    }
    segments.into_iter().map(joined).collect()
}

/// Where a line at an offset enters and leaves a triangle. A corner on the line counts as
/// beyond it, so that neighbours share no part of the line.
fn crossing(corners: [(f64, f64, f64); 3], offset: f64) -> Option<[(f64, f64); 2]> {
    let mut found: Vec<(f64, f64)> = Vec::with_capacity(2);
    for index in 0..3 {
        let (a, b) = (corners[index], corners[(index + 1) % 3]);
        if (a.1 >= offset) == (b.1 >= offset) {
            continue;
        }
        let part = (offset - a.1) / (b.1 - a.1);
        found.push((a.0 + (b.0 - a.0) * part, a.2 + (b.2 - a.2) * part));
    }
    let [a, b] = found[..] else { return None };
    if (a.0 - b.0).abs() < 1e-12 {
        return None;
    }
    Some(if a.0 < b.0 { [a, b] } else { [b, a] })
}

fn joined(mut segments: Vec<[(f64, f64); 2]>) -> Vec<Profile> {
    segments.sort_by(|a, b| a[0].0.total_cmp(&b[0].0));
    let mut profiles: Vec<Profile> = Vec::new();
    for [from, to] in segments {
        match profiles.last_mut() {
            Some(profile) if profile.last().is_some_and(|end| from.0 - end.0 < 1e-6) => {
                profile.push(to);
            }
            _ => profiles.push(vec![from, to]),
        }
    }
    profiles
}

/// The profiles between two points; distances count from the first. A line along a wall is
/// taken just inside the floor.
pub fn between(surface: &Surface, from: Point, to: Point) -> Vec<Profile> {
    let length = from.distance(to);
    let angle = (to.y - from.y).atan2(to.x - from.x);
    let (sin, cos) = angle.sin_cos();
    let start = from.x * cos + from.y * sin;
    let offset = from.y * cos - from.x * sin;
    let beside = 1e-6 * length.max(1e-9);
    let on_floor = |profiles: &[Profile]| -> f64 {
        let length = |p: &Profile| p.last().map_or(0.0, |end| end.0 - p[0].0);
        profiles.iter().map(length).sum()
    };
    let [on, right, left] = [offset, offset - beside, offset + beside].map(|offset| {
        slices(surface, angle, &[offset])
            .iter()
            .flatten()
            .filter_map(|profile| clipped(profile, start, start + length))
            .collect::<Vec<Profile>>()
    });
    let longer = |one: Vec<Profile>, two: Vec<Profile>| {
        if on_floor(&two) > on_floor(&one) + beside {
            two
        } else {
            one
        }
    };
    longer(longer(on, right), left)
}

/// The part of a profile between two distances, counted from the first of them.
fn clipped(profile: &Profile, from: f64, to: f64) -> Option<Profile> {
    let mut part: Profile = Vec::new();
    for pair in profile.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (start, end) = (a.0.max(from), b.0.min(to));
        if end - start <= 0.0 {
            continue;
        }
        let at = |s: f64| (s - from, a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0));
        if part.is_empty() {
            part.push(at(start));
        }
        part.push(at(end));
    }
    (part.len() > 1).then_some(part)
}
