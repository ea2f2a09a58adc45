//! `shop.toml`: who the shop is, its units and currency, its pricing, its factors and terms.

use std::sync::Arc;

use super::fees::{Payment, read_fees, read_payments};
use super::pricing::Pricing;
use crate::diag::{Diagnostic, Findings, SourceText, near_name, quoted};
use crate::quantity::{Currency, System, Units};
use crate::recipe::Recipe;
use crate::settings::Document;
use crate::takeoff::Fee;

/// Settings of a shop.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopSettings {
    /// Its name.
    pub name: String,
    /// Address, phone, licence number, line by line.
    pub address: Vec<String>,
    /// Whether its figures are invented; said on every bid.
    pub invented: bool,
    /// Its family of units, which bare numbers of its takeoffs are in.
    pub system: Option<System>,
    /// How it gets from cost to price.
    pub pricing: Pricing,
    /// Fees that stand on its bids.
    pub fees: Vec<Fee>,
    /// The steps in which its bids are paid.
    pub payments: Vec<Payment>,
    /// The recipes its jobs use; none named means all but those that must be named.
    pub recipes: Vec<String>,
    /// Terms printed on the bid.
    pub terms: Vec<String>,
    /// What no bid of this shop includes.
    pub exclusions: Vec<String>,
}

/// What must be known of a shop before anything else is read.
pub(super) struct Basics {
    /// Its currency.
    pub(super) currency: Currency,
    /// Its family of units, where it states one.
    pub(super) system: Option<System>,
    /// The recipes that it names; none means all but those that must be named.
    pub(super) recipes: Vec<String>,
}

/// Reads what must be known first. What is wrong with it is said when the settings are read
/// as a whole.
pub(super) fn read_basics(source: &Arc<SourceText>) -> Basics {
    let mut ignored = Findings::new();
    let document = Document::parse(source, &mut ignored);
    let root = document.root();
    let currency = match root.text("currency", &mut ignored) {
        Some(symbol) => Currency {
            symbol: symbol.trim().to_owned(),
        },
        None => Currency::default(),
    };
    let system = root
        .text("units", &mut ignored)
        .and_then(|text| match text.as_str() {
            "US" => Some(System::Us),
            "SI" => Some(System::Si),
            _ => None,
        });
    Basics {
        currency,
        system,
        recipes: root.texts("recipes", &mut ignored),
    }
}

impl ShopSettings {
    /// Reads the settings, and sets the factors of the recipes.
    pub(super) fn read(
        source: &Arc<SourceText>,
        units: &Units,
        recipes: &mut [Recipe],
        findings: &mut Findings,
    ) -> Self {
        let document = Document::parse(source, findings);
        let root = document.root();
        root.text("currency", findings);
        let system = read_basics(source).system;
        if let (Some(item), None) = (root.get("units"), system) {
            findings.push(Diagnostic::error("units must be \"US\" or \"SI\"").at(item.place()));
        }
        let names: Vec<String> = recipes
            .iter()
            .map(|recipe| recipe.manifest.name.clone())
            .collect();
        for (recipe_name, place, section) in root.sections("factors", findings) {
            let Some(recipe) = recipes
                .iter_mut()
                .find(|recipe| recipe.manifest.name == recipe_name)
            else {
                let near = near_name(&recipe_name, names.iter().map(String::as_str));
                findings.push(
                    Diagnostic::error(format!("there is no recipe {}", quoted(&recipe_name)))
                        .at(place)
                        .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
                );
                continue;
            };
            for factor in &mut recipe.manifest.factors {
                if let Some(item) = section.get(&factor.name) {
                    factor.set(&item, units, findings);
                }
            }
            section.close(findings);
        }
        let name = root.require("name", "\"the shop's name\"", findings);
        let settings = Self {
            name: name
                .and_then(|item| item.text(findings))
                .unwrap_or_default(),
            address: root.texts("address", findings),
            invented: root.flag("invented", findings),
            system,
            pricing: root
                .section("pricing", findings)
                .map(|section| Pricing::read(&section, units, findings))
                .unwrap_or_default(),
            fees: root
                .section("fees", findings)
                .map(|section| read_fees(&section, units, findings))
                .unwrap_or_default(),
            payments: root
                .get("payments")
                .map(|item| read_payments(&item, units, findings))
                .unwrap_or_default(),
            recipes: root.texts("recipes", findings),
            terms: root.texts("terms", findings),
            exclusions: root.texts("exclusions", findings),
        };
        root.close(findings);
        settings
    }
}
