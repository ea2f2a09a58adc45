//! The way back to rooms: what each bears of every line, and its price to the cent.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::bind::ItemColumn;
use super::computed::{fill, money_column};
use super::line_columns::LineColumns;
use super::lines::Line;
use super::phases::Phases;
use super::summary::SummaryColumns;
use crate::diag::Outcome;
use crate::quantity::{Dimension, Operator, Unit};
use crate::takeoff::Takeoff;
use crate::trail::{
    ColumnId, Kind, Ledger, NodeId, Ref, Same, Shape, TableId, Tracer, TrailError, builtin,
};

/// Columns of rooms on the way to the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShareColumns {
    /// What the room bears of all lines, before rounding.
    pub basis: ColumnId,
    /// Running total of that.
    pub running_basis: ColumnId,
    /// Running total of the price, to the cent.
    pub running_price: ColumnId,
    /// The room's price.
    pub price: ColumnId,
}

/// What shares are made from.
pub(super) struct Priced<'a> {
    pub(super) items: &'a [ItemColumn],
    pub(super) lines: &'a [Line],
    pub(super) line_table: TableId,
    pub(super) columns: &'a LineColumns,
    pub(super) phases: Option<&'a Phases>,
}

/// Adds to every table what its rows bear of each item, and to rooms the sum of it.
pub(super) fn add_basis(
    priced: &Priced<'_>,
    takeoff: &Takeoff,
    ledger: &mut Ledger,
) -> Outcome<ColumnId> {
    let rooms = takeoff.rooms.table;
    let mut below = Vec::new();
    for child in &takeoff.children {
        below.extend(
            add_table_basis(priced, child.table, &[], ledger)?.map(|column| (child.table, column)),
        );
    }
    match add_table_basis(priced, rooms, &below, ledger)? {
        Some(column) => Ok(column),
        None => {
            // Everything is priced for the job as a whole: every room bears the same.
            let column = money_column(
                ledger,
                rooms,
                "share_basis",
                "Share",
                "What the room bears of all lines",
            );
            let shape = Shape::build(ledger, rooms, |t| {
                let money = t.ledger.shown_in(Kind::Number(Dimension::MONEY));
                Ok(vec![(column, t.constant(0.0, money)?)])
            })?;
            fill(ledger, rooms, vec![shape], |_| 0, "shares")?;
            Ok(column)
        }
    }
}

/// Adds share columns to a table; rows without an item have no share of it.
fn add_table_basis(
    priced: &Priced<'_>,
    table: TableId,
    below: &[(TableId, ColumnId)],
    ledger: &mut Ledger,
) -> Outcome<Option<ColumnId>> {
    let mut own = Vec::new();
    for (index, item) in priced
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| item.table == table)
    {
        let name = format!("share {index}");
        let title = format!("Share of {}", item.label);
        own.push((
            index,
            money_column(ledger, table, &name, &title, "Its part of the line's price"),
        ));
    }
    if own.is_empty() && below.is_empty() {
        return Ok(None);
    }
    let basis = money_column(
        ledger,
        table,
        "share_basis",
        "Share",
        "What the row bears of all lines",
    );
    let mut shape_of: BTreeMap<Vec<bool>, u16> = BTreeMap::new();
    let mut shapes = Vec::new();
    let mut of_row = Vec::new();
    for row in 0..ledger.table(table).rows() {
        let has = |(index, _): &(usize, ColumnId)| {
            !ledger
                .table(table)
                .value(priced.items[*index].quantity, row)
                .is_nan()
        };
        let pattern: Vec<bool> = own.iter().map(has).collect();
        let index = match shape_of.get(&pattern) {
            Some(index) => *index,
            None => {
                let present: Vec<_> = own
                    .iter()
                    .zip(&pattern)
                    .filter(|(_, has)| **has)
                    .map(|(o, _)| *o)
                    .collect();
                let shape = Shape::build(ledger, table, |t| {
                    build_basis(t, priced, &present, below, basis)
                })?;
                shapes.push(shape);
                let index = u16::try_from(shapes.len() - 1).unwrap_or(u16::MAX);
                shape_of.insert(pattern, index);
                index
            }
        };
        of_row.push(index);
    }
    fill(ledger, table, shapes, |row| of_row[row], "shares")?;
    Ok(Some(basis))
}

fn build_basis(
    t: &mut Tracer,
    priced: &Priced<'_>,
    present: &[(usize, ColumnId)],
    below: &[(TableId, ColumnId)],
    basis: ColumnId,
) -> Result<Vec<(ColumnId, NodeId)>, TrailError> {
    let mut outputs = Vec::new();
    let mut sum = None;
    let add = |t: &mut Tracer, sum: &mut Option<NodeId>, node: NodeId| -> Result<(), TrailError> {
        *sum = Some(match *sum {
            Some(total) => t.arithmetic(Operator::Add, total, node)?,
            None => node,
        });
        Ok(())
    };
    for (index, column) in present {
        let share = share_of(t, priced, *index)?;
        outputs.push((*column, share));
        add(t, &mut sum, share)?;
    }
    for (table, column) in below {
        let total = t.read(Ref::Children(*table, *column))?;
        add(t, &mut sum, total)?;
    }
    let total = match sum {
        Some(total) => total,
        None => {
            let money = t.ledger.shown_in(Kind::Number(Dimension::MONEY));
            t.constant(0.0, money)?
        }
    };
    outputs.push((basis, total));
    Ok(outputs)
}

/// An item's quantity times the price for each one needed of its line.
fn share_of(t: &mut Tracer, priced: &Priced<'_>, index: usize) -> Result<NodeId, TrailError> {
    let item = &priced.items[index];
    let quantity = t.read(Ref::Column(item.quantity))?;
    let Kind::Number(dimension) = t.kind(quantity) else {
        return Err(TrailError::NotANumber(t.kind(quantity)));
    };
    let rate_kind = Kind::Number(
        Dimension::MONEY
            .per(dimension)
            .map_err(crate::quantity::ArithmeticError::from)?,
    );
    let (first, rows) = rows_of(priced, index);
    let rate_unit = match item.product {
        Some(_) => t.ledger.shown_in(rate_kind),
        None => line_share_unit(priced, first, &t.ledger),
    };
    let share_rate = priced.columns.share_rate;
    let rate = match (phase_of(priced, item), item.product) {
        // Of all lines that the item goes to, the one with its product and phase.
        (Some((key, own)), product) => {
            let mut same = Same::one(key, own);
            if let Some((_, number)) = product {
                same = Same::one(priced.columns.number, number).and(key, own);
            }
            let line = Ref::Where {
                table: priced.line_table,
                column: share_rate,
                among: Some((first, rows)),
                same,
            };
            t.read_as(line, rate_kind, rate_unit)?
        }
        (None, Some((_, key))) => {
            let number = t.read(Ref::Column(key))?;
            let lines = (priced.line_table, share_rate);
            t.pick_as(lines, (first, rows), number, (rate_kind, rate_unit))?
        }
        (None, None) => {
            let line = Ref::Cell(priced.line_table, share_rate, first);
            t.read_as(line, rate_kind, rate_unit)?
        }
    };
    t.arithmetic(Operator::Multiply, quantity, rate)
}

/// The phase column of lines, and the column of an item's own rows that it must equal.
fn phase_of(priced: &Priced<'_>, item: &ItemColumn) -> Option<(ColumnId, ColumnId)> {
    let own = priced.phases?.key_of(item.table)?;
    Some((priced.columns.phase?, own))
}

/// The lines that an item goes to, which follow one another: first row and number.
fn rows_of(priced: &Priced<'_>, index: usize) -> (u32, u32) {
    let goes_to = |line: &&Line| line.items.contains(&index);
    let first = priced
        .lines
        .iter()
        .take_while(|line| !goes_to(line))
        .count();
    let rows = priced.lines.iter().filter(goes_to).count();
    (first as u32, rows as u32)
}

/// The unit in which a line's share rate is written.
fn line_share_unit(priced: &Priced<'_>, line: u32, ledger: &Ledger) -> Arc<Unit> {
    let table = ledger.table(priced.line_table);
    table
        .blocks
        .first()
        .and_then(|block| block.computes(priced.columns.share_rate, line as usize))
        .map_or_else(
            || Arc::new(Unit::plain()),
            |(shape, node)| shape.node(node).unit.clone(),
        )
}

/// Adds the running totals and the price of each room.
pub(super) fn add_prices(
    takeoff: &Takeoff,
    basis: ColumnId,
    summary: TableId,
    columns: &SummaryColumns,
    ledger: &mut Ledger,
) -> Outcome<ShareColumns> {
    let rooms = takeoff.rooms.table;
    let running_basis = money_column(
        ledger,
        rooms,
        "running_basis",
        "Running share",
        "Shares of this room and all above it; where nothing is borne, each room counts the same",
    );
    let running_price = money_column(
        ledger,
        rooms,
        "running_price",
        "Running price",
        "Their part of the bid, to the cent",
    );
    let price = money_column(
        ledger,
        rooms,
        "price",
        "Price",
        "This running price less the one above: all rooms add up to the bid exactly",
    );
    let weigh = Shape::build(ledger, rooms, |t| {
        let own = t.read(Ref::Column(basis))?;
        let total = t.read(Ref::Cell(summary, columns.share_total, 0))?;
        let weight = t.call(&builtin::share_weight(), &[own, total])?;
        let above = t.read(Ref::Above(running_basis))?;
        let running = t.arithmetic(Operator::Add, above, weight)?;
        Ok(vec![(running_basis, running)])
    })?;
    fill(ledger, rooms, vec![weigh], |_| 0, "running share")?;
    let last = ledger.table(rooms).rows() as u32 - 1;
    let hand_out = Shape::build(ledger, rooms, |t| {
        let running = t.read(Ref::Column(running_basis))?;
        let whole = t.read(Ref::Cell(rooms, running_basis, last))?;
        let bid = t.read(Ref::Cell(summary, columns.of_rooms(), 0))?;
        let part = t.arithmetic(Operator::Multiply, bid, running)?;
        let part = t.arithmetic(Operator::Divide, part, whole)?;
        let so_far = t.call(&builtin::cents(), &[part])?;
        let given = t.read(Ref::Above(running_price))?;
        let own_price = t.arithmetic(Operator::Subtract, so_far, given)?;
        let own_price = t.call(&builtin::cents(), &[own_price])?;
        Ok(vec![(running_price, so_far), (price, own_price)])
    })?;
    fill(ledger, rooms, vec![hand_out], |_| 0, "price")?;
    Ok(ShareColumns {
        basis,
        running_basis,
        running_price,
        price,
    })
}
