//! What is worked out of a floor, beside only spanning its readings and adding up; and a thousand
//! rooms with readings, beside only reading that takeoff and writing the same cells. Prints times
//! and ratios.
//!
//! Run with: cargo run --release -p pourwright-tests --bin floor-benchmark

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a program for developers: it prints, and stops when it cannot be set up"
)]

use engine::{bid, grid};
use floor::grind::{GrindRates, cheapest};
use floor::level::{below, between_depths};
use floor::straightedge::worst_gaps;
use floor::surface::{Extent, Point, Reading, Surface};
use floor::{plane, slips, sureness};
use pourwright_tests::chance::Chance;
use pourwright_tests::measured::{beside_only_cells, median, registry, workshop};
use pourwright_tests::story::workbook;

fn main() {
    println!("readings  part                        s   ratio to spanning and adding up");
    for side in [12, 50, 200] {
        one_floor(side);
    }
    println!();
    println!("rooms of 12 x 12   part                 s   only cells s   ratio");
    for rooms in [100, 1000] {
        many_rooms(rooms);
    }
}

fn heights(side: usize) -> Vec<Reading> {
    let mut chance = Chance::new(side as u64);
    (0..side * side)
        .map(|index| {
            let at = Point::new((index % side) as f64 * 12.0, (index / side) as f64 * 12.0);
            let wave = (at.x / 40.0).sin() * 0.3 + (at.y / 55.0 + at.x / 90.0).cos() * 0.3;
            Reading {
                at,
                height: wave + chance.between(-0.1, 0.1, 0.0625),
            }
        })
        .collect()
}

fn one_floor(side: usize) {
    let readings = heights(side);
    let cells: Vec<[usize; 4]> = (0..side - 1)
        .flat_map(|row| (0..side - 1).map(move |column| row * side + column))
        .map(|at| [at, at + 1, at + side + 1, at + side])
        .collect();
    let span = || Surface::new(&readings, Extent::Cells(&cells)).unwrap();
    let floor = median(|| span().mean());
    let surface = span();
    let rates = GrindRates {
        set_up: 100.0,
        per_area: 0.01,
        per_volume: 0.0,
        bag: 38.0,
        bag_yield: 777.0,
        pour: 0.005,
        waste: 0.08,
    };
    let parts: [(&str, f64); 8] = [
        ("span and add up", floor),
        ("volume at a level", median(|| below(&surface, 0.4).volume)),
        (
            "depth class",
            median(|| between_depths(&surface, 0.4, 0.1, 0.5).area),
        ),
        ("plane", median(|| plane::fit(&surface).fall)),
        (
            "10 ft straightedge",
            median(|| worst_gaps(&surface, 120.0, 3).len()),
        ),
        ("slips", median(|| slips::slips(&surface).len())),
        (
            "grind or fill",
            median(|| cheapest(&surface, 0.125, &rates, 0.5).cost),
        ),
        (
            "how sure",
            median(|| sureness::sureness(&surface, 0.0625).unwrap().p90),
        ),
    ];
    for (part, time) in parts {
        println!(
            "{:8}  {part:20} {time:10.5} {:9.1}",
            side * side,
            time / floor
        );
    }
    let all: f64 = parts.iter().map(|(_, time)| time).sum();
    println!(
        "{:8}  {:20} {all:10.5} {:9.1}",
        side * side,
        "all together",
        all / floor
    );
}

fn many_rooms(count: usize) {
    let mut chance = Chance::new(7);
    let names: Vec<(String, String)> = (0..count)
        .map(|n| (format!("Room {n}"), format!("Floor {n}")))
        .collect();
    let mut rooms: Vec<Vec<&str>> = vec![vec!["Room", "Readings", "Leveler", "Primer"]];
    rooms.extend(names.iter().map(|(room, sheet)| {
        vec![
            room.as_str(),
            sheet,
            "Demo Level Standard",
            "Demo Prime Porous",
        ]
    }));
    let texts: Vec<Vec<Vec<String>>> = (0..count)
        .map(|_| {
            let mut rows = vec![vec!["Heights".to_owned(), "rod".to_owned()]];
            let across = (0..12).map(|x| (x * 2).to_string());
            rows.push(std::iter::once("y \\ x".to_owned()).chain(across).collect());
            rows.extend((0..12).map(|y| {
                let line = (0..12).map(|_| chance.between(36.0, 37.0, 0.0625).to_string());
                std::iter::once((y * 2).to_string()).chain(line).collect()
            }));
            rows
        })
        .collect();
    let floors: Vec<Vec<Vec<&str>>> = texts
        .iter()
        .map(|rows| {
            rows.iter()
                .map(|row| row.iter().map(String::as_str).collect())
                .collect()
        })
        .collect();
    let rooms: Vec<&[&str]> = rooms.iter().map(Vec::as_slice).collect();
    let floors: Vec<Vec<&[&str]>> = floors
        .iter()
        .map(|rows| rows.iter().map(Vec::as_slice).collect())
        .collect();
    let mut sheets: Vec<(&str, &[&[&str]])> = vec![("Rooms", &rooms)];
    sheets.extend(
        names
            .iter()
            .zip(&floors)
            .map(|((_, name), rows)| (name.as_str(), rows.as_slice())),
    );
    let takeoff = workbook(&sheets);
    let registry = registry();
    let workshop = workshop(&registry);
    let price = || {
        let grid = grid::read("takeoff.xlsx", &takeoff).unwrap();
        let bid = bid::price(&workshop, &registry, &grid).unwrap();
        (bid, workshop.clone())
    };
    print!(
        "{}",
        beside_only_cells(&format!("{count:16}"), &takeoff, price)
    );
}
