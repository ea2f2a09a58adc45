//! The drawing of a layout: whole tiles white, cuts along walls grey, cuts around obstacles hatched
//! as well; the start lines, the narrowest cut with its width, the scale, and a legend that counts.

use std::fmt;

use crate::layout::{Laid, Layout};
use crate::offcut::Plan;
use crate::picture::{Grey, Mark, Picture, Text, WHITE};
use crate::picture::{across, circle, closed, dashed, hatch};
use crate::shape::{Point, Rect, Ring};
use crate::{picture_png, picture_svg};

/// Width of the picture in pixels.
const WIDTH: f64 = 1200.0;
/// The plan is at most so high.
const MOST_HIGH: f64 = 1100.0;
/// White space around the plan, where start lines reach into.
const MARGIN: f64 = 60.0;
/// Height of the title.
const HEAD: f64 = 70.0;
/// Height of a line of the legend.
const LINE: f64 = 32.0;
/// Shade of cut tiles: light enough for lines to show on, dark enough to show in print.
const CUT: Grey = 208;
/// Shade of obstacles.
const OBSTACLE: Grey = 110;
/// Between the lines of a hatch.
const HATCH: f64 = 7.0;
/// A dimension shorter than this gets a ring around it.
const SMALL: f64 = 14.0;

/// What to draw.
#[derive(Clone, Copy)]
pub struct Sheet<'a> {
    /// The title.
    pub title: &'a str,
    /// The layout.
    pub layout: &'a Layout,
    /// Which cut comes out of which tile; the legend says how many tiles that takes.
    pub plan: Option<&'a Plan>,
    /// Whether the scale bar is metric.
    pub metric: bool,
    /// Words for a length, given in inches.
    pub length_label: &'a dyn Fn(f64) -> String,
}

/// Why there is no picture.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureError {
    /// The picture is too large to draw.
    Size,
    /// The picture could not be written as PNG, and why.
    Encode(String),
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size => f.write_str("the picture is too large to draw"),
            Self::Encode(why) => write!(f, "the picture could not be written: {why}"),
        }
    }
}

impl std::error::Error for PictureError {}

/// The drawing as an SVG document. Needs nothing beside itself but the viewer's sans-serif typeface.
pub fn svg(sheet: &Sheet<'_>) -> String {
    picture_svg::write(&draw(sheet), sheet.title)
}

/// The drawing as a PNG file, 1200 pixels wide.
///
/// # Errors
/// When the picture cannot be drawn or written.
pub fn png(sheet: &Sheet<'_>) -> Result<Vec<u8>, PictureError> {
    picture_png::write(&draw(sheet))
}

/// From the layout to the page.
struct Page<'a> {
    layout: &'a Layout,
    /// The room as it was given, in inches.
    bounds: Rect,
    /// Pixels for an inch.
    scale: f64,
    /// The left edge of the plan.
    left: f64,
}

impl<'a> Page<'a> {
    fn new(layout: &'a Layout) -> Self {
        let outline = layout.room.rings().iter().flatten();
        let outline: Vec<Point> = outline.map(|at| layout.in_room(*at)).collect();
        let bounds = Rect::around(&outline).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
        let wide = (WIDTH - 2.0 * MARGIN) / bounds.width();
        let scale = wide.min(MOST_HIGH / bounds.height());
        Self {
            layout,
            bounds,
            scale,
            left: (WIDTH - scale * bounds.width()) / 2.0,
        }
    }

    fn point(&self, at: Point) -> Point {
        let at = self.layout.in_room(at);
        Point::new(
            self.left + (at.x - self.bounds.left) * self.scale,
            HEAD + MARGIN + (self.bounds.top - at.y) * self.scale,
        )
    }

    fn rings(&self, rings: &[Ring]) -> Vec<Ring> {
        let ring = |ring: &Ring| ring.iter().map(|at| self.point(*at)).collect();
        rings.iter().map(ring).collect()
    }

    /// The lower edge of the plan.
    fn bottom(&self) -> f64 {
        HEAD + MARGIN + self.bounds.height() * self.scale
    }
}

fn draw(sheet: &Sheet<'_>) -> Picture {
    let page = Page::new(sheet.layout);
    let mut picture = Picture {
        width: WIDTH as u32,
        height: 0,
        marks: Vec::new(),
    };
    picture.marks.push(Mark::Text(Text {
        at: Point::new(MARGIN, 48.0),
        text: sheet.title.to_owned(),
        large: true,
        centred: false,
    }));
    tiles(&mut picture, &page);
    starts(&mut picture, &page);
    let narrow = sheet.layout.narrowest().map(|narrow| {
        let ends = (page.point(narrow.from), page.point(narrow.to));
        (ends, (sheet.length_label)(narrow.width))
    });
    if let Some(((from, to), _)) = narrow {
        dimension(&mut picture, from, to);
    }
    // Walls go over the rims that keep start lines and dimension apart from the tiles.
    walls(&mut picture, &page);
    if let Some(((from, to), text)) = narrow {
        label(&mut picture, &page, (from, to), text);
    }
    let top = page.bottom() + MARGIN;
    scale_bar(
        &mut picture,
        Point::new(MARGIN, top),
        page.scale,
        sheet.metric,
    );
    let bottom = legend(&mut picture, Point::new(MARGIN, top + 50.0), sheet);
    picture.height = bottom.ceil() as u32;
    picture
}

/// All tiles, one mark for those of a kind however many they are, and the obstacles.
fn tiles(picture: &mut Picture, page: &Page<'_>) {
    let layout = page.layout;
    let rings = |kind: &dyn Fn(&Laid) -> bool| -> Vec<Ring> {
        let of_kind = layout.tiles.iter().filter(|tile| kind(tile));
        of_kind.flat_map(|tile| page.rings(&tile.rings)).collect()
    };
    let all = rings(&|_| true);
    let cut = rings(&|tile| tile.cut.is_some());
    let around = rings(&|tile| tile.cut.is_some_and(|cut| cut.by_obstacle));
    picture.area(cut, CUT);
    picture.lines(hatch(&around, HATCH), 1.2);
    // Tiles that come out small are drawn with finer lines, so that they do not run together.
    let smallest = layout.laying.tile.length.min(layout.laying.tile.width);
    let width = (smallest * page.scale / 12.0).clamp(0.1, 1.5);
    picture.lines(closed(&all), width);
    let obstacles = layout.room.rings().get(1..).unwrap_or_default();
    picture.area(page.rings(obstacles), OBSTACLE);
}

/// Walls, and the edges of obstacles.
fn walls(picture: &mut Picture, page: &Page<'_>) {
    let rings = page.rings(page.layout.room.rings());
    picture.lines(closed(&rings), 4.0);
}

/// The start lines, a little beyond the room on all sides.
fn starts(picture: &mut Picture, page: &Page<'_>) {
    let beyond = MARGIN / 2.0;
    let window = Rect {
        left: page.left - beyond,
        bottom: HEAD + MARGIN - beyond,
        right: WIDTH - page.left + beyond,
        top: page.bottom() + beyond,
    };
    let at = page.layout.lines;
    for toward in [Point::new(at.x + 1.0, at.y), Point::new(at.x, at.y + 1.0)] {
        if let Some((from, to)) = across(&window, page.point(at), page.point(toward)) {
            picture.marks.push(Mark::Lines {
                lines: vec![vec![from, to]],
                width: 5.0,
                shade: WHITE,
            });
            picture.lines(dashed(from, to), 2.5);
        }
    }
}

/// A line between two ticks.
fn dimension(picture: &mut Picture, from: Point, to: Point) {
    let length = from.distance(to).max(1e-9);
    let (x, y) = (
        (to.y - from.y) / length * 8.0,
        (from.x - to.x) / length * 8.0,
    );
    let tick = |at: Point| {
        let (a, b) = (
            Point::new(at.x - x, at.y - y),
            Point::new(at.x + x, at.y + y),
        );
        vec![a, b]
    };
    let lines = vec![vec![from, to], tick(from), tick(to)];
    picture.marks.push(Mark::Lines {
        lines: lines.clone(),
        width: 8.0,
        shade: WHITE,
    });
    picture.lines(lines, 4.0);
}

/// The width of a dimension, beside it on the side of the middle of the picture; a ring around one
/// that is too small to see.
fn label(picture: &mut Picture, page: &Page<'_>, (from, to): (Point, Point), text: String) {
    if from.distance(to) < SMALL {
        picture.lines(closed(&[circle(from.toward(to, 0.5), SMALL)]), 3.0);
    }
    let middle = from.toward(to, 0.5);
    let mut text = Text {
        at: middle,
        text,
        large: false,
        centred: true,
    };
    let is_level = (to.x - from.x).abs() > (to.y - from.y).abs();
    text.at = if is_level {
        Point::new(middle.x, middle.y + SMALL + 14.0)
    } else {
        let side = if middle.x < WIDTH / 2.0 { 1.0 } else { -1.0 };
        let beside = SMALL + 6.0 + text.width() / 2.0;
        Point::new(middle.x + side * beside, middle.y)
    };
    // Kept between the outer walls, where that leaves room.
    let half = page.left + text.width() / 2.0 + 10.0;
    if half < WIDTH / 2.0 {
        text.at.x = text.at.x.clamp(half, WIDTH - half);
    }
    picture.marks.push(Mark::Text(text));
}

/// A bar of a round length.
fn scale_bar(picture: &mut Picture, at: Point, scale: f64, metric: bool) {
    let (unit, name) = if metric {
        (1000.0 / 25.4, "m")
    } else {
        (12.0, "ft")
    };
    // The longest round length that takes no more than a quarter of the width.
    let rounds = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
    let fits = |round: &&f64| **round * unit * scale <= WIDTH / 4.0;
    let round = rounds.iter().rev().find(fits).copied().unwrap_or(rounds[0]);
    let end = Point::new(at.x + round * unit * scale, at.y);
    dimension(picture, at, end);
    picture.words(Point::new(end.x + 16.0, at.y), format!("{round} {name}"));
}

/// The legend in two columns; gives where it ends.
fn legend(picture: &mut Picture, at: Point, sheet: &Sheet<'_>) -> f64 {
    let counts = sheet.layout.counts();
    let has_obstacles = sheet.layout.inner.rings().len() > 1;
    let mut lines: Vec<(Sign, String)> = vec![
        (Sign::Full, format!("{} whole tiles", counts.full)),
        (Sign::WallCut, format!("{} cut at walls", counts.wall_cuts)),
    ];
    if has_obstacles {
        let cuts = format!("{} cut around obstacles", counts.obstacle_cuts);
        lines.push((Sign::ObstacleCut, cuts));
        lines.push((Sign::Obstacle, "obstacle".to_owned()));
    }
    lines.push((Sign::Start, "start lines".to_owned()));
    let narrowest = match sheet.layout.narrowest() {
        Some(narrow) => format!(
            "narrowest cut at a wall: {}",
            (sheet.length_label)(narrow.width)
        ),
        None => "no cut at a wall".to_owned(),
    };
    lines.push((Sign::Narrowest, narrowest));
    let needed = format!("{} tiles, nothing used again", counts.without_reuse());
    lines.push((Sign::None, needed));
    if let Some(plan) = sheet.plan {
        lines.push((
            Sign::None,
            format!("{} tiles, offcuts used again", plan.tiles()),
        ));
    }
    let rows = lines.len().div_ceil(2);
    for (index, (sign, text)) in lines.into_iter().enumerate() {
        let place = Point::new(
            at.x + (index / rows) as f64 * (WIDTH / 2.0 - MARGIN),
            at.y + (index % rows) as f64 * LINE,
        );
        sign.draw(picture, place);
        picture.words(Point::new(place.x + 56.0, place.y), text);
    }
    at.y + rows as f64 * LINE + 10.0
}

/// The sign of a line in the legend.
enum Sign {
    Full,
    WallCut,
    ObstacleCut,
    Obstacle,
    Start,
    Narrowest,
    None,
}

impl Sign {
    fn draw(&self, picture: &mut Picture, at: Point) {
        let (left, right) = (at, Point::new(at.x + 40.0, at.y));
        let ring = vec![Rect::new(at.x, at.y - 11.0, 40.0, 22.0).ring()];
        let fill = match self {
            Self::Full => WHITE,
            Self::WallCut | Self::ObstacleCut => CUT,
            Self::Obstacle => OBSTACLE,
            Self::Start => return picture.lines(dashed(left, right), 2.5),
            Self::Narrowest => return dimension(picture, left, right),
            Self::None => return,
        };
        picture.area(ring.clone(), fill);
        if matches!(self, Self::ObstacleCut) {
            picture.lines(hatch(&ring, HATCH), 1.2);
        }
        picture.lines(closed(&ring), 1.5);
    }
}

#[cfg(test)]
mod tests;
