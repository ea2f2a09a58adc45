//! `pourwright bid`: prices a takeoff and writes the bid workbook.

use std::path::{Path, PathBuf};

use engine::bid::{self, Bid};
use engine::diag::{Diagnostic, Outcome, Place};
use engine::measure::{write, write_count};
use engine::shop::Workshop;
use engine::workbook::{self, Pictures};
use serde_json::{Value, json};

use super::prove;
use crate::context::{TakeoffFile, folder_of, load_shop, read_takeoff, registry};
use crate::print::{Terminal, table};
use crate::save;

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    out: Option<PathBuf>,
    shop: Option<&PathBuf>,
    (pictures, as_json): (Pictures, bool),
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let out = out.unwrap_or_else(|| beside(takeoff));
    refuse_to_overwrite_takeoff(takeoff, &out)?;
    let registry = registry()?;
    let file = read_takeoff(takeoff)?;
    let workshop = load_shop(shop, &folder_of(takeoff), &registry)?;
    prove::require_all(&workshop, &registry)?;
    let bid = bid::price(&workshop, &registry, &file.grid)?;
    write_workbook(&bid, &workshop, &file, &out, pictures)?;
    if as_json {
        terminal.json(&to_json(&bid, &workshop, &out));
    } else {
        show(&bid, &workshop, &out, terminal);
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

/// `rooms.xlsx` gives `rooms-bid.xlsx`.
fn beside(takeoff: &Path) -> PathBuf {
    let stem = takeoff
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    takeoff.with_file_name(format!("{stem}-bid.xlsx"))
}

fn refuse_to_overwrite_takeoff(takeoff: &Path, out: &Path) -> Outcome<()> {
    let same = match (std::fs::canonicalize(takeoff), std::fs::canonicalize(out)) {
        (Ok(a), Ok(b)) => a == b,
        _ => takeoff == out,
    };
    if same {
        return Err(Diagnostic::error("the bid would overwrite its own takeoff")
            .at(Place::File(out.display().to_string().into()))
            .hint("Name another file with --out.")
            .into());
    }
    Ok(())
}

/// Writes the workbook of a priced job.
pub(crate) fn write_workbook(
    bid: &Bid,
    workshop: &Workshop,
    file: &TakeoffFile,
    out: &Path,
    pictures: Pictures,
) -> Outcome<()> {
    let name = Path::new(&file.name)
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let bytes = workbook::write_bid(
        bid,
        workshop,
        (&name.unwrap_or_default(), &file.bytes),
        pictures,
    )
    .map_err(|why| Diagnostic::error(why).at(Place::File(out.display().to_string().into())))?;
    save::replace(out, &bytes)
}

/// Prints the priced job.
pub(crate) fn show(bid: &Bid, workshop: &Workshop, out: &Path, terminal: &mut Terminal<'_>) {
    let ledger = &bid.ledger;
    let money = |value: f64| match ledger.units.find("money") {
        Some(unit) => write(value, unit, &ledger.units),
        None => value.to_string(),
    };
    let facts = &bid.takeoff.facts;
    let job = if facts.name.is_empty() {
        "Bid"
    } else {
        &facts.name
    };
    terminal.line(format!("{job}, by {}", workshop.settings.name));
    terminal.line("");
    let rooms = ledger.table(bid.takeoff.rooms.table);
    const SHOWN: usize = 40;
    let mut rows: Vec<Vec<String>> = rooms
        .row_names
        .iter()
        .zip(bid.room_prices())
        .take(SHOWN)
        .map(|(name, price)| vec![name.clone(), money(*price)])
        .collect();
    if rooms.rows() > SHOWN {
        let more = write_count(rooms.rows() - SHOWN, "more room");
        rows.push(vec![format!("… and {more}"), String::new()]);
    }
    rows.push(vec!["Total".to_owned(), money(bid.total())]);
    terminal.line(table(&["Room", "Price"], &[1], rows));
    terminal.line("");
    let lines = ledger.table(bid.line_table);
    let orders: Vec<Vec<String>> = bid
        .lines
        .iter()
        .enumerate()
        .filter(|(row, line)| {
            line.product.is_some() && lines.value(bid.line_columns.quantity, *row) > 0.0
        })
        .map(|(row, line)| {
            let amount = |column| write(lines.value(column, row), &line.unit, &ledger.units);
            vec![
                line.detail.clone(),
                amount(bid.line_columns.needed),
                amount(bid.line_columns.quantity),
                money(lines.value(bid.line_columns.cost, row)),
            ]
        })
        .collect();
    if !orders.is_empty() {
        terminal.line(table(
            &["Order", "Needed", "Whole packages", "Cost"],
            &[1, 2, 3],
            orders,
        ));
        terminal.line("");
    }
    show_cautions(bid, terminal);
    terminal.line(format!("Written: {}", out.display()));
    if workshop.files.folder.is_none() {
        terminal.line(
            "No shop folder was found: this bid uses the built-in shop, whose prices are invented.",
        );
    }
}

fn show_cautions(bid: &Bid, terminal: &mut Terminal<'_>) {
    let mut any = false;
    for (caution, rows) in cautions(bid) {
        any = true;
        let shown: Vec<&str> = rows.iter().take(6).map(String::as_str).collect();
        let more = rows.len() - shown.len();
        let ending = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        terminal.line(format!(
            "Caution: {caution}\n  {}{ending}",
            shown.join(", ")
        ));
    }
    if any {
        terminal.line("");
    }
}

/// The cautions that hold, with the rows in which they do.
fn cautions(bid: &Bid) -> Vec<(String, Vec<String>)> {
    bid.cautions
        .iter()
        .filter_map(|caution| {
            let table = bid.ledger.table(caution.table);
            let rows: Vec<String> = table
                .values(caution.column)
                .iter()
                .enumerate()
                .filter(|(_, value)| **value > 0.0)
                .map(|(row, _)| match table.parent_row(row) {
                    Some((parent, owner)) => bid.ledger.table(parent).row_names[owner].clone(),
                    None => table.row_names[row].clone(),
                })
                .collect();
            (!rows.is_empty()).then(|| (caution.text.clone(), rows))
        })
        .collect()
}

fn to_json(bid: &Bid, workshop: &Workshop, out: &Path) -> Value {
    let ledger = &bid.ledger;
    let rooms = ledger.table(bid.takeoff.rooms.table);
    let lines = ledger.table(bid.line_table);
    let columns = &bid.line_columns;
    json!({
        "workbook": out.display().to_string(),
        "job": bid.takeoff.facts.name,
        "shop": workshop.settings.name,
        "currency": ledger.units.currency().symbol,
        "total": bid.total(),
        "rooms": rooms.row_names.iter().zip(bid.room_prices())
            .map(|(name, price)| json!({"name": name, "price": price}))
            .collect::<Vec<_>>(),
        "lines": bid.lines.iter().enumerate().map(|(row, line)| {
            let in_unit = |column| line.unit.from_base(lines.value(column, row));
            let money = |column| lines.value(column, row);
            json!({
                "kind": line.kind.name(),
                "item": line.label,
                "product_or_rate": line.detail,
                "unit": line.unit.label,
                "needed": in_unit(columns.needed),
                "quantity": if line.product.is_some() || line.rate.is_some() {
                    Value::from(in_unit(columns.quantity))
                } else {
                    Value::Null
                },
                "cost": money(columns.cost),
                "tax": money(columns.tax),
                "contingency": money(columns.contingency),
                "profit": money(columns.profit),
                "price": money(columns.price),
            })
        }).collect::<Vec<_>>(),
        "cautions": cautions(bid).into_iter()
            .map(|(text, rows)| json!({"text": text, "rooms": rows}))
            .collect::<Vec<_>>(),
        "remarks": engine::diag::render::to_json(&bid.takeoff.remarks),
    })
}
