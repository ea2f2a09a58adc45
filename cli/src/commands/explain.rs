//! `pourwright explain`: how a number came about.

use std::path::{Path, PathBuf};

use engine::diag::Outcome;
use engine::explain::{Step, explain, find};
use serde_json::{Value, json};

use crate::context::priced;
use crate::print::Terminal;

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    what: &[String],
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let bid = priced(takeoff, shop)?;
    let wanted = find(&bid, what)?;
    let steps: Vec<Step> = wanted
        .iter()
        .map(|wanted| explain(&bid, wanted.table, wanted.column, wanted.row))
        .collect();
    if as_json {
        terminal.json(&steps.iter().map(to_json).collect());
        return Ok(());
    }
    for (wanted, step) in wanted.iter().zip(&steps) {
        let row = &bid.ledger.table(wanted.table).row_names[wanted.row];
        let whose = if row.is_empty() {
            String::new()
        } else {
            format!("{row}: ")
        };
        show(step, &whose, 0, terminal);
        terminal.line("");
    }
    Ok(())
}

/// Prints a step and what it is made from, each level indented.
fn show(step: &Step, whose: &str, level: usize, terminal: &mut Terminal<'_>) {
    let indent = "  ".repeat(level);
    let value = if step.value.is_empty() {
        String::new()
    } else {
        format!(" = {}", step.value)
    };
    let origin = if step.origin.is_empty() || !step.how.is_empty() {
        String::new()
    } else {
        format!("   [{}]", step.origin)
    };
    terminal.line(format!("{indent}{whose}{}{value}{origin}", step.name));
    if !step.how.is_empty() {
        let line = if step.origin.is_empty() {
            String::new()
        } else {
            format!("   [{}]", step.origin)
        };
        terminal.line(format!("{indent}    = {}{line}", step.how));
    }
    if !step.note.is_empty() {
        terminal.line(format!("{indent}    {}", step.note));
    }
    for inner in &step.steps {
        show(inner, "", level + 1, terminal);
    }
}

fn to_json(step: &Step) -> Value {
    json!({
        "name": step.name,
        "value": step.value,
        "how": step.how,
        "origin": step.origin,
        "note": step.note,
        "steps": step.steps.iter().map(to_json).collect::<Vec<_>>(),
    })
}
