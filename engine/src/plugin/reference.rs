//! The vocabulary as a reference, written from what is registered.

use super::{Figures, Registry, Surveyor};
use crate::takeoff::SURVEY_CELLS;

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
    entries.extend(
        registry
            .figures()
            .flat_map(|(plugin, figures)| figures_entries(plugin, figures)),
    );
    entries.extend(
        registry
            .surveyors()
            .iter()
            .flat_map(|surveyor| survey_entries(*surveyor)),
    );
    entries.sort_by(|a, b| (&a.plugin, &a.name, &a.usage).cmp(&(&b.plugin, &b.name, &b.usage)));
    entries
}

/// A question and each of its figures.
fn figures_entries(plugin: &str, figures: &Figures) -> Vec<WordEntry> {
    let entry = |usage: String, sentence: &str, example: &str| WordEntry {
        name: figures.name.to_owned(),
        usage,
        sentence: sentence.to_owned(),
        example: example.to_owned(),
        plugin: plugin.to_owned(),
        workbook: "fixed values, flagged when what they rest on changes".to_owned(),
    };
    let asked = figures.usage();
    let of = asked.split('(').next().unwrap_or_default();
    let each = figures
        .figures
        .iter()
        .map(|figure| {
            let usage = format!("{of}(…).{}", figure.short_name());
            entry(usage, figure.sentence, "")
        })
        .collect::<Vec<_>>();
    let mut all = vec![entry(asked, figures.sentence, figures.example)];
    all.extend(each);
    all
}

/// What a survey gives: cells that stay live, and answers that are fixed.
fn survey_entries(surveyor: &dyn Surveyor) -> Vec<WordEntry> {
    let kind = surveyor.kind();
    let entry = |usage: String, sentence: &str, workbook: &str| WordEntry {
        name: kind.to_owned(),
        usage: format!("{kind}.{usage}"),
        sentence: sentence.to_owned(),
        example: String::new(),
        plugin: kind.to_owned(),
        workbook: workbook.to_owned(),
    };
    let cells = SURVEY_CELLS
        .iter()
        .map(|(name, _, note)| entry((*name).to_owned(), note, "live over the readings"));
    let facts = surveyor
        .facts()
        .iter()
        .map(|fact| entry(fact.name.to_owned(), fact.note, "as the sheet states it"));
    let questions = surveyor.questions().iter().map(|question| {
        let parameters: Vec<&str> = question.parameters.iter().map(|p| p.name).collect();
        entry(
            format!("{}({})", question.name, parameters.join(", ")),
            question.sentence,
            "a fixed value, flagged when a reading changes",
        )
    });
    cells.chain(facts).chain(questions).collect()
}
