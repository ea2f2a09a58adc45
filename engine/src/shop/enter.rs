//! Factors as single values (and step tables) of a job's ledger.

use std::sync::Arc;

use crate::diag::{Diagnostic, Findings};
use crate::quantity::Unit;
use crate::recipe::{FactorSpec, FactorValue, Manifest};
use crate::takeoff::Override;
use crate::trail::{
    Choice, Column, Kind, Ledger, Role, Single, SingleId, SingleRole, Table, TableId,
};

/// Where a factor stands in the ledger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FactorEntry {
    /// A single value.
    Single(SingleId),
    /// A step table.
    Steps(TableId),
}

/// Enters the factors of a recipe, with what the Job sheet sets for this job.
pub fn enter_factors(
    manifest: &Manifest,
    overrides: &[Override],
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> Vec<(String, FactorEntry)> {
    manifest
        .factors
        .iter()
        .map(|factor| {
            let set = overrides
                .iter()
                .find(|set| set.recipe == manifest.name && set.factor == factor.name);
            (
                factor.name.clone(),
                enter_factor(&manifest.name, factor, set, ledger, findings),
            )
        })
        .collect()
}

fn enter_factor(
    recipe: &str,
    factor: &FactorSpec,
    set: Option<&Override>,
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> FactorEntry {
    match &factor.value {
        FactorValue::Number {
            value,
            unit,
            least,
            most,
        } => {
            let (value, place) = match set {
                Some(set) if set.value < *least || set.value > *most => {
                    let shown = |value| crate::measure::write(value, unit, &ledger.units);
                    findings.push(
                        Diagnostic::error(format!(
                            "{recipe}.{} is {}, expected {} to {}",
                            factor.name,
                            shown(set.value),
                            shown(*least),
                            shown(*most)
                        ))
                        .at(set.place.clone()),
                    );
                    (*value, factor.place.clone())
                }
                Some(set) => (set.value, set.place.clone()),
                None => (*value, factor.place.clone()),
            };
            FactorEntry::Single(ledger.add_single(Single {
                name: format!("{recipe}_{}", factor.name),
                title: factor.title.clone(),
                kind: Kind::Number(unit.dimension),
                unit: Arc::new(unit.clone()),
                value,
                role: SingleRole::Factor,
                group: recipe.to_owned(),
                why: factor.why.clone(),
                source: factor.source.clone(),
                least: *least,
                most: *most,
                choice: Choice::Free,
                may_be_blank: false,
                place,
            }))
        }
        FactorValue::Steps { steps, from, unit } => {
            let names = (1..=steps.len()).map(|n| n.to_string()).collect();
            let mut table = Table::new(
                format!("{recipe}_{}", factor.name),
                factor.title.clone(),
                names,
            );
            let column = |name: &str, title: &str, unit: &Unit, values| Column {
                name: name.to_owned(),
                title: title.to_owned(),
                note: factor.why.clone(),
                kind: Kind::Number(unit.dimension),
                unit: Arc::new(unit.clone()),
                role: Role::Input,
                group: String::new(),
                input: None,
                values,
            };
            table.add(column(
                "from",
                "From",
                from,
                steps.iter().map(|(f, _)| *f).collect(),
            ));
            table.add(column(
                "value",
                "Value",
                unit,
                steps.iter().map(|(_, v)| *v).collect(),
            ));
            FactorEntry::Steps(ledger.add_table(table))
        }
    }
}
