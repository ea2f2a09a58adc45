//! The summary: sums over all lines, fees and allowances, minimum charge, rounding, the bid.

use super::added::Added;
use super::computed::{fill, money_column};
use super::line_columns::LineColumns;
use crate::diag::Outcome;
use crate::quantity::Operator;
use crate::shop::{PricingEntries, Rounding};
use crate::trail::{ColumnId, Ledger, Ref, Shape, Table, TableId, builtin};

/// Columns of the summary, which has one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SummaryColumns {
    /// Sum of costs.
    pub cost: ColumnId,
    /// Sum of taxes.
    pub tax: ColumnId,
    /// Sum of contingencies.
    pub contingency: ColumnId,
    /// Sum of overheads, where the shop states one.
    pub overhead: Option<ColumnId>,
    /// Sum of markups or margins.
    pub profit: ColumnId,
    /// Sum of prices.
    pub lines: ColumnId,
    /// Sum of fees, where there are any.
    pub fees: Option<ColumnId>,
    /// Sum of allowances, where there are any.
    pub allowances: Option<ColumnId>,
    /// All that, or the minimum charge.
    pub at_least: ColumnId,
    /// The bid.
    pub bid: ColumnId,
    /// The bid less fees and allowances, where there are any: what rooms are priced at together.
    pub for_rooms: Option<ColumnId>,
    /// Sum of what rooms bear.
    pub share_total: ColumnId,
}

impl SummaryColumns {
    /// What the prices of rooms add up to.
    pub fn of_rooms(&self) -> ColumnId {
        self.for_rooms.unwrap_or(self.bid)
    }
}

/// Adds the summary with the sums over all lines; what follows from them is not filled yet.
pub(super) fn add_sums(
    lines: TableId,
    line_columns: &LineColumns,
    (any_fee, any_allowance): (bool, bool),
    ledger: &mut Ledger,
) -> Outcome<(TableId, SummaryColumns)> {
    let table = ledger.add_table(Table::new("summary", "Summary", vec!["Bid".to_owned()]));
    let profit_title = ledger
        .table(lines)
        .column(line_columns.profit)
        .title
        .clone();
    let mut add =
        |name: &str, title: &str, note: &str| money_column(ledger, table, name, title, note);
    let any_added = any_fee || any_allowance;
    let together = match line_columns.overhead {
        Some(_) => "Cost, tax, contingency, overhead and profit together",
        None => "Cost, tax, contingency and profit together",
    };
    let at_least = match any_added {
        true => "The price of all lines with fees and allowances, or the minimum charge",
        false => "The price of all lines, or the minimum charge",
    };
    let columns = SummaryColumns {
        cost: add("cost", "Cost", "What the work costs the shop, before tax"),
        tax: add("tax", "Tax", "Tax that the shop pays on what it buys"),
        contingency: add("contingency", "Contingency", "For what cannot be foreseen"),
        overhead: line_columns.overhead.map(|_| {
            add(
                "overhead",
                "Overhead",
                "For running the shop, on cost alone",
            )
        }),
        profit: add("profit", &profit_title, "What the shop adds or keeps"),
        lines: add("lines", "Price of all lines", together),
        fees: any_fee.then(|| add("fees", "Fees", "Listed on the bid beside the rooms")),
        allowances: any_allowance.then(|| {
            add(
                "allowances",
                "Allowances",
                "Listed on the bid beside the rooms",
            )
        }),
        at_least: add("at_least", "With minimum charge", at_least),
        bid: add("bid", "Bid", "Rounded as the shop rounds"),
        for_rooms: any_added.then(|| {
            let note = "The bid less fees and allowances, which no room bears";
            add("for_rooms", "Price of all rooms", note)
        }),
        share_total: add(
            "share_total",
            "Sum of shares",
            "What all rooms bear together",
        ),
    };
    let shape = Shape::build(ledger, table, |t| {
        let mut sum = |column| t.read(Ref::All(lines, column));
        let mut outputs = vec![
            (columns.cost, sum(line_columns.cost)?),
            (columns.tax, sum(line_columns.tax)?),
            (columns.contingency, sum(line_columns.contingency)?),
        ];
        if let (Some(column), Some(of_line)) = (columns.overhead, line_columns.overhead) {
            outputs.push((column, sum(of_line)?));
        }
        outputs.push((columns.profit, sum(line_columns.profit)?));
        let price = sum(line_columns.price)?;
        outputs.push((columns.lines, t.call(&builtin::cents(), &[price])?));
        Ok(outputs)
    })?;
    fill(ledger, table, vec![shape], |_| 0, "summary")?;
    Ok((table, columns))
}

/// What the bid is made from, once its lines are summed.
pub(super) struct Parts<'a> {
    pub(super) fees: Option<&'a Added>,
    pub(super) allowances: Option<&'a Added>,
    pub(super) pricing: &'a PricingEntries,
    pub(super) rounding: Rounding,
    /// Rooms, with the column of what each bears.
    pub(super) rooms: (TableId, ColumnId),
}

/// Fills what follows from the sums: the bid, and what of it rooms are priced at.
pub(super) fn add_bid(
    table: TableId,
    columns: &SummaryColumns,
    parts: &Parts<'_>,
    ledger: &mut Ledger,
) -> Outcome<()> {
    let round = match parts.rounding {
        Rounding::Up => builtin::bid_up_to(),
        Rounding::Nearest => builtin::bid_near(),
    };
    let added = [
        columns.fees.zip(parts.fees),
        columns.allowances.zip(parts.allowances),
    ];
    let shape = Shape::build(ledger, table, |t| {
        let mut outputs = Vec::new();
        let mut price = t.read(Ref::Column(columns.lines))?;
        let mut apart = Vec::new();
        for (column, added) in added.into_iter().flatten() {
            let sum = t.read(Ref::All(added.table, added.price))?;
            let sum = t.call(&builtin::cents(), &[sum])?;
            price = t.arithmetic(Operator::Add, price, sum)?;
            outputs.push((column, sum));
            apart.push(sum);
        }
        let minimum = t.read(Ref::Single(parts.pricing.minimum_charge))?;
        let at_least = t.call(&builtin::max(), &[price, minimum])?;
        let step = t.read(Ref::Single(parts.pricing.round_to))?;
        let bid = t.call(&round, &[at_least, step])?;
        if let Some(column) = columns.for_rooms {
            let mut rest = bid;
            for sum in apart {
                rest = t.arithmetic(Operator::Subtract, rest, sum)?;
            }
            outputs.push((column, t.call(&builtin::cents(), &[rest])?));
        }
        let (rooms, basis) = parts.rooms;
        let share_total = t.read(Ref::All(rooms, basis))?;
        outputs.extend([
            (columns.at_least, at_least),
            (columns.bid, bid),
            (columns.share_total, share_total),
        ]);
        Ok(outputs)
    })?;
    fill(ledger, table, vec![shape], |_| 0, "bid")
}
