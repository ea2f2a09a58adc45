//! Cells of a table that has no rows in this takeoff: what the manifest declares of them is
//! known without running the script, and their sums are zero.

use std::sync::Arc;

use super::Binder;
use crate::quantity::{System, Unit};
use crate::recipe::CellSpec;
use crate::script::Script;
use crate::trail::{Column, Kind, Ledger, Role};

impl Binder<'_> {
    /// Adds the cells that a script defines and the manifest declares.
    pub(in crate::bid) fn declare(self, script: &Script) {
        for cell in script.cell_names() {
            let mut declared = self.manifest.cells.iter();
            let Some(spec) = declared.find(|spec| spec.name == cell) else {
                continue;
            };
            let unit = shown_in(spec, self.ledger).unwrap_or_else(Unit::plain);
            let column = self.ledger.table_mut(self.table).add(Column {
                name: format!("{}.{cell}", self.manifest.name),
                title: spec.title.clone(),
                note: String::new(),
                kind: Kind::Number(unit.dimension),
                unit: Arc::new(unit),
                role: Role::Cell,
                group: self.manifest.name.clone(),
                input: None,
                values: Vec::new(),
            });
            let recipe = &self.manifest.name;
            self.columns.cells.add(recipe, self.table, cell, column);
        }
    }
}

/// The unit in which a cell is shown, in the takeoff's family of units.
pub(super) fn shown_in(spec: &CellSpec, ledger: &Ledger) -> Option<Unit> {
    match ledger.system {
        System::Us => spec.us.clone(),
        System::Si => spec.si.clone().or_else(|| spec.us.clone()),
    }
}
