//! Workbooks of floor heating, as written and after edits: equal to pricing from scratch, or
//! flagged. The program's choice of mat or cable follows every edit of areas, sizes and voltages.

use engine::trail::{Kind, Role};
use pourwright_tests::chance::Chance;
use pourwright_tests::heated::{HeatEdit, HeatJob};
use pourwright_tests::oracle::{HEADINGS, Recalculated, close};
use pourwright_tests::priced::Priced;

const JOBS: u64 = 80;
const EDITS: usize = 10;

#[derive(Debug, Default)]
struct Tally {
    live: usize,
    chosen_anew: usize,
    flagged: usize,
    refused: usize,
}

fn recalculated(priced: &Priced, told: &str) -> Recalculated {
    let sheet = Recalculated::new(&priced.workbook());
    let differences = sheet.differences();
    assert!(
        differences.is_empty(),
        "{told}:\n{}",
        differences.join("\n")
    );
    sheet
}

/// The products laid, room by room; nothing where there is no heat.
fn products(priced: &Priced) -> Vec<String> {
    let rooms = priced.bid.ledger.table(priced.bid.takeoff.rooms.table);
    let column = rooms.column_named("heat.product");
    let name = |row| {
        column.map_or("", |id| {
            priced.bid.ledger.texts.of_value(rooms.value(id, row))
        })
    };
    (0..rooms.rows()).map(|row| name(row).to_owned()).collect()
}

/// Every cell and caution of every room shows what pricing from scratch gives.
fn compare(told: &str, scratch: &Priced, sheet: &Recalculated) {
    let total = sheet.number(sheet.named("bid_total"));
    let expected = scratch.bid.total();
    assert!(
        close(total, expected),
        "{told}: shows {total}, from scratch {expected}"
    );
    let ledger = &scratch.bid.ledger;
    let rooms = ledger.table(scratch.bid.takeoff.rooms.table);
    let index = sheet.sheet("Rooms");
    let headings: Vec<String> = (1..200)
        .map(|at| sheet.text((index, HEADINGS, at)))
        .collect();
    let mut compared = 0;
    for column in &rooms.columns {
        let wanted = match column.role {
            Role::Caution => column.title.clone(),
            Role::Cell if column.unit.label.is_empty() => column.title.clone(),
            Role::Cell => format!("{} ({})", column.title, column.unit.label),
            _ => continue,
        };
        // A long caution's heading shows its beginning.
        let is_wanted = |heading: &String| match heading.strip_suffix(" …") {
            Some(start) => wanted.starts_with(start),
            None => heading.eq_ignore_ascii_case(&wanted),
        };
        let at = headings.iter().rposition(is_wanted);
        for (row, value) in (1i32..).zip(&column.values) {
            if value.is_nan() {
                continue;
            }
            let at = at.unwrap_or_else(|| panic!("{told}: no column {wanted}")) as i32 + 1;
            let cell = (index, HEADINGS + row, at);
            compared += 1;
            match column.kind {
                Kind::Number(_) => {
                    let (shown, expected) = (sheet.number(cell), column.unit.from_base(*value));
                    let formula = sheet.formula(cell);
                    assert!(
                        (shown - expected).abs() <= 1e-8 * expected.abs().max(1.0),
                        "{told}: {wanted} in row {row} shows {shown}, expected {expected}: {formula}"
                    );
                }
                Kind::Text => assert_eq!(sheet.text(cell), ledger.texts.of_value(*value), "{told}"),
                _ => {}
            }
        }
    }
    assert!(compared >= rooms.rows(), "{told}: cells are compared");
}

fn play(seeds: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let mut job = HeatJob::generate(seed);
        let Ok(mut priced) = job.price() else {
            continue;
        };
        let mut sheet = recalculated(&priced, &format!("job {seed}"));
        let mut chance = Chance::new(seed + 50_000);
        let mut history = Vec::new();
        for _ in 0..EDITS {
            let edit = HeatEdit::random(&job, &mut chance);
            let before = (job.clone(), products(&priced));
            edit.in_job(&mut job);
            edit.in_workbook(&job, &mut sheet);
            sheet.recalculate();
            let told = format!("job {seed} ({job:?}) after {history:?}, then {edit:?}");
            let flagged = sheet.shown_total() == "price again";
            match (job.price(), flagged) {
                (Ok(scratch), false) => {
                    compare(&told, &scratch, &sheet);
                    tally.live += 1;
                    tally.chosen_anew += usize::from(products(&scratch) != before.1);
                }
                (Ok(scratch), true) => {
                    let other = scratch.paths() != priced.paths();
                    assert!(other || edit.clears(), "{told}: flagged for nothing");
                    tally.flagged += 1;
                    sheet = recalculated(&scratch, &told);
                    priced = scratch;
                }
                (Err(why), flagged) => {
                    assert!(
                        flagged,
                        "{told}: cannot be priced, but shows a total\n{why}"
                    );
                    tally.refused += 1;
                    job = before.0;
                    priced = job.price().unwrap_or_else(|why| panic!("{told}: {why}"));
                    sheet = recalculated(&priced, &told);
                }
            }
            history.push(edit);
        }
    }
    tally
}

#[test]
fn generated_heating_follows_every_edit_or_says_price_again() {
    let halves = std::thread::scope(|scope| {
        let first = scope.spawn(|| play(0..JOBS / 2));
        [play(JOBS / 2..JOBS), first.join().unwrap()]
    });
    println!("{halves:?}");
    let sum = |count: fn(&Tally) -> usize| halves.iter().map(count).sum::<usize>();
    assert!(sum(|t| t.live) > 200, "an edit should mostly stay live");
    assert!(
        sum(|t| t.chosen_anew) > 10,
        "the choice must be seen to follow"
    );
    assert!(
        sum(|t| t.flagged) > 40 && sum(|t| t.refused) > 10,
        "flags must be seen"
    );
}

/// One bath of 55 sq ft at 120 V, mats on both sides of it, a mat of 240 V and a cable.
fn bath() -> HeatJob {
    let mat = |covers: f64, volts: f64| {
        let fields = [
            Some(volts),
            Some(covers * 12.0),
            Some(covers),
            None,
            Some(0.125),
        ];
        (format!("Mat {covers}"), fields)
    };
    let cable = [Some(120.0), Some(500.0), None, Some(160.0), Some(0.125)];
    let mut room: [String; 13] = Default::default();
    for (column, typed) in [(0, "Bath"), (3, "mat"), (4, "55"), (8, "120")] {
        room[column] = typed.to_owned();
    }
    HeatJob {
        metric: false,
        rooms: vec![room],
        products: vec![
            mat(30.0, 120.0),
            mat(50.0, 120.0),
            mat(60.0, 120.0),
            mat(52.0, 240.0),
            ("Cable".to_owned(), cable),
        ],
    }
}

#[test]
fn the_choice_follows_areas_sizes_and_voltages_from_both_sides() {
    let area = |typed: &str| vec![HeatEdit::Cell(0, 4, typed.to_owned())];
    let volts = |typed: &str| vec![HeatEdit::Cell(0, 8, typed.to_owned())];
    // As many watts for the area as before: the time to warm up, which has no formula, is the same.
    let covers = |product, value: f64| {
        let watts = HeatEdit::Field(product, 1, Some(value * 12.0));
        vec![HeatEdit::Field(product, 2, Some(value)), watts]
    };
    let voltage = |product, value| vec![HeatEdit::Field(product, 0, Some(value))];
    let cases = [
        (area("59.99"), Some("Mat 50")),
        (area("60"), Some("Mat 60")),
        (area("50"), Some("Mat 50")),
        (area("49.99"), Some("Mat 30")),
        (area("30"), Some("Mat 30")),
        (area("29.99"), None),
        (area("0"), None),
        (covers(2, 55.0), Some("Mat 60")),
        (covers(2, 55.01), Some("Mat 50")),
        (covers(1, 55.01), Some("Mat 30")),
        (covers(0, 54.0), Some("Mat 30")),
        // Of two as large, the first in the price book.
        (covers(0, 50.0), Some("Mat 30")),
        (covers(2, 50.0), Some("Mat 50")),
        (covers(4, 54.0), Some("Cable")),
        (voltage(1, 240.0), Some("Mat 30")),
        (voltage(3, 120.0), Some("Mat 52")),
        (volts("240"), Some("Mat 52")),
        (volts("208"), None),
    ];
    for metric in [false, true] {
        for (edits, expected) in &cases {
            let mut job = HeatJob { metric, ..bath() };
            let priced = job.price().unwrap_or_else(|why| panic!("{why}"));
            assert_eq!(products(&priced), ["Mat 50"]);
            let mut sheet = recalculated(&priced, "the bath");
            for edit in edits {
                edit.in_job(&mut job);
                edit.in_workbook(&job, &mut sheet);
            }
            sheet.recalculate();
            let told = format!("{edits:?}");
            let flagged = sheet.shown_total() == "price again";
            assert_eq!(flagged, expected.is_none(), "{told}");
            let scratch = job.price();
            assert_eq!(scratch.is_err(), flagged, "{told}");
            if let (Ok(scratch), Some(expected)) = (scratch, expected) {
                assert_eq!(products(&scratch), [*expected], "{told}");
                compare(&told, &scratch, &sheet);
            }
        }
    }
}
