//! Nodes of the trail: one operation each, with its operands, its kind and its place.

use std::fmt;
use std::sync::Arc;

use super::function::Function;
use super::ledger::{Ledger, SingleId};
use super::rows::{Same, largest, next_step, step};
use super::table::{ColumnId, TableId};
use super::texts::TextId;
use crate::quantity::{Dimension, Unit};

/// The number of a node in its shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub(crate) u32);

impl NodeId {
    pub(crate) fn index(self) -> usize {
        self.0 as usize
    }
}

/// What sort of value a node or a column has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A number of some dimension.
    Number(Dimension),
    /// A text, by its number.
    Text,
    /// Yes (1) or no (0).
    Condition,
    /// A row of a product table, counted from one.
    Product(TableId),
}

/// Where a value is read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ref {
    /// A column of the same row.
    Column(ColumnId),
    /// A column of the row's parent (of the room, for an opening).
    Parent(ColumnId),
    /// A column of the row above; 0 above the first.
    Above(ColumnId),
    /// The sum over the row's children.
    Children(TableId, ColumnId),
    /// The largest value among the row's children.
    Most(TableId, ColumnId),
    /// The smallest value among the row's children.
    Least(TableId, ColumnId),
    /// The sum of a whole column.
    All(TableId, ColumnId),
    /// The sum of a column over the rows whose keys are the same as cells of this row.
    Where {
        /// Table summed over.
        table: TableId,
        /// Column summed.
        column: ColumnId,
        /// First row and number of the rows looked at; all where none are named.
        among: Option<(u32, u32)>,
        /// What must be the same.
        same: Same,
    },
    /// One certain cell of a table.
    Cell(TableId, ColumnId, u32),
    /// A single value.
    Single(SingleId),
}

/// One operation.
#[derive(Clone, Debug, PartialEq)]
pub enum Op {
    /// A constant that is the same everywhere: 0 or 1.
    Constant(f64),
    /// A text written in a script.
    Text(TextId),
    /// A value read.
    Read(Ref),
    /// Minus a value.
    Negate(NodeId),
    /// A sum.
    Add(NodeId, NodeId),
    /// A difference.
    Subtract(NodeId, NodeId),
    /// A product.
    Multiply(NodeId, NodeId),
    /// A quotient.
    Divide(NodeId, NodeId),
    /// The row (counted from one) in which a table names a text.
    Find(TableId, NodeId),
    /// The value of a column in the row found, counted from `first`.
    Pick {
        /// Table read.
        table: TableId,
        /// Column read.
        column: ColumnId,
        /// First row of the range that the row number counts in.
        first: u32,
        /// How many rows the range has.
        rows: u32,
        /// The row number, counted from one.
        row: NodeId,
    },
    /// The value of a step table at a value: of the last step that starts at or below it.
    Step(TableId, NodeId),
    /// The value of a step table at a value: of the first step that starts at or above it.
    NextStep(TableId, NodeId),
    /// The row (counted from one) of the product whose field is the largest that is not over a
    /// value; of several as large, the first.
    Largest {
        /// Table of the products.
        table: TableId,
        /// The field.
        field: ColumnId,
        /// The value it must not be over.
        most: NodeId,
        /// Fields that must be the same as a value.
        same: Vec<(ColumnId, NodeId)>,
    },
    /// The name of the row found in a table.
    NameOf(TableId, NodeId),
    /// A function.
    Call(Arc<Function>, Vec<NodeId>),
}

/// A line and column in a script, both counted from one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ScriptPlace {
    /// Which script of the run.
    pub script: u16,
    /// Line.
    pub line: u16,
    /// Column in characters.
    pub column: u16,
}

/// One node.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// What is done.
    pub op: Op,
    /// What comes out.
    pub kind: Kind,
    /// The unit in which a person would write it.
    pub unit: Arc<Unit>,
    /// Where in a script it was done, if in a script.
    pub place: Option<ScriptPlace>,
}

/// Why a node has no value.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// Division by zero.
    ByZero,
    /// Not a finite number.
    NotFinite,
    /// A product table does not list the name.
    NoSuchRow,
    /// A value below the first step of a step table.
    BelowFirstStep,
    /// A value above the last step of a step table.
    AboveLastStep,
    /// Every product is too large, or lacks what it must have.
    NothingFits,
    /// A function refused its arguments.
    Refused(String),
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ByZero => f.write_str("this divides by zero"),
            Self::NotFinite => f.write_str("the result is too large to be a number"),
            Self::NoSuchRow => f.write_str("the price book does not list this product"),
            Self::BelowFirstStep => f.write_str("the value lies below the first step of the table"),
            Self::AboveLastStep => f.write_str("the value lies above the last step of the table"),
            Self::NothingFits => f.write_str("the price book has no product that fits"),
            Self::Refused(why) => f.write_str(why),
        }
    }
}

/// The row for which a shape is computed.
#[derive(Clone, Copy)]
pub(super) struct Here<'a> {
    pub(super) ledger: &'a Ledger,
    pub(super) table: TableId,
    pub(super) row: usize,
}

impl Op {
    /// Computes the operation from the values of the nodes before it.
    pub(super) fn compute(&self, values: &[f64], here: Here<'_>) -> Result<f64, Failure> {
        let value = |id: &NodeId| values[id.index()];
        let result = match self {
            Self::Constant(number) => *number,
            Self::Text(text) => text.to_value(),
            // A blank cell reads as NaN; the tracer lets it through to nothing but blank tests.
            Self::Read(reference) => return Ok(here.read(*reference)),
            Self::Negate(a) => -value(a),
            Self::Add(a, b) => value(a) + value(b),
            Self::Subtract(a, b) => value(a) - value(b),
            Self::Multiply(a, b) => value(a) * value(b),
            Self::Divide(_, b) if value(b) == 0.0 => return Err(Failure::ByZero),
            Self::Divide(a, b) => value(a) / value(b),
            Self::Find(table, key) => here
                .ledger
                .table(*table)
                .row_named(value(key))
                .map(|row| row as f64 + 1.0)
                .ok_or(Failure::NoSuchRow)?,
            Self::Pick {
                table,
                column,
                first,
                rows,
                row,
            } => {
                let row = value(row);
                if !(row >= 1.0 && row <= f64::from(*rows)) {
                    return Err(Failure::NoSuchRow);
                }
                let at = *first as usize + row as usize - 1;
                // A field that is not filled in is blank, like a blank cell.
                return Ok(here.ledger.table(*table).value(*column, at));
            }
            Self::Step(table, at) => step(here.ledger.table(*table), value(at))?,
            Self::NextStep(table, at) => next_step(here.ledger.table(*table), value(at))?,
            Self::Largest {
                table,
                field,
                most,
                same,
            } => {
                let same: Vec<_> = same.iter().map(|(field, id)| (*field, value(id))).collect();
                largest(here.ledger.table(*table), *field, value(most), &same)?
            }
            Self::NameOf(table, row) => here
                .ledger
                .table(*table)
                .name_value(value(row))
                .ok_or(Failure::NoSuchRow)?,
            Self::Call(function, arguments) => {
                let mut few = [0.0; 8];
                let many: Vec<f64>;
                let arguments = match few.get_mut(..arguments.len()) {
                    Some(slots) => {
                        for (slot, id) in slots.iter_mut().zip(arguments) {
                            *slot = value(id);
                        }
                        &*slots
                    }
                    None => {
                        many = arguments.iter().map(value).collect();
                        &many
                    }
                };
                (function.body)(arguments).map_err(Failure::Refused)?
            }
        };
        if result.is_finite() {
            // Zero has no sign that anybody wants to see.
            Ok(result + 0.0)
        } else {
            Err(Failure::NotFinite)
        }
    }

    /// The nodes it works on.
    pub fn operands(&self) -> Vec<NodeId> {
        match self {
            Self::Constant(_) | Self::Text(_) | Self::Read(_) => Vec::new(),
            Self::Negate(a)
            | Self::Find(_, a)
            | Self::Step(_, a)
            | Self::NextStep(_, a)
            | Self::NameOf(_, a) => vec![*a],
            Self::Largest { most, same, .. } => std::iter::once(*most)
                .chain(same.iter().map(|(_, value)| *value))
                .collect(),
            Self::Pick { row, .. } => vec![*row],
            Self::Add(a, b) | Self::Subtract(a, b) | Self::Multiply(a, b) | Self::Divide(a, b) => {
                vec![*a, *b]
            }
            Self::Call(_, arguments) => arguments.clone(),
        }
    }
}

impl Here<'_> {
    pub(super) fn read(&self, reference: Ref) -> f64 {
        let own = self.ledger.table(self.table);
        match reference {
            Ref::Column(column) => own.value(column, self.row),
            Ref::Parent(column) => match own.parent_row(self.row) {
                Some((table, row)) => self.ledger.table(table).value(column, row),
                None => f64::NAN,
            },
            Ref::Above(_) if self.row == 0 => 0.0,
            Ref::Above(column) => own.value(column, self.row - 1),
            Ref::Children(table, column) => {
                let table = self.ledger.table(table);
                sum(table.of_children(column, self.row))
            }
            Ref::Most(table, column) => {
                let table = self.ledger.table(table);
                table.of_children(column, self.row).fold(f64::NAN, f64::max)
            }
            Ref::Least(table, column) => {
                let table = self.ledger.table(table);
                table.of_children(column, self.row).fold(f64::NAN, f64::min)
            }
            Ref::All(table, column) => sum(self.ledger.table(table).values(column).iter().copied()),
            Ref::Where {
                table,
                column,
                among,
                same,
            } => {
                let table = self.ledger.table(table);
                let values = table.values(column);
                sum(same
                    .rows(table, among, (own, self.row))
                    .map(|row| values[row]))
            }
            Ref::Cell(table, column, row) => self.ledger.table(table).value(column, row as usize),
            Ref::Single(single) => self.ledger.single(single).value,
        }
    }
}

/// Sums from the top, as a spreadsheet does; blank cells count nothing.
fn sum(values: impl Iterator<Item = f64>) -> f64 {
    values
        .filter(|value| !value.is_nan())
        .fold(0.0, |total, value| total + value)
}
