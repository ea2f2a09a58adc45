//! Lower bounds without search: every piece is given a weight such that no bar can hold more
//! than the weight of a bar; the weights then need at least so many bars.
//!
//! Two families of *dual feasible functions*, one after the other (Fekete and Schepers, "New
//! classes of fast lower bounds for bin packing problems", Mathematical Programming 91, 2001; cited
//! from memory, and shown here, so that nothing rests on the citation). Sizes as parts of the bar:
//!
//! * For a threshold e of at most 1/2, what is above 1 - e counts as a whole bar and what is
//!   below e as nothing: beside a piece above 1 - e only pieces below e fit. These alone are
//!   the bound L2 of Martello and Toth.
//! * For a whole number k, a size x counts floor((k + 1) x) / k, or x itself where (k + 1) x
//!   is whole. In a full bar the floors add up to at most k + 1, and to k + 1 only where
//!   nothing is lost, that is where all are whole.

use super::demand::Demand;

/// The highest k. Pieces of a twentieth of the bar and less waste little.
const STEPS: u128 = 20;

/// No fewer bars than this can do.
pub(super) fn bound(demand: &Demand) -> usize {
    (0..=STEPS).map(|k| stepped(demand, k)).max().unwrap_or(0)
}

/// The best bound over all thresholds for one k; 0 leaves the sizes as they are.
fn stepped(demand: &Demand, k: u128) -> usize {
    let capacity = u128::from(demand.capacity);
    let bar = capacity * k.max(1);
    // For each kind, the weight of all pieces longer than it; and how many these are.
    let mut weights = vec![0_u128];
    let mut counts = vec![0_u128];
    for kind in &demand.kinds {
        let size = u128::from(kind.size);
        let steps = (k + 1) * size;
        let weight = if k == 0 || steps.is_multiple_of(capacity) {
            size * k.max(1)
        } else {
            steps / capacity * capacity
        };
        let count = kind.count as u128;
        weights.push(weights[weights.len() - 1] + weight * count);
        counts.push(counts[counts.len() - 1] + count);
    }
    let mut most = 0;
    // How many kinds count as whole bars: as the threshold falls, fewer do.
    let mut whole = demand.kinds.len();
    for (at, kind) in demand.kinds.iter().enumerate() {
        if kind.size > demand.capacity / 2 {
            continue;
        }
        while whole > 0 && demand.kinds[whole - 1].size <= demand.capacity - kind.size {
            whole -= 1;
        }
        let between = weights[at + 1] - weights[whole];
        most = most.max(counts[whole] * bar + between);
    }
    // And no threshold at all.
    most = most.max(weights[weights.len() - 1]);
    if k == 0 {
        let halves = demand.kinds.iter();
        let above = halves.filter(|kind| kind.size > demand.capacity / 2);
        most = most.max(above.map(|kind| kind.count as u128).sum::<u128>() * bar);
    }
    usize::try_from(most.div_ceil(bar)).unwrap_or(usize::MAX)
}
