use super::hypsometry::Hypsometry;
use super::*;
use crate::level;
use crate::surface::Surface;
use crate::surface_tests::{Dice, agree, floor};

fn rates() -> GrindRates {
    GrindRates {
        set_up: 150.0,
        per_area: 0.02,
        per_volume: 0.1,
        bag: 38.0,
        bag_yield: 800.0,
        pour: 0.004,
        waste: 0.07,
    }
}

/// A rough floor read to a 16th of an inch, so that some of it is quite flat.
fn rough(dice: &mut Dice) -> Surface {
    let columns = 2 + (dice.part() * 5.0) as usize;
    let rows = 2 + (dice.part() * 5.0) as usize;
    let relief = dice.between(1.0, 24.0);
    floor(columns, rows, dice.between(6.0, 48.0), |_, _| {
        (dice.part() * relief).floor() / 16.0
    })
}

fn some_rates(dice: &mut Dice) -> GrindRates {
    GrindRates {
        set_up: dice.between(0.0, 40.0),
        per_area: dice.between(0.0, 0.01),
        per_volume: dice.between(0.0, 0.05),
        bag: dice.between(0.0, 50.0),
        bag_yield: dice.between(400.0, 900.0),
        pour: dice.between(0.0, 0.02),
        waste: dice.between(0.0, 0.15),
    }
}

/// The same cost by the plain way: over all triangles, with nothing kept.
fn plain(surface: &Surface, cover: f64, rates: &GrindRates, off: f64) -> f64 {
    let ground_to = surface.highest() - off;
    // A hair up: what lies right at the level is not ground.
    let above = level::above(surface, ground_to + 1e-12);
    let fill = level::below(surface, ground_to).volume + cover * surface.area();
    let mixed = fill * (1.0 + rates.waste);
    let bags = ((mixed / rates.bag_yield * 1e6).round() / 1e6).ceil();
    let grinding = above.area * rates.per_area + above.volume * rates.per_volume;
    let set_up = if off > 0.0 { rates.set_up } else { 0.0 };
    set_up + grinding + bags * rates.bag + mixed * rates.pour
}

#[test]
fn the_curve_of_a_floor_is_what_a_count_over_its_triangles_gives() {
    let mut dice = Dice(1);
    for _ in 0..100 {
        let surface = rough(&mut dice);
        let (low, high) = (surface.lowest(), surface.highest());
        let kept = Hypsometry::new(&surface, low);
        for _ in 0..50 {
            let at = dice.between(low, high + 0.1);
            let (quick, slow) = (kept.below(at), level::below(&surface, at));
            assert!(agree(quick.area, slow.area, 1e-9), "{quick:?} {slow:?}");
            assert!(agree(quick.volume, slow.volume, 1e-9), "{quick:?} {slow:?}");
        }
    }
}

#[test]
fn nearly_flat_triangles_cost_no_digits() {
    let mut dice = Dice(2);
    let surface = floor(8, 8, 12.0, |x, _| x / 100.0 + 1e-9 * dice.part());
    let kept = Hypsometry::new(&surface, surface.lowest());
    for _ in 0..500 {
        let at = dice.between(surface.lowest(), surface.highest());
        let (quick, slow) = (kept.below(at), level::below(&surface, at));
        assert!(agree(quick.volume, slow.volume, 1e-9), "{quick:?} {slow:?}");
    }
}

#[test]
fn nothing_is_cheaper_than_the_cheapest() {
    let mut dice = Dice(3);
    let mut ground = 0;
    for _ in 0..60 {
        let (surface, rates) = (rough(&mut dice), some_rates(&mut dice));
        let most = dice.between(0.0, 1.2) * (surface.highest() - surface.lowest());
        let cover = dice.between(0.0, 0.25);
        let best = cheapest(&surface, cover, &rates, most);
        assert!(best.off <= most + 1e-12);
        let again = plain(&surface, cover, &rates, best.off);
        assert!(agree(best.cost, again, 1e-9), "{best:?} {again}");
        ground += u32::from(best.off > 0.0);
        let most = most.min(surface.highest() - surface.lowest());
        for part in 0..=800 {
            let off = most * f64::from(part) / 800.0;
            let cost = plain(&surface, cover, &rates, off);
            // A rounding of a bag's millionth is worth so much.
            assert!(best.cost <= cost + 1e-4, "{best:?} {off} {cost}");
        }
    }
    assert!((12..=48).contains(&ground), "both answers occur: {ground}");
}

#[test]
fn a_wedge_is_ground_to_where_its_grinding_pays() {
    // A floor of 20 by 10 that rises evenly by 2: at `off` from the top, the ground area
    // is A off/2, the volume ground A off²/4, the fill A (2 - off)²/4. With grinding paid
    // by area a and pouring by volume p, and nothing else, the cost is least where
    // a A/2 = p A (2 - off)/2, at off = 2 - a/p.
    let surface = floor(21, 11, 1.0, |x, _| x / 10.0);
    let rates = GrindRates {
        set_up: 0.0,
        per_area: 3.0,
        per_volume: 0.0,
        bag: 0.0,
        bag_yield: 1.0,
        pour: 4.0,
        waste: 0.0,
    };
    let best = cheapest(&surface, 0.5, &rates, 2.0);
    assert!(agree(best.off, 1.25, 1e-9), "{best:?}");
    assert!(agree(best.area, 125.0, 1e-9), "{best:?}");
    assert!(
        agree(best.ground, 200.0 * 1.25 * 1.25 / 4.0, 1e-9),
        "{best:?}"
    );
    assert!(
        agree(best.filled, 200.0 * (0.75 * 0.75 / 4.0 + 0.5), 1e-9),
        "{best:?}"
    );
    assert!(
        agree(best.cost, 3.0 * 125.0 + 4.0 * best.filled, 1e-9),
        "{best:?}"
    );
}

#[test]
fn what_is_ground_comes_out_of_what_is_filled() {
    // The pour goes down by `off` over the whole floor; where it was ground it takes
    // back what came off.
    let surface = rough(&mut Dice(4));
    let options = curve(&surface, 0.25, &rates(), 9.0);
    for option in &options {
        let saved = options[0].filled - option.filled;
        let lowered = option.off * surface.area();
        assert!(agree(saved, lowered - option.ground, 1e-9), "{option:?}");
    }
}

#[test]
fn the_curve_takes_each_bag_in_turn_and_touches_the_cheapest() {
    let mut dice = Dice(5);
    for _ in 0..60 {
        let (surface, rates) = (rough(&mut dice), some_rates(&mut dice));
        let options = curve(&surface, 0.125, &rates, 0.5);
        assert!(options[0].off == 0.0 && options[0].ground == 0.0);
        for pair in options.windows(2) {
            assert!(pair[0].off < pair[1].off);
            let fewer = pair[0].bags - pair[1].bags;
            assert!(fewer == 0.0 || fewer == 1.0, "{pair:?}");
        }
        for option in &options {
            let least = [
                option.off,
                option.area,
                option.ground,
                option.filled,
                option.cost,
            ];
            assert!(least.iter().all(|number| *number >= 0.0), "{option:?}");
        }
        let least = options.iter().map(|o| o.cost).fold(f64::INFINITY, f64::min);
        let best = cheapest(&surface, 0.125, &rates, 0.5);
        assert!(agree(least, best.cost, 1e-12), "{best:?} {least}");
    }
}

#[test]
fn free_grinding_never_makes_it_dearer_and_dear_grinding_never_pays() {
    let mut dice = Dice(6);
    for _ in 0..60 {
        let (surface, some) = (rough(&mut dice), some_rates(&mut dice));
        let free = GrindRates {
            set_up: 0.0,
            per_area: 0.0,
            per_volume: 0.0,
            ..some
        };
        for pair in curve(&surface, 0.125, &free, 9.0).windows(2) {
            assert!(pair[1].cost <= pair[0].cost + 1e-9, "{pair:?}");
        }
        let dear = GrindRates {
            set_up: 1e9,
            ..some
        };
        assert_eq!(cheapest(&surface, 0.125, &dear, 9.0).off, 0.0);
    }
}

#[test]
fn a_flat_floor_and_bad_numbers_do_no_harm() {
    let flat = floor(3, 3, 10.0, |_, _| 2.0);
    let options = curve(&flat, 0.5, &rates(), 1.0);
    assert_eq!(options.len(), 1, "there is nothing to grind: {options:?}");
    assert_eq!(options[0].filled, 200.0);
    let surface = rough(&mut Dice(7));
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e-300, 1e300] {
        let broken = GrindRates {
            bag_yield: bad,
            ..rates()
        };
        assert!(!curve(&surface, 0.125, &broken, 0.5).is_empty());
        assert!(!curve(&surface, bad, &rates(), 0.5).is_empty());
        assert!(!curve(&surface, 0.125, &rates(), bad).is_empty());
    }
    let unknown = GrindRates {
        bag: f64::NAN,
        ..rates()
    };
    assert!(cheapest(&surface, 0.125, &unknown, 0.5).cost.is_nan());
}

#[test]
fn the_short_curve_is_the_curve_with_the_cheapest_among_its_steps() {
    let mut dice = Dice(9);
    let mut ground = 0;
    for _ in 0..200 {
        let surface = rough(&mut dice);
        let rates = some_rates(&mut dice);
        let (step, most) = (1.0 / 16.0, 0.5);
        let (options, best) = short_curve(&surface, 0.125, &rates, most, step);
        let cheapest = cheapest(&surface, 0.125, &rates, most);
        assert_eq!(options[best], cheapest);
        assert_eq!(options[0].off, 0.0);
        let steps = (most.min(surface.highest() - surface.lowest()) / step) as usize + 1;
        assert!((steps..=steps + 1).contains(&options.len()) && options.len() <= 9);
        for (at, option) in options.iter().enumerate() {
            assert!(option.cost >= cheapest.cost);
            assert!((option.off - at as f64 * step).abs() <= step + 1e-9);
            assert!(agree(
                option.cost,
                plain(&surface, 0.125, &rates, option.off),
                1e-9
            ));
        }
        assert!(options.windows(2).all(|pair| pair[0].off < pair[1].off));
        ground += usize::from(best > 0);
    }
    assert!((20..200).contains(&ground), "{ground}");
}
