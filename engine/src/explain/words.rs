//! The trail in words: `area × depth × (1 + waste)`.

use crate::trail::{Ledger, NodeId, Op, Ref, Shape, TableId};

/// How strongly a text holds together.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Sum,
    Product,
    Atom,
}

/// The operation of a node in words; what has a cell of its own is named, not spelled out.
pub(super) fn in_words(ledger: &Ledger, table: TableId, shape: &Shape, node: NodeId) -> String {
    Speaker {
        ledger,
        table,
        shape,
    }
    .operation(node)
    .0
}

/// The cells and given values that a node is computed from, in order, once each.
pub(super) fn leaves(shape: &Shape, node: NodeId) -> Vec<NodeId> {
    let mut found = Vec::new();
    let is_given = |id: NodeId| matches!(shape.node(id).op, Op::Read(_) | Op::Pick { .. });
    if is_given(node) {
        return vec![node];
    }
    // Written with a stack of its own: a trail may be deep.
    let mut open: Vec<NodeId> = shape.node(node).op.operands().into_iter().rev().collect();
    while let Some(id) = open.pop() {
        let op = &shape.node(id).op;
        let is_row = matches!(op, Op::Find(..) | Op::Largest { .. });
        let has_cell = shape.column_of(id).is_some() && !is_row;
        if has_cell || is_given(id) {
            if !found.contains(&id) {
                found.push(id);
            }
            continue;
        }
        open.extend(op.operands().into_iter().rev());
    }
    found
}

struct Speaker<'a> {
    ledger: &'a Ledger,
    table: TableId,
    shape: &'a Shape,
}

impl Speaker<'_> {
    fn node(&self, id: NodeId) -> (String, Rank) {
        let named = self.shape.column_of(id).filter(|_| {
            !matches!(
                self.shape.node(id).op,
                Op::Pick { .. } | Op::Find(..) | Op::Largest { .. }
            )
        });
        match named {
            Some(column) => {
                let title = &self.ledger.table(self.table).column(column).title;
                (title.to_lowercase(), Rank::Atom)
            }
            None => self.operation(id),
        }
    }

    fn at_least(&self, id: NodeId, rank: Rank) -> String {
        let (text, own) = self.node(id);
        if own >= rank {
            text
        } else {
            format!("({text})")
        }
    }

    fn operation(&self, id: NodeId) -> (String, Rank) {
        match &self.shape.node(id).op {
            Op::Constant(number) => (format!("{number}"), Rank::Atom),
            Op::Text(text) => (format!("\"{}\"", self.ledger.texts.get(*text)), Rank::Atom),
            Op::Read(reference) => (self.reference(*reference), Rank::Atom),
            Op::Negate(a) => (
                format!("-{}", self.at_least(*a, Rank::Product)),
                Rank::Product,
            ),
            Op::Add(a, b) => (
                format!(
                    "{} + {}",
                    self.at_least(*a, Rank::Sum),
                    self.at_least(*b, Rank::Sum)
                ),
                Rank::Sum,
            ),
            Op::Subtract(a, b) => (
                format!(
                    "{} - {}",
                    self.at_least(*a, Rank::Sum),
                    self.at_least(*b, Rank::Product)
                ),
                Rank::Sum,
            ),
            Op::Multiply(a, b) => (
                format!(
                    "{} × {}",
                    self.at_least(*a, Rank::Product),
                    self.at_least(*b, Rank::Product)
                ),
                Rank::Product,
            ),
            Op::Divide(a, b) => (
                format!(
                    "{} / {}",
                    self.at_least(*a, Rank::Product),
                    self.at_least(*b, Rank::Atom)
                ),
                Rank::Product,
            ),
            Op::Find(table, key) => {
                let key = self.node(*key).0;
                (
                    format!(
                        "{} called {key}",
                        self.ledger.table(*table).title.to_lowercase()
                    ),
                    Rank::Atom,
                )
            }
            Op::Pick { table, column, .. } => {
                let table = self.ledger.table(*table);
                let column = table.column(*column).title.to_lowercase();
                (
                    format!("{} of the {}", column, table.title.to_lowercase()),
                    Rank::Atom,
                )
            }
            Op::Step(table, at) => {
                let title = self.ledger.table(*table).title.to_lowercase();
                (
                    format!("step of {title} at {}", self.node(*at).0),
                    Rank::Atom,
                )
            }
            Op::NextStep(table, at) => {
                let title = self.ledger.table(*table).title.to_lowercase();
                (
                    format!("next step of {title} from {}", self.node(*at).0),
                    Rank::Atom,
                )
            }
            Op::Largest {
                table,
                field,
                most,
                same,
            } => {
                let table = self.ledger.table(*table);
                let title = |column| table.column(column).title.to_lowercase();
                let mut text = format!(
                    "{} with the largest {} up to {}",
                    table.title.to_lowercase(),
                    title(*field),
                    self.node(*most).0
                );
                for (field, value) in same {
                    text.push_str(&format!(" and {} {}", title(*field), self.node(*value).0));
                }
                (text, Rank::Atom)
            }
            Op::NameOf(_, row) => (format!("name of the {}", self.node(*row).0), Rank::Atom),
            Op::Call(function, arguments) => {
                let arguments: Vec<String> = arguments.iter().map(|id| self.node(*id).0).collect();
                (
                    format!("{}({})", function.name, arguments.join(", ")),
                    Rank::Atom,
                )
            }
        }
    }

    fn reference(&self, reference: Ref) -> String {
        let title =
            |table: TableId, column| self.ledger.table(table).column(column).title.to_lowercase();
        match reference {
            Ref::Column(column) => title(self.table, column),
            Ref::Above(column) => format!("{} of the row above", title(self.table, column)),
            Ref::Parent(column) => match self.ledger.table(self.table).parent() {
                Some(parent) => format!("{} of the room", title(parent, column)),
                None => String::new(),
            },
            Ref::Children(table, column)
            | Ref::All(table, column)
            | Ref::Where { table, column, .. } => {
                format!("sum of {}", title(table, column))
            }
            Ref::Most(table, column) => format!("highest {}", title(table, column)),
            Ref::Least(table, column) => format!("lowest {}", title(table, column)),
            Ref::Cell(table, column, _) => title(table, column),
            Ref::Single(single) => self.ledger.single(single).title.to_lowercase(),
        }
    }
}
