//! Drawings say what the layout says.

use super::*;
use crate::offcut::plan;
use crate::pattern::Pattern;
use crate::room::Room;
use crate::shape::Direction;
use crate::start::{On, Start};
use crate::testing::grid;

fn kitchen() -> Room {
    let outline = [
        (0.0, 0.0),
        (168.0, 0.0),
        (168.0, 100.0),
        (120.0, 100.0),
        (120.0, 144.0),
        (0.0, 144.0),
    ];
    let outline: Ring = outline.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    let obstacles = [
        Rect::new(40.0, 60.0, 50.0, 26.0).ring(),
        Rect::new(130.0, 6.0, 12.0, 4.0).ring(),
    ];
    Room::new(&outline, &obstacles).unwrap()
}

fn eighths(length: f64) -> String {
    format!("{:.3} in", length)
}

fn kinds() -> Vec<(&'static str, Layout)> {
    let mut laying = grid(24.0, 12.0, 0.125);
    laying.gap = 0.25;
    laying.start = Start::Centred {
        along: On::Joint,
        across: On::Tile,
    };
    let mut kinds = Vec::new();
    let mut add = |name, laying: &crate::layout::Laying| {
        kinds.push((name, Layout::new(&kitchen(), laying).unwrap()));
    };
    add("grid", &laying);
    laying.pattern = Pattern::Offset(1.0 / 3.0);
    laying.start = Start::Wall {
        near: Point::new(80.0, 0.0),
        on: On::Joint,
    };
    add("third", &laying);
    laying.tile.width = 6.0;
    laying.pattern = Pattern::Herringbone;
    laying.direction = Direction::DIAGONAL;
    laying.start = Start::Line {
        at: Point::new(60.0, 0.0),
        to: Direction::UP,
        on: On::Joint,
    };
    add("herringbone", &laying);
    laying.tile.length = 12.0;
    laying.tile.width = 12.0;
    laying.pattern = Pattern::Grid;
    laying.start = Start::Centred {
        along: On::Joint,
        across: On::Joint,
    };
    add("diagonal", &laying);
    kinds
}

#[test]
fn drawings_count_and_measure_and_are_the_same_every_time() {
    for (name, layout) in kinds() {
        let plan = plan(&layout, 0.125);
        let sheet = Sheet {
            title: "Check room <1>",
            layout: &layout,
            plan: Some(&plan),
            metric: false,
            length_label: &eighths,
        };
        let svg = svg(&sheet);
        let counts = layout.counts();
        for text in [
            format!(">{} whole tiles<", counts.full),
            format!(">{} cut at walls<", counts.wall_cuts),
            format!(">{} cut around obstacles<", counts.obstacle_cuts),
            format!(">{} tiles, nothing used again<", counts.without_reuse()),
            format!(">{} tiles, offcuts used again<", plan.tiles()),
            format!(": {}<", eighths(layout.narrowest().unwrap().width)),
            "Check room &lt;1&gt;".to_owned(),
        ] {
            assert!(svg.contains(&text), "{name}: {text}");
        }
        assert_eq!(svg, super::svg(&sheet));
        let png = png(&sheet).unwrap();
        assert_eq!(png, super::png(&sheet).unwrap());
        if let Ok(folder) = std::env::var("TILE_PICTURES") {
            std::fs::write(format!("{folder}/{name}.png"), png).unwrap();
            std::fs::write(format!("{folder}/{name}.svg"), svg).unwrap();
        }
    }
}

#[test]
fn cut_tiles_are_grey_and_whole_ones_white() {
    // 3 1/2 tiles along a wall: the half is grey on the plan.
    let room = Room::rectangle(42.0, 12.0).unwrap();
    let layout = Layout::new(&room, &grid(12.0, 12.0, 0.0)).unwrap();
    let sheet = Sheet {
        title: "",
        layout: &layout,
        plan: None,
        metric: true,
        length_label: &eighths,
    };
    let picture = draw(&sheet);
    let pixels = tiny_skia::Pixmap::decode_png(&png(&sheet).unwrap()).unwrap();
    let page = Page::new(&layout);
    for (x, shade) in [(6.0, WHITE), (18.0, WHITE), (40.0, CUT)] {
        // Off the start lines and the dimension.
        let at = page.point(Point::new(x, 3.0));
        let pixel = pixels.pixel(at.x as u32, at.y as u32).unwrap();
        assert_eq!(pixel.red(), shade, "{x}");
    }
    assert_eq!(picture.height, pixels.height());
}
