//! Two rooms side by side against volumes, dams and steps by hand.

use engine::plugin::Place;

use crate::adjoin::{Clash, Compared, Joint, Side, Transition, compare, joints, transition};
use crate::grind::GrindRates;
use crate::pours::Terms;
use crate::sheet::{FloorSheet, Mark, MarkKind, Typed};
use crate::sheet_plan::InPlan;
use crate::surface::Point;
use crate::survey::FloorSurvey;

/// A rectangle with its 0, 0 in a plan, and how high the floor is; lengths in inches.
fn room(origin: (f64, f64), size: (f64, f64), height: impl Fn(Point) -> f64) -> FloorSheet {
    let corners = [(0.0, 0.0), (size.0, 0.0), size, (0.0, size.1)].map(|(x, y)| Point::new(x, y));
    let readings = corners.map(|at| Typed {
        at,
        read: height(at),
        place: Place::Nowhere,
    });
    FloorSheet {
        readings: readings.to_vec(),
        rings: vec![corners.to_vec()],
        in_plan: Some(InPlan {
            origin: Point::new(origin.0, origin.1),
            line: "a".to_owned(),
            place: Place::Nowhere,
        }),
        ..FloorSheet::default()
    }
}

fn flat(origin: (f64, f64), size: (f64, f64), height: f64) -> FloorSheet {
    room(origin, size, |_| height)
}

fn open(mut sheet: FloorSheet, from: (f64, f64), to: (f64, f64)) -> FloorSheet {
    sheet.marks.push(Mark {
        kind: MarkKind::Opening,
        from: Point::new(from.0, from.1),
        to: Point::new(to.0, to.1),
    });
    sheet
}

/// Ten feet square, with a doorway of 36 in to its right.
fn hall() -> FloorSheet {
    open(
        flat((0.0, 0.0), (120.0, 120.0), 0.0),
        (120.0, 36.0),
        (120.0, 72.0),
    )
}

/// Eight feet by ten behind a wall of 5 in, half an inch higher.
fn kitchen() -> FloorSheet {
    flat((125.0, 0.0), (96.0, 120.0), 0.5)
}

fn surveys(sheets: &[FloorSheet]) -> Vec<FloorSurvey> {
    let survey = |sheet: &FloorSheet| FloorSurvey::new(sheet.clone()).unwrap();
    sheets.iter().map(survey).collect()
}

fn joined(sheets: &[FloorSheet]) -> Result<Vec<Joint>, Vec<([usize; 2], Clash)>> {
    let surveys = surveys(sheets);
    joints(&surveys.iter().collect::<Vec<_>>())
}

/// The widths of the doorways of the one pair; none where there is no pair.
fn widths(sheets: &[FloorSheet]) -> Vec<f64> {
    let joints = joined(sheets).unwrap();
    assert!(joints.len() < 2);
    let doorways = joints.iter().flat_map(|joint| &joint.doorways);
    doorways.map(|doorway| doorway.width()).collect()
}

/// An eighth of an inch over the highest spot; bags of 1000 cubic inches at 40, with a tenth lost.
fn terms() -> Terms {
    Terms {
        cover: 0.125,
        thinnest: 0.125,
        thickest: 1.5,
        rates: GrindRates {
            set_up: 0.0,
            per_area: 0.0,
            per_volume: 0.0,
            bag: 40.0,
            bag_yield: 1000.0,
            pour: 0.01,
            waste: 0.1,
        },
        can_grind: false,
    }
}

fn compared(sheets: [FloorSheet; 2], levelers: [f64; 2], dam: Option<f64>) -> Compared {
    let surveys = surveys(&sheets);
    let joint = joints(&surveys.iter().collect::<Vec<_>>())
        .unwrap()
        .remove(0);
    let sides = [0, 1].map(|at| Side {
        survey: &surveys[at],
        terms: terms(),
        leveler: levelers[at],
    });
    compare(&sides, &joint.doorways, dam)
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{found}, not {expected}");
}

#[test]
fn two_flat_rooms_take_what_is_worked_out_by_hand() {
    let found = compared([hall(), kitchen()], [1.0, 2.0], Some(0.5));
    let one = found.one.unwrap();
    // One level an eighth over the kitchen: 5/8 in over 14 400, 1/8 in over 11 520 square inches.
    near(one.pours[0].volume, 9_000.0);
    near(one.pours[1].volume, 1_440.0);
    // With a tenth: 9900 and 1584 cubic inches, in bags of 1000 for each room.
    near(one.pours[0].bags, 10.0);
    near(one.pours[1].bags, 2.0);
    near(one.cost, 12.0 * 40.0 + (9_900.0 + 1_584.0) * 0.01);
    // Each an eighth deep: 1980 and 1584 with waste, and 36 in of dam at 0.50.
    near(found.two.pours[0].volume, 1_800.0);
    near(found.two.bags, 4.0);
    near(
        found.two.cost,
        4.0 * 40.0 + (1_980.0 + 1_584.0) * 0.01 + 18.0,
    );
    near(found.step(), 0.5);
    near(found.dam.length, 36.0);
    near(found.dam.height, 0.125);
    near(
        found.two_over_one().unwrap(),
        found.two.cost - found.one.unwrap().cost,
    );
}

#[test]
fn rooms_of_one_leveler_share_an_open_bag() {
    // With waste 1980 cubic inches in the hall and 1017.5 in 7400 square inches beside it: two
    // bags each of 1000, or 2997.5 from three.
    let beside = || flat((125.0, 0.0), (7_400.0 / 120.0, 120.0), 0.0);
    let apart = compared([hall(), beside()], [1.0, 2.0], None).two;
    let together = compared([hall(), beside()], [1.0, 1.0], None).two;
    near(apart.bags, 4.0);
    near(together.bags, 3.0);
    near(apart.cost - together.cost, 40.0);
}

#[test]
fn it_matters_neither_which_room_is_first_nor_where_the_plan_begins() {
    let there = compared([hall(), kitchen()], [1.0, 2.0], Some(0.5));
    let back = compared([kitchen(), hall()], [2.0, 1.0], Some(0.5));
    near(back.step(), -there.step());
    near(back.two.cost, there.two.cost);
    near(back.one.unwrap().cost, there.one.unwrap().cost);
    near(back.dam.length, there.dam.length);
    near(back.dam.height, there.dam.height);
    let moved = |mut sheet: FloorSheet| {
        let plan = sheet.in_plan.as_mut().unwrap();
        plan.origin = Point::new(plan.origin.x - 7_000.0, plan.origin.y + 333.0);
        sheet
    };
    let far = compared([moved(hall()), moved(kitchen())], [1.0, 2.0], Some(0.5));
    assert_eq!(far, there);
}

#[test]
fn rooms_adjoin_only_through_an_opening_under_one_line() {
    let closed = flat((0.0, 0.0), (120.0, 120.0), 0.0);
    assert!(widths(&[closed.clone(), kitchen()]).is_empty(), "a wall");
    let mut other = kitchen();
    other.in_plan.as_mut().unwrap().line = "b".to_owned();
    assert!(widths(&[hall(), other]).is_empty(), "another line");
    let mut unplaced = kitchen();
    unplaced.in_plan = None;
    assert!(widths(&[hall(), unplaced]).is_empty(), "no place in a plan");
    let far = flat((133.0, 0.0), (96.0, 120.0), 0.0);
    assert!(widths(&[hall(), far]).is_empty(), "13 in away");
    let elsewhere = open(closed.clone(), (0.0, 36.0), (0.0, 72.0));
    assert!(
        widths(&[elsewhere, kitchen()]).is_empty(),
        "the door is on the other side"
    );
    let behind = flat((125.0, 200.0), (96.0, 120.0), 0.0);
    assert!(
        widths(&[hall(), behind]).is_empty(),
        "the walls do not face each other"
    );
}

#[test]
fn a_doorway_counts_once_and_only_as_far_as_both_walls_reach() {
    let marked = |from: f64, to: f64| open(kitchen(), (0.0, from), (0.0, to));
    let closed = flat((0.0, 0.0), (120.0, 120.0), 0.0);
    assert_eq!(
        widths(&[closed, marked(36.0, 72.0)]),
        [36.0],
        "marked there"
    );
    assert_eq!(
        widths(&[hall(), marked(36.0, 72.0)]),
        [36.0],
        "marked by both"
    );
    assert_eq!(widths(&[hall(), marked(40.0, 74.0)]), [38.0], "together");
    assert_eq!(
        widths(&[hall(), marked(90.0, 114.0)]),
        [36.0, 24.0],
        "two of them"
    );
    // The kitchen's wall begins at 50, so that 22 of the 36 in lead into it.
    let short = flat((125.0, 50.0), (96.0, 120.0), 0.0);
    assert_eq!(widths(&[hall(), short]), [22.0]);
    // Readings without an outline reach as far as they go; marks are set by the tape.
    let mut undrawn = hall();
    undrawn.rings.clear();
    undrawn.marks[0].from.x += 3.0;
    let width = widths(&[undrawn, kitchen()]);
    assert!((width[0] - 36.0).abs() < 1e-9, "{width:?}");
}

#[test]
fn the_dam_is_as_high_as_the_higher_pour_stands_at_the_doorway() {
    // The kitchen rises an inch away from the doorway's wall, and half an inch along it.
    let slope = |at: Point| 0.5 + at.x / 96.0 + at.y / 240.0;
    let found = compared(
        [hall(), room((125.0, 0.0), (96.0, 120.0), slope)],
        [1.0, 2.0],
        None,
    );
    // Its pour ends an eighth over its far corner, which is at 2; the door begins at y 36.
    near(found.dam.height, 2.125 - (0.5 + 36.0 / 240.0));
    near(found.step(), 2.0);
    assert_eq!(found.dam.cost, None);
}

#[test]
fn a_stated_finish_is_the_level() {
    let ending = |mut sheet: FloorSheet, at: f64| {
        sheet.finish = Some(at);
        sheet
    };
    let one = |sheets| compared(sheets, [1.0, 2.0], None).one;
    let given = one([ending(hall(), 1.0), kitchen()]).unwrap();
    near(given.pours[1].level, 1.0);
    near(given.pours[1].volume, 0.5 * 11_520.0);
    let given = one([hall(), ending(kitchen(), 0.75)]).unwrap();
    near(given.pours[0].level, 0.75);
    assert!(one([ending(hall(), 1.0), ending(kitchen(), 1.0)]).is_some());
    assert!(one([ending(hall(), 1.0), ending(kitchen(), 1.25)]).is_none());
    // Below the kitchen: nothing is poured there, and its floor stands above.
    let low = one([ending(hall(), 0.25), kitchen()]).unwrap();
    near(low.pours[1].volume, 0.0);
    near(low.pours[1].mean, 0.0);
    near(low.pours[1].shallowest, -0.25);
}

#[test]
fn floors_that_overlap_are_told_from_floors_that_touch() {
    let overlap = |a: FloorSheet, b: FloorSheet| match joined(&[a, b]) {
        Ok(_) => None,
        Err(clashes) => match clashes[..] {
            [([0, 1], Clash::Overlap(deep))] => Some(deep),
            _ => panic!("{clashes:?}"),
        },
    };
    let hall = || flat((0.0, 0.0), (120.0, 120.0), 0.0);
    let beside = |x: f64| flat((x, 0.0), (96.0, 120.0), 0.0);
    assert_eq!(overlap(hall(), beside(120.0)), None, "they touch");
    assert_eq!(overlap(hall(), beside(119.0)), None, "an inch by the tape");
    near(overlap(hall(), beside(110.0)).unwrap(), 10.0);
    assert!(overlap(hall(), hall()).unwrap() > 10.0, "the same place");
    // Two long floors that cross: no corner of one lies in the other.
    let across = flat((0.0, 50.0), (240.0, 20.0), 0.0);
    let along = flat((100.0, 0.0), (20.0, 240.0), 0.0);
    near(overlap(across, along).unwrap(), 10.0);
    // A closet in an island of the floor around it.
    let island = [(30.0, 30.0), (90.0, 30.0), (90.0, 90.0), (30.0, 90.0)];
    let mut around = hall();
    let corners = island.map(|(x, y)| Point::new(x, y));
    around.rings.push(corners.to_vec());
    let closet = open(
        flat((35.0, 35.0), (50.0, 50.0), 0.0),
        (0.0, 10.0),
        (0.0, 40.0),
    );
    assert_eq!(widths(&[around, closet]), [30.0]);
}

#[test]
fn rods_and_elevations_have_no_line_in_common() {
    let mut rod = kitchen();
    rod.rod = true;
    let clashes = joined(&[hall(), rod]).unwrap_err();
    assert_eq!(clashes, [([0, 1], Clash::RodAndElevation)]);
}

/// ADA Standards 303.2 to 303.4 and 405.2, from memory; the U.S. Access Board publishes them.
#[test]
fn steps_ask_for_what_the_accessibility_standards_say() {
    let expected = [
        (0.0, Transition::Upright),
        (0.25, Transition::Upright),
        (-0.25, Transition::Upright),
        (0.375, Transition::Bevel(0.75)),
        (0.5, Transition::Bevel(1.0)),
        (0.75, Transition::Ramp(9.0)),
        (-1.0, Transition::Ramp(12.0)),
    ];
    for (step, asks) in expected {
        assert_eq!(transition(step), asks, "{step}");
    }
}
