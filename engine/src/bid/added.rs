//! Lines of the bid that no room bears: fees, and allowances for what is yet to be chosen.

use super::computed::{fill, money_column};
use super::price_steps::{percentage, profit_on};
use super::summary::SummaryColumns;
use crate::diag::{Diagnostic, Findings, Outcome};
use crate::quantity::{Dimension, Operator};
use crate::script::ItemKind;
use crate::shop::{FeeEntry, PricingEntries};
use crate::takeoff::{Allowance, FeeAmount, Takeoff};
use crate::trail::{
    Column, ColumnId, Kind, Ledger, NodeId, Ref, Role, Shape, SingleId, Table, TableId, Tracer,
    TrailError, builtin,
};

/// Lines of one sort.
#[derive(Clone, Debug, PartialEq)]
pub struct Added {
    /// Their table, a row for each.
    pub table: TableId,
    /// What each adds to the bid.
    pub price: ColumnId,
    /// The single value behind each, with what it is reckoned on.
    pub from: Vec<(SingleId, String)>,
}

impl Added {
    /// Their names and what each adds.
    pub fn lines<'l>(&self, ledger: &'l Ledger) -> impl Iterator<Item = (&'l str, f64)> {
        let table = ledger.table(self.table);
        let names = table.row_names.iter().map(String::as_str);
        names.zip(table.values(self.price).iter().copied())
    }
}

/// Adds the fees; a percentage is one of the price of all lines, which the summary holds.
pub(super) fn add_fees(
    fees: &[FeeEntry],
    pricing: &PricingEntries,
    (summary, columns): (TableId, &SummaryColumns),
    ledger: &mut Ledger,
) -> Outcome<Option<Added>> {
    let names = fees.iter().map(|entry| entry.fee.name.clone()).collect();
    let from = fees.iter().map(|entry| {
        let reckoned = match (entry.fee.amount, entry.fee.with_profit) {
            (FeeAmount::OfPrice(_), _) => "Of the price of all lines",
            (FeeAmount::Money(_), true) => "With the markup or margin on charges",
            (FeeAmount::Money(_), false) => "As it is, without markup",
        };
        (entry.single, reckoned.to_owned())
    });
    let charges = &pricing.kinds[ItemKind::Charge as usize];
    add("fee", "Fees", (names, from.collect()), ledger, |t, row| {
        let entry = &fees[row];
        if let FeeAmount::OfPrice(_) = entry.fee.amount {
            let lines = t.read(Ref::Cell(summary, columns.lines, 0))?;
            return percentage(t, lines, entry.single);
        }
        let amount = t.read(Ref::Single(entry.single))?;
        if !entry.fee.with_profit {
            return t.call(&builtin::cents(), &[amount]);
        }
        let profit = profit_on(t, amount, charges)?;
        let price = t.arithmetic(Operator::Add, amount, profit)?;
        t.call(&builtin::cents(), &[price])
    })
}

/// Adds the allowances: sums as they are told, or so much for an area.
pub(super) fn add_allowances(
    singles: &[SingleId],
    takeoff: &Takeoff,
    ledger: &mut Ledger,
) -> Outcome<Option<Added>> {
    let rooms = takeoff.rooms.table;
    let area = sure_area(ledger.table(rooms));
    let mut findings = Findings::new();
    for allowance in takeoff.allowances.iter().filter(|a| a.is_by_area()) {
        if area.is_none() {
            findings.push(
                Diagnostic::error(format!(
                    "allowance {} is money for an area, but not every room is sure to have an area",
                    crate::diag::quoted(&allowance.name)
                ))
                .at(allowance.place.clone())
                .hint("Write a sum of money instead."),
            );
        }
    }
    findings.stop_on_errors()?;
    let names = takeoff.allowances.iter().map(|allowance| {
        let room = allowance
            .room
            .map(|row| &ledger.table(rooms).row_names[row]);
        match room {
            Some(room) => format!("{}, {room}", allowance.name),
            None => allowance.name.clone(),
        }
    });
    let reckoned = |allowance: &Allowance| match (allowance.is_by_area(), allowance.room) {
        (false, _) => "As the customer is told",
        (true, Some(_)) => "For the area of the room",
        (true, None) => "For the area of all rooms",
    };
    let from = singles.iter().zip(&takeoff.allowances);
    let from = from.map(|(single, allowance)| (*single, reckoned(allowance).to_owned()));
    let lines = (names.collect(), from.collect());
    add("allowance", "Allowances", lines, ledger, |t, row| {
        let mut amount = t.read(Ref::Single(singles[row]))?;
        if let Some(area) = area.filter(|_| takeoff.allowances[row].is_by_area()) {
            let measured = match takeoff.allowances[row].room {
                Some(room) => t.read(Ref::Cell(rooms, area, room as u32))?,
                None => t.read(Ref::All(rooms, area))?,
            };
            amount = t.arithmetic(Operator::Multiply, amount, measured)?;
        }
        t.call(&builtin::cents(), &[amount])
    })
}

/// The column with the own area of each room, where every room has one: as measured, or as it
/// follows.
pub fn measured_area(rooms: &Table) -> Option<ColumnId> {
    areas(rooms).next().map(|(id, _)| id)
}

/// The columns with the own area of every room.
fn areas(rooms: &Table) -> impl Iterator<Item = (ColumnId, &Column)> {
    rooms.columns().filter(|(_, column)| {
        column.name.rsplit('.').next() == Some("area")
            && column.kind == Kind::Number(Dimension::AREA)
            && matches!(column.role, Role::Input | Role::Cell)
            && !column.values.iter().any(|value| value.is_nan())
    })
}

/// The area by which allowances are reckoned: as a recipe gives it, else as it must be typed. A
/// cell that may be cleared, because readings stand in for it, would be nothing then.
fn sure_area(rooms: &Table) -> Option<ColumnId> {
    let is_cell = |(_, column): &(ColumnId, &Column)| column.role == Role::Cell;
    let must_be_typed = |(_, column): &(ColumnId, &Column)| {
        let facts = column.input.as_ref();
        facts.is_some_and(|facts| !facts.may_be_blank)
    };
    let found = areas(rooms)
        .find(is_cell)
        .or(areas(rooms).find(must_be_typed));
    found.map(|(id, _)| id)
}

/// Adds a table of lines, each priced in its own way.
fn add(
    name: &str,
    title: &str,
    (names, from): (Vec<String>, Vec<(SingleId, String)>),
    ledger: &mut Ledger,
    priced: impl Fn(&mut Tracer, usize) -> Result<NodeId, TrailError>,
) -> Outcome<Option<Added>> {
    if names.is_empty() {
        return Ok(None);
    }
    let table = ledger.add_table(Table::new(name, title, names));
    let price = money_column(ledger, table, "price", "Price", "What it adds to the bid");
    let mut shapes = Vec::new();
    for row in 0..from.len() {
        shapes.push(Shape::build(ledger, table, |t| {
            Ok(vec![(price, priced(t, row)?)])
        })?);
    }
    let own = |row| u16::try_from(row).unwrap_or(u16::MAX);
    fill(ledger, table, shapes, own, title)?;
    Ok(Some(Added { table, price, from }))
}
