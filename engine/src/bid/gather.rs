//! Gathering items of all rooms into the lines of the estimate.

use super::bind::ItemColumn;
use super::evaluate::Evaluated;
use crate::diag::{Diagnostic, Findings, Outcome, quoted};
use crate::script::ItemKind;
use crate::takeoff::Takeoff;
use crate::trail::{Ledger, SingleId, TableId};

/// Item columns that go to the same line, or to the lines of the same kind of product.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    pub(super) kind: ItemKind,
    pub(super) label: String,
    /// For material: the kind of product; it gets a line for each product.
    pub(super) products: Option<TableId>,
    /// For labour, equipment and subcontract.
    pub(super) rate: Option<SingleId>,
    /// Whether it is cut into pieces, and ordered by a plan of cuts.
    pub(super) cut: bool,
    /// Indices of the item columns.
    pub(super) items: Vec<usize>,
}

/// Gathers material by kind of product and everything else by label and rate, in the order of
/// [`ItemKind::ALL`] and, within it, of first appearance.
pub(super) fn gather(
    evaluated: &Evaluated,
    takeoff: &Takeoff,
    ledger: &Ledger,
) -> Outcome<Vec<Group>> {
    refuse_negative(&evaluated.items, takeoff, ledger)?;
    let mut groups: Vec<Group> = Vec::new();
    for (index, item) in evaluated.items.iter().enumerate() {
        let products = item.product.map(|(table, _)| table);
        let same = |group: &&mut Group| match products {
            Some(_) => (group.products, group.cut) == (products, item.cut.is_some()),
            None => {
                (group.kind, &group.label, group.rate, group.products)
                    == (item.kind, &item.label, item.rate, None)
            }
        };
        match groups.iter_mut().find(same) {
            Some(group) => {
                if group.products.is_some()
                    && !group.label.split(", ").any(|label| label == item.label)
                {
                    group.label = format!("{}, {}", group.label, item.label);
                }
                group.items.push(index);
            }
            None => groups.push(Group {
                kind: item.kind,
                label: item.label.clone(),
                products,
                rate: item.rate,
                cut: item.cut.is_some(),
                items: vec![index],
            }),
        }
    }
    groups.sort_by_key(|group| group.kind);
    Ok(groups)
}

/// Less than no bags, or hours, is a mistake in a recipe or a takeoff. A charge may be a credit.
fn refuse_negative(items: &[ItemColumn], takeoff: &Takeoff, ledger: &Ledger) -> Outcome<()> {
    let mut findings = Findings::new();
    for item in items.iter().filter(|item| item.kind != ItemKind::Charge) {
        let table = ledger.table(item.table);
        let values = table.values(item.quantity);
        for (row, value) in values.iter().enumerate().filter(|(_, value)| **value < 0.0) {
            let unit = &table.column(item.quantity).unit;
            let place = table.row_places.get(row).cloned();
            findings.push(
                Diagnostic::error(format!(
                    "{} of {} comes out negative: {}",
                    item.label,
                    quoted(&table.row_names[row]),
                    crate::measure::write(*value, unit, &ledger.units)
                ))
                .at(place.unwrap_or(ledger.table(takeoff.rooms.table).row_places[0].clone()))
                .hint(format!(
                    "See how it came about: pourwright explain TAKEOFF {}.",
                    quoted(&table.row_names[row])
                )),
            );
        }
    }
    findings.stop_on_errors()
}
