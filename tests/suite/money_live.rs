//! What comes on top of rooms and prices, changed in the workbook: it follows, or says "price again".

use pourwright_tests::oracle::Recalculated;
use pourwright_tests::trial::{Tally, Trial, Typing};

const SHOP: &str = r#"
name = "Check shop"
units = "US"
recipes = ["leveling", "edges"]
payments = [{ step = "First", part = "40 %" }, { step = "Last", part = "60 %" }]
[fees]
"City permit" = "$180"
Disposal = "2 %"
Crane = { amount = "$90", markup = true }
[pricing]
markup = "20 %"
overhead = "11 %"
round_to = "$5"
[pricing.labour]
margin = "30 %"
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
pallet = 4
supplier = "North"

[products.leveler."Other bag"]
package = "bag"
price = "$24"
yields = "0.45 cu ft"
depth = "1/8 in .. 4 in"
water = "5 qt"
pot_life = "20 min"

[products.primer."Check jug"]
package = "jug"
price = "$50"
coverage = "300 sq ft"

[products.strip."Low piece"]
package = "piece"
price = "$6"
reach = "8 ft"
height = "2 in"
thickness = "3/8 in"
supplier = "North"

[products.sealant."Check tube"]
package = "tube"
price = "$9"
yields = "10 fl oz"

[products.patch."Check patch"]
package = "bag"
price = "$18"
yields = "0.2 cu ft"

[rates]
crew = { price = "$60", per = "h" }
mixing_set = { price = "$100", per = "day" }
delivery = { price = "$90" }
"#;

const JOB: &[&str] = &[
    "Leveler|Check bag",
    "Primer|Check jug",
    "Sealant|Check tube",
    "Patch|Check patch",
    "Fee: Parking|$35",
];

const ALLOWANCES: &[&str] = &["Allowance|Room|Amount", "Tile|Hall|$5/sq ft", "Trim||$120"];

/// Three rooms, of which the last two have walls with strip to be cut.
fn job(phases: [&str; 4]) -> Trial {
    let rooms: Vec<String> = [
        "Hall|96|0.5|",
        "Den|120|0.75|",
        "Bath|74|1.25|Low piece",
        "Nook|30|1|Low piece",
    ]
    .iter()
    .zip(phases)
    .map(|(room, phase)| format!("{room}|{phase}"))
    .collect();
    let mut rows = vec!["Room|Area (sq ft)|Average depth (in)|Strip|Phase"];
    rows.extend(rooms.iter().map(String::as_str));
    let walls = [
        "Room|Wall|Length (ft)|Depth (in)",
        "Bath|north|10|1.5",
        "Bath|east|7|1.5",
        "Nook|north|5|1",
        "Nook|east|6|1",
    ];
    let sheets: [(&str, &[&str]); 4] = [
        ("Job", JOB),
        ("Rooms", &rows),
        ("Walls", &walls),
        ("Allowances", ALLOWANCES),
    ];
    Trial::new(SHOP, PRICES, &sheets)
}

fn shop(from: &'static str, to: &str, name: &'static str, number: f64) -> Typing {
    Typing::Shop(from, to.to_owned(), name, number)
}

#[test]
fn percentages_fees_allowances_and_payments_are_live() {
    let typings = [
        shop(
            "overhead = \"11 %\"",
            "overhead = \"11 %\"\nmaterial.overhead = \"20 %\"",
            "overhead_on_material",
            0.2,
        ),
        shop(
            "margin = \"30 %\"",
            "margin = \"35 %\"",
            "margin_on_labour",
            0.35,
        ),
        shop("\"$180\"", "\"$0.01\"", "fee_city_permit", 0.01),
        shop("\"2 %\"", "\"7.5 %\"", "fee_disposal", 0.075),
        shop("\"$90\", markup", "\"$91.13\", markup", "fee_crane", 91.13),
        Typing::Cell("Rooms", 0, "Area", "61.5".to_owned()),
        Typing::Cell("Rooms", 1, "Leveler", "Other bag".to_owned()),
        Typing::Field("leveler", "Check bag", "price", "$33.33".to_owned(), 33.33),
    ];
    for phases in [["", "", "", ""], ["1", "2", "2", ""], ["a", "a", "b", "b"]] {
        let tally = job(phases).hold(&typings);
        let live = typings.len();
        assert_eq!(
            tally,
            Tally {
                live,
                ..Tally::default()
            },
            "{phases:?}"
        );
    }
}

#[test]
fn payments_that_do_not_make_the_whole_are_flagged() {
    let typings = [shop("\"60 %\"", "\"61 %\"", "payment_2", 0.61)];
    let tally = job(["1", "1", "2", "2"]).hold(&typings);
    assert_eq!((tally.live, tally.refused), (0, 1));
}

#[test]
fn a_room_moves_to_another_phase_of_the_job_and_to_no_other() {
    let live = |phases, typings: &[Typing]| {
        let tally: Tally = job(phases).hold(typings);
        (tally.live, tally.flagged, tally.refused)
    };
    // Nothing is cut in the first two rooms: where they go, amounts follow.
    let moves = [
        Typing::Phase(0, "2"),
        Typing::Phase(1, "1"),
        Typing::Phase(1, "no phase"),
        Typing::Phase(0, ""),
    ];
    assert_eq!(live(["1", "2", "2", ""], &moves), (4, 0, 0));
    // A phase that the job does not have, and no phase where every room has one.
    let moves = [Typing::Phase(0, "3"), Typing::Phase(1, "")];
    assert_eq!(live(["1", "2", "2", "1"], &moves), (0, 2, 0));
    // A plan of cuts is made for each phase.
    let moves = [Typing::Phase(2, "1"), Typing::Phase(3, "2")];
    assert_eq!(live(["1", "2", "2", "1"], &moves), (0, 2, 0));
}

#[test]
fn pieces_are_cut_phase_by_phase() {
    let plans = |phases| {
        let priced = job(phases).price().unwrap();
        let bid = priced.bid;
        let of_list = |list: &engine::bid::CutList| {
            let rooms: Vec<String> = list
                .rows(&bid.ledger)
                .into_iter()
                .map(|row| row.room)
                .collect();
            let line = &bid.lines[list.line];
            let phase = line.phase.as_ref().map(|phase| phase.name.clone());
            (
                phase,
                list.plan.used(),
                rooms.contains(&"Bath".to_owned()),
                rooms.contains(&"Nook".to_owned()),
            )
        };
        bid.cuts.iter().map(of_list).collect::<Vec<_>>()
    };
    let together = plans(["", "", "", ""]);
    assert_eq!(together.len(), 1);
    assert_eq!((together[0].2, together[0].3), (true, true));
    let apart = plans(["", "", "1", "2"]);
    let phase = |name: &str| Some(name.to_owned());
    let rooms: Vec<_> = apart
        .iter()
        .map(|(name, _, bath, nook)| (name.clone(), *bath, *nook))
        .collect();
    assert_eq!(
        rooms,
        [(phase("1"), true, false), (phase("2"), false, true)]
    );
    assert!(apart[0].1 + apart[1].1 >= together[0].1);
}

/// Phases, fees, allowances and payments add up to the bid to the cent, whatever it is.
#[test]
fn all_parts_add_up_to_the_bid_exactly() {
    let cents = |amount: f64| (amount * 100.0).round();
    for (area, phases) in [
        ("96", ["1", "2", "3", ""]),
        ("3.17", ["x", "x", "y", "y"]),
        ("777.77", ["1", "", "", ""]),
    ] {
        let trial = job(phases).typed(&Typing::Cell("Rooms", 0, "Area", area.to_owned()));
        let priced = trial.price().unwrap();
        let bid = &priced.bid;
        let ledger = &bid.ledger;
        let sum = |table, column| {
            ledger
                .table(table)
                .values(column)
                .iter()
                .map(|v| cents(*v))
                .sum::<f64>()
        };
        let fees = bid.fees.as_ref().unwrap();
        let allowances = bid.allowances.as_ref().unwrap();
        let apart = sum(fees.table, fees.price) + sum(allowances.table, allowances.price);
        let rooms: f64 = bid.room_prices().iter().map(|price| cents(*price)).sum();
        let of_phases = bid.phases.as_ref().unwrap();
        let payments = bid.payments.as_ref().unwrap();
        let total = cents(bid.total());
        assert_eq!(rooms + apart, total);
        assert_eq!(sum(of_phases.table, of_phases.price), rooms);
        assert_eq!(sum(payments.table, payments.amount), total);
        let sheet = Recalculated::new(&priced.workbook());
        assert_eq!(sheet.differences(), [] as [String; 0]);
    }
}
