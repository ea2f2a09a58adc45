//! The one list of plugins. A new plugin is added here and nowhere else.

use engine::plugin::{Plugin, Registry, RegistryError};

/// All plugins of the program.
const PLUGINS: &[&dyn Plugin] = &[
    &floor::Floor,
    &assess::Assess,
    &edges::Edges,
    &heat::Heat,
    &joints::Joints,
    &setting::Setting,
    &crew::Crew,
    &tile::Tile,
];

/// Everything that is registered.
///
/// # Errors
/// When two plugins register the same thing; a fault of the program.
pub fn registry() -> Result<Registry, RegistryError> {
    Registry::new(PLUGINS)
}

/// The plugins with their sentences.
pub(crate) fn sentences() -> impl Iterator<Item = (&'static str, &'static str)> {
    PLUGINS
        .iter()
        .map(|plugin| (plugin.name(), plugin.sentence()))
}
