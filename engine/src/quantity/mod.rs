//! Quantities: a value with its dimension, the unit table, checked arithmetic and rounding.
//!
//! Values are kept in coherent base units, chosen so that what a shop reads off
//! a tape is exact in binary: **inch** for length (1/16 in and a US gallon of
//! 231 in³ are exact), **pound** for weight, **second** for time, **°F** for
//! temperature (a kelvin is 1.8 of them), **watt**, **ampere**, and the shop's
//! currency. Packages (bag, pail, roll, …) are dimensions of their own.
//!
//! This layer is pure: it has no history and knows nothing of files.

mod arithmetic;
mod dimension;
mod names;
pub mod rounding;
mod table;
mod unit;
mod units;

pub use arithmetic::{ArithmeticError, Operator, add, compare_values, divide, multiply, subtract};
pub(crate) use arithmetic::{difference_dimension, sum_dimension};
pub use dimension::{Dimension, DimensionError, PackageId};
pub use unit::{System, Unit};
pub use units::{Currency, UnitError, Units};

/// A value in base units with its dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// Value in base units.
    pub value: f64,
    /// What kind of thing it measures.
    pub dimension: Dimension,
}

impl Quantity {
    /// A quantity from a value in base units.
    pub fn new(value: f64, dimension: Dimension) -> Self {
        Self { value, dimension }
    }

    /// So many of a unit.
    pub fn of(number: f64, unit: &Unit) -> Self {
        Self::new(unit.to_base(number), unit.dimension)
    }
}
