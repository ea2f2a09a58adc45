//! Writing quantities as the trade does: `12' 6 1/2"`, `3/8 in`, `13 bags`, `$1,234.50`.

use crate::quantity::{Unit, Units, rounding};

/// Writes a base value in a unit.
pub fn write(value: f64, unit: &Unit, units: &Units) -> String {
    let number = unit.from_base(value);
    let symbol = &units.currency().symbol;
    if let Some(under) = unit.label.strip_prefix(symbol.as_str())
        && (under.is_empty() || under.starts_with('/'))
    {
        return format!("{}{under}", write_money(number, symbol));
    }
    match unit.label.as_str() {
        "" => write_number(number),
        "in" => match sixty_fourths(number) {
            Some(text) => format!("{text} in"),
            None => format!("{} in", write_number(number)),
        },
        "ft" => write_feet(number),
        label => match units.package(label) {
            Some(id) => format!(
                "{} {}",
                write_number(number),
                units.package_word(id, number)
            ),
            None => format!("{} {label}", write_number(number)),
        },
    }
}

/// Writes a number with at most four decimals and six significant digits.
pub fn write_number(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return if number == 0.0 {
            "0".to_owned()
        } else {
            format!("{number}")
        };
    }
    let magnitude = number.abs().log10().floor();
    if !(-4.0..15.0).contains(&magnitude) {
        return format!("{number:.4e}");
    }
    let decimals = if magnitude < 0.0 {
        3.0 - magnitude
    } else {
        (5.0 - magnitude).clamp(0.0, 4.0)
    };
    let text = format!("{number:.*}", decimals as usize);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Writes how many there are of something: `1 room`, `8 rooms`.
pub fn write_count(number: usize, one: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {one}s")
    }
}

fn write_money(number: f64, symbol: &str) -> String {
    let rounded = rounding::cents(number);
    let sign = if rounded < 0.0 { "-" } else { "" };
    let digits = format!("{:.2}", rounded.abs());
    let (whole, cents) = digits.split_once('.').unwrap_or((&digits, "00"));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    // A price per piece may be finer than a cent; it is never shown as another price.
    let fine = number.abs() - rounded.abs();
    if fine.abs() > 1e-9 && number.abs() < 1000.0 {
        return format!("{sign}{}{}", spaced(symbol), write_number(number.abs()));
    }
    format!("{sign}{}{grouped}.{cents}", spaced(symbol))
}

fn spaced(symbol: &str) -> String {
    if symbol.chars().all(char::is_alphabetic) {
        format!("{symbol} ")
    } else {
        symbol.to_owned()
    }
}

/// A whole number of 64ths as a mixed number, or nothing.
fn sixty_fourths(number: f64) -> Option<String> {
    let parts = number.abs() * 64.0;
    let near = parts.round();
    if (parts - near).abs() > 1e-6 || near > 1e12 {
        return None;
    }
    let sign = if number < 0.0 && near > 0.0 { "-" } else { "" };
    let near = near as u64;
    let (whole, mut above, mut below) = (near / 64, near % 64, 64u64);
    while above > 0 && above % 2 == 0 {
        above /= 2;
        below /= 2;
    }
    Some(match (whole, above) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, above) => format!("{sign}{above}/{below}"),
        (whole, above) => format!("{sign}{whole} {above}/{below}"),
    })
}

fn write_feet(number: f64) -> String {
    let inches = number.abs() * 12.0;
    let near = (inches * 64.0).round() / 64.0;
    if (inches - near).abs() > 1e-6 || near > 1e12 {
        return format!("{} ft", write_number(number));
    }
    let sign = if number < 0.0 && near > 0.0 { "-" } else { "" };
    let feet = (near / 12.0).floor();
    let rest = near - feet * 12.0;
    match sixty_fourths(rest) {
        Some(rest) if rest != "0" => format!("{sign}{feet}' {rest}\""),
        _ => format!("{sign}{feet}'"),
    }
}

/// A text with its first letter in upper case.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
