//! Labour and equipment around the pour: laws on generated jobs, geometry of what is ground,
//! the workbook recalculated, and which shops get any of it.

mod laws;
mod shops;

use engine::bid::Bid;
use pourwright_tests::oracle::Recalculated;
use pourwright_tests::trial::{Trial, Typing};

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["leveling", "edges", "setting", "crew"]
[pricing]
markup = "20 %"
"#;

const PRICES: &str = r#"
[products.leveler."Check bag"]
package = "bag"
price = "$20"
yields = "0.5 cu ft"
depth = "1/8 in .. 4 in"
water = "5 qt"
pot_life = "20 min"
weight = "50 lb"
pallet = 40

[products.primer."Check jug"]
package = "jug"
price = "$50"
coverage = "300 sq ft"

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
mixing_set = { price = "$100", per = "day" }
delivery = { price = "$90" }
grinding = { price = "$1.50", per = "sq ft" }
grinding_set_up = { price = "$120" }
dust_collector = { price = "$80", per = "day" }
shot_blasting = { price = "$2", per = "sq ft" }
pump = { price = "$600", per = "day" }
"#;

const ROOMS: &str = "Room|Area (sq ft)|Average depth (in)|Readings|Tile length (in)|Tile width (in)|\
    Mixing|Grinding|Grind area (sq ft)|Grind depth (in)|Profile|Floors up|Carry distance (ft)|Carry by|Rubble (lb)";

/// A hall that is pumped, a bath up two floors, a den that was shot and is ground, a loft with nothing of all that.
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
                    "Distance (mi)|12",
                ],
            ),
            (
                "Rooms",
                &[
                    ROOMS,
                    "Hall|900|1||24|12|||40|0.25|||80|||",
                    "Bath|74|1.25||2|2|barrels|||||2||stairs|300",
                    "Den||||12|12||by readings|||||||",
                    "Loft|120|0.5|||||||||||||",
                ],
            ),
            ("Den floor", &RAMP),
        ],
    )
    .typed(&cell("Rooms", 2, "Readings", "Den floor"))
}

/// A floor of 10 by 10 ft that rises evenly by an inch, and must be poured to 5/8 in.
const RAMP: [&str; 6] = [
    "Heights|elevation",
    "Finish|0.625",
    "y \\ x (ft)|0|5|10",
    "0|0|0.5|1",
    "5|0|0.5|1",
    "10|0|0.5|1",
];

fn cell(sheet: &'static str, row: usize, heading: &'static str, text: &str) -> Typing {
    Typing::Cell(sheet, row, heading, text.to_owned())
}

/// A cell of a table, in base units.
fn value(bid: &Bid, table: &str, column: &str, row: usize) -> f64 {
    let mut tables = bid.ledger.tables();
    let (_, table) = tables.find(|(_, known)| known.name == table).unwrap();
    table.filled(column, row).unwrap()
}

fn whole(bid: &Bid, cell: &str) -> f64 {
    value(bid, "job", &format!("crew.{cell}"), 0)
}

#[test]
fn the_workbook_follows_or_says_price_again() {
    let factor = |name, text: &str, number| Typing::Factor("crew", name, text.to_owned(), number);
    let live = [
        cell("Rooms", 0, "Area", "700"),
        cell("Rooms", 1, "Average depth", "2"),
        cell("Rooms", 0, "Mixing", "pump"),
        cell("Rooms", 0, "Grind area", "60"),
        cell("Rooms", 0, "Grind depth", "0.5"),
        cell("Rooms", 3, "Grind depth", "0.5"),
        cell("Rooms", 1, "Floors up", "3"),
        cell("Rooms", 1, "Carry by", "lift"),
        cell("Rooms", 0, "Carry distance", "200"),
        cell("Rooms", 1, "Rubble", ""),
        cell("Rooms", 3, "Rubble", "200"),
        cell("Rooms", 0, "Tile length", "36"),
        factor("bags_a_batch", "3", 3.0),
        factor("batch_time", "9 min", 9.0),
        factor("mixers_in_set", "1", 1.0),
        factor("load", "40 lb", 40.0),
        factor("pass_depth", "1/32 in", 0.03125),
        factor("least_visit", "12 h", 12.0),
        factor("working_day", "6 h/day", 6.0),
        factor("cure", "36 h", 36.0),
        factor("dwell", "2 h", 2.0),
        factor("truck_load", "4000 lb", 4000.0),
        factor("dump_fee", "0.2 money/lb", 0.2),
        Typing::Field(
            "leveler",
            "Check bag",
            "pot_life",
            "10 min".to_owned(),
            10.0,
        ),
        Typing::Field("leveler", "Check bag", "weight", "60 lb".to_owned(), 60.0),
        Typing::Field(
            "leveler",
            "Check bag",
            "yields",
            "0.4 cu ft".to_owned(),
            0.4,
        ),
    ];
    let tally = job().hold(&live);
    println!("{tally:?}");
    assert_eq!((tally.live, tally.refused), (live.len(), 0));

    let forked = [
        cell("Rooms", 3, "Grind area", "30"),
        cell("Rooms", 0, "Profile", "grind"),
        cell("Rooms", 3, "Profile", "shot-blast"),
        cell("Rooms", 2, "Grinding", "listed"),
        cell("Rooms", 0, "Tile length", ""),
        Typing::Reading("Den floor", 3, 3, 2, "1.25".to_owned()),
        // The only pump goes home.
        cell("Rooms", 0, "Area", "100"),
    ];
    let tally = job().hold(&forked);
    println!("{tally:?}");
    // Where a path that some row takes already fits, the cells only change.
    assert_eq!(tally.refused, 0);
    assert!(tally.flagged >= 4, "{tally:?}");
}

#[test]
fn the_way_to_the_site_stays_live() {
    let bytes = job().price().unwrap().workbook();
    let mut sheet = Recalculated::new(&bytes);
    sheet.type_number(sheet.named("job_distance"), 30.0);
    sheet.recalculate();
    let mut farther = job();
    let (_, keys) = farther
        .sheets
        .iter_mut()
        .find(|(name, _)| name == "Job")
        .unwrap();
    keys.last_mut().unwrap()[1] = "30".to_owned();
    let total = farther.price().unwrap().bid.total();
    let shown = sheet.number(sheet.named("bid_total"));
    assert!((shown - total).abs() < 0.005, "{shown} for {total}");
}

#[test]
fn a_metric_workbook_recalculates_to_the_same_bid() {
    let flat = |trial: Trial| {
        trial
            .typed(&cell("Rooms", 2, "Readings", ""))
            .typed(&cell("Rooms", 2, "Area", "120"))
            .typed(&cell("Rooms", 2, "Average depth", "1"))
    };
    let customary = flat(job());
    let mut metric = customary.clone();
    metric.shop = SHOP.replace("\"US\"", "\"SI\"");
    let total = |trial: &Trial| trial.price().unwrap().bid.total();
    assert!((total(&metric) - total(&customary)).abs() < 1e-6);
    let factor = |name, text: &str, number| Typing::Factor("crew", name, text.to_owned(), number);
    let live = [
        factor("dump_fee", "0.2 money/lb", 0.2),
        factor("reach", "8 ft", 8.0),
    ];
    assert_eq!(metric.hold(&live).live, live.len());
}

/// Geometry: a ramp of 10 by 10 ft from 0 to 1 in. A pour that ends at 5/8 in and covers by 1/8 in
/// asks for the half above 1/2 in to be ground: a wedge of 50 sq ft, 1/2 in at most. Then
/// 100 sq ft x 5/8 in less the floor's 37.5 sq ft in are filled, 25 sq ft in. As it stood, the
/// 62.5 sq ft below 5/8 in took 19.53125 sq ft in.
#[test]
fn what_readings_show_above_the_pour_is_ground_and_covered() {
    let bid = job().price().unwrap().bid;
    let of = |cell: &str| value(&bid, "room", &format!("crew.{cell}"), 2);
    let near = |found: f64, expected: f64| {
        assert!(
            (found - expected).abs() < 1e-6 * expected,
            "{found} for {expected}"
        )
    };
    near(of("ground_area"), 50.0 * 144.0);
    near(of("ground_volume"), 50.0 * 144.0 * 0.25);
    // A mean of 1/4 in is four passes of 1/16 in.
    near(of("grind_passes"), 4.0 * 50.0 * 144.0);
    let fill = bid
        .items
        .iter()
        .find(|item| item.label == "Underlayment over ground spots");
    let fill = fill.map(|item| bid.ledger.table(item.table).value(item.quantity, 2));
    near(fill.unwrap(), (25.0 - 19.53125) / 12.0 / 0.5);
}

/// Worked by hand: setting prices 15 sq ft/h and grouts 60 sq ft/h, leveling primes 400 sq ft/h and
/// pours 12 cu ft/h after 45 min; 800 sq ft at 1 in take 73-1/3 cu ft.
#[test]
fn the_plan_counts_what_every_recipe_does_on_its_days() {
    let rooms = [
        "Room|Area (sq ft)|Average depth (in)|Tile length (in)|Tile width (in)",
        "Hall|800|0.875|12|12",
    ];
    let keys = [
        "Leveler|Check bag",
        "Primer|Check jug",
        "Mortar|Check mortar",
        "Grout|Check grout",
    ];
    let bid = Trial::new(SHOP, PRICES, &[("Job", &keys), ("Rooms", &rooms)])
        .price()
        .unwrap()
        .bid;
    let hours = |cell: &str| whole(&bid, cell) / 3600.0;
    let near = |found: f64, expected: f64| {
        assert!((found - expected).abs() < 1e-9, "{found} for {expected}")
    };
    near(hours("tile_time"), 800.0 / 15.0);
    near(hours("finish_time"), 800.0 / 60.0);
    near(hours("pour_time"), 0.75 + 800.0 / 12.0 * 1.1 / 12.0);
    let further = value(&bid, "room", "crew.further_time", 0) / 3600.0;
    near(hours("prepare_time"), 2.0 + further / 3.0);
    // Prepared on day 1, poured on 2; tiled from 3 for 7 days, grouted on 10 and 11, open on 12.
    let days = [
        "pour_day",
        "tile_day",
        "grout_day",
        "open_day",
        "visits",
        "site_days",
    ]
    .map(|cell| whole(&bid, cell));
    assert_eq!(days, [2.0, 3.0, 10.0, 12.0, 3.0, 11.0]);
}
