//! The word `worked`: what rooms are charged by a rate, for a script of the whole job.

use rhai::{Dynamic, Engine, Position};

use super::convert::to_node;
use super::forms::{form, label, traced};
use super::items::rate_read;
use super::mistake::Mistake;
use super::session::{Session, Shared};
use crate::quantity::{Dimension, Operator};
use crate::trail::{Kind, NodeId, Ref, SingleId, Tracer, TrailError};

/// What one item of rooms, or of rows below them, is charged by a rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// The recipe that charges it.
    pub recipe: String,
    /// The rate.
    pub rate: SingleId,
    /// Its amounts in all rows.
    pub amounts: Ref,
}

/// Registers the word.
pub(super) fn register(engine: &mut Engine, shared: &Shared) {
    for arity in [1, 2] {
        form(engine, shared, "worked", arity, |session, at, args| {
            traced(worked(session, at, args))
        });
    }
}

fn worked(session: &mut Session, at: Position, args: &[&mut Dynamic]) -> Result<NodeId, Mistake> {
    let node = to_node(args[0], at, session)?;
    let Some(rate) = rate_read(session, node) else {
        return Err(
            Mistake::new("worked adds up what is charged by a rate of the price book")
                .hint("Write worked(rate.crew), or worked(rate.crew, \"setting\") for one recipe."),
        );
    };
    let recipe = match args.get(1) {
        Some(name) => Some(label(name, "the recipe of worked")?),
        None => None,
    };
    let Some(known) = &session.scene.worked else {
        return Err(Mistake::new(
            "worked adds up what all rooms are charged: here they are not known yet",
        )
        .hint("Use it in job.rhai."));
    };
    let amounts: Vec<Ref> = known
        .iter()
        .filter(|one| one.rate == rate && recipe.as_ref().is_none_or(|name| *name == one.recipe))
        .map(|one| one.amounts)
        .collect();
    // Money by this rate: hours, where it is so much for an hour.
    let counted = match session.kind(node) {
        Kind::Number(dimension) => Dimension::MONEY.per(dimension).ok(),
        _ => None,
    };
    let counted = counted.ok_or_else(|| Mistake::new("this rate is no money for an amount"))?;
    session.step(at, |tracer| match amounts.as_slice() {
        [] => {
            let unit = tracer.ledger.shown_in(Kind::Number(counted));
            tracer.constant(0.0, unit)
        }
        amounts => sum(tracer, amounts),
    })
}

/// A sum, divided evenly so that its formula stays flat however many there are.
fn sum(tracer: &mut Tracer, amounts: &[Ref]) -> Result<NodeId, TrailError> {
    if let [one] = amounts {
        return tracer.read(*one);
    }
    let (left, right) = amounts.split_at(amounts.len() / 2);
    let left = sum(tracer, left)?;
    let right = sum(tracer, right)?;
    tracer.arithmetic(Operator::Add, left, right)
}
