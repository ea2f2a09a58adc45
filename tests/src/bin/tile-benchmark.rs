//! A thousand rooms of about 12 x 14 ft laid with tiles of 12 x 24 in: the time for the layouts with
//! their narrowest cuts, for the plans of cuts, and for finding the best start. Prints times and
//! totals.
//!
//! Run with: cargo run --release -p pourwright-tests --bin tile-benchmark

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a program for developers: it prints, and stops when it cannot be set up"
)]

use std::time::Instant;

use pourwright_tests::chance::Chance;
use tile::best::best_start;
use tile::layout::{Laying, Layout};
use tile::offcut::plan;
use tile::pattern::{Grain, Pattern, TileSize};
use tile::room::Room;
use tile::shape::{Direction, Point, Rect};
use tile::start::{On, Start};

/// How many rooms.
const ROOMS: usize = 1_000;
/// What the blade of a wet saw takes, in inches.
const KERF: f64 = 0.125;

fn main() {
    let mut chance = Chance::new(12);
    let rooms: Vec<Room> = (0..ROOMS).map(|_| room(&mut chance)).collect();
    println!("pattern        tiles  with reuse   layouts s   plans s   best starts s");
    let diagonal = Direction::DIAGONAL;
    for (name, pattern, direction) in [
        ("grid", Pattern::Grid, Direction::RIGHT),
        ("third", Pattern::Offset(1.0 / 3.0), Direction::RIGHT),
        ("herringbone", Pattern::Herringbone, Direction::RIGHT),
        ("diagonal", Pattern::Grid, diagonal),
    ] {
        let laying = Laying {
            tile: TileSize {
                length: 24.0,
                width: 12.0,
                joint: 0.125,
                grain: Grain::Any,
            },
            pattern,
            direction,
            start: Start::Centred {
                along: On::Joint,
                across: On::Joint,
            },
            gap: 0.25,
        };
        let start = Instant::now();
        let layouts: Vec<Layout> = rooms
            .iter()
            .map(|room| Layout::new(room, &laying).unwrap())
            .collect();
        let laid = start.elapsed().as_secs_f64();
        let all: usize = layouts.iter().map(|l| l.counts().without_reuse()).sum();
        let start = Instant::now();
        let needed: usize = layouts.iter().map(|l| plan(l, KERF).tiles()).sum();
        let planned = start.elapsed().as_secs_f64();
        let start = Instant::now();
        for room in &rooms {
            best_start(room, &laying).unwrap();
        }
        let best = start.elapsed().as_secs_f64();
        println!("{name:12} {all:7} {needed:11} {laid:11.3} {planned:9.3} {best:15.3}");
    }
}

/// A room of 12 x 14 ft, a few inches more or less, with a closet's corner taken out and a register.
fn room(chance: &mut Chance) -> Room {
    let (wide, high) = (
        chance.between(140.0, 148.0, 0.125),
        chance.between(164.0, 172.0, 0.125),
    );
    let bite = chance.between(24.0, 48.0, 0.125);
    let outline = [
        (0.0, 0.0),
        (wide, 0.0),
        (wide, high - 26.0),
        (wide - bite, high - 26.0),
        (wide - bite, high),
        (0.0, high),
    ];
    let register = Rect::new(bite, 6.0, 12.0, 4.0).ring();
    Room::new(&outline.map(|(x, y)| Point::new(x, y)), &[register]).unwrap()
}
