//! Formula texts with the row numbers left open: one for all rows that took the same path.

/// Stands for the row of the formula's own cell.
pub(super) const ROW: char = '\u{e000}';
/// Stands for the row above it.
pub(super) const ABOVE: char = '\u{e001}';
/// Stands for the row of the parent.
pub(super) const PARENT: char = '\u{e002}';

/// A formula cut at the places where row numbers go.
#[derive(Clone, Debug)]
pub(super) struct Template {
    parts: Vec<(String, Option<char>)>,
}

impl Template {
    /// Cuts a formula text.
    pub(super) fn new(formula: &str) -> Self {
        let mut parts = Vec::new();
        let mut text = String::from("=");
        for c in formula.chars() {
            if matches!(c, ROW | ABOVE | PARENT) {
                parts.push((std::mem::take(&mut text), Some(c)));
            } else {
                text.push(c);
            }
        }
        parts.push((text, None));
        Self { parts }
    }

    /// The formula for a sheet row (counted from zero) and its parent's.
    pub(super) fn at(&self, row: u32, parent: u32) -> String {
        use std::fmt::Write;
        let mut formula = String::with_capacity(self.parts.len() * 16);
        for (text, slot) in &self.parts {
            formula.push_str(text);
            let number = match slot {
                Some(ROW) => row + 1,
                Some(ABOVE) => row,
                Some(PARENT) => parent + 1,
                _ => continue,
            };
            let _ = write!(formula, "{number}");
        }
        formula
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn templates_take_row_numbers() {
        let template = Template::new(&format!("A{ROW}+N(B{ABOVE})*Rooms!$C{PARENT}"));
        assert_eq!(template.at(4, 9), "=A5+N(B4)*Rooms!$C10");
    }
}
