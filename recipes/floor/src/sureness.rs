//! How sure the depth of a pour is.
//!
//! The level of a pour is set on site, from the truly highest spot of the floor. Readings
//! miss highs between them and carry noise, so the mean depth is known only as a range.
//! The floor is taken as a plane with a Gaussian random field of the Matérn family on it,
//! as rough as the readings say; many floors that agree with the readings are drawn, and
//! the percentiles of their depths are the range (conditional simulation).

use std::fmt;

use crate::sure_floor::Floor;
use crate::sure_half::share_left;
use crate::surface::Surface;

/// Fewest readings from which roughness can be told.
const FEWEST: usize = 9;

/// No reading is exact: one written to the nearest sixteenth of an inch is off by up to half of
/// that, with a standard deviation of 1/16 over the square root of 12.
const LEAST_ACCURACY: f64 = 0.018;

/// The range of the mean depth below the highest spot: the highest height of the true
/// floor less its mean height. The volume of the pour is the area of the floor times the
/// sum of this and the cover over the highest spot. In the unit of the heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sureness {
    /// The true value is below this in 10 of 100 floors with such readings.
    pub p10: f64,
    /// As often above as below.
    pub p50: f64,
    /// The true value is below this in 90 of 100 floors with such readings.
    pub p90: f64,
}

impl Sureness {
    /// The width of the range from `p10` to `p90`.
    pub fn width(&self) -> f64 {
        self.p90 - self.p10
    }

    /// The range of values that follow the same law; nothing when there are none.
    pub(crate) fn of(mut values: Vec<f64>) -> Option<Self> {
        values.sort_by(f64::total_cmp);
        let last = values.len().checked_sub(1)?;
        let quantile = |part: f64| {
            let place = part * last as f64;
            let below = values[place as usize];
            let above = values[(place as usize + 1).min(last)];
            below + (above - below) * place.fract()
        };
        Some(Self {
            p10: quantile(0.1),
            p50: quantile(0.5),
            p90: quantile(0.9),
        })
    }
}

/// Why there is no range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SurenessError {
    /// Too few readings to tell how rough the floor is.
    TooFew,
    /// The accuracy is negative or not a number.
    BadAccuracy,
    /// The readings cannot be told apart in plan, or do not surround any floor.
    Undetermined,
}

impl fmt::Display for SurenessError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFew => "nine readings are needed to tell how rough the floor is",
            Self::BadAccuracy => "the accuracy must be zero or more",
            Self::Undetermined => "the readings do not tell how rough the floor is",
        })
    }
}

impl std::error::Error for SurenessError {}

/// The range of the mean depth below the highest spot. `accuracy` is the standard
/// deviation of one reading, in the unit of the heights.
///
/// Up to 150 readings are treated in full. Of more, the high spot is looked for only
/// about the highest of them, and the rest is taken as read; the time stays bounded.
///
/// # Errors
/// When there are fewer than nine readings, the accuracy is not usable, or the readings
/// do not determine a floor.
pub fn sureness(surface: &Surface, accuracy: f64) -> Result<Sureness, SurenessError> {
    let floor = checked(surface, accuracy)?;
    Sureness::of(floor.depths()).ok_or(SurenessError::Undetermined)
}

/// About how wide the range would be with readings at half the spacing: the width from
/// `p10` to `p90` of [`sureness`], times the share of it that more readings would leave on
/// a few floors drawn as rough as this one.
///
/// # Errors
/// As [`sureness`].
pub fn width_at_half_spacing(surface: &Surface, accuracy: f64) -> Result<f64, SurenessError> {
    let floor = checked(surface, accuracy)?;
    let now = Sureness::of(floor.depths()).ok_or(SurenessError::Undetermined)?;
    let left = share_left(&floor).ok_or(SurenessError::Undetermined)?;
    Ok(now.width() * left)
}

fn checked(surface: &Surface, accuracy: f64) -> Result<Floor, SurenessError> {
    if !accuracy.is_finite() || accuracy < 0.0 {
        return Err(SurenessError::BadAccuracy);
    }
    if surface.readings() < FEWEST {
        return Err(SurenessError::TooFew);
    }
    Floor::new(surface, accuracy.max(LEAST_ACCURACY)).ok_or(SurenessError::Undetermined)
}

#[cfg(test)]
mod tests;
