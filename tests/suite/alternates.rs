//! Alternates: the whole job priced again with some cells changed, beside the bid, and live.

use pourwright_tests::pour_prices;
use pourwright_tests::story::Story;
use pourwright_tests::trial::{Trial, Typing};

const SHOP: &str = "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"leveling\"]\n[pricing]\nmarkup = \"25 %\"\nround_to = \"$1\"\n";

const PRICES: &str = concat!(
    pour_prices!("6 in"),
    r#"

[products.leveler."Dear bag"]
package = "bag"
price = "$35"
yields = "0.4 cu ft"
depth = "1/8 in .. 1 in"
water = "5 qt"
pot_life = "10 min"

[rates]
crew = { price = "$60", per = "h" }
mixing_set = { price = "$120", per = "day" }
delivery = { price = "$95" }
"#
);

fn trial() -> Trial {
    Trial::new(
        SHOP,
        PRICES,
        &[
            (
                "Rooms",
                &[
                    "Room|Area (sq ft)|Average depth (in)|Longest tile edge (in)|Substrate|Leveler|Primer",
                    "Hall|100|0.5|12|concrete|Check bag|Check jug",
                    "Den|220|1.25||plywood|Check bag|Check jug",
                ],
            ),
            (
                "Alternates",
                &[
                    "Alternate|Room|Column|Value",
                    "The dear leveler||Leveler|Dear bag",
                    "Den on concrete|Den|Substrate|concrete",
                    "Den on concrete|Den|Tile edge|24",
                    "Hall without an edge|Hall|Tile edge|",
                    "Hall on concrete|Hall|Substrate|concrete",
                ],
            ),
        ],
    )
}

fn cell(row: usize, heading: &'static str, text: &str) -> Typing {
    Typing::Cell("Rooms", row, heading, text.to_owned())
}

#[test]
fn an_alternate_costs_what_the_changed_takeoff_costs() {
    let priced = trial().price().unwrap();
    let names: Vec<&str> = priced
        .bid
        .alternates
        .iter()
        .map(|a| a.name.as_str())
        .collect();
    assert_eq!(
        names,
        [
            "The dear leveler",
            "Den on concrete",
            "Hall without an edge",
            "Hall on concrete"
        ]
    );
    let dear = trial()
        .typed(&cell(0, "Leveler", "Dear bag"))
        .typed(&cell(1, "Leveler", "Dear bag"));
    let totals: Vec<f64> = priced
        .bid
        .alternates
        .iter()
        .map(|a| a.bid.total())
        .collect();
    let without = |mut trial: Trial| {
        trial.sheets.truncate(1);
        trial.price().unwrap().bid.total()
    };
    assert_eq!(totals[0], without(dear));
    let concrete = trial().typed(&cell(1, "Substrate", "concrete"));
    assert_eq!(totals[1], without(concrete));
    assert_eq!(totals[2], without(trial()), "an edge costs nothing");
    // It sets what is so already, and stays so when the bid's cell is changed (see below).
    assert_eq!(totals[3], without(trial()));
    assert!(totals[0] > priced.bid.total() && totals[1] < priced.bid.total());
    // The dear leveler may not be poured so deep; the other may.
    let new = priced.bid.alternates[0].new_cautions(&priced.bid);
    assert!(
        new.iter().any(|text| text.contains("more than one lift")),
        "{new:?}"
    );
    assert_eq!(
        priced.bid.alternates[1].new_cautions(&priced.bid),
        [] as [&str; 0]
    );
}

#[test]
fn alternates_follow_what_is_typed_or_say_price_again() {
    let tally = trial().hold(&[
        cell(0, "Area", "140"),
        cell(1, "Average depth", "0.75"),
        cell(1, "Leveler", "Dear bag"),
        cell(0, "Substrate", "plywood"),
        cell(1, "Substrate", "concrete"),
        // Blank in the bid: an alternate cannot follow it, and says so.
        cell(1, "Longest tile edge", "18"),
        cell(0, "Longest tile edge", ""),
        cell(0, "Area", ""),
        Typing::Factor("leveling", "waste", "20 %".to_owned(), 0.2),
        Typing::Field("leveler", "Dear bag", "price", "$41".to_owned(), 41.0),
    ]);
    assert_eq!(
        (tally.live, tally.flagged, tally.refused),
        (9, 0, 1),
        "{tally:?}"
    );
}

#[test]
fn what_an_alternate_cannot_change_is_refused_by_cell() {
    let story = Story::new()
        .file("shop.toml", SHOP)
        .file("prices.toml", PRICES)
        .sheets(
            "rooms.xlsx",
            &[
                (
                    "Rooms",
                    &[
                        &[
                            "Room",
                            "Area (sq ft)",
                            "Average depth (in)",
                            "Leveler",
                            "Primer",
                        ],
                        &["Hall", "100", "0.5", "Check bag", "Check jug"],
                    ],
                ),
                (
                    "Alternates",
                    &[
                        &["Alternate", "Room", "Column", "Value"],
                        &["One", "Hal", "Leveler", "Dear bag"],
                        &["Two", "", "Colour", "red"],
                        &["Three", "", "Leveler", "Der bag"],
                        &["Four", "Hall", "Readings", "Floor"],
                        &["Five", "Hall", "", "Floor"],
                    ],
                ),
            ],
        );
    let told = story.run(&["bid", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 1, "{}", told.out);
    for said in [
        "the takeoff has no room called \"Hal\"",
        "[Alternates!B2]",
        "Did you mean Hall?",
        "no recipe asks rooms for \"Colour\"",
        "[Alternates!C3]",
        "in alternate \"Three\": Leveler of Hall is \"Der bag\", which is not in the price book",
        "an alternate cannot change Readings",
        "[Alternates!C5]",
        "row 6 of the alternates is not whole",
        "nothing was written",
    ] {
        assert!(told.err.contains(said), "{said} is not said:\n{}", told.err);
    }
    assert!(!story.path("rooms-bid.xlsx").exists());
}
