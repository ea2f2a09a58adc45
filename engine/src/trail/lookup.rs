//! Steps of the trail that look something up: products, their fields, step tables.

use std::sync::Arc;

use super::builtin;
use super::node::{Failure, Kind, NodeId, Op, Ref};
use super::table::{ColumnId, TableId};
use super::tracer::{Step, Tracer, TrailError};
use crate::quantity::{ArithmeticError, Dimension, Operator, Unit};

impl Tracer {
    /// The product row that a table lists under a text.
    pub fn find(&mut self, table: TableId, key: NodeId) -> Step {
        let unit = Arc::new(Unit::plain());
        self.push_once(Op::Find(table, key), Kind::Product(table), unit)
    }

    /// A field of a product.
    pub fn field(&mut self, product: NodeId, table: TableId, column: ColumnId) -> Step {
        let (kind, unit) = self.column_kind(table, column);
        let rows = self.ledger.table(table).rows() as u32;
        let op = Op::Pick {
            table,
            column,
            first: 0,
            rows,
            row: product,
        };
        self.push_once(op, kind, unit)
    }

    /// The value of a column in a range of rows at a row number counted from one, read as
    /// what those rows hold.
    pub fn pick_as(
        &mut self,
        (table, column): (TableId, ColumnId),
        (first, rows): (u32, u32),
        row: NodeId,
        (kind, unit): (Kind, Arc<Unit>),
    ) -> Step {
        let op = Op::Pick {
            table,
            column,
            first,
            rows,
            row,
        };
        self.push(op, kind, unit)
    }

    /// The value of a step table at a value.
    pub fn step(&mut self, table: TableId, at: NodeId) -> Step {
        let dimension = self.number(at)?;
        let (from, _) = self.column_kind(table, ColumnId::FIRST);
        if from != Kind::Number(dimension) {
            let right = match from {
                Kind::Number(right) => right,
                _ => Dimension::NONE,
            };
            return Err(TrailError::Arithmetic(ArithmeticError::Mismatch {
                operator: Operator::Compare,
                left: dimension,
                right,
            }));
        }
        // Below the first step there is no answer: that the value stays above it is a fork.
        let first = self.read(Ref::Cell(table, ColumnId::FIRST, 0))?;
        let reached = self.call(&builtin::at_least(), &[at, first])?;
        if self.value(reached) == 0.0 && self.row.is_some() {
            return Err(TrailError::Failure(Failure::BelowFirstStep));
        }
        self.fork(reached);
        let (kind, unit) = self.column_kind(table, ColumnId::SECOND);
        self.push(Op::Step(table, at), kind, unit)
    }
}
