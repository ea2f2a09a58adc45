//! The order in which recipes run: each after those whose cells it reads.

use super::Recipe;
use crate::diag::{Diagnostic, Findings, near_name, quoted};

/// Orders recipes; otherwise they keep the order in which they were given.
///
/// A recipe that reads one that is not there, and a circle, are findings.
pub fn in_order(recipes: Vec<Recipe>, findings: &mut Findings) -> Vec<Recipe> {
    let names: Vec<String> = recipes
        .iter()
        .map(|recipe| recipe.manifest.name.clone())
        .collect();
    for recipe in &recipes {
        for used in &recipe.manifest.uses {
            if names.contains(used) {
                continue;
            }
            let near = near_name(used, names.iter().map(String::as_str));
            findings.push(
                Diagnostic::error(format!(
                    "recipe {} uses recipe {}, which is not among those of this job",
                    recipe.manifest.name,
                    quoted(used)
                ))
                .at(recipe.manifest.place.clone())
                .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
        }
    }
    let mut waiting = recipes;
    let mut ordered: Vec<Recipe> = Vec::new();
    while !waiting.is_empty() {
        let is_ready = |recipe: &Recipe| {
            recipe.manifest.reads().all(|used| {
                !names.iter().any(|name| name == used)
                    || ordered.iter().any(|done| done.manifest.name == used)
            })
        };
        let Some(next) = waiting.iter().position(is_ready) else {
            let circle: Vec<&str> = waiting
                .iter()
                .map(|recipe| recipe.manifest.name.as_str())
                .collect();
            findings.push(
                Diagnostic::error(format!(
                    "these recipes use each other in a circle: {}",
                    circle.join(", ")
                ))
                .at(waiting[0].manifest.place.clone()),
            );
            return ordered;
        };
        ordered.push(waiting.remove(next));
    }
    ordered
}
