//! Binding: what a script run gave gets its columns, and the trail becomes a shape.

mod columns;
mod declared;
mod limits;
mod said;
mod working;

use std::sync::Arc;

use crate::diag::{Diagnostic, Outcome, Place};
use crate::quantity::{Dimension, Unit};
use crate::recipe::Manifest;
use crate::script::ScriptRun;
use crate::trail::{
    Column, ColumnId, Function, Kind, Ledger, Node, NodeId, Op, Output, Role, ScriptPlace, Shape,
    TableId, Trail,
};

pub use columns::{CautionColumn, CutColumns, ItemColumn};
pub(super) use columns::{CellIndex, Columns};
use limits::check_formulas;

/// Binds one script run.
pub(super) struct Binder<'a> {
    pub(super) manifest: &'a Manifest,
    pub(super) table: TableId,
    pub(super) ledger: &'a mut Ledger,
    pub(super) columns: &'a mut Columns,
    shape: Shape,
    values: Vec<f64>,
}

impl<'a> Binder<'a> {
    pub(super) fn new(
        manifest: &'a Manifest,
        table: TableId,
        ledger: &'a mut Ledger,
        columns: &'a mut Columns,
    ) -> Self {
        Self {
            manifest,
            table,
            ledger,
            columns,
            shape: Shape::default(),
            values: Vec::new(),
        }
    }

    /// Gives columns to cells, items, cautions, look-ups and forks.
    pub(super) fn bind(mut self, run: ScriptRun) -> Outcome<(Shape, Vec<f64>)> {
        let ScriptRun {
            trail,
            cells,
            items,
            cautions,
        } = run;
        let Trail {
            nodes,
            values,
            forks,
        } = trail;
        self.shape.nodes = nodes;
        self.values = values;
        self.bind_lookups();
        for cell in &cells {
            self.bind_cell(cell)?;
        }
        self.bind_items(&items)?;
        self.bind_cautions(&cautions)?;
        self.bind_forks(&forks)?;
        self.bind_fixed()?;
        self.bind_cuts(&items);
        self.bind_nested_choices()?;
        self.shape.forks = forks;
        check_formulas(&self.shape, self.ledger)?;
        Ok((self.shape, self.values))
    }

    /// Adds a node of our own that turns a condition into a number.
    fn call(
        &mut self,
        function: Arc<Function>,
        condition: NodeId,
        place: Option<ScriptPlace>,
    ) -> NodeId {
        let arguments = [self.values[condition.index()]];
        let value = (function.body)(&arguments).unwrap_or(f64::NAN);
        self.values.push(value);
        self.shape.nodes.push(Node {
            op: Op::Call(function, vec![condition]),
            kind: Kind::Number(Dimension::NONE),
            unit: Arc::new(Unit::plain()),
            place,
        });
        NodeId(self.shape.nodes.len() as u32 - 1)
    }

    fn column(
        &mut self,
        name: &str,
        title: String,
        note: &str,
        id: NodeId,
        role: Role,
    ) -> Outcome<ColumnId> {
        let node = self.shape.node(id).clone();
        let column = self.find_or_add(name, title.clone(), note, &node, role);
        self.check_kind(column, &node, &title, node.place)?;
        self.shape.outputs.push(Output { column, node: id });
        Ok(column)
    }

    fn find_or_add(
        &mut self,
        name: &str,
        title: String,
        note: &str,
        node: &Node,
        role: Role,
    ) -> ColumnId {
        let table = self.ledger.table_mut(self.table);
        if let Some(column) = table.column_named(name) {
            return column;
        }
        table.add(Column {
            name: name.to_owned(),
            title,
            note: note.to_owned(),
            kind: node.kind,
            unit: node.unit.clone(),
            role,
            group: self.manifest.name.clone(),
            input: None,
            values: Vec::new(),
        })
    }

    /// A column holds one kind of value in all rows.
    fn check_kind(
        &mut self,
        column: ColumnId,
        node: &Node,
        what: &str,
        place: Option<ScriptPlace>,
    ) -> Outcome<()> {
        let known = self.ledger.table(self.table).column(column).kind;
        if known == node.kind {
            return Ok(());
        }
        let words = |kind| crate::trail::describe_kind(kind, &self.ledger.units);
        Err(Diagnostic::error(format!(
            "{what} is {} in this row and {} in rows before it",
            words(node.kind),
            words(known)
        ))
        .at(self.text_place(place))
        .hint("A cell must be the same kind of thing on every path.")
        .into())
    }

    fn source_line(&self, place: Option<ScriptPlace>) -> String {
        match place
            .and_then(|place| Some((place, self.ledger.scripts.get(usize::from(place.script))?)))
        {
            Some((place, source)) => source.line(usize::from(place.line)).trim().to_owned(),
            None => String::new(),
        }
    }

    fn text_place(&self, place: Option<ScriptPlace>) -> Place {
        self.ledger.script_place(place)
    }
}

/// Numbers what stands at the same place of a script: the turns of a loop.
fn occurrences<T>(list: &[T], place: impl Fn(&T) -> Option<ScriptPlace>) -> Vec<(usize, &T)> {
    let mut seen: std::collections::HashMap<Option<ScriptPlace>, usize> =
        std::collections::HashMap::new();
    list.iter()
        .map(|item| {
            let count = seen.entry(place(item)).or_insert(0);
            *count += 1;
            (*count, item)
        })
        .collect()
}

fn place_key(place: Option<ScriptPlace>, occurrence: usize) -> String {
    match place {
        Some(place) => format!(
            "{}:{}:{}:{occurrence}",
            place.script, place.line, place.column
        ),
        None => format!("?:{occurrence}"),
    }
}
