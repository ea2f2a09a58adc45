//! Texts of a run, each kept once; two spellings that a spreadsheet takes for equal are one text.

use std::collections::HashMap;

/// The number of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TextId(u32);

impl TextId {
    /// The text as a column value.
    pub fn to_value(self) -> f64 {
        f64::from(self.0)
    }

    /// The text that a column value stands for.
    pub fn from_value(value: f64) -> Option<Self> {
        let whole = value >= 0.0 && value <= f64::from(u32::MAX) && value.fract() == 0.0;
        whole.then_some(Self(value as u32))
    }
}

/// All texts of a run.
#[derive(Clone, Debug, Default)]
pub struct Texts {
    shown: Vec<String>,
    by_folded: HashMap<String, TextId>,
}

impl Texts {
    /// The number of a text; case and outer or doubled spaces do not count.
    pub fn intern(&mut self, text: &str) -> TextId {
        let folded = fold(text);
        if let Some(id) = self.by_folded.get(&folded) {
            return *id;
        }
        let id = TextId(u32::try_from(self.shown.len()).unwrap_or(u32::MAX));
        self.shown
            .push(text.split_whitespace().collect::<Vec<_>>().join(" "));
        self.by_folded.insert(folded, id);
        id
    }

    /// The text of a number, as first written.
    pub fn get(&self, id: TextId) -> &str {
        self.shown.get(id.0 as usize).map_or("", String::as_str)
    }

    /// The text that a column value stands for.
    pub fn of_value(&self, value: f64) -> &str {
        TextId::from_value(value).map_or("", |id| self.get(id))
    }
}

/// A text without what does not count when texts are compared.
pub(crate) fn fold(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_that_a_spreadsheet_takes_for_equal_are_one_text() {
        let mut texts = Texts::default();
        let plywood = texts.intern("Plywood");
        assert_eq!(texts.intern(" plywood "), plywood);
        assert_eq!(texts.get(plywood), "Plywood");
        assert_ne!(texts.intern("concrete"), plywood);
        assert_eq!(texts.of_value(plywood.to_value()), "Plywood");
        assert_eq!(texts.of_value(f64::NAN), "");
    }
}
