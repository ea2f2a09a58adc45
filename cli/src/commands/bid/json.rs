//! A priced job for other programs.

use std::path::Path;

use engine::bid::{Added, Bid};
use engine::shop::Workshop;
use serde_json::{Value, json};

use super::show::cautions;

/// The priced job.
pub(super) fn to_json(bid: &Bid, workshop: &Workshop, out: &Path) -> Value {
    let ledger = &bid.ledger;
    let rooms = ledger.table(bid.takeoff.rooms.table);
    let lines = ledger.table(bid.line_table);
    let columns = &bid.line_columns;
    let added = |added: &Option<Added>| -> Vec<Value> {
        let lines = added.iter().flat_map(|added| added.lines(ledger));
        lines
            .map(|(name, price)| json!({"name": name, "price": price}))
            .collect()
    };
    json!({
        "workbook": out.display().to_string(),
        "job": bid.takeoff.facts.name,
        "shop": workshop.settings.name,
        "currency": ledger.units.currency().symbol,
        "total": bid.total(),
        "rooms": rooms.row_names.iter().zip(bid.room_prices())
            .map(|(name, price)| json!({"name": name, "price": price}))
            .collect::<Vec<_>>(),
        "fees": added(&bid.fees),
        "allowances": added(&bid.allowances),
        "phases": bid.phases.as_ref().map_or_else(Vec::new, |phases| {
            let table = ledger.table(phases.table);
            let names = table.row_names.iter().zip(table.values(phases.price));
            names.map(|(name, price)| json!({"name": name, "price": price})).collect()
        }),
        "payments": bid.payments.as_ref().map_or_else(Vec::new, |payments| {
            let table = ledger.table(payments.table);
            let steps = table.row_names.iter().enumerate();
            steps.map(|(row, step)| json!({
                "step": step,
                "part": table.value(payments.part, row),
                "amount": table.value(payments.amount, row),
            })).collect()
        }),
        "lines": bid.lines.iter().enumerate().map(|(row, line)| {
            let in_unit = |column| line.unit.from_base(lines.value(column, row));
            let money = |column| lines.value(column, row);
            json!({
                "kind": line.kind.name(),
                "item": line.label,
                "product_or_rate": line.detail,
                "supplier": bid.supplier(row),
                "phase": line.phase.as_ref().map(|phase| &phase.name),
                "unit": line.unit.label,
                "needed": in_unit(columns.needed),
                "quantity": if line.product.is_some() || line.rate.is_some() {
                    Value::from(in_unit(columns.quantity))
                } else {
                    Value::Null
                },
                "cost": money(columns.cost),
                "tax": money(columns.tax),
                "contingency": money(columns.contingency),
                "overhead": columns.overhead.map_or(0.0, money),
                "profit": money(columns.profit),
                "price": money(columns.price),
            })
        }).collect::<Vec<_>>(),
        "cautions": cautions(bid).into_iter()
            .map(|(text, rows)| json!({"text": text, "rooms": rows}))
            .collect::<Vec<_>>(),
        "remarks": engine::diag::render::to_json(&bid.takeoff.remarks),
    })
}
