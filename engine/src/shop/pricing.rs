//! From cost to price: tax, contingency, overhead, markup or margin, minimum charge, rounding
//! of the bid.

use crate::diag::{Diagnostic, Findings};
use crate::quantity::{Dimension, Unit, Units};
use crate::script::ItemKind;
use crate::settings::{Item, Section};

/// Whether a percentage is of the cost or of the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Markup: a percentage of the cost.
    Cost,
    /// Margin: a percentage of the price.
    Price,
}

impl Basis {
    /// What the percentage is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cost => "markup",
            Self::Price => "margin",
        }
    }

    /// The largest that can be meant: no price is kept whole.
    pub fn most(self) -> f64 {
        match self {
            Self::Cost => 10.0,
            Self::Price => 0.95,
        }
    }
}

/// How the bid is rounded to whole steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Up.
    Up,
    /// To the nearest.
    Nearest,
}

/// Percentages for one kind of item, as fractions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KindPricing {
    /// Tax that the shop pays on what it buys.
    pub tax: f64,
    /// Contingency on cost and tax.
    pub contingency: f64,
    /// Overhead on cost alone.
    pub overhead: f64,
    /// What the profit is a percentage of.
    pub basis: Basis,
    /// Markup on cost, tax, contingency and overhead, or margin of price.
    pub profit: f64,
}

/// How a shop gets from cost to price.
#[derive(Clone, Debug, PartialEq)]
pub struct Pricing {
    /// By kind of item, in the order of [`ItemKind::ALL`].
    pub kinds: [KindPricing; 5],
    /// Whether the shop states an overhead; one that does not has no column for it.
    pub has_overhead: bool,
    /// Smallest bid.
    pub minimum_charge: f64,
    /// Step to which the bid is rounded; 0 means to the cent.
    pub round_to: f64,
    /// How it is rounded.
    pub rounding: Rounding,
}

/// A kind of item of which nothing is said.
const PLAIN: KindPricing = KindPricing {
    tax: 0.0,
    contingency: 0.0,
    overhead: 0.0,
    basis: Basis::Cost,
    profit: 0.0,
};

impl Default for Pricing {
    fn default() -> Self {
        Self {
            kinds: [PLAIN; 5],
            has_overhead: false,
            minimum_charge: 0.0,
            round_to: 0.0,
            rounding: Rounding::Up,
        }
    }
}

impl Pricing {
    /// Reads `[pricing]`.
    pub(super) fn read(section: &Section<'_>, units: &Units, findings: &mut Findings) -> Self {
        let mut pricing = Self::default();
        let percent = |section: &Section<'_>, key: &str, findings: &mut Findings| {
            fraction(section.get(key), 1.0, units, findings)
        };
        let (basis, profit) = profit(section, units, findings).unwrap_or((Basis::Cost, 0.0));
        let overhead = percent(section, "overhead", findings);
        pricing.has_overhead = overhead.is_some();
        let all = KindPricing {
            contingency: percent(section, "contingency", findings).unwrap_or(0.0),
            overhead: overhead.unwrap_or(0.0),
            basis,
            profit,
            ..PLAIN
        };
        let tax = percent(section, "tax_on_materials", findings).unwrap_or(0.0);
        for (kind, slot) in ItemKind::ALL.iter().zip(&mut pricing.kinds) {
            *slot = all;
            if *kind == ItemKind::Material {
                slot.tax = tax;
            }
            let Some(own) = section.section(kind.name(), findings) else {
                continue;
            };
            if let Some(tax) = percent(&own, "tax", findings) {
                slot.tax = tax;
            }
            if let Some(contingency) = percent(&own, "contingency", findings) {
                slot.contingency = contingency;
            }
            if let Some(overhead) = percent(&own, "overhead", findings) {
                slot.overhead = overhead;
                pricing.has_overhead = true;
            }
            if let Some((basis, profit)) = self::profit(&own, units, findings) {
                (slot.basis, slot.profit) = (basis, profit);
            }
            own.close(findings);
        }
        let mut money = |key: &str| {
            let item = section.get(key)?;
            let unit = units.find("money").cloned();
            let reading = item.quantity(units, Dimension::MONEY, unit.as_ref(), findings)?;
            if reading.quantity.value < 0.0 {
                findings.push(
                    Diagnostic::error(format!("{} must not be negative", item.key))
                        .at(item.place()),
                );
            }
            Some(reading.quantity.value)
        };
        pricing.minimum_charge = money("minimum_charge").unwrap_or(0.0);
        pricing.round_to = money("round_to").unwrap_or(0.0);
        if let Some(item) = section.get("rounding") {
            match item.text(findings).as_deref() {
                Some("up") => pricing.rounding = Rounding::Up,
                Some("nearest") => pricing.rounding = Rounding::Nearest,
                Some(_) => findings.push(
                    Diagnostic::error("pricing.rounding must be \"up\" or \"nearest\"")
                        .at(item.place()),
                ),
                None => {}
            }
        }
        section.close(findings);
        pricing
    }

    /// The basis that all kinds of item share, where they do.
    pub fn common_basis(&self) -> Option<Basis> {
        let first = self.kinds[0].basis;
        let alike = self.kinds.iter().all(|kind| kind.basis == first);
        alike.then_some(first)
    }
}

/// The markup or the margin of a section, where it names one.
fn profit(section: &Section<'_>, units: &Units, findings: &mut Findings) -> Option<(Basis, f64)> {
    let (markup, margin) = (section.get("markup"), section.get("margin"));
    if let (Some(_), Some(margin)) = (&markup, &margin) {
        findings.push(
            Diagnostic::error("pricing names both a markup and a margin")
                .at(margin.place())
                .hint("Markup is a percentage of the cost, margin one of the price; keep one."),
        );
    }
    let (basis, item) = match (markup, margin) {
        (None, None) => return None,
        (Some(item), _) => (Basis::Cost, item),
        (None, Some(item)) => (Basis::Price, item),
    };
    let value = fraction(Some(item), basis.most(), units, findings)?;
    Some((basis, value))
}

/// A percentage between nothing and `most`.
pub(super) fn fraction(
    item: Option<Item<'_>>,
    most: f64,
    units: &Units,
    findings: &mut Findings,
) -> Option<f64> {
    let item = item?;
    let reading = item.quantity(units, Dimension::NONE, None::<&Unit>, findings)?;
    let value = reading.quantity.value;
    if (0.0..=most).contains(&value) {
        return Some(value);
    }
    findings.push(
        Diagnostic::error(format!("{} is out of bounds", item.key))
            .at(item.place())
            .label(format!("expected 0 % to {} %", most * 100.0)),
    );
    None
}
