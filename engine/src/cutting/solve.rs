//! The plan for a demand, from the simple to the thorough: bars without regret, one bar after
//! another, and the linear program where that leaves more bars than the bound.

use super::bound::bound;
use super::demand::{Demand, Run, bars};
use super::fill::{corrected, first_fit, fullest};
use super::forced::forced;
use super::mend::mend;
use super::relax::{Pool, relax};
use super::round::round;

/// Up to so many different lengths the linear program is solved straight away.
const FEW: usize = 100;
/// Up to so many it is solved even to close a gap of one bar.
const VERY_FEW: usize = 40;
/// How often parts of bars are rounded in another way.
const TURNS: usize = 8;

/// Runs of bars that cut the demand.
pub(super) struct Solved {
    pub(super) runs: Vec<Run>,
    /// No fewer bars than this can do.
    pub(super) bound: usize,
}

/// Cuts the demand from few bars. A bar counts as full from `full` on.
pub(super) fn solve(mut demand: Demand, full: u64) -> Solved {
    let settled = forced(&mut demand);
    let mut rest = solve_rest(&demand, full);
    rest.bound += bars(&settled);
    rest.runs.splice(0..0, settled);
    rest
}

fn solve_rest(demand: &Demand, full: u64) -> Solved {
    let bound = bound(demand);
    let mut runs = first_fit(demand);
    if bars(&runs) > bound {
        runs = fewer(runs, fullest(demand, full));
    }
    if bars(&runs) > bound + 1 {
        runs = fewer(runs, corrected(demand, bound + 1));
    }
    let few = demand.kinds.len() <= FEW;
    if !few && bars(&runs) > bound + 1 {
        let anew = |some: Demand| {
            let bound = super::bound::bound(&some);
            let runs = fewer(fullest(&some, full), corrected(&some, bound));
            thorough(&some, Solved { runs, bound }, full, 2).runs
        };
        runs = mend(demand, &runs, bound + 1, anew);
    }
    let gap = bars(&runs) - bound;
    let solved = Solved { runs, bound };
    match gap {
        0 => solved,
        1 if demand.kinds.len() <= VERY_FEW => thorough(demand, solved, full, 2),
        1 => solved,
        _ => thorough(demand, solved, full, TURNS),
    }
}

/// Closes the gap as far as the linear program can: by a better bound and by rounding it to
/// whole bars in up to so many turns.
fn thorough(demand: &Demand, solved: Solved, full: u64, turns: usize) -> Solved {
    let Solved { mut runs, bound } = solved;
    if bars(&runs) <= bound {
        return Solved { runs, bound };
    }
    let mut pool = Pool::new(runs.iter().map(|run| run.pattern.clone()).collect());
    let relaxed = relax(demand, bars(&runs), &mut pool);
    let bound = bound.max(relaxed.bound);
    for turn in 0..turns {
        if bars(&runs) <= bound {
            break;
        }
        let simple = |left: &Demand| fewer(first_fit(left), fullest(left, full));
        runs = fewer(
            runs,
            round(demand, &relaxed, bound, turn, &mut pool, simple),
        );
    }
    Solved { runs, bound }
}

fn fewer(one: Vec<Run>, other: Vec<Run>) -> Vec<Run> {
    if bars(&other) < bars(&one) {
        other
    } else {
        one
    }
}
