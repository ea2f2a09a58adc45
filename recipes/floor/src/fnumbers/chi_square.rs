//! Quantiles of the chi-square distribution.

use std::f64::consts::PI;

/// The value that a chi-square variable of whole degrees of freedom, at least one, stays below
/// with a probability between 0 and 1.
pub(super) fn quantile(freedom: usize, probability: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while below(freedom, high) < probability {
        (low, high) = (high, 2.0 * high);
    }
    // As many halvings as a number has binary digits.
    for _ in 0..53 {
        let middle = (low + high) / 2.0;
        if below(freedom, middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

/// The probability to stay below a value: the incomplete gamma function, by its series.
fn below(freedom: usize, value: f64) -> f64 {
    let (shape, half) = (freedom as f64 / 2.0, value / 2.0);
    let mut term = (shape * half.ln() - half - log_gamma(freedom + 2)).exp();
    let mut sum = 0.0;
    let mut next = shape + 1.0;
    while term > 1e-17 * sum {
        sum += term;
        term *= half / next;
        next += 1.0;
    }
    sum
}

/// The logarithm of the gamma function of half a whole number, from gamma(1/2) or gamma(1).
fn log_gamma(halves: usize) -> f64 {
    let first = if halves % 2 == 1 { PI.sqrt().ln() } else { 0.0 };
    let steps = (halves % 2..halves).step_by(2).filter(|step| *step > 0);
    first + steps.map(|step| (step as f64 / 2.0).ln()).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::quantile;

    #[test]
    fn agrees_with_scipy() {
        // scipy.stats.chi2.ppf, scipy 1.17.1.
        let known = [
            (1, 0.05, 0.003_932_140_000_019_52),
            (1, 0.95, 3.841_458_820_694_12),
            (2, 0.05, 0.102_586_588_775_101),
            (3, 0.95, 7.814_727_903_251_18),
            (11, 0.05, 4.574_813_079_322_22),
            (62, 0.95, 81.381_015_188_899_1),
            (1001, 0.05, 928.557_583_524_46),
        ];
        for (freedom, probability, value) in known {
            let found = quantile(freedom, probability);
            assert!(
                (found / value - 1.0).abs() < 1e-10,
                "{found} is not {value}"
            );
        }
    }
}
