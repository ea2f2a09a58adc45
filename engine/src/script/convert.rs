//! Script values as nodes of the trail.

use std::sync::Arc;

use rhai::{Dynamic, ImmutableString, Position};

use super::mistake::{Mistake, NOT_VALUES};
use super::session::Session;
use super::values::{Counted, Traced};
use crate::quantity::Unit;
use crate::trail::NodeId;

/// The node of a value: a traced one has its own, a bare number, text or yes/no gets one.
pub(super) fn to_node(
    value: &Dynamic,
    at: Position,
    session: &mut Session,
) -> Result<NodeId, Mistake> {
    if let Some(Traced(node)) = value.clone().try_cast::<Traced>() {
        return Ok(node);
    }
    if let Ok(number) = value.as_float() {
        return written(number, Arc::new(Unit::plain()), at, session);
    }
    if let Ok(number) = value.as_int() {
        return written(number as f64, Arc::new(Unit::plain()), at, session);
    }
    if let Ok(holds) = value.as_bool() {
        return session.step(at, |tracer| tracer.condition(holds));
    }
    if let Some(text) = value.clone().try_cast::<ImmutableString>() {
        return session.step(at, |tracer| tracer.text(&text));
    }
    Err(not_a_value(value))
}

/// A number written in the script, with a unit.
pub(super) fn written(
    number: f64,
    unit: Arc<Unit>,
    at: Position,
    session: &mut Session,
) -> Result<NodeId, Mistake> {
    if !number.is_finite() {
        return Err(Mistake::new(
            "this divides by zero or is too large to be a number",
        ));
    }
    let recipe = session.scene.recipe.clone();
    let line = at
        .line()
        .and_then(|line| u16::try_from(line).ok())
        .unwrap_or(0);
    session.step(at, |tracer| tracer.written(number, unit, &recipe, line))
}

fn not_a_value(value: &Dynamic) -> Mistake {
    if let Some((_, what, advice)) = NOT_VALUES
        .iter()
        .find(|(kind, ..)| *kind == value.type_name().rsplit(':').next().unwrap_or(""))
    {
        Mistake::new(*what).hint(*advice)
    } else if value.is_unit() {
        Mistake::new("this has no value")
    } else if value.is::<Counted>() {
        Mistake::new("count(…) drives a loop; it is not a value")
    } else {
        Mistake::new("this is neither a number, a text nor a condition")
    }
}
