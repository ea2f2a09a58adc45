//! Electric floor heating: a stock recipe, and how long a floor takes to warm up.

pub mod conduction;
pub mod warm_up;

use engine::plugin::{Function, Plugin, StockRecipe};

/// The plugin of electric floor heating.
pub struct Heat;

impl Plugin for Heat {
    fn name(&self) -> &'static str {
        "heat"
    }

    fn sentence(&self) -> &'static str {
        "Electric floor heating under tile."
    }

    fn functions(&self) -> Vec<Function> {
        vec![warm_up::function()]
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "heat",
            files: &[
                ("recipe.toml", include_str!("../heat/recipe.toml")),
                ("room.rhai", include_str!("../heat/room.rhai")),
                ("job.rhai", include_str!("../heat/job.rhai")),
                ("checks.toml", include_str!("../heat/checks.toml")),
            ],
        }]
    }
}
