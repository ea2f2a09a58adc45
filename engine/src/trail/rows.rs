//! Rows that are looked for by their numbers: steps of a table, the largest product that fits,
//! rows whose keys are the same.

use super::node::Failure;
use super::table::{ColumnId, Table};
use crate::quantity::compare_values;

/// What rows of another table must have the same as this row: one key, or two together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Same {
    /// A column of that table, and the column of this row that it must equal.
    pub key: (ColumnId, ColumnId),
    /// A second pair of which the same holds.
    pub also: Option<(ColumnId, ColumnId)>,
}

impl Same {
    /// One key of the other table, which must equal a column of this row.
    pub fn one(key: ColumnId, equals: ColumnId) -> Self {
        Self {
            key: (key, equals),
            also: None,
        }
    }

    /// The same with a second key.
    #[must_use]
    pub fn and(self, key: ColumnId, equals: ColumnId) -> Self {
        Self {
            also: Some((key, equals)),
            ..self
        }
    }

    /// The pairs of keys.
    pub fn pairs(&self) -> impl Iterator<Item = (ColumnId, ColumnId)> {
        std::iter::once(self.key).chain(self.also)
    }

    /// The rows of a table, among all or some that follow one another, whose keys are the same
    /// as the cells of a row of another table. A blank is the same as nothing.
    pub(crate) fn rows<'t>(
        &self,
        table: &'t Table,
        among: Option<(u32, u32)>,
        (own, row): (&Table, usize),
    ) -> impl Iterator<Item = usize> + use<'t> {
        let wanted = |(key, equals)| (table.values(key), own.value(equals, row));
        let (keys, first) = wanted(self.key);
        let also = self.also.map(wanted);
        let (start, count) = match among {
            Some((start, count)) => (start as usize, count as usize),
            None => (0, table.rows()),
        };
        (start..start + count).filter(move |row| {
            keys[*row] == first && also.is_none_or(|(keys, second)| keys[*row] == second)
        })
    }
}

/// The value of the last step that starts at or below a value.
pub(super) fn step(steps: &Table, at: f64) -> Result<f64, Failure> {
    (0..steps.rows())
        .rev()
        .find(|row| compare_values(steps.value(ColumnId::FIRST, *row), at).is_le())
        .map(|row| steps.value(ColumnId::SECOND, row))
        .ok_or(Failure::BelowFirstStep)
}

/// The value of the first step that starts at or above a value.
pub(super) fn next_step(steps: &Table, at: f64) -> Result<f64, Failure> {
    (0..steps.rows())
        .find(|row| compare_values(steps.value(ColumnId::FIRST, *row), at).is_ge())
        .map(|row| steps.value(ColumnId::SECOND, row))
        .ok_or(Failure::AboveLastStep)
}

/// The row, counted from one, whose field is the largest that is not over `most`, among those
/// whose other fields are the same as asked; of several as large, the first.
pub(super) fn largest(
    products: &Table,
    field: ColumnId,
    most: f64,
    same: &[(ColumnId, f64)],
) -> Result<f64, Failure> {
    let mut best: Option<(usize, f64)> = None;
    for row in 0..products.rows() {
        let size = products.value(field, row);
        let fits = compare_values(size, most).is_le() && products.has(row, same);
        if size > 0.0 && fits && best.is_none_or(|(_, known)| size > known) {
            best = Some((row, size));
        }
    }
    best.map(|(row, _)| row as f64 + 1.0)
        .ok_or(Failure::NothingFits)
}

impl Table {
    /// Whether a row has certain values; a blank is no value.
    pub fn has(&self, row: usize, values: &[(ColumnId, f64)]) -> bool {
        let is_it = |(column, value): &(ColumnId, f64)| {
            let own = self.value(*column, row);
            !own.is_nan() && compare_values(own, *value).is_eq()
        };
        values.iter().all(is_it)
    }
}
