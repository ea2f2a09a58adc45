//! Fewer bars for many lengths: the bars with most waste are cut anew together with some
//! others, few enough at a time for the linear program.

use super::demand::{Demand, Kind, Pattern, Run, bars};

/// The most wasteful bars that are cut anew at a time.
const WASTEFUL: usize = 12;
/// Others that are cut anew beside the wasteful ones.
const OTHERS: usize = 10;
/// After so many failures in a row nothing better is looked for.
const PATIENCE: usize = 200;

/// Cuts parts of the plan anew by `solve` until it takes `target` bars or nothing helps.
pub(super) fn mend(
    demand: &Demand,
    runs: &[Run],
    target: usize,
    solve: impl Fn(Demand) -> Vec<Run>,
) -> Vec<Run> {
    let mut plan: Vec<Pattern> = Vec::new();
    for run in runs {
        plan.extend(vec![run.pattern.clone(); run.times]);
    }
    let mut turn = Turn(1);
    let mut failures = 0;
    while plan.len() > target && failures < PATIENCE {
        plan.sort_by_key(filled);
        let picked = pick(&mut plan, demand.capacity, &mut turn);
        let sizes = plan[..picked].iter().flatten();
        let sizes = sizes.flat_map(|kind: &Kind| std::iter::repeat_n(kind.size, kind.count));
        let anew = solve(Demand::new(demand.capacity, sizes.collect()));
        failures = if bars(&anew) < picked {
            0
        } else {
            failures + 1
        };
        // As many bars are taken too where they gather the waste in fewer of them.
        if bars(&anew) < picked || gathered(&anew) > plan[..picked].iter().map(squared).sum::<f64>()
        {
            plan.drain(..picked);
            for run in anew {
                plan.extend(vec![run.pattern; run.times]);
            }
        }
    }
    let runs = plan.into_iter().map(|pattern| Run { pattern, times: 1 });
    runs.collect()
}

/// Moves the bars to be cut anew to the front: wasteful ones, now these, now those, for some
/// waste cannot be helped; and a few others.
fn pick(plan: &mut [Pattern], capacity: u64, turn: &mut Turn) -> usize {
    let (mut waste, mut picked) = (0, 0);
    // Less than a bar of waste cannot make one bar less; an eighth more makes it likely.
    for at in 0..plan.len() {
        if picked == WASTEFUL || waste >= capacity + capacity / 8 {
            break;
        }
        if turn.below(3) > 0 {
            waste += capacity - filled(&plan[at]);
            plan.swap(picked, at);
            picked += 1;
        }
    }
    for _ in 0..OTHERS.min(plan.len() - picked) {
        let other = picked + turn.below(plan.len() - picked);
        plan.swap(picked, other);
        picked += 1;
    }
    picked
}

/// The more the fuller some bars and the emptier others.
fn squared(pattern: &Pattern) -> f64 {
    (filled(pattern) as f64).powi(2)
}

fn gathered(runs: &[Run]) -> f64 {
    runs.iter()
        .map(|run| squared(&run.pattern) * run.times as f64)
        .sum()
}

fn filled(pattern: &Pattern) -> u64 {
    let parts = pattern.iter();
    parts.map(|part| part.size * part.count as u64).sum()
}

/// Others by turns, the same in every run (a linear congruential generator).
struct Turn(u64);

impl Turn {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end.max(1)
    }
}
