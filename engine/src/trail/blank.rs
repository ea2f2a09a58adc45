//! Blanks: where the tracer meets a cell that may be blank, that it is filled becomes a fork.

use super::Kind;
use super::builtin;
use super::node::{NodeId, Op, Ref};
use super::table::{ColumnId, TableId};
use super::tracer::{Tracer, TrailError};
use crate::quantity::Dimension;

impl Tracer {
    /// Whether a node is a blank cell.
    pub fn is_blank(&self, id: NodeId) -> bool {
        self.row.is_some() && self.value(id).is_nan()
    }

    /// The dimension of a node that must be a number that is there.
    ///
    /// # Errors
    /// When the node is no number, or blank.
    pub fn number(&mut self, id: NodeId) -> Result<Dimension, TrailError> {
        self.note_given(id)?;
        match self.kind(id) {
            Kind::Number(dimension) => Ok(dimension),
            other => Err(TrailError::NotANumber(other)),
        }
    }

    /// A cell or a product's field that may be blank is used: that it is filled becomes a fork.
    ///
    /// # Errors
    /// When it is blank.
    pub fn note_given(&mut self, id: NodeId) -> Result<(), TrailError> {
        if self.is_blank(id) {
            return Err(self.blank(id));
        }
        if self.may_be_blank(id) && !self.checked_given.contains(&id) {
            self.checked_given.push(id);
            let given = self.call(&builtin::given(), &[id])?;
            self.fork(given);
        }
        Ok(())
    }

    /// What is wrong where a blank is used.
    fn blank(&self, id: NodeId) -> TrailError {
        let title = |table: TableId, column: ColumnId| {
            let column = self.ledger.table(table).column(column);
            column.title.clone()
        };
        TrailError::Blank(match &self.node(id).op {
            Op::Read(Ref::Column(column)) => title(self.table(), *column),
            Op::Read(Ref::Single(single)) => self.ledger.single(*single).title.clone(),
            Op::Read(Ref::Parent(column)) => match self.ledger.table(self.table()).parent() {
                Some(parent) => title(parent, *column),
                None => String::new(),
            },
            Op::Pick {
                table, column, row, ..
            } => {
                let names = &self.ledger.table(*table).row_names;
                let product = names.get(self.value(*row) as usize - 1);
                return TrailError::BlankField {
                    product: product.cloned().unwrap_or_default(),
                    field: title(*table, *column).to_lowercase(),
                };
            }
            _ => "This".to_owned(),
        })
    }

    /// Whether a blank is a value of its own where a node is read.
    fn may_be_blank(&self, id: NodeId) -> bool {
        let input = |table: TableId, column: ColumnId| {
            let facts = self.ledger.table(table).column(column).input.as_ref();
            facts.is_some_and(|facts| facts.may_be_blank)
        };
        match &self.node(id).op {
            Op::Read(Ref::Column(column)) => input(self.table(), *column),
            Op::Read(Ref::Single(single)) => self.ledger.single(*single).may_be_blank,
            Op::Read(Ref::Parent(column)) => {
                let parent = self.ledger.table(self.table()).parent();
                parent.is_some_and(|parent| input(parent, *column))
            }
            // Another product may be chosen in the workbook: one without the field.
            Op::Pick { table, column, .. } => {
                self.row.is_some() && self.ledger.table(*table).has_blanks(*column)
            }
            _ => false,
        }
    }
}
