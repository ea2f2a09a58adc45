//! Sheets of readings: what is read, what is refused, what a survey shows.

use pourwright_tests::story::Story;
use serde_json::Value;

/// A sheet by its rows of cells.
pub(crate) type Rows<'a> = &'a [&'a [&'a str]];

const ROOMS: Rows<'static> = &[
    &["Room", "Readings", "Leveler", "Primer"],
    &[
        "Hall",
        "Hall floor",
        "Demo Level Standard",
        "Demo Prime Porous",
    ],
];

fn story(floor: Rows<'_>) -> Story {
    Story::new().sheets("rooms.xlsx", &[("Rooms", ROOMS), ("Hall floor", floor)])
}

/// Cells of the room, as `explain --json` gives them.
fn cell(story: &Story, name: &str) -> String {
    let told = story.run(&["explain", "{}/rooms.xlsx", "Hall", name, "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    // Of cells of one name that of leveling, which comes after joints.
    let found = json.as_array().unwrap().last().unwrap();
    found["value"].as_str().unwrap().to_owned()
}

#[test]
fn a_grid_a_list_and_both_kinds_of_height_give_one_floor() {
    // Four readings in a square of 10 ft: a plane that falls 1 in from one side to the other.
    let grid: Rows<'_> = &[
        &["Heights", "elevation"],
        &["y \\ x", "0", "10"],
        &["0", "1", "0"],
        &["10", "1", "0"],
    ];
    let rod: Rows<'_> = &[
        &["Heights", "rod"],
        &["y \\ x (ft)", "0", "120 in"],
        &["0", "40", "41"],
        &["10", "3 ft 4 in", "41"],
    ];
    let list: Rows<'_> = &[
        &["Hall, shot on Monday"],
        &["Heights:", "Elevation"],
        &[],
        &["x (ft)", "y (ft)", "reading (in)"],
        &["10", "10", "0"],
        &["0", "0", "1"],
        &["0", "10", "1"],
        &["10", "0", "0"],
    ];
    let corners: Rows<'_> = &[
        &["Heights", "elevation"],
        &["x", "y", "reading", "", "Corner x", "Corner y"],
        &["0", "0", "1", "", "0", "0"],
        &["0", "10", "1", "", "10", "0"],
        &["10", "10", "0", "", "10", "10"],
        &["10", "0", "0", "", "0", "10"],
    ];
    for floor in [grid, rod, list, corners] {
        let story = story(floor);
        assert_eq!(cell(&story, "area"), "100 sq ft");
        // A wedge: half an inch on average, and the least cover of 1/8 in over the high side.
        assert_eq!(cell(&story, "depth"), "5/8 in");
    }
}

#[test]
fn a_pour_up_to_a_level_counts_only_what_is_below_it() {
    // The half of the wedge below 1/2 in: 50 sq ft, 1/4 in deep on average.
    let story = story(&[
        &["Heights", "elevation"],
        &["Finish", "1/2 in"],
        &["y \\ x", "0", "10"],
        &["0", "1", "0"],
        &["10", "1", "0"],
    ]);
    let told = story.run(&["bid", "{}/rooms.xlsx"]);
    assert!(told.out.contains("stands above the level"), "{}", told.out);
    assert_eq!(cell(&story, "poured"), "1.0417 cu ft");
}

#[test]
fn sheets_of_readings_that_cannot_be_used_are_refused_by_their_cells() {
    let grid = |cell: &'static str| -> Vec<Vec<&'static str>> {
        vec![
            vec!["Heights", "rod"],
            vec!["y \\ x", "0", "10"],
            vec!["0", "40", "41"],
            vec!["10", cell, "41"],
        ]
    };
    let cases: Vec<(Vec<Vec<&str>>, &[&str])> = vec![
        (grid("#N/A text"), &["B4", "cannot be read as a quantity"]),
        (grid("40 lb"), &["B4", "weight (lb), expected length (in)"]),
        (grid(""), &["Hall floor", "needs three readings"]),
        (
            vec![
                vec!["y \\ x", "0", "10"],
                vec!["0", "1", "2"],
                vec!["10", "1", "2"],
            ],
            &[
                "does not say what its readings are",
                "Write Heights in one cell",
            ],
        ),
        (
            vec![vec!["Heights", "depths"], vec!["y \\ x", "0", "10"]],
            &["expected elevation (more is higher) or rod"],
        ),
        (
            vec![vec!["Heights", "rod"], vec!["some", "text"]],
            &["has no readings", "x, y, reading"],
        ),
        (
            vec![
                vec!["Heights", "rod"],
                vec!["y \\ x", "0", "4", "2"],
                vec!["0", "40", "41", "42"],
                vec!["10", "40", "41", "42"],
            ],
            &["positions of the grid turn back here", "D4"],
        ),
        (
            vec![
                vec!["Heights", "rod"],
                vec!["x", "y", "reading"],
                vec!["0", "0", "40"],
                vec!["10", "0", "40"],
                vec!["0", "10", "40"],
                vec!["0", "0", "41"],
            ],
            &["two readings at one place differ", "C6", "C3"],
        ),
        (
            vec![
                vec!["Heights", "rod"],
                vec!["x", "y", "reading", "", "Corner x", "Corner y"],
                vec!["0", "0", "40", "", "0", "0"],
                vec!["10", "0", "40", "", "5", "0"],
                vec!["0", "5", "40", "", "5", "5"],
                vec!["4", "4", "40", "", "0", "5"],
            ],
            &["lies outside the outline", "C4"],
        ),
        (
            vec![
                vec!["Heights", "rod"],
                vec![
                    "x", "y", "reading", "", "Mark", "From x", "From y", "To x", "To y",
                ],
                vec!["0", "0", "40", "", "window", "0", "0", "1", "0"],
                vec!["10", "0", "40"],
                vec!["0", "5", "40"],
            ],
            &["expected opening or register", "E3"],
        ),
    ];
    for (rows, parts) in cases {
        let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
        let told = story(&rows).run(&["bid", "{}/rooms.xlsx"]);
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
fn a_floor_with_more_readings_than_anyone_takes_is_refused() {
    let line: Vec<String> = (0..230).map(|x| x.to_string()).collect();
    let mut rows: Vec<Vec<&str>> = vec![vec!["Heights", "rod"]];
    rows.push(
        std::iter::once("y \\ x")
            .chain(line.iter().map(String::as_str))
            .collect(),
    );
    for y in &line {
        rows.push(
            std::iter::once(y.as_str())
                .chain(line.iter().map(|_| "36"))
                .collect(),
        );
    }
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let told = story(&rows).run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 1);
    assert!(
        told.err.contains("more than 50000 readings"),
        "{}",
        told.err
    );
}

#[test]
fn a_sheet_that_is_not_there_or_taken_is_named() {
    let rooms: Rows<'_> = &[
        ROOMS[0],
        &[
            "Hall",
            "Hall flor",
            "Demo Level Standard",
            "Demo Prime Porous",
        ],
        &["Bath", "Floor", "Demo Level Standard", "Demo Prime Porous"],
        &["Den", "floor", "Demo Level Standard", "Demo Prime Porous"],
        &["Attic", "", "Demo Level Standard", "Demo Prime Porous"],
    ];
    let floor: Rows<'_> = &[
        &["Heights", "rod"],
        &["y \\ x", "0", "10"],
        &["0", "40", "41"],
        &["10", "40", "41"],
    ];
    let story = Story::new().sheets("rooms.xlsx", &[("Rooms", rooms), ("Floor", floor)]);
    let told = story.run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 1);
    insta::assert_snapshot!(told.err);
}

#[test]
fn a_reading_far_off_its_neighbours_is_named_and_used() {
    let mut rows: Vec<Vec<String>> = vec![vec!["Heights".into(), "rod".into()]];
    rows.push(
        std::iter::once("y \\ x".to_owned())
            .chain((0..7).map(|x| (x * 2).to_string()))
            .collect(),
    );
    for y in 0..7 {
        let line = (0..7).map(|x| match (x, y) {
            // 36-3/8 typed as 363/8.
            (3, 4) => "363/8".to_owned(),
            _ => format!("36.{}", 3 + (x * y) % 3),
        });
        rows.push(std::iter::once((y * 2).to_string()).chain(line).collect());
    }
    let rows: Vec<Vec<&str>> = rows
        .iter()
        .map(|r| r.iter().map(String::as_str).collect())
        .collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let told = story(&rows).run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(
        told.err.contains("warning") && told.err.contains("[Hall floor!E7]"),
        "{}",
        told.err
    );
}

#[test]
fn the_survey_of_the_demo_is_as_shown() {
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    let told = story.run(&["survey", "{}/demo/takeoff.xlsx"]);
    insta::assert_snapshot!(told.out);
    for map in ["2-Kitchen", "4-Family-room"] {
        let drawing =
            String::from_utf8(story.read(&format!("demo/takeoff-maps/{map}.svg"))).unwrap();
        assert!(drawing.starts_with("<svg") || drawing.starts_with("<?xml"));
        let picture = story.read(&format!("demo/takeoff-maps/{map}.png"));
        assert!(picture.starts_with(b"\x89PNG"));
    }
    let json = story.run(&["survey", "{}/demo/takeoff.xlsx", "Kitchen", "--json"]);
    let json: Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json.as_array().unwrap().len(), 1);
    let costs: Vec<f64> = json[0]["grinding"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| o["cost"].as_f64().unwrap())
        .collect();
    let cheapest = json[0]["pours"][1]["cost"].as_f64().unwrap();
    assert!(
        costs.iter().all(|cost| *cost >= cheapest - 1e-6),
        "{cheapest} is not the cheapest"
    );
    let told = story.run(&["survey", "{}/demo/takeoff.xlsx", "Kitchn"]);
    assert!(
        told.code == 1 && told.err.contains("Did you mean Kitchen?"),
        "{}",
        told.err
    );
}

#[test]
fn a_grid_with_two_lines_at_one_position_is_refused_by_its_cell() {
    let twice_across: Rows<'_> = &[
        &["Heights", "elevation"],
        &["y \\ x", "0", "10", "10"],
        &["0", "1", "0", "0"],
        &["10", "1", "0", "0"],
    ];
    let twice_along: Rows<'_> = &[
        &["Heights", "elevation"],
        &["y \\ x", "0", "10"],
        &["0", "1", "0"],
        &["10", "1", "0"],
        &["10", "1", "0"],
    ];
    for (floor, cell) in [
        (twice_across, "Hall floor!D2"),
        (twice_along, "Hall floor!A5"),
    ] {
        let told = story(floor).run(&["bid", "{}/rooms.xlsx"]);
        assert_eq!(told.code, 1);
        assert!(told.err.contains("stand at one position"), "{}", told.err);
        assert!(told.err.contains(cell), "{}", told.err);
    }
}
