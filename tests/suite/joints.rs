//! Soft joints: laws, what is said where sizes are not known, the map, and the workbook against
//! an independent spreadsheet engine.

use pourwright_tests::oracle::{HEADINGS, Recalculated, close};
use pourwright_tests::pour_prices;
use pourwright_tests::story::Story;
use serde_json::Value;

const PRICES: &str = concat!(
    pour_prices!("6 in"),
    r#"
[products.sealant."Check sealant"]
package = "cartridge"
price = "$12"
yields = "10 fl oz"
movement = "25 %"

[products.sealant."Check sausage"]
package = "sausage"
price = "$19.5"
yields = "20 fl oz"
movement = "50 %"

[products.backer."Check rod"]
package = "roll"
price = "$30"
reach = "100 ft"
diameter = "3/4 in"

[products.backer."Check thick rod"]
package = "roll"
price = "$41"
reach = "60 ft"
diameter = "1 in"

[rates]
crew = { price = "$165", per = "h" }
mixing_set = { price = "$120", per = "day" }
delivery = { price = "$95" }
"#
);

const COLUMNS: [&str; 11] = [
    "Room",
    "Readings",
    "Area (sq ft)",
    "Length (ft)",
    "Width (ft)",
    "Perimeter (ft)",
    "Exposure",
    "Grout joint (in)",
    "Temperature range (F deg)",
    "Joint sealant",
    "Backer rod",
];

/// An L of 30 by 30 ft with legs 10 ft wide, as heights on a grid.
const L_FLOOR: [[&str; 5]; 5] = [
    ["y \\ x (ft)", "0", "10", "20", "30"],
    ["0", "1", "0.75", "0.5", "0.25"],
    ["10", "1", "0.75", "0.5", "0.25"],
    ["20", "1", "0.75", "", ""],
    ["30", "1", "0.75", "", ""],
];

/// Everything that a job here is made of.
#[derive(Clone)]
struct Job {
    shop: String,
    prices: String,
    columns: Vec<String>,
    rooms: Vec<Vec<String>>,
    floor: Vec<Vec<String>>,
}

fn owned<'a, const N: usize>(rows: impl IntoIterator<Item = &'a [&'a str; N]>) -> Vec<Vec<String>> {
    let rows = rows.into_iter();
    rows.map(|row| row.iter().map(|cell| (*cell).to_owned()).collect())
        .collect()
}

fn lent(row: &[String]) -> Vec<&str> {
    row.iter().map(String::as_str).collect()
}

impl Job {
    /// Rooms by their cells from Readings to Temperature range.
    fn new(rooms: &[[&str; 9]]) -> Self {
        let mut rooms = owned(rooms);
        for room in &mut rooms {
            room.extend(["Check sealant".to_owned(), "Check rod".to_owned()]);
        }
        let heights = vec!["Heights".to_owned(), "elevation".to_owned()];
        Self {
            shop: "name = \"Invented\"\nunits = \"US\"\nrecipes = [\"joints\"]\n".to_owned(),
            prices: PRICES.to_owned(),
            columns: COLUMNS.map(str::to_owned).to_vec(),
            rooms,
            floor: std::iter::once(heights).chain(owned(&L_FLOOR)).collect(),
        }
    }

    fn story(&self) -> Story {
        let rooms: Vec<Vec<&str>> = std::iter::once(&self.columns)
            .chain(&self.rooms)
            .map(|row| lent(row))
            .collect();
        let floor: Vec<Vec<&str>> = self.floor.iter().map(|row| lent(row)).collect();
        let rooms: Vec<&[&str]> = rooms.iter().map(Vec::as_slice).collect();
        let floor: Vec<&[&str]> = floor.iter().map(Vec::as_slice).collect();
        Story::new()
            .file("shop.toml", &self.shop)
            .file("prices.toml", &self.prices)
            .sheets("rooms.xlsx", &[("Rooms", &rooms), ("Floor", &floor)])
    }

    fn price(&self) -> Priced {
        let story = self.story();
        let told = story.run(&["bid", "{}/rooms.xlsx", "--json"]);
        assert_eq!(told.code, 0, "{}\n{}", told.out, told.err);
        Priced {
            bid: serde_json::from_str(&told.out).unwrap(),
            workbook: story.read("rooms-bid.xlsx"),
        }
    }
}

struct Priced {
    bid: Value,
    workbook: Vec<u8>,
}

impl Priced {
    fn total(&self) -> f64 {
        self.bid["total"].as_f64().unwrap()
    }

    fn room(&self, index: usize) -> f64 {
        self.bid["rooms"][index]["price"].as_f64().unwrap()
    }
}

/// A cell of the Rooms sheet, by its room and heading.
fn at(sheet: &Recalculated, room: usize, heading: &str) -> (u32, i32, i32) {
    let column = sheet.column_headed("Rooms", HEADINGS, heading);
    (sheet.sheet("Rooms"), HEADINGS + 1 + room as i32, column)
}

const HALL: [&str; 9] = ["Hall", "", "", "60", "40", "", "", "", ""];
const LOBBY: [&str; 9] = ["Lobby", "Floor", "", "", "", "", "", "", ""];
const BATH: [&str; 9] = ["Bath", "", "60", "", "", "32", "wet", "", ""];
const CLOSET: [&str; 9] = ["Closet", "", "24", "", "", "", "", "", ""];
const TERRACE: [&str; 9] = ["Terrace", "", "", "30", "20", "", "exterior", "0.25", "116"];

#[test]
fn a_surveyed_room_has_the_joints_of_its_outline() {
    // By hand: 30 by 30 ft with legs 10 ft wide takes a line each way, through the inside corner
    // and 10 ft long; around it there are 120 ft.
    let priced = Job::new(&[LOBBY]).price();
    let sheet = Recalculated::new(&priced.workbook);
    let number = |heading: &str| sheet.number(at(&sheet, 0, heading));
    assert!(close(number("Joints within the floor"), 20.0));
    assert!(close(number("Joint around the floor"), 120.0));
    assert!(close(number("Greatest side of a panel"), 20.0));
}

#[test]
fn a_surveyed_rectangle_is_priced_like_its_length_and_width() {
    let mut job = Job::new(&[HALL, LOBBY]);
    let grid = [
        ["y \\ x (ft)", "0", "30", "60"],
        ["0", "1", "0.75", "0.5"],
        ["40", "1", "0.75", "0.5"],
    ];
    job.floor.splice(1.., owned(&grid));
    let priced = job.price();
    assert!(close(priced.room(0), priced.room(1)), "{}", priced.bid);
    assert!(priced.room(0) > 0.0);
}

#[test]
fn without_sizes_there_is_nothing_but_a_word() {
    let job = Job::new(&[
        HALL,
        CLOSET,
        BATH,
        ["Attic", "", "", "", "", "", "", "", ""],
    ]);
    let priced = job.price();
    assert_eq!((priced.room(1), priced.room(3)), (0.0, 0.0));
    assert!(priced.room(2) > 0.0, "its perimeter is known");
    let cautions = priced.bid["cautions"].as_array().unwrap();
    for (says, room) in [
        ("no soft joints are priced here", "Closet"),
        ("none within it", "Bath"),
    ] {
        let said = |caution: &&Value| caution["text"].as_str().unwrap().contains(says);
        let found: Vec<&Value> = cautions.iter().filter(said).collect();
        assert_eq!(found.len(), 1, "{says}");
        assert_eq!(found[0]["rooms"], serde_json::json!([room]), "{says}");
    }
    // Without a sealant nothing is priced, and that is said.
    let mut nameless = Job::new(&[HALL, TERRACE]);
    nameless.rooms[0][9].clear();
    let priced = nameless.price();
    assert_eq!(priced.room(0), 0.0);
    let said = priced.bid["cautions"].to_string();
    assert!(said.contains("its soft joints are not priced"), "{said}");
}

#[test]
fn us_and_si_sizes_give_one_bid() {
    let us = Job::new(&[HALL, TERRACE]);
    let mut si = us.clone();
    for (column, heading, factor) in [
        (3, "Length (m)", 0.3048),
        (4, "Width (m)", 0.3048),
        (7, "Grout joint (mm)", 25.4),
        (8, "Temperature range (C deg)", 1.0 / 1.8),
    ] {
        si.columns[column] = heading.to_owned();
        for room in &mut si.rooms {
            if let Ok(number) = room[column].parse::<f64>() {
                room[column] = (number * factor).to_string();
            }
        }
    }
    assert_eq!(us.price().total(), si.price().total());
}

#[test]
fn larger_hotter_and_closer_never_take_less() {
    let volumes = |rooms: &[[&str; 9]]| -> Vec<f64> {
        let mut job = Job::new(rooms);
        for (number, room) in job.rooms.iter_mut().enumerate() {
            room[0] = format!("Hall {number}");
        }
        let priced = job.price();
        let sheet = Recalculated::new(&priced.workbook);
        let volume = |room| sheet.number(at(&sheet, room, "Sealant in place"));
        (0..rooms.len()).map(volume).collect()
    };
    let sized = |length, exposure, range| ["Hall", "", "", length, "31", "", exposure, "", range];
    let lengths = [
        "1", "12", "12.01", "24", "25", "25.01", "50", "50.5", "74", "900",
    ];
    let by_length = volumes(&lengths.map(|length| sized(length, "interior", "")));
    let exposures = ["interior", "sun", "exterior"];
    let by_exposure = volumes(&exposures.map(|exposure| sized("50", exposure, "")));
    let ranges = ["0", "100", "101", "115", "116", "130", "131", "160"];
    let by_range = volumes(&ranges.map(|range| sized("50", "exterior", range)));
    for found in [&by_length, &by_exposure, &by_range] {
        assert!(found.is_sorted(), "{found:?}");
    }
    assert!(by_length[0] < by_length[9] && by_range[0] < by_range[7]);
}

#[test]
fn maps_show_joints_where_there_are_any() {
    let mut job = Job::new(&[LOBBY]);
    job.shop = job
        .shop
        .replace("[\"joints\"]", "[\"leveling\", \"joints\"]");
    job.columns
        .extend(["Leveler".to_owned(), "Primer".to_owned()]);
    job.rooms[0].extend(["Check bag".to_owned(), "Check jug".to_owned()]);
    assert!(has_joints(&job));
    let small = [
        ["y \\ x (ft)", "0", "20"],
        ["0", "1", "0"],
        ["25", "1", "0"],
    ];
    job.floor.splice(1.., owned(&small));
    assert!(
        !has_joints(&job),
        "a room no larger than the spacing has none"
    );
}

fn has_joints(job: &Job) -> bool {
    let story = job.story();
    let told = story.run(&["survey", "{}/rooms.xlsx"]);
    assert_eq!(told.code, 0, "{}", told.err);
    let map = String::from_utf8(story.read("rooms-maps/1-Lobby.svg")).unwrap();
    map.contains(">Soft joint</text>")
}

/// One edit, made alike in the takeoff and in the workbook.
enum Edit {
    /// A cell of a room; an empty text clears it.
    Room(usize, &'static str, &'static str),
    /// The first reading of the surveyed room.
    Reading(&'static str),
    /// A factor, its unit and its number.
    Factor(&'static str, &'static str, &'static str),
    /// The yield of the first sealant.
    Yield(&'static str),
}

impl Edit {
    fn in_job(&self, job: &mut Job) {
        match *self {
            Self::Room(room, heading, text) => {
                let column = COLUMNS.iter().position(|known| known.starts_with(heading));
                let column = column.unwrap();
                job.rooms[room][column] = text.to_owned();
            }
            Self::Reading(text) => job.floor[2][1] = text.to_owned(),
            Self::Factor(name, unit, number) => {
                job.shop += &format!("[factors.joints]\n{name} = \"{number} {unit}\"\n");
            }
            Self::Yield(number) => {
                let yields = format!("yields = \"{number} fl oz\"");
                job.prices = job.prices.replacen("yields = \"10 fl oz\"", &yields, 1);
            }
        }
    }

    fn in_workbook(&self, sheet: &mut Recalculated) {
        let (cell, text) = match *self {
            Self::Room(room, heading, text) => (at(sheet, room, heading), text),
            Self::Reading(text) => {
                let column = sheet.column_headed("Readings", HEADINGS, "Reading");
                ((sheet.sheet("Readings"), HEADINGS + 1, column), text)
            }
            Self::Factor(name, _, number) => (sheet.named(&format!("joints_{name}")), number),
            Self::Yield(number) => (sheet.named("book_sealant_yields"), number),
        };
        match text.parse() {
            Ok(number) => sheet.type_number(cell, number),
            Err(_) if text.is_empty() => sheet.clear(cell),
            Err(_) => sheet.type_text(cell, text),
        }
        sheet.recalculate();
    }
}

#[test]
fn the_workbook_follows_edits_or_says_price_again() {
    use Edit::{Factor, Reading, Room, Yield};
    let job = Job::new(&[HALL, LOBBY, BATH, CLOSET, TERRACE]);
    let priced = job.price();
    let differences = Recalculated::new(&priced.workbook).differences();
    assert_eq!(differences, [] as [String; 0]);
    let edits = [
        (Room(0, "Length", "24.5"), true),
        (Room(0, "Length", "75.5"), true),
        (Room(0, "Exposure", "sun"), true),
        (Room(0, "Joint sealant", "Check sausage"), true),
        (Room(0, "Backer rod", "Check thick rod"), true),
        (Room(1, "Grout joint", "0.375"), true),
        (Room(2, "Perimeter", "40"), true),
        (Room(2, "Exposure", "exterior"), true),
        (Room(3, "Area", "30"), true),
        (Room(4, "Temperature range", "131"), true),
        (Room(4, "Temperature range", ""), true),
        (Room(4, "Exposure", "interior"), true),
        (Factor("exterior_spacing", "ft", "10"), true),
        (Factor("widening", "in", "0.125"), true),
        (Factor("perimeter_width", "in", "0.375"), true),
        (Factor("sealing_speed", "ft/h", "45"), true),
        (Yield("9.5"), true),
        // Another path, or another plan of joints for the surveyed room.
        (Room(0, "Width", ""), false),
        (Room(0, "Perimeter", "210"), false),
        (Room(3, "Perimeter", "20"), false),
        (Room(1, "Exposure", "sun"), false),
        (Reading("1.5"), false),
        (Factor("interior_spacing", "ft", "20"), false),
    ];
    for (number, (edit, stays_live)) in edits.iter().enumerate() {
        let mut sheet = Recalculated::new(&priced.workbook);
        edit.in_workbook(&mut sheet);
        let mut edited = job.clone();
        edit.in_job(&mut edited);
        let scratch = edited.price();
        let flagged = sheet.shown_total() == "price again";
        assert_eq!(flagged, !stays_live, "edit {number}");
        if !flagged {
            let total = sheet.number(sheet.named("bid_total"));
            assert!(close(total, scratch.total()), "edit {number}: {total}");
            for room in 0..job.rooms.len() {
                let shown = sheet.number(at(&sheet, room, "Price of the room"));
                assert!(
                    close(shown, scratch.room(room)),
                    "edit {number}, room {room}"
                );
            }
        }
    }
}
