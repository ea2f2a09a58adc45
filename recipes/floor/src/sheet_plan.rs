//! Where a floor lies in a plan common to the job, and what its heights count from: the keys
//! `Origin` (x and y in the two cells right of it) and `Line` (a name).
//!
//! Both serve one end, to set a floor beside others, so that one without the other is a mistake.

use engine::plugin::{Cell, Place};

use crate::sheet::{Bare, Reader};
use crate::surface::Point;

/// Where a floor lies among others.
#[derive(Clone, Debug, PartialEq)]
pub struct InPlan {
    /// Where the sheet's 0, 0 lies in the plan common to the job, in inches.
    pub origin: Point,
    /// The laser line that rod readings hang from, or the datum of elevations; in small letters.
    pub line: String,
    /// The cell that says Origin.
    pub place: Place,
}

/// The keys while a sheet is read, each with its cell.
#[derive(Default)]
pub(crate) struct PlanKeys {
    origin: Option<(u32, u32)>,
    line: Option<(u32, u32)>,
}

impl PlanKeys {
    /// Remembers a key that has something beside it; whether it was one of these.
    pub(crate) fn take(&mut self, reader: &Reader<'_, '_>, key: &str, at: (u32, u32)) -> bool {
        let (keeps, cells) = match key {
            "origin" => (&mut self.origin, 2),
            "line" => (&mut self.line, 1),
            _ => return false,
        };
        // A blank form has notes further right.
        let beside = 1..=cells;
        if beside
            .into_iter()
            .any(|n| beside_key(reader, at, n).is_some())
        {
            *keeps = Some(at);
        }
        true
    }

    /// What the keys say together; what is half given is refused by its cell.
    pub(crate) fn read(self, reader: &mut Reader<'_, '_>) {
        match (self.origin, self.line) {
            (None, None) => {}
            (Some(origin), Some(line)) => {
                let x = position(reader, origin, 1, "x");
                let y = position(reader, origin, 2, "y");
                let name = beside_key(reader, line, 1).map(|cell| cell.shown());
                if let (Some(x), Some(y), Some(name)) = (x, y, name) {
                    reader.sheet.in_plan = Some(InPlan {
                        origin: Point::new(x, y),
                        line: name.trim().to_lowercase(),
                        place: reader.place(origin.0, origin.1),
                    });
                }
            }
            (Some(origin), None) => reader.refuse(
                origin,
                "Origin is stated without Line".to_owned(),
                Some("Write Line and, right of it, a name for the laser line or the datum: floors with the same name share their heights.".to_owned()),
            ),
            (None, Some(line)) => reader.refuse(
                line,
                "Line is stated without Origin".to_owned(),
                Some("Write Origin and, right of it, x and y of this sheet's 0, 0 in a plan common to the job.".to_owned()),
            ),
        }
    }
}

/// The cell so many columns right of a key.
fn beside_key<'a>(reader: &Reader<'a, '_>, (row, column): (u32, u32), n: u32) -> Option<&'a Cell> {
    let cell = reader.source.sheet.cell(row, column + n)?;
    (!cell.shown().trim().is_empty()).then_some(cell)
}

/// One of the two numbers right of Origin.
fn position(reader: &mut Reader<'_, '_>, key: (u32, u32), n: u32, name: &str) -> Option<f64> {
    let at = (key.0, key.1 + n);
    let what = format!("{name} of Origin");
    let Some(cell) = beside_key(reader, key, n) else {
        reader.refuse(
            at,
            format!("{what} is missing"),
            Some("Origin takes two cells right of it: x and y of this sheet's 0, 0 in a plan common to the job.".to_owned()),
        );
        return None;
    };
    reader.length(cell, at, (None, Bare::Position), &what)
}
