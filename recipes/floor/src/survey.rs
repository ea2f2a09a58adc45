//! The survey of a floor, as the engine knows it: readings, heights, answers.

use std::any::Any;
use std::sync::Arc;

use engine::diag::{Diagnostic, Findings, Place};
use engine::plugin::{
    Accepts, Fact, Gives, Parameter, Question, Reading, Survey, SurveySheet, Surveyor, parameter,
};
use engine::quantity::{Dimension, System};

use crate::drawing::Drawing;
use crate::level::{above, below, between_depths};
use crate::map;
use crate::sheet::{self, FloorSheet};
use crate::surface::{self, Extent, Surface, SurfaceError};

/// Reads the sheets of floors.
#[derive(Debug)]
pub struct FloorSurveyor;

/// The surveyor of floors.
pub static FLOORS: FloorSurveyor = FloorSurveyor;

const LEVEL: Parameter = parameter("level", Accepts::In("in"));

/// What a script can ask a floor.
static QUESTIONS: [Question; 3] = [
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

    fn read(&self, source: &SurveySheet<'_>, findings: &mut Findings) -> Option<Arc<dyn Survey>> {
        let sheet = sheet::read(source, findings)?;
        let whole = source.grid.sheet_place(source.sheet);
        match FloorSurvey::new(sheet) {
            Ok(survey) => Some(Arc::new(survey)),
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
    readings: Vec<Reading>,
    remarks: Findings,
}

impl FloorSurvey {
    fn new(sheet: FloorSheet) -> Result<Self, (SurfaceError, Option<Place>)> {
        let sign = if sheet.rod { -1.0 } else { 1.0 };
        let heights: Vec<surface::Reading> = sheet
            .readings
            .iter()
            .map(|typed| surface::Reading {
                at: typed.at,
                height: sign * typed.read,
            })
            .collect();
        let extent = if !sheet.rings.is_empty() {
            Extent::Rings(&sheet.rings)
        } else if !sheet.cells.is_empty() {
            Extent::Cells(&sheet.cells)
        } else {
            Extent::Readings
        };
        let surface = Surface::new(&heights, extent).map_err(|error| {
            let place = match error {
                SurfaceError::Outside(index) | SurfaceError::NotANumber(index) => {
                    sheet.readings.get(index).map(|typed| typed.place.clone())
                }
                _ => None,
            };
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
            readings,
            remarks: Findings::new(),
        })
    }
}

impl Survey for FloorSurvey {
    fn readings(&self) -> &[Reading] {
        &self.readings
    }

    fn counts_down(&self) -> bool {
        self.sheet.rod
    }

    fn fact(&self, name: &str) -> Option<f64> {
        let sign = if self.sheet.rod { -1.0 } else { 1.0 };
        match name {
            "finish" => self.sheet.finish.map(|finish| sign * finish),
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
            _ => Err(format!("a floor knows no answer to {question}")),
        }
    }

    fn picture(
        &self,
        room: &str,
        system: System,
        cell: &dyn Fn(&str) -> Option<f64>,
    ) -> Result<Vec<u8>, String> {
        let level = self.fact("finish").or_else(|| {
            let depth = cell("leveling.depth")?;
            Some(self.surface.mean() + depth)
        });
        let drawing = Drawing::new(self, level, system);
        map::png(&drawing.input(room)).map_err(|error| error.to_string())
    }

    fn as_any(&self) -> &dyn Any {
        self
    }

    fn remarks(&self) -> &Findings {
        &self.remarks
    }
}
