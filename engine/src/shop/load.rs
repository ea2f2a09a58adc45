//! Loading a shop: everything that is the same for all its jobs.

use std::sync::Arc;

use super::files::ShopFiles;
use super::settings::{ShopSettings, read_basics};
use crate::diag::{Diagnostic, Findings, Outcome, Place, near_name, quoted};
use crate::plugin::Registry;
use crate::pricebook::{KindSpec, PriceBook, enter_products, enter_rates, read_sheets, read_toml};
use crate::quantity::{System, Units};
use crate::recipe::{Recipe, RecipeFiles, in_order, read_kinds};
use crate::takeoff::{TakeoffSpec, phase_input};
use crate::trail::{Ledger, SingleId, TableId};

/// A shop, ready to price jobs.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// Its settings.
    pub settings: ShopSettings,
    /// Its units.
    pub units: Arc<Units>,
    /// Its price book.
    pub book: PriceBook,
    /// Recipes in the order in which they run.
    pub recipes: Vec<Recipe>,
    /// A ledger with products and rates.
    pub ledger: Ledger,
    /// Kinds of product with their tables.
    pub products: Vec<(String, TableId)>,
    /// Rates with their single values.
    pub rates: Vec<(String, SingleId)>,
    /// What its takeoffs are asked for.
    pub takeoff: TakeoffSpec,
    /// The files it was read from.
    pub files: ShopFiles,
}

/// Loads a shop with the stock recipes of the registry.
///
/// # Errors
/// All mistakes in the shop's files at once.
pub fn load(files: &ShopFiles, registry: &Registry) -> Outcome<Workshop> {
    let mut findings = Findings::new();
    let basics = read_basics(&files.settings);
    let mut units = Units::new(basics.currency).map_err(|error| {
        Diagnostic::error("the currency of the shop cannot be used")
            .at(Place::File(files.settings.name.as_str().into()))
            .label(error.to_string())
    })?;
    let all = all_recipes(files, registry);
    let mut kinds = all_kinds(&all, &units, &mut findings);
    if !basics.recipes.is_empty() {
        for kind in &mut kinds {
            kind.relax(&basics.recipes);
        }
    }
    let mut book = PriceBook::new(kinds);
    if let Some(source) = &files.price_text {
        read_toml(source, &mut book, &mut units, &mut findings);
    }
    if let Some(grid) = &files.price_sheet {
        read_sheets(grid, &mut book, &mut units, &mut findings);
    }
    let entered = Entered::new(book, units, basics.system.unwrap_or(System::Us))?;
    let mut recipes = entered.read(&all, &mut findings);
    let settings = ShopSettings::read(&files.settings, &entered.units, &mut recipes, &mut findings);
    let recipes = chosen(recipes, &settings, files, &mut findings);
    entered.finish(recipes, settings, files, findings)
}

impl Workshop {
    /// A workshop with some of the recipes as they were declared, and a price book of its
    /// own; kinds and rates that the book lacks are the shop's.
    ///
    /// # Errors
    /// When the recipes cannot be read with it.
    pub fn rebuilt(&self, wanted: &[String], mut book: PriceBook, units: Units) -> Outcome<Self> {
        for (kind, own) in book.kinds.iter_mut().zip(&self.book.kinds) {
            if kind.products.is_empty() {
                kind.products.clone_from(&own.products);
            }
        }
        for rate in &self.book.rates {
            if !book.rates.iter().any(|own| own.name == rate.name) {
                book.rates.push(rate.clone());
            }
        }
        let mut findings = Findings::new();
        let entered = Entered::new(book, units, System::Us)?;
        let files: Vec<RecipeFiles> = self
            .recipes
            .iter()
            .filter(|recipe| wanted.contains(&recipe.manifest.name))
            .map(|recipe| recipe.files.clone())
            .collect();
        let recipes = entered.read(&files, &mut findings);
        entered.finish(recipes, self.settings.clone(), &self.files, findings)
    }
}

/// A price book entered into a ledger.
struct Entered {
    units: Arc<Units>,
    book: PriceBook,
    ledger: Ledger,
    products: Vec<(String, TableId)>,
    rates: Vec<(String, SingleId)>,
}

impl Entered {
    fn new(mut book: PriceBook, mut units: Units, system: System) -> Outcome<Self> {
        book.settle_packages(&mut units)
            .map_err(|error| Diagnostic::error(error.to_string()))?;
        let units = Arc::new(units);
        let mut ledger = Ledger::new(units.clone(), system);
        let products = enter_products(&book, &mut ledger);
        let rates = enter_rates(&book, &mut ledger);
        Ok(Self {
            units,
            book,
            ledger,
            products,
            rates,
        })
    }

    fn read(&self, files: &[RecipeFiles], findings: &mut Findings) -> Vec<Recipe> {
        files
            .iter()
            .filter_map(|files| Recipe::read(files, &self.units, &self.products, findings))
            .collect()
    }

    fn finish(
        self,
        mut recipes: Vec<Recipe>,
        settings: ShopSettings,
        files: &ShopFiles,
        mut findings: Findings,
    ) -> Outcome<Workshop> {
        let names: Vec<String> = recipes.iter().map(|r| r.manifest.name.clone()).collect();
        for recipe in &mut recipes {
            recipe.manifest.settle(&names);
        }
        let recipes = in_order(recipes, &mut findings);
        let takeoff = takeoff_spec(&recipes, &mut findings);
        findings.stop_on_errors()?;
        Ok(Workshop {
            settings,
            units: self.units,
            book: self.book,
            recipes,
            ledger: self.ledger,
            products: self.products,
            rates: self.rates,
            takeoff,
            files: files.clone(),
        })
    }
}

/// The kinds of product that all recipes ask for.
fn all_kinds(recipes: &[RecipeFiles], units: &Units, findings: &mut Findings) -> Vec<KindSpec> {
    let mut kinds: Vec<KindSpec> = Vec::new();
    for recipe in recipes {
        for kind in read_kinds(recipe, units, findings) {
            match kinds.iter_mut().find(|known| known.name == kind.name) {
                Some(known) => known.join(kind, &recipe.name, findings),
                None => kinds.push(kind),
            }
        }
    }
    kinds
}

/// Stock recipes, and the shop's own; of one name the shop's own counts.
fn all_recipes(files: &ShopFiles, registry: &Registry) -> Vec<RecipeFiles> {
    let own = |name: &str| files.recipes.iter().any(|recipe| recipe.name == name);
    registry
        .recipes()
        .filter(|(_, recipe)| !own(recipe.name))
        .map(|(_, recipe)| RecipeFiles::stock(&recipe))
        .chain(files.recipes.iter().cloned())
        .collect()
}

/// The recipes that the shop's settings name; where they name none, all that need not be named.
fn chosen(
    recipes: Vec<Recipe>,
    settings: &ShopSettings,
    files: &ShopFiles,
    findings: &mut Findings,
) -> Vec<Recipe> {
    if settings.recipes.is_empty() {
        let unasked = |recipe: &Recipe| !recipe.manifest.only_if_named;
        return recipes.into_iter().filter(unasked).collect();
    }
    for name in &settings.recipes {
        let names = recipes.iter().map(|recipe| recipe.manifest.name.as_str());
        if !names.clone().any(|known| known == name) {
            let near = near_name(name, names);
            findings.push(
                Diagnostic::error(format!("there is no recipe {}", quoted(name)))
                    .at(Place::File(files.settings.name.as_str().into()))
                    .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
        }
    }
    recipes
        .into_iter()
        .filter(|recipe| settings.recipes.contains(&recipe.manifest.name))
        .collect()
}

fn takeoff_spec(recipes: &[Recipe], findings: &mut Findings) -> TakeoffSpec {
    let mut spec = TakeoffSpec::new();
    for recipe in recipes {
        let manifest = &recipe.manifest;
        for input in &manifest.inputs {
            spec.rooms.join(input.clone(), findings);
        }
        for table in &manifest.tables {
            spec.join_child(table.clone(), findings);
        }
        for input in &manifest.job {
            spec.join_job(input.clone(), findings);
        }
        for factor in &manifest.factors {
            if let crate::recipe::FactorValue::Number { unit, .. } = &factor.value {
                spec.factors.push((
                    manifest.name.clone(),
                    factor.name.clone(),
                    unit.dimension,
                    unit.clone(),
                ));
            }
        }
    }
    spec.rooms.join(phase_input(), findings);
    spec
}
