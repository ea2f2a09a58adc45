//! A job priced by hand to the cent: overhead, phases, suppliers, fees, allowances, payments.
//!
//! The arithmetic stands beside each figure; nothing here comes out of the program.

use pourwright_tests::oracle::Recalculated;
use pourwright_tests::story::Story;
use serde_json::Value;

/// Markup for all but labour, whose margin of 20 % is a markup of 25 %.
pub(super) const SHOP: &str = r#"
name = "Hand reckoned"
units = "US"
recipes = ["boards"]
payments = [
    { step = "With the order", part = "33.3 %" },
    { step = "When boards are laid", part = "33.3 %" },
    { step = "When accepted", part = "33.4 %" },
]

[pricing]
markup = "25 %"
contingency = "5 %"
overhead = "12 %"
tax_on_materials = "6 %"
minimum_charge = "$500"
round_to = "$5"

[pricing.labour]
margin = "20 %"

[fees]
"City permit" = "$180"
"Disposal" = "2 %"
"#;

const PRICES: &str = r#"
[products.board."Thin"]
package = "box"
price = "$12"
covers = "30 sq ft"
weight = "20 lb"
pallet = 3
supplier = "North"

[products.board."Thick"]
package = "box"
price = "$15"
covers = "20 sq ft"

[rates]
crew = { price = "$60", per = "h" }
delivery = { price = "$90" }
"#;

const RECIPE: &str = r#"
name = "boards"
title = "Boards"
version = "1.0.0"
licence = "MIT"
summary = "Boards, laid."

[inputs.area]
title = "Area"
unit = "sq ft"
required = true
why = "Area."

[inputs.board]
title = "Board"
product = "board"
required = true
why = "Board."

[products.board]
title = "Board"

[products.board.fields.covers]
title = "Covers"
unit = "sq ft/package"
required = true
why = "Area that a package covers."

[products.board.fields.weight]
title = "Weight"
unit = "lb/package"
why = "What a package weighs."

[products.board.fields.pallet]
title = "Pallet"
unit = "package"
why = "Packages on a pallet."

[factors.speed]
default = "40 sq ft/h"
least = "1 sq ft/h"
why = "Area laid in an hour."
source = "the test"
"#;

const ROOM: &str = "material(\"Boards\", book.board(room.board), room.area);\nlabour(\"Lay boards\", room.area / factor.speed, rate.crew);\n";
const WHOLE_JOB: &str = "charge(\"Delivery\", rate.delivery);\n";

pub(super) type Rows<'a> = &'a [&'a [&'a str]];

pub(super) const ROOMS: Rows<'static> = &[
    &["Room", "Area (sq ft)", "Board", "Phase"],
    &["Attic", "100", "Thin", "1"],
    &["Bath", "50", "Thin", "2"],
    &["Cellar", "70", "Thick", "1"],
    &["Den", "45", "Thin", ""],
];

const JOB: Rows<'static> = &[&["Job", "Four rooms"], &["Fee with markup: Crane", "$100"]];

const ALLOWANCES: Rows<'static> = &[
    &["Allowance", "Room", "Amount"],
    &["Tile", "Attic", "$6/sq ft"],
    &["Trim", "", "$150"],
];

pub(super) fn story(shop: &str, rooms: Rows<'_>) -> Story {
    let story = Story::new()
        .file("shop/shop.toml", shop)
        .file("shop/prices.toml", PRICES)
        .file("shop/recipes/boards/recipe.toml", RECIPE)
        .file("shop/recipes/boards/room.rhai", ROOM)
        .file("shop/recipes/boards/job.rhai", WHOLE_JOB);
    let sheets = [("Job", JOB), ("Rooms", rooms), ("Allowances", ALLOWANCES)];
    story.sheets("shop/job.xlsx", &sheets)
}

/// What the program says of the job, and its workbook, recalculated as written.
fn priced(story: &Story) -> (Value, Recalculated) {
    let told = story.run(&["bid", "{}/shop/job.xlsx", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let sheet = Recalculated::new(&story.read("shop/job-bid.xlsx"));
    assert_eq!(sheet.differences(), [] as [String; 0]);
    (serde_json::from_str(&told.out).unwrap(), sheet)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Name and price of each entry of a list.
fn named(list: &Value, amount: &str) -> Vec<(String, f64)> {
    let entries = list.as_array().unwrap().iter();
    let name = |entry: &Value| entry.get("name").or(entry.get("step")).unwrap().to_string();
    entries
        .map(|entry| {
            (
                name(entry).trim_matches('"').to_owned(),
                number(&entry[amount]),
            )
        })
        .collect()
}

fn same(found: &[(String, f64)], expected: &[(&str, f64)]) {
    let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    let wanted: Vec<&str> = expected.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, wanted);
    for ((name, found), (_, expected)) in found.iter().zip(expected) {
        assert!(
            (found - expected).abs() < 1e-6,
            "{name}: {found}, expected {expected}"
        );
    }
}

#[test]
fn a_job_with_everything_on_top_comes_out_as_by_hand() {
    let (bid, sheet) = priced(&story(SHOP, ROOMS));
    // Item, phase; packages or hours; cost, tax, contingency, overhead, profit, price.
    type Line = (&'static str, &'static str, f64, [f64; 6]);
    let expected: [Line; 10] = [
        // 100 of 30 sq ft: 4 boxes. 48; 6 % tax; 5 % of 50.88; 12 % of 48; 25 % of 59.18.
        ("Thin", "1", 4.0, [48.0, 2.88, 2.54, 5.76, 14.80, 73.98]),
        // 70 of 20 sq ft: 4 boxes. 60; 3.60; 5 % of 63.60; 7.20; 25 % of 73.98.
        ("Thick", "1", 4.0, [60.0, 3.60, 3.18, 7.20, 18.50, 92.48]),
        // 50 of 30 sq ft: 2 boxes. 24; 1.44; 5 % of 25.44; 2.88; 25 % of 29.59.
        ("Thin", "2", 2.0, [24.0, 1.44, 1.27, 2.88, 7.40, 36.99]),
        ("Thick", "2", 0.0, [0.0; 6]),
        // 45 of 30 sq ft: 2 boxes.
        (
            "Thin",
            "no phase",
            2.0,
            [24.0, 1.44, 1.27, 2.88, 7.40, 36.99],
        ),
        ("Thick", "no phase", 0.0, [0.0; 6]),
        // 170 sq ft at 40: 4.25 h at 60. 255; no tax; 12.75; 30.60; a quarter of 298.35.
        ("Crew", "1", 4.25, [255.0, 0.0, 12.75, 30.60, 74.59, 372.94]),
        // 1.25 h: 75; 3.75; 9.00; a quarter of 87.75.
        ("Crew", "2", 1.25, [75.0, 0.0, 3.75, 9.0, 21.94, 109.69]),
        // 1.125 h: 67.50; 3.375; 8.10; a quarter of 78.98.
        (
            "Crew",
            "no phase",
            1.125,
            [67.5, 0.0, 3.38, 8.10, 19.75, 98.73],
        ),
        // For the whole job: 90; 4.50; 10.80; 25 % of 105.30.
        (
            "",
            "no phase",
            f64::NAN,
            [90.0, 0.0, 4.50, 10.80, 26.33, 131.63],
        ),
    ];
    let lines = bid["lines"].as_array().unwrap();
    assert_eq!(lines.len(), expected.len());
    for (line, (what, phase, quantity, amounts)) in lines.iter().zip(&expected) {
        let told = format!("{what} of {phase}: {line:#}");
        assert!(
            line["product_or_rate"]
                .as_str()
                .unwrap()
                .eq_ignore_ascii_case(what),
            "{told}"
        );
        assert_eq!(line["phase"], *phase, "{told}");
        if !quantity.is_nan() {
            assert!(
                (number(&line["quantity"]) - quantity).abs() < 1e-9,
                "{told}"
            );
        }
        let columns = ["cost", "tax", "contingency", "overhead", "profit", "price"];
        for (column, amount) in columns.iter().zip(amounts) {
            assert!(
                (number(&line[column]) - amount).abs() < 1e-9,
                "{column} of {told}"
            );
        }
    }
    // All lines: 73.98 + 92.48 + 36.99 + 36.99 + 372.94 + 109.69 + 98.73 + 131.63 = 953.43.
    same(
        &named(&bid["fees"], "price"),
        &[
            ("City permit", 180.0),
            // 2 % of 953.43 is 19.0686.
            ("Disposal", 19.07),
            // 100 and the markup of 25 %.
            ("Crane", 125.0),
        ],
    );
    let allowances = [("Tile, Attic", 600.0), ("Trim", 150.0)];
    same(&named(&bid["allowances"], "price"), &allowances);
    // 953.43 + 324.07 + 750.00 = 2027.50, up to the next 5.
    assert!((number(&bid["total"]) - 2030.0).abs() < 1e-9);
    // Rooms share 2030.00 - 324.07 - 750.00 = 955.93 by what they bear of 821.80:
    // Attic 73.98 + 372.94 * 100/170, Bath 36.99 + 109.69, Cellar 92.48 + 372.94 * 70/170,
    // Den 36.99 + 98.73: running 293.35647, 440.03647, 686.08, 821.80 of 821.80.
    let rooms = [
        ("Attic", 341.24),
        ("Bath", 170.62),
        ("Cellar", 286.20),
        ("Den", 157.87),
    ];
    same(&named(&bid["rooms"], "price"), &rooms);
    // Phase 1: 341.24 + 286.20.
    let phases = [("1", 627.44), ("2", 170.62), ("no phase", 157.87)];
    same(&named(&bid["phases"], "price"), &phases);
    // 33.3 % and 66.6 % of 2030: 675.99 and 1351.98; the rest is 678.02.
    let payments = [
        ("With the order", 675.99),
        ("When boards are laid", 675.99),
        ("When accepted", 678.02),
    ];
    same(&named(&bid["payments"], "amount"), &payments);
    for (label, amount) in [
        ("City permit", 180.0),
        ("Disposal", 19.07),
        ("Crane", 125.0),
        ("Tile, Attic", 600.0),
        ("Phase 1", 627.44),
        ("No phase", 157.87),
        ("When accepted", 678.02),
        ("Total", 2030.0),
    ] {
        let row = sheet.row_with("Bid", 1, label);
        let shown = sheet.number((sheet.sheet("Bid"), row, 4));
        assert!((shown - amount).abs() < 1e-9, "{label} shows {shown}");
    }
}

#[test]
fn without_the_column_packages_are_whole_for_the_job() {
    let rooms: Vec<Vec<&str>> = ROOMS.iter().map(|row| row[..3].to_vec()).collect();
    let rooms: Vec<&[&str]> = rooms.iter().map(Vec::as_slice).collect();
    let (bid, sheet) = priced(&story(SHOP, &rooms));
    // 195 of 30 sq ft: 7 boxes; by phase they are 4 + 2 + 2.
    assert!((number(&bid["lines"][0]["quantity"]) - 7.0).abs() < 1e-9);
    assert_eq!(bid["lines"][0]["phase"], Value::Null);
    assert_eq!(bid["phases"], serde_json::json!([]));
    let text = sheet.as_text();
    assert!(!text.to_lowercase().contains("phase"), "{text}");
}

#[test]
fn the_order_stands_by_supplier_and_phase_with_sums() {
    let (_, sheet) = priced(&story(SHOP, ROOMS));
    let order = sheet.sheet("Order");
    let cells = |row: i32| -> Vec<String> {
        [1, 3, 5, 6, 7, 8, 9]
            .map(|column| sheet.text((order, row, column)))
            .into()
    };
    // Product; ordered, left over, full pallets, loose, weight, cost.
    let expected: [[&str; 7]; 18] = [
        ["North", "", "", "", "", "", ""],
        ["Phase 1", "", "", "", "", "", ""],
        // 4 boxes of 20 lb, 3 on a pallet; 2/3 of one is left over.
        ["Thin", "4", "0.66666666666667", "1", "1", "80", "48"],
        ["Together, phase 1", "", "", "", "", "80", "48"],
        ["Phase 2", "", "", "", "", "", ""],
        ["Thin", "2", "0.33333333333333", "0", "2", "40", "24"],
        ["Together, phase 2", "", "", "", "", "40", "24"],
        ["No phase", "", "", "", "", "", ""],
        ["Thin", "2", "0.5", "0", "2", "40", "24"],
        ["Together, no phase", "", "", "", "", "40", "24"],
        ["Together, North", "", "", "", "", "160", "96"],
        ["", "", "", "", "", "", ""],
        ["No supplier named", "", "", "", "", "", ""],
        ["Phase 1", "", "", "", "", "", ""],
        ["Thick", "4", "0.5", "", "", "", "60"],
        ["Together, phase 1", "", "", "", "", "0", "60"],
        ["Phase 2", "", "", "", "", "", ""],
        ["Thick", "0", "0", "", "", "", "0"],
    ];
    let near = |found: &str, wanted: &str| match (found.parse::<f64>(), wanted.parse::<f64>()) {
        (Ok(found), Ok(wanted)) => (found - wanted).abs() < 1e-9,
        _ => found == wanted,
    };
    for (row, wanted) in (5..).zip(&expected) {
        let found = cells(row);
        let alike = found
            .iter()
            .zip(wanted)
            .all(|(found, wanted)| near(found, wanted));
        assert!(alike, "row {row}: {found:?}, expected {wanted:?}");
    }
    let last = sheet.row_with("Order", 1, "Together");
    assert!((sheet.number((order, last, 9)) - 156.0).abs() < 1e-9);
    assert!((sheet.number((order, last, 8)) - 160.0).abs() < 1e-9);
}

/// A markup m on cost is a margin m / (1 + m) of the price: arithmetic. Where m is a percentage
/// and the margin one too, both give one bid.
#[test]
fn a_markup_and_its_margin_give_one_bid() {
    for (markup, margin) in [
        ("25", "20"),
        ("60", "37.5"),
        ("100", "50"),
        ("300", "75"),
        ("400", "80"),
    ] {
        let m: f64 = markup.parse::<f64>().unwrap() / 100.0;
        let part: f64 = margin.parse::<f64>().unwrap() / 100.0;
        assert!((m / (1.0 + m) - part).abs() < 1e-12);
        let total = |key: &str, percent: &str| {
            let plain = SHOP
                .replace("markup = \"25 %\"", &format!("{key} = \"{percent} %\""))
                .replace("[pricing.labour]\nmargin = \"20 %\"", "")
                .replace("round_to = \"$5\"", "");
            number(&priced(&story(&plain, ROOMS)).0["total"])
        };
        let (by_markup, by_margin) = (total("markup", markup), total("margin", margin));
        assert!(
            (by_markup - by_margin).abs() < 1e-9,
            "{markup} %: {by_markup}, {by_margin}"
        );
    }
}
