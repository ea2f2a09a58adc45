//! Every workbook, as written and after edits, against an independent spreadsheet engine:
//! equal to pricing the edited numbers from scratch, or flagged "price again". Never neither.

use pourwright_tests::chance::Chance;
use pourwright_tests::jobs::{Edit, Job, Priced};
use pourwright_tests::oracle::{Recalculated, close};
use pourwright_tests::story::Story;

/// Jobs generated.
const JOBS: u64 = 200;
/// Edits of each, one after the other.
const EDITS: usize = 8;

#[test]
fn the_demo_workbook_recalculates_as_written() {
    let story = Story::new();
    let told = story.run(&["tryout", "{}/demo"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let sheet = Recalculated::new(&story.read("demo/bid.xlsx"));
    assert_eq!(sheet.differences(), [] as [String; 0]);
    assert!(sheet.stored.len() > 300, "the workbook is live");
}

/// What became of an edit.
#[derive(Debug, Default)]
struct Tally {
    live: usize,
    flagged: usize,
    refused: usize,
}

#[test]
fn generated_jobs_recalculate_as_written_and_after_edits() {
    let mut tally = Tally::default();
    for seed in 0..JOBS {
        let mut job = Job::generate(seed);
        let priced = job
            .price()
            .unwrap_or_else(|why| panic!("job {seed}: {why}"));
        let mut sheet = Recalculated::new(&priced.workbook());
        let differences = sheet.differences();
        assert!(
            differences.is_empty(),
            "job {seed}:\n{}",
            differences.join("\n")
        );
        let mut chance = Chance::new(seed + 10_000);
        let mut cleared_default = false;
        let mut history = Vec::new();
        for _ in 0..EDITS {
            let edit = Edit::random(&job, &mut chance);
            edit.in_job(&mut job);
            edit.in_workbook(&job, &mut sheet);
            sheet.recalculate();
            cleared_default |= edit.clears_default();
            history.push(edit);
            let told = format!("job {seed} after {history:?}");
            check(&told, &job, &priced, &sheet, cleared_default, &mut tally);
        }
    }
    println!("edits that stayed live: {}", tally.live);
    println!(
        "edits flagged because a row would take another path: {}",
        tally.flagged
    );
    println!(
        "edits flagged because the job can no longer be priced: {}",
        tally.refused
    );
    assert!(
        tally.live > 300 && tally.flagged > 100 && tally.refused > 20,
        "{tally:?}"
    );
}

fn check(
    told: &str,
    job: &Job,
    original: &Priced,
    sheet: &Recalculated,
    cleared_default: bool,
    tally: &mut Tally,
) {
    let flagged = shown_total(sheet) == "price again";
    let scratch = match job.price() {
        Ok(scratch) => scratch,
        Err(why) => {
            assert!(
                flagged,
                "{told}: cannot be priced, but the workbook shows a total\n{why}"
            );
            tally.refused += 1;
            return;
        }
    };
    if flagged {
        let other_path = scratch.paths() != original.paths();
        assert!(
            other_path || cleared_default,
            "{told}: flagged, though every row takes the path it took"
        );
        let rooms = sheet.sheet("Rooms");
        let price = sheet.column_headed("Rooms", 4, "Price of the room");
        assert_eq!(sheet.text((rooms, 5, price)), "price again", "{told}");
        tally.flagged += 1;
        return;
    }
    let total = sheet.number(sheet.named("bid_total"));
    assert!(
        close(total, scratch.bid.total()),
        "{told}: the workbook shows {total}, pricing from scratch gives {}",
        scratch.bid.total()
    );
    assert_eq!(shown_total(sheet), total.to_string(), "{told}");
    let rooms = sheet.sheet("Rooms");
    let column = sheet.column_headed("Rooms", 4, "Price of the room");
    for (row, expected) in (5i32..).zip(scratch.bid.room_prices()) {
        let shown = sheet.number((rooms, row, column));
        assert!(
            close(shown, *expected),
            "{told}: room in row {row} shows {shown}, expected {expected}"
        );
    }
    let estimate = sheet.sheet("Estimate");
    let lines = scratch.bid.ledger.table(scratch.bid.line_table);
    for row in 0..lines.rows() {
        let cost = sheet.number((estimate, 5 + row as i32, 9));
        let expected = lines.value(scratch.bid.line_columns.cost, row);
        assert!(
            close(cost, expected),
            "{told}: line {row} costs {cost}, expected {expected}"
        );
    }
    tally.live += 1;
}

/// What stands beside Total on the Bid sheet.
fn shown_total(sheet: &Recalculated) -> String {
    let row = sheet.row_with("Bid", 1, "Total");
    sheet.text((sheet.sheet("Bid"), row, 4))
}
