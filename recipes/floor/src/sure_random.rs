//! Random numbers that are the same on every machine and in every run.

use std::f64::consts::TAU;

/// A small generator (SplitMix64); the same seed gives the same numbers.
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    /// Starts from a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly distributed from 0 up to, and without, 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Normally distributed with mean 0 and variance 1 (the Box-Muller transform).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (TAU * self.unit()).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::Random;

    #[test]
    fn follows_the_published_sequence() {
        // The first output of SplitMix64 from seed 0, from memory: 0xe220a8397b1dcdaf.
        assert_eq!(Random::new(0).bits(), 0xe220_a839_7b1d_cdaf);
    }

    #[test]
    fn normals_have_the_moments_of_the_normal_distribution() {
        let mut random = Random::new(7);
        let count = 200_000;
        let (mut second, mut fourth, mut first, mut inside) = (0.0, 0.0, 0.0, 0);
        for _ in 0..count {
            let z = random.normal();
            first += z;
            second += z * z;
            fourth += z.powi(4);
            inside += usize::from(z.abs() < 1.281_551_565_5);
        }
        let n = f64::from(count);
        assert!((first / n).abs() < 0.01);
        assert!((second / n - 1.0).abs() < 0.02);
        assert!((fourth / n - 3.0).abs() < 0.1);
        // The middle 80 % of the normal distribution.
        assert!((inside as f64 / n - 0.8).abs() < 0.005);
    }
}
