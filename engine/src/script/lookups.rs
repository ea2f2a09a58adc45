//! Words that look something up: steps of a table, the largest product that fits.

use rhai::{Dynamic, Engine, Position};

use super::convert::to_node;
use super::forms::{form, label, traced};
use super::mistake::Mistake;
use super::names::products_of;
use super::session::{Session, Shared};
use super::values::Steps;
use crate::diag::{Place, near_name, quoted};
use crate::measure::write;
use crate::trail::{ColumnId, Failure, Kind, NodeId, Op, Ref, TableId, Tracer, TrailError};

/// Registers the words.
pub(super) fn register(engine: &mut Engine, shared: &Shared) {
    form(engine, shared, "step_table", 2, |session, at, args| {
        let (x, table) = steps(session, at, "step_table", args)?;
        traced(session.step(at, |tracer| tracer.step(table, x)))
    });
    form(engine, shared, "next_step", 2, |session, at, args| {
        let (x, table) = steps(session, at, "next_step", args)?;
        traced(session.step(at, |tracer| tracer.next_step(table, x)))
    });
    for arity in [3, 5, 7] {
        form(engine, shared, "largest", arity, |session, at, args| {
            traced(largest(session, at, args))
        });
    }
}

fn steps(
    session: &mut Session,
    at: Position,
    word: &str,
    args: &[&mut Dynamic],
) -> Result<(NodeId, TableId), Mistake> {
    let Some(Steps(table)) = args[1].clone().try_cast::<Steps>() else {
        return Err(Mistake::new(format!(
            "{word} looks a value up in a factor that is a step table"
        )));
    };
    Ok((to_node(args[0], at, session)?, table))
}

fn largest(session: &mut Session, at: Position, args: &[&mut Dynamic]) -> Result<NodeId, Mistake> {
    let table = products_of(session, &label(args[0], "a kind of product")?)?;
    let field = field_named(session, table, args[1])?;
    let most = to_node(args[2], at, session)?;
    let mut same = Vec::new();
    for pair in args[3..].chunks(2) {
        let column = field_named(session, table, pair[0])?;
        same.push((column, to_node(pair[1], at, session)?));
    }
    let asked = Asked {
        table,
        field,
        most,
        same: &same,
    };
    session.stand_at(at);
    let chosen = session
        .tracer
        .largest(table, field, most, asked.same.to_vec());
    chosen.map_err(|error| match error {
        TrailError::Failure(Failure::NothingFits) => asked.nothing_fits(&session.tracer),
        other => Mistake::of_trail(&other, &session.tracer),
    })
}

/// The column of a field that a script names in quotes.
fn field_named(session: &Session, table: TableId, name: &Dynamic) -> Result<ColumnId, Mistake> {
    let name = label(name, "a field")?;
    let table = session.tracer.ledger.table(table);
    table.column_named(&name).ok_or_else(|| {
        let names = table.columns.iter().map(|column| column.name.as_str());
        let mistake = Mistake::new(format!(
            "products of kind {} have no field {}",
            table.name,
            quoted(&name)
        ));
        match near_name(&name, names) {
            Some(near) => mistake.hint(format!("Did you mean {near}?")),
            None => mistake,
        }
    })
}

/// What product was asked for.
struct Asked<'a> {
    table: TableId,
    field: ColumnId,
    most: NodeId,
    same: &'a [(ColumnId, NodeId)],
}

impl Asked<'_> {
    /// Says what was asked for, in which cell, and which products come nearest.
    fn nothing_fits(&self, tracer: &Tracer) -> Mistake {
        let ledger = &tracer.ledger;
        let table = ledger.table(self.table);
        let title = |column| table.column(column).title.to_lowercase();
        let written = |column, value| match table.column(column).kind {
            Kind::Number(_) => write(value, &table.column(column).unit, &ledger.units),
            _ => ledger.texts.of_value(value).to_owned(),
        };
        let same: Vec<_> = self
            .same
            .iter()
            .map(|(column, value)| (*column, tracer.value(*value)))
            .collect();
        let with: Vec<String> = same
            .iter()
            .map(|(column, value)| format!(" and {} {}", title(*column), written(*column, *value)))
            .collect();
        let message = format!(
            "the price book has no {} with {} up to {}{}",
            table.title.to_lowercase(),
            title(self.field),
            written(self.field, tracer.value(self.most)),
            with.concat()
        );
        let mut too_large: Vec<usize> = (0..table.rows())
            .filter(|row| table.has(*row, &same) && table.value(self.field, *row) > 0.0)
            .collect();
        let size = |row: &usize| table.value(self.field, *row);
        too_large.sort_by(|a, b| size(a).total_cmp(&size(b)));
        let nearest: Vec<String> = too_large
            .iter()
            .take(2)
            .map(|row| {
                format!(
                    "{} ({})",
                    table.row_names[*row],
                    written(self.field, size(row))
                )
            })
            .collect();
        let hint = match nearest.as_slice() {
            [] => format!(
                "There is none{} at all.",
                with.concat().replacen(" and", " with", 1)
            ),
            [only] => format!("The nearest is {only}."),
            several => format!("The nearest are {}.", several.join(" and ")),
        };
        Mistake::new(message)
            .hint(hint)
            .in_cell(cell_behind(tracer, self.most))
    }
}

/// The first filled cell of the traced row that a value rests on.
fn cell_behind(tracer: &Tracer, id: NodeId) -> Option<Place> {
    let row = tracer.row()?;
    let table = tracer.ledger.table(tracer.table());
    let mut open = vec![id];
    while let Some(id) = open.pop() {
        if let Op::Read(Ref::Column(column)) = tracer.node(id).op {
            let facts = table.column(column).input.as_ref();
            let is_typed = facts.is_some_and(|facts| facts.sheet_column.is_some());
            if is_typed && !tracer.is_blank(id) {
                return Some(table.cell_place(column, row));
            }
        }
        open.extend(tracer.node(id).op.operands().into_iter().rev());
    }
    Some(table.row_places.get(row)?.clone())
}
