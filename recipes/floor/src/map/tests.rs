use super::*;
use crate::surface::{Extent, Reading};

fn label(depth: f64) -> String {
    format!("{depth:.3} in")
}

fn room(width: f64, length: f64) -> Vec<Vec<Point>> {
    let corners = [(0.0, 0.0), (width, 0.0), (width, length), (0.0, length)];
    vec![corners.map(|(x, y)| Point::new(x, y)).to_vec()]
}

/// A floor with readings about a step apart, walls included.
fn floor(width: f64, length: f64, step: f64, height: impl Fn(Point) -> f64) -> Surface {
    let (columns, rows) = ((width / step).round(), (length / step).round());
    let mut readings = Vec::new();
    for row in 0..=rows as i32 {
        for column in 0..=columns as i32 {
            let at = Point::new(
                width * f64::from(column) / columns,
                length * f64::from(row) / rows,
            );
            let height = height(at);
            readings.push(Reading { at, height });
        }
    }
    Surface::new(&readings, Extent::Rings(&room(width, length))).unwrap()
}

fn input<'a>(surface: &'a Surface, level: Option<f64>) -> MapInput<'a> {
    MapInput {
        title: "Bedroom",
        surface,
        rings: &[],
        level,
        high_spots: &[],
        openings: &[],
        registers: &[],
        joints: &[],
        metric: false,
        length_label: &label,
    }
}

/// Width and height as the header of a PNG file says (PNG specification, IHDR).
fn size(png: &[u8]) -> (u32, u32) {
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    (number(16), number(20))
}

#[test]
fn titles_and_notes_are_escaped() {
    let surface = floor(144.0, 120.0, 24.0, |at| at.x / 200.0);
    let high_spots = [HighSpot {
        at: Point::new(96.0, 60.0),
        text: "grind <here>".to_owned(),
    }];
    let svg = svg(&MapInput {
        title: "Tom's <&\" room",
        high_spots: &high_spots,
        ..input(&surface, None)
    });
    assert!(svg.contains("<title>Tom&#39;s &lt;&amp;&quot; room</title>"));
    assert!(svg.contains(">Tom&#39;s &lt;&amp;&quot; room</text>"));
    assert!(svg.contains(">grind &lt;here&gt;</text>"));
    assert!(!svg.contains("<&") && !svg.contains("<here"));
}

#[test]
fn the_same_floor_makes_the_same_files() {
    let surface = floor(144.0, 120.0, 12.0, |at| {
        (at.x / 30.0).sin() * (at.y / 40.0).cos()
    });
    let input = input(&surface, Some(0.4));
    assert_eq!(svg(&input), svg(&input));
    assert_eq!(png(&input).unwrap(), png(&input).unwrap());
}

#[test]
fn no_room_makes_a_huge_picture() {
    for (width, length) in [(36.0, 30.0), (144.0, 120.0), (480.0, 36.0), (36.0, 480.0)] {
        let surface = floor(width, length, 18.0, |at| (at.x + at.y) / 300.0);
        let input = input(&surface, Some(2.0));
        let Drawing { width, height, .. } = draw(&input);
        assert_eq!(width, 1200);
        // Printed as wide as a letter page, no higher than it: 11 / 8.5 of the width.
        assert!((400..=1552).contains(&height), "{height}");
        let start = format!("width=\"{width}\" height=\"{height}\"");
        assert!(svg(&input).contains(&start));
    }
}

#[test]
fn the_picture_is_as_large_as_the_drawing() {
    let surface = floor(480.0, 36.0, 18.0, |at| at.x / 300.0);
    let input = input(&surface, Some(2.0));
    let Drawing { width, height, .. } = draw(&input);
    assert_eq!(size(&png(&input).unwrap()), (width, height));
}

#[test]
fn a_contour_is_drawn_where_the_plane_reaches_its_depth() {
    // Depth x / 96 below a level of nothing: 1/2 at x = 48 of 96, in the middle of the plan.
    let surface = floor(96.0, 96.0, 24.0, |at| -at.x / 96.0);
    let drawing = draw(&input(&surface, Some(0.0)));
    let lines: Vec<&Vec<Vec<Point>>> = drawing
        .marks
        .iter()
        .filter_map(|mark| match mark {
            crate::map_draw::Mark::Lines { lines, width, .. } if *width == 1.5 => Some(lines),
            _ => None,
        })
        .collect();
    // The frame of the plan is 790 wide with 44 left free on either side.
    let (left, right) = (MARGIN + AROUND, WIDTH - MARGIN - BESIDE - 20.0 - AROUND);
    for eighth in 1..8 {
        let x = left + (right - left) * f64::from(eighth) / 8.0;
        let upright = |line: &Vec<Point>| line.iter().all(|at| (at.x - x).abs() < 1e-6);
        assert!(lines.iter().any(|lines| lines.iter().all(upright)), "{x}");
    }
}

#[test]
fn shades_darken_with_depth_and_dry_floor_is_white() {
    // Dry on the left quarter, then deeper and deeper.
    let surface = floor(96.0, 96.0, 24.0, |at| 0.25 - at.x / 96.0);
    let drawing = png(&input(&surface, Some(0.0))).unwrap();
    let picture = tiny_skia::Pixmap::decode_png(&drawing).unwrap();
    let (left, right) = (MARGIN + AROUND, WIDTH - MARGIN - BESIDE - 20.0 - AROUND);
    // The commonest grey of a column: neither a line nor lettering.
    let shade = |part: f64| {
        let x = (left + (right - left) * part) as u32;
        let mut count = [0u32; 256];
        for y in 200..800 {
            count[usize::from(picture.pixel(x, y).unwrap().red())] += 1;
        }
        (0..256).max_by_key(|grey| count[*grey]).unwrap()
    };
    assert_eq!(shade(0.2), 255);
    let shades = [0.29, 0.42, 0.54, 0.66, 0.79, 0.91].map(shade);
    assert!(shades.is_sorted_by(|a, b| a > b), "{shades:?}");
}

#[test]
fn labels_say_depths_with_a_level_and_heights_without() {
    let surface = floor(96.0, 96.0, 24.0, |at| 3.0 + at.x / 96.0);
    let with = svg(&input(&surface, Some(4.25)));
    assert!(with.contains(">Depth below the pour level: 0.250 in to 1.250 in</text>"));
    assert!(with.contains(">1.125 in to 1.250 in</text>"));
    let without = svg(&input(&surface, None));
    assert!(without.contains(">Height over the lowest point: up to 1.000 in</text>"));
    assert!(without.contains(">0.875 in to 1.000 in</text>"));
    let dry = svg(&input(&surface, Some(2.0)));
    assert!(dry.contains(">All of the floor is above the pour level</text>"));
}

#[test]
fn dams_and_registers_are_in_the_legend_only_when_there_are_any() {
    let surface = floor(96.0, 96.0, 24.0, |at| at.x / 96.0);
    let plain = input(&surface, Some(1.0));
    let feature = [Feature {
        from: Point::new(0.0, 30.0),
        to: Point::new(0.0, 66.0),
        text: String::new(),
    }];
    let dammed = svg(&MapInput {
        openings: &feature,
        ..plain
    });
    let registered = svg(&MapInput {
        registers: &feature,
        ..plain
    });
    let has = |svg: &str| ["Dam at opening", "Floor register"].map(|words| svg.contains(words));
    assert_eq!(has(&svg(&plain)), [false, false]);
    assert_eq!(has(&dammed), [true, false]);
    assert_eq!(has(&registered), [false, true]);
}

#[test]
fn soft_joints_are_dashed_lines_from_end_to_end() {
    let surface = floor(96.0, 96.0, 24.0, |at| at.x / 96.0);
    let plain = input(&surface, Some(1.0));
    let joints = [(Point::new(48.0, 0.0), Point::new(48.0, 96.0))];
    let jointed = MapInput {
        joints: &joints,
        ..plain
    };
    let has = |svg: &str| svg.contains(">Soft joint</text>");
    assert_eq!(
        [svg(&plain), svg(&jointed)].map(|svg| has(&svg)),
        [false, true]
    );
    // The plan is 702 wide and as high; the dashes begin and end at its edges.
    let fresh = draw(&jointed).marks;
    let dashes = fresh.iter().find_map(|mark| match mark {
        crate::map_draw::Mark::Lines { lines, width, .. } if *width == 4.0 => Some(lines),
        _ => None,
    });
    let dashes = dashes.unwrap();
    let length: f64 = dashes.iter().map(|dash| dash[0].distance(dash[1])).sum();
    assert!((0.5..0.8).contains(&(length / 702.0)), "{length}");
    let ends = dashes[0][0].distance(dashes[dashes.len() - 1][1]);
    assert!((ends - 702.0).abs() < 1e-6, "{ends}");
}

#[test]
fn places_that_are_not_numbers_or_far_off_are_left_out() {
    let surface = floor(96.0, 96.0, 24.0, |at| at.x / 96.0);
    let plain = input(&surface, Some(1.0));
    let nowhere = Point::new(f64::NAN, 1e300);
    let high_spots = [HighSpot {
        at: nowhere,
        text: "grind".to_owned(),
    }];
    let rings = [vec![nowhere]];
    let odd = MapInput {
        high_spots: &high_spots,
        rings: &rings,
        ..plain
    };
    assert_eq!(svg(&odd), svg(&plain));
    let far = [Feature {
        from: Point::new(0.0, 0.0),
        to: Point::new(1e11, 0.0),
        text: "Dam".to_owned(),
    }];
    let far = MapInput {
        openings: &far,
        ..plain
    };
    assert_eq!(svg(&far), svg(&plain));
    let no_level = MapInput {
        level: Some(f64::NAN),
        ..plain
    };
    assert_eq!(svg(&no_level), svg(&input(&surface, None)));
}

#[test]
fn many_readings_make_a_picture_with_fewer_marks() {
    let surface = floor(1200.0, 1200.0, 24.0, |at| {
        (at.x / 200.0).sin() + (at.y / 300.0).cos()
    });
    let svg = svg(&input(&surface, Some(2.5)));
    let words = svg.matches("<text").count();
    assert!((40..400).contains(&words), "{words}");
    assert!(svg.contains(">Reading (some shown)</text>"));
}
