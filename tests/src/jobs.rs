//! Generated jobs: rooms of every kind, both systems of units, both sides of every fork.

use engine::bid;
use engine::diag::{Findings, render::to_text};
use engine::grid;
use engine::plugin::Registry;
use engine::shop::{self, ShopFiles};

use crate::chance::Chance;
use crate::paths::Paths;
use crate::priced::Priced;
pub use crate::rooms::Room;
use crate::rooms::room;
use crate::story::{Rows, workbook_of};
use crate::terms::Terms;

/// Levelers of the generated shop: two of them in bags, one in pails.
pub const LEVELERS: [&str; 3] = ["Grey", "Deep", "Pail Mix"];
/// Its primers.
pub const PRIMERS: [&str; 2] = ["Thin", "Thick"];
/// Its strips, one in rolls and one in pieces.
pub const STRIPS: [&str; 2] = ["Soft roll", "Stiff piece"];
pub(crate) const SUBSTRATES: [&str; 4] = ["concrete", "plywood", "old tile", "gypsum"];

/// A generated job with its shop.
#[derive(Clone, Debug)]
pub struct Job {
    /// SI units instead of US customary ones.
    pub metric: bool,
    pub(crate) margin: bool,
    /// Its rooms.
    pub rooms: Vec<Room>,
    pub(crate) job_leveler: usize,
    pub(crate) visits: f64,
    /// Factors: workbook name, TOML path, unit in TOML, value in that unit.
    pub(crate) factors: Vec<(&'static str, &'static str, &'static str, f64)>,
    /// Product fields: kind, product, field, value in the unit of the price book.
    pub(crate) fields: Vec<(&'static str, usize, &'static str, f64)>,
    pub(crate) rates: Vec<(&'static str, f64)>,
    pub(crate) profit: f64,
    pub(crate) minimum: f64,
    pub(crate) round_to: f64,
    /// What comes on top: phases, overhead, fees, allowances, payments.
    pub terms: Terms,
}

impl Job {
    /// A job that follows from a seed.
    pub fn generate(seed: u64) -> Self {
        let mut chance = Chance::new(seed);
        let metric = chance.once_in(2);
        let most = if chance.once_in(6) { 38 } else { 9 };
        let count = 3 + chance.below(most);
        let mut rooms: Vec<Room> = (0..count)
            .map(|index| room(&mut chance, index, metric))
            .collect();
        let terms = Terms::generate(seed, &mut rooms, metric);
        let c = &mut chance;
        Self {
            metric,
            margin: c.once_in(3),
            rooms,
            job_leveler: c.below(LEVELERS.len()),
            visits: c.between(1.0, 6.0, 1.0),
            factors: vec![
                (
                    "leveling_waste",
                    "leveling.waste",
                    "%",
                    c.between(0.0, 30.0, 0.5),
                ),
                (
                    "leveling_least_cover",
                    "leveling.least_cover",
                    "in",
                    c.between(0.0, 1.0, 0.0625),
                ),
                (
                    "leveling_priming_speed",
                    "leveling.priming_speed",
                    "sq ft/h",
                    c.between(100.0, 900.0, 10.0),
                ),
                (
                    "leveling_room_set_up",
                    "leveling.room_set_up",
                    "min",
                    c.between(0.0, 90.0, 5.0),
                ),
                (
                    "leveling_working_day",
                    "leveling.working_day",
                    "h/day",
                    c.between(4.0, 10.0, 0.5),
                ),
                (
                    "paths_deep",
                    "paths.deep",
                    "in",
                    c.between(0.25, 3.0, 0.125),
                ),
                (
                    "paths_dam_factor",
                    "paths.dam_factor",
                    "",
                    c.between(1.0, 4.0, 0.25),
                ),
                (
                    "paths_sill_price",
                    "paths.sill_price",
                    "$/ft",
                    c.between(2.0, 30.0, 0.01),
                ),
            ],
            fields: vec![
                ("leveler", 0, "price", c.between(20.0, 60.0, 0.01)),
                ("leveler", 1, "price", c.between(20.0, 60.0, 0.01)),
                ("leveler", 2, "price", c.between(40.0, 90.0, 0.01)),
                ("leveler", 0, "yields", c.between(0.3, 0.6, 0.01)),
                ("leveler", 1, "yields", c.between(0.3, 0.6, 0.01)),
                ("leveler", 2, "yields", c.between(0.7, 1.0, 0.01)),
                ("primer", 0, "price", c.between(40.0, 90.0, 0.01)),
                ("primer", 1, "price", c.between(40.0, 90.0, 0.01)),
                ("primer", 0, "coverage", c.between(150.0, 600.0, 5.0)),
                ("primer", 1, "coverage", c.between(150.0, 600.0, 5.0)),
                ("strip", 0, "price", c.between(10.0, 40.0, 0.01)),
                ("strip", 1, "price", c.between(2.0, 9.0, 0.01)),
                ("strip", 0, "reach", c.between(40.0, 120.0, 5.0)),
                ("strip", 1, "reach", c.between(6.0, 10.0, 0.5)),
            ],
            rates: vec![
                ("crew", c.between(90.0, 220.0, 0.25)),
                ("mixing_set", c.between(90.0, 200.0, 5.0)),
                ("delivery", c.between(50.0, 300.0, 5.0)),
                ("visit", c.between(20.0, 90.0, 0.5)),
                ("saw", c.between(10.0, 50.0, 0.5)),
            ],
            profit: c.between(0.0, 45.0, 0.5),
            minimum: if c.once_in(4) {
                c.between(500.0, 60_000.0, 250.0)
            } else {
                0.0
            },
            round_to: c.pick(&[0.0, 0.0, 1.0, 5.0, 10.0, 0.05]),
            terms,
        }
    }

    fn shop(&self) -> String {
        let mut text = format!(
            "name = \"Generated\"\nunits = \"{}\"\n{}[pricing]\n{}{} = \"{} %\"\ncontingency = \"3.5 %\"\ntax_on_materials = \"7.25 %\"\nminimum_charge = \"${}\"\nround_to = \"${}\"\n[pricing.labour]\ncontingency = \"6 %\"\n{}",
            if self.metric { "SI" } else { "US" },
            self.terms.on_top(),
            self.terms.in_pricing(),
            if self.margin { "margin" } else { "markup" },
            self.profit,
            self.minimum,
            self.round_to,
            self.terms.in_labour(),
        );
        for recipe in ["leveling", "paths"] {
            text.push_str(&format!("[factors.{recipe}]\n"));
            for (_, path, unit, value) in &self.factors {
                if let Some(name) = path.strip_prefix(&format!("{recipe}.")) {
                    let written = match unit.strip_prefix('$') {
                        Some(under) => format!("${value}{under}"),
                        None => format!("{value} {unit}"),
                    };
                    text.push_str(&format!("{name} = \"{}\"\n", written.trim()));
                }
            }
        }
        text
    }

    fn prices(&self) -> String {
        let field = |kind: &str, product: usize, name: &str| {
            let found = self
                .fields
                .iter()
                .find(|(k, p, f, _)| (*k, *p, *f) == (kind, product, name));
            found.map(|(.., value)| *value).unwrap()
        };
        let supplier = |index| self.terms.supplier(index);
        let mut text = String::new();
        for (index, name) in LEVELERS.iter().enumerate() {
            let package = if index == 2 { "pail" } else { "bag" };
            text.push_str(&format!(
                "[products.leveler.\"{name}\"]\npackage = \"{package}\"\nprice = \"${}\"\nyields = \"{} cu ft\"\ndepth = \"1/8 in .. {} in\"\nwater = \"5 qt\"\npot_life = \"20 min\"\nweight = \"50 lb\"\npallet = 40\n{}",
                field("leveler", index, "price"),
                field("leveler", index, "yields"),
                [1.5, 4.0, 1.0][index],
                supplier(index),
            ));
        }
        for (index, name) in PRIMERS.iter().enumerate() {
            text.push_str(&format!(
                "[products.primer.\"{name}\"]\npackage = \"jug\"\nprice = \"${}\"\ncoverage = \"{} sq ft\"\n{}",
                field("primer", index, "price"),
                field("primer", index, "coverage"),
                supplier(index + 1),
            ));
        }
        for (index, name) in STRIPS.iter().enumerate() {
            let package = ["roll", "piece"][index];
            text.push_str(&format!(
                "[products.strip.\"{name}\"]\npackage = \"{package}\"\nprice = \"${}\"\nreach = \"{} ft\"\n",
                field("strip", index, "price"),
                field("strip", index, "reach"),
            ));
        }
        text.push_str("[rates]\n");
        for (name, value) in &self.rates {
            let per = match *name {
                "crew" => ", per = \"h\"",
                "mixing_set" => ", per = \"day\"",
                _ => "",
            };
            text.push_str(&format!("{name} = {{ price = \"${value}\"{per} }}\n"));
        }
        text
    }

    /// The takeoff as a workbook.
    pub fn takeoff(&self) -> Vec<u8> {
        let (area, depth, edge, width) = if self.metric {
            ("Area (m2)", "Average depth (mm)", "Edge (m)", "Width (mm)")
        } else {
            (
                "Area (sq ft)",
                "Average depth (in)",
                "Edge (ft)",
                "Width (in)",
            )
        };
        let text = |number: f64| number.to_string();
        let headings = [
            "Room",
            area,
            depth,
            "Substrate",
            "Leveler",
            "Primer",
            "Strip",
            edge,
            "Layers",
            "Heated",
            "Readings",
            "Phase",
        ];
        let mut rooms: Vec<Vec<String>> = vec![headings.map(str::to_owned).into()];
        let mut openings: Vec<Vec<String>> = vec![["Room", width, "Dam"].map(str::to_owned).into()];
        for room in &self.rooms {
            let named = |list: &[&str], index: Option<usize>| {
                index.map_or_else(String::new, |i| list[i].to_owned())
            };
            rooms.push(vec![
                room.name.clone(),
                if room.area.is_nan() {
                    String::new()
                } else {
                    text(room.area)
                },
                text(room.depth),
                SUBSTRATES[room.substrate].to_owned(),
                named(&LEVELERS, room.leveler),
                PRIMERS[room.primer].to_owned(),
                STRIPS[room.strip].to_owned(),
                room.edge.map_or_else(String::new, text),
                room.layers.map_or_else(String::new, |n| n.to_string()),
                room.heated
                    .map_or("", |yes| if yes { "yes" } else { "no" })
                    .to_owned(),
                room.floor_sheet().unwrap_or_default(),
                room.phase.unwrap_or_default().to_owned(),
            ]);
            for (width, dam) in &room.openings {
                openings.push(vec![
                    room.name.clone(),
                    text(*width),
                    STRIPS[*dam].to_owned(),
                ]);
            }
        }
        let visits = text(self.visits);
        let fee = self.terms.job_fee.map(text).unwrap_or_default();
        let entries = [
            ["Leveler", LEVELERS[self.job_leveler]],
            ["Visits", &visits],
            ["Fee with markup: Crane", &fee],
        ];
        let said = entries.iter().filter(|[_, value]| !value.is_empty());
        let job = said.map(|entry| entry.map(str::to_owned).into()).collect();
        let mut sheets: Vec<(String, Rows)> = vec![
            ("Job".to_owned(), job),
            ("Rooms".to_owned(), rooms),
            ("Openings".to_owned(), openings),
        ];
        sheets.extend(self.terms.sheets(&self.rooms));
        let floors = self.rooms.iter();
        sheets.extend(
            floors.filter_map(|room| Some((room.floor_sheet()?, room.floor.as_ref()?.sheet()))),
        );
        workbook_of(&sheets)
    }

    /// Prices the job from scratch; the mistakes in words when it cannot be.
    pub fn price(&self) -> Result<Priced, String> {
        let words = |findings: Findings| to_text(&findings, false);
        let registry = registry();
        let files = ShopFiles::built_in(&self.shop(), &self.prices());
        let workshop = shop::load(&files, &registry).map_err(words)?;
        let takeoff = self.takeoff();
        let grid = grid::read("takeoff.xlsx", &takeoff).map_err(words)?;
        let bid = bid::price(&workshop, &registry, &grid).map_err(words)?;
        Ok(Priced {
            workshop,
            bid,
            takeoff,
        })
    }
}

/// The registry of the tests: the floor and paths of every kind.
pub fn registry() -> Registry {
    Registry::new(&[&floor::Floor, &Paths]).unwrap()
}
