//! Soft joints (movement joints) in tile floors: how far apart, how wide, and what fills them.

use engine::plugin::{Plugin, StockRecipe};

/// The plugin of soft joints.
pub struct Joints;

impl Plugin for Joints {
    fn name(&self) -> &'static str {
        "joints"
    }

    fn sentence(&self) -> &'static str {
        "Soft joints in tile floors."
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "joints",
            files: &[
                ("recipe.toml", include_str!("../joints/recipe.toml")),
                ("room.rhai", include_str!("../joints/room.rhai")),
                ("checks.toml", include_str!("../joints/checks.toml")),
            ],
        }]
    }
}
