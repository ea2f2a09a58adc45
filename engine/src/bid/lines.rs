//! The lines of the estimate: one for each product of every kind used and for each other item;
//! where the job has phases, one for each phase.

use std::sync::Arc;

use super::bind::ItemColumn;
use super::cuts::{CutList, cut_lists};
use super::evaluate::Evaluated;
use super::gather::Group;
use super::line_columns::{Given, LineColumns, add_columns};
use super::phases::{Phases, phase_words};
use super::price_steps::{LineBuilder, Rows};
use crate::diag::{Diagnostic, Outcome};
use crate::quantity::Unit;
use crate::script::ItemKind;
use crate::shop::{Pricing, PricingEntries};
use crate::trail::{Block, Ledger, Shape, SingleId, Table, TableId};

/// One line of the estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What kind of line.
    pub kind: ItemKind,
    /// What it is called.
    pub label: String,
    /// The product or the rate.
    pub detail: String,
    /// Unit of its amounts, in words; empty for a charge.
    pub unit: Arc<Unit>,
    /// The product: its table and row.
    pub product: Option<(TableId, usize)>,
    /// The rate.
    pub rate: Option<SingleId>,
    /// Its phase, where the job has phases.
    pub phase: Option<LinePhase>,
    /// Indices of the item columns it gathers.
    pub items: Vec<usize>,
}

/// The phase of a line.
#[derive(Clone, Debug, PartialEq)]
pub struct LinePhase {
    /// Its row among the phases; none for what belongs to no room.
    pub row: Option<u32>,
    /// Its name.
    pub name: String,
}

impl Line {
    /// What the line is called: its label and, where there are, its product or rate and its phase.
    pub fn name(&self) -> String {
        let mut name = self.label.clone();
        if !self.detail.is_empty() {
            name = format!("{name} ({})", self.detail);
        }
        match &self.phase {
            Some(phase) => format!("{name}, {}", phase_words(&phase.name)),
            None => name,
        }
    }
}

/// What lines are made from.
pub(super) struct Sources<'a> {
    pub(super) groups: &'a [Group],
    pub(super) evaluated: &'a Evaluated,
    pub(super) phases: Option<&'a Phases>,
    pub(super) settings: &'a Pricing,
    pub(super) pricing: &'a PricingEntries,
}

/// The lines with their table.
pub(super) struct AddedLines {
    pub(super) table: TableId,
    pub(super) columns: LineColumns,
    pub(super) lines: Vec<Line>,
    pub(super) cuts: Vec<CutList>,
}

/// Adds the line table.
pub(super) fn add_lines(sources: &Sources<'_>, ledger: &mut Ledger) -> Outcome<AddedLines> {
    let items = &sources.evaluated.items;
    let job = sources.evaluated.job;
    let mut lines = Vec::new();
    let mut group_of_line = Vec::new();
    let mut rows_of_line = Vec::new();
    for (index, group) in sources.groups.iter().enumerate() {
        for (phase, rows) in slots(group, items, job, sources.phases, ledger) {
            for line in lines_of(group, phase.as_ref(), ledger) {
                lines.push(line);
                group_of_line.push(index);
                rows_of_line.push(rows);
            }
        }
    }
    if lines.is_empty() {
        return Err(Diagnostic::error(
            "the recipes of this shop give no items: there is nothing to price",
        )
        .hint("An item is said in a script with material(…), labour(…) or charge(…).")
        .into());
    }
    let is_cut = |index: usize| sources.groups[group_of_line[index]].cut;
    let belongs = |line: usize, table: TableId, row: usize| {
        let Rows { of_rooms, of_job } = rows_of_line[line];
        if table == job {
            return of_job;
        }
        let wanted = lines[line].phase.as_ref().and_then(|phase| phase.row);
        let own = sources
            .phases
            .map(|phases| phases.of_row(table, row, ledger));
        of_rooms && own.is_none_or(|own| own == wanted)
    };
    let cuts = cut_lists(&lines, is_cut, belongs, items, ledger)?;
    let none = |index| if is_cut(index) { 0.0 } else { f64::NAN };
    let mut by_plan: Vec<f64> = (0..lines.len()).map(none).collect();
    for list in &cuts {
        by_plan[list.line] = list.plan.used() as f64;
    }
    let number = |row: Option<f64>| row.map_or(f64::NAN, |row| row + 1.0);
    let given = Given {
        numbers: lines
            .iter()
            .map(|line| number(line.product.map(|(_, row)| row as f64)))
            .collect(),
        by_plan,
        phases: sources.phases.map(|phases| {
            let row = |line: &Line| line.phase.as_ref().and_then(|phase| phase.row);
            let values = lines.iter().map(|line| number(row(line).map(f64::from)));
            (phases.table, values.collect())
        }),
    };
    let names = lines.iter().map(Line::name).collect();
    let mut table = Table::new("line", "Estimate", names);
    let columns = add_columns(&mut table, given, sources.settings, ledger);
    let table = ledger.add_table(table);
    let mut block = Block::new("lines");
    let mut known: Vec<(usize, Rows)> = Vec::new();
    let mut values = Vec::new();
    for row in 0..lines.len() {
        let way = (group_of_line[row], rows_of_line[row]);
        let index = match known.iter().position(|known| *known == way) {
            Some(index) => index,
            None => {
                let build = LineBuilder {
                    group: &sources.groups[way.0],
                    rows: way.1,
                    items,
                    job,
                    phases: sources.phases,
                    pricing: sources.pricing,
                    columns: &columns,
                };
                let shape = Shape::build(ledger, table, |tracer| build.build(tracer))?;
                block.shapes.push(shape);
                known.push(way);
                known.len() - 1
            }
        };
        if !block.shapes[index].fill(ledger, table, row, &mut values) {
            return Err(Diagnostic::error(format!(
                "line {} cannot be computed: a number is too large",
                lines[row].label
            ))
            .into());
        }
        block.of_row.push(u16::try_from(index).unwrap_or(u16::MAX));
    }
    ledger.table_mut(table).blocks.push(block);
    Ok(AddedLines {
        table,
        columns,
        lines,
        cuts,
    })
}

/// The phases in which a group has lines, and which rows those take their amounts from. What is
/// asked for the whole job belongs to no phase: it joins the rooms without one, or stands alone.
fn slots(
    group: &Group,
    items: &[ItemColumn],
    job: TableId,
    phases: Option<&Phases>,
    ledger: &Ledger,
) -> Vec<(Option<LinePhase>, Rows)> {
    let asks = |job_wide: bool| {
        let mut own = group.items.iter();
        own.any(|index| (items[*index].table == job) == job_wide)
    };
    let (by_rooms, by_job) = (asks(false), asks(true));
    let Some(phases) = phases else {
        let rows = Rows {
            of_rooms: true,
            of_job: true,
        };
        return vec![(None, rows)];
    };
    let phase = |row: Option<u32>| {
        let name = phases.name(row, ledger).to_owned();
        Some(LinePhase { row, name })
    };
    let mut slots = Vec::new();
    if by_rooms {
        slots.extend(phases.rows(ledger).map(|row| {
            let rows = Rows {
                of_rooms: true,
                of_job: by_job && phases.none == Some(row),
            };
            (phase(Some(row)), rows)
        }));
    }
    if by_job && !(by_rooms && phases.none.is_some()) {
        let rows = Rows {
            of_rooms: false,
            of_job: true,
        };
        slots.push((phase(phases.none), rows));
    }
    slots
}

fn lines_of(group: &Group, phase: Option<&LinePhase>, ledger: &Ledger) -> Vec<Line> {
    let line = |detail: String, unit: Arc<Unit>, product| Line {
        kind: group.kind,
        label: group.label.clone(),
        detail,
        unit,
        product,
        rate: group.rate,
        phase: phase.cloned(),
        items: group.items.clone(),
    };
    match (group.products, group.rate) {
        (Some(table_id), _) => {
            let table = ledger.table(table_id);
            (0..table.rows())
                .map(|row| {
                    let unit = ledger.units.package_unit(table.row_packages[row]);
                    line(
                        table.row_names[row].clone(),
                        Arc::new(unit),
                        Some((table_id, row)),
                    )
                })
                .collect()
        }
        (None, Some(rate)) => {
            let unit = ledger.counted_unit(rate).unwrap_or_else(Unit::plain);
            let unit = Arc::new(unit);
            vec![line(ledger.single(rate).title.clone(), unit, None)]
        }
        (None, None) => vec![line(String::new(), Arc::new(Unit::plain()), None)],
    }
}
