//! The edges of a pour: strip along walls, dams at openings, boxes around floor registers.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of the edges.
pub struct Edges;

impl Plugin for Edges {
    fn name(&self) -> &'static str {
        "edges"
    }

    fn sentence(&self) -> &'static str {
        "Strip along walls, dams at openings, boxes around registers, drains and columns."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "edges",
            files: &[
                ("recipe.toml", include_str!("../edges/recipe.toml")),
                ("wall.rhai", include_str!("../edges/wall.rhai")),
                ("opening.rhai", include_str!("../edges/opening.rhai")),
                ("register.rhai", include_str!("../edges/register.rhai")),
                ("room.rhai", include_str!("../edges/room.rhai")),
                ("job.rhai", include_str!("../edges/job.rhai")),
                ("checks.toml", include_str!("../edges/checks.toml")),
            ],
        }]
    }
}
