//! A function as one object: name, parameters, result, sentence, example, body and workbook form.

use std::fmt;
use std::sync::Arc;

use super::node::Kind;
use crate::measure::{MeasureError, read_unit};
use crate::quantity::{Dimension, Unit, Units};

/// Computes the result from the arguments, all in base units.
/// An `Err` is a sentence saying why there is no result.
pub type Body = Arc<dyn Fn(&[f64]) -> Result<f64, String> + Send + Sync>;

/// What a parameter accepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Accepts {
    /// A number of any dimension.
    Number,
    /// A number of the dimension of this unit; the workbook form receives it in this unit.
    In(&'static str),
    /// A value of the same kind and dimension as an earlier parameter.
    Like(usize),
    /// A plain number or a number of packages.
    Count,
    /// A number, a text, a condition or a product.
    Any,
    /// A value that may be blank, of any kind.
    PerhapsBlank,
    /// A text.
    Text,
    /// A text that may be blank.
    PerhapsText,
    /// One of these texts; the computation receives its number in the list, from 0.
    OneOf(&'static [&'static str]),
    /// A condition.
    Condition,
}

impl Accepts {
    /// Whether a blank cell is a value for the function.
    pub fn takes_blanks(self) -> bool {
        matches!(self, Self::PerhapsBlank | Self::PerhapsText)
    }
}

/// What a function gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// A number in this unit; the workbook form computes it in this unit.
    In(&'static str),
    /// The kind and dimension of a parameter.
    Like(usize),
    /// A number of one parameter's dimension for each of another's.
    Per(usize, usize),
    /// A condition.
    Condition,
}

/// How a function appears in the workbook.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A formula; `{0}` is the first argument, `{..}` all of them in a list.
    Formula(&'static str),
    /// A value that stays as priced; the workbook compares the arguments with
    /// what they were and says "price again" when they differ.
    Fixed,
}

/// One parameter.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// Its name in the reference.
    pub name: &'static str,
    /// What it accepts.
    pub accepts: Accepts,
}

/// A function that recipes can call.
pub struct Function {
    /// Its name in scripts.
    pub name: &'static str,
    /// Its parameters.
    pub parameters: Vec<Parameter>,
    /// Whether the last parameter may be given several times.
    pub repeats: bool,
    /// What it gives.
    pub gives: Gives,
    /// What it does, in one sentence.
    pub sentence: &'static str,
    /// A script that is true; run as a test and printed in the reference.
    pub example: &'static str,
    /// The computation.
    pub body: Body,
    /// Its workbook form.
    pub form: Form,
}

impl fmt::Debug for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}(..)", self.name)
    }
}

impl PartialEq for Function {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name && self.parameters.len() == other.parameters.len()
    }
}

/// What an argument is, for checking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Argument {
    /// Its kind.
    pub kind: Kind,
    /// Whether its cell is blank.
    pub blank: bool,
}

/// A function's answer to its arguments: the kind of the result and the unit of each argument
/// and of the result where the signature names one.
#[derive(Clone, Debug)]
pub struct Signature {
    /// Kind of the result.
    pub kind: Kind,
    /// Which argument the result has the unit of.
    pub like: Option<usize>,
    /// The unit of the result, where named.
    pub unit: Option<Unit>,
}

/// Why arguments do not fit.
#[derive(Clone, Debug, PartialEq)]
pub enum ArgumentError {
    /// Wrong number of arguments.
    Number {
        /// How many were given.
        given: usize,
    },
    /// One argument is of the wrong kind.
    Kind {
        /// Which, from zero.
        index: usize,
        /// What is expected, in words.
        expected: String,
    },
    /// One argument is blank.
    Blank {
        /// Which, from zero.
        index: usize,
    },
    /// The function itself names a unit that does not exist.
    Unit(MeasureError),
}

impl Function {
    /// The accepted kind of the argument with an index.
    pub fn accepts(&self, index: usize) -> Option<Accepts> {
        match self.parameters.get(index) {
            Some(parameter) => Some(parameter.accepts),
            None if self.repeats => self.parameters.last().map(|p| p.accepts),
            None => None,
        }
    }

    /// How the function is called, such as `max(a, b, …)`.
    pub fn usage(&self) -> String {
        let mut names: Vec<&str> = self.parameters.iter().map(|p| p.name).collect();
        if self.repeats {
            names.push("…");
        }
        format!("{}({})", self.name, names.join(", "))
    }

    /// Checks arguments against the parameters.
    ///
    /// # Errors
    /// Says which argument does not fit and what is expected.
    pub fn check(&self, arguments: &[Argument], units: &Units) -> Result<Signature, ArgumentError> {
        let fits = arguments.len() == self.parameters.len()
            || self.repeats && arguments.len() >= self.parameters.len();
        if !fits {
            return Err(ArgumentError::Number {
                given: arguments.len(),
            });
        }
        for (index, argument) in arguments.iter().enumerate() {
            self.check_one(index, *argument, arguments, units)?;
        }
        let (kind, like, unit) = match self.gives {
            Gives::Condition => (Kind::Condition, None, None),
            Gives::Like(index) => (arguments[index].kind, Some(index), None),
            Gives::Per(over, under) => {
                let quotient = match (arguments[over].kind, arguments[under].kind) {
                    (Kind::Number(over), Kind::Number(under)) => over.per(under).ok(),
                    _ => None,
                };
                let dimension = quotient.ok_or_else(|| ArgumentError::Kind {
                    index: under,
                    expected: "a quantity that the first can be divided by".to_owned(),
                })?;
                (Kind::Number(dimension), None, None)
            }
            Gives::In(label) => {
                let unit = read_unit_or_plain(label, units).map_err(ArgumentError::Unit)?;
                (Kind::Number(unit.dimension), None, Some(unit))
            }
        };
        Ok(Signature { kind, like, unit })
    }

    fn check_one(
        &self,
        index: usize,
        argument: Argument,
        all: &[Argument],
        units: &Units,
    ) -> Result<(), ArgumentError> {
        let accepts = self.accepts(index).unwrap_or(Accepts::Any);
        if argument.blank && !accepts.takes_blanks() {
            return Err(ArgumentError::Blank { index });
        }
        let is_number = matches!(argument.kind, Kind::Number(_));
        let (fits, expected) = match accepts {
            Accepts::Any | Accepts::PerhapsBlank => return Ok(()),
            Accepts::Number => (is_number, "a number or quantity".to_owned()),
            Accepts::Text | Accepts::PerhapsText => {
                (argument.kind == Kind::Text, "a text".to_owned())
            }
            Accepts::OneOf(words) => (
                argument.kind == Kind::Text,
                format!("one of the texts {}", words.join(", ")),
            ),
            Accepts::Condition => (
                argument.kind == Kind::Condition,
                "a condition, such as depth.above(limit)".to_owned(),
            ),
            Accepts::Count => (
                matches!(argument.kind, Kind::Number(d) if d.is_none() || d.is_package_count()),
                "a plain number or a number of packages".to_owned(),
            ),
            Accepts::In(label) => {
                let unit = read_unit_or_plain(label, units).map_err(ArgumentError::Unit)?;
                (
                    argument.kind == Kind::Number(unit.dimension),
                    units.describe(unit.dimension),
                )
            }
            Accepts::Like(first) => {
                let wanted = all[first].kind;
                (argument.kind == wanted, describe_kind(wanted, units))
            }
        };
        if fits {
            Ok(())
        } else {
            Err(ArgumentError::Kind { index, expected })
        }
    }
}

/// Reads the unit that a signature names; nothing is the plain number.
pub(crate) fn read_unit_or_plain(label: &str, units: &Units) -> Result<Unit, MeasureError> {
    if label.is_empty() {
        return Ok(Unit::plain());
    }
    read_unit(label, units)
}

/// A kind in words.
pub(crate) fn describe_kind(kind: Kind, units: &Units) -> String {
    match kind {
        Kind::Number(Dimension::NONE) => "a plain number".to_owned(),
        Kind::Number(dimension) => units.describe(dimension),
        Kind::Text => "a text".to_owned(),
        Kind::Condition => "a condition".to_owned(),
        Kind::Product(_) => "a product".to_owned(),
    }
}
