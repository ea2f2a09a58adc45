//! The summary: sums over all lines, minimum charge, rounding, the bid.

use super::computed::{fill, money_column};
use super::lines::LineColumns;
use crate::diag::Outcome;
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
    /// Sum of markups or margins.
    pub profit: ColumnId,
    /// Sum of prices.
    pub lines: ColumnId,
    /// That, or the minimum charge.
    pub at_least: ColumnId,
    /// The bid.
    pub bid: ColumnId,
    /// Sum of what rooms bear.
    pub share_total: ColumnId,
}

/// Adds the summary.
pub(super) fn add_summary(
    lines: TableId,
    line_columns: &LineColumns,
    rooms: TableId,
    basis: ColumnId,
    pricing: &PricingEntries,
    rounding: Rounding,
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
    let columns = SummaryColumns {
        cost: add("cost", "Cost", "What the work costs the shop, before tax"),
        tax: add("tax", "Tax", "Tax that the shop pays on what it buys"),
        contingency: add("contingency", "Contingency", "For what cannot be foreseen"),
        profit: add("profit", &profit_title, "What the shop adds or keeps"),
        lines: add(
            "lines",
            "Price of all lines",
            "Cost, tax, contingency and profit together",
        ),
        at_least: add(
            "at_least",
            "With minimum charge",
            "The price of all lines, or the minimum charge",
        ),
        bid: add("bid", "Bid", "Rounded as the shop rounds"),
        share_total: add(
            "share_total",
            "Sum of shares",
            "What all rooms bear together",
        ),
    };
    let round = match rounding {
        Rounding::Up => builtin::bid_up_to(),
        Rounding::Nearest => builtin::bid_near(),
    };
    let shape = Shape::build(ledger, table, |t| {
        let mut sum = |column| t.read(Ref::All(lines, column));
        let cost = sum(line_columns.cost)?;
        let tax = sum(line_columns.tax)?;
        let contingency = sum(line_columns.contingency)?;
        let profit = sum(line_columns.profit)?;
        let price = sum(line_columns.price)?;
        let price = t.call(&builtin::cents(), &[price])?;
        let minimum = t.read(Ref::Single(pricing.minimum_charge))?;
        let at_least = t.call(&builtin::max(), &[price, minimum])?;
        let step = t.read(Ref::Single(pricing.round_to))?;
        let bid = t.call(&round, &[at_least, step])?;
        let share_total = t.read(Ref::All(rooms, basis))?;
        Ok(vec![
            (columns.cost, cost),
            (columns.tax, tax),
            (columns.contingency, contingency),
            (columns.profit, profit),
            (columns.lines, price),
            (columns.at_least, at_least),
            (columns.bid, bid),
            (columns.share_total, share_total),
        ])
    })?;
    fill(ledger, table, vec![shape], |_| 0, "summary")?;
    Ok((table, columns))
}
