//! Stock, kerf and pieces in; bars with the places of their pieces out.

use std::collections::BTreeMap;
use std::fmt;

use super::demand::{Demand, Run, bars};
use super::solve::solve;

/// Lengths are counted in parts of stock and kerf together, rounded up: a part is less than
/// a float can tell of a tape's length.
const PARTS: u64 = 1 << 40;
/// By so much the pieces of a bar may come out above the stock: a millionth of it, thinner
/// than any saw can hold. It lets three pieces of a third of the stock fit.
const HAIR: u64 = PARTS >> 20;
/// The most pieces and joined lengths that are taken on.
const MOST: usize = 1_000_000;

/// A piece that is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// What the caller calls it by; it comes back with each part of the piece.
    pub index: usize,
    /// Its length, in inches (any other unit does, if all lengths have it).
    pub length: f64,
}

/// A piece, or a part of a joined one, where it lies on its bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// The index of its piece.
    pub index: usize,
    /// From the start of the bar, in the unit of the stock.
    pub start: f64,
    /// Its length, in the unit of the stock.
    pub length: f64,
    /// Which part of its piece it is, from 1.
    pub number: usize,
    /// Of how many parts the piece is joined; 1 where it is cut in one.
    pub of: usize,
}

/// How one bar of stock is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// From the start of the bar to its end.
    pub parts: Vec<Part>,
    /// The length left after the last cut, in the unit of the stock; never negative.
    pub offcut: f64,
}

/// How all pieces are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The bars used.
    pub bars: Vec<Bar>,
    /// No plan can do with fewer bars than this.
    pub bound: usize,
}

impl Plan {
    /// How many bars of stock are used.
    pub fn used(&self) -> usize {
        self.bars.len()
    }

    /// Whether it is proven that no plan uses fewer bars.
    pub fn is_optimal(&self) -> bool {
        self.used() == self.bound
    }
}

/// Why nothing can be cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CuttingError {
    /// The stock length is not above zero, or not a number.
    Stock(f64),
    /// The kerf is negative, not a number, or not below the stock length.
    Kerf(f64),
    /// A piece's length is not above zero, or not a number.
    Length(Piece),
    /// More than a million pieces, counted with the stock lengths that long ones are joined of.
    TooMany,
}

impl fmt::Display for CuttingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stock(length) => write!(f, "the stock length {length} is not above zero"),
            Self::Kerf(kerf) => write!(
                f,
                "the kerf {kerf} is not between zero and the stock length"
            ),
            Self::Length(piece) => write!(
                f,
                "the length {} of piece {} is not above zero",
                piece.length, piece.index
            ),
            Self::TooMany => write!(f, "more than {MOST} pieces to cut"),
        }
    }
}

impl std::error::Error for CuttingError {}

/// Cuts pieces from the fewest bars that it can find; the plan's bound tells how good that is.
///
/// A cut takes away the kerf. The last piece of a bar needs no cut where it ends at the
/// bar's end. A piece longer than the stock is joined of whole stock lengths, which need no
/// cut, and one rest; the plan is the best for pieces joined so. Pieces of a bar may exceed it
/// by a millionth in all.
///
/// The order of the pieces does not change the plan: the longer, then the one with the lower
/// index, comes first.
pub fn cut(stock: f64, kerf: f64, pieces: &[Piece]) -> Result<Plan, CuttingError> {
    if !(stock > 0.0 && (2.0 * stock).is_finite()) {
        return Err(CuttingError::Stock(stock));
    }
    if !(kerf >= 0.0 && kerf < stock) {
        return Err(CuttingError::Kerf(kerf));
    }
    let bench = Bench { stock, kerf };
    let (mut whole, mut loose) = (Vec::new(), Vec::new());
    let mut order: Vec<&Piece> = pieces.iter().collect();
    order.sort_by(|a, b| b.length.total_cmp(&a.length).then(a.index.cmp(&b.index)));
    for piece in order {
        if !(piece.length > 0.0 && piece.length.is_finite()) {
            return Err(CuttingError::Length(*piece));
        }
        let parts = bench.parts(piece)?;
        if whole.len() + loose.len() + parts.len() > MOST {
            return Err(CuttingError::TooMany);
        }
        for part in parts {
            let queue = if part.length < stock {
                &mut loose
            } else {
                &mut whole
            };
            queue.push(part);
        }
    }
    let sizes = loose.iter().map(|part| bench.size(part.length)).collect();
    let solved = solve(Demand::new(PARTS + HAIR, sizes), PARTS);
    let bound = whole.len() + solved.bound;
    let mut plan: Vec<Bar> = whole
        .into_iter()
        .map(|part| bench.bar(vec![part]))
        .collect();
    plan.reserve(bars(&solved.runs));
    plan.extend(bench.lay_out(&solved.runs, loose));
    Ok(Plan { bars: plan, bound })
}

/// Where bars are cut.
struct Bench {
    stock: f64,
    kerf: f64,
}

impl Bench {
    /// A length and the cut at its end. A bar is as long as the stock and one kerf, for the
    /// piece at its end needs no cut.
    fn size(&self, length: f64) -> u64 {
        let share = (length + self.kerf) / (self.stock + self.kerf);
        ((share * PARTS as f64).ceil() as u64).max(1)
    }

    /// A piece as one part, or joined of stock lengths and a rest.
    fn parts(&self, piece: &Piece) -> Result<Vec<Part>, CuttingError> {
        let fits = |length| self.size(length) <= PARTS + HAIR;
        let mut lengths = Vec::new();
        let mut rest = piece.length;
        if !fits(rest) {
            let full = (piece.length / self.stock).floor();
            if full > MOST as f64 {
                return Err(CuttingError::TooMany);
            }
            lengths.resize(full as usize, self.stock);
            rest -= full * self.stock;
        }
        let nothing = !lengths.is_empty() && rest <= self.stock * HAIR as f64 / PARTS as f64;
        if !nothing {
            lengths.push(rest);
        }
        let of = lengths.len();
        let part = |(at, length)| Part {
            index: piece.index,
            start: 0.0,
            length,
            number: at + 1,
            of,
        };
        Ok(lengths.into_iter().enumerate().map(part).collect())
    }

    /// Gives the runs their pieces, which come in the order in which they are handed out.
    fn lay_out(&self, runs: &[Run], loose: Vec<Part>) -> Vec<Bar> {
        let mut waiting: BTreeMap<u64, Vec<Part>> = BTreeMap::new();
        for part in loose.into_iter().rev() {
            waiting
                .entry(self.size(part.length))
                .or_default()
                .push(part);
        }
        let mut laid = Vec::new();
        for run in runs {
            for _ in 0..run.times {
                let mut parts = Vec::new();
                for kind in &run.pattern {
                    if let Some(queue) = waiting.get_mut(&kind.size) {
                        let from = queue.len().saturating_sub(kind.count);
                        parts.extend(queue.drain(from..).rev());
                    }
                }
                laid.push(self.bar(parts));
            }
        }
        laid
    }

    /// A bar with its parts one after the other.
    fn bar(&self, mut parts: Vec<Part>) -> Bar {
        let mut from = 0.0;
        for part in &mut parts {
            part.start = from;
            from += part.length + self.kerf;
        }
        let offcut = (self.stock - from).max(0.0);
        Bar { parts, offcut }
    }
}
