//! Contours of a floor: the part below a height, and the lines at that height.
//!
//! The floor is flat over each triangle, so the contour crosses a triangle in one
//! straight piece. The pieces are joined by the edges they cross, not by comparing
//! coordinates, so joining cannot fail by rounding.

use std::collections::{BTreeMap, BTreeSet};

use crate::surface::{Point, Surface};

/// The part of a floor that stands below a height.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Its edges as closed rings, each without a repeat of its first point. Rings run
    /// counter-clockwise around the part and clockwise around holes in it.
    pub rings: Vec<Vec<Point>>,
    /// The contour lines, where the floor passes through the height. A closed line
    /// repeats its first point at the end.
    pub lines: Vec<Vec<Point>>,
}

/// A corner of a region: a corner of the triangles, or where the contour crosses an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Corner {
    Vertex(u32),
    Crossing(u32, u32),
}

/// Draws the contours of one floor.
#[derive(Clone, Debug)]
pub struct Contours<'a> {
    surface: &'a Surface,
    /// The edges that belong to one triangle only, with the floor on their left.
    rim: Vec<[u32; 2]>,
}

impl<'a> Contours<'a> {
    /// Finds the outer boundary of the triangles.
    pub fn new(surface: &'a Surface) -> Self {
        let mut sides: Vec<([u32; 2], [u32; 2])> = surface
            .triangles
            .iter()
            .flat_map(|triangle| sides(*triangle))
            .map(|[a, b]| ([a.min(b), a.max(b)], [a, b]))
            .collect();
        sides.sort_unstable();
        let rim = sides
            .chunk_by(|one, other| one.0 == other.0)
            .filter_map(|same| match same {
                [(_, side)] => Some(*side),
                _ => None,
            })
            .collect();
        Self { surface, rim }
    }

    /// The edge of the whole floor, as closed rings.
    pub fn outline(&self) -> Vec<Vec<Point>> {
        self.below(f64::INFINITY).rings
    }

    /// The part below a height. Floor exactly at the height does not count as below.
    pub fn below(&self, height: f64) -> Region {
        let cuts: Vec<(Corner, Corner)> = self
            .surface
            .triangles
            .iter()
            .filter_map(|triangle| self.cut(*triangle, height))
            .collect();
        let mut border = cuts.clone();
        border.extend(self.rim.iter().filter_map(|side| self.part(*side, height)));
        let points = |chain: Vec<Corner>| -> Vec<Point> {
            let points = chain.iter().map(|corner| self.point(*corner, height));
            points.collect()
        };
        let rings = chains(&border).into_iter().map(|mut ring| {
            ring.pop();
            points(ring)
        });
        let lines = chains(&cuts).into_iter().map(points);
        Region {
            rings: rings.filter(|ring| !is_folded(ring)).collect(),
            lines: lines
                .filter(|line| line.first() != line.last() || !is_folded(line))
                .collect(),
        }
    }

    fn is_below(&self, vertex: u32, height: f64) -> bool {
        self.surface.vertices[vertex as usize].height < height
    }

    /// Where the contour crosses a triangle, the part below on the left.
    fn cut(&self, triangle: [u32; 3], height: f64) -> Option<(Corner, Corner)> {
        let (mut from, mut to) = (None, None);
        for [a, b] in sides(triangle) {
            match (self.is_below(a, height), self.is_below(b, height)) {
                (true, false) => from = Some(crossing(a, b)),
                (false, true) => to = Some(crossing(a, b)),
                _ => {}
            }
        }
        Some((from?, to?))
    }

    /// The part of an edge that is below.
    fn part(&self, [a, b]: [u32; 2], height: f64) -> Option<(Corner, Corner)> {
        match (self.is_below(a, height), self.is_below(b, height)) {
            (true, true) => Some((Corner::Vertex(a), Corner::Vertex(b))),
            (true, false) => Some((Corner::Vertex(a), crossing(a, b))),
            (false, true) => Some((crossing(a, b), Corner::Vertex(b))),
            (false, false) => None,
        }
    }

    fn point(&self, corner: Corner, height: f64) -> Point {
        let vertex = |index: u32| &self.surface.vertices[index as usize];
        match corner {
            Corner::Vertex(index) => vertex(index).at,
            Corner::Crossing(a, b) => {
                let (a, b) = (vertex(a), vertex(b));
                a.at.toward(b.at, (height - a.height) / (b.height - a.height))
            }
        }
    }
}

fn sides([a, b, c]: [u32; 3]) -> [[u32; 2]; 3] {
    [[a, b], [b, c], [c, a]]
}

/// The same whichever of the two triangles at the edge asks.
fn crossing(a: u32, b: u32) -> Corner {
    Corner::Crossing(a.min(b), a.max(b))
}

/// Joins pieces end to end. Lines with a loose end come first, then closed lines, which
/// repeat their first corner at the end.
fn chains(pieces: &[(Corner, Corner)]) -> Vec<Vec<Corner>> {
    let mut onward: BTreeMap<Corner, Vec<Corner>> = BTreeMap::new();
    for (from, to) in pieces {
        onward.entry(*from).or_default().push(*to);
    }
    let reached: BTreeSet<Corner> = pieces.iter().map(|(_, to)| *to).collect();
    let all: Vec<Corner> = onward.keys().copied().collect();
    let loose = all.iter().filter(|start| !reached.contains(start));
    let mut chains = Vec::new();
    for start in loose.chain(&all) {
        while let Some(chain) = follow(&mut onward, *start) {
            chains.push(chain);
        }
    }
    chains
}

/// Takes the pieces onward from a corner until they end or come back to it.
fn follow(onward: &mut BTreeMap<Corner, Vec<Corner>>, start: Corner) -> Option<Vec<Corner>> {
    let mut chain = vec![start];
    let mut at = start;
    while let Some(next) = onward.get_mut(&at).and_then(Vec::pop) {
        chain.push(next);
        at = next;
        if at == start {
            break;
        }
    }
    (chain.len() > 1).then_some(chain)
}

/// Whether a closed line encloses nothing. Such is the line around a single reading, or a
/// ridge, exactly at the height.
fn is_folded(line: &[Point]) -> bool {
    let ring = [line.to_vec()];
    let length: f64 = crate::outline::edges(&ring)
        .map(|(from, to)| from.distance(to))
        .sum();
    let shifted = line.first().map_or(Vec::new(), |first| {
        let from_first = |at: &Point| Point::new(at.x - first.x, at.y - first.y);
        line.iter().map(from_first).collect()
    });
    area(&[shifted]).abs() <= 1e-12 * length * length
}

/// The area inside rings; holes count off.
pub fn area(rings: &[Vec<Point>]) -> f64 {
    crate::outline::edges(rings)
        .map(|(from, to)| (from.x * to.y - to.x * from.y) / 2.0)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::{Extent, Reading};

    fn grid(columns: usize, rows: usize, step: f64, height: impl Fn(Point) -> f64) -> Surface {
        let mut readings = Vec::new();
        let mut cells = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let at = Point::new(column as f64 * step, row as f64 * step);
                let height = height(at);
                readings.push(Reading { at, height });
                if row > 0 && column > 0 {
                    let last = row * columns + column;
                    cells.push([last - columns - 1, last - columns, last, last - 1]);
                }
            }
        }
        Surface::new(&readings, Extent::Cells(&cells)).unwrap()
    }

    #[test]
    fn the_contour_of_a_plane_is_the_straight_line_of_its_equation() {
        // Height 0.02 x + 0.01 y reaches 1 where 2 x + y = 100.
        let floor = grid(6, 5, 20.0, |at| 0.02 * at.x + 0.01 * at.y);
        let region = Contours::new(&floor).below(1.0);
        assert_eq!(region.lines.len(), 1);
        for at in &region.lines[0] {
            assert!((2.0 * at.x + at.y - 100.0).abs() < 1e-9, "{at:?}");
        }
        let ends = [region.lines[0].first(), region.lines[0].last()].map(|end| end.unwrap().y);
        assert!(ends.contains(&0.0) && ends.contains(&80.0), "{ends:?}");
        // A trapezium of parallel sides 50 and 10, 80 apart.
        assert_eq!(region.rings.len(), 1);
        assert!((area(&region.rings) - 80.0 * (50.0 + 10.0) / 2.0).abs() < 1e-9);
    }

    #[test]
    fn the_contour_of_a_cone_is_a_circle() {
        // Height is the distance from (50, 50); straight pieces between readings a step
        // apart stay within step squared / (4 radius) of the circle.
        let (centre, step, radius) = (Point::new(50.0, 50.0), 2.0, 30.0);
        let floor = grid(51, 51, step, |at| at.distance(centre));
        let region = Contours::new(&floor).below(radius);
        assert_eq!(region.lines.len(), 1);
        let line = &region.lines[0];
        assert_eq!(line.first(), line.last());
        for at in line {
            let off = (at.distance(centre) - radius).abs();
            assert!(off < step * step / (4.0 * radius), "{at:?} is off by {off}");
        }
        let circle = std::f64::consts::PI * radius * radius;
        assert!((area(&region.rings) / circle - 1.0).abs() < 2e-3);
    }

    #[test]
    fn a_hump_is_a_hole_in_the_part_below_it() {
        let floor = grid(5, 5, 10.0, |at| {
            f64::from(u8::from(at == Point::new(20.0, 20.0)))
        });
        let region = Contours::new(&floor).below(0.5);
        assert_eq!(region.rings.len(), 2);
        let mut areas: Vec<f64> = region
            .rings
            .iter()
            .map(|r| area(std::slice::from_ref(r)))
            .collect();
        areas.sort_by(f64::total_cmp);
        assert!(areas[0] < 0.0, "the hole runs clockwise");
        assert_eq!(areas[1], 1600.0);
        assert_eq!(region.lines.len(), 1);
    }

    #[test]
    fn the_areas_between_contours_are_those_of_the_pour_and_add_up_to_the_floor() {
        let floor = grid(9, 7, 12.0, |at| {
            (at.x / 17.0).sin() * 0.4 + (at.y / 23.0).cos() * 0.3
        });
        let contours = Contours::new(&floor);
        let level = floor.highest();
        let below = |depth: f64| area(&contours.below(level - depth).rings);
        let mut sum = area(&contours.outline()) - below(0.0);
        for step in 0..8 {
            let (least, most) = (0.2 * f64::from(step), 0.2 * f64::from(step + 1));
            let band = below(least) - below(most);
            let expected = crate::level::between_depths(&floor, level, least, most).area;
            assert!((band - expected).abs() < 1e-8, "{least}: {band} {expected}");
            sum += band;
        }
        assert_eq!(below(1.6), 0.0);
        assert!((sum - 96.0 * 72.0).abs() < 1e-8, "{sum}");
    }

    #[test]
    fn a_reading_exactly_at_the_height_makes_no_line_of_its_own() {
        let floor = grid(5, 5, 10.0, |at| {
            f64::from(u8::from(at == Point::new(20.0, 20.0)))
        });
        let region = Contours::new(&floor).below(1.0);
        assert_eq!((region.rings.len(), region.lines.len()), (1, 0));
    }

    #[test]
    fn contours_through_readings_are_whole() {
        // The readings on one diagonal lie exactly at the height: half the square is below.
        let floor = grid(7, 7, 1.0, |at| (at.x as i64 + at.y as i64) as f64 / 2.0);
        let region = Contours::new(&floor).below(3.0);
        assert_eq!((region.lines.len(), region.rings.len()), (1, 1));
        assert!((area(&region.rings) - 18.0).abs() < 1e-12);
    }
}
