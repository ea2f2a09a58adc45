//! Rooms that adjoin, as `survey` compares and shows them.

use engine::bid::Bid;
use engine::diag::{Diagnostic, Findings, Outcome, Place};
use engine::quantity::{Dimension, System};
use engine::trail::Kind;
use floor::adjoin::{self, Clash, Compared, Joint, Pour, Side, Transition, Way};
use serde_json::{Value, json};

use super::show::{length, straightedge, written};
use super::{Room, number, single, terms};
use crate::print::{Terminal, table};

/// Two surveyed rooms with doorways between them.
pub(super) struct Pair<'a> {
    rooms: [Room<'a>; 2],
    joint: Joint,
    /// What pouring them costs; nothing where one of them has no leveler.
    priced: Option<([Side<'a>; 2], Compared)>,
}

impl Pair<'_> {
    /// Whether a room is one of the two.
    pub(super) fn has(&self, room: &Room<'_>) -> bool {
        self.rooms.iter().any(|one| one.row == room.row)
    }
}

/// The rooms that adjoin.
///
/// # Errors
/// Names both sheets of rooms that cannot lie as they say.
pub(super) fn pairs<'a>(bid: &Bid, rooms: &[Room<'a>]) -> Outcome<Vec<Pair<'a>>> {
    let floors: Vec<_> = rooms.iter().map(|room| room.survey).collect();
    let joints = adjoin::joints(&floors).map_err(|clashes| {
        let mut findings = Findings::new();
        for ([a, b], clash) in clashes {
            findings.push(clashing(bid, [&rooms[a], &rooms[b]], clash));
        }
        findings
    })?;
    let paired = joints.into_iter().map(|joint| {
        let rooms = joint.rooms.map(|at| rooms[at]);
        let priced = sides(bid, &rooms).map(|sides| {
            let compared = adjoin::compare(&sides, &joint.doorways, dam_rate(bid));
            (sides, compared)
        });
        Pair {
            rooms,
            joint,
            priced,
        }
    });
    Ok(paired.collect())
}

fn clashing(bid: &Bid, rooms: [&Room<'_>; 2], clash: Clash) -> Diagnostic {
    let [a, b] = rooms.map(|room| room.name);
    let [here, there] = rooms.map(|room| {
        let in_plan = room.survey.sheet.in_plan.as_ref();
        in_plan.map_or(Place::Nowhere, |plan| plan.place.clone())
    });
    let (what, hint) = match clash {
        Clash::Overlap(deep) => (
            format!("the floors of {a} and {b} overlap by {}", length(bid, deep)),
            "Origin is x and y of the sheet's 0, 0 in a plan common to all rooms, in feet or metres. Rooms above each other have lines of their own.",
        ),
        Clash::RodAndElevation => (
            format!(
                "{a} and {b} state the same Line, but one has rod readings and the other elevations"
            ),
            "Rod readings count down from a laser line, elevations up from a datum: name two lines, or write both sheets the same way.",
        ),
    };
    Diagnostic::error(what)
        .at(here)
        .related(there, format!("the sheet of {b}"))
        .hint(hint)
}

fn sides<'a>(bid: &Bid, rooms: &[Room<'a>; 2]) -> Option<[Side<'a>; 2]> {
    let side = |room: &Room<'a>| {
        Some(Side {
            survey: room.survey,
            terms: terms(bid, room.row)?,
            leveler: number(bid, room.row, "leveler")?,
        })
    };
    Some([side(&rooms[0])?, side(&rooms[1])?])
}

/// The price of a dam for each inch, where the price book has one by length.
fn dam_rate(bid: &Bid) -> Option<f64> {
    let id = bid.ledger.single_named("rate_dam")?;
    let by_length = Dimension::MONEY.per(Dimension::LENGTH).ok()?;
    let is_by_length = bid.ledger.single(id).kind == Kind::Number(by_length);
    is_by_length.then(|| single(bid, "rate_dam"))?
}

/// Prints the pairs, after their rooms.
pub(super) fn show(bid: &Bid, pairs: &[&Pair<'_>], terminal: &mut Terminal<'_>) {
    for pair in pairs {
        show_pair(bid, pair, terminal);
        terminal.line("");
    }
    if pairs.len() > 1 {
        terminal.line("Rooms that adjoin are compared two by two: one level through more of them is not looked at.");
    }
}

fn show_pair(bid: &Bid, pair: &Pair<'_>, terminal: &mut Terminal<'_>) {
    let names = pair.rooms.map(|room| room.name);
    let widths = pair.joint.doorways.iter().map(|d| d.width());
    let widths: Vec<String> = widths.map(|width| straightedge(bid, width)).collect();
    let (a, b, open) = (names[0], names[1], widths.join(" and "));
    terminal.line(format!("{a} and {b} adjoin; open between them: {open}"));
    let Some((sides, compared)) = &pair.priced else {
        return terminal.line("  To compare ways to pour them, both need a leveler.");
    };
    terminal.line(table(
        &[
            "Pour",
            "Room",
            "Level reads",
            "Mean depth",
            "Deepest",
            "In place",
            "Bags",
            "Cost",
        ],
        &[2, 3, 4, 5, 6, 7],
        rows(bid, names, sides, compared),
    ));
    for line in verdict(bid, names, compared)
        .into_iter()
        .chain(step(bid, names, compared))
        .chain(cautions(bid, names, sides, compared))
    {
        terminal.line(format!("  {line}"));
    }
    terminal.line("  Without grinding, and without the floor within the doorway, which no reading shows. End levels at a doorway: tile forgives a floor out of level, not a step within it.");
}

fn rows(
    bid: &Bid,
    names: [&str; 2],
    sides: &[Side<'_>; 2],
    compared: &Compared,
) -> Vec<Vec<String>> {
    let money = |value: f64| written(bid, value, Dimension::MONEY);
    let volume = |value: f64| written(bid, value, Dimension::VOLUME);
    let blanks = |count: usize| vec![String::new(); count];
    let mut rows = Vec::new();
    let mut add = |what: &str, way: &Way, dam: bool| {
        for ((name, side), pour) in names.iter().zip(sides).zip(way.pours) {
            let mut row = vec![what.to_owned(), (*name).to_owned()];
            row.push(length(bid, side.survey.sheet.turned(pour.level)));
            row.extend([length(bid, pour.mean), length(bid, pour.deepest)]);
            row.extend([volume(pour.volume), format!("{}", pour.bags)]);
            row.push(String::new());
            rows.push(row);
        }
        if dam {
            let size = straightedge(bid, compared.dam.length);
            let cost = compared.dam.cost.map_or("no rate".to_owned(), money);
            let mut row = vec![what.to_owned(), format!("dam, {size}")];
            row.extend(blanks(2));
            row.push(length(bid, compared.dam.height));
            row.extend(blanks(2));
            row.push(cost);
            rows.push(row);
        }
        let mut row = vec![what.to_owned(), "both".to_owned()];
        row.extend(blanks(3));
        row.push(volume(way.pours[0].volume + way.pours[1].volume));
        row.extend([format!("{}", way.bags), money(way.cost)]);
        rows.push(row);
    };
    if let Some(one) = &compared.one {
        add("one level", one, false);
    }
    add("two levels", &compared.two, true);
    rows
}

/// Which way is cheaper, and by how much.
fn verdict(bid: &Bid, [a, b]: [&str; 2], compared: &Compared) -> Vec<String> {
    let mut lines = Vec::new();
    let ways = compared.one.iter().chain([&compared.two]);
    let to_grind = ways
        .flat_map(|way| way.pours)
        .any(|pour| pour.shallowest < -1e-6);
    let without = match (compared.dam.cost.is_none(), to_grind) {
        (false, false) => "",
        (true, false) => ", the dam not counted",
        (false, true) => ", the grinding that it takes not counted",
        (true, true) => ", the dam and the grinding that it takes not counted",
    };
    let difference = compared.two_over_one();
    let money = |value: f64| written(bid, value, Dimension::MONEY);
    lines.push(match difference {
        None => format!(
            "{a} and {b} must end at levels of their own: there is no one level through both."
        ),
        // Less than prices are written to.
        Some(more) if more.abs() < 0.05 => format!("Both ways cost the same{without}."),
        Some(more) if more > 0.0 => {
            format!("One level costs {} less{without}.", money(more))
        }
        Some(less) => format!("Two levels cost {} less{without}.", money(-less)),
    });
    if compared.dam.cost.is_none() {
        lines.push(
            "The price book has no rate for a dam: add dam, by length, to count it.".to_owned(),
        );
    }
    lines
}

/// The step at the doorway, and what it asks for.
fn step(bid: &Bid, [a, b]: [&str; 2], compared: &Compared) -> Option<String> {
    let step = compared.step();
    if step.abs() < 1e-6 {
        return Some(format!(
            "{a} and {b} come to the same level by themselves: no step at the doorway."
        ));
    }
    let (upper, lower) = if step > 0.0 { (b, a) } else { (a, b) };
    let (upright, bevelled) = (
        length(bid, adjoin::MOST_UPRIGHT),
        length(bid, adjoin::MOST_BEVELLED),
    );
    let transition = adjoin::transition(step);
    // Rounding must not make a step look allowed.
    let mut high = length(bid, step.abs());
    let over = match transition {
        Transition::Upright => None,
        Transition::Bevel(_) => Some(&upright),
        Transition::Ramp(_) => Some(&bevelled),
    };
    if over == Some(&high) {
        high = format!("just over {high}");
    }
    let asks = match transition {
        Transition::Upright => format!("up to {upright} it may stand upright"),
        Transition::Bevel(run) => format!(
            "CAUTION: over {upright} it needs a transition, bevelled 1:2 at most, {} long or more",
            rounded_up(bid, run)
        ),
        Transition::Ramp(run) => format!(
            "CAUTION: over {bevelled} it needs a ramp, 1:12 at most, {} long or more",
            rounded_up(bid, run)
        ),
    };
    Some(format!(
        "On two levels {upper} ends {high} above {lower}; {asks} (ADA Standards 303). What the coverings add or take counts too; local code governs."
    ))
}

/// A least length: never rounded to less than it is.
fn rounded_up(bid: &Bid, value: f64) -> String {
    let step = match bid.ledger.system {
        System::Us => 1.0 / 16.0,
        System::Si => 1.0 / 25.4,
    };
    length(bid, (value / step - 1e-6).ceil() * step)
}

/// What a leveler or a floor does not allow, and whose floor one level raises.
fn cautions(
    bid: &Bid,
    names: [&str; 2],
    sides: &[Side<'_>; 2],
    compared: &Compared,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut look = |what: &str, way: &Way| {
        for ((name, side), pour) in names.iter().zip(sides).zip(way.pours) {
            let over = -pour.shallowest;
            if over > 1e-6 {
                lines.push(format!(
                    "{what}: the floor of {name} stands up to {} above it; grind it down there first (not in the cost).",
                    length(bid, over)
                ));
            } else if pour.shallowest < side.terms.thinnest - 1e-6 {
                lines.push(format!(
                    "{what}: the pour in {name} is as thin as {}, less than its leveler allows ({}).",
                    length(bid, pour.shallowest),
                    length(bid, side.terms.thinnest)
                ));
            }
            if pour.deepest > side.terms.thickest + 1e-6 {
                lines.push(format!(
                    "{what}: the pour in {name} is deeper than one lift of its leveler ({}).",
                    length(bid, side.terms.thickest)
                ));
            }
        }
    };
    if let Some(one) = &compared.one {
        look("One level", one);
    }
    look("Two levels", &compared.two);
    if let Some(one) = &compared.one {
        for (at, name) in names.iter().enumerate() {
            let raised = one.pours[at].level - compared.two.pours[at].level;
            if raised > 1e-6 {
                lines.push(format!(
                    "One level raises {name} by {}: look at its other doorways, doors and fixtures.",
                    length(bid, raised)
                ));
            }
        }
    }
    lines
}

/// A pair for other programs.
pub(super) fn to_json(pair: &Pair<'_>) -> Value {
    let pours = |way: &Way| -> Value {
        let named = pair.rooms.iter().zip(way.pours);
        named
            .map(|(room, pour)| pour_json(room.name, pour))
            .collect()
    };
    let way = |way: &Way| {
        json!({
            "rooms": pours(way),
            "bags": way.bags,
            "cost": way.cost,
        })
    };
    let compared = pair.priced.as_ref().map(|(_, compared)| compared);
    json!({
        "rooms": pair.rooms.map(|room| room.name),
        "doorways": pair.joint.doorways.iter().map(|d| d.width()).collect::<Value>(),
        "one_level": compared.and_then(|c| c.one.as_ref()).map(way),
        "two_levels": compared.map(|c| way(&c.two)),
        "dam": compared.map(|c| json!({
            "length": c.dam.length,
            "height": c.dam.height,
            "cost": c.dam.cost,
        })),
        "step": compared.map(Compared::step),
        "two_levels_cost_more_by": compared.and_then(Compared::two_over_one),
    })
}

fn pour_json(room: &str, pour: Pour) -> Value {
    json!({
        "room": room,
        "level": pour.level,
        "volume": pour.volume,
        "mean_depth": pour.mean,
        "shallowest": pour.shallowest,
        "deepest": pour.deepest,
        "bags": pour.bags,
    })
}
