//! The phase of a room: an optional column that no recipe asks for. Packages are ordered whole
//! for each phase, and the bid states the price of each.

use super::spec::{InputKind, InputSpec};
use crate::diag::{Diagnostic, Findings, Place, quoted};
use crate::quantity::Unit;
use crate::trail::{Choice, ColumnId, Ledger, TableId};

/// Its name in scripts.
const NAME: &str = "phase";
/// Longest name; what is longer is a remark.
const LONGEST: usize = 40;

/// The input, which no recipe asks for: where nothing is filled in, there is no such column.
pub fn phase_input() -> InputSpec {
    InputSpec {
        name: NAME.to_owned(),
        title: "Phase".to_owned(),
        headings: vec!["Phase of the work".to_owned()],
        kind: InputKind::Text(Choice::Free),
        us: Unit::plain(),
        si: Unit::plain(),
        default: None,
        required: false,
        unless: None,
        survey: None,
        least: f64::NEG_INFINITY,
        most: f64::INFINITY,
        why: "Part of the job that is done by itself, such as 1 or east wing. Packages are ordered whole for each phase."
            .to_owned(),
        asked_by: Vec::new(),
        place: Place::Nowhere,
    }
}

/// The column of phases, where some room has one.
pub(super) fn phase_column(
    rooms: TableId,
    ledger: &Ledger,
    findings: &mut Findings,
) -> Option<ColumnId> {
    let table = ledger.table(rooms);
    let column = table.column_named(NAME)?;
    let mut any = false;
    for (row, value) in table.values(column).iter().enumerate() {
        if value.is_nan() {
            continue;
        }
        any = true;
        let name = ledger.texts.of_value(*value);
        let trouble = if name.contains(['*', '?', '~']) {
            "a spreadsheet takes *, ? and ~ for other letters"
        } else if name.chars().count() > LONGEST {
            "that is too long for the name of a phase"
        } else {
            continue;
        };
        let room = quoted(&table.row_names[row]);
        findings.push(
            Diagnostic::error(format!("Phase of {room} is {}: {trouble}", quoted(name)))
                .at(table.cell_place(column, row)),
        );
    }
    any.then_some(column)
}
