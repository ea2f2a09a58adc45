//! The vocabulary as a reference, written from what is registered.

use super::Registry;

/// One entry of the reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordEntry {
    /// The word.
    pub name: String,
    /// How it is written.
    pub usage: String,
    /// What it does.
    pub sentence: String,
    /// An example.
    pub example: String,
    /// Which plugin brings it.
    pub plugin: String,
    /// How it appears in the workbook.
    pub workbook: String,
}

/// All registered functions, by plugin and name.
pub fn word_entries(registry: &Registry) -> Vec<WordEntry> {
    let mut entries: Vec<WordEntry> = registry
        .functions()
        .map(|(plugin, function)| WordEntry {
            name: function.name.to_owned(),
            usage: function.usage(),
            sentence: function.sentence.to_owned(),
            example: function.example.to_owned(),
            plugin: plugin.to_owned(),
            workbook: match function.form {
                super::Form::Formula(formula) => formula.to_owned(),
                super::Form::Fixed => {
                    "a fixed value, flagged when what it rests on changes".to_owned()
                }
            },
        })
        .collect();
    entries.sort_by(|a, b| (&a.plugin, &a.name, &a.usage).cmp(&(&b.plugin, &b.name, &b.usage)));
    entries
}
