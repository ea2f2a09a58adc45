//! The columns of items and cautions, and where each cell of a recipe stands.

use crate::script::{ItemKind, ItemSaid};
use crate::trail::{ColumnId, Ledger, ScriptPlace, SingleId, TableId};

/// An item's quantity column.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemColumn {
    /// Which recipe said it.
    pub recipe: String,
    /// What kind of line it goes to.
    pub kind: ItemKind,
    /// What it is called.
    pub label: String,
    /// The table it stands in.
    pub table: TableId,
    /// Its quantity.
    pub quantity: ColumnId,
    /// For material: the kind of product, and the column with the product's row.
    pub product: Option<(TableId, ColumnId)>,
    /// For labour, equipment and subcontract: the rate.
    pub rate: Option<SingleId>,
    /// For pieces cut from a product: what they are.
    pub cut: Option<CutColumns>,
    pub(super) place: Option<ScriptPlace>,
    pub(super) occurrence: usize,
}

impl ItemColumn {
    /// Whether it keeps what this call in a script said, run over the rows of this table.
    pub(super) fn is_said_by(&self, item: &ItemSaid, occurrence: usize, table: TableId) -> bool {
        self.table == table
            && (self.place, self.occurrence) == (item.place, occurrence)
            && self.label == item.label
    }
}

/// The columns of pieces that are cut, as they were when priced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutColumns {
    /// Length of one piece.
    pub length: ColumnId,
    /// How many pieces.
    pub pieces: ColumnId,
    /// Length of the stock that they are cut from.
    pub stock: ColumnId,
}

/// A caution's column.
#[derive(Clone, Debug, PartialEq)]
pub struct CautionColumn {
    /// Which recipe said it.
    pub recipe: String,
    /// Its text.
    pub text: String,
    /// The table it stands in.
    pub table: TableId,
    /// 1 where it holds.
    pub column: ColumnId,
}

impl CautionColumn {
    /// The rows in which it holds, by the names of their rooms.
    pub fn holds_in<'l>(&self, ledger: &'l Ledger) -> Vec<&'l str> {
        let table = ledger.table(self.table);
        let values = table.values(self.column).iter().enumerate();
        let rows = values.filter(|(_, value)| **value > 0.0);
        rows.map(|(row, _)| match table.parent_row(row) {
            Some((parent, owner)) => ledger.table(parent).row_names[owner].as_str(),
            None => table.row_names[row].as_str(),
        })
        .collect()
    }
}

/// The cells of all recipes, by recipe, table and name.
#[derive(Clone, Debug, Default)]
pub(in crate::bid) struct CellIndex {
    list: Vec<(String, TableId, String, ColumnId)>,
}

impl CellIndex {
    /// A recipe's cells in a table, in order.
    pub(in crate::bid) fn of<'s>(
        &'s self,
        recipe: &'s str,
        table: TableId,
    ) -> impl Iterator<Item = (&'s str, ColumnId)> {
        self.list
            .iter()
            .filter(move |(known, in_table, ..)| known == recipe && *in_table == table)
            .map(|(_, _, name, column)| (name.as_str(), *column))
    }

    pub(super) fn add(&mut self, recipe: &str, table: TableId, name: &str, column: ColumnId) {
        let known = self.of(recipe, table).any(|(known, _)| known == name);
        if !known {
            self.list
                .push((recipe.to_owned(), table, name.to_owned(), column));
        }
    }
}

/// Where the columns of all recipes are gathered.
#[derive(Debug, Default)]
pub(in crate::bid) struct Columns {
    pub(in crate::bid) cells: CellIndex,
    pub(in crate::bid) items: Vec<ItemColumn>,
    pub(in crate::bid) cautions: Vec<CautionColumn>,
}
