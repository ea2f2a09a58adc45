//! Grids: xlsx and csv files as plain sheets of cells, read behind a guard.
//!
//! A sheet can come from anyone, so nothing here trusts it: sizes are capped
//! before anything is unpacked into memory, and what cannot be read is refused
//! by name. [`xlsx`] is the only file that names calamine.

mod csv_text;
mod format;
mod guard;
mod header;
mod sheet;
mod typed;
mod xlsx;

use std::sync::Arc;

use crate::diag::{Diagnostic, Outcome, Place, quoted};

pub use header::{HeaderCell, HeaderRow, HeaderTrouble, Wanted, find_header, plain_heading};
pub(crate) use sheet::cell_in;
pub use sheet::{Cell, Formula, Grid, Row, Sheet, Value};
pub use typed::{CellTrouble, UnitSources};

/// Reads a takeoff or price sheet from its bytes; the name decides nothing but messages and csv.
///
/// # Errors
/// When the file is neither xlsx nor csv, is damaged, or is larger than any honest sheet.
pub fn read(name: &str, bytes: &[u8]) -> Outcome<Grid> {
    let file: Arc<str> = name.into();
    let refuse = |message: String, hint: &str| {
        Diagnostic::error(message)
            .at(Place::File(file.clone()))
            .hint(hint)
    };
    if bytes.len() as u64 > guard::MOST_FILE_BYTES {
        return Err(refuse(
            format!("{name} is larger than {} MiB", guard::MOST_FILE_BYTES >> 20),
            "Keep only the Job and Rooms sheets in the takeoff.",
        )
        .into());
    }
    if bytes.starts_with(b"PK") {
        return xlsx::read(&file, bytes);
    }
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        let encrypted: Vec<u8> = "EncryptedPackage"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        return Err(if memchr::memmem::find(bytes, &encrypted).is_some() {
            refuse(
                format!("{name} is protected by a password"),
                "Open it in your spreadsheet program, remove the password, and save it again.",
            )
        } else {
            refuse(
                format!("{name} is in an old spreadsheet format"),
                SAVE_AS_XLSX,
            )
        }
        .into());
    }
    let is_csv = name.to_lowercase().ends_with(".csv");
    if is_csv {
        return csv_text::read(&file, bytes);
    }
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending);
    Err(refuse(
        format!(
            "{name} is neither a workbook (xlsx) nor a csv file (its name ends in {})",
            quoted(ending)
        ),
        SAVE_AS_XLSX,
    )
    .into())
}

const SAVE_AS_XLSX: &str =
    "Open it in your spreadsheet program and use Save As with the type Excel Workbook (.xlsx).";
