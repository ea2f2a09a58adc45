//! The plan of a room to be tiled: its outline with what stands in it, its walls and doorways.

use engine::plugin::{Outline, Stretch};

use crate::room::Room;
use crate::shape::{Direction, Point, Rect, Ring, contains};
use crate::wanted::{inward, refused};

/// A room with its walls and doorways in the order in which they are numbered.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorPlan {
    /// The room.
    pub room: Room,
    walls: Vec<(Point, Point)>,
    doorways: Vec<(Point, Point)>,
}

impl FloorPlan {
    /// A rectangular room: the first wall is the lower one along its length, then on
    /// counterclockwise.
    ///
    /// # Errors
    /// When a side is no length.
    pub fn rectangle(length: f64, width: f64) -> Result<Self, String> {
        let room = Room::rectangle(length, width).map_err(|error| refused(&error))?;
        let corners = Rect::new(0.0, 0.0, length, width).ring();
        let next = corners.iter().cycle().skip(1);
        Ok(Self {
            walls: corners.iter().copied().zip(next.copied()).collect(),
            room,
            doorways: Vec::new(),
        })
    }

    /// A surveyed room. A register that does not lie clear inside it is left out: tiles there are
    /// cut along the wall anyway.
    ///
    /// # Errors
    /// When its outline bounds no room.
    pub fn surveyed(outline: &Outline) -> Result<Self, String> {
        let ring = |ring: &Vec<(f64, f64)>| -> Ring { ring.iter().map(point).collect() };
        let mut rings = outline.rings.iter().map(ring);
        let around = rings.next().unwrap_or_default();
        let mut obstacles: Vec<Ring> = rings.collect();
        let mut room = Room::new(&around, &obstacles).map_err(|error| refused(&error))?;
        for [from, to] in &outline.cut_outs {
            let corners = [point(from), point(to)];
            let Some(register) = Rect::around(&corners) else {
                continue;
            };
            obstacles.push(register.ring());
            match Room::new(&around, &obstacles) {
                Ok(with) => room = with,
                Err(_) => {
                    obstacles.pop();
                }
            }
        }
        let stretches = |all: &[Stretch]| {
            let ends = all.iter().map(|[from, to]| (point(from), point(to)));
            ends.collect()
        };
        Ok(Self {
            room,
            walls: stretches(&outline.walls),
            doorways: stretches(&outline.openings),
        })
    }

    /// Whether a place lies on its floor.
    pub(crate) fn is_inside(&self, at: Point) -> bool {
        contains(self.room.rings(), at)
    }

    /// A wall by its number.
    ///
    /// # Errors
    /// When there is no such wall.
    pub fn wall(&self, number: f64) -> Result<(Point, Point), String> {
        let count = self.walls.len();
        numbered(&self.walls, number)
            .ok_or_else(|| format!("the room has no wall {number}, only {count} of them"))
    }

    /// The start of a line from the middle of a doorway into the room, a perimeter gap off the
    /// wall, and its direction.
    ///
    /// # Errors
    /// When there is no such doorway, or none of its sides is floor.
    pub fn doorway(&self, number: f64, gap: f64) -> Result<(Point, Direction), String> {
        let Some((from, to)) = numbered(&self.doorways, number) else {
            return Err(match self.doorways.len() {
                0 => "no doorway is marked for a start: mark the opening on the room's sheet of readings, or start elsewhere".to_owned(),
                count => format!("the room has no doorway {number}, only {count} marked on its sheet"),
            });
        };
        // Openings are marked by the tape: the wall itself counts.
        let middle = from.toward(to, 0.5);
        let wall = self.room.nearest_wall(middle);
        let into = wall.and_then(|(from, to)| Some((from, to, inward(self, from, to)?)));
        let Some((from, to, into)) = into else {
            return Err("the doorway leads to no floor".to_owned());
        };
        let (at, step) = (middle.nearest_on(from, to), into.turn(Point::new(gap, 0.0)));
        Ok((Point::new(at.x + step.x, at.y + step.y), into))
    }
}

fn point((across, along): &(f64, f64)) -> Point {
    Point::new(*across, *along)
}

/// One of a list by its number, counted from one.
fn numbered<T: Copy>(list: &[T], number: f64) -> Option<T> {
    let mut all = (1u16..).zip(list);
    all.find(|(at, _)| f64::from(*at) == number)
        .map(|(_, one)| *one)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline() -> Outline {
        Outline {
            rings: vec![vec![(0.0, 0.0), (120.0, 0.0), (120.0, 96.0), (0.0, 96.0)]],
            walls: vec![
                [(0.0, 0.0), (120.0, 0.0)],
                [(120.0, 0.0), (120.0, 96.0)],
                [(120.0, 96.0), (0.0, 96.0)],
                [(0.0, 96.0), (0.0, 0.0)],
            ],
            openings: vec![[(120.0, 30.0), (120.0, 66.0)], [(12.0, 98.0), (48.0, 98.0)]],
            // One clear of the walls, one that touches the right one.
            cut_outs: vec![[(6.0, 10.0), (18.0, 6.0)], [(110.0, 10.0), (120.0, 14.0)]],
        }
    }

    #[test]
    fn registers_inside_are_cut_out() {
        let plan = FloorPlan::surveyed(&outline()).unwrap();
        assert!((plan.room.area() - (120.0 * 96.0 - 12.0 * 4.0)).abs() < 1e-9);
    }

    #[test]
    fn a_doorway_leads_into_the_room_from_its_wall() {
        let plan = FloorPlan::surveyed(&outline()).unwrap();
        let (at, to) = plan.doorway(1.0, 0.25).unwrap();
        assert!(at.distance(Point::new(119.75, 48.0)) < 1e-9);
        assert!(
            to.turn(Point::new(1.0, 0.0))
                .distance(Point::new(-1.0, 0.0))
                < 1e-9
        );
        // Marked two inches off its wall.
        let (at, to) = plan.doorway(2.0, 0.0).unwrap();
        assert!(at.distance(Point::new(30.0, 96.0)) < 1e-9);
        assert!(
            to.turn(Point::new(1.0, 0.0))
                .distance(Point::new(0.0, -1.0))
                < 1e-9
        );
        assert!(plan.doorway(3.0, 0.0).unwrap_err().contains("only 2"));
        assert!(plan.wall(5.0).unwrap_err().contains("only 4"));
        assert!(
            FloorPlan::rectangle(10.0, 10.0)
                .unwrap()
                .doorway(1.0, 0.0)
                .is_err()
        );
        assert!(FloorPlan::rectangle(10.0, 0.0).is_err());
    }
}
