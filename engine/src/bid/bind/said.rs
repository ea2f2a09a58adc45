//! What a script said: its cells, items, cautions and forks.

use std::sync::Arc;

use super::declared::shown_in;
use super::{Binder, CautionColumn, CutColumns, ItemColumn, occurrences, place_key};
use crate::diag::{Diagnostic, Outcome};
use crate::quantity::Unit;
use crate::script::{CautionSaid, CellSaid, ItemSaid};
use crate::trail::{ColumnId, Fork, Kind, Op, Output, Ref, Role, SingleId, builtin};

impl Binder<'_> {
    pub(super) fn bind_cell(&mut self, cell: &CellSaid) -> Outcome<()> {
        let name = format!("{}.{}", self.manifest.name, cell.name);
        let spec = self
            .manifest
            .cells
            .iter()
            .find(|spec| spec.name == cell.name);
        let title = spec.map_or_else(|| cell.name.replace('_', " "), |spec| spec.title.clone());
        let column = match self.shape.column_of(cell.node) {
            // A product is shown by the name chosen; its row is looked up already.
            Some(column) if matches!(self.shape.node(cell.node).kind, Kind::Product(_)) => column,
            _ => {
                let unit = spec.and_then(|spec| shown_in(spec, self.ledger));
                self.cell_column(&name, title, cell, unit)?
            }
        };
        self.columns
            .cells
            .add(&self.manifest.name, self.table, &cell.name, column);
        Ok(())
    }

    fn cell_column(
        &mut self,
        name: &str,
        title: String,
        cell: &CellSaid,
        unit: Option<Unit>,
    ) -> Outcome<ColumnId> {
        let mut node = self.shape.node(cell.node).clone();
        if let Some(unit) = unit {
            if node.kind != Kind::Number(unit.dimension) {
                return Err(Diagnostic::error(format!(
                    "cell {} of recipe {} is not {} as its manifest says",
                    cell.name,
                    self.manifest.name,
                    self.ledger.units.describe(unit.dimension)
                ))
                .at(self.text_place(cell.place))
                .into());
            }
            node.unit = Arc::new(unit);
        }
        let column = self.find_or_add(name, title, &cell.comment, &node, Role::Cell);
        self.check_kind(column, &node, &cell.name, cell.place)?;
        self.shape.outputs.push(Output {
            column,
            node: cell.node,
        });
        Ok(column)
    }

    pub(super) fn bind_items(&mut self, items: &[ItemSaid]) -> Outcome<()> {
        for (occurrence, item) in occurrences(items, |item| item.place) {
            let product = item
                .product
                .and_then(|node| match self.shape.node(node).kind {
                    Kind::Product(table) => Some((table, self.shape.column_of(node)?)),
                    _ => None,
                });
            let rate = item.rate.and_then(|node| match self.shape.node(node).op {
                Op::Read(Ref::Single(single)) => Some(single),
                _ => None,
            });
            let here = |known: &&ItemColumn| known.is_said_by(item, occurrence, self.table);
            let same = |known: &&ItemColumn| (known.product, known.rate) == (product, rate);
            let known = self.columns.items.iter().filter(here).find(same);
            let known = known.map(|known| known.quantity);
            let is_first = !self.columns.items.iter().any(|known| here(&known));
            let key = match (known, product) {
                (Some(column), _) => self.ledger.table(self.table).column(column).name.clone(),
                (None, found) => {
                    let mut key = format!(
                        "{}.item.{}.{}",
                        self.manifest.name,
                        place_key(item.place, occurrence),
                        item.label
                    );
                    // A product found in another way stands in another column; so do its packages.
                    if let (Some((_, found)), false) = (found, is_first) {
                        let found = &self.ledger.table(self.table).column(found).name;
                        key.push_str(&format!(" by {found}"));
                    }
                    key
                }
            };
            let column = self.item_column(&key, item, rate)?;
            if known.is_none() {
                self.columns.items.push(ItemColumn {
                    recipe: self.manifest.name.clone(),
                    kind: item.kind,
                    label: item.label.clone(),
                    table: self.table,
                    quantity: column,
                    product,
                    rate,
                    cut: None,
                    place: item.place,
                    occurrence,
                });
            }
        }
        Ok(())
    }

    /// Tells the items of pieces which columns keep their measures.
    pub(super) fn bind_cuts(&mut self, items: &[ItemSaid]) {
        for (occurrence, item) in occurrences(items, |item| item.place) {
            let Some(Op::Call(_, rests_on)) = item.cut.map(|cut| &self.shape.node(cut).op) else {
                continue;
            };
            let kept = |at: usize| {
                let mut frozen = self.shape.frozen.iter();
                let of = frozen.find(|frozen| frozen.argument == rests_on[at])?;
                Some(of.as_priced)
            };
            let (Some(length), Some(pieces), Some(stock)) = (kept(1), kept(2), kept(3)) else {
                continue;
            };
            let columns = CutColumns {
                length,
                pieces,
                stock,
            };
            for known in &mut self.columns.items {
                if known.is_said_by(item, occurrence, self.table) {
                    known.cut = Some(columns);
                }
            }
        }
    }

    /// The column of an item's quantity, in the unit that its rate counts by.
    fn item_column(
        &mut self,
        key: &str,
        item: &ItemSaid,
        rate: Option<SingleId>,
    ) -> Outcome<ColumnId> {
        let mut node = self.shape.node(item.quantity).clone();
        if let Some(unit) = rate.and_then(|rate| self.ledger.counted_unit(rate)) {
            node.unit = Arc::new(unit);
        }
        let column = self.find_or_add(key, item.label.clone(), "", &node, Role::Item);
        self.check_kind(column, &node, &item.label, item.place)?;
        self.shape.outputs.push(Output {
            column,
            node: item.quantity,
        });
        Ok(column)
    }

    pub(super) fn bind_cautions(&mut self, cautions: &[CautionSaid]) -> Outcome<()> {
        for (occurrence, caution) in occurrences(cautions, |caution| caution.place) {
            let key = format!(
                "{}.caution.{}",
                self.manifest.name,
                place_key(caution.place, occurrence)
            );
            let as_number = self.call(builtin::as_number(), caution.when, caution.place);
            let column = self.column(&key, caution.text.clone(), "", as_number, Role::Caution)?;
            let known = self
                .columns
                .cautions
                .iter()
                .any(|c| c.table == self.table && c.column == column);
            if !known {
                self.columns.cautions.push(CautionColumn {
                    recipe: self.manifest.name.clone(),
                    text: caution.text.clone(),
                    table: self.table,
                    column,
                });
            }
        }
        Ok(())
    }

    pub(super) fn bind_forks(&mut self, forks: &[Fork]) -> Outcome<()> {
        for (occurrence, fork) in occurrences(forks, |fork| fork.place) {
            let function = if fork.expected {
                builtin::changed_if_false()
            } else {
                builtin::changed_if_true()
            };
            let test = self.call(function, fork.test, fork.place);
            let key = format!(
                "{}.fork.{}",
                self.manifest.name,
                place_key(fork.place, occurrence)
            );
            let title = format!("Fork: {}", self.source_line(fork.place));
            self.column(
                &key,
                title,
                "1 where this would now come out the other way",
                test,
                Role::Fork,
            )?;
        }
        Ok(())
    }
}
