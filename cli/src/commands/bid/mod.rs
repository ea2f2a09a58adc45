//! `pourwright bid`: prices a takeoff and writes the bid workbook.

mod json;
mod show;

use std::path::{Path, PathBuf};

use engine::bid::{self, Bid};
use engine::diag::{Diagnostic, Outcome, Place};
use engine::shop::Workshop;
use engine::workbook::{self, Pictures};

use self::json::to_json;
use self::show::show;
use super::prove;
use crate::context::{TakeoffFile, folder_of, load_shop, read_takeoff, registry};
use crate::print::Terminal;
use crate::save;

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    out: Option<PathBuf>,
    shop: Option<&PathBuf>,
    (pictures, as_json): (Pictures, bool),
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let out = out.unwrap_or_else(|| beside(takeoff));
    refuse_to_overwrite_takeoff(takeoff, &out)?;
    let registry = registry()?;
    let file = read_takeoff(takeoff)?;
    let workshop = load_shop(shop, &folder_of(takeoff), &registry)?;
    prove::require_all(&workshop, &registry)?;
    let bid = bid::price(&workshop, &registry, &file.grid)?;
    write_workbook(&bid, &workshop, &file, &out, pictures)?;
    if as_json {
        terminal.json(&to_json(&bid, &workshop, &out));
    } else {
        show(&bid, &workshop, &out, terminal);
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

/// `rooms.xlsx` gives `rooms-bid.xlsx`.
fn beside(takeoff: &Path) -> PathBuf {
    let stem = takeoff
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    takeoff.with_file_name(format!("{stem}-bid.xlsx"))
}

fn refuse_to_overwrite_takeoff(takeoff: &Path, out: &Path) -> Outcome<()> {
    let same = match (std::fs::canonicalize(takeoff), std::fs::canonicalize(out)) {
        (Ok(a), Ok(b)) => a == b,
        _ => takeoff == out,
    };
    if same {
        return Err(Diagnostic::error("the bid would overwrite its own takeoff")
            .at(Place::File(out.display().to_string().into()))
            .hint("Name another file with --out.")
            .into());
    }
    Ok(())
}

/// Writes the workbook of a priced job.
pub(crate) fn write_workbook(
    bid: &Bid,
    workshop: &Workshop,
    file: &TakeoffFile,
    out: &Path,
    pictures: Pictures,
) -> Outcome<()> {
    let name = Path::new(&file.name)
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let bytes = workbook::write_bid(
        bid,
        workshop,
        (&name.unwrap_or_default(), &file.bytes),
        pictures,
    )
    .map_err(|why| Diagnostic::error(why).at(Place::File(out.display().to_string().into())))?;
    save::replace(out, &bytes)
}
