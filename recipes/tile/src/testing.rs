//! Rooms and layings for tests, the same in every run.

use crate::layout::Laying;
use crate::pattern::{Grain, Pattern, TileSize};
use crate::room::Room;
use crate::shape::{Direction, Point, Rect, Ring};
use crate::start::{On, Start};

/// A source of numbers (SplitMix64, public domain).
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    /// A whole number from 0 to below `end`.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % end
    }

    /// A length from `least` to `most`, a multiple of `step` from the least.
    pub(crate) fn length(&mut self, least: f64, most: f64, step: f64) -> f64 {
        let steps = ((most - least) / step).round() as u64;
        least + self.below(steps + 1) as f64 * step
    }

    /// One of a list.
    pub(crate) fn pick<T: Clone>(&mut self, list: &[T]) -> T {
        list[self.below(list.len() as u64) as usize].clone()
    }

    /// A room of up to about ten feet: a rectangle, often with bites out of its corners, a slanted
    /// corner, a column. Corners lie on a grid of `step`.
    pub(crate) fn room(&mut self, step: f64) -> Room {
        let (wide, high) = (
            self.length(48.0, 120.0, step),
            self.length(48.0, 120.0, step),
        );
        let mut outline: Ring = Vec::new();
        let corners = Rect::new(0.0, 0.0, wide, high).ring();
        for (index, corner) in corners.iter().enumerate() {
            let (before, after) = (corners[(index + 3) % 4], corners[(index + 1) % 4]);
            let kind = self.below(4);
            if kind > 1 {
                outline.push(*corner);
                continue;
            }
            let back = self.length(4.0, 20.0, step) / corner.distance(before);
            let on = self.length(4.0, 20.0, step) / corner.distance(after);
            let (a, b) = (corner.toward(before, back), corner.toward(after, on));
            outline.push(a);
            if kind == 1 {
                outline.push(Point::new(a.x + b.x - corner.x, a.y + b.y - corner.y));
            }
            outline.push(b);
        }
        let mut obstacles = Vec::new();
        if self.below(3) == 0 {
            let (x, y) = (self.length(21.0, 24.0, step), self.length(21.0, 24.0, step));
            let size = (self.length(2.0, 5.0, step), self.length(2.0, 5.0, step));
            obstacles.push(Rect::new(x, y, size.0, size.1).ring());
        }
        let to_step =
            |at: &Point| Point::new((at.x / step).round() * step, (at.y / step).round() * step);
        let outline: Ring = outline.iter().map(to_step).collect();
        Room::new(&outline, &obstacles).unwrap()
    }

    /// Any pattern.
    pub(crate) fn pattern(&mut self) -> Pattern {
        self.pick(&[
            Pattern::Grid,
            Pattern::Offset(0.5),
            Pattern::Offset(1.0 / 3.0),
            Pattern::Cycle(vec![0.0, 0.375, 0.75, 0.125]),
            Pattern::Herringbone,
        ])
    }

    /// Any way to lay a room.
    pub(crate) fn laying(&mut self) -> Laying {
        let on = [On::Joint, On::Tile];
        let place = Point::new(self.length(0.0, 60.0, 0.25), self.length(0.0, 60.0, 0.25));
        let starts = [
            Start::Centred {
                along: self.pick(&on),
                across: self.pick(&on),
            },
            Start::Wall {
                near: place,
                on: self.pick(&on),
            },
            Start::Line {
                at: place,
                to: self.pick(&[Direction::RIGHT, Direction::UP]),
                on: self.pick(&on),
            },
            Start::Corner(place),
        ];
        let sizes = [
            (24.0, 12.0),
            (12.0, 12.0),
            (12.0, 4.0),
            (36.0, 6.0),
            (17.5, 7.75),
        ];
        let (length, width) = self.pick(&sizes);
        let directions = [
            Direction::RIGHT,
            Direction::UP,
            Direction::DIAGONAL,
            Direction::degrees(-30.0).unwrap(),
        ];
        Laying {
            tile: TileSize {
                length,
                width,
                joint: self.pick(&[0.0, 0.125, 0.25]),
                grain: self.pick(&[Grain::Any, Grain::Lengthwise, Grain::Directed]),
            },
            pattern: self.pattern(),
            direction: self.pick(&directions),
            start: self.pick(&starts),
            gap: self.pick(&[0.0, 0.25]),
        }
    }
}

/// A tile that may be turned any way, laid in a grid along the room, a corner at the origin, without
/// gap.
pub(crate) fn grid(length: f64, width: f64, joint: f64) -> Laying {
    Laying {
        tile: TileSize {
            length,
            width,
            joint,
            grain: Grain::Any,
        },
        pattern: Pattern::Grid,
        direction: Direction::RIGHT,
        start: Start::Corner(Point::new(0.0, 0.0)),
        gap: 0.0,
    }
}
