//! Numbers as people write them: decimals, fractions, mixed numbers.

use super::cursor::Cursor;
use super::error::{MeasureError, Trouble};

/// A number read, and whether a comma stood in it.
pub(super) struct Number {
    pub(super) value: f64,
    /// The text, when it holds commas: they mark thousands only beside US units and money.
    pub(super) with_comma: Option<String>,
}

/// Reads one unsigned number.
pub(super) fn read_number(cursor: &mut Cursor) -> Result<Number, MeasureError> {
    if let Some(value) = unicode_fraction(cursor.peek()) {
        cursor.next();
        return Ok(Number::plain(value));
    }
    let start = cursor.position();
    let text = read_decimal(cursor)?;
    let with_comma = text.contains(',').then(|| text.clone());
    let value = decimal_value(cursor, &text)?;
    let whole = text.chars().all(|c| c.is_ascii_digit());
    if !whole {
        return finish(cursor, start, value, with_comma);
    }
    if cursor.peek() == Some('/') && starts_number(cursor.peek_at(1)) {
        cursor.next();
        let below = read_whole(cursor)?;
        return fraction(cursor, value, below).map(Number::plain);
    }
    if let Some(part) = mixed_part(cursor)? {
        return Ok(Number::plain(value + part));
    }
    finish(cursor, start, value, with_comma)
}

impl Number {
    fn plain(value: f64) -> Self {
        Self {
            value,
            with_comma: None,
        }
    }
}

fn finish(
    cursor: &mut Cursor,
    start: usize,
    value: f64,
    with_comma: Option<String>,
) -> Result<Number, MeasureError> {
    if value.is_finite() {
        return Ok(Number { value, with_comma });
    }
    cursor.rewind(start);
    cursor.fail(Trouble::NotFinite)
}

/// Whether a number can start with this character.
pub(super) fn starts_number(c: Option<char>) -> bool {
    c.is_some_and(|c| c.is_ascii_digit() || c == '.') || unicode_fraction(c).is_some()
}

/// Digits with commas and one point, perhaps with an exponent.
fn read_decimal(cursor: &mut Cursor) -> Result<String, MeasureError> {
    let mut text = cursor.take_while(|c| c.is_ascii_digit() || c == ',');
    // Two points are a range, not a decimal.
    if cursor.peek() == Some('.') && cursor.peek_at(1) != Some('.') {
        cursor.next();
        text.push('.');
        text.push_str(&cursor.take_while(|c| c.is_ascii_digit()));
    }
    if !text.chars().any(|c| c.is_ascii_digit()) {
        let found = cursor.rest().split(' ').next().unwrap_or("").to_owned();
        return cursor.fail(Trouble::NoNumber(found));
    }
    if matches!(cursor.peek(), Some('e' | 'E')) {
        let signed = matches!(cursor.peek_at(1), Some('+' | '-'));
        if cursor
            .peek_at(1 + usize::from(signed))
            .is_some_and(|c| c.is_ascii_digit())
        {
            cursor.next();
            text.push('e');
            if signed {
                text.extend(cursor.next());
            }
            text.push_str(&cursor.take_while(|c| c.is_ascii_digit()));
        }
    }
    Ok(text)
}

fn decimal_value(cursor: &Cursor, text: &str) -> Result<f64, MeasureError> {
    let whole = text.split(['.', 'e']).next().unwrap_or("");
    if whole.contains(',') {
        let mut groups = whole.split(',');
        let first = groups.next().unwrap_or("");
        let grouped = (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3);
        if !grouped {
            return cursor.fail(Trouble::Comma(text.to_owned()));
        }
    }
    match text.replace(',', "").parse::<f64>() {
        Ok(value) => Ok(value),
        Err(_) => cursor.fail(Trouble::NoNumber(text.to_owned())),
    }
}

fn read_whole(cursor: &mut Cursor) -> Result<f64, MeasureError> {
    let digits = cursor.take_while(|c| c.is_ascii_digit());
    match digits.parse::<f64>() {
        Ok(value) => Ok(value),
        Err(_) => cursor.fail(Trouble::NoNumber(digits)),
    }
}

fn fraction(cursor: &Cursor, above: f64, below: f64) -> Result<f64, MeasureError> {
    if below == 0.0 {
        return cursor.fail(Trouble::ZeroBelow);
    }
    Ok(above / below)
}

/// The fraction of a mixed number: ` 1/2`, `-1/2` or `½` after a whole number.
fn mixed_part(cursor: &mut Cursor) -> Result<Option<f64>, MeasureError> {
    let start = cursor.position();
    if !cursor.take('-') {
        cursor.skip_spaces();
    }
    if let Some(value) = unicode_fraction(cursor.peek()) {
        cursor.next();
        return Ok(Some(value));
    }
    let above = cursor.take_while(|c| c.is_ascii_digit());
    let is_fraction = !above.is_empty()
        && cursor.peek() == Some('/')
        && cursor.peek_at(1).is_some_and(|c| c.is_ascii_digit());
    if !is_fraction {
        cursor.rewind(start);
        return Ok(None);
    }
    cursor.next();
    let below = read_whole(cursor)?;
    let above = above.parse::<f64>().unwrap_or(f64::INFINITY);
    fraction(cursor, above, below).map(Some)
}

fn unicode_fraction(c: Option<char>) -> Option<f64> {
    Some(match c? {
        '½' => 1.0 / 2.0,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '¼' => 1.0 / 4.0,
        '¾' => 3.0 / 4.0,
        '⅕' => 1.0 / 5.0,
        '⅖' => 2.0 / 5.0,
        '⅗' => 3.0 / 5.0,
        '⅘' => 4.0 / 5.0,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        '⅛' => 1.0 / 8.0,
        '⅜' => 3.0 / 8.0,
        '⅝' => 5.0 / 8.0,
        '⅞' => 7.0 / 8.0,
        _ => return None,
    })
}
