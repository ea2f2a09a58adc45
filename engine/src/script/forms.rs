//! Words that do more than compute: items, cautions, totals, step tables, forks on purpose.

use std::any::TypeId;

use rhai::{Dynamic, Engine, EvalAltResult, ImmutableString, NativeCallContext, Position};

use super::convert::{to_node, written};
use super::items;
use super::mistake::Mistake;
use super::operators::with;
use super::session::{CautionSaid, ItemKind, Session, Shared};
use super::values::{Counted, Traced, WholeColumn};
use crate::quantity::Unit;
use crate::trail::{Kind, NodeId, TrailError, builtin};

type Answer = Result<Dynamic, Box<EvalAltResult>>;

/// Registers the words.
pub(super) fn register(engine: &mut Engine, shared: &Shared) {
    form(engine, shared, "material", 3, items::material);
    form(engine, shared, "cut", 4, items::cut);
    for kind in [ItemKind::Labour, ItemKind::Equipment, ItemKind::Subcontract] {
        form(engine, shared, kind.name(), 3, move |session, at, args| {
            items::by_rate(session, at, kind, args)
        });
    }
    form(engine, shared, "charge", 2, items::charge);
    form(engine, shared, "caution", 2, |session, at, args| {
        caution(session, at, args)
    });
    form(engine, shared, "total", 1, |session, at, args| {
        let Some(WholeColumn(reference)) = args[0].clone().try_cast::<WholeColumn>() else {
            return Err(Mistake::new("total sums a whole column")
                .hint("Write total(rooms.volume) or total(openings.width)."));
        };
        traced(session.step(at, |tracer| tracer.read(reference)))
    });
    form(engine, shared, "done", 0, |session, _, _| {
        session.done = true;
        Ok(Dynamic::UNIT)
    });
    form(engine, shared, "holds", 1, |session, at, args| {
        let condition = condition(session, at, args[0])?;
        session.stand_at(at);
        Ok(Dynamic::from(session.tracer.fork(condition)))
    });
    form(engine, shared, "is_blank", 1, |session, at, args| {
        let x = to_node(args[0], at, session)?;
        let given = session.step(at, |tracer| tracer.call(&builtin::given(), &[x]))?;
        Ok(Dynamic::from(!session.tracer.fork(given)))
    });
    form(engine, shared, "count", 1, |session, at, args| {
        count(session, at, args[0])
    });
}

pub(super) fn traced(node: Result<NodeId, Mistake>) -> Result<Dynamic, Mistake> {
    node.map(|node| Dynamic::from(Traced(node)))
}

pub(super) fn form(
    engine: &mut Engine,
    shared: &Shared,
    name: &str,
    arity: usize,
    work: impl Fn(&mut Session, Position, &[&mut Dynamic]) -> Result<Dynamic, Mistake> + 'static,
) {
    let shared = shared.clone();
    engine.register_raw_fn(
        name,
        vec![TypeId::of::<Dynamic>(); arity],
        move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| -> Answer {
            with(&shared, |session| work(session, ctx.call_position(), args))
        },
    );
}

pub(super) fn label(value: &Dynamic, what: &str) -> Result<String, Mistake> {
    match value.clone().try_cast::<ImmutableString>() {
        Some(text) if !text.trim().is_empty() => Ok(text.trim().to_owned()),
        _ => Err(Mistake::new(format!("{what} needs a text in quotes"))),
    }
}

/// A value that must be there: a blank counts for nothing, and an item of nothing is a mistake.
pub(super) fn given(
    session: &mut Session,
    at: Position,
    value: &Dynamic,
) -> Result<NodeId, Mistake> {
    let node = to_node(value, at, session)?;
    session.step(at, |tracer| tracer.note_given(node).map(|()| node))
}

fn condition(session: &mut Session, at: Position, value: &Dynamic) -> Result<NodeId, Mistake> {
    let node = to_node(value, at, session)?;
    if session.kind(node) == Kind::Condition {
        return Ok(node);
    }
    Err(Mistake::new(format!(
        "this is {}, expected a condition",
        session.describe(node)
    ))
    .hint("Write depth.above(limit) or depth > limit."))
}

fn caution(session: &mut Session, at: Position, args: &[&mut Dynamic]) -> Result<Dynamic, Mistake> {
    let text = label(args[1], "a caution")?;
    // A comparison with > or < is a fork already: where it did not hold there is nothing to say.
    if args[0].as_bool() == Ok(false) {
        return Ok(Dynamic::UNIT);
    }
    let when = condition(session, at, args[0])?;
    let place = session.place(at);
    session.cautions.push(CautionSaid { when, text, place });
    Ok(Dynamic::UNIT)
}

/// Most turns of a counted loop.
const MOST_TURNS: f64 = 1000.0;

fn count(session: &mut Session, at: Position, value: &Dynamic) -> Result<Dynamic, Mistake> {
    if let Ok(turns) = value.as_int() {
        return counted(turns as f64);
    }
    let node = to_node(value, at, session)?;
    let counts =
        matches!(session.kind(node), Kind::Number(d) if d.is_none() || d.is_package_count());
    if !counts {
        return Err(Mistake::new(format!(
            "count needs a plain number, this is {}",
            session.describe(node)
        )));
    }
    if session.tracer.is_blank(node) {
        return Err(Mistake::of_trail(
            &TrailError::Blank("The count".to_owned()),
            &session.tracer,
        ));
    }
    let number = session.tracer.value(node);
    let turns = counted(number)?;
    let unit = match session.kind(node) {
        Kind::Number(dimension) if !dimension.is_none() => session.tracer.node(node).unit.clone(),
        _ => std::sync::Arc::new(Unit::plain()),
    };
    let same = written(number, unit, at, session)?;
    let test = session.step(at, |tracer| tracer.call(&builtin::equals(), &[node, same]))?;
    session.tracer.fork(test);
    Ok(turns)
}

fn counted(number: f64) -> Result<Dynamic, Mistake> {
    if number.fract() != 0.0 || !(0.0..=MOST_TURNS).contains(&number) {
        return Err(Mistake::new(format!(
            "a loop cannot run {} times",
            crate::measure::write_number(number)
        ))
        .hint("Round the number first, for instance with round_up(n); at most 1000 turns are allowed."));
    }
    Ok(Dynamic::from(Counted(number as i64)))
}
