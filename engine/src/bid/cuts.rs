//! Pieces of the whole job laid out over whole lengths of the product they are cut from.

use super::bind::{CutColumns, ItemColumn};
use super::lines::Line;
use crate::cutting::{self, Plan};
use crate::diag::{Diagnostic, Findings, Outcome};
use crate::trail::{Ledger, TableId};

/// A piece of the job.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPiece {
    /// What it is for.
    pub label: String,
    /// Its table and row.
    pub of: (TableId, usize),
    /// Which of the row's pieces, from one, and how many the row has.
    pub number: (u32, u32),
    /// Its length in inches.
    pub length: f64,
}

/// The plan of cuts of one line.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// The line.
    pub line: usize,
    /// Length of the stock, in inches.
    pub stock: f64,
    /// The pieces, in the order of tables and rows.
    pub pieces: Vec<CutPiece>,
    /// Which piece comes out of which length.
    pub plan: Plan,
}

/// A cut as the crew makes it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRow {
    /// Which length of the product, from one.
    pub bar: usize,
    /// Where on it the piece starts, in inches.
    pub start: f64,
    /// Length of the piece, in inches.
    pub length: f64,
    /// The room.
    pub room: String,
    /// What it is for: `Perimeter strip, wall 3`.
    pub what: String,
    /// Which of how many: `1 of 2`; and which part of a joined piece.
    pub number: String,
}

impl CutList {
    /// The cuts, length by length.
    pub fn rows(&self, ledger: &Ledger) -> Vec<CutRow> {
        let mut rows = Vec::new();
        for (bar, cut) in self.plan.bars.iter().enumerate() {
            for part in &cut.parts {
                let piece = &self.pieces[part.index];
                let (room, what) = piece.place(ledger);
                let of_many = match piece.number {
                    (_, 1) => None,
                    (number, count) => Some(format!("{number} of {count}")),
                };
                let joined =
                    (part.of > 1).then(|| format!("part {} of {}, joined", part.number, part.of));
                let number: Vec<String> = of_many.into_iter().chain(joined).collect();
                let number = number.join("; ");
                rows.push(CutRow {
                    bar: bar + 1,
                    start: part.start,
                    length: part.length,
                    room,
                    what,
                    number,
                });
            }
        }
        rows
    }

    /// The cuts in the order in which rooms and their walls stand in the takeoff.
    pub fn rows_by_room(&self, ledger: &Ledger) -> Vec<CutRow> {
        let parts = self.plan.bars.iter().flat_map(|bar| &bar.parts);
        let pieces: Vec<usize> = parts.map(|part| part.index).collect();
        let mut rows: Vec<(usize, CutRow)> = pieces.into_iter().zip(self.rows(ledger)).collect();
        rows.sort_by_key(|(piece, _)| (self.pieces[*piece].room(ledger), *piece));
        rows.into_iter().map(|(_, row)| row).collect()
    }
}

impl CutPiece {
    /// The number of its room.
    fn room(&self, ledger: &Ledger) -> usize {
        let (table, row) = self.of;
        ledger
            .table(table)
            .parent_row(row)
            .map_or(row, |(_, room)| room)
    }

    /// Its room, and what it is for there.
    fn place(&self, ledger: &Ledger) -> (String, String) {
        let (table, row) = self.of;
        let table = ledger.table(table);
        let Some((rooms, room)) = table.parent_row(row) else {
            return (table.row_names[row].clone(), self.label.clone());
        };
        let called = table
            .filled("label", row)
            .map(|label| ledger.texts.of_value(label));
        let called = called.unwrap_or(&table.row_names[row]);
        let room = ledger.table(rooms).row_names[room].clone();
        (room, format!("{}, {called}", self.label))
    }
}

/// A plan for each line that is cut, of the rows that belong to it.
pub(super) fn cut_lists(
    lines: &[Line],
    is_cut: impl Fn(usize) -> bool,
    belongs: impl Fn(usize, TableId, usize) -> bool,
    items: &[ItemColumn],
    ledger: &Ledger,
) -> Outcome<Vec<CutList>> {
    let mut findings = Findings::new();
    let mut lists = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let Some((_, product)) = line.product.filter(|_| is_cut(index)) else {
            continue;
        };
        let mut stock = None;
        let mut pieces = Vec::new();
        for item in line.items.iter().map(|item| &items[*item]) {
            let of_line =
                rows_of(item, product, ledger).filter(|(row, _)| belongs(index, item.table, *row));
            for (row, cut) in of_line {
                let table = ledger.table(item.table);
                let count = table.value(cut.pieces, row) as u32;
                stock = Some(table.value(cut.stock, row));
                pieces.extend((1..=count).map(|number| CutPiece {
                    label: item.label.clone(),
                    of: (item.table, row),
                    number: (number, count),
                    length: table.value(cut.length, row),
                }));
            }
        }
        pieces.retain(|piece| piece.length > 0.0);
        let numbered = pieces.iter().enumerate();
        let wanted: Vec<cutting::Piece> = numbered
            .map(|(index, piece)| cutting::Piece {
                index,
                length: piece.length,
            })
            .collect();
        // Strip is cut with a knife, which takes nothing away.
        let Some(stock) = stock.filter(|_| !wanted.is_empty()) else {
            continue;
        };
        match cutting::cut(stock, 0.0, &wanted) {
            Ok(plan) => lists.push(CutList {
                line: index,
                stock,
                pieces,
                plan,
            }),
            Err(why) => findings.push(Diagnostic::error(format!(
                "the pieces of {} cannot be laid out: {why}",
                line.name()
            ))),
        }
    }
    findings.stop_on_errors()?;
    Ok(lists)
}

/// The rows that want pieces of a product.
fn rows_of<'a>(
    item: &'a ItemColumn,
    product: usize,
    ledger: &'a Ledger,
) -> impl Iterator<Item = (usize, CutColumns)> {
    let table = ledger.table(item.table);
    let chosen = move |row: usize| {
        let (_, column) = item.product?;
        let asks = !table.value(item.quantity, row).is_nan();
        let same = table.value(column, row) == product as f64 + 1.0;
        Some((row, item.cut?)).filter(|_| asks && same)
    };
    (0..table.rows()).filter_map(chosen)
}
