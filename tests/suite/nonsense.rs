//! Numbers and names in a workbook that no takeoff, price book or shop would be read with:
//! whoever types them must see "price again", not a total.

use pourwright_tests::jobs::Job;
use pourwright_tests::oracle::{At, HEADINGS, Recalculated};

/// What is typed into a cell.
#[derive(Clone, Copy, Debug)]
enum Typed {
    Number(f64),
    Text(&'static str),
    Nothing,
}
use Typed::{Nothing, Number, Text};

fn typed_in_rooms() -> Vec<(&'static str, &'static str, Typed)> {
    let mut list = Vec::new();
    for heading in ["Area", "Average depth", "Edge", "Layers"] {
        for typed in [Text("about 12"), Number(-3.0), Number(1e13)] {
            list.push(("Rooms", heading, typed));
        }
    }
    for heading in ["Leveler", "Primer", "Strip", "Substrate", "Heated"] {
        for typed in [Text("Nobody's Mix"), Number(7.0)] {
            list.push(("Rooms", heading, typed));
        }
    }
    for typed in [Text("wide"), Number(-3.0), Nothing] {
        list.push(("Openings", "Width", typed));
    }
    list.push(("Rooms", "Average depth", Nothing));
    list
}

fn typed_in_names() -> Vec<(String, Typed)> {
    let mut list = Vec::new();
    for name in ["leveling_waste", "leveling_least_cover"] {
        for typed in [Text("some"), Number(-1.0), Nothing] {
            list.push((name.to_owned(), typed));
        }
    }
    for name in [
        "book_leveler_yields",
        "book_leveler_price",
        "book_primer_coverage",
    ] {
        for typed in [Text("plenty"), Number(-1.0), Nothing] {
            list.push((name.to_owned(), typed));
        }
    }
    list.push(("book_leveler_yields".to_owned(), Number(0.0)));
    for name in ["rate_crew", "job_visits", "job_leveler", "minimum_charge"] {
        for typed in [Text("Nobody's Mix"), Number(-1.0)] {
            list.push((name.to_owned(), typed));
        }
    }
    list
}

#[test]
fn nonsense_never_gives_a_total() {
    for seed in [3, 8] {
        let job = Job::generate(seed);
        let workbook = job.price().unwrap().workbook();
        let mut missed = Vec::new();
        for (sheet_name, heading, typed) in typed_in_rooms() {
            let mut sheet = Recalculated::new(&workbook);
            let column = sheet.column_headed(sheet_name, HEADINGS, heading);
            let at = (sheet.sheet(sheet_name), HEADINGS + 1, column);
            if shown_total(&mut sheet, at, typed) != "price again" {
                missed.push(format!("{sheet_name} {heading}: {typed:?}"));
            }
        }
        for (name, typed) in typed_in_names() {
            let mut sheet = Recalculated::new(&workbook);
            let at = sheet.named(&name);
            if shown_total(&mut sheet, at, typed) != "price again" {
                missed.push(format!("{name}: {typed:?}"));
            }
        }
        assert_eq!(missed, [] as [String; 0], "job {seed}");
    }
}

fn shown_total(sheet: &mut Recalculated, at: At, typed: Typed) -> String {
    match typed {
        Number(number) => sheet.type_number(at, number),
        Text(text) => sheet.type_text(at, text),
        Nothing => sheet.clear(at),
    }
    sheet.recalculate();
    sheet.shown_total()
}
