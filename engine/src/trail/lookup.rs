//! Steps of the trail that look something up: products, their fields, step tables.

use std::sync::Arc;

use super::builtin;
use super::function::Function;
use super::node::{Failure, Kind, NodeId, Op, Ref};
use super::table::{ColumnId, TableId};
use super::tracer::{Step, Tracer, TrailError};
use crate::quantity::{ArithmeticError, Operator, Unit};

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

    /// The name of a row that was found.
    pub fn name_of(&mut self, table: TableId, row: NodeId) -> Step {
        let unit = Arc::new(Unit::plain());
        self.push_once(Op::NameOf(table, row), Kind::Text, unit)
    }

    /// The value of a step table at a value: of the last step at or below it.
    pub fn step(&mut self, table: TableId, at: NodeId) -> Step {
        self.check_steps(table, at)?;
        // Below the first step there is no answer: that the value stays above it is a fork.
        let first = self.read(Ref::Cell(table, ColumnId::FIRST, 0))?;
        self.keep_to((at, first), &builtin::at_least(), Failure::BelowFirstStep)?;
        let (kind, unit) = self.column_kind(table, ColumnId::SECOND);
        self.push(Op::Step(table, at), kind, unit)
    }

    /// The value of a step table at a value: of the first step at or above it.
    pub fn next_step(&mut self, table: TableId, at: NodeId) -> Step {
        self.check_steps(table, at)?;
        let rows = self.ledger.table(table).rows() as u32;
        let last = self.read(Ref::Cell(table, ColumnId::FIRST, rows.saturating_sub(1)))?;
        self.keep_to((at, last), &builtin::at_most(), Failure::AboveLastStep)?;
        let (kind, unit) = self.column_kind(table, ColumnId::SECOND);
        self.push(Op::NextStep(table, at), kind, unit)
    }

    /// The product of a table whose field is the largest that is not over `most`, among those
    /// whose other fields are the same as asked.
    ///
    /// The choice is live in the workbook. That it fits all the same is a fork: there is no
    /// answer where nothing does.
    ///
    /// # Errors
    /// When the values are not of the fields' kinds, and when nothing fits.
    pub fn largest(
        &mut self,
        table: TableId,
        field: ColumnId,
        most: NodeId,
        same: Vec<(ColumnId, NodeId)>,
    ) -> Step {
        self.check_alike(table, field, most)?;
        for (column, value) in &same {
            self.check_alike(table, *column, *value)?;
        }
        let op = Op::Largest {
            table,
            field,
            most,
            same: same.clone(),
        };
        let row = self.push(op, Kind::Product(table), Arc::new(Unit::plain()))?;
        let size = self.field(row, table, field)?;
        self.keep_to((size, most), &builtin::at_most(), Failure::NothingFits)?;
        for (column, value) in same {
            let own = self.field(row, table, column)?;
            let test = match self.kind(own) {
                Kind::Text => builtin::same_as(),
                _ => builtin::equals(),
            };
            self.keep_to((own, value), &test, Failure::NothingFits)?;
        }
        Ok(row)
    }

    /// A value that is compared with a column must be of its kind.
    fn check_alike(
        &mut self,
        table: TableId,
        column: ColumnId,
        value: NodeId,
    ) -> Result<(), TrailError> {
        self.note_given(value)?;
        match (self.column_kind(table, column).0, self.kind(value)) {
            (right, left) if right == left => Ok(()),
            (Kind::Number(right), Kind::Number(left)) => {
                Err(TrailError::Arithmetic(ArithmeticError::Mismatch {
                    operator: Operator::Compare,
                    left,
                    right,
                }))
            }
            (_, other) => Err(TrailError::NotANumber(other)),
        }
    }

    fn check_steps(&mut self, table: TableId, at: NodeId) -> Result<(), TrailError> {
        self.number(at)?;
        self.check_alike(table, ColumnId::FIRST, at)
    }

    /// A test without which there is no answer; that it holds is a fork.
    fn keep_to(
        &mut self,
        (a, b): (NodeId, NodeId),
        test: &Arc<Function>,
        otherwise: Failure,
    ) -> Result<(), TrailError> {
        let holds = self.call(test, &[a, b])?;
        if self.value(holds) == 0.0 && self.row.is_some() {
            return Err(TrailError::Failure(otherwise));
        }
        self.fork(holds);
        Ok(())
    }
}
