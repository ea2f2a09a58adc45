//! Limits of a formula: what a person cannot read, and a spreadsheet not hold, is refused.

use crate::diag::{Diagnostic, Outcome};
use crate::trail::{Ledger, Shape};

/// Most operations on top of each other between two cells.
const MOST_DEPTH: u32 = 40;
/// Most operations in one formula.
const MOST_SIZE: u64 = 200;

/// Checks that every formula of a shape stays short.
pub(super) fn check_formulas(shape: &Shape, ledger: &Ledger) -> Outcome<()> {
    let mut depths = vec![0u32; shape.nodes.len()];
    let mut sizes = vec![1u64; shape.nodes.len()];
    let mut has_cell = vec![false; shape.nodes.len()];
    for output in &shape.outputs {
        has_cell[output.node.index()] = true;
    }
    for (index, node) in shape.nodes.iter().enumerate() {
        for operand in node.op.operands() {
            let below = operand.index();
            let (depth, size) = if has_cell[below] {
                (0, 1)
            } else {
                (depths[below], sizes[below])
            };
            depths[index] = depths[index].max(depth + 1);
            sizes[index] = sizes[index].saturating_add(size);
        }
        if depths[index] > MOST_DEPTH || sizes[index] > MOST_SIZE {
            return Err(
                Diagnostic::error("this adds up to a formula that nobody could read")
                    .at(ledger.script_place(node.place))
                    .hint("Give the steps names with let; each becomes a cell of its own.")
                    .into(),
            );
        }
    }
    Ok(())
}
