//! Alternates: the same takeoff with some cells of its rooms changed, priced beside it.
//!
//! They stand on a sheet of their own with the headings Alternate, Room, Column and Value: one row
//! for each changed cell, or for a whole column where no room is named.

use super::headings::headings;
use super::rows::{is_total, room_rows};
use super::spec::{InputSpec, TakeoffSpec};
use super::{find_rooms_sheet, visible_sheet_named};
use crate::diag::{Diagnostic, Findings, Place, near_name, quoted};
use crate::grid::{Cell, Grid, Sheet, Value, Wanted, cell_in, find_header};
use crate::trail::fold;

/// Name of the sheet.
pub const ALTERNATES: &str = "Alternates";
/// Its headings, with why each is there.
pub const ALTERNATE_HEADINGS: [(&str, &str); 4] = [
    (
        "Alternate",
        "What the customer may choose instead, such as Without heat. Rows of one name belong together.",
    ),
    ("Room", "The room that changes; blank for all rooms."),
    (
        "Column",
        "The heading of the cell that changes, such as Floor heat.",
    ),
    ("Value", "What stands in it then; blank clears it."),
];

/// The most that one bid can show.
const MOST: usize = 6;

/// A changed cell, or a changed column.
#[derive(Clone, Debug, PartialEq)]
struct Change {
    room: Option<String>,
    heading: String,
    value: Option<Cell>,
    /// Places of the room, the heading and the value.
    places: [Place; 3],
}

/// The takeoff with some cells changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternate {
    /// What the customer may choose.
    pub name: String,
    changes: Vec<Change>,
}

/// A cell that an alternate sets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetCell {
    /// The room; none where it is set in all.
    room: Option<String>,
    /// The input's name in scripts.
    input: String,
}

impl SetCell {
    /// Whether it is the cell of a room and an input.
    pub fn is(&self, room: &str, input: &str) -> bool {
        let of_room = self.room.as_ref();
        self.input == input && of_room.is_none_or(|name| fold(name) == fold(room))
    }
}

/// Whether a sheet is the one of alternates.
pub(super) fn is_alternates(name: &str) -> bool {
    fold(name) == fold(ALTERNATES)
}

/// Reads the sheet, where there is one.
pub fn read_alternates(grid: &Grid, findings: &mut Findings) -> Vec<Alternate> {
    let Some(sheet) = visible_sheet_named(grid, ALTERNATES) else {
        return Vec::new();
    };
    let wanted = ALTERNATE_HEADINGS.map(|(title, _)| Wanted::new(title, [title]));
    let said = ("alternates", "Alternate, Room, Column, Value");
    let Some(header) = headings(grid, sheet, &wanted, said, findings) else {
        return Vec::new();
    };
    let column = |index: usize| {
        let mut cells = header.cells.iter();
        cells
            .find(|cell| cell.wanted == Some(index))
            .map(|cell| cell.column)
    };
    let mut alternates: Vec<Alternate> = Vec::new();
    for (row, cells) in sheet.rows.iter().filter(|(row, _)| *row > header.row) {
        let cell = |index| cell_in(cells, column(index)?);
        let text = |index| cell(index).map(|cell| cell.shown().trim().to_owned());
        let place = |index| grid.place(sheet, *row, column(index).unwrap_or(0));
        let (name, heading) = match (text(0), text(2)) {
            // Notes below the list.
            (None, None) => continue,
            (Some(name), Some(heading)) if !is_total(&name) => (name, heading),
            (Some(_), None) if text(1).is_none() && cell(3).is_none() => continue,
            _ => {
                findings.push(
                    Diagnostic::error(format!("row {} of the alternates is not whole", row + 1))
                        .at(place(0))
                        .label("expected the name of an alternate and the heading of a column"),
                );
                continue;
            }
        };
        let change = Change {
            room: text(1),
            heading,
            value: cell(3).cloned(),
            places: [place(1), place(2), place(3)],
        };
        match alternates
            .iter_mut()
            .find(|known| fold(&known.name) == fold(&name))
        {
            Some(known) => known.changes.push(change),
            None => alternates.push(Alternate {
                name,
                changes: vec![change],
            }),
        }
    }
    if alternates.len() > MOST {
        findings.push(
            Diagnostic::error(format!(
                "{} alternates do not fit a bid, which shows {MOST} at most",
                alternates.len()
            ))
            .at(grid.sheet_place(sheet)),
        );
    }
    alternates
}

impl Alternate {
    /// What changes, in words: `Kitchen: Floor heat none`.
    pub fn words(&self) -> String {
        let each = self.changes.iter().map(|change| {
            let value = change.value.as_ref();
            let value = value.map_or_else(|| "blank".to_owned(), Cell::shown);
            match &change.room {
                Some(room) => format!("{room}: {} {value}", change.heading),
                None => format!("all rooms: {} {value}", change.heading),
            }
        });
        each.collect::<Vec<_>>().join("; ")
    }

    /// The cells that it sets, whatever the bid's hold: a room, or all, and the input's name.
    pub fn sets(&self, spec: &TakeoffSpec) -> Vec<SetCell> {
        let changes = self.changes.iter();
        changes
            .filter_map(|change| {
                let (_, input) = spec.rooms.input_under(&change.heading)?;
                Some(SetCell {
                    room: change.room.clone(),
                    input: input.name.clone(),
                })
            })
            .collect()
    }

    /// The takeoff with its cells changed. Nothing when they cannot be found.
    pub fn applied(
        &self,
        grid: &Grid,
        spec: &TakeoffSpec,
        findings: &mut Findings,
    ) -> Option<Grid> {
        let mut changed = grid.clone();
        let rooms = find_rooms_sheet(grid, spec, findings)?;
        let at = grid
            .sheets
            .iter()
            .position(|sheet| std::ptr::eq(sheet, rooms))?;
        let mistakes = findings.error_count();
        for change in &self.changes {
            // Found anew for each change: one before may have added the column.
            self.change(change, (grid, &mut changed.sheets[at]), spec, findings);
        }
        (findings.error_count() == mistakes).then_some(changed)
    }

    fn change(
        &self,
        change: &Change,
        (grid, sheet): (&Grid, &mut Sheet),
        spec: &TakeoffSpec,
        findings: &mut Findings,
    ) {
        let Ok(header) = find_header(sheet, &spec.rooms.wanted()) else {
            // Said when the takeoff itself is read.
            return;
        };
        let [room_place, heading_place, _] = &change.places;
        let Some((number, input)) = spec.rooms.input_under(&change.heading) else {
            let titles = spec.rooms.inputs.iter().map(|input| input.title.as_str());
            let near = near_name(&change.heading, titles);
            findings.push(
                Diagnostic::error(format!(
                    "no recipe asks rooms for {}",
                    quoted(&change.heading)
                ))
                .at(heading_place.clone())
                .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
            return;
        };
        if input.survey.is_some() {
            findings.push(
                Diagnostic::error(format!("an alternate cannot change {}", input.title))
                    .at(heading_place.clone())
                    .label("a floor is as it is")
                    .hint("Price another takeoff for other readings."),
            );
            return;
        }
        // Notes and totals were spoken of when the takeoff itself was read.
        let mut said = Findings::new();
        let rows = room_rows(
            grid,
            sheet,
            &header,
            &spec.rooms,
            &mut said,
            &mut Findings::new(),
        );
        let is_meant = |name: &str| {
            change
                .room
                .as_ref()
                .is_none_or(|room| fold(room) == fold(name))
        };
        let numbers: Vec<u32> = rows
            .iter()
            .filter(|row| is_meant(&row.name))
            .map(|row| row.number)
            .collect();
        if numbers.is_empty() {
            let room = change.room.as_deref().unwrap_or_default();
            let near = near_name(room, rows.iter().map(|row| row.name.as_str()));
            findings.push(
                Diagnostic::error(format!("the takeoff has no room called {}", quoted(room)))
                    .at(room_place.clone())
                    .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
            return;
        }
        let headed = header
            .cells
            .iter()
            .find(|cell| cell.wanted == Some(number + 1));
        let column = match headed {
            Some(cell) => cell.column,
            None => add_column(sheet, header.row, input),
        };
        for number in numbers {
            sheet.set(number, column, change.value.clone());
        }
    }
}

/// Adds a column for an input right of all others.
fn add_column(sheet: &mut Sheet, header: u32, input: &InputSpec) -> u32 {
    let ends = sheet.rows.iter().filter_map(|(_, cells)| cells.last());
    let column = ends.map(|(column, _)| column + 1).max().unwrap_or(0);
    let heading = Cell::plain(Value::Text(input.title.clone()));
    sheet.set(header, column, Some(heading));
    column
}
