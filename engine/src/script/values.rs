//! What script variables hold.

use std::sync::Arc;

use rhai::Dynamic;

use crate::trail::{NodeId, TableId};

/// A value on the trail: number, text, condition or product.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Traced(pub(super) NodeId);

/// A set of names such as `room` or `factor`, by its number in the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Names(pub(super) usize);

/// The price book, whose methods find products.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Book;

/// A step table of a factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Steps(pub(super) TableId);

/// Figures that were asked for: which ones, and of what.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked {
    /// Their number in the scene.
    pub(super) figures: usize,
    /// What was asked.
    pub(super) arguments: Arc<[NodeId]>,
}

/// A whole column, to be summed by `total`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct WholeColumn(pub(super) crate::trail::Ref);

/// A count that drives a loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Counted(pub(super) i64);

impl IntoIterator for Counted {
    type Item = Dynamic;
    type IntoIter = std::iter::Map<std::ops::RangeInclusive<i64>, fn(i64) -> Dynamic>;

    fn into_iter(self) -> Self::IntoIter {
        (1..=self.0).map(Dynamic::from_int)
    }
}
