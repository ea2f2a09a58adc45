//! Fees: lines of the bid that no room bears, of the shop or stated on the Job sheet.

use super::money::{MoneyRead, read_money};
use crate::diag::{Diagnostic, Findings, Place, quoted};
use crate::grid::Cell;
use crate::quantity::{Dimension, Units};
use crate::trail::fold;

/// What a fee comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FeeAmount {
    /// A fixed amount of money.
    Money(f64),
    /// A fraction of the price of all lines.
    OfPrice(f64),
}

/// A fee.
#[derive(Clone, Debug, PartialEq)]
pub struct Fee {
    /// What it is called on the bid.
    pub name: String,
    /// What it comes to.
    pub amount: FeeAmount,
    /// Whether the shop's markup or margin on charges comes on top of it.
    pub with_profit: bool,
    /// Where it is stated.
    pub place: Place,
}

impl FeeAmount {
    /// A fee from a quantity: money, or a percentage.
    pub fn of(value: f64, dimension: Dimension) -> Option<Self> {
        match dimension {
            Dimension::MONEY => Some(Self::Money(value)),
            Dimension::NONE => Some(Self::OfPrice(value)),
            _ => None,
        }
    }

    /// What is wrong with a fee, if something is.
    pub fn trouble(self, with_profit: bool) -> Option<&'static str> {
        match self {
            Self::Money(amount) if amount < 0.0 => Some("a fee must not be negative"),
            Self::OfPrice(part) if !(0.0..=1.0).contains(&part) => {
                Some("a fee is an amount of money, or 0 % to 100 % of the price of all lines")
            }
            Self::OfPrice(_) if with_profit => {
                Some("a percentage of the price has the markup in it already")
            }
            _ => None,
        }
    }
}

/// Fees of a job: those of the shop, but where the Job sheet says otherwise. A fee that it sets
/// to nothing is left out.
pub fn fees_of_job(shop: &[Fee], job: &[Fee]) -> Vec<Fee> {
    let said = |fee: &Fee| job.iter().find(|own| fold(&own.name) == fold(&fee.name));
    let kept = shop.iter().map(|fee| said(fee).unwrap_or(fee).clone());
    let known = |fee: &&Fee| shop.iter().any(|own| fold(&own.name) == fold(&fee.name));
    let nothing = |fee: &Fee| {
        let (FeeAmount::Money(amount) | FeeAmount::OfPrice(amount)) = fee.amount;
        amount == 0.0 && said(fee).is_some()
    };
    kept.chain(job.iter().filter(|fee| !known(fee)).cloned())
        .filter(|fee| !nothing(fee))
        .collect()
}

/// The name of a fee that a key of the Job sheet states, and whether it says "with markup".
pub(super) fn fee_key(key: &str) -> Option<(String, bool)> {
    let (what, name) = key.split_once(':')?;
    let with_profit = match fold(what).as_str() {
        "fee" => false,
        "fee with markup" | "fee with margin" => true,
        _ => return None,
    };
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    (!name.is_empty()).then_some((name, with_profit))
}

/// Reads a fee of the Job sheet into the list.
pub(super) fn read_fee(
    (name, with_profit): (String, bool),
    (cell, place): (&Cell, &Place),
    units: &Units,
    fees: &mut Vec<Fee>,
    findings: &mut Findings,
) {
    let mut wrong = |message: String, hint: Option<String>| {
        findings.push(
            Diagnostic::error(message)
                .at(place.clone())
                .maybe_hint(hint),
        );
    };
    if fees.iter().any(|fee| fold(&fee.name) == fold(&name)) {
        return wrong(format!("there are two fees called {}", quoted(&name)), None);
    }
    let allowed = [Dimension::MONEY, Dimension::NONE];
    let MoneyRead { value, unit } = match read_money(cell, &allowed, units) {
        Ok(read) => read,
        Err(trouble) => {
            let example = "Write an amount of money, such as 180, or a percentage, such as 2 %.";
            return wrong(
                format!("fee {} cannot be used: {}", quoted(&name), trouble.found),
                Some(trouble.hint.unwrap_or_else(|| example.to_owned())),
            );
        }
    };
    let Some(amount) = FeeAmount::of(value, unit.dimension) else {
        return;
    };
    if let Some(trouble) = amount.trouble(with_profit) {
        return wrong(
            format!("fee {} is {}: {trouble}", quoted(&name), cell.shown()),
            None,
        );
    }
    fees.push(Fee {
        name,
        amount,
        with_profit,
        place: place.clone(),
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fee(name: &str, amount: f64) -> Fee {
        Fee {
            name: name.to_owned(),
            amount: FeeAmount::Money(amount),
            with_profit: false,
            place: Place::Nowhere,
        }
    }

    #[test]
    fn a_job_adds_replaces_and_leaves_out_fees_of_the_shop() {
        let shop = [fee("Permit", 180.0), fee("Parking", 40.0), fee("Free", 0.0)];
        let job = [
            fee("parking", 0.0),
            fee("permit", 95.0),
            fee("Crane", 300.0),
        ];
        let names: Vec<(String, FeeAmount)> = fees_of_job(&shop, &job)
            .into_iter()
            .map(|fee| (fee.name, fee.amount))
            .collect();
        let money = |name: &str, amount| (name.to_owned(), FeeAmount::Money(amount));
        assert_eq!(
            names,
            [
                money("permit", 95.0),
                money("Free", 0.0),
                money("Crane", 300.0)
            ]
        );
    }

    #[test]
    fn keys_of_the_job_sheet_name_fees() {
        let name = fee_key;
        assert_eq!(
            name("Fee:  City  permit"),
            Some(("City permit".into(), false))
        );
        assert_eq!(name("FEE with markup: Crane"), Some(("Crane".into(), true)));
        assert_eq!(name("Fee:"), None);
        assert_eq!(name("Feed: 3"), None);
    }
}
