//! Rooms that adjoin: where their sheets lie in a plan, and the two ways to pour them.

use pourwright_tests::story::{Story, Told};
use serde_json::Value;

type Rows<'a> = &'a [&'a [&'a str]];

const ROOMS: Rows<'static> = &[
    &["Room", "Readings", "Leveler", "Primer"],
    &[
        "Hall",
        "Hall floor",
        "Demo Level Standard",
        "Demo Prime Porous",
    ],
    &[
        "Kitchen",
        "Kitchen floor",
        "Demo Level Deep",
        "Demo Prime Porous",
    ],
];

/// Ten feet square and level, 36 1/2 in below the line, with a doorway of 3 ft to its right.
const HALL: Rows<'static> = &[
    &["Heights", "rod"],
    &["Origin", "2", "3"],
    &["Line", "Laser A"],
    &["y \\ x", "0", "10"],
    &["0", "36 1/2", "36 1/2"],
    &["10", "36 1/2", "36 1/2"],
    &[],
    &["Mark", "From x", "From y", "To x", "To y"],
    &["opening", "10", "3", "10", "6"],
];

/// Eight feet by ten behind a wall of 6 in, half an inch higher.
const KITCHEN: Rows<'static> = &[
    &["Heights", "rod"],
    &["Origin", "12.5", "36 in"],
    &["Line", "laser a "],
    &["y \\ x", "0", "8"],
    &["0", "36", "36"],
    &["10", "36", "36"],
];

fn surveyed(hall: Rows<'_>, kitchen: Rows<'_>, rates: &str) -> (Story, Told) {
    let prices = include_str!("../../cli/demo/prices.toml");
    let story = Story::new()
        .file("shop.toml", include_str!("../../cli/demo/shop.toml"))
        .file("prices.toml", &format!("{prices}{rates}"))
        .sheets(
            "rooms.xlsx",
            &[
                ("Rooms", ROOMS),
                ("Hall floor", hall),
                ("Kitchen floor", kitchen),
            ],
        );
    let told = story.run(&["survey", "{}/rooms.xlsx", "--shop", "{}"]);
    (story, told)
}

const DAM: &str = "dam = { price = \"$6.50\", per = \"ft\", why = \"Foam, tape, one person\" }\n";

/// What is said of the pair, after the rooms.
fn pair(told: &Told) -> &str {
    assert_eq!(told.code, 0, "{}", told.err);
    let at = told.out.find("Hall and Kitchen adjoin").unwrap();
    &told.out[at..]
}

#[test]
fn two_ways_to_pour_rooms_that_adjoin_are_as_shown() {
    let (story, told) = surveyed(HALL, KITCHEN, DAM);
    insta::assert_snapshot!(pair(&told));
    let json = story.run(&["survey", "{}/rooms.xlsx", "--shop", "{}", "--json"]);
    let json: Value = serde_json::from_str(&json.out).unwrap();
    let number = |path: &str| json.pointer(path).and_then(Value::as_f64).unwrap();
    // One level an eighth over the kitchen: 5/8 in in the hall, 1/8 in in the kitchen.
    let volume = |way: &str, room: u8| number(&format!("/0/adjoining/0/{way}/rooms/{room}/volume"));
    assert!((volume("one_level", 0) - 9_000.0).abs() < 1e-6);
    assert!((volume("one_level", 1) - 1_440.0).abs() < 1e-6);
    assert!((volume("two_levels", 0) - 1_800.0).abs() < 1e-6);
    assert!((number("/0/adjoining/0/step") - 0.5).abs() < 1e-9);
    // Three feet at 6.50.
    assert!((number("/0/adjoining/0/dam/cost") - 19.5).abs() < 1e-9);
    assert_eq!(json[0]["adjoining"], json[1]["adjoining"]);
}

#[test]
fn a_room_asked_for_is_shown_with_the_rooms_it_adjoins() {
    let (story, told) = surveyed(HALL, KITCHEN, "");
    assert!(pair(&told).contains("no rate for a dam"), "{}", told.out);
    let asked = story.run(&["survey", "{}/rooms.xlsx", "Kitchen", "--shop", "{}"]);
    assert_eq!(pair(&asked), pair(&told));
    // A rate by the hour is no price of a dam.
    let by_hour = DAM.replace("\"ft\"", "\"h\"");
    let (_, told) = surveyed(HALL, KITCHEN, &by_hour);
    assert!(pair(&told).contains("no rate for a dam"), "{}", told.out);
}

#[test]
fn levels_that_are_given_are_kept_and_what_they_ask_is_said() {
    let ending = |sheet: Rows<'static>, finish: &'static str| -> Vec<&'static [&'static str]> {
        let key: &[&str] = match finish {
            "35" => &["Finish", "35"],
            "36" => &["Finish", "36"],
            "36.105" => &["Finish", "36.105"],
            _ => &["Finish", "36 1/4"],
        };
        std::iter::once(key).chain(sheet.iter().copied()).collect()
    };
    let (_, told) = surveyed(&ending(HALL, "36"), &ending(KITCHEN, "35"), DAM);
    insta::assert_snapshot!(pair(&told));
    let (_, told) = surveyed(&ending(HALL, "36 1/4"), KITCHEN, DAM);
    let said = pair(&told);
    assert!(
        said.contains("One level: the floor of Kitchen stands up to 1/4 in above it"),
        "{said}"
    );
    assert!(
        said.contains("the grinding that it takes not counted"),
        "{said}"
    );
    // A quarter and a hair: no longer a step that may stand upright, whatever its digits show.
    let (_, told) = surveyed(HALL, &ending(KITCHEN, "36.105"), DAM);
    assert!(
        pair(&told).contains("ends just over 1/4 in above"),
        "{}",
        told.out
    );
}

#[test]
fn where_a_sheet_lies_is_given_whole_or_refused_by_its_cell() {
    let changed = |row: usize, cells: &'static [&'static str]| {
        let mut rows = KITCHEN.to_vec();
        rows[row] = cells;
        rows
    };
    let cases: [(Vec<&[&str]>, &[&str]); 8] = [
        (
            changed(1, &["Origin", "12.5"]),
            &["C2", "y of Origin is missing"],
        ),
        (
            changed(1, &["Origin", "", "3"]),
            &["B2", "x of Origin is missing"],
        ),
        (
            changed(1, &["Origin", "12.5", "there"]),
            &["C2", "y of Origin"],
        ),
        (changed(1, &["Origin", "12.5", "3 lb"]), &["C2", "weight"]),
        (
            changed(1, &["Origin"]),
            &["A3", "Line is stated without Origin"],
        ),
        (
            changed(2, &["Line", ""]),
            &["A2", "Origin is stated without Line"],
        ),
        (
            changed(1, &["Origin", "10", "3"]),
            &[
                "the floors of Hall and Kitchen overlap by 24 in",
                "[Hall floor!A2]",
                "[Kitchen floor!A2]",
            ],
        ),
        (
            changed(0, &["Heights", "elevation"]),
            &["Hall and Kitchen state the same Line", "[Kitchen floor!A2]"],
        ),
    ];
    for (kitchen, parts) in cases {
        let (_, told) = surveyed(HALL, &kitchen, DAM);
        assert_eq!(told.code, 1, "{parts:?}: {}", told.out);
        for part in parts {
            assert!(
                told.err.contains(part),
                "{part} is missing in:\n{}",
                told.err
            );
        }
    }
}

#[test]
fn a_form_whose_facts_are_left_blank_is_read() {
    let blank: Rows<'_> = &[
        &["Heights", "rod", "a note"],
        &["Accuracy", "", "how exact a reading is"],
        &[
            "Finish",
            "",
            "only where the pour must end at a given level",
        ],
        &["Origin", "", "", "x and y of this sheet's 0, 0"],
        &["Line", "", "a name for the laser line"],
        &["y \\ x", "0", "8"],
        &["0", "36", "36"],
        &["10", "36", "36"],
    ];
    let (_, told) = surveyed(HALL, blank, DAM);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(!told.out.contains("adjoin"), "{}", told.out);
}
