//! The row of headings of a sheet, or what is wrong with it.

use crate::diag::{Diagnostic, Findings};
use crate::grid::{Grid, HeaderRow, HeaderTrouble, Sheet, Wanted, find_header};

/// Finds the headings of a sheet of `what`; where they are missing or twice, it is said with what
/// was expected.
pub(super) fn headings(
    grid: &Grid,
    sheet: &Sheet,
    wanted: &[Wanted],
    (what, expected): (&str, &str),
    findings: &mut Findings,
) -> Option<HeaderRow> {
    match find_header(sheet, wanted) {
        Ok(header) => Some(header),
        Err(HeaderTrouble::None) => {
            findings.push(
                Diagnostic::error(format!("no row of headings was found for {what}"))
                    .at(grid.sheet_place(sheet))
                    .label(format!("expected the headings {expected}")),
            );
            None
        }
        Err(HeaderTrouble::Twice {
            row,
            columns,
            wanted: index,
        }) => {
            findings.push(grid.headed_twice(sheet, row, columns, &wanted[index]));
            None
        }
    }
}
