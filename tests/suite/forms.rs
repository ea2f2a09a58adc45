//! What `begin` lays out can be filled in and priced, in both systems of units.

use engine::diag::column_letters;
use engine::grid::{self, Sheet, Value};
use pourwright_tests::story::Story;
use rust_xlsxwriter::Workbook;

/// Headings with what stands below them, or keys with what stands beside them.
type Columns<'a> = &'a [(&'a str, &'a [&'a str])];

/// A form as cells: its sheets with their headings, which a person would fill below.
fn copied(story: &Story, file: &str) -> Vec<Sheet> {
    grid::read(file, &story.read(file)).unwrap().sheets
}

/// Fills rows below the headings (or values beside the keys) and writes the form anew.
fn fill(sheets: &[Sheet], filled: &[(&str, Columns<'_>)]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    for sheet in sheets {
        let name = sheet.name.as_deref().unwrap();
        let out = workbook.add_worksheet().set_name(name).unwrap();
        for (row, cells) in &sheet.rows {
            for (column, cell) in cells {
                if let Value::Text(text) = &cell.value {
                    out.write_string(*row, *column as u16, text).unwrap();
                }
            }
        }
        let columns = filled.iter().filter(|(known, _)| *known == name);
        for (heading, values) in columns.flat_map(|(_, columns)| *columns) {
            let (row, column) = find(sheet, heading);
            let beside = name == "Job";
            for (at, value) in (1u32..).zip(*values) {
                let (row, column) = if beside {
                    (row, column + 1)
                } else {
                    (row + at, column)
                };
                match value.parse::<f64>() {
                    Ok(number) => out.write_number(row, column as u16, number).unwrap(),
                    Err(_) => out.write_string(row, column as u16, *value).unwrap(),
                };
            }
        }
    }
    workbook.save_to_buffer().unwrap()
}

fn find(sheet: &Sheet, text: &str) -> (u32, u32) {
    for (row, cells) in &sheet.rows {
        for (column, cell) in cells {
            if cell.value == Value::Text(text.to_owned()) {
                return (*row, *column);
            }
        }
    }
    let all: Vec<String> = sheet
        .rows
        .iter()
        .flat_map(|(row, cells)| {
            let row = row + 1;
            cells.iter().map(move |(column, cell)| {
                format!("{}{row} {}", column_letters(*column), cell.shown())
            })
        })
        .collect();
    panic!("no cell of {:?} holds {text}: {all:?}", sheet.name);
}

fn begun_and_filled(metric: bool) -> (Story, String) {
    let story = Story::new();
    let mut arguments = vec!["begin", "{}/shop"];
    arguments.extend(metric.then_some("--metric"));
    let told = story.run(&arguments);
    assert_eq!(told.code, 0, "{}", told.err);
    let unit = |us: &'static str, si: &'static str| if metric { si } else { us };
    let products: Columns<'_> = &[
        ("Product", &["Own Mix", "Own Prime"]),
        ("Kind", &["leveler", "primer"]),
        ("Package", &["bag", "pail"]),
        (unit("Price ($)", "Price (€)"), &["40", "60"]),
        (unit("Weight (lb)", "Weight (kg)"), &["50", "20"]),
        (unit("Yield (cu ft)", "Yield (L)"), &["0.5"]),
        ("Depth", &["1/8 in .. 2 in"]),
        (unit("Water (qt)", "Water (L)"), &["5"]),
        ("Pot life (min)", &["20"]),
    ];
    let coverage: Columns<'_> = &[(unit("Coverage (sq ft)", "Coverage (m2)"), &["", "300"])];
    let rates: Columns<'_> = &[
        ("Rate", &["crew", "mixing_set", "delivery"]),
        ("Price", &["150", "120", "90"]),
        ("Per", &["h", "day"]),
    ];
    let sheets = copied(&story, "shop/prices.xlsx");
    let prices = fill(
        &sheets,
        &[
            ("Products", products),
            ("Products", coverage),
            ("Rates", rates),
        ],
    );
    let rooms: Columns<'_> = &[
        ("Room", &["Hall", "Bath"]),
        (unit("Area (sq ft)", "Area (m2)"), &["100", "50"]),
        (
            unit("Average depth (in)", "Average depth (mm)"),
            &["0.5", "0.75"],
        ),
        ("Substrate", &["concrete", "plywood"]),
    ];
    let job: Columns<'_> = &[
        ("Job", &["First floor"]),
        ("Leveler", &["Own Mix"]),
        ("Primer", &["Own Prime"]),
    ];
    let sheets = copied(&story, "shop/takeoff.xlsx");
    let takeoff = fill(&sheets, &[("Rooms", rooms), ("Job", job)]);
    let story = story
        .bytes("shop/prices.xlsx", &prices)
        .bytes("shop/takeoff.xlsx", &takeoff);
    let told = story.run(&["bid", "{}/shop/takeoff.xlsx"]);
    assert_eq!(told.code, 0, "{}", told.err);
    (story, told.out)
}

#[test]
fn a_form_filled_in_is_priced() {
    for metric in [false, true] {
        let (story, told) = begun_and_filled(metric);
        assert!(story.has("shop/takeoff-bid.xlsx"));
        assert!(
            told.contains("First floor") && told.contains("Own Mix"),
            "{told}"
        );
    }
}

#[test]
fn a_form_left_blank_says_what_is_missing() {
    let story = Story::new();
    assert_eq!(story.run(&["begin", "{}/shop"]).code, 0);
    let told = story.run(&["bid", "{}/shop/takeoff.xlsx"]);
    assert_eq!(told.code, 1);
    assert!(!story.has("shop/takeoff-bid.xlsx"));
    insta::assert_snapshot!(told.err);
    let told = story.run(&["begin", "{}/shop"]);
    assert_eq!(told.code, 1, "a folder with work in it is left alone");
}
