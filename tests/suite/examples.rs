//! The example of every function of the program, plugins' included, is true.

use std::collections::BTreeSet;
use std::sync::Arc;

use engine::diag::{Outcome, SourceText, render::to_text};
use engine::quantity::{Currency, System, Units};
use engine::script::{Host, Scene, ScriptRun};
use engine::trail::{Ledger, Table};

/// Runs a script that is refused unless a condition holds.
fn run(host: &Host, units: &Arc<Units>, condition: &str) -> Outcome<ScriptRun> {
    let mut ledger = Ledger::new(units.clone(), System::Us);
    let rows = ledger.add_table(Table::new("room", "Rooms", vec!["Example".to_owned()]));
    let text = format!("let yes = if {condition} {{ 1 }} else {{ 1 / 0 }};");
    let source = SourceText::new("example.rhai", &text);
    let script = host.load(&source, &mut ledger)?;
    host.run(&script, &Scene::default(), &mut ledger, rows, 0)
}

#[test]
fn every_example_of_every_function_is_true() {
    let registry = pourwright::registry().unwrap();
    let units = Arc::new(Units::new(Currency::default()).unwrap());
    let host = Host::new(&registry, &units, &[]);
    assert!(
        run(&host, &units, "1.inch > 2.inch").is_err(),
        "what is false is seen"
    );
    let mut plugins = BTreeSet::new();
    for (plugin, function) in registry.functions() {
        plugins.insert(plugin);
        if let Err(why) = run(&host, &units, function.example) {
            panic!("{plugin}: {}\n{}", function.example, to_text(&why, false));
        }
    }
    assert!(
        plugins.contains("standard") && plugins.contains("heat"),
        "{plugins:?}"
    );
}
