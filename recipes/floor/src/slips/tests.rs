use std::f64::consts::TAU;

use super::*;
use crate::surface::{Extent, Reading};
use crate::surface_tests::{Dice, grid};

/// Readings of a wavy, tilted floor to a 16th of an inch: waves of 8 to 40 ft and up to 3/8 in
/// either way, tilted by up to 1 in, read with an error of a 32nd. On a grid, or anywhere.
fn wavy(dice: &mut Dice) -> Vec<Reading> {
    let waves: Vec<[f64; 4]> = (0..4)
        .map(|_| {
            let (angle, long) = (dice.between(0.0, TAU), dice.between(96.0, 480.0));
            let turns = TAU / long;
            let high = dice.between(0.0, 0.1);
            [
                turns * angle.cos(),
                turns * angle.sin(),
                dice.between(0.0, TAU),
                high,
            ]
        })
        .collect();
    let (columns, rows) = (
        dice.between(4.0, 12.0) as usize,
        dice.between(4.0, 12.0) as usize,
    );
    let step = dice.between(24.0, 60.0);
    let tilt = dice.between(0.0, 1.0) / (columns as f64 * step);
    let scattered = dice.part() < 0.5;
    let (mut readings, _) = grid(columns, rows, step, |_, _| 0.0);
    for reading in &mut readings {
        if scattered {
            reading.at.x += dice.between(-0.4, 0.4) * step;
            reading.at.y += dice.between(-0.4, 0.4) * step;
        }
        let at = reading.at;
        let wave: f64 = waves
            .iter()
            .map(|[x, y, shift, high]| high * (at.x * x + at.y * y + shift).sin())
            .sum();
        // Read off a staff below a line of sight, about 5 in up.
        let height = 5.0 + tilt * at.x + wave + dice.normal() / 32.0;
        reading.height = (height * 16.0).round() / 16.0;
    }
    readings
}

fn of(readings: &[Reading]) -> Vec<Slip> {
    slips(&Surface::new(readings, Extent::Readings).unwrap())
}

/// On how many floors, each with one slip, it is told, and how many other readings are.
fn told(seed: u64, floors: u32, slip: impl Fn(f64) -> f64) -> (u32, u32) {
    let mut dice = Dice(seed);
    let (mut right, mut wrong) = (0, 0);
    for _ in 0..floors {
        let mut readings = wavy(&mut dice);
        let which = (dice.part() * readings.len() as f64) as usize;
        readings[which].height = slip(readings[which].height);
        let slips = of(&readings);
        right += slips.iter().filter(|slip| slip.reading == which).count() as u32;
        wrong += slips.iter().filter(|slip| slip.reading != which).count() as u32;
    }
    (right, wrong)
}

/// As a slip makes it: a whole and a fraction with nothing between, 5-3/8 noted as 53/8.
fn run_together(height: f64) -> f64 {
    let (mut over, mut under) = ((height.fract() * 16.0).round(), 16.0);
    if over == 0.0 {
        return height * 10.0;
    }
    while over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2.0;
    }
    let digits = if over < 10.0 { 10.0 } else { 100.0 };
    (height.floor() * digits + over) / under
}

#[test]
fn a_fraction_run_together_is_the_one_in_the_example() {
    assert_eq!(run_together(5.375), 53.0 / 8.0);
    assert_eq!(run_together(4.6875), 411.0 / 16.0);
}

#[test]
fn floors_without_slips_raise_no_alarm() {
    let (_, wrong) = told(1, 500, |height| height);
    assert!(wrong <= 3, "{wrong}");
}

#[test]
fn a_slip_is_found_and_nothing_else_is_told() {
    // Of 150 floors each. The few not found are slips of less than 3/4 in, or one of the
    // few neighbours of a corner.
    type Kind<'a> = (&'a str, &'a dyn Fn(f64) -> f64, u32);
    let kinds: [Kind<'_>; 5] = [
        ("point moved right", &|height| height * 10.0, 150),
        ("point moved left", &|height| height / 10.0, 148),
        ("run together", &run_together, 147),
        ("whole inches lost", &|height| height.fract(), 148),
        ("an inch off", &|height| height + 1.0, 130),
    ];
    for (seed, (kind, slip, least)) in (2..).zip(kinds) {
        let (right, wrong) = told(seed, 150, slip);
        assert!(right >= least && wrong <= 3, "{kind}: {right}, {wrong}");
    }
}

#[test]
fn the_height_expected_is_near_the_true_one() {
    let plane = |x: f64, y: f64| 5.0 + x / 100.0 - y / 200.0;
    let (mut readings, _) = grid(6, 5, 36.0, plane);
    readings[14].height *= 10.0;
    let slips = of(&readings);
    assert_eq!(slips.len(), 1);
    let true_height = plane(readings[14].at.x, readings[14].at.y);
    assert_eq!(slips[0].reading, 14);
    assert!((slips[0].expected - true_height).abs() < 1e-9, "{slips:?}");
    assert!((slips[0].off - 9.0 * true_height).abs() < 1e-9, "{slips:?}");
}

#[test]
fn two_slips_side_by_side_do_not_hide_each_other() {
    let mut both = 0;
    let mut dice = Dice(8);
    for _ in 0..100 {
        let mut readings = wavy(&mut dice);
        readings[5].height *= 10.0;
        readings[6].height /= 10.0;
        let slips = of(&readings);
        both += u32::from(slips.iter().map(|slip| slip.reading).eq([5, 6]));
    }
    assert!(both >= 97, "{both}");
}

#[test]
fn a_step_in_the_floor_is_no_slip() {
    for at in [100.0, 200.0, 300.0] {
        let (readings, _) = grid(10, 8, 48.0, |x, _| if x < at { 5.0 } else { 7.0 });
        assert_eq!(of(&readings), []);
    }
}

#[test]
fn too_few_readings_tell_nothing_on_each_other() {
    // With four readings each is off the plane of the other three by as much.
    let (mut readings, _) = grid(2, 2, 48.0, |_, _| 5.0);
    readings[1].height = 50.0;
    assert_eq!(of(&readings), []);
}

#[test]
fn grids_are_judged_like_free_readings() {
    let mut dice = Dice(9);
    let (mut readings, cells) = grid(8, 8, 48.0, |x, _| 5.0 + x / 300.0 + dice.part() / 16.0);
    readings[27].height += 3.0;
    let slips = slips(&Surface::new(&readings, Extent::Cells(&cells)).unwrap());
    assert_eq!(slips.iter().map(|s| s.reading).collect::<Vec<_>>(), [27]);
}
