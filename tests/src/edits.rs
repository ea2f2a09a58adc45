//! Edits of generated jobs, made alike in the job and in the workbook written from it.

use crate::chance::Chance;
use crate::floors::Floor;
use crate::jobs::{Job, LEVELERS, PRIMERS, Room, STRIPS, SUBSTRATES};
use crate::oracle::{At, HEADINGS, Recalculated};
use crate::priced::Priced;
use crate::terms::TermEdit;

/// An edit made alike in a job and in its workbook.
#[derive(Clone, Debug)]
pub enum Edit {
    /// A number of a room: area, depth, edge or layers.
    RoomNumber(usize, &'static str, f64),
    /// A cell of a room that is cleared.
    RoomBlank(usize, &'static str),
    /// A choice of a room: heading and text.
    RoomChoice(usize, &'static str, &'static str),
    /// A reading of a room's floor: row and column of its grid.
    Reading(usize, usize, usize, f64),
    /// A width of an opening.
    Opening(usize, usize, f64),
    /// A factor, in the unit of its cell.
    Factor(usize, f64),
    /// A field of a product.
    Field(usize, f64),
    /// A rate.
    Rate(usize, f64),
    /// The leveler of the job, for rooms that name none.
    JobLeveler(usize),
    /// The visits of the job.
    Visits(f64),
    /// Markup or margin on labour.
    Profit(f64),
    /// The minimum charge.
    Minimum(f64),
    /// Phases, overhead, fees, allowances, payments.
    Terms(TermEdit),
}

impl Edit {
    /// An edit that follows from chance.
    pub fn random(job: &Job, chance: &mut Chance) -> Self {
        let c = chance;
        if let Some(edit) = job.terms.edit(job.rooms.len(), c) {
            return Self::Terms(edit);
        }
        let room = c.below(job.rooms.len());
        let scale = |us: f64, si: f64| if job.metric { si } else { us };
        match c.below(18) {
            0 | 1 => Self::RoomNumber(
                room,
                "Area",
                c.between(scale(20.0, 2.0), scale(600.0, 60.0), 0.25),
            ),
            2 => Self::RoomNumber(
                room,
                "Average depth",
                c.between(scale(0.125, 3.0), scale(2.5, 60.0), scale(0.125, 1.0)),
            ),
            3 => Self::RoomNumber(
                room,
                "Edge",
                c.between(scale(8.0, 3.0), scale(120.0, 36.0), 0.5),
            ),
            4 => Self::RoomNumber(room, "Layers", c.below(4) as f64),
            5 | 17 => Self::RoomBlank(room, c.pick(&["Edge", "Area", "Area", "Leveler", "Heated"])),
            6 => Self::RoomChoice(room, "Leveler", c.pick(&LEVELERS)),
            7 => match c.below(3) {
                0 => Self::RoomChoice(room, "Primer", c.pick(&PRIMERS)),
                1 => Self::RoomChoice(room, "Strip", c.pick(&STRIPS)),
                _ => Self::RoomChoice(room, "Substrate", c.pick(&SUBSTRATES)),
            },
            8 => Self::RoomChoice(room, "Heated", c.pick(&["yes", "no"])),
            9 => match job.rooms[room].openings.len() {
                0 => Self::Visits(c.between(1.0, 6.0, 1.0)),
                n => Self::Opening(
                    room,
                    c.below(n),
                    c.between(scale(24.0, 600.0), scale(90.0, 2300.0), scale(1.0, 10.0)),
                ),
            },
            10 => {
                let index = c.below(job.factors.len());
                let now = job.factors[index].3;
                let step = if job.factors[index].2 == "$/ft" {
                    0.01
                } else {
                    0.125
                };
                Self::Factor(
                    index,
                    c.between((now * 0.7).max(0.0), now * 1.3 + step, step)
                        .max(step),
                )
            }
            11 => {
                let index = c.below(job.fields.len());
                let now = job.fields[index].3;
                Self::Field(
                    index,
                    (now * (0.8 + c.below(40) as f64 / 100.0) * 100.0).round() / 100.0,
                )
            }
            12 => {
                let index = c.below(job.rates.len());
                Self::Rate(index, c.between(20.0, 250.0, 0.25))
            }
            13 => Self::JobLeveler(c.below(3)),
            14 | 15 => match &job.rooms[room].floor {
                None => Self::Minimum(c.between(0.0, 30_000.0, 500.0)),
                Some(floor) => Self::Reading(
                    room,
                    c.below(floor.lines.len()),
                    c.below(floor.lines[0].len()),
                    c.between(scale(36.0, 900.0), scale(37.5, 940.0), scale(0.0625, 0.5)),
                ),
            },
            _ => match c.below(2) {
                0 => Self::Profit(c.between(0.0, 45.0, 0.5)),
                _ => Self::Minimum(c.between(0.0, 30_000.0, 500.0)),
            },
        }
    }

    /// Makes the edit in a job.
    pub fn in_job(&self, job: &mut Job) {
        match *self {
            Self::RoomNumber(room, heading, number) => {
                let room = &mut job.rooms[room];
                match heading {
                    "Area" => room.area = number,
                    "Average depth" => room.depth = number,
                    "Edge" => room.edge = Some(number),
                    _ => room.layers = Some(number as usize),
                }
            }
            Self::RoomBlank(room, heading) => {
                let room = &mut job.rooms[room];
                match heading {
                    "Edge" => room.edge = None,
                    // Without an area only a room with readings can be priced.
                    "Area" => room.area = f64::NAN,
                    "Leveler" => room.leveler = None,
                    _ => room.heated = None,
                }
            }
            Self::RoomChoice(room, heading, text) => {
                let room = &mut job.rooms[room];
                let at = |list: &[&str]| list.iter().position(|known| *known == text).unwrap();
                match heading {
                    "Leveler" => room.leveler = Some(at(&LEVELERS)),
                    "Primer" => room.primer = at(&PRIMERS),
                    "Strip" => room.strip = at(&STRIPS),
                    "Substrate" => room.substrate = at(&SUBSTRATES),
                    _ => room.heated = Some(text == "yes"),
                }
            }
            Self::Reading(room, row, column, read) => {
                if let Some(floor) = &mut job.rooms[room].floor {
                    floor.lines[row][column] = read;
                }
            }
            Self::Opening(room, index, width) => job.rooms[room].openings[index].0 = width,
            Self::Factor(index, number) => job.factors[index].3 = number,
            Self::Field(index, number) => job.fields[index].3 = number,
            Self::Rate(index, number) => job.rates[index].1 = number,
            Self::JobLeveler(leveler) => job.job_leveler = leveler,
            Self::Visits(visits) => job.visits = visits,
            Self::Profit(profit) => job.profit = profit,
            Self::Minimum(minimum) => job.minimum = minimum,
            Self::Terms(ref edit) => edit.in_job(&mut job.terms, &mut job.rooms),
        }
    }

    /// Whether a cell that the edit clears falls back to a default in a fresh takeoff, while a
    /// workbook knows no default: then it must be flagged.
    pub fn clears_default(&self) -> bool {
        matches!(self, Self::RoomBlank(_, "Leveler" | "Heated"))
    }

    /// Whether the edit changes a reading of a floor whose volume has no formula: then it must
    /// be flagged.
    pub fn is_on_a_dry_floor(&self, job: &Job) -> bool {
        match self {
            Self::Reading(room, ..) => job.rooms[*room]
                .floor
                .as_ref()
                .is_some_and(Floor::is_partly_dry),
            _ => false,
        }
    }

    /// Whether the edit moves a room to a phase that the workbook knows nothing of: then it must
    /// be flagged.
    pub fn leaves_the_phases(&self, priced: &Priced) -> bool {
        match self {
            Self::Terms(edit) => edit.leaves_the_phases(&priced.bid),
            _ => false,
        }
    }

    /// Makes the edit in a workbook.
    pub fn in_workbook(&self, job: &Job, sheet: &mut Recalculated) {
        let room_cell = |sheet: &Recalculated, room: usize, heading: &str| -> At {
            let column = sheet.column_headed("Rooms", HEADINGS, heading);
            (sheet.sheet("Rooms"), HEADINGS + 1 + room as i32, column)
        };
        match *self {
            Self::RoomNumber(room, heading, number) => {
                let at = room_cell(sheet, room, heading);
                sheet.type_number(at, number);
            }
            Self::RoomBlank(room, heading) => {
                let at = room_cell(sheet, room, heading);
                sheet.clear(at);
            }
            Self::RoomChoice(room, heading, text) => {
                let at = room_cell(sheet, room, heading);
                sheet.type_text(at, text);
            }
            Self::Reading(room, row, column, read) => {
                let floors = |rooms: &[Room]| -> usize {
                    rooms
                        .iter()
                        .filter_map(|r| r.floor.as_ref())
                        .map(Floor::count)
                        .sum()
                };
                let columns = job.rooms[room]
                    .floor
                    .as_ref()
                    .map_or(0, |f| f.lines[0].len());
                let at = floors(&job.rooms[..room]) + row * columns + column;
                let heading = sheet.column_headed("Readings", HEADINGS, "Reading");
                sheet.type_number(
                    (sheet.sheet("Readings"), HEADINGS + 1 + at as i32, heading),
                    read,
                );
            }
            Self::Opening(room, index, width) => {
                let before: usize = job.rooms[..room].iter().map(|r| r.openings.len()).sum();
                let column = sheet.column_headed("Openings", HEADINGS, "Width");
                let at = (
                    sheet.sheet("Openings"),
                    HEADINGS + 1 + (before + index) as i32,
                    column,
                );
                sheet.type_number(at, width);
            }
            Self::Factor(index, number) => {
                let (name, _, unit, _) = job.factors[index];
                let at = sheet.named(name);
                sheet.type_number(at, if unit == "%" { number / 100.0 } else { number });
            }
            Self::Field(index, number) => {
                let (kind, product, field, _) = job.fields[index];
                let (sheet_index, row, column) = sheet.named(&format!("book_{kind}_{field}"));
                // The workbook of a metric shop shows fields in metric units.
                let number = match field {
                    "yields" if job.metric => number * 28.316_846_592,
                    "coverage" if job.metric => number * 0.092_903_04,
                    "reach" if job.metric => number * 0.3048,
                    _ => number,
                };
                sheet.type_number((sheet_index, row + product as i32, column), number);
            }
            Self::Rate(index, number) => {
                let at = sheet.named(&format!("rate_{}", job.rates[index].0));
                sheet.type_number(at, number);
            }
            Self::JobLeveler(leveler) => {
                let at = sheet.named("job_leveler");
                sheet.type_text(at, LEVELERS[leveler]);
            }
            Self::Visits(visits) => {
                let at = sheet.named("job_visits");
                sheet.type_number(at, visits);
            }
            Self::Profit(profit) => {
                let which = if job.margin { "margin" } else { "markup" };
                for kind in ["material", "labour", "equipment", "subcontract", "charge"] {
                    let at = sheet.named(&format!("{which}_on_{kind}"));
                    sheet.type_number(at, profit / 100.0);
                }
            }
            Self::Minimum(minimum) => {
                let at = sheet.named("minimum_charge");
                sheet.type_number(at, minimum);
            }
            Self::Terms(ref edit) => edit.in_workbook(sheet),
        }
    }
}
