//! Words that do more than compute: items, cautions, totals, step tables, forks on purpose.

use std::any::TypeId;

use rhai::{Dynamic, Engine, EvalAltResult, ImmutableString, NativeCallContext, Position};

use super::convert::{to_node, written};
use super::items;
use super::mistake::Mistake;
use super::operators::with;
use super::session::{CautionSaid, ItemKind, Session, Shared};
use super::values::{Counted, Steps, Traced, WholeColumn};
use crate::quantity::Unit;
use crate::trail::{Kind, NodeId, TrailError, builtin};

/// A word of the vocabulary that is no plain function.
pub struct FormWord {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub usage: &'static str,
    /// What it does.
    pub sentence: &'static str,
    /// An example.
    pub example: &'static str,
}

/// All such words, in the order of the reference.
pub const FORMS: &[FormWord] = &[
    FormWord {
        name: "material",
        usage: "material(label, product, amount)",
        sentence: "An item of products; the amount is turned into packages by the product's own yield, and whole packages are ordered for the job as a whole.",
        example: "material(\"Underlayment\", book.leveler(room.leveler), volume);",
    },
    FormWord {
        name: "cut",
        usage: "cut(label, product, length, pieces)",
        sentence: "An item of pieces cut from a product that comes in lengths; all pieces of the job are laid out over whole lengths, offcuts used again, and the workbook says \"price again\" when a piece changes.",
        example: "cut(\"Strip\", book.strip(room.strip), wall.length, layers);",
    },
    FormWord {
        name: "labour",
        usage: "labour(label, amount, rate)",
        sentence: "An item of work: hours (or whatever the rate counts by) times a rate of the price book.",
        example: "labour(\"Mix and pour\", volume / factor.pour_rate, rate.crew);",
    },
    FormWord {
        name: "equipment",
        usage: "equipment(label, amount, rate)",
        sentence: "An item for tools and machines, by a rate of the price book.",
        example: "equipment(\"Mixer\", days, rate.mixer);",
    },
    FormWord {
        name: "subcontract",
        usage: "subcontract(label, amount, rate)",
        sentence: "An item of work done by others, by a rate of the price book.",
        example: "subcontract(\"Grinding\", room.area, rate.grinding);",
    },
    FormWord {
        name: "charge",
        usage: "charge(label, money)",
        sentence: "An item that is a sum of money.",
        example: "charge(\"Delivery\", trips * rate.delivery);",
    },
    FormWord {
        name: "caution",
        usage: "caution(condition, text)",
        sentence: "A caution on the row and on the bid wherever the condition holds; with .above and its like it stays live.",
        example: "caution(depth.above(underlayment.depth_to), \"Deeper than one lift allows.\");",
    },
    FormWord {
        name: "total",
        usage: "total(table.column)",
        sentence: "The sum of a column: of a room's rows in a table below it, or of all rooms.",
        example: "let volume = total(rooms.volume);",
    },
    FormWord {
        name: "step_table",
        usage: "step_table(x, factor.table)",
        sentence: "The value of the last step of a table that starts at or below x.",
        example: "let rate = step_table(depth, factor.pour_rates);",
    },
    FormWord {
        name: "holds",
        usage: "holds(condition)",
        sentence: "Branches on a condition: true or false for `if`; the workbook says \"price again\" when it would come out otherwise.",
        example: "if holds(depth.above(1.inch)) { … }",
    },
    FormWord {
        name: "is_blank",
        usage: "is_blank(x)",
        sentence: "Branches on whether a takeoff cell was left blank.",
        example: "if is_blank(room.perimeter) { … }",
    },
    FormWord {
        name: "count",
        usage: "count(n)",
        sentence: "Drives a loop: for i in count(n) runs with i = 1 to n, n being a whole number of at most 1000.",
        example: "for layer in count(layers) { … }",
    },
];

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
    form(engine, shared, "step_table", 2, |session, at, args| {
        let Some(Steps(table)) = args[1].clone().try_cast::<Steps>() else {
            return Err(Mistake::new(
                "step_table looks a value up in a factor that is a step table",
            ));
        };
        let x = to_node(args[0], at, session)?;
        traced(session.step(at, |tracer| tracer.step(table, x)))
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

fn traced(node: Result<NodeId, Mistake>) -> Result<Dynamic, Mistake> {
    node.map(|node| Dynamic::from(Traced(node)))
}

fn form(
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
