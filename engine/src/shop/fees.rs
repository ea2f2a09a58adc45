//! `[fees]` and `payments` of `shop.toml`.

use super::pricing::fraction;
use crate::diag::{Diagnostic, Findings};
use crate::quantity::Units;
use crate::settings::{Item, Section};
use crate::takeoff::{Fee, FeeAmount};

/// What the parts of all payments may be short of 100 %.
const NOTHING: f64 = 5e-7;

/// A step in which the bid is paid.
#[derive(Clone, Debug, PartialEq)]
pub struct Payment {
    /// When it is due.
    pub step: String,
    /// Which part of the bid, as a fraction.
    pub part: f64,
}

/// Reads `[fees]`: a name, and an amount of money or a percentage of the price of all lines.
pub(super) fn read_fees(section: &Section<'_>, units: &Units, findings: &mut Findings) -> Vec<Fee> {
    let items = section.items();
    let read = items
        .into_iter()
        .filter_map(|(name, place, item)| {
            let (amount, with_profit) = fee_parts(&item, findings)?;
            let money = units.find("money").cloned();
            let reading = amount.reading(units, money.as_ref(), findings)?;
            let quantity = reading.quantity;
            let trouble = match FeeAmount::of(quantity.value, quantity.dimension) {
                None => {
                    Some("a fee is an amount of money, or a percentage of the price of all lines")
                }
                Some(amount) => match amount.trouble(with_profit) {
                    None => {
                        return Some(Fee {
                            name,
                            amount,
                            with_profit,
                            place,
                        });
                    }
                    trouble => trouble,
                },
            };
            findings.push(
                Diagnostic::error(format!("{} cannot be used", item.key))
                    .at(amount.place())
                    .label(trouble.unwrap_or_default()),
            );
            None
        })
        .collect();
    section.close(findings);
    read
}

/// The amount of a fee, and whether the markup comes on top: `"$180"` or
/// `{ amount = "$180", markup = true }`.
fn fee_parts<'d>(item: &Item<'d>, findings: &mut Findings) -> Option<(Item<'d>, bool)> {
    if !item.is_section() {
        return Some((item.clone(), false));
    }
    let section = item.section(findings)?;
    let amount = section.require("amount", "\"$180\"", findings);
    let with_profit = section.flag("markup", findings);
    section.close(findings);
    Some((amount?, with_profit))
}

/// Reads `payments`, whose parts make the whole bid.
pub(super) fn read_payments(
    item: &Item<'_>,
    units: &Units,
    findings: &mut Findings,
) -> Vec<Payment> {
    let before = findings.error_count();
    let mut payments = Vec::new();
    for entry in item.list(findings).unwrap_or_default() {
        let Some(section) = entry.section(findings) else {
            continue;
        };
        let step = section
            .require("step", "\"With the order\"", findings)
            .and_then(|item| item.text(findings));
        let part = section.require("part", "\"30 %\"", findings);
        let part = fraction(part, 1.0, units, findings);
        section.close(findings);
        if let (Some(step), Some(part)) = (step, part) {
            payments.push(Payment { step, part });
        }
    }
    let sum: f64 = payments.iter().map(|payment| payment.part).sum();
    if findings.error_count() == before && !payments.is_empty() && (sum - 1.0).abs() > NOTHING {
        let percent = crate::measure::write_number(crate::quantity::rounding::cents(sum * 100.0));
        findings.push(
            Diagnostic::error(format!("the payments add up to {percent} %"))
                .at(item.place())
                .label("expected 100 %"),
        );
    }
    payments
}
