//! What bonds and joins tile: laws on generated rooms, and the workbook recalculated.

use pourwright_tests::chance::Chance;
use pourwright_tests::pour_prices;
use pourwright_tests::priced::Priced;
use pourwright_tests::trial::{Tally, Trial, Typing};

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["leveling", "edges", "setting"]
[pricing]
markup = "20 %"
"#;

const PRICES: &str = concat!(
    pour_prices!("4 in"),
    r#"

[products.mortar."Check mortar"]
package = "sack"
price = "$22"
yields = "0.45 cu ft"

[products.mortar."Check bed"]
package = "sack"
price = "$31"
yields = "0.5 cu ft"

[products.grout."Check grout"]
package = "box"
price = "$18"
yields = "0.1 cu ft"

[products.membrane."Check mat"]
package = "roll"
price = "$190"
coverage = "150 sq ft"

[products.profile."Check rail"]
package = "piece"
price = "$14"
reach = "8 ft"

[products.profile."Check sill"]
package = "sill"
price = "$40"
reach = "3 ft"

[rates]
crew = { price = "$60", per = "h" }
mixing_set = { price = "$100", per = "day" }
delivery = { price = "$90" }
"#
);

const ROOMS: &str = "Room|Area (sq ft)|Average depth (in)|Readings|Tile length (in)|Tile width (in)|\
    Grout joint (in)|Notch depth (in)|Notch shape|Pattern|Exposure|Membrane|Spacers or clips";

/// A hall with long tile, a bath in mosaic, a den that was shot, and a loft without tile.
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
                    "Mortar|Check mortar",
                    "Grout|Check grout",
                    "Profile at openings|Check rail",
                    "Mortar under membrane|Check bed",
                ],
            ),
            (
                "Rooms",
                &[
                    ROOMS,
                    "Hall|96|0.5||24|12|0.125|||offset||Check mat|spacers",
                    "Bath|74|1.25||2|2|0.25|0.25|V|grid|wet||",
                    "Den||||12|12||0.375||||Check mat|clips",
                    "Loft|120|0.5||||||||||",
                ],
            ),
            (
                "Openings",
                &[
                    "Room|Opening|Width (in)|Depth (in)|Profile",
                    "Hall|front|36|0.75|Check sill",
                    "Hall|side|32||",
                    "Bath|door|30|1.5|",
                    "Loft|stair|34|0.5|",
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
                ],
            ),
        ],
    )
    .typed(&cell("Rooms", 2, "Readings", "Den floor"))
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
    let factor =
        |name, text: &str, number| Typing::Factor("setting", name, text.to_owned(), number);
    let field = |kind, product, field, text: &str, number| {
        Typing::Field(kind, product, field, text.to_owned(), number)
    };
    let live = [
        cell("Rooms", 0, "Area", "120"),
        cell("Rooms", 0, "Tile length", "36"),
        cell("Rooms", 0, "Tile width", "6"),
        cell("Rooms", 0, "Grout joint", "0.25"),
        cell("Rooms", 1, "Grout joint", "0"),
        cell("Rooms", 0, "Notch depth", "0.25"),
        cell("Rooms", 1, "Notch depth", ""),
        cell("Rooms", 1, "Notch shape", "U"),
        cell("Rooms", 2, "Notch shape", "V"),
        cell("Rooms", 0, "Pattern", "herringbone"),
        cell("Rooms", 0, "Exposure", "exterior"),
        cell("Rooms", 1, "Exposure", "interior"),
        factor("coat", "1/8 in", 0.125),
        factor("mortar_waste", "20 %", 0.2),
        factor("grout_depth", "80 %", 0.8),
        factor("clip_spacing", "8 in", 8.0),
        factor("spacer_price", "0.05 money", 0.05),
        factor("setting_speed", "10 sq ft/h", 10.0),
        factor("wide_joint", "1/8 in", 0.125),
        field("mortar", "Check mortar", "yields", "0.4 cu ft", 0.4),
        field("grout", "Check grout", "price", "$20", 20.0),
        field("membrane", "Check mat", "coverage", "100 sq ft", 100.0),
    ];
    let Tally {
        live: followed,
        flagged,
        refused,
    } = job().hold(&live);
    println!("{followed} live, {flagged} flagged, {refused} cannot be priced");
    assert_eq!((followed, flagged, refused), (live.len(), 0, 0));

    let forked = [
        cell("Rooms", 0, "Tile length", ""),
        cell("Rooms", 3, "Tile length", "12"),
        cell("Rooms", 0, "Membrane", ""),
        cell("Rooms", 1, "Membrane", "Check mat"),
        cell("Rooms", 0, "Spacers or clips", "clips"),
        cell("Openings", 0, "Width", "40"),
        cell("Openings", 0, "Profile", ""),
        cell("Openings", 1, "Profile", "Check sill"),
        cell("Openings", 3, "Profile", "Check rail"),
        field("profile", "Check rail", "reach", "10 ft", 10.0),
        // What a blank stands for is not in the workbook.
        cell("Rooms", 1, "Exposure", ""),
    ];
    let tally = job().hold(&forked);
    assert_eq!(
        (tally.live, tally.flagged + tally.refused),
        (0, forked.len())
    );
}

#[test]
fn a_metric_workbook_recalculates_to_the_same_bid() {
    // Bare numbers on a sheet of readings are in the shop's own units, so the den is typed.
    let customary = job()
        .typed(&cell("Rooms", 2, "Readings", ""))
        .typed(&cell("Rooms", 2, "Area", "120"))
        .typed(&cell("Rooms", 2, "Average depth", "1"));
    let mut metric = customary.clone();
    metric.shop = SHOP.replace("\"US\"", "\"SI\"");
    let total = |trial: &Trial| trial.price().unwrap().bid.total();
    assert!((total(&metric) - total(&customary)).abs() < 1e-6);
    let price = |text: &str, number| {
        Typing::Field("grout", "Check grout", "price", text.to_owned(), number)
    };
    assert_eq!(metric.hold(&[price("$20", 20.0)]).live, 1);
}

#[test]
fn a_room_without_tile_costs_what_it_cost_before() {
    let bare = |recipes: &str| {
        let rooms = [
            "Room|Area (sq ft)|Average depth (in)",
            "Hall|96|0.5",
            "Loft|120|1",
        ];
        let shop = SHOP.replace(", \"edges\", \"setting\"", recipes);
        let job = ["Leveler|Check bag", "Primer|Check jug"];
        let trial = Trial::new(&shop, PRICES, &[("Job", &job), ("Rooms", &rooms)]);
        trial.price().unwrap()
    };
    let (with, without) = (bare(", \"setting\""), bare(""));
    assert!((with.bid.total() - without.bid.total()).abs() < 1e-9);
    assert_eq!(with.bid.lines.len(), without.bid.lines.len());
    assert!(value(&with, "room", "setting.mortar_volume", 0) == 0.0);
}

#[test]
fn the_openings_of_a_shot_room_get_the_profile_of_the_room() {
    let priced = job().price().unwrap();
    let across: Vec<f64> = (0..5)
        .map(|row| value(&priced, "opening", "setting.across", row))
        .collect();
    // As they are listed: the loft is not tiled and names none; the den's own is read.
    assert_eq!(across[..4], [36.0, 32.0, 30.0, 0.0]);
    assert!((across[4] - 36.0).abs() < 1e-6, "{across:?}");
}

/// One room with a tile, its joint and a notch.
fn room(area: f64, [length, width, joint, notch]: [f64; 4], shape: &str) -> Priced {
    let rooms = [
        "Room|Area (sq ft)|Tile length (in)|Tile width (in)|Grout joint (in)|Notch depth (in)|Notch shape",
        &format!("Check|{area}|{length}|{width}|{joint}|{notch}|{shape}"),
    ];
    let shop = SHOP.replace("\"leveling\", \"edges\", ", "");
    let job = ["Mortar|Check mortar", "Grout|Check grout"];
    let trial = Trial::new(&shop, PRICES, &[("Job", &job), ("Rooms", &rooms)]);
    trial.price().unwrap()
}

#[test]
fn mortar_and_grout_follow_the_trowel_the_joint_and_the_area() {
    let mut chance = Chance::new(11);
    for _ in 0..60 {
        let area = chance.between(1.0, 900.0, 0.25);
        let tile = [
            chance.between(0.5, 48.0, 0.25),
            chance.between(0.5, 48.0, 0.25),
        ];
        let (joint, notch) = (
            chance.between(0.0625, 0.75, 0.0625),
            chance.between(0.125, 0.75, 0.0625),
        );
        let of = |area, joint, notch, shape| {
            let priced = room(area, [tile[0], tile[1], joint, notch], shape);
            ["mortar_volume", "grout_volume"]
                .map(|cell| value(&priced, "room", &format!("setting.{cell}"), 0))
        };
        let [mortar, grout] = of(area, joint, notch, "square");
        let told = format!("{area} sq ft of {tile:?}, joint {joint}, notch {notch}");
        // Twice the area takes twice of both.
        let [more_mortar, more_grout] = of(2.0 * area, joint, notch, "square");
        assert!((more_mortar / mortar - 2.0).abs() < 1e-9, "{told}");
        assert!((more_grout / grout - 2.0).abs() < 1e-9, "{told}");
        // A wider joint takes more grout and no other mortar, a deeper notch the reverse.
        let [same_mortar, wider_grout] = of(area, joint + 0.0625, notch, "square");
        assert!(wider_grout > grout && same_mortar == mortar, "{told}");
        let [deeper_mortar, same_grout] = of(area, joint, notch + 0.0625, "square");
        assert!(deeper_mortar > mortar && same_grout == grout, "{told}");
        // A V lies in its U, and a U in its square.
        let [u, v] = ["U", "V"].map(|shape| of(area, joint, notch, shape)[0]);
        assert!(v < u && u < mortar, "{told}: {v}, {u}, {mortar}");
        // Tile and grout fill the floor to the thickness of the tile (3/8 in where none is given).
        let tiles = area * 144.0 / ((tile[0] + joint) * (tile[1] + joint));
        let filled = grout * 1.0 + tiles * tile[0] * tile[1] * 0.375;
        assert!(
            (filled / (area * 144.0 * 0.375) - 1.0).abs() < 1e-9,
            "{told}: {filled}"
        );
    }
}
