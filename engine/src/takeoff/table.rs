//! Rooms, and tables below rooms, as tables of the ledger.

use std::collections::HashMap;
use std::sync::Arc;

use super::job::Job;
use super::rows::{RoomRow, room_rows};
use super::spec::{InputKind, InputSpec, InputValue, TableSpec};
use crate::diag::{CellAddress, Diagnostic, Findings, Place, quoted};
use crate::grid::{Cell, Grid, HeaderCell, HeaderRow, HeaderTrouble, Sheet, cell_in, find_header};
use crate::measure::read_unit;
use crate::quantity::{System, Unit};
use crate::trail::{Choice, Column, InputFacts, Kind, Ledger, Origin, Role, Table, TableId, fold};

/// A column that no recipe asks for, carried through untouched.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// Its heading as written.
    pub title: String,
    /// Its cells as written, row by row; blank ones are empty.
    pub texts: Vec<String>,
}

/// A table that was read.
#[derive(Clone, Debug)]
pub struct TakeoffTable {
    /// The table in the ledger.
    pub table: TableId,
    /// The columns carried through.
    pub carried: Vec<Carried>,
}

/// What is needed to read any table of a takeoff.
pub(super) struct TableReader<'a> {
    pub(super) grid: &'a Grid,
    pub(super) system: Option<System>,
    pub(super) job: &'a Job,
}

impl TableReader<'_> {
    /// Reads the Rooms sheet.
    pub(super) fn read_rooms(
        &self,
        sheet: &Sheet,
        spec: &TableSpec,
        ledger: &mut Ledger,
        remarks: &mut Findings,
        findings: &mut Findings,
    ) -> Option<TakeoffTable> {
        let header = self.header(sheet, spec, findings)?;
        let rows = room_rows(self.grid, sheet, &header, spec, remarks, findings);
        let mut seen: HashMap<String, u32> = HashMap::new();
        for row in &rows {
            if let Some(first) = seen.insert(fold(&row.name), row.number) {
                findings.push(
                    Diagnostic::error(format!("there are two rooms called {}", quoted(&row.name)))
                        .at(self.grid.place(sheet, row.number, row.name_column))
                        .related(
                            self.grid.place(sheet, first, row.name_column),
                            "the first one stands here",
                        ),
                );
            }
        }
        if rows.is_empty() {
            findings.push(
                Diagnostic::error("there is no room below the headings")
                    .at(self.grid.place(sheet, header.row, 0)),
            );
            return None;
        }
        let names = rows.iter().map(|row| row.name.clone()).collect();
        let table = Table::new(spec.row.clone(), spec.title.clone(), names);
        Some(self.fill(
            table, sheet, spec, &header, &rows, ledger, remarks, findings,
        ))
    }

    /// Reads a table below rooms; without a sheet it has no rows.
    pub(super) fn read_child(
        &self,
        sheet: Option<&Sheet>,
        spec: &TableSpec,
        rooms: TableId,
        ledger: &mut Ledger,
        remarks: &mut Findings,
        findings: &mut Findings,
    ) -> Option<TakeoffTable> {
        let room_count = ledger.table(rooms).rows();
        let empty = Sheet {
            name: None,
            visible: true,
            rows: Vec::new(),
            merged: Vec::new(),
        };
        let Some(sheet) = sheet else {
            let table = Table::new(spec.row.clone(), spec.title.clone(), Vec::new()).child_of(
                rooms,
                room_count,
                Vec::new(),
            );
            let header = HeaderRow {
                row: 0,
                cells: Vec::new(),
            };
            return Some(self.fill(table, &empty, spec, &header, &[], ledger, remarks, findings));
        };
        let header = self.header(sheet, spec, findings)?;
        let rows = room_rows(self.grid, sheet, &header, spec, remarks, findings);
        let index: HashMap<String, u32> = (0u32..)
            .zip(&ledger.table(rooms).row_names)
            .map(|(row, name)| (fold(name), row))
            .collect();
        let mut owners = Vec::new();
        for row in &rows {
            match index.get(&fold(&row.name)) {
                Some(owner) => owners.push(*owner),
                None => {
                    let names = ledger.table(rooms).row_names.iter().map(String::as_str);
                    let near = crate::diag::near_name(&row.name, names);
                    findings.push(
                        Diagnostic::error(format!(
                            "the takeoff has no room called {}",
                            quoted(&row.name)
                        ))
                        .at(self.grid.place(sheet, row.number, row.name_column))
                        .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
                    );
                    owners.push(0);
                }
            }
        }
        let names = (1..=rows.len())
            .map(|n| format!("{} {n}", spec.row))
            .collect();
        let table = Table::new(spec.row.clone(), spec.title.clone(), names)
            .child_of(rooms, room_count, owners);
        Some(self.fill(
            table, sheet, spec, &header, &rows, ledger, remarks, findings,
        ))
    }

    fn header(
        &self,
        sheet: &Sheet,
        spec: &TableSpec,
        findings: &mut Findings,
    ) -> Option<HeaderRow> {
        let wanted = spec.wanted();
        match find_header(sheet, &wanted) {
            Ok(header) => Some(header),
            Err(HeaderTrouble::None) => {
                findings.push(
                    Diagnostic::error(format!("no row of headings was found for {}", spec.title))
                        .at(self.grid.sheet_place(sheet))
                        .label(format!("expected the headings {}", spec.heading_list())),
                );
                None
            }
            Err(HeaderTrouble::Twice {
                row,
                columns,
                wanted: index,
            }) => {
                findings.push(
                    Diagnostic::error(format!(
                        "two columns are headed {}",
                        wanted[index].headings[0]
                    ))
                    .at(self.grid.place(sheet, row, columns.1))
                    .related(
                        self.grid.place(sheet, row, columns.0),
                        "the first one stands here",
                    ),
                );
                None
            }
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one private call, all of them needed"
    )]
    fn fill(
        &self,
        mut table: Table,
        sheet: &Sheet,
        spec: &TableSpec,
        header: &HeaderRow,
        rows: &[RoomRow<'_>],
        ledger: &mut Ledger,
        remarks: &mut Findings,
        findings: &mut Findings,
    ) -> TakeoffTable {
        table.row_places = rows
            .iter()
            .map(|row| self.grid.place(sheet, row.number, row.name_column))
            .collect();
        for (index, input) in spec.inputs.iter().enumerate() {
            let heading = header
                .cells
                .iter()
                .find(|cell| cell.wanted == Some(index + 1));
            let column = InputColumn {
                reader: self,
                sheet,
                header,
                heading,
                input,
                merged: merged_below(sheet, header, heading),
            };
            table.add(column.read(rows, ledger, findings));
        }
        let carried = carry(header, rows);
        for column in &carried {
            remarks.push(
                Diagnostic::note(format!(
                    "column {} is not asked for by any recipe; it is carried through as it is",
                    quoted(&column.title)
                ))
                .at(self.grid.sheet_place(sheet)),
            );
        }
        TakeoffTable {
            table: ledger.add_table(table),
            carried,
        }
    }
}

fn carry(header: &HeaderRow, rows: &[RoomRow<'_>]) -> Vec<Carried> {
    header
        .cells
        .iter()
        .filter(|cell| cell.wanted.is_none())
        .map(|cell| Carried {
            title: cell.title.clone(),
            texts: rows
                .iter()
                .map(|row| {
                    cell_in(row.cells, cell.column)
                        .map(Cell::shown)
                        .unwrap_or_default()
                })
                .collect(),
        })
        .collect()
}

/// The regions below a heading that merge cells of several rows.
fn merged_below(
    sheet: &Sheet,
    header: &HeaderRow,
    heading: Option<&HeaderCell>,
) -> Vec<(CellAddress, CellAddress)> {
    let Some(heading) = heading else {
        return Vec::new();
    };
    sheet
        .merged
        .iter()
        .filter(|(first, last)| {
            first.column == heading.column && first.row > header.row && last.row > first.row
        })
        .copied()
        .collect()
}

/// One input column while it is read.
struct InputColumn<'a> {
    reader: &'a TableReader<'a>,
    sheet: &'a Sheet,
    header: &'a HeaderRow,
    heading: Option<&'a HeaderCell>,
    input: &'a InputSpec,
    merged: Vec<(CellAddress, CellAddress)>,
}

impl InputColumn<'_> {
    fn read(&self, rows: &[RoomRow<'_>], ledger: &mut Ledger, findings: &mut Findings) -> Column {
        let input = self.input;
        let heading_unit = self.heading_unit(ledger, findings);
        let job_value = self.reader.job.value_for(&input.name);
        let mut origins = Vec::with_capacity(rows.len());
        let mut values = Vec::with_capacity(rows.len());
        let mut typed_unit = None;
        let may_miss = job_value.is_some() || input.default.is_some() || !input.required;
        if self.heading.is_none() && !may_miss && !rows.is_empty() {
            findings.push(
                Diagnostic::error(format!("there is no column {}", input.title))
                    .at(self.reader.grid.place(self.sheet, self.header.row, 0))
                    .label(format!("recipe {} asks for it", input.asked_by.join(", ")))
                    .hint(format!("It may be headed {}.", self.headings())),
            );
        }
        for row in rows {
            let (value, origin) = match self.cell(row, findings) {
                Some((cell, place)) => {
                    let read = input.read(
                        cell,
                        heading_unit.as_ref(),
                        self.reader.system,
                        &row.name,
                        ledger,
                    );
                    match read {
                        Ok(read) => {
                            typed_unit = typed_unit.or(read.unit);
                            (read.value, Origin::Typed)
                        }
                        Err(diagnostic) => {
                            findings.push(diagnostic.at(place));
                            (f64::NAN, Origin::Typed)
                        }
                    }
                }
                None => self.blank(
                    row,
                    job_value.map(|id| ledger.single(id).value),
                    ledger,
                    findings,
                ),
            };
            values.push(value);
            origins.push(origin);
        }
        let (kind, choice) = match &input.kind {
            InputKind::Quantity(dimension) => (Kind::Number(*dimension), Choice::Free),
            InputKind::Text(choice) => (Kind::Text, choice.clone()),
        };
        let unit = heading_unit
            .filter(|unit| kind == Kind::Number(unit.dimension))
            .or(self.reader.system.map(|system| input.unit(system).clone()))
            .or(typed_unit)
            .unwrap_or_else(|| input.unit(ledger.system).clone());
        Column {
            name: input.name.clone(),
            title: input.title.clone(),
            note: input.why.clone(),
            kind,
            unit: Arc::new(unit),
            role: Role::Input,
            group: String::new(),
            input: Some(InputFacts {
                may_be_blank: !input.required && input.default.is_none(),
                least: input.least,
                most: input.most,
                choice,
                job_value,
                origins,
                sheet_column: self.heading.map(|heading| heading.column),
            }),
            values,
        }
    }

    fn headings(&self) -> String {
        std::iter::once(&self.input.title)
            .chain(&self.input.headings)
            .cloned()
            .collect::<Vec<_>>()
            .join(", ")
    }

    fn heading_unit(&self, ledger: &Ledger, findings: &mut Findings) -> Option<Unit> {
        let heading = self.heading?;
        let text = heading.unit.as_ref()?;
        let InputKind::Quantity(dimension) = self.input.kind else {
            return None;
        };
        let place = self
            .reader
            .grid
            .place(self.sheet, self.header.row, heading.column);
        match read_unit(text, &ledger.units) {
            Ok(unit) if unit.dimension == dimension => Some(unit),
            Ok(unit) => {
                findings.push(
                    Diagnostic::error(format!(
                        "the heading of {} names {}, expected {}",
                        self.input.title,
                        ledger.units.describe(unit.dimension),
                        ledger.units.describe(dimension)
                    ))
                    .at(place),
                );
                None
            }
            Err(error) => {
                findings.push(
                    Diagnostic::error(format!("the heading of {} names no unit", self.input.title))
                        .at(place)
                        .label(error.to_string()),
                );
                None
            }
        }
    }

    /// The cell of a row, or the top cell of the merged region it lies in.
    fn cell<'g>(
        &'g self,
        row: &'g RoomRow<'_>,
        findings: &mut Findings,
    ) -> Option<(&'g Cell, Place)> {
        let column = self.heading?.column;
        let place = self.reader.grid.place(self.sheet, row.number, column);
        if let Some(cell) = cell_in(row.cells, column) {
            return Some((cell, place));
        }
        let (top, _) = self
            .merged
            .iter()
            .find(|(first, last)| first.row < row.number && row.number <= last.row)?;
        let cell = self.sheet.cell(top.row, top.column)?;
        if matches!(self.input.kind, InputKind::Text(_)) {
            return Some((cell, place));
        }
        findings.push(
            Diagnostic::error(format!(
                "{} of {} lies in a merged cell: is {} meant for each room or for all together?",
                self.input.title,
                quoted(&row.name),
                cell.shown()
            ))
            .at(place)
            .hint("Unmerge the cells and write each room's own value."),
        );
        None
    }

    fn blank(
        &self,
        row: &RoomRow<'_>,
        job: Option<f64>,
        ledger: &mut Ledger,
        findings: &mut Findings,
    ) -> (f64, Origin) {
        match (job, &self.input.default) {
            (Some(value), _) => (value, Origin::Job),
            (None, Some(InputValue::Quantity(quantity))) => (quantity.value, Origin::Default),
            (None, Some(InputValue::Text(text))) => {
                (ledger.texts.intern(text).to_value(), Origin::Default)
            }
            (None, None) => {
                if let (true, Some(heading)) = (self.input.required, self.heading) {
                    findings.push(
                        Diagnostic::error(format!("{} of {} is blank", self.input.title, quoted(&row.name)))
                            .at(self.reader.grid.place(self.sheet, row.number, heading.column))
                            .hint(format!(
                                "Fill it in, or give one {} for all rooms on the Job sheet. If this row is a heading or a note, leave a blank row above it.",
                                self.input.title
                            )),
                    );
                }
                (f64::NAN, Origin::Blank)
            }
        }
    }
}
