//! `pourwright tryout`: lays out the built-in demo job and prices it.

use std::path::Path;

use engine::diag::{Diagnostic, Findings, Outcome};
use engine::shop;
use engine::workbook::write_takeoff_form;

use crate::context::registry;
use crate::print::Terminal;
use crate::{builtin, save};

/// Runs the command.
pub(crate) fn run(folder: &Path, metric: bool, terminal: &mut Terminal<'_>) -> Outcome<()> {
    let demo = if metric { builtin::METRIC } else { builtin::US };
    let registry = registry()?;
    let workshop = shop::load(&demo.shop(), &registry)?;
    let mut findings = Findings::new();
    let typed = demo.takeoff(&mut findings);
    findings.stop_on_errors()?;
    let takeoff = write_takeoff_form((&workshop.takeoff, &[]), &workshop.ledger, Some(&typed))
        .map_err(Diagnostic::error)?;
    save::new_folder(folder)?;
    save::replace(&folder.join("shop.toml"), demo.shop.as_bytes())?;
    save::replace(&folder.join("prices.toml"), demo.prices.as_bytes())?;
    let takeoff_path = folder.join("takeoff.xlsx");
    save::replace(&takeoff_path, &takeoff)?;
    terminal.line(format!(
        "Laid out in {}: shop.toml, prices.toml, takeoff.xlsx",
        folder.display()
    ));
    terminal.line("");
    super::bid::run(
        &takeoff_path,
        Some(folder.join("bid.xlsx")),
        None,
        (engine::workbook::Pictures::Drawn, false),
        terminal,
    )
}
