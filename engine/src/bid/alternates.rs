//! Alternates: the whole job priced again with some cells of its rooms changed.

use super::{Bid, price_one};
use crate::diag::{Findings, Outcome, quoted};
use crate::grid::Grid;
use crate::plugin::Registry;
use crate::shop::Workshop;
use crate::takeoff::{SetCell, read_alternates};

/// An alternate, priced beside the bid.
#[derive(Clone, Debug)]
pub struct PricedAlternate {
    /// What the customer may choose.
    pub name: String,
    /// What is changed for it, in words.
    pub words: String,
    /// The cells of rooms that it sets, be they the same as in the bid or not.
    pub sets: Vec<SetCell>,
    /// The whole job so.
    pub bid: Bid,
}

impl PricedAlternate {
    /// Cautions that hold in the alternate and nowhere in the bid, each once.
    pub fn new_cautions(&self, bid: &Bid) -> Vec<&str> {
        let known = holding(bid);
        let mut new = holding(&self.bid);
        new.retain(|text| !known.contains(text));
        new
    }
}

/// The cautions that hold in at least one row, each once.
fn holding(bid: &Bid) -> Vec<&str> {
    let mut texts: Vec<&str> = Vec::new();
    for caution in &bid.cautions {
        let holds = !caution.holds_in(&bid.ledger).is_empty();
        if holds && !texts.contains(&caution.text.as_str()) {
            texts.push(&caution.text);
        }
    }
    texts
}

/// Prices the alternates that a takeoff names.
pub(super) fn price_alternates(
    workshop: &Workshop,
    registry: &Registry,
    grid: &Grid,
) -> Outcome<Vec<PricedAlternate>> {
    let mut findings = Findings::new();
    let mut priced = Vec::new();
    for alternate in read_alternates(grid, &mut findings) {
        let Some(changed) = alternate.applied(grid, &workshop.takeoff, &mut findings) else {
            continue;
        };
        match price_one(workshop, registry, &changed) {
            Ok(bid) => priced.push(PricedAlternate {
                words: alternate.words(),
                sets: alternate.sets(&workshop.takeoff),
                name: alternate.name,
                bid,
            }),
            Err(mistakes) => findings.append(said_of(&alternate.name, &mistakes)),
        }
    }
    findings.stop_on_errors()?;
    Ok(priced)
}

/// Mistakes with the alternate in which they were met.
fn said_of(name: &str, mistakes: &Findings) -> Findings {
    let mut said = Findings::new();
    for mistake in mistakes.iter() {
        let mut mistake = mistake.clone();
        mistake.message = format!("in alternate {}: {}", quoted(name), mistake.message);
        said.push(mistake);
    }
    said
}
