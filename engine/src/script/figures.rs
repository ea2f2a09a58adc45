//! Figures, as scripts ask for them and read them: `let laid = layout(…); laid.full`.

use std::any::TypeId;
use std::sync::Arc;

use rhai::{Dynamic, Engine, EvalAltResult, ImmutableString, NativeCallContext};

use super::mistake::Mistake;
use super::operators::with;
use super::questions::nodes_of;
use super::session::{Session, Shared};
use super::values::{Asked, Names, Traced};
use crate::diag::{near_name, quoted};
use crate::plugin::{Registry, short_name};

/// Registers what can be asked for, and how its figures are read.
pub(super) fn register(engine: &mut Engine, shared: &Shared, registry: &Registry) {
    for (_, figures) in registry.figures() {
        let mut parameters = Vec::new();
        if figures.survey.is_some() {
            parameters.push(TypeId::of::<Names>());
        }
        parameters.extend(figures.parameters.iter().map(|_| TypeId::of::<Dynamic>()));
        let (shared, name) = (shared.clone(), figures.name);
        engine.register_raw_fn(
            name,
            parameters,
            move |ctx: NativeCallContext<'_>,
                  args: &mut [&mut Dynamic]|
                  -> Result<Dynamic, Box<EvalAltResult>> {
                with(&shared, |session| ask(session, name, args, &ctx))
            },
        );
    }
    let shared = shared.clone();
    engine.register_indexer_get(
        move |ctx: NativeCallContext<'_>,
              asked: &mut Asked,
              name: ImmutableString|
              -> Result<Dynamic, Box<EvalAltResult>> {
            with(&shared, |session| read(session, asked, &name, &ctx))
        },
    );
}

fn ask(
    session: &mut Session,
    name: &str,
    args: &[&mut Dynamic],
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    let at = ctx.call_position();
    let set = args
        .first()
        .and_then(|first| Dynamic::clone(first).try_cast::<Names>())
        .map(|Names(set)| set);
    let mut known = session.scene.figures.iter();
    let Some(figures) = known.position(|known| known.name == name && known.set == set) else {
        return Err(Mistake::new(format!("nobody can be asked {name} here")));
    };
    let rests_on = session.scene.figures[figures].rests_on.clone();
    let said = &args[usize::from(set.is_some())..];
    let nodes = nodes_of(session, at, &rests_on, said)?;
    Ok(Dynamic::from(Asked {
        figures,
        arguments: Arc::from(nodes),
    }))
}

fn read(
    session: &mut Session,
    asked: &Asked,
    name: &str,
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    let figures = &session.scene.figures[asked.figures];
    let mut functions = figures.functions.iter();
    let Some(function) = functions.find(|known| short_name(known.name) == name) else {
        let names = figures.functions.iter().map(|known| short_name(known.name));
        let hint = match near_name(name, names.clone()) {
            Some(near) => format!("Did you mean {near}?"),
            None => format!("It has: {}.", names.collect::<Vec<_>>().join(", ")),
        };
        let what = format!("{} has nothing called {}", figures.name, quoted(name));
        return Err(Mistake::new(what).hint(hint));
    };
    let function = function.clone();
    let node = session.step(ctx.call_position(), |tracer| {
        tracer.call(&function, &asked.arguments)
    })?;
    Ok(Dynamic::from(Traced(node)))
}
