//! Chance that is the same in every run (SplitMix64, public domain).

/// A source of numbers.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// Numbers that follow from a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x1234_5678_9abc_def0)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number from 0 to below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    /// A number between two others, on a grid of `step`: what a person would type.
    pub fn between(&mut self, least: f64, most: f64, step: f64) -> f64 {
        let steps = ((most - least) / step).round() as usize;
        let number = least + self.below(steps + 1) as f64 * step;
        (number * 1e6).round() / 1e6
    }

    /// True once in `n` times.
    pub fn once_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    /// One of a list.
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}
