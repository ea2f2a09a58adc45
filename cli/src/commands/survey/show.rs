//! What a survey prints.

use engine::bid::Bid;
use engine::measure::write;
use engine::quantity::{Dimension, System};
use engine::trail::Kind;
use floor::fnumbers::FNumber;
use floor::plane;
use floor::pours::Terms;
use floor::sureness;
use floor::surface::Point;
use floor::survey::FloorSurvey;
use floor::verdict::{self, Judged, Verdict};
use floor::walls;

use super::{Room, judged, terms, ways};
use crate::print::{Terminal, table};

/// Most walls and openings that are listed.
const MOST_EDGES: usize = 24;
/// Most readings for which it is worked out what closer ones would buy.
const MOST_FOR_HALF: usize = 1000;

/// Writes a value the way the takeoff's family of units does; lengths to sixteenths or whole
/// millimetres.
pub(super) fn written(bid: &Bid, value: f64, dimension: Dimension) -> String {
    let unit = bid.ledger.shown_in(Kind::Number(dimension));
    let value = match (dimension, bid.ledger.system) {
        (Dimension::LENGTH, System::Us) => (value * 16.0).round() / 16.0,
        (Dimension::LENGTH, System::Si) => (value / unit.size).round() * unit.size,
        _ => {
            let shown = value / unit.size;
            (shown * 10.0).round() / 10.0 * unit.size
        }
    };
    write(value, &unit, &bid.ledger.units)
}

pub(super) fn length(bid: &Bid, value: f64) -> String {
    written(bid, value, Dimension::LENGTH)
}

/// A gap in words; where rounding would make it look allowed, it says so.
fn found(bid: &Bid, judged: &Judged) -> String {
    let (gap, allowed) = (length(bid, judged.gap()), length(bid, judged.tolerance.gap));
    if judged.verdict() == Verdict::NotFlat && gap == allowed {
        format!("just over {gap}")
    } else {
        gap
    }
}

/// The length of a straightedge, in feet or metres.
pub(super) fn straightedge(bid: &Bid, value: f64) -> String {
    match bid.ledger.system {
        System::Us => format!("{} ft", (value / 1.2).round() / 10.0),
        System::Si => format!("{} m", (value * 2.54).round() / 100.0),
    }
}

/// A position on the floor, in feet or metres.
fn position(bid: &Bid, value: f64) -> String {
    // A hair before the wall is at the wall.
    let value = value.max(0.0);
    match bid.ledger.system {
        System::Us => format!("{:.1}", value / 12.0),
        System::Si => format!("{:.2}", value * 0.0254),
    }
}

/// A place on the floor, in feet or metres.
pub(super) fn spot(bid: &Bid, at: Point) -> String {
    let unit = match bid.ledger.system {
        System::Us => "ft",
        System::Si => "m",
    };
    let (x, y) = (position(bid, at.x), position(bid, at.y));
    format!("x {x}, y {y} {unit}")
}

/// Prints what is known of a room.
pub(super) fn show(bid: &Bid, room: &Room<'_>, terminal: &mut Terminal<'_>) {
    let survey = room.survey;
    let surface = &survey.surface;
    terminal.line(format!(
        "{}: {} readings about {} apart, {}",
        room.name,
        surface.readings(),
        length(bid, survey.spacing()),
        written(bid, surface.area(), Dimension::AREA)
    ));
    let fit = plane::fit(surface);
    terminal.line(format!(
        "  Level: falls {} from end to end. Flat: waves up to {} above and {} below that slope.",
        length(bid, fit.fall),
        length(bid, fit.most_above),
        length(bid, fit.most_below)
    ));
    let judged = judged(bid, room);
    terminal.line(table(
        &["Straightedge", "Allowed", "Found", "Verdict", "Source"],
        &[1, 2],
        judged
            .iter()
            .map(|judged| {
                vec![
                    straightedge(bid, judged.tolerance.length),
                    length(bid, judged.tolerance.gap),
                    found(bid, judged),
                    match judged.verdict() {
                        Verdict::Flat => "flat enough",
                        Verdict::NotFlat => "NOT FLAT",
                        Verdict::TooCoarse => "cannot tell: readings too far apart",
                    }
                    .to_owned(),
                    judged.tolerance.source.to_owned(),
                ]
            })
            .collect(),
    ));
    // Where a limit is broken, its places are what to mend.
    let broken = |judged: &&Judged| judged.verdict() == Verdict::NotFlat;
    if let Some(worst) = judged.iter().find(broken).or(judged.first()) {
        for place in &worst.worst {
            terminal.line(format!(
                "  {} at {}, under a straightedge from {}, {} to {}, {}",
                length(bid, place.gap),
                spot(bid, place.at),
                position(bid, place.from.x),
                position(bid, place.from.y),
                position(bid, place.to.x),
                position(bid, place.to.y),
            ));
        }
    }
    match verdict::f_numbers_of(survey) {
        Ok(numbers) => {
            let shown = |f: &FNumber| format!("{:.1} ({:.1} to {:.1})", f.value, f.low, f.high);
            terminal.line(format!(
                "  FF {} and FL {}, 90 % intervals in brackets (ASTM E1155)",
                shown(&numbers.overall.flatness),
                shown(&numbers.overall.levelness)
            ));
        }
        Err(why) => terminal.line(format!("  No F-numbers: {why}.")),
    }
    terminal.line("");
    if let Some(terms) = terms(bid, room.row) {
        ways::show(bid, survey, &terms, terminal);
        show_sureness(bid, survey, &terms, terminal);
        show_edges(bid, survey, &terms, terminal);
    }
    terminal.line("");
}

/// How deep the pour stands along walls and at openings.
fn show_edges(bid: &Bid, survey: &FloorSurvey, terms: &Terms, terminal: &mut Terminal<'_>) {
    let level = survey
        .finish()
        .unwrap_or(survey.surface.highest() + terms.cover);
    let walls = walls::walls(survey, level)
        .into_iter()
        .map(|wall| ("wall", wall));
    let openings = walls::openings(survey, level).into_iter();
    let edges: Vec<_> = walls
        .chain(openings.map(|opening| ("opening", opening)))
        .collect();
    let place = |at: Point| format!("{}, {}", position(bid, at.x), position(bid, at.y));
    let rows = edges.iter().take(MOST_EDGES).map(|(what, along)| {
        vec![
            (*what).to_owned(),
            place(along.from),
            place(along.to),
            straightedge(bid, along.length()),
            length(bid, along.shallowest),
            length(bid, along.deepest),
        ]
    });
    terminal.line("");
    terminal.line(table(
        &[
            "Edge",
            "From x, y",
            "To x, y",
            "Length",
            "Least depth",
            "Greatest",
        ],
        &[3, 4, 5],
        rows.collect(),
    ));
    if edges.len() > MOST_EDGES {
        terminal.line(format!("  … and {} more", edges.len() - MOST_EDGES));
    }
    terminal.line("  The perimeter strip must stand above the pour: higher than the greatest depth of its wall.");
}

/// How sure the volume is, by how exact the readings are and how far apart.
fn show_sureness(bid: &Bid, survey: &FloorSurvey, terms: &Terms, terminal: &mut Terminal<'_>) {
    let Some(accuracy) = survey.sheet.accuracy else {
        terminal.line("  How sure is that? State Accuracy on the sheet of readings to know.");
        return;
    };
    let range = match sureness::sureness(&survey.surface, accuracy) {
        Ok(range) => range,
        Err(why) => return terminal.line(format!("  How sure is that? Not known: {why}.")),
    };
    let area = survey.surface.area();
    let in_place = |depth: f64| area * (depth + terms.cover);
    let bags = |depth: f64| terms.rates.bags(in_place(depth));
    terminal.line(format!(
        "  How sure is that? Over the true highest spot: one time in ten under {} ({} bags), half the time under {} ({}), nine times in ten under {} ({}).",
        written(bid, in_place(range.p10), Dimension::VOLUME),
        bags(range.p10),
        written(bid, in_place(range.p50), Dimension::VOLUME),
        bags(range.p50),
        written(bid, in_place(range.p90), Dimension::VOLUME),
        bags(range.p90),
    ));
    if survey.surface.readings() <= MOST_FOR_HALF
        && let Ok(half) = sureness::width_at_half_spacing(&survey.surface, accuracy)
    {
        terminal.line(format!(
            "  Readings half as far apart would narrow that from {} to about {}.",
            written(bid, area * range.width(), Dimension::VOLUME),
            written(bid, area * half.min(range.width()), Dimension::VOLUME)
        ));
    }
}
