//! Columns that the bid itself computes.

use crate::diag::{Diagnostic, Outcome};
use crate::quantity::Dimension;
use crate::trail::{Block, Column, ColumnId, Kind, Ledger, Role, Shape, TableId};

/// Fills the rows of a table from shapes and keeps them as a block.
pub(super) fn fill(
    ledger: &mut Ledger,
    table: TableId,
    shapes: Vec<Shape>,
    shape_of: impl Fn(usize) -> u16,
    name: &str,
) -> Outcome<()> {
    let mut block = Block::new(name);
    block.shapes = shapes;
    let mut values = Vec::new();
    for row in 0..ledger.table(table).rows() {
        let index = shape_of(row);
        if !block.shapes[usize::from(index)].fill(ledger, table, row, &mut values) {
            let row = &ledger.table(table).row_names[row];
            return Err(Diagnostic::error(format!(
                "the price of {row} cannot be computed: a number is too large"
            ))
            .into());
        }
        block.of_row.push(index);
    }
    ledger.table_mut(table).blocks.push(block);
    Ok(())
}

/// Adds a column of money, not yet filled.
pub(super) fn money_column(
    ledger: &mut Ledger,
    table: TableId,
    name: &str,
    title: &str,
    note: &str,
) -> ColumnId {
    let kind = Kind::Number(Dimension::MONEY);
    let unit = ledger.shown_in(kind);
    ledger.table_mut(table).add(Column {
        name: name.to_owned(),
        title: title.to_owned(),
        note: note.to_owned(),
        kind,
        unit,
        role: Role::Money,
        group: String::new(),
        input: None,
        values: Vec::new(),
    })
}
