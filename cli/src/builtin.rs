//! The built-in shop and demo job. Everything in them is invented.

use std::sync::Arc;

use engine::diag::{Findings, SourceText};
use engine::settings::{Document, Section};
use engine::shop::ShopFiles;
use engine::workbook::{TypedTable, TypedTakeoff};

pub(crate) const SHOP: &str = include_str!("../demo/shop.toml");
pub(crate) const PRICES: &str = include_str!("../demo/prices.toml");
const TAKEOFF: &str = include_str!("../demo/takeoff.toml");

/// The built-in shop, used where a takeoff has no shop folder above it.
pub(crate) fn shop() -> ShopFiles {
    ShopFiles::built_in(SHOP, PRICES)
}

/// The demo takeoff as a person would type it.
pub(crate) fn takeoff(findings: &mut Findings) -> TypedTakeoff {
    let source: Arc<SourceText> = SourceText::new("takeoff.toml (built in)", TAKEOFF);
    let document = Document::parse(&source, findings);
    let root = document.root();
    let job = root.section("job", findings).map(|job| {
        job.items()
            .into_iter()
            .filter_map(|(key, _, item)| Some((key, item.text(findings)?)))
            .collect()
    });
    TypedTakeoff {
        title: root.text("title", findings).unwrap_or_default(),
        job: job.unwrap_or_default(),
        rooms: root
            .section("rooms", findings)
            .map(|section| table(&section, findings))
            .unwrap_or_default(),
        children: root
            .sections("children", findings)
            .into_iter()
            .map(|(title, _, section)| (title, table(&section, findings)))
            .collect(),
        sheets: root
            .sections("sheets", findings)
            .into_iter()
            .map(|(title, _, section)| (title, rows(&section, findings)))
            .collect(),
    }
}

/// A table whose rows say what stands under which heading; what they leave out is blank.
fn table(section: &Section<'_>, findings: &mut Findings) -> TypedTable {
    let headings = section.texts("headings", findings);
    let list = section.get("rows").and_then(|item| item.list(findings));
    let mut rows = Vec::new();
    for row in list.unwrap_or_default() {
        let Some(row) = row.section(findings) else {
            continue;
        };
        let cell = |heading: &String| row.text(heading, &mut Findings::new());
        rows.push(
            headings
                .iter()
                .map(|h| cell(h).unwrap_or_default())
                .collect(),
        );
        row.close(findings);
    }
    TypedTable { headings, rows }
}

fn rows(section: &Section<'_>, findings: &mut Findings) -> Vec<Vec<String>> {
    let rows = section
        .get("rows")
        .and_then(|item| item.list(findings))
        .unwrap_or_default();
    rows.iter().filter_map(|row| row.texts(findings)).collect()
}
