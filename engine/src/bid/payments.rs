//! The steps in which the bid is paid: parts of it, to the cent, that add up to it exactly.

use std::sync::Arc;

use super::computed::{fill, money_column};
use super::summary::SummaryColumns;
use crate::diag::Outcome;
use crate::quantity::{Dimension, Operator, Unit};
use crate::shop::Payment;
use crate::trail::{
    Column, ColumnId, Kind, Ledger, Ref, Role, Shape, SingleId, Table, TableId, builtin,
};

/// The payments of a bid.
#[derive(Clone, Debug, PartialEq)]
pub struct Payments {
    /// Their table, a row for each step.
    pub table: TableId,
    /// The part of the bid.
    pub part: ColumnId,
    /// This part and all before it.
    pub running_part: ColumnId,
    /// Their part of the bid, to the cent.
    pub running_amount: ColumnId,
    /// What is paid.
    pub amount: ColumnId,
}

/// Adds the payments.
pub(super) fn add_payments(
    payments: &[Payment],
    singles: &[SingleId],
    (summary, columns): (TableId, &SummaryColumns),
    ledger: &mut Ledger,
) -> Outcome<Option<Payments>> {
    if payments.is_empty() {
        return Ok(None);
    }
    let steps = payments.iter().map(|payment| payment.step.clone());
    let table = ledger.add_table(Table::new("payment", "Payments", steps.collect()));
    let percent = ledger.units.find("%").cloned();
    let percent = Arc::new(percent.unwrap_or_else(Unit::plain));
    let mut part_column = |name: &str, title: &str, note: &str| {
        ledger.table_mut(table).add(Column {
            name: name.to_owned(),
            title: title.to_owned(),
            note: note.to_owned(),
            kind: Kind::Number(Dimension::NONE),
            unit: percent.clone(),
            role: Role::Money,
            group: String::new(),
            input: None,
            values: Vec::new(),
        })
    };
    let part = part_column("part", "Part", "Of the bid");
    let running_part = part_column("running_part", "Part so far", "This part and all above it");
    let mut money =
        |name: &str, title: &str, note: &str| money_column(ledger, table, name, title, note);
    let running_amount = money(
        "running_amount",
        "So far",
        "Their part of the bid, to the cent",
    );
    let amount = money(
        "amount",
        "Amount",
        "What is due so far less what was due before: all payments add up to the bid exactly",
    );
    let mut shapes = Vec::new();
    for single in singles {
        shapes.push(Shape::build(ledger, table, |t| {
            let own = t.read(Ref::Single(*single))?;
            let above = t.read(Ref::Above(running_part))?;
            let so_far = t.arithmetic(Operator::Add, above, own)?;
            let bid = t.read(Ref::Cell(summary, columns.bid, 0))?;
            let due = t.arithmetic(Operator::Multiply, bid, so_far)?;
            let due = t.call(&builtin::cents(), &[due])?;
            let paid = t.read(Ref::Above(running_amount))?;
            let now = t.arithmetic(Operator::Subtract, due, paid)?;
            let now = t.call(&builtin::cents(), &[now])?;
            Ok(vec![
                (part, own),
                (running_part, so_far),
                (running_amount, due),
                (amount, now),
            ])
        })?);
    }
    let own = |row| u16::try_from(row).unwrap_or(u16::MAX);
    fill(ledger, table, shapes, own, "payments")?;
    Ok(Some(Payments {
        table,
        part,
        running_part,
        running_amount,
        amount,
    }))
}
