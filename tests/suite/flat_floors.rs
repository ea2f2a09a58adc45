//! A floor that is flat enough as it is: no pour is priced for flatness, and the bid says so.
//!
//! ANSI A108.02: under tile with an edge of 15 in or more, 1/8 in under 10 ft and 1/16 in under
//! 2 ft.

use pourwright_tests::pour_prices;
use pourwright_tests::trial::{Trial, Typing};

const SHOP: &str = "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"leveling\", \"edges\"]\n";

const PRICES: &str = concat!(
    pour_prices!("6 in"),
    r#"

[products.strip."Check strip"]
package = "piece"
price = "$6"
reach = "8 ft"
height = "2 in"
thickness = "3/8 in"

[rates]
crew = { price = "$60", per = "h" }
mixing_set = { price = "$120", per = "day" }
delivery = { price = "$95" }
"#
);

/// Two rooms on floors of 12 by 6 ft, shot every foot: one falls evenly by an inch, which is not
/// level and yet flat; the other has a hump, `hump` high in sixteenths, in its middle.
fn trial(hump: u32, rooms: [&str; 2]) -> Trial {
    let mut trial = Trial::new(
        SHOP,
        PRICES,
        &[(
            "Rooms",
            &[
                "Room|Readings|Longest tile edge (in)|Pour|Leveler|Primer|Strip",
                &format!("Hall|{}", rooms[0]),
                &format!("Den|{}", rooms[1]),
            ],
        )],
    );
    let floor = |height: &dyn Fn(u32, u32) -> f64| {
        let heights = vec!["Heights".to_owned(), "elevation".to_owned()];
        let across = (0..=12).map(|x| x.to_string());
        let top = std::iter::once("y \\ x (ft)".to_owned()).chain(across);
        let rows = (0..=6).map(|y| {
            let line = (0..=12).map(|x| height(x, y).to_string());
            std::iter::once(y.to_string()).chain(line).collect()
        });
        [heights, top.collect()].into_iter().chain(rows).collect()
    };
    let falling = floor(&|x, _| 2.0 - f64::from(x) / 12.0);
    let humped = floor(&|x, y| {
        let on_it = x == 6 && y == 3;
        1.0 + if on_it { f64::from(hump) / 16.0 } else { 0.0 }
    });
    trial.sheets.push(("Falling".to_owned(), falling));
    trial.sheets.push(("Humped".to_owned(), humped));
    trial
}

const USUAL: [&str; 2] = [
    "Falling|24||Check bag|Check jug|Check strip",
    "Humped|24||Check bag|Check jug|Check strip",
];

/// Bags that a job needs, and its cautions that hold.
fn outcome(trial: &Trial) -> (f64, String) {
    let bid = trial.price().unwrap().bid;
    let lines = bid.ledger.table(bid.line_table);
    let bags = bid
        .lines
        .iter()
        .zip(lines.values(bid.line_columns.quantity));
    let bags = bags.filter(|(line, _)| line.detail == "Check bag");
    let holding: Vec<&str> = bid
        .cautions
        .iter()
        .filter(|caution| {
            let values = bid.ledger.table(caution.table).values(caution.column);
            values.iter().any(|value| *value > 0.0)
        })
        .map(|caution| caution.text.as_str())
        .collect();
    (bags.map(|(_, bags)| *bags).sum(), holding.join("\n"))
}

#[test]
fn a_floor_within_the_tolerance_is_left_and_one_beyond_it_is_poured() {
    // A hump of 1/16 in keeps to the limit under 2 ft; one of 2/16 in does not.
    let (bags, said) = outcome(&trial(1, USUAL));
    assert_eq!(bags, 0.0);
    assert!(said.contains("no pour is needed for flatness"), "{said}");
    let (bags, said) = outcome(&trial(2, USUAL));
    // By hand: 72 sq ft under 1/8 in of hump and 1/8 in of cover, less the hump's pyramid of
    // 4 sq ft and 1/8 in: (72 x 2/8 - 4 x 1/8 / 3) / 12 = 1.486 cu ft, with 10 % 3.27 bags.
    assert_eq!(bags, 4.0);
    assert!(
        said.contains("no pour is needed"),
        "the hall is left: {said}"
    );
}

#[test]
fn what_asks_for_a_pour_gets_one() {
    let always = [
        "Falling|24|always|Check bag|Check jug|Check strip",
        "Humped|24||Check bag|Check jug|Check strip",
    ];
    // By hand: 72 sq ft, half an inch on average and 1/8 in: 3.75 cu ft, with 10 % 8.25 bags.
    assert_eq!(outcome(&trial(1, always)).0, 9.0);
    // No tile, no tolerance: it is poured.
    let no_tile = [
        "Falling|||Check bag|Check jug|Check strip",
        "Humped|24||Check bag|Check jug|Check strip",
    ];
    assert_eq!(outcome(&trial(1, no_tile)).0, 9.0);
    // Under tile of 12 in, 1/16 in counts under 1 ft, for which readings a foot apart are too few.
    let small = [
        "Falling|12||Check bag|Check jug|Check strip",
        "Humped|24||Check bag|Check jug|Check strip",
    ];
    let (bags, said) = outcome(&trial(1, small));
    assert_eq!(bags, 9.0);
    assert!(said.contains("too far apart to tell"), "{said}");
}

#[test]
fn the_workbook_says_price_again_when_a_floor_left_alone_may_need_a_pour() {
    let cell = |row, heading, text: &str| Typing::Cell("Rooms", row, heading, text.to_owned());
    let tally = trial(1, USUAL).hold(&[
        Typing::Reading("Humped", 5, 7, 13 * 7 + 3 * 13 + 6, "1.5".to_owned()),
        cell(0, "Pour", "always"),
        cell(0, "Longest tile edge", "12"),
        cell(0, "Longest tile edge", "30"),
        cell(1, "Leveler", ""),
        Typing::Factor("leveling", "waste", "20 %".to_owned(), 0.2),
    ]);
    assert!(tally.flagged >= 3 && tally.live >= 1, "{tally:?}");
}
