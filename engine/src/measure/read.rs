//! Reading quantities and ranges.

use super::cursor::Cursor;
use super::error::{MeasureError, Trouble};
use super::number::{Number, read_number, starts_number};
use super::unit_text::{read_unit_here, starts_unit};
use crate::quantity::{Dimension, Quantity, Unit, Units};

/// A quantity as it was read, with the unit it was written in.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Value in base units and dimension.
    pub quantity: Quantity,
    /// The (first) unit it was written in, or the one given from outside.
    pub unit: Unit,
}

/// Reads one quantity. A bare number takes `unit`, where the caller has one.
///
/// # Errors
/// When the text is no quantity; the error says what and where.
pub fn read_quantity(
    text: &str,
    units: &Units,
    unit: Option<&Unit>,
) -> Result<Reading, MeasureError> {
    let mut cursor = Cursor::new(text.trim());
    if cursor.at_end() {
        return cursor.fail(Trouble::Empty);
    }
    let reading = read_here(&mut cursor, units, unit)?;
    cursor.skip_spaces();
    if cursor.at_end() {
        Ok(reading)
    } else {
        cursor.fail(Trouble::LeftOver(cursor.rest()))
    }
}

/// Reads a range such as `1/8 in .. 1-1/2 in`; the first end may leave its unit to the second.
///
/// # Errors
/// When one end is no quantity, the ends differ in dimension, or the first lies above the second.
pub fn read_range(
    text: &str,
    units: &Units,
    unit: Option<&Unit>,
) -> Result<(Reading, Reading), MeasureError> {
    let text = text.trim();
    let Some((first, second)) = ["..", " to ", "–", "—"]
        .iter()
        .find_map(|mark| text.split_once(mark))
    else {
        let reading = read_quantity(text, units, unit)?;
        return Ok((reading.clone(), reading));
    };
    let offset = text.chars().count() - second.chars().count();
    let high = read_quantity(second, units, unit).map_err(|error| MeasureError {
        at: error.at + offset,
        ..error
    })?;
    let low = read_quantity(first, units, unit.or(Some(&high.unit)))?;
    let at = |trouble| Err(MeasureError { trouble, at: 0 });
    if low.quantity.dimension != high.quantity.dimension {
        return at(Trouble::TermsDiffer(low.unit.label, high.unit.label));
    }
    if low.quantity.value > high.quantity.value {
        return at(Trouble::Backwards);
    }
    Ok((low, high))
}

fn read_here(
    cursor: &mut Cursor,
    units: &Units,
    given: Option<&Unit>,
) -> Result<Reading, MeasureError> {
    let negative = cursor.take('-');
    if !negative {
        cursor.take('+');
    }
    cursor.skip_spaces();
    let mut reading = match read_money(cursor, units)? {
        Some(money) => money,
        None => read_terms(cursor, units, given)?,
    };
    if negative {
        reading.quantity.value = -reading.quantity.value;
    }
    if reading.quantity.value.is_finite() {
        Ok(reading)
    } else {
        cursor.fail(Trouble::NotFinite)
    }
}

/// Money written with the symbol in front.
fn read_money(cursor: &mut Cursor, units: &Units) -> Result<Option<Reading>, MeasureError> {
    if !cursor.take_text(&units.currency().symbol) {
        return match cursor.peek().filter(|mark| is_currency_mark(*mark)) {
            Some(mark) => {
                let own = units.currency().symbol.clone();
                cursor.fail(Trouble::OtherCurrency(mark, own))
            }
            None => Ok(None),
        };
    }
    cursor.skip_spaces();
    let number = read_number(cursor)?;
    let mut unit = units.find("money").cloned().unwrap_or_else(Unit::plain);
    let before = cursor.position();
    cursor.skip_spaces();
    let per = cursor.peek() == Some('/') || cursor.take_text("per ");
    if per {
        cursor.take('/');
        cursor.skip_spaces();
        let under = read_unit_here(cursor, units)?;
        let dimension = match Dimension::MONEY.per(under.dimension) {
            Ok(dimension) => dimension,
            Err(error) => return cursor.fail(Trouble::Dimension(error)),
        };
        unit = Unit {
            label: format!("{}/{}", unit.label, under.label),
            dimension,
            size: unit.size / under.size,
            zero: 0.0,
        };
    } else {
        cursor.rewind(before);
    }
    Ok(Some(Reading {
        quantity: Quantity::of(number.value, &unit),
        unit,
    }))
}

fn is_currency_mark(mark: char) -> bool {
    matches!(mark, '$' | '£' | '¤' | '¥' | '\u{20a0}'..='\u{20cf}')
}

/// One or more terms of falling size: `12 ft 6 1/2 in`.
fn read_terms(
    cursor: &mut Cursor,
    units: &Units,
    given: Option<&Unit>,
) -> Result<Reading, MeasureError> {
    let (first, unit) = read_term(cursor, units, given)?;
    let mut quantity = Quantity::of(first.value, &unit);
    let mut smallest = unit.clone();
    loop {
        let before = cursor.position();
        cursor.skip_spaces();
        // A hyphen joins feet and inches: 12'-6".
        if cursor.peek() == Some('-') && starts_number(cursor.peek_at(1)) {
            cursor.next();
        }
        if !starts_number(cursor.peek())
            || cursor.peek_at(1) == Some('.') && cursor.peek() == Some('.')
        {
            cursor.rewind(before);
            break;
        }
        let (number, next) = read_term(cursor, units, None)?;
        let falls = next.dimension == unit.dimension && next.size < smallest.size;
        if !falls || unit.zero != 0.0 {
            return cursor.fail(Trouble::TermsDiffer(smallest.label, next.label));
        }
        quantity.value += next.to_base(number.value);
        smallest = next;
    }
    Ok(Reading { quantity, unit })
}

fn read_term(
    cursor: &mut Cursor,
    units: &Units,
    given: Option<&Unit>,
) -> Result<(Number, Unit), MeasureError> {
    let start = cursor.position();
    let number = read_number(cursor)?;
    let after_number = cursor.position();
    cursor.skip_spaces();
    let symbol = units.currency().symbol.chars().next();
    let unit = if (starts_unit(cursor.peek()) || cursor.peek() == symbol) && cursor.peek().is_some()
    {
        read_unit_here(cursor, units)?
    } else {
        cursor.rewind(after_number);
        match given {
            Some(unit) => unit.clone(),
            None => {
                cursor.rewind(start);
                return cursor.fail(Trouble::NoUnit);
            }
        }
    };
    if let Some(text) = &number.with_comma
        && units.is_metric(&unit)
    {
        cursor.rewind(start);
        return cursor.fail(Trouble::Comma(text.clone()));
    }
    Ok((number, unit))
}
