//! The columns of the line table, on the way from what is needed to the price.

use std::sync::Arc;

use crate::quantity::Unit;
use crate::shop::{Basis, Pricing};
use crate::trail::{Column, ColumnId, Kind, Ledger, Role, Table, TableId};

/// Columns of the line table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineColumns {
    /// Row of the product in its table, counted from one; blank for other lines.
    pub number: ColumnId,
    /// Number of the phase, where the job has phases; blank for what is of none.
    pub phase: Option<ColumnId>,
    /// What the rooms need.
    pub needed: ColumnId,
    /// What is charged: whole packages, or what is needed.
    pub quantity: ColumnId,
    /// Price of one.
    pub unit_price: ColumnId,
    /// Quantity times price, to the cent.
    pub cost: ColumnId,
    /// Tax that the shop pays.
    pub tax: ColumnId,
    /// Contingency.
    pub contingency: ColumnId,
    /// Overhead, where the shop states one.
    pub overhead: Option<ColumnId>,
    /// Markup or margin.
    pub profit: ColumnId,
    /// Price to the customer.
    pub price: ColumnId,
    /// Price for each one needed, by which it is shared to rooms.
    pub share_rate: ColumnId,
    /// Whole lengths by the plan of cuts; blank for lines that are not cut.
    pub by_plan: ColumnId,
}

/// What of a line is known before anything is computed, row by row.
pub(super) struct Given {
    pub(super) numbers: Vec<f64>,
    pub(super) by_plan: Vec<f64>,
    /// Phases, with their table.
    pub(super) phases: Option<(TableId, Vec<f64>)>,
}

/// The title and note of the profit column.
pub(super) fn profit_words(pricing: &Pricing) -> (&'static str, String) {
    let on = if pricing.has_overhead {
        "cost, tax, contingency and overhead"
    } else {
        "cost, tax and contingency"
    };
    match pricing.common_basis() {
        Some(Basis::Cost) => ("Markup", format!("Markup on {on}")),
        Some(Basis::Price) => ("Margin", "What is kept of the price".to_owned()),
        None => (
            "Markup or margin",
            format!("Markup on {on}, or what is kept of the price, by kind of item"),
        ),
    }
}

/// Adds the columns.
pub(super) fn add_columns(
    table: &mut Table,
    given: Given,
    pricing: &Pricing,
    ledger: &Ledger,
) -> LineColumns {
    let money = ledger.units.find("money").cloned();
    let money = Arc::new(money.unwrap_or_else(Unit::plain));
    let plain = Arc::new(Unit::plain());
    let mut add = |name: &str, title: &str, note: &str, unit: &Arc<Unit>, kind, values| {
        table.add(Column {
            name: name.to_owned(),
            title: title.to_owned(),
            note: note.to_owned(),
            kind,
            unit: unit.clone(),
            role: Role::Money,
            group: String::new(),
            input: None,
            values,
        })
    };
    let number = Kind::Number(plain.dimension);
    let first = add(
        "number",
        "No.",
        "Row of the product in the price book",
        &plain,
        number,
        given.numbers,
    );
    let phase = given.phases.map(|(phases, values)| {
        let note = "Number of the phase among the phases below";
        add(
            "phase",
            "Phase no.",
            note,
            &plain,
            Kind::Product(phases),
            values,
        )
    });
    let mut plain_column = |name: &str, title: &str, note: &str, values| {
        add(name, title, note, &plain, number, values)
    };
    let needed = plain_column(
        "needed",
        "Needed",
        "What all rooms need together",
        Vec::new(),
    );
    let quantity = plain_column(
        "quantity",
        "Quantity",
        "Whole packages for the job, or what is needed",
        Vec::new(),
    );
    let share_rate = plain_column(
        "share_rate",
        "Price per needed",
        "Price for each one needed, by which rooms bear it",
        Vec::new(),
    );
    let by_plan = plain_column(
        "by_plan",
        "By plan of cuts",
        "Whole lengths that the plan of cuts takes",
        given.by_plan,
    );
    let mut amount = |name: &str, title: &str, note: &str| {
        let kind = Kind::Number(money.dimension);
        add(name, title, note, &money, kind, Vec::new())
    };
    let (profit_title, profit_note) = profit_words(pricing);
    LineColumns {
        number: first,
        phase,
        needed,
        quantity,
        unit_price: amount("unit_price", "Unit price", ""),
        cost: amount("cost", "Cost", "Quantity times unit price, to the cent"),
        tax: amount("tax", "Tax", "Tax that the shop pays on what it buys"),
        contingency: amount("contingency", "Contingency", "On cost and tax"),
        overhead: pricing.has_overhead.then(|| {
            let note = "For running the shop, on cost alone, before tax and contingency";
            amount("overhead", "Overhead", note)
        }),
        profit: amount("profit", profit_title, &profit_note),
        price: amount("price", "Price", "What the customer pays for the line"),
        share_rate,
        by_plan,
    }
}
