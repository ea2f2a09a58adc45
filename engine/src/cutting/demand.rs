//! What is to be cut, by kinds: how many pieces of each size; and patterns, how a bar is cut.

/// So many pieces of one size. Sizes include the kerf of one cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Kind {
    pub(super) size: u64,
    pub(super) count: usize,
}

/// What one bar gives: sizes, the longest first, each with how many of it; never none.
pub(super) type Pattern = Vec<Kind>;

/// A pattern, cut from so many bars.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub(super) pattern: Pattern,
    pub(super) times: usize,
}

/// How many bars the runs take.
pub(super) fn bars(runs: &[Run]) -> usize {
    runs.iter().map(|run| run.times).sum()
}

/// The pieces still to be cut. No size is above the capacity.
#[derive(Clone, Debug)]
pub(super) struct Demand {
    pub(super) capacity: u64,
    /// The longest first; no size twice, no count of 0.
    pub(super) kinds: Vec<Kind>,
}

impl Demand {
    /// The kinds of these sizes.
    pub(super) fn new(capacity: u64, mut sizes: Vec<u64>) -> Self {
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        let mut kinds: Vec<Kind> = Vec::new();
        for size in sizes {
            match kinds.last_mut() {
                Some(kind) if kind.size == size => kind.count += 1,
                _ => kinds.push(Kind { size, count: 1 }),
            }
        }
        Self { capacity, kinds }
    }

    /// Which kind has this size.
    pub(super) fn position(&self, size: u64) -> Option<usize> {
        let found = self.kinds.binary_search_by(|kind| size.cmp(&kind.size));
        found.ok()
    }

    /// From how many bars the pattern can be cut without cutting what nobody asked for.
    pub(super) fn times(&self, pattern: &Pattern) -> usize {
        let each = pattern.iter().map(|part| {
            self.position(part.size)
                .map_or(0, |at| self.kinds[at].count / part.count)
        });
        each.min().unwrap_or(0)
    }

    /// The part of the pattern that is still asked for.
    pub(super) fn still_asked(&self, pattern: &Pattern) -> Pattern {
        let parts = pattern.iter().filter_map(|part| {
            let left = self.kinds[self.position(part.size)?].count;
            Some(Kind {
                size: part.size,
                count: part.count.min(left),
            })
        });
        parts.collect()
    }

    /// Takes what a run cuts off the demand, which holds it.
    pub(super) fn take(&mut self, run: &Run) {
        for part in &run.pattern {
            if let Some(at) = self.position(part.size) {
                let kind = &mut self.kinds[at];
                kind.count = kind.count.saturating_sub(part.count * run.times);
                if kind.count == 0 {
                    self.kinds.remove(at);
                }
            }
        }
    }
}
