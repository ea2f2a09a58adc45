//! `pourwright survey`: the verdict on surveyed floors, the ways to pour them, and their maps.

mod adjoin;
mod show;
mod ways;

use std::path::{Path, PathBuf};

use engine::bid::Bid;
use engine::diag::{Diagnostic, Outcome, Place};
use floor::drawing::Drawing;
use floor::grind::{self, GrindRates};
use floor::peaks::peaks;
use floor::plane;
use floor::pours::{self, Terms};
use floor::survey::FloorSurvey;
use floor::tolerance::Flatness;
use floor::verdict::{self, Judged, Verdict};
use serde_json::{Value, json};

use crate::context::{asked_for, priced};
use crate::pictures::{PictureFolder, PictureName};
use crate::print::Terminal;

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    room: Option<&str>,
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let bid = priced(takeoff, shop)?;
    let all = surveyed(&bid, takeoff)?;
    let pairs = adjoin::pairs(&bid, &all)?;
    let rooms = asked_for(
        all,
        |room| room.name.to_owned(),
        room,
        "room with readings",
        takeoff,
    )?;
    let maps = save_maps(&bid, &rooms, takeoff)?;
    if as_json {
        terminal.json(
            &rooms
                .iter()
                .map(|room| {
                    let mut json = to_json(&bid, room);
                    let adjoining = pairs.iter().filter(|pair| pair.has(room));
                    json["adjoining"] = adjoining.map(adjoin::to_json).collect();
                    json
                })
                .collect(),
        );
    } else {
        for room in &rooms {
            show::show(&bid, room, terminal);
        }
        let is_shown = |pair: &&adjoin::Pair<'_>| rooms.iter().any(|room| pair.has(room));
        let shown: Vec<_> = pairs.iter().filter(is_shown).collect();
        adjoin::show(&bid, &shown, terminal);
        terminal.line(format!("Maps: {}", maps.path().display()));
        terminal.line("A verdict knows no more than its readings: between them the floor may be higher or lower.");
        terminal.line("The product sheet's depth limits and local code govern.");
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

/// A surveyed room.
#[derive(Clone, Copy)]
struct Room<'a> {
    row: usize,
    name: &'a str,
    survey: &'a FloorSurvey,
}

/// The surveyed rooms, at least one.
fn surveyed<'a>(bid: &'a Bid, takeoff: &Path) -> Outcome<Vec<Room<'a>>> {
    let names = &bid.ledger.table(bid.takeoff.rooms.table).row_names;
    let surveyed: Vec<Room<'a>> = bid
        .takeoff
        .surveys
        .iter()
        .flat_map(|surveys| surveys.of_room.iter().enumerate())
        .filter_map(|(row, survey)| {
            let survey = survey.as_ref()?.as_any().downcast_ref()?;
            let name = names[row].as_str();
            Some(Room { row, name, survey })
        })
        .collect();
    if surveyed.is_empty() {
        return Err(Diagnostic::error("no room of the takeoff has readings")
            .at(Place::File(takeoff.display().to_string().into()))
            .hint("Name a sheet with its readings in a room's column Readings.")
            .into());
    }
    Ok(surveyed)
}

/// Writes a map of each room, as drawing and as picture, into a folder beside the takeoff.
fn save_maps(bid: &Bid, rooms: &[Room<'_>], takeoff: &Path) -> Outcome<PictureFolder> {
    let folder = PictureFolder::beside(takeoff, "maps")?;
    for room in rooms {
        let depth = number(bid, room.row, "leveling.depth");
        let level = room.survey.level_of(depth);
        let spacing = number(bid, room.row, "joints.spacing");
        let drawing =
            Drawing::new(room.survey, level, bid.ledger.system).with_joints(room.survey, spacing);
        let input = drawing.input(room.name);
        let png = floor::map::png(&input).map_err(|why| Diagnostic::error(why.to_string()))?;
        let name = PictureName {
            row: room.row,
            room: room.name,
            ending: "",
        };
        folder.save(&name, &floor::map::svg(&input), &png)?;
    }
    Ok(folder)
}

/// A number of a room, by its column; nothing where it is blank.
fn number(bid: &Bid, row: usize, column: &str) -> Option<f64> {
    let table = bid.ledger.table(bid.takeoff.rooms.table);
    table.filled(column, row)
}

/// A factor or rate by its name in the workbook.
fn single(bid: &Bid, name: &str) -> Option<f64> {
    let id = bid.ledger.single_named(name)?;
    Some(bid.ledger.single(id).value)
}

/// What pouring the room costs, from its leveler, the factors and the rates.
fn terms(bid: &Bid, row: usize) -> Option<Terms> {
    let product = number(bid, row, "leveler")?;
    let (_, levelers) = bid
        .ledger
        .tables()
        .find(|(_, table)| table.name == "leveler")?;
    let at = levelers.row_named(product)?;
    let field = |name: &str| Some(levelers.value(levelers.column_named(name)?, at));
    let crew = single(bid, "rate_crew").unwrap_or(0.0);
    let speed = single(bid, "leveling_pouring_speed")?;
    Some(Terms {
        // The pour over heat is the larger of what the highest spot and the heat ask for.
        cover: number(bid, row, "leveling.cover")?,
        thinnest: field("depth_from")?,
        thickest: field("depth_to")?,
        rates: GrindRates {
            set_up: single(bid, "rate_grinding_set_up").unwrap_or(0.0),
            per_area: single(bid, "rate_grinding").unwrap_or(0.0),
            per_volume: single(bid, "rate_grinding_volume").unwrap_or(0.0),
            bag: field("price")?,
            bag_yield: field("yields")?,
            pour: crew / speed,
            waste: single(bid, "leveling_waste")?,
        },
        can_grind: single(bid, "rate_grinding").is_some(),
    })
}

/// The tolerance chosen for a room, by its own cell or that of the job.
fn flatness(bid: &Bid, row: usize) -> Option<Flatness> {
    Flatness::named(bid.ledger.texts.of_value(number(bid, row, "flatness")?))
}

fn judged(bid: &Bid, room: &Room<'_>) -> Vec<Judged> {
    let edge = number(bid, room.row, "leveling.longest_edge").filter(|edge| *edge > 0.0);
    let chosen = flatness(bid, room.row);
    verdict::judge(room.survey, chosen, edge, bid.ledger.system)
}

fn to_json(bid: &Bid, room: &Room<'_>) -> Value {
    let surface = &room.survey.surface;
    let fit = plane::fit(surface);
    let terms = terms(bid, room.row);
    let options = terms.map(|terms| pours::options(room.survey, &terms));
    let curve = terms
        .filter(|terms| terms.can_grind)
        .map(|terms| grind::curve(surface, terms.cover, &terms.rates, pours::MOST_GROUND));
    let finish = room.survey.finish();
    let above = finish.map_or_else(Vec::new, |finish| peaks(surface, finish));
    json!({
        "room": room.name,
        "units": "inches; square and cubic inches",
        "readings": surface.readings(),
        "spacing": room.survey.spacing(),
        "area": surface.area(),
        "highest": surface.highest(),
        "lowest": surface.lowest(),
        "mean": surface.mean(),
        "fall": fit.fall,
        "waves_above": fit.most_above,
        "waves_below": fit.most_below,
        "flatness": flatness(bid, room.row).map(Flatness::name),
        "tolerances": judged(bid, room).iter().map(|judged| json!({
            "straightedge": judged.tolerance.length,
            "allowed": judged.tolerance.gap,
            "found": judged.gap(),
            "verdict": match judged.verdict() {
                Verdict::Flat => "flat",
                Verdict::NotFlat => "not flat",
                Verdict::TooCoarse => "cannot tell",
            },
            "source": judged.tolerance.source,
        })).collect::<Value>(),
        "pours": options.unwrap_or_default().iter().map(|option| json!({
            "what": option.what,
            "level": option.level,
            "ground_off": option.off,
            "ground_area": option.ground.area,
            "volume": option.poured.volume,
            "deepest": option.deepest,
            "bags": option.bags,
            "cost": option.cost,
        })).collect::<Value>(),
        "above_finish": above.iter().map(|peak| json!({
            "above": peak.above,
            "x": peak.at.x,
            "y": peak.at.y,
            "area": peak.part.area,
        })).collect::<Value>(),
        "grinding": curve.unwrap_or_default().iter().map(|option| json!({
            "off": option.off,
            "area": option.area,
            "bags": option.bags,
            "cost": option.cost,
        })).collect::<Value>(),
    })
}
