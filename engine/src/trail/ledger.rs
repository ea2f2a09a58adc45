//! The ledger: every value that has a place in the bid workbook.

use std::collections::HashMap;
use std::sync::Arc;

use super::node::{Kind, ScriptPlace};
use super::table::{Choice, Table, TableId};
use super::texts::Texts;
use crate::diag::{Place, SourceText};
use crate::measure::read_unit;
use crate::quantity::{System, Unit, Units};

/// The number of a single value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SingleId(u32);

/// What a single value is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SingleRole {
    /// A factor that a recipe declares.
    Factor,
    /// A setting of the shop on the way from cost to price.
    Pricing,
    /// A rate of the price book.
    Rate,
    /// An entry of the Job sheet.
    Job,
    /// A number written in a recipe; changed there.
    Written,
}

/// A value that stands alone, with a name in the workbook.
#[derive(Clone, Debug)]
pub struct Single {
    /// Name of its cell in the workbook, unique.
    pub name: String,
    /// What it is called for people.
    pub title: String,
    /// What it holds.
    pub kind: Kind,
    /// Unit it is written in.
    pub unit: Arc<Unit>,
    /// Value in base units; a text by its number; NaN is blank.
    pub value: f64,
    /// What it is for.
    pub role: SingleRole,
    /// Which recipe or part of the program it belongs to.
    pub group: String,
    /// Why it is what it is.
    pub why: String,
    /// Where the figure comes from.
    pub source: String,
    /// Smallest value allowed, in base units.
    pub least: f64,
    /// Largest value allowed, in base units.
    pub most: f64,
    /// Whether a blank cell is a value of its own.
    pub may_be_blank: bool,
    /// Texts allowed, for texts.
    pub choice: Choice,
    /// Where it was read.
    pub place: Place,
}

/// Everything that has a place in the workbook.
#[derive(Clone, Debug)]
pub struct Ledger {
    /// Units of the run.
    pub units: Arc<Units>,
    /// The family of units in which results are shown.
    pub system: System,
    /// Texts of the run.
    pub texts: Texts,
    /// Scripts of the run, by their number in [`super::ScriptPlace`].
    pub scripts: Vec<Arc<SourceText>>,
    tables: Vec<Table>,
    singles: Vec<Single>,
    by_single: HashMap<String, SingleId>,
}

impl Ledger {
    /// An empty ledger.
    pub fn new(units: Arc<Units>, system: System) -> Self {
        Self {
            units,
            system,
            texts: Texts::default(),
            scripts: Vec::new(),
            tables: Vec::new(),
            singles: Vec::new(),
            by_single: HashMap::new(),
        }
    }

    /// Adds a table.
    pub fn add_table(&mut self, mut table: Table) -> TableId {
        table.index_rows(&mut self.texts);
        let id = TableId(u16::try_from(self.tables.len()).unwrap_or(u16::MAX));
        self.tables.push(table);
        id
    }

    /// The table with a number.
    pub fn table(&self, id: TableId) -> &Table {
        &self.tables[usize::from(id.0)]
    }

    /// The table with a number, to change.
    pub fn table_mut(&mut self, id: TableId) -> &mut Table {
        &mut self.tables[usize::from(id.0)]
    }

    /// The table with a name.
    pub fn table_named(&self, name: &str) -> Option<TableId> {
        self.tables()
            .find(|(_, table)| table.name == name)
            .map(|(id, _)| id)
    }

    /// All tables with their numbers.
    pub fn tables(&self) -> impl Iterator<Item = (TableId, &Table)> {
        (0u16..).map(TableId).zip(&self.tables)
    }

    /// Adds a single value, or finds the one that has its name already.
    pub fn add_single(&mut self, single: Single) -> SingleId {
        if let Some(id) = self.by_single.get(&single.name) {
            return *id;
        }
        let id = SingleId(u32::try_from(self.singles.len()).unwrap_or(u32::MAX));
        self.by_single.insert(single.name.clone(), id);
        self.singles.push(single);
        id
    }

    /// The single value with a number.
    pub fn single(&self, id: SingleId) -> &Single {
        &self.singles[id.0 as usize]
    }

    /// The single value with a workbook name.
    pub fn single_named(&self, name: &str) -> Option<SingleId> {
        self.by_single.get(name).copied()
    }

    /// All single values with their numbers.
    pub fn singles(&self) -> impl Iterator<Item = (SingleId, &Single)> {
        (0u32..).map(SingleId).zip(&self.singles)
    }

    /// The place of a node in its script, for messages.
    pub fn script_place(&self, place: Option<ScriptPlace>) -> Place {
        let Some(place) = place else {
            return Place::Nowhere;
        };
        let Some(source) = self.scripts.get(usize::from(place.script)) else {
            return Place::Nowhere;
        };
        let (line, column) = (usize::from(place.line), usize::from(place.column));
        let start = source.offset(line, column);
        let end = source.text[start..]
            .find([' ', '\n', ';', '('])
            .map_or(source.text.len(), |n| start + n.max(1));
        Place::Text {
            source: source.clone(),
            range: start..end,
        }
    }

    /// The unit that a rate counts by: hours for `$/h`.
    pub fn counted_unit(&self, rate: SingleId) -> Option<Unit> {
        let (_, under) = self.single(rate).unit.label.split_once('/')?;
        read_unit(under, &self.units).ok()
    }

    /// The unit in which a kind of value is shown when nobody asked for another.
    pub fn shown_in(&self, kind: Kind) -> Arc<Unit> {
        Arc::new(match kind {
            Kind::Number(dimension) => self.units.shown_in(dimension, self.system),
            _ => Unit::plain(),
        })
    }
}
