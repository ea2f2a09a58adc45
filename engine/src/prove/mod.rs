//! The checks of recipes, run: each case is a one-room job of its own, priced like any other.

mod compare;
mod given;

use std::sync::Arc;

use crate::bid;
use crate::diag::{Diagnostic, Findings, Outcome, Place, SourceText, quoted};
use crate::plugin::Registry;
use crate::pricebook::{PriceBook, read_section};
use crate::recipe::{Check, Recipe};
use crate::settings::{Document, Section};
use crate::shop::Workshop;
use compare::compare;
use given::takeoff_of;

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
    let grid = takeoff_of(check, &small.takeoff, &source.name)?;
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
    let holds = |part: &str| {
        job.evaluated.cautions.iter().any(|caution| {
            let values = job.ledger.table(caution.table).values(caution.column);
            caution.text.contains(part) && values.iter().any(|value| *value > 0.0)
        })
    };
    for part in &check.cautions {
        if !holds(part) {
            findings.push(failed(check).label(format!("no caution says {}", quoted(part))));
        }
    }
    for part in &check.no_cautions {
        if holds(part) {
            findings.push(failed(check).label(format!("a caution says {}", quoted(part))));
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
        .map(|kind| {
            let mut spec = kind.spec.clone();
            spec.relax(&wanted);
            spec
        })
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
