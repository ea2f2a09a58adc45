//! What can be wrong with a written quantity.

use std::fmt;

use crate::diag::quoted;
use crate::quantity::DimensionError;

/// Why a text is no quantity, and where in it (in characters).
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureError {
    /// What is wrong.
    pub trouble: Trouble,
    /// Offset in characters from the start of the text.
    pub at: usize,
}

/// The kinds of trouble.
#[derive(Clone, Debug, PartialEq)]
pub enum Trouble {
    /// There is no text.
    Empty,
    /// A number was expected here.
    NoNumber(String),
    /// Money of another currency than the shop's: the mark found and the shop's.
    OtherCurrency(char, String),
    /// A number stands without a unit, and none is given from outside.
    NoUnit,
    /// A word that is no unit, with a near one.
    UnknownUnit(String, Option<String>),
    /// Text is left over after the quantity.
    LeftOver(String),
    /// A fraction over zero.
    ZeroBelow,
    /// A comma that could mark thousands or decimals.
    Comma(String),
    /// Terms that do not belong together, such as feet and pounds.
    TermsDiffer(String, String),
    /// Too large or not a number.
    NotFinite,
    /// A bracket is not closed.
    Bracket,
    /// The units cannot be combined.
    Dimension(DimensionError),
    /// The first end of a range lies above the second.
    Backwards,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("there is nothing here"),
            Self::NoNumber(found) if found.is_empty() => {
                f.write_str("the text ends where a number should stand")
            }
            Self::NoNumber(found) => write!(f, "{} is not a number", quoted(found)),
            Self::OtherCurrency(found, own) => write!(
                f,
                "{found} is not this shop's currency, which is {own}; in files for every shop, \"20 money\" is money in any currency"
            ),
            Self::NoUnit => f.write_str("the number has no unit"),
            Self::UnknownUnit(word, Some(near)) => {
                write!(f, "{} is not a unit; did you mean {near}?", quoted(word))
            }
            Self::UnknownUnit(word, None) => write!(f, "{} is not a unit", quoted(word)),
            Self::LeftOver(rest) => write!(f, "{} is left over", quoted(rest)),
            Self::ZeroBelow => f.write_str("a fraction over zero"),
            Self::Comma(number) => write!(
                f,
                "{} can be read in two ways; write it without a comma, with a point for decimals",
                quoted(number)
            ),
            Self::TermsDiffer(first, second) => {
                write!(f, "{second} cannot follow {first} in one quantity")
            }
            Self::NotFinite => f.write_str("the number is too large"),
            Self::Bracket => f.write_str("a bracket is not closed"),
            Self::Dimension(error) => error.fmt(f),
            Self::Backwards => f.write_str("the range starts above its end"),
        }
    }
}

impl fmt::Display for MeasureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.trouble.fmt(f)
    }
}
