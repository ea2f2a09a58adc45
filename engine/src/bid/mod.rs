//! The bid: rooms evaluated, items gathered, whole packages ordered, priced, and shared back to rooms.

mod bind;
mod computed;
mod cuts;
mod evaluate;
mod gather;
mod lines;
mod scenes;
mod shares;
mod summary;
mod surveys;

pub use bind::{CautionColumn, CutColumns, ItemColumn};
pub use cuts::{CutList, CutPiece, CutRow};
pub use evaluate::Evaluated;
pub use lines::{Line, LineColumns};
pub use shares::ShareColumns;
pub use summary::SummaryColumns;

use crate::diag::{Findings, Outcome};
use crate::grid::Grid;
use crate::plugin::Registry;
use crate::shop::{FactorEntry, PricingEntries, Workshop, enter_factors, enter_pricing};
use crate::takeoff::{self, Takeoff};
use crate::trail::{Ledger, TableId};

/// A priced job.
#[derive(Clone, Debug)]
pub struct Bid {
    /// Every value, with its trail.
    pub ledger: Ledger,
    /// The takeoff.
    pub takeoff: Takeoff,
    /// The Job table: one row of cells for the whole job.
    pub job: TableId,
    /// Item columns, in the order of recipes and scripts.
    pub items: Vec<ItemColumn>,
    /// Caution columns, in the same order.
    pub cautions: Vec<CautionColumn>,
    /// Plans of cuts, for lines whose product is cut into pieces.
    pub cuts: Vec<CutList>,
    /// Lines of the estimate.
    pub lines: Vec<Line>,
    /// Table of the lines, and its columns.
    pub line_table: TableId,
    /// Columns of the line table.
    pub line_columns: LineColumns,
    /// Columns of rooms on the way to the price by room.
    pub shares: ShareColumns,
    /// Table of the summary.
    pub summary: TableId,
    /// Columns of the summary.
    pub summary_columns: SummaryColumns,
    /// Pricing values.
    pub pricing: PricingEntries,
    /// Factors of each recipe.
    pub factors: Vec<Vec<(String, FactorEntry)>>,
}

/// Rooms evaluated, but not priced yet.
#[derive(Debug)]
pub struct EvaluatedJob {
    /// Every value, with its trail.
    pub ledger: Ledger,
    /// The takeoff.
    pub takeoff: Takeoff,
    /// What the recipes gave.
    pub evaluated: Evaluated,
    /// Factors of each recipe.
    pub factors: Vec<Vec<(String, FactorEntry)>>,
}

/// Reads a takeoff and runs all recipes over its rooms.
///
/// # Errors
/// All mistakes in the takeoff and the scripts at once.
pub fn evaluate(workshop: &Workshop, registry: &Registry, grid: &Grid) -> Outcome<EvaluatedJob> {
    let mut findings = Findings::new();
    let mut ledger = workshop.ledger.clone();
    let takeoff = takeoff::read(
        grid,
        (&workshop.takeoff, registry.surveyors()),
        workshop.settings.system,
        &mut ledger,
        &mut findings,
    );
    let Some(takeoff) = takeoff else {
        return Err(findings);
    };
    let factors: Vec<_> = workshop
        .recipes
        .iter()
        .map(|recipe| {
            enter_factors(
                &recipe.manifest,
                &takeoff.overrides,
                &mut ledger,
                &mut findings,
            )
        })
        .collect();
    findings.stop_on_errors()?;
    let evaluated = evaluate::evaluate(workshop, registry, &takeoff, &factors, &mut ledger)?;
    Ok(EvaluatedJob {
        ledger,
        takeoff,
        evaluated,
        factors,
    })
}

/// Prices a takeoff.
///
/// # Errors
/// All mistakes in the takeoff and the scripts at once.
pub fn price(workshop: &Workshop, registry: &Registry, grid: &Grid) -> Outcome<Bid> {
    let EvaluatedJob {
        mut ledger,
        takeoff,
        evaluated,
        factors,
    } = evaluate(workshop, registry, grid)?;
    let pricing = enter_pricing(&workshop.settings.pricing, &mut ledger);
    let gathered = gather::gather(&evaluated, &takeoff, &ledger)?;
    let (line_table, line_columns, lines, cuts) = lines::add_lines(
        &gathered,
        &evaluated,
        &pricing,
        workshop.settings.pricing.basis,
        &mut ledger,
    )?;
    let priced = shares::Priced {
        items: &evaluated.items,
        gathered: &gathered,
        line_table,
        share_rate: line_columns.share_rate,
    };
    let basis = shares::add_basis(&priced, &takeoff, &mut ledger)?;
    let (summary, summary_columns) = summary::add_summary(
        line_table,
        &line_columns,
        takeoff.rooms.table,
        basis,
        &pricing,
        workshop.settings.pricing.rounding,
        &mut ledger,
    )?;
    let shares = shares::add_prices(&takeoff, basis, summary, &summary_columns, &mut ledger)?;
    Ok(Bid {
        ledger,
        takeoff,
        job: evaluated.job,
        items: evaluated.items,
        cautions: evaluated.cautions,
        cuts,
        lines,
        line_table,
        line_columns,
        shares,
        summary,
        summary_columns,
        pricing,
        factors,
    })
}

impl Bid {
    /// The bid total.
    pub fn total(&self) -> f64 {
        self.ledger
            .table(self.summary)
            .value(self.summary_columns.bid, 0)
    }

    /// The price of each room, in order.
    pub fn room_prices(&self) -> &[f64] {
        self.ledger
            .table(self.takeoff.rooms.table)
            .values(self.shares.price)
    }
}
