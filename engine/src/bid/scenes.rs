//! What the scripts of a recipe see: inputs, factors, rates, other recipes' cells, whole columns.

use super::bind::{CellIndex, ItemColumn};
use super::surveys::{SurveyCells, enter_scene};
use crate::recipe::Recipe;
use crate::script::{Entry, NameSet, Scene, SceneFigures, Worked};
use crate::shop::{FactorEntry, Workshop};
use crate::takeoff::Surveys;
use crate::trail::{Column, ColumnId, Kind, Ledger, Ref, Role, SingleRole, TableId};

/// Everything that scenes are made of.
pub(super) struct Stage<'a> {
    pub(super) workshop: &'a Workshop,
    pub(super) rooms: TableId,
    pub(super) surveys: &'a [Surveys],
    pub(super) surveyed: &'a [SurveyCells],
    pub(super) figures: &'a [SceneFigures],
    pub(super) children: &'a [TableId],
    pub(super) job: TableId,
    pub(super) cells: &'a CellIndex,
    pub(super) items: &'a [ItemColumn],
    pub(super) factors: &'a [(String, FactorEntry)],
}

impl Stage<'_> {
    fn common(&self, recipe: &Recipe, ledger: &Ledger) -> Scene {
        let factors = self.factors.iter().map(|(name, entry)| {
            let entry = match entry {
                FactorEntry::Single(single) => Entry::Value(Ref::Single(*single)),
                FactorEntry::Steps(table) => Entry::Steps(*table),
            };
            (name.clone(), entry)
        });
        let rates = self
            .workshop
            .rates
            .iter()
            .map(|(name, single)| (name.clone(), Entry::Value(Ref::Single(*single))));
        let job = ledger
            .singles()
            .filter(|(_, single)| single.role == SingleRole::Job)
            .map(|(id, single)| {
                let name = single.name.trim_start_matches("job_").to_owned();
                (name, Entry::Value(Ref::Single(id)))
            });
        let mut scene = Scene {
            recipe: recipe.manifest.name.clone(),
            names: vec![
                set(
                    "factor",
                    "this recipe",
                    "Declare it as [factors.NAME] in recipe.toml.",
                    factors,
                ),
                set(
                    "rate",
                    "the price book",
                    "Add it to the rates of the price book.",
                    rates,
                ),
                set(
                    "job",
                    "the Job sheet",
                    "Declare it as [job.NAME] in recipe.toml.",
                    job,
                ),
            ],
            products: self.workshop.products.clone(),
            questions: Vec::new(),
            worked: None,
            figures: self.figures.to_vec(),
        };
        scene.names.extend(self.stand_ins(recipe));
        scene
    }

    /// Cells of recipes that the job lacks, by what stands in for them.
    fn stand_ins(&self, recipe: &Recipe) -> Vec<NameSet> {
        let absent = recipe.manifest.without.iter().filter(|other| other.needed);
        absent
            .map(|other| {
                let entries = other.cells.iter().filter_map(|(cell, factor)| {
                    let (_, entry) = self.factors.iter().find(|(name, _)| *name == factor.name)?;
                    let FactorEntry::Single(single) = entry else {
                        return None;
                    };
                    Some((cell.clone(), Entry::Value(Ref::Single(*single))))
                });
                set(
                    &other.recipe,
                    &format!("recipe {} (not in this shop)", other.recipe),
                    "Name what stands in for it under [without.RECIPE] in recipe.toml.",
                    entries,
                )
            })
            .collect()
    }

    /// The scene of a script for one room.
    pub(super) fn room(&self, recipe: &Recipe, ledger: &Ledger) -> Scene {
        let mut scene = self.common(recipe, ledger);
        scene.names.push(inputs_of(ledger, self.rooms, Ref::Column));
        for (surveys, cells) in self.surveys.iter().zip(self.surveyed) {
            enter_scene(&mut scene, surveys, cells, Ref::Column);
        }
        for used in recipe.manifest.reads() {
            scene
                .names
                .push(self.cells_of(used, self.rooms, Ref::Column));
        }
        for child in self.children {
            let total = |column| Ref::Children(*child, column);
            scene
                .names
                .push(self.columns_of(recipe, *child, ledger, total));
        }
        scene
    }

    /// The scene of a script for one row of a table below rooms.
    pub(super) fn child(&self, recipe: &Recipe, table: TableId, ledger: &Ledger) -> Scene {
        let mut scene = self.common(recipe, ledger);
        scene.names.push(inputs_of(ledger, table, Ref::Column));
        scene.names.push(inputs_of(ledger, self.rooms, Ref::Parent));
        for (surveys, cells) in self.surveys.iter().zip(self.surveyed) {
            enter_scene(&mut scene, surveys, cells, Ref::Parent);
        }
        for used in recipe.manifest.reads() {
            scene
                .names
                .push(self.cells_of(used, self.rooms, Ref::Parent));
        }
        scene
    }

    /// The scene of a script for the whole job.
    pub(super) fn whole_job(&self, recipe: &Recipe, ledger: &Ledger) -> Scene {
        let mut scene = self.common(recipe, ledger);
        scene.worked = Some(self.worked());
        for used in recipe.manifest.reads() {
            let cell = |column| Ref::Cell(self.job, column, 0);
            scene.names.push(self.cells_of(used, self.job, cell));
        }
        for table in std::iter::once(&self.rooms).chain(self.children) {
            let total = |column| Ref::All(*table, column);
            let mut set = self.columns_of(recipe, *table, ledger, total);
            // Columns of the recipes it uses: rooms.heat.length.
            for used in recipe.manifest.reads() {
                let mut inner = self.cells_of(used, *table, total);
                inner.name = String::new();
                for (_, entry) in &mut inner.entries {
                    if let Entry::Value(reference) = *entry {
                        *entry = Entry::Column(reference);
                    }
                }
                scene.names.push(inner);
                set.entries
                    .push((used.to_owned(), Entry::Names(scene.names.len() - 1)));
            }
            scene.names.push(set);
        }
        scene
    }

    /// What rooms and rows below them are charged by rates.
    fn worked(&self) -> Vec<Worked> {
        let of_rooms = self.items.iter().filter(|item| item.table != self.job);
        of_rooms
            .filter_map(|item| {
                Some(Worked {
                    recipe: item.recipe.clone(),
                    rate: item.rate?,
                    amounts: Ref::All(item.table, item.quantity),
                })
            })
            .collect()
    }

    /// A recipe's cells in a table, under the recipe's name.
    fn cells_of(
        &self,
        recipe: &str,
        table: TableId,
        reference: impl Fn(ColumnId) -> Ref,
    ) -> NameSet {
        let entries = self
            .cells
            .of(recipe, table)
            .map(|(name, column)| (name.to_owned(), Entry::Value(reference(column))));
        let called = format!("recipe {recipe}");
        set(
            recipe,
            &called,
            "Only its cells can be read from here.",
            entries,
        )
    }

    /// Columns of a table that can be summed: numbers among inputs and this recipe's cells.
    fn columns_of(
        &self,
        recipe: &Recipe,
        table: TableId,
        ledger: &Ledger,
        total: impl Fn(ColumnId) -> Ref,
    ) -> NameSet {
        let own = ledger.table(table);
        let inputs = own
            .columns()
            .filter(|(_, column)| column.role == Role::Input && is_number(column))
            .map(|(id, column)| (column.name.clone(), id));
        let cells = self
            .cells
            .of(&recipe.manifest.name, table)
            .filter(|(_, id)| is_number(own.column(*id)))
            .map(|(name, id)| (name.to_owned(), id));
        let entries = inputs
            .chain(cells)
            .map(|(name, id)| (name, Entry::Column(total(id))));
        let name = self.rows_name(table, ledger);
        let called = format!("the table {}", own.title);
        set(
            &name,
            &called,
            "Only columns of numbers can be summed. Of a table without rows only cells are known that recipe.toml declares, as [cells.NAME].",
            entries,
        )
    }

    fn rows_name(&self, table: TableId, ledger: &Ledger) -> String {
        let row = &ledger.table(table).name;
        let spec = &self.workshop.takeoff;
        std::iter::once(&spec.rooms)
            .chain(&spec.children)
            .find(|known| known.row == *row)
            .map_or_else(|| row.clone(), |known| known.rows.clone())
    }
}

fn inputs_of(ledger: &Ledger, table: TableId, reference: impl Fn(ColumnId) -> Ref) -> NameSet {
    let table = ledger.table(table);
    let entries = table
        .columns()
        .filter(|(_, column)| column.role == Role::Input)
        .map(|(id, column)| (column.name.clone(), Entry::Value(reference(id))));
    let called = format!("a row of {}", table.title);
    set(
        &table.name,
        &called,
        "Declare it as [inputs.NAME] in recipe.toml.",
        entries,
    )
}

fn is_number(column: &Column) -> bool {
    matches!(column.kind, Kind::Number(_))
}

fn set(
    name: &str,
    called: &str,
    hint: &str,
    entries: impl Iterator<Item = (String, Entry)>,
) -> NameSet {
    NameSet {
        name: name.to_owned(),
        called: called.to_owned(),
        entries: entries.collect(),
        hint: hint.to_owned(),
    }
}
