//! `pourwright heat`: what the electrician needs of each heated room, from the priced job's columns.

use std::path::{Path, PathBuf};

use engine::bid::Bid;
use engine::diag::Outcome;
use engine::measure::{capital, write, write_number};
use engine::quantity::Unit;
use engine::trail::{Kind, TableId};
use serde_json::{Map, Value, json};

use crate::context::{RoomsOf, priced, rooms_of};
use crate::print::{Terminal, table};

/// The columns of a heated room that an electrician asks for, in order.
const COLUMNS: [&str; 14] = [
    "heat.product",
    "heat.covered",
    "heat.watts",
    "heat.volts",
    "heat.amps",
    "heat.load",
    "heat.circuit_amps",
    "heat.circuits",
    "heat.breaker",
    "thermostat",
    "heat.gfci",
    "heat.ohms",
    "heat.least_ohms",
    "heat.most_ohms",
];

/// When a mat or cable is measured.
const MOMENTS: [&str; 3] = ["as received", "after laying", "after the pour"];

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    room: Option<&str>,
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let bid = priced(takeoff, shop)?;
    let rooms = rooms_of(&bid, room, takeoff, &HEATED)?;
    if as_json {
        terminal.json(&rooms.iter().map(|row| to_json(&bid, *row)).collect());
    } else {
        for row in &rooms {
            show(&bid, *row, terminal);
        }
        close(&bid, terminal);
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

/// The heated rooms.
const HEATED: RoomsOf = RoomsOf {
    given: "heat.cover",
    filled: "heat.product",
    without_recipe: [
        "the recipes of this shop price no floor heating",
        "Add heat to the recipes in shop.toml.",
    ],
    without_room: [
        "no room of the takeoff is heated",
        "Write mat or cable in a room's column Floor heat.",
    ],
    kind: "heated room",
};

/// A value in its unit, to the hundredth; nothing where it is blank.
fn written(bid: &Bid, value: f64, kind: Kind, unit: &Unit) -> Option<String> {
    match kind {
        _ if value.is_nan() => None,
        Kind::Number(_) => {
            let hundredths = (unit.from_base(value) * 100.0).round() / 100.0;
            Some(write(unit.to_base(hundredths), unit, &bid.ledger.units))
        }
        _ => Some(bid.ledger.texts.of_value(value).to_owned()),
    }
}

/// The title of a column and its value in a row, where it has one.
fn cell(bid: &Bid, table: TableId, row: usize, name: &str) -> Option<(String, String)> {
    let table = bid.ledger.table(table);
    let column = table.column(table.column_named(name)?);
    let value = written(bid, column.values[row], column.kind, &column.unit)?;
    Some((capital(&column.title), value))
}

/// A factor of the recipe, in its unit.
fn factor(bid: &Bid, name: &str) -> String {
    let single = bid
        .ledger
        .single_named(name)
        .map(|id| bid.ledger.single(id));
    single
        .and_then(|single| written(bid, single.value, single.kind, &single.unit))
        .unwrap_or_default()
}

fn show(bid: &Bid, row: usize, terminal: &mut Terminal<'_>) {
    let rooms = bid.takeoff.rooms.table;
    terminal.line(&bid.ledger.table(rooms).row_names[row]);
    let lines = COLUMNS
        .iter()
        .map(|name| match cell(bid, rooms, row, name) {
            Some((title, value)) => vec![title, value],
            None => vec![capital(name), "none named".to_owned()],
        });
    terminal.line(table(&["", ""], &[], lines.collect()).trim_start_matches('\n'));
    terminal.line("");
    let blank = "____________".to_owned();
    let form = MOMENTS.map(|moment| {
        let mut line = vec![moment.to_owned()];
        line.extend(std::iter::repeat_n(blank.clone(), 5));
        line
    });
    let headings = [
        "Measured",
        "Heating, ohm",
        "Insulation, Mohm",
        "Floor sensor, ohm",
        "Date",
        "By",
    ];
    terminal.line(table(&headings, &[], form.into()));
    terminal.line("");
    for text in cautions(bid, row) {
        terminal.line(format!(" Caution: {text}"));
    }
    terminal.line("");
}

/// What the recipe cautions of a room.
fn cautions(bid: &Bid, row: usize) -> impl Iterator<Item = &str> {
    let rooms = bid.takeoff.rooms.table;
    let of_heat = bid
        .cautions
        .iter()
        .filter(move |caution| caution.recipe == "heat" && caution.table == rooms);
    let table = bid.ledger.table(rooms);
    of_heat
        .filter(move |caution| table.value(caution.column, row) > 0.0)
        .map(|caution| caution.text.as_str())
}

/// What holds for all rooms.
fn close(bid: &Bid, terminal: &mut Terminal<'_>) {
    if let Some((_, watts)) = cell(bid, bid.job, 0, "heat.connected") {
        terminal.line(format!("All heated rooms together: {watts}."));
    }
    let insulation = bid.ledger.single_named("heat_insulation_ohms");
    let megohms = insulation.map_or(f64::NAN, |id| bid.ledger.single(id).value / 1e6);
    terminal.line(format!(
        "Circuits are sized for {} of the load, which is continuous.",
        factor(bid, "heat_continuous")
    ));
    terminal.line(format!(
        "Insulation is measured at {} direct voltage between conductors and shield: at least {} Mohm.",
        factor(bid, "heat_test_voltage"),
        write_number(megohms),
    ));
    terminal.line("Measure with the heating disconnected. What lies outside these limits is a fault: do not cover it.");
    terminal.line("Never energize it rolled up, or before the pour has cured. The product sheet and the code in force govern.");
}

fn to_json(bid: &Bid, row: usize) -> Value {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let mut figures = Map::new();
    for name in COLUMNS {
        let column = rooms.column_named(name).map(|id| rooms.column(id));
        let Some(column) = column.filter(|column| !column.values[row].is_nan()) else {
            continue;
        };
        let value = column.values[row];
        let value = match column.kind {
            Kind::Number(_) => json!({
                "value": column.unit.from_base(value),
                "unit": column.unit.label,
            }),
            _ => Value::from(bid.ledger.texts.of_value(value)),
        };
        figures.insert(name.trim_start_matches("heat.").to_owned(), value);
    }
    json!({
        "room": rooms.row_names[row],
        "figures": figures,
        "cautions": cautions(bid, row).collect::<Vec<_>>(),
    })
}
