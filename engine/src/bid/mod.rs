//! The bid: rooms evaluated, items gathered, whole packages ordered, priced, and shared back to rooms.

mod added;
mod alternates;
mod bind;
mod computed;
mod cuts;
mod evaluate;
mod gather;
mod line_columns;
mod lines;
mod order;
mod payments;
mod phases;
mod price_steps;
mod scenes;
mod shares;
mod summary;
mod surveys;

pub use added::{Added, measured_area};
pub use alternates::PricedAlternate;
pub use bind::{CautionColumn, CutColumns, ItemColumn};
pub use cuts::{CutList, CutPiece, CutRow};
pub use evaluate::Evaluated;
pub use line_columns::LineColumns;
pub use lines::{Line, LinePhase};
pub use order::{OrderOfPhase, OrderOfSupplier};
pub use payments::Payments;
pub use phases::{NO_PHASE, Phases, phase_words};
pub use shares::ShareColumns;
pub use summary::SummaryColumns;

use crate::diag::{Findings, Outcome};
use crate::grid::Grid;
use crate::plugin::Registry;
use crate::shop::{
    FactorEntry, PricingEntries, Workshop, enter_allowances, enter_factors, enter_fees,
    enter_payments, enter_pricing,
};
use crate::takeoff::{self, Takeoff, fees_of_job};
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
    /// Phases, where rooms name some.
    pub phases: Option<Phases>,
    /// Fees, where there are any.
    pub fees: Option<Added>,
    /// Allowances, where there are any.
    pub allowances: Option<Added>,
    /// The steps in which the bid is paid, where the shop states them.
    pub payments: Option<Payments>,
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
    /// The alternates that the takeoff names, priced as well.
    pub alternates: Vec<PricedAlternate>,
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

/// Prices a takeoff with its alternates.
///
/// # Errors
/// All mistakes in the takeoff and the scripts at once.
pub fn price(workshop: &Workshop, registry: &Registry, grid: &Grid) -> Outcome<Bid> {
    let mut bid = price_one(workshop, registry, grid)?;
    bid.alternates = alternates::price_alternates(workshop, registry, grid)?;
    Ok(bid)
}

/// Prices a takeoff without its alternates.
fn price_one(workshop: &Workshop, registry: &Registry, grid: &Grid) -> Outcome<Bid> {
    let EvaluatedJob {
        mut ledger,
        takeoff,
        evaluated,
        factors,
    } = evaluate(workshop, registry, grid)?;
    let settings = &workshop.settings;
    let rooms = takeoff.rooms.table;
    let pricing = enter_pricing(&settings.pricing, &mut ledger);
    let fees = fees_of_job(&settings.fees, &takeoff.fees);
    let fees = enter_fees(fees, &mut ledger);
    let allowances = enter_allowances(&takeoff.allowances, &mut ledger);
    let payments = enter_payments(&settings.payments, &mut ledger);
    let gathered = gather::gather(&evaluated, &takeoff, &ledger)?;
    let phases = phases::add_phases(&takeoff, (&evaluated.items, evaluated.job), &mut ledger)?;
    let sources = lines::Sources {
        groups: &gathered,
        evaluated: &evaluated,
        phases: phases.as_ref(),
        settings: &settings.pricing,
        pricing: &pricing,
    };
    let added = lines::add_lines(&sources, &mut ledger)?;
    let priced = shares::Priced {
        items: &evaluated.items,
        lines: &added.lines,
        line_table: added.table,
        columns: &added.columns,
        phases: phases.as_ref(),
    };
    let basis = shares::add_basis(&priced, &takeoff, &mut ledger)?;
    let any = (!fees.is_empty(), !allowances.is_empty());
    let (summary, summary_columns) =
        summary::add_sums(added.table, &added.columns, any, &mut ledger)?;
    let sums = (summary, &summary_columns);
    let fees = added::add_fees(&fees, &pricing, sums, &mut ledger)?;
    let allowances = added::add_allowances(&allowances, &takeoff, &mut ledger)?;
    let parts = summary::Parts {
        fees: fees.as_ref(),
        allowances: allowances.as_ref(),
        pricing: &pricing,
        rounding: settings.pricing.rounding,
        rooms: (rooms, basis),
    };
    summary::add_bid(summary, &summary_columns, &parts, &mut ledger)?;
    let shares = shares::add_prices(&takeoff, basis, summary, &summary_columns, &mut ledger)?;
    if let Some(phases) = &phases {
        phases::add_prices(phases, (rooms, shares.price), &mut ledger)?;
    }
    let payments = payments::add_payments(&settings.payments, &payments, sums, &mut ledger)?;
    Ok(Bid {
        ledger,
        takeoff,
        job: evaluated.job,
        items: evaluated.items,
        cautions: evaluated.cautions,
        cuts: added.cuts,
        lines: added.lines,
        line_table: added.table,
        line_columns: added.columns,
        phases,
        fees,
        allowances,
        payments,
        shares,
        summary,
        summary_columns,
        pricing,
        factors,
        alternates: Vec::new(),
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
