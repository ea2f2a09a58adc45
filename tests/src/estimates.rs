//! Whether a workbook shows what pricing gives: line by line, and what the bid states.

use std::collections::BTreeMap;

use engine::bid::{Bid, phase_words};

use crate::oracle::{HEADINGS, Recalculated, close};

/// Item, product or rate, and phase of a line.
type Name = [String; 3];

/// The costs of the lines that a workbook shows.
fn shown_costs(sheet: &Recalculated) -> BTreeMap<Name, f64> {
    let estimate = sheet.sheet("Estimate");
    let column = |heading| sheet.column_headed("Estimate", HEADINGS, heading);
    let names = [column("Item"), column("Product or rate")];
    let phase = (sheet.text((estimate, HEADINGS, 5)) == "Phase").then_some(5);
    let (kind, cost) = (column("Kind"), column("Cost"));
    let mut costs = BTreeMap::new();
    for row in HEADINGS + 1.. {
        let text = |column| sheet.text((estimate, row, column));
        if text(kind).is_empty() {
            return costs;
        }
        let name = [
            text(names[0]),
            text(names[1]),
            phase.map_or_else(String::new, text),
        ];
        costs.insert(name, sheet.number((estimate, row, cost)));
    }
    costs
}

/// The lines of a workbook cost what pricing anew gives; a line that is no longer there, such as
/// of a phase that no room is in, costs nothing.
///
/// # Panics
/// Where they do not.
pub fn assert_same_lines(sheet: &Recalculated, bid: &Bid, told: &str) {
    let mut shown = shown_costs(sheet);
    let lines = bid.ledger.table(bid.line_table);
    for (row, line) in bid.lines.iter().enumerate() {
        let phase = line.phase.as_ref().map(|phase| phase.name.clone());
        let name = [
            line.label.clone(),
            line.detail.clone(),
            phase.unwrap_or_default(),
        ];
        let cost = shown.remove(&name);
        let cost = cost.unwrap_or_else(|| panic!("{told}: the workbook has no line {name:?}"));
        let expected = lines.value(bid.line_columns.cost, row);
        assert!(
            close(cost, expected),
            "{told}: {} costs {cost}, expected {expected}",
            line.name()
        );
    }
    for (name, cost) in shown {
        assert!(
            close(cost, 0.0),
            "{told}: {name:?} costs {cost}, but is no more"
        );
    }
}

/// The Bid sheet shows fees, allowances, phases and payments as pricing anew gives them.
///
/// # Panics
/// Where it does not.
pub fn assert_same_terms(sheet: &Recalculated, bid: &Bid, told: &str) {
    let ledger = &bid.ledger;
    let mut expected: Vec<(String, f64)> = Vec::new();
    for added in [&bid.fees, &bid.allowances].into_iter().flatten() {
        expected.extend(
            added
                .lines(ledger)
                .map(|(name, price)| (name.to_owned(), price)),
        );
    }
    if let Some(phases) = &bid.phases {
        let table = ledger.table(phases.table);
        let names = table.row_names.iter().map(|name| phase_words(name));
        expected.extend(names.zip(table.values(phases.price).iter().copied()));
    }
    if let Some(payments) = &bid.payments {
        let table = ledger.table(payments.table);
        let amounts = table.values(payments.amount).iter().copied();
        expected.extend(table.row_names.iter().cloned().zip(amounts));
    }
    for (name, expected) in expected {
        let capital: String = name[..1].to_uppercase() + &name[1..];
        let row = sheet.row_with("Bid", 1, &capital);
        let shown = sheet.number((sheet.sheet("Bid"), row, 4));
        assert!(
            close(shown, expected),
            "{told}: the bid shows {shown} for {name}, expected {expected}"
        );
    }
}
