//! A job of any recipes, written as a shop and a takeoff, and typings that are made alike in its
//! files and in the workbook written from it: the workbook follows, or says "price again".

use engine::bid;
use engine::diag::{Findings, render::to_text};
use engine::grid;
use engine::shop::{self, ShopFiles};

use crate::estimates::{assert_same_lines, assert_same_terms};
use crate::offers::{any_alternate_flagged, assert_same_alternates};
use crate::oracle::{HEADINGS, Recalculated, close};
use crate::priced::Priced;
use crate::story::workbook_of;

/// A job as it is written.
#[derive(Clone, Debug)]
pub struct Trial {
    /// `shop.toml`.
    pub shop: String,
    /// `prices.toml`.
    pub prices: String,
    /// Sheets of the takeoff: names, rows, cells. The first row of a table has its headings.
    pub sheets: Vec<(String, Vec<Vec<String>>)>,
}

/// Something typed over.
#[derive(Clone, Debug)]
pub enum Typing {
    /// A cell of a table: sheet, row below the headings from 0, heading, what is typed; nothing
    /// clears it.
    Cell(&'static str, usize, &'static str, String),
    /// A reading: its sheet, its row and column there from 0, its row among all readings from 0,
    /// what is typed.
    Reading(&'static str, usize, usize, usize, String),
    /// A factor: recipe, name, what is written in shop.toml, the number typed into its cell.
    Factor(&'static str, &'static str, String, f64),
    /// A field of a product: kind, product, field, what is written in prices.toml, the number.
    Field(&'static str, &'static str, &'static str, String, f64),
    /// A phase of a room, by its row; a text, even where it reads as a number.
    Phase(usize, &'static str),
    /// Something of shop.toml: what is written there, what is written instead, the name of its
    /// cell, the number typed there.
    Shop(&'static str, String, &'static str, f64),
}

/// What became of typings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// The workbook followed.
    pub live: usize,
    /// It said "price again", and pricing anew gives a bid.
    pub flagged: usize,
    /// It said "price again", and pricing anew finds a mistake.
    pub refused: usize,
}

impl Trial {
    /// A trial from texts; cells of a row are parted by `|`.
    pub fn new(shop: &str, prices: &str, sheets: &[(&str, &[&str])]) -> Self {
        let cells = |row: &&str| row.split('|').map(|cell| cell.trim().to_owned()).collect();
        let sheets = sheets
            .iter()
            .map(|(name, rows)| ((*name).to_owned(), rows.iter().map(cells).collect()))
            .collect();
        Self {
            shop: shop.to_owned(),
            prices: prices.to_owned(),
            sheets,
        }
    }

    /// Prices the job; the mistakes in words when it cannot be.
    pub fn price(&self) -> Result<Priced, String> {
        let words = |findings: Findings| to_text(&findings, false);
        let registry = pourwright::registry().unwrap();
        let files = ShopFiles::built_in(&self.shop, &self.prices);
        let workshop = shop::load(&files, &registry).map_err(words)?;
        let takeoff = workbook_of(&self.sheets);
        let grid = grid::read("takeoff.xlsx", &takeoff).map_err(words)?;
        let bid = bid::price(&workshop, &registry, &grid).map_err(words)?;
        Ok(Priced {
            workshop,
            bid,
            takeoff,
        })
    }

    /// The job with something typed over in its files.
    #[must_use]
    pub fn typed(&self, typing: &Typing) -> Self {
        let mut job = self.clone();
        match typing {
            Typing::Cell(sheet, row, heading, text) => {
                let rows = job.rows(sheet);
                let mut headings = rows[0].iter();
                let known = headings.position(|known| known.starts_with(heading));
                let column = known.unwrap_or(rows[0].len());
                if known.is_none() {
                    rows[0].push((*heading).to_owned());
                }
                let cells = &mut rows[row + 1];
                cells.resize(cells.len().max(column + 1), String::new());
                cells[column].clone_from(text);
            }
            Typing::Phase(row, name) => {
                return job.typed(&Typing::Cell("Rooms", *row, "Phase", (*name).to_owned()));
            }
            Typing::Shop(from, to, ..) => {
                assert!(job.shop.contains(from), "{from} is not in the shop");
                job.shop = job.shop.replacen(from, to, 1);
            }
            Typing::Reading(sheet, row, column, _, text) => {
                job.rows(sheet)[*row][*column].clone_from(text);
            }
            Typing::Factor(recipe, name, text, _) => {
                // Dotted keys at the top would be read as part of what stands above them.
                job.shop = format!("{}\n[factors.{recipe}]\n{name} = \"{text}\"\n", self.shop);
            }
            Typing::Field(kind, product, field, text, _) => {
                let head = format!("[products.{kind}.\"{product}\"]");
                let (before, after) = self.prices.split_once(&head).unwrap();
                let mut lines: Vec<String> = after.lines().map(str::to_owned).collect();
                let start = format!("{field} =");
                let line = lines
                    .iter_mut()
                    .find(|line| line.starts_with(&start))
                    .unwrap();
                *line = format!("{field} = \"{text}\"");
                job.prices = format!("{before}{head}{}\n", lines.join("\n"));
            }
        }
        job
    }

    fn rows(&mut self, sheet: &str) -> &mut Vec<Vec<String>> {
        let mut sheets = self.sheets.iter_mut();
        let (_, rows) = sheets.find(|(name, _)| name == sheet).unwrap();
        rows
    }

    fn type_into(&self, typing: &Typing, sheet: &mut Recalculated) {
        match typing {
            Typing::Cell(name, row, heading, text) => {
                let column = sheet.column_headed(name, HEADINGS, heading);
                let at = (sheet.sheet(name), HEADINGS + 1 + *row as i32, column);
                match text.parse::<f64>() {
                    _ if text.is_empty() => sheet.clear(at),
                    Ok(number) => sheet.type_number(at, number),
                    Err(_) => sheet.type_text(at, text),
                }
            }
            Typing::Phase(row, name) => {
                let column = sheet.column_headed("Rooms", HEADINGS, "Phase");
                let at = (sheet.sheet("Rooms"), HEADINGS + 1 + *row as i32, column);
                match *name {
                    "" => sheet.clear(at),
                    name => sheet.type_text(at, name),
                }
            }
            Typing::Shop(_, _, name, number) => {
                let at = sheet.named(name);
                sheet.type_number(at, *number);
            }
            Typing::Reading(_, _, _, index, text) => {
                let column = sheet.column_headed("Readings", HEADINGS, "Reading");
                let at = (
                    sheet.sheet("Readings"),
                    HEADINGS + 1 + *index as i32,
                    column,
                );
                sheet.type_number(at, text.parse().unwrap());
            }
            Typing::Factor(recipe, name, _, number) => {
                let at = sheet.named(&format!("{recipe}_{name}"));
                sheet.type_number(at, *number);
            }
            Typing::Field(kind, product, field, _, number) => {
                let (index, first, column) = sheet.named(&format!("book_{kind}_{field}"));
                let head = format!("[products.{kind}.");
                let own = format!("{head}\"{product}\"]");
                let (before, _) = self.prices.split_once(&own).unwrap();
                let row = first + before.matches(&head).count() as i32;
                sheet.type_number((index, row, column), *number);
            }
        }
    }

    /// Tries each typing on its own.
    ///
    /// # Panics
    /// Where the workbook as written is not what was priced, or where after a typing it shows
    /// a number that pricing anew does not give.
    pub fn hold(&self, typings: &[Typing]) -> Tally {
        let original = self.price().unwrap_or_else(|why| panic!("{why}"));
        let bytes = original.workbook();
        let as_written = Recalculated::new(&bytes).differences();
        assert_eq!(as_written, [] as [String; 0], "as written");
        let mut tally = Tally::default();
        for typing in typings {
            let mut sheet = Recalculated::new(&bytes);
            self.type_into(typing, &mut sheet);
            sheet.recalculate();
            let flagged = sheet.shown_total() == "price again";
            let scratch = self.typed(typing).price();
            if let Ok(scratch) = &scratch {
                assert_same_alternates(&sheet, &scratch.bid, &format!("{typing:?}"));
            }
            match scratch {
                Err(why) => {
                    assert!(
                        flagged || any_alternate_flagged(&sheet, &original.bid),
                        "{typing:?} cannot be priced, yet a total is shown:\n{why}"
                    );
                    tally.refused += 1;
                }
                Ok(_) if flagged => tally.flagged += 1,
                Ok(scratch) => {
                    same(&sheet, &scratch, typing);
                    tally.live += 1;
                }
            }
        }
        tally
    }
}

/// The workbook shows what pricing anew gives: the total, each room, each line.
fn same(sheet: &Recalculated, scratch: &Priced, typing: &Typing) {
    let bid = &scratch.bid;
    let total = sheet.number(sheet.named("bid_total"));
    assert!(
        close(total, bid.total()),
        "{typing:?}: {total} for {}",
        bid.total()
    );
    let rooms = sheet.sheet("Rooms");
    let price = sheet.column_headed("Rooms", HEADINGS, "Price of the room");
    for (row, expected) in (HEADINGS + 1..).zip(bid.room_prices()) {
        let shown = sheet.number((rooms, row, price));
        assert!(
            close(shown, *expected),
            "{typing:?}: room in row {row}: {shown} for {expected}"
        );
    }
    let told = format!("{typing:?}");
    assert_same_lines(sheet, bid, &told);
    assert_same_terms(sheet, bid, &told);
}
