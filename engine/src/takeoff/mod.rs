//! The takeoff: the Job and Rooms sheets (and tables below rooms) as typed columns of the ledger.
//!
//! Real sheets have titles above the headings, blank rows, notes and totals
//! below, units in headings or cells, merged and hidden parts. Each is read
//! right or refused with its address; all mistakes of a file are shown at once.

mod allowance;
mod alternate;
mod column;
mod fee;
mod headings;
mod job;
mod money;
mod phase;
mod rows;
mod spec;
mod survey;
mod survey_sheets;
mod table;
mod value;

use crate::diag::{Diagnostic, Findings, Place};
use crate::grid::{Grid, HeaderTrouble, Sheet, find_header};
use crate::quantity::System;
use crate::trail::{ColumnId, Ledger, fold};

pub use allowance::{ALLOWANCE_HEADINGS, ALLOWANCES, Allowance};
pub use alternate::{ALTERNATE_HEADINGS, ALTERNATES, Alternate, SetCell, read_alternates};
pub use fee::{Fee, FeeAmount, fees_of_job};
pub use job::{JOB_KEYS, JobFacts, Override};
pub use phase::phase_input;
pub use spec::{InputKind, InputSpec, InputValue, TableSpec, TakeoffSpec};
pub use survey::{
    Fact, Outline, Part, Question, Reading, SURVEY_CELLS, Stretch, Survey, SurveyColumns,
    SurveySheet, Surveyor, Surveys,
};
pub use table::{Carried, TakeoffTable};

/// A takeoff that was read; its values are in the ledger.
#[derive(Clone, Debug)]
pub struct Takeoff {
    /// What the Job sheet says about the job.
    pub facts: JobFacts,
    /// Factors that the Job sheet sets for this job.
    pub overrides: Vec<Override>,
    /// The Rooms table.
    pub rooms: TakeoffTable,
    /// The column of rooms with their phases, where some room has one.
    pub phase: Option<ColumnId>,
    /// Fees that the Job sheet states.
    pub fees: Vec<Fee>,
    /// Allowances.
    pub allowances: Vec<Allowance>,
    /// Tables below rooms, in the order of the specification.
    pub children: Vec<TakeoffTable>,
    /// What was surveyed, kind by kind.
    pub surveys: Vec<Surveys>,
    /// Things passed over or carried through, said so that nothing happens unseen.
    pub remarks: Findings,
}

/// Reads a takeoff into the ledger. The family of units that the Job sheet states becomes
/// the ledger's; `shop_system` stands in for bare numbers only where the shop states one.
pub fn read(
    grid: &Grid,
    (spec, surveyors): (&TakeoffSpec, &[&'static dyn Surveyor]),
    shop_system: Option<System>,
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> Option<Takeoff> {
    let mut remarks = Findings::new();
    let rooms_sheet = find_rooms_sheet(grid, spec, findings)?;
    let mut job = job::read(grid, rooms_sheet, spec, &mut remarks, findings);
    let system = job.facts.units.or(shop_system);
    if let Some(system) = system {
        ledger.system = system;
    }
    job.enter_inputs(spec, system, ledger, findings);
    let reader = table::TableReader {
        grid,
        system,
        job: &job,
    };
    let rooms = reader.read_rooms(rooms_sheet, &spec.rooms, ledger, &mut remarks, findings)?;
    let phase = phase::phase_column(rooms.table, ledger, findings);
    let allowances = allowance::read_allowances(
        grid,
        ledger.table(rooms.table),
        &ledger.units,
        &mut remarks,
        findings,
    );
    let surveys = survey_sheets::read_surveys(
        grid,
        spec,
        surveyors,
        (rooms.table, system),
        ledger,
        findings,
    );
    let mut children = Vec::new();
    for child in &spec.children {
        let sheet = visible_sheet_named(grid, &child.title);
        let asked = |s: &&Surveys| child.survey.as_deref() == Some(s.surveyor.kind());
        let of_kind = surveys.iter().find(asked);
        children.extend(reader.read_child(
            (
                sheet,
                of_kind.map_or_else(Vec::new, |s| s.parts(&child.row)),
            ),
            child,
            rooms.table,
            ledger,
            &mut remarks,
            findings,
        ));
    }
    for surveys in &surveys {
        for survey in surveys.of_room.iter().flatten() {
            remarks.append(survey.remarks().clone());
        }
        if surveys.any() {
            children.push(TakeoffTable {
                table: surveys.table,
                carried: Vec::new(),
            });
        }
    }
    let forms = surveyors
        .iter()
        .map(|surveyor| fold(surveyor.form(ledger.system).0));
    let surveyed: Vec<String> = surveys
        .iter()
        .flat_map(|surveys| ledger.table(rooms.table).values(surveys.input))
        .filter(|value| !value.is_nan())
        .map(|value| fold(ledger.texts.of_value(*value)))
        .chain(forms)
        .collect();
    say_unread_sheets(grid, rooms_sheet, (spec, &surveyed), &mut remarks);
    Some(Takeoff {
        facts: job.facts,
        overrides: job.overrides,
        rooms,
        phase,
        fees: job.fees,
        allowances,
        children,
        surveys,
        remarks,
    })
}

/// Whether a sheet goes by a name; capitals do not count.
fn is_called(sheet: &Sheet, name: &str) -> bool {
    let own = sheet.name.as_deref();
    own.is_some_and(|own| fold(own) == fold(name))
}

fn visible_sheet_named<'g>(grid: &'g Grid, title: &str) -> Option<&'g Sheet> {
    let mut sheets = grid.sheets.iter();
    sheets.find(|sheet| sheet.visible && is_called(sheet, title))
}

/// The sheet called Rooms, or the only visible one with the headings of rooms.
fn find_rooms_sheet<'g>(
    grid: &'g Grid,
    spec: &TakeoffSpec,
    findings: &mut Findings,
) -> Option<&'g Sheet> {
    if let Some(sheet) = visible_sheet_named(grid, &spec.rooms.title) {
        return Some(sheet);
    }
    let wanted = spec.rooms.wanted();
    let has_rooms = |sheet: &&Sheet| {
        sheet.visible && !matches!(find_header(sheet, &wanted), Err(HeaderTrouble::None))
    };
    let found: Vec<&Sheet> = grid.sheets.iter().filter(has_rooms).collect();
    match found.as_slice() {
        [sheet] => Some(sheet),
        [] => {
            let mut sheets = grid.sheets.iter();
            let hidden = sheets.find(|sheet| !sheet.visible && is_called(sheet, "rooms"));
            findings.push(
                Diagnostic::error(format!("{} has no sheet of rooms", grid.file))
                    .at(Place::File(grid.file.clone()))
                    .label(format!("expected a sheet with the headings {}", spec.rooms.heading_list()))
                    .maybe_hint(hidden.map(|_| {
                        "There is a hidden sheet called Rooms; hidden sheets are not read. Unhide it.".to_owned()
                    })),
            );
            None
        }
        [_, second, ..] => {
            findings.push(
                Diagnostic::error("more than one sheet looks like the sheet of rooms")
                    .at(grid.sheet_place(second))
                    .hint("Call the right one Rooms."),
            );
            None
        }
    }
}

/// The sheet with the lists behind a form's drop-downs.
const FORM_LISTS: &str = "Lists";

fn say_unread_sheets(
    grid: &Grid,
    rooms: &Sheet,
    (spec, surveyed): (&TakeoffSpec, &[String]),
    remarks: &mut Findings,
) {
    for sheet in &grid.sheets {
        let Some(name) = sheet.name.as_deref() else {
            continue;
        };
        if fold(name) == fold(FORM_LISTS) || surveyed.contains(&fold(name)) {
            continue;
        }
        let is_child = spec
            .children
            .iter()
            .any(|child| fold(&child.title) == fold(name));
        let is_known = is_child
            || job::is_job_sheet(name)
            || allowance::is_allowances(name)
            || alternate::is_alternates(name);
        let read = sheet.visible && (is_known || std::ptr::eq(sheet, rooms));
        if !read && !sheet.rows.is_empty() {
            let why = if sheet.visible {
                "is not part of a takeoff"
            } else {
                "is hidden"
            };
            remarks.push(
                Diagnostic::note(format!("sheet {name} {why} and was not read"))
                    .at(grid.sheet_place(sheet)),
            );
        }
    }
}

#[cfg(test)]
mod tests;
