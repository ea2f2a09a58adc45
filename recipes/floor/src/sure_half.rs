//! What readings at half the spacing would buy.

use crate::sure_draws::{Draws, Known};
use crate::sure_floor::Floor;
use crate::sure_lattice::{Lattice, MOST_READINGS, Spot};
use crate::sure_model::Model;
use crate::sure_random::Random;
use crate::sureness::Sureness;
use crate::surface::{Point, Reading};

/// Floors on which it is tried.
const TRIALS: usize = 8;
/// Draws from which each range is taken.
const DRAWS: usize = 60;
const SEED: u64 = 2;

/// The share of the range's width that would be left. Floors that agree with the readings
/// are drawn and read again, in their high part, at half the spacing; the width before and
/// after is compared under the same parameters. Nothing when no floor can be drawn.
pub(crate) fn share_left(floor: &Floor) -> Option<f64> {
    let mut random = Random::new(SEED);
    let (mut before, mut after) = (0.0, 0.0);
    for model in floor.some_models(TRIALS) {
        let now = Draws::new(model, &floor.known(), DRAWS, &mut random)?;
        before += Sureness::of(floor.depths_of(&now, &floor.lattice))?.width();
        after += width_read_again(floor, model, &now, &mut random)?;
    }
    if before > 0.0 {
        // More readings do not hurt; on large floors the trial is too rough to show it.
        Some((after / before).min(1.0))
    } else {
        // Nothing is unsure, and nothing is left to gain.
        Some(1.0)
    }
}

/// The width of the range when the first of the draws is the floor and is read again.
fn width_read_again(
    floor: &Floor,
    model: Model,
    draws: &Draws,
    random: &mut Random,
) -> Option<f64> {
    let old = floor.lattice.readings.iter().copied();
    let mut readings: Vec<Reading> = old.collect();
    readings.extend(floor.lattice.halves.iter().map(|at| Reading {
        at: *at,
        height: draws.one_at(0, *at) + floor.accuracy * random.normal(),
    }));
    let readings = about_the_highest(&readings, floor.spacing, |reading| {
        floor.height(reading.at) + reading.height
    });
    let is_near = |at: Point| {
        let mut distances = readings.iter().map(|reading| reading.at.distance(at));
        distances.any(|distance| distance < 0.4 * floor.spacing)
    };
    let mut lattice = Lattice {
        readings: Vec::new(),
        spots: Vec::new(),
        halves: Vec::new(),
        rest: floor.lattice.rest,
        step: floor.lattice.step,
    };
    for Spot { at, share } in &floor.lattice.spots {
        if is_near(*at) {
            lattice.spots.push(Spot {
                at: *at,
                share: *share,
            });
        } else {
            lattice.rest += share * (floor.height(*at) + draws.one_at(0, *at));
        }
    }
    let known = Known {
        near: &readings,
        ..floor.known()
    };
    let again = Draws::new(model, &known, DRAWS, random)?;
    Some(Sureness::of(floor.depths_of(&again, &lattice))?.width())
}

/// Readings at half the spacing whose neighbours reach highest; as many as can be treated in full.
fn about_the_highest(
    readings: &[Reading],
    spacing: f64,
    height: impl Fn(&Reading) -> f64,
) -> Vec<Reading> {
    let reach = |one: &Reading| {
        let close = readings
            .iter()
            .filter(|r| r.at.distance(one.at) <= 0.75 * spacing);
        close.map(&height).fold(f64::NEG_INFINITY, f64::max)
    };
    let mut order: Vec<(f64, Reading)> = readings.iter().map(|r| (reach(r), *r)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0));
    order.truncate(MOST_READINGS);
    order.into_iter().map(|(_, reading)| reading).collect()
}
