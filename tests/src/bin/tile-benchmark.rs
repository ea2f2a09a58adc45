//! A thousand rooms of about 12 x 14 ft laid with tiles of 12 x 24 in: the time for the layouts with
//! their narrowest cuts, for the plans of cuts, and for finding the best start. Then a thousand
//! rooms priced by recipe tile, by readings and by length and width, beside only reading that
//! takeoff and writing the same cells. Prints times, totals and ratios.
//!
//! Run with: cargo run --release -p pourwright-tests --bin tile-benchmark

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a program for developers: it prints, and stops when it cannot be set up"
)]

use std::time::Instant;

use engine::plugin::Registry;
use engine::shop::{self, ShopFiles};
use engine::{bid, grid};
use pourwright_tests::chance::Chance;
use pourwright_tests::measured::beside_only_cells;
use pourwright_tests::story::workbook;
use tile::best::best_start;
use tile::layout::{Laying, Layout};
use tile::offcut::plan;
use tile::pattern::{Grain, Pattern, TileSize};
use tile::room::Room;
use tile::shape::{Direction, Point, Rect};
use tile::start::{On, Start};

/// How many rooms.
const ROOMS: usize = 1_000;
/// What the blade of a wet saw takes, in inches.
const KERF: f64 = 0.125;

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["tile"]
"#;
const PRICES: &str = r#"
[products.tile."Check tile"]
package = "box"
price = "$44"
length = "24 in"
width = "12 in"
pieces = 8

[rates]
crew = { price = "$60", per = "h" }
"#;

fn main() {
    layouts();
    println!("\nrooms          pattern        part                 s   only cells s   ratio");
    for pattern in ["grid", "offset", "herringbone", "diagonal"] {
        let (rows, sheets) = rectangles(pattern);
        priced("length x width", pattern, &rows, &sheets);
        let (rows, sheets) = surveyed(pattern);
        priced("12 x 12 shots", pattern, &rows, &sheets);
    }
}

fn layouts() {
    let mut chance = Chance::new(12);
    let rooms: Vec<Room> = (0..ROOMS).map(|_| room(&mut chance)).collect();
    println!("pattern        tiles  with reuse   layouts s   plans s   best starts s");
    let diagonal = Direction::DIAGONAL;
    for (name, pattern, direction) in [
        ("grid", Pattern::Grid, Direction::RIGHT),
        ("third", Pattern::Offset(1.0 / 3.0), Direction::RIGHT),
        ("herringbone", Pattern::Herringbone, Direction::RIGHT),
        ("diagonal", Pattern::Grid, diagonal),
    ] {
        let laying = Laying {
            tile: TileSize {
                length: 24.0,
                width: 12.0,
                joint: 0.125,
                grain: Grain::Any,
            },
            pattern,
            direction,
            start: Start::Centred {
                along: On::Joint,
                across: On::Joint,
            },
            gap: 0.25,
        };
        let start = Instant::now();
        let layouts: Vec<Layout> = rooms
            .iter()
            .map(|room| Layout::new(room, &laying).unwrap())
            .collect();
        let laid = start.elapsed().as_secs_f64();
        let all: usize = layouts.iter().map(|l| l.counts().without_reuse()).sum();
        let start = Instant::now();
        let needed: usize = layouts.iter().map(|l| plan(l, KERF).tiles()).sum();
        let planned = start.elapsed().as_secs_f64();
        let start = Instant::now();
        for room in &rooms {
            best_start(room, &laying).unwrap();
        }
        let best = start.elapsed().as_secs_f64();
        println!("{name:12} {all:7} {needed:11} {laid:11.3} {planned:9.3} {best:15.3}");
    }
}

/// A room of 12 x 14 ft, a few inches more or less, with a closet's corner taken out and a register.
fn room(chance: &mut Chance) -> Room {
    let (wide, high) = (
        chance.between(140.0, 148.0, 0.125),
        chance.between(164.0, 172.0, 0.125),
    );
    let bite = chance.between(24.0, 48.0, 0.125);
    let outline = [
        (0.0, 0.0),
        (wide, 0.0),
        (wide, high - 26.0),
        (wide - bite, high - 26.0),
        (wide - bite, high),
        (0.0, high),
    ];
    let register = Rect::new(bite, 6.0, 12.0, 4.0).ring();
    Room::new(&outline.map(|(x, y)| Point::new(x, y)), &[register]).unwrap()
}

type Rows = Vec<Vec<String>>;

/// Rooms by length and width.
fn rectangles(pattern: &str) -> (Rows, Vec<(String, Rows)>) {
    let mut chance = Chance::new(31);
    let headings = [
        "Room",
        "Area (sq ft)",
        "Length (ft)",
        "Width (ft)",
        "Tile",
        "Pattern",
    ];
    let mut rows = vec![headings.map(str::to_owned).to_vec()];
    rows.extend((0..ROOMS).map(|n| {
        let (long, wide) = (
            chance.between(11.0, 14.0, 0.0625),
            chance.between(11.0, 14.0, 0.0625),
        );
        vec![
            format!("Room {n}"),
            (long * wide).to_string(),
            long.to_string(),
            wide.to_string(),
            "Check tile".to_owned(),
            pattern.to_owned(),
        ]
    }));
    (rows, Vec::new())
}

/// Rooms by sheets of readings, 12 each way.
fn surveyed(pattern: &str) -> (Rows, Vec<(String, Rows)>) {
    let mut chance = Chance::new(7);
    let headings = ["Room", "Readings", "Tile", "Pattern"];
    let mut rows = vec![headings.map(str::to_owned).to_vec()];
    let mut sheets = Vec::new();
    for n in 0..ROOMS {
        let (name, sheet) = (format!("Room {n}"), format!("Floor {n}"));
        rows.push(vec![
            name,
            sheet.clone(),
            "Check tile".to_owned(),
            pattern.to_owned(),
        ]);
        let step = chance.between(1.0, 1.25, 0.0078125);
        let at = |n: u32| (f64::from(n) * step).to_string();
        let mut readings = vec![vec!["Heights".to_owned(), "rod".to_owned()]];
        readings.push(
            std::iter::once("y \\ x".to_owned())
                .chain((0..12).map(at))
                .collect(),
        );
        readings.extend((0..12).map(|y| {
            let line = (0..12).map(|_| chance.between(36.0, 37.0, 0.0625).to_string());
            std::iter::once(at(y)).chain(line).collect()
        }));
        sheets.push((sheet, readings));
    }
    (rows, sheets)
}

fn priced(what: &str, pattern: &str, rows: &Rows, sheets: &[(String, Rows)]) {
    fn lent(rows: &Rows) -> Vec<Vec<&str>> {
        rows.iter()
            .map(|row| row.iter().map(String::as_str).collect())
            .collect()
    }
    let all: Vec<(&str, Vec<Vec<&str>>)> = std::iter::once(("Rooms", lent(rows)))
        .chain(
            sheets
                .iter()
                .map(|(name, rows)| (name.as_str(), lent(rows))),
        )
        .collect();
    let all: Vec<(&str, Vec<&[&str]>)> = all
        .iter()
        .map(|(name, rows)| (*name, rows.iter().map(Vec::as_slice).collect()))
        .collect();
    let all: Vec<(&str, &[&[&str]])> = all
        .iter()
        .map(|(name, rows)| (*name, rows.as_slice()))
        .collect();
    let takeoff = workbook(&all);
    let price = || {
        // A registry of its own for each run: it keeps no answers of the run before.
        let registry = Registry::new(&[&floor::Floor, &tile::Tile]).unwrap();
        let workshop = shop::load(&ShopFiles::built_in(SHOP, PRICES), &registry).unwrap();
        let grid = grid::read("takeoff.xlsx", &takeoff).unwrap();
        (bid::price(&workshop, &registry, &grid).unwrap(), workshop)
    };
    let label = format!("{what:14} {pattern:12}");
    print!("{}", beside_only_cells(&label, &takeoff, price));
}
