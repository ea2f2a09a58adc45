//! Binding: what a script run gave gets its columns, and the trail becomes a shape.

use std::sync::Arc;

use super::bind_limits::check_formulas;
use crate::diag::{Diagnostic, Outcome, Place};
use crate::quantity::{Dimension, System, Unit};
use crate::recipe::Manifest;
use crate::script::{CellSaid, ItemKind, ItemSaid, ScriptRun};
use crate::trail::{
    Column, ColumnId, Form, Frozen, Kind, Ledger, Node, NodeId, Op, Output, Role, ScriptPlace,
    Shape, SingleId, TableId, Trail, builtin,
};

/// An item's quantity column.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemColumn {
    /// Which recipe said it.
    pub recipe: String,
    /// What kind of line it goes to.
    pub kind: ItemKind,
    /// What it is called.
    pub label: String,
    /// The table it stands in.
    pub table: TableId,
    /// Its quantity.
    pub quantity: ColumnId,
    /// For material: the kind of product, and the column with the product's row.
    pub product: Option<(TableId, ColumnId)>,
    /// For labour, equipment and subcontract: the rate.
    pub rate: Option<SingleId>,
    place: Option<ScriptPlace>,
    occurrence: usize,
}

/// A caution's column.
#[derive(Clone, Debug, PartialEq)]
pub struct CautionColumn {
    /// Which recipe said it.
    pub recipe: String,
    /// Its text.
    pub text: String,
    /// The table it stands in.
    pub table: TableId,
    /// 1 where it holds.
    pub column: ColumnId,
}

/// The cells of all recipes, by recipe, table and name.
#[derive(Clone, Debug, Default)]
pub(super) struct CellIndex {
    list: Vec<(String, TableId, String, ColumnId)>,
}

impl CellIndex {
    /// A recipe's cells in a table, in order.
    pub(super) fn of<'s>(
        &'s self,
        recipe: &'s str,
        table: TableId,
    ) -> impl Iterator<Item = (&'s str, ColumnId)> {
        self.list
            .iter()
            .filter(move |(known, in_table, ..)| known == recipe && *in_table == table)
            .map(|(_, _, name, column)| (name.as_str(), *column))
    }

    fn add(&mut self, recipe: &str, table: TableId, name: &str, column: ColumnId) {
        let known = self.of(recipe, table).any(|(known, _)| known == name);
        if !known {
            self.list
                .push((recipe.to_owned(), table, name.to_owned(), column));
        }
    }
}

/// Where the columns of all recipes are gathered.
#[derive(Debug, Default)]
pub(super) struct Columns {
    pub(super) cells: CellIndex,
    pub(super) items: Vec<ItemColumn>,
    pub(super) cautions: Vec<CautionColumn>,
}

/// Binds one script run.
pub(super) struct Binder<'a> {
    pub(super) manifest: &'a Manifest,
    pub(super) table: TableId,
    pub(super) ledger: &'a mut Ledger,
    pub(super) columns: &'a mut Columns,
    shape: Shape,
    values: Vec<f64>,
}

impl<'a> Binder<'a> {
    pub(super) fn new(
        manifest: &'a Manifest,
        table: TableId,
        ledger: &'a mut Ledger,
        columns: &'a mut Columns,
    ) -> Self {
        Self {
            manifest,
            table,
            ledger,
            columns,
            shape: Shape::default(),
            values: Vec::new(),
        }
    }

    /// Gives columns to cells, items, cautions, look-ups and forks.
    pub(super) fn bind(mut self, run: ScriptRun) -> Outcome<(Shape, Vec<f64>)> {
        let ScriptRun {
            trail,
            cells,
            items,
            cautions,
        } = run;
        let Trail {
            nodes,
            values,
            forks,
        } = trail;
        self.shape.nodes = nodes;
        self.values = values;
        self.bind_lookups();
        for cell in &cells {
            self.bind_cell(cell)?;
        }
        self.bind_items(&items)?;
        for (occurrence, caution) in occurrences(&cautions, |caution| caution.place) {
            let key = format!(
                "{}.caution.{}",
                self.manifest.name,
                place_key(caution.place, occurrence)
            );
            let as_number = self.call(builtin::as_number(), caution.when, caution.place);
            let column = self.column(&key, caution.text.clone(), "", as_number, Role::Caution)?;
            let known = self
                .columns
                .cautions
                .iter()
                .any(|c| c.table == self.table && c.column == column);
            if !known {
                self.columns.cautions.push(CautionColumn {
                    recipe: self.manifest.name.clone(),
                    text: caution.text.clone(),
                    table: self.table,
                    column,
                });
            }
        }
        for (occurrence, fork) in occurrences(&forks, |fork| fork.place) {
            let function = if fork.expected {
                builtin::changed_if_false()
            } else {
                builtin::changed_if_true()
            };
            let test = self.call(function, fork.test, fork.place);
            let key = format!(
                "{}.fork.{}",
                self.manifest.name,
                place_key(fork.place, occurrence)
            );
            let title = format!("Fork: {}", self.source_line(fork.place));
            self.column(
                &key,
                title,
                "1 where this would now come out the other way",
                test,
                Role::Fork,
            )?;
        }
        self.bind_fixed()?;
        self.shape.forks = forks;
        check_formulas(&self.shape, self.ledger)?;
        Ok((self.shape, self.values))
    }

    /// Look-ups are calculated once, in columns of their own.
    fn bind_lookups(&mut self) {
        for index in 0..self.shape.nodes.len() {
            let id = NodeId(index as u32);
            let node = self.shape.nodes[index].clone();
            let Some((name, title)) = self.lookup_name(&node) else {
                continue;
            };
            let column = self.find_or_add(&name, title, "", &node, Role::Working);
            self.shape.outputs.push(Output { column, node: id });
        }
    }

    fn lookup_name(&self, node: &Node) -> Option<(String, String)> {
        match &node.op {
            Op::Find(table, key) => {
                let table = self.ledger.table(*table);
                let key = match &self.shape.node(*key).op {
                    Op::Text(text) => format!("text {text:?}"),
                    other => format!("{other:?}"),
                };
                Some((
                    format!("find {} {key}", table.name),
                    format!("{}, row", table.title),
                ))
            }
            Op::Pick {
                table, column, row, ..
            } => {
                let (found, _) = self.lookup_name(self.shape.node(*row))?;
                let table = self.ledger.table(*table);
                let field = table.column(*column);
                Some((
                    format!("pick {} from {found}", field.name),
                    format!("{}: {}", table.title, field.title.to_lowercase()),
                ))
            }
            _ => None,
        }
    }

    fn bind_cell(&mut self, cell: &CellSaid) -> Outcome<()> {
        let name = format!("{}.{}", self.manifest.name, cell.name);
        let spec = self
            .manifest
            .cells
            .iter()
            .find(|spec| spec.name == cell.name);
        let title = spec.map_or_else(|| cell.name.replace('_', " "), |spec| spec.title.clone());
        let column = match self.shape.column_of(cell.node) {
            // A product is shown by the name chosen; its row is looked up already.
            Some(column) if matches!(self.shape.node(cell.node).kind, Kind::Product(_)) => column,
            _ => {
                let unit = spec.and_then(|spec| match self.ledger.system {
                    System::Us => spec.us.clone(),
                    System::Si => spec.si.clone().or_else(|| spec.us.clone()),
                });
                self.cell_column(&name, title, cell, unit)?
            }
        };
        self.columns
            .cells
            .add(&self.manifest.name, self.table, &cell.name, column);
        Ok(())
    }

    fn cell_column(
        &mut self,
        name: &str,
        title: String,
        cell: &CellSaid,
        unit: Option<Unit>,
    ) -> Outcome<ColumnId> {
        let mut node = self.shape.node(cell.node).clone();
        if let Some(unit) = unit {
            if node.kind != Kind::Number(unit.dimension) {
                return Err(Diagnostic::error(format!(
                    "cell {} of recipe {} is not {} as its manifest says",
                    cell.name,
                    self.manifest.name,
                    self.ledger.units.describe(unit.dimension)
                ))
                .at(self.text_place(cell.place))
                .into());
            }
            node.unit = Arc::new(unit);
        }
        let column = self.find_or_add(name, title, &cell.comment, &node, Role::Cell);
        self.check_kind(column, &node, &cell.name, cell.place)?;
        self.shape.outputs.push(Output {
            column,
            node: cell.node,
        });
        Ok(column)
    }

    fn bind_items(&mut self, items: &[ItemSaid]) -> Outcome<()> {
        for (occurrence, item) in occurrences(items, |item| item.place) {
            let product = item
                .product
                .and_then(|node| match self.shape.node(node).kind {
                    Kind::Product(table) => Some((table, self.shape.column_of(node)?)),
                    _ => None,
                });
            let rate = item.rate.and_then(|node| match self.shape.node(node).op {
                Op::Read(crate::trail::Ref::Single(single)) => Some(single),
                _ => None,
            });
            let known = self.columns.items.iter().position(|known| {
                known.table == self.table
                    && (known.place, known.occurrence) == (item.place, occurrence)
                    && (&known.label, known.product, known.rate) == (&item.label, product, rate)
            });
            let key = format!(
                "{}.item.{}.{}",
                self.manifest.name,
                place_key(item.place, occurrence),
                item.label
            );
            let column = self.item_column(&key, item, rate)?;
            if known.is_none() {
                self.columns.items.push(ItemColumn {
                    recipe: self.manifest.name.clone(),
                    kind: item.kind,
                    label: item.label.clone(),
                    table: self.table,
                    quantity: column,
                    product,
                    rate,
                    place: item.place,
                    occurrence,
                });
            }
        }
        Ok(())
    }

    /// The column of an item's quantity, in the unit that its rate counts by.
    fn item_column(
        &mut self,
        key: &str,
        item: &ItemSaid,
        rate: Option<SingleId>,
    ) -> Outcome<ColumnId> {
        let mut node = self.shape.node(item.quantity).clone();
        if let Some(unit) = rate.and_then(|rate| self.ledger.counted_unit(rate)) {
            node.unit = Arc::new(unit);
        }
        let column = self.find_or_add(key, item.label.clone(), "", &node, Role::Item);
        self.check_kind(column, &node, &item.label, item.place)?;
        self.shape.outputs.push(Output {
            column,
            node: item.quantity,
        });
        Ok(column)
    }

    /// A fixed answer keeps what it rests on, to be compared.
    fn bind_fixed(&mut self) -> Outcome<()> {
        for index in 0..self.shape.nodes.len() {
            let node = self.shape.nodes[index].clone();
            let Op::Call(function, arguments) = &node.op else {
                continue;
            };
            if function.form != Form::Fixed {
                continue;
            }
            let id = NodeId(index as u32);
            let key = format!(
                "{}.fixed.{}",
                self.manifest.name,
                place_key(node.place, index)
            );
            if self.shape.column_of(id).is_none() {
                self.column(
                    &key,
                    function.name.replace('_', " "),
                    function.sentence,
                    id,
                    Role::Working,
                )?;
            }
            for (number, argument) in arguments.iter().enumerate() {
                let argument_node = self.shape.node(*argument).clone();
                let title = format!(
                    "{} as priced",
                    function
                        .parameters
                        .get(number)
                        .map_or("argument", |p| p.name)
                );
                let as_priced = self.find_or_add(
                    &format!("{key}.{number}"),
                    title,
                    "",
                    &argument_node,
                    Role::AsPriced,
                );
                let flag = Node {
                    kind: Kind::Number(Dimension::NONE),
                    unit: Arc::new(Unit::plain()),
                    ..node.clone()
                };
                let title = format!("Fixed: {}", function.name);
                let flag = self.find_or_add(
                    &format!("{key}.{number}.flag"),
                    title,
                    "1 where the fixed answer no longer holds",
                    &flag,
                    Role::Fork,
                );
                self.shape.frozen.push(Frozen {
                    argument: *argument,
                    as_priced,
                    flag,
                });
            }
        }
        Ok(())
    }

    /// Adds a node of our own that turns a condition into a number.
    fn call(
        &mut self,
        function: Arc<crate::trail::Function>,
        condition: NodeId,
        place: Option<ScriptPlace>,
    ) -> NodeId {
        let arguments = [self.values[condition.index()]];
        let value = (function.body)(&arguments).unwrap_or(f64::NAN);
        self.values.push(value);
        self.shape.nodes.push(Node {
            op: Op::Call(function, vec![condition]),
            kind: Kind::Number(Dimension::NONE),
            unit: Arc::new(Unit::plain()),
            place,
        });
        NodeId(self.shape.nodes.len() as u32 - 1)
    }

    fn column(
        &mut self,
        name: &str,
        title: String,
        note: &str,
        id: NodeId,
        role: Role,
    ) -> Outcome<ColumnId> {
        let node = self.shape.node(id).clone();
        let column = self.find_or_add(name, title.clone(), note, &node, role);
        self.check_kind(column, &node, &title, node.place)?;
        self.shape.outputs.push(Output { column, node: id });
        Ok(column)
    }

    fn find_or_add(
        &mut self,
        name: &str,
        title: String,
        note: &str,
        node: &Node,
        role: Role,
    ) -> ColumnId {
        let table = self.ledger.table_mut(self.table);
        if let Some(column) = table.column_named(name) {
            return column;
        }
        table.add(Column {
            name: name.to_owned(),
            title,
            note: note.to_owned(),
            kind: node.kind,
            unit: node.unit.clone(),
            role,
            group: self.manifest.name.clone(),
            input: None,
            values: Vec::new(),
        })
    }

    /// A column holds one kind of value in all rows.
    fn check_kind(
        &mut self,
        column: ColumnId,
        node: &Node,
        what: &str,
        place: Option<ScriptPlace>,
    ) -> Outcome<()> {
        let known = self.ledger.table(self.table).column(column).kind;
        if known == node.kind {
            return Ok(());
        }
        let words = |kind| crate::trail::describe_kind(kind, &self.ledger.units);
        Err(Diagnostic::error(format!(
            "{what} is {} in this row and {} in rows before it",
            words(node.kind),
            words(known)
        ))
        .at(self.text_place(place))
        .hint("A cell must be the same kind of thing on every path.")
        .into())
    }

    fn source_line(&self, place: Option<ScriptPlace>) -> String {
        match place
            .and_then(|place| Some((place, self.ledger.scripts.get(usize::from(place.script))?)))
        {
            Some((place, source)) => source.line(usize::from(place.line)).trim().to_owned(),
            None => String::new(),
        }
    }

    fn text_place(&self, place: Option<ScriptPlace>) -> Place {
        self.ledger.script_place(place)
    }
}

/// Numbers what stands at the same place of a script: the turns of a loop.
fn occurrences<T>(list: &[T], place: impl Fn(&T) -> Option<ScriptPlace>) -> Vec<(usize, &T)> {
    let mut seen: std::collections::HashMap<Option<ScriptPlace>, usize> =
        std::collections::HashMap::new();
    list.iter()
        .map(|item| {
            let count = seen.entry(place(item)).or_insert(0);
            *count += 1;
            (*count, item)
        })
        .collect()
}

fn place_key(place: Option<ScriptPlace>, occurrence: usize) -> String {
    match place {
        Some(place) => format!(
            "{}:{}:{}:{occurrence}",
            place.script, place.line, place.column
        ),
        None => format!("?:{occurrence}"),
    }
}
