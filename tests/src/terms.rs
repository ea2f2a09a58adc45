//! What generated jobs have on top of rooms and prices, now and then: suppliers, phases,
//! overhead, fees, allowances, payments, alternates.

use engine::bid::{Bid, NO_PHASE};

use crate::chance::Chance;
use crate::offers::{self, Offer};
use crate::oracle::{HEADINGS, Recalculated};
use crate::rooms::Room;
use crate::story::Rows;

/// The phases of generated jobs.
const PHASES: [&str; 3] = ["1", "2", "east wing"];

/// The terms of a job.
#[derive(Clone, Debug, Default)]
pub struct Terms {
    suppliers: bool,
    phased: bool,
    overhead: Option<(f64, f64)>,
    permit: Option<f64>,
    disposal: Option<f64>,
    pub(crate) job_fee: Option<f64>,
    /// Room and amount: money for an area of a room, money for the job.
    pub(crate) allowances: Vec<(Option<String>, f64)>,
    payments: Vec<f64>,
    offers: Vec<Offer>,
}

/// An edit of the terms.
#[derive(Clone, Debug)]
pub enum TermEdit {
    /// A room's phase, or none.
    Phase(usize, Option<&'static str>),
    /// Overhead on labour, in percent.
    Overhead(f64),
    /// A fee of money.
    Permit(f64),
    /// A fee of the price of lines, in percent.
    Disposal(f64),
    /// A fee of the Job sheet.
    JobFee(f64),
    /// An allowance.
    Allowance(usize, f64),
    /// A part of the payments, in percent.
    Payment(usize, f64),
}

impl Terms {
    /// Terms that follow from a seed; rooms are given their phases.
    pub fn generate(seed: u64, rooms: &mut [Room], metric: bool) -> Self {
        let c = &mut Chance::new(seed + 50_000);
        let phased = c.once_in(3);
        let all_named = c.once_in(2);
        for room in rooms.iter_mut().filter(|_| phased) {
            let blank = !all_named && c.once_in(4);
            room.phase = (!blank).then(|| c.pick(&PHASES));
        }
        let money = |c: &mut Chance, most| c.between(0.0, most, 0.01);
        let measured = rooms.iter().all(|room| !room.area.is_nan());
        let area = if metric { 90.0 } else { 9.0 };
        Self {
            phased: phased && rooms.iter().any(|room| room.phase.is_some()),
            suppliers: c.once_in(2),
            overhead: c
                .once_in(2)
                .then(|| (c.between(0.0, 25.0, 0.5), c.between(0.0, 25.0, 0.5))),
            permit: c.once_in(2).then(|| money(c, 500.0)),
            disposal: c.once_in(3).then(|| c.between(0.0, 9.0, 0.25)),
            job_fee: c.once_in(3).then(|| money(c, 900.0) + 1.0),
            allowances: if measured && c.once_in(3) {
                vec![
                    (
                        Some(rooms[c.below(rooms.len())].name.clone()),
                        money(c, area),
                    ),
                    (None, money(c, 800.0)),
                ]
            } else {
                Vec::new()
            },
            offers: offers::generate(seed, rooms.len()),
            payments: if c.once_in(2) {
                let first = c.between(5.0, 40.0, 0.5);
                let second = c.between(5.0, 40.0, 0.125);
                vec![first, second, 100.0 - first - second]
            } else {
                Vec::new()
            },
        }
    }

    /// What stands at the top of `shop.toml`.
    pub(crate) fn on_top(&self) -> String {
        let mut text = String::new();
        if !self.payments.is_empty() {
            let steps = self.payments.iter().enumerate();
            let steps =
                steps.map(|(n, part)| format!("{{ step = \"Step {n}\", part = \"{part} %\" }}"));
            text.push_str(&format!(
                "payments = [{}]\n",
                steps.collect::<Vec<_>>().join(", ")
            ));
        }
        text.push_str("[fees]\n");
        if let Some(amount) = self.permit {
            text.push_str(&format!("\"City permit\" = \"${amount}\"\n"));
        }
        if let Some(percent) = self.disposal {
            text.push_str(&format!("Disposal = \"{percent} %\"\n"));
        }
        text
    }

    /// What stands in `[pricing]`.
    pub(crate) fn in_pricing(&self) -> String {
        overhead(self.overhead.map(|(all, _)| all))
    }

    /// What stands in `[pricing.labour]`.
    pub(crate) fn in_labour(&self) -> String {
        overhead(self.overhead.map(|(_, labour)| labour))
    }

    /// The supplier of a product, as a line of the price book.
    pub(crate) fn supplier(&self, index: usize) -> &'static str {
        match index % 3 {
            _ if !self.suppliers => "",
            0 => "supplier = \"North\"\n",
            1 => "supplier = \"South\"\n",
            _ => "",
        }
    }

    /// Sheets of allowances and alternates, where there are any.
    pub(crate) fn sheets(&self, rooms: &[Room]) -> Vec<(String, Rows)> {
        let mut sheets = Vec::new();
        if !self.allowances.is_empty() {
            sheets.push(("Allowances".to_owned(), self.allowance_rows()));
        }
        if !self.offers.is_empty() {
            sheets.push(("Alternates".to_owned(), offers::rows(&self.offers, rooms)));
        }
        sheets
    }

    fn allowance_rows(&self) -> Rows {
        let mut rows = vec![["Allowance", "Room", "Amount"].map(str::to_owned).into()];
        for (room, amount) in &self.allowances {
            let (what, per) = match room {
                Some(_) => ("Tile", "/sq ft"),
                None => ("Trim", ""),
            };
            rows.push(vec![
                what.to_owned(),
                room.clone().unwrap_or_default(),
                format!("${amount}{per}"),
            ]);
        }
        rows
    }

    /// An edit of the terms, where the job has the like and chance wills.
    pub(crate) fn edit(&self, rooms: usize, c: &mut Chance) -> Option<TermEdit> {
        let mut edits = Vec::new();
        if self.phased {
            let phase = (!c.once_in(5)).then(|| c.pick(&PHASES));
            let edit = TermEdit::Phase(c.below(rooms), phase);
            edits.extend([edit.clone(), edit]);
        }
        if self.overhead.is_some() {
            edits.push(TermEdit::Overhead(c.between(0.0, 30.0, 0.5)));
        }
        if self.permit.is_some() {
            edits.push(TermEdit::Permit(c.between(0.0, 500.0, 0.01)));
        }
        if self.disposal.is_some() {
            edits.push(TermEdit::Disposal(c.between(0.0, 12.0, 0.25)));
        }
        if self.job_fee.is_some() {
            edits.push(TermEdit::JobFee(c.between(1.0, 500.0, 0.01)));
        }
        if !self.allowances.is_empty() {
            let index = c.below(self.allowances.len());
            edits.push(TermEdit::Allowance(index, c.between(0.0, 50.0, 0.01)));
        }
        if let Some(now) = self.payments.first() {
            let part = if c.once_in(2) {
                *now
            } else {
                c.between(0.0, 60.0, 0.5)
            };
            edits.push(TermEdit::Payment(0, part));
        }
        if edits.is_empty() || !c.once_in(3) {
            return None;
        }
        let index = c.below(edits.len());
        edits.into_iter().nth(index)
    }
}

fn overhead(percent: Option<f64>) -> String {
    percent.map_or_else(String::new, |percent| {
        format!("overhead = \"{percent} %\"\n")
    })
}

impl TermEdit {
    /// Makes the edit in a job.
    pub(crate) fn in_job(&self, terms: &mut Terms, rooms: &mut [Room]) {
        match *self {
            Self::Phase(room, phase) => rooms[room].phase = phase,
            Self::Overhead(percent) => {
                if let Some((_, labour)) = &mut terms.overhead {
                    *labour = percent;
                }
            }
            Self::Permit(amount) => terms.permit = Some(amount),
            Self::Disposal(percent) => terms.disposal = Some(percent),
            Self::JobFee(amount) => terms.job_fee = Some(amount),
            Self::Allowance(index, amount) => terms.allowances[index].1 = amount,
            Self::Payment(index, percent) => terms.payments[index] = percent,
        }
    }

    /// Whether the edit moves a room to a phase that a workbook knows nothing of.
    pub(crate) fn leaves_the_phases(&self, bid: &Bid) -> bool {
        let (Self::Phase(_, phase), Some(phases)) = (self, &bid.phases) else {
            return false;
        };
        let names = &bid.ledger.table(phases.table).row_names;
        let wanted = phase.unwrap_or(NO_PHASE);
        !names.iter().any(|name| name == wanted)
    }

    /// Makes the edit in a workbook.
    pub(crate) fn in_workbook(&self, sheet: &mut Recalculated) {
        let (name, number) = match *self {
            Self::Phase(room, phase) => {
                let column = sheet.column_headed("Rooms", HEADINGS, "Phase");
                let at = (sheet.sheet("Rooms"), HEADINGS + 1 + room as i32, column);
                match phase {
                    Some(phase) => sheet.type_text(at, phase),
                    None => sheet.clear(at),
                }
                return;
            }
            Self::Overhead(percent) => ("overhead_on_labour", percent / 100.0),
            Self::Permit(amount) => ("fee_city_permit", amount),
            Self::Disposal(percent) => ("fee_disposal", percent / 100.0),
            Self::JobFee(amount) => ("fee_crane", amount),
            Self::Allowance(0, amount) => ("allowance_tile", amount),
            Self::Allowance(_, amount) => ("allowance_trim", amount),
            Self::Payment(_, percent) => ("payment_1", percent / 100.0),
        };
        let at = sheet.named(name);
        sheet.type_number(at, number);
    }
}
