//! Bars that may be cut without regret: some best plan has them (Martello and Toth's
//! dominance between bars).

use super::demand::{Demand, Kind, Run};

/// Takes off the demand all bars that are settled from the longest piece on.
///
/// * Nothing fits beside the longest piece: it stands alone.
/// * At most one piece fits beside it: the longest that fits is the best partner, for in any
///   plan it can change places with the partner there.
pub(super) fn forced(demand: &mut Demand) -> Vec<Run> {
    let mut runs = Vec::new();
    while let Some(run) = next(demand) {
        demand.take(&run);
        runs.push(run);
    }
    runs
}

fn next(demand: &Demand) -> Option<Run> {
    let longest = *demand.kinds.first()?;
    let smallest = *demand.kinds.last()?;
    let beside = demand.capacity - longest.size;
    let one = |size| Kind { size, count: 1 };
    if smallest.size > beside {
        let (pattern, times) = (vec![one(longest.size)], longest.count);
        return Some(Run { pattern, times });
    }
    if two_smallest(demand)? <= beside {
        return None;
    }
    let fits = demand.kinds.partition_point(|kind| kind.size > beside);
    if fits == 0 && longest.count > 1 {
        // Two of the longest; an odd one comes round again.
        let (count, times) = (2, longest.count / 2);
        let pattern = vec![Kind { count, ..longest }];
        return Some(Run { pattern, times });
    }
    let partner = demand.kinds.get(fits.max(1))?;
    let pattern = vec![one(longest.size), one(partner.size)];
    let times = longest.count.min(partner.count);
    Some(Run { pattern, times })
}

/// The two smallest pieces together, of two pieces or more.
fn two_smallest(demand: &Demand) -> Option<u64> {
    let (smallest, longer) = demand.kinds.split_last()?;
    if smallest.count > 1 {
        return Some(2 * smallest.size);
    }
    Some(smallest.size + longer.last()?.size)
}
