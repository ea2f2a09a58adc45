//! What the benchmarks share: the shop that they price with, and the median of some runs.

use std::hint::black_box;
use std::time::Instant;

use engine::bid::Bid;
use engine::plugin::Registry;
use engine::shop::{self, ShopFiles, Workshop};
use engine::workbook::{Pictures, write_bid};

use crate::only_cells::{pack, read_values, unpack, write_cells};

/// A shop of the leveling recipe alone, with the demo's prices: what is measured is the program,
/// and stays the same when the demo job grows.
const SHOP: &str = r#"
name = "Benchmark shop"
units = "US"
currency = "$"
recipes = ["leveling"]

[pricing]
markup = "28 %"
contingency = "4 %"
tax_on_materials = "7.25 %"
minimum_charge = "$950"
round_to = "$5"
"#;
const PRICES: &str = include_str!("../../cli/demo/prices.toml");
/// Runs of which the median counts.
pub const RUNS: usize = 5;

/// All plugins of the program.
pub fn registry() -> Registry {
    pourwright::registry().unwrap()
}

/// The benchmarks' shop.
pub fn workshop(registry: &Registry) -> Workshop {
    shop::load(&ShopFiles::built_in(SHOP, PRICES), registry).unwrap()
}

/// The middle one.
pub fn middle(mut list: Vec<f64>) -> f64 {
    list.sort_by(f64::total_cmp);
    list[list.len() / 2]
}

/// Median time of some runs, in seconds.
pub fn median<T>(work: impl Fn() -> T) -> f64 {
    let time = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed().as_secs_f64()
    };
    middle((0..RUNS).map(time).collect())
}

/// Prices a takeoff and writes its workbook, and beside it only reads the takeoff and writes the same
/// cells. A line each for pricing, writing and both: label, part, seconds, seconds of only the cells,
/// ratio.
pub fn beside_only_cells(
    label: &str,
    takeoff: &[u8],
    price: impl Fn() -> (Bid, Workshop),
) -> String {
    let (bid, workshop) = price();
    let write = || {
        let source = ("takeoff.xlsx", takeoff);
        write_bid(&bid, &workshop, source, Pictures::LeftOut).unwrap()
    };
    let cells = unpack(&pack(&write()));
    let pricing = [median(price), median(|| read_values(takeoff))];
    let writing = [median(write), median(|| write_cells(&cells))];
    let both = [pricing[0] + writing[0], pricing[1] + writing[1]];
    let lines = [
        ("read and price", pricing),
        ("write", writing),
        ("both", both),
    ];
    let line = |(part, [ours, floor]): (&str, [f64; 2])| {
        let ratio = ours / floor;
        format!("{label}   {part:14} {ours:7.3} {floor:14.3} {ratio:7.2}\n")
    };
    lines.map(line).concat()
}
