//! Stock recipes for the floor itself.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of the floor.
pub struct Floor;

impl Plugin for Floor {
    fn name(&self) -> &'static str {
        "floor"
    }

    fn sentence(&self) -> &'static str {
        "Priming and self-leveling a floor."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "leveling",
            files: &[
                ("recipe.toml", include_str!("../leveling/recipe.toml")),
                ("room.rhai", include_str!("../leveling/room.rhai")),
                ("job.rhai", include_str!("../leveling/job.rhai")),
                ("checks.toml", include_str!("../leveling/checks.toml")),
            ],
        }]
    }
}
