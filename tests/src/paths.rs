//! A plugin and a recipe that take every kind of path: forks by number, text, count and
//! blank cell, a table below rooms, a step table, a fixed answer.

use std::sync::Arc;

use engine::plugin::{Accepts, Form, Function, Gives, Plugin, StockRecipe, parameter};

/// The plugin of the tests.
pub struct Paths;

impl Plugin for Paths {
    fn name(&self) -> &'static str {
        "paths"
    }

    fn sentence(&self) -> &'static str {
        "Paths of every kind, for the tests."
    }

    fn functions(&self) -> Vec<Function> {
        vec![Function {
            name: "whole_pieces",
            parameters: vec![
                parameter("length", Accepts::In("ft")),
                parameter("piece", Accepts::In("ft")),
            ],
            repeats: false,
            gives: Gives::In(""),
            sentence: "How many whole pieces a length takes.",
            example: "whole_pieces(17.foot, 8.foot) == 3",
            body: Arc::new(|a| {
                if a[1] > 0.0 {
                    Ok((a[0] / a[1] - 1e-9).ceil().max(0.0))
                } else {
                    Err("a piece must have a length".to_owned())
                }
            }),
            form: Form::Fixed,
        }]
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "paths",
            files: &[
                ("recipe.toml", include_str!("../shop/paths/recipe.toml")),
                ("room.rhai", include_str!("../shop/paths/room.rhai")),
                ("opening.rhai", include_str!("../shop/paths/opening.rhai")),
                ("job.rhai", include_str!("../shop/paths/job.rhai")),
            ],
        }]
    }
}
