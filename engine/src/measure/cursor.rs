//! A cursor over the characters of a written quantity.

use super::error::{MeasureError, Trouble};

/// Characters with a position. Look-alikes (curly quotes, primes, hard spaces,
/// long minus) are made plain, one for one, so that positions stay true.
pub(super) struct Cursor {
    characters: Vec<char>,
    at: usize,
}

impl Cursor {
    pub(super) fn new(text: &str) -> Self {
        Self {
            characters: text.chars().map(plain).collect(),
            at: 0,
        }
    }

    pub(super) fn position(&self) -> usize {
        self.at
    }

    pub(super) fn rewind(&mut self, position: usize) {
        self.at = position;
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.peek_at(0)
    }

    pub(super) fn peek_at(&self, ahead: usize) -> Option<char> {
        self.characters.get(self.at + ahead).copied()
    }

    pub(super) fn next(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += 1;
        Some(c)
    }

    /// Steps over the character if it is the one named.
    pub(super) fn take(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.at += 1;
        }
        found
    }

    /// Steps over a text if it stands here.
    pub(super) fn take_text(&mut self, wanted: &str) -> bool {
        let found = wanted
            .chars()
            .enumerate()
            .all(|(ahead, c)| self.peek_at(ahead) == Some(c));
        if found {
            self.at += wanted.chars().count();
        }
        found
    }

    pub(super) fn skip_spaces(&mut self) {
        while self.peek() == Some(' ') {
            self.at += 1;
        }
    }

    pub(super) fn take_while(&mut self, keep: impl Fn(char) -> bool) -> String {
        let mut text = String::new();
        while let Some(c) = self.peek().filter(|c| keep(*c)) {
            text.push(c);
            self.at += 1;
        }
        text
    }

    pub(super) fn rest(&self) -> String {
        self.characters[self.at.min(self.characters.len())..]
            .iter()
            .collect()
    }

    pub(super) fn at_end(&self) -> bool {
        self.at >= self.characters.len()
    }

    pub(super) fn fail<T>(&self, trouble: Trouble) -> Result<T, MeasureError> {
        Err(MeasureError {
            trouble,
            at: self.at,
        })
    }
}

fn plain(c: char) -> char {
    match c {
        '\u{2018}' | '\u{2019}' | '\u{2032}' | '\u{00b4}' | '`' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{2212}' => '-',
        '\u{2044}' => '/',
        c if c.is_whitespace() => ' ',
        c => c,
    }
}
