//! One-dimensional cutting: pieces of given lengths, cut from bars of one stock length.
//!
//! The fewest bars are a hard problem in general, so that a plan carries the proof of how
//! good it is: a lower bound below which no plan can go. Where both meet, the plan is optimal.
//!
//! | file | what it holds |
//! |---|---|
//! | `plan` | stock, kerf and pieces in; bars with positions out |
//! | `demand` | what is to be cut, as kinds of pieces in whole numbers |
//! | `forced` | bars that may be cut without regret |
//! | `bound` | lower bounds without search |
//! | `fill` | one bar after another |
//! | `knapsack` | the most valuable way to cut one bar |
//! | `relax` | the linear program: the strong bound |
//! | `round` | from the linear program to whole bars |
//! | `solve` | all of these, from the simple to the thorough |
//!
//! This layer is pure: it knows nothing of what is cut, and gives the same plan every time.

mod bound;
mod demand;
mod fill;
mod forced;
mod knapsack;
mod mend;
mod plan;
mod relax;
mod round;
mod solve;

pub use plan::{Bar, CuttingError, Part, Piece, Plan, cut};
