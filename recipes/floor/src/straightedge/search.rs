//! The worst windows over many profiles, best first.
//!
//! A wider window never has a thinner hull. So the hull over all windows that begin between
//! two distances bounds each of them, and only where that bound is high are they told apart.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::hull::Hull;
use super::{Worst, distance_to_segment};
use crate::slice::{Profile, slices};
use crate::surface::{Point, Surface};

/// Windows that agree with their bound this closely are not told apart further.
const CLOSE: f64 = 0.01;

/// A straight line over the floor, without leaving it.
pub(super) struct Line {
    angle: f64,
    /// Its distance from the origin, to the left of its direction.
    offset: f64,
    profile: Profile,
}

impl Line {
    /// The lines of one direction at some offsets, in parts where walls cut them.
    pub(super) fn all(surface: &Surface, angle: f64, offsets: &[f64]) -> Vec<Self> {
        let each = offsets.iter().zip(slices(surface, angle, offsets));
        each.flat_map(|(offset, profiles)| {
            profiles.into_iter().map(|profile| Self {
                angle,
                offset: *offset,
                profile,
            })
        })
        .collect()
    }

    /// Where a distance along the line lies in plan.
    fn point(&self, at: f64) -> Point {
        let (sin, cos) = self.angle.sin_cos();
        Point::new(at * cos - self.offset * sin, at * sin + self.offset * cos)
    }

    /// The gap of the window that begins at a distance along the line.
    pub(super) fn window(&self, from: f64, length: f64, hull: &mut Hull) -> Worst {
        let from = from.min(self.end() - length).max(self.start());
        let to = (from + length).min(self.end());
        let (gap, at) = hull.thickness(&self.profile, from, to);
        Worst {
            gap,
            from: self.point(from),
            to: self.point(to),
            at: self.point(at),
        }
    }

    /// The distance along the line where it enters the floor.
    pub(super) fn start(&self) -> f64 {
        self.profile[0].0
    }

    /// The distance along the line where it leaves the floor.
    pub(super) fn end(&self) -> f64 {
        self.profile[self.profile.len() - 1].0
    }
}

/// Windows on one line that begin between two distances.
struct Windows {
    /// No window of them has a thicker hull.
    bound: f64,
    line: usize,
    first: f64,
    last: f64,
    length: f64,
}

impl Ord for Windows {
    fn cmp(&self, other: &Self) -> Ordering {
        let (a, b) = (self, other);
        a.bound
            .total_cmp(&b.bound)
            .then(b.line.cmp(&a.line))
            .then(b.first.total_cmp(&a.first))
    }
}

impl PartialOrd for Windows {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Windows {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Windows {}

/// A search for the worst windows of a length.
pub(super) struct Search {
    lines: Vec<Line>,
    queue: BinaryHeap<Windows>,
    hull: Hull,
}

impl Search {
    /// A search over lines.
    pub(super) fn new(lines: Vec<Line>, length: f64) -> Self {
        let mut search = Self {
            lines: Vec::new(),
            queue: BinaryHeap::new(),
            hull: Hull::default(),
        };
        for (index, line) in lines.iter().enumerate() {
            let length = length.min(line.end() - line.start());
            let room = line.end() - line.start() - length;
            // Half a length apart; a very short straightedge does not need so many.
            let points = line.profile.len() as f64;
            let parts = (2.0 * room / length).ceil().clamp(1.0, 2.0 * points);
            for part in 0..parts as usize {
                let first = line.start() + room * part as f64 / parts;
                let last = line.start() + room * (part + 1) as f64 / parts;
                let to = last + length;
                let (bound, _) = search.hull.thickness(&line.profile, first, to);
                search.queue.push(Windows {
                    bound,
                    line: index,
                    first,
                    last,
                    length,
                });
            }
        }
        search.lines = lines;
        search
    }

    /// The worst window of those left that is worse than `least` and keeps `clear` away from
    /// some points.
    pub(super) fn next(&mut self, least: f64, away: &[Point], clear: f64) -> Option<Worst> {
        while let Some(windows) = self.queue.pop() {
            if windows.bound <= least {
                return None;
            }
            let line = &self.lines[windows.line];
            // All of these windows cover what lies between the last start and the first end.
            let shared = [
                line.point(windows.last),
                line.point(windows.first + windows.length),
            ];
            let near = |point: &Point| distance_to_segment(*point, shared) < clear;
            if away.iter().any(near) {
                continue;
            }
            if windows.first == windows.last {
                let from = windows.first;
                return Some(line.window(from, windows.length, &mut self.hull));
            }
            self.divide(&windows);
        }
        None
    }

    /// Puts back two halves, or the best window where the halves would hardly differ.
    fn divide(&mut self, windows: &Windows) {
        let Windows {
            first,
            last,
            length,
            ..
        } = *windows;
        let profile = &self.lines[windows.line].profile;
        let mut add = |bound: f64, first: f64, last: f64| {
            self.queue.push(Windows {
                bound,
                first,
                last,
                ..*windows
            });
        };
        let middle = (first + last) / 2.0;
        let (gap, _) = self.hull.thickness(profile, middle, middle + length);
        if gap >= windows.bound * (1.0 - CLOSE) || last - first < 1e-6 * length {
            add(gap, middle, middle);
            return;
        }
        for (first, last) in [(first, middle), (middle, last)] {
            let (bound, _) = self.hull.thickness(profile, first, last + length);
            add(bound, first, last);
        }
    }
}
