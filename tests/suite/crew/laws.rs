//! What must hold for every job: more is never less, the order of rooms changes nothing, and what no
//! column asks for costs nothing.

use engine::bid::Bid;
use pourwright_tests::chance::Chance;
use pourwright_tests::trial::Trial;

use super::{PRICES, SHOP, value, whole};

/// Rooms of plain columns, and some of the crew's.
fn generated(chance: &mut Chance) -> Vec<String> {
    (0..1 + chance.below(4))
        .map(|room| {
            let area = chance.between(10.0, 900.0, 0.5);
            let depth = chance.between(0.25, 3.0, 0.125);
            let mixing = chance.pick(&["", "barrels", "pump"]);
            let ground = if chance.once_in(2) { "" } else { "25" };
            let floors = chance.below(4);
            let rubble = chance.between(0.0, 900.0, 1.0);
            format!("Room {room}|{area}|{depth}|{mixing}|{ground}|{floors}|{rubble}")
        })
        .collect()
}

fn priced(rows: &[String], recipes: &str, headings: &str) -> Bid {
    let mut rooms = vec![headings];
    rooms.extend(rows.iter().map(String::as_str));
    let shop = SHOP.replace("\"leveling\", \"edges\", \"setting\", \"crew\"", recipes);
    let job = ["Leveler|Check bag", "Primer|Check jug"];
    let trial = Trial::new(&shop, PRICES, &[("Job", &job), ("Rooms", &rooms)]);
    trial.price().unwrap_or_else(|why| panic!("{why}")).bid
}

const PLAIN: &str =
    "Room|Area (sq ft)|Average depth (in)|Mixing|Grind area (sq ft)|Floors up|Rubble (lb)";

#[test]
fn more_volume_is_never_fewer_batches_weight_or_days() {
    let mut chance = Chance::new(23);
    for _ in 0..60 {
        let rows = generated(&mut chance);
        let deeper: Vec<String> = rows
            .iter()
            .map(|row| {
                let mut cells: Vec<String> = row.split('|').map(str::to_owned).collect();
                let depth: f64 = cells[2].parse().unwrap();
                cells[2] = (depth + chance.between(0.0, 1.0, 0.125)).to_string();
                cells.join("|")
            })
            .collect();
        let recipes = "\"leveling\", \"crew\"";
        let (less, more) = (
            priced(&rows, recipes, PLAIN),
            priced(&deeper, recipes, PLAIN),
        );
        for row in 0..rows.len() {
            for cell in ["batches", "bag_weight", "placing_time", "carries", "waste"] {
                let column = format!("crew.{cell}");
                let (a, b) = (
                    value(&less, "room", &column, row),
                    value(&more, "room", &column, row),
                );
                assert!(
                    b >= a - 1e-9,
                    "{cell} of {} and {}: {a}, {b}",
                    rows[row],
                    deeper[row]
                );
            }
            // A batch is two bags at most, and no batch is without a bag.
            let batches = value(&more, "room", "crew.batches", row);
            let bags = value(&more, "room", "crew.bags", row);
            assert!(
                batches * 2.0 >= bags - 1e-5 && (batches - 1.0) * 2.0 < bags,
                "{bags} in {batches}"
            );
        }
        for cell in ["pour_days", "cure_days", "weight"] {
            assert!(
                whole(&more, cell) >= whole(&less, cell) - 1e-9,
                "{cell} of {rows:?}"
            );
        }
        // Nothing of a plan lies before what it waits for.
        assert!(
            whole(&more, "pour_day") >= 1.0 && whole(&more, "tile_day") > whole(&more, "pour_day")
        );
    }
}

#[test]
fn the_order_of_rooms_changes_nothing() {
    let mut chance = Chance::new(29);
    for _ in 0..30 {
        let rows = generated(&mut chance);
        let turned: Vec<String> = rows.iter().rev().cloned().collect();
        let recipes = "\"leveling\", \"crew\"";
        let (a, b) = (
            priced(&rows, recipes, PLAIN),
            priced(&turned, recipes, PLAIN),
        );
        assert!(
            (a.total() - b.total()).abs() < 0.005,
            "{rows:?}: {} and {}",
            a.total(),
            b.total()
        );
        for cell in [
            "visits",
            "site_days",
            "pour_day",
            "tile_day",
            "pump_days",
            "hired_sets",
            "grind_days",
        ] {
            assert_eq!(whole(&a, cell), whole(&b, cell), "{cell} of {rows:?}");
        }
    }
}

/// What the manifest declares of every job: set-up by the visit, the least of a visit, waste. All
/// else costs nothing where no column asks for it.
#[test]
fn a_job_without_its_columns_has_only_what_is_declared() {
    let rows = ["Hall|96|0.5".to_owned(), "Loft|120|1".to_owned()];
    let headings = "Room|Area (sq ft)|Average depth (in)";
    let with = priced(&rows, "\"leveling\", \"crew\"", headings);
    let without = priced(&rows, "\"leveling\"", headings);
    let cost = |bid: &Bid, line: usize| {
        bid.ledger
            .table(bid.line_table)
            .value(bid.line_columns.cost, line)
    };
    let before: Vec<String> = without.lines.iter().map(|line| line.name()).collect();
    let added: Vec<String> = (0..with.lines.len())
        .filter(|line| cost(&with, *line) > 0.0 && !before.contains(&with.lines[*line].name()))
        .map(|line| with.lines[line].name())
        .collect();
    assert_eq!(
        added,
        [
            "Set up and clean up, by the visit (crew)",
            "Haul and dump waste"
        ]
    );
    assert!(with.total() > without.total());
}
