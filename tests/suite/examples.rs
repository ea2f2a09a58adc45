//! The example of every function of the program, plugins' included, is true.

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::diag::{Outcome, SourceText, render::to_text};
use engine::plugin::Registry;
use engine::quantity::{Currency, System, Units};
use engine::script::{Host, Scene, SceneFigures, ScriptRun};
use engine::trail::{Ledger, Table};

/// Runs a script that is refused unless a condition holds.
fn run(registry: &Registry, units: &Arc<Units>, condition: &str) -> Outcome<ScriptRun> {
    let host = Host::new(registry, units, &[]);
    let mut ledger = Ledger::new(units.clone(), System::Us);
    let rows = ledger.add_table(Table::new("room", "Rooms", vec!["Example".to_owned()]));
    let text = format!("let yes = if {condition} {{ 1 }} else {{ 1 / 0 }};");
    let source = SourceText::new("example.rhai", &text);
    let script = host.load(&source, &mut ledger)?;
    let scene = Scene {
        figures: SceneFigures::plain(registry, &mut ledger.texts),
        ..Scene::default()
    };
    host.run(&script, &scene, &mut ledger, rows, 0)
}

#[test]
fn every_example_of_every_function_is_true() {
    let registry = pourwright::registry().unwrap();
    let units = Arc::new(Units::new(Currency::default()).unwrap());
    assert!(
        run(&registry, &units, "1.inch > 2.inch").is_err(),
        "what is false is seen"
    );
    let mut plugins = BTreeSet::new();
    let functions = registry
        .functions()
        .map(|(p, function)| (p, function.example));
    let figures = registry.figures().map(|(p, figures)| (p, figures.example));
    let examples = functions.chain(figures.filter(|(_, example)| !example.is_empty()));
    for (plugin, example) in examples {
        plugins.insert(plugin);
        if let Err(why) = run(&registry, &units, example) {
            panic!("{plugin}: {example}\n{}", to_text(&why, false));
        }
    }
    assert!(
        ["standard", "heat", "tile"]
            .iter()
            .all(|plugin| plugins.contains(plugin)),
        "{plugins:?}"
    );
}
