//! Registered functions, as scripts call them.

use std::any::TypeId;
use std::sync::Arc;

use rhai::{Dynamic, Engine, EvalAltResult, NativeCallContext};

use super::convert::to_node;
use super::operators::with;
use super::session::Shared;
use super::values::Traced;
use crate::plugin::Registry;
use crate::trail::Function;

/// Most arguments of a function that takes several.
const MOST_ARGUMENTS: usize = 8;

/// Registers all functions for every number of arguments they take.
pub(super) fn register(engine: &mut Engine, shared: &Shared, registry: &Registry) {
    for (_, function) in registry.functions() {
        let least = function.parameters.len();
        let most = if function.repeats {
            MOST_ARGUMENTS
        } else {
            least
        };
        for arity in least..=most {
            register_one(engine, shared, function, arity);
        }
    }
    // A condition is turned round with ! as well as with not.
    if let Some(not) = registry.named("not").next() {
        let (shared, not) = (shared.clone(), not.clone());
        engine.register_raw_fn(
            "!",
            [TypeId::of::<Traced>()],
            move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| {
                call(&shared, &not, &ctx, args)
            },
        );
    }
}

fn register_one(engine: &mut Engine, shared: &Shared, function: &Arc<Function>, arity: usize) {
    let (shared, called) = (shared.clone(), function.clone());
    engine.register_raw_fn(
        function.name,
        vec![TypeId::of::<Dynamic>(); arity],
        move |ctx: NativeCallContext<'_>, args: &mut [&mut Dynamic]| {
            call(&shared, &called, &ctx, args)
        },
    );
}

fn call(
    shared: &Shared,
    function: &Arc<Function>,
    ctx: &NativeCallContext<'_>,
    args: &[&mut Dynamic],
) -> Result<Dynamic, Box<EvalAltResult>> {
    with(shared, |session| {
        let at = ctx.call_position();
        let mut nodes = Vec::with_capacity(args.len());
        for argument in args {
            nodes.push(to_node(argument, at, session)?);
        }
        let node = session.step(at, |tracer| tracer.call(function, &nodes))?;
        Ok(Dynamic::from(Traced(node)))
    })
}
