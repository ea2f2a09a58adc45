//! What bonds and joins tile: mortar, grout, spacers, membrane, profiles.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of setting tile.
pub struct Setting;

impl Plugin for Setting {
    fn name(&self) -> &'static str {
        "setting"
    }

    fn sentence(&self) -> &'static str {
        "What bonds and joins tile: mortar, grout, spacers, membrane, profiles."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "setting",
            files: &[
                ("recipe.toml", include_str!("../setting/recipe.toml")),
                ("opening.rhai", include_str!("../setting/opening.rhai")),
                ("room.rhai", include_str!("../setting/room.rhai")),
                ("job.rhai", include_str!("../setting/job.rhai")),
                ("checks.toml", include_str!("../setting/checks.toml")),
            ],
        }]
    }
}
