//! `pourwright layout`: tile laid out on each room, its counts and cuts, and drawings of it.

use std::path::{Path, PathBuf};

use engine::bid::Bid;
use engine::diag::{Diagnostic, Outcome};
use engine::measure::write;
use engine::quantity::{Dimension, System};
use engine::trail::Kind;
use serde_json::{Value, json};
use tile::best::{Starts, best_start};
use tile::drawing::{self, Sheet};
use tile::floor_plan::FloorPlan;
use tile::layout::Layout;
use tile::offcut::{self, Plan};
use tile::start::{On, Start};
use tile::wanted::{GRAINS, PATTERNS, ROWS, STARTS, Wanted};

use crate::context::{RoomsOf, priced, rooms_of};
use crate::pictures::{PictureFolder, PictureName};
use crate::print::{Terminal, table};

/// Wider by less than this, in inches, is no reason to start elsewhere.
const NO_WIDER: f64 = 1.0 / 32.0;

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    room: Option<&str>,
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let bid = priced(takeoff, shop)?;
    let rows = rooms_of(&bid, room, takeoff, &LAID)?;
    let mut rooms = Vec::new();
    for row in rows {
        rooms.push(LaidRoom::new(&bid, row).map_err(|why| {
            let name = &bid.ledger.table(bid.takeoff.rooms.table).row_names[row];
            Diagnostic::error(format!("{name} cannot be laid out: {why}"))
        })?);
    }
    let folder = PictureFolder::beside(takeoff, "layouts")?;
    for room in &rooms {
        room.draw(&bid, &folder)?;
    }
    if as_json {
        terminal.json(&rooms.iter().map(LaidRoom::to_json).collect());
    } else {
        show(&bid, &rooms, terminal);
        terminal.line(format!("Drawings: {}", folder.path().display()));
        terminal.line(
            "Dry-lay the first rows: a drawing knows no more of the walls than was measured.",
        );
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

/// The rooms that can be laid out.
const LAID: RoomsOf = RoomsOf {
    given: "tile.pieces",
    filled: "tile.narrowest",
    without_recipe: [
        "the recipes of this shop lay out no tile",
        "Add tile to the recipes in shop.toml.",
    ],
    without_room: [
        "no room of the takeoff has tile and an outline",
        "Name a tile in a room's column Tile, and give its Length and Width or its Readings.",
    ],
    kind: "room with tile and an outline",
};

/// A room with its layout.
struct LaidRoom<'a> {
    row: usize,
    name: &'a str,
    wanted: Wanted,
    layout: Layout,
    cuts: Plan,
    starts: Starts,
    /// The layout from the best start, where that leaves wider cuts.
    widest: Option<Layout>,
    packages: Option<String>,
}

impl<'a> LaidRoom<'a> {
    fn new(bid: &'a Bid, row: usize) -> Result<Self, String> {
        let plan = floor_plan(bid, row)?;
        let wanted = wanted(bid, row)?;
        let layout = wanted.layout(&plan)?;
        let failed = |error: tile::layout::LayoutError| error.to_string();
        let starts = best_start(&plan.room, &layout.laying).map_err(failed)?;
        let best = &starts.tried[starts.best].laying;
        let best = Layout::new(&plan.room, best).map_err(failed)?;
        let wider = wanted.narrowest(&best) - wanted.narrowest(&layout);
        let kerf = bid.ledger.single_named("tile_kerf");
        let kerf = kerf.map_or(0.0, |id| bid.ledger.single(id).value);
        Ok(Self {
            row,
            name: &bid.ledger.table(bid.takeoff.rooms.table).row_names[row],
            wanted,
            cuts: offcut::plan(&layout, kerf),
            layout,
            starts,
            widest: (wider > NO_WIDER).then_some(best),
            packages: packages(bid, row),
        })
    }

    fn draw(&self, bid: &Bid, folder: &PictureFolder) -> Outcome<()> {
        let draw = |title: &str, layout: &Layout, plan: Option<&Plan>, ending: &str| {
            let sheet = Sheet {
                title,
                layout,
                plan,
                metric: bid.ledger.system == System::Si,
                length_label: &|inches| length(bid, inches),
            };
            let png = drawing::png(&sheet).map_err(|why| Diagnostic::error(why.to_string()))?;
            let name = PictureName {
                row: self.row,
                room: self.name,
                ending,
            };
            folder.save(&name, &drawing::svg(&sheet), &png)
        };
        draw(self.name, &self.layout, Some(&self.cuts), "")?;
        if let Some(widest) = &self.widest {
            let title = format!("{}, widest cuts", self.name);
            draw(&title, widest, None, "-widest-cuts")?;
        }
        Ok(())
    }

    /// The narrowest cut from the best start, and where that is.
    fn best(&self, bid: &Bid) -> (String, String) {
        let Some(widest) = &self.widest else {
            return ("no wider".to_owned(), "as laid".to_owned());
        };
        let width = length(bid, self.wanted.narrowest(widest));
        (
            width,
            start(&self.starts.tried[self.starts.best].laying.start),
        )
    }

    fn to_json(&self) -> Value {
        let counts = self.layout.counts();
        let narrowest = self.wanted.narrowest(&self.layout);
        let widest = self.widest.as_ref();
        json!({
            "room": self.name,
            "units": "inches",
            "pattern": PATTERNS.get(self.wanted.pattern),
            "full": counts.full,
            "cut": counts.cut(),
            "cut_around_obstacles": counts.obstacle_cuts,
            "tiles_without_reuse": counts.without_reuse(),
            "tiles_with_reuse": self.cuts.tiles(),
            "packages": self.packages,
            "narrowest_cut": narrowest,
            "narrowest_cut_from_best_start":
                widest.map_or(narrowest, |layout| self.wanted.narrowest(layout)),
            "best_start": widest.map_or("as laid".to_owned(), |_| {
                start(&self.starts.tried[self.starts.best].laying.start)
            }),
        })
    }
}

/// The outline of a room: by its survey, else by length and width.
fn floor_plan(bid: &Bid, row: usize) -> Result<FloorPlan, String> {
    let mut surveys = bid.takeoff.surveys.iter();
    let outline = surveys.find_map(|surveys| surveys.of_room[row].as_ref()?.outline());
    match outline {
        Some(outline) => FloorPlan::surveyed(&outline),
        None => FloorPlan::rectangle(number(bid, row, "length")?, number(bid, row, "width")?),
    }
}

/// How a room is to be laid, from the cells of recipe tile and its inputs.
fn wanted(bid: &Bid, row: usize) -> Result<Wanted, String> {
    let word = |column: &str, words: &[&str]| {
        let said = bid.ledger.texts.of_value(number(bid, row, column)?);
        let found = words
            .iter()
            .position(|word| word.eq_ignore_ascii_case(said));
        found.ok_or_else(|| format!("its {column} is none of: {}", words.join(", ")))
    };
    let number = |column| number(bid, row, column);
    Ok(Wanted {
        tile: [
            number("tile.laid_length")?,
            number("tile.laid_width")?,
            number("grout_joint")?,
        ],
        gap: number("tile.gap")?,
        pattern: word("pattern", PATTERNS)?,
        offset: number("tile.offset")?,
        rows: word("rows", ROWS)?,
        start: word("start", STARTS)?,
        number: number("tile.number")?,
        grain: word("turning", GRAINS)?,
    })
}

/// A number of a room, by its column.
fn number(bid: &Bid, row: usize, column: &str) -> Result<f64, String> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    rooms
        .filled(column, row)
        .ok_or_else(|| format!("it has no {column}"))
}

/// What a room needs of its tile's packages, before whole ones are ordered for the job.
fn packages(bid: &Bid, row: usize) -> Option<String> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let lines = bid.lines.iter().filter(|line| {
        let product = line.product.map(|(table, _)| bid.ledger.table(table));
        product.is_some_and(|table| table.name == "tile")
    });
    let mut needed = lines.flat_map(|line| {
        let items = line.items.iter().map(|index| &bid.items[*index]);
        let mine = items.filter(|item| item.table == bid.takeoff.rooms.table);
        mine.filter(|item| rooms.value(item.quantity, row) > 0.0)
            .map(|item| {
                write(
                    rooms.value(item.quantity, row),
                    &line.unit,
                    &bid.ledger.units,
                )
            })
    });
    needed.next()
}

fn show(bid: &Bid, rooms: &[LaidRoom<'_>], terminal: &mut Terminal<'_>) {
    let rows = rooms.iter().map(|room| {
        let counts = room.layout.counts();
        let (widest, start) = room.best(bid);
        vec![
            room.name.to_owned(),
            counts.full.to_string(),
            counts.cut().to_string(),
            counts.without_reuse().to_string(),
            room.cuts.tiles().to_string(),
            room.packages.clone().unwrap_or_default(),
            length(bid, room.wanted.narrowest(&room.layout)),
            widest,
            start,
        ]
    });
    terminal.line(table(
        &[
            "Room",
            "Whole",
            "Cut",
            "Tiles",
            "Offcuts used",
            "To order",
            "Narrowest cut",
            "At best",
            "Best start",
        ],
        &[1, 2, 3, 4, 5, 6, 7],
        rows.collect(),
    ));
    terminal.line("  Tiles: nothing that is cut off is used again. To order: breakage and attic stock counted; boxes are whole for the job.");
}

/// A start in words.
fn start(start: &Start) -> String {
    let on = |on: On| match on {
        On::Joint => "a joint",
        On::Tile => "a tile",
    };
    match start {
        Start::Centred { along, across } => format!(
            "{} on the middle across the rows, {} on the middle along them",
            on(*along),
            on(*across)
        ),
        Start::Wall { .. } => "from the wall".to_owned(),
        Start::Line { .. } => "from the doorway".to_owned(),
        Start::Corner(_) => "shifted, as drawn".to_owned(),
    }
}

/// A length to the sixteenth, or in whole millimetres.
fn length(bid: &Bid, inches: f64) -> String {
    let unit = bid.ledger.shown_in(Kind::Number(Dimension::LENGTH));
    let step = match bid.ledger.system {
        System::Us => 1.0 / 16.0,
        System::Si => unit.size,
    };
    write((inches / step).round() * step, &unit, &bid.ledger.units)
}
