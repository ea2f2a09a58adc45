//! Names with a point: `room.area`, `underlayment.price`, `book.leveler(…)`, `1.5.inch`.

use std::any::TypeId;
use std::sync::Arc;

use rhai::{Dynamic, Engine, EvalAltResult, ImmutableString, NativeCallContext};

use super::convert::{to_node, written};
use super::mistake::Mistake;
use super::operators::with;
use super::scene::Entry;
use super::session::{Session, Shared};
use super::values::{Book, Names, Steps, Traced, WholeColumn};
use crate::diag::{near_name, quoted};
use crate::quantity::{Unit, Units};
use crate::trail::{Kind, TableId};

/// Registers names with a point.
pub(super) fn register(engine: &mut Engine, shared: &Shared, units: &Units, kinds: &[String]) {
    let names = shared.clone();
    engine.register_indexer_get(
        move |ctx: NativeCallContext<'_>,
              set: &mut Names,
              name: ImmutableString|
              -> Result<Dynamic, Box<EvalAltResult>> {
            with(&names, |session| look_up(session, *set, &name, &ctx))
        },
    );
    let fields = shared.clone();
    engine.register_indexer_get(
        move |ctx: NativeCallContext<'_>,
              value: &mut Traced,
              name: ImmutableString|
              -> Result<Dynamic, Box<EvalAltResult>> {
            with(&fields, |session| field(session, *value, &name, &ctx))
        },
    );
    for kind in kinds {
        let (finds, kind_name) = (shared.clone(), kind.clone());
        engine.register_raw_fn(
            kind.as_str(),
            [TypeId::of::<Book>(), TypeId::of::<Dynamic>()],
            move |ctx: NativeCallContext<'_>,
                  args: &mut [&mut Dynamic]|
                  -> Result<Dynamic, Box<EvalAltResult>> {
                with(&finds, |session| find(session, &kind_name, args[1], &ctx))
            },
        );
    }
    for (unit, name) in unit_names(units) {
        register_unit(engine, shared, &unit, &name);
    }
}

/// The names under which units can stand behind a number in a script.
pub(super) fn unit_names(units: &Units) -> Vec<(Arc<Unit>, String)> {
    units
        .names()
        .into_iter()
        .filter(|name| {
            let mut characters = name.chars();
            characters.next().is_some_and(|c| c.is_ascii_alphabetic())
                && characters.all(|c| c.is_ascii_alphanumeric())
                && *name != "in"
        })
        .filter_map(|name| Some((Arc::new(units.find(name)?.clone()), name.to_owned())))
        .collect()
}

fn register_unit(engine: &mut Engine, shared: &Shared, unit: &Arc<Unit>, name: &str) {
    for number in [TypeId::of::<f64>(), TypeId::of::<i64>()] {
        let (shared, unit) = (shared.clone(), unit.clone());
        engine.register_raw_fn(
            format!("get${name}"),
            [number],
            move |ctx: NativeCallContext<'_>,
                  args: &mut [&mut Dynamic]|
                  -> Result<Dynamic, Box<EvalAltResult>> {
                let number = match args[0].as_int() {
                    Ok(whole) => whole as f64,
                    Err(_) => args[0].as_float().unwrap_or(f64::NAN),
                };
                with(&shared, |session| {
                    let node = written(number, unit.clone(), ctx.call_position(), session)?;
                    Ok(Dynamic::from(Traced(node)))
                })
            },
        );
    }
}

fn look_up(
    session: &mut Session,
    set: Names,
    name: &str,
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    match session.scene.entry(set.0, name) {
        Some(Entry::Value(reference)) => {
            let node = session.step(ctx.call_position(), |tracer| tracer.read(reference))?;
            Ok(Dynamic::from(Traced(node)))
        }
        Some(Entry::Steps(table)) => Ok(Dynamic::from(Steps(table))),
        Some(Entry::Column(reference)) => Ok(Dynamic::from(WholeColumn(reference))),
        Some(Entry::Names(inner)) => Ok(Dynamic::from(Names(inner))),
        None => {
            let names = &session.scene.names[set.0];
            let near = near_name(name, names.entries.iter().map(|(known, _)| known.as_str()));
            let mistake = Mistake::new(format!(
                "{} has nothing called {}",
                names.called,
                quoted(name)
            ));
            Err(match near {
                Some(near) => mistake.hint(format!("Did you mean {near}?")),
                None => mistake.hint(names.hint.clone()),
            })
        }
    }
}

fn field(
    session: &mut Session,
    value: Traced,
    name: &str,
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    let Traced(node) = value;
    let Kind::Product(table_id) = session.kind(node) else {
        return Err(Mistake::new(format!(
            "{} has nothing called {}",
            session.describe(node),
            quoted(name)
        ))
        .hint("Units stand behind written numbers only; a cell of the takeoff brings its own."));
    };
    let at = ctx.call_position();
    let table = session.tracer.ledger.table(table_id);
    let Some(column) = table.column_named(name) else {
        if name == "name" {
            let node = session.step(at, |tracer| tracer.name_of(table_id, node))?;
            return Ok(Dynamic::from(Traced(node)));
        }
        let near = near_name(
            name,
            table.columns.iter().map(|column| column.name.as_str()),
        );
        let fields: Vec<&str> = table
            .columns
            .iter()
            .map(|column| column.name.as_str())
            .collect();
        let mistake = Mistake::new(format!(
            "products of kind {} have no field {}",
            table.name,
            quoted(name)
        ));
        return Err(mistake.hint(match near {
            Some(near) => format!("Did you mean {near}?"),
            None => format!("The fields are: {}.", fields.join(", ")),
        }));
    };
    let field = session.step(at, |tracer| tracer.field(node, table_id, column))?;
    Ok(Dynamic::from(Traced(field)))
}

fn find(
    session: &mut Session,
    kind: &str,
    key: &Dynamic,
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    let at = ctx.call_position();
    let table = products_of(session, kind)?;
    let key = to_node(key, at, session)?;
    if session.kind(key) != Kind::Text {
        return Err(Mistake::new(format!(
            "a product is found by its name, not by {}",
            session.describe(key)
        )));
    }
    if session.tracer.is_blank(key) {
        return Err(Mistake::new(format!("no {kind} is named in this row"))
            .hint("Name it in the room's row, or for all rooms on the Job sheet."));
    }
    let name = session
        .tracer
        .ledger
        .texts
        .of_value(session.tracer.value(key))
        .to_owned();
    let node = session
        .step(at, |tracer| tracer.find(table, key))
        .map_err(|_| {
            let rows = session_rows(session, table);
            let near = near_name(&name, rows.iter().map(String::as_str));
            let mistake = Mistake::new(format!(
                "the price book has no {kind} called {}",
                quoted(&name)
            ));
            match near {
                Some(near) => mistake.hint(format!("Did you mean {near}?")),
                None => mistake,
            }
        })?;
    Ok(Dynamic::from(Traced(node)))
}

/// The table of a kind of product.
pub(super) fn products_of(session: &Session, kind: &str) -> Result<TableId, Mistake> {
    let mut products = session.scene.products.iter();
    let found = products.find(|(known, _)| known == kind);
    found.map(|(_, table)| *table).ok_or_else(|| {
        Mistake::new(format!(
            "no recipe asks for products of kind {}",
            quoted(kind)
        ))
    })
}

fn session_rows(session: &Session, table: TableId) -> Vec<String> {
    session.tracer.ledger.table(table).row_names.clone()
}
