//! Recipes: a manifest, scripts and checks; where they come from and in which order they run.

mod checks;
mod factor;
mod files;
mod manifest;
mod order;
mod stand_in;
mod texts;

pub use checks::{Check, Expectation, Given};
pub use factor::{FactorSpec, FactorValue};
pub(crate) use files::read_text;
pub use files::{RecipeFiles, read_folder};
pub use manifest::{CellSpec, Manifest, read_kinds};
pub use order::in_order;
pub use stand_in::StandIn;
pub use texts::{BidTexts, Exclusion};

use std::sync::Arc;

use crate::diag::SourceText;

/// A recipe, read.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// What it declares.
    pub manifest: Manifest,
    /// Script for one room.
    pub room: Option<Arc<SourceText>>,
    /// Scripts for one row of each table below rooms, by the row's name.
    pub children: Vec<(String, Arc<SourceText>)>,
    /// Script for the whole job.
    pub job: Option<Arc<SourceText>>,
    /// The files it was read from.
    pub files: RecipeFiles,
}

#[cfg(test)]
mod tests;
