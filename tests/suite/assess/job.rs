//! Small jobs on floors of every kind, priced through the whole program.

use pourwright_tests::oracle::{HEADINGS, Recalculated};
use pourwright_tests::pour_prices;
use pourwright_tests::story::Story;
use serde_json::Value;

/// A shop with all the recipes of this part.
pub(super) const SHOP: &str =
    "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"leveling\", \"assess\", \"structure\"]\n";

/// With these a pass of primer dries half of the day it may take, or a little more, and only
/// live load and pour count.
pub(super) const PLAIN: &str = "[factors.assess]\ndwell = \"4 h\"\ndwell_on_dense = \"4.01 h\"\n[factors.structure]\ncovering_load = \"0 psf\"\nbearing = \"0 in\"\ndead_counted = \"0 %\"\n";

/// Its prices.
pub(super) const PRICES: &str = concat!(
    pour_prices!("6 in"),
    r#"

[products.reinforcement."Check mesh"]
package = "roll"
price = "$80"
coverage = "150 sq ft"

[products.reinforcement."Check lath"]
package = "sheet"
price = "$9"
coverage = "18 sq ft"

[rates]
crew = { price = "$165", per = "h" }
mixing_set = { price = "$120", per = "day" }
delivery = { price = "$95" }
humidity_test = { price = "$90" }
emission_test = { price = "$60" }
"#
);

/// Columns of the takeoffs here, with their units.
const COLUMNS: [&str; 19] = [
    "Area (sq ft)",
    "Average depth (in)",
    "Substrate",
    "Porosity",
    "Below",
    "Slab age",
    "Slab humidity (%)",
    "Moisture test",
    "Cracks (ft)",
    "Contraction joints (ft)",
    "Reinforcement",
    "Stiff for",
    "Live load (psf)",
    "Joist clear span (in)",
    "Joist spacing (in)",
    "Joist modulus (psi)",
    "Joist moment of inertia (in4)",
    "Joist section modulus (in3)",
    "Joist allowed stress (psi)",
];

/// A room by what is written in its row: column and text.
pub(super) type Room = Vec<(&'static str, String)>;

/// A room of 100 square feet under an inch of pour, and what else is written of it.
pub(super) fn room(more: &[(&'static str, &str)]) -> Room {
    let mut room: Room = vec![("Area", "100".into()), ("Average depth", "0.875".into())];
    for (column, text) in more {
        write(&mut room, column, text);
    }
    room
}

/// Writes a text into a column of a room's row.
pub(super) fn write(room: &mut Room, column: &'static str, text: &str) {
    room.retain(|(known, _)| *known != column);
    room.push((column, text.to_owned()));
}

fn takeoff(rooms: &[Room]) -> String {
    let mut text = format!("Room,{},Leveler,Primer\n", COLUMNS.join(","));
    for (index, room) in rooms.iter().enumerate() {
        for (column, _) in room {
            let known = COLUMNS.iter().filter(|known| known.starts_with(column));
            assert_eq!(known.count(), 1, "{column}");
        }
        let cells = COLUMNS.map(|column| {
            let found = room.iter().find(|(known, _)| column.starts_with(known));
            found.map_or("", |(_, text)| text.as_str())
        });
        let cells = cells.join(",");
        text.push_str(&format!("R{index},{cells},Check bag,Check jug\n"));
    }
    text
}

/// A job that was priced: what the command told, and its workbook.
pub(super) struct Priced {
    pub(super) bid: Value,
    pub(super) workbook: Vec<u8>,
}

/// Prices a job.
pub(super) fn price(shop: &str, rooms: &[Room]) -> Priced {
    let story = Story::new()
        .file("shop.toml", shop)
        .file("prices.toml", PRICES)
        .file("rooms.csv", &takeoff(rooms));
    let told = story.run(&["bid", "{}/rooms.csv", "--json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    Priced {
        bid: serde_json::from_str(&told.out).unwrap(),
        workbook: story.read("rooms-bid.xlsx"),
    }
}

impl Priced {
    /// The total of the bid.
    pub(super) fn total(&self) -> f64 {
        self.bid["total"].as_f64().unwrap()
    }

    /// What is needed of an item; nothing where the bid has no such line.
    pub(super) fn needed(&self, item: &str) -> Option<f64> {
        let lines = self.bid["lines"].as_array().unwrap();
        let line = lines.iter().find(|line| line["item"] == item)?;
        line["needed"].as_f64()
    }

    /// The numbers of the rooms where a caution that says something holds.
    pub(super) fn cautioned(&self, says: &str) -> Vec<usize> {
        let cautions = self.bid["cautions"].as_array().unwrap().iter();
        let said = cautions.filter(|caution| caution["text"].as_str().unwrap().contains(says));
        said.flat_map(|caution| caution["rooms"].as_array().unwrap())
            .map(|room| room.as_str().unwrap()[1..].parse().unwrap())
            .collect()
    }
}

/// The numbers of a column of the Rooms sheet; blank cells are none.
pub(super) fn column(sheet: &Recalculated, rooms: usize, heading: &str) -> Vec<Option<f64>> {
    let (index, at) = (
        sheet.sheet("Rooms"),
        sheet.column_headed("Rooms", HEADINGS, heading),
    );
    (1..=rooms as i32)
        .map(|row| sheet.text((index, HEADINGS + row, at)).parse().ok())
        .collect()
}
