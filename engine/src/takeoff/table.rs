//! Rooms, and tables below rooms, as tables of the ledger.

use std::collections::HashMap;

use super::column::InputColumn;
use super::headings::headings;
use super::job::Job;
use super::rows::{RoomRow, room_rows};
use super::spec::TableSpec;
use super::survey::PartRow;
use crate::diag::{CellAddress, Diagnostic, Findings, Place, quoted};
use crate::grid::{Cell, Grid, HeaderCell, HeaderRow, Sheet, cell_in};
use crate::quantity::System;
use crate::trail::{Ledger, Table, TableId, fold};

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
            table,
            sheet,
            spec,
            &header,
            (&rows, &[]),
            ledger,
            remarks,
            findings,
        ))
    }

    /// Reads a table below rooms: the rows of its sheet, where there is one, and the parts of
    /// surveys in rooms for which no row is typed.
    pub(super) fn read_child(
        &self,
        (sheet, mut parts): (Option<&Sheet>, Vec<PartRow<'_>>),
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
        let (header, rows) = match sheet {
            Some(sheet) => {
                let header = self.header(sheet, spec, findings)?;
                let rows = room_rows(self.grid, sheet, &header, spec, remarks, findings);
                (header, rows)
            }
            None => (HeaderRow::default(), Vec::new()),
        };
        let sheet = sheet.unwrap_or(&empty);
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
        parts.retain(|part| !owners.contains(&part.owner));
        owners.extend(parts.iter().map(|part| part.owner));
        let names = (1..=owners.len())
            .map(|n| format!("{} {n}", spec.row))
            .collect();
        let table = Table::new(spec.row.clone(), spec.title.clone(), names)
            .child_of(rooms, room_count, owners);
        let rows = (rows.as_slice(), parts.as_slice());
        Some(self.fill(table, sheet, spec, &header, rows, ledger, remarks, findings))
    }

    fn header(
        &self,
        sheet: &Sheet,
        spec: &TableSpec,
        findings: &mut Findings,
    ) -> Option<HeaderRow> {
        let expected = spec.heading_list();
        let said = (spec.title.as_str(), expected.as_str());
        headings(self.grid, sheet, &spec.wanted(), said, findings)
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
        (rows, parts): (&[RoomRow<'_>], &[PartRow<'_>]),
        ledger: &mut Ledger,
        remarks: &mut Findings,
        findings: &mut Findings,
    ) -> TakeoffTable {
        let typed = rows
            .iter()
            .map(|row| self.grid.place(sheet, row.number, row.name_column));
        let parent = table.parent().map(|rooms| ledger.table(rooms));
        let of_room = |part: &PartRow<'_>| {
            parent.map_or(Place::Nowhere, |rooms| {
                rooms.row_places[part.owner as usize].clone()
            })
        };
        table.row_places = typed.chain(parts.iter().map(of_room)).collect();
        for (index, input) in spec.inputs.iter().enumerate() {
            let heading = header
                .cells
                .iter()
                .find(|cell| cell.wanted == Some(index + 1));
            let is_unasked = input.asked_by.is_empty();
            if is_unasked && heading.is_none() && self.job.value_for(&input.name).is_none() {
                continue;
            }
            let instead = input.unless.as_ref().and_then(|other| {
                let at = spec.inputs.iter().position(|known| known.name == *other)?;
                header.cells.iter().find(|cell| cell.wanted == Some(at + 1))
            });
            let column = InputColumn {
                reader: self,
                instead,
                sheet,
                header,
                heading,
                input,
                merged: merged_below(sheet, header, heading),
            };
            let column = column.read(rows, parts, ledger, findings);
            // What no recipe asks for and nobody fills in is no column.
            if !(is_unasked && column.values.iter().all(|value| value.is_nan())) {
                table.add(column);
            }
        }
        let mut carried = carry(header, rows);
        for column in &mut carried {
            column.texts.resize(rows.len() + parts.len(), String::new());
        }
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
