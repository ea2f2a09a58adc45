//! Places: a range of a text file, a sheet cell, a whole file, or nowhere.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// A text file that was read (a script, a TOML file), with the name shown to people.
#[derive(Debug, PartialEq, Eq)]
pub struct SourceText {
    /// The name shown to people, usually a path.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl SourceText {
    /// Keeps a text under a name. A byte order mark at the start is dropped.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Arc<Self> {
        let text = text.into();
        let text = match text.strip_prefix('\u{feff}') {
            Some(rest) => rest.to_owned(),
            None => text,
        };
        Arc::new(Self {
            name: name.into(),
            text,
        })
    }

    /// The 1-based line and column (in characters) of a byte offset.
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let before = self.text.get(..offset).unwrap_or(&self.text);
        let line = before.matches('\n').count() + 1;
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (line, before[line_start..].chars().count() + 1)
    }

    /// The byte offset of a 1-based line and column (in characters).
    pub fn offset(&self, line: usize, column: usize) -> usize {
        let start = match line {
            0 | 1 => 0,
            n => self
                .text
                .match_indices('\n')
                .nth(n - 2)
                .map_or(self.text.len(), |(at, _)| at + 1),
        };
        self.text[start..]
            .char_indices()
            .nth(column.saturating_sub(1))
            .map_or(self.text.len(), |(at, _)| start + at)
    }

    /// The text of a 1-based line, without its line end.
    pub fn line(&self, number: usize) -> &str {
        self.text
            .lines()
            .nth(number.saturating_sub(1))
            .unwrap_or("")
    }
}

/// A cell of a sheet; row and column count from zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CellAddress {
    /// Row, counted from zero.
    pub row: u32,
    /// Column, counted from zero.
    pub column: u32,
}

impl fmt::Display for CellAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}{}",
            column_letters(self.column),
            u64::from(self.row) + 1
        )
    }
}

/// The letters of a column counted from zero: 0 is A, 26 is AA.
pub fn column_letters(column: u32) -> String {
    let mut letters = Vec::new();
    let mut rest = u64::from(column) + 1;
    while rest > 0 {
        let digit = u8::try_from((rest - 1) % 26).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

/// Where something was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// Nowhere in particular, and said so on purpose.
    Nowhere,
    /// A file as a whole.
    File(Arc<str>),
    /// A byte range of a text file.
    Text {
        /// The file.
        source: Arc<SourceText>,
        /// Byte range in its text.
        range: Range<usize>,
    },
    /// A cell of a sheet.
    Cell {
        /// File name shown to people.
        file: Arc<str>,
        /// Sheet name; a csv file has none.
        sheet: Option<Arc<str>>,
        /// The cell.
        cell: CellAddress,
    },
    /// A sheet as a whole.
    Sheet {
        /// File name shown to people.
        file: Arc<str>,
        /// Sheet name.
        sheet: Arc<str>,
    },
}

/// The last parts of a path: a file is the same file whatever folder it lies in.
pub fn short_path(path: &str, parts: usize) -> String {
    let all: Vec<&str> = path
        .split(['/', '\\'])
        .filter(|part| !part.is_empty())
        .collect();
    all[all.len().saturating_sub(parts)..].join("/")
}

impl Place {
    /// The place without the folders of its file.
    #[must_use]
    pub fn without_folders(&self) -> Self {
        let mut place = self.clone();
        match &mut place {
            Self::File(file) | Self::Cell { file, .. } | Self::Sheet { file, .. } => {
                *file = short_path(file, 1).into();
            }
            Self::Nowhere | Self::Text { .. } => {}
        }
        place
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nowhere => Ok(()),
            Self::File(file) => write!(f, "{file}"),
            Self::Text { source, range } => {
                let (line, column) = source.line_and_column(range.start);
                write!(f, "{}:{line}:{column}", source.name)
            }
            Self::Cell {
                file,
                sheet: Some(sheet),
                cell,
            } => write!(f, "{file} [{sheet}!{cell}]"),
            Self::Cell {
                file,
                sheet: None,
                cell,
            } => write!(f, "{file} [{cell}, line {}]", u64::from(cell.row) + 1),
            Self::Sheet { file, sheet } => write!(f, "{file} [{sheet}]"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        let letters: Vec<_> = [0, 25, 26, 701, 702, 16_383].map(column_letters).into();
        assert_eq!(letters, ["A", "Z", "AA", "ZZ", "AAA", "XFD"]);
    }

    #[test]
    fn offsets_become_lines_and_columns() {
        let source = SourceText::new("x", "\u{feff}let é = 1;\nlet b;");
        assert_eq!(source.line_and_column(0), (1, 1));
        assert_eq!(source.line_and_column("let é".len()), (1, 6));
        assert_eq!(source.line_and_column("let é = 1;\nlet".len()), (2, 4));
        assert_eq!(source.line(2), "let b;");
    }
}
