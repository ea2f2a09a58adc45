//! `pourwright words`: the vocabulary of recipes, written from what is registered.

use engine::diag::{Diagnostic, Outcome, near_name, quoted};
use engine::plugin::{Registry, WordEntry, word_entries};
use engine::quantity::{Currency, Units};
use engine::script::{FORMS, NAME_SETS};
use serde_json::{Value, json};

use crate::context::registry;
use crate::plugins;
use crate::print::{Terminal, table};

/// Runs the command.
pub(crate) fn run(name: Option<&str>, as_json: bool, terminal: &mut Terminal<'_>) -> Outcome<()> {
    let registry = registry()?;
    let entries = all_entries(&registry);
    if as_json {
        let chosen = entries
            .iter()
            .filter(|entry| name.is_none_or(|name| entry.name == name));
        terminal.json(&chosen.map(to_json).collect());
        return Ok(());
    }
    match name {
        Some(name) => explain(name, &entries, terminal),
        None => {
            list(&entries, terminal);
            Ok(())
        }
    }
}

/// Functions and the words that do more, in one list.
fn all_entries(registry: &Registry) -> Vec<WordEntry> {
    let forms = FORMS.iter().map(|form| WordEntry {
        name: form.name.to_owned(),
        usage: form.usage.to_owned(),
        sentence: form.sentence.to_owned(),
        example: form.example.to_owned(),
        plugin: "items and paths".to_owned(),
        workbook: String::new(),
    });
    forms.chain(word_entries(registry)).collect()
}

fn list(entries: &[WordEntry], terminal: &mut Terminal<'_>) {
    let mut plugin = "";
    for entry in entries {
        if entry.plugin != plugin {
            plugin = &entry.plugin;
            let sentence = plugins::sentences().find(|(name, _)| *name == plugin);
            let sentence = sentence
                .map(|(_, sentence)| format!(": {sentence}"))
                .unwrap_or_default();
            terminal.line(format!("{plugin}{sentence}"));
        }
        terminal.line(format!("  {}", entry.usage));
        terminal.line(format!("      {}", entry.sentence));
    }
    terminal.line("names");
    for (usage, sentence) in NAME_SETS {
        terminal.line(format!("  {usage}"));
        terminal.line(format!("      {sentence}"));
    }
    terminal.line("units, behind a number after a point, as in 1.5.inch");
    terminal.line(unit_table());
    terminal.line("Explain one: pourwright words NAME");
}

/// The units with their spellings, a row each.
fn unit_table() -> String {
    let Ok(units) = Units::new(Currency::default()) else {
        return String::new();
    };
    let names = units.names();
    let rows = units
        .all()
        .map(|(unit, _)| {
            let spellings: Vec<&str> = names
                .iter()
                .filter(|name| units.find(name).is_some_and(|known| known == unit))
                .copied()
                .collect();
            vec![units.describe(unit.dimension), spellings.join("  ")]
        })
        .collect();
    table(&["Measures", "Written"], &[], rows)
}

fn explain(name: &str, entries: &[WordEntry], terminal: &mut Terminal<'_>) -> Outcome<()> {
    let found: Vec<&WordEntry> = entries.iter().filter(|entry| entry.name == name).collect();
    if found.is_empty() {
        return explain_unit(name, entries, terminal);
    }
    for entry in found {
        terminal.line(&entry.usage);
        terminal.line(format!("  {}", entry.sentence));
        if !entry.example.is_empty() {
            terminal.line(format!("  Example:      {}", entry.example));
        }
        if !entry.workbook.is_empty() {
            terminal.line(format!("  In the bid:   {}", entry.workbook));
        }
        terminal.line(format!("  Comes from:   {}", entry.plugin));
        terminal.line("");
    }
    Ok(())
}

fn explain_unit(name: &str, entries: &[WordEntry], terminal: &mut Terminal<'_>) -> Outcome<()> {
    let units =
        Units::new(Currency::default()).map_err(|error| Diagnostic::error(error.to_string()))?;
    if let Some(unit) = units.find(name) {
        let base = units.shown_in(unit.dimension, engine::quantity::System::Us);
        terminal.line(format!(
            "{name}: a unit of {}",
            units.describe(unit.dimension)
        ));
        terminal.line(format!(
            "  1 {} = {} {}",
            unit.label,
            engine::measure::write_number(base.from_base(unit.to_base(1.0))),
            base.label
        ));
        return Ok(());
    }
    let names = entries
        .iter()
        .map(|entry| entry.name.as_str())
        .chain(units.names());
    let near = near_name(name, names).map(|near| format!("Did you mean {near}?"));
    Err(
        Diagnostic::error(format!("{} is no word of recipes", quoted(name)))
            .hint(near.unwrap_or_else(|| "List all with: pourwright words".to_owned()))
            .into(),
    )
}

fn to_json(entry: &WordEntry) -> Value {
    json!({
        "name": entry.name,
        "usage": entry.usage,
        "sentence": entry.sentence,
        "example": entry.example,
        "plugin": entry.plugin,
        "workbook": entry.workbook,
    })
}
