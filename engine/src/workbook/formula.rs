//! From nodes to formula text. Pure: nothing is written here.
//!
//! Every piece of text carries the unit it stands in. Where two units meet, or a
//! result goes to a cell of another unit, the text gets the factor between them:
//! `=F7*G7/12`.

use super::layout::{Direction, Layout, quoted_sheet};
use super::piece::{Piece, Rank, cell_scale, cell_unit, fill_in, is_one_call};
use super::template::{ABOVE, PARENT, ROW, first_child, last_child};
use crate::diag::column_letters;
use crate::quantity::Unit;
use crate::trail::{
    Accepts, Form, Function, Gives, Kind, Ledger, Node, NodeId, Op, Output, Ref, Shape, TableId,
};

/// Prints the formulas of one shape.
pub(super) struct Printer<'a> {
    pub(super) ledger: &'a Ledger,
    pub(super) layout: &'a Layout,
    pub(super) table: TableId,
    pub(super) shape: &'a Shape,
}

impl Printer<'_> {
    /// The formula of an output, without its equals sign; none for an answer that is fixed.
    pub(super) fn output(&self, output: &Output) -> Option<String> {
        let node = self.shape.node(output.node);
        let first = self.shape.column_of(output.node);
        let piece = if first == Some(output.column) {
            self.operation(node)?
        } else {
            self.node(output.node)?
        };
        let Kind::Number(_) = node.kind else {
            return Some(piece.text);
        };
        let column = self.ledger.table(self.table).column(output.column);
        let (size, zero) = cell_scale(cell_unit(column, node));
        if zero != 0.0 {
            return Some(format!("({}-{zero})/{size}", piece.in_unit(1.0).text));
        }
        Some(piece.in_unit(size).text)
    }

    /// The test of a fixed answer's argument: 1 where it is no longer what it was.
    pub(super) fn frozen(&self, frozen: &crate::trail::Frozen) -> Option<String> {
        let now = self.node(frozen.argument)?;
        let as_priced = self.own_cell(frozen.as_priced)?;
        let node = self.shape.node(frozen.argument);
        if !matches!(node.kind, Kind::Number(_)) {
            return Some(format!("IF({}={as_priced},0,1)", now.text));
        }
        let column = self.ledger.table(self.table).column(frozen.as_priced);
        let (size, _) = cell_scale(cell_unit(column, node));
        let now = now.in_unit(size);
        Some(format!("IF(ROUND({}-{as_priced},6)=0,0,1)", now.text))
    }

    /// An argument of a function. A field that may be blank is read in the price book itself: the
    /// cell that repeats it is never blank.
    fn argument(&self, function: &Function, index: usize, id: NodeId) -> Option<Piece> {
        let node = self.shape.node(id);
        let sees_blanks = function.accepts(index).is_some_and(Accepts::takes_blanks);
        if sees_blanks && matches!(node.op, Op::Pick { .. }) {
            return self.operation(node);
        }
        self.node(id)
    }

    /// A node: the cell that holds it, or its operation.
    pub(super) fn node(&self, id: NodeId) -> Option<Piece> {
        let node = self.shape.node(id);
        // A value that is only read is read where it stands: a cell that repeats it is never
        // blank, and a blank must be seen.
        let is_read = matches!(
            node.op,
            Op::Read(Ref::Column(_) | Ref::Parent(_) | Ref::Single(_))
        );
        match self.shape.column_of(id).filter(|_| !is_read) {
            Some(column) => {
                let text = self.own_cell(column)?;
                let unit = cell_unit(self.ledger.table(self.table).column(column), node);
                Some(self.reading(text, node.kind, unit))
            }
            None => self.operation(node),
        }
    }

    /// A cell that is read, brought to a unit whose zero is zero.
    pub(super) fn reading(&self, text: String, kind: Kind, unit: &Unit) -> Piece {
        if !matches!(kind, Kind::Number(_)) {
            return Piece::atom(text, 1.0);
        }
        let (size, zero) = cell_scale(unit);
        if zero == 0.0 {
            return Piece::atom(text, size);
        }
        Piece {
            text: format!("{text}*{size}+{zero}"),
            rank: Rank::Sum,
            size: 1.0,
        }
    }

    fn operation(&self, node: &Node) -> Option<Piece> {
        Some(match &node.op {
            Op::Constant(value) if node.kind == Kind::Condition => {
                Piece::atom(if *value == 0.0 { "FALSE" } else { "TRUE" }, 1.0)
            }
            Op::Constant(value) => Piece::atom(format!("{value}"), cell_scale(&node.unit).0),
            Op::Text(text) => {
                let text = self.ledger.texts.get(*text).replace('"', "\"\"");
                Piece::atom(format!("\"{text}\""), 1.0)
            }
            Op::Read(reference) => self.reading(self.reference(*reference)?, node.kind, &node.unit),
            Op::Negate(a) => {
                let a = self.node(*a)?;
                Piece {
                    text: format!("-{}", a.at_least(Rank::Sign)),
                    rank: Rank::Sign,
                    size: a.size,
                }
            }
            Op::Add(a, b) => self.sum(*a, *b, '+', Rank::Sum)?,
            Op::Subtract(a, b) => self.sum(*a, *b, '-', Rank::Product)?,
            Op::Multiply(a, b) => {
                let (a, b) = (self.node(*a)?, self.node(*b)?);
                Piece {
                    text: format!(
                        "{}*{}",
                        a.at_least(Rank::Product),
                        b.at_least(Rank::Product)
                    ),
                    rank: Rank::Product,
                    size: a.size * b.size,
                }
            }
            Op::Divide(a, b) => {
                let (a, b) = (self.node(*a)?, self.node(*b)?);
                Piece {
                    text: format!("{}/{}", a.at_least(Rank::Product), b.at_least(Rank::Sign)),
                    rank: Rank::Product,
                    size: a.size / b.size,
                }
            }
            Op::Find(..)
            | Op::Pick { .. }
            | Op::Step(..)
            | Op::NextStep(..)
            | Op::Largest { .. }
            | Op::NameOf(..) => self.look_up(node)?,
            Op::Call(function, arguments) => self.call(function, arguments)?,
        })
    }

    /// A sum or difference, in the unit of the side that is not nothing.
    fn sum(&self, a: NodeId, b: NodeId, sign: char, right: Rank) -> Option<Piece> {
        let (a, b) = (self.node(a)?, self.node(b)?);
        let size = if a.is_zero() { b.size } else { a.size };
        let (a, b) = (a.in_unit(size), b.in_unit(size));
        Some(Piece {
            text: format!("{}{sign}{}", a.at_least(Rank::Sum), b.at_least(right)),
            rank: Rank::Sum,
            size,
        })
    }

    fn call(&self, function: &Function, arguments: &[NodeId]) -> Option<Piece> {
        let Form::Formula(form) = function.form else {
            return None;
        };
        let mut pieces: Vec<Piece> = arguments
            .iter()
            .enumerate()
            .map(|(index, id)| self.argument(function, index, *id))
            .collect::<Option<_>>()?;
        let named = |label: &str| {
            let unit = crate::trail::read_unit_or_plain(label, &self.ledger.units).ok()?;
            Some(cell_scale(&unit).0)
        };
        for index in 0..pieces.len() {
            let size = match function.accepts(index)? {
                Accepts::In(label) => named(label)?,
                // Counts are rounded: what stands for one must be one, whatever units met before.
                Accepts::Count => 1.0,
                Accepts::Like(first) => self.common_size(&pieces, function, first),
                // The first of several alike takes the unit of those that are not nothing.
                Accepts::Number | Accepts::Any | Accepts::PerhapsBlank
                    if pieces[index].is_zero() =>
                {
                    self.common_size(&pieces, function, index)
                }
                _ => pieces[index].size,
            };
            let piece = pieces[index].clone();
            pieces[index] = piece.in_unit(size);
        }
        let size = match function.gives {
            Gives::In(label) => named(label)?,
            Gives::Like(index) => pieces[index].size,
            Gives::Per(over, under) => pieces[over].size / pieces[under].size,
            Gives::Condition => 1.0,
        };
        let text = fill_in(form, &pieces);
        let rank = if is_one_call(&text) {
            Rank::Atom
        } else {
            Rank::Comparison
        };
        Some(Piece { text, rank, size })
    }

    /// The unit of a parameter and all that are like it: of the first that is not nothing.
    fn common_size(&self, pieces: &[Piece], function: &Function, first: usize) -> f64 {
        let alike =
            |index: usize| index == first || function.accepts(index) == Some(Accepts::Like(first));
        pieces
            .iter()
            .enumerate()
            .find(|(index, piece)| alike(*index) && !piece.is_zero())
            .map_or(pieces[first].size, |(_, piece)| piece.size)
    }

    /// The cell of a column in the formula's own row.
    fn own_cell(&self, column: crate::trail::ColumnId) -> Option<String> {
        let place = self.layout.table(self.table)?;
        let at = *place.columns.get(&column)?;
        Some(match place.direction {
            Direction::Across => format!("{}{ROW}", column_letters(at)),
            Direction::Down { column } => {
                format!("${}${}", column_letters(u32::from(column)), at + 1)
            }
        })
    }

    /// The range of a column over the formula's own rows in a table whose rows lie together.
    fn own_rows(&self, table: TableId, column: crate::trail::ColumnId) -> Option<String> {
        let place = self.layout.table(table)?;
        let letters = column_letters(*place.columns.get(&column)?);
        let (first, last) = (first_child(table), last_child(table));
        Some(format!(
            "{}!${letters}{first}:${letters}{last}",
            quoted_sheet(&place.sheet)
        ))
    }

    fn reference(&self, reference: Ref) -> Option<String> {
        let layout = self.layout;
        Some(match reference {
            Ref::Column(column) => self.own_cell(column)?,
            // Above the first row stands the heading, which counts as nothing.
            Ref::Above(column) => {
                let own = self.own_cell(column)?.replace(ROW, &ABOVE.to_string());
                format!("N({own})")
            }
            Ref::Parent(column) => {
                let (parent, _) = self.ledger.table(self.table).parent().map(|t| (t, ()))?;
                let place = layout.table(parent)?;
                let at = *place.columns.get(&column)?;
                format!(
                    "{}!${}{PARENT}",
                    quoted_sheet(&place.sheet),
                    column_letters(at)
                )
            }
            Ref::Children(table, column) if self.ledger.table(table).grouped => {
                format!("SUM({})", self.own_rows(table, column)?)
            }
            Ref::Most(table, column) => format!("MAX({})", self.own_rows(table, column)?),
            Ref::Least(table, column) => format!("MIN({})", self.own_rows(table, column)?),
            Ref::Children(table, column) => match layout.whole(table, column) {
                Some(values) => {
                    let place = layout.table(table)?;
                    let owner = u32::from(place.owner);
                    let last = place.first + place.rows - 1;
                    let owners =
                        super::layout::range(&place.sheet, (place.first, owner), (last, owner));
                    format!("SUMIFS({values},{owners},$A{ROW})")
                }
                None => "0".to_owned(),
            },
            Ref::All(table, column) => match layout.whole(table, column) {
                Some(range) if range.contains(':') => format!("SUM({range})"),
                Some(cell) => cell,
                None => "0".to_owned(),
            },
            Ref::Where {
                table,
                column,
                among,
                same,
            } => {
                let (first, rows) = among.unwrap_or_else(|| {
                    let rows = layout.table(table).map_or(0, |place| place.rows);
                    (0, rows)
                });
                let range = |column| layout.range(table, column, first, rows);
                let Some(mut list) = range(column) else {
                    return Some("0".to_owned());
                };
                for (key, equals) in same.pairs() {
                    list = format!("{list},{},{}", range(key)?, self.own_cell(equals)?);
                }
                format!("SUMIFS({list})")
            }
            Ref::Cell(table, column, row) => layout.cell(table, column, row)?,
            Ref::Single(single) => layout.single(single).to_owned(),
        })
    }
}
