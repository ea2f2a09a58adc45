//! What stands in for the cells of another recipe where the job does not have that recipe.

use super::factor::{FactorSpec, FactorValue};
use super::manifest::Manifest;
use crate::diag::Findings;
use crate::quantity::{Unit, Units};
use crate::settings::Section;

/// Cells of another recipe that a recipe reads where the job has it: `[without.heat]`.
#[derive(Clone, Debug, PartialEq)]
pub struct StandIn {
    /// The other recipe.
    pub recipe: String,
    /// Its cells, each with what stands in for it as a factor of the recipe that reads it.
    pub cells: Vec<(String, FactorSpec)>,
    /// Whether the job lacks the other recipe, so that they do stand in.
    pub needed: bool,
}

/// Reads the sections `[without.RECIPE]`; each key is a cell, each value what stands in for it.
pub(super) fn read_stand_ins(
    root: &Section<'_>,
    units: &Units,
    findings: &mut Findings,
) -> Vec<StandIn> {
    let mut all = Vec::new();
    for (recipe, _, section) in root.sections("without", findings) {
        let mut cells = Vec::new();
        for (cell, place, item) in section.items() {
            // A bare number is a plain number: there is nothing else it could be taken for.
            let Some(reading) = item.reading(units, Some(&Unit::plain()), findings) else {
                continue;
            };
            let value = FactorValue::Number {
                value: reading.quantity.value,
                unit: reading.unit,
                least: f64::NEG_INFINITY,
                most: f64::INFINITY,
            };
            let factor = FactorSpec {
                name: format!("{cell}_without_{recipe}"),
                title: format!("{} without {recipe}", cell.replace('_', " ")),
                value,
                why: format!(
                    "Stands in for what recipe {recipe} would give: the shop does not use it."
                ),
                source: String::new(),
                place,
            };
            cells.push((cell, factor));
        }
        all.push(StandIn {
            recipe,
            cells,
            needed: false,
        });
    }
    all
}

impl Manifest {
    /// The recipes whose cells it reads in this job.
    pub fn reads(&self) -> impl Iterator<Item = &str> {
        let present = self.without.iter().filter(|stand_in| !stand_in.needed);
        self.uses
            .iter()
            .map(String::as_str)
            .chain(present.map(|stand_in| stand_in.recipe.as_str()))
    }

    /// Settles which cells of other recipes are read and which are stood in for.
    pub fn settle(&mut self, present: &[String]) {
        for stand_in in &mut self.without {
            stand_in.needed = !present.contains(&stand_in.recipe);
            if stand_in.needed {
                let factors = stand_in.cells.iter().map(|(_, factor)| factor.clone());
                self.factors.extend(factors);
            }
        }
    }
}
