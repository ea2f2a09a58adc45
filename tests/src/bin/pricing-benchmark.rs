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
use engine::shop::{self, ShopFiles};
use engine::workbook::{Pictures, TypedTable, TypedTakeoff, write_bid, write_takeoff_form};
use engine::{bid, grid};
use ironcalc::base::Model;
use ironcalc::base::types::{Cell, FormulaValue};
use ironcalc::import::load_from_xlsx_bytes;
use pourwright_tests::chance::Chance;
use rust_xlsxwriter::{Format, Formula, Workbook};

const SHOP: &str = include_str!("../../../cli/demo/shop.toml");
const PRICES: &str = include_str!("../../../cli/demo/prices.toml");
/// Runs of which the median counts.
const RUNS: usize = 5;

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
            let registry = Registry::new(&[&floor::Floor]).unwrap();
            let start = Instant::now();
            black_box(price(&registry, &takeoff));
            start.elapsed().as_secs_f64()
        }
        _ => {
            let cells = std::fs::read(cells).unwrap();
            let cells = unpack(&cells);
            let start = Instant::now();
            black_box(read_and_write(&takeoff, &cells));
            start.elapsed().as_secs_f64()
        }
    };
    format!("{seconds} {}", peak_memory_kib())
}

fn price(registry: &Registry, takeoff: &[u8]) -> Vec<u8> {
    let workshop = shop::load(&ShopFiles::built_in(SHOP, PRICES), registry).unwrap();
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

/// A cell of the bid workbook, as the floor writes it.
enum Plain {
    Number(f64),
    Text(String),
    Formula(String, String),
}

type Cells = Vec<(String, Vec<(u32, u16, Plain)>)>;

fn read_and_write(takeoff: &[u8], cells: &Cells) -> Vec<u8> {
    black_box(read_values(takeoff));
    let formats: Vec<Format> = ["0.00", "#,##0.00", "0.000", "General"]
        .map(|code| Format::new().set_num_format(code))
        .into();
    let mut workbook = Workbook::new();
    for (name, list) in cells {
        let sheet = if name == "Rooms" {
            workbook.add_worksheet_with_low_memory().unwrap()
        } else {
            workbook.add_worksheet()
        };
        sheet.set_name(name).unwrap();
        for (row, column, cell) in list {
            let format = &formats[usize::from(*column) % formats.len()];
            match cell {
                Plain::Number(number) => {
                    sheet.write_number_with_format(*row, *column, *number, format)
                }
                Plain::Text(text) => sheet.write_string_with_format(*row, *column, text, format),
                Plain::Formula(formula, result) => {
                    let formula = Formula::new(formula.as_str()).set_result(result.as_str());
                    sheet.write_formula_with_format(*row, *column, formula, format)
                }
            }
            .unwrap();
        }
    }
    workbook.save_to_buffer().unwrap()
}

/// Only the values, streamed as the program streams them.
fn read_values(takeoff: &[u8]) -> usize {
    use calamine::{Reader, Xlsx, open_workbook_from_rs};
    let mut workbook: Xlsx<_> = open_workbook_from_rs(std::io::Cursor::new(takeoff)).unwrap();
    let mut count = 0;
    for name in workbook.sheet_names() {
        let mut reader = workbook.worksheet_cells_reader(&name).unwrap();
        while let Some(cell) = reader.next_cell().unwrap() {
            black_box(calamine::Data::from(cell.get_value().clone()));
            count += 1;
        }
    }
    count
}

/// The cells of a workbook as text, for the process that writes them again.
fn pack(bytes: &[u8]) -> Vec<u8> {
    let workbook = load_from_xlsx_bytes(bytes, "bid", "en", "UTC").unwrap();
    let names: Vec<String> = workbook
        .worksheets
        .iter()
        .map(|sheet| sheet.name.clone())
        .collect();
    let model = Model::from_workbook(workbook, "en").unwrap();
    let mut list: Vec<_> = model
        .get_all_cells()
        .into_iter()
        .map(|c| (c.index, c.row, c.column))
        .collect();
    list.sort_unstable();
    let mut text = String::new();
    for (sheet, row, column) in list {
        let data = &model.workbook.worksheets[sheet as usize].sheet_data;
        let Some(cell) = data.cell(row, column) else {
            continue;
        };
        let shared = |index: i32| model.workbook.shared_strings[index as usize].clone();
        let packed = match &*cell {
            Cell::NumberCell { v, .. } => format!("n\t{v}"),
            Cell::SharedString { si, .. } => {
                format!("s\t{}", shared(*si).replace(['\t', '\n'], " "))
            }
            Cell::CellFormula { v, .. } => {
                let formula = model
                    .get_cell_formula(sheet, row, column)
                    .unwrap()
                    .unwrap_or_default();
                let result = match v {
                    FormulaValue::Number(number) => number.to_string(),
                    FormulaValue::Text(text) => text.clone(),
                    FormulaValue::Boolean(yes) => yes.to_string().to_uppercase(),
                    _ => String::new(),
                };
                format!("f\t{}\t{result}", formula.replace('@', ""))
            }
            _ => continue,
        };
        text.push_str(&format!(
            "{}\t{}\t{}\t{packed}\n",
            names[sheet as usize],
            row - 1,
            column - 1
        ));
    }
    text.into_bytes()
}

fn unpack(bytes: &[u8]) -> Cells {
    let mut cells: Cells = Vec::new();
    for line in std::str::from_utf8(bytes).unwrap().lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        let plain = match parts[3] {
            "n" => Plain::Number(parts[4].parse().unwrap()),
            "s" => Plain::Text(parts[4].to_owned()),
            _ => Plain::Formula(parts[4].to_owned(), parts[5].to_owned()),
        };
        let at = (parts[1].parse().unwrap(), parts[2].parse().unwrap(), plain);
        match cells.last_mut() {
            Some((name, list)) if name == parts[0] => list.push(at),
            _ => cells.push((parts[0].to_owned(), vec![at])),
        }
    }
    cells
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
        let registry = Registry::new(&[&floor::Floor]).unwrap();
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
    let middle = |mut list: Vec<f64>| {
        list.sort_by(f64::total_cmp);
        list[list.len() / 2]
    };
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
        surveys: Vec::new(),
    };
    let registry = Registry::new(&[&floor::Floor]).unwrap();
    let workshop = shop::load(&ShopFiles::built_in(SHOP, PRICES), &registry).unwrap();
    write_takeoff_form((&workshop.takeoff, &[]), &workshop.ledger, Some(&typed)).unwrap()
}
