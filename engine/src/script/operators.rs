//! Operators on values of the trail.

use std::any::TypeId;

use rhai::{Dynamic, Engine, EvalAltResult, NativeCallContext, Position};

use super::convert::to_node;
use super::mistake::Mistake;
use super::session::{Session, Shared};
use super::values::Traced;
use crate::quantity::Operator;
use crate::trail::{Kind, NodeId, builtin};

type Answer = Result<Dynamic, Box<EvalAltResult>>;

/// Registers arithmetic, comparisons and signs.
pub(super) fn register(engine: &mut Engine, shared: &Shared) {
    // Whole numbers divide like all others: 1/2 is a half.
    engine.register_fn("/", |a: i64, b: i64| a as f64 / b as f64);
    engine.register_fn("/", |a: i64, b: f64| a as f64 / b);
    engine.register_fn("/", |a: f64, b: i64| a / b as f64);
    for (sign, operator) in [
        ("+", Operator::Add),
        ("-", Operator::Subtract),
        ("*", Operator::Multiply),
        ("/", Operator::Divide),
    ] {
        binary(engine, shared, sign, move |session, at, a, b| {
            let node = session.step(at, |tracer| tracer.arithmetic(operator, a, b))?;
            Ok(Dynamic::from(Traced(node)))
        });
    }
    for sign in [">", "<", ">=", "<=", "==", "!="] {
        binary(engine, shared, sign, move |session, at, a, b| {
            compare(session, at, sign, a, b).map(Dynamic::from)
        });
    }
    binary(engine, shared, "%", |_, _, _, _| {
        Err(Mistake::new("% does not go with quantities")
            .hint("For percent, declare a factor such as 10 %."))
    });
    // A text would freeze a number that stays live everywhere else. The script engine
    // ignores what `to_string` answers, so the session remembers.
    for name in ["to_string", "to_debug"] {
        let texts = shared.clone();
        engine.register_fn(name, move |_: &mut Traced| -> String {
            if let Some(session) = texts.borrow_mut().as_mut() {
                session.put_in_text = true;
            }
            String::new()
        });
    }
    let powers = shared.clone();
    engine.register_raw_fn(
        "**",
        [TypeId::of::<Traced>(), TypeId::of::<i64>()],
        move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| -> Answer {
            let exponent = args[1].as_int().unwrap_or(0);
            with(&powers, |session| {
                let a = to_node(args[0], ctx.call_position(), session)?;
                power(session, ctx.call_position(), a, exponent)
            })
        },
    );
    let signs = shared.clone();
    engine.register_raw_fn(
        "-",
        [TypeId::of::<Traced>()],
        move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| -> Answer {
            with(&signs, |session| {
                let at = ctx.call_position();
                let a = to_node(args[0], at, session)?;
                let node = session.step(at, |tracer| tracer.negate(a))?;
                Ok(Dynamic::from(Traced(node)))
            })
        },
    );
}

/// Runs something with the session of the running script.
pub(super) fn with<T>(
    shared: &Shared,
    work: impl FnOnce(&mut Session) -> Result<T, Mistake>,
) -> Result<T, Box<EvalAltResult>> {
    let mut slot = shared.borrow_mut();
    match slot.as_mut() {
        Some(session) => work(session).map_err(Mistake::raise),
        None => Err(Mistake::new("no row is being priced").raise()),
    }
}

fn binary(
    engine: &mut Engine,
    shared: &Shared,
    sign: &str,
    work: impl Fn(&mut Session, Position, NodeId, NodeId) -> Result<Dynamic, Mistake> + Clone + 'static,
) {
    let (traced, any) = (TypeId::of::<Traced>(), TypeId::of::<Dynamic>());
    for types in [[traced, any], [any, traced]] {
        let (shared, work) = (shared.clone(), work.clone());
        engine.register_raw_fn(
            sign,
            types,
            move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| -> Answer {
                with(&shared, |session| {
                    let at = ctx.call_position();
                    let a = to_node(args[0], at, session)?;
                    let b = to_node(args[1], at, session)?;
                    work(session, at, a, b)
                })
            },
        );
    }
}

/// Compares two values; the outcome is a fork of the trail.
fn compare(
    session: &mut Session,
    at: Position,
    sign: &str,
    a: NodeId,
    b: NodeId,
) -> Result<bool, Mistake> {
    let texts = session.kind(a) == Kind::Text && session.kind(b) == Kind::Text;
    let (function, expected) = match (sign, texts) {
        ("==", true) => (builtin::same_as(), true),
        ("!=", true) => (builtin::same_as(), false),
        ("==", false) => (builtin::equals(), true),
        ("!=", false) => (builtin::equals(), false),
        (">", false) => (builtin::above(), true),
        ("<", false) => (builtin::below(), true),
        (">=", false) => (builtin::at_least(), true),
        ("<=", false) => (builtin::at_most(), true),
        _ => return Err(Mistake::new("texts can only be compared with == and !=")),
    };
    check_comparable(session, a, b)?;
    let test = session.step(at, |tracer| tracer.call(&function, &[a, b]))?;
    Ok(session.tracer.fork(test) == expected)
}

/// Two sides that cannot be compared are said with both their names.
fn check_comparable(session: &Session, a: NodeId, b: NodeId) -> Result<(), Mistake> {
    let (left, right) = (session.kind(a), session.kind(b));
    if left == right && matches!(left, Kind::Number(_) | Kind::Text) {
        return Ok(());
    }
    let plain = |kind| matches!(kind, Kind::Number(dimension) if dimension.is_none());
    let message = format!(
        "cannot compare {} with {}",
        session.describe(a),
        session.describe(b)
    );
    let mistake = Mistake::new(message);
    Err(match (left, right) {
        (Kind::Number(dimension), other) | (other, Kind::Number(dimension))
            if plain(other) || dimension.is_none() =>
        {
            let unit = session
                .tracer
                .ledger
                .shown_in(if plain(left) { right } else { left });
            match unit.label.as_str() {
                "in" => mistake.hint("Write the number with its unit, such as 1.5.inch."),
                label => mistake.hint(format!("Write the number with its unit ({label}).")),
            }
        }
        (Kind::Product(_), Kind::Text) | (Kind::Text, Kind::Product(_)) => {
            mistake.hint("Compare the takeoff cell that names the product instead.")
        }
        _ => mistake,
    })
}

fn power(
    session: &mut Session,
    at: Position,
    a: NodeId,
    exponent: i64,
) -> Result<Dynamic, Mistake> {
    if !(1..=4).contains(&exponent) {
        return Err(Mistake::new(
            "a quantity can be raised to the powers 1 to 4",
        ));
    }
    let mut node = a;
    for _ in 1..exponent {
        node = session.step(at, |tracer| tracer.arithmetic(Operator::Multiply, node, a))?;
    }
    Ok(Dynamic::from(Traced(node)))
}
