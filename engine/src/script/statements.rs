//! Splitting a script into its top-level statements.
//!
//! Statements are compiled and run one by one. That way a mistake in one does
//! not hide those in the others, each cell gets the comment above it, and a
//! number written in a script is known by its line.

use std::ops::Range;

/// One top-level statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Statement {
    /// Its bytes in the source, without the comments above it.
    pub(super) range: Range<usize>,
    /// The name it defines, for `let` and `const`.
    pub(super) defines: Option<String>,
    /// Whether it defines a function.
    pub(super) is_function: bool,
    /// The comment directly above it.
    pub(super) comment: String,
}

/// A source text in its parts.
#[derive(Debug)]
pub(super) struct Split {
    pub(super) statements: Vec<Statement>,
    /// Where a comment opens that is never closed: all behind it would silently not count.
    pub(super) open_comment: Option<usize>,
}

/// Splits a source text.
pub(super) fn split(source: &str) -> Split {
    let mut statements = Vec::new();
    let mut scanner = Scanner {
        source,
        at: 0,
        open_comment: None,
    };
    loop {
        let comment = scanner.skip_between();
        let start = scanner.at;
        if start >= source.len() {
            return Split {
                statements,
                open_comment: scanner.open_comment,
            };
        }
        scanner.skip_statement();
        let text = &source[start..scanner.at];
        if text.trim_matches(';').trim().is_empty() {
            continue;
        }
        statements.push(Statement {
            range: start..scanner.at,
            defines: defined_name(text),
            is_function: matches!(first_word(text), "fn" | "private"),
            comment,
        });
    }
}

fn first_word(text: &str) -> &str {
    let end = text
        .find(|c: char| !c.is_alphanumeric() && c != '_')
        .unwrap_or(text.len());
    &text[..end]
}

fn defined_name(text: &str) -> Option<String> {
    let rest = match first_word(text) {
        word @ ("let" | "const") => text[word.len()..].trim_start(),
        _ => return None,
    };
    let name = first_word(rest);
    (!name.is_empty()).then(|| name.to_owned())
}

struct Scanner<'s> {
    source: &'s str,
    at: usize,
    open_comment: Option<usize>,
}

impl Scanner<'_> {
    fn rest(&self) -> &str {
        &self.source[self.at..]
    }

    /// Skips spaces and comments; gives the comment lines that stand directly before what follows.
    fn skip_between(&mut self) -> String {
        let mut lines: Vec<String> = Vec::new();
        let mut line_ends = 0;
        while let Some(c) = self.rest().chars().next() {
            if c.is_whitespace() {
                line_ends += usize::from(c == '\n');
                if line_ends > 1 {
                    lines.clear();
                }
                self.at += c.len_utf8();
            } else if self.rest().starts_with("//") {
                let line = self.rest().lines().next().unwrap_or("");
                lines.push(line.trim_start_matches(['/', '!']).trim().to_owned());
                self.at += line.len();
                line_ends = 0;
            } else if self.rest().starts_with("/*") {
                self.skip_block_comment();
                lines.clear();
            } else {
                break;
            }
        }
        lines.join(" ").trim().to_owned()
    }

    /// Skips one statement with its closing `;` or `}`.
    fn skip_statement(&mut self) {
        let is_block = matches!(
            first_word(self.rest()),
            "if" | "for" | "while" | "loop" | "fn" | "private" | "do" | "switch" | "try"
        ) || self.rest().starts_with('{');
        let mut depth = 0usize;
        while let Some(c) = self.rest().chars().next() {
            if self.rest().starts_with("//") {
                self.at += self.rest().lines().next().map_or(0, str::len);
                continue;
            }
            if self.rest().starts_with("/*") {
                self.skip_block_comment();
                continue;
            }
            if matches!(c, '"' | '`' | '\'') {
                self.skip_quoted(c);
                continue;
            }
            self.at += c.len_utf8();
            match c {
                '(' | '[' | '{' => depth += 1,
                ')' | ']' => depth = depth.saturating_sub(1),
                '}' => {
                    depth = depth.saturating_sub(1);
                    if depth == 0 && is_block && !self.goes_on() {
                        return;
                    }
                }
                ';' if depth == 0 => return,
                _ => {}
            }
        }
    }

    /// Whether a block statement goes on after its brace.
    fn goes_on(&self) -> bool {
        let mut ahead = Scanner {
            source: self.source,
            at: self.at,
            open_comment: None,
        };
        ahead.skip_between();
        matches!(
            first_word(ahead.rest()),
            "else" | "while" | "until" | "catch"
        )
    }

    fn skip_block_comment(&mut self) {
        let opens = self.at;
        let mut depth = 0usize;
        while self.at < self.source.len() {
            if self.rest().starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if self.rest().starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return;
                }
            } else {
                self.at += self.rest().chars().next().map_or(1, char::len_utf8);
            }
        }
        self.open_comment = Some(opens);
    }

    fn skip_quoted(&mut self, quote: char) {
        self.at += quote.len_utf8();
        while let Some(c) = self.rest().chars().next() {
            self.at += c.len_utf8();
            if c == '\\' {
                self.at += self.rest().chars().next().map_or(0, char::len_utf8);
            } else if c == quote || c == '\n' && quote != '`' {
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(source: &str) -> Vec<&str> {
        split(source)
            .statements
            .into_iter()
            .map(|s| &source[s.range])
            .collect()
    }

    #[test]
    fn statements_end_where_they_end() {
        let source = "let a = if x { 1; 2 } else { 3 };\nif y { z; }\nelse if q { } let b = \"; }\"; // c;\nfn f(x) { x; }\nc(1);;";
        assert_eq!(
            texts(source),
            [
                "let a = if x { 1; 2 } else { 3 };",
                "if y { z; }\nelse if q { }",
                "let b = \"; }\";",
                "fn f(x) { x; }",
                "c(1);"
            ]
        );
    }

    #[test]
    fn comments_belong_to_what_follows_directly() {
        let list =
            split("// title\n\n// one\n// two\nlet a = 1; /* x; */\nlet b = 2;\n").statements;
        assert_eq!(list[0].comment, "one two");
        assert_eq!(list[0].defines.as_deref(), Some("a"));
        assert_eq!(list[1].comment, "");
        assert_eq!(list[1].defines.as_deref(), Some("b"));
    }

    #[test]
    fn an_open_end_is_one_last_statement() {
        assert_eq!(
            texts("let a = (1;\nlet b = 2;"),
            ["let a = (1;\nlet b = 2;"]
        );
        assert_eq!(
            texts("let s = \"open;\nlet b = 2;"),
            ["let s = \"open;\nlet b = 2;"]
        );
        assert!(texts("// only a comment").is_empty());
        assert_eq!(split("a; /* /* b */").open_comment, Some(3));
        assert_eq!(split("a; /* /* b */ */").open_comment, None);
    }
}
