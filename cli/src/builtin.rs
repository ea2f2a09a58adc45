//! The built-in shops and demo jobs. Everything in them is invented.

use std::sync::Arc;

use engine::diag::{Findings, SourceText};
use engine::settings::{Document, Section};
use engine::shop::ShopFiles;
use engine::workbook::{TypedTable, TypedTakeoff};

/// A demo: a shop with its prices, and a job for it.
pub(crate) struct Demo {
    pub(crate) shop: &'static str,
    pub(crate) prices: &'static str,
    takeoff: &'static str,
}

/// A renovation in US customary units and dollars.
pub(crate) const US: Demo = Demo {
    shop: include_str!("../demo/shop.toml"),
    prices: include_str!("../demo/prices.toml"),
    takeoff: include_str!("../demo/takeoff.toml"),
};

/// A new flat in SI units and euros.
pub(crate) const METRIC: Demo = Demo {
    shop: include_str!("../demo/metric/shop.toml"),
    prices: include_str!("../demo/metric/prices.toml"),
    takeoff: include_str!("../demo/metric/takeoff.toml"),
};

impl Demo {
    /// Its shop; that of [`US`] is used where a takeoff has no shop folder above it.
    pub(crate) fn shop(&self) -> ShopFiles {
        ShopFiles::built_in(self.shop, self.prices)
    }

    /// Its takeoff as a person would type it.
    pub(crate) fn takeoff(&self, findings: &mut Findings) -> TypedTakeoff {
        takeoff(self.takeoff, findings)
    }
}

fn takeoff(text: &str, findings: &mut Findings) -> TypedTakeoff {
    let source: Arc<SourceText> = SourceText::new("takeoff.toml (built in)", text);
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
