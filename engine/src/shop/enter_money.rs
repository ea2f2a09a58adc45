//! Pricing, fees, allowances and payments as single values of a job's ledger: each a named cell
//! of the workbook that may be changed.

use std::sync::Arc;

use super::fees::Payment;
use super::pricing::{Basis, Pricing};
use crate::diag::Place;
use crate::quantity::Unit;
use crate::script::ItemKind;
use crate::takeoff::{Allowance, Fee, FeeAmount};
use crate::trail::{Choice, Kind, Ledger, Single, SingleId, SingleRole};

/// The percentages of one kind of item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KindEntries {
    /// Tax.
    pub tax: SingleId,
    /// Contingency.
    pub contingency: SingleId,
    /// Overhead, where the shop states one.
    pub overhead: Option<SingleId>,
    /// What the profit is a percentage of.
    pub basis: Basis,
    /// Markup or margin.
    pub profit: SingleId,
}

/// The single values that pricing uses, by kind of item.
#[derive(Clone, Debug, PartialEq)]
pub struct PricingEntries {
    /// In the order of [`ItemKind::ALL`].
    pub kinds: [KindEntries; 5],
    /// Smallest bid.
    pub minimum_charge: SingleId,
    /// Step of rounding.
    pub round_to: SingleId,
}

/// A fee with its single value.
#[derive(Clone, Debug, PartialEq)]
pub struct FeeEntry {
    /// The fee.
    pub fee: Fee,
    /// Its amount or percentage.
    pub single: SingleId,
}

/// Something that is entered.
struct Entered<'a> {
    name: String,
    title: String,
    value: f64,
    unit: Unit,
    most: f64,
    why: &'a str,
    group: &'a str,
    source: &'a str,
    place: Place,
}

fn enter(entered: Entered<'_>, ledger: &mut Ledger) -> SingleId {
    // Two of one name are two values all the same.
    let stem = entered.name;
    let name = std::iter::once(stem.clone())
        .chain((2u32..).map(|n| format!("{stem}_{n}")))
        .find(|name| ledger.single_named(name).is_none())
        .unwrap_or(stem);
    ledger.add_single(Single {
        name,
        title: entered.title,
        kind: Kind::Number(entered.unit.dimension),
        unit: Arc::new(entered.unit),
        value: entered.value,
        role: SingleRole::Pricing,
        group: entered.group.to_owned(),
        why: entered.why.to_owned(),
        source: entered.source.to_owned(),
        least: 0.0,
        most: entered.most,
        choice: Choice::Free,
        may_be_blank: false,
        place: entered.place,
    })
}

fn unit(label: &str, ledger: &Ledger) -> Unit {
    ledger
        .units
        .find(label)
        .cloned()
        .unwrap_or_else(Unit::plain)
}

/// A text as part of a cell's name.
fn as_name(text: &str) -> String {
    let name: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' })
        .collect();
    name.trim_matches('_').to_owned()
}

/// Enters the shop's pricing.
pub fn enter_pricing(pricing: &Pricing, ledger: &mut Ledger) -> PricingEntries {
    let (percent, money) = (unit("%", ledger), unit("money", ledger));
    let mut add = |name: String, title: String, value: f64, unit: &Unit, most: f64, why: &str| {
        let entered = Entered {
            name,
            title,
            value,
            unit: unit.clone(),
            most,
            why,
            group: "pricing",
            source: "shop settings",
            place: Place::Nowhere,
        };
        enter(entered, ledger)
    };
    let kinds = ItemKind::ALL.map(|kind| {
        let name = kind.name();
        let of = &pricing.kinds[kind as usize];
        let mut percentage = |what: &str, value: f64, most: f64, why: &str| {
            let title = format!("{}{} on {name}", what[..1].to_uppercase(), &what[1..]);
            add(
                format!("{what}_on_{name}"),
                title,
                value,
                &percent,
                most,
                why,
            )
        };
        let why = match of.basis {
            Basis::Cost => "Percentage of the cost that is added to it.",
            Basis::Price => "Percentage of the price that is kept.",
        };
        KindEntries {
            tax: percentage(
                "tax",
                of.tax,
                1.0,
                "Tax that the shop pays on what it buys.",
            ),
            contingency: percentage(
                "contingency",
                of.contingency,
                1.0,
                "For what cannot be foreseen, on cost and tax.",
            ),
            overhead: pricing.has_overhead.then(|| {
                percentage(
                    "overhead",
                    of.overhead,
                    1.0,
                    "For running the shop, on cost alone, before tax and contingency.",
                )
            }),
            basis: of.basis,
            profit: percentage(of.basis.name(), of.profit, of.basis.most(), why),
        }
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

/// Enters the fees of a job.
pub fn enter_fees(fees: Vec<Fee>, ledger: &mut Ledger) -> Vec<FeeEntry> {
    let mut entries = Vec::new();
    for fee in fees {
        let (value, label, most, why) = match (fee.amount, fee.with_profit) {
            (FeeAmount::OfPrice(part), _) => {
                (part, "%", 1.0, "Percentage of the price of all lines.")
            }
            (FeeAmount::Money(amount), false) => (
                amount,
                "money",
                f64::INFINITY,
                "Stands on the bid as it is.",
            ),
            (FeeAmount::Money(amount), true) => (
                amount,
                "money",
                f64::INFINITY,
                "The markup or margin on charges comes on top.",
            ),
        };
        let source = match &fee.place {
            Place::Text { .. } => "shop settings",
            _ => "Job sheet",
        };
        let entered = Entered {
            name: format!("fee_{}", as_name(&fee.name)),
            title: fee.name.clone(),
            value,
            unit: unit(label, ledger),
            most,
            why,
            group: "fees",
            source,
            place: fee.place.clone(),
        };
        let single = enter(entered, ledger);
        entries.push(FeeEntry { fee, single });
    }
    entries
}

/// Enters the allowances of a job.
pub fn enter_allowances(allowances: &[Allowance], ledger: &mut Ledger) -> Vec<SingleId> {
    let mut entries = Vec::new();
    for allowance in allowances {
        let why = match (allowance.is_by_area(), allowance.room) {
            (false, _) => "What the customer is told; nothing is added to it.",
            (true, Some(_)) => "For each unit of the room's area; nothing is added to it.",
            (true, None) => "For each unit of the area of all rooms; nothing is added to it.",
        };
        let entered = Entered {
            name: format!("allowance_{}", as_name(&allowance.name)),
            title: format!("Allowance: {}", allowance.name),
            value: allowance.amount,
            unit: allowance.unit.clone(),
            most: f64::INFINITY,
            why,
            group: "allowances",
            source: "Allowances sheet",
            place: allowance.place.clone(),
        };
        entries.push(enter(entered, ledger));
    }
    entries
}

/// Enters the parts of the payments.
pub fn enter_payments(payments: &[Payment], ledger: &mut Ledger) -> Vec<SingleId> {
    let mut entries = Vec::new();
    for (number, payment) in (1u32..).zip(payments) {
        let entered = Entered {
            name: format!("payment_{number}"),
            title: payment.step.clone(),
            value: payment.part,
            unit: unit("%", ledger),
            most: 1.0,
            why: "Part of the bid that is due then; all parts make 100 %.",
            group: "payments",
            source: "shop settings",
            place: Place::Nowhere,
        };
        entries.push(enter(entered, ledger));
    }
    entries
}
