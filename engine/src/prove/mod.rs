//! The checks of recipes, run: each case is a one-room job of its own, priced like any other.

use std::sync::Arc;

use crate::bid::{self, EvaluatedJob};
use crate::diag::{Diagnostic, Findings, Outcome, Place, SourceText, quoted};
use crate::grid::{Cell, Grid, Sheet, Value};
use crate::measure::{read_quantity, write};
use crate::plugin::Registry;
use crate::pricebook::{PriceBook, read_section};
use crate::quantity::{Quantity, Unit, compare_values};
use crate::recipe::{Check, Expectation, Recipe};
use crate::settings::{Document, Section};
use crate::shop::Workshop;
use crate::trail::{ColumnId, Kind, Table, TableId, fold};

/// How a case came out.
#[derive(Clone, Debug)]
pub struct Proof {
    /// The recipe.
    pub recipe: String,
    /// What the case shows.
    pub name: String,
    /// Where its figures come from.
    pub source: String,
    /// What is wrong; nothing when the case holds.
    pub findings: Findings,
}

impl Proof {
    /// Whether the case holds.
    pub fn holds(&self) -> bool {
        !self.findings.has_errors()
    }
}

/// Runs all cases of a recipe, with the shop's price book and rates where a case brings none.
///
/// Factors have their declared defaults, not the shop's: a case must hold for every shop.
///
/// # Errors
/// When the file of checks itself cannot be read.
pub fn prove(workshop: &Workshop, registry: &Registry, recipe: &Recipe) -> Outcome<Vec<Proof>> {
    let Some(source) = recipe.files.get("checks.toml") else {
        return Ok(Vec::new());
    };
    let mut findings = Findings::new();
    let document = Document::parse(source, &mut findings);
    let root = document.root();
    let list = root
        .get("check")
        .and_then(|item| item.list(&mut findings))
        .unwrap_or_default();
    let mut cases = Vec::new();
    for item in list {
        if let Some(section) = item.section(&mut findings) {
            let check = Check::read(&section, &mut findings);
            cases.push((check, section));
        }
    }
    root.close(&mut findings);
    findings.stop_on_errors()?;
    let mut proofs = Vec::new();
    for (check, section) in &cases {
        let outcome = run(workshop, registry, recipe, check, section, source);
        proofs.push(Proof {
            recipe: recipe.manifest.name.clone(),
            name: check.name.clone(),
            source: check.source.clone(),
            findings: outcome.err().unwrap_or_default(),
        });
    }
    Ok(proofs)
}

fn run(
    workshop: &Workshop,
    registry: &Registry,
    recipe: &Recipe,
    check: &Check,
    section: &Section<'_>,
    source: &Arc<SourceText>,
) -> Outcome<()> {
    let small = small_workshop(workshop, recipe, check, section)?;
    let grid = one_room(check, &source.name);
    let job = bid::evaluate(&small, registry, &grid).map_err(|mut mistakes| {
        mistakes.push(failed(check).label("the case cannot be priced"));
        mistakes
    })?;
    let mut findings = Findings::new();
    for expectation in &check.expect {
        if let Some(mistake) = compare(&job, expectation) {
            findings.push(mistake);
        }
    }
    for part in &check.cautions {
        let holds = job.evaluated.cautions.iter().any(|caution| {
            let values = job.ledger.table(caution.table).values(caution.column);
            caution.text.contains(part.as_str()) && values.iter().any(|value| *value > 0.0)
        });
        if !holds {
            findings.push(failed(check).label(format!("no caution says {}", quoted(part))));
        }
    }
    findings.stop_on_errors()
}

fn failed(check: &Check) -> Diagnostic {
    Diagnostic::error(format!("the check {} does not hold", quoted(&check.name)))
        .at(check.place.clone())
}

/// The recipe with those it reads, and the price book that the case brings.
fn small_workshop(
    workshop: &Workshop,
    recipe: &Recipe,
    check: &Check,
    section: &Section<'_>,
) -> Outcome<Workshop> {
    let mut findings = Findings::new();
    let wanted = with_used(workshop, recipe);
    let mut units = (*workshop.units).clone();
    let kinds = workshop
        .book
        .kinds
        .iter()
        .map(|kind| kind.spec.clone())
        .collect();
    let mut book = PriceBook::new(kinds);
    read_section(section, &mut book, &mut units, &mut findings);
    section.close(&mut findings);
    findings.stop_on_errors()?;
    let mut small = workshop.rebuilt(&wanted, book, units)?;
    for (name, value, place) in &check.factors {
        set_factor(
            &mut small,
            &recipe.manifest.name,
            name,
            value,
            place,
            &mut findings,
        );
    }
    findings.stop_on_errors()?;
    Ok(small)
}

/// A recipe and all whose cells it reads, in the order in which they run.
fn with_used(workshop: &Workshop, recipe: &Recipe) -> Vec<String> {
    let mut wanted = vec![recipe.manifest.name.clone()];
    let mut next = 0;
    while next < wanted.len() {
        let uses = workshop
            .recipes
            .iter()
            .find(|known| known.manifest.name == wanted[next])
            .map(|known| known.manifest.uses.clone())
            .unwrap_or_default();
        wanted.extend(
            uses.into_iter()
                .filter(|used| !wanted.contains(used))
                .collect::<Vec<_>>(),
        );
        next += 1;
    }
    wanted
}

fn set_factor(
    workshop: &mut Workshop,
    recipe: &str,
    name: &str,
    value: &str,
    place: &Place,
    findings: &mut Findings,
) {
    let units = workshop.units.clone();
    let factor = workshop
        .recipes
        .iter_mut()
        .find(|known| known.manifest.name == recipe)
        .and_then(|known| {
            known
                .manifest
                .factors
                .iter_mut()
                .find(|factor| factor.name == name)
        });
    let trouble = |why: String| {
        Diagnostic::error(format!(
            "factor {} of the check cannot be set",
            quoted(name)
        ))
        .at(place.clone())
        .label(why)
    };
    match factor {
        None => findings.push(trouble(format!("recipe {recipe} has no such factor"))),
        Some(factor) => {
            if let Err(why) = factor.set_text(value, &units) {
                findings.push(trouble(why));
            }
        }
    }
}

/// A takeoff with the one room of the case.
fn one_room(check: &Check, file: &str) -> Grid {
    let text = |text: &str| Cell::plain(Value::Text(text.to_owned()));
    let mut headings = vec![(0, text("Room"))];
    let mut cells = vec![(0, text("Check"))];
    for (at, (name, value, _)) in (1u32..).zip(&check.given) {
        headings.push((at, text(name)));
        if !value.trim().is_empty() {
            cells.push((at, text(value)));
        }
    }
    Grid {
        file: file.into(),
        sheets: vec![Sheet {
            name: Some("Rooms".into()),
            visible: true,
            rows: vec![(0, headings), (1, cells)],
            merged: Vec::new(),
        }],
    }
}

/// Compares one expectation; what is wrong, if anything is.
fn compare(job: &EvaluatedJob, expectation: &Expectation) -> Option<Diagnostic> {
    let trouble = |why: String| {
        Diagnostic::error(format!(
            "{} does not come out as the check expects",
            expectation.what
        ))
        .at(expectation.place.clone())
        .label(why)
    };
    let Some((table, column)) = find(job, &expectation.what) else {
        return Some(trouble("the recipe has no such cell or item".to_owned()));
    };
    let table = job.ledger.table(table);
    let column_of = table.column(column);
    let value = table.value(column, 0);
    let units = &job.ledger.units;
    let Kind::Number(dimension) = column_of.kind else {
        let found = job.ledger.texts.of_value(value);
        return (fold(found) != fold(&expectation.value))
            .then(|| trouble(format!("found {}", quoted(found))));
    };
    let plain = Unit::plain();
    let bare = dimension.is_none().then_some(&plain);
    let expected = match read_quantity(&expectation.value, units, bare) {
        Ok(reading) => reading,
        Err(error) => return Some(trouble(error.to_string())),
    };
    if expected.quantity.dimension != dimension {
        return Some(trouble(format!(
            "the check expects {}, the recipe gives {}",
            units.describe(expected.quantity.dimension),
            units.describe(dimension)
        )));
    }
    let within = match tolerance(&expectation.within, expected.quantity, units) {
        Ok(within) => within,
        Err(why) => return Some(trouble(why)),
    };
    let off = (value - expected.quantity.value).abs();
    if off <= within || compare_values(value, expected.quantity.value).is_eq() {
        return None;
    }
    Some(trouble(format!(
        "found {}, off by {}",
        write(value, &expected.unit, units),
        write(
            off,
            &Unit {
                zero: 0.0,
                ..expected.unit.clone()
            },
            units
        )
    )))
}

/// How far off a value may be: a percentage of it, or a quantity of its kind.
fn tolerance(
    text: &str,
    expected: Quantity,
    units: &crate::quantity::Units,
) -> Result<f64, String> {
    if text.is_empty() {
        return Ok(expected.value.abs() * 1e-6);
    }
    let reading = read_quantity(text, units, None).map_err(|error| format!("within: {error}"))?;
    if reading.quantity.dimension.is_none() && text.contains('%') {
        return Ok(expected.value.abs() * reading.quantity.value);
    }
    if reading.quantity.dimension == expected.dimension {
        return Ok(reading.quantity.value);
    }
    Err("within must be a percentage or a quantity of the same kind".to_owned())
}

/// The cell (of the room, else of the job) or item with a name.
fn find(job: &EvaluatedJob, what: &str) -> Option<(TableId, ColumnId)> {
    let rooms = job.takeoff.rooms.table;
    let in_table = |id: TableId| {
        let table: &Table = job.ledger.table(id);
        table
            .columns()
            .find(|(_, column)| {
                column
                    .name
                    .split_once('.')
                    .is_some_and(|(_, name)| name == what)
                    || column.name == what
            })
            .map(|(column, _)| (id, column))
    };
    let item = || {
        let item = job
            .evaluated
            .items
            .iter()
            .find(|item| fold(&item.label) == fold(what))?;
        Some((item.table, item.quantity))
    };
    in_table(rooms).or_else(item).or_else(|| {
        let name_in_job = what.strip_prefix("job.").unwrap_or(what);
        let table = job.ledger.table(job.evaluated.job);
        let found = table.columns().find(|(_, column)| {
            column
                .name
                .split_once('.')
                .is_some_and(|(_, name)| name == name_in_job)
        });
        found.map(|(column, _)| (job.evaluated.job, column))
    })
}
