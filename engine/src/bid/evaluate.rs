//! Evaluating recipes over rows: a script runs once for each path, its shape is replayed over the rest.

use super::bind::{Binder, CautionColumn, Columns, ItemColumn};
use super::scenes::Stage;
use super::surveys::{SurveyCells, add_surveys};
use crate::diag::{Diagnostic, Findings, Outcome};
use crate::plugin::Registry;
use crate::recipe::Recipe;
use crate::script::{Host, Scene, SceneFigures, Script};
use crate::shop::{FactorEntry, Workshop};
use crate::takeoff::Takeoff;
use crate::trail::{Block, Ledger, Table, TableId};

/// Shapes tried for a row before its script is run again.
const SHAPES_TRIED: usize = 12;
/// Rows with mistakes after which the rest is not looked at.
const MOST_BAD_ROWS: usize = 25;

/// What evaluation gave.
#[derive(Debug)]
pub struct Evaluated {
    /// Table of the whole job.
    pub job: TableId,
    /// Item columns in the order of recipes and scripts.
    pub items: Vec<ItemColumn>,
    /// Caution columns in the same order.
    pub cautions: Vec<CautionColumn>,
}

/// Evaluates all recipes: rows below rooms first, then rooms, then the whole job.
pub(super) fn evaluate(
    workshop: &Workshop,
    registry: &Registry,
    takeoff: &Takeoff,
    factors: &[Vec<(String, FactorEntry)>],
    ledger: &mut Ledger,
) -> Outcome<Evaluated> {
    let kinds: Vec<String> = workshop
        .products
        .iter()
        .map(|(name, _)| name.clone())
        .collect();
    let host = Host::new(registry, &workshop.units, &kinds);
    let job = ledger.add_table(Table::new("job", "Whole job", vec!["whole job".to_owned()]));
    let children: Vec<TableId> = takeoff.children.iter().map(|child| child.table).collect();
    let mut columns = Columns::default();
    let mut surveyed = Vec::new();
    for surveys in &takeoff.surveys {
        surveyed.push(add_surveys(surveys, takeoff.rooms.table, registry, ledger)?);
    }
    let figures = SceneFigures::plain(registry, &mut ledger.texts);
    let setting = Setting {
        workshop,
        takeoff,
        surveyed: &surveyed,
        figures: &figures,
        children: &children,
        job,
    };
    let mut findings = Findings::new();
    let mut run = |recipe: &Recipe,
                   source,
                   table: TableId,
                   scene: Scene,
                   ledger: &mut Ledger,
                   columns: &mut Columns| {
        let before = findings.error_count();
        let Some(script) = findings.keep(host.load(source, ledger)) else {
            return false;
        };
        if ledger.table(table).rows() == 0 {
            Binder::new(&recipe.manifest, table, ledger, columns).declare(&script);
            return true;
        }
        let job = Evaluation {
            host: &host,
            recipe,
            script: &script,
            scene: &scene,
            table,
        };
        job.rows(ledger, columns, &mut findings);
        findings.error_count() == before
    };
    // A script that failed leaves its cells out; what reads them would only fail for that reason.
    let mut failed: Vec<&str> = Vec::new();
    for (recipe, factors) in workshop.recipes.iter().zip(factors) {
        let mut right = true;
        let name = recipe.manifest.name.as_str();
        if recipe.manifest.reads().any(|read| failed.contains(&read)) {
            failed.push(name);
            continue;
        }
        for (row, source) in &recipe.children {
            let Some(table) = children
                .iter()
                .find(|table| ledger.table(**table).name == *row)
            else {
                continue;
            };
            let stage = setting.stage(&columns, factors);
            let scene = stage.child(recipe, *table, ledger);
            right &= run(recipe, source, *table, scene, ledger, &mut columns);
        }
        if let Some(source) = recipe.room.as_ref().filter(|_| right) {
            let stage = setting.stage(&columns, factors);
            let scene = stage.room(recipe, ledger);
            right &= run(
                recipe,
                source,
                takeoff.rooms.table,
                scene,
                ledger,
                &mut columns,
            );
        }
        if !right {
            failed.push(name);
        }
    }
    for (recipe, factors) in workshop.recipes.iter().zip(factors) {
        if let Some(source) = recipe.job.as_ref().filter(|_| failed.is_empty()) {
            let stage = setting.stage(&columns, factors);
            let scene = stage.whole_job(recipe, ledger);
            run(recipe, source, job, scene, ledger, &mut columns);
        }
    }
    findings.stop_on_errors()?;
    Ok(Evaluated {
        job,
        items: columns.items,
        cautions: columns.cautions,
    })
}

/// What the scripts of all recipes see alike.
struct Setting<'a> {
    workshop: &'a Workshop,
    takeoff: &'a Takeoff,
    surveyed: &'a [SurveyCells],
    figures: &'a [SceneFigures],
    children: &'a [TableId],
    job: TableId,
}

impl<'a> Setting<'a> {
    /// The stage of a recipe, with the cells that recipes have given so far.
    fn stage(&self, columns: &'a Columns, factors: &'a [(String, FactorEntry)]) -> Stage<'a> {
        Stage {
            workshop: self.workshop,
            rooms: self.takeoff.rooms.table,
            surveys: &self.takeoff.surveys,
            surveyed: self.surveyed,
            figures: self.figures,
            children: self.children,
            job: self.job,
            cells: &columns.cells,
            items: &columns.items,
            factors,
        }
    }
}

/// One script over all rows of its table.
struct Evaluation<'a> {
    host: &'a Host,
    recipe: &'a Recipe,
    script: &'a Script,
    scene: &'a Scene,
    table: TableId,
}

impl Evaluation<'_> {
    fn rows(&self, ledger: &mut Ledger, columns: &mut Columns, findings: &mut Findings) {
        let mut block = Block::new(self.recipe.manifest.name.clone());
        let mut recent: Vec<u16> = Vec::new();
        let mut values = Vec::new();
        let mut bad = BadRows::default();
        for row in 0..ledger.table(self.table).rows() {
            bad.tried += 1;
            let known = recent.iter().take(SHAPES_TRIED).position(|index| {
                let shape = &block.shapes[usize::from(*index)];
                shape.fill(ledger, self.table, row, &mut values)
            });
            let index = match known {
                Some(at) => recent.remove(at),
                None => match self.trace(row, ledger, columns) {
                    Ok((shape, values)) => {
                        shape.store(ledger, self.table, row, &values);
                        block.shapes.push(shape);
                        u16::try_from(block.shapes.len() - 1).unwrap_or(u16::MAX)
                    }
                    Err(mistakes) => {
                        bad.note(mistakes, &ledger.table(self.table).row_names[row]);
                        if bad.rows >= MOST_BAD_ROWS {
                            break;
                        }
                        continue;
                    }
                },
            };
            if index == u16::MAX {
                findings.push(Diagnostic::error(format!(
                    "recipe {} takes a path of its own for too many rows",
                    self.recipe.manifest.name
                )));
                return;
            }
            recent.insert(0, index);
            block.of_row.push(index);
        }
        bad.report(findings);
        ledger.table_mut(self.table).blocks.push(block);
    }

    fn trace(
        &self,
        row: usize,
        ledger: &mut Ledger,
        columns: &mut Columns,
    ) -> Outcome<(crate::trail::Shape, Vec<f64>)> {
        let run = self
            .host
            .run(self.script, self.scene, ledger, self.table, row)?;
        Binder::new(&self.recipe.manifest, self.table, ledger, columns).bind(run)
    }
}

/// Mistakes of rows: each is shown once, with the first row and how many more have it.
#[derive(Default)]
struct BadRows {
    tried: usize,
    rows: usize,
    seen: Vec<(Diagnostic, String, usize)>,
}

impl BadRows {
    fn note(&mut self, mistakes: Findings, row: &str) {
        self.rows += 1;
        for mistake in mistakes.iter() {
            match self.seen.iter_mut().find(|(known, ..)| known == mistake) {
                Some((_, _, count)) => *count += 1,
                None => self.seen.push((mistake.clone(), row.to_owned(), 1)),
            }
        }
    }

    fn report(self, findings: &mut Findings) {
        for (mistake, first, count) in self.seen {
            // What is wrong in every row is wrong in the script.
            if count == self.tried && count > 1 {
                findings.push(mistake);
                continue;
            }
            let rows = match count {
                1 => format!("Found while pricing {first}."),
                _ => format!(
                    "Found while pricing {first} and at least {} more.",
                    count - 1
                ),
            };
            findings.push(mistake.hint(rows));
        }
    }
}
