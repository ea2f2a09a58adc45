//! What a number format says beside the number: a percent sign, a unit.

use std::sync::Arc;

/// What a number format adds.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct FormatFacts {
    pub(super) percent: bool,
    pub(super) text: Option<Arc<str>>,
}

/// Reads the first section of a number format code.
pub(super) fn read(code: &str) -> FormatFacts {
    let mut facts = FormatFacts::default();
    let mut text = String::new();
    let mut characters = code.chars();
    while let Some(c) = characters.next() {
        match c {
            ';' => break,
            '%' => facts.percent = true,
            '"' => text.extend(characters.by_ref().take_while(|c| *c != '"')),
            '\\' => text.extend(characters.next()),
            // A pad as wide as the next character.
            '_' | '*' => {
                characters.next();
            }
            '[' => {
                let inside: String = characters.by_ref().take_while(|c| *c != ']').collect();
                if let Some(currency) = inside.strip_prefix('$') {
                    text.push_str(currency.split('-').next().unwrap_or(""));
                }
            }
            '$' | '€' | '£' | '¥' => text.push(c),
            _ => {}
        }
    }
    let text = text.trim();
    if !text.is_empty() {
        facts.text = Some(text.into());
    }
    facts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_and_percent_are_seen_in_number_formats() {
        let text = |code| read(code).text.as_deref().map(str::to_owned);
        assert_eq!(text("0.00\" m\""), Some("m".into()));
        assert_eq!(text("# ?/16\\\""), Some("\"".into()));
        assert_eq!(text("[$€-407]#,##0.00;[Red]-0\"x\""), Some("€".into()));
        assert_eq!(text("#,##0.00_);(#,##0.00)"), None);
        assert_eq!(text("General"), None);
        assert!(read("0.0%").percent);
        assert!(!read("0.0\"%\"").percent);
    }
}
