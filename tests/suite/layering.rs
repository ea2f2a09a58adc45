//! The arrows of the house go one way: cli to recipes to engine, and up the list of layers
//! inside the engine. Library names stay where they belong.

use std::fs;
use std::path::{Path, PathBuf};

use pourwright_tests::story::names_in;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_path_buf()
}

/// All Rust files below a folder, with their text.
fn sources(folder: &Path) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for name in names_in(folder) {
        let path = folder.join(&name);
        if path.is_dir() {
            found.extend(sources(&path));
        } else if name.ends_with(".rs") {
            found.push((
                path.display().to_string(),
                fs::read_to_string(&path).unwrap(),
            ));
        }
    }
    found
}

/// The layers of the engine in the order in which its first page lists them.
fn layers() -> Vec<String> {
    let page = fs::read_to_string(root().join("engine/src/lib.rs")).unwrap();
    page.lines()
        .filter_map(|line| line.strip_prefix("//! * [`"))
        .filter_map(|line| line.split('`').next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn each_layer_of_the_engine_knows_only_those_above_it() {
    let layers = layers();
    let folders: Vec<String> = names_in(&root().join("engine/src"))
        .into_iter()
        .filter(|name| !name.ends_with(".rs"))
        .collect();
    let mut listed = layers.clone();
    listed.sort();
    assert_eq!(
        listed, folders,
        "the first page of the engine lists all its layers"
    );
    for (rank, layer) in layers.iter().enumerate() {
        for (path, text) in sources(&root().join("engine/src").join(layer)) {
            for other in &layers[rank + 1..] {
                let uses = text.contains(&format!("crate::{other}::"))
                    || text.contains(&format!("crate::{other}}}"));
                assert!(
                    !uses,
                    "{path} is in layer {layer} and uses {other}, which stands below it"
                );
            }
        }
    }
}

#[test]
fn crates_know_only_what_they_may() {
    let manifest = |name: &str| fs::read_to_string(root().join(name).join("Cargo.toml")).unwrap();
    let engine = manifest("engine");
    assert!(
        !engine.contains("pourwright-floor") && !engine.contains("\npourwright."),
        "the engine knows no plugin"
    );
    for plugin in names_in(&root().join("recipes")) {
        let text = manifest(&format!("recipes/{plugin}"));
        let own: Vec<&str> = text
            .lines()
            .filter(|line| line.starts_with("pourwright"))
            .collect();
        assert_eq!(
            own,
            ["pourwright-engine.workspace = true"],
            "plugin {plugin} knows the engine only"
        );
        for (path, text) in sources(&root().join("recipes").join(&plugin).join("src")) {
            for line in text.lines().filter(|line| line.contains("engine::")) {
                assert!(
                    line.contains("engine::plugin"),
                    "{path} goes past the plugin door: {line}"
                );
            }
        }
    }
}

#[test]
fn each_library_is_named_in_one_place() {
    for (library, home) in [
        ("calamine", "grid/xlsx.rs"),
        ("rhai::", "script/"),
        ("rust_xlsxwriter", "workbook/"),
    ] {
        for (path, text) in sources(&root().join("engine/src")) {
            let code = text
                .lines()
                .filter(|line| !line.trim_start().starts_with("//"));
            let named = code.filter(|line| line.contains(library)).count() > 0;
            assert!(
                !named || path.contains(home),
                "{path} names {library}, which belongs in {home}"
            );
        }
    }
}

#[test]
fn the_top_level_is_the_agreed_one() {
    let names: Vec<String> = names_in(&root())
        .into_iter()
        .filter(|name| !name.starts_with('.') && name != "target")
        .collect();
    assert_eq!(
        names,
        [
            "Cargo.lock",
            "Cargo.toml",
            "DEVELOPERS.md",
            "LICENSE",
            "README.md",
            "cli",
            "engine",
            "recipes",
            "tests"
        ]
    );
}

#[test]
fn no_file_holds_two_ideas() {
    for folder in ["engine", "recipes", "cli", "tests"] {
        for (path, text) in sources(&root().join(folder)) {
            let lines = text.lines().count();
            assert!(lines <= 400, "{path} has {lines} lines");
        }
    }
}
