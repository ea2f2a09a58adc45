//! The cutting problem with parts of bars allowed: Gilmore and Gomory's linear program ("A
//! linear programming approach to the cutting stock problem", Operations Research 9, 1961).
//! Each pattern is a column; the simplex method keeps those in use and asks the knapsack for
//! the pattern that would save most.
//!
//! Its prices of pieces give a bound at each step (Farley): where no bar holds more than a
//! value W, pieces of a total value V take at least V / W bars. Prices are whole numbers
//! there, so that floating point decides which bound is found, never whether it is true.

use super::demand::{Demand, Kind, Pattern};
use super::knapsack::{Best, CELLS, most_valuable, most_valuable_by_table};

/// A price of 1, in whole numbers.
const ONE: f64 = (1_u64 << 32) as f64;
/// How long each search for a pattern goes on.
const NODES: usize = 2_000;
/// The work on one demand, in numbers touched: a plan must come in time, with whatever bound is
/// found by then. Counted, not timed, so that every machine gives the same plan.
const MOST_WORK: usize = 2_000_000_000;
/// The first time may take so great a part of it; the rest is for whole bars.
const FIRST_PART: usize = 2;
/// Less than this is nothing.
const TINY: f64 = 1e-9;
/// A pattern worth more than a bar by less than this is not worth a step.
const SAVES: f64 = 1e-7;
/// Nothing is divided by less than this.
const PIVOT: f64 = 1e-6;
/// By so much, more or less, the demand is raised: no two columns come to nothing at once, which
/// could send the simplex method round in circles. Bounds are reckoned without it.
const JOG: f64 = 1e-5;
/// Parts of bars below this come from the jog.
pub(super) const SLIGHT: f64 = 1e-3;

/// What is carried from one linear program of a demand to those of its rests.
pub(super) struct Pool {
    /// Patterns found so far.
    patterns: Vec<Pattern>,
    /// Work that may still be done.
    left: usize,
}

impl Pool {
    pub(super) fn new(patterns: Vec<Pattern>) -> Self {
        let left = MOST_WORK;
        Self { patterns, left }
    }
}

/// The answer of the linear program.
pub(super) struct Relaxed {
    /// No fewer bars than this can do.
    pub(super) bound: usize,
    /// Patterns, each with how many bars of it, in parts of bars.
    pub(super) columns: Vec<(Pattern, f64)>,
}

/// A column of the program: how much of each kind it gives, and its cost in bars.
#[derive(Clone)]
struct Column {
    parts: Vec<(usize, f64)>,
    /// 1 for a bar; 0 for what is cut beyond the demand, which gives -1 of a kind.
    cost: f64,
}

/// Solves the program. Stops early once the bound is `enough`. Patterns found go to the pool,
/// which speeds up later problems of the same pieces.
pub(super) fn relax(demand: &Demand, enough: usize, pool: &mut Pool) -> Relaxed {
    let mut program = Program::new(demand);
    let known: Vec<Column> = pool
        .patterns
        .iter()
        .filter(|pattern| demand.times(pattern) > 0)
        .map(|pattern| program.column(pattern))
        .collect();
    let mut bound = 0;
    let size = demand.kinds.len();
    let stop_at = pool.left - pool.left / FIRST_PART;
    while pool.left > stop_at {
        // The basis twice, the known patterns, and what a search for a pattern comes to.
        pool.left = pool.left.saturating_sub(2 * size * size + 4 * known.len());
        let prices = program.prices();
        if let Some(column) = dearest(&known, &prices) {
            program.bring_in(column.clone());
            continue;
        }
        let values: Vec<u64> = prices.iter().map(|price| (price * ONE) as u64).collect();
        let saves = |best: &Best| best.value as f64 > (1.0 + SAVES) * ONE;
        pool.left = pool.left.saturating_sub(10 * NODES);
        let mut best = most_valuable(demand, demand.capacity, &values, u64::MAX, NODES);
        if best.ceiling > best.value && !saves(&best) {
            pool.left = pool.left.saturating_sub(CELLS * size);
            best = most_valuable_by_table(demand, &values, NODES);
        }
        bound = bound.max(at_least(demand, &values, best.ceiling));
        if bound >= enough || bound >= program.bars() {
            break;
        }
        if saves(&best) {
            program.bring_in(program.column(&best.pattern));
            pool.patterns.push(best.pattern);
            continue;
        }
        let lowest = (0..prices.len()).min_by(|a, b| prices[*a].total_cmp(&prices[*b]));
        let Some(kind) = lowest.filter(|kind| prices[*kind] < -SAVES) else {
            break;
        };
        program.bring_in(Column {
            parts: vec![(kind, -1.0)],
            cost: 0.0,
        });
    }
    Relaxed {
        bound,
        columns: program.columns(),
    }
}

/// Bars that pieces of these values take where none holds more than `most`.
fn at_least(demand: &Demand, values: &[u64], most: u64) -> usize {
    let bars = total(demand, values).div_ceil(u128::from(most.max(1)));
    usize::try_from(bars).unwrap_or(usize::MAX)
}

/// The values of all pieces together.
fn total(demand: &Demand, values: &[u64]) -> u128 {
    let each = demand.kinds.iter().zip(values);
    each.map(|(kind, value)| u128::from(*value) * kind.count as u128)
        .sum()
}

/// The known pattern that is worth most at these prices, where it is worth more than a bar.
fn dearest<'a>(known: &'a [Column], prices: &[f64]) -> Option<&'a Column> {
    let mut best = None;
    let mut most = 1.0 + SAVES;
    for column in known {
        let worth = column.worth(prices);
        if worth > most {
            (best, most) = (Some(column), worth);
        }
    }
    best
}

impl Column {
    fn worth(&self, prices: &[f64]) -> f64 {
        self.parts.iter().map(|(at, n)| prices[*at] * n).sum()
    }
}

/// The revised simplex method with the inverse of the basis written out.
struct Program<'a> {
    demand: &'a Demand,
    basis: Vec<Column>,
    /// Row by row.
    inverse: Vec<Vec<f64>>,
    /// How much of each column of the basis is used.
    amounts: Vec<f64>,
}

impl<'a> Program<'a> {
    /// To begin with, each kind has bars of its own.
    fn new(demand: &'a Demand) -> Self {
        let size = demand.kinds.len();
        let mut program = Self {
            demand,
            basis: Vec::with_capacity(size),
            inverse: vec![vec![0.0; size]; size],
            amounts: Vec::with_capacity(size),
        };
        for (at, kind) in demand.kinds.iter().enumerate() {
            let fits = usize::try_from(demand.capacity / kind.size).unwrap_or(usize::MAX);
            let count = fits.min(kind.count) as f64;
            program.inverse[at][at] = 1.0 / count;
            let more = JOG * (1.0 + (at as f64 * 0.618_034).fract());
            program.amounts.push((kind.count as f64 + more) / count);
            program.basis.push(Column {
                parts: vec![(at, count)],
                cost: 1.0,
            });
        }
        program
    }

    fn column(&self, pattern: &Pattern) -> Column {
        let parts = pattern.iter().filter_map(|part| {
            let at = self.demand.position(part.size)?;
            Some((at, part.count as f64))
        });
        Column {
            parts: parts.collect(),
            cost: 1.0,
        }
    }

    /// No bound of the linear program can be above this.
    fn bars(&self) -> usize {
        let each = self.basis.iter().zip(&self.amounts);
        let sum: f64 = each.map(|(column, amount)| column.cost * amount).sum();
        (sum - SLIGHT).ceil().max(0.0) as usize
    }

    /// What a piece of each kind costs in bars by the basis.
    fn prices(&self) -> Vec<f64> {
        let mut prices = vec![0.0; self.basis.len()];
        for (column, row) in self.basis.iter().zip(&self.inverse) {
            if column.cost > 0.0 {
                for (price, entry) in prices.iter_mut().zip(row) {
                    *price += column.cost * entry;
                }
            }
        }
        prices
    }

    /// Brings a column in for the one that first comes to nothing.
    fn bring_in(&mut self, column: Column) {
        let share =
            |row: &Vec<f64>| -> f64 { column.parts.iter().map(|(at, n)| row[*at] * n).sum() };
        let direction: Vec<f64> = self.inverse.iter().map(share).collect();
        let step = (direction.iter().zip(&self.amounts))
            .filter(|(change, _)| **change > PIVOT)
            .map(|(change, amount)| amount / change)
            .fold(f64::INFINITY, f64::min);
        // Of those that come to nothing together the surest divisor.
        let ties = (0..direction.len()).filter(|at| {
            direction[*at] > PIVOT && self.amounts[*at] / direction[*at] <= step + TINY
        });
        let leaving = ties.max_by(|a, b| direction[*a].total_cmp(&direction[*b]));
        let Some(leaving) = leaving else { return };
        for (amount, change) in self.amounts.iter_mut().zip(&direction) {
            *amount = (*amount - step * change).max(0.0);
        }
        self.amounts[leaving] = step;
        let mut pivot = std::mem::take(&mut self.inverse[leaving]);
        for entry in &mut pivot {
            *entry /= direction[leaving];
        }
        for (row, change) in self.inverse.iter_mut().zip(&direction) {
            if *change != 0.0 && !row.is_empty() {
                for (entry, by) in row.iter_mut().zip(&pivot) {
                    *entry -= change * by;
                }
            }
        }
        self.inverse[leaving] = pivot;
        self.basis[leaving] = column;
    }

    /// The patterns in use.
    fn columns(self) -> Vec<(Pattern, f64)> {
        let used = self.basis.iter().zip(&self.amounts);
        let bars = used.filter(|(column, amount)| column.cost > 0.0 && **amount > SLIGHT);
        bars.map(|(column, amount)| {
            let mut pattern: Pattern = column
                .parts
                .iter()
                .map(|(at, count)| Kind {
                    size: self.demand.kinds[*at].size,
                    count: *count as usize,
                })
                .collect();
            pattern.sort_unstable_by_key(|part| std::cmp::Reverse(part.size));
            (pattern, *amount)
        })
        .collect()
    }
}
