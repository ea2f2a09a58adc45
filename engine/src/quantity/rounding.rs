//! Rounding, the way a spreadsheet does it, so that program and workbook agree to the cent.

/// Decimals kept before a count is rounded up: 13.0000000001 bags is 13.
const COUNT_DECIMALS: i32 = 6;

/// Rounds to so many decimals, half away from zero.
///
/// Spreadsheets round what they show: 2.675 gives 2.68 although the binary
/// number is a hair below. A relative nudge of a few units in the last place
/// before rounding does the same.
pub fn half_away(value: f64, decimals: i32) -> f64 {
    let shift = 10f64.powi(decimals);
    let scaled = value.abs() * shift;
    // Beyond 2^52 every value is whole already; the nudge would only do harm.
    if scaled.is_nan() || scaled >= 4_503_599_627_370_496.0 {
        return value;
    }
    let rounded = (scaled * (1.0 + 8.0 * f64::EPSILON)).round();
    if rounded == 0.0 {
        return 0.0;
    }
    (rounded / shift).copysign(value)
}

/// Rounds money to the cent.
pub fn cents(value: f64) -> f64 {
    half_away(value, 2)
}

/// Rounds to a whole number away from zero, forgiving noise in the seventh decimal.
pub fn whole_up(value: f64) -> f64 {
    let steady = half_away(value, COUNT_DECIMALS);
    let up = steady.abs().ceil();
    if up == 0.0 { 0.0 } else { up.copysign(steady) }
}

/// Rounds down to a whole number; a millionth too little is still that number.
pub fn whole_down(value: f64) -> f64 {
    half_away(value, COUNT_DECIMALS).trunc()
}

/// Rounds to a whole number, half away from zero, forgiving noise in the seventh decimal.
pub fn whole_near(value: f64) -> f64 {
    half_away(half_away(value, COUNT_DECIMALS), 0)
}

/// Hands out a total by weight so that the shares add up exactly.
///
/// Each share is the rounded running total less the one before.
/// With no weight at all every share is the same.
pub fn shares(total: f64, weights: &[f64]) -> Vec<f64> {
    let sum: f64 = weights.iter().sum();
    let even = sum == 0.0;
    let whole = if even { weights.len() as f64 } else { sum };
    let mut running = 0.0;
    let mut given = 0.0;
    weights
        .iter()
        .map(|weight| {
            running += if even { 1.0 } else { *weight };
            let so_far = cents(total * running / whole);
            let share = cents(so_far - given);
            given = so_far;
            share
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_go_away_from_zero_as_a_spreadsheet_shows_them() {
        let cases = [
            (2.675, 2.68),
            (1.005, 1.01),
            (-2.675, -2.68),
            (48.125, 48.13),
            (1.25 * 38.5, 48.13),
            (0.285, 0.29),
            (10.075, 10.08),
            (2.674_999, 2.67),
            (-0.001, 0.0),
        ];
        for (value, expected) in cases {
            assert_eq!(cents(value), expected, "{value}");
            assert!(cents(value) != 0.0 || cents(value).is_sign_positive());
        }
    }

    #[test]
    fn noise_does_not_buy_a_bag() {
        assert_eq!(whole_up(13.000_000_000_1), 13.0);
        assert_eq!(whole_up(13.000_001), 14.0);
        assert_eq!(whole_up(0.0), 0.0);
        assert_eq!(whole_up(-0.5), -1.0);
    }

    #[test]
    fn huge_values_are_left_alone() {
        assert_eq!(cents(1e300), 1e300);
        assert_eq!(whole_up(1e17), 1e17);
    }

    #[test]
    fn shares_add_up_to_the_cent() {
        let parts = shares(100.0, &[1.0, 1.0, 1.0]);
        assert_eq!(parts, [33.33, 33.34, 33.33]);
        assert_eq!(cents(parts.iter().sum()), 100.0);
        assert_eq!(shares(10.0, &[0.0, 0.0]), [5.0, 5.0]);
        assert!(shares(10.0, &[]).is_empty());
    }
}
