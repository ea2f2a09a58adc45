//! Price books written as TOML.

use std::sync::Arc;

use super::PriceBook;
use super::entry::Entry;
use super::product::RawProduct;
use super::rate::RawRate;
use crate::diag::{Findings, SourceText};
use crate::quantity::Units;
use crate::settings::{Document, Section};

/// Reads `[products.KIND."NAME"]` and `[rates]` into the book.
pub fn read_toml(
    source: &Arc<SourceText>,
    book: &mut PriceBook,
    units: &mut Units,
    findings: &mut Findings,
) {
    let document = Document::parse(source, findings);
    let root = document.root();
    read_section(&root, book, units, findings);
    root.close(findings);
}

/// Reads `products` and `rates` of a section into the book; the caller closes the section.
pub fn read_section(
    root: &Section<'_>,
    book: &mut PriceBook,
    units: &mut Units,
    findings: &mut Findings,
) {
    let mut products = Vec::new();
    let mut sections = Vec::new();
    for (kind, kind_place, kind_section) in root.sections("products", findings) {
        for (name, place, item) in kind_section.items() {
            let Some(section) = item.section(findings) else {
                continue;
            };
            products.push(((kind.clone(), kind_place.clone()), name, place));
            sections.push(section);
        }
    }
    let products: Vec<RawProduct<'_>> = products
        .into_iter()
        .zip(&sections)
        .map(|((kind, name, place), section)| RawProduct {
            entries: known_entries(&kind.0, book, units)
                .iter()
                .filter_map(|key| Some((key.clone(), Entry::Toml(section.get(key)?))))
                .collect(),
            kind,
            name,
            place,
        })
        .collect();
    for section in &sections {
        section.close(findings);
    }
    let mut rates = Vec::new();
    if let Some(section) = root.section("rates", findings) {
        for (name, place, item) in section.items() {
            if !item.is_section() {
                rates.push(RawRate {
                    name,
                    place,
                    price: Some(Entry::Toml(item)),
                    per: None,
                    why: String::new(),
                });
                continue;
            }
            let Some(section) = item.section(findings) else {
                continue;
            };
            rates.push(RawRate {
                name,
                place,
                price: section.get("price").map(Entry::Toml),
                per: section.get("per").map(Entry::Toml),
                why: section.text("why", findings).unwrap_or_default(),
            });
            section.close(findings);
        }
    }
    enter(&products, &rates, book, units, findings);
}

fn known_entries(kind: &str, book: &PriceBook, units: &Units) -> Vec<String> {
    let mut keys: Vec<String> = ["package", "supplier"].map(str::to_owned).into();
    let spec = book.kinds.iter().find(|known| known.spec.name == kind);
    if let Some(known) = spec {
        keys.extend(
            known
                .spec
                .all_fields(units)
                .into_iter()
                .map(|field| field.name),
        );
    }
    keys
}

/// Declares packages of all, then checks and adds all.
pub(super) fn enter(
    products: &[RawProduct<'_>],
    rates: &[RawRate<'_>],
    book: &mut PriceBook,
    units: &mut Units,
    findings: &mut Findings,
) {
    for product in products {
        product.declare_package(units, findings);
    }
    for rate in rates {
        rate.declare_package(units, findings);
    }
    for product in products {
        product.add_to(book, units, findings);
    }
    for rate in rates {
        rate.add_to(book, units, findings);
    }
}
