//! Reading the sheets that rooms name, and the table of all their readings.

use std::collections::HashMap;
use std::sync::Arc;

use super::is_called;
use super::spec::TakeoffSpec;
use super::survey::{Reading, Survey, SurveyColumns, SurveySheet, Surveyor, Surveys};
use crate::diag::{Diagnostic, Findings, quoted};
use crate::grid::Grid;
use crate::quantity::{Dimension, System, Unit};
use crate::trail::{
    Choice, Column, ColumnId, InputFacts, Kind, Ledger, Origin, Role, Table, TableId, fold,
};

/// Reads the sheets that rooms name, kind by kind.
pub(super) fn read_surveys(
    grid: &Grid,
    spec: &TakeoffSpec,
    surveyors: &[&'static dyn Surveyor],
    (rooms, system): (TableId, Option<System>),
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> Vec<Surveys> {
    let mut all = Vec::new();
    for input in &spec.rooms.inputs {
        let Some(kind) = &input.survey else { continue };
        let Some(surveyor) = surveyors.iter().find(|s| s.kind() == kind) else {
            findings.push(
                Diagnostic::error(format!("nobody reads surveys of kind {}", quoted(kind)))
                    .at(input.place.clone()),
            );
            continue;
        };
        let Some(column) = ledger.table(rooms).column_named(&input.name) else {
            continue;
        };
        let of_room = read_rooms(grid, *surveyor, (rooms, column, system), ledger, findings);
        all.push(enter(*surveyor, of_room, (rooms, column), ledger));
    }
    all
}

fn read_rooms(
    grid: &Grid,
    surveyor: &'static dyn Surveyor,
    (rooms, column, system): (TableId, ColumnId, Option<System>),
    ledger: &Ledger,
    findings: &mut Findings,
) -> Vec<Option<Arc<dyn Survey>>> {
    let table = ledger.table(rooms);
    let mut owners: HashMap<String, String> = HashMap::new();
    (0..table.rows())
        .map(|row| {
            let value = table.value(column, row);
            if value.is_nan() {
                return None;
            }
            let name = ledger.texts.of_value(value);
            let room = &table.row_names[row];
            let place = table.cell_place(column, row);
            let mut refuse = |why: String| {
                findings.push(
                    Diagnostic::error(format!(
                        "{} of {} names the sheet {}, {why}",
                        table.column(column).title,
                        quoted(room),
                        quoted(name)
                    ))
                    .at(place.clone()),
                );
                None
            };
            let mut sheets = grid.sheets.iter();
            let Some(sheet) = sheets.find(|sheet| is_called(sheet, name)) else {
                return refuse("which the file does not have".to_owned());
            };
            if !sheet.visible {
                return refuse("which is hidden; unhide it".to_owned());
            }
            if let Some(other) = owners.insert(fold(name), room.clone()) {
                return refuse(format!("which is the survey of {} already", quoted(&other)));
            }
            let sheet = SurveySheet {
                grid,
                sheet,
                units: &ledger.units,
                system,
                room,
            };
            surveyor.read(&sheet, findings)
        })
        .collect()
}

/// Makes a table of all readings.
fn enter(
    surveyor: &'static dyn Surveyor,
    of_room: Vec<Option<Arc<dyn Survey>>>,
    (rooms, input): (TableId, ColumnId),
    ledger: &mut Ledger,
) -> Surveys {
    let mut owners = Vec::new();
    let mut readings: Vec<&Reading> = Vec::new();
    for (room, survey) in (0u32..).zip(&of_room) {
        let of_this = survey.iter().flat_map(|survey| survey.readings());
        for reading in of_this {
            owners.push(room);
            readings.push(reading);
        }
    }
    let names = (1..=readings.len())
        .map(|n| format!("reading {n}"))
        .collect();
    let mut table = Table::new(
        format!("{}_reading", surveyor.kind()),
        surveyor.title(),
        names,
    )
    .child_of(rooms, of_room.len(), owners);
    table.grouped = true;
    table.row_places = readings.iter().map(|r| r.place.clone()).collect();
    let shown = |dimension| ledger.shown_in(Kind::Number(dimension));
    let (length, area) = (shown(Dimension::LENGTH), shown(Dimension::AREA));
    let mut add = |name: &str,
                   title: &str,
                   note: &str,
                   (unit, role): (&Arc<Unit>, Role),
                   of: fn(&Reading) -> f64| {
        table.add(Column {
            name: name.to_owned(),
            title: title.to_owned(),
            note: note.to_owned(),
            kind: Kind::Number(unit.dimension),
            unit: unit.clone(),
            role,
            group: surveyor.kind().to_owned(),
            input: (role == Role::Input).then(|| InputFacts {
                may_be_blank: false,
                least: f64::NEG_INFINITY,
                most: f64::INFINITY,
                choice: Choice::Free,
                job_value: None,
                origins: vec![Origin::Typed; readings.len()],
                sheet_column: None,
            }),
            values: readings.iter().map(|reading| of(reading)).collect(),
        })
    };
    let fixed = |unit| (unit, Role::Working);
    add(
        "across",
        "Across",
        "Where it was taken.",
        fixed(&length),
        |r| r.across,
    );
    add(
        "along",
        "Along",
        "Where it was taken.",
        fixed(&length),
        |r| r.along,
    );
    let read = add(
        "read",
        "Reading",
        "What was read.",
        (&length, Role::Input),
        |r| r.read,
    );
    let share = add(
        "share",
        "Area it stands for",
        "All areas of a room add up to its own.",
        fixed(&area),
        |r| r.share,
    );
    let as_surveyed = add(
        "as_surveyed",
        "Reading as surveyed",
        "What was read when the job was priced.",
        (&length, Role::AsPriced),
        |r| r.read,
    );
    let table = ledger.add_table(table);
    Surveys {
        surveyor,
        table,
        input,
        of_room,
        columns: SurveyColumns {
            read,
            share,
            as_surveyed,
        },
    }
}
