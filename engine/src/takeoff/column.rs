//! One input column of a takeoff, cell by cell.

use std::sync::Arc;

use super::rows::RoomRow;
use super::spec::{InputKind, InputSpec, InputValue};
use super::survey::PartRow;
use super::table::TableReader;
use crate::diag::{CellAddress, Diagnostic, Findings, Place, quoted};
use crate::grid::{Cell, HeaderCell, HeaderRow, Sheet, cell_in};
use crate::measure::read_unit;
use crate::quantity::Unit;
use crate::trail::{Choice, Column, InputFacts, Kind, Ledger, Origin, Role};

/// One input column while it is read.
pub(super) struct InputColumn<'a> {
    pub(super) reader: &'a TableReader<'a>,
    pub(super) sheet: &'a Sheet,
    pub(super) header: &'a HeaderRow,
    pub(super) heading: Option<&'a HeaderCell>,
    pub(super) input: &'a InputSpec,
    /// The heading of the input that may be filled in instead.
    pub(super) instead: Option<&'a HeaderCell>,
    pub(super) merged: Vec<(CellAddress, CellAddress)>,
}

impl InputColumn<'_> {
    pub(super) fn read(
        &self,
        rows: &[RoomRow<'_>],
        parts: &[PartRow<'_>],
        ledger: &mut Ledger,
        findings: &mut Findings,
    ) -> Column {
        let input = self.input;
        let heading_unit = self.heading_unit(ledger, findings);
        let job_value = self.reader.job.value_for(&input.name);
        let mut origins = Vec::with_capacity(rows.len());
        let mut values = Vec::with_capacity(rows.len());
        let mut typed_unit = None;
        let may_miss = job_value.is_some()
            || input.default.is_some()
            || !input.required
            || self.instead.is_some();
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
        for part in parts {
            let (value, origin) = match part.value(&input.name, ledger) {
                Some(value) => (value, Origin::Surveyed),
                None => self
                    .stand_in(job_value.map(|id| ledger.single(id).value), ledger)
                    .unwrap_or((f64::NAN, Origin::Blank)),
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
                may_be_blank: (!input.required || input.unless.is_some())
                    && input.default.is_none(),
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

    /// What stands in for a blank cell: the value of the job, else the default.
    fn stand_in(&self, job: Option<f64>, ledger: &mut Ledger) -> Option<(f64, Origin)> {
        match (job, &self.input.default) {
            (Some(value), _) => Some((value, Origin::Job)),
            (None, Some(InputValue::Quantity(quantity))) => Some((quantity.value, Origin::Default)),
            (None, Some(InputValue::Text(text))) => {
                Some((ledger.texts.intern(text).to_value(), Origin::Default))
            }
            (None, None) => None,
        }
    }

    fn blank(
        &self,
        row: &RoomRow<'_>,
        job: Option<f64>,
        ledger: &mut Ledger,
        findings: &mut Findings,
    ) -> (f64, Origin) {
        match self.stand_in(job, ledger) {
            Some(given) => given,
            None => {
                let instead = self
                    .instead
                    .is_some_and(|heading| cell_in(row.cells, heading.column).is_some());
                let column = self
                    .heading
                    .map_or(row.name_column, |heading| heading.column);
                if self.input.required
                    && !instead
                    && (self.heading.is_some() || self.instead.is_some())
                {
                    findings.push(
                        Diagnostic::error(format!("{} of {} is blank", self.input.title, quoted(&row.name)))
                            .at(self.reader.grid.place(self.sheet, row.number, column))
                            .hint(match self.instead {
                                Some(other) => format!("Fill it in, or fill in {} instead.", other.title),
                                None => format!(
                                    "Fill it in, or give one {} for all rooms on the Job sheet. If this row is a heading or a note, leave a blank row above it.",
                                    self.input.title
                                ),
                            }),
                    );
                }
                (f64::NAN, Origin::Blank)
            }
        }
    }
}
