//! Reading and writing what people write.
//!
//! | written | read as |
//! |---|---|
//! | `12' 6-1/2"`, `12'-6 1/2"`, `12 ft 6 1/2 in` | 12 ft 6.5 in |
//! | `6-1/2`, `6 1/2`, `6½` | 6.5, in the unit of its column |
//! | `3/8 in`, `⅜″` | 0.375 in |
//! | `9.5 mm`, `1.2 m2`, `1.2 m²`, `1.2 sq m` | metric |
//! | `0.45 ft3/bag`, `0.45 cu ft per bag` | volume per bag |
//! | `$38.50/bag`, `$1,234.50`, `38.50 $/bag` | money |
//! | `10 %` | 0.1 |
//! | `1/8 in .. 1-1/2 in`, `1/8 to 1-1/2 in` | a range |
//! | `1,234 sq ft` | 1234 sq ft |
//! | `1,234 mm`, `12,5 mm` | refused: a comma beside a metric unit can mean either |
//! | `12' 6` | refused: the 6 has no unit |
//!
//! ```text
//! range    = quantity [ (".." | "to" | "–") quantity ]
//! quantity = [sign] ( money | term { term } )          terms fall in size: ft, in
//! money    = currency number [ "/" unit ]
//! term     = number [ unit ]
//! number   = decimal | [whole (" " | "-")] fraction
//! unit     = factor { ("/" | "per" | "*" | "·" | " ") factor }
//! factor   = ["sq" | "cu"] word [ ["^"] power ] | "(" unit ")"
//! ```
//!
//! The sign counts for the whole quantity. A bare number is read only where the
//! caller names the unit that a column, a header or the job gives; it is never guessed.

mod cursor;
mod error;
mod number;
mod read;
mod unit_text;
mod write;

pub use error::{MeasureError, Trouble};
pub use read::{Reading, read_quantity, read_range};
pub use unit_text::read_unit;
pub use write::{capital, write, write_count, write_number};

#[cfg(test)]
mod tests;
