//! Formulas that test whether what was typed can be used.

use super::layout::Layout;
use super::piece::{cell_number, tidy};
use super::plan::{Check, TablePlan, What};
use super::template::ROW;
use crate::diag::column_letters;
use crate::trail::{Choice, ColumnId, Table};

/// Largest number that can be meant; beyond it spreadsheets lose digits.
const MOST_TYPED: &str = "1E+12";

/// The formula of a check: 1 where something cannot be used.
pub(super) fn check_formula(
    check: &Check,
    table: &Table,
    plan: &TablePlan,
    layout: &Layout,
) -> String {
    let cell = |id: &ColumnId| {
        let at = plan.column_of(&What::Ledger(*id)).unwrap_or(0);
        format!("{}{ROW}", column_letters(at))
    };
    let list = |columns: &[ColumnId]| columns.iter().map(cell).collect::<Vec<_>>().join(",");
    let test = match check {
        Check::Numbers(columns) => {
            let all = list(columns);
            format!(
                "AND(COUNT({all})={},MIN({all})>=0,MAX({all})<={MOST_TYPED})",
                columns.len()
            )
        }
        Check::AnyNumbers(columns) => {
            let all = list(columns);
            let most = MOST_TYPED;
            format!(
                "AND(COUNT({all})={},MIN({all})>=-{most},MAX({all})<={most})",
                columns.len()
            )
        }
        Check::OptionalNumbers(columns) => {
            let all = list(columns);
            format!("AND(COUNT({all})=COUNTA({all}),MIN({all})>=0,MAX({all})<={MOST_TYPED})")
        }
        Check::Choices(columns) => {
            let tests: Vec<String> = columns
                .iter()
                .map(|id| known(id, &cell(id), table, layout))
                .collect();
            format!("AND({})", tests.join(","))
        }
        Check::OptionalChoices(columns) => {
            let tests: Vec<String> = columns
                .iter()
                .map(|id| {
                    format!(
                        "OR(ISBLANK({}),{})",
                        cell(id),
                        known(id, &cell(id), table, layout)
                    )
                })
                .collect();
            format!("AND({})", tests.join(","))
        }
        Check::Bounds(id) => {
            let column = table.column(*id);
            let (least, most, blank) = match &column.input {
                Some(facts) => (facts.least, facts.most, facts.may_be_blank),
                None => (0.0, f64::INFINITY, false),
            };
            let cell = cell(id);
            let number = |value| tidy(cell_number(value, &column.unit));
            let mut tests = vec![format!("{cell}>={}", number(least))];
            if most.is_finite() {
                tests.push(format!("{cell}<={}", number(most)));
            }
            let within = format!("AND({})", tests.join(","));
            if blank {
                format!("OR(ISBLANK({cell}),{within})")
            } else {
                within
            }
        }
        Check::Follows(test) => test.clone(),
    };
    format!("IF({test},0,1)")
}

/// Whether a cell holds one of its choices.
fn known(id: &ColumnId, cell: &str, table: &Table, layout: &Layout) -> String {
    let column = table.column(*id);
    let range = match column.input.as_ref().map(|facts| &facts.choice) {
        Some(Choice::ProductOf(products)) => layout.rows_range(*products),
        _ => layout.choices(&column.name).unwrap_or("unplaced"),
    };
    format!("ISNUMBER(MATCH({cell},{range},0))")
}
