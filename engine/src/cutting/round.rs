//! From parts of bars to whole bars: what the linear program cuts wholly is cut, and the rest
//! is solved anew, until nothing is left.

use super::demand::{Demand, Pattern, Run, bars};
use super::relax::{Pool, Relaxed, SLIGHT, relax};

/// How often the linear program is solved anew for what is left.
const MOST_ROUNDS: usize = 40;

/// Looks for a plan of at most `target` bars. `simple` is tried on each rest. The `turn`
/// tells rounds apart: the later, the more of the patterns are passed over at the first step.
pub(super) fn round(
    demand: &Demand,
    first: &Relaxed,
    target: usize,
    turn: usize,
    pool: &mut Pool,
    simple: impl Fn(&Demand) -> Vec<Run>,
) -> Vec<Run> {
    let mut left = demand.clone();
    let mut fixed: Vec<Run> = Vec::new();
    let mut best: Vec<Run> = Vec::new();
    let mut columns = first.columns.clone();
    let mut skip = turn;
    for _ in 0..MOST_ROUNDS {
        let runs = whole(&left, &columns, skip);
        if runs.is_empty() && !best.is_empty() {
            // The linear program has nothing more to say.
            return best;
        }
        for run in runs {
            left.take(&run);
            fixed.push(run);
        }
        skip = 0;
        let rest = simple(&left);
        if best.is_empty() || bars(&fixed) + bars(&rest) < bars(&best) {
            best = fixed.iter().cloned().chain(rest).collect();
        }
        if left.kinds.is_empty() || bars(&best) <= target {
            return best;
        }
        let relaxed = relax(&left, usize::MAX, pool);
        if bars(&fixed) + relaxed.bound > target {
            return best;
        }
        columns = relaxed.columns;
    }
    best
}

/// What of the columns is cut: all whole bars; where there are none, one bar of the pattern
/// that comes nearest to one.
fn whole(left: &Demand, columns: &[(Pattern, f64)], skip: usize) -> Vec<Run> {
    let mut runs = Vec::new();
    let mut rest = left.clone();
    for (pattern, amount) in columns {
        let times = ((amount + SLIGHT) as usize).min(rest.times(pattern));
        if times > 0 {
            let pattern = pattern.clone();
            let run = Run { pattern, times };
            rest.take(&run);
            runs.push(run);
        }
    }
    if runs.is_empty() || skip > 0 {
        let mut by_part: Vec<&(Pattern, f64)> = columns.iter().collect();
        by_part.sort_by(|a, b| b.1.fract().total_cmp(&a.1.fract()));
        let chosen = by_part.get(skip.min(by_part.len().saturating_sub(1)));
        if let Some((pattern, _)) = chosen {
            let pattern = rest.still_asked(pattern);
            if !pattern.is_empty() {
                runs.push(Run { pattern, times: 1 });
            }
        }
    }
    runs
}
