//! The verdict on a floor: is it flat enough, and which of level and flat is amiss.

use engine::plugin::System;

use crate::fnumbers::{FNumbers, Refusal, f_numbers};
use crate::straightedge::{Worst, worst_gaps};
use crate::survey::FloorSurvey;
use crate::tolerance::{FinishedFloor, Flatness, Regularity, Tolerance};

/// Places listed for each straightedge.
const MOST_PLACES: usize = 3;
/// A hump or hollow shows with a reading on it and one on each side.
const FEWEST_SPACINGS: f64 = 2.0;
/// A gap is read from readings: a hair over the limit is none.
const HAIR: f64 = 1e-6;

/// A tolerance with what the floor has to show for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The tolerance.
    pub tolerance: Tolerance,
    /// The worst places under a straightedge of its length, the worst first.
    pub worst: Vec<Worst>,
    /// How far apart the readings are.
    pub spacing: f64,
}

/// What the readings tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The tolerance is kept.
    Flat,
    /// The tolerance is broken.
    NotFlat,
    /// No break was found, but under so short a straightedge lie too few readings to tell.
    TooCoarse,
}

impl Judged {
    /// The largest gap.
    pub fn gap(&self) -> f64 {
        self.worst.first().map_or(0.0, |worst| worst.gap)
    }

    /// What the readings tell of the tolerance.
    pub fn verdict(&self) -> Verdict {
        if self.gap() > self.tolerance.gap + HAIR {
            Verdict::NotFlat
        } else if self.tolerance.length < FEWEST_SPACINGS * self.spacing {
            Verdict::TooCoarse
        } else {
            Verdict::Flat
        }
    }
}

/// The metric classes that SI takeoffs show where no tolerance is chosen.
const METRIC: [Flatness; 4] = [
    Flatness::Bs(Regularity::Sr1),
    Flatness::Bs(Regularity::Sr2),
    Flatness::Bs(Regularity::Sr3),
    Flatness::Din(FinishedFloor::Usual),
];

/// Judges a floor by the tolerance that is chosen. Where none is: by the longest edge of the
/// tile (in inches), and in SI takeoffs by the metric classes as well.
pub fn judge(
    survey: &FloorSurvey,
    chosen: Option<Flatness>,
    tile_edge: Option<f64>,
    system: System,
) -> Vec<Judged> {
    let mut asked = vec![chosen.unwrap_or(Flatness::TileEdge)];
    if chosen.is_none() && system == System::Si {
        asked.extend(METRIC);
    }
    let tolerances = asked.iter().flat_map(|asked| asked.tolerances(tile_edge));
    let spacing = survey.spacing() - HAIR;
    let mut judged: Vec<Judged> = Vec::new();
    for tolerance in tolerances {
        let known = judged
            .iter()
            .find(|j| j.tolerance.length == tolerance.length);
        let worst = match known {
            Some(known) => known.worst.clone(),
            None => worst_gaps(&survey.surface, tolerance.length, MOST_PLACES),
        };
        judged.push(Judged {
            tolerance,
            worst,
            spacing,
        });
    }
    judged
}

/// F-numbers of the lines of a grid, both ways.
///
/// # Errors
/// Why there are none: the readings are not 12 in or 300 mm apart, or too few.
pub fn f_numbers_of(survey: &FloorSurvey) -> Result<FNumbers, Refusal> {
    let mut lines = Vec::new();
    for along_x in [true, false] {
        lines.extend(grid_lines(survey, along_x));
    }
    let spacing = lines.first().map(|(spacing, _)| *spacing);
    let Some(spacing) = spacing else {
        return Err(Refusal::Spacing);
    };
    let even = |other: f64| (other / spacing - 1.0).abs() < 0.01;
    if !lines.iter().all(|(other, _)| even(*other)) {
        return Err(Refusal::Spacing);
    }
    let heights: Vec<Vec<f64>> = lines
        .into_iter()
        .map(|(_, heights)| heights)
        .filter(|heights| heights.len() >= 12)
        .collect();
    f_numbers(&heights, spacing, survey.surface.area())
}

/// The lines of readings in one direction with their spacing; a line of uneven spacing has none
/// that could be even with others.
fn grid_lines(survey: &FloorSurvey, along_x: bool) -> Vec<(f64, Vec<f64>)> {
    let surface = &survey.surface;
    let mut points: Vec<(f64, f64, f64)> = surface.vertices[..surface.readings()]
        .iter()
        .map(|vertex| {
            let (x, y) = (vertex.at.x, vertex.at.y);
            let (across, along) = if along_x { (y, x) } else { (x, y) };
            (across, along, vertex.height)
        })
        .collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut lines = Vec::new();
    for line in points.chunk_by(|a, b| (a.0 - b.0).abs() < 1e-6) {
        let [first, second, ..] = line else { continue };
        let spacing = second.1 - first.1;
        let even = line
            .windows(2)
            .all(|pair| ((pair[1].1 - pair[0].1) / spacing - 1.0).abs() < 0.01);
        let spacing = if even { spacing } else { f64::INFINITY };
        lines.push((spacing, line.iter().map(|point| point.2).collect()));
    }
    lines
}
