//! What the map of a surveyed floor shows.

use engine::plugin::{Currency, System, Unit, Units, write};

use crate::map::{Feature, HighSpot, MapInput};
use crate::sheet::MarkKind;
use crate::surface::{Point, Surface};
use crate::survey::FloorSurvey;

/// The parts of a map, owned.
pub struct Drawing {
    surface: Surface,
    rings: Vec<Vec<Point>>,
    level: Option<f64>,
    metric: bool,
    high_spots: Vec<HighSpot>,
    openings: Vec<Feature>,
    registers: Vec<Feature>,
    joints: Vec<(Point, Point)>,
    label: Box<dyn Fn(f64) -> String>,
}

impl Drawing {
    /// A map of a floor under a pour up to a level; without a level, of its heights.
    pub fn new(survey: &FloorSurvey, level: Option<f64>, system: System) -> Self {
        let metric = system == System::Si;
        let (openings, registers): (Vec<_>, Vec<_>) = survey
            .sheet
            .marks
            .iter()
            .partition(|mark| mark.kind == MarkKind::Opening);
        let feature = |text: &str| {
            let text = text.to_owned();
            move |mark: &crate::sheet::Mark| Feature {
                from: as_on_sheet(mark.from),
                to: as_on_sheet(mark.to),
                text: text.clone(),
            }
        };
        let label = length_label(metric);
        let mut surface = survey.surface.clone();
        for vertex in &mut surface.vertices {
            vertex.at = as_on_sheet(vertex.at);
        }
        for [a, b, _] in &mut surface.triangles {
            std::mem::swap(a, b);
        }
        let rings = survey.sheet.rings.iter();
        Self {
            surface,
            rings: rings
                .map(|ring| ring.iter().copied().map(as_on_sheet).collect())
                .collect(),
            level,
            metric,
            high_spots: high_spots(survey, level, &label),
            openings: openings.into_iter().map(feature("dam")).collect(),
            registers: registers.into_iter().map(feature("register")).collect(),
            joints: Vec::new(),
            label,
        }
    }

    /// The same with the soft joints of a spacing, in inches; without one, or where the floor
    /// has no plan for it, as it was.
    #[must_use]
    pub fn with_joints(mut self, survey: &FloorSurvey, spacing: Option<f64>) -> Self {
        let plan = spacing.and_then(|spacing| survey.joints(spacing).ok());
        let segments = plan.map(|plan| plan.segments).unwrap_or_default();
        self.joints = segments
            .into_iter()
            .map(|(from, to)| (as_on_sheet(from), as_on_sheet(to)))
            .collect();
        self
    }

    /// The map as it is drawn.
    pub fn input<'b>(&'b self, title: &'b str) -> MapInput<'b> {
        MapInput {
            title,
            surface: &self.surface,
            rings: &self.rings,
            level: self.level,
            high_spots: &self.high_spots,
            openings: &self.openings,
            registers: &self.registers,
            joints: &self.joints,
            metric: self.metric,
            length_label: &*self.label,
        }
    }
}

/// On the sheet `along` runs down, on the map up: turned, so that both look alike.
fn as_on_sheet(at: Point) -> Point {
    Point::new(at.x, -at.y)
}

/// The highest reading, or all that stand above the level.
fn high_spots(
    survey: &FloorSurvey,
    level: Option<f64>,
    label: &dyn Fn(f64) -> String,
) -> Vec<HighSpot> {
    let surface = &survey.surface;
    let highest = surface.highest();
    let above = |height: f64| level.is_some_and(|level| height > level + 1e-6);
    surface.vertices[..surface.readings()]
        .iter()
        .filter(|vertex| above(vertex.height) || vertex.height == highest)
        .map(|vertex| HighSpot {
            at: as_on_sheet(vertex.at),
            text: match level {
                Some(level) if above(vertex.height) => {
                    format!("grind {}", label(vertex.height - level))
                }
                _ => "highest".to_owned(),
            },
        })
        .collect()
}

/// Writes a depth: sixteenths of an inch, or whole millimetres.
pub(crate) fn length_label(metric: bool) -> Box<dyn Fn(f64) -> String> {
    let units = Units::new(Currency::default()).ok();
    let unit = units
        .as_ref()
        .and_then(|units| units.find(if metric { "mm" } else { "in" }).cloned());
    let (units, unit): (Units, Unit) = match (units, unit) {
        (Some(units), Some(unit)) => (units, unit),
        _ => return Box::new(|length| format!("{length:.2} in")),
    };
    Box::new(move |length| {
        let step = if metric { unit.size } else { 1.0 / 16.0 };
        write((length / step).round() * step, &unit, &units)
    })
}
