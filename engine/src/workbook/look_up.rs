//! Formulas that look something up: products, their fields, steps of a table.

use super::formula::Printer;
use super::piece::{Piece, Rank, cell_scale};
use crate::trail::{ColumnId, Kind, Node, NodeId, Op, TableId};

/// What a difference may come to and still be none: a value rounded to six decimals.
const NOTHING: &str = "0.0000005";

impl Printer<'_> {
    /// The formula of a look-up.
    pub(super) fn look_up(&self, node: &Node) -> Option<Piece> {
        let text = match &node.op {
            Op::Find(table, key) => {
                let key = self.node(*key)?;
                let names = self.layout.rows_range(*table);
                return Some(Piece::atom(format!("MATCH({},{names},0)", key.text), 1.0));
            }
            Op::Largest {
                table,
                field,
                most,
                same,
            } => {
                let sizes = self.fitting_sizes(*table, *field, *most, same)?;
                // A sum of one product: only so do all spreadsheets reckon whole columns.
                let text = format!("SUMPRODUCT(MATCH(MAX({sizes}),{sizes},0))");
                return Some(Piece::atom(text, 1.0));
            }
            Op::NameOf(table, row) => {
                let (names, row) = (self.layout.rows_range(*table), self.node(*row)?);
                format!("INDEX({names},{})", row.text)
            }
            Op::Pick {
                table,
                column,
                first,
                rows,
                row,
            } => {
                let range = match self.layout.column_range(*table, *column) {
                    Some(name) => name.to_owned(),
                    None => self.layout.range(*table, *column, *first, *rows)?,
                };
                format!("INDEX({range},{})", self.node(*row)?.text)
            }
            Op::Step(table, at) => {
                let (from, value, at) = self.steps(*table, *at)?;
                format!("INDEX({value},MATCH(ROUND({},6),{from},1))", at.text)
            }
            Op::NextStep(table, at) => {
                let (from, value, at) = self.steps(*table, *at)?;
                let at = at.at_least(Rank::Product);
                format!("INDEX({value},SUMPRODUCT(1*({from}-{at}<-{NOTHING}))+1)")
            }
            _ => return None,
        };
        Some(self.reading(text, node.kind, &node.unit))
    }

    /// The ranges of a step table, and a value in the unit of its starts.
    fn steps(&self, table: TableId, at: NodeId) -> Option<(&str, &str, Piece)> {
        let from = &self.ledger.table(table).column(ColumnId::FIRST).unit;
        let at = self.node(at)?.in_unit(cell_scale(from).0);
        let range = |column| self.layout.column_range(table, column);
        Some((range(ColumnId::FIRST)?, range(ColumnId::SECOND)?, at))
    }

    /// The sizes of all products, 0 for those that do not fit.
    fn fitting_sizes(
        &self,
        table: TableId,
        field: ColumnId,
        most: NodeId,
        same: &[(ColumnId, NodeId)],
    ) -> Option<String> {
        let mut tests = Vec::new();
        for (column, value) in same {
            let (range, own) = (self.layout.column_range(table, *column)?, *value);
            tests.push(match self.ledger.table(table).column(*column).kind {
                Kind::Text => format!("({range}={})", self.node(own)?.text),
                _ => format!(
                    "(ABS({range}-{})<{NOTHING})",
                    self.in_column(table, *column, own)?
                ),
            });
        }
        let range = self.layout.column_range(table, field)?;
        let most = self.in_column(table, field, most)?;
        tests.push(format!("({range}-{most}<{NOTHING})"));
        tests.push(range.to_owned());
        Some(tests.join("*"))
    }

    /// A number in the unit of a column, to be subtracted from it.
    fn in_column(&self, table: TableId, column: ColumnId, value: NodeId) -> Option<String> {
        let (size, _) = cell_scale(&self.ledger.table(table).column(column).unit);
        Some(self.node(value)?.in_unit(size).at_least(Rank::Product))
    }
}
