//! The map of a floor as a picture: how deep the pour is, where the floor stays dry, where
//! to grind, and what to dam. Lengths and heights are inches.
//!
//! One hue from light to dark says how deep; every difference also shows without colour,
//! so the map can be printed in grey.

use crate::contour::Contours;
use crate::map_bands::Bands;
use crate::map_draw::Drawing;
use crate::map_layout::{Fit, Frame};
use crate::map_legend::{Legend, heading, scale_bar};
use crate::map_plan::Plan;
use crate::surface::{Point, Surface};
use crate::{map_png, map_svg};

pub use crate::map_png::MapError;

/// Width of the picture in pixels.
const WIDTH: f64 = 1200.0;
/// White space around the picture.
const MARGIN: f64 = 40.0;
/// Height of title and subtitle.
const HEAD: f64 = 104.0;
/// Height of the line with the scale bar.
const FOOT: f64 = 40.0;
/// Room around the plan for labels outside the room.
const AROUND: f64 = 44.0;
/// Width of a legend beside the plan.
const BESIDE: f64 = 310.0;
/// Columns of a legend under the plan.
const COLUMNS: usize = 3;
/// A plan so many times wider than high has its legend below.
const WIDE: f64 = 1.8;

/// A place to grind.
#[derive(Clone, Debug, PartialEq)]
pub struct HighSpot {
    /// Where.
    pub at: Point,
    /// What to do there, in a few words; may be empty.
    pub text: String,
}

/// Something that reaches from one point to another: a dam along its line, or a register
/// by two opposite corners.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// One end or corner.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// What it is, in a few words; may be empty.
    pub text: String,
}

/// What to draw. Lengths and heights are inches; on the plan `y` runs up. Places that are not
/// numbers, or further from the room than it is large, are left out.
#[derive(Clone, Copy)]
pub struct MapInput<'a> {
    /// The title.
    pub title: &'a str,
    /// The floor.
    pub surface: &'a Surface,
    /// The outline of the room and its islands. When empty, the edge of the surface is drawn.
    pub rings: &'a [Vec<Point>],
    /// The height of the pour. Without one the map shows heights over the lowest point.
    pub level: Option<f64>,
    /// Places to grind.
    pub high_spots: &'a [HighSpot],
    /// Openings that need a dam.
    pub openings: &'a [Feature],
    /// Floor registers.
    pub registers: &'a [Feature],
    /// Soft joints of the tile, each from wall to wall.
    pub joints: &'a [(Point, Point)],
    /// Whether contours and scale bar are metric.
    pub metric: bool,
    /// Words for a depth, given in inches.
    pub length_label: &'a dyn Fn(f64) -> String,
}

/// The map as an SVG document. Needs nothing beside itself but the viewer's sans-serif typeface.
pub fn svg(input: &MapInput<'_>) -> String {
    map_svg::write(&draw(input), input.title)
}

/// The map as a PNG file, 1200 pixels wide.
///
/// # Errors
/// When the picture cannot be drawn or written.
pub fn png(input: &MapInput<'_>) -> Result<Vec<u8>, MapError> {
    map_png::write(&draw(input))
}

fn draw(input: &MapInput<'_>) -> Drawing {
    let place = |at: &Point| at.x.abs() < 1e12 && at.y.abs() < 1e12;
    let rings = input.rings.iter().filter(|ring| ring.iter().all(place));
    let rings: Vec<Vec<Point>> = rings.cloned().collect();
    let contours = Contours::new(input.surface);
    let floor = contours.outline();
    let corners = floor.iter().chain(&rings).flatten().copied();
    let bounds =
        Frame::of(corners).unwrap_or_else(|| Frame::around(Point::new(0.0, 0.0), 1.0, 1.0));
    let near = Near::new(input, &bounds);
    let input = &MapInput {
        rings: &rings,
        high_spots: &near.high_spots,
        openings: &near.openings,
        registers: &near.registers,
        ..*input
    };
    let bands = Bands::new(input.surface, input.level, input.metric);
    let page = Page::new(&bounds);
    let fit = Fit::new(&bounds, &page.inner);
    let floor = fit.lines(&floor);
    let outline = match input.rings {
        [] => floor.clone(),
        rings => fit.lines(rings),
    };
    let plan = Plan {
        input,
        bands: &bands,
        fit,
        floor,
        outline,
    };
    let readings = plan.readings();
    let legend = Legend::new(input, &bands, readings.len());
    let foot = page.frame.bottom + FOOT;
    let bottom = foot.max(page.legend.y + legend.height(page.columns));
    let mut drawing = Drawing {
        width: WIDTH as u32,
        height: (bottom + MARGIN / 2.0).ceil() as u32,
        marks: Vec::new(),
    };
    let top = Point::new(MARGIN, 48.0);
    heading(&mut drawing, input, &bands, top, WIDTH - 2.0 * MARGIN);
    plan.draw(&mut drawing, &contours, &readings, page.frame);
    legend.draw(&mut drawing, page.legend, page.columns, page.column);
    let left = fit.point(Point::new(bounds.left, bounds.top)).x;
    let start = Point::new(left, foot - 26.0);
    scale_bar(&mut drawing, start, fit.scale, input.metric);
    drawing
}

/// Where the parts of the picture go.
struct Page {
    /// The plan and the labels around it.
    frame: Frame,
    /// The plan itself.
    inner: Frame,
    /// The upper left corner of the legend.
    legend: Point,
    /// The columns of the legend.
    columns: usize,
    /// The width of each.
    column: f64,
}

impl Page {
    /// Sets the legend beside the plan, or below one that is much wider than high.
    fn new(bounds: &Frame) -> Self {
        let is_wide = bounds.width() > WIDE * bounds.height();
        let across = WIDTH - 2.0 * MARGIN;
        let (width, most) = if is_wide {
            (across, 760.0)
        } else {
            (across - BESIDE - 20.0, 1220.0)
        };
        let (width, most) = (width - 2.0 * AROUND, most - 2.0 * AROUND);
        let scale = (width / bounds.width()).min(most / bounds.height());
        let inner = Frame {
            left: MARGIN + AROUND,
            top: HEAD + AROUND,
            right: MARGIN + AROUND + width,
            bottom: HEAD + AROUND + bounds.height() * scale,
        };
        let (wide, high) = (width + 2.0 * AROUND, inner.height() + 2.0 * AROUND);
        let frame = Frame::around(inner.middle(), wide, high);
        if is_wide {
            Self {
                frame,
                inner,
                legend: Point::new(MARGIN, frame.bottom + FOOT + 10.0),
                columns: COLUMNS,
                column: across / COLUMNS as f64,
            }
        } else {
            Self {
                frame,
                inner,
                legend: Point::new(frame.right + 20.0, inner.top - 10.0),
                columns: 1,
                column: BESIDE,
            }
        }
    }
}

/// What is on the picture or near it. The rest is left out: places that are not numbers, or
/// further off than the room is large.
struct Near {
    high_spots: Vec<HighSpot>,
    openings: Vec<Feature>,
    registers: Vec<Feature>,
}

impl Near {
    fn new(input: &MapInput<'_>, bounds: &Frame) -> Self {
        let size = 3.0 * bounds.width().max(bounds.height());
        let around = Frame::around(bounds.middle(), size, size);
        let is_near = |at: Point| Frame::around(at, 0.0, 0.0).within(&around);
        let features = |all: &[Feature]| -> Vec<Feature> {
            let near = all.iter().filter(|f| is_near(f.from) && is_near(f.to));
            near.cloned().collect()
        };
        let spots = input.high_spots.iter().filter(|spot| is_near(spot.at));
        Self {
            high_spots: spots.cloned().collect(),
            openings: features(input.openings),
            registers: features(input.registers),
        }
    }
}

#[cfg(test)]
mod tests;
