//! Generated jobs of floor heating: mats and cables of two voltages, named or chosen by the program.

use engine::bid;
use engine::diag::{Findings, render::to_text};
use engine::grid;
use engine::shop::{self, ShopFiles};

use crate::chance::Chance;
use crate::oracle::{HEADINGS, Recalculated};
use crate::priced::Priced;
use crate::story::workbook_of;

/// Headings of the takeoff; the first is the room's name.
pub const COLUMNS: [&str; 13] = [
    "Room",
    "Area (sq ft)",
    "Perimeter (ft)",
    "Floor heat",
    "Heated area (sq ft)",
    "Fixtures area (sq ft)",
    "Heating product",
    "Cable spacing (in)",
    "Heat volts (V)",
    "Floor insulated",
    "Thermostat",
    "Wet room",
    "Other load on the heat circuit (A)",
];

/// Fields of a heating product: name, unit in the price book, what its unit is in an SI shop.
const FIELDS: [(&str, &str, f64); 5] = [
    ("volts", "V", 1.0),
    ("watts", "W", 1.0),
    ("covers", "sq ft", 0.092_903_04),
    ("length", "ft", 0.3048),
    ("height", "in", 25.4),
];

/// A generated job with its shop.
#[derive(Clone, Debug)]
pub struct HeatJob {
    /// SI units instead of US customary ones.
    pub metric: bool,
    /// Rooms, as typed.
    pub rooms: Vec<[String; 13]>,
    /// Products with their fields; a mat has no length, a cable covers nothing by itself.
    pub products: Vec<(String, [Option<f64>; 5])>,
}

/// An edit made alike in a job and in its workbook.
#[derive(Clone, Debug)]
pub enum HeatEdit {
    /// A cell of a room: its row, its column, what is typed; nothing clears it.
    Cell(usize, usize, String),
    /// A field of a product; nothing clears it.
    Field(usize, usize, Option<f64>),
}

fn text(number: f64) -> String {
    number.to_string()
}

impl HeatJob {
    /// A job that follows from a seed.
    pub fn generate(seed: u64) -> Self {
        let c = &mut Chance::new(seed);
        let mut products = Vec::new();
        for (index, volts) in [120.0, 240.0, 120.0, 120.0, 240.0, 120.0]
            .into_iter()
            .enumerate()
        {
            let covers = c.between(20.0, 120.0, 5.0);
            let fields = [
                Some(volts),
                Some(covers * 12.0),
                Some(covers),
                None,
                Some(0.125),
            ];
            products.push((format!("Mat {index}"), fields));
        }
        for (index, volts) in [120.0, 240.0, 120.0].into_iter().enumerate() {
            let length = c.between(80.0, 400.0, 10.0);
            let fields = [
                Some(volts),
                Some(length * 3.0),
                None,
                Some(length),
                Some(0.1875),
            ];
            products.push((format!("Cable {index}"), fields));
        }
        let metric = c.once_in(2);
        let count = 2 + c.below(4);
        let mut job = Self {
            metric,
            products,
            rooms: Vec::new(),
        };
        for index in 0..count {
            let room = job.room(index, c);
            job.rooms.push(room);
        }
        job
    }

    fn room(&self, index: usize, c: &mut Chance) -> [String; 13] {
        let mut room: [String; 13] = Default::default();
        room[0] = format!("Room {index}");
        room[1] = text(c.between(90.0, 260.0, 5.0));
        room[3] = c.pick(&["none", "mat", "mat", "cable"]).to_owned();
        for column in [2, 4, 5, 7, 8, 9, 10, 11, 12] {
            if c.once_in(2) {
                room[column] = self.typed(column, c);
            }
        }
        // With a spacing of its own and a large room there is a cable that fits.
        if room[3] == "cable" {
            room[4] = text(c.between(110.0, 200.0, 5.0));
        }
        room
    }

    /// Something that may be typed into a column.
    fn typed(&self, column: usize, c: &mut Chance) -> String {
        match column {
            1 => text(c.between(60.0, 260.0, 5.0)),
            2 => text(c.between(30.0, 80.0, 2.0)),
            3 => c.pick(&["none", "mat", "cable"]).to_owned(),
            4 => text(c.between(60.0, 200.0, 5.0)),
            5 => text(c.between(0.0, 30.0, 2.5)),
            6 => self.products[c.below(self.products.len())].0.clone(),
            7 => text(c.between(2.0, 4.0, 0.5)),
            8 => c.pick(&["120", "240"]).to_owned(),
            9 | 11 => c.pick(&["yes", "no"]).to_owned(),
            10 => c.pick(&["Small", "Large"]).to_owned(),
            _ => text(c.between(0.0, 8.0, 0.5)),
        }
    }

    fn shop(&self) -> String {
        let units = if self.metric { "SI" } else { "US" };
        format!(
            "name = \"Check shop\"\nunits = \"{units}\"\nrecipes = [\"heat\"]\n[pricing]\nmarkup = \"25 %\"\n[factors.heat]\nlargest_circuit = \"100 A\"\n"
        )
    }

    fn prices(&self) -> String {
        let mut book = String::new();
        for (index, (name, fields)) in self.products.iter().enumerate() {
            let package = if name.starts_with("Mat") {
                "mat"
            } else {
                "reel"
            };
            let price = 100 + 17 * index;
            book.push_str(&format!(
                "[products.heating.\"{name}\"]\npackage = \"{package}\"\nprice = \"${price}\"\n"
            ));
            for ((field, unit, _), value) in FIELDS.iter().zip(fields) {
                if let Some(value) = value {
                    book.push_str(&format!("{field} = \"{value} {unit}\"\n"));
                }
            }
        }
        book.push_str("[products.thermostat.Small]\npackage = \"piece\"\nprice = \"$160\"\namps = \"10 A\"\n[products.thermostat.Large]\npackage = \"piece\"\nprice = \"$190\"\namps = \"15 A\"\ntrips_at = \"0.005 A\"\n[rates]\ncrew = \"$90/h\"\nelectrician = \"$110/h\"\nfloor_sensor = \"$35\"\nheat_circuit = \"$240\"\ngfci_breaker = \"$85\"\nheat_relay = \"$70\"\n");
        book
    }

    /// Prices the job from scratch; the mistakes in words when it cannot be.
    pub fn price(&self) -> Result<Priced, String> {
        let words = |findings: Findings| to_text(&findings, false);
        let registry = pourwright::registry().unwrap();
        let files = ShopFiles::built_in(&self.shop(), &self.prices());
        let workshop = shop::load(&files, &registry).map_err(words)?;
        let headings = COLUMNS.map(str::to_owned).into();
        let rows = std::iter::once(headings).chain(self.rooms.iter().map(|room| room.to_vec()));
        let takeoff = workbook_of(&[("Rooms".to_owned(), rows.collect())]);
        let grid = grid::read("takeoff.xlsx", &takeoff).map_err(words)?;
        let bid = bid::price(&workshop, &registry, &grid).map_err(words)?;
        Ok(Priced {
            workshop,
            bid,
            takeoff,
        })
    }
}

impl HeatEdit {
    /// An edit that follows from chance.
    pub fn random(job: &HeatJob, c: &mut Chance) -> Self {
        if c.once_in(3) {
            let product = c.below(job.products.len());
            let is_mat = job.products[product].0.starts_with("Mat");
            let size = if is_mat { 2 } else { 3 };
            let field = c.pick(&[size, size, size, 0, 1, 5 - size]);
            let value = match field {
                0 => c.pick(&[120.0, 240.0]),
                1 => c.between(300.0, 2400.0, 50.0),
                2 => c.between(20.0, 120.0, 5.0),
                _ => c.between(80.0, 400.0, 10.0),
            };
            let cleared = field == 5 - size && c.once_in(2);
            return Self::Field(product, field, (!cleared).then_some(value));
        }
        let room = c.below(job.rooms.len());
        let column = c.pick(&[1, 2, 3, 4, 4, 4, 5, 6, 6, 7, 8, 8, 9, 10, 11, 12]);
        let typed = match c.once_in(4) && column != 1 && column != 3 {
            true => String::new(),
            false => job.typed(column, c),
        };
        Self::Cell(room, column, typed)
    }

    /// Makes the edit in a job.
    pub fn in_job(&self, job: &mut HeatJob) {
        match self {
            Self::Cell(room, column, typed) => job.rooms[*room][*column].clone_from(typed),
            Self::Field(product, field, value) => job.products[*product].1[*field] = *value,
        }
    }

    /// Whether it clears a cell: of an input with a default, which a workbook does not know, or
    /// of a field that was filled in when the job was priced, which must stay so.
    pub fn clears(&self) -> bool {
        match self {
            Self::Cell(_, column, typed) => typed.is_empty() && matches!(column, 5 | 9 | 11 | 12),
            Self::Field(_, _, value) => value.is_none(),
        }
    }

    /// Makes the edit in a workbook.
    pub fn in_workbook(&self, job: &HeatJob, sheet: &mut Recalculated) {
        match self {
            Self::Cell(room, column, typed) => {
                let heading = COLUMNS[*column].split(" (").next().unwrap_or_default();
                let at = (
                    sheet.sheet("Rooms"),
                    HEADINGS + 1 + *room as i32,
                    sheet.column_headed("Rooms", HEADINGS, heading),
                );
                match typed.parse::<f64>() {
                    _ if typed.is_empty() => sheet.clear(at),
                    Ok(number) => sheet.type_number(at, number),
                    Err(_) => sheet.type_text(at, typed),
                }
            }
            Self::Field(product, field, value) => {
                let (name, _, metric) = FIELDS[*field];
                let (index, row, column) = sheet.named(&format!("book_heating_{name}"));
                let at = (index, row + *product as i32, column);
                match value {
                    Some(value) if job.metric => sheet.type_number(at, value * metric),
                    Some(value) => sheet.type_number(at, *value),
                    None => sheet.clear(at),
                }
            }
        }
    }
}
