//! Every workbook, as written and after edits, against an independent spreadsheet engine:
//! equal to pricing the edited numbers from scratch, or flagged "price again". Never neither.

use pourwright_tests::chance::Chance;
use pourwright_tests::edits::Edit;
use pourwright_tests::estimates::{assert_same_lines, assert_same_terms};
use pourwright_tests::jobs::Job;
use pourwright_tests::offers::{any_alternate_flagged, assert_same_alternates};
use pourwright_tests::oracle::{Recalculated, close};
use pourwright_tests::priced::Priced;
use pourwright_tests::story::Story;

/// Jobs generated.
const JOBS: u64 = 200;
/// Edits of each, one after the other.
const EDITS: usize = 8;

#[test]
fn the_demo_workbooks_recalculate_as_written() {
    let story = Story::new();
    for arguments in [
        ["tryout", "{}/demo"].as_slice(),
        &["tryout", "{}/metric", "--metric"],
    ] {
        let told = story.run(arguments);
        assert_eq!(told.code, 0, "{}", told.err);
        let folder = arguments[1].trim_start_matches("{}/");
        let sheet = Recalculated::new(&story.read(&format!("{folder}/bid.xlsx")));
        assert_eq!(sheet.differences(), [] as [String; 0], "{folder}");
        assert!(sheet.stored.len() > 1_000, "the workbook is live");
    }
}

#[test]
fn a_few_jobs_recalculate_as_written_and_after_edits() {
    let tally = play(JOBS..JOBS + 12);
    assert!(tally.live > 30, "{tally:?}");
    assert!(tally.alternates.0 > 10, "{tally:?}");
}

/// What became of edits.
#[derive(Debug, Default)]
struct Tally {
    live: usize,
    flagged: usize,
    refused: usize,
    /// Alternates that were equal, and that said "price again".
    alternates: (usize, usize),
}

/// What became of one edit.
enum Outcome {
    /// The workbook followed it.
    Live,
    /// It says "price again", and pricing from scratch works.
    Flagged(Box<Priced>),
    /// It says "price again", and pricing from scratch finds a mistake.
    Refused,
}

#[test]
fn generated_jobs_recalculate_as_written_and_after_edits() {
    let halves = std::thread::scope(|scope| {
        let first = scope.spawn(|| play(0..JOBS / 2));
        [play(JOBS / 2..JOBS), first.join().unwrap()]
    });
    let sum = |count: fn(&Tally) -> usize| halves.iter().map(count).sum::<usize>();
    let (live, flagged, refused) = (sum(|t| t.live), sum(|t| t.flagged), sum(|t| t.refused));
    println!("edits that stayed live: {live}");
    println!("edits flagged because a row would take another path: {flagged}");
    println!("edits flagged because the job can no longer be priced: {refused}");
    let live = sum(|t| t.alternates.0);
    let stale = sum(|t| t.alternates.1);
    println!("alternates that followed: {live}, that said price again: {stale}");
    assert!(live > 100, "alternates mostly follow");
    let live = sum(|t| t.live);
    assert!(live > 500, "an edit should mostly stay live");
    assert!(
        flagged > 100 && refused > 20,
        "both kinds of flag must be seen"
    );
}

fn play(seeds: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for seed in seeds {
        let mut job = Job::generate(seed);
        let mut priced = job
            .price()
            .unwrap_or_else(|why| panic!("job {seed}: {why}"));
        let mut sheet = recalculated(&priced, &format!("job {seed}"));
        let mut chance = Chance::new(seed + 10_000);
        let mut history = Vec::new();
        for _ in 0..EDITS {
            let edit = Edit::random(&job, &mut chance);
            let before = job.clone();
            let may_be_flagged = edit.clears_default()
                || edit.is_on_a_dry_floor(&job)
                || edit.leaves_the_phases(&priced);
            edit.in_job(&mut job);
            edit.in_workbook(&job, &mut sheet);
            sheet.recalculate();
            let told = format!("job {seed} after {history:?}, then {edit:?}");
            let alternates = &mut tally.alternates;
            match check(&told, &job, &priced, &sheet, may_be_flagged, alternates) {
                Outcome::Live => tally.live += 1,
                // As the workbook asks, the takeoff is priced again.
                Outcome::Flagged(scratch) => {
                    tally.flagged += 1;
                    priced = *scratch;
                    sheet = recalculated(&priced, &told);
                }
                Outcome::Refused => {
                    tally.refused += 1;
                    job = before;
                    priced = job.price().unwrap_or_else(|why| panic!("{told}: {why}"));
                    sheet = recalculated(&priced, &told);
                }
            }
            history.push(edit);
        }
    }
    tally
}

/// A workbook in the oracle, which must give every number as it was written.
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

fn check(
    told: &str,
    job: &Job,
    original: &Priced,
    sheet: &Recalculated,
    may_be_flagged: bool,
    alternates: &mut (usize, usize),
) -> Outcome {
    let flagged = sheet.shown_total() == "price again";
    let scratch = match job.price() {
        Ok(scratch) => scratch,
        Err(why) => {
            assert!(
                flagged || any_alternate_flagged(sheet, &original.bid),
                "{told}: cannot be priced, but the workbook shows a total\n{why}"
            );
            return Outcome::Refused;
        }
    };
    let (live, stale) = assert_same_alternates(sheet, &scratch.bid, told);
    alternates.0 += live;
    alternates.1 += stale;
    if flagged {
        let other_path = scratch.paths() != original.paths();
        assert!(
            other_path || may_be_flagged,
            "{told}: flagged, though every row takes the path it took"
        );
        let rooms = sheet.sheet("Rooms");
        let price = sheet.column_headed("Rooms", 4, "Price of the room");
        assert_eq!(sheet.text((rooms, 5, price)), "price again", "{told}");
        return Outcome::Flagged(Box::new(scratch));
    }
    let total = sheet.number(sheet.named("bid_total"));
    assert!(
        close(total, scratch.bid.total()),
        "{told}: the workbook shows {total}, pricing from scratch gives {}",
        scratch.bid.total()
    );
    assert_eq!(sheet.shown_total(), total.to_string(), "{told}");
    let rooms = sheet.sheet("Rooms");
    let column = sheet.column_headed("Rooms", 4, "Price of the room");
    for (row, expected) in (5i32..).zip(scratch.bid.room_prices()) {
        let shown = sheet.number((rooms, row, column));
        assert!(
            close(shown, *expected),
            "{told}: room in row {row} shows {shown}, expected {expected}"
        );
    }
    assert_same_lines(sheet, &scratch.bid, told);
    assert_same_terms(sheet, &scratch.bid, told);
    Outcome::Live
}
