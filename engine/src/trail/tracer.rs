//! The tracer: builds a shape step by step, checks dimensions, and computes as it goes.

use std::sync::Arc;

use super::function::{Accepts, Argument, ArgumentError, Function};
use super::ledger::{Ledger, Single, SingleRole};
use super::node::{Failure, Here, Kind, Node, NodeId, Op, Ref, ScriptPlace};
use super::shape::Fork;
use super::table::{Choice, ColumnId, TableId};
use super::texts::TextId;
use crate::diag::Place;
use crate::quantity::{ArithmeticError, Operator, Unit, difference_dimension, sum_dimension};

/// Most nodes of one shape; a recipe that needs more is running away.
const MOST_NODES: usize = 20_000;

/// Most different numbers written in one line of a script.
const MOST_WRITTEN: u16 = 200;

/// Why a step of the trail cannot be taken.
#[derive(Clone, Debug, PartialEq)]
pub enum TrailError {
    /// The dimensions do not fit or the result is no number.
    Arithmetic(ArithmeticError),
    /// The operation has no answer for these values.
    Failure(Failure),
    /// A blank cell was used as a number.
    Blank(String),
    /// A field that the price book does not give for a product was used.
    BlankField {
        /// The product.
        product: String,
        /// The field.
        field: String,
    },
    /// A value that is not a number was used as one.
    NotANumber(Kind),
    /// A function's arguments do not fit.
    Argument(Arc<Function>, ArgumentError, Vec<Kind>),
    /// Too many operations in one script.
    TooLong,
}

impl From<ArithmeticError> for TrailError {
    fn from(error: ArithmeticError) -> Self {
        Self::Arithmetic(error)
    }
}

/// What a tracer has built: nodes with their values for the traced row, and forks.
#[derive(Debug, Default)]
pub struct Trail {
    /// The operations.
    pub nodes: Vec<Node>,
    /// The value of each node in the traced row.
    pub values: Vec<f64>,
    /// The forks taken.
    pub forks: Vec<Fork>,
}

/// Builds the trail of one row (or, without a row, of all rows alike).
#[derive(Debug)]
pub struct Tracer {
    /// The ledger read from; lent to the tracer while it works.
    pub ledger: Ledger,
    table: TableId,
    pub(super) row: Option<usize>,
    trail: Trail,
    pub(super) checked_given: Vec<NodeId>,
    read_once: Vec<NodeId>,
    place: Option<ScriptPlace>,
}

pub(super) type Step = Result<NodeId, TrailError>;

impl Tracer {
    /// A tracer for a row of a table. Without a row nothing is computed.
    pub fn new(ledger: Ledger, table: TableId, row: Option<usize>) -> Self {
        Self {
            ledger,
            table,
            row,
            trail: Trail::default(),
            checked_given: Vec::new(),
            read_once: Vec::new(),
            place: None,
        }
    }

    /// Gives the ledger back, with what was built.
    pub fn finish(self) -> (Ledger, Trail) {
        (self.ledger, self.trail)
    }

    /// The table whose row is traced.
    pub fn table(&self) -> TableId {
        self.table
    }

    /// The row that is traced, if one is.
    pub fn row(&self) -> Option<usize> {
        self.row
    }

    /// Sets the script place of the nodes built from now on.
    pub fn stand_at(&mut self, place: Option<ScriptPlace>) {
        self.place = place;
    }

    /// The kind of a node.
    pub fn kind(&self, id: NodeId) -> Kind {
        self.node(id).kind
    }

    /// A node built so far.
    pub fn node(&self, id: NodeId) -> &Node {
        &self.trail.nodes[id.index()]
    }

    /// The value of a node in the traced row.
    pub fn value(&self, id: NodeId) -> f64 {
        self.trail.values[id.index()]
    }

    /// 0 or 1.
    pub fn constant(&mut self, number: f64, unit: Arc<Unit>) -> Step {
        let kind = Kind::Number(unit.dimension);
        self.push(Op::Constant(number), kind, unit)
    }

    /// A condition known beforehand.
    pub fn condition(&mut self, holds: bool) -> Step {
        let op = Op::Constant(f64::from(u8::from(holds)));
        self.push(op, Kind::Condition, Arc::new(Unit::plain()))
    }

    /// A number written in a script, so many of a unit. All but 0 and 1 get a place in the workbook.
    pub fn written(&mut self, number: f64, unit: Arc<Unit>, recipe: &str, line: u16) -> Step {
        if number == 0.0 && unit.zero == 0.0 || number == 1.0 && *unit == Unit::plain() {
            return self.constant(number, unit);
        }
        let value = unit.to_base(number);
        if !value.is_finite() {
            return Err(TrailError::Failure(Failure::NotFinite));
        }
        let stem = format!("{recipe}_line_{line}");
        let is_it = |s: &Single| s.value == value && s.unit == unit;
        let name = std::iter::once(stem.clone())
            .chain((2..MOST_WRITTEN).map(|n| format!("{stem}_{n}")))
            .find(|name| match self.ledger.single_named(name) {
                Some(id) => is_it(self.ledger.single(id)),
                None => true,
            })
            .ok_or(TrailError::TooLong)?;
        let id = self.ledger.add_single(Single {
            name,
            title: format!("Number written in line {line}"),
            kind: Kind::Number(unit.dimension),
            unit,
            value,
            role: SingleRole::Written,
            group: recipe.to_owned(),
            why: String::new(),
            source: String::new(),
            least: value,
            most: value,
            choice: Choice::Free,
            may_be_blank: false,
            place: Place::Nowhere,
        });
        self.read(Ref::Single(id))
    }

    /// A text written in a script.
    pub fn text(&mut self, text: &str) -> Step {
        let id: TextId = self.ledger.texts.intern(text);
        self.push(Op::Text(id), Kind::Text, Arc::new(Unit::plain()))
    }

    /// A value of the ledger.
    pub fn read(&mut self, reference: Ref) -> Step {
        let (kind, unit) = match reference {
            Ref::Single(id) => {
                let single = self.ledger.single(id);
                (single.kind, single.unit.clone())
            }
            Ref::Column(column) | Ref::Above(column) => self.column_kind(self.table, column),
            Ref::Parent(column) => match self.ledger.table(self.table).parent() {
                Some(parent) => self.column_kind(parent, column),
                None => (Kind::Text, Arc::new(Unit::plain())),
            },
            Ref::Children(table, column)
            | Ref::Most(table, column)
            | Ref::Least(table, column)
            | Ref::All(table, column)
            | Ref::Where { table, column, .. }
            | Ref::Cell(table, column, _) => self.column_kind(table, column),
        };
        self.push_once(Op::Read(reference), kind, unit)
    }

    /// A value of a column whose rows hold different kinds of thing, read as what its row holds.
    pub fn read_as(&mut self, reference: Ref, kind: Kind, unit: Arc<Unit>) -> Step {
        self.push(Op::Read(reference), kind, unit)
    }

    pub(super) fn column_kind(&self, table: TableId, column: ColumnId) -> (Kind, Arc<Unit>) {
        let column = self.ledger.table(table).column(column);
        (column.kind, column.unit.clone())
    }

    /// Minus a number.
    pub fn negate(&mut self, a: NodeId) -> Step {
        let dimension = self.number(a)?;
        if dimension.is_point() {
            return Err(ArithmeticError::from(crate::quantity::DimensionError::PointScaled).into());
        }
        let unit = self.node(a).unit.clone();
        self.push(Op::Negate(a), Kind::Number(dimension), unit)
    }

    /// One of the four operations of arithmetic.
    pub fn arithmetic(&mut self, operator: Operator, a: NodeId, b: NodeId) -> Step {
        let (left, right) = (self.number(a)?, self.number(b)?);
        let (op, dimension) = match operator {
            Operator::Add => (Op::Add(a, b), sum_dimension(left, right)?),
            Operator::Subtract => (Op::Subtract(a, b), difference_dimension(left, right)?),
            Operator::Divide => (
                Op::Divide(a, b),
                left.per(right).map_err(ArithmeticError::from)?,
            ),
            Operator::Multiply | Operator::Compare => (
                Op::Multiply(a, b),
                left.times(right).map_err(ArithmeticError::from)?,
            ),
        };
        let kind = Kind::Number(dimension);
        // A result is shown in the unit of the operand it looks like.
        let like = |id: NodeId| self.node(id).unit.clone();
        let unit = match operator {
            _ if dimension.is_none() => Arc::new(Unit::plain()),
            _ if left == dimension => like(a),
            _ if right == dimension && operator != Operator::Divide => like(b),
            _ => self.ledger.shown_in(kind),
        };
        self.push(op, kind, unit)
    }

    /// A function of nodes.
    pub fn call(&mut self, function: &Arc<Function>, arguments: &[NodeId]) -> Step {
        let described: Vec<Argument> = arguments
            .iter()
            .map(|id| Argument {
                kind: self.kind(*id),
                blank: self.is_blank(*id),
            })
            .collect();
        let signature = match function.check(&described, &self.ledger.units) {
            Ok(signature) => signature,
            Err(error) => {
                let kinds = described.iter().map(|a| a.kind).collect();
                return Err(TrailError::Argument(function.clone(), error, kinds));
            }
        };
        for (index, id) in arguments.iter().enumerate() {
            if !function.accepts(index).is_some_and(Accepts::takes_blanks) {
                self.note_given(*id)?;
            }
        }
        let unit = match (signature.unit, signature.like) {
            (Some(unit), _) => Arc::new(unit),
            (None, Some(index)) => self.node(arguments[index]).unit.clone(),
            (None, None) => self.ledger.shown_in(signature.kind),
        };
        let op = Op::Call(function.clone(), arguments.to_vec());
        self.push(op, signature.kind, unit)
    }

    /// Branches on a condition: records how it came out.
    pub fn fork(&mut self, test: NodeId) -> bool {
        let outcome = self.value(test) != 0.0;
        self.trail.forks.push(Fork {
            test,
            expected: outcome,
            place: self.place,
        });
        outcome
    }

    /// Adds a node, or finds the same one: reading twice is reading once.
    pub(super) fn push_once(&mut self, op: Op, kind: Kind, unit: Arc<Unit>) -> Step {
        if let Some(known) = self.read_once.iter().find(|id| self.node(**id).op == op) {
            return Ok(*known);
        }
        let node = self.push(op, kind, unit)?;
        self.read_once.push(node);
        Ok(node)
    }

    pub(super) fn push(&mut self, op: Op, kind: Kind, unit: Arc<Unit>) -> Step {
        if self.trail.nodes.len() >= MOST_NODES {
            return Err(TrailError::TooLong);
        }
        let value = match self.row {
            Some(row) => {
                let here = Here {
                    ledger: &self.ledger,
                    table: self.table,
                    row,
                };
                op.compute(&self.trail.values, here)
                    .map_err(TrailError::Failure)?
            }
            None => 0.0,
        };
        self.trail.values.push(value);
        self.trail.nodes.push(Node {
            op,
            kind,
            unit,
            place: self.place,
        });
        Ok(NodeId(self.trail.nodes.len() as u32 - 1))
    }
}
