//! Checks: cases that a recipe must meet, with their sources.

use crate::diag::{Findings, Place};
use crate::settings::{Item, Section};

/// What a case gives: name, value as written, where it stands.
pub type Given = (String, String, Place);

/// One case.
#[derive(Clone, Debug)]
pub struct Check {
    /// What it shows.
    pub name: String,
    /// Where the expected figures come from.
    pub source: String,
    /// Inputs of the room, as written.
    pub given: Vec<Given>,
    /// Entries of the Job sheet, as written.
    pub job: Vec<Given>,
    /// Rows of tables below the room, by the name of one row.
    pub rows: Vec<(String, Vec<Vec<Given>>)>,
    /// Factors set for the case, as written.
    pub factors: Vec<Given>,
    /// What must come out.
    pub expect: Vec<Expectation>,
    /// Cautions that must hold: a part of each text.
    pub cautions: Vec<String>,
    /// Cautions that must not hold: a part of each text.
    pub no_cautions: Vec<String>,
    /// Where it stands.
    pub place: Place,
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

impl Check {
    /// Reads one `[[check]]`. Its price book is read from the same section later; the caller
    /// closes it.
    pub fn read(section: &Section<'_>, findings: &mut Findings) -> Self {
        let mut required = |key: &str, expected: &str| {
            section
                .require(key, expected, findings)
                .and_then(|item| item.text(findings))
                .unwrap_or_default()
        };
        let name = required("name", "\"what the case shows\"");
        let source = required("source", "\"where the figures come from\"");
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
        Self {
            name,
            source,
            given: pairs(section, "given", findings),
            job: pairs(section, "job", findings),
            rows: rows(section, findings),
            factors: pairs(section, "factors", findings),
            expect,
            cautions: section.texts("cautions", findings),
            no_cautions: section.texts("no_cautions", findings),
            place: section.place(),
        }
    }
}

/// The rows under `[[check.rows.TABLE]]`.
fn rows(section: &Section<'_>, findings: &mut Findings) -> Vec<(String, Vec<Vec<Given>>)> {
    let Some(tables) = section.section("rows", findings) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (table, _, item) in tables.items() {
        let mut list = Vec::new();
        for row in item.list(findings).unwrap_or_default() {
            if let Some(row) = row.section(findings) {
                list.push(given(&row, findings));
            }
        }
        all.push((table, list));
    }
    all
}

fn pairs(section: &Section<'_>, key: &str, findings: &mut Findings) -> Vec<Given> {
    match section.section(key, findings) {
        Some(inner) => given(&inner, findings),
        None => Vec::new(),
    }
}

fn given(inner: &Section<'_>, findings: &mut Findings) -> Vec<Given> {
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
