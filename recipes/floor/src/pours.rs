//! Ways to pour a floor, with what each takes.

use crate::grind::{GrindOption, GrindRates, cheapest};
use crate::level::{Below, above, below, between_depths};
use crate::survey::FloorSurvey;

/// Deepest that grinding is looked at: beyond it reinforcement, heating or tendons may lie, and
/// other machines do the work.
pub const MOST_GROUND: f64 = 0.5;

/// What the pour is asked to keep, and what it costs; lengths in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terms {
    /// Least depth over the highest spot.
    pub cover: f64,
    /// Thinnest single lift.
    pub thinnest: f64,
    /// Thickest single lift.
    pub thickest: f64,
    /// Costs.
    pub rates: GrindRates,
    /// Whether the price book has a rate for grinding.
    pub can_grind: bool,
}

/// One way to pour.
#[derive(Clone, Debug, PartialEq)]
pub struct PourOption {
    /// What is done.
    pub what: &'static str,
    /// Level of the finished pour, in the heights of the readings.
    pub level: f64,
    /// How much comes off the highest spot.
    pub off: f64,
    /// Area and volume ground off.
    pub ground: Below,
    /// Area and volume in place.
    pub poured: Below,
    /// Greatest depth.
    pub deepest: f64,
    /// Thinner than a lift may be; one lift; more than one lift.
    pub classes: [Below; 3],
    /// Whole bags with waste.
    pub bags: f64,
    /// Cost of material, pouring labour and grinding.
    pub cost: f64,
}

/// The ways to pour a floor: over its highest spot, with the cheapest grinding, and up to the
/// level at which it must end where the sheet states one.
pub fn options(survey: &FloorSurvey, terms: &Terms) -> Vec<PourOption> {
    let surface = &survey.surface;
    let (cover, rates) = (terms.cover, &terms.rates);
    let plain = cheapest(surface, cover, rates, 0.0);
    let mut options = vec![of_grind("cover the highest spot", survey, terms, &plain)];
    if terms.can_grind {
        let best = cheapest(surface, cover, rates, MOST_GROUND);
        let what = if best.off > 0.0 {
            "grind first: cheapest"
        } else {
            "grind first: never pays"
        };
        options.push(of_grind(what, survey, terms, &best));
    }
    if let Some(finish) = survey.finish() {
        options.push(up_to("end at the finish level", survey, terms, finish));
    }
    options
}

fn of_grind(
    what: &'static str,
    survey: &FloorSurvey,
    terms: &Terms,
    option: &GrindOption,
) -> PourOption {
    let surface = &survey.surface;
    let top = surface.highest() - option.off;
    PourOption {
        what,
        level: top + terms.cover,
        off: option.off,
        ground: Below {
            area: option.area,
            volume: option.ground,
        },
        poured: Below {
            area: surface.area(),
            volume: option.filled,
        },
        deepest: top + terms.cover - surface.lowest(),
        classes: classes(survey, terms, top + terms.cover, terms.cover, option.area),
        bags: option.bags,
        cost: option.cost,
    }
}

/// Up to a level; what stands above it is ground off.
fn up_to(what: &'static str, survey: &FloorSurvey, terms: &Terms, level: f64) -> PourOption {
    let surface = &survey.surface;
    let ground = above(surface, level);
    let poured = below(surface, level);
    let to_grind = (ground.area > 0.0).then_some(ground);
    PourOption {
        what,
        level,
        off: (surface.highest() - level).max(0.0),
        ground,
        poured,
        deepest: (level - surface.lowest()).max(0.0),
        classes: classes(survey, terms, level, 0.0, 0.0),
        bags: terms.rates.bags(poured.volume),
        cost: terms.rates.cost(to_grind, poured.volume),
    }
}

/// Area and volume by depth. What was ground is as deep as the cover.
fn classes(survey: &FloorSurvey, terms: &Terms, level: f64, cover: f64, ground: f64) -> [Below; 3] {
    let surface = &survey.surface;
    let between = |from: f64, to: f64| between_depths(surface, level, from.max(cover), to);
    let mut classes = [
        between(0.0, terms.thinnest),
        between(terms.thinnest, terms.thickest),
        between(terms.thickest, f64::INFINITY),
    ];
    for class in &mut classes {
        class.area = class.area.max(0.0);
        class.volume = class.volume.max(0.0);
    }
    let of_cover = if cover < terms.thinnest {
        0
    } else if cover < terms.thickest {
        1
    } else {
        2
    };
    classes[of_cover].area += ground;
    classes[of_cover].volume += ground * cover;
    classes
}
