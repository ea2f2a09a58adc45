//! What lies below a level: area and volume, exact over the triangles of a floor.

use crate::surface::Surface;

/// What lies below a level.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Below {
    /// Area in plan where the floor stands below the level.
    pub area: f64,
    /// Volume between the floor and the level.
    pub volume: f64,
}

/// Area and volume below a level; the floor may stand above it in places.
pub fn below(surface: &Surface, level: f64) -> Below {
    let mut sum = Below::default();
    for triangle in &surface.triangles {
        let area = surface.area_of(*triangle);
        let part = of_triangle(area, surface.heights_of(*triangle), level);
        sum.area += part.area;
        sum.volume += part.volume;
    }
    sum
}

/// What stands above a level: area in plan, and the volume to take off down to it.
pub fn above(surface: &Surface, level: f64) -> Below {
    let wet = below(surface, level);
    let area = surface.area();
    Below {
        area: area - wet.area,
        // All of the floor less what is below: what is below counts down from the level.
        volume: wet.volume - area * (level - surface.mean()),
    }
}

/// Area and volume of the pour where it is at least `least` and less than `most` deep.
pub fn between_depths(surface: &Surface, level: f64, least: f64, most: f64) -> Below {
    // Where the pour is deeper than d the floor lies below the level less d.
    let deeper = |depth: f64| {
        let part = below(surface, level - depth);
        Below {
            area: part.area,
            volume: part.volume + part.area * depth,
        }
    };
    let from = deeper(least.max(0.0));
    let to = if most.is_finite() {
        deeper(most)
    } else {
        Below::default()
    };
    Below {
        area: from.area - to.area,
        volume: from.volume - to.volume,
    }
}

/// The part of a triangle below a level, by its area and the heights of its corners.
pub(crate) fn of_triangle(area: f64, mut heights: [f64; 3], level: f64) -> Below {
    heights.sort_by(f64::total_cmp);
    let [low, middle, high] = heights;
    let mean = (low + middle + high) / 3.0;
    if level <= low {
        return Below::default();
    }
    if level >= high {
        return Below {
            area,
            volume: area * (level - mean),
        };
    }
    if level <= middle {
        // A small triangle around the lowest corner is below.
        let part = area * (level - low) * (level - low) / ((middle - low) * (high - low));
        return Below {
            area: part,
            volume: part * (level - low) / 3.0,
        };
    }
    // A small triangle around the highest corner is above.
    let dry = area * (high - level) * (high - level) / ((high - low) * (high - middle));
    Below {
        area: area - dry,
        volume: area * (level - mean) + dry * (high - level) / 3.0,
    }
}
