//! Rooms that adjoin: poured to one level through the doorway, or each to its own with a dam.
//!
//! Two surveyed rooms adjoin where both sheets state where they lie and that their heights count
//! from the same line, and where an opening is marked between them. Grinding is left out: the one
//! level is the lowest that covers both floors, and so the cheapest without a grinder.

use crate::adjoin_plan::{self, Footprint};
use crate::level::below;
use crate::pours::Terms;
use crate::surface::Point;
use crate::survey::FloorSurvey;
use crate::walls::Along;

pub use crate::adjoin_plan::Doorway;

/// Most that a floor may step without a transition, in inches (ADA Standards 303.2, from memory).
pub const MOST_UPRIGHT: f64 = 0.25;
/// Most that a step may be bevelled, in inches; more is a ramp (303.3 and 303.4, from memory).
pub const MOST_BEVELLED: f64 = 0.5;
/// Run for each rise of the steepest bevel (303.3, from memory).
const BEVEL: f64 = 2.0;
/// Run for each rise of the steepest ramp (405.2, from memory).
const RAMP: f64 = 12.0;
/// Levels and steps are sums: a hair over a limit is none.
const HAIR: f64 = 1e-6;

/// Two rooms with doorways between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// The numbers of the rooms, the lower first.
    pub rooms: [usize; 2],
    /// The doorways, at least one.
    pub doorways: Vec<Doorway>,
}

/// Why two rooms cannot be set side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clash {
    /// Their outlines overlap by so many inches.
    Overlap(f64),
    /// Rod readings in one, elevations in the other: those hang from a line above the floor,
    /// these stand on a datum.
    RodAndElevation,
}

/// A room of a pair, with what pouring it costs.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a> {
    /// Its floor.
    pub survey: &'a FloorSurvey,
    /// Its leveler and the rates.
    pub terms: Terms,
    /// The number of its leveler: rooms with the same one share its bags.
    pub leveler: f64,
}

/// The pour in one room; lengths in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pour {
    /// Level of the finished pour, in heights from the line.
    pub level: f64,
    /// Volume in place, where the floor lies below the level.
    pub volume: f64,
    /// Mean depth where it is poured; zero where nothing is.
    pub mean: f64,
    /// Least depth; below zero where the floor stands above the level.
    pub shallowest: f64,
    /// Greatest depth, zero at least.
    pub deepest: f64,
    /// Whole bags with waste, for this room alone.
    pub bags: f64,
}

/// A way to pour both rooms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// The pour in each room.
    pub pours: [Pour; 2],
    /// Whole bags for both: those of one leveler are rounded up together.
    pub bags: f64,
    /// Cost of material and pouring labour, and of the dam where it has a price.
    pub cost: f64,
}

/// The dam of the way with two levels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dam {
    /// The width of the doorways together.
    pub length: f64,
    /// The greatest depth of the higher pour along them.
    pub height: f64,
    /// What it costs; nothing where there is no rate.
    pub cost: Option<f64>,
}

/// Both ways to pour two rooms.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// One level through both; none where each must end at a level of its own.
    pub one: Option<Way>,
    /// Each at its own level.
    pub two: Way,
    /// The dam between the two levels.
    pub dam: Dam,
}

/// What a step in the floor asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Transition {
    /// Nothing: it may stand upright.
    Upright,
    /// A bevel at least so long.
    Bevel(f64),
    /// A ramp at least so long.
    Ramp(f64),
}

/// The pairs of rooms that adjoin, in their order.
///
/// # Errors
/// All pairs that state the same line and cannot lie as they say.
pub fn joints(floors: &[&FloorSurvey]) -> Result<Vec<Joint>, Vec<([usize; 2], Clash)>> {
    let mut found = Vec::new();
    let mut clashes = Vec::new();
    for (first, a) in floors.iter().enumerate() {
        for (second, b) in floors.iter().enumerate().skip(first + 1) {
            let (Some(at), Some(beside)) = (&a.sheet.in_plan, &b.sheet.in_plan) else {
                continue;
            };
            if at.line != beside.line {
                continue;
            }
            let rooms = [first, second];
            if a.sheet.rod != b.sheet.rod {
                clashes.push((rooms, Clash::RodAndElevation));
            }
            // Seen from the first room, so that it does not matter where the plan begins.
            let (here, there) = (at.origin, beside.origin);
            let one = Footprint::new(a, Point::new(0.0, 0.0));
            let other = Footprint::new(b, Point::new(there.x - here.x, there.y - here.y));
            if let Some(deep) = adjoin_plan::overlap(&one, &other) {
                clashes.push((rooms, Clash::Overlap(deep)));
                continue;
            }
            let doorways = adjoin_plan::doorways(&one, &other);
            if !doorways.is_empty() {
                found.push(Joint { rooms, doorways });
            }
        }
    }
    if clashes.is_empty() {
        Ok(found)
    } else {
        Err(clashes)
    }
}

/// Compares one level through both rooms with two levels and a dam; `dam` is its price for each
/// inch.
pub fn compare(sides: &[Side<'_>; 2], doorways: &[Doorway], dam: Option<f64>) -> Compared {
    let own = sides.each_ref().map(own_level);
    let dam = dam_between(sides, own, doorways, dam);
    let mut two = way(sides, own);
    two.cost += dam.cost.unwrap_or(0.0);
    let finishes = sides.each_ref().map(|side| side.survey.finish());
    let one = match finishes {
        [Some(a), Some(b)] if (a - b).abs() > HAIR => None,
        [Some(level), _] | [None, Some(level)] => Some(level),
        [None, None] => Some(own[0].max(own[1])),
    };
    Compared {
        one: one.map(|level| way(sides, [level, level])),
        two,
        dam,
    }
}

impl Compared {
    /// How much higher the second room ends than the first, where each has its own level.
    pub fn step(&self) -> f64 {
        let [first, second] = self.two.pours;
        second.level - first.level
    }

    /// How much more two levels cost than one; below zero where they cost less.
    pub fn two_over_one(&self) -> Option<f64> {
        Some(self.two.cost - self.one?.cost)
    }
}

/// What a step asks for where people must be able to roll or walk over it.
pub fn transition(step: f64) -> Transition {
    let step = step.abs();
    if step <= MOST_UPRIGHT + HAIR {
        Transition::Upright
    } else if step <= MOST_BEVELLED + HAIR {
        Transition::Bevel(step * BEVEL)
    } else {
        Transition::Ramp(step * RAMP)
    }
}

/// Where a room ends by itself: where it must, else over its highest spot.
fn own_level(side: &Side<'_>) -> f64 {
    let over = side.survey.surface.highest() + side.terms.cover;
    side.survey.finish().unwrap_or(over)
}

fn way(sides: &[Side<'_>; 2], levels: [f64; 2]) -> Way {
    let pours = [0, 1].map(|at| pour(&sides[at], levels[at]));
    let [a, b] = sides.each_ref().map(|side| &side.terms.rates);
    let volumes = pours.map(|pour| pour.volume);
    let (bags, cost) = if sides[0].leveler == sides[1].leveler {
        let both = volumes[0] + volumes[1];
        (a.bags(both), a.cost(None, both))
    } else {
        let cost = a.cost(None, volumes[0]) + b.cost(None, volumes[1]);
        (pours[0].bags + pours[1].bags, cost)
    };
    Way { pours, bags, cost }
}

fn pour(side: &Side<'_>, level: f64) -> Pour {
    let surface = &side.survey.surface;
    let poured = below(surface, level);
    let mean = if poured.area > 0.0 {
        poured.volume / poured.area
    } else {
        0.0
    };
    Pour {
        level,
        volume: poured.volume,
        mean,
        shallowest: level - surface.highest(),
        deepest: (level - surface.lowest()).max(0.0),
        bags: side.terms.rates.bags(poured.volume),
    }
}

fn dam_between(
    sides: &[Side<'_>; 2],
    levels: [f64; 2],
    doorways: &[Doorway],
    rate: Option<f64>,
) -> Dam {
    let higher = usize::from(levels[1] > levels[0]);
    let (surface, level) = (&sides[higher].survey.surface, levels[higher]);
    let depths = doorways.iter().map(|doorway| {
        let (from, to) = doorway.stretches[higher];
        let along = Along::new(surface, level, from, to);
        // A stretch that meets no floor: nowhere is the pour deeper than over the lowest spot.
        along.map_or(level - surface.lowest(), |along| along.deepest)
    });
    let length: f64 = doorways.iter().map(Doorway::width).sum();
    Dam {
        length,
        height: depths.fold(0.0, f64::max),
        cost: rate.map(|rate| rate * length),
    }
}
