//! The most valuable way to cut one bar: branch and bound, depth first, the kinds most
//! valuable by length first. The search stops after so many nodes; what it has then not
//! looked at is bounded, so that its answer may be relied on all the same.

use super::demand::{Demand, Kind, Pattern};

/// Into so many cells a bar is divided for the table.
pub(super) const CELLS: usize = 4096;

/// The best bar found, and what no bar can be above.
pub(super) struct Best {
    pub(super) pattern: Pattern,
    pub(super) value: u64,
    /// Equal to `value` where the search came to its end.
    pub(super) ceiling: u64,
}

/// A kind in the order of the search.
struct Choice {
    kind: Kind,
    value: u64,
    /// Value by length, rounded up by more than the errors of floating point.
    density: f64,
    /// The smallest size from here on.
    smallest: u64,
}

/// Searches with `values` for the kinds of the demand in their order. Ends early where a bar
/// reaches the goal.
pub(super) fn most_valuable(
    demand: &Demand,
    room: u64,
    values: &[u64],
    goal: u64,
    nodes: usize,
) -> Best {
    let choices = choices(demand, values);
    let search = Search {
        table: Vec::new(),
        cell: 1,
        choices,
        taken: Vec::new(),
        room,
        value: 0,
    };
    search.run(goal, nodes)
}

/// The same, with a table of what each rest of the bar can come to: slower to begin with, and
/// then nearly straight to the end.
pub(super) fn most_valuable_by_table(demand: &Demand, values: &[u64], nodes: usize) -> Best {
    let choices = choices(demand, values);
    let cell = demand.capacity / CELLS as u64 + 1;
    let search = Search {
        table: table(&choices, demand.capacity, cell),
        cell,
        choices,
        taken: Vec::new(),
        room: demand.capacity,
        value: 0,
    };
    search.run(u64::MAX, nodes)
}

/// For each choice, what it and those after it can come to in so many cells of room. Sizes
/// are rounded down to cells, so that nothing is valued too low.
fn table(choices: &[Choice], capacity: u64, cell: u64) -> Vec<Vec<u64>> {
    let cells = (capacity / cell) as usize;
    let mut table = vec![vec![0_u64; cells + 1]];
    for choice in choices.iter().rev() {
        let mut row = table[table.len() - 1].clone();
        let size = (choice.kind.size / cell) as usize;
        let fits = (capacity / choice.kind.size) as usize;
        for _ in 0..choice.kind.count.min(fits) {
            for room in (size..=cells).rev() {
                row[room] = row[room].max(row[room - size] + choice.value);
            }
        }
        table.push(row);
    }
    table.reverse();
    table
}

fn choices(demand: &Demand, values: &[u64]) -> Vec<Choice> {
    let mut choices: Vec<Choice> = demand
        .kinds
        .iter()
        .zip(values)
        .filter(|(_, value)| **value > 0)
        .map(|(kind, value)| Choice {
            kind: *kind,
            value: *value,
            density: *value as f64 / kind.size as f64 * (1.0 + 1e-12),
            smallest: kind.size,
        })
        .collect();
    // Stable: of equal densities the longest comes first.
    choices.sort_by(|a, b| b.density.total_cmp(&a.density));
    for at in (1..choices.len()).rev() {
        choices[at - 1].smallest = choices[at - 1].smallest.min(choices[at].smallest);
    }
    choices
}

struct Search {
    /// Empty where only densities bound the search.
    table: Vec<Vec<u64>>,
    /// The size of a cell of the table.
    cell: u64,
    choices: Vec<Choice>,
    /// What the bar holds now: which choice, how many.
    taken: Vec<(usize, usize)>,
    room: u64,
    value: u64,
}

impl Search {
    fn run(mut self, goal: u64, nodes: usize) -> Best {
        let mut best = (0, Vec::new());
        let mut at = 0;
        for _ in 0..nodes {
            self.fill(at, best.0);
            if self.value > best.0 {
                best = (self.value, self.taken.clone());
                if best.0 >= goal {
                    return self.answer(best, 0);
                }
            }
            match self.give_back() {
                Some(next) => at = next,
                None => return self.answer(best, 0),
            }
        }
        let open = self.open(at);
        self.answer(best, open)
    }
    /// The most that the bar can come to with choices from `at` on.
    fn ceiling(&self, at: usize, room: u64, value: u64) -> u64 {
        if let Some(row) = self.table.get(at) {
            return value + row[(room / self.cell) as usize];
        }
        let density = self.choices.get(at).map_or(0.0, |choice| choice.density);
        value + (room as f64 * density) as u64
    }

    /// Takes as much as fits of each choice from `at` on, while it may still beat the best.
    fn fill(&mut self, mut at: usize, best: u64) {
        while let Some(choice) = self.choices.get(at) {
            if self.room < choice.smallest || self.ceiling(at, self.room, self.value) <= best {
                return;
            }
            let fits = usize::try_from(self.room / choice.kind.size).unwrap_or(usize::MAX);
            let count = fits.min(choice.kind.count);
            if count > 0 {
                self.room -= choice.kind.size * count as u64;
                self.value += choice.value * count as u64;
                self.taken.push((at, count));
            }
            at += 1;
        }
    }

    /// Puts back one of the last choice; what comes after it is tried next.
    fn give_back(&mut self) -> Option<usize> {
        let (at, count) = self.taken.last_mut()?;
        let at = *at;
        *count -= 1;
        if *count == 0 {
            self.taken.pop();
        }
        self.room += self.choices[at].kind.size;
        self.value -= self.choices[at].value;
        Some(at + 1)
    }

    /// What the part of the tree that was not searched can come to at most.
    fn open(&self, at: usize) -> u64 {
        let (mut room, mut value) = (self.room, self.value);
        let mut most = self.ceiling(at, room, value);
        // Fewer of a choice leave room to what is less valuable by length: one less bounds
        // all lesser counts.
        for (at, count) in self.taken.iter().rev() {
            let choice = &self.choices[*at];
            let fewer = self.ceiling(at + 1, room + choice.kind.size, value - choice.value);
            most = most.max(fewer);
            room += choice.kind.size * *count as u64;
            value -= choice.value * *count as u64;
        }
        most
    }

    fn answer(&self, (value, taken): (u64, Vec<(usize, usize)>), open: u64) -> Best {
        let mut pattern: Pattern = taken
            .into_iter()
            .map(|(at, count)| Kind {
                size: self.choices[at].kind.size,
                count,
            })
            .collect();
        pattern.sort_unstable_by_key(|part| std::cmp::Reverse(part.size));
        Best {
            pattern,
            value,
            ceiling: value.max(open),
        }
    }
}
