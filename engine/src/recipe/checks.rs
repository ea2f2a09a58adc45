//! Checks: cases that a recipe must meet, with their sources.

use std::sync::Arc;

use crate::diag::{Findings, Place, SourceText};
use crate::settings::{Document, Item, Section};

/// One case.
#[derive(Clone, Debug)]
pub struct Check {
    /// What it shows.
    pub name: String,
    /// Where the expected figures come from.
    pub source: String,
    /// Inputs of the room, as written.
    pub given: Vec<(String, String, Place)>,
    /// Factors set for the case, as written.
    pub factors: Vec<(String, String, Place)>,
    /// Products of the case: kind, name, and fields as written.
    pub products: Vec<CheckProduct>,
    /// What must come out.
    pub expect: Vec<Expectation>,
    /// Cautions that must hold: a part of each text.
    pub cautions: Vec<String>,
    /// Where it stands.
    pub place: Place,
}

/// A product that exists only in a case.
#[derive(Clone, Debug)]
pub struct CheckProduct {
    /// Its kind.
    pub kind: String,
    /// Its name.
    pub name: String,
    /// Its fields as written.
    pub fields: Vec<(String, String)>,
}

/// A cell or item that must have a value.
#[derive(Clone, Debug)]
pub struct Expectation {
    /// Cell name or item label.
    pub what: String,
    /// The value as written.
    pub value: String,
    /// How far off it may be, as written; blank means a millionth part.
    pub within: String,
    /// Where it stands.
    pub place: Place,
}

/// Reads `[[check]]` after `[[check]]`.
pub fn read_checks(source: &Arc<SourceText>, findings: &mut Findings) -> Vec<Check> {
    let document = Document::parse(source, findings);
    let root = document.root();
    let mut checks = Vec::new();
    let list = root
        .get("check")
        .and_then(|item| item.list(findings))
        .unwrap_or_default();
    for item in list {
        if let Some(section) = item.section(findings) {
            checks.push(read_check(&section, findings));
            section.close(findings);
        }
    }
    root.close(findings);
    checks
}

fn read_check(section: &Section<'_>, findings: &mut Findings) -> Check {
    let name = section
        .require("name", "\"what the case shows\"", findings)
        .and_then(|item| item.text(findings))
        .unwrap_or_default();
    let source = section
        .require("source", "\"where the figures come from\"", findings)
        .and_then(|item| item.text(findings))
        .unwrap_or_default();
    let mut products = Vec::new();
    for (kind, _, inner) in section.sections("products", findings) {
        for (name, _, item) in inner.items() {
            let Some(product) = item.section(findings) else {
                continue;
            };
            let fields = product
                .items()
                .into_iter()
                .filter_map(|(key, _, item)| Some((key, written(&item, findings)?)))
                .collect();
            products.push(CheckProduct {
                kind: kind.clone(),
                name,
                fields,
            });
        }
    }
    let within = section
        .get("within")
        .and_then(|item| written(&item, findings))
        .unwrap_or_default();
    let expect = pairs(section, "expect", findings)
        .into_iter()
        .map(|(what, value, place)| Expectation {
            what,
            value,
            within: within.clone(),
            place,
        })
        .collect();
    Check {
        name,
        source,
        given: pairs(section, "given", findings),
        factors: pairs(section, "factors", findings),
        products,
        expect,
        cautions: section.texts("cautions", findings),
        place: section.place(),
    }
}

fn pairs(
    section: &Section<'_>,
    key: &str,
    findings: &mut Findings,
) -> Vec<(String, String, Place)> {
    let Some(inner) = section.section(key, findings) else {
        return Vec::new();
    };
    inner
        .items()
        .into_iter()
        .filter_map(|(name, _, item)| Some((name, written(&item, findings)?, item.place())))
        .collect()
}

fn written(item: &Item<'_>, findings: &mut Findings) -> Option<String> {
    match item.written() {
        Some(text) => Some(text),
        None => item.text(findings),
    }
}
