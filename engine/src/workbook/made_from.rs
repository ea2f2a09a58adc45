//! What a bid was made from: files with their fingerprints, forks taken, remarks of the reader.

use rust_xlsxwriter::{Worksheet, XlsxError};
use sha2::{Digest, Sha256};

use super::page;
use super::styles::{self, Look};
use crate::bid::Bid;
use crate::diag::Severity;
use crate::shop::Workshop;
use crate::trail::Ledger;

fn fingerprint(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

pub(super) fn write_fingerprints(
    sheet: &mut Worksheet,
    workshop: &Workshop,
    (takeoff, bytes): (&str, &[u8]),
    top: u32,
) -> Result<u32, XlsxError> {
    for (at, title) in [
        (0u16, "Made from"),
        (1, "Version"),
        (2, "Fingerprint (SHA-256)"),
    ] {
        sheet.write_string_with_format(top, at, title, &styles::heading())?;
    }
    let mut lines = vec![
        (
            "pourwright".to_owned(),
            env!("CARGO_PKG_VERSION").to_owned(),
            String::new(),
        ),
        (
            format!("Takeoff {takeoff}"),
            String::new(),
            fingerprint(bytes),
        ),
    ];
    for (name, bytes) in workshop
        .files
        .contents
        .iter()
        .filter(|(name, _)| !name.starts_with("recipes/"))
    {
        lines.push((
            format!("Shop file {name}"),
            String::new(),
            fingerprint(bytes),
        ));
    }
    for recipe in &workshop.recipes {
        let mut all = Vec::new();
        for (name, source) in &recipe.files.files {
            all.extend_from_slice(name.as_bytes());
            all.push(0);
            all.extend_from_slice(source.text.as_bytes());
            all.push(0);
        }
        let whose = if recipe.files.stock {
            "built in"
        } else {
            "the shop's own"
        };
        let manifest = &recipe.manifest;
        lines.push((
            format!("Recipe {} ({whose}): {}", manifest.name, manifest.summary),
            manifest.version.clone(),
            fingerprint(&all),
        ));
    }
    let mut row = top;
    for (what, version, print) in lines {
        row += 1;
        sheet.set_row_height(row, page::height_for(&what, 52))?;
        sheet.write_string_with_format(row, 0, what, &styles::wrapped())?;
        sheet.write_string_with_format(row, 1, version, &styles::text())?;
        sheet.write_string_with_format(row, 2, print, &styles::text())?;
    }
    Ok(row + 1)
}

/// Where the recipes branched, and how many rows went which way.
pub(super) fn write_forks(sheet: &mut Worksheet, bid: &Bid, top: u32) -> Result<u32, XlsxError> {
    let forks = all_forks(bid);
    for (at, title) in [
        (0u16, "Forks: where recipes branched"),
        (1, "Rows"),
        (2, "As priced"),
    ] {
        sheet.write_string_with_format(top, at, title, &styles::heading())?;
    }
    if forks.is_empty() {
        sheet.write_string_with_format(
            top + 1,
            0,
            "No recipe of this job branched: every number is live.",
            &styles::text(),
        )?;
        return Ok(top + 2);
    }
    let mut row = top;
    for (place, line, outcome, rows) in forks {
        row += 1;
        sheet.write_string_with_format(row, 0, place, &styles::text())?;
        sheet.write_number_with_format(row, 1, rows as f64, &styles::cell(Look::Result, "0"))?;
        let held = if outcome { "held" } else { "did not hold" };
        sheet.write_string_with_format(row, 2, format!("{held}: {line}"), &styles::text())?;
    }
    Ok(row + 1)
}

type ForkLine = (String, String, bool, usize);

fn all_forks(bid: &Bid) -> Vec<ForkLine> {
    let mut lines: Vec<ForkLine> = Vec::new();
    for (_, table) in bid.ledger.tables() {
        for block in &table.blocks {
            for (index, shape) in block.shapes.iter().enumerate() {
                let rows = block
                    .of_row
                    .iter()
                    .filter(|of| usize::from(**of) == index)
                    .count();
                for fork in &shape.forks {
                    let (place, line) = fork_words(&bid.ledger, fork.place);
                    let same = |known: &&mut ForkLine| known.0 == place && known.2 == fork.expected;
                    match lines.iter_mut().find(same) {
                        Some(known) => known.3 += rows,
                        None => lines.push((place, line, fork.expected, rows)),
                    }
                }
            }
        }
    }
    lines
}

fn fork_words(ledger: &Ledger, place: Option<crate::trail::ScriptPlace>) -> (String, String) {
    let Some(place) = place else {
        return ("where a cell may be blank".to_owned(), String::new());
    };
    match ledger.scripts.get(usize::from(place.script)) {
        Some(source) => (
            format!(
                "{} line {}:{}",
                crate::diag::short_path(&source.name, 2),
                place.line,
                place.column
            ),
            source.line(usize::from(place.line)).trim().to_owned(),
        ),
        None => (String::new(), String::new()),
    }
}

pub(super) fn write_remarks(sheet: &mut Worksheet, bid: &Bid, top: u32) -> Result<(), XlsxError> {
    let remarks: Vec<_> = bid
        .takeoff
        .remarks
        .iter()
        .filter(|d| d.severity != Severity::Error)
        .collect();
    if remarks.is_empty() {
        return Ok(());
    }
    sheet.write_string_with_format(top, 0, "Said when the takeoff was read", &styles::heading())?;
    for (row, remark) in (top + 1..).zip(remarks) {
        sheet.write_string_with_format(row, 0, &remark.message, &styles::wrapped())?;
        sheet.set_row_height(row, page::height_for(&remark.message, 52))?;
        sheet.write_string_with_format(
            row,
            2,
            remark.place.without_folders().to_string(),
            &styles::text(),
        )?;
    }
    Ok(())
}
