//! The price book as tables and single values of the ledger.

use std::sync::Arc;

use super::{PriceBook, ProductKind};
use crate::quantity::Unit;
use crate::trail::{
    Choice, Column, Kind, Ledger, Role, Single, SingleId, SingleRole, Table, TableId,
};

/// Enters each kind of product as a table: package, the kind's columns, supplier.
pub fn enter_products(book: &PriceBook, ledger: &mut Ledger) -> Vec<(String, TableId)> {
    book.kinds
        .iter()
        .map(|kind| (kind.spec.name.clone(), enter_kind(kind, ledger)))
        .collect()
}

fn enter_kind(kind: &ProductKind, ledger: &mut Ledger) -> TableId {
    let names = kind
        .products
        .iter()
        .map(|product| product.name.clone())
        .collect();
    let mut table = Table::new(kind.spec.name.clone(), kind.spec.title.clone(), names);
    table.package = Some(kind.package);
    table.row_packages = kind
        .products
        .iter()
        .map(|product| product.package)
        .collect();
    table.row_places = kind
        .products
        .iter()
        .map(|product| product.place.clone())
        .collect();
    let package_words: Vec<String> = kind
        .products
        .iter()
        .map(|product| ledger.units.package_word(product.package, 1.0).to_owned())
        .collect();
    table.add(text_column("package", "Package", package_words, ledger));
    let word = ledger.units.package_word(kind.package, 1.0).to_owned();
    let fields = kind.spec.columns(&ledger.units, ledger.system);
    for (index, field) in fields.into_iter().enumerate() {
        let dimension = field.unit.dimension;
        let unit = Unit {
            label: field.unit.label.replace("package", &word),
            dimension: dimension.with_package(kind.package).unwrap_or(dimension),
            ..field.unit
        };
        table.add(Column {
            name: field.name,
            title: field.title,
            note: field.why,
            kind: Kind::Number(unit.dimension),
            unit: Arc::new(unit),
            role: Role::Input,
            group: String::new(),
            input: None,
            values: kind
                .products
                .iter()
                .map(|product| product.values[index])
                .collect(),
        });
    }
    let suppliers = kind
        .products
        .iter()
        .map(|product| product.supplier.clone())
        .collect();
    table.add(text_column("supplier", "Supplier", suppliers, ledger));
    ledger.add_table(table)
}

fn text_column(name: &str, title: &str, texts: Vec<String>, ledger: &mut Ledger) -> Column {
    Column {
        name: name.to_owned(),
        title: title.to_owned(),
        note: String::new(),
        kind: Kind::Text,
        unit: Arc::new(Unit::plain()),
        role: Role::Input,
        group: String::new(),
        input: None,
        values: texts
            .iter()
            .map(|text| match text.as_str() {
                "" => f64::NAN,
                text => ledger.texts.intern(text).to_value(),
            })
            .collect(),
    }
}

/// Enters the rates as single values.
pub fn enter_rates(book: &PriceBook, ledger: &mut Ledger) -> Vec<(String, SingleId)> {
    book.rates
        .iter()
        .map(|rate| {
            let id = ledger.add_single(Single {
                name: format!("rate_{}", rate.name),
                title: rate.name.replace('_', " "),
                kind: Kind::Number(rate.unit.dimension),
                unit: Arc::new(rate.unit.clone()),
                value: rate.value,
                role: SingleRole::Rate,
                group: "rate".to_owned(),
                why: rate.why.clone(),
                source: String::new(),
                least: 0.0,
                most: f64::INFINITY,
                choice: Choice::Free,
                may_be_blank: false,
                place: rate.place.clone(),
            });
            (rate.name.clone(), id)
        })
        .collect()
}
