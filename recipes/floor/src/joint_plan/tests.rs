use super::*;
use crate::surface_tests::{Dice, agree};

fn ring(corners: &[(f64, f64)]) -> Vec<Point> {
    corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Vec<Point> {
    let (right, top) = (x + width, y + height);
    ring(&[(x, y), (right, y), (right, top), (x, top)])
}

fn plan(rings: &[Vec<Point>], spacing: f64) -> JointPlan {
    JointPlan::new(rings, (spacing, spacing)).unwrap()
}

/// Where the joints along `y` run, in order and each once.
fn columns(plan: &JointPlan) -> Vec<f64> {
    let upright = plan.segments.iter().filter(|(from, to)| from.x == to.x);
    let mut places: Vec<f64> = upright.map(|(from, _)| from.x).collect();
    places.dedup();
    places
}

#[test]
fn a_rectangle_has_evenly_spaced_lines_one_fewer_than_panels() {
    // Closed form: n = ceil(L / s) - 1 lines across each side, panels L / (n + 1) long.
    for (width, height, spacing, across, along) in [
        (60.0, 40.0, 25.0, 2.0, 1.0),
        (50.0, 25.0, 25.0, 1.0, 0.0),
        (50.001, 25.001, 25.0, 2.0, 1.0),
        (24.0, 36.0, 12.0, 1.0, 2.0),
        (0.3, 0.1, 0.1, 2.0, 0.0),
    ] {
        for corner in [(0.0, 0.0), (-7.3, 11.1)] {
            let room = rectangle(corner.0, corner.1, width, height);
            let plan = plan(&[room], spacing);
            assert_eq!(plan.segments.len() as f64, across + along);
            assert!(agree(plan.length(), across * height + along * width, 1e-9));
            assert!(agree(plan.widest, width / (across + 1.0), 1e-9));
            assert!(agree(plan.longest, height / (along + 1.0), 1e-9));
        }
    }
}

#[test]
fn each_way_may_have_a_spacing_of_its_own() {
    let plan = JointPlan::new(&[rectangle(0.0, 0.0, 30.0, 30.0)], (10.0, 30.0)).unwrap();
    assert_eq!(columns(&plan), [10.0, 20.0]);
    assert!(agree(plan.length(), 60.0, 1e-12));
    assert_eq!((plan.widest, plan.longest), (10.0, 30.0));
}

#[test]
fn joints_of_an_l_room_meet_its_inside_corner() {
    // By hand: 30 by 30 with legs 10 wide. A line each way, through the corner at (10, 10),
    // as long as a leg is wide: the rest of it would run along a wall.
    let corners = [
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 10.0),
        (10.0, 10.0),
        (10.0, 30.0),
        (0.0, 30.0),
    ];
    let mut room = ring(&corners);
    for _ in 0..2 {
        let near = plan(&[room.clone()], 25.0);
        assert_eq!(columns(&near), [10.0]);
        assert!(agree(near.length(), 20.0, 1e-12));
        assert_eq!((near.widest, near.longest), (20.0, 20.0));
        // By hand: with 15 a line at the corner leaves 20, which takes another: not fewer
        // panels than two would do, so the line stays in the middle, 10 long each way.
        let even = plan(&[room.clone()], 15.0);
        assert_eq!(columns(&even), [15.0]);
        assert!(agree(even.length(), 20.0, 1e-12));
        // By hand: with 12 there are two lines each way; the one at the corner is 10 long, as is
        // the other, halfway through the leg.
        let close = plan(&[room.clone()], 12.0);
        assert_eq!(columns(&close), [10.0, 20.0]);
        assert!(agree(close.length(), 40.0, 1e-12));
        // The other way around it is the same room.
        room.reverse();
    }
}

#[test]
fn joints_run_to_a_column_and_go_on_behind_it() {
    // By hand: 40 by 20, a column from 18 to 20 across and 9 to 11 along. One line upright, along
    // the column's left or right face: 18 above and below it together.
    let rings = [
        rectangle(0.0, 0.0, 40.0, 20.0),
        rectangle(18.0, 9.0, 2.0, 2.0),
    ];
    let plan = plan(&rings, 25.0);
    assert_eq!(columns(&plan), [20.0], "the more even of the two faces");
    assert_eq!(plan.segments.len(), 2);
    assert!(agree(plan.length(), 18.0, 1e-12));
    assert!(agree(perimeter(&rings), 128.0, 1e-12));
}

#[test]
fn a_joint_ends_at_a_slanting_wall() {
    // A right triangle with legs of 40: a line at half its width is half its height long.
    let room = ring(&[(0.0, 0.0), (40.0, 0.0), (0.0, 40.0)]);
    let plan = plan(&[room], 25.0);
    assert!(agree(plan.length(), 40.0, 1e-12));
    assert_eq!(
        plan.segments[0],
        (Point::new(20.0, 0.0), Point::new(20.0, 20.0))
    );
}

#[test]
fn what_cannot_be_planned_is_refused() {
    let room = [rectangle(0.0, 0.0, 40.0, 20.0)];
    for spacing in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-6] {
        let plan = JointPlan::new(&room, (spacing, spacing));
        assert_eq!(plan, Err(JointPlanError::Spacing), "{spacing}");
    }
    let line = [ring(&[(0.0, 0.0), (4.0, 0.0)])];
    let lost = [ring(&[(0.0, 0.0), (4.0, f64::NAN), (f64::INFINITY, 3.0)])];
    for outline in [&[] as &[Vec<Point>], &line, &lost] {
        let plan = JointPlan::new(outline, (1.0, 1.0));
        assert_eq!(plan, Err(JointPlanError::Outline));
    }
}

/// A room of whole units: a rectangle less a notch in a corner, with perhaps a column.
fn some_room(dice: &mut Dice) -> Vec<Vec<Point>> {
    let mut whole = |from: f64, to: f64| dice.between(from, to).floor();
    let (width, height) = (whole(8.0, 90.0), whole(8.0, 90.0));
    let (x, y) = (whole(3.0, width), whole(3.0, height));
    let mut rings = vec![ring(&[
        (0.0, 0.0),
        (width, 0.0),
        (width, y),
        (x, y),
        (x, height),
        (0.0, height),
    ])];
    if whole(0.0, 2.0) > 0.0 {
        rings.push(rectangle(
            1.0,
            1.0,
            whole(1.0, x - 1.0),
            whole(1.0, y - 1.0),
        ));
    }
    rings
}

/// The length of joints counted unit by unit: where there is floor on both sides.
fn counted(rings: &[Vec<Point>], places: &[f64], swap: bool) -> f64 {
    let at = |x: f64, y: f64| {
        if swap {
            Point::new(y, x)
        } else {
            Point::new(x, y)
        }
    };
    let mut length = 0.0;
    for place in places {
        for unit in 0..90 {
            let beside = [place - 1e-4, place + 1e-4];
            if beside
                .iter()
                .all(|x| contains(rings, at(*x, f64::from(unit) + 0.5)))
            {
                length += 1.0;
            }
        }
    }
    length
}

#[test]
fn generated_rooms_keep_the_laws() {
    let mut dice = Dice(11);
    let mut at_corners = 0;
    for case in 0..400 {
        let rings = some_room(&mut dice);
        let spacing = dice.between(3.0, 40.0);
        let found = plan(&rings, spacing);
        let size = |part: fn(&Point) -> f64| rings[0].iter().map(part).fold(0.0, f64::max);
        let (width, height) = (size(|at| at.x), size(|at| at.y));
        // No panel is wider than the spacing, and there are no more lines than it takes.
        assert!(
            found.widest.max(found.longest) <= spacing * (1.0 + 1e-6),
            "{case}"
        );
        let turned: Vec<Vec<Point>> = rings.iter().map(|ring| swapped(ring)).collect();
        let beside = plan(&turned, spacing);
        let lines = [columns(&found), columns(&beside)];
        for (lines, side) in lines.iter().zip([width, height]) {
            assert!(
                lines.len() as f64 <= (side / spacing).ceil() - 1.0,
                "{case}"
            );
            let corners = rings.iter().flatten();
            let x = corners.map(|at| if side == width { at.x } else { at.y });
            at_corners += x.filter(|x| lines.contains(x)).count();
        }
        let expected = counted(&rings, &lines[0], false) + counted(&rings, &lines[1], true);
        assert!(agree(found.length(), expected, 1e-9), "{case}: {found:?}");
        // A room no larger than the spacing has no joints.
        assert!(plan(&rings, width.max(height)).segments.is_empty());
        // Turned by a quarter and moved, it is the same room.
        let quarter = |at: &Point| Point::new(3.25 - at.y, at.x - 1.75);
        let turned: Vec<Vec<Point>> = rings
            .iter()
            .map(|ring| ring.iter().map(quarter).collect())
            .collect();
        let turned = plan(&turned, spacing);
        assert!(agree(turned.length(), found.length(), 1e-9), "{case}");
        assert!(agree(turned.widest, found.longest, 1e-9), "{case}");
        assert!(agree(turned.longest, found.widest, 1e-9), "{case}");
    }
    assert!(
        at_corners > 300,
        "lines should mostly pass through corners: {at_corners}"
    );
}
