//! Printing to the terminal.

use std::io::Write;

use comfy_table::{CellAlignment, Table, presets};
use engine::diag::{Findings, render};
use serde_json::Value;

/// Where a command prints.
pub(crate) struct Terminal<'a> {
    pub(crate) out: &'a mut dyn Write,
    pub(crate) err: &'a mut dyn Write,
    pub(crate) color: bool,
}

impl Terminal<'_> {
    /// Prints a line of the result.
    pub(crate) fn line(&mut self, text: impl AsRef<str>) {
        let _ = writeln!(self.out, "{}", text.as_ref());
    }

    /// Prints a result for other programs.
    pub(crate) fn json(&mut self, value: &Value) {
        let text = serde_json::to_string_pretty(value).unwrap_or_default();
        let _ = writeln!(self.out, "{text}");
    }

    /// Prints findings beside the result.
    pub(crate) fn show_findings(&mut self, findings: &Findings) {
        let text = render::to_text(findings, self.color);
        let _ = write!(self.err, "{text}");
    }
}

/// A table with headings; columns marked are aligned to the right.
pub(crate) fn table(headings: &[&str], right: &[usize], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_header(headings.iter().map(ToString::to_string));
    for row in rows {
        table.add_row(row);
    }
    for index in right {
        if let Some(column) = table.column_mut(*index) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let text = table.to_string();
    text.lines()
        .map(str::trim_end)
        .collect::<Vec<_>>()
        .join("\n")
}
