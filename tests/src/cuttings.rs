//! Jobs of pieces to be cut from stock, as cutting is hard in many ways.

use crate::chance::Chance;

/// Pieces to be cut.
pub struct Cuttings {
    /// In which way the job is hard.
    pub kind: &'static str,
    /// Length of the stock, in inches.
    pub stock: f64,
    /// Width of the saw cut, in inches.
    pub kerf: f64,
    /// Lengths of the pieces, in inches.
    pub lengths: Vec<f64>,
}

/// Lengths drawn from a stock length, so many of them.
type Draw = fn(&mut Chance, f64, usize) -> Vec<f64>;

const KINDS: [(&str, Draw); 14] = [
    ("walls", walls),
    ("few and long", |c, s, n| {
        some(c, n.min(12), 0.3 * s, 2.5 * s, 0.0625)
    }),
    ("many and short", |c, s, n| some(c, n, 1.0, s / 8.0, 0.0625)),
    ("equal", |c, s, n| vec![c.between(1.0, s, 0.125); n]),
    ("few lengths", few_lengths),
    ("three fill a bar", |c, s, n| filled(c, s, n / 3, 3)),
    ("four fill a bar", |c, s, n| filled(c, s, n / 4, 4)),
    ("many fill a bar", |c, s, n| filled(c, s, n / 9 + 1, 9)),
    ("just over a half", |c, s, n| {
        let mut lengths = some(c, n / 2, 0.5 * s, 0.54 * s, 0.0625);
        lengths.extend(some(c, n / 2, 0.1 * s, 0.5 * s, 0.0625));
        lengths
    }),
    ("just over a third", |c, s, n| {
        let mut lengths = some(c, n / 2, 0.3334 * s, 0.36 * s, 0.03125);
        lengths.extend(some(c, n / 2, 0.14 * s, 0.34 * s, 0.03125));
        lengths
    }),
    ("just over a fourth", |c, s, n| {
        some(c, n, 0.2501 * s, 0.33 * s, 0.03125)
    }),
    ("any length", |c, s, n| some(c, n, 0.01 * s, s, 0.0001)),
    ("middling", |c, s, n| some(c, n, 0.2 * s, 0.5 * s, 0.0001)),
    ("large with small", |c, s, n| {
        let mut lengths = some(c, n / 2, 0.55 * s, 0.9 * s, 0.01);
        lengths.extend(some(c, n / 2, 0.05 * s, 0.3 * s, 0.01));
        lengths
    }),
];

/// A job that follows from a seed. Kinds take turns; most jobs are small.
pub fn job(seed: u64) -> Cuttings {
    job_of(seed, &[8, 12, 20, 40, 60, 60, 100, 150])
}

/// A large job that follows from a seed: the walls of up to some hundreds of rooms.
pub fn strip_of_many_rooms(seed: u64) -> Cuttings {
    // Every so many seeds it is the turn of walls, the first kind.
    job_of(seed * KINDS.len() as u64, &[300, 600, 1_000, 1_500])
}

/// A job of at most as many pieces as one of these says (walls come by four).
fn job_of(seed: u64, sizes: &[usize]) -> Cuttings {
    let mut chance = Chance::new(seed);
    let (kind, draw) = KINDS[seed as usize % KINDS.len()];
    let stock = chance.pick(&[96.0, 144.0, 192.0, 240.0, 5600.0 / 25.4, 98.4]);
    let kerf = chance.pick(&[0.0, 0.0, 0.0625, 0.125, 0.1]);
    let most = chance.pick(sizes);
    let pieces = 1 + chance.below(most);
    // A job without kerf, drawn from stock and kerf: the kerf is then taken off each piece.
    let mut lengths = draw(&mut chance, stock + kerf, pieces);
    for length in &mut lengths {
        *length = (*length - kerf).max(0.5);
    }
    Cuttings {
        kind,
        stock,
        kerf,
        lengths,
    }
}

/// Lengths between two others on a grid of `step`.
fn some(chance: &mut Chance, count: usize, least: f64, most: f64, step: f64) -> Vec<f64> {
    (0..count)
        .map(|_| chance.between(least, most, step))
        .collect()
}

/// Rooms of a few walls each: opposite walls are as long, and many rooms repeat.
fn walls(chance: &mut Chance, _: f64, count: usize) -> Vec<f64> {
    let mut lengths = Vec::new();
    while lengths.len() < count {
        let (long, wide) = (
            chance.between(48.0, 300.0, 0.25),
            chance.between(36.0, 180.0, 0.25),
        );
        lengths.extend([long, wide, long, wide - 32.0]);
    }
    lengths
}

/// Many pieces of few lengths.
fn few_lengths(chance: &mut Chance, stock: f64, count: usize) -> Vec<f64> {
    let lengths = 2 + chance.below(12);
    let kinds = some(chance, lengths, 0.12 * stock, 0.6 * stock, 0.125);
    (0..count).map(|_| chance.pick(&kinds)).collect()
}

/// Bars cut up in so many pieces without waste.
fn filled(chance: &mut Chance, stock: f64, bars: usize, pieces: usize) -> Vec<f64> {
    let mut lengths = Vec::new();
    for _ in 0..bars.max(1) {
        let mean = stock / pieces as f64;
        let mut rest = stock;
        for left in (1..pieces).rev() {
            let most = (1.4 * mean).min(rest - left as f64 * 0.5 * mean);
            let length = chance.between(0.7 * mean, most.max(0.7 * mean), 0.0625);
            lengths.push(length);
            rest -= length;
        }
        lengths.push(rest);
    }
    lengths
}
