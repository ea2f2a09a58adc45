//! From cost to price: tax, contingency, markup or margin, minimum charge, rounding of the bid.

use crate::diag::{Diagnostic, Findings};
use crate::quantity::{Dimension, Unit, Units};
use crate::script::ItemKind;
use crate::settings::{Item, Section};

/// Whether the shop's percentage is of the cost or of the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Markup: a percentage of the cost.
    Cost,
    /// Margin: a percentage of the price.
    Price,
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
    /// Markup on cost, or margin of price.
    pub profit: f64,
}

/// How a shop gets from cost to price.
#[derive(Clone, Debug, PartialEq)]
pub struct Pricing {
    /// What the profit is a percentage of.
    pub basis: Basis,
    /// By kind of item, in the order of [`ItemKind::ALL`].
    pub kinds: [KindPricing; 5],
    /// Smallest bid.
    pub minimum_charge: f64,
    /// Step to which the bid is rounded; 0 means to the cent.
    pub round_to: f64,
    /// How it is rounded.
    pub rounding: Rounding,
}

impl Default for Pricing {
    fn default() -> Self {
        let none = KindPricing {
            tax: 0.0,
            contingency: 0.0,
            profit: 0.0,
        };
        Self {
            basis: Basis::Cost,
            kinds: [none; 5],
            minimum_charge: 0.0,
            round_to: 0.0,
            rounding: Rounding::Up,
        }
    }
}

impl Pricing {
    /// Reads `[pricing]`.
    pub(super) fn read(section: &Section<'_>, units: &Units, findings: &mut Findings) -> Self {
        let basis = match (section.get("markup"), section.get("margin")) {
            (Some(_), Some(margin)) => {
                findings.push(
                    Diagnostic::error("pricing names both a markup and a margin")
                        .at(margin.place())
                        .hint("Markup is a percentage of the cost, margin one of the price; keep one."),
                );
                Basis::Cost
            }
            (None, Some(_)) => Basis::Price,
            _ => Basis::Cost,
        };
        let mut pricing = Self {
            basis,
            ..Self::default()
        };
        let profit_key = match basis {
            Basis::Cost => "markup",
            Basis::Price => "margin",
        };
        let most_profit = match basis {
            Basis::Cost => 10.0,
            Basis::Price => 0.95,
        };
        let mut all = KindPricing {
            tax: 0.0,
            contingency: 0.0,
            profit: 0.0,
        };
        all.contingency = fraction(section.get("contingency"), 1.0, units, findings).unwrap_or(0.0);
        all.profit = fraction(section.get(profit_key), most_profit, units, findings).unwrap_or(0.0);
        let tax = fraction(section.get("tax_on_materials"), 1.0, units, findings).unwrap_or(0.0);
        for (kind, slot) in ItemKind::ALL.iter().zip(&mut pricing.kinds) {
            *slot = all;
            if *kind == ItemKind::Material {
                slot.tax = tax;
            }
            let Some(own) = section.section(kind.name(), findings) else {
                continue;
            };
            let mut set = |key: &str, most: f64, value: &mut f64| {
                if let Some(read) = fraction(own.get(key), most, units, findings) {
                    *value = read;
                }
            };
            set("tax", 1.0, &mut slot.tax);
            set("contingency", 1.0, &mut slot.contingency);
            set(profit_key, most_profit, &mut slot.profit);
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
}

/// A percentage between nothing and `most`.
fn fraction(
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
