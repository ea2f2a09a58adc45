//! Grinding off the highest spots: what it costs, and what it saves in fill.
//!
//! The pour level follows the highest spot. Taking `off` from it lowers the level by as
//! much everywhere, so that a little grinding can save many bags.

mod hypsometry;
#[cfg(test)]
mod tests;

use engine::plugin::whole_up;

use crate::level::Below;
use crate::surface::Surface;
use hypsometry::{Hypsometry, Piece};

/// Even parts into which a curve is divided, for drawing.
const PARTS: u32 = 100;

/// Beyond so many bags to save, a bag is too small a step to look at one by one.
const MOST_STEPS: f64 = 20_000.0;

/// What grinding and filling cost. Areas and volumes are in the caller's unit of length,
/// squared and cubed. Rates are zero or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrindRates {
    /// To bring the grinder, once anything is ground.
    pub set_up: f64,
    /// For each area ground.
    pub per_area: f64,
    /// For each volume ground off.
    pub per_volume: f64,
    /// The price of a bag of fill.
    pub bag: f64,
    /// The volume that a bag fills; more than nothing.
    pub bag_yield: f64,
    /// Labour for each volume mixed and poured.
    pub pour: f64,
    /// The part of the fill that is lost, to add to what the floor takes: 0.1 is a tenth.
    pub waste: f64,
}

impl GrindRates {
    /// The volume to mix for a volume in place, with waste.
    fn mixed(&self, filled: f64) -> f64 {
        filled * (1.0 + self.waste)
    }

    /// Whole bags for a volume in place, with waste.
    pub fn bags(&self, filled: f64) -> f64 {
        whole_up(self.mixed(filled) / self.bag_yield)
    }

    /// What it costs to grind (nothing, where nothing is ground) and to fill a volume in place.
    pub fn cost(&self, ground: Option<Below>, filled: f64) -> f64 {
        let grinding = ground.map_or(0.0, |ground| {
            self.set_up + ground.area * self.per_area + ground.volume * self.per_volume
        });
        grinding + self.mixed(filled) * self.pour + self.bags(filled) * self.bag
    }
}

/// One way to do it: so much off the highest spot, and the rest filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GrindOption {
    /// How much comes off the highest spot, a height.
    pub off: f64,
    /// The area ground.
    pub area: f64,
    /// The volume ground off.
    pub ground: f64,
    /// The volume that the floor then takes, without waste.
    pub filled: f64,
    /// Whole bags for it, with waste.
    pub bags: f64,
    /// The cost of both: grinding and fill.
    pub cost: f64,
}

/// The cost by how much comes off, from nothing to `most`: even steps, every point at which
/// a bag less will do, and the cheapest. More than the floor's whole relief never comes off.
///
/// `cover` is the least depth of the pour over the highest spot that is left, zero or more.
/// A rate that is not a number makes costs that are none.
pub fn curve(surface: &Surface, cover: f64, rates: &GrindRates, most: f64) -> Vec<GrindOption> {
    let job = Job::new(surface, cover, rates, most);
    let mut levels: Vec<f64> = (0..=PARTS)
        .map(|part| job.highest() - job.most * f64::from(part) / f64::from(PARTS))
        .map(|level| level.max(job.bottom))
        .collect();
    levels.extend(job.steps());
    levels.push(job.cheapest().0);
    levels.sort_by(|a, b| b.total_cmp(a));
    levels.dedup();
    levels.into_iter().map(|level| job.option(level)).collect()
}

/// The curve in short: nothing off, then a step more each time up to `most`, with the cheapest in
/// place of the step next to it; and which of them is the cheapest. `step` is more than zero.
pub fn short_curve(
    surface: &Surface,
    cover: f64,
    rates: &GrindRates,
    most: f64,
    step: f64,
) -> (Vec<GrindOption>, usize) {
    let job = Job::new(surface, cover, rates, most);
    // A last step that misses the most by a rounding error is still one.
    let last = (job.most / step + 1e-9) as u32;
    let level = |count: u32| (job.highest() - step * f64::from(count)).max(job.bottom);
    let mut options: Vec<GrindOption> = (0..=last).map(|n| job.option(level(n))).collect();
    let (_, best) = job.cheapest();
    if best.off <= 0.0 {
        return (options, 0);
    }
    let nearest = ((best.off / step).round() as usize).clamp(1, options.len());
    if nearest == options.len() {
        options.push(best);
    } else {
        options[nearest] = best;
    }
    (options, nearest)
}

/// The cheapest way, taking off `most` at most; of equals the one with the least grinding.
///
/// It is exact: a cost can only be least where nothing is ground, where a bag drops out,
/// at the height of a corner, or where the cost of everything but bags is level. Where
/// grinding could save more than 20 000 bags, it is exact but for the price of one bag.
pub fn cheapest(surface: &Surface, cover: f64, rates: &GrindRates, most: f64) -> GrindOption {
    Job::new(surface, cover, rates, most).cheapest().1
}

/// A floor and what to do to it. Grinding is told by the level down to which it goes.
struct Job<'a> {
    floor: Hypsometry,
    rates: &'a GrindRates,
    cover: f64,
    most: f64,
    bottom: f64,
}

impl<'a> Job<'a> {
    fn new(surface: &Surface, cover: f64, rates: &'a GrindRates, most: f64) -> Self {
        let (lowest, highest) = (surface.lowest(), surface.highest());
        let most = most.min(highest - lowest).max(0.0);
        let bottom = (highest - most).max(lowest);
        Self {
            floor: Hypsometry::new(surface, bottom),
            rates,
            cover: cover.max(0.0),
            most,
            bottom,
        }
    }

    fn highest(&self) -> f64 {
        self.floor.highest
    }

    fn option(&self, level: f64) -> GrindOption {
        let above = self.floor.above(level);
        let filled = self.filled(level);
        let ground = (level < self.highest()).then_some(above);
        GrindOption {
            off: self.highest() - level,
            area: above.area,
            ground: above.volume,
            filled,
            bags: self.bags(level),
            cost: self.rates.cost(ground, filled),
        }
    }

    fn filled(&self, level: f64) -> f64 {
        self.floor.below(level).volume + self.floor.area * self.cover
    }

    fn bags(&self, level: f64) -> f64 {
        self.rates.bags(self.filled(level))
    }

    /// Bags and parts of one.
    fn need(&self, level: f64) -> f64 {
        self.rates.mixed(self.filled(level)) / self.rates.bag_yield
    }

    /// The highest level for each number of bags less than without grinding, downwards.
    fn steps(&self) -> Vec<f64> {
        let (first, last) = (self.bags(self.highest()), self.bags(self.bottom));
        let mut steps = Vec::new();
        if first - last <= MOST_STEPS {
            let mut above = self.highest();
            for fewer in 1..=(first - last) as u32 {
                above = self.step(first - f64::from(fewer), above);
                steps.push(above);
            }
        }
        steps
    }

    /// The highest level at which so many bags will do; at `dry` they do not.
    fn step(&self, bags: f64, mut dry: f64) -> f64 {
        let mut enough = self.bottom;
        loop {
            let middle = f64::midpoint(enough, dry);
            if middle <= enough || middle >= dry {
                return enough;
            }
            if self.need(middle) <= bags {
                enough = middle;
            } else {
                dry = middle;
            }
        }
    }

    fn cheapest(&self) -> (f64, GrindOption) {
        let mut levels = self.steps();
        levels.extend([self.highest(), self.bottom]);
        for piece in &self.floor.pieces {
            levels.push(piece.from);
            levels.extend(self.flat_points(piece));
        }
        levels.sort_by(|a, b| b.total_cmp(a));
        let nothing = (self.highest(), self.option(self.highest()));
        levels
            .into_iter()
            .map(|level| (level, self.option(level)))
            .fold(nothing, |best, next| {
                if next.1.cost < best.1.cost {
                    next
                } else {
                    best
                }
            })
    }

    /// Where within a piece the cost of everything but bags neither rises nor falls.
    fn flat_points(&self, piece: &Piece) -> impl Iterator<Item = f64> {
        let rates = self.rates;
        let [_, v1, v2, v3] = piece.volume;
        // As the level goes up, the volume to pour rises by the area below, the volume ground
        // falls by the area above, and the area ground falls by what the area below gains.
        let pour = rates.pour * (1.0 + rates.waste) + rates.per_volume;
        let slope = [
            pour * v1 - rates.per_volume * self.floor.area - rates.per_area * 2.0 * v2,
            pour * 2.0 * v2 - rates.per_area * 6.0 * v3,
            pour * 3.0 * v3,
        ];
        let (from, to) = (piece.from, piece.to);
        roots(slope)
            .into_iter()
            .map(move |up| from + up)
            .filter(move |level| from < *level && *level < to)
    }
}

/// Where a quadratic (the constant first) is zero; what is not a number is no such place.
fn roots([c, b, a]: [f64; 3]) -> [f64; 2] {
    // The sum of two of one sign: their difference would lose digits.
    let sum = b + (b * b - 4.0 * a * c).sqrt().copysign(b);
    [-2.0 * c / sum, -sum / (2.0 * a)]
}
