//! Strip, dams and boxes: laws on generated jobs, and the workbook recalculated.

use pourwright_tests::chance::Chance;
use pourwright_tests::pour_prices;
use pourwright_tests::priced::Priced;
use pourwright_tests::trial::{Tally, Trial, Typing};

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["leveling", "edges"]
[pricing]
markup = "20 %"
"#;

const PRICES: &str = concat!(
    pour_prices!("4 in"),
    r#"

[products.strip."Low piece"]
package = "piece"
price = "$6"
reach = "8 ft"
height = "2 in"
thickness = "3/8 in"

[products.strip."Tall roll"]
package = "roll"
price = "$31"
reach = "25 ft"
height = "4 in"
thickness = "3/8 in"

[products.sealant."Check tube"]
package = "tube"
price = "$9"
yields = "10 fl oz"

[products.patch."Check patch"]
package = "bag"
price = "$18"
yields = "0.2 cu ft"

[rates]
crew = { price = "$60", per = "h" }
mixing_set = { price = "$100", per = "day" }
delivery = { price = "$90" }
"#
);

/// A job with walls listed, walls read, and a perimeter alone.
fn job() -> Trial {
    Trial::new(
        SHOP,
        PRICES,
        &[
            (
                "Job",
                &[
                    "Leveler|Check bag",
                    "Primer|Check jug",
                    "Strip|Low piece",
                    "Tall strip|Tall roll",
                    "Sealant|Check tube",
                    "Patch|Check patch",
                ],
            ),
            (
                "Rooms",
                &[
                    "Room|Area (sq ft)|Average depth (in)|Readings|Perimeter (ft)|Strip fixing",
                    "Hall|96|0.5||44|",
                    "Den||||||",
                    "Bath|74|1.25|||fastened",
                ],
            ),
            (
                "Walls",
                &[
                    "Room|Wall|Length (ft)|Open (ft)|Depth (in)",
                    "Bath|north|10||1.5",
                    "Bath|east|7.4|2.5|2.25",
                    "Bath|south|10||",
                    "Bath|west|7.4||1.75",
                ],
            ),
            (
                "Openings",
                &[
                    "Room|Opening|Width (in)|Depth (in)|Top layer",
                    "Hall|front|36|0.75|",
                    "Hall|side|32||left",
                    "Bath|door|30|2.25|pulled",
                ],
            ),
            (
                "Registers",
                &[
                    "Room|Kind|Length (in)|Width (in)|Depth (in)",
                    "Bath|drain|6|6|1.5",
                    "Hall|column|8|8|",
                ],
            ),
            (
                "Den floor",
                &[
                    "Heights|rod",
                    "y \\ x (ft)|0|5|10",
                    "0|36|36.25|36.5",
                    "6|36.125|36.5|37.5",
                    "12|36.25|36.75|38.5",
                    "",
                    "Mark|From x|From y|To x|To y",
                    "opening|10|7|10|10",
                    "register|2|3|3|4",
                ],
            ),
        ],
    )
    .typed(&cell("Rooms", 1, "Readings", "Den floor"))
}

fn cell(sheet: &'static str, row: usize, heading: &'static str, text: &str) -> Typing {
    Typing::Cell(sheet, row, heading, text.to_owned())
}

/// A cell of a table, in base units.
fn value(priced: &Priced, table: &str, column: &str, row: usize) -> f64 {
    let mut tables = priced.bid.ledger.tables();
    let (_, table) = tables.find(|(_, known)| known.name == table).unwrap();
    table.filled(column, row).unwrap()
}

#[test]
fn the_workbook_follows_or_says_price_again() {
    let factor = |name, text: &str, number| Typing::Factor("edges", name, text.to_owned(), number);
    let field = |kind, product, field, text: &str, number| {
        Typing::Field(kind, product, field, text.to_owned(), number)
    };
    let typings = [
        cell("Rooms", 0, "Area", "120"),
        cell("Rooms", 0, "Average depth", "0.75"),
        cell("Rooms", 0, "Average depth", "2"),
        cell("Rooms", 0, "Perimeter", "52"),
        cell("Rooms", 0, "Perimeter", ""),
        cell("Rooms", 0, "Strip fixing", "fastened"),
        cell("Rooms", 2, "Strip fixing", "stick-on"),
        cell("Rooms", 0, "Base thickness", "0.25"),
        cell("Rooms", 0, "Strip", "Tall roll"),
        cell("Rooms", 2, "Strip", "Tall roll"),
        cell("Rooms", 0, "Patch", ""),
        cell("Walls", 0, "Length", "11"),
        cell("Walls", 0, "Depth", "1.625"),
        cell("Walls", 0, "Depth", "1.8"),
        cell("Walls", 1, "Open", "3"),
        cell("Walls", 2, "Depth", "3"),
        cell("Walls", 0, "Wall", "the north wall"),
        cell("Openings", 0, "Width", "40"),
        cell("Openings", 0, "Depth", "0.8"),
        cell("Openings", 0, "Depth", "1.6"),
        cell("Openings", 1, "Top layer", "pulled"),
        cell("Openings", 2, "Top layer", "left"),
        cell("Registers", 0, "Kind", "column"),
        cell("Registers", 0, "Length", "9"),
        factor("freeboard", "1/2 in", 0.5),
        factor("freeboard", "1 in", 1.0),
        factor("dam_overlap", "3 in", 3.0),
        factor("deepest_dam", "1/2 in", 0.5),
        factor("bead_width", "1/2 in", 0.5),
        factor("patch_waste", "30 %", 0.3),
        factor("strip_speed", "100 ft/h", 100.0),
        factor("box_time", "20 min", 20.0),
        field("strip", "Low piece", "price", "$7.25", 7.25),
        field("strip", "Low piece", "reach", "10 ft", 10.0),
        field("strip", "Low piece", "height", "3 in", 3.0),
        field("strip", "Tall roll", "height", "5 in", 5.0),
        field("strip", "Low piece", "thickness", "1/4 in", 0.25),
        field("sealant", "Check tube", "yields", "12 fl oz", 12.0),
    ];
    let Tally {
        live,
        flagged,
        refused,
    } = job().hold(&typings);
    println!("{live} live, {flagged} flagged, {refused} cannot be priced");
    assert!(
        live >= 14 && flagged >= 8,
        "both must be seen: {live}, {flagged}"
    );
}

#[test]
fn walls_of_a_surveyed_room_follow_its_floor() {
    let priced = job().price().unwrap();
    // The floor falls 2-1/2 in from the first corner to the far one; the pour stands 1/8 in over
    // the first. Walls in order: along x at y 0, along y at x 10, back along y 12, back along x 0.
    let depths: Vec<f64> = (4..8)
        .map(|row| value(&priced, "wall", "edges.depth", row))
        .collect();
    let expected = [0.625, 2.625, 2.625, 0.375];
    let mut sorted = (depths.clone(), expected.to_vec());
    sorted.0.sort_by(f64::total_cmp);
    sorted.1.sort_by(f64::total_cmp);
    for (depth, expected) in sorted.0.iter().zip(&sorted.1) {
        assert!((depth - expected).abs() < 1e-6, "{depths:?}");
    }
    // Its doorway lies in one of them, its register is boxed.
    let open: f64 = (4..8).map(|row| value(&priced, "wall", "open", row)).sum();
    assert!((open - 36.0).abs() < 1e-6);
    assert!((value(&priced, "opening", "width", 3) - 36.0).abs() < 1e-6);
    assert!((value(&priced, "register", "edges.around", 2) - 48.0).abs() < 1e-6);
    // A change of a reading is flagged: the lowest floor along a wall has no formula.
    let reading = |text: &str| Typing::Reading("Den floor", 3, 2, 4, text.to_owned());
    let tally = job().hold(&[reading("36.5"), reading("36.625")]);
    assert_eq!(
        (tally.live, tally.flagged),
        (1, 1),
        "the same reading changes nothing"
    );
}

#[test]
fn a_wall_by_any_other_name_costs_the_same() {
    let total = job().price().unwrap().bid.total();
    let renamed = job()
        .typed(&cell("Walls", 0, "Wall", "west"))
        .typed(&cell("Walls", 3, "Wall", "north"));
    assert!((renamed.price().unwrap().bid.total() - total).abs() < 1e-9);
}

/// A room of walls that follow from chance, at a depth.
fn generated(chance: &mut Chance, depth: f64) -> Trial {
    let rooms = format!("Room|Area (sq ft)|Average depth (in)\nCheck|100|{depth}");
    let mut walls = vec!["Room|Length (ft)|Open (ft)|Depth (in)".to_owned()];
    for _ in 0..3 + chance.below(6) {
        let length = chance.between(1.0, 40.0, 0.25);
        let open = if chance.once_in(3) {
            length.min(3.0)
        } else {
            0.0
        };
        let own = if chance.once_in(2) {
            String::new()
        } else {
            depth.to_string()
        };
        walls.push(format!("Check|{length}|{open}|{own}"));
    }
    let job = ["Leveler|Check bag", "Primer|Check jug", "Strip|Low piece"];
    let rooms: Vec<&str> = rooms.lines().collect();
    let walls: Vec<&str> = walls.iter().map(String::as_str).collect();
    Trial::new(
        SHOP,
        PRICES,
        &[("Job", &job), ("Rooms", &rooms), ("Walls", &walls)],
    )
}

#[test]
fn strip_bought_is_never_less_than_strip_needed_and_deeper_never_takes_fewer_layers() {
    let mut looked_at = 0;
    for seed in 0..60 {
        let mut before = (0.0, 0.0);
        for depth in [0.25, 1.0, 1.75, 1.8125, 2.5, 3.75, 4.0] {
            // The same walls each time.
            let priced = generated(&mut Chance::new(seed), depth).price().unwrap();
            let bid = &priced.bid;
            let lines = bid.ledger.table(bid.line_table);
            for list in &bid.cuts {
                let needed = lines.value(bid.line_columns.needed, list.line);
                let bought = lines.value(bid.line_columns.quantity, list.line);
                assert!(
                    bought >= needed - 1e-9,
                    "{seed}: {bought} lengths for {needed}"
                );
                assert!(
                    list.plan.used() <= list.plan.bound + 1,
                    "{seed}: {:?}",
                    list.plan.bound
                );
                let wanted: f64 = list.pieces.iter().map(|piece| piece.length).sum();
                let parts = list.plan.bars.iter().flat_map(|bar| &bar.parts);
                let cut: f64 = parts.map(|part| part.length).sum();
                assert!((wanted - cut).abs() < 1e-6, "{seed}: {cut} of {wanted} in");
                looked_at += 1;
            }
            let layers = value(&priced, "wall", "edges.layers", 0);
            let strip = value(&priced, "room", "edges.strip_length", 0);
            assert!(layers >= before.0 && strip >= before.1, "{seed} at {depth}");
            before = (layers, strip);
        }
        assert!(before.0 >= 2.0, "the deepest asks for layers");
    }
    assert!(looked_at > 300);
}

#[test]
fn a_room_without_openings_has_strip_equal_to_its_perimeter() {
    for feet in [8.0, 44.0, 61.25, 150.0] {
        let rooms =
            format!("Room|Area (sq ft)|Average depth (in)|Perimeter (ft)\nCheck|100|0.5|{feet}");
        let rooms: Vec<&str> = rooms.lines().collect();
        let job = ["Leveler|Check bag", "Primer|Check jug", "Strip|Low piece"];
        let trial = Trial::new(SHOP, PRICES, &[("Job", &job), ("Rooms", &rooms)]);
        let strip = value(&trial.price().unwrap(), "room", "edges.strip_length", 0);
        assert!((strip - feet * 12.0).abs() < 1e-9);
    }
}
