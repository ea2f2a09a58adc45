//! Factors and pricing as single values (and step tables) of a job's ledger.

use std::sync::Arc;

use super::pricing::{Basis, Pricing};
use crate::diag::{Diagnostic, Findings, Place};
use crate::quantity::Unit;
use crate::recipe::{FactorSpec, FactorValue, Manifest};
use crate::script::ItemKind;
use crate::takeoff::Override;
use crate::trail::{
    Choice, Column, Kind, Ledger, Role, Single, SingleId, SingleRole, Table, TableId,
};

/// Where a factor stands in the ledger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FactorEntry {
    /// A single value.
    Single(SingleId),
    /// A step table.
    Steps(TableId),
}

/// Enters the factors of a recipe, with what the Job sheet sets for this job.
pub fn enter_factors(
    manifest: &Manifest,
    overrides: &[Override],
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> Vec<(String, FactorEntry)> {
    manifest
        .factors
        .iter()
        .map(|factor| {
            let set = overrides
                .iter()
                .find(|set| set.recipe == manifest.name && set.factor == factor.name);
            (
                factor.name.clone(),
                enter_factor(&manifest.name, factor, set, ledger, findings),
            )
        })
        .collect()
}

fn enter_factor(
    recipe: &str,
    factor: &FactorSpec,
    set: Option<&Override>,
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> FactorEntry {
    match &factor.value {
        FactorValue::Number {
            value,
            unit,
            least,
            most,
        } => {
            let (value, place) = match set {
                Some(set) if set.value < *least || set.value > *most => {
                    let shown = |value| crate::measure::write(value, unit, &ledger.units);
                    findings.push(
                        Diagnostic::error(format!(
                            "{recipe}.{} is {}, expected {} to {}",
                            factor.name,
                            shown(set.value),
                            shown(*least),
                            shown(*most)
                        ))
                        .at(set.place.clone()),
                    );
                    (*value, factor.place.clone())
                }
                Some(set) => (set.value, set.place.clone()),
                None => (*value, factor.place.clone()),
            };
            FactorEntry::Single(ledger.add_single(Single {
                name: format!("{recipe}_{}", factor.name),
                title: factor.title.clone(),
                kind: Kind::Number(unit.dimension),
                unit: Arc::new(unit.clone()),
                value,
                role: SingleRole::Factor,
                group: recipe.to_owned(),
                why: factor.why.clone(),
                source: factor.source.clone(),
                least: *least,
                most: *most,
                choice: Choice::Free,
                may_be_blank: false,
                place,
            }))
        }
        FactorValue::Steps { steps, from, unit } => {
            let names = (1..=steps.len()).map(|n| n.to_string()).collect();
            let mut table = Table::new(
                format!("{recipe}_{}", factor.name),
                factor.title.clone(),
                names,
            );
            let column = |name: &str, title: &str, unit: &Unit, values| Column {
                name: name.to_owned(),
                title: title.to_owned(),
                note: factor.why.clone(),
                kind: Kind::Number(unit.dimension),
                unit: Arc::new(unit.clone()),
                role: Role::Input,
                group: String::new(),
                input: None,
                values,
            };
            table.add(column(
                "from",
                "From",
                from,
                steps.iter().map(|(f, _)| *f).collect(),
            ));
            table.add(column(
                "value",
                "Value",
                unit,
                steps.iter().map(|(_, v)| *v).collect(),
            ));
            FactorEntry::Steps(ledger.add_table(table))
        }
    }
}

/// The single values that pricing uses, by kind of item.
#[derive(Clone, Debug, PartialEq)]
pub struct PricingEntries {
    /// Tax, contingency and profit of each kind, in the order of [`ItemKind::ALL`].
    pub kinds: [(SingleId, SingleId, SingleId); 5],
    /// Smallest bid.
    pub minimum_charge: SingleId,
    /// Step of rounding.
    pub round_to: SingleId,
}

/// Enters the shop's pricing.
pub fn enter_pricing(pricing: &Pricing, ledger: &mut Ledger) -> PricingEntries {
    let percent = Arc::new(ledger.units.find("%").cloned().unwrap_or_else(Unit::plain));
    let money = Arc::new(
        ledger
            .units
            .find("money")
            .cloned()
            .unwrap_or_else(Unit::plain),
    );
    let mut add =
        |name: String, title: String, value: f64, unit: &Arc<Unit>, most: f64, why: &str| {
            ledger.add_single(Single {
                name,
                title,
                kind: Kind::Number(unit.dimension),
                unit: unit.clone(),
                value,
                role: SingleRole::Pricing,
                group: "pricing".to_owned(),
                why: why.to_owned(),
                source: "shop settings".to_owned(),
                least: 0.0,
                most,
                choice: Choice::Free,
                may_be_blank: false,
                place: Place::Nowhere,
            })
        };
    let (profit, why, most) = match pricing.basis {
        Basis::Cost => (
            "markup",
            "Percentage of the cost that is added to it.",
            10.0,
        ),
        Basis::Price => ("margin", "Percentage of the price that is kept.", 0.95),
    };
    let kinds = ItemKind::ALL.map(|kind| {
        let name = kind.name();
        let of = &pricing.kinds[kind as usize];
        (
            add(
                format!("tax_on_{name}"),
                format!("Tax on {name}"),
                of.tax,
                &percent,
                1.0,
                "Tax that the shop pays on what it buys.",
            ),
            add(
                format!("contingency_on_{name}"),
                format!("Contingency on {name}"),
                of.contingency,
                &percent,
                1.0,
                "For what cannot be foreseen, on cost and tax.",
            ),
            add(
                format!("{profit}_on_{name}"),
                format!("{}{} on {name}", profit[..1].to_uppercase(), &profit[1..]),
                of.profit,
                &percent,
                most,
                why,
            ),
        )
    });
    PricingEntries {
        kinds,
        minimum_charge: add(
            "minimum_charge".to_owned(),
            "Minimum charge".to_owned(),
            pricing.minimum_charge,
            &money,
            f64::INFINITY,
            "No bid is less.",
        ),
        round_to: add(
            "round_bid_to".to_owned(),
            "Round bid to".to_owned(),
            pricing.round_to,
            &money,
            f64::INFINITY,
            "Step to which the bid is rounded; 0 rounds to the cent.",
        ),
    }
}
