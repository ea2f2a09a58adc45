//! Units as people write them: `sq ft`, `ft²`, `cu ft per bag`, `W/(m K)`.

use super::cursor::Cursor;
use super::error::{MeasureError, Trouble};
use crate::diag::near_name;
use crate::quantity::{Dimension, Unit, Units};

/// Reads a text that is nothing but a unit.
///
/// # Errors
/// When the text is empty, holds an unknown word, or goes on after the unit.
pub fn read_unit(text: &str, units: &Units) -> Result<Unit, MeasureError> {
    let mut cursor = Cursor::new(text.trim());
    if cursor.at_end() {
        return cursor.fail(Trouble::Empty);
    }
    let unit = read_unit_here(&mut cursor, units)?;
    cursor.skip_spaces();
    if cursor.at_end() {
        Ok(unit)
    } else {
        cursor.fail(Trouble::LeftOver(cursor.rest()))
    }
}

/// Whether a unit can start with this character.
pub(super) fn starts_unit(c: Option<char>) -> bool {
    c.is_some_and(|c| {
        c.is_alphabetic() || matches!(c, '\'' | '"' | '%' | '(' | '°' | '$' | '€' | '£' | '¥')
    })
}

/// Reads a unit where the cursor stands and stops where it ends.
pub(super) fn read_unit_here(cursor: &mut Cursor, units: &Units) -> Result<Unit, MeasureError> {
    let mut unit = read_factor(cursor, units)?;
    loop {
        let before = cursor.position();
        let spaced = cursor.peek() == Some(' ');
        cursor.skip_spaces();
        let under = cursor.take('/') || take_word(cursor, "per");
        let joined = under || cursor.take('*') || cursor.take('·');
        cursor.skip_spaces();
        // Side by side (`m K`) only letters go on: a digit starts the next term.
        let side_by_side = spaced
            && cursor.peek().is_some_and(|c| c.is_alphabetic() || c == '(')
            && !is_word(cursor, "to");
        if !joined && !side_by_side {
            cursor.rewind(before);
            return Ok(unit);
        }
        let factor = read_factor(cursor, units)?;
        unit = combine(cursor, &unit, &factor, under)?;
    }
}

fn read_factor(cursor: &mut Cursor, units: &Units) -> Result<Unit, MeasureError> {
    if cursor.take('(') {
        cursor.skip_spaces();
        let mut inner = read_unit_here(cursor, units)?;
        cursor.skip_spaces();
        if !cursor.take(')') {
            return cursor.fail(Trouble::Bracket);
        }
        inner.label = format!("({})", inner.label);
        return Ok(inner);
    }
    let start = cursor.position();
    let mut word = read_word(cursor);
    if matches!(word.to_lowercase().as_str(), "lin" | "linear" | "lineal") {
        cursor.skip_spaces();
        word = read_word(cursor);
    }
    let power = match word.to_lowercase().as_str() {
        "sq" | "square" => 2,
        "cu" | "cubic" => 3,
        _ => 1,
    };
    if power > 1 {
        cursor.skip_spaces();
        let squared = read_word(cursor);
        // Left alone, "sq" is the word that is no unit.
        if !squared.is_empty() {
            word = squared;
        }
    }
    // Some units are two words: `fl oz`, `board ft`, `deg F`.
    if power == 1 && cursor.peek() == Some(' ') {
        let before = cursor.position();
        cursor.skip_spaces();
        let two = format!("{word} {}", read_word(cursor));
        if let Some(unit) = units.find(&two) {
            return Ok(unit.clone());
        }
        cursor.rewind(before);
    }
    let Some(unit) = find(units, &word) else {
        let near = near_name(&word, units.names()).map(str::to_owned);
        cursor.rewind(start);
        return cursor.fail(Trouble::UnknownUnit(word, near));
    };
    let power = power * read_power(cursor);
    raised(cursor, &unit, power, units)
}

/// A word of letters with digits at its end, or one of the signs that are units.
fn read_word(cursor: &mut Cursor) -> String {
    match cursor.peek() {
        Some('\'') if cursor.take_text("''") => return "\"".to_owned(),
        Some(c @ ('\'' | '"' | '%' | '$' | '€' | '£' | '¥')) => {
            cursor.next();
            return c.to_string();
        }
        _ => {}
    }
    let mut word = cursor.take_while(|c| (c.is_alphabetic() || c == '°') && c != '²' && c != '³');
    let digits = cursor.position();
    let number = cursor.take_while(|c| c.is_ascii_digit());
    if cursor.peek().is_some_and(char::is_alphabetic) {
        cursor.rewind(digits);
    } else {
        word.push_str(&number);
    }
    // A point that shortens a word belongs to it; two points are a range.
    if cursor.peek() == Some('.') && cursor.peek_at(1) != Some('.') {
        cursor.next();
    }
    word
}

/// The unit a word names, or the unit and power of a word such as `yd3`.
fn find(units: &Units, word: &str) -> Option<Unit> {
    if let Some(unit) = units.find(word) {
        return Some(unit.clone());
    }
    let letters = word.trim_end_matches(|c: char| c.is_ascii_digit());
    let power: i8 = word[letters.len()..].parse().ok()?;
    let unit = units.find(letters)?;
    raise(unit, power, units).ok()
}

fn read_power(cursor: &mut Cursor) -> i8 {
    if cursor.take('²') {
        return 2;
    }
    if cursor.take('³') {
        return 3;
    }
    if cursor.peek() == Some('^') && cursor.peek_at(1).is_some_and(|c| c.is_ascii_digit()) {
        cursor.next();
        return cursor
            .take_while(|c| c.is_ascii_digit())
            .parse()
            .unwrap_or(i8::MAX);
    }
    1
}

fn raised(cursor: &Cursor, unit: &Unit, power: i8, units: &Units) -> Result<Unit, MeasureError> {
    match raise(unit, power, units) {
        Ok(unit) => Ok(unit),
        Err(trouble) => cursor.fail(trouble),
    }
}

fn raise(unit: &Unit, power: i8, units: &Units) -> Result<Unit, Trouble> {
    if power == 1 {
        return Ok(unit.clone());
    }
    let dimension = unit.dimension.power(power).map_err(Trouble::Dimension)?;
    let size = unit.size.powi(i32::from(power));
    // The table's own label where it has one: sq ft, m2.
    let known = units
        .all()
        .find(|(known, _)| known.dimension == dimension && known.size == size)
        .map(|(known, _)| known.label.clone())
        .filter(|_| dimension != Dimension::NONE);
    Ok(Unit {
        label: known.unwrap_or_else(|| format!("{}{power}", unit.label)),
        dimension,
        size,
        zero: 0.0,
    })
}

fn combine(cursor: &Cursor, left: &Unit, right: &Unit, under: bool) -> Result<Unit, MeasureError> {
    let dimension = if under {
        left.dimension.per(right.dimension)
    } else {
        left.dimension.times(right.dimension)
    };
    let dimension = match dimension {
        Ok(dimension) => dimension,
        Err(error) => return cursor.fail(Trouble::Dimension(error)),
    };
    let (size, label) = if under {
        (
            left.size / right.size,
            format!("{}/{}", left.label, right.label),
        )
    } else {
        (
            left.size * right.size,
            format!("{} {}", left.label, right.label),
        )
    };
    Ok(Unit {
        label,
        dimension,
        size,
        zero: 0.0,
    })
}

fn is_word(cursor: &Cursor, word: &str) -> bool {
    word.chars()
        .enumerate()
        .all(|(ahead, c)| cursor.peek_at(ahead) == Some(c))
        && !cursor
            .peek_at(word.chars().count())
            .is_some_and(char::is_alphanumeric)
}

fn take_word(cursor: &mut Cursor, word: &str) -> bool {
    is_word(cursor, word) && cursor.take_text(word)
}
