//! Coverage arithmetic against published definitions, through the whole program.

use pourwright_tests::story::Story;
use serde_json::Value;

const SHOP: &str = "name = \"Plain\"\nunits = \"US\"\n[factors.leveling]\nwaste = \"0 %\"\nleast_cover = \"0 in\"\n";

fn prices(yields: &str) -> String {
    format!(
        "[products.leveler.Mix]\npackage = \"bag\"\nprice = \"$10\"\nyields = \"{yields}\"\ndepth = \"1/16 in .. 4 in\"\nwater = \"5 qt\"\npot_life = \"20 min\"\n[products.primer.Prime]\npackage = \"jug\"\nprice = \"$10\"\ncoverage = \"500 sq ft\"\n[rates]\ncrew = \"$0/h\"\nmixing_set = {{ price = \"$0\", per = \"day\" }}\ndelivery = \"$0\"\n"
    )
}

/// The bags needed and ordered for a takeoff.
fn bags(yields: &str, takeoff: &str) -> (f64, f64) {
    let story = Story::new()
        .file("shop.toml", SHOP)
        .file("prices.toml", &prices(yields))
        .file("takeoff.csv", takeoff);
    let told = story.run(&["bid", "{}/takeoff.csv", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    let line = json["lines"]
        .as_array()
        .unwrap()
        .iter()
        .find(|line| line["product_or_rate"] == "Mix")
        .unwrap();
    (
        line["needed"].as_f64().unwrap(),
        line["quantity"].as_f64().unwrap(),
    )
}

/// 1 cubic foot = 1728 cubic inches and 1 square foot = 144 square inches (NIST Handbook 44,
/// Appendix C), so a cubic foot covers 12 square feet an inch deep.
#[test]
fn a_cubic_foot_covers_twelve_square_feet_an_inch_deep() {
    let table = [
        ("12 sq ft", "1 in", 1.0),
        ("24 sq ft", "1/2 in", 1.0),
        ("96 sq ft", "1/8 in", 1.0),
        ("1 sq ft", "12 in", 1.0),
        ("120 sq ft", "1 in", 10.0),
        ("9 sq ft", "3 ft", 27.0),
    ];
    for (area, depth, expected) in table {
        let takeoff =
            format!("Room,Area,Average depth,Leveler,Primer\nA,{area},{depth},Mix,Prime\n");
        let (needed, ordered) = bags("1 cu ft", &takeoff);
        assert!(
            (needed - expected).abs() < 1e-12,
            "{area} by {depth}: {needed}"
        );
        assert_eq!(ordered, expected, "{area} by {depth}");
    }
}

/// 1 L = 1 dm3 (NIST SP 811, 6.2.1): a square metre a millimetre deep is a litre.
#[test]
fn a_square_metre_a_millimetre_deep_is_a_litre() {
    let (needed, _) = bags(
        "1 L",
        "Room,Area,Average depth,Leveler,Primer\nA,1 m2,1 mm,Mix,Prime\n",
    );
    assert!((needed - 1.0).abs() < 1e-12, "{needed}");
}

/// A US gallon is 231 cubic inches (NIST Handbook 44, Appendix C): 231 square inches an inch deep.
#[test]
fn a_gallon_covers_231_square_inches_an_inch_deep() {
    let (needed, _) = bags(
        "1 gal",
        "Room,Area,Average depth,Leveler,Primer\nA,231 sq in,1 in,Mix,Prime\n",
    );
    assert!((needed - 1.0).abs() < 1e-12, "{needed}");
}

#[test]
fn bags_are_rounded_up_once_for_the_job_and_not_room_by_room() {
    let rows: String = (0..10)
        .map(|n| format!("Room {n},3 sq ft,1 in,Mix,Prime\n"))
        .collect();
    let takeoff = format!("Room,Area,Average depth,Leveler,Primer\n{rows}");
    // Ten rooms of a quarter bag are two and a half bags: three, not ten.
    assert_eq!(bags("1 cu ft", &takeoff).1, 3.0);
}

#[test]
fn thirteen_bags_and_a_breath_are_thirteen_bags() {
    let takeoff = |depth: &str| {
        format!("Room,Area,Average depth,Leveler,Primer\nA,156 sq ft,{depth},Mix,Prime\n")
    };
    assert_eq!(bags("1 cu ft", &takeoff("1 in")).1, 13.0);
    assert_eq!(bags("1 cu ft", &takeoff("1.00000000001 in")).1, 13.0);
    assert_eq!(bags("1 cu ft", &takeoff("1.001 in")).1, 14.0);
}

/// Markup and margin as published for contractors: a cost of 80,000 with a markup of 20 % is
/// 96,000, with a margin of 20 % it is 100,000 (worked example of a contractors' accounting
/// guide, contractorcfo.org); markup 25 % is margin 20 % on 10,000 (second guide,
/// theprofitconstructors.com); 30 % of margin needs 42.9 % of markup.
#[test]
fn markup_and_margin_are_as_published() {
    let total = |pricing: &str, cost: &str| {
        let prices =
            prices("1 cu ft").replace("delivery = \"$0\"", &format!("delivery = \"{cost}\""));
        let prices = prices.replace("price = \"$10\"", "price = \"$0\"");
        let story = Story::new()
            .file("shop.toml", &format!("{SHOP}[pricing]\n{pricing}\n"))
            .file("prices.toml", &prices)
            .file(
                "takeoff.csv",
                "Room,Area,Average depth,Leveler,Primer\nA,12 sq ft,1 in,Mix,Prime\n",
            );
        let told = story.run(&["bid", "{}/takeoff.csv", "--json"]);
        assert_eq!(told.code, 0, "{}", told.err);
        let json: Value = serde_json::from_str(&told.out).unwrap();
        json["total"].as_f64().unwrap()
    };
    assert_eq!(total("markup = \"20 %\"", "$80,000"), 96_000.0);
    assert_eq!(total("margin = \"20 %\"", "$80,000"), 100_000.0);
    assert_eq!(total("markup = \"25 %\"", "$10,000"), 12_500.0);
    assert_eq!(total("margin = \"20 %\"", "$10,000"), 12_500.0);
    let markup_for_margin = total("margin = \"30 %\"", "$100") - 100.0;
    assert_eq!(format!("{markup_for_margin:.1}"), "42.9");
    let published = [
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
    for (markup, margin) in published {
        let price = total(&format!("markup = \"{markup} %\""), "$10,000");
        let found = (price - 10_000.0) / price * 100.0;
        assert_eq!(
            format!("{found:.1}"),
            format!("{margin:.1}"),
            "markup {markup} %"
        );
    }
}
