//! Checked arithmetic on quantities. Errors say what was wrong; the caller adds names and place.

use std::cmp::Ordering;
use std::fmt;

use super::{Dimension, DimensionError, Quantity, Units};

/// What was being done when it went wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// `+`
    Add,
    /// `-`
    Subtract,
    /// `*`
    Multiply,
    /// `/`
    Divide,
    /// any of `<` `>` `==` …
    Compare,
}

/// Why an operation on quantities has no answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ArithmeticError {
    /// The two sides measure different things.
    Mismatch {
        /// What was tried.
        operator: Operator,
        /// Dimension of the left side.
        left: Dimension,
        /// Dimension of the right side.
        right: Dimension,
    },
    /// The dimensions cannot be combined.
    Dimension(DimensionError),
    /// Division by zero.
    ByZero,
    /// The result is not a finite number.
    NotFinite,
}

impl ArithmeticError {
    /// The error as a sentence, with the dimensions named.
    pub fn describe(self, units: &Units) -> String {
        match self {
            Self::Mismatch {
                operator,
                left,
                right,
            } => {
                let (left, right) = (units.describe(left), units.describe(right));
                match operator {
                    Operator::Add => format!("cannot add {right} to {left}"),
                    Operator::Subtract => format!("cannot subtract {right} from {left}"),
                    Operator::Multiply => format!("cannot multiply {left} by {right}"),
                    Operator::Divide => format!("cannot divide {left} by {right}"),
                    Operator::Compare => format!("cannot compare {left} with {right}"),
                }
            }
            Self::Dimension(error) => error.to_string(),
            Self::ByZero => "this divides by zero".to_owned(),
            Self::NotFinite => "the result is too large to be a number".to_owned(),
        }
    }
}

impl fmt::Display for Operator {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Add => "+",
            Self::Subtract => "-",
            Self::Multiply => "*",
            Self::Divide => "/",
            Self::Compare => "compare",
        })
    }
}

impl From<DimensionError> for ArithmeticError {
    fn from(error: DimensionError) -> Self {
        Self::Dimension(error)
    }
}

fn finite(value: f64, dimension: Dimension) -> Result<Quantity, ArithmeticError> {
    if value.is_finite() {
        Ok(Quantity::new(value, dimension))
    } else {
        Err(ArithmeticError::NotFinite)
    }
}

/// The dimension of a sum: equal sides, or a temperature reading moved by a difference.
pub(crate) fn sum_dimension(
    left: Dimension,
    right: Dimension,
) -> Result<Dimension, ArithmeticError> {
    let moved = left.difference() == right.difference();
    if moved && !(left.is_point() && right.is_point()) {
        Ok(if left.is_point() { left } else { right })
    } else {
        Err(ArithmeticError::Mismatch {
            operator: Operator::Add,
            left,
            right,
        })
    }
}

/// The dimension of a difference: two readings differ by a difference.
pub(crate) fn difference_dimension(
    left: Dimension,
    right: Dimension,
) -> Result<Dimension, ArithmeticError> {
    if left == right {
        Ok(left.difference())
    } else if left.is_point() && left.difference() == right {
        Ok(left)
    } else {
        Err(ArithmeticError::Mismatch {
            operator: Operator::Subtract,
            left,
            right,
        })
    }
}

/// Adds two quantities.
///
/// # Errors
/// When the dimensions differ, both are temperature readings, or the sum is not finite.
pub fn add(left: Quantity, right: Quantity) -> Result<Quantity, ArithmeticError> {
    let dimension = sum_dimension(left.dimension, right.dimension)?;
    finite(left.value + right.value, dimension)
}

/// Subtracts the right quantity from the left one.
///
/// # Errors
/// When the dimensions differ or the result is not finite.
pub fn subtract(left: Quantity, right: Quantity) -> Result<Quantity, ArithmeticError> {
    let dimension = difference_dimension(left.dimension, right.dimension)?;
    finite(left.value - right.value, dimension)
}

/// Multiplies two quantities.
///
/// # Errors
/// When a temperature reading is multiplied or the result is not finite.
pub fn multiply(left: Quantity, right: Quantity) -> Result<Quantity, ArithmeticError> {
    finite(
        left.value * right.value,
        left.dimension.times(right.dimension)?,
    )
}

/// Divides the left quantity by the right one.
///
/// # Errors
/// When the right side is zero, a temperature reading is divided, or the result is not finite.
pub fn divide(left: Quantity, right: Quantity) -> Result<Quantity, ArithmeticError> {
    let dimension = left.dimension.per(right.dimension)?;
    if right.value == 0.0 {
        return Err(ArithmeticError::ByZero);
    }
    finite(left.value / right.value, dimension)
}

/// Compares two values of one dimension, taking numerical noise for equality.
///
/// What is on the limit must count as on the limit whichever way it was
/// computed, so a difference in the tenth significant digit is none.
pub fn compare_values(left: f64, right: f64) -> Ordering {
    let noise = 1e-9 * left.abs().max(right.abs());
    if (left - right).abs() <= noise {
        Ordering::Equal
    } else {
        left.total_cmp(&right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(value: f64) -> Quantity {
        Quantity::new(value, Dimension::LENGTH)
    }

    #[test]
    fn lengths_add_and_areas_do_not_join_them() {
        assert_eq!(add(inches(1.0), inches(2.0)), Ok(inches(3.0)));
        let area = multiply(inches(3.0), inches(4.0)).unwrap();
        assert_eq!(area, Quantity::new(12.0, Dimension::AREA));
        assert!(matches!(
            add(area, inches(1.0)),
            Err(ArithmeticError::Mismatch { .. })
        ));
    }

    #[test]
    fn nothing_divides_by_zero_or_leaves_the_numbers() {
        let none = Quantity::new(0.0, Dimension::NONE);
        assert_eq!(divide(inches(1.0), none), Err(ArithmeticError::ByZero));
        assert_eq!(divide(none, none), Err(ArithmeticError::ByZero));
        assert_eq!(
            multiply(inches(1e200), inches(1e200)),
            Err(ArithmeticError::NotFinite)
        );
    }

    #[test]
    fn temperatures_keep_readings_and_differences_apart() {
        let morning = Quantity::new(50.0, Dimension::TEMPERATURE);
        let noon = Quantity::new(68.0, Dimension::TEMPERATURE);
        let rise = subtract(noon, morning).unwrap();
        assert_eq!(rise.dimension, Dimension::TEMPERATURE_DIFFERENCE);
        assert_eq!(add(morning, rise), Ok(noon));
        assert!(add(morning, noon).is_err());
    }

    #[test]
    fn the_limit_itself_is_equal_however_it_was_computed() {
        assert_eq!(compare_values(0.1 + 0.2, 0.3), Ordering::Equal);
        assert_eq!(compare_values(0.3001, 0.3), Ordering::Greater);
        assert_eq!(compare_values(-1.0, 1.0), Ordering::Less);
    }
}
