//! The tables on the sheet of a floor: grid, list, corners, marks.

use engine::plugin::{
    Cell, Diagnostic, HeaderRow, HeaderTrouble, Unit, Wanted, find_header, quoted,
};

use crate::sheet::{Bare, Mark, MarkKind, Reader, Typed, text};
use crate::surface::Point;

/// What people write where there is no reading.
const NO_READING: [&str; 5] = ["-", "–", "x", "wall", "obstacle"];

/// A table found on the sheet, with its columns.
struct Table {
    header: HeaderRow,
    /// Unit in the heading of each wanted column.
    units: Vec<Option<Unit>>,
}

impl Table {
    fn column(&self, wanted: usize) -> Option<u32> {
        let cell = self
            .header
            .cells
            .iter()
            .find(|c| c.wanted == Some(wanted))?;
        Some(cell.column)
    }
}

impl Reader<'_, '_> {
    /// The table with these headings; the first of them must be there.
    fn table(&mut self, headings: &[&[&str]]) -> Option<Table> {
        let wanted: Vec<Wanted> = headings
            .iter()
            .map(|names| Wanted::new(names[0], names.iter().copied()))
            .collect();
        let sheet = self.source.sheet;
        let header = match find_header(sheet, &wanted) {
            Ok(header) => header,
            Err(HeaderTrouble::None) => return None,
            Err(HeaderTrouble::Twice {
                row,
                columns,
                wanted: index,
            }) => {
                let twice = self
                    .source
                    .grid
                    .headed_twice(sheet, row, columns, &wanted[index]);
                self.findings.push(twice);
                return None;
            }
        };
        let mut units = vec![None; headings.len()];
        for cell in &header.cells {
            if let (Some(index), Some(label)) = (cell.wanted, &cell.unit) {
                units[index] = self.unit_named(label, (header.row, cell.column));
            }
        }
        Some(Table { header, units })
    }

    /// The rows of a table: below the headings, up to the first whose first column is blank.
    fn rows(&self, table: &Table) -> Vec<u32> {
        let Some(column) = table.column(0) else {
            return Vec::new();
        };
        (table.header.row + 1..)
            .take_while(|row| self.source.sheet.cell(*row, column).is_some())
            .collect()
    }

    /// The cell of a wanted column in a row; that it is missing is said.
    fn cell(&mut self, table: &Table, row: u32, wanted: usize, what: &str) -> Option<(Cell, u32)> {
        let column = table.column(wanted).or(table.column(0)).unwrap_or(0);
        let found = table
            .column(wanted)
            .and_then(|column| self.source.sheet.cell(row, column));
        if found.is_none() {
            self.refuse(
                (row, column),
                format!("{what} is missing in this row"),
                None,
            );
        }
        Some((found?.clone(), column))
    }

    fn position(&mut self, table: &Table, row: u32, wanted: usize, what: &str) -> Option<f64> {
        let (cell, column) = self.cell(table, row, wanted, what)?;
        let unit = table.units[wanted].clone();
        self.length(&cell, (row, column), (unit.as_ref(), Bare::Position), what)
    }

    fn point(&mut self, table: &Table, row: u32, first: usize) -> Option<Point> {
        let x = self.position(table, row, first, "x");
        let y = self.position(table, row, first + 1, "y");
        Some(Point::new(x?, y?))
    }

    /// A list of points; whether there is one.
    pub(crate) fn list(&mut self) -> bool {
        let headings: [&[&str]; 3] = [
            &["x", "across"],
            &["y", "along"],
            &["reading", "elevation", "height", "rod"],
        ];
        let Some(table) = self.table(&headings) else {
            return false;
        };
        for row in self.rows(&table) {
            let at = self.point(&table, row, 0);
            let read = self
                .cell(&table, row, 2, "the reading")
                .and_then(|(cell, column)| {
                    let unit = table.units[2].clone();
                    let sources = (unit.as_ref(), Bare::Reading);
                    let read = self.length(&cell, (row, column), sources, "the reading")?;
                    Some((read, self.place(row, column)))
                });
            if let (Some(at), Some((read, place))) = (at, read) {
                self.add(Typed { at, read, place });
            }
        }
        true
    }

    /// A grid; whether there is one.
    pub(crate) fn grid(&mut self) -> bool {
        let sheet = self.source.sheet;
        let corner = sheet.rows.iter().find_map(|(row, cells)| {
            let is_corner =
                |cell: &Cell| text(cell).is_some_and(|text| corner_unit(&text).is_some());
            let (column, cell) = cells.iter().find(|(_, cell)| is_corner(cell))?;
            Some((*row, *column, corner_unit(&text(cell)?)?))
        });
        let Some((top, left, unit)) = corner else {
            return false;
        };
        let unit = match unit.as_str() {
            "" => None,
            label => self.unit_named(label, (top, left)),
        };
        let positions = (unit.as_ref(), Bare::Position);
        let mut across: Vec<(u32, f64)> = Vec::new();
        for (column, cell) in sheet.row(top).into_iter().flatten() {
            if *column > left
                && let Some(x) = self.length(cell, (top, *column), positions, "the position across")
            {
                across.push((*column, x));
            }
        }
        for at in 1..across.len() {
            let (column, x) = across[at];
            if across[..at].iter().any(|(_, other)| same_place(*other, x)) {
                let found = "two columns of the grid stand at one position across".to_owned();
                self.refuse((top, column), found, None);
            }
        }
        let mut lines: Vec<Vec<Option<usize>>> = Vec::new();
        let mut along: Vec<f64> = Vec::new();
        for row in top + 1.. {
            let Some(cell) = sheet.cell(row, left) else {
                break;
            };
            let Some(y) = self.length(cell, (row, left), positions, "the position along") else {
                continue;
            };
            if along.iter().any(|other| same_place(*other, y)) {
                let found = "two rows of the grid stand at one position along".to_owned();
                self.refuse((row, left), found, None);
            }
            along.push(y);
            let line = across
                .clone()
                .into_iter()
                .map(|(column, x)| self.grid_reading((row, column), Point::new(x, y)))
                .collect();
            lines.push(line);
        }
        self.sheet.is_grid = true;
        for pair in lines.windows(2) {
            for at in 1..across.len() {
                if let [Some(a), Some(b), Some(c), Some(d)] =
                    [pair[0][at - 1], pair[0][at], pair[1][at], pair[1][at - 1]]
                {
                    self.sheet.cells.push([a, b, c, d]);
                }
            }
        }
        true
    }

    fn grid_reading(&mut self, (row, column): (u32, u32), at: Point) -> Option<usize> {
        let cell = self.source.sheet.cell(row, column)?;
        if text(cell).is_some_and(|text| NO_READING.contains(&text.as_str())) {
            return None;
        }
        let read = self.length(cell, (row, column), (None, Bare::Reading), "the reading")?;
        let place = self.place(row, column);
        self.add(Typed { at, read, place })
    }

    /// Adds a reading; its number, unless it is one too many at its place.
    fn add(&mut self, typed: Typed) -> Option<usize> {
        let near = |position: f64| (position * 1e4).round() as i64;
        let place = (near(typed.at.x), near(typed.at.y));
        let index = self.sheet.readings.len();
        if let Some(known) = self.seen.insert(place, index) {
            self.seen.insert(place, known);
            let known = &self.sheet.readings[known];
            if (known.read - typed.read).abs() > 1e-9 {
                let first = known.place.clone();
                self.findings.push(
                    Diagnostic::error("two readings at one place differ")
                        .at(typed.place)
                        .related(first, "the other one stands here"),
                );
            }
            return None;
        }
        self.sheet.readings.push(typed);
        Some(index)
    }

    /// Corners of the outline and of islands.
    pub(crate) fn corners(&mut self) {
        let Some(table) = self.table(&[&["corner x"], &["corner y"], &["ring"]]) else {
            return;
        };
        let mut rings: Vec<(String, Vec<Point>)> = Vec::new();
        for row in self.rows(&table) {
            let Some(corner) = self.point(&table, row, 0) else {
                continue;
            };
            let ring = table
                .column(2)
                .and_then(|column| self.source.sheet.cell(row, column))
                .map_or_else(|| "outline".to_owned(), |cell| cell.shown().to_lowercase());
            match rings.iter_mut().find(|(name, _)| *name == ring) {
                Some((_, corners)) => corners.push(corner),
                None => rings.push((ring, vec![corner])),
            }
        }
        if let Some((name, _)) = rings.iter().find(|(_, corners)| corners.len() < 3) {
            let at = (table.header.row, table.column(0).unwrap_or(0));
            self.refuse(
                at,
                format!("the ring {} has fewer than three corners", quoted(name)),
                None,
            );
        }
        self.sheet.rings = rings.into_iter().map(|(_, corners)| corners).collect();
    }

    /// Openings and registers.
    pub(crate) fn marks(&mut self) {
        let headings: [&[&str]; 5] = [&["mark"], &["from x"], &["from y"], &["to x"], &["to y"]];
        let Some(table) = self.table(&headings) else {
            return;
        };
        for row in self.rows(&table) {
            let Some((cell, column)) = self.cell(&table, row, 0, "the mark") else {
                continue;
            };
            let kind = match text(&cell).as_deref() {
                Some("opening") => MarkKind::Opening,
                Some("register") => MarkKind::Register,
                _ => {
                    let found = format!(
                        "the mark is {}, expected opening or register",
                        quoted(&cell.shown())
                    );
                    self.refuse((row, column), found, None);
                    continue;
                }
            };
            if let (Some(from), Some(to)) = (self.point(&table, row, 1), self.point(&table, row, 3))
            {
                self.sheet.marks.push(Mark { kind, from, to });
            }
        }
    }
}

/// Whether two positions are one: nearer than a tape can tell.
fn same_place(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-4
}

/// The unit named at the corner of a grid, as in `y \ x (ft)`; nothing when the text is no corner.
fn corner_unit(text: &str) -> Option<String> {
    let (letters, unit) = text.split_once('(').unwrap_or((text, ""));
    let letters: String = letters.chars().filter(|c| !c.is_whitespace()).collect();
    let is_corner = matches!(letters.as_str(), "y\\x" | "y/x" | "y|x" | "along\\across");
    is_corner.then(|| unit.trim_end_matches(')').trim().to_owned())
}
