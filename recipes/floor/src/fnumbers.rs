//! Floor flatness FF and levelness FL, after ASTM E1155, from lines of elevations.
//!
//! From points 12 in (300 mm) apart on a line come the curvatures q, which tell bumps, and the differences
//! z over ten intervals, which tell slope. A higher number is a better floor. The formulas
//! of the curvature are from the definitions of the standard; the F-numbers, their combination and the
//! minimum of readings are from memory. All lengths are in inches: the constants need a unit.
//! The metric E1155M rounds its constants (116 and 317 mm for 116.08 and 317.5), so its
//! numbers differ by less than 0.2 %.

mod chi_square;

use std::fmt;

/// The spacings of points that the standard knows, in inches: 12 in and 300 mm.
const SPACINGS: [f64; 2] = [12.0, 300.0 / 25.4];

/// The fewest points of a line. At these spacings they make 11 ft or 3.3 m, the shortest line.
const LEAST_POINTS: usize = 12;

/// Over how many intervals the difference z is taken: 10 ft or 3 m.
const INTERVALS: usize = 10;

/// Why there are no F-numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refusal {
    /// The points are not 12 in or 300 mm apart, to 1 %.
    Spacing,
    /// There is no line.
    NoLines,
    /// The line with this index, counted from 0, is shorter than 11 ft or 3.3 m: it has fewer than 12 points.
    TooShort(usize),
    /// A height of the line with this index is not a number.
    NotANumber(usize),
    /// The area is not a number above 0.
    Area,
    /// Too few readings of z for the area.
    TooFew {
        /// How many there are.
        readings: usize,
        /// How many are needed.
        needed: usize,
    },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Spacing => f.write_str("F-numbers need points 12 in or 300 mm apart"),
            Self::NoLines => f.write_str("F-numbers need at least one line of points"),
            Self::TooShort(line) => write!(
                f,
                "line {} has fewer than 12 points: it is shorter than 11 ft (3.3 m)",
                line + 1
            ),
            Self::NotANumber(line) => {
                write!(f, "line {} has a height that is not a number", line + 1)
            }
            Self::Area => f.write_str("the area must be more than 0"),
            Self::TooFew { readings, needed } => write!(
                f,
                "{readings} differences over ten intervals are too few for the area, which needs {needed}"
            ),
        }
    }
}

impl std::error::Error for Refusal {}

/// An F-number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FNumber {
    /// The number; infinite where the readings show no deviation at all.
    pub value: f64,
    /// The lower end of its 90 % interval.
    ///
    /// The standard's own formula was not found. This interval takes the readings as
    /// independent and normal, so that the number varies as the inverse of a sample
    /// standard deviation (chi-square). Readings on one line overlap: the true interval is wider.
    pub low: f64,
    /// The upper end of its 90 % interval.
    pub high: f64,
    /// How many readings of q or z it comes from.
    pub readings: usize,
    freedom: usize,
}

/// Flatness and levelness together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// FF, from the curvatures.
    pub flatness: FNumber,
    /// FL, from the differences over ten intervals.
    pub levelness: FNumber,
}

/// The F-numbers of a floor.
#[derive(Clone, Debug, PartialEq)]
pub struct FNumbers {
    /// Of each line, in their order.
    pub lines: Vec<Pair>,
    /// Of all lines together.
    pub overall: Pair,
}

/// The F-numbers of lines of heights in inches, with points `spacing` inches apart, on a floor of
/// `area` square inches. The minimum of readings is checked from 320 square feet up,
/// where the rule begins.
///
/// # Errors
/// When the lines are not what the standard asks for; see [`Refusal`].
pub fn f_numbers(lines: &[Vec<f64>], spacing: f64, area: f64) -> Result<FNumbers, Refusal> {
    let fits = |known: f64| (spacing / known - 1.0).abs() <= 0.01;
    if !SPACINGS.into_iter().any(fits) {
        return Err(Refusal::Spacing);
    }
    if !(area > 0.0 && area.is_finite()) {
        return Err(Refusal::Area);
    }
    if lines.is_empty() {
        return Err(Refusal::NoLines);
    }
    if let Some(line) = lines.iter().position(|line| line.len() < LEAST_POINTS) {
        return Err(Refusal::TooShort(line));
    }
    let usable = |line: &Vec<f64>| line.iter().all(|height| height.is_finite());
    if let Some(line) = lines.iter().position(|line| !usable(line)) {
        return Err(Refusal::NotANumber(line));
    }
    let readings = lines.iter().map(|line| line.len() - INTERVALS).sum();
    let needed = least_readings(area / 144.0);
    if readings < needed {
        return Err(Refusal::TooFew { readings, needed });
    }
    let each = lines.iter().map(|line| Pair {
        flatness: FNumber::of(4.57, &curvatures(line)),
        levelness: FNumber::of(12.5, &differences(line)),
    });
    let lines: Vec<Pair> = each.collect();
    let overall = Pair {
        flatness: FNumber::combined(lines.iter().map(|pair| pair.flatness)),
        levelness: FNumber::combined(lines.iter().map(|pair| pair.levelness)),
    };
    Ok(FNumbers { lines, overall })
}

/// The curvatures q of a line, in the unit of its heights: more than 0 in a trough, less on a crest.
pub fn curvatures(heights: &[f64]) -> Vec<f64> {
    let each = heights.windows(3);
    each.map(|h| (h[2] - h[1]) - (h[1] - h[0])).collect()
}

/// The differences z over ten intervals of a line, in the unit of its heights.
pub fn differences(heights: &[f64]) -> Vec<f64> {
    let each = heights.windows(INTERVALS + 1);
    each.map(|h| h[INTERVALS] - h[0]).collect()
}

/// The fewest readings of z on an area in square feet, from memory of the standard.
fn least_readings(area: f64) -> usize {
    let least = if area < 320.0 {
        0.0
    } else if area <= 1600.0 {
        2.0 * area.sqrt()
    } else {
        area / 30.0
    };
    least.ceil() as usize
}

impl FNumber {
    /// From readings: the constant over three standard deviations and the mean.
    fn of(constant: f64, readings: &[f64]) -> Self {
        let count = readings.len() as f64;
        let mean = readings.iter().sum::<f64>() / count;
        let squares: f64 = readings.iter().map(|r| (r - mean) * (r - mean)).sum();
        let deviation = (squares / (count - 1.0)).sqrt();
        let value = constant / (3.0 * deviation + mean.abs());
        Self::with_interval(value, readings.len(), readings.len() - 1)
    }

    /// From the numbers of samples: the inverse squares count by the readings.
    fn combined(samples: impl Iterator<Item = Self>) -> Self {
        let (mut sum, mut readings, mut freedom) = (0.0, 0, 0);
        for sample in samples {
            sum += sample.readings as f64 / (sample.value * sample.value);
            readings += sample.readings;
            freedom += sample.freedom;
        }
        Self::with_interval((readings as f64 / sum).sqrt(), readings, freedom)
    }

    fn with_interval(value: f64, readings: usize, freedom: usize) -> Self {
        let factor =
            |probability: f64| (chi_square::quantile(freedom, probability) / freedom as f64).sqrt();
        Self {
            value,
            low: value * factor(0.05),
            high: value * factor(0.95),
            readings,
            freedom,
        }
    }
}

#[cfg(test)]
mod tests;
