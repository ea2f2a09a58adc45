//! The steps from what a line needs to its price, as the trail of its row.

use std::sync::Arc;

use super::bind::ItemColumn;
use super::gather::Group;
use super::line_columns::LineColumns;
use super::phases::Phases;
use crate::quantity::{Operator, Unit};
use crate::shop::{Basis, KindEntries, PricingEntries};
use crate::trail::{ColumnId, NodeId, Ref, Same, SingleId, TableId, Tracer, TrailError, builtin};

/// Which rows a line takes its amounts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rows {
    /// Rooms and the tables below them: all, or those of the line's phase.
    pub(super) of_rooms: bool,
    /// The whole job.
    pub(super) of_job: bool,
}

/// What the shapes of lines are built from.
pub(super) struct LineBuilder<'a> {
    pub(super) group: &'a Group,
    pub(super) rows: Rows,
    pub(super) items: &'a [ItemColumn],
    pub(super) job: TableId,
    pub(super) phases: Option<&'a Phases>,
    pub(super) pricing: &'a PricingEntries,
    pub(super) columns: &'a LineColumns,
}

type Step = Result<NodeId, TrailError>;

impl LineBuilder<'_> {
    pub(super) fn build(&self, t: &mut Tracer) -> Result<Vec<(ColumnId, NodeId)>, TrailError> {
        let columns = self.columns;
        let needed = self.needed(t)?;
        let mut outputs = vec![(columns.needed, needed)];
        let cost = match (self.group.products, self.group.rate) {
            (Some(products), _) => {
                let quantity = if self.group.cut {
                    let by_plan = t.read(Ref::Column(columns.by_plan))?;
                    t.call(&builtin::counted_as(), &[by_plan, needed])?
                } else {
                    t.call(&builtin::whole_up(), &[needed])?
                };
                let number = t.read(Ref::Column(columns.number))?;
                let price = product_price(t, products, number)?;
                outputs.extend([(columns.quantity, quantity), (columns.unit_price, price)]);
                t.arithmetic(Operator::Multiply, quantity, price)?
            }
            (None, Some(rate)) => {
                let price = t.read(Ref::Single(rate))?;
                outputs.extend([(columns.quantity, needed), (columns.unit_price, price)]);
                t.arithmetic(Operator::Multiply, needed, price)?
            }
            (None, None) => needed,
        };
        let cost = t.call(&builtin::cents(), &[cost])?;
        let kind = &self.pricing.kinds[self.group.kind as usize];
        let tax = percentage(t, cost, kind.tax)?;
        let taxed = t.arithmetic(Operator::Add, cost, tax)?;
        let contingency = percentage(t, taxed, kind.contingency)?;
        let mut before_profit = t.arithmetic(Operator::Add, taxed, contingency)?;
        if let (Some(column), Some(rate)) = (columns.overhead, kind.overhead) {
            let overhead = percentage(t, cost, rate)?;
            before_profit = t.arithmetic(Operator::Add, before_profit, overhead)?;
            outputs.push((column, overhead));
        }
        let profit = profit_on(t, before_profit, kind)?;
        // The price is the sum of what stands in the row before it.
        let price = t.arithmetic(Operator::Add, before_profit, profit)?;
        let price = t.call(&builtin::cents(), &[price])?;
        let share_rate = t.call(&builtin::for_each(), &[price, needed])?;
        outputs.extend([
            (columns.cost, cost),
            (columns.tax, tax),
            (columns.contingency, contingency),
            (columns.profit, profit),
            (columns.price, price),
            (columns.share_rate, share_rate),
        ]);
        Ok(outputs)
    }

    /// The sum of what the rows of all tables need.
    fn needed(&self, t: &mut Tracer) -> Step {
        let mut total: Option<NodeId> = None;
        for item in self.group.items.iter().map(|index| &self.items[*index]) {
            let of_job = item.table == self.job;
            if !(if of_job {
                self.rows.of_job
            } else {
                self.rows.of_rooms
            }) {
                continue;
            }
            let node = t.read(self.reference(item))?;
            total = Some(match total {
                Some(total) => t.arithmetic(Operator::Add, total, node)?,
                None => node,
            });
        }
        match total {
            Some(total) => Ok(total),
            None => t.constant(0.0, Arc::new(Unit::plain())),
        }
    }

    /// What the rows of an item need that belong to the line: those with its product and, where
    /// the job has phases, of its phase.
    fn reference(&self, item: &ItemColumn) -> Ref {
        let by_product = item
            .product
            .map(|(_, key)| Same::one(key, self.columns.number));
        let phase = self
            .phases
            .filter(|_| item.table != self.job)
            .and_then(|phases| phases.key_of(item.table))
            .zip(self.columns.phase);
        let same = match (by_product, phase) {
            (Some(same), Some((key, equals))) => Some(same.and(key, equals)),
            (Some(same), None) => Some(same),
            (None, Some((key, equals))) => Some(Same::one(key, equals)),
            (None, None) => None,
        };
        match same {
            Some(same) => Ref::Where {
                table: item.table,
                column: item.quantity,
                among: None,
                same,
            },
            None => Ref::All(item.table, item.quantity),
        }
    }
}

fn product_price(t: &mut Tracer, products: TableId, number: NodeId) -> Step {
    let table = t.ledger.table(products);
    let rows = table.rows() as u32;
    let Some(column) = table.column_named("price") else {
        return t.constant(0.0, Arc::new(Unit::plain()));
    };
    let read_as = (table.column(column).kind, table.column(column).unit.clone());
    t.pick_as((products, column), (0, rows), number, read_as)
}

/// The markup or margin on an amount, to the cent.
pub(super) fn profit_on(t: &mut Tracer, amount: NodeId, kind: &KindEntries) -> Step {
    let rate = t.read(Ref::Single(kind.profit))?;
    match kind.basis {
        Basis::Cost => part_of(t, amount, rate),
        Basis::Price => {
            let one = t.constant(1.0, Arc::new(Unit::plain()))?;
            let kept = t.arithmetic(Operator::Subtract, one, rate)?;
            let share = t.arithmetic(Operator::Multiply, amount, rate)?;
            let profit = t.arithmetic(Operator::Divide, share, kept)?;
            t.call(&builtin::cents(), &[profit])
        }
    }
}

/// A percentage of an amount, to the cent.
pub(super) fn percentage(t: &mut Tracer, amount: NodeId, rate: SingleId) -> Step {
    let rate = t.read(Ref::Single(rate))?;
    part_of(t, amount, rate)
}

fn part_of(t: &mut Tracer, amount: NodeId, rate: NodeId) -> Step {
    let part = t.arithmetic(Operator::Multiply, amount, rate)?;
    t.call(&builtin::cents(), &[part])
}
