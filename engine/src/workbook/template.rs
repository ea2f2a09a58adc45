//! Formula texts with the row numbers left open: one for all rows that took the same path.

use crate::trail::TableId;

/// Stands for the row of the formula's own cell.
pub(super) const ROW: char = '\u{e000}';
/// Stands for the row above it.
pub(super) const ABOVE: char = '\u{e001}';
/// Stands for the row of the parent.
pub(super) const PARENT: char = '\u{e002}';

/// Stand, with the number of a table added, for the first and last row of the row's own
/// rows in that table.
const FIRST_CHILD: u32 = 0xe100;
const LAST_CHILD: u32 = 0xe800;

/// The place of the first of a row's own rows in a table.
pub(super) fn first_child(table: TableId) -> char {
    marked(FIRST_CHILD, table)
}

/// The place of the last of them.
pub(super) fn last_child(table: TableId) -> char {
    marked(LAST_CHILD, table)
}

fn marked(base: u32, table: TableId) -> char {
    char::from_u32(base + u32::from(table.number())).unwrap_or(ROW)
}

/// The sheet rows (counted from zero) that a formula refers to.
#[derive(Clone, Copy)]
pub(super) struct Rows<'a> {
    /// Its own.
    pub(super) own: u32,
    /// Its parent's.
    pub(super) parent: u32,
    /// First and last of its own rows in a table below.
    pub(super) children: &'a dyn Fn(u32) -> (u32, u32),
}

impl Rows<'_> {
    /// Of a row without rows below it.
    pub(super) fn alone(own: u32) -> Self {
        Self {
            own,
            parent: own,
            children: &|_| (0, 0),
        }
    }

    fn number(&self, slot: char) -> u32 {
        match u32::from(slot) {
            mark if mark >= LAST_CHILD => (self.children)(mark - LAST_CHILD).1 + 1,
            mark if mark >= FIRST_CHILD => (self.children)(mark - FIRST_CHILD).0 + 1,
            _ if slot == ABOVE => self.own,
            _ if slot == PARENT => self.parent + 1,
            _ => self.own + 1,
        }
    }
}

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
            if ('\u{e000}'..='\u{f8ff}').contains(&c) {
                parts.push((std::mem::take(&mut text), Some(c)));
            } else {
                text.push(c);
            }
        }
        parts.push((text, None));
        Self { parts }
    }

    /// The formula for a row.
    pub(super) fn at(&self, rows: Rows<'_>) -> String {
        use std::fmt::Write;
        let mut formula = String::with_capacity(self.parts.len() * 16);
        for (text, slot) in &self.parts {
            formula.push_str(text);
            if let Some(slot) = slot {
                let _ = write!(formula, "{}", rows.number(*slot));
            }
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
        let rows = Rows {
            parent: 9,
            ..Rows::alone(4)
        };
        assert_eq!(template.at(rows), "=A5+N(B4)*Rooms!$C10");
        let table = TableId::FIRST;
        let (first, last) = (first_child(table), last_child(table));
        let template = Template::new(&format!("SUM(F!$B{first}:$B{last})/A{ROW}"));
        let rows = Rows {
            children: &|_| (10, 12),
            ..Rows::alone(4)
        };
        assert_eq!(template.at(rows), "=SUM(F!$B11:$B13)/A5");
    }
}
