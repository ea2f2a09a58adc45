//! Rates: what an hour, a day or a trip costs.

use super::PriceBook;
use super::entry::Entry;
use crate::diag::{Diagnostic, Findings, Place, quoted};
use crate::quantity::{Dimension, Unit, Units};

/// A rate of the price book.
#[derive(Clone, Debug)]
pub struct Rate {
    /// Name in scripts.
    pub name: String,
    /// Value in base units.
    pub value: f64,
    /// Unit it is written in, such as `$/h`.
    pub unit: Unit,
    /// What it includes.
    pub why: String,
    /// Where it was read.
    pub place: Place,
}

/// A rate before it is checked.
pub(super) struct RawRate<'a> {
    pub(super) name: String,
    pub(super) place: Place,
    pub(super) price: Option<Entry<'a>>,
    pub(super) per: Option<Entry<'a>>,
    pub(super) why: String,
}

impl RawRate<'_> {
    /// Makes what the rate counts by a unit, where it is none yet.
    pub(super) fn declare_package(&self, units: &mut Units, findings: &mut Findings) {
        let Some(entry) = &self.per else { return };
        let Some(word) = entry.text(findings) else {
            return;
        };
        if crate::measure::read_unit(&word, units).is_ok() {
            return;
        }
        if let Err(error) = units.declare_package(&word) {
            findings.push(
                Diagnostic::error(format!(
                    "rate {} cannot be counted by {}",
                    self.name,
                    quoted(&word)
                ))
                .at(entry.place())
                .label(error.to_string()),
            );
        }
    }

    /// Checks the rate and adds it to the book.
    pub(super) fn add_to(&self, book: &mut PriceBook, units: &Units, findings: &mut Findings) {
        let trouble = |message: String| Diagnostic::error(message).at(self.place.clone());
        if !is_script_name(&self.name) {
            findings.push(
                trouble(format!("{} cannot name a rate", quoted(&self.name)))
                    .hint("Use small letters, digits and _, as in crew or tile_setter."),
            );
            return;
        }
        if let Some(other) = book.rates.iter().find(|rate| rate.name == self.name) {
            findings.push(
                trouble(format!("rate {} stands twice in the price book", self.name))
                    .related(other.place.clone(), "it stands here too"),
            );
            return;
        }
        let Some(price) = &self.price else {
            findings.push(
                trouble(format!("rate {} has no price", self.name))
                    .label("expected a price, such as $65/h"),
            );
            return;
        };
        let Some((value, unit)) = self.value(price, units, findings) else {
            return;
        };
        if value < 0.0 {
            findings.push(
                Diagnostic::error(format!("rate {} must not be negative", self.name))
                    .at(price.place()),
            );
        }
        book.rates.push(Rate {
            name: self.name.clone(),
            value,
            unit,
            why: self.why.clone(),
            place: self.place.clone(),
        });
    }

    fn value(
        &self,
        price: &Entry<'_>,
        units: &Units,
        findings: &mut Findings,
    ) -> Option<(f64, Unit)> {
        let per = match &self.per {
            Some(entry) => crate::measure::read_unit(&entry.text(findings)?, units).ok(),
            None => None,
        };
        let money = units.find("money").cloned().unwrap_or_else(Unit::plain);
        let symbol = &units.currency().symbol;
        let Some(per) = per else {
            let reading = match price {
                Entry::Toml(item) => item.reading(units, None, findings)?,
                Entry::Cell { .. } => {
                    // A sheet has its own column for what a rate counts by.
                    let quantity =
                        price.quantity(units, &[Dimension::MONEY], Some(&money), findings)?;
                    return Some((quantity.value, money));
                }
            };
            if reading.quantity.dimension.money_power() != 1 {
                findings.push(
                    Diagnostic::error(format!("rate {} must be money", self.name))
                        .at(price.place())
                        .label(format!("this is {}", units.describe(reading.quantity.dimension)))
                        .hint(format!("To count by a word of your own, write price = \"{symbol}85\" and per = \"trip\".")),
                );
                return None;
            }
            return Some((reading.quantity.value, reading.unit));
        };
        let quantity = price.quantity(units, &[Dimension::MONEY], Some(&money), findings)?;
        let unit = Unit {
            label: format!("{symbol}/{}", per.label),
            dimension: Dimension::MONEY.per(per.dimension).ok()?,
            size: 1.0 / per.size,
            zero: 0.0,
        };
        Some((unit.to_base(quantity.value), unit))
    }
}

/// Whether a text can name something in a script.
pub(crate) fn is_script_name(name: &str) -> bool {
    let mut characters = name.chars();
    characters.next().is_some_and(|c| c.is_ascii_lowercase())
        && characters.all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        && name.len() <= 60
}
