//! Surveys: sheets that rooms name, one for a room, such as the readings of its floor.
//!
//! A plugin reads such a sheet; its readings become rows of a table below rooms, so that
//! what follows from them stays live, and the survey itself answers what has no formula.

use std::any::Any;
use std::fmt;
use std::sync::Arc;

use crate::diag::{Findings, Place};
use crate::grid::{Grid, Sheet};
use crate::quantity::{Dimension, System, Units};
use crate::trail::{ColumnId, Gives, Ledger, Parameter, TableId};

/// What every room with a survey has of it: name, heading, meaning.
pub const SURVEY_CELLS: [(&str, &str, &str); 4] = [
    ("area", "Area by readings", "The readings' areas together."),
    (
        "mean",
        "Mean height",
        "The mean of the readings by the areas they stand for.",
    ),
    ("highest", "Highest spot", "The highest reading."),
    ("lowest", "Lowest spot", "The lowest reading."),
];

/// Reads the sheets of one kind of survey.
pub trait Surveyor: fmt::Debug + Sync {
    /// The kind, as manifests and scripts write it: `floor`.
    fn kind(&self) -> &'static str;

    /// The sheet of the workbook with all readings, a row each: `Readings`.
    fn title(&self) -> &'static str;

    /// The sheet of the workbook with a page for each room: `Floors`.
    fn pages_title(&self) -> &'static str;

    /// Values that a survey states besides its readings.
    fn facts(&self) -> &'static [Fact] {
        &[]
    }

    /// What scripts can ask a survey that has no spreadsheet form.
    fn questions(&self) -> &'static [Question] {
        &[]
    }

    /// A blank sheet to copy for each room: its name and its cells.
    fn form(&self, system: System) -> (&'static str, Vec<Vec<String>>);

    /// Reads one sheet.
    fn read(&self, sheet: &SurveySheet<'_>, findings: &mut Findings) -> Option<Arc<dyn Survey>>;
}

/// A sheet with what is needed to read it.
pub struct SurveySheet<'a> {
    /// The file.
    pub grid: &'a Grid,
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The units of the run.
    pub units: &'a Units,
    /// The family of units of numbers that have none.
    pub system: Option<System>,
    /// The room whose survey it is.
    pub room: &'a str,
}

/// A survey that was read.
pub trait Survey: fmt::Debug + Send + Sync {
    /// Its readings.
    fn readings(&self) -> &[Reading];

    /// Whether readings count down, as from a level line to the floor.
    fn counts_down(&self) -> bool;

    /// A fact by its name, in base units; nothing when the sheet does not state it.
    fn fact(&self, name: &str) -> Option<f64>;

    /// Its parts that become rows of tables below rooms, such as the walls of a floor.
    fn parts(&self) -> &[Part] {
        &[]
    }

    /// Its outline, for plugins that lay something out on it; nothing where it has none.
    fn outline(&self) -> Option<Outline> {
        None
    }

    /// The answer to a question, all in base units.
    ///
    /// # Errors
    /// Says in a sentence why there is none.
    fn answer(&self, question: &str, arguments: &[f64]) -> Result<f64, String>;

    /// A picture of it as PNG; `cell` gives cells of the room such as `leveling.depth`.
    ///
    /// # Errors
    /// Says in a sentence why there is none.
    fn picture(
        &self,
        room: &str,
        system: System,
        cell: &dyn Fn(&str) -> Option<f64>,
    ) -> Result<Vec<u8>, String>;

    /// Itself, for the plugin that read it.
    fn as_any(&self) -> &dyn Any;

    /// What reading it had to say beside mistakes.
    fn remarks(&self) -> &Findings;
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Where it was taken, across.
    pub across: f64,
    /// Where it was taken, along.
    pub along: f64,
    /// The number read, as a length.
    pub read: f64,
    /// The area that it stands for.
    pub share: f64,
    /// Its cell.
    pub place: Place,
}

/// A part of what was surveyed: a row of a table below rooms whose manifest asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The table, by the name of one row: `wall`.
    pub table: &'static str,
    /// What people call it; fills the input `label`.
    pub label: String,
    /// Inputs that it fills, in base units.
    pub values: Vec<(&'static str, f64)>,
}

/// A straight stretch from one place to another: across and along, in base units.
pub type Stretch = [(f64, f64); 2];

/// The outline of what was surveyed, across and along in base units.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Rings of corners: the first around it, others around islands in it.
    pub rings: Vec<Vec<(f64, f64)>>,
    /// The walls, in the order in which they are listed.
    pub walls: Vec<Stretch>,
    /// The openings, in the order in which they are listed.
    pub openings: Vec<Stretch>,
    /// What is cut out of the floor, such as registers: from a corner to the opposite one.
    pub cut_outs: Vec<Stretch>,
}

/// A value that a survey may state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fact {
    /// Its name in scripts.
    pub name: &'static str,
    /// Heading for people.
    pub title: &'static str,
    /// What it means.
    pub note: &'static str,
    /// What it measures.
    pub dimension: Dimension,
}

/// A question that scripts can ask.
#[derive(Clone, Debug)]
pub struct Question {
    /// Its name in scripts, behind the kind: `floor.volume(level)`.
    pub name: &'static str,
    /// Its parameters.
    pub parameters: &'static [Parameter],
    /// What it gives.
    pub gives: Gives,
    /// What it does, in one sentence.
    pub sentence: &'static str,
}

/// The surveys of one kind that a takeoff holds.
#[derive(Clone, Debug)]
pub struct Surveys {
    /// Who read them.
    pub surveyor: &'static dyn Surveyor,
    /// The table with a row for each reading.
    pub table: TableId,
    /// The room's input that names its sheet.
    pub input: ColumnId,
    /// The survey of each room.
    pub of_room: Vec<Option<Arc<dyn Survey>>>,
    /// Columns of the table.
    pub columns: SurveyColumns,
}

impl Surveys {
    /// The parts of all rooms that are rows of a table, with the number of their room.
    pub(super) fn parts(&self, table: &str) -> Vec<PartRow<'_>> {
        let mut all = Vec::new();
        for (owner, survey) in (0u32..).zip(&self.of_room) {
            let Some(survey) = survey else { continue };
            let of_table = survey.parts().iter().filter(|part| part.table == table);
            all.extend(of_table.map(|part| PartRow { owner, part }));
        }
        all
    }

    /// Whether at least one room has a survey.
    pub fn any(&self) -> bool {
        self.of_room.iter().any(Option::is_some)
    }
}

/// A part of a room's survey as a row of a table below rooms.
#[derive(Clone, Copy, Debug)]
pub(super) struct PartRow<'s> {
    /// The room's row.
    pub(super) owner: u32,
    /// The part.
    pub(super) part: &'s Part,
}

impl PartRow<'_> {
    /// What it gives for an input of a table; nothing where it does not know it.
    pub(super) fn value(&self, input: &str, ledger: &mut Ledger) -> Option<f64> {
        if input == "label" {
            return Some(ledger.texts.intern(&self.part.label).to_value());
        }
        let mut values = self.part.values.iter();
        values
            .find(|(name, _)| *name == input)
            .map(|(_, value)| *value)
    }
}

/// The columns of a table of readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SurveyColumns {
    /// What was read; may be changed in the workbook.
    pub read: ColumnId,
    /// The area that the reading stands for.
    pub share: ColumnId,
    /// What was read when the job was priced.
    pub as_surveyed: ColumnId,
}
