//! Laws that hold for every job, on generated ones.

use engine::quantity::rounding::cents;
use pourwright_tests::chance::Chance;
use pourwright_tests::jobs::Job;
use pourwright_tests::story::Story;
use proptest::prelude::*;
use serde_json::Value;

/// A takeoff in csv: rooms with area in square inches and depth in sixty-fourths of an inch.
fn takeoff(rooms: &[(u32, u32)], metric: bool) -> String {
    let mut text = if metric {
        "Room,Area (m2),Average depth (mm),Leveler,Primer\n".to_owned()
    } else {
        "Room,Area (sq in),Average depth (in),Leveler,Primer\n".to_owned()
    };
    for (index, (area, depth)) in rooms.iter().enumerate() {
        let (area, depth) = (f64::from(*area), f64::from(*depth) / 64.0);
        // Exact in both: a square inch is 0.00064516 m2, an inch 25.4 mm.
        let (area, depth) = if metric {
            (area * 0.000_645_16, depth * 25.4)
        } else {
            (area, depth)
        };
        text.push_str(&format!(
            "Room {index},{area},{depth},Demo Level Standard,Demo Prime Porous\n"
        ));
    }
    text
}

/// A shop of the pour alone: what is run for every case is what the laws are about.
const SHOP: &str = "name = \"Law shop\"\nunits = \"US\"\nrecipes = [\"leveling\"]\n[pricing]\nmarkup = \"28 %\"\nround_to = \"$5\"\n";
const PRICES: &str = include_str!("../../cli/demo/prices.toml");

fn price(takeoff: &str) -> Value {
    let story = Story::new()
        .file("shop.toml", SHOP)
        .file("prices.toml", PRICES)
        .file("takeoff.csv", takeoff);
    let told = story.run(&["bid", "{}/takeoff.csv", "--json"]);
    assert_eq!(told.code, 0, "{takeoff}\n{}", told.err);
    serde_json::from_str(&told.out).unwrap()
}

fn ordered(bid: &Value) -> f64 {
    let lines = bid["lines"].as_array().unwrap();
    let line = lines
        .iter()
        .find(|line| line["product_or_rate"] == "Demo Level Standard")
        .unwrap();
    line["quantity"].as_f64().unwrap()
}

fn rooms() -> impl Strategy<Value = Vec<(u32, u32)>> {
    prop::collection::vec((144u32..90_000, 1u32..128), 1..12)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_same_floor_in_us_and_si_units_is_the_same_bid(rooms in rooms()) {
        let (us, si) = (price(&takeoff(&rooms, false)), price(&takeoff(&rooms, true)));
        prop_assert_eq!(&us["total"], &si["total"]);
        prop_assert_eq!(&us["rooms"], &si["rooms"]);
        prop_assert_eq!(ordered(&us), ordered(&si));
    }

    #[test]
    fn rooms_add_up_to_the_total(rooms in rooms()) {
        let bid = price(&takeoff(&rooms, false));
        let prices = bid["rooms"].as_array().unwrap().iter().map(|room| room["price"].as_f64().unwrap());
        prop_assert_eq!(cents(prices.sum()), bid["total"].as_f64().unwrap());
    }

    #[test]
    fn more_depth_never_takes_fewer_bags(rooms in rooms(), which in 0usize..12, more in 1u32..64) {
        let before = ordered(&price(&takeoff(&rooms, false)));
        let mut deeper = rooms.clone();
        let index = which % rooms.len();
        deeper[index].1 += more;
        prop_assert!(ordered(&price(&takeoff(&deeper, false))) >= before);
    }
}

#[test]
fn the_order_of_rooms_does_not_change_the_total() {
    for seed in 0..30 {
        let job = Job::generate(seed);
        let total = job
            .price()
            .unwrap_or_else(|why| panic!("{why}"))
            .bid
            .total();
        let mut chance = Chance::new(seed);
        for _ in 0..3 {
            let mut shuffled = job.clone();
            for index in (1..shuffled.rooms.len()).rev() {
                shuffled.rooms.swap(index, chance.below(index + 1));
            }
            let again = shuffled
                .price()
                .unwrap_or_else(|why| panic!("{why}"))
                .bid
                .total();
            assert_eq!(again, total, "job {seed}");
        }
    }
}

#[test]
fn two_runs_give_the_same_bytes() {
    for seed in 0..10 {
        let write = || {
            Job::generate(seed)
                .price()
                .unwrap_or_else(|why| panic!("{why}"))
                .workbook()
        };
        assert_eq!(write(), write(), "job {seed}");
    }
    let demo = || {
        let story = Story::new();
        assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
        (story.read("demo/takeoff.xlsx"), story.read("demo/bid.xlsx"))
    };
    let (first, second) = (demo(), demo());
    assert!(first == second, "the demo's files differ from run to run");
}
