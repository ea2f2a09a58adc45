//! Explanations: any number, step by step, back to what was measured or priced.

mod find;
mod words;

use std::collections::BTreeSet;

use crate::bid::Bid;
use crate::diag::Place;
use crate::measure::write;
use crate::quantity::Unit;
use crate::trail::{
    ColumnId, Kind, Ledger, NodeId, Op, Origin, Ref, Role, Shape, SingleId, SingleRole, TableId,
};
use words::{in_words, leaves};

pub use find::{Wanted, find};

/// One number with how it came about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Step {
    /// What it is called.
    pub name: String,
    /// Its value with its unit.
    pub value: String,
    /// How it was computed, in words; empty for what was given.
    pub how: String,
    /// Where it comes from, for what was given; the script line, for what was computed.
    pub origin: String,
    /// What it means.
    pub note: String,
    /// What it was computed from.
    pub steps: Vec<Step>,
}

/// Most rows that a sum lists.
const MOST_LISTED: usize = 12;
/// Most readings of a survey that a sum lists: they say little one by one.
const MOST_READINGS: usize = 3;

/// Explains a cell of a table.
pub fn explain(bid: &Bid, table: TableId, column: ColumnId, row: usize) -> Step {
    let mut explainer = Explainer {
        bid,
        shown: BTreeSet::new(),
    };
    explainer.cell(table, column, row)
}

struct Explainer<'a> {
    bid: &'a Bid,
    /// Cells whose steps are shown already.
    shown: BTreeSet<(TableId, ColumnId, usize)>,
}

impl Explainer<'_> {
    fn ledger(&self) -> &Ledger {
        &self.bid.ledger
    }

    fn cell(&mut self, table_id: TableId, id: ColumnId, row: usize) -> Step {
        let table = self.bid.ledger.table(table_id);
        let column = table.column(id);
        let value = table.value(id, row);
        let mut step = Step {
            name: column.title.to_lowercase(),
            value: self.written(value, column.kind, &column.unit),
            note: column.note.clone(),
            ..Step::default()
        };
        if column.role == Role::Input {
            step.origin = self.input_origin(table_id, id, row);
            return step;
        }
        let computed = table
            .blocks
            .iter()
            .find_map(|block| block.computes(id, row));
        let Some((shape, node)) = computed else {
            let stated = self.bid.takeoff.surveys.iter().any(|surveys| {
                table_id == self.bid.takeoff.rooms.table && surveys.surveyor.kind() == column.group
            });
            let origin = if stated {
                "stated on the sheet of readings"
            } else {
                "kept as it was when priced"
            };
            origin.clone_into(&mut step.origin);
            return step;
        };
        if column.kind != shape.node(node).kind {
            step.value = self.written(value, shape.node(node).kind, &shape.node(node).unit);
        }
        step.origin = self.script_line(shape, node);
        step.how = in_words(self.ledger(), table_id, shape, node);
        if !self.shown.insert((table_id, id, row)) {
            step.how.push_str(" (shown above)");
            return step;
        }
        let mut values = Vec::new();
        // Filled when the row was priced, so that it replays is certain; were it not, the
        // values below would be missing rather than wrong.
        shape.replay(self.ledger(), table_id, row, &mut values);
        for leaf in leaves(shape, node) {
            step.steps
                .push(self.leaf((table_id, row), shape, (node, leaf), &values));
        }
        step
    }

    fn leaf(
        &mut self,
        (table, row): (TableId, usize),
        shape: &Shape,
        (explained, leaf): (NodeId, NodeId),
        values: &[f64],
    ) -> Step {
        let node = shape.node(leaf);
        let value = values.get(leaf.index()).copied().unwrap_or(f64::NAN);
        // A cell that is nothing but a sum or a rate has itself as its only leaf.
        if let Some(column) = shape.column_of(leaf).filter(|_| leaf != explained) {
            return match &node.op {
                Op::Pick { .. } => self.product_field(shape, leaf, values),
                Op::Read(Ref::Column(own)) => self.cell(table, *own, row),
                _ => self.cell(table, column, row),
            };
        }
        match &node.op {
            Op::Read(Ref::Column(own)) => self.cell(table, *own, row),
            Op::Read(Ref::Parent(column)) => match self.ledger().table(table).parent_row(row) {
                Some((parent, parent_row)) => self.cell(parent, *column, parent_row),
                None => Step::default(),
            },
            Op::Read(Ref::Cell(other, column, at)) => self.cell(*other, *column, *at as usize),
            Op::Read(Ref::Single(single)) => self.single(*single),
            Op::Read(reference @ (Ref::Children(..) | Ref::All(..) | Ref::Where { .. })) => {
                self.sum(table, row, *reference, value, node.kind, &node.unit)
            }
            Op::Pick { .. } => self.product_field(shape, leaf, values),
            Op::Step(steps, _) | Op::NextStep(steps, _) => Step {
                name: self.ledger().table(*steps).title.to_lowercase(),
                value: self.written(value, node.kind, &node.unit),
                origin: "step table".to_owned(),
                ..Step::default()
            },
            // Each row above rests on the one above it; of the highest and lowest, as of the
            // rest, the value says enough.
            _ => Step {
                name: in_words(self.ledger(), table, shape, leaf),
                value: self.written(value, node.kind, &node.unit),
                ..Step::default()
            },
        }
    }

    fn single(&self, id: SingleId) -> Step {
        let single = self.ledger().single(id);
        let place = self.place(&single.place);
        let origin = match single.role {
            SingleRole::Factor => format!("factor of recipe {}{place}", single.group),
            SingleRole::Pricing => "pricing of the shop".to_owned(),
            SingleRole::Rate => format!("rate of the price book{place}"),
            SingleRole::Job => format!("Job sheet{place}"),
            SingleRole::Written => format!("written in recipe {}", single.group),
        };
        let note = match (single.why.as_str(), single.source.as_str()) {
            (why, "") => why.to_owned(),
            (why, source) => format!("{why} ({source})"),
        };
        Step {
            name: single.title.to_lowercase(),
            value: self.written(single.value, single.kind, &single.unit),
            origin,
            note,
            ..Step::default()
        }
    }

    /// A field of a product, or a line's value for the product of a row.
    fn product_field(&self, shape: &Shape, leaf: NodeId, values: &[f64]) -> Step {
        let node = shape.node(leaf);
        let Op::Pick {
            table,
            column,
            first,
            row,
            ..
        } = &node.op
        else {
            return Step::default();
        };
        let value = |id: NodeId| values.get(id.index()).copied().unwrap_or(f64::NAN);
        let table = self.ledger().table(*table);
        let column = table.column(*column);
        // Rows are counted from one; what was not computed counts as none.
        let owner = (*first as usize + value(*row) as usize).checked_sub(1);
        let product = owner.and_then(|row| table.row_names.get(row));
        let (owner, product) = match product {
            Some(name) => (owner, name.as_str()),
            None => (None, ""),
        };
        let value = value(leaf);
        let is_book = !table.row_packages.is_empty();
        Step {
            name: format!("{} of {product}", column.title.to_lowercase()),
            value: self.written(value, node.kind, &node.unit),
            origin: match owner {
                Some(row) if is_book => format!("price book{}", self.place(&table.row_places[row])),
                _ => format!("table {}", table.title),
            },
            ..Step::default()
        }
    }

    /// A sum with the rows that make it up.
    fn sum(
        &self,
        table: TableId,
        row: usize,
        reference: Ref,
        value: f64,
        kind: Kind,
        unit: &Unit,
    ) -> Step {
        let (summed, column, rows): (TableId, ColumnId, Vec<usize>) = match reference {
            Ref::All(other, column) => (
                other,
                column,
                (0..self.ledger().table(other).rows()).collect(),
            ),
            Ref::Children(other, column) => {
                let rows = self.ledger().table(other).children_of(row);
                (
                    other,
                    column,
                    rows.iter().map(|row| *row as usize).collect(),
                )
            }
            Ref::Where {
                table: other,
                column,
                among,
                same,
            } => {
                let own = (self.ledger().table(table), row);
                let rows = same.rows(self.ledger().table(other), among, own);
                (other, column, rows.collect())
            }
            _ => return Step::default(),
        };
        let table = self.ledger().table(summed);
        let mut parts: Vec<(usize, f64)> = rows
            .iter()
            .map(|row| (*row, table.value(column, *row)))
            .filter(|(_, value)| !value.is_nan() && *value != 0.0)
            .collect();
        let count = parts.len();
        parts.sort_by(|a, b| b.1.total_cmp(&a.1));
        let most = if table.grouped {
            MOST_READINGS
        } else {
            MOST_LISTED
        };
        let shown_unit = &table.column(column).unit;
        let mut steps: Vec<Step> = parts
            .iter()
            .take(most)
            .map(|(row, value)| Step {
                name: table.row_names[*row].clone(),
                value: self.written(
                    *value,
                    kind,
                    if unit.label.is_empty() {
                        shown_unit
                    } else {
                        unit
                    },
                ),
                ..Step::default()
            })
            .collect();
        if count > most {
            steps.push(Step {
                name: format!("and {} more", count - most),
                ..Step::default()
            });
        }
        Step {
            name: format!("sum of {}", table.column(column).title.to_lowercase()),
            value: self.written(value, kind, unit),
            how: format!("over {count} of {} in {}", rows.len(), table.title),
            steps,
            ..Step::default()
        }
    }

    fn input_origin(&self, table: TableId, column: ColumnId, row: usize) -> String {
        let table = self.ledger().table(table);
        let Some(facts) = &table.column(column).input else {
            return format!("price book{}", self.place(&table.row_places[row]));
        };
        match facts.origins.get(row) {
            Some(Origin::Job) => match facts.job_value {
                Some(job) => format!("Job sheet{}", self.place(&self.ledger().single(job).place)),
                None => "Job sheet".to_owned(),
            },
            Some(Origin::Default) => "default of the recipe; the cell is blank".to_owned(),
            Some(Origin::Surveyed) => "from the room's survey".to_owned(),
            Some(Origin::Blank) => "the cell is blank".to_owned(),
            _ => format!("measured{}", self.place(&table.cell_place(column, row))),
        }
    }

    fn place(&self, place: &Place) -> String {
        match place {
            Place::Nowhere => String::new(),
            place => format!(", {place}"),
        }
    }

    fn script_line(&self, shape: &Shape, node: NodeId) -> String {
        let Some(place) = shape.node(node).place else {
            return String::new();
        };
        match self.ledger().scripts.get(usize::from(place.script)) {
            Some(source) => format!("{}:{}", source.name, place.line),
            None => String::new(),
        }
    }

    fn written(&self, value: f64, kind: Kind, unit: &Unit) -> String {
        match kind {
            _ if value.is_nan() => "blank".to_owned(),
            Kind::Number(_) => write(value, unit, &self.ledger().units),
            Kind::Text => self.ledger().texts.of_value(value).to_owned(),
            Kind::Condition => if value == 0.0 { "no" } else { "yes" }.to_owned(),
            Kind::Product(table) => {
                let names = &self.ledger().table(table).row_names;
                names.get(value as usize - 1).cloned().unwrap_or_default()
            }
        }
    }
}
