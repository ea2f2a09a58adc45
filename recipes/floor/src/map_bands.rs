//! The bands of a map: which depths share a shade, and which shade that is.

use crate::map_draw::Colour;
use crate::surface::Surface;

/// Millimetres in an inch, by definition.
const MM: f64 = 25.4;
/// A map has at most so many bands; more could not be told apart in grey.
const MOST: f64 = 8.0;
/// Differences smaller than this part of the interval are rounding.
const ROUNDING: f64 = 1e-6;

/// A range of depths, or of heights over the lowest point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Band {
    /// Depth or height where it begins.
    pub(crate) least: f64,
    /// Depth or height where it ends.
    pub(crate) most: f64,
    /// The height of its upper edge; the floor in this band and in all darker ones is below.
    pub(crate) top: f64,
    /// Its shade.
    pub(crate) fill: Colour,
}

/// The bands of a floor.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bands {
    /// From the highest and lightest to the lowest and darkest. Empty when all is dry.
    pub(crate) bands: Vec<Band>,
    /// The step from band to band.
    pub(crate) interval: f64,
    /// Whether some of the floor stands above the level.
    pub(crate) dry: bool,
    /// The pour level, when there is one.
    pub(crate) level: Option<f64>,
    lowest: f64,
}

impl Bands {
    /// Chooses the bands. Lengths are inches.
    pub(crate) fn new(surface: &Surface, level: Option<f64>, metric: bool) -> Self {
        let (lowest, highest) = (surface.lowest(), surface.highest());
        let level = level.filter(|level| level.abs() < 1e12);
        let (least, most) = match level {
            Some(level) => ((level - highest).max(0.0), level - lowest),
            None => (0.0, highest - lowest),
        };
        let interval = interval(least, most, metric);
        let numbers = numbers(least, most, interval);
        let last = numbers.end.saturating_sub(numbers.start + 1);
        let band = |number: u64| {
            let (from, to) = (number as f64 * interval, (number + 1) as f64 * interval);
            // Dark is low on either map, so that a hollow looks the same with and without a level.
            let from_top = match level {
                Some(_) => number - numbers.start,
                None => numbers.end - 1 - number,
            };
            Band {
                least: from,
                most: to,
                top: level.map_or(lowest + to, |level| level - from),
                fill: shade(from_top, last),
            }
        };
        let all_dry = level.is_some_and(|level| level <= lowest && level < highest);
        let mut bands: Vec<Band> = numbers.clone().map(band).collect();
        if level.is_none() {
            bands.reverse();
        }
        if all_dry {
            bands.clear();
        }
        Self {
            bands,
            interval,
            dry: level.is_some_and(|level| highest - level > ROUNDING * interval),
            level,
            lowest,
        }
    }

    /// What the map shows of a height: the depth below the level, or the height over the lowest point.
    pub(crate) fn shown(&self, height: f64) -> f64 {
        self.level
            .map_or(height - self.lowest, |level| level - height)
    }

    /// Whether floor at a height stands above the pour level.
    pub(crate) fn is_dry(&self, height: f64) -> bool {
        self.level
            .is_some_and(|level| height - level > ROUNDING * self.interval)
    }

    /// The shade at a height; white where dry.
    pub(crate) fn fill(&self, height: f64) -> Colour {
        let reached = |band: &&Band| height < band.top;
        let below = self.bands.iter().rev().find(reached);
        match below.or(self.bands.first()) {
            Some(band) if !self.is_dry(height) => band.fill,
            _ => Colour::WHITE,
        }
    }
}

/// The smallest usual interval that makes few enough bands.
fn interval(least: f64, most: f64, metric: bool) -> f64 {
    let mut interval = if metric { 1.0 / MM } else { 1.0 / 16.0 };
    // Metric: 1, 2, 5, 10 and so on. Inches: each the double of the one before.
    for step in (0..3).cycle() {
        let numbers = numbers(least, most, interval);
        if (numbers.end - numbers.start) as f64 <= MOST {
            break;
        }
        interval *= if metric && step == 1 { 2.5 } else { 2.0 };
    }
    interval
}

/// The numbers of the bands that some of the floor lies in; at least one.
fn numbers(least: f64, most: f64, interval: f64) -> std::ops::Range<u64> {
    let first = (least / interval + ROUNDING).floor().max(0.0) as u64;
    let end = (most / interval - ROUNDING).ceil().max(0.0) as u64;
    first..end.max(first + 1)
}

/// One hue from light to dark. Lightness alone tells the bands apart, in grey as well.
fn shade(number: u64, last: u64) -> Colour {
    let part = if last == 0 {
        0.25
    } else {
        number as f64 / last as f64
    };
    Colour(228, 240, 250).toward(Colour(14, 52, 98), part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::{Extent, Point, Reading};

    fn ramp(from: f64, to: f64) -> Surface {
        let at = [(0.0, 0.0, from), (9.0, 0.0, to), (9.0, 9.0, to)];
        let readings = at.map(|(x, y, height)| Reading {
            at: Point::new(x, y),
            height,
        });
        Surface::new(&readings, Extent::Readings).unwrap()
    }

    #[test]
    fn there_are_four_to_eight_bands_of_a_usual_interval() {
        for (range, inches, mm) in [
            (0.5, 1.0 / 16.0, 2.0),
            (1.0, 1.0 / 8.0, 5.0),
            (1.5, 1.0 / 4.0, 5.0),
            (3.0, 1.0 / 2.0, 10.0),
            (7.0, 1.0, 50.0),
        ] {
            let floor = ramp(0.0, range);
            for (metric, expected) in [(false, inches), (true, mm / MM)] {
                let bands = Bands::new(&floor, Some(range), metric);
                assert!(
                    (bands.interval - expected).abs() < 1e-12,
                    "{range} {metric}"
                );
                assert!((4..=8).contains(&bands.bands.len()), "{range} {metric}");
            }
        }
    }

    #[test]
    fn bands_reach_over_all_depths_and_no_further() {
        let bands = Bands::new(&ramp(0.0, 1.0), Some(1.25), false);
        let ends = (
            bands.bands[0].least,
            bands.bands[bands.bands.len() - 1].most,
        );
        assert_eq!((ends, bands.dry), ((0.25, 1.25), false));
        assert_eq!(bands.bands[0].top, 1.0);
        let heights = Bands::new(&ramp(3.0, 4.0), None, false);
        assert_eq!(heights.bands[0].top, 4.0);
        assert_eq!(
            (heights.bands[0].least, heights.bands[0].most),
            (0.875, 1.0)
        );
    }

    #[test]
    fn lower_is_darker_in_grey_with_and_without_a_level() {
        for level in [Some(1.0), Some(0.7), None] {
            let bands = Bands::new(&ramp(0.0, 1.0), level, false);
            let greys: Vec<f64> = bands.bands.iter().map(|b| b.fill.luminance()).collect();
            assert!(greys.is_sorted_by(|a, b| a > b), "{greys:?}");
            assert_eq!(bands.fill(0.0), bands.bands[bands.bands.len() - 1].fill);
        }
    }

    #[test]
    fn lettering_stands_out_on_every_shade() {
        // WCAG 2.1, success criterion 1.4.3: text has a contrast of at least 4.5 to 1.
        for last in 0..8 {
            for number in 0..=last {
                let fill = shade(number, last);
                let contrast = fill.contrast(fill.ink());
                assert!(contrast >= 4.5, "{number} of {last}: {contrast}");
            }
        }
    }

    #[test]
    fn floor_above_the_level_is_dry() {
        let some = Bands::new(&ramp(0.0, 1.0), Some(0.5), false);
        assert!(some.dry && some.is_dry(0.6) && !some.is_dry(0.5));
        assert_eq!(some.fill(0.6), Colour::WHITE);
        assert!(
            Bands::new(&ramp(1.0, 2.0), Some(0.5), false)
                .bands
                .is_empty()
        );
        let flat = Bands::new(&ramp(1.0, 1.0), Some(1.0), false);
        assert_eq!((flat.dry, flat.bands.len()), (false, 1));
    }
}
