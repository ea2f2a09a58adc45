//! `pourwright prove`: runs the checks that come with recipes.

use std::path::{Path, PathBuf};

use engine::diag::{Diagnostic, Findings, Outcome, near_name, quoted};
use engine::measure::write_count;
use engine::plugin::Registry;
use engine::prove::{Proof, prove};
use engine::shop::Workshop;
use serde_json::json;

use crate::context::{load_shop, registry};
use crate::print::{Terminal, table};

/// Runs the command.
pub(crate) fn run(
    recipe: Option<&str>,
    shop: Option<&PathBuf>,
    as_json: bool,
    terminal: &mut Terminal<'_>,
) -> Outcome<()> {
    let registry = registry()?;
    let workshop = load_shop(shop, Path::new("."), &registry)?;
    let names: Vec<&str> = workshop
        .recipes
        .iter()
        .map(|recipe| recipe.manifest.name.as_str())
        .collect();
    if let Some(wanted) = recipe
        && !names.contains(&wanted)
    {
        let near = near_name(wanted, names.iter().copied());
        return Err(
            Diagnostic::error(format!("there is no recipe {}", quoted(wanted)))
                .hint(match near {
                    Some(near) => format!("Did you mean {near}?"),
                    None => format!("The recipes are: {}.", names.join(", ")),
                })
                .into(),
        );
    }
    let proofs = all_proofs(&workshop, &registry, recipe)?;
    let mut findings = Findings::new();
    for proof in &proofs {
        findings.append(proof.findings.clone());
    }
    if as_json {
        let list = proofs.iter().map(|proof| {
            json!({
                "recipe": proof.recipe,
                "check": proof.name,
                "holds": proof.holds(),
                "source": proof.source,
                "mistakes": engine::diag::render::to_json(&proof.findings),
            })
        });
        terminal.json(&list.collect());
    } else {
        show(&proofs, terminal);
    }
    findings.stop_on_errors()
}

fn show(proofs: &[Proof], terminal: &mut Terminal<'_>) {
    let rows = proofs
        .iter()
        .map(|proof| {
            let outcome = if proof.holds() { "holds" } else { "FAILS" };
            vec![proof.recipe.clone(), outcome.to_owned(), proof.name.clone()]
        })
        .collect();
    terminal.line(table(&["Recipe", "Check", "What it shows"], &[], rows));
    let failed = proofs.iter().filter(|proof| !proof.holds()).count();
    let count = write_count(proofs.len(), "check");
    terminal.line(match failed {
        0 => format!("{count}: all hold"),
        _ => format!("{count}: {failed} FAIL"),
    });
}

/// The checks of one recipe or of all.
fn all_proofs(workshop: &Workshop, registry: &Registry, only: Option<&str>) -> Outcome<Vec<Proof>> {
    let mut proofs = Vec::new();
    for recipe in &workshop.recipes {
        if only.is_none_or(|only| recipe.manifest.name == only) {
            proofs.extend(prove(workshop, registry, recipe)?);
        }
    }
    Ok(proofs)
}

/// Before a job is priced, the checks of all its recipes must hold.
pub(crate) fn require_all(workshop: &Workshop, registry: &Registry) -> Outcome<()> {
    let mut findings = Findings::new();
    for proof in all_proofs(workshop, registry, None)? {
        findings.append(proof.findings);
    }
    if findings.has_errors() {
        findings.push(
            Diagnostic::error(
                "a recipe does not meet its own checks, so the job is not priced with it",
            )
            .hint("See all of them with: pourwright prove"),
        );
    }
    findings.stop_on_errors()
}
