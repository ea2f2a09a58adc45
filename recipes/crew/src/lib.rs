//! Labour and equipment around the pour and the tile: mixing, grinding, carrying, travel, the plan of days.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of the crew's work.
pub struct Crew;

impl Plugin for Crew {
    fn name(&self) -> &'static str {
        "crew"
    }

    fn sentence(&self) -> &'static str {
        "Labour and equipment around the pour: mixing, grinding, carrying, travel, the plan of days."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "crew",
            files: &[
                ("recipe.toml", include_str!("../crew/recipe.toml")),
                ("room.rhai", include_str!("../crew/room.rhai")),
                ("job.rhai", include_str!("../crew/job.rhai")),
                ("checks.toml", include_str!("../crew/checks.toml")),
            ],
        }]
    }
}
