//! The hypsometric curve of a floor: area and volume below every level.
//!
//! Between two neighbouring corner heights the volume below a level is one cubic of the
//! level, and the area is its slope. Kept as such pieces, a level is looked up without
//! going over the triangles again.

use crate::level::Below;
use crate::surface::Surface;

/// A cubic by its coefficients, the constant first.
type Cubic = [f64; 4];

/// The volume below a level, from one height up to the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// The lower height.
    pub(super) from: f64,
    /// The upper height.
    pub(super) to: f64,
    /// The volume by the level's height above `from`.
    pub(super) volume: Cubic,
}

/// The hypsometric curve from a lowest level up.
#[derive(Clone, Debug)]
pub(super) struct Hypsometry {
    /// The pieces, from below up to the highest point.
    pub(super) pieces: Vec<Piece>,
    /// The area of the floor.
    pub(super) area: f64,
    /// The highest point.
    pub(super) highest: f64,
    mean: f64,
}

impl Hypsometry {
    /// The curve from the level `bottom` up. Below `bottom` it must not be asked.
    pub(super) fn new(surface: &Surface, bottom: f64) -> Self {
        let highest = surface.highest();
        let mut heights: Vec<f64> = surface.vertices.iter().map(|v| v.height).collect();
        heights.retain(|height| bottom < *height && *height < highest);
        heights.extend([bottom, highest]);
        heights.sort_by(f64::total_cmp);
        heights.dedup();
        let triangles: Vec<Sloping> = surface
            .triangles
            .iter()
            .map(|corners| {
                let mut heights = surface.heights_of(*corners);
                heights.sort_by(f64::total_cmp);
                Sloping {
                    area: surface.area_of(*corners),
                    heights,
                }
            })
            .collect();
        let mut pieces = Vec::new();
        split(&triangles, Cubic::default(), &heights, &mut pieces);
        Self {
            pieces,
            area: surface.area(),
            highest,
            mean: surface.mean(),
        }
    }

    /// What lies below a level. A flat part of the floor right at the level counts as below:
    /// there is nothing on it to grind.
    pub(super) fn below(&self, level: f64) -> Below {
        let above = self.pieces.partition_point(|piece| piece.from <= level);
        match self.pieces[..above].last() {
            Some(piece) if level < self.highest => {
                let [v0, v1, v2, v3] = piece.volume;
                let up = level - piece.from;
                Below {
                    area: v1 + up * (2.0 * v2 + up * 3.0 * v3),
                    volume: v0 + up * (v1 + up * (v2 + up * v3)),
                }
            }
            _ => Below {
                area: self.area,
                volume: self.area * (level - self.mean),
            },
        }
    }

    /// What stands above a level, as [`Self::below`] has it.
    pub(super) fn above(&self, level: f64) -> Below {
        let below = self.below(level);
        // Rounding must not leave less than nothing.
        Below {
            area: (self.area - below.area).max(0.0),
            volume: (below.volume - self.area * (level - self.mean)).max(0.0),
        }
    }
}

/// A triangle by its area in plan and its corners' heights, rising.
#[derive(Clone, Copy)]
struct Sloping {
    area: f64,
    heights: [f64; 3],
}

impl Sloping {
    fn has_corner_between(&self, (from, to): (f64, f64)) -> bool {
        // Without a branch for each corner: this is asked millions of times.
        let between = |height: &f64| (from < *height) & (*height < to);
        self.heights
            .iter()
            .fold(false, |any, height| any | between(height))
    }

    /// The volume below a level between two heights with no corner between them, by the
    /// level's height above the first.
    fn volume(&self, (from, to): (f64, f64)) -> Cubic {
        let [low, middle, high] = self.heights;
        if to <= low {
            return Cubic::default();
        }
        if from < middle {
            // A small triangle around the lowest corner is below.
            let (steep, up) = ((middle - low) * (high - low), from - low);
            let k = self.area / (3.0 * steep);
            return [k * up * up * up, 3.0 * k * up * up, 3.0 * k * up, k];
        }
        let mean = (low + middle + high) / 3.0;
        let all = [self.area * (from - mean), self.area, 0.0, 0.0];
        if from >= high {
            return all;
        }
        // A small triangle around the highest corner is above.
        let (steep, down) = ((high - low) * (high - middle), high - from);
        let k = self.area / (3.0 * steep);
        let above = [
            k * down * down * down,
            -3.0 * k * down * down,
            3.0 * k * down,
            -k,
        ];
        sum(all, above)
    }
}

/// Halves the heights (rising) until no corner lies between two. Triangles without a corner
/// between the outer two join the cubic, so that few are gone over again. The cubic always
/// counts from the first of the heights: sums counted from one point for the whole floor
/// would lose their digits where triangles are nearly flat.
fn split(triangles: &[Sloping], mut volume: Cubic, heights: &[f64], pieces: &mut Vec<Piece>) {
    let (Some(from), Some(to)) = (heights.first(), heights.last()) else {
        return;
    };
    let bounds = (*from, *to);
    let mut open = Vec::with_capacity(triangles.len());
    for triangle in triangles {
        if triangle.has_corner_between(bounds) {
            open.push(*triangle);
        } else {
            volume = sum(volume, triangle.volume(bounds));
        }
    }
    let middle = heights.len() / 2;
    match heights.len() {
        0 | 1 => {}
        2 => pieces.push(Piece {
            from: *from,
            to: *to,
            volume,
        }),
        _ => {
            let up = heights[middle] - from;
            split(&open, volume, &heights[..=middle], pieces);
            split(&open, moved(volume, up), &heights[middle..], pieces);
        }
    }
}

fn sum(a: Cubic, b: Cubic) -> Cubic {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]]
}

/// The same cubic, its variable counted from further up.
fn moved([a, b, c, d]: Cubic, up: f64) -> Cubic {
    [
        a + up * (b + up * (c + up * d)),
        b + up * (2.0 * c + up * 3.0 * d),
        c + up * 3.0 * d,
        d,
    ]
}
