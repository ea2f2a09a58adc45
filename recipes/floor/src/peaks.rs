//! Where the floor stands above a level, place by place.

use crate::level::{Below, of_triangle};
use crate::surface::{Point, Surface};

/// A corner is above a level when it is by more than a rounding error.
const HAIR: f64 = 1e-6;

/// A part of the floor, in one piece, that stands above a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Where it is highest.
    pub at: Point,
    /// How far it stands above the level there.
    pub above: f64,
    /// Its area in plan, and the volume to take off down to the level.
    pub part: Below,
}

/// The places where the floor stands above a level, the highest first.
pub fn peaks(surface: &Surface, level: f64) -> Vec<Peak> {
    let high = |corner: u32| surface.vertices[corner as usize].height > level + HAIR;
    let mut pieces = Pieces::new(surface.vertices.len());
    // Above the level two triangles hang together where they share a corner that is.
    for triangle in &surface.triangles {
        let mut corners = triangle.iter().filter(|corner| high(**corner));
        if let Some(first) = corners.next() {
            corners.for_each(|other| pieces.join(*first, *other));
        }
    }
    let mut found: Vec<Option<Peak>> = vec![None; surface.vertices.len()];
    for triangle in &surface.triangles {
        let area = surface.area_of(*triangle);
        let heights = surface.heights_of(*triangle);
        let wet = of_triangle(area, heights, level);
        let mean = heights.iter().sum::<f64>() / 3.0;
        for corner in triangle.iter().filter(|corner| high(**corner)) {
            let vertex = &surface.vertices[*corner as usize];
            let peak = found[pieces.of(*corner) as usize].get_or_insert(Peak {
                at: vertex.at,
                above: 0.0,
                part: Below::default(),
            });
            if vertex.height - level > peak.above {
                peak.above = vertex.height - level;
                peak.at = vertex.at;
            }
        }
        if let Some(corner) = triangle.iter().find(|corner| high(**corner))
            && let Some(peak) = &mut found[pieces.of(*corner) as usize]
        {
            peak.part.area += area - wet.area;
            peak.part.volume += wet.volume - area * (level - mean);
        }
    }
    let mut peaks: Vec<Peak> = found.into_iter().flatten().collect();
    peaks.sort_by(|a, b| b.above.total_cmp(&a.above));
    peaks
}

/// Which corners hang together: each points to another of its piece, the last to itself.
struct Pieces(Vec<u32>);

impl Pieces {
    fn new(corners: usize) -> Self {
        Self((0u32..).take(corners).collect())
    }

    /// The corner that stands for its piece.
    fn of(&mut self, mut corner: u32) -> u32 {
        while self.0[corner as usize] != corner {
            let next = self.0[corner as usize];
            // The way gets shorter each time it is gone.
            self.0[corner as usize] = self.0[next as usize];
            corner = next;
        }
        corner
    }

    fn join(&mut self, one: u32, other: u32) {
        let (one, other) = (self.of(one), self.of(other));
        self.0[other as usize] = one;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::level::above;
    use crate::surface_tests::{Dice, agree, floor};

    #[test]
    fn two_cones_are_two_places_the_higher_first() {
        // Readings every 2; one of 3 at (4, 4), one of 2 at (12, 6), all others 0.
        let surface = floor(10, 6, 2.0, |x, y| match (x as u32, y as u32) {
            (4, 4) => 3.0,
            (12, 6) => 2.0,
            _ => 0.0,
        });
        let found = peaks(&surface, 1.0);
        let places: Vec<_> = found.iter().map(|p| (p.at.x, p.at.y, p.above)).collect();
        assert_eq!(places, [(4.0, 4.0, 2.0), (12.0, 6.0, 1.0)]);
        // Level 1 lies halfway between the reading of 2 and those of 0, 1 beside it. The centres
        // of its cells hold 1/2: on a diagonal 2/3 of the way of root 2 is above. So a star of eight
        // corners, those at (1, 0) and at (2/3, 2/3) from its middle: 8 triangles of 1/3.
        assert!(agree(found[1].part.area, 8.0 / 3.0, 1e-12), "{found:?}");
        // A star-shaped cone 1 high.
        assert!(agree(found[1].part.volume, 8.0 / 9.0, 1e-12), "{found:?}");
    }

    #[test]
    fn the_places_add_up_to_what_is_above() {
        let mut dice = Dice(71);
        let mut several = 0;
        for _ in 0..30 {
            let surface = floor(8, 6, 2.0, |_, _| dice.between(-1.0, 1.0));
            for level in [-2.0, -0.5, 0.0, 0.4, 0.8, 2.0] {
                let (all, found) = (above(&surface, level), peaks(&surface, level));
                several += usize::from(found.len() > 1);
                let area: f64 = found.iter().map(|peak| peak.part.area).sum();
                let volume: f64 = found.iter().map(|peak| peak.part.volume).sum();
                assert!(agree(area, all.area, 1e-9) && agree(volume, all.volume, 1e-9));
                if let Some(first) = found.first() {
                    assert!(agree(first.above, surface.highest() - level, 1e-12));
                }
            }
        }
        assert!(several > 50, "{several}");
    }

    #[test]
    fn a_floor_that_ends_at_the_level_stands_nowhere_above_it() {
        assert!(peaks(&floor(4, 4, 2.0, |x, _| x / 8.0), 0.75).is_empty());
    }
}
