//! The lines of the estimate: needed, ordered, unit price, cost, tax, contingency, profit, price.

use std::sync::Arc;

use super::bind::ItemColumn;
use super::cuts::{CutList, cut_lists};
use super::evaluate::Evaluated;
use super::gather::Group;
use crate::diag::{Diagnostic, Outcome};
use crate::quantity::{Operator, Unit};
use crate::script::ItemKind;
use crate::shop::{Basis, PricingEntries};
use crate::trail::{
    Block, Column, ColumnId, Kind, Ledger, NodeId, Ref, Role, Shape, SingleId, Table, TableId,
    Tracer, TrailError, builtin,
};

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
    /// Indices of the item columns it gathers.
    pub items: Vec<usize>,
}

impl Line {
    /// What the line is called: its label and, where there is one, its product or rate.
    pub fn name(&self) -> String {
        if self.detail.is_empty() {
            self.label.clone()
        } else {
            format!("{} ({})", self.label, self.detail)
        }
    }
}

/// Columns of the line table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineColumns {
    /// Row of the product in its table, counted from one; blank for other lines.
    pub number: ColumnId,
    /// What the rooms need.
    pub needed: ColumnId,
    /// What is charged: whole packages, or what is needed.
    pub quantity: ColumnId,
    /// Price of one.
    pub unit_price: ColumnId,
    /// Quantity times price, to the cent.
    pub cost: ColumnId,
    /// Tax that the shop pays.
    pub tax: ColumnId,
    /// Contingency.
    pub contingency: ColumnId,
    /// Markup or margin.
    pub profit: ColumnId,
    /// Price to the customer.
    pub price: ColumnId,
    /// Price for each one needed, by which it is shared to rooms.
    pub share_rate: ColumnId,
    /// Whole lengths by the plan of cuts; blank for lines that are not cut.
    pub by_plan: ColumnId,
}

/// Adds the line table, with a line for each product of every kind used and for each other item.
pub(super) fn add_lines(
    groups: &[Group],
    evaluated: &Evaluated,
    pricing: &PricingEntries,
    basis: Basis,
    ledger: &mut Ledger,
) -> Outcome<(TableId, LineColumns, Vec<Line>, Vec<CutList>)> {
    let mut lines = Vec::new();
    let mut group_of_line = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        for line in lines_of(group, ledger) {
            lines.push(line);
            group_of_line.push(index);
        }
    }
    if lines.is_empty() {
        return Err(Diagnostic::error(
            "the recipes of this shop give no items: there is nothing to price",
        )
        .hint("An item is said in a script with material(…), labour(…) or charge(…).")
        .into());
    }
    let is_cut = |index: usize| groups[group_of_line[index]].cut;
    let cuts = cut_lists(&lines, is_cut, &evaluated.items, ledger)?;
    let names = lines.iter().map(Line::name).collect();
    let mut table = Table::new("line", "Estimate", names);
    let numbers = lines
        .iter()
        .map(|line| line.product.map_or(f64::NAN, |(_, row)| row as f64 + 1.0))
        .collect();
    let none = |index| if is_cut(index) { 0.0 } else { f64::NAN };
    let mut by_plan: Vec<f64> = (0..lines.len()).map(none).collect();
    for list in &cuts {
        by_plan[list.line] = list.plan.used() as f64;
    }
    let columns = add_columns(&mut table, (numbers, by_plan), basis, ledger);
    let table = ledger.add_table(table);
    let mut block = Block::new("lines");
    for group in groups {
        let build = LineBuilder {
            group,
            items: &evaluated.items,
            pricing,
            basis,
            columns: &columns,
        };
        block
            .shapes
            .push(Shape::build(ledger, table, |tracer| build.build(tracer))?);
    }
    let mut values = Vec::new();
    for (row, group) in group_of_line.iter().enumerate() {
        if !block.shapes[*group].fill(ledger, table, row, &mut values) {
            return Err(Diagnostic::error(format!(
                "line {} cannot be computed: a number is too large",
                lines[row].label
            ))
            .into());
        }
        block.of_row.push(u16::try_from(*group).unwrap_or(u16::MAX));
    }
    ledger.table_mut(table).blocks.push(block);
    Ok((table, columns, lines, cuts))
}

fn lines_of(group: &Group, ledger: &Ledger) -> Vec<Line> {
    let line = |detail: String, unit: Arc<Unit>, product| Line {
        kind: group.kind,
        label: group.label.clone(),
        detail,
        unit,
        product,
        rate: group.rate,
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

fn add_columns(
    table: &mut Table,
    (numbers, by_plan): (Vec<f64>, Vec<f64>),
    basis: Basis,
    ledger: &Ledger,
) -> LineColumns {
    let money = Arc::new(
        ledger
            .units
            .find("money")
            .cloned()
            .unwrap_or_else(Unit::plain),
    );
    let plain = Arc::new(Unit::plain());
    let mut add = |name: &str, title: &str, note: &str, unit: &Arc<Unit>, values| {
        table.add(Column {
            name: name.to_owned(),
            title: title.to_owned(),
            note: note.to_owned(),
            kind: Kind::Number(unit.dimension),
            unit: unit.clone(),
            role: Role::Money,
            group: String::new(),
            input: None,
            values,
        })
    };
    let profit = match basis {
        Basis::Cost => ("Markup", "Markup on cost, tax and contingency"),
        Basis::Price => ("Margin", "What is kept of the price"),
    };
    LineColumns {
        number: add(
            "number",
            "No.",
            "Row of the product in the price book",
            &plain,
            numbers,
        ),
        needed: add(
            "needed",
            "Needed",
            "What all rooms need together",
            &plain,
            Vec::new(),
        ),
        quantity: add(
            "quantity",
            "Quantity",
            "Whole packages for the job, or what is needed",
            &plain,
            Vec::new(),
        ),
        unit_price: add("unit_price", "Unit price", "", &money, Vec::new()),
        cost: add(
            "cost",
            "Cost",
            "Quantity times unit price, to the cent",
            &money,
            Vec::new(),
        ),
        tax: add(
            "tax",
            "Tax",
            "Tax that the shop pays on what it buys",
            &money,
            Vec::new(),
        ),
        contingency: add(
            "contingency",
            "Contingency",
            "On cost and tax",
            &money,
            Vec::new(),
        ),
        profit: add("profit", profit.0, profit.1, &money, Vec::new()),
        price: add(
            "price",
            "Price",
            "What the customer pays for the line",
            &money,
            Vec::new(),
        ),
        share_rate: add(
            "share_rate",
            "Price per needed",
            "Price for each one needed, by which rooms bear it",
            &plain,
            Vec::new(),
        ),
        by_plan: add(
            "by_plan",
            "By plan of cuts",
            "Whole lengths that the plan of cuts takes",
            &plain,
            by_plan,
        ),
    }
}

struct LineBuilder<'a> {
    group: &'a Group,
    items: &'a [ItemColumn],
    pricing: &'a PricingEntries,
    basis: Basis,
    columns: &'a LineColumns,
}

type Step = Result<NodeId, TrailError>;

impl LineBuilder<'_> {
    fn build(&self, t: &mut Tracer) -> Result<Vec<(ColumnId, NodeId)>, TrailError> {
        let columns = self.columns;
        let needed = self.needed(t)?;
        let mut outputs = vec![(columns.needed, needed)];
        let cost = match (self.group.products, self.group.rate) {
            (Some(products), _) => {
                let quantity = if self.group.cut {
                    let by_plan = t.read(Ref::Column(columns.by_plan))?;
                    t.call(&builtin::counted_as(), &[by_plan, needed])?
                } else {
                    t.call(&builtin::whole_up(), &[needed])?
                };
                let number = t.read(Ref::Column(columns.number))?;
                let price = self.product_price(t, products, number)?;
                outputs.extend([(columns.quantity, quantity), (columns.unit_price, price)]);
                t.arithmetic(Operator::Multiply, quantity, price)?
            }
            (None, Some(rate)) => {
                let price = t.read(Ref::Single(rate))?;
                outputs.extend([(columns.quantity, needed), (columns.unit_price, price)]);
                t.arithmetic(Operator::Multiply, needed, price)?
            }
            (None, None) => needed,
        };
        let cost = t.call(&builtin::cents(), &[cost])?;
        let (tax, contingency, profit) = self.pricing.kinds[self.group.kind as usize];
        let tax_rate = t.read(Ref::Single(tax))?;
        let tax = percentage(t, cost, tax_rate)?;
        let taxed = t.arithmetic(Operator::Add, cost, tax)?;
        let contingency_rate = t.read(Ref::Single(contingency))?;
        let contingency = percentage(t, taxed, contingency_rate)?;
        let before_profit = t.arithmetic(Operator::Add, taxed, contingency)?;
        let profit_rate = t.read(Ref::Single(profit))?;
        let profit = self.profit(t, before_profit, profit_rate)?;
        // The price is the sum of what stands in the row before it.
        let price = t.arithmetic(Operator::Add, before_profit, profit)?;
        let price = t.call(&builtin::cents(), &[price])?;
        let share_rate = t.call(&builtin::for_each(), &[price, needed])?;
        outputs.extend([
            (columns.cost, cost),
            (columns.tax, tax),
            (columns.contingency, contingency),
            (columns.profit, profit),
            (columns.price, price),
            (columns.share_rate, share_rate),
        ]);
        Ok(outputs)
    }

    /// The sum of what the rows of all tables need.
    fn needed(&self, t: &mut Tracer) -> Step {
        let mut total: Option<NodeId> = None;
        for item in self.group.items.iter().map(|index| &self.items[*index]) {
            let reference = match item.product {
                Some((_, key)) => Ref::Where {
                    table: item.table,
                    column: item.quantity,
                    key,
                    equals: self.columns.number,
                },
                None => Ref::All(item.table, item.quantity),
            };
            let node = t.read(reference)?;
            total = Some(match total {
                Some(total) => t.arithmetic(Operator::Add, total, node)?,
                None => node,
            });
        }
        match total {
            Some(total) => Ok(total),
            None => t.constant(0.0, Arc::new(Unit::plain())),
        }
    }

    fn product_price(&self, t: &mut Tracer, products: TableId, number: NodeId) -> Step {
        let table = t.ledger.table(products);
        let rows = table.rows() as u32;
        let Some(column) = table.column_named("price") else {
            return t.constant(0.0, Arc::new(Unit::plain()));
        };
        let read_as = (table.column(column).kind, table.column(column).unit.clone());
        t.pick_as((products, column), (0, rows), number, read_as)
    }

    fn profit(&self, t: &mut Tracer, cost: NodeId, rate: NodeId) -> Step {
        match self.basis {
            Basis::Cost => percentage(t, cost, rate),
            Basis::Price => {
                let one = t.constant(1.0, Arc::new(Unit::plain()))?;
                let kept = t.arithmetic(Operator::Subtract, one, rate)?;
                let share = t.arithmetic(Operator::Multiply, cost, rate)?;
                let profit = t.arithmetic(Operator::Divide, share, kept)?;
                t.call(&builtin::cents(), &[profit])
            }
        }
    }
}

/// A percentage of an amount, to the cent.
fn percentage(t: &mut Tracer, amount: NodeId, rate: NodeId) -> Step {
    let part = t.arithmetic(Operator::Multiply, amount, rate)?;
    t.call(&builtin::cents(), &[part])
}
