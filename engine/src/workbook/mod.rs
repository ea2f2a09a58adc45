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
mod factors_beside;
mod forms;
mod formula;
mod layout;
mod look_up;
mod made_from;
mod model;
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

use std::collections::BTreeMap;

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use crate::bid::Bid;
use crate::shop::{FactorEntry, Workshop};
pub use forms::{TypedTable, TypedTakeoff, write_takeoff_form};
use model::Model;
use plan::{SHEETS, TablePlan};
pub use price_form::write_price_form;

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
    let model = Model::of_bid(bid, workshop);
    let alternates = model.alternates();
    let (layout, estimate) = (&model.layout, &model.estimate);
    let tables: Vec<&TablePlan> = model.tables.iter().collect();

    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(bid)?);
    let sheet = workbook.add_worksheet().set_name("Bid")?;
    bid_sheet::write(sheet, &model, &alternates)?;
    let sheet = workbook.add_worksheet().set_name("Estimate")?;
    estimate.write(sheet, "Estimate", bid, layout)?;
    model.write_tables(&mut workbook, None)?;
    for surveys in bid.takeoff.surveys.iter().filter(|surveys| surveys.any()) {
        let mut taken: Vec<&str> = SHEETS.to_vec();
        taken.extend(tables.iter().map(|plan| plan.sheet.as_str()));
        let name = layout::sheet_name(surveys.surveyor.pages_title(), &taken);
        let sheet = workbook.add_worksheet().set_name(name)?;
        survey_sheet::write(sheet, bid, surveys, layout, pictures)?;
    }
    if !bid.cuts.is_empty() {
        cuts_sheet::write(workbook.add_worksheet().set_name("Cuts")?, bid, estimate)?;
    }
    let sheet = workbook.add_worksheet().set_name("Order")?;
    order::write(sheet, bid, (&model.prices, estimate))?;
    let sheet = workbook.add_worksheet().set_name("Factors")?;
    model.factors.write(sheet, bid, layout)?;
    for alternate in &alternates {
        let (bid, layout) = (alternate.bid, &alternate.layout);
        alternate.factors.write_values(sheet, bid, layout)?;
    }
    model
        .prices
        .write(workbook.add_worksheet().set_name("Prices")?, bid)?;
    let sheet = workbook.add_worksheet().set_name("Cautions")?;
    cautions::write(sheet, bid, &workshop.recipes, &tables, layout)?;
    let sheet = workbook.add_worksheet().set_name("Record")?;
    model.write_record(sheet, takeoff)?;
    for (alternate, priced) in alternates.iter().zip(&bid.alternates) {
        alternate.write_alternate(&mut workbook, &model, priced)?;
    }
    for (name, refers_to) in defined_names(&model, &alternates)? {
        workbook.define_name(name.as_str(), &format!("={refers_to}"))?;
    }
    workbook.save_to_buffer()
}

/// All names of the workbook. What an alternate shares with the bid stands in the same place.
fn defined_names<'a>(
    model: &'a Model<'_>,
    alternates: &'a [Model<'_>],
) -> Result<BTreeMap<&'a String, &'a String>, XlsxError> {
    let mut names: BTreeMap<&String, &String> = model.layout.defined().collect();
    for (name, refers_to) in alternates.iter().flat_map(|model| model.layout.defined()) {
        if names
            .insert(name, refers_to)
            .is_some_and(|known| known != refers_to)
        {
            let why = format!("the name {name} has two places");
            return Err(XlsxError::ParameterError(why));
        }
    }
    Ok(names)
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
