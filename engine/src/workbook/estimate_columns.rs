//! The columns of the Estimate sheet, which its lines and the tables below them share.

use crate::bid::Bid;

/// Where each column stands; some only where the job has what they show.
#[derive(Clone, Copy, Debug)]
pub(super) struct EstimateColumns {
    pub(super) number: u16,
    pub(super) kind: u16,
    pub(super) label: u16,
    pub(super) detail: u16,
    /// Where the job has phases: their names.
    pub(super) phase: Option<u16>,
    pub(super) needed: u16,
    pub(super) unit: u16,
    pub(super) quantity: u16,
    pub(super) unit_price: u16,
    pub(super) cost: u16,
    pub(super) tax: u16,
    pub(super) contingency: u16,
    /// Where the shop states an overhead.
    pub(super) overhead: Option<u16>,
    pub(super) profit: u16,
    pub(super) worked_out: u16,
    pub(super) share_rate: u16,
    pub(super) status: u16,
    pub(super) price: u16,
    /// Where a line is cut by a plan.
    pub(super) by_plan: Option<u16>,
    /// Where the job has phases: their numbers.
    pub(super) phase_number: Option<u16>,
}

impl EstimateColumns {
    /// The columns that a bid has, from left to right.
    pub(super) fn new(bid: &Bid) -> Self {
        let columns = &bid.line_columns;
        let plans = bid.ledger.table(bid.line_table).values(columns.by_plan);
        let any_cut = plans.iter().any(|lengths| !lengths.is_nan());
        let mut next = 0;
        let mut place = || {
            next += 1;
            next - 1
        };
        Self {
            number: place(),
            kind: place(),
            label: place(),
            detail: place(),
            phase: columns.phase.map(|_| place()),
            needed: place(),
            unit: place(),
            quantity: place(),
            unit_price: place(),
            cost: place(),
            tax: place(),
            contingency: place(),
            overhead: columns.overhead.map(|_| place()),
            profit: place(),
            worked_out: place(),
            share_rate: place(),
            status: place(),
            price: place(),
            by_plan: any_cut.then(&mut place),
            phase_number: columns.phase.map(|_| place()),
        }
    }

    /// The column with the titles of what lies below the lines.
    pub(super) fn below_title(&self) -> u16 {
        self.label
    }

    /// The column with its units.
    pub(super) fn below_unit(&self) -> u16 {
        self.unit
    }

    /// The column with its values.
    pub(super) fn below_value(&self) -> u16 {
        self.cost
    }

    /// The column with its notes.
    pub(super) fn below_note(&self) -> u16 {
        self.tax
    }
}
