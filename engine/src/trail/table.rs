//! Tables of the ledger: rows, columns, and how tables nest.

use std::collections::HashMap;
use std::sync::Arc;

use super::ledger::SingleId;
use super::node::Kind;
use super::shape::Block;
use super::texts::{TextId, Texts};
use crate::diag::Place;
use crate::quantity::{PackageId, Unit};

/// The number of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TableId(pub(super) u16);

impl TableId {
    /// The first table of a ledger.
    pub const FIRST: Self = Self(0);

    /// Its number in the ledger.
    pub fn number(self) -> u16 {
        self.0
    }
}

/// The number of a column in its table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ColumnId(u16);

impl ColumnId {
    /// First column of a table; in a step table, where each step starts.
    pub const FIRST: Self = Self(0);
    /// Second column; in a step table, the value of each step.
    pub const SECOND: Self = Self(1);
}

/// What a column is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Measured or chosen; may be changed in the workbook.
    Input,
    /// Looked up from the product chosen in the row, or a step on the way.
    Working,
    /// A cell of a recipe.
    Cell,
    /// The quantity of an item.
    Item,
    /// 1 where a caution holds.
    Caution,
    /// 1 where a fork would now come out the other way.
    Fork,
    /// What the argument of a fixed answer was when priced.
    AsPriced,
    /// Part of the way from cost to price.
    Money,
}

/// Where the value of an input cell came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Typed in its own cell.
    Typed,
    /// From the Job sheet, for all rooms.
    Job,
    /// The default that the recipe declares.
    Default,
    /// From the survey of the room.
    Surveyed,
    /// Left blank.
    Blank,
}

/// The texts an input may hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Choice {
    /// Any text.
    Free,
    /// One of these.
    OneOf(Vec<String>),
    /// The name of a row of this table: of a product, of a phase.
    ProductOf(TableId),
}

/// What is known of an input column beyond its values.
#[derive(Clone, Debug, PartialEq)]
pub struct InputFacts {
    /// Whether a blank cell is a value of its own (neither required nor with a default).
    pub may_be_blank: bool,
    /// Smallest number allowed, in base units.
    pub least: f64,
    /// Largest number allowed, in base units.
    pub most: f64,
    /// Texts allowed, for text inputs.
    pub choice: Choice,
    /// The single value that stands in for cells left blank, where the job gives one.
    pub job_value: Option<SingleId>,
    /// Per row, where the value came from.
    pub origins: Vec<Origin>,
    /// The takeoff column it was read from.
    pub sheet_column: Option<u32>,
}

/// One column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name in scripts (`average_depth`, `leveling.depth`), unique in the table.
    pub name: String,
    /// Heading shown to people, without unit.
    pub title: String,
    /// Explanation shown with the heading.
    pub note: String,
    /// What its cells hold.
    pub kind: Kind,
    /// Unit its cells are written in.
    pub unit: Arc<Unit>,
    /// What it is for.
    pub role: Role,
    /// The recipe it belongs to; empty for inputs and for the program's own.
    pub group: String,
    /// Facts about an input.
    pub input: Option<InputFacts>,
    /// Values in base units, row by row; NaN is blank.
    pub values: Vec<f64>,
}

/// A table with rows and columns.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its name in scripts, such as `room` or `leveler`.
    pub name: String,
    /// Its name for people, such as `Rooms`.
    pub title: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// What each row is called.
    pub row_names: Vec<String>,
    /// Where each row was read, for explanations.
    pub row_places: Vec<Place>,
    /// For a product table: the package all its rows come in, or one that stands for several.
    pub package: Option<PackageId>,
    /// The package of each row, for a product table.
    pub row_packages: Vec<PackageId>,
    /// Shapes that compute columns, recipe by recipe.
    pub blocks: Vec<Block>,
    /// Whether the rows of each parent follow one another.
    pub grouped: bool,
    parent: Option<(TableId, Vec<u32>)>,
    children: Vec<Vec<u32>>,
    by_text: HashMap<TextId, usize>,
    row_texts: Vec<TextId>,
    by_column: HashMap<String, ColumnId>,
}

impl Table {
    /// A table with named rows and no columns yet.
    pub fn new(name: impl Into<String>, title: impl Into<String>, row_names: Vec<String>) -> Self {
        Self {
            name: name.into(),
            title: title.into(),
            columns: Vec::new(),
            row_places: vec![Place::Nowhere; row_names.len()],
            row_names,
            package: None,
            row_packages: Vec::new(),
            blocks: Vec::new(),
            grouped: false,
            parent: None,
            children: Vec::new(),
            by_text: HashMap::new(),
            row_texts: Vec::new(),
            by_column: HashMap::new(),
        }
    }

    /// Makes this the child of another table; `owners` gives each row's parent row.
    #[must_use]
    pub fn child_of(mut self, parent: TableId, parent_rows: usize, owners: Vec<u32>) -> Self {
        self.children = vec![Vec::new(); parent_rows];
        for (row, owner) in (0u32..).zip(&owners) {
            if let Some(list) = self.children.get_mut(*owner as usize) {
                list.push(row);
            }
        }
        self.parent = Some((parent, owners));
        self
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.row_names.len()
    }

    /// Adds a column; its values are padded with blanks to the number of rows.
    pub fn add(&mut self, mut column: Column) -> ColumnId {
        column.values.resize(self.rows(), f64::NAN);
        let id = ColumnId(u16::try_from(self.columns.len()).unwrap_or(u16::MAX));
        self.by_column.insert(column.name.clone(), id);
        self.columns.push(column);
        id
    }

    /// The column with a script name.
    pub fn column_named(&self, name: &str) -> Option<ColumnId> {
        self.by_column.get(name).copied()
    }

    /// The column with a number.
    pub fn column(&self, id: ColumnId) -> &Column {
        &self.columns[usize::from(id.0)]
    }

    /// The column with a number, to change.
    pub fn column_mut(&mut self, id: ColumnId) -> &mut Column {
        &mut self.columns[usize::from(id.0)]
    }

    /// All columns with their numbers.
    pub fn columns(&self) -> impl Iterator<Item = (ColumnId, &Column)> {
        (0u16..).map(ColumnId).zip(&self.columns)
    }

    /// The value of a cell; NaN is blank.
    pub fn value(&self, column: ColumnId, row: usize) -> f64 {
        self.columns[usize::from(column.0)].values[row]
    }

    /// The value of a named column in a row; nothing where it is blank or there is no such column.
    pub fn filled(&self, column: &str, row: usize) -> Option<f64> {
        let value = self.value(self.column_named(column)?, row);
        (!value.is_nan()).then_some(value)
    }

    /// The cell of the takeoff that a value was read from.
    pub fn cell_place(&self, column: ColumnId, row: usize) -> Place {
        let mut place = self.row_places[row].clone();
        let facts = self.column(column).input.as_ref();
        if let (Place::Cell { cell, .. }, Some(at)) =
            (&mut place, facts.and_then(|facts| facts.sheet_column))
        {
            cell.column = at;
        }
        place
    }

    /// The values of a column.
    pub fn values(&self, column: ColumnId) -> &[f64] {
        &self.columns[usize::from(column.0)].values
    }

    pub(super) fn set(&mut self, column: ColumnId, row: usize, value: f64) {
        self.columns[usize::from(column.0)].values[row] = value;
    }

    /// The parent table of a child table.
    pub fn parent(&self) -> Option<TableId> {
        self.parent.as_ref().map(|(table, _)| *table)
    }

    /// The parent table and row of a row.
    pub fn parent_row(&self, row: usize) -> Option<(TableId, usize)> {
        let (table, owners) = self.parent.as_ref()?;
        Some((*table, *owners.get(row)? as usize))
    }

    /// The rows whose parent is a certain row.
    pub fn children_of(&self, parent_row: usize) -> &[u32] {
        self.children.get(parent_row).map_or(&[], Vec::as_slice)
    }

    /// The values of a column in the rows whose parent is a certain row.
    pub(super) fn of_children(
        &self,
        column: ColumnId,
        parent_row: usize,
    ) -> impl Iterator<Item = f64> {
        let rows = self.children_of(parent_row).iter();
        rows.map(move |row| self.value(column, *row as usize))
    }

    /// First and last row of a parent, where its rows follow one another.
    pub fn span_of(&self, parent_row: usize) -> Option<(u32, u32)> {
        let rows = self.children_of(parent_row);
        Some((*rows.first()?, *rows.last()?))
    }

    /// Makes the rows findable by their names.
    pub fn index_rows(&mut self, texts: &mut Texts) {
        self.row_texts = self.row_names.iter().map(|n| texts.intern(n)).collect();
        let rows = self.row_texts.iter().enumerate().rev();
        self.by_text = rows.map(|(row, text)| (*text, row)).collect();
    }

    /// The row with the name that a text value stands for.
    pub fn row_named(&self, text: f64) -> Option<usize> {
        self.by_text.get(&TextId::from_value(text)?).copied()
    }

    /// The text value of the name of a row, counted from one.
    pub(super) fn name_value(&self, row: f64) -> Option<f64> {
        let text = self.row_texts.get((row as usize).checked_sub(1)?)?;
        Some(text.to_value())
    }

    /// Whether a column has a blank in some row.
    pub fn has_blanks(&self, column: ColumnId) -> bool {
        self.values(column).iter().any(|value| value.is_nan())
    }
}
