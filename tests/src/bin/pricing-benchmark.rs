//! Prices generated rooms, and beside it, in the same run, only reads that takeoff and writes the
//! same cells with the same libraries. Prints both, their ratio, and peak memory.
//!
//! Run with: cargo run --release -p pourwright-tests --bin pricing-benchmark
//! A takeoff alone, to profile with: … --bin pricing-benchmark takeoff 10000 FILE

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a program for developers: it prints, and stops when it cannot be set up"
)]

use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

use engine::plugin::Registry;
use engine::workbook::{Pictures, TypedTable, TypedTakeoff, write_bid, write_takeoff_form};
use engine::{bid, grid};
use pourwright_tests::chance::Chance;
use pourwright_tests::measured::{RUNS, middle, registry, workshop};
use pourwright_tests::only_cells::{pack, read_values, unpack, write_cells};

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    match arguments.as_slice() {
        [_, what, rooms, file] if what == "takeoff" => {
            std::fs::write(file, generate(rooms.parse().unwrap())).unwrap();
        }
        [_, what, file, cells] => println!("{}", run_one(what, file, cells)),
        _ => compare_all(),
    }
}

/// Runs one side in a process of its own, so that its peak memory is its own.
fn run_one(what: &str, file: &str, cells: &str) -> String {
    let takeoff = std::fs::read(file).unwrap();
    let seconds = match what {
        "price" => {
            let registry = registry();
            let start = Instant::now();
            black_box(price(&registry, &takeoff));
            start.elapsed().as_secs_f64()
        }
        _ => {
            let cells = std::fs::read(cells).unwrap();
            let cells = unpack(&cells);
            let start = Instant::now();
            black_box(read_values(&takeoff));
            black_box(write_cells(&cells));
            start.elapsed().as_secs_f64()
        }
    };
    format!("{seconds} {}", peak_memory_kib())
}

fn price(registry: &Registry, takeoff: &[u8]) -> Vec<u8> {
    let workshop = workshop(registry);
    let grid = grid::read("takeoff.xlsx", takeoff).unwrap();
    let bid = bid::price(&workshop, registry, &grid).unwrap();
    write_bid(
        &bid,
        &workshop,
        ("takeoff.xlsx", takeoff),
        Pictures::LeftOut,
    )
    .unwrap()
}

fn peak_memory_kib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status
        .lines()
        .find(|line| line.starts_with("VmHWM:"))
        .unwrap_or_default();
    line.split_whitespace()
        .nth(1)
        .and_then(|number| number.parse().ok())
        .unwrap_or(0)
}

fn compare_all() {
    let folder = tempfile::TempDir::new().unwrap();
    println!("rooms     pricing s   read+write s   ratio   peak MiB   floor MiB   cells");
    let mut last_peak = None;
    for rooms in [1usize, 1_000, 10_000] {
        let takeoff = generate(rooms);
        let file = folder.path().join(format!("{rooms}.xlsx"));
        let cells_file = folder.path().join(format!("{rooms}.cells"));
        std::fs::write(&file, &takeoff).unwrap();
        let registry = registry();
        let packed = pack(&price(&registry, &takeoff));
        let count = packed.iter().filter(|byte| **byte == b'\n').count();
        std::fs::write(&cells_file, packed).unwrap();
        let (mut ours, mut floor) = (Vec::new(), Vec::new());
        for _ in 0..RUNS {
            ours.push(spawn("price", &file, &cells_file));
            floor.push(spawn("floor", &file, &cells_file));
        }
        let (a, b) = (median(&ours), median(&floor));
        let mib = |kib: f64| kib / 1024.0;
        println!(
            "{rooms:>7}   {:>9.4}   {:>12.4}   {:>5.2}   {:>8.1}   {:>9.1}   {count:>8}",
            a.0,
            b.0,
            a.0 / b.0,
            mib(a.1),
            mib(b.1)
        );
        if let Some((before, peak)) = last_peak {
            let grown: f64 = (a.1 - peak) * 1024.0;
            println!(
                "          {:.0} bytes of memory for each further room",
                grown / (rooms - before) as f64
            );
        }
        last_peak = Some((rooms, a.1));
    }
}

fn spawn(what: &str, file: &std::path::Path, cells: &std::path::Path) -> (f64, f64) {
    let output = Command::new(std::env::current_exe().unwrap())
        .arg(what)
        .arg(file)
        .arg(cells)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let mut parts = text
        .split_whitespace()
        .map(|part| part.parse::<f64>().unwrap());
    (parts.next().unwrap(), parts.next().unwrap())
}

fn median(runs: &[(f64, f64)]) -> (f64, f64) {
    (
        middle(runs.iter().map(|run| run.0).collect()),
        middle(runs.iter().map(|run| run.1).collect()),
    )
}

/// A takeoff of so many rooms for the demo shop.
fn generate(rooms: usize) -> Vec<u8> {
    let mut chance = Chance::new(rooms as u64);
    let substrates = ["concrete", "plywood", "old tile"];
    let levelers = ["Demo Level Standard", "Demo Level Deep", "Demo Level Fast"];
    let primers = ["Demo Prime Porous", "Demo Prime Grip"];
    let rows = (0..rooms)
        .map(|index| {
            vec![
                format!("Room {index}"),
                chance.between(20.0, 400.0, 0.25).to_string(),
                chance.between(0.125, 2.0, 0.125).to_string(),
                chance.pick(&substrates).to_owned(),
                chance.pick(&levelers).to_owned(),
                chance.pick(&primers).to_owned(),
            ]
        })
        .collect();
    let typed = TypedTakeoff {
        title: "Generated".to_owned(),
        job: Vec::new(),
        rooms: TypedTable {
            headings: [
                "Room",
                "Area (sq ft)",
                "Average depth (in)",
                "Substrate",
                "Leveler",
                "Primer",
            ]
            .map(str::to_owned)
            .into(),
            rows,
        },
        children: Vec::new(),
        sheets: Vec::new(),
    };
    let registry = registry();
    let workshop = workshop(&registry);
    write_takeoff_form((&workshop.takeoff, &[]), &workshop.ledger, Some(&typed)).unwrap()
}
