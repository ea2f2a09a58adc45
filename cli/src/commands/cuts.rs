//! `pourwright cuts`: how the strip of a job is cut, length by length and room by room.

use std::path::{Path, PathBuf};

use engine::bid::{Bid, CutList, CutRow};
use engine::diag::{Diagnostic, Outcome, Place};
use engine::measure::{write, write_count};
use engine::quantity::Dimension;
use engine::trail::Kind;
use serde_json::{Value, json};

use crate::context::priced;
use crate::print::{Terminal, table};

/// Runs the command.
pub(crate) fn run(
    takeoff: &Path,
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let bid = priced(takeoff, shop)?;
    if bid.cuts.is_empty() {
        return Err(Diagnostic::error("nothing of this job is cut from lengths")
            .at(Place::File(takeoff.display().to_string().into()))
            .hint("A recipe says what is cut with cut(…); the stock recipe edges does for strip.")
            .into());
    }
    if as_json {
        terminal.json(&bid.cuts.iter().map(|list| to_json(&bid, list)).collect());
    } else {
        for list in &bid.cuts {
            show(&bid, list, terminal);
        }
    }
    terminal.show_findings(&bid.takeoff.remarks);
    Ok(())
}

fn show(bid: &Bid, list: &CutList, terminal: &mut Terminal<'_>) {
    let plan = &list.plan;
    let left: f64 = plan.bars.iter().map(|bar| bar.offcut).sum();
    terminal.line(format!(
        "{}: {} of {}, {} left over in offcuts",
        bid.lines[list.line].name(),
        write_count(plan.used(), "length"),
        length(bid, list.stock),
        length(bid, left)
    ));
    let proof = match plan.used() - plan.bound {
        0 => "  No plan does with fewer.".to_owned(),
        _ => format!("  No plan does with fewer than {}.", plan.bound),
    };
    terminal.line(proof);
    terminal.line("");
    let headings = ["Length", "From", "Cut to", "Room", "For", "Piece"];
    let rows = |cuts: Vec<CutRow>| cuts.iter().map(|cut| row(bid, cut)).collect();
    terminal.line(table(&headings, &[0, 1, 2], rows(list.rows(&bid.ledger))));
    terminal.line("\nRoom by room, to set them:");
    terminal.line(table(
        &headings,
        &[0, 1, 2],
        rows(list.rows_by_room(&bid.ledger)),
    ));
    terminal.line("");
}

fn row(bid: &Bid, cut: &CutRow) -> Vec<String> {
    vec![
        cut.bar.to_string(),
        length(bid, cut.start),
        length(bid, cut.length),
        cut.room.clone(),
        cut.what.clone(),
        cut.number.clone(),
    ]
}

/// A length as it is measured with a tape: feet and inches to the sixteenth, or whole millimetres.
fn length(bid: &Bid, inches: f64) -> String {
    let unit = bid.ledger.shown_in(Kind::Number(Dimension::LENGTH));
    let step = match bid.ledger.system {
        engine::quantity::System::Us => 1.0 / 16.0,
        engine::quantity::System::Si => unit.size,
    };
    let rounded = (inches / step).round() * step;
    match bid
        .ledger
        .units
        .find("ft")
        .filter(|_| step < unit.size && inches >= 12.0)
    {
        Some(feet) => write(rounded, feet, &bid.ledger.units),
        None => write(rounded, &unit, &bid.ledger.units),
    }
}

fn to_json(bid: &Bid, list: &CutList) -> Value {
    json!({
        "product": bid.lines[list.line].detail,
        "phase": bid.lines[list.line].phase.as_ref().map(|phase| &phase.name),
        "units": "inches",
        "stock": list.stock,
        "lengths": list.plan.used(),
        "at_least": list.plan.bound,
        "cuts": list.rows(&bid.ledger).iter().map(|cut| json!({
            "length": cut.bar,
            "from": cut.start,
            "cut_to": cut.length,
            "room": cut.room,
            "for": cut.what,
            "piece": cut.number,
        })).collect::<Value>(),
    })
}
