//! The floor under the pour and what carries it: laws, and limits from both sides.

mod job;
mod recalculated;

use job::{PLAIN, PRICES, Room, SHOP, column, price, room};
use pourwright_tests::oracle::Recalculated;
use pourwright_tests::story::Story;
use serde_json::Value;

const HOLES: &str = "Moisture tests, in-situ RH (ASTM F2170)";

#[test]
fn a_takeoff_that_says_nothing_of_the_floor_prices_as_before() {
    let rooms = [room(&[]), room(&[("Substrate", "plywood")])];
    let without = SHOP.replace(", \"assess\", \"structure\"", "");
    assert!(price(SHOP, &rooms).bid["lines"] == price(&without, &rooms).bid["lines"]);
}

#[test]
fn tests_are_counted_by_the_slab_and_never_fewer_for_more_area() {
    let tested = |area: &str| room(&[("Moisture test", "in-situ RH"), ("Area", area)]);
    let count = |areas: &[&str]| {
        let rooms: Vec<Room> = areas.iter().map(|area| tested(area)).collect();
        price(SHOP, &rooms).needed(HOLES).unwrap()
    };
    // Three rooms on one slab take three tests, not nine.
    assert_eq!(count(&["200", "300", "500"]), 3.0);
    assert_eq!(count(&["200", "300", "500.1"]), 4.0);
    let mut before = 0.0;
    for area in ["0.5", "1000", "1000.01", "2000", "45000"] {
        let now = count(&[area]);
        assert!(now >= before, "{area} takes {now}, less took {before}");
        before = now;
    }
    assert_eq!(before, 47.0);
    assert_eq!(price(SHOP, &[room(&[])]).needed(HOLES), None);
}

#[test]
fn a_deeper_pour_never_weighs_less_and_joists_never_bend_less() {
    let rooms: Vec<Room> = (0..24)
        .map(|depth| {
            let depth = (f64::from(depth) / 8.0).to_string();
            room(&[
                ("Average depth", &depth),
                ("Joist clear span", "180"),
                ("Joist spacing", "16"),
                ("Joist modulus", "1400000"),
                ("Joist moment", "98.93"),
            ])
        })
        .collect();
    let sheet = Recalculated::new(&price(SHOP, &rooms).workbook);
    for heading in [
        "Dead load of the pour",
        "Weight of the pour",
        "Deflection of joists",
    ] {
        let found = column(&sheet, rooms.len(), heading);
        let rises = found
            .windows(2)
            .all(|pair| pair[0].unwrap() < pair[1].unwrap());
        assert!(rises, "{heading}: {found:?}");
    }
}

#[test]
fn without_joist_facts_nothing_of_joists_is_said() {
    let rooms = [
        room(&[("Average depth", "5")]),
        room(&[("Joist clear span", "180"), ("Joist spacing", "16")]),
        room(&[
            ("Joist clear span", "180"),
            ("Joist spacing", "16"),
            ("Joist modulus", "1400000"),
            ("Joist moment", "20"),
        ]),
        room(&[("Joist allowed", "1000")]),
    ];
    let priced = price(SHOP, &rooms);
    assert_eq!(priced.cautioned("bend further"), [2]);
    assert_eq!(priced.cautioned("nothing is checked"), [1]);
    assert_eq!(priced.cautioned("it is not checked"), [3]);
    assert_eq!(priced.cautioned("stressed"), [0; 0]);
    let sheet = Recalculated::new(&priced.workbook);
    let bends = column(&sheet, rooms.len(), "Deflection of joists");
    let found: Vec<bool> = bends.iter().map(Option::is_some).collect();
    assert_eq!(found, [false, false, true, false]);
}

#[test]
fn limits_of_the_floor_hold_from_both_sides() {
    let gypsum = ("Substrate", "gypsum");
    let ground = ("Below", "slab on ground");
    let rooms = [
        room(&[("Slab humidity", "75"), ("Slab age", "28"), ground]),
        room(&[("Slab humidity", "75.1"), ("Slab age", "27.9")]),
        room(&[gypsum]),
        room(&[gypsum, ("Porosity", "dense")]),
        room(&[("Cracks", "0"), ("Contraction joints", "0"), ground]),
        room(&[("Cracks", "0.1"), ("Contraction joints", "0.1")]),
        room(&[gypsum, ("Moisture test", "calcium chloride"), ground]),
        room(&[("Moisture test", "calcium chloride"), ground]),
        room(&[
            ("Substrate", "lightweight concrete"),
            ("Moisture test", "in-situ RH"),
            ground,
        ]),
        room(&[("Substrate", "metal"), ("Moisture test", "in-situ RH")]),
        room(&[("Substrate", "plywood"), ("Reinforcement", "Check mesh")]),
        room(&[("Substrate", "old tile"), ("Below", "living space")]),
        room(&[("Average depth", "0.876")]),
        room(&[("Average depth", "0.876"), ground]),
    ];
    let priced = price(&format!("{SHOP}{PLAIN}"), &rooms);
    for (says, holds) in [
        ("wetter than", &[1][..]),
        ("slab is young", &[1]),
        ("prime the day before", &[3]),
        ("Water stands", &[3]),
        ("still moves", &[5]),
        ("Never bury", &[5]),
        ("ASTM F1869", &[6]),
        ("ASTM F2170", &[9]),
        ("nothing is known of it", &[4, 6, 13]),
        ("weak and drink", &[2, 3, 6, 8]),
        ("bare, free of rust", &[9]),
        ("No lath or mesh", &[9]),
        ("asbestos", &[11]),
        ("finds every gap", &[11]),
        ("weighs more", &[12]),
        ("joists", &[]),
    ] {
        assert_eq!(priced.cautioned(says), holds, "{says}");
    }
    assert_eq!(priced.needed(HOLES), Some(3.0));
}

/// Rooms whose joists stand on their limits by the closed forms 5 w L^4 / (384 E I) and
/// w L^2 / 8, and a thousandth beyond them.
#[test]
fn limits_of_joists_hold_from_both_sides() {
    let (span, spacing, modulus) = (180.0, 16.0, 1.4e6);
    let on_joist = (40.0 + 10.0) / 144.0 * spacing;
    let stiff = |limit: f64| 5.0 * on_joist * f64::powi(span, 3) * limit / (384.0 * modulus);
    // Under stress all counts: the dead load before the pour as well.
    let strong = (on_joist + 10.0 / 144.0 * spacing) * span * span / 8.0 / 1000.0;
    let joists = |covering: &str, inertia: f64, section: f64| {
        room(&[
            ("Stiff for", covering),
            ("Joist clear span", &span.to_string()),
            ("Joist spacing", &spacing.to_string()),
            ("Joist modulus", &modulus.to_string()),
            ("Joist moment", &inertia.to_string()),
            ("Joist section", &section.to_string()),
            ("Joist allowed", "1000"),
        ])
    };
    let rooms = [
        joists("tile", stiff(360.0), strong),
        joists("tile", stiff(360.0) * 0.999, strong),
        joists("natural stone", stiff(720.0), strong),
        joists("natural stone", stiff(720.0) * 0.999, strong),
        joists("tile", stiff(720.0), strong * 0.999),
    ];
    let priced = price(&format!("{SHOP}{PLAIN}"), &rooms);
    assert_eq!(priced.cautioned("bend further"), [1, 3]);
    assert_eq!(priced.cautioned("stressed beyond"), [4]);
}

#[test]
fn the_area_is_that_of_the_readings_where_there_are_some() {
    let rooms: &[&[&str]] = &[
        &["Room", "Readings", "Moisture test"],
        &["Hall", "Floor", "in-situ RH"],
    ];
    // 30 ft by 50 ft: half a thousand square feet more than three tests stand for.
    let floor: &[&[&str]] = &[
        &["Heights", "elevation"],
        &["y \\ x (ft)", "0", "30"],
        &["0", "1", "0"],
        &["50", "1", "0"],
    ];
    let story = Story::new()
        .file(
            "shop.toml",
            "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"assess\"]\n",
        )
        .file("prices.toml", PRICES)
        .sheets("rooms.xlsx", &[("Rooms", rooms), ("Floor", floor)]);
    let told = story.run(&["bid", "{}/rooms.xlsx", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let bid: Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(bid["lines"][0]["needed"], 4.0);
}
