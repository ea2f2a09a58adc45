//! The sheet of a floor: readings as a grid or a list, the outline, openings and registers.
//!
//! | on the sheet | meaning |
//! |---|---|
//! | `Heights` beside `elevation` or `rod` | whether a larger reading is higher or lower |
//! | `Unit` beside a unit | unit of readings that have none beside them |
//! | `Finish` beside a reading | level at which the pour must end, read like the floor |
//! | `Accuracy` beside a length | how exact a reading is |
//! | `Origin` beside two positions | where the sheet's 0, 0 lies in a plan common to the job |
//! | `Line` beside a name | the laser line or datum that the heights count from |
//! | `y \ x` at the corner of a grid | positions across in its row, along below it; a blank is outside the room |
//! | headings `x`, `y`, `reading` | a list of points |
//! | headings `Corner x`, `Corner y`, `Ring` | corners of the outline in order; other rings are columns and islands |
//! | headings `Mark`, `From x`, `From y`, `To x`, `To y` | an `opening` or a `register` |

use std::collections::HashMap;

use engine::plugin::{
    Cell, Diagnostic, Dimension, Findings, Place, SurveySheet, System, Unit, UnitSources, Value,
    quoted, read_unit,
};

use crate::sheet_plan::{InPlan, PlanKeys};
use crate::surface::Point;

/// Most readings of one floor; a hall of 200 by 200 ft read every foot has fewer.
const MOST_READINGS: usize = 50_000;

/// One reading as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// Where.
    pub at: Point,
    /// The number read, in inches.
    pub read: f64,
    /// Its cell.
    pub place: Place,
}

/// What a mark on the floor is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A doorway or other opening, where the pour is dammed.
    Opening,
    /// A floor register, boxed round.
    Register,
}

/// An opening (from one point to another) or a register (between two corners).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// What it is.
    pub kind: MarkKind,
    /// One end, or one corner.
    pub from: Point,
    /// The other end, or the corner across.
    pub to: Point,
}

/// What stands on the sheet; lengths in inches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FloorSheet {
    /// Whether a larger reading is lower.
    pub rod: bool,
    /// The readings.
    pub readings: Vec<Typed>,
    /// Whether the readings stand in a grid.
    pub is_grid: bool,
    /// Rectangles of a grid whose four readings are all there.
    pub cells: Vec<[usize; 4]>,
    /// The outline and its islands; none where the blanks tell.
    pub rings: Vec<Vec<Point>>,
    /// Openings and registers.
    pub marks: Vec<Mark>,
    /// The level at which the pour must end, as a reading.
    pub finish: Option<f64>,
    /// How exact a reading is: its standard deviation.
    pub accuracy: Option<f64>,
    /// Where it lies among other floors.
    pub in_plan: Option<InPlan>,
}

impl FloorSheet {
    /// A reading as a height, or a height as it would be read.
    pub fn turned(&self, read: f64) -> f64 {
        if self.rod { -read } else { read }
    }
}

/// Reads a sheet; nothing when it has mistakes.
pub fn read(source: &SurveySheet<'_>, findings: &mut Findings) -> Option<FloorSheet> {
    let before = findings.error_count();
    let mut reader = Reader {
        source,
        findings,
        sheet: FloorSheet::default(),
        unit: None,
        seen: HashMap::new(),
    };
    reader.keys();
    if !reader.list() && !reader.grid() {
        let place = source.grid.sheet_place(source.sheet);
        reader.findings.push(
            Diagnostic::error(format!("the sheet of {} has no readings", quoted(source.room)))
                .at(place)
                .label("expected a list with the headings x, y, reading, or a grid whose corner says y \\ x"),
        );
    }
    reader.corners();
    reader.marks();
    let sheet = reader.sheet;
    if sheet.readings.len() > MOST_READINGS {
        findings.push(
            Diagnostic::error(format!(
                "the sheet of {} has more than {MOST_READINGS} readings",
                quoted(source.room)
            ))
            .at(source.grid.sheet_place(source.sheet))
            .hint("Thin them out: a floor tells no more by readings closer than half a foot."),
        );
    }
    (findings.error_count() == before).then_some(sheet)
}

/// A sheet while it is read.
pub(crate) struct Reader<'a, 'f> {
    pub(crate) source: &'a SurveySheet<'a>,
    pub(crate) findings: &'f mut Findings,
    pub(crate) sheet: FloorSheet,
    /// The unit of bare readings that the sheet states.
    unit: Option<Unit>,
    /// The reading at each place, in ten-thousandths of an inch.
    pub(crate) seen: HashMap<(i64, i64), usize>,
}

/// Which numbers are meant, for those without a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bare {
    /// Positions: feet or metres.
    Position,
    /// Readings: what the sheet states, else inches or millimetres.
    Reading,
}

impl Reader<'_, '_> {
    pub(crate) fn place(&self, row: u32, column: u32) -> Place {
        self.source.grid.place(self.source.sheet, row, column)
    }

    pub(crate) fn refuse(&mut self, (row, column): (u32, u32), what: String, hint: Option<String>) {
        self.findings.push(
            Diagnostic::error(what)
                .at(self.place(row, column))
                .maybe_hint(hint),
        );
    }

    fn bare_unit(&self, bare: Bare) -> Option<Unit> {
        if bare == Bare::Reading && self.unit.is_some() {
            return self.unit.clone();
        }
        let label = match (self.source.system?, bare) {
            (System::Us, Bare::Position) => "ft",
            (System::Us, Bare::Reading) => "in",
            (System::Si, Bare::Position) => "m",
            (System::Si, Bare::Reading) => "mm",
        };
        self.source.units.find(label).cloned()
    }

    /// A cell as a length in inches; what is wrong is said.
    pub(crate) fn length(
        &mut self,
        cell: &Cell,
        at: (u32, u32),
        (heading, bare): (Option<&Unit>, Bare),
        what: &str,
    ) -> Option<f64> {
        let job = self.bare_unit(bare);
        let sources = UnitSources {
            heading,
            job: job.as_ref(),
        };
        match cell.quantity(self.source.units, Dimension::LENGTH, sources) {
            Ok(reading) => Some(reading.quantity.value),
            Err(trouble) => {
                let found = format!("{what} cannot be used: {}", trouble.found);
                self.refuse(at, found, trouble.hint);
                None
            }
        }
    }

    /// Keys with a value right of them.
    fn keys(&mut self) {
        let mut stated = None;
        let mut plan = PlanKeys::default();
        let sheet = self.source.sheet;
        for (row, cells) in &sheet.rows {
            let [(first, key), (column, value), ..] = cells.as_slice() else {
                continue;
            };
            let Some(key) = text(key) else { continue };
            let key = key.trim_end_matches(':').trim();
            if plan.take(self, key, (*row, *first)) {
                continue;
            }
            let at = (*row, *column);
            match key {
                "heights" => match text(value).as_deref() {
                    Some("elevation" | "elevations") => stated = Some(false),
                    Some("rod" | "rod readings") => stated = Some(true),
                    _ => self.refuse(
                        at,
                        format!(
                            "Heights is {}, expected elevation (more is higher) or rod (more is lower)",
                            quoted(&value.shown())
                        ),
                        None,
                    ),
                },
                "unit" => self.unit = self.unit_named(&value.shown(), at),
                "finish" | "accuracy" if self.is_note(value, *column - *first) => {}
                "finish" => {
                    self.sheet.finish = self.length(value, at, (None, Bare::Reading), "Finish");
                }
                "accuracy" => {
                    self.sheet.accuracy = self.length(value, at, (None, Bare::Reading), "Accuracy");
                }
                _ => {}
            }
        }
        plan.read(self);
        match stated {
            Some(rod) => self.sheet.rod = rod,
            None => self.findings.push(
                Diagnostic::error(format!(
                    "the sheet of {} does not say what its readings are",
                    quoted(self.source.room)
                ))
                .at(self.source.grid.sheet_place(sheet))
                .hint("Write Heights in one cell and, right of it, elevation (more is higher) or rod (down from a level line: more is lower)."),
            ),
        }
    }

    /// Whether what stands in a row with a key is not its value: a text apart from it that is no
    /// length, as in a form whose value was left blank.
    fn is_note(&self, cell: &Cell, apart: u32) -> bool {
        let (heading, job) = (None, self.bare_unit(Bare::Reading));
        let job = job.as_ref();
        let sources = UnitSources { heading, job };
        let units = self.source.units;
        apart > 1 && cell.quantity(units, Dimension::LENGTH, sources).is_err()
    }

    /// A unit of length by its name; what is wrong is said.
    pub(crate) fn unit_named(&mut self, label: &str, at: (u32, u32)) -> Option<Unit> {
        match read_unit(label, self.source.units) {
            Ok(unit) if unit.dimension == Dimension::LENGTH => Some(unit),
            _ => {
                self.refuse(at, format!("{} is no unit of length", quoted(label)), None);
                None
            }
        }
    }
}

/// A text in small letters without spaces around.
pub(crate) fn text(cell: &Cell) -> Option<String> {
    match &cell.value {
        Value::Text(text) => Some(text.trim().to_lowercase()),
        _ => None,
    }
}
