//! The order: what is bought of each supplier, and of each phase by itself.

use super::Bid;

/// What is ordered of one supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderOfSupplier {
    /// Who it is; empty for products that name none.
    pub supplier: String,
    /// The phases of the job; one without a name where the job has none.
    pub phases: Vec<OrderOfPhase>,
}

/// What is ordered of one supplier for one phase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderOfPhase {
    /// The phase, where the job has phases.
    pub name: Option<String>,
    /// Lines of the estimate.
    pub lines: Vec<usize>,
}

impl Bid {
    /// The lines with a product by supplier, in the order in which the estimate first names
    /// them, those without one last; and by phase.
    pub fn order(&self) -> Vec<OrderOfSupplier> {
        let mut order: Vec<OrderOfSupplier> = Vec::new();
        for (index, line) in self.lines.iter().enumerate() {
            let Some(supplier) = self.supplier(index) else {
                continue;
            };
            let known = order.iter().position(|known| known.supplier == supplier);
            let at = known.unwrap_or_else(|| {
                order.push(OrderOfSupplier {
                    supplier: supplier.to_owned(),
                    phases: Vec::new(),
                });
                order.len() - 1
            });
            let name = line.phase.as_ref().map(|phase| phase.name.clone());
            let phases = &mut order[at].phases;
            match phases.iter_mut().find(|known| known.name == name) {
                Some(phase) => phase.lines.push(index),
                None => phases.push(OrderOfPhase {
                    name,
                    lines: vec![index],
                }),
            }
        }
        order.sort_by_key(|of| of.supplier.is_empty());
        order
    }

    /// The supplier of a line's product, empty where none is named; nothing for other lines.
    pub fn supplier(&self, line: usize) -> Option<&str> {
        let (table, row) = self.lines[line].product?;
        let table = self.ledger.table(table);
        let named = table.filled("supplier", row);
        Some(named.map_or("", |text| self.ledger.texts.of_value(text)))
    }
}
