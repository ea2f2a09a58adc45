//! Markup on cost and margin of price against a published table and worked examples.

use pourwright_tests::story::Story;
use serde_json::Value;

const MANIFEST: &str = r#"
name = "lump"
title = "Work for a sum"
version = "1.0.0"
licence = "MIT"
summary = "A sum of money."

[inputs.area]
title = "Area"
unit = "sq ft"
required = true
why = "Floor area; the sum does not go by it."

[factors.sum]
default = "80000 money"
why = "What the work costs."
source = "worked example"
"#;

/// The price of work that costs so much.
fn price(cost: f64, pricing: &str) -> f64 {
    let shop = format!(
        "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"lump\"]\n[pricing]\n{pricing}\n[factors.lump]\nsum = \"{cost} money\"\n"
    );
    let story = Story::new()
        .file("shop.toml", &shop)
        .file("prices.toml", "[rates]\ncrew = \"$1/h\"\n")
        .file("recipes/lump/recipe.toml", MANIFEST)
        .file("recipes/lump/room.rhai", "charge(\"Work\", factor.sum);\n")
        .file("rooms.csv", "Room,Area\nHall,10 sq ft\n");
    let told = story.run(&["bid", "{}/rooms.csv", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let bid: Value = serde_json::from_str(&told.out).unwrap();
    bid["total"].as_f64().unwrap()
}

#[test]
fn markup_is_on_cost_and_margin_of_the_price() {
    // contractorcfo.org, markup and margin: $80,000 of cost sell for $96,000 at 20 % markup and for
    // $100,000 at 20 % margin; $10,000 of cost for $12,500 are 25 % markup and 20 % margin.
    assert_eq!(price(80_000.0, "markup = \"20 %\""), 96_000.0);
    assert_eq!(price(80_000.0, "margin = \"20 %\""), 100_000.0);
    assert_eq!(price(10_000.0, "markup = \"25 %\""), 12_500.0);
    assert_eq!(price(10_000.0, "margin = \"20 %\""), 12_500.0);
}

#[test]
fn markups_are_the_margins_of_the_published_table() {
    // contractorcfo.org prints margins to the tenth of a percent.
    let table = [
        (10, 9.1),
        (15, 13.0),
        (20, 16.7),
        (25, 20.0),
        (30, 23.1),
        (35, 25.9),
        (40, 28.6),
        (50, 33.3),
        (100, 50.0),
    ];
    for (markup, margin) in table {
        let sold = price(1000.0, &format!("markup = \"{markup} %\""));
        let kept = (sold - 1000.0) / sold * 100.0;
        assert!((kept - margin).abs() <= 0.05 + 1e-9, "{markup} %: {kept}");
    }
    // theprofitconstructors.com: a margin of 30 % needs 42.9 % markup, one of 40 % needs 66.7 %.
    for (margin, markup) in [(30, 42.9), (40, 66.7)] {
        let sold = price(1000.0, &format!("margin = \"{margin} %\""));
        let added = (sold - 1000.0) / 10.0;
        assert!((added - markup).abs() <= 0.05 + 1e-9, "{margin} %: {added}");
    }
}
