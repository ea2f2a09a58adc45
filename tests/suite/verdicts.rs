//! What a survey tells of a floor: by the tolerance that is chosen, where it is too high, and what
//! grinding saves.

use pourwright_tests::story::Story;
use serde_json::Value;

use crate::surveys::Rows;

const LEVELER: &str = "Demo Level Standard";
const PRIMER: &str = "Demo Prime Porous";
const SI: &[&str] = &["Units", "SI"];

/// What `survey --json` says of the one room.
fn told(story: &Story) -> Value {
    let told = story.run(&["survey", "{}/rooms.xlsx", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    json[0].clone()
}

/// A hall with two humps, with these keys on the job's sheet and these cells beside its own.
fn hall(job: Rows<'_>, headings: &[&str], cells: &[&str]) -> Story {
    hall_up_to("", job, headings, cells)
}

/// The same with a level at which the pour must end.
fn hall_up_to(finish: &str, job: Rows<'_>, headings: &[&str], cells: &[&str]) -> Story {
    let first = [
        ["Room", "Readings", "Leveler", "Primer"].as_slice(),
        headings,
    ]
    .concat();
    let second = [["Hall", "Hall floor", LEVELER, PRIMER].as_slice(), cells].concat();
    let rooms: Rows<'_> = &[&first, &second];
    let floor: Rows<'_> = &[
        &["Heights", "elevation"],
        &["Unit", "in"],
        &["Finish", finish],
        &["y \\ x (ft)", "0", "2", "4", "6", "8", "10", "12"],
        &["0", "0", "0", "0", "0", "0", "0", "0"],
        &["2", "0", "3/4", "0", "0", "0", "0", "0"],
        &["4", "0", "0", "0", "0", "3/8", "0", "0"],
        &["6", "0", "0", "0", "0", "0", "0", "0"],
    ];
    Story::new().sheets(
        "rooms.xlsx",
        &[("Job", job), ("Rooms", rooms), ("Hall floor", floor)],
    )
}

/// Straightedge and allowed gap of each tolerance, in millimetres.
fn limits(told: &Value) -> Vec<(f64, f64)> {
    let millimetres = |value: &Value| (value.as_f64().unwrap() * 25.4 * 1e4).round() / 1e4;
    let tolerances = told["tolerances"].as_array().unwrap();
    tolerances
        .iter()
        .map(|t| (millimetres(&t["straightedge"]), millimetres(&t["allowed"])))
        .collect()
}

#[test]
fn the_tolerance_that_is_chosen_is_what_the_floor_is_judged_by() {
    // ANSI A108.02: 1/4 in in 10 ft and 1/16 in in 1 ft, with an edge of 15 in or more 1/8 in in
    // 10 ft and 1/16 in in 2 ft, as quoted for thin panels too. DIN 18202 Table 3: row 3 has 4 mm at
    // 1 m and 10 mm at 4 m, row 4 has 3 and 9 mm. BS 8204: 3, 5 and 10 mm under 2 m.
    let large = [(3048.0, 3.175), (609.6, 1.5875)];
    type Limits<'a> = &'a [(f64, f64)];
    let cases: [(&str, &str, &str, Limits<'_>); 8] = [
        (
            "tile edge",
            "12 in",
            "ANSI A108.02",
            &[(3048.0, 6.35), (304.8, 1.5875)],
        ),
        ("Tile Edge", "24 in", "ANSI A108.02", &large),
        ("thin panel", "12 in", "trade guidance", &large),
        (
            "DIN 18202 row 3",
            "",
            "DIN 18202",
            &[(1000.0, 4.0), (4000.0, 10.0)],
        ),
        (
            "DIN 18202 row 4",
            "",
            "DIN 18202",
            &[(1000.0, 3.0), (4000.0, 9.0)],
        ),
        ("BS 8204 SR1", "", "BS 8204 SR1", &[(2000.0, 3.0)]),
        ("BS 8204 SR2", "", "BS 8204 SR2", &[(2000.0, 5.0)]),
        ("bs 8204 sr3", "", "BS 8204 SR3", &[(2000.0, 10.0)]),
    ];
    let us: &[&str] = &["Units", "US"];
    for system in [us, SI] {
        for (choice, edge, source, expected) in cases {
            let headings = ["Flatness", "Longest tile edge"];
            let told = told(&hall(&[system], &headings, &[choice, edge]));
            assert!(choice.eq_ignore_ascii_case(told["flatness"].as_str().unwrap()));
            assert_eq!(limits(&told), expected, "{choice}");
            for tolerance in told["tolerances"].as_array().unwrap() {
                assert!(tolerance["source"].as_str().unwrap().starts_with(source));
            }
        }
    }
}

#[test]
fn a_tolerance_can_be_chosen_for_the_whole_job_or_left_open() {
    let all = told(&hall(&[SI, &["Flatness", "BS 8204 SR2"]], &[], &[]));
    assert_eq!(limits(&all), [(2000.0, 5.0)]);
    // Left open, the metric classes stand below those for tile of either class.
    let open = told(&hall(&[SI], &[], &[]));
    assert_eq!(open["flatness"], Value::Null);
    let metric = [2000.0, 2000.0, 2000.0, 1000.0, 4000.0];
    let lengths: Vec<f64> = limits(&open).iter().map(|limit| limit.0).collect();
    assert_eq!(lengths[..4], [3048.0, 304.8, 3048.0, 609.6]);
    assert_eq!(lengths[4..], metric);
}

#[test]
fn a_tolerance_that_is_none_is_refused_by_its_cell() {
    let told = hall(&[], &["Flatness"], &["SR2"]).run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 1);
    for part in ["\"SR2\", which is not one of the choices", "[Rooms!E2]"] {
        assert!(told.err.contains(part), "{}", told.err);
    }
}

#[test]
fn a_reading_far_off_is_told_in_the_units_of_the_takeoff() {
    let line = ["5", "5", "5", "5", "5", "5"];
    let mut rows: Vec<Vec<&str>> = vec![vec!["Heights", "rod"], vec!["y \\ x"]];
    let positions = ["0", "1", "2", "3", "4", "5"];
    rows[1].extend(positions);
    rows.extend(positions.map(|y| [[y].as_slice(), line.as_slice()].concat()));
    rows[4][4] = "205";
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let rooms: Rows<'_> = &[
        &["Room", "Readings", "Leveler", "Primer"],
        &["Hall", "Hall floor", LEVELER, PRIMER],
    ];
    let told = Story::new()
        .sheets(
            "rooms.xlsx",
            &[("Job", &[SI]), ("Rooms", rooms), ("Hall floor", &rows)],
        )
        .run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let said = "this reading of 205 mm stands 200 mm off its neighbours, which lead to expect 5 mm";
    assert!(told.err.contains(said), "{}", told.err);
}

#[test]
fn where_the_floor_stands_above_the_finish_level_is_told_the_highest_first() {
    // A reading of h between readings of 0, a = 24 in away: where a pour ends at f, an eight-cornered
    // star stands above it, with corners (h - f) / h of 24 in from its middle along the lines, and
    // on the diagonals (h - f) / (h - h/4) of the way to the cell's centre, 12 in each way. Its area is 4
    // times the one by the other: 4 x 16 x 10 2/3 and 4 x 8 x 5 1/3 sq in.
    let story = hall_up_to("1/4 in", &[], &[], &[]);
    let json = told(&story);
    let above = json["above_finish"].as_array().unwrap();
    let expected = [
        (0.5, 24.0, 24.0, 2048.0 / 3.0),
        (0.125, 96.0, 48.0, 512.0 / 3.0),
    ];
    assert_eq!(above.len(), expected.len());
    for (place, (off, x, y, area)) in above.iter().zip(expected) {
        for (name, expected) in [("above", off), ("x", x), ("y", y), ("area", area)] {
            assert!(
                (place[name].as_f64().unwrap() - expected).abs() < 1e-9,
                "{place}"
            );
        }
    }
    let out = story.run(&["survey", "{}/rooms.xlsx"]).out;
    let first = "  Stands 1/2 in above the finish level at x 2.0, y 2.0 ft, over 4.7 sq ft";
    let second = "  Stands 1/8 in above the finish level at x 8.0, y 4.0 ft, over 1.2 sq ft";
    let at = |line: &str| {
        out.find(line)
            .unwrap_or_else(|| panic!("{line} is missing in:\n{out}"))
    };
    assert!(at(first) < at(second));
    let higher = hall_up_to("3/4 in", &[], &[], &[]).run(&["survey", "{}/rooms.xlsx"]);
    assert!(
        !higher.out.contains("above the finish level"),
        "{}",
        higher.out
    );
}

#[test]
fn the_steps_of_grinding_are_few_and_one_of_them_is_the_cheapest() {
    let us: &[&str] = &["Units", "US"];
    for (system, second) in [(us, "1/16 in"), (SI, "2 mm")] {
        let told = hall(&[system], &[], &[]).run(&["survey", "{}/rooms.xlsx"]);
        let mut lines = told
            .out
            .lines()
            .skip_while(|line| !line.starts_with(" Ground off"));
        assert!(lines.next().is_some(), "{}", told.out);
        let steps: Vec<&str> = lines
            .take_while(|line| !line.starts_with("  Grinding"))
            .collect();
        assert!((3..=9).contains(&steps.len()), "{}", told.out);
        assert!(steps[1].trim().starts_with(second), "{}", told.out);
        let best: Vec<&str> = steps
            .iter()
            .filter_map(|line| line.strip_suffix("  cheapest"))
            .collect();
        let [best] = best[..] else {
            panic!("{}", told.out)
        };
        // The same cost as the cheapest way to pour.
        let pour = told
            .out
            .lines()
            .find(|line| line.starts_with(" grind first"))
            .unwrap();
        let cost = |line: &str| line.split_whitespace().last().unwrap().to_owned();
        assert_eq!(cost(best), cost(pour));
    }
}
