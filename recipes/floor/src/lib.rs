//! The floor itself: its surface from readings, and stock recipes for what is poured on it.

pub mod adjoin;
mod adjoin_plan;
#[cfg(test)]
mod adjoin_tests;
pub mod contour;
pub mod drawing;
mod flatness;
pub mod fnumbers;
pub mod grind;
pub mod joint_plan;
pub mod level;
pub mod map;
mod map_bands;
mod map_draw;
mod map_labels;
mod map_layout;
mod map_legend;
mod map_plan;
mod map_png;
mod map_svg;
mod map_symbols;
pub mod outline;
pub mod parts;
pub mod peaks;
pub mod plane;
pub mod pours;
pub mod sheet;
pub mod sheet_plan;
mod sheet_tables;
pub mod slice;
pub mod slips;
mod span;
pub mod straightedge;
mod sure_cholesky;
mod sure_draws;
mod sure_floor;
mod sure_half;
mod sure_lattice;
mod sure_model;
mod sure_random;
pub mod sureness;
pub mod surface;
#[cfg(test)]
mod surface_tests;
pub mod survey;
pub mod tolerance;
pub mod verdict;
pub mod walls;

use engine::plugin::{Figures, Plugin, StockRecipe, Surveyor};

/// The plugin of the floor.
pub struct Floor;

impl Plugin for Floor {
    fn name(&self) -> &'static str {
        "floor"
    }

    fn sentence(&self) -> &'static str {
        "Priming and self-leveling a floor."
    }

    fn surveyors(&self) -> Vec<&'static dyn Surveyor> {
        vec![&survey::FLOORS]
    }

    fn figures(&self) -> Vec<Figures> {
        vec![flatness::question()]
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
