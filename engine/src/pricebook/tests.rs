use super::*;
use crate::diag::render::to_text;
use crate::diag::{Findings, SourceText};
use crate::grid::{Cell, Grid, Sheet, Value};
use crate::measure::read_unit;
use crate::quantity::{Currency, Units};

fn units() -> Units {
    Units::new(Currency::default()).unwrap()
}

fn leveler(units: &Units) -> KindSpec {
    let field = |name: &str, unit: &str, range, required| FieldSpec {
        name: name.into(),
        title: name.replace('_', " "),
        unit: read_unit(unit, units).unwrap(),
        metric: read_unit(unit, units).unwrap(),
        range,
        required_by: if required {
            vec!["every recipe".to_owned()]
        } else {
            Vec::new()
        },
        why: String::new(),
    };
    KindSpec {
        name: "leveler".into(),
        title: "Self-leveler".into(),
        fields: vec![
            field("yields", "cu ft/package", false, true),
            field("depth", "in", true, false),
        ],
    }
}

fn read(text: &str) -> (PriceBook, Units, Findings) {
    let mut units = units();
    let mut findings = Findings::new();
    let mut book = PriceBook::new(vec![leveler(&units)]);
    let source = SourceText::new("prices.toml", text);
    read_toml(&source, &mut book, &mut units, &mut findings);
    (book, units, findings)
}

const GOOD: &str = r#"
[products.leveler."Grey Mix"]
package = "bag"
price = "$38.50"
yields = "0.45 ft3"
depth = "1/8 in .. 1-1/2 in"
pallet = 40
weight = "50 lb/bag"

[rates]
crew = "$65/h"
trip = { price = "$85", per = "trip", why = "van and fuel" }
"#;

#[test]
fn a_price_book_in_toml_is_read_with_its_dimensions() {
    let (book, units, findings) = read(GOOD);
    assert!(findings.is_empty(), "{}", to_text(&findings, false));
    let product = &book.kinds[0].products[0];
    assert_eq!(product.values[..4], [38.5, 50.0, 40.0, 777.6]);
    assert_eq!(product.values[4..], [0.125, 1.5]);
    let labels: Vec<_> = book
        .rates
        .iter()
        .map(|rate| rate.unit.label.as_str())
        .collect();
    assert_eq!(labels, ["$/h", "$/trip"]);
    assert!(units.package("trip").is_some());
}

#[test]
fn the_same_book_as_a_sheet_is_the_same_book() {
    let text = |row: &[&str]| -> Vec<(u32, Cell)> {
        (0u32..)
            .zip(row)
            .filter(|(_, t)| !t.is_empty())
            .map(|(c, t)| match t.parse() {
                Ok(number) => (c, Cell::plain(Value::Number(number))),
                Err(_) => (c, Cell::plain(Value::Text((*t).into()))),
            })
            .collect()
    };
    let sheet = |name: &str, rows: &[&[&str]]| Sheet {
        name: Some(name.into()),
        visible: true,
        rows: (2u32..).zip(rows.iter().map(|row| text(row))).collect(),
        merged: Vec::new(),
    };
    let grid = Grid {
        file: "prices.xlsx".into(),
        sheets: vec![
            sheet(
                "Stock",
                &[
                    &[
                        "Kind",
                        "Product",
                        "Package",
                        "Price ($)",
                        "Yields (cu ft)",
                        "Depth",
                        "Pallet",
                        "Weight (lb)",
                    ],
                    &[
                        "Self-leveler",
                        "Grey Mix",
                        "Bag",
                        "38.5",
                        "0.45",
                        "1/8 .. 1-1/2 in",
                        "40",
                        "50",
                    ],
                ],
            ),
            sheet(
                "Rates",
                &[
                    &["Rate", "Price ($)", "Per", "Why"],
                    &["Crew", "65", "h", ""],
                    &["Trip", "$85", "trip", "van and fuel"],
                ],
            ),
        ],
    };
    let mut units = units();
    let mut findings = Findings::new();
    let mut book = PriceBook::new(vec![leveler(&units)]);
    read_sheets(&grid, &mut book, &mut units, &mut findings);
    assert!(findings.is_empty(), "{}", to_text(&findings, false));
    let (toml, ..) = read(GOOD);
    assert_eq!(
        book.kinds[0].products[0].values,
        toml.kinds[0].products[0].values
    );
    let rate = |book: &PriceBook, i: usize| {
        (
            book.rates[i].name.clone(),
            book.rates[i].value,
            book.rates[i].unit.label.clone(),
        )
    };
    for index in 0..2 {
        assert_eq!(rate(&book, index), rate(&toml, index));
    }
}

#[test]
fn every_mistake_points_at_its_line() {
    let (_, _, findings) = read(
        r#"
[products.leveler."A*"]
package = "bag"
price = "$1"
yields = "1 ft3"
[products.leveler.B]
package = "bag"
price = 38.50
weight = "50"
yields = "0.45 sq ft"
[products.leveler.C]
package = "50 lb bag"
price = "$5/roll"
yields = "0 ft3"
[products.leveler.D]
price = "-$5"
colour = "grey"
[products.levler.E]
package = "bag"
[rates]
crew = "65 lb"
"Day Rate" = "$5/h"
"#,
    );
    let text = to_text(&findings, false);
    for part in [
        "\"A*\" cannot be a product name",
        "products.leveler.B.weight cannot be read as a quantity",
        "products.leveler.B.yields must be volume per bag (cu ft/bag)",
        "\"50 lb bag\" is not a word",
        "\"D\" has no package",
        "\"products.leveler.D.colour\" is not a known key",
        "no recipe asks for products of kind \"levler\"",
        "Did you mean leveler?",
        "rate crew must be money",
        "\"Day Rate\" cannot name a rate",
    ] {
        assert!(text.contains(part), "{part} is missing in:\n{text}");
    }
}

#[test]
fn a_product_must_not_stand_twice() {
    let (_, _, findings) = read(&format!(
        "{GOOD}\n[products.leveler.\"grey  mix\"]\npackage = \"bag\"\nprice = \"$1\"\nyields = \"1 ft3\"\n"
    ));
    assert!(to_text(&findings, false).contains("stands twice"));
}
