//! The survey of a floor, as the engine knows it: readings, heights, answers.

use std::any::Any;
use std::sync::{Arc, OnceLock};

use engine::plugin::{
    Accepts, Diagnostic, Dimension, Fact, Findings, Gives, Outline, Parameter, Part, Place,
    Question, Reading, Survey, SurveySheet, Surveyor, System, parameter,
};

use crate::contour::Contours;
use crate::drawing::{Drawing, length_label};
use crate::joint_plan::{JointPlan, JointPlanError, perimeter};
use crate::level::{above, below, between_depths};
use crate::map;
use crate::parts::{self, Edge};
use crate::sheet::{self, FloorSheet};
use crate::slips::slips;
use crate::surface::{self, Extent, Point, Surface, SurfaceError};

/// Reads the sheets of floors.
#[derive(Debug)]
pub struct FloorSurveyor;

/// Readings whose nearest neighbour is looked for, to tell the spacing.
const MOST_LOOKED_AT: usize = 400;

/// The surveyor of floors.
pub static FLOORS: FloorSurveyor = FloorSurveyor;

const LEVEL: Parameter = parameter("level", Accepts::In("in"));
const SPACING: Parameter = parameter("spacing", Accepts::In("ft"));

/// What a script can ask a floor.
static QUESTIONS: [Question; 7] = [
    Question {
        name: "volume",
        parameters: &[LEVEL],
        gives: Gives::In("cu ft"),
        sentence: "The volume between the floor and a level, where parts of the floor may stand above it.",
    },
    Question {
        name: "dry_area",
        parameters: &[LEVEL],
        gives: Gives::In("sq ft"),
        sentence: "The area where the floor stands above a level.",
    },
    Question {
        name: "area_deeper",
        parameters: &[LEVEL, parameter("depth", Accepts::In("in"))],
        gives: Gives::In("sq ft"),
        sentence: "The area where a pour up to a level is deeper than a depth.",
    },
    Question {
        name: "lowest_along",
        parameters: &[parameter("part", Accepts::In(""))],
        gives: Gives::In("in"),
        sentence: "The lowest height of the floor along a wall, an opening or a register, by its number on the outline.",
    },
    Question {
        name: "joint_length",
        parameters: &[SPACING],
        gives: Gives::In("ft"),
        sentence: "The length of soft joints within the floor, where no panel of tile may be larger than a spacing.",
    },
    Question {
        name: "joint_panel",
        parameters: &[SPACING],
        gives: Gives::In("ft"),
        sentence: "The greatest side of a panel of tile between the soft joints of such a spacing.",
    },
    Question {
        name: "perimeter",
        parameters: &[],
        gives: Gives::In("ft"),
        sentence: "The length around the floor, and around columns and other islands in it.",
    },
];

/// What a floor's sheet may state.
static FACTS: [Fact; 1] = [Fact {
    name: "finish",
    title: "Finish level",
    note: "The level at which the pour must end, such as that of an adjoining floor.",
    dimension: Dimension::LENGTH,
}];

impl Surveyor for FloorSurveyor {
    fn kind(&self) -> &'static str {
        "floor"
    }

    fn title(&self) -> &'static str {
        "Readings"
    }

    fn pages_title(&self) -> &'static str {
        "Floors"
    }

    fn facts(&self) -> &'static [Fact] {
        &FACTS
    }

    fn questions(&self) -> &'static [Question] {
        &QUESTIONS
    }

    fn form(&self, system: System) -> (&'static str, Vec<Vec<String>>) {
        let (unit, step, accuracy) = match system {
            System::Us => ("ft", 2.0, "1/16 in"),
            System::Si => ("m", 0.5, "1.5 mm"),
        };
        let row = |cells: &[&str]| cells.iter().map(|cell| (*cell).to_owned()).collect();
        let positions = || (0..8).map(|n| (f64::from(n) * step).to_string());
        let corner = format!("y \\ x ({unit})");
        let mut rows = vec![
            row(&["Copy this sheet for each room and write its name into the room's Readings."]),
            row(&[
                "Heights",
                "rod",
                "rod: down from a level line, more is lower; or elevation: more is higher",
            ]),
            row(&["Accuracy", accuracy, "how exact a reading is"]),
            row(&[
                "Finish",
                "",
                "only where the pour must end at a given level: that level, read like the floor",
            ]),
            row(&[
                "Origin",
                "",
                "",
                "x and y of this sheet's 0, 0 in a plan of all rooms; with Line, to compare rooms that adjoin",
            ]),
            row(&[
                "Line",
                "",
                "a name for the laser line or datum: floors with the same name share their heights",
            ]),
            Vec::new(),
            std::iter::once(corner).chain(positions()).collect(),
        ];
        rows.extend(positions().map(|position| vec![position]));
        ("Floor form", rows)
    }

    fn read(&self, source: &SurveySheet<'_>, findings: &mut Findings) -> Option<Arc<dyn Survey>> {
        let sheet = sheet::read(source, findings)?;
        let whole = source.grid.sheet_place(source.sheet);
        match FloorSurvey::new(sheet) {
            Ok(mut survey) => {
                survey.say_slips(source.system == Some(System::Si));
                Some(Arc::new(survey))
            }
            Err((error, place)) => {
                findings.push(
                    Diagnostic::error(format!(
                        "the floor of {} cannot be spanned: {error}",
                        source.room
                    ))
                    .at(place.unwrap_or(whole)),
                );
                None
            }
        }
    }
}

/// A floor that was surveyed; lengths in inches.
#[derive(Clone, Debug)]
pub struct FloorSurvey {
    /// What stands on its sheet.
    pub sheet: FloorSheet,
    /// The surface over its readings.
    pub surface: Surface,
    /// Its outline by the readings, its edges and its parts: worked out when first asked for.
    outline: OnceLock<Vec<Vec<Point>>>,
    edges: OnceLock<Vec<Edge>>,
    parts: OnceLock<Vec<Part>>,
    readings: Vec<Reading>,
    remarks: Findings,
}

impl FloorSurvey {
    pub(crate) fn new(sheet: FloorSheet) -> Result<Self, (SurfaceError, Option<Place>)> {
        let heights: Vec<surface::Reading> = sheet
            .readings
            .iter()
            .map(|typed| surface::Reading {
                at: typed.at,
                height: sheet.turned(typed.read),
            })
            .collect();
        let extent = if !sheet.rings.is_empty() {
            Extent::Rings(&sheet.rings)
        } else if sheet.is_grid {
            Extent::Cells(&sheet.cells)
        } else {
            Extent::Readings
        };
        let surface = Surface::new(&heights, extent).map_err(|error| {
            let typed = error.reading().and_then(|index| sheet.readings.get(index));
            let place = typed.map(|typed| typed.place.clone());
            (error, place)
        })?;
        let readings = sheet
            .readings
            .iter()
            .zip(surface.shares())
            .map(|(typed, share)| Reading {
                across: typed.at.x,
                along: typed.at.y,
                read: typed.read,
                share,
                place: typed.place.clone(),
            })
            .collect();
        Ok(Self {
            sheet,
            surface,
            outline: OnceLock::new(),
            edges: OnceLock::new(),
            parts: OnceLock::new(),
            readings,
            remarks: Findings::new(),
        })
    }

    /// Names readings that stand far off their neighbours; they are used all the same.
    fn say_slips(&mut self, metric: bool) {
        let written = length_label(metric);
        for slip in slips(&self.surface) {
            let typed = &self.sheet.readings[slip.reading];
            self.remarks.push(
                Diagnostic::warning(format!(
                    "this reading of {} stands {} off its neighbours, which lead to expect {}",
                    written(typed.read),
                    written(slip.off.abs()),
                    written(self.sheet.turned(slip.expected))
                ))
                .at(typed.place.clone())
                .hint("It is used as it is. Was it typed wrong? Shoot it again if in doubt."),
            );
        }
    }

    /// The outline of the floor and its islands, as far as the readings tell it.
    pub fn outline(&self) -> &[Vec<Point>] {
        self.outline
            .get_or_init(|| Contours::new(&self.surface).outline())
    }

    /// The outline and its islands: as drawn, else as far as the readings tell it.
    pub fn rings(&self) -> &[Vec<Point>] {
        if self.sheet.rings.is_empty() {
            self.outline()
        } else {
            &self.sheet.rings
        }
    }

    /// The soft joints within the floor, given the greatest side of a panel.
    ///
    /// # Errors
    /// When the spacing cannot be used on this floor.
    pub fn joints(&self, spacing: f64) -> Result<JointPlan, JointPlanError> {
        JointPlan::new(self.outline(), (spacing, spacing))
    }

    /// What stands at its edge.
    fn edges(&self) -> &[Edge] {
        self.edges
            .get_or_init(|| parts::edges(&self.sheet, self.rings()))
    }

    /// A part of its edge by its number, counted from one.
    fn edge(&self, part: f64) -> Option<&Edge> {
        let mut numbered = (1u16..).zip(self.edges());
        numbered
            .find(|(number, _)| f64::from(*number) == part)
            .map(|(_, edge)| edge)
    }

    /// The level at which the pour must end, as a height.
    pub fn finish(&self) -> Option<f64> {
        self.sheet.finish.map(|read| self.sheet.turned(read))
    }

    /// The level of the finished pour: where it must end, else by its mean depth.
    pub fn level_of(&self, mean_depth: Option<f64>) -> Option<f64> {
        self.finish()
            .or_else(|| Some(self.surface.mean() + mean_depth?))
    }

    /// How the readings lie: the distance to the nearest other, for most of them.
    pub fn spacing(&self) -> f64 {
        let places = &self.surface.vertices[..self.surface.readings()];
        let mut nearest: Vec<f64> = places
            .iter()
            .take(MOST_LOOKED_AT)
            .map(|vertex| {
                let others = places.iter().filter(|other| *other != vertex);
                let far = others.map(|other| other.at.distance(vertex.at));
                far.fold(f64::INFINITY, f64::min)
            })
            .collect();
        nearest.sort_by(f64::total_cmp);
        nearest[nearest.len() / 2]
    }
}

impl Survey for FloorSurvey {
    fn readings(&self) -> &[Reading] {
        &self.readings
    }

    fn counts_down(&self) -> bool {
        self.sheet.rod
    }

    fn parts(&self) -> &[Part] {
        self.parts
            .get_or_init(|| self.edges().iter().map(|edge| edge.part.clone()).collect())
    }

    fn outline(&self) -> Option<Outline> {
        Some(parts::outline(&self.sheet, self.rings()))
    }

    fn fact(&self, name: &str) -> Option<f64> {
        match name {
            "finish" => self.finish(),
            _ => None,
        }
    }

    fn answer(&self, question: &str, arguments: &[f64]) -> Result<f64, String> {
        match (question, arguments) {
            ("volume", [level]) => Ok(below(&self.surface, *level).volume),
            ("dry_area", [level]) => Ok(above(&self.surface, *level).area),
            ("area_deeper", [level, depth]) => {
                Ok(between_depths(&self.surface, *level, *depth, f64::INFINITY).area)
            }
            ("lowest_along", [part]) => self
                .edge(*part)
                .and_then(|edge| edge.lowest(&self.surface))
                .ok_or_else(|| format!("the outline has no part {part} with floor along it")),
            ("joint_length" | "joint_panel", [spacing]) => {
                let plan = self.joints(*spacing).map_err(|error| error.to_string())?;
                Ok(match question {
                    "joint_length" => plan.length(),
                    _ => plan.widest.max(plan.longest),
                })
            }
            ("perimeter", []) => Ok(perimeter(self.outline())),
            _ => Err(format!("a floor knows no answer to {question}")),
        }
    }

    fn picture(
        &self,
        room: &str,
        system: System,
        cell: &dyn Fn(&str) -> Option<f64>,
    ) -> Result<Vec<u8>, String> {
        let level = self.level_of(cell("leveling.depth"));
        let drawing = Drawing::new(self, level, system).with_joints(self, cell("joints.spacing"));
        map::png(&drawing.input(room)).map_err(|error| error.to_string())
    }

    fn as_any(&self) -> &dyn Any {
        self
    }

    fn remarks(&self) -> &Findings {
        &self.remarks
    }
}
