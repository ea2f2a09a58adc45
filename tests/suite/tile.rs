//! Tile laid out on rooms: counts against plain arithmetic, laws, and the workbook recalculated.

use pourwright_tests::chance::Chance;
use pourwright_tests::priced::Priced;
use pourwright_tests::trial::{Trial, Typing};

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["tile", "setting"]
[pricing]
markup = "20 %"
"#;

/// The shop without recipe setting, and without breakage: what the layout alone takes.
fn layouts_only() -> String {
    let shop = SHOP.replace(", \"setting\"", "");
    format!("{shop}[factors.tile]\nbreakage = \"0 %\"\n")
}

const PRICES: &str = r#"
[products.tile."Check square"]
package = "box"
price = "$44"
length = "12 in"
width = "12 in"
pieces = "8"
weight = "40 lb"
pallet = 40

[products.tile."Check plank"]
package = "box"
price = "$60"
length = "36 in"
width = "6 in"
pieces = "6"

[products.mortar."Check mortar"]
package = "sack"
price = "$22"
yields = "0.45 cu ft"

[products.grout."Check grout"]
package = "box"
price = "$18"
yields = "0.1 cu ft"

[rates]
crew = { price = "$60", per = "h" }
"#;

const JOB: [&str; 2] = ["Mortar|Check mortar", "Grout|Check grout"];

const ROOMS: &str = "Room|Area (sq ft)|Readings|Length (ft)|Width (ft)|Tile|Tile length (in)|\
    Tile width (in)|Grout joint (in)|Pattern|Offset (%)|Rows|Start|Start at number|Offcuts used again|Attic stock (%)";

/// A hall in square tile, a den that was shot, a shed of which only the area is known, a loft
/// without tile, a porch with tile by others.
fn job() -> Trial {
    Trial::new(
        SHOP,
        PRICES,
        &[
            ("Job", &JOB),
            (
                "Rooms",
                &[
                    ROOMS,
                    "Hall|101|||||||0.125|||||||",
                    "Den||||||||0.125|offset|||doorway|||5",
                    "Shed|90||||Check square|||0.125|diagonal||||||",
                    "Loft|120||||||||||||||",
                    "Porch|60||10|6||24|12|0.25|||||||",
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
                    "register|2|1|3|1.5",
                ],
            ),
        ],
    )
    .typed(&cell(0, "Length", "12"))
    .typed(&cell(0, "Width", "8.4"))
    .typed(&cell(0, "Tile", "Check square"))
    .typed(&cell(1, "Readings", "Den floor"))
    .typed(&cell(1, "Tile", "Check plank"))
}

fn cell(row: usize, heading: &'static str, text: &str) -> Typing {
    Typing::Cell("Rooms", row, heading, text.to_owned())
}

/// A cell of a room, in base units.
fn value(priced: &Priced, column: &str, row: usize) -> f64 {
    let rooms = priced.bid.takeoff.rooms.table;
    let found = priced.bid.ledger.table(rooms).filled(column, row);
    found.unwrap_or_else(|| panic!("room {row} has no {column}"))
}

/// The figures of a room's layout: full, cut, tiles, pieces, narrowest.
fn figures(priced: &Priced, row: usize) -> [f64; 5] {
    ["full", "cut", "tiles", "pieces", "narrowest"]
        .map(|name| value(priced, &format!("tile.{name}"), row))
}

/// Rooms laid out by recipe tile alone; their rows follow the headings above.
fn priced(rooms: &[String]) -> Priced {
    let named = rooms.iter().enumerate();
    let named: Vec<String> = named.map(|(at, room)| format!("Room {at}{room}")).collect();
    let mut rows = vec![ROOMS];
    rows.extend(named.iter().map(String::as_str));
    let shop = layouts_only();
    let trial = Trial::new(&shop, PRICES, &[("Rooms", &rows)]);
    trial.price().unwrap_or_else(|why| panic!("{why}"))
}

/// A row of the takeoff, but for its name, for a rectangle: sides in feet, tile and joint in inches.
fn row((long, wide): (f64, f64), [length, width, joint]: [f64; 3], rest: &str) -> String {
    let area = long * wide;
    format!("|{area}||{long}|{wide}||{length}|{width}|{joint}|{rest}")
}

/// What a line of tiles comes to: how many are whole, how many are cut, the shortest piece of those.
fn in_line(first: f64, size: f64, joint: f64, (from, to): (f64, f64)) -> (f64, f64, f64) {
    let (mut full, mut cut, mut least) = (0.0, 0.0, f64::INFINITY);
    for number in -2000..2000 {
        let at = first + f64::from(number) * (size + joint);
        let piece = (at + size).min(to) - at.max(from);
        if piece > size - 1e-7 {
            full += 1.0;
        } else if piece > 1e-7 {
            cut += 1.0;
            least = least.min(piece);
        }
    }
    (full, cut, least)
}

#[test]
fn rectangles_are_counted_as_plain_arithmetic_counts_them() {
    let mut chance = Chance::new(23);
    let mut rooms = Vec::new();
    let mut expected = Vec::new();
    for _ in 0..60 {
        let sides = (
            chance.between(4.0, 16.0, 0.125),
            chance.between(4.0, 16.0, 0.125),
        );
        let sizes = [(12.0, 12.0), (24.0, 12.0), (36.0, 6.0), (17.5, 7.75)];
        let (length, width) = chance.pick(&sizes);
        let joint = chance.pick(&[0.0, 0.125, 0.25]);
        let (pattern, offset) = chance.pick(&[
            ("grid", 0.0),
            ("offset", 50.0),
            ("plank", 25.0),
            ("offset", 12.5),
        ]);
        let rest = format!("{pattern}|{offset}|||||");
        rooms.push(row(sides, [length, width, joint], &rest));
        // The soft joint around is 1/4 in wide; a joint lies on either middle line.
        let inside = |side: f64| (0.25, side * 12.0 - 0.25);
        let (along, across) = (inside(sides.0), inside(sides.1));
        let start = |side: f64| side * 6.0 + joint / 2.0;
        let (mut full, mut cut, mut least) = (0.0f64, 0.0, f64::INFINITY);
        for number in -200..200i32 {
            let bottom = start(sides.1) + f64::from(number) * (width + joint);
            let high = (bottom + width).min(across.1) - bottom.max(across.0);
            if high <= 1e-7 {
                continue;
            }
            let shift = f64::from(number) * offset / 100.0 * (length + joint);
            let (whole, parts, short) = in_line(start(sides.0) + shift, length, joint, along);
            least = least.min(short);
            if high > width - 1e-7 {
                full += whole;
                cut += parts;
            } else {
                cut += whole + parts;
                least = least.min(high);
            }
        }
        expected.push((full, cut, least.min(length.min(width))));
    }
    let priced = priced(&rooms);
    for (index, (full, cut, least)) in expected.into_iter().enumerate() {
        let found = figures(&priced, index);
        let told = format!("{}: {found:?} for {full}, {cut}, {least}", rooms[index]);
        assert_eq!(
            [found[0], found[1], found[2]],
            [full, cut, full + cut],
            "{told}"
        );
        assert!(found[3] <= found[2] && found[3] >= full, "{told}");
        assert!((found[4] - least).abs() < 2e-6, "{told}");
    }
}

#[test]
fn turning_a_room_and_its_rows_changes_nothing() {
    let mut chance = Chance::new(5);
    let mut rooms = Vec::new();
    for pattern in ["grid", "offset", "plank", "herringbone", "diagonal"] {
        for start in ["centred on joint", "centred on tile", "widest cuts"] {
            let sides = (
                chance.between(4.0, 9.0, 0.125),
                chance.between(4.0, 9.0, 0.125),
            );
            let tile = [12.0, 6.0, 0.125];
            rooms.push(row(sides, tile, &format!("{pattern}|33|along|{start}||")));
            let turned = (sides.1, sides.0);
            rooms.push(row(turned, tile, &format!("{pattern}|33|across|{start}||")));
        }
    }
    let priced = priced(&rooms);
    for pair in (0..rooms.len()).step_by(2) {
        let (one, other) = (figures(&priced, pair), figures(&priced, pair + 1));
        for (a, b) in one.iter().zip(other) {
            assert!((a - b).abs() < 2e-6, "{}: {one:?} {other:?}", rooms[pair]);
        }
    }
}

#[test]
fn a_larger_room_never_takes_fewer_tiles_and_tiles_cover_the_floor() {
    let mut rooms = Vec::new();
    let lengths: Vec<f64> = (0..40).map(|step| 6.0 + f64::from(step) * 0.0625).collect();
    for pattern in ["grid", "offset", "herringbone", "diagonal"] {
        for length in &lengths {
            let rest = format!("{pattern}|50|||||");
            rooms.push(row((*length, 5.0), [12.0, 6.0, 0.125], &rest));
        }
    }
    let priced = priced(&rooms);
    for (index, told) in rooms.iter().enumerate() {
        let [full, cut, tiles, pieces, _] = figures(&priced, index);
        assert_eq!(full + cut, tiles, "{told}");
        // What is laid is the floor less the gap around and the joints, of an inch in 8 at most.
        let length = lengths[index % lengths.len()];
        let inside = (length * 12.0 - 0.5) * 59.5;
        assert!(
            pieces * 72.0 >= inside * (72.0 / (12.125 * 6.125)) * 0.97,
            "{told}"
        );
        let (same_pattern, before) = (index % lengths.len() > 0, index.saturating_sub(1));
        if same_pattern && (told.contains("grid") || told.contains("offset")) {
            assert!(tiles >= figures(&priced, before)[2], "{told}");
        }
    }
}

#[test]
fn a_shot_rectangle_is_laid_out_like_a_measured_one() {
    let sheet = [
        "Heights|elevation",
        "y \\ x (ft)|0|4|8|11",
        "0|1|1|1|1",
        "5|1|1|1|1",
        "9.5|1|1|1|1",
    ];
    let shop = layouts_only();
    for pattern in ["grid", "offset", "herringbone", "diagonal"] {
        for start in ["centred on tile", "wall", "widest cuts"] {
            let rest = format!("Check square||||{pattern}|33||{start}|1||");
            let rooms = [
                ROOMS.to_owned(),
                format!("Shot||Shot floor|||{rest}"),
                format!("Taped|104.5||11|9.5|{rest}"),
            ];
            let rooms: Vec<&str> = rooms.iter().map(String::as_str).collect();
            let sheets: [(&str, &[&str]); 2] = [("Rooms", &rooms), ("Shot floor", &sheet)];
            let priced = Trial::new(&shop, PRICES, &sheets).price().unwrap();
            let (shot, taped) = (figures(&priced, 0), figures(&priced, 1));
            for (a, b) in shot.iter().zip(taped) {
                assert!((a - b).abs() < 2e-6, "{rest}: {shot:?} {taped:?}");
            }
        }
    }
}

#[test]
fn the_workbook_follows_or_says_price_again() {
    let factor = |name, text: &str, number| Typing::Factor("tile", name, text.to_owned(), number);
    let field = |kind, product, field, text: &str, number| {
        Typing::Field(kind, product, field, text.to_owned(), number)
    };
    let live = [
        cell(0, "Offcuts used again", "no"),
        cell(1, "Attic stock", ""),
        cell(2, "Area", "120"),
        cell(2, "Grout joint", "0.25"),
        cell(2, "Pattern", "herringbone"),
        factor("attic_stock", "4 %", 0.04),
        factor("waste_diagonal", "18 %", 0.18),
        factor("cutting_time", "4 min", 4.0),
        factor("cut_share", "30 %", 0.3),
        field("tile", "Check square", "price", "$50", 50.0),
        field("tile", "Check square", "pieces", "10", 10.0),
    ];
    for typing in live {
        let tally = job().hold(std::slice::from_ref(&typing));
        assert_eq!(tally.live, 1, "{typing:?}");
    }

    let fixed = [
        cell(0, "Length", "13"),
        cell(0, "Width", "9"),
        cell(0, "Grout joint", "0.25"),
        cell(0, "Pattern", "herringbone"),
        cell(1, "Pattern", "plank"),
        cell(1, "Offset", "25"),
        cell(0, "Rows", "across"),
        cell(0, "Start", "wall"),
        cell(1, "Start", "wall"),
        cell(1, "Start at number", "2"),
        cell(0, "Tile", "Check plank"),
        cell(0, "Tile", ""),
        cell(3, "Tile", "Check square"),
        cell(4, "Tile length", "12"),
        cell(4, "Tile length", ""),
        cell(2, "Length", "10"),
        factor("kerf", "1/4 in", 0.25),
        factor("perimeter_width_without_joints", "1/2 in", 0.5),
        field("tile", "Check square", "length", "13 in", 13.0),
        Typing::Reading("Den floor", 2, 1, 0, "36.5".to_owned()),
    ];
    for typing in fixed {
        let tally = job().hold(std::slice::from_ref(&typing));
        assert_eq!(tally.live, 0, "{typing:?}");
    }
}

#[test]
fn setting_takes_the_size_from_the_tile_that_is_named() {
    let both = job().price().unwrap();
    let sizes: Vec<f64> = (0..5)
        .map(|row| value(&both, "setting.laid_length", row))
        .collect();
    assert_eq!(sizes, [12.0, 36.0, 12.0, 0.0, 24.0]);
    // As if the size were typed and recipe tile not used.
    let mut alone = job()
        .typed(&cell(0, "Tile length", "12"))
        .typed(&cell(0, "Tile width", "12"))
        .typed(&cell(1, "Tile length", "36"))
        .typed(&cell(1, "Tile width", "6"))
        .typed(&cell(2, "Tile length", "12"))
        .typed(&cell(2, "Tile width", "12"));
    alone.shop = SHOP.replace("\"tile\", ", "");
    let (before, _) = PRICES.split_once("[products.tile").unwrap();
    let (_, after) = PRICES.split_once("[products.mortar").unwrap();
    alone.prices = format!("{before}[products.mortar{after}");
    let alone = alone.price().unwrap_or_else(|why| panic!("{why}"));
    for row in 0..5 {
        for name in ["setting.mortar_volume", "setting.grout_volume"] {
            assert!((value(&both, name, row) - value(&alone, name, row)).abs() < 1e-9);
        }
    }
}

#[test]
fn a_start_that_is_not_there_is_said() {
    for (typing, expected) in [
        (cell(0, "Start", "doorway"), "no doorway is marked"),
        (cell(1, "Start at number", "2"), "no doorway 2, only 1"),
    ] {
        let why = job().typed(&typing).price().err().unwrap();
        assert!(why.contains(expected), "{why}");
    }
}
