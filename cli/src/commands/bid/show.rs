//! A priced job on the terminal.

use std::path::Path;

use engine::bid::{Bid, phase_words};
use engine::measure::{write, write_count, write_number};
use engine::shop::Workshop;

use crate::print::{Terminal, table};

/// Most rooms listed.
const SHOWN: usize = 40;

/// Prints the priced job.
pub(super) fn show(bid: &Bid, workshop: &Workshop, out: &Path, terminal: &mut Terminal<'_>) {
    let facts = &bid.takeoff.facts;
    let job = if facts.name.is_empty() {
        "Bid"
    } else {
        &facts.name
    };
    terminal.line(format!("{job}, by {}", workshop.settings.name));
    terminal.line("");
    terminal.line(table(&["Room", "Price"], &[1], prices(bid)));
    terminal.line("");
    show_alternates(bid, terminal);
    show_phases(bid, terminal);
    show_payments(bid, terminal);
    show_order(bid, terminal);
    show_cautions(bid, terminal);
    terminal.line(format!("Written: {}", out.display()));
    if workshop.files.folder.is_none() {
        terminal.line(
            "No shop folder was found: this bid uses the built-in shop, whose prices are invented.",
        );
    }
}

/// Money as the shop writes it.
fn money(bid: &Bid, value: f64) -> String {
    let units = &bid.ledger.units;
    match units.find("money") {
        Some(unit) => write(value, unit, units),
        None => value.to_string(),
    }
}

/// Rooms, fees, allowances, and the total.
fn prices(bid: &Bid) -> Vec<Vec<String>> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let mut rows: Vec<Vec<String>> = rooms
        .row_names
        .iter()
        .zip(bid.room_prices())
        .take(SHOWN)
        .map(|(name, price)| vec![name.clone(), money(bid, *price)])
        .collect();
    if rooms.rows() > SHOWN {
        let more = write_count(rooms.rows() - SHOWN, "more room");
        rows.push(vec![format!("… and {more}"), String::new()]);
    }
    for (sort, added) in [("Fee", &bid.fees), ("Allowance", &bid.allowances)] {
        for (name, price) in added.iter().flat_map(|added| added.lines(&bid.ledger)) {
            rows.push(vec![format!("{sort}: {name}"), money(bid, price)]);
        }
    }
    rows.push(vec!["Total".to_owned(), money(bid, bid.total())]);
    rows
}

/// The whole price with each alternate.
fn show_alternates(bid: &Bid, terminal: &mut Terminal<'_>) {
    if bid.alternates.is_empty() {
        return;
    }
    let rows = bid.alternates.iter().map(|alternate| {
        let total = alternate.bid.total();
        let sign = if total > bid.total() { "+" } else { "" };
        let difference = format!("{sign}{}", money(bid, total - bid.total()));
        vec![alternate.name.clone(), difference, money(bid, total)]
    });
    let headings = ["Alternate", "Against the total", "Total instead"];
    terminal.line(table(&headings, &[1, 2], rows.collect()));
    for alternate in &bid.alternates {
        for text in alternate.new_cautions(bid) {
            terminal.line(format!(" Caution, {}: {text}", alternate.name));
        }
    }
    terminal.line("");
}

fn show_phases(bid: &Bid, terminal: &mut Terminal<'_>) {
    let Some(phases) = &bid.phases else {
        return;
    };
    let of_phase = bid.ledger.table(phases.table);
    let prices = of_phase.values(phases.price);
    let rows = of_phase.row_names.iter().zip(prices);
    let rows = rows.map(|(name, price)| vec![phase_words(name), money(bid, *price)]);
    terminal.line(table(&["Rooms of", "Price"], &[1], rows.collect()));
    terminal.line("");
}

fn show_payments(bid: &Bid, terminal: &mut Terminal<'_>) {
    let Some(payments) = &bid.payments else {
        return;
    };
    let steps = bid.ledger.table(payments.table);
    let rows = steps.row_names.iter().enumerate().map(|(row, step)| {
        let percent = steps.value(payments.part, row) * 100.0;
        vec![
            step.clone(),
            format!("{} %", write_number((percent * 1e6).round() / 1e6)),
            money(bid, steps.value(payments.amount, row)),
        ]
    });
    terminal.line(table(
        &["Payment", "Part", "Amount"],
        &[1, 2],
        rows.collect(),
    ));
    terminal.line("");
}

/// What is bought, by supplier and phase where there are several or named ones.
fn show_order(bid: &Bid, terminal: &mut Terminal<'_>) {
    let lines = bid.ledger.table(bid.line_table);
    let columns = &bid.line_columns;
    let is_bought = |line: &usize| lines.value(columns.quantity, *line) > 0.0;
    let cost_of = |lines_of: &[usize]| -> f64 {
        lines_of
            .iter()
            .map(|line| lines.value(columns.cost, *line))
            .sum()
    };
    let order = bid.order();
    let by_supplier = order.iter().any(|of| !of.supplier.is_empty());
    let mut rows = Vec::new();
    let head = |depth: usize, name: &str, cost: f64| {
        let blank = String::new;
        vec![indented(depth, name), blank(), blank(), money(bid, cost)]
    };
    let mut total = 0.0;
    for of in &order {
        let bought: Vec<usize> = of
            .phases
            .iter()
            .flat_map(|phase| &phase.lines)
            .copied()
            .collect();
        if !bought.iter().any(is_bought) {
            continue;
        }
        total += cost_of(&bought);
        let mut depth = 0;
        if by_supplier {
            let name = match of.supplier.as_str() {
                "" => "No supplier named",
                name => name,
            };
            rows.push(head(depth, name, cost_of(&bought)));
            depth += 1;
        }
        for phase in &of.phases {
            if !phase.lines.iter().any(is_bought) {
                continue;
            }
            let mut own = depth;
            if let Some(name) = &phase.name {
                rows.push(head(depth, &phase_words(name), cost_of(&phase.lines)));
                own += 1;
            }
            for line in phase.lines.iter().copied().filter(is_bought) {
                let unit = &bid.lines[line].unit;
                let amount = |column| write(lines.value(column, line), unit, &bid.ledger.units);
                rows.push(vec![
                    indented(own, &bid.lines[line].detail),
                    amount(columns.needed),
                    amount(columns.quantity),
                    money(bid, lines.value(columns.cost, line)),
                ]);
            }
        }
    }
    if rows.is_empty() {
        return;
    }
    if by_supplier || bid.phases.is_some() {
        rows.push(head(0, "Together", total));
    }
    terminal.line(table(
        &["Order", "Needed", "Whole packages", "Cost"],
        &[1, 2, 3],
        rows,
    ));
    terminal.line("");
}

/// A name under the one above it.
fn indented(depth: usize, name: &str) -> String {
    format!("{}{name}", "  ".repeat(depth))
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
pub(super) fn cautions(bid: &Bid) -> Vec<(String, Vec<String>)> {
    bid.cautions
        .iter()
        .filter_map(|caution| {
            let rows = caution.holds_in(&bid.ledger).into_iter();
            let rows: Vec<String> = rows.map(str::to_owned).collect();
            (!rows.is_empty()).then(|| (caution.text.clone(), rows))
        })
        .collect()
}
