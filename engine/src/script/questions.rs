//! Questions to surveys, as scripts ask them: `floor.volume(level)`.

use std::any::TypeId;

use rhai::{Dynamic, Engine, EvalAltResult, NativeCallContext, Position};

use super::convert::to_node;
use super::mistake::Mistake;
use super::operators::with;
use super::session::{Session, Shared};
use super::values::{Names, Traced};
use crate::plugin::Registry;
use crate::trail::{NodeId, Ref};

/// Registers the questions of all surveyors.
pub(super) fn register(engine: &mut Engine, shared: &Shared, registry: &Registry) {
    let questions = registry.surveyors().iter().flat_map(|s| s.questions());
    for question in questions {
        let mut parameters = vec![TypeId::of::<Names>()];
        parameters.extend(question.parameters.iter().map(|_| TypeId::of::<Dynamic>()));
        let (shared, name) = (shared.clone(), question.name);
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
}

fn ask(
    session: &mut Session,
    name: &str,
    args: &[&mut Dynamic],
    ctx: &NativeCallContext<'_>,
) -> Result<Dynamic, Mistake> {
    let at = ctx.call_position();
    let set = args[0].clone().try_cast::<Names>();
    let found = session
        .scene
        .questions
        .iter()
        .find(|question| set == Some(Names(question.set)) && question.function.name == name)
        .cloned();
    let Some(question) = found else {
        return Err(Mistake::new(format!("nobody can be asked {name} here")));
    };
    let nodes = nodes_of(session, at, &question.rests_on, &args[1..])?;
    let node = session.step(at, |tracer| tracer.call(&question.function, &nodes))?;
    Ok(Dynamic::from(Traced(node)))
}

/// What an answer rests on: what the survey itself brings, then what the script says.
pub(super) fn nodes_of(
    session: &mut Session,
    at: Position,
    rests_on: &[Ref],
    said: &[&mut Dynamic],
) -> Result<Vec<NodeId>, Mistake> {
    let mut nodes = Vec::new();
    for reference in rests_on {
        nodes.push(session.step(at, |tracer| tracer.read(*reference))?);
    }
    for argument in said {
        nodes.push(to_node(argument, at, session)?);
    }
    Ok(nodes)
}
