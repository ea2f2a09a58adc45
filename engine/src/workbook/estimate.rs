//! The Estimate sheet: every line from what is needed to its price, the sums, fees, allowances,
//! phases, payments, the job as a whole.

use rust_xlsxwriter::{Worksheet, XlsxError};

use super::down::DownTable;
use super::estimate_columns::EstimateColumns;
use super::estimate_lines::{mark_stale, write_headings, write_line};
use super::layout::{Direction, Layout, TablePlace, quoted_sheet};
use super::page;
use super::side_table::{SideColumn, SideTable};
use super::styles;
use crate::bid::{Added, Bid};
use crate::diag::column_letters;

/// First row with a line.
pub(super) const FIRST_ROW: u32 = 4;

/// Where the parts of the sheet stand.
#[derive(Clone, Debug)]
pub(super) struct EstimatePlan {
    sheet: String,
    at: EstimateColumns,
    lines: usize,
    summary: DownTable,
    fees: Option<SideTable>,
    allowances: Option<SideTable>,
    phases: Option<SideTable>,
    payments: Option<SideTable>,
    job: DownTable,
}

/// Cells of a line that other sheets refer to.
#[derive(Clone, Copy)]
pub(super) enum LineCell {
    Needed,
    Quantity,
    Cost,
    Status,
}

impl EstimatePlan {
    /// Plans the sheet.
    pub(super) fn new(bid: &Bid, layout: &mut Layout) -> Self {
        let at = EstimateColumns::new(bid);
        let sheet = layout.own_sheet("Estimate");
        put_lines(bid, &at, &sheet, layout);
        let mut top = FIRST_ROW + bid.lines.len() as u32 + 1;
        let summary = DownTable::new(bid.summary, "Sums", top, at, &bid.ledger);
        summary.put(&sheet, layout);
        top = summary.end() + 1;
        let mut side = |table: SideTable| {
            table.put(top, layout, &bid.ledger);
            let placed = table.at(top);
            top = placed.end(&bid.ledger) + 1;
            placed
        };
        let added = |added: &Added| {
            let notes = added.from.iter().map(|(_, reckoned)| reckoned.clone());
            let price = SideColumn::new(added.price, at.below_value());
            SideTable::new(added.table, &at, vec![price]).with_notes(notes.collect())
        };
        let fees = bid.fees.as_ref().map(added).map(&mut side);
        let allowances = bid.allowances.as_ref().map(added).map(&mut side);
        let phases = bid.phases.as_ref().map(|phases| {
            let columns = vec![
                SideColumn::new(phases.number, at.number),
                SideColumn::new(phases.price, at.below_value()),
            ];
            side(SideTable::new(phases.table, &at, columns))
        });
        let payments = bid.payments.as_ref().map(|payments| {
            let columns = vec![
                SideColumn::new(payments.part, at.unit_price),
                SideColumn::new(payments.amount, at.below_value()),
                SideColumn::new(payments.running_part, at.tax),
                SideColumn::new(payments.running_amount, at.contingency),
            ];
            side(SideTable::new(payments.table, &at, columns))
        });
        let job = DownTable::new(bid.job, "Whole job", top, at, &bid.ledger);
        job.put(&sheet, layout);
        for (name, column) in [
            ("bid_total", bid.summary_columns.bid),
            ("price_of_all_lines", bid.summary_columns.lines),
        ] {
            if let Some(cell) = layout.cell(bid.summary, column, 0) {
                layout.define(name, cell);
            }
        }
        Self {
            sheet,
            at,
            lines: bid.lines.len(),
            summary,
            fees,
            allowances,
            phases,
            payments,
            job,
        }
    }

    /// The address of a line's cell in a column that other sheets refer to.
    pub(super) fn line_cell(&self, line: usize, column: LineCell) -> String {
        let at = match column {
            LineCell::Needed => self.at.needed,
            LineCell::Quantity => self.at.quantity,
            LineCell::Cost => self.at.cost,
            LineCell::Status => self.at.status,
        };
        format!(
            "{}!{}{}",
            quoted_sheet(&self.sheet),
            column_letters(u32::from(at)),
            FIRST_ROW + line as u32 + 1
        )
    }

    /// The ranges of kinds and of prices worked out, for sums by kind.
    pub(super) fn kinds_and_prices(&self) -> (String, String) {
        let last = FIRST_ROW + self.lines as u32 - 1;
        let range = |at: u16| {
            super::layout::range(
                &self.sheet,
                (FIRST_ROW, u32::from(at)),
                (last, u32::from(at)),
            )
        };
        (range(self.at.kind), range(self.at.worked_out))
    }

    /// First and last row of the job's forks, for the checks.
    pub(super) fn job_forks(&self, bid: &Bid, recipe: &str) -> Vec<String> {
        self.job.forks(&self.sheet, bid, recipe)
    }

    /// Writes the sheet.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        title: &str,
        bid: &Bid,
        layout: &Layout,
    ) -> Result<(), XlsxError> {
        page::set_up_wide(sheet, FIRST_ROW - 1)?;
        sheet.write_string_with_format(0, 0, title, &styles::title())?;
        sheet.write_string_with_format(1, 0, "What the rooms need, what is ordered in whole packages, and how cost becomes price. For the shop, not for the customer.", &styles::remark())?;
        write_headings(sheet, bid, &self.at)?;
        for (index, line) in bid.lines.iter().enumerate() {
            write_line(sheet, bid, (layout, &self.at), index, line)?;
        }
        mark_stale(sheet, &self.at, self.lines as u32)?;
        self.summary.write(sheet, bid, layout)?;
        for table in [&self.fees, &self.allowances, &self.phases, &self.payments]
            .into_iter()
            .flatten()
        {
            table.write(sheet, &bid.ledger, layout)?;
        }
        self.job.write(sheet, bid, layout)?;
        sheet.set_freeze_panes(FIRST_ROW, 4)?;
        Ok(())
    }
}

/// Puts the lines into the layout.
fn put_lines(bid: &Bid, at: &EstimateColumns, sheet: &str, layout: &mut Layout) {
    let columns = &bid.line_columns;
    let always = [
        (columns.number, at.number),
        (columns.needed, at.needed),
        (columns.quantity, at.quantity),
        (columns.unit_price, at.unit_price),
        (columns.cost, at.cost),
        (columns.tax, at.tax),
        (columns.contingency, at.contingency),
        (columns.profit, at.profit),
        (columns.price, at.worked_out),
        (columns.share_rate, at.share_rate),
    ];
    let at_times = [
        columns.overhead.zip(at.overhead),
        columns.phase.zip(at.phase_number),
        at.by_plan.map(|at| (columns.by_plan, at)),
    ];
    let places = always.into_iter().chain(at_times.into_iter().flatten());
    layout.put(
        bid.line_table,
        TablePlace {
            sheet: sheet.to_owned(),
            direction: Direction::Across,
            first: FIRST_ROW,
            rows: bid.lines.len() as u32,
            columns: places.map(|(id, at)| (id, u32::from(at))).collect(),
            owner: 0,
        },
    );
}
