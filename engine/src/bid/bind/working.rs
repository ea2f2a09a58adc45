//! Steps on the way that get cells of their own: look-ups, fixed answers, choices within choices.

use std::sync::Arc;

use super::{Binder, occurrences, place_key};
use crate::diag::Outcome;
use crate::quantity::{Dimension, Unit};
use crate::trail::{Form, Frozen, Kind, Node, NodeId, Op, Output, Role};

impl Binder<'_> {
    /// Look-ups are calculated once, in columns of their own.
    pub(super) fn bind_lookups(&mut self) {
        for index in 0..self.shape.nodes.len() {
            let id = NodeId(index as u32);
            let node = self.shape.nodes[index].clone();
            let Some((name, title)) = self.lookup_name(id) else {
                continue;
            };
            let column = self.find_or_add(&name, title, "", &node, Role::Working);
            self.shape.outputs.push(Output { column, node: id });
        }
    }

    fn lookup_name(&self, id: NodeId) -> Option<(String, String)> {
        match &self.shape.node(id).op {
            Op::Find(table, key) => {
                let table = self.ledger.table(*table);
                let key = match &self.shape.node(*key).op {
                    Op::Text(text) => format!("text {text:?}"),
                    other => format!("{other:?}"),
                };
                Some((
                    format!("find {} {key}", table.name),
                    format!("{}, row", table.title),
                ))
            }
            Op::Largest { table, field, .. } => {
                let table = self.ledger.table(*table);
                let field = &table.column(*field).name;
                Some((
                    format!(
                        "largest {field} of {} at {}",
                        table.name,
                        self.own_place(id)
                    ),
                    format!("{}, row", table.title),
                ))
            }
            Op::Pick {
                table, column, row, ..
            } => {
                let (found, _) = self.lookup_name(*row)?;
                let table = self.ledger.table(*table);
                let field = table.column(*column);
                Some((
                    format!("pick {} from {found}", field.name),
                    format!("{}: {}", table.title, field.title.to_lowercase()),
                ))
            }
            _ => None,
        }
    }

    /// The place of a look-up in its script; in a loop, of its turn.
    fn own_place(&self, id: NodeId) -> String {
        let place = self.shape.node(id).place;
        let before = self.shape.nodes[..id.index()].iter();
        let turns = before
            .filter(|node| node.place == place && matches!(node.op, Op::Largest { .. }))
            .count();
        place_key(place, turns + 1)
    }

    /// A fixed answer keeps what it rests on, to be compared.
    pub(super) fn bind_fixed(&mut self) -> Outcome<()> {
        let is_fixed = |node: &Node| matches!(&node.op, Op::Call(f, _) if f.form == Form::Fixed);
        let numbered = self.shape.nodes.iter().enumerate();
        let fixed: Vec<(usize, Node)> = numbered
            .filter(|(_, node)| is_fixed(node))
            .map(|(index, node)| (index, node.clone()))
            .collect();
        for (occurrence, (index, node)) in occurrences(&fixed, |(_, node)| node.place) {
            let Op::Call(function, arguments) = &node.op else {
                continue;
            };
            let id = NodeId(*index as u32);
            let key = format!(
                "{}.fixed.{}",
                self.manifest.name,
                place_key(node.place, occurrence)
            );
            if self.shape.column_of(id).is_none() {
                self.column(
                    &key,
                    function.name.replace('_', " "),
                    function.sentence,
                    id,
                    Role::Working,
                )?;
            }
            for (number, argument) in arguments.iter().enumerate() {
                // Figures rest on the same arguments: the first of them keeps each.
                let mut before = fixed.iter().take_while(|(earlier, _)| earlier < index);
                if is_figure(&node.op) && before.any(|(_, other)| is_figure_of(other, *argument)) {
                    continue;
                }
                let argument_node = self.shape.node(*argument).clone();
                let parameter = function.parameters.get(number);
                let parameter = parameter.map_or("argument", |p| p.name);
                let title = format!("{parameter} as priced");
                // What stands at one place may be asked of other arguments in other rows.
                let key = format!("{key}.{number}.{parameter}");
                let as_priced = self.find_or_add(&key, title, "", &argument_node, Role::AsPriced);
                let flag = Node {
                    kind: Kind::Number(Dimension::NONE),
                    unit: Arc::new(Unit::plain()),
                    ..node.clone()
                };
                let title = format!("Fixed: {}", function.name);
                let flag = self.find_or_add(
                    &format!("{key}.flag"),
                    title,
                    "1 where the fixed answer no longer holds",
                    &flag,
                    Role::Fork,
                );
                self.shape.frozen.push(Frozen {
                    argument: *argument,
                    as_priced,
                    flag,
                });
            }
        }
        Ok(())
    }

    /// A choice within a choice gets a cell of its own: nobody reads an IF within an IF.
    pub(super) fn bind_nested_choices(&mut self) -> Outcome<()> {
        let count = self.shape.nodes.len();
        let mut has_cell = vec![false; count];
        for output in &self.shape.outputs {
            has_cell[output.node.index()] = true;
        }
        let mut within = vec![false; count];
        for index in (0..count).rev() {
            let node = &self.shape.nodes[index];
            let is_choice = is_choice(node);
            if is_choice && within[index] && !has_cell[index] {
                has_cell[index] = true;
                let key = format!(
                    "{}.step.{}",
                    self.manifest.name,
                    place_key(node.place, index)
                );
                let line = node.place.map_or(0, |place| place.line);
                let title = format!("Step in line {line}");
                self.column(&key, title, "", NodeId(index as u32), Role::Working)?;
            }
            let passes_on = is_choice || within[index] && !has_cell[index];
            if passes_on {
                for operand in self.shape.nodes[index].op.operands() {
                    within[operand.index()] = true;
                }
            }
        }
        Ok(())
    }
}

/// Whether an operation is one of several figures of a question.
fn is_figure(op: &Op) -> bool {
    matches!(op, Op::Call(function, _) if function.name.contains('.'))
}

/// Whether a node is a figure with this argument.
fn is_figure_of(node: &Node, argument: NodeId) -> bool {
    is_figure(&node.op) && node.op.operands().contains(&argument)
}

/// Whether a node becomes an IF in the workbook.
fn is_choice(node: &Node) -> bool {
    match &node.op {
        Op::Call(function, _) => {
            matches!(function.form, Form::Formula(text) if text.starts_with("IF("))
        }
        _ => false,
    }
}
