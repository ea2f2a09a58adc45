//! Finding what a person wants explained: a room and a cell, an item, the total.

use crate::bid::Bid;
use crate::diag::{Diagnostic, near_name, quoted};
use crate::trail::{ColumnId, Role, Table, TableId, fold};

/// A cell that was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Its table.
    pub table: TableId,
    /// Its column.
    pub column: ColumnId,
    /// Its row.
    pub row: usize,
}

/// Finds what one word (an item, a job cell, `total`) or two (a room and a cell, item or `price`) mean.
///
/// # Errors
/// When nothing is called so; with a near name.
pub fn find(bid: &Bid, words: &[String]) -> Result<Vec<Wanted>, Diagnostic> {
    match words {
        [what] => find_alone(bid, what),
        [room, what] => find_in_room(bid, room, what).map(|wanted| vec![wanted]),
        _ => Err(Diagnostic::error(
            "name a room and a cell, or one item, or total",
        )),
    }
}

fn find_alone(bid: &Bid, what: &str) -> Result<Vec<Wanted>, Diagnostic> {
    if matches!(fold(what).as_str(), "total" | "bid") {
        return Ok(vec![Wanted {
            table: bid.summary,
            column: bid.summary_columns.bid,
            row: 0,
        }]);
    }
    let lines: Vec<Wanted> = bid
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| fold(&line.label) == fold(what) || fold(&line.detail) == fold(what))
        .filter(|(row, _)| {
            bid.ledger
                .table(bid.line_table)
                .value(bid.line_columns.cost, *row)
                != 0.0
        })
        .map(|(row, _)| Wanted {
            table: bid.line_table,
            column: bid.line_columns.price,
            row,
        })
        .collect();
    if !lines.is_empty() {
        return Ok(lines);
    }
    for table in [bid.job, bid.summary] {
        if let Some(column) = column_called(bid.ledger.table(table), 0, what) {
            return Ok(vec![Wanted {
                table,
                column,
                row: 0,
            }]);
        }
    }
    let names: Vec<&str> = bid
        .lines
        .iter()
        .flat_map(|line| [line.label.as_str(), line.detail.as_str()])
        .chain(
            bid.ledger
                .table(bid.job)
                .columns
                .iter()
                .map(|column| short(&column.name)),
        )
        .chain(["total"])
        .filter(|name| !name.is_empty())
        .collect();
    Err(unknown(what, "no item, job cell or total", &names))
}

fn find_in_room(bid: &Bid, room: &str, what: &str) -> Result<Wanted, Diagnostic> {
    let id = bid.takeoff.rooms.table;
    let table = bid.ledger.table(id);
    let Some(row) = table
        .row_names
        .iter()
        .position(|name| fold(name) == fold(room))
    else {
        let names: Vec<&str> = table.row_names.iter().map(String::as_str).collect();
        return Err(unknown(room, "no room", &names));
    };
    let column = match fold(what).as_str() {
        "price" | "total" => Some(bid.shares.price),
        _ => column_called(table, row, what),
    };
    match column {
        Some(column) => Ok(Wanted {
            table: id,
            column,
            row,
        }),
        None => {
            let names: Vec<&str> = table
                .columns
                .iter()
                .filter(|column| matches!(column.role, Role::Input | Role::Cell | Role::Item))
                .map(|column| {
                    if column.role == Role::Item {
                        column.title.as_str()
                    } else {
                        short(&column.name)
                    }
                })
                .chain(["price"])
                .collect();
            Err(unknown(what, "no cell or item of a room", &names))
        }
    }
}

/// `leveling.depth` without its recipe.
fn short(name: &str) -> &str {
    name.split_once('.').map_or(name, |(_, short)| short)
}

/// The column with a script name (with or without its recipe) or a title; of several the first
/// that is not blank in the row.
fn column_called(table: &Table, row: usize, what: &str) -> Option<ColumnId> {
    let wanted = fold(what);
    let is_called = |column: &crate::trail::Column| {
        [
            fold(&column.name) == wanted,
            column.role == Role::Cell && fold(short(&column.name)) == wanted,
            fold(&column.title) == wanted,
        ]
    };
    let mut found: Vec<(usize, ColumnId)> = table
        .columns()
        .filter(|(_, column)| !matches!(column.role, Role::Fork | Role::AsPriced))
        .filter_map(|(id, column)| {
            let how = is_called(column).iter().position(|fits| *fits)?;
            Some((how, id))
        })
        .collect();
    found.sort_by_key(|(how, _)| *how);
    let filled = found.iter().find(|(_, id)| !table.value(*id, row).is_nan());
    filled.or(found.first()).map(|(_, id)| *id)
}

fn unknown(what: &str, not: &str, names: &[&str]) -> Diagnostic {
    let near = near_name(what, names.iter().copied());
    let mut listed: Vec<&str> = names.to_vec();
    listed.dedup();
    listed.truncate(24);
    Diagnostic::error(format!("{} is {not} of this job", quoted(what))).hint(match near {
        Some(near) => format!("Did you mean {near}?"),
        None => format!("There are: {}.", listed.join(", ")),
    })
}
