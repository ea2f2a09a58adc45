//! Tile laid out on a room's outline: which tiles stay whole, which are cut, how narrow the
//! narrowest cut is, how many tiles it takes when offcuts are used again, and a drawing of it all.
//!
//! From the room to the drawing, each in its file:
//!
//! * [`room`]: the outline, its obstacles, and what a perimeter gap leaves;
//! * [`pattern`]: tile, joint, and where tiles lie in a grid, an offset, as planks, in herringbone;
//! * [`start`]: where the first tile goes;
//! * [`layout`]: every tile that meets the room, and the counts;
//! * [`width`]: how narrow a cut is;
//! * [`offcut`]: which cut comes out of which tile;
//! * [`best`]: the start that leaves the widest cuts;
//! * [`drawing`]: the drawing, as SVG and PNG;
//! * [`floor_plan`]: a room as it was measured: a rectangle, or the outline of a survey;
//! * [`wanted`]: a laying in the words of a takeoff;
//! * `questions`: what recipes can ask;
//! * [`shape`]: points, rings, rectangles and directions.
//!
//! Everything is plain geometry in inches.

pub mod best;
mod clip;
pub mod drawing;
pub mod floor_plan;
pub mod layout;
pub mod offcut;
pub mod pattern;
mod picture;
mod picture_png;
mod picture_svg;
mod questions;
pub mod room;
pub mod shape;
pub mod start;
#[cfg(test)]
mod testing;
pub mod wanted;
pub mod width;

use engine::plugin::{Figures, Plugin, StockRecipe};

/// The plugin of tile layouts.
pub struct Tile;

impl Plugin for Tile {
    fn name(&self) -> &'static str {
        "tile"
    }

    fn sentence(&self) -> &'static str {
        "Laying out tile on a room's outline: pieces, cuts, boxes."
    }

    fn figures(&self) -> Vec<Figures> {
        questions::all()
    }

    fn recipes(&self) -> Vec<StockRecipe> {
        vec![StockRecipe {
            name: "tile",
            files: &[
                ("recipe.toml", include_str!("../tile/recipe.toml")),
                ("room.rhai", include_str!("../tile/room.rhai")),
                ("job.rhai", include_str!("../tile/job.rhai")),
                ("checks.toml", include_str!("../tile/checks.toml")),
            ],
        }]
    }
}
