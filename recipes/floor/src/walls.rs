//! How deep the pour stands along walls and at openings: for strips, dams and boxes.

use crate::parts;
use crate::sheet::MarkKind;
use crate::slice::between;
use crate::surface::{Point, Surface};
use crate::survey::FloorSurvey;

/// A stretch of the floor's edge, or an opening in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Along {
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Least depth of the pour along it; below zero where the floor stands above the level.
    pub shallowest: f64,
    /// Greatest depth along it.
    pub deepest: f64,
}

impl Along {
    /// Its length.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    pub(crate) fn new(surface: &Surface, level: f64, from: Point, to: Point) -> Option<Self> {
        let profiles = between(surface, from, to);
        let mut depths = profiles.iter().flatten().map(|(_, height)| level - height);
        let first = depths.next()?;
        let (shallowest, deepest) = depths.fold((first, first), |(least, most), depth| {
            (least.min(depth), most.max(depth))
        });
        Some(Self {
            from,
            to,
            shallowest,
            deepest,
        })
    }
}

/// The walls, around the outline and around each island.
pub fn walls(survey: &FloorSurvey, level: f64) -> Vec<Along> {
    parts::walls(survey.rings())
        .into_iter()
        .filter_map(|(from, to)| Along::new(&survey.surface, level, from, to))
        .collect()
}

/// The openings marked on the sheet.
pub fn openings(survey: &FloorSurvey, level: f64) -> Vec<Along> {
    survey
        .sheet
        .marks
        .iter()
        .filter(|mark| mark.kind == MarkKind::Opening)
        .filter_map(|mark| Along::new(&survey.surface, level, mark.from, mark.to))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contour::Contours;
    use crate::parts::straight;
    use crate::surface::{Extent, Reading};

    #[test]
    fn a_sloping_floor_is_deepest_along_its_low_wall() {
        // Falls an inch across ten feet, read every five.
        let readings: Vec<Reading> = (0..9)
            .map(|n| (f64::from(n % 3) * 60.0, f64::from(n / 3) * 60.0))
            .map(|(x, y)| Reading {
                at: Point::new(x, y),
                height: 1.0 - x / 120.0,
            })
            .collect();
        let surface = Surface::new(&readings, Extent::Readings).unwrap();
        let ring = Contours::new(&surface).outline().remove(0);
        let walls: Vec<Along> = straight(&ring)
            .into_iter()
            .filter_map(|(from, to)| Along::new(&surface, 1.125, from, to))
            .collect();
        assert_eq!(walls.len(), 4, "edges that go on straight are one wall");
        for wall in walls {
            assert!((wall.length() - 120.0).abs() < 1e-9);
            let depth = |x: f64| 0.125 + x / 120.0;
            let (a, b) = (depth(wall.from.x), depth(wall.to.x));
            assert!((wall.shallowest - a.min(b)).abs() < 1e-6, "{wall:?}");
            assert!((wall.deepest - a.max(b)).abs() < 1e-6, "{wall:?}");
        }
    }
}
