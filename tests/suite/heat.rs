//! Floor heating: what the recipe says of rooms with and without it, what is refused, and the
//! sheet for the electrician.

use pourwright_tests::heated::HeatJob;
use pourwright_tests::oracle::Recalculated;
use pourwright_tests::priced::Priced;
use pourwright_tests::story::Story;
use serde_json::Value;

const SHOP: &str =
    "name = \"Check shop\"\nunits = \"US\"\nrecipes = [\"heat\"]\n[pricing]\nmarkup = \"20 %\"\n";

const PRICES: &str = r#"
[products.heating]
"Check mat 30" = { package = "mat", price = "$210", volts = "120 V", watts = "360 W", covers = "30 sq ft", height = "1/8 in" }
"Check mat 50" = { package = "mat", price = "$310", volts = "120 V", watts = "600 W", covers = "50 sq ft", height = "1/8 in" }
"Check mat 60" = { package = "mat", price = "$350", volts = "120 V", watts = "720 W", covers = "60 sq ft", height = "1/8 in" }
"Check mat 150" = { package = "mat", price = "$700", volts = "240 V", watts = "1800 W", covers = "150 sq ft", height = "1/8 in" }
"Check cable 300" = { package = "reel", price = "$260", volts = "120 V", watts = "900 W", length = "300 ft", height = "3/16 in" }

[products.thermostat]
"Check switch" = { package = "piece", price = "$170", amps = "15 A", trips_at = "0.005 A" }

[rates]
crew = "$90/h"
electrician = "$110/h"
floor_sensor = "$35"
heat_circuit = "$240"
gfci_breaker = "$85"
heat_relay = "$70"
"#;

const ROOMS: &str = "Room,Area (sq ft),Perimeter (ft),Floor heat,Heated area (sq ft),Heating product,Heat volts,Thermostat,Floor insulated\n\
Bath,90,38,mat,55,,,Check switch,yes\n\
Hall,140,50,none,,,,,\n\
Kitchen,200,60,mat,,,240,,\n\
Office,90,38,cable,76,,,Check switch,\n";

fn story(rooms: &str) -> Story {
    Story::new()
        .file("shop.toml", SHOP)
        .file("prices.toml", PRICES)
        .file("rooms.csv", rooms)
}

fn bid(story: &Story) -> Value {
    let told = story.run(&["bid", "{}/rooms.csv", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    serde_json::from_str(&told.out).unwrap()
}

#[test]
fn the_electrician_gets_a_sheet_for_each_heated_room() {
    let story = story(ROOMS);
    let told = story.run(&["heat", "{}/rooms.csv"]);
    assert_eq!(told.code, 0, "{}", told.err);
    insta::assert_snapshot!("heat_sheet", told.out);
    let told = story.run(&["heat", "{}/rooms.csv", "bath", "--json"]);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(json[0]["figures"]["product"], "Check mat 50");
    assert_eq!(json[0]["figures"]["ohms"]["value"], 24.0);
    assert_eq!(json.as_array().unwrap().len(), 1);
}

#[test]
fn where_there_is_no_heat_the_command_says_so() {
    let cases = [
        (story(ROOMS), "Bth", "Did you mean Bath?"),
        (story(ROOMS), "Hall", "no heated room is called \"Hall\""),
        (
            story("Room,Area (sq ft)\nHall,140\n"),
            "Hall",
            "the recipes of this shop give no items",
        ),
    ];
    for (story, room, part) in cases {
        let told = story.run(&["heat", "{}/rooms.csv", room]);
        assert_eq!(told.code, 1);
        assert!(told.err.contains(part), "{}", told.err);
    }
    // A shop with all stock recipes, and a job without heat.
    let rooms = "Room,Area (sq ft),Average depth (in),Leveler,Primer\nHall,140,1/2,Demo Level Standard,Demo Prime Porous\n";
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    let prices = String::from_utf8(story.read("demo/prices.toml")).unwrap();
    let all = Story::new()
        .file("shop.toml", "name = \"Check shop\"\nunits = \"US\"\n")
        .file("prices.toml", &prices)
        .file("rooms.csv", rooms);
    let told = all.run(&["heat", "{}/rooms.csv"]);
    assert_eq!(told.code, 1);
    assert!(
        told.err.contains("no room of the takeoff is heated"),
        "{}",
        told.err
    );
    let without = all.file(
        "shop.toml",
        "name = \"Check shop\"\nunits = \"US\"\nrecipes = [\"leveling\"]\n",
    );
    let told = without.run(&["heat", "{}/rooms.csv"]);
    assert_eq!(told.code, 1);
    assert!(
        told.err.contains("price no floor heating") && told.err.contains("Add heat to the recipes"),
        "{}",
        told.err
    );
}

#[test]
fn a_room_without_heat_has_no_lines_and_no_cautions() {
    let json = bid(&story(ROOMS));
    let hall = json["rooms"]
        .as_array()
        .unwrap()
        .iter()
        .find(|room| room["name"] == "Hall");
    assert_eq!(hall.unwrap()["price"], 0.0);
    for caution in json["cautions"].as_array().unwrap() {
        let rooms = caution["rooms"].as_array().unwrap();
        assert!(!rooms.contains(&Value::from("Hall")), "{caution}");
    }
    let said = |part: &str| -> Vec<String> {
        let cautions = json["cautions"].as_array().unwrap().iter();
        let found = cautions.filter(|c| c["text"].as_str().unwrap().contains(part));
        found
            .flat_map(|c| c["rooms"].as_array().unwrap())
            .map(|room| room.as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(said("Heating is never cut"), ["Bath", "Kitchen", "Office"]);
    assert_eq!(said("licensed electrician"), ["Bath", "Kitchen", "Office"]);
    assert_eq!(said("No thermostat is priced"), ["Kitchen"]);
    assert_eq!(said("A wet room"), ["Kitchen"]);
}

#[test]
fn where_nothing_fits_the_cell_and_the_nearest_two_are_named() {
    let rooms = "Room,Floor heat,Heated area (sq ft)\nBath,mat,55\nCloset,mat,12\n";
    let told = story(rooms).run(&["bid", "{}/rooms.csv"]);
    assert_eq!(told.code, 1);
    insta::assert_snapshot!("heat_nothing_fits", told.err);
    // Where the area follows from the room, its own cell is named.
    let rooms = "Room,Area (sq ft),Perimeter,Floor heat\nCloset,20,18,mat\n";
    let told = story(rooms).run(&["bid", "{}/rooms.csv"]);
    assert!(told.err.contains("rooms.csv [B2, line 2]"), "{}", told.err);
    let rooms = "Room,Floor heat,Heated area (sq ft),Heat volts\nCloset,mat,55,208\n";
    let told = story(rooms).run(&["bid", "{}/rooms.csv"]);
    assert!(
        told.err.contains("There is none with volts 208 V at all"),
        "{}",
        told.err
    );
}

#[test]
fn the_choice_of_the_program_explains_itself() {
    let story = story(ROOMS);
    let explained = ["product", "ohms", "breaker"].map(|cell| {
        let told = story.run(&["explain", "{}/rooms.csv", "Bath", cell]);
        assert_eq!(told.code, 0, "{}", told.err);
        told.out
    });
    insta::assert_snapshot!("heat_explained", explained.concat());
}

#[test]
fn the_checks_of_the_recipe_hold_in_a_shop_of_its_own() {
    let story = story(ROOMS);
    let told = story.run(&["prove", "heat", "--shop", "{}", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    let list = json.as_array().unwrap();
    assert!(list.len() >= 12, "{}", list.len());
    assert!(list.iter().all(|check| check["holds"] == true));
}

#[test]
fn the_workbook_recalculates_as_written_here_and_in_another_office() {
    let story = story(ROOMS);
    bid(&story);
    let sheet = Recalculated::new(&story.read("rooms-bid.xlsx"));
    assert_eq!(sheet.differences(), [] as [String; 0]);
    super::office::recalculates_the_same(&story, "rooms-bid.xlsx");
}

#[test]
fn two_runs_give_the_same_bytes() {
    let write = || {
        let job = HeatJob::generate(7);
        job.price().unwrap_or_else(|why| panic!("{why}")).workbook()
    };
    assert_eq!(write(), write());
}

/// The lines of a bid with their costs, sorted: their order is that in which rooms ask for them.
fn lines(priced: &Priced) -> Vec<String> {
    let table = priced.bid.ledger.table(priced.bid.line_table);
    let cost = |row| table.value(priced.bid.line_columns.cost, row);
    let all = priced.bid.lines.iter().enumerate();
    let mut lines: Vec<String> = all
        .map(|(row, line)| format!("{} {:.2}", line.name(), cost(row)))
        .collect();
    lines.sort();
    lines
}

/// The same rooms in another order are the same bid, and heat is the same in US and SI shops.
#[test]
fn neither_order_nor_units_change_the_price() {
    let mut seen = 0;
    for seed in 0..20 {
        let mut job = HeatJob::generate(seed);
        let Ok(priced) = job.price() else { continue };
        let total = priced.bid.total();
        job.rooms.reverse();
        job.metric = !job.metric;
        let again = job.price().unwrap_or_else(|why| panic!("{why}"));
        let (shown, other) = (lines(&priced), lines(&again));
        assert_eq!(shown, other, "job {seed}");
        assert_eq!(again.bid.total(), total, "job {seed}");
        seen += 1;
    }
    assert!(seen >= 5, "{seen} jobs could be priced");
}
