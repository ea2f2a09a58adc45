//! Pieces of formula text, each with the unit it stands in and how strongly it holds together.

use crate::quantity::Unit;
use crate::trail::{Column, Node};

/// How strongly a text holds together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    Comparison,
    Sum,
    Product,
    Sign,
    Atom,
}

/// A piece of formula text with the unit it stands in.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) text: String,
    pub(super) rank: Rank,
    /// Base units in one of what the text computes.
    pub(super) size: f64,
}

impl Piece {
    pub(super) fn atom(text: impl Into<String>, size: f64) -> Self {
        Self {
            text: text.into(),
            rank: Rank::Atom,
            size,
        }
    }

    /// The text, in brackets where it holds together less than needed.
    pub(super) fn at_least(&self, rank: Rank) -> String {
        if self.rank >= rank {
            self.text.clone()
        } else {
            format!("({})", self.text)
        }
    }

    /// Nothing is nothing in any unit.
    pub(super) fn is_zero(&self) -> bool {
        self.text == "0"
    }

    /// The same in another unit.
    pub(super) fn in_unit(self, size: f64) -> Self {
        let factor = self.size / size;
        if self.is_zero() || (factor - 1.0).abs() < 1e-13 {
            return Self { size, ..self };
        }
        Self {
            text: format!("{}{}", self.at_least(Rank::Product), factor_text(factor)),
            rank: Rank::Product,
            size,
        }
    }
}

/// `*12`, `/12` or `*25.4`: whichever is exact, or shorter.
fn factor_text(factor: f64) -> String {
    let shown = |number: f64| {
        // Fifteen digits, as a spreadsheet keeps them.
        let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
        format!("{rounded}")
    };
    let (times, over) = (shown(factor), shown(1.0 / factor));
    if over.len() < times.len() {
        format!("/{over}")
    } else {
        format!("*{times}")
    }
}

/// The size and zero of a unit as its cells hold numbers: a percentage is held as its fraction.
pub(super) fn cell_scale(unit: &Unit) -> (f64, f64) {
    if unit.label == "%" {
        (1.0, 0.0)
    } else {
        (unit.size, unit.zero)
    }
}

/// The number that a cell holds for a base value.
pub(super) fn cell_number(value: f64, unit: &Unit) -> f64 {
    let (size, zero) = cell_scale(unit);
    (value - zero) / size
}

/// A number without the noise of the last digit: what a person typed reads as typed.
pub(super) fn tidy(number: f64) -> f64 {
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    rounded
}

/// The unit in which a cell holds a node: the column's, unless the column holds different kinds.
pub(super) fn cell_unit<'a>(column: &'a Column, node: &'a Node) -> &'a Unit {
    if column.kind == node.kind {
        &column.unit
    } else {
        &node.unit
    }
}

/// Puts pieces into a form; `{0}` is the first, `{..}` all in a list.
pub(super) fn fill_in(form: &str, pieces: &[Piece]) -> String {
    let mut text = String::new();
    let mut rest = form;
    while let Some(open) = rest.find('{') {
        let (before, after) = rest.split_at(open);
        text.push_str(before);
        let Some(close) = after.find('}') else { break };
        let (slot, behind) = (&after[1..close], &after[close + 1..]);
        if slot == ".." {
            let all: Vec<&str> = pieces.iter().map(|piece| piece.text.as_str()).collect();
            text.push_str(&all.join(","));
        } else if let Some(piece) = slot
            .parse::<usize>()
            .ok()
            .and_then(|index| pieces.get(index))
        {
            // Alone between brackets or commas it needs no brackets of its own.
            let alone = text.ends_with(['(', ',']) && behind.starts_with([')', ',']);
            text.push_str(&if alone {
                piece.text.clone()
            } else {
                piece.at_least(Rank::Atom)
            });
        }
        rest = behind;
    }
    text.push_str(rest);
    text
}

/// Whether a text is one function call, such as `MAX(…)`.
pub(super) fn is_one_call(text: &str) -> bool {
    let Some(open) = text.find('(') else {
        return false;
    };
    if !text[..open].chars().all(|c| c.is_ascii_uppercase()) || open == 0 {
        return false;
    }
    let mut depth = 0usize;
    for (at, c) in text.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return at + 1 == text.len();
                }
            }
            _ => {}
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_between_units_are_short_and_exact() {
        assert_eq!(factor_text(12.0), "*12");
        assert_eq!(factor_text(1.0 / 12.0), "/12");
        assert_eq!(factor_text(25.4), "*25.4");
        assert_eq!(factor_text(1.0 / 25.4), "/25.4");
        assert_eq!(factor_text(144.0 / 1728.0), "/12");
    }

    #[test]
    fn pieces_get_brackets_where_they_need_them() {
        let sum = Piece {
            text: "A1+B1".into(),
            rank: Rank::Sum,
            size: 12.0,
        };
        assert_eq!(sum.clone().in_unit(1.0).text, "(A1+B1)*12");
        assert_eq!(sum.clone().in_unit(12.0).text, "A1+B1");
        assert_eq!(
            fill_in("ROUND({0}-{1},6)>0", &[sum.clone(), sum.clone()]),
            "ROUND((A1+B1)-(A1+B1),6)>0"
        );
        assert_eq!(
            fill_in("MAX({..})", &[sum.clone(), sum.clone()]),
            "MAX(A1+B1,A1+B1)"
        );
        assert_eq!(
            fill_in("IF({1}=0,0,{0})", &[sum.clone(), Piece::atom("C1", 1.0)]),
            "IF(C1=0,0,A1+B1)"
        );
    }

    #[test]
    fn one_call_is_told_from_two() {
        assert!(is_one_call("MAX(A1,(B1+C1)*2)"));
        assert!(!is_one_call("ROUNDUP(A1,0)*B1"));
        assert!(!is_one_call("ROUND(A1,6)>ROUND(B1,6)"));
        assert!(!is_one_call("A1+B1"));
    }
}
