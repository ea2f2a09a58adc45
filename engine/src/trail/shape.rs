//! Shapes: what rows that took the same path have in common, and their replay over other rows.

use super::ledger::Ledger;
use super::node::{Here, Node, NodeId, ScriptPlace};
use super::table::{ColumnId, TableId};
use super::tracer::{Tracer, TrailError};
use crate::diag::{Diagnostic, Outcome};

/// A condition that a script branched on, and how it came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Fork {
    /// The condition.
    pub test: NodeId,
    /// How it came out when the row was priced.
    pub expected: bool,
    /// Where the script branched.
    pub place: Option<ScriptPlace>,
}

/// A column that a shape computes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Output {
    /// The column.
    pub column: ColumnId,
    /// The node whose value it holds.
    pub node: NodeId,
}

/// An argument of a fixed answer: what it was when the row was priced, and whether it still is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frozen {
    /// The argument.
    pub argument: NodeId,
    /// The column that keeps its value as priced.
    pub as_priced: ColumnId,
    /// The column that is 1 where it has changed.
    pub flag: ColumnId,
}

/// A graph of operations that computes some columns of one row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shape {
    /// The operations; operands come before what uses them.
    pub nodes: Vec<Node>,
    /// The columns computed.
    pub outputs: Vec<Output>,
    /// The conditions a row must meet to belong to this shape.
    pub forks: Vec<Fork>,
    /// The arguments of fixed answers.
    pub frozen: Vec<Frozen>,
}

/// The shapes that one recipe (or one part of the program) gives a table.
#[derive(Clone, Debug, Default)]
pub struct Block {
    /// Whose shapes these are.
    pub name: String,
    /// The shapes.
    pub shapes: Vec<Shape>,
    /// The shape of each row.
    pub of_row: Vec<u16>,
}

impl Block {
    /// An empty block for a table with so many rows.
    pub fn new(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            ..Self::default()
        }
    }

    /// The shape of a row.
    pub fn shape_of(&self, row: usize) -> Option<&Shape> {
        self.shapes.get(usize::from(*self.of_row.get(row)?))
    }

    /// The node that computes a column in a row, with its shape.
    pub fn computes(&self, column: ColumnId, row: usize) -> Option<(&Shape, NodeId)> {
        let shape = self.shape_of(row)?;
        let output = shape.outputs.iter().find(|o| o.column == column)?;
        Some((shape, output.node))
    }
}

impl Shape {
    /// Builds a shape for all rows of a table alike; for arithmetic that is not in a script.
    ///
    /// # Errors
    /// What the trail refuses, as a fault of the program.
    pub fn build(
        ledger: &mut Ledger,
        table: TableId,
        build: impl FnOnce(&mut Tracer) -> Result<Vec<(ColumnId, NodeId)>, TrailError>,
    ) -> Outcome<Self> {
        let lent = std::mem::replace(ledger, Ledger::new(ledger.units.clone(), ledger.system));
        let mut tracer = Tracer::new(lent, table, None);
        let outcome = build(&mut tracer);
        let (given_back, trail) = tracer.finish();
        *ledger = given_back;
        let outputs = outcome.map_err(|error| {
            Diagnostic::error(format!(
                "the program's own pricing cannot be computed: {error:?}"
            ))
        })?;
        Ok(Self {
            nodes: trail.nodes,
            outputs: outputs
                .into_iter()
                .map(|(column, node)| Output { column, node })
                .collect(),
            ..Self::default()
        })
    }

    /// Computes every node for a row into `values`.
    ///
    /// Returns false when the row does not belong to this shape: a fork comes
    /// out the other way, or a value cannot be computed. The caller then runs
    /// the script, which either takes its own path or says what is wrong.
    pub fn replay(
        &self,
        ledger: &Ledger,
        table: TableId,
        row: usize,
        values: &mut Vec<f64>,
    ) -> bool {
        let here = Here { ledger, table, row };
        values.clear();
        for node in &self.nodes {
            match node.op.compute(values, here) {
                Ok(value) => values.push(value),
                Err(_) => return false,
            }
        }
        let holds = |fork: &Fork| (values[fork.test.index()] != 0.0) == fork.expected;
        self.forks.iter().all(holds)
    }

    /// Replays a row and stores its columns.
    pub fn fill(
        &self,
        ledger: &mut Ledger,
        table: TableId,
        row: usize,
        values: &mut Vec<f64>,
    ) -> bool {
        let holds = self.replay(ledger, table, row, values);
        if holds {
            self.store(ledger, table, row, values);
        }
        holds
    }

    /// Stores the columns of a row from the values of all nodes.
    pub fn store(&self, ledger: &mut Ledger, table: TableId, row: usize, values: &[f64]) {
        let table = ledger.table_mut(table);
        for output in &self.outputs {
            table.set(output.column, row, values[output.node.index()]);
        }
        for frozen in &self.frozen {
            table.set(frozen.as_priced, row, values[frozen.argument.index()]);
            table.set(frozen.flag, row, 0.0);
        }
    }

    /// The node with a number.
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id.index()]
    }

    /// The column that already holds a node's value, if one does.
    pub fn column_of(&self, node: NodeId) -> Option<ColumnId> {
        self.outputs
            .iter()
            .find(|output| output.node == node)
            .map(|output| output.column)
    }
}
