//! Sheets as people keep them, through real files: titles, merged cells, formats, formulas,
//! totals, notes, hidden sheets, and the dialects of csv.

use pourwright_tests::story::Story;
use rust_xlsxwriter::{Format, Formula, Workbook, XlsxError};
use serde_json::Value;

/// A shop whose waste is 0 and whose figures are round, so that amounts can be checked by hand.
fn story() -> Story {
    Story::new()
        .file(
            "shop.toml",
            "name = \"Plain\"\nunits = \"US\"\n[factors.leveling]\nwaste = \"0 %\"\nleast_cover = \"0 in\"\n",
        )
        .file(
            "prices.toml",
            "[products.leveler.Mix]\npackage = \"bag\"\nprice = \"$10\"\nyields = \"0.5 cu ft\"\ndepth = \"1/8 in .. 5 in\"\nwater = \"5 qt\"\npot_life = \"20 min\"\nweight = \"50 lb\"\n[products.primer.Prime]\npackage = \"jug\"\nprice = \"$50\"\ncoverage = \"400 sq ft\"\n[rates]\ncrew = { price = \"$100\", per = \"h\" }\nmixing_set = { price = \"$100\", per = \"day\" }\ndelivery = { price = \"$100\" }\n",
        )
}

/// Bags needed, as `bid --json` gives them.
fn bags(story: &Story, file: &str) -> (f64, String) {
    let told = story.run(&["bid", &format!("{{}}/{file}"), "--json"]);
    assert_eq!(told.code, 0, "{file}: {}", told.err);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    let lines = json["lines"].as_array().unwrap();
    let line = lines
        .iter()
        .find(|line| line["product_or_rate"] == "Mix")
        .unwrap();
    (line["needed"].as_f64().unwrap(), told.err)
}

fn kept_by_people() -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    let bold = Format::new().set_bold();
    let old = workbook.add_worksheet().set_name("Rooms (old)")?;
    old.write_string(0, 0, "Room")?.set_hidden(true);
    let job = workbook.add_worksheet().set_name("Job")?;
    for (row, (key, value)) in
        (1u32..).zip([("Job:", "Attic"), ("Leveler", "Mix"), ("Primer", "Prime")])
    {
        job.write_string(row, 1, key)?;
        job.write_string(row, 2, value)?;
    }
    // The waste of this job, as a cell formatted as a percentage.
    job.write_string(4, 1, "Leveling waste")?;
    job.write_number_with_format(4, 2, 0.10, &Format::new().set_num_format("0 %"))?;
    let rooms = workbook.add_worksheet().set_name("Rooms")?;
    rooms.merge_range(0, 0, 0, 4, "Upper floor, measured on two days", &bold)?;
    for (at, heading) in (0u16..).zip(["Room", "Floor area", "Avg depth (in)", "Substrate", "Who"])
    {
        rooms.write_string_with_format(2, at, heading, &bold)?;
    }
    let square_feet = Format::new().set_num_format("#,##0.0\" sq ft\"");
    rooms.write_string(3, 0, "Hall")?;
    rooms.write_number_with_format(3, 1, 120.0, &square_feet)?;
    rooms.write_number(3, 2, 1.0)?;
    rooms.merge_range(3, 3, 4, 3, "plywood", &Format::new())?;
    rooms.write_string(4, 0, "Bath")?;
    rooms.write_formula_with_format(4, 1, Formula::new("=6*10").set_result("60"), &square_feet)?;
    // A number stored as text.
    rooms.write_string(4, 2, " 2 ")?;
    rooms.write_string(4, 4, "J.")?;
    // A blank row, then one more room, then totals and a note.
    rooms.write_string(6, 0, "Closet")?;
    rooms.write_string(6, 1, "12 SF")?;
    rooms.write_string(6, 2, "1/2")?;
    rooms.write_string(6, 3, "Concrete")?;
    rooms.write_string(7, 0, "Total")?;
    rooms.write_formula(7, 1, Formula::new("=SUM(B4:B7)").set_result("192"))?;
    rooms.write_string(9, 0, "Depths below the laser line, checked twice.")?;
    workbook.save_to_buffer()
}

#[test]
fn a_sheet_kept_by_people_is_read_right() {
    let story = story().bytes("attic.xlsx", &kept_by_people().unwrap());
    let (needed, said) = bags(&story, "attic.xlsx");
    // 120 sq ft at 1 in, 60 at 2 in and 12 at 1/2 in are 10 + 10 + 0.5 cu ft; a tenth more; 0.5 a bag.
    assert!((needed - 20.5 * 1.1 / 0.5).abs() < 1e-9, "{needed}");
    for part in [
        "\"Who\" is not asked for",
        "totals",
        "read as a note",
        "Rooms (old)",
    ] {
        assert!(said.contains(part), "{part} is missing in:\n{said}");
    }
    let told = story.run(&["explain", "{}/attic.xlsx", "Bath", "substrate"]);
    assert!(told.out.contains("plywood"), "{}", told.out);
}

#[test]
fn cells_that_mislead_are_refused_by_their_address() {
    let sheet = |fill: &dyn Fn(&mut rust_xlsxwriter::Worksheet) -> Result<(), XlsxError>| {
        let mut workbook = Workbook::new();
        let rooms = workbook.add_worksheet().set_name("Rooms").unwrap();
        let headings = [
            "Room",
            "Area (sq ft)",
            "Average depth (in)",
            "Leveler",
            "Primer",
        ];
        for (at, heading) in (0u16..).zip(headings) {
            rooms.write_string(0, at, heading).unwrap();
        }
        for (at, text) in [(0u16, "Hall"), (3, "Mix"), (4, "Prime")] {
            rooms.write_string(1, at, text).unwrap();
        }
        rooms.write_number(1, 1, 100.0).unwrap();
        fill(rooms).unwrap();
        workbook.save_to_buffer().unwrap()
    };
    let format = |text: &str| Format::new().set_num_format(text);
    let cases: [(&str, Vec<u8>); 5] = [
        (
            "holds a date (2026-03-08)",
            sheet(&|s| {
                let date = rust_xlsxwriter::ExcelDateTime::from_ymd(2026, 3, 8)?;
                s.write_datetime_with_format(1, 2, &date, &format("m/d"))
                    .map(drop)
            }),
        ),
        (
            "expected length",
            sheet(&|s| {
                s.write_number_with_format(1, 2, 0.5, &format("0%"))
                    .map(drop)
            }),
        ),
        (
            "number format of \"10\" says mm, its heading says in",
            sheet(&|s| {
                s.write_number_with_format(1, 2, 10.0, &format("0\" mm\""))
                    .map(drop)
            }),
        ),
        (
            "error value #DIV/0!",
            sheet(&|s| {
                s.write_formula(1, 2, Formula::new("=1/0").set_result("#DIV/0!"))
                    .map(drop)
            }),
        ),
        (
            "1/2 to 3/4 in",
            sheet(&|s| s.write_string(1, 2, "1/2 to 3/4 in").map(drop)),
        ),
    ];
    for (said, bytes) in cases {
        let story = story().bytes("rooms.xlsx", &bytes);
        let told = story.run(&["bid", "{}/rooms.xlsx"]);
        assert_eq!(told.code, 1, "{said}: {}", told.out);
        assert!(
            told.err.contains(said),
            "{said} is missing in:\n{}",
            told.err
        );
        assert!(told.err.contains("[Rooms!C2]"), "{}", told.err);
    }
}

#[test]
fn every_dialect_of_csv_gives_the_same_bid() {
    let comma = "Room,Area (sq ft),Average depth,Leveler,Primer\n\"Hall, lower\",120,1 in,Mix,Prime\nBath,60,\"1/2\"\"\",Mix,Prime\n";
    let plain = story().file("rooms.csv", comma);
    let expected = bags(&plain, "rooms.csv").0;
    assert!((expected - 12.5 / 0.5).abs() < 1e-9, "{expected}");
    let semicolon = "Room;Area (sq ft);Average depth;Leveler;Primer\nHall, lower;120;1 in;Mix;Prime\nBath;60;\"1/2\"\"\";Mix;Prime\n";
    for (dialect, text) in [
        ("semicolons", semicolon.to_owned()),
        ("tabs", semicolon.replace(';', "\t")),
        ("a byte order mark", format!("\u{feff}{comma}")),
        ("line ends of one system", comma.replace('\n', "\r\n")),
        ("line ends of another", comma.replace('\n', "\r")),
        ("blank lines between", comma.replace('\n', "\r\n\r\n")),
        ("an unended last line", comma.trim_end().to_owned()),
        ("a title above", format!("Upper floor,,,,\n,,,,\n{comma}")),
    ] {
        let story = story().file("rooms.csv", &text);
        assert_eq!(bags(&story, "rooms.csv").0, expected, "{dialect}");
    }
}
