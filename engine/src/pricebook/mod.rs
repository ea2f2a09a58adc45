//! The price book: products with their yields and prices, and rates; from TOML or from a sheet.
//!
//! What fields a kind of product has is asked for by the recipes ([`KindSpec`]);
//! the price book answers, and is checked against what was asked.

mod entry;
mod kind;
mod ledger_form;
mod product;
mod rate;
mod sheet_book;
mod toml_book;

use crate::diag::Place;
use crate::quantity::{PackageId, UnitError, Units};

pub(crate) use kind::read_unit_item;
pub use kind::{FieldColumn, FieldSpec, KindSpec};
pub use ledger_form::{enter_products, enter_rates};
pub use rate::Rate;
pub(crate) use rate::is_script_name;
pub use sheet_book::{PRODUCT_HEADINGS, RATE_HEADINGS, read_sheets};
pub use toml_book::{read_section, read_toml};

/// One product of the price book.
#[derive(Clone, Debug)]
pub struct Product {
    /// Its name.
    pub name: String,
    /// What it comes in.
    pub package: PackageId,
    /// Values of its kind's columns in base units; NaN is not given.
    pub values: Vec<f64>,
    /// Who sells it.
    pub supplier: String,
    /// Where it was read.
    pub place: Place,
}

/// All products of one kind.
#[derive(Clone, Debug)]
pub struct ProductKind {
    /// What the recipes ask of the kind.
    pub spec: KindSpec,
    /// The products.
    pub products: Vec<Product>,
    /// What they come in: one package, or one that stands for several.
    pub package: PackageId,
}

/// Products and rates.
#[derive(Clone, Debug, Default)]
pub struct PriceBook {
    /// Products by kind, in the order in which recipes ask for kinds.
    pub kinds: Vec<ProductKind>,
    /// Rates.
    pub rates: Vec<Rate>,
}

impl PriceBook {
    /// An empty price book that can take products of these kinds.
    pub fn new(specs: Vec<KindSpec>) -> Self {
        Self {
            kinds: specs
                .into_iter()
                .map(|spec| ProductKind {
                    spec,
                    products: Vec::new(),
                    package: PackageId::ANY,
                })
                .collect(),
            rates: Vec::new(),
        }
    }

    /// Settles what each kind comes in, once all products are known.
    ///
    /// # Errors
    /// When there are too many kinds of package.
    pub fn settle_packages(&mut self, units: &mut Units) -> Result<(), UnitError> {
        for kind in &mut self.kinds {
            let mut packages = kind.products.iter().map(|product| product.package);
            let Some(first) = packages.next() else {
                continue;
            };
            kind.package = if packages.all(|other| other == first) {
                first
            } else {
                units.declare_mixed()?
            };
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
