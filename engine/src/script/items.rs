//! Items that a script says: material, pieces cut from stock, work, sums of money.

use rhai::{Dynamic, Position};

use super::convert::to_node;
use super::forms::{given, label};
use super::mistake::Mistake;
use super::session::{ItemKind, ItemSaid, Session};
use crate::diag::quoted;
use crate::quantity::{Dimension, Operator};
use crate::trail::{Kind, NodeId, Op, Ref, SingleId, SingleRole, TableId, builtin};

/// Material: an amount of a product, turned into packages.
pub(super) fn material(
    session: &mut Session,
    at: Position,
    args: &[&mut Dynamic],
) -> Result<Dynamic, Mistake> {
    let label = label(args[0], "the label of an item")?;
    let bought = product(session, at, args[1], "material")?;
    let amount = given(session, at, args[2])?;
    let Kind::Number(dimension) = session.kind(amount) else {
        return Err(Mistake::new(format!(
            "{} is not an amount",
            session.describe(amount)
        )));
    };
    let package = session.tracer.ledger.table(bought.table).package;
    let quantity = if package.map(Dimension::package) == Some(dimension) {
        amount
    } else if let Some(package) = package.filter(|_| dimension.is_none()) {
        // A plain number counts packages.
        let one = std::sync::Arc::new(session.tracer.ledger.units.package_unit(package));
        session.step(at, |tracer| {
            let one = tracer.constant(1.0, one)?;
            tracer.arithmetic(Operator::Multiply, amount, one)
        })?
    } else {
        let field = per_package(session, at, bought, dimension)?;
        session.step(at, |tracer| {
            tracer.arithmetic(Operator::Divide, amount, field)
        })?
    };
    say_material(session, at, label, bought, quantity, None);
    Ok(Dynamic::UNIT)
}

/// Pieces of a length, cut from a product that comes in lengths.
pub(super) fn cut(
    session: &mut Session,
    at: Position,
    args: &[&mut Dynamic],
) -> Result<Dynamic, Mistake> {
    let label = label(args[0], "the label of an item")?;
    let bought = product(session, at, args[1], "cut")?;
    let length = given(session, at, args[2])?;
    let pieces = given(session, at, args[3])?;
    let stock = per_package(session, at, bought, Dimension::LENGTH)?;
    // The fixed answer keeps what the plan of cuts rests on, and is flagged when it changes.
    let rests_on = [bought.node, length, pieces, stock];
    let planned = session.step(at, |tracer| tracer.call(&builtin::length_cut(), &rests_on))?;
    let quantity = session.step(at, |tracer| {
        let all = tracer.arithmetic(Operator::Multiply, length, pieces)?;
        tracer.arithmetic(Operator::Divide, all, stock)
    })?;
    say_material(session, at, label, bought, quantity, Some(planned));
    Ok(Dynamic::UNIT)
}

/// A product that a script found.
#[derive(Clone, Copy)]
struct Bought {
    node: NodeId,
    table: TableId,
}

fn product(
    session: &mut Session,
    at: Position,
    value: &Dynamic,
    word: &str,
) -> Result<Bought, Mistake> {
    let node = to_node(value, at, session)?;
    match session.kind(node) {
        Kind::Product(table) => Ok(Bought { node, table }),
        _ => Err(Mistake::new(format!(
            "the second argument of {word} is {}, expected a product",
            session.describe(node)
        ))
        .hint("Find it with book.KIND(name).")),
    }
}

fn say_material(
    session: &mut Session,
    at: Position,
    label: String,
    bought: Bought,
    quantity: NodeId,
    cut: Option<NodeId>,
) {
    let place = session.place(at);
    session.items.push(ItemSaid {
        kind: ItemKind::Material,
        label,
        product: Some(bought.node),
        quantity,
        cut,
        rate: None,
        place,
    });
}

/// The product's field that is so much of a dimension for each package.
fn per_package(
    session: &mut Session,
    at: Position,
    bought: Bought,
    dimension: Dimension,
) -> Result<NodeId, Mistake> {
    let ledger = &session.tracer.ledger;
    let table = ledger.table(bought.table);
    let package = table.package.map(Dimension::package);
    let per_package = package.and_then(|package| dimension.per(package).ok());
    let column = table.columns().find(|(_, column)| {
        per_package.is_some_and(|wanted| column.kind == Kind::Number(wanted))
            && column.name != "price"
    });
    let Some((column, _)) = column else {
        let word = table.package.map_or("packages", |package| {
            ledger.units.package_word(package, 2.0)
        });
        return Err(Mistake::new(format!(
            "{} cannot be turned into {word} of {}",
            ledger.units.describe(dimension),
            table.name
        ))
        .hint("The product has no field for it; give the amount in packages, or ask for such a field in the manifest."));
    };
    session.step(at, |tracer| tracer.field(bought.node, bought.table, column))
}

/// The rate of the price book that a node reads.
pub(super) fn rate_read(session: &Session, node: NodeId) -> Option<SingleId> {
    match session.tracer.node(node).op {
        Op::Read(Ref::Single(single)) => {
            let is_rate = session.tracer.ledger.single(single).role == SingleRole::Rate;
            is_rate.then_some(single)
        }
        _ => None,
    }
}

pub(super) fn by_rate(
    session: &mut Session,
    at: Position,
    kind: ItemKind,
    args: &[&mut Dynamic],
) -> Result<Dynamic, Mistake> {
    let label = label(args[0], "the label of an item")?;
    let quantity = given(session, at, args[1])?;
    let rate = to_node(args[2], at, session)?;
    if rate_read(session, rate).is_none() {
        return Err(Mistake::new(format!(
            "the rate of {} must be a rate of the price book",
            quoted(&label)
        ))
        .hint("Write rate.NAME; what differs from room to room belongs into the amount."));
    }
    let money = match (session.kind(quantity), session.kind(rate)) {
        (Kind::Number(a), Kind::Number(b)) => a.times(b) == Ok(Dimension::MONEY),
        _ => false,
    };
    if !money {
        return Err(Mistake::new(format!(
            "{} times {} is not money",
            session.describe(quantity),
            session.describe(rate)
        )));
    }
    let place = session.place(at);
    session.items.push(ItemSaid {
        kind,
        label,
        product: None,
        quantity,
        cut: None,
        rate: Some(rate),
        place,
    });
    Ok(Dynamic::UNIT)
}

pub(super) fn charge(
    session: &mut Session,
    at: Position,
    args: &[&mut Dynamic],
) -> Result<Dynamic, Mistake> {
    let label = label(args[0], "the label of an item")?;
    let quantity = given(session, at, args[1])?;
    if session.kind(quantity) != Kind::Number(Dimension::MONEY) {
        return Err(Mistake::new(format!(
            "a charge is money, this is {}",
            session.describe(quantity)
        )));
    }
    let place = session.place(at);
    session.items.push(ItemSaid {
        kind: ItemKind::Charge,
        label,
        product: None,
        quantity,
        cut: None,
        rate: None,
        place,
    });
    Ok(Dynamic::UNIT)
}
