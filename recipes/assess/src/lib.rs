//! The floor under a pour, judged before a bag is opened: what it asks for, and what it carries.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of the floor below.
pub struct Assess;

impl Plugin for Assess {
    fn name(&self) -> &'static str {
        "assess"
    }

    fn sentence(&self) -> &'static str {
        "What the floor under a pour asks for, and what it carries."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![
            StockRecipe {
                name: "assess",
                files: &[
                    ("recipe.toml", include_str!("../assess/recipe.toml")),
                    ("room.rhai", include_str!("../assess/room.rhai")),
                    ("job.rhai", include_str!("../assess/job.rhai")),
                    ("checks.toml", include_str!("../assess/checks.toml")),
                ],
            },
            StockRecipe {
                name: "structure",
                files: &[
                    ("recipe.toml", include_str!("../structure/recipe.toml")),
                    ("room.rhai", include_str!("../structure/room.rhai")),
                    ("job.rhai", include_str!("../structure/job.rhai")),
                    ("checks.toml", include_str!("../structure/checks.toml")),
                ],
            },
        ]
    }
}
