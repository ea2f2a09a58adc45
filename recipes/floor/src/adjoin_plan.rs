//! Two floors in one plan: doorways between them, and how far they overlap.

use crate::outline::{contains, edges};
use crate::parts;
use crate::sheet::MarkKind;
use crate::surface::Point;
use crate::survey::FloorSurvey;

/// Farthest apart that two outlines face each other across a wall, in inches: a thick wall with
/// both its faces, or a thin one and readings that stop a hand short of it on each side.
const WALL: f64 = 12.0;
/// How far outlines may overlap and still count as touching, in inches: lengths taken by tape,
/// or typed to a tenth of a foot, are no better.
const TAPE: f64 = 2.0;
/// The narrowest passage, in inches: what overlaps less is an inexact end of an opening.
const NARROWEST: f64 = 6.0;
/// The sine of the largest angle between walls that face each other: ten degrees, for walls
/// that are out of square.
const ASKEW: f64 = 0.1736;
/// A step off a wall that is surely on one side of it, in inches.
const BESIDE: f64 = 0.01;

/// A doorway between two floors: a stretch of a wall of each, in the positions of its own sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doorway {
    /// The stretch on the edge of each floor, in the same direction.
    pub stretches: [(Point, Point); 2],
}

impl Doorway {
    /// Its width, along the first floor's wall.
    pub fn width(&self) -> f64 {
        let (from, to) = self.stretches[0];
        from.distance(to)
    }
}

/// A floor as it lies in a plan.
pub(crate) struct Footprint {
    rings: Vec<Vec<Point>>,
    walls: Vec<(Point, Point)>,
    openings: Vec<(Point, Point)>,
    /// The middles of the triangles.
    within: Vec<Point>,
    shift: Point,
}

impl Footprint {
    /// A floor whose 0, 0 lies at a point.
    pub(crate) fn new(survey: &FloorSurvey, origin: Point) -> Self {
        let (sheet, surface) = (&survey.sheet, &survey.surface);
        let moved = |at: Point| Point::new(at.x + origin.x, at.y + origin.y);
        let mut rings = survey.rings().to_vec();
        rings.iter_mut().flatten().for_each(|at| *at = moved(*at));
        let walls = rings.iter().flat_map(|ring| parts::straight(ring));
        let doors = sheet.marks.iter().filter(|m| m.kind == MarkKind::Opening);
        let middle = |corners: &[u32; 3]| {
            let [a, b, c] = corners.map(|index| surface.vertices[index as usize].at);
            moved(Point::new((a.x + b.x + c.x) / 3.0, (a.y + b.y + c.y) / 3.0))
        };
        Self {
            walls: walls.collect(),
            openings: doors.map(|m| (moved(m.from), moved(m.to))).collect(),
            within: surface.triangles.iter().map(middle).collect(),
            rings,
            shift: origin,
        }
    }

    /// How deep inside a point lies; zero outside.
    fn depth_of(&self, at: Point) -> f64 {
        if !contains(&self.rings, at) {
            return 0.0;
        }
        let off = |(from, to): (Point, Point)| Line::new(from, to).distance(at);
        edges(&self.rings).map(off).fold(f64::INFINITY, f64::min)
    }

    /// Whether a point is on the edge, with the floor on one side only: the side a step leads to.
    fn begins_at(&self, at: Point, (dx, dy): (f64, f64)) -> bool {
        let beside = |step: f64| Point::new(at.x + dx * step, at.y + dy * step);
        contains(&self.rings, beside(BESIDE)) && !contains(&self.rings, beside(-BESIDE))
    }

    /// Back to the positions of its sheet.
    fn on_sheet(&self, at: Point) -> Point {
        Point::new(at.x - self.shift.x, at.y - self.shift.y)
    }
}

/// How deep one floor reaches into the other, in inches; nothing where they touch at most.
///
/// It looks at corners, at the middles of triangles, and at the middle of every stretch of edge
/// between crossings, so that floors that cross and floors that coincide are both found.
pub(crate) fn overlap(a: &Footprint, b: &Footprint) -> Option<f64> {
    let into = |one: &Footprint, other: &Footprint| {
        let depths = probes(one, other)
            .into_iter()
            .map(|at| other.depth_of(at))
            .collect::<Vec<f64>>();
        depths.into_iter().fold(0.0, f64::max)
    };
    let deepest = into(a, b).max(into(b, a));
    (deepest > TAPE).then_some(deepest)
}

/// Points of a floor that lie within the bounds of another.
fn probes(one: &Footprint, other: &Footprint) -> Vec<Point> {
    let bounds = |pick: fn(&Point) -> f64| {
        let values = other.rings.iter().flatten().map(pick);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), v| {
            (least.min(v), most.max(v))
        })
    };
    let (xs, ys) = (bounds(|p| p.x), bounds(|p| p.y));
    let mut probes = one.within.clone();
    for (from, to) in &one.walls {
        let line = Line::new(*from, *to);
        let crossings = other
            .walls
            .iter()
            .filter_map(|(a, b)| line.crossing(*a, *b));
        let mut stops: Vec<f64> = crossings.chain([0.0, line.length]).collect();
        stops.sort_by(f64::total_cmp);
        let middles = stops.windows(2).map(|pair| f64::midpoint(pair[0], pair[1]));
        probes.extend(middles.chain([0.0]).map(|along| line.at(along)));
    }
    probes.retain(|p| xs.0 < p.x && p.x < xs.1 && ys.0 < p.y && p.y < ys.1);
    probes
}

/// The doorways between two floors: where their walls face each other within a wall's thickness
/// and one of the sheets marks an opening. One that both mark counts once, as wide as the two
/// together.
pub(crate) fn doorways(a: &Footprint, b: &Footprint) -> Vec<Doorway> {
    let mut found = Vec::new();
    for wall in &a.walls {
        let line = Line::new(wall.0, wall.1);
        for facing in &b.walls {
            let other = Line::new(facing.0, facing.1);
            if line.length <= 0.0 || line.askew(&other) > ASKEW {
                continue;
            }
            let in_wall = |openings: &[(Point, Point)], of: &Line| -> Vec<(Point, Point)> {
                let near = |(from, to): &&(Point, Point)| of.is_near(*from) && of.is_near(*to);
                openings.iter().filter(near).copied().collect()
            };
            let mut open = in_wall(&a.openings, &line);
            open.extend(in_wall(&b.openings, &other));
            let shared = open.into_iter().filter_map(|opening| {
                let spans = [line.span(*facing), line.span(opening)];
                let from = spans.iter().map(|s| s.0).fold(0.0, f64::max);
                let to = spans.iter().map(|s| s.1).fold(line.length, f64::min);
                let middle = f64::midpoint(from, to);
                let is_open = to - from >= NARROWEST && is_across(a, b, &line, &other, middle);
                is_open.then_some((from, to))
            });
            for (from, to) in joined(shared.collect()) {
                let ends = [from, to].map(|along| {
                    let at = line.at(along);
                    let across = other.at(line.reach(&other, along).1);
                    (a.on_sheet(at), b.on_sheet(across))
                });
                found.push(Doorway {
                    stretches: [(ends[0].0, ends[1].0), (ends[0].1, ends[1].1)],
                });
            }
        }
    }
    found
}

/// Whether at a place along a wall the first floor ends and the second begins beyond it.
fn is_across(a: &Footprint, b: &Footprint, line: &Line, other: &Line, along: f64) -> bool {
    let (gap, there) = line.reach(other, along);
    let (left_x, left_y) = (-line.direction.1, line.direction.0);
    [1.0, -1.0].into_iter().any(|side| {
        let out = (left_x * side, left_y * side);
        (-TAPE..=WALL).contains(&(gap * side))
            && a.begins_at(line.at(along), (-out.0, -out.1))
            && b.begins_at(other.at(there), out)
    })
}

/// Stretches in order, those that meet made one.
fn joined(mut stretches: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut all: Vec<(f64, f64)> = Vec::new();
    for (from, to) in stretches {
        match all.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => all.push((from, to)),
        }
    }
    all
}

/// A straight edge with its direction.
struct Line {
    from: Point,
    direction: (f64, f64),
    length: f64,
}

impl Line {
    fn new(from: Point, to: Point) -> Self {
        let length = from.distance(to);
        // An edge without length has no direction; nothing lies along it.
        let over = if length > 0.0 { length } else { 1.0 };
        Self {
            from,
            direction: ((to.x - from.x) / over, (to.y - from.y) / over),
            length,
        }
    }

    fn at(&self, along: f64) -> Point {
        let (dx, dy) = self.direction;
        Point::new(self.from.x + dx * along, self.from.y + dy * along)
    }

    /// How far along and how far to the left of it a point lies.
    fn seen(&self, at: Point) -> (f64, f64) {
        let (dx, dy) = self.direction;
        let (x, y) = (at.x - self.from.x, at.y - self.from.y);
        (x * dx + y * dy, y * dx - x * dy)
    }

    fn distance(&self, at: Point) -> f64 {
        let (along, _) = self.seen(at);
        self.at(along.clamp(0.0, self.length)).distance(at)
    }

    /// Whether an opening's end lies in this wall or its continuation.
    fn is_near(&self, at: Point) -> bool {
        self.seen(at).1.abs() <= parts::NEAR_WALL
    }

    /// The sine of the angle to another.
    fn askew(&self, other: &Self) -> f64 {
        (self.direction.0 * other.direction.1 - self.direction.1 * other.direction.0).abs()
    }

    /// The stretch of it that lies beside a segment; it may reach beyond its ends.
    fn span(&self, (from, to): (Point, Point)) -> (f64, f64) {
        let (a, b) = (self.seen(from).0, self.seen(to).0);
        (a.min(b), a.max(b))
    }

    /// Square across from a place on it: how far to the left the other line is, and where on it.
    fn reach(&self, other: &Self, along: f64) -> (f64, f64) {
        let (start, off) = self.seen(other.from);
        let cosine = self.direction.0 * other.direction.0 + self.direction.1 * other.direction.1;
        let sine = self.direction.0 * other.direction.1 - self.direction.1 * other.direction.0;
        let there = (along - start) / cosine;
        (off + there * sine, there)
    }

    /// How far along it another edge crosses it.
    fn crossing(&self, from: Point, to: Point) -> Option<f64> {
        let (a, b) = (self.seen(from), self.seen(to));
        if (a.1 > 0.0) == (b.1 > 0.0) {
            return None;
        }
        let along = a.0 + (b.0 - a.0) * a.1 / (a.1 - b.1);
        (0.0 < along && along < self.length).then_some(along)
    }
}
