//! `pourwright begin`: a shop folder and a takeoff to fill in.

use std::path::Path;

use engine::diag::{Diagnostic, Outcome};
use engine::plugin::{Registry, Surveyor};
use engine::quantity::System;
use engine::shop::{self, ShopFiles};
use engine::workbook::{write_price_form, write_takeoff_form};

use crate::context::registry;
use crate::print::Terminal;
use crate::save;

/// Runs the command.
pub(crate) fn run(folder: &Path, metric: bool, terminal: &mut Terminal<'_>) -> Outcome<()> {
    let registry = registry()?;
    let (system, units, currency) = if metric {
        (System::Si, "SI", "€")
    } else {
        (System::Us, "US", "$")
    };
    let settings = settings(units, currency, &list_of_recipes(&registry)?);
    let workshop = shop::load(&ShopFiles::built_in(&settings, ""), &registry)?;
    let kinds: Vec<_> = workshop
        .book
        .kinds
        .iter()
        .map(|kind| kind.spec.clone())
        .collect();
    let prices = write_price_form(&kinds, &workshop.units, system).map_err(Diagnostic::error)?;
    let surveyors = registry.surveyors().iter().map(|surveyor| *surveyor as _);
    let surveyors: Vec<&dyn Surveyor> = surveyors.collect();
    let form = (&workshop.takeoff, surveyors.as_slice());
    let takeoff = write_takeoff_form(form, &workshop.ledger, None).map_err(Diagnostic::error)?;
    save::new_folder(folder)?;
    save::replace(&folder.join("shop.toml"), settings.as_bytes())?;
    save::replace(&folder.join("prices.xlsx"), &prices)?;
    save::replace(&folder.join("takeoff.xlsx"), &takeoff)?;
    let shown = folder.display();
    terminal.line(format!("Made {shown} with three files to fill in:"));
    terminal.line("  shop.toml     your name, units, recipes, markup, terms");
    terminal.line("  prices.xlsx   your products with yields and prices, and your rates");
    terminal.line("  takeoff.xlsx  the rooms of a job, one row each; copy it for every job");
    terminal.line("");
    terminal.line(format!(
        "Then: pourwright bid {}",
        folder.join("takeoff.xlsx").display()
    ));
    Ok(())
}

/// The stock recipes, a line each; those that only a shop that names them uses stand behind a #.
fn list_of_recipes(registry: &Registry) -> Outcome<String> {
    let named: Vec<String> = registry
        .recipes()
        .map(|(_, recipe)| format!("\"{}\"", recipe.name))
        .collect();
    let naming_all = format!("name = \"Every recipe\"\nrecipes = [{}]", named.join(", "));
    let workshop = shop::load(&ShopFiles::built_in(&naming_all, ""), registry)?;
    let mut lines = Vec::new();
    for (_, stock) in registry.recipes() {
        let mut known = workshop.recipes.iter();
        let Some(recipe) = known.find(|recipe| recipe.manifest.name == stock.name) else {
            continue;
        };
        let mark = if recipe.manifest.only_if_named {
            "# "
        } else {
            ""
        };
        let entry = format!("{mark}\"{}\",", stock.name);
        lines.push(format!("    {entry:<16}# {}", recipe.manifest.title));
    }
    Ok(lines.join("\n"))
}

/// The settings of a new shop, with every key explained.
fn settings(units: &str, currency: &str, recipes: &str) -> String {
    format!(
        r#"# Settings of the shop. Lines that start with # are remarks.

name = "Name of the shop"
address = ["Street and town", "Phone and licence number"]

units = "{units}"              # US or SI: the unit of numbers that have none beside them
currency = "{currency}"

# What your jobs are priced by; add the names of your own recipes. A # before a line leaves
# that recipe out. The columns of each in takeoff.xlsx may be left out with it.
recipes = [
{recipes}
]

# Printed on every bid.
terms = []
exclusions = []

# When you are paid; the parts make 100 %.
# payments = [
#     {{ step = "With the order", part = "40 %" }},
#     {{ step = "When the floor is accepted", part = "60 %" }},
# ]

[pricing]
markup = "0 %"            # on cost; or margin = "0 %", a percentage of the price
contingency = "0 %"       # on cost and tax
# overhead = "0 %"        # on cost alone; the markup is on all of these
tax_on_materials = "0 %"  # tax that you pay on what you buy
minimum_charge = "{currency}0"
round_to = "{currency}1"         # step to which the bid is rounded
rounding = "up"           # or "nearest"

# A kind of item may have percentages of its own:
# material, labour, equipment, subcontract, charge.
# [pricing.labour]
# markup = "0 %"            # or margin, whatever the others have

# Fees that stand on every bid beside the rooms: money as it is, money with
# the markup, or a percentage of the price of all lines.
# [fees]
# "Permit" = "{currency}180"
# "Dump fee" = {{ amount = "{currency}95", markup = true }}
# "Card fee" = "3 %"

# Your own values for the factors of a recipe; without them its defaults count.
# [factors.leveling]
# waste = "8 %"
"#
    )
}
