//! The Record sheet: the checks behind "price again", fingerprints, forks, and what was said on reading.

use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet, XlsxError};

use super::estimate::EstimatePlan;
use super::factors::FactorsPlan;
use super::layout::{Layout, absolute, range};
use super::made_from::{write_fingerprints, write_forks, write_remarks};
use super::page;
use super::plan::TablePlan;
use super::prices::PricesPlan;
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::script::ItemKind;
use crate::shop::Workshop;

/// First row with a check.
const FIRST_ROW: u32 = 3;

/// A row of the checks.
#[derive(Clone, Debug)]
struct CheckRow {
    title: String,
    formula: String,
    name: Option<String>,
    why: String,
}

/// The checks of a workbook.
#[derive(Clone, Debug)]
pub(super) struct RecordPlan {
    sheet: String,
    rows: Vec<CheckRow>,
}

/// What the checks are made from.
pub(super) struct Sources<'a> {
    pub(super) bid: &'a Bid,
    pub(super) workshop: &'a Workshop,
    pub(super) tables: &'a [TablePlan],
    pub(super) estimate: &'a EstimatePlan,
    pub(super) factors: &'a FactorsPlan,
    pub(super) prices: &'a PricesPlan,
}

impl RecordPlan {
    /// Plans the checks and names their cells.
    pub(super) fn new(sources: &Sources<'_>, layout: &mut Layout) -> Self {
        let mut plan = Self {
            sheet: layout.own_sheet("Record"),
            rows: Vec::new(),
        };
        plan.add(
            "Typed cells that cannot be used",
            inputs_formula(sources),
            Some("check_inputs"),
            "A blank, a text for a number, a name that the price book does not list.",
        );
        let factors = sources.factors.checks();
        plan.add(
            "Factors out of their bounds",
            factors.map_or_else(
                || "0".to_owned(),
                |range| format!("IFERROR(SUM({range}),1)"),
            ),
            Some("check_factors"),
            "Least and most stand beside each factor.",
        );
        plan.add(
            "Prices or fields that are missing",
            format!("IFERROR(SUM({}),1)", sources.prices.checks()),
            Some("check_prices"),
            "What was filled in when the job was priced must stay filled in.",
        );
        plan.add_amounts(sources, layout);
        plan.add(
            "Numbers that cannot be computed",
            format!("IF(ISERROR({}),1,0)", layout.own_name("bid_total")),
            Some("check_errors"),
            "Division by nothing, or a look-up that finds nothing.",
        );
        let mut all = vec![
            "check_inputs",
            "check_factors",
            "check_prices",
            "check_amounts",
            "check_errors",
        ];
        all.extend(plan.add_payments(sources, layout));
        let all: Vec<String> = all.iter().map(|name| layout.own_name(name)).collect();
        plan.add("All of these", all.join("+"), Some("check_all"), "");
        plan.add_forks(sources, layout);
        plan.add_sums(sources, layout);
        for (row, check) in (FIRST_ROW..).zip(&plan.rows) {
            if let Some(name) = &check.name {
                layout.define(name, absolute(&plan.sheet, row, 1));
            }
        }
        plan
    }

    /// That the parts of the bid add up to it.
    fn add_sums(&mut self, sources: &Sources<'_>, layout: &Layout) {
        let bid = sources.bid;
        let sum = |table, column| {
            let cells = layout.whole(table, column);
            cells.map_or_else(|| "0".to_owned(), |cells| format!("SUM({cells})"))
        };
        let rooms = sum(bid.takeoff.rooms.table, bid.shares.price);
        let added = [&bid.fees, &bid.allowances].into_iter().flatten();
        let mut parts = vec![rooms.clone()];
        parts.extend(added.map(|added| sum(added.table, added.price)));
        let (title, why) = if parts.len() == 1 {
            (
                "Prices of rooms less the bid",
                "Must be 0: rooms add up to the bid exactly.",
            )
        } else {
            (
                "Prices of rooms, fees and allowances less the bid",
                "Must be 0: they add up to the bid exactly.",
            )
        };
        let mut difference = |title: &str, parts: &str, whole: &str, why: &str| {
            self.add(title, format!("ROUND({parts}-{whole},2)"), None, why);
        };
        let total = layout.own_name("bid_total");
        difference(title, &parts.join("+"), &total, why);
        if let Some(phases) = &bid.phases {
            let why = "Must be 0: phases add up to the prices of their rooms exactly.";
            let prices = sum(phases.table, phases.price);
            difference("Prices of phases less those of rooms", &prices, &rooms, why);
        }
        if let Some(payments) = &bid.payments {
            let why = "Must be 0: payments add up to the bid exactly.";
            let amounts = sum(payments.table, payments.amount);
            difference("Payments less the bid", &amounts, &total, why);
        }
    }

    /// Whether the parts of the payments make the whole, where there are payments.
    fn add_payments(&mut self, sources: &Sources<'_>, layout: &Layout) -> Option<&'static str> {
        let payments = sources.bid.payments.as_ref()?;
        let parts = layout.whole(payments.table, payments.part)?;
        self.add(
            "Payments that do not make 100 %",
            format!("IF(ROUND(SUM({parts})-1,6)=0,0,1)"),
            Some("check_payments"),
            "The parts stand on the Factors sheet.",
        );
        Some("check_payments")
    }

    fn add(&mut self, title: &str, formula: String, name: Option<&str>, why: &str) {
        self.rows.push(CheckRow {
            title: title.to_owned(),
            formula,
            name: name.map(str::to_owned),
            why: why.to_owned(),
        });
    }

    /// For each item a count of the rows where its amount is below zero, and their sum.
    fn add_amounts(&mut self, sources: &Sources<'_>, layout: &Layout) {
        let first = FIRST_ROW + self.rows.len() as u32;
        for item in &sources.bid.items {
            let cells = layout.whole(item.table, item.quantity);
            let (false, Some(cells)) = (item.kind == ItemKind::Charge, cells) else {
                continue;
            };
            // A function that counts takes a range, be it of one cell.
            let cells = match cells.rsplit_once('!') {
                Some((_, cell)) if !cell.contains(':') => format!("{cells}:{cell}"),
                _ => cells,
            };
            self.add(
                &format!("Below zero: {}", item.label),
                // A hair below zero is noise.
                format!("COUNTIF({cells},\"<-0.000001\")"),
                None,
                "A room cannot need less than no bags or hours.",
            );
        }
        let end = FIRST_ROW + self.rows.len() as u32;
        let sum = if end > first {
            format!("SUM({})", range(&self.sheet, (first, 1), (end - 1, 1)))
        } else {
            "0".to_owned()
        };
        self.add("Amounts below zero", sum, Some("check_amounts"), "");
    }

    /// For each recipe a count of the forks that now come out otherwise, and the alarm.
    fn add_forks(&mut self, sources: &Sources<'_>, layout: &Layout) {
        let mut all = vec![layout.own_name("check_all")];
        for recipe in &sources.workshop.recipes {
            let name = &recipe.manifest.name;
            self.add(
                &format!("Forks of recipe {name} that now come out otherwise"),
                forks_formula(sources, name),
                Some(&format!("changed_{name}")),
                "A row that would take another path than the one it was priced on.",
            );
            all.push(layout.own_name(&format!("changed_{name}")));
        }
        self.add(
            "PRICE AGAIN when more than 0",
            all.join("+"),
            Some("price_again"),
            "Then the numbers of this workbook no longer hold: price the takeoff again.",
        );
    }

    /// Writes the sheet.
    pub(super) fn write(
        &self,
        sheet: &mut Worksheet,
        bid: &Bid,
        workshop: &Workshop,
        takeoff: (&str, &[u8]),
    ) -> Result<(), XlsxError> {
        let row = self.write_checks(sheet, "Record")?;
        let row = write_fingerprints(sheet, workshop, takeoff, row + 1)?;
        let row = write_forks(sheet, bid, row + 1)?;
        write_remarks(sheet, bid, row + 1)
    }

    /// Writes the checks; gives the first row below them.
    pub(super) fn write_checks(
        &self,
        sheet: &mut Worksheet,
        title: &str,
    ) -> Result<u32, XlsxError> {
        page::set_up_wide(sheet, 1)?;
        sheet.write_string_with_format(0, 0, title, &styles::title())?;
        for (at, width) in [(0u16, 52.0), (1, 14.0), (2, 70.0), (3, 40.0)] {
            sheet.set_column_width(at, width)?;
        }
        for (at, title) in [(0u16, "Check"), (1, "Count"), (2, "What it means")] {
            sheet.write_string_with_format(FIRST_ROW - 1, at, title, &styles::heading())?;
        }
        for (row, check) in (FIRST_ROW..).zip(&self.rows) {
            let is_alarm = check.name.as_deref() == Some("price_again");
            let style = if is_alarm {
                styles::strong()
            } else {
                styles::text()
            };
            sheet.write_string_with_format(row, 0, &check.title, &style)?;
            let formula = Formula::new(format!("={}", check.formula)).set_result("0");
            sheet.write_formula_with_format(
                row,
                1,
                formula,
                &styles::cell(Look::Result, "0.##"),
            )?;
            sheet.write_string_with_format(row, 2, &check.why, &styles::wrapped())?;
        }
        let last = FIRST_ROW + self.rows.len() as u32 - 1;
        let alarm = ConditionalFormatFormula::new()
            .set_rule(format!("=$B{}<>0", FIRST_ROW + 1).as_str())
            .set_format(styles::alarm());
        sheet.add_conditional_format(FIRST_ROW, 0, last, 1, &alarm)?;
        Ok(last + 1)
    }
}

fn inputs_formula(sources: &Sources<'_>) -> String {
    let spans = sources
        .tables
        .iter()
        .filter_map(|plan| sum_of(plan, plan.input_checks()));
    or_one(spans.collect())
}

fn forks_formula(sources: &Sources<'_>, recipe: &str) -> String {
    let spans = sources.tables.iter().filter_map(|plan| {
        let table = sources.bid.ledger.table(plan.table);
        sum_of(plan, plan.forks_of(table, recipe))
    });
    or_one(
        spans
            .chain(sources.estimate.job_forks(sources.bid, recipe))
            .collect(),
    )
}

/// The sum over all rows of a span of columns.
fn sum_of(plan: &TablePlan, columns: Option<(u32, u32)>) -> Option<String> {
    let (first, last) = columns.filter(|_| plan.rows > 0)?;
    let bottom = plan.first_row + plan.rows - 1;
    let cells = range(&plan.sheet, (plan.first_row, first), (bottom, last));
    Some(format!("SUM({cells})"))
}

/// A sum of checks; one that cannot be computed counts as one that fails.
fn or_one(terms: Vec<String>) -> String {
    if terms.is_empty() {
        return "0".to_owned();
    }
    format!("IFERROR({},1)", terms.join("+"))
}
