//! Plans made one bar after another.

use super::demand::{Demand, Kind, Pattern, Run, bars};
use super::knapsack::most_valuable;

/// How long a search goes on for the fullest bar.
const NODES: usize = 1_000;
/// How often values are corrected.
const ROUNDS: usize = 10;
/// A value of 1, in whole numbers.
const ONE: f64 = (1_u64 << 32) as f64;

/// First fit decreasing: each bar takes the longest piece that still fits, over and over.
pub(super) fn first_fit(demand: &Demand) -> Vec<Run> {
    one_by_one(demand, |left| {
        let mut room = left.capacity;
        let mut pattern = Pattern::new();
        for kind in &left.kinds {
            let fits = usize::try_from(room / kind.size).unwrap_or(usize::MAX);
            let count = fits.min(kind.count);
            if count > 0 {
                pattern.push(Kind { count, ..*kind });
                room -= kind.size * count as u64;
            }
        }
        pattern
    })
}

/// Each bar takes the longest piece left, and beside it what fills the bar best (Gupta and
/// Ho's minimum bin slack with the longest piece set).
pub(super) fn fullest(demand: &Demand, full: u64) -> Vec<Run> {
    one_by_one(demand, |left| {
        let Some(longest) = left.kinds.first().map(|kind| kind.size) else {
            return Pattern::new();
        };
        let first = Run {
            pattern: vec![Kind {
                size: longest,
                count: 1,
            }],
            times: 1,
        };
        let mut beside = left.clone();
        beside.take(&first);
        let sizes: Vec<u64> = beside.kinds.iter().map(|kind| kind.size).collect();
        let room = left.capacity - longest;
        let goal = full.saturating_sub(longest);
        let mut pattern = most_valuable(&beside, room, &sizes, goal, NODES).pattern;
        match pattern.first_mut() {
            Some(kind) if kind.size == longest => kind.count += 1,
            _ => pattern.splice(0..0, first.pattern).for_each(drop),
        }
        pattern
    })
}

/// Each bar takes what is worth most. What went into wasteful bars is worth more in the next
/// round, so that it finds its place earlier (Mukhacheva's sequential value correction).
pub(super) fn corrected(demand: &Demand, target: usize) -> Vec<Run> {
    let mut values: Vec<f64> = demand
        .kinds
        .iter()
        .map(|kind| worth(demand, kind.size))
        .collect();
    let mut best: Vec<Run> = Vec::new();
    for _ in 0..ROUNDS {
        let runs = one_by_one(demand, |left| {
            let known = left
                .kinds
                .iter()
                .filter_map(|kind| demand.position(kind.size));
            // A speck is worth something too: a bar that takes nothing would never end.
            let now: Vec<u64> = known.map(|at| ((values[at] * ONE) as u64).max(1)).collect();
            let room = left.capacity;
            let pattern = most_valuable(left, room, &now, u64::MAX, NODES).pattern;
            let filled: u64 = pattern
                .iter()
                .map(|kind| kind.size * kind.count as u64)
                .sum();
            let spread = demand.capacity as f64 / filled as f64;
            for kind in &pattern {
                if let Some(at) = demand.position(kind.size) {
                    values[at] = (values[at] + spread * worth(demand, kind.size)) / 2.0;
                }
            }
            pattern
        });
        if best.is_empty() || bars(&runs) < bars(&best) {
            best = runs;
        }
        if bars(&best) <= target {
            break;
        }
    }
    best
}

/// A little more than in proportion to the size: long pieces are harder to place.
fn worth(demand: &Demand, size: u64) -> f64 {
    (size as f64 / demand.capacity as f64).powf(1.04)
}

/// Cuts bars by the rule until nothing is left, each as often as the demand allows.
fn one_by_one(demand: &Demand, mut rule: impl FnMut(&Demand) -> Pattern) -> Vec<Run> {
    let mut left = demand.clone();
    let mut runs = Vec::new();
    while !left.kinds.is_empty() {
        let pattern = rule(&left);
        let times = left.times(&pattern).max(1);
        let run = Run { pattern, times };
        left.take(&run);
        runs.push(run);
    }
    runs
}
