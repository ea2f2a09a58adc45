//! The sheets of one priced job: its rooms, the tables below them, its estimate, its checks. A
//! workbook has one for the bid and one for each alternate; all share factors and prices.

use rust_xlsxwriter::{Workbook, Worksheet, XlsxError};

use super::estimate::EstimatePlan;
use super::factors::FactorsPlan;
use super::layout::{Layout, sheet_name};
use super::plan::{SHEETS, TablePlan};
use super::prices::PricesPlan;
use super::record::{RecordPlan, Sources};
use super::step_tables;
use super::table_sheet::{Followed, TableSheet};
use crate::bid::{Bid, PricedAlternate};
use crate::shop::Workshop;
use crate::takeoff::SetCell;

/// What stands where for one priced job.
pub(super) struct Model<'a> {
    pub(super) bid: &'a Bid,
    pub(super) workshop: &'a Workshop,
    pub(super) layout: Layout,
    pub(super) prices: PricesPlan,
    pub(super) factors: FactorsPlan,
    /// Rooms first, then the tables below them.
    pub(super) tables: Vec<TablePlan>,
    pub(super) estimate: EstimatePlan,
    pub(super) record: RecordPlan,
}

impl<'a> Model<'a> {
    /// Plans the sheets of the bid.
    pub(super) fn of_bid(bid: &'a Bid, workshop: &'a Workshop) -> Self {
        Self::new(bid, workshop, None)
    }

    /// Plans the sheets of all alternates of the bid.
    pub(super) fn alternates(&self) -> Vec<Self> {
        let mut planned: Vec<Self> = Vec::new();
        for (number, alternate) in (1..).zip(&self.bid.alternates) {
            let above = planned.last().unwrap_or(self).factors.end();
            let of = Some((self, number, above));
            planned.push(Self::new(&alternate.bid, self.workshop, of));
        }
        planned
    }

    /// Plans a job; for an alternate with the bid, its number, and the row below all factors.
    fn new(bid: &'a Bid, workshop: &'a Workshop, of: Option<(&Model<'a>, usize, u32)>) -> Self {
        let mut layout = Layout::default();
        let prices = PricesPlan::new(bid, &workshop.products, &mut layout);
        let steps = step_tables(bid);
        let factors = match of {
            None => FactorsPlan::new(bid, &steps, &mut layout),
            Some((base, number, above)) => {
                layout.go_on_for_alternate(number);
                FactorsPlan::of_alternate(bid, &steps, (base, above), &mut layout)
            }
        };
        let sheet = layout.own_sheet("Rooms");
        let mut tables = vec![TablePlan::rooms(bid, sheet, &mut layout)];
        let mut taken: Vec<String> = SHEETS.map(str::to_owned).to_vec();
        for child in &bid.takeoff.children {
            let table = bid.ledger.table(child.table);
            let known: Vec<&str> = taken.iter().map(String::as_str).collect();
            let own = sheet_name(&table.title, &known);
            // Readings are those of the bid: no alternate changes them.
            let sheet = if table.grouped {
                own.clone()
            } else {
                layout.own_sheet(&own)
            };
            tables.push(TablePlan::child(bid, child, sheet, &mut layout));
            taken.push(own);
        }
        if let Some((base, ..)) = of {
            let pairs = tables.iter_mut().zip(&base.tables);
            for (plan, followed) in pairs.filter(|(plan, _)| !plan.is_grouped(bid)) {
                plan.follow(followed, (&bid.ledger, &base.bid.ledger));
            }
        }
        let estimate = EstimatePlan::new(bid, &mut layout);
        let sources = Sources {
            bid,
            tables: &tables,
            workshop,
            estimate: &estimate,
            factors: &factors,
            prices: &prices,
        };
        let record = RecordPlan::new(&sources, &mut layout);
        Self {
            bid,
            workshop,
            layout,
            prices,
            factors,
            tables,
            estimate,
            record,
        }
    }

    /// The plan of the rooms.
    pub(super) fn rooms(&self) -> &TablePlan {
        &self.tables[0]
    }

    /// Writes the sheets of rooms and of tables below them.
    pub(super) fn write_tables(
        &self,
        workbook: &mut Workbook,
        base: Option<(&Model<'_>, &[SetCell])>,
    ) -> Result<(), XlsxError> {
        let bid = self.bid;
        let takeoffs = std::iter::once(&bid.takeoff.rooms).chain(&bid.takeoff.children);
        for (index, (plan, takeoff)) in self.tables.iter().zip(takeoffs).enumerate() {
            if base.is_some() && plan.is_grouped(bid) {
                continue;
            }
            // Written row by row, straight to disk.
            let sheet = workbook.add_worksheet_with_low_memory()?;
            let writer = TableSheet {
                bid,
                takeoff,
                plan,
                layout: &self.layout,
                followed: base.map(|(base, sets)| Followed {
                    sets,
                    ledger: &base.bid.ledger,
                    plan: &base.tables[index],
                }),
            };
            writer.write(sheet.set_name(&plan.sheet)?)?;
        }
        Ok(())
    }

    /// Writes what the bid was made from, and its checks.
    pub(super) fn write_record(
        &self,
        sheet: &mut Worksheet,
        takeoff: (&str, &[u8]),
    ) -> Result<(), XlsxError> {
        self.record.write(sheet, self.bid, self.workshop, takeoff)
    }

    /// Writes the sheets of an alternate.
    pub(super) fn write_alternate(
        &self,
        workbook: &mut Workbook,
        base: &Model<'_>,
        alternate: &PricedAlternate,
    ) -> Result<(), XlsxError> {
        let name = &alternate.name;
        let (bid, layout) = (self.bid, &self.layout);
        let sheet = workbook.add_worksheet();
        sheet.set_name(layout.own_sheet("Estimate"))?;
        let title = format!("Estimate of the alternate: {name}");
        self.estimate.write(sheet, &title, bid, layout)?;
        self.write_tables(workbook, Some((base, &alternate.sets)))?;
        let sheet = workbook.add_worksheet();
        sheet.set_name(layout.own_sheet("Record"))?;
        let title = format!("Record of the alternate: {name}");
        self.record.write_checks(sheet, &title)?;
        Ok(())
    }
}
