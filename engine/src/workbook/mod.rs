//! The bid workbook: every computed number a live formula with its value stored beside it.
//!
//! [`layout`] says which value has which cell, [`formula`] turns the trail into
//! formula text, and each sheet has a file of its own. The only part of the
//! program that names rust_xlsxwriter.

mod bid_prices;
mod bid_sheet;
mod cautions;
mod checks;
mod cuts_sheet;
mod down;
mod estimate;
mod estimate_columns;
mod estimate_lines;
mod factors;
mod forms;
mod formula;
mod layout;
mod look_up;
mod made_from;
mod order;
mod page;
mod piece;
mod plan;
mod price_form;
mod prices;
mod record;
mod side_table;
mod styles;
mod survey_sheet;
mod table_cells;
mod table_rules;
mod table_sheet;
mod template;

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use crate::bid::Bid;
use crate::shop::{FactorEntry, Workshop};
use estimate::EstimatePlan;
use factors::FactorsPlan;
pub use forms::{TypedTable, TypedTakeoff, write_takeoff_form};
use layout::Layout;
use plan::{SHEETS, TablePlan};
pub use price_form::write_price_form;
use prices::PricesPlan;
use record::{RecordPlan, Sources};
use table_sheet::TableSheet;

/// Whether surveyed rooms have their pictures in the workbook; drawing them takes time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pictures {
    /// They are drawn, up to some number of them.
    Drawn,
    /// They are left out.
    LeftOut,
}

/// Makes the bid workbook.
///
/// # Errors
/// Says in words what the workbook could not hold.
pub fn write_bid(
    bid: &Bid,
    workshop: &Workshop,
    takeoff: (&str, &[u8]),
    pictures: Pictures,
) -> Result<Vec<u8>, String> {
    build(bid, workshop, takeoff, pictures)
        .map_err(|error| format!("the workbook cannot be written: {error}"))
}

fn build(
    bid: &Bid,
    workshop: &Workshop,
    takeoff: (&str, &[u8]),
    pictures: Pictures,
) -> Result<Vec<u8>, XlsxError> {
    let mut layout = Layout::default();
    let prices = PricesPlan::new(bid, &workshop.products, &mut layout);
    let factors = FactorsPlan::new(bid, &step_tables(bid), &mut layout);
    let rooms = TablePlan::rooms(bid, &mut layout);
    let mut children: Vec<TablePlan> = Vec::new();
    for child in &bid.takeoff.children {
        let mut taken: Vec<&str> = SHEETS.to_vec();
        taken.extend(children.iter().map(|plan| plan.sheet.as_str()));
        let plan = TablePlan::child(bid, child, &taken, &mut layout);
        children.push(plan);
    }
    let estimate = EstimatePlan::new(bid, &mut layout);
    let tables: Vec<&TablePlan> = std::iter::once(&rooms).chain(&children).collect();
    let sources = Sources {
        bid,
        workshop,
        tables: &tables,
        estimate: &estimate,
        factors: &factors,
        prices: &prices,
    };
    let record = RecordPlan::new(&sources, &mut layout);

    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(bid)?);
    bid_sheet::write(
        workbook.add_worksheet().set_name("Bid")?,
        bid,
        workshop,
        (&rooms, &estimate),
        &layout,
    )?;
    estimate.write(workbook.add_worksheet().set_name("Estimate")?, bid, &layout)?;
    let takeoffs = std::iter::once(&bid.takeoff.rooms).chain(&bid.takeoff.children);
    for (plan, takeoff) in tables.iter().zip(takeoffs) {
        // Written row by row, straight to disk.
        let sheet = workbook.add_worksheet_with_low_memory()?;
        let writer = TableSheet {
            bid,
            takeoff,
            plan,
            layout: &layout,
        };
        writer.write(sheet.set_name(&plan.sheet)?)?;
    }
    for surveys in bid.takeoff.surveys.iter().filter(|surveys| surveys.any()) {
        let mut taken: Vec<&str> = SHEETS.to_vec();
        taken.extend(tables.iter().map(|plan| plan.sheet.as_str()));
        let name = layout::sheet_name(surveys.surveyor.pages_title(), &taken);
        let sheet = workbook.add_worksheet().set_name(name)?;
        survey_sheet::write(sheet, bid, surveys, &layout, pictures)?;
    }
    if !bid.cuts.is_empty() {
        cuts_sheet::write(workbook.add_worksheet().set_name("Cuts")?, bid, &estimate)?;
    }
    order::write(
        workbook.add_worksheet().set_name("Order")?,
        bid,
        (&prices, &estimate),
    )?;
    factors.write(workbook.add_worksheet().set_name("Factors")?, bid, &layout)?;
    prices.write(workbook.add_worksheet().set_name("Prices")?, bid)?;
    cautions::write(
        workbook.add_worksheet().set_name("Cautions")?,
        bid,
        &workshop.recipes,
        &tables,
        &layout,
    )?;
    record.write(
        workbook.add_worksheet().set_name("Record")?,
        &sources,
        takeoff,
    )?;
    for (name, refers_to) in layout.defined() {
        workbook.define_name(name.as_str(), &format!("={refers_to}"))?;
    }
    workbook.save_to_buffer()
}

/// A fixed time stamp: the same input gives the same bytes.
fn properties(bid: &Bid) -> Result<DocProperties, XlsxError> {
    let facts = &bid.takeoff.facts;
    let created = ExcelDateTime::from_ymd(2000, 1, 1)?;
    Ok(DocProperties::new()
        .set_title(&facts.name)
        .set_subject("Bid")
        .set_author(&facts.prepared_by)
        .set_creation_datetime(&created))
}

/// The step tables of all factors, in order.
fn step_tables(bid: &Bid) -> Vec<crate::trail::TableId> {
    bid.factors
        .iter()
        .flatten()
        .filter_map(|(_, entry)| match entry {
            FactorEntry::Steps(table) => Some(*table),
            FactorEntry::Single(_) => None,
        })
        .collect()
}
