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
        [room, what] => find_in_room(bid, room, what),
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
        let columns = columns_called(bid.ledger.table(table), 0, what);
        if !columns.is_empty() {
            return Ok(wanted(table, 0, &columns));
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

fn find_in_room(bid: &Bid, room: &str, what: &str) -> Result<Vec<Wanted>, Diagnostic> {
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
    let columns = match fold(what).as_str() {
        "price" | "total" => vec![bid.shares.price],
        _ => columns_called(table, row, what),
    };
    match columns.as_slice() {
        [_, ..] => Ok(wanted(id, row, &columns)),
        [] => {
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

fn wanted(table: TableId, row: usize, columns: &[ColumnId]) -> Vec<Wanted> {
    let columns = columns.iter();
    columns
        .map(|column| Wanted {
            table,
            column: *column,
            row,
        })
        .collect()
}

/// The columns with a script name, else those with it behind their recipe's, else with it as
/// title: those that are not blank in the row, else the first of all.
fn columns_called(table: &Table, row: usize, what: &str) -> Vec<ColumnId> {
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
    let is_filled = |(_, id): &&(usize, ColumnId)| !table.value(*id, row).is_nan();
    let best = found.iter().find(is_filled).or(found.first());
    let Some((best, first)) = best.copied() else {
        return Vec::new();
    };
    let all = found.iter().filter(|(how, _)| *how == best);
    let filled: Vec<ColumnId> = all.filter(is_filled).map(|(_, id)| *id).collect();
    if filled.is_empty() {
        return vec![first];
    }
    filled
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
